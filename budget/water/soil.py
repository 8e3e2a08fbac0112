"""The soil around the well: what it holds back, and what passes down to the water table.

With as many rain days as days this is the monthly soil-water balance of Thornthwaite and Mather (1955), *The Water
Balance*, with exponential extraction. Counting the rain days is this project's own rule: on a rain day water that the
plants do not use at once runs through a full soil even in a month whose evapotranspiration exceeds its rain. It lets
the monthly ledger follow a daily bucket of the same equations; the tests print how closely.
"""

from budget.declarations import Column, Input, Result
from budget.units import Unit

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

COLUMNS = [
    Column(
        "cover_et",
        "Water use of the land",
        Unit.DEPTH,
        "What the cover would use with plenty of water.",
        "{reference_et} * soil_cover_factor",
    ),
    Column(
        "wet_excess",
        "Left over on wet days",
        Unit.DEPTH,
        "Rain and melt less what the cover uses on the rain days.",
        "MAX(0, {water_input} - {cover_et} * MIN({wet_days}, {days}) / {days})",
        source="own rule: counting rain days",
    ),
    Column(
        "dry_demand",
        "Asked on dry days",
        Unit.DEPTH,
        "What the cover still asks of the soil.",
        "{cover_et} - ({water_input} - {wet_excess})",
        source="own rule: counting rain days",
    ),
    Column(
        "half_drawn",
        "Kept after half the dry days",
        Unit.FINE,
        "Share of its water that the soil keeps over half the month's dry demand.",
        "EXP(-{dry_demand} / (2 * soil_capacity))",
        source="Thornthwaite and Mather (1955), exponential extraction: exp(−demand/capacity), of demand/2",
    ),
    Column(
        "surplus",
        "Surplus",
        Unit.DEPTH,
        "Runs through the full soil.",
        "MAX(0, {soil_water.before} * {half_drawn} + {wet_excess} - soil_capacity)",
        source="Thornthwaite and Mather (1955)",
    ),
    Column(
        "soil_water",
        "Soil water",
        Unit.DEPTH,
        "Held in the root zone at the month's end.",
        "MIN(soil_capacity, {soil_water.before} * {half_drawn} + {wet_excess}) * {half_drawn}",
        opening="soil_capacity",
        source="Thornthwaite and Mather (1955)",
    ),
    Column(
        "actual_et",
        "Water used by the land",
        Unit.DEPTH,
        "Evapotranspiration that the water at hand allowed.",
        "{water_input} + {soil_water.before} - {soil_water} - {surplus}",
    ),
    Column(
        "recharge",
        "Recharge",
        Unit.DEPTH,
        "Surplus that reaches the water table.",
        "{surplus} * (1 - runoff_share)",
    ),
]
