"""Rain that a watered bed can use.

Source: USDA NRCS National Engineering Handbook Part 623 Chapter 2 (1993), eq. 2-84 and 2-85. The equation works in
inches a month; it never gives more than the rain or than the crop uses, nor less than nothing.
"""

from budget.declarations import Column
from budget.units import Unit

STORAGE_FACTOR = [
    Column(
        "storage_factor",
        "Storage factor",
        Unit.FINE,
        "Grows with the water the root zone can hold back; held beyond 7 in, where the published curve ends.",
        "0.531747 + 0.295164 * MIN(7, {root_storage} * inches_per_depth)"
        " - 0.057697 * MIN(7, {root_storage} * inches_per_depth)^2"
        " + 0.003804 * MIN(7, {root_storage} * inches_per_depth)^3",
        source="NEH 623 ch. 2, eq. 2-85: 0.531747 + 0.295164 D − 0.057697 D² + 0.003804 D³, D in inches",
    ),
]

COLUMNS = [
    Column(
        "effective_rain",
        "Rain used",
        Unit.DEPTH,
        "Part of rain and melt that the crop can use.",
        "MAX(0, MIN({water_input}, {crop_et}, {zone_workings:storage_factor}"
        " * (0.70917 * (MAX(0, {water_input}) * inches_per_depth)^0.82416 - 0.11556)"
        " * 10^(0.02426 * {crop_et} * inches_per_depth) / inches_per_depth))",
        source="NEH 623 ch. 2, eq. 2-84: SF (0.70917 P^0.82416 − 0.11556) 10^(0.02426 ETc), in inches a month",
    ),
]
