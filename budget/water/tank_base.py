"""The tank's base: a slab on gravel, its weight on the ground, what it takes, wind on the empty tank, head at a tap.

A check to take to a licensed engineer and the building office, not a design: the bending of the slab, its bars, frost
and earthquakes are not reckoned. Each part is a noun of its own; together they are the section `base` of the site file.
"""

from budget.water import ground, purchases, slab, tank_shell, tap_head, wind

INPUTS = [
    *tank_shell.INPUTS,
    *ground.INPUTS,
    *slab.INPUTS,
    *purchases.INPUTS,
    *wind.INPUTS,
    *tap_head.INPUTS,
]

VERDICTS = [ground.VERDICT, wind.VERDICT, tap_head.VERDICT]

RESULTS = [
    *tank_shell.RESULTS,
    *slab.RESULTS,
    *ground.RESULTS,
    *purchases.RESULTS,
    *wind.RESULTS,
    *tap_head.RESULTS,
    wind.IN_WINTER,
    *VERDICTS,
]
