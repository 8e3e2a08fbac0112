"""What the tank stands on."""

from budget.declarations import Check

BASE = [
    Check(
        "base_missing",
        "Cells of the tank base filled in",
        "Where the tank has a diameter, every input of its base holds a number, or a word of its list.",
        'missing_base_cells<>""',
        '"The tank base is not reckoned: these cells are empty, or hold text where a number goes: "'
        " & missing_base_cells",
    ),
    Check(
        "base_size",
        "Tank of the base holds its water",
        "The capacity is no more than diameter and wall hold.",
        "AND(base_there=1, ROUND(tank_capacity - volume_per_cube * base_tank_area * base_wall_height, 6)>0)",
        '"The tank cannot hold its capacity: look at its diameter and height on Tank base."',
        "stop",
    ),
    Check(
        "base_capacity",
        "Tank of the base has a capacity",
        "Where it has a diameter it has a capacity.",
        "AND(ISNUMBER(base_tank_diameter), tank_capacity<=0)",
        '"The tank of the base has a diameter, but no capacity on Storage."',
    ),
    Check(
        "base_ground",
        "Ground bears the tank",
        "The full tank presses no more on the ground than is presumed for it.",
        "AND(base_there=1, base_bears=0)",
        'IF(base_bearing<=0, "Nothing is presumed of the ground under the tank base: an engineer must say what it'
        ' bears.", "The full tank presses more on the ground than is presumed for it: see Tank base.")',
    ),
    Check(
        "base_wind",
        "Tank stands in the wind",
        "It stands by its weight and the water that always stays in it, or it is anchored.",
        'AND(base_there=1, base_stands=0, base_anchored="no")',
        '"Wind can move or tip the tank when it is " & IF(tank_in_service="all year",'
        ' "low: see Tank base, anchor it, or keep more water in it.",'
        ' "empty, as it is all winter: see Tank base, and anchor it.")',
    ),
    Check(
        "base_pump",
        "Pump fills the tank",
        "The pump's total head, where it is typed, lifts the water to the tank's top.",
        "AND(base_there=1, well_there=1, ISNUMBER(base_pump_head), base_pump_fills=0)",
        '"The pump cannot lift the water to the top of the tank: see Tank base."',
    ),
]
