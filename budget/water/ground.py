"""The ground that the base stands on: what it is presumed to bear, and what the full tank asks of it."""

from budget.declarations import Input, Result
from budget.units import Unit
from budget.water.decision import Decision

REFERENCE = [
    Input("soil", "Ground", Unit.TEXT, "What the slab's gravel lies on, undisturbed."),
    Input("pressure", "Presumed to bear", Unit.BEARING, "Pressure that is allowed without tests; 0: none."),
    Input("source", "Source", Unit.TEXT, "Where the figure comes from."),
]

INPUTS = [
    Input(
        "base_ground",
        "Ground under the gravel",
        Unit.TEXT,
        "A word of the table below. It holds for ground that nobody dug up or filled.",
        "clay or silt",
        choices="bearing:soil",
    ),
]

RESULTS = [
    Result(
        "base_full_weight",
        "Full, it weighs",
        Unit.WEIGHT,
        "Water to the overflow, tank and slab.",
        "base_water_weight + base_empty_weight + base_slab_weight",
    ),
    Result(
        "base_ground_pressure",
        "Pressure on the ground",
        Unit.BEARING,
        "That weight over the slab's area; that the gravel spreads it is not counted.",
        "IF(base_there=1, base_full_weight * force_per_weight / base_slab_area, 0)",
    ),
    Result(
        "base_bearing",
        "Presumed to bear",
        Unit.BEARING,
        "From the table of grounds; 0: nothing is presumed.",
        "IF(base_there=1, IFERROR(INDEX({bearing:pressure.all}, MATCH(base_ground, {bearing:soil.all}, 0)), 0), 0)",
    ),
    Result(
        "base_bearing_share",
        "Share of it used",
        Unit.SHARE,
        "Pressure over what is presumed; 0 where nothing is.",
        "IF(base_bearing>0, base_ground_pressure / base_bearing, 0)",
    ),
    Result(
        "base_bears",
        "Ground bears it",
        Unit.FLAG,
        "1 where something is presumed, and the pressure is no larger.",
        "IF(AND(base_bearing>0, ROUND(base_bearing - base_ground_pressure, 6)>=0), 1, 0)",
    ),
]

BEARS = Decision(
    "ground_verdicts",
    (
        (
            'AND(base_there=0, missing_base_cells<>"")',
            '"The base is not reckoned: cells are missing, see the warnings on Answers."',
        ),
        ("base_there=0", '"Type the tank\'s diameter, and its capacity on Storage, to reckon its base."'),
        ("base_bearing<=0", '"Nothing is presumed of this ground: an engineer must say what it bears."'),
        (
            "base_bears=1",
            '"Full, it uses " & TEXT(base_bearing_share, "0%") & " of what such ground is presumed to bear, where it is'
            ' undisturbed. The building office has the last word."',
        ),
        (
            "1=1",
            '"Full, it asks " & TEXT(base_bearing_share, "0%") & " of what such ground is presumed to bear: too much.'
            ' A wider slab, other ground, or an engineer."',
        ),
    ),
)
VERDICT = Result(
    "base_ground_verdict",
    "Ground",
    Unit.TEXT,
    "Whether the ground bears the full tank.",
    BEARS.said,
)
