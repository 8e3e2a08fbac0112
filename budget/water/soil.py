"""The soil around the well: what it holds back, and what passes down to the water table.

A month runs in two halves, days 1 to 15 and the rest. With as many rain days as days each half follows the soil-water
balance of Thornthwaite and Mather (1955), *The Water Balance*, with exponential extraction. Counting the rain days is
this project's own rule: on a rain day water that the plants do not use at once runs through a full soil even in a
half whose evapotranspiration exceeds its rain. What so many rain days leave over is the mean for amounts that are
exponentially distributed, as in common stochastic models of daily rain (Todorovic and Woolhiser 1975; recalled): of W
on n of d days with an evapotranspiration of E, W e^(−E n/(d W)). Half of the dry days' demand is drawn before, half
after it. So months follow a daily bucket of the same equations; the tests print how closely.
"""

from budget.declarations import Column, Input, Result
from budget.units import Unit
from budget.water.snow import FIRST_DAYS, FIRST_RAIN, REST

REFERENCE = [
    Input("soil", "Soil", Unit.TEXT, "Texture."),
    Input("available_water", "Available water", Unit.HOLDING, "Held between field capacity and wilting."),
    Input("specific_yield", "Specific yield", Unit.FINE, "Share of the ground's volume that drains by gravity."),
    Input(
        "drainage_time",
        "Drainage time",
        Unit.DAYS,
        "Time in which the water table falls to 37 % of its height.",
    ),
    Input("runoff_share", "Runoff share", Unit.SHARE, "Share of the surplus that runs off."),
    Input("source", "Source", Unit.TEXT, "Where the figures come from."),
]

INPUTS = [
    Input(
        "soil_type",
        "Soil",
        Unit.TEXT,
        "The nearest word in the table of soils, which gives the figures left empty here.",
        "loam",
        choices="soils:soil",
    ),
    Input(
        "soil_available_water",
        "Water the soil holds",
        Unit.HOLDING,
        "Between field capacity and wilting. Empty: from the table of soils.",
        "",
        low="20 mm/m",
        high="350 mm/m",
    ),
    Input(
        "soil_root_depth",
        "Root depth of the land around",
        Unit.LENGTH,
        "Depth from which the grass, brush or trees over the water table drink.",
        "0.7 m",
        low="0.1 m",
        high="4 m",
        source="common practice, no source",
    ),
    Input(
        "soil_cover_factor",
        "Water use of the land around",
        Unit.NUMBER,
        "Against reference evapotranspiration: meadow about 1, sparse cover less.",
        "1",
        low="0.1",
        high="1.3",
        source="common practice, no source",
    ),
    Input(
        "soil_runoff_share",
        "Share of the surplus that runs off",
        Unit.SHARE,
        "The rest reaches the water table. Empty: from the table of soils.",
        "",
        low="0",
        high="0.95",
    ),
]

RESULTS = [
    Result(
        "soil_row",
        "Row of the soil",
        Unit.COUNT,
        "In the table of soils.",
        "MATCH(soil_type, {soils:soil.all}, 0)",
    ),
    Result(
        "available_water",
        "Water the soil holds, in use",
        Unit.HOLDING,
        "The figure above, or the table's.",
        "IF(ISNUMBER(soil_available_water), soil_available_water, INDEX({soils:available_water.all}, soil_row))",
    ),
    Result(
        "soil_capacity",
        "Water the root zone holds",
        Unit.DEPTH,
        "Of the land around the well.",
        "available_water * soil_root_depth",
    ),
    Result(
        "runoff_share",
        "Share that runs off, in use",
        Unit.SHARE,
        "The figure above, or the table's.",
        "IF(ISNUMBER(soil_runoff_share), soil_runoff_share, INDEX({soils:runoff_share.all}, soil_row))",
    ),
]

REST_WATER = "({water_input} - {water_first})"
WET_RULE = "own rule: rain days counted, or so many days as what melts takes of all that could"
EXCESS_RULE = "own rule: amounts of wet days exponentially distributed (Todorovic and Woolhiser 1975; recalled)"


def wet_days(days: str, counted: str, melt: str, warmth: str) -> str:
    """The template of the wet days of a half month: rain days, or days of melt where these are more."""
    melting = f"IF(ROUND({warmth}, 6)>0, {days} * {melt} / (snow_melt_rate * {warmth}), 0)"
    return f"MIN({days}, MAX({counted}, {melting}))"


def left_over(water: str, days: str, wet: str) -> str:
    """The template of what the wet days of a half month leave over; where all its days are wet, what its total does."""
    return (
        f"IF({water}>0, IF(ROUND({wet} - {days}, 6)>=0, MAX(0, {water} - {{cover_et}} * {days} / {{days}}),"
        f" {water} * EXP(-{{cover_et}} * {wet} / {{days}} / {water})), 0)"
    )


COLUMNS = [
    Column(
        "cover_et",
        "Water use of the land",
        Unit.DEPTH,
        "What the cover would use with plenty of water.",
        "{reference_et} * soil_cover_factor",
    ),
    Column(
        "wet_first",
        "Wet days by the 15th",
        Unit.NUMBER,
        "Of days 1 to 15, those with rain or, where they are more, with melting snow.",
        wet_days(FIRST_DAYS, "{first_wet_days}", f"({{water_first}} - {FIRST_RAIN})", "{first_degree_days}"),
        source=WET_RULE,
    ),
    Column(
        "excess_first",
        "Left over on wet days by the 15th",
        Unit.DEPTH,
        "Rain and melt of days 1 to 15, less what the cover uses on the wet days among them.",
        left_over("{water_first}", FIRST_DAYS, "{wet_first}"),
        source=EXCESS_RULE,
    ),
    Column(
        "kept_first",
        "Kept after half the dry days by the 15th",
        Unit.FINE,
        "Share of its water that the soil keeps over half the dry demand of days 1 to 15.",
        f"EXP(-({{cover_et}} * {FIRST_DAYS} / {{days}} - {{water_first}} + {{excess_first}}) / (2 * soil_capacity))",
        source="Thornthwaite and Mather (1955), exponential extraction: exp(−demand/capacity), of demand/2",
    ),
    Column(
        "surplus_first",
        "Surplus by the 15th",
        Unit.DEPTH,
        "Runs through the full soil on days 1 to 15.",
        "MAX(0, {soil_water.before} * {kept_first} + {excess_first} - soil_capacity)",
        source="Thornthwaite and Mather (1955)",
    ),
    Column(
        "soil_middle",
        "Soil water on the 15th",
        Unit.DEPTH,
        "Held in the root zone at the end of days 1 to 15.",
        "MIN(soil_capacity, {soil_water.before} * {kept_first} + {excess_first}) * {kept_first}",
        source="Thornthwaite and Mather (1955)",
        stepwise=True,
    ),
    Column(
        "wet_rest",
        "Wet days from the 16th",
        Unit.NUMBER,
        "Of the days after the 15, those with rain or, where they are more, with melting snow.",
        wet_days(
            REST,
            "({wet_days} - {first_wet_days})",
            f"({{melt}} - {{water_first}} + {FIRST_RAIN})",
            "({degree_days} - {first_degree_days})",
        ),
        source=WET_RULE,
    ),
    Column(
        "wet_excess",
        "Left over on wet days from the 16th",
        Unit.DEPTH,
        "Rain and melt after days 1 to 15, less what the cover uses on the wet days among these.",
        left_over(REST_WATER, REST, "{wet_rest}"),
        source=EXCESS_RULE,
    ),
    Column(
        "dry_demand",
        "Asked on dry days from the 16th",
        Unit.DEPTH,
        "What the cover still asks of the soil after days 1 to 15.",
        f"{{cover_et}} * {REST} / {{days}} - ({REST_WATER} - {{wet_excess}})",
        source="own rule: counting rain days",
    ),
    Column(
        "half_drawn",
        "Kept after half the dry days from the 16th",
        Unit.FINE,
        "Share of its water that the soil keeps over half the dry demand after days 1 to 15.",
        "EXP(-{dry_demand} / (2 * soil_capacity))",
        source="Thornthwaite and Mather (1955), exponential extraction: exp(−demand/capacity), of demand/2",
    ),
    Column(
        "surplus",
        "Surplus",
        Unit.DEPTH,
        "Runs through the full soil, in both halves of the month.",
        "{surplus_first} + MAX(0, {soil_middle} * {half_drawn} + {wet_excess} - soil_capacity)",
        source="Thornthwaite and Mather (1955)",
    ),
    Column(
        "soil_water",
        "Soil water",
        Unit.DEPTH,
        "Held in the root zone at the month's end.",
        "MIN(soil_capacity, {soil_middle} * {half_drawn} + {wet_excess}) * {half_drawn}",
        opening="soil_capacity",
        source="Thornthwaite and Mather (1955)",
        stepwise=True,
    ),
    Column(
        "actual_et",
        "Water used by the land",
        Unit.DEPTH,
        "Evapotranspiration that the water at hand allowed: on wet days, and before and after them in each half.",
        "{water_input} - {excess_first} - {wet_excess}"
        " + {soil_water.before} * (1 - {kept_first}) + {soil_middle} * (1 / {kept_first} - 1)"
        " + {soil_middle} * (1 - {half_drawn}) + {soil_water} * (1 / {half_drawn} - 1)",
    ),
    Column(
        "recharge",
        "Recharge",
        Unit.DEPTH,
        "Surplus that reaches the water table.",
        "{surplus} * (1 - runoff_share)",
    ),
]
