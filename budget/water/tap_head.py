"""The head at the tap: whether the tank feeds it by its height, and whether the pump can fill the tank."""

from budget.declarations import Input, Result
from budget.units import Unit
from budget.water.decision import Decision

INPUTS = [
    Input(
        "base_above_well",
        "Slab's top above the ground at the well",
        Unit.LENGTH,
        "Negative where it lies lower.",
        "0 m",
        low="-100 m",
        high="300 m",
    ),
    Input(
        "base_tap_height",
        "Highest tap above the ground at the well",
        Unit.LENGTH,
        "Negative where it lies lower.",
        "0 m",
        low="-100 m",
        high="300 m",
    ),
    Input(
        "base_outlet_height",
        "Outlet above the slab",
        Unit.WIDTH,
        "The level of a nearly empty tank.",
        "4 in",
        low="0 mm",
        high="3000 mm",
        source="common practice, no source",
    ),
    Input(
        "base_least_pressure",
        "Least pressure wanted at the tap",
        Unit.PRESSURE,
        "While it runs.",
        "20 psi",
        low="0 kPa",
        high="700 kPa",
        source="common practice, no source",
    ),
    Input(
        "base_tap_loss",
        "Lost in the pipe to the tap",
        Unit.LENGTH,
        "Height of water, while the tap runs.",
        "3 ft",
        low="0 m",
        high="100 m",
        source="common practice, no source",
    ),
    Input(
        "base_filling_loss",
        "Lost in the pipe to the tank",
        Unit.LENGTH,
        "Height of water, while the pump runs.",
        "5 ft",
        low="0 m",
        high="100 m",
        source="common practice, no source",
    ),
    Input(
        "base_pump_head",
        "Total head of the pump",
        Unit.LENGTH,
        "From its papers, at its rate; from the water in the well. Empty: not compared.",
        "",
        low="0 m",
        high="500 m",
    ),
]

RESULTS = [
    Result(
        "base_full_depth",
        "Depth of water when full",
        Unit.LENGTH,
        "Capacity over the area of the bottom; not more than the wall.",
        "IF(base_there=1, MIN(base_wall_height, tank_capacity / (volume_per_cube * base_tank_area)), 0)",
    ),
    Result(
        "base_head_full",
        "Head at the tap, tank full",
        Unit.LENGTH,
        "From the tap up to the full water, nothing running; negative: the tap is higher.",
        "IF(base_there=1, base_above_well + base_full_depth - base_tap_height, 0)",
    ),
    Result(
        "base_head_low",
        "Head at the tap, tank nearly empty",
        Unit.LENGTH,
        "From the tap up to the outlet, or to the full water where the outlet lies higher.",
        "IF(base_there=1, base_above_well + MIN(base_outlet_height / depth_per_length, base_full_depth)"
        " - base_tap_height, 0)",
    ),
    Result(
        "base_pressure_full",
        "Pressure there, tank full",
        Unit.PRESSURE,
        "Of that head (2.31 ft to the psi, 9.81 kPa to the metre); 0 where it is negative.",
        "MAX(0, base_head_full) * pressure_per_head",
    ),
    Result(
        "base_pressure_low",
        "Pressure there, tank nearly empty",
        Unit.PRESSURE,
        "As above.",
        "MAX(0, base_head_low) * pressure_per_head",
    ),
    Result(
        "base_feeds_full",
        "Feeds the tap when full",
        Unit.FLAG,
        "1 where the head less what the pipe loses gives the least pressure.",
        "IF(AND(base_there=1,"
        " ROUND((base_head_full - base_tap_loss) * pressure_per_head - base_least_pressure, 6)>=0), 1, 0)",
    ),
    Result(
        "base_feeds_low",
        "Feeds the tap when nearly empty",
        Unit.FLAG,
        "The same with the lower head.",
        "IF(AND(base_there=1,"
        " ROUND((base_head_low - base_tap_loss) * pressure_per_head - base_least_pressure, 6)>=0), 1, 0)",
    ),
    Result(
        "base_filling_head",
        "Head to fill the tank",
        Unit.LENGTH,
        "From the allowed pumping depth to the top of the wall, and what the pipe loses; 0 without a well.",
        "IF(AND(base_there=1, well_there=1),"
        " MAX(0, allowed_pumping_depth + base_above_well + base_wall_height + base_filling_loss), 0)",
    ),
    Result(
        "base_pump_fills",
        "The pump can fill it",
        Unit.FLAG,
        "1 where its total head is typed and is no less.",
        "IF(AND(base_there=1, well_there=1, ISNUMBER(base_pump_head)),"
        " IF(ROUND(base_pump_head - base_filling_head, 6)>=0, 1, 0), 0)",
    ),
]

FEEDS = Decision(
    "tap_verdicts",
    (
        ("base_there=0", '""'),
        ("base_feeds_low=1", '"It feeds the tap by its height, down to the outlet."'),
        ("base_feeds_full=1", '"It feeds the tap by its height when full, not when nearly empty."'),
        (
            "1=1",
            '"It does not feed the tap by its height: the house needs a pressure pump, or less pressure."',
        ),
    ),
)
FILLS = Decision(
    "pump_verdicts",
    (
        ("OR(base_there=0, well_there=0)", '""'),
        (
            "NOT(ISNUMBER(base_pump_head))",
            '" Type the pump\'s total head to see whether it can fill the tank."',
        ),
        ("base_pump_fills=1", '" The pump can lift the water into it."'),
        ("1=1", '" The pump cannot lift the water to its top."'),
    ),
)
VERDICT = Result(
    "base_head_verdict",
    "Head",
    Unit.TEXT,
    "Whether the tank feeds the tap by its height, and whether the pump can fill it.",
    f"{FEEDS.said} & {FILLS.said}",
)
