"""Snow on the ground: what fell as snow waits there and melts by degree-days.

Snow, soil and water table run through a month in two halves, days 1 to 15 and the rest, that stand in one row: when in
the month its rain came decides what it leaves over. What melts by the 15th is water of the first half.

Source: USDA NRCS National Engineering Handbook Part 630 Chapter 11 (2004), degree-day melt.
"""

from budget.declarations import Column, Input
from budget.units import Unit

INPUTS = [
    Input(
        "snow_melt_rate",
        "Melt per degree-day",
        Unit.MELT,
        "Depth of water that melts for each degree above freezing, each day.",
        "2.74 mm/(delta_degC*day)",
        low="1.6 mm/(delta_degC*day)",
        high="6 mm/(delta_degC*day)",
        source="NEH 630 ch. 11: 0.060 in per °F day where nothing better is known; recalled",
    ),
]

FIRST_DAYS = "15"  # days 1 to 15 are the first half of a month
REST = f"({{days}} - {FIRST_DAYS})"  # days of the second

FIRST_RAIN = "{rain} * {first_rain_share} * (1 - {first_snow_share})"  # what falls as rain by the 15th
FIRST_SNOW = "{rain} * {first_rain_share} * {first_snow_share}"

COLUMNS = [
    Column("snowfall", "Snowfall", Unit.DEPTH, "Water that falls as snow.", "{snow_share} * {rain}"),
    Column(
        "water_first",
        "Rain and melt by the 15th",
        Unit.DEPTH,
        "Water that reaches the ground on days 1 to 15.",
        f"{FIRST_RAIN} + MIN({{snowpack.before}} + {FIRST_SNOW}, snow_melt_rate * {{first_degree_days}})",
        source="NEH 630 ch. 11",
        stepwise=True,
    ),
    Column(
        "melt",
        "Melt",
        Unit.DEPTH,
        "Snow that melts.",
        "{snowpack.before} + {snowfall} - {snowpack}",
        source="NEH 630 ch. 11",
    ),
    Column(
        "snowpack",
        "Snow on the ground",
        Unit.DEPTH,
        "Water held as snow at the month's end.",
        f"MAX(0, {{snowpack.before}} + {FIRST_RAIN} - {{water_first}} + {{snowfall}}"
        " - snow_melt_rate * ({degree_days} - {first_degree_days}))",
        opening="0",
        stepwise=True,
    ),
    Column(
        "water_input",
        "Rain and melt",
        Unit.DEPTH,
        "Water that reaches the ground.",
        "{rain} - {snowfall} + {melt}",
    ),
]
