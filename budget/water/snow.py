"""Snow on the ground: what fell as snow waits there and melts by degree-days.

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

COLUMNS = [
    Column("snowfall", "Snowfall", Unit.DEPTH, "Water that falls as snow.", "{snow_share} * {rain}"),
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
        "MAX(0, {snowpack.before} + {snowfall} - snow_melt_rate * {degree_days})",
        opening="0",
    ),
    Column(
        "water_input",
        "Rain and melt",
        Unit.DEPTH,
        "Water that reaches the ground.",
        "{rain} - {snowfall} + {melt}",
    ),
]
