"""The tank as a body that stands on its base: diameter, wall, what it weighs empty and full.

Its capacity is an input of the noun `tank`. Where no diameter is typed no base is reckoned, and every figure of the
base is 0 (`base_there`).
"""

from budget.declarations import Input, Result
from budget.units import Unit

INPUTS = [
    Input(
        "base_tank_diameter",
        "Diameter of the tank",
        Unit.LENGTH,
        "Of a round upright tank. Empty: no base is reckoned. Its capacity stands on Storage.",
        "",
        low="0.3 m",
        high="12 m",
    ),
    Input(
        "base_tank_height",
        "Height of its wall",
        Unit.LENGTH,
        "Empty: capacity over the area of the diameter.",
        "",
        low="0.3 m",
        high="12 m",
    ),
    Input(
        "base_tank_weight",
        "Weight of the empty tank",
        Unit.WEIGHT,
        "From its papers. Empty: the share below of its water.",
        "",
        low="0 kg",
        high="50000 kg",
    ),
    Input(
        "base_tank_share",
        "Empty tank against its water",
        Unit.SHARE,
        "By weight, where none is typed. A light plastic tank: the careful side for wind.",
        "0.02",
        low="0",
        high="1",
        source="common practice, no source",
    ),
]

RESULTS = [
    Result(
        "base_there",
        "Base reckoned",
        Unit.FLAG,
        "1 where the tank has a diameter and a capacity, and no cell is missing; else every figure here is 0.",
        'IF(AND(ISNUMBER(base_tank_diameter), base_tank_diameter>0, tank_capacity>0, missing_base_cells=""), 1, 0)',
    ),
    Result(
        "base_tank_area",
        "Area of the tank's bottom",
        Unit.AREA,
        "Of the circle.",
        "IF(base_there=1, PI() / 4 * base_tank_diameter^2, 0)",
        source="geometry: π/4 × diameter^2",
    ),
    Result(
        "base_wall_height",
        "Height of the wall, in use",
        Unit.LENGTH,
        "As typed, or capacity over the area of the bottom.",
        "IF(base_there=1, IF(ISNUMBER(base_tank_height), base_tank_height,"
        " tank_capacity / (volume_per_cube * base_tank_area)), 0)",
        source="geometry",
    ),
    Result(
        "base_empty_weight",
        "Weight of the empty tank, in use",
        Unit.WEIGHT,
        "As typed, or the share of the weight of the water to the overflow.",
        "IF(base_there=1, IF(ISNUMBER(base_tank_weight), base_tank_weight,"
        " base_tank_share * tank_capacity * weight_per_volume), 0)",
    ),
    Result(
        "base_water_weight",
        "Weight of the water",
        Unit.WEIGHT,
        "To the overflow: the capacity, at 1 kg to the litre (8.345 lb to the gallon).",
        "IF(base_there=1, tank_capacity * weight_per_volume, 0)",
    ),
]
