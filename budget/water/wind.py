"""The wind on the empty tank: whether it slides or tips, the water that holds it, the pull on its anchors."""

from budget.declarations import Input, Result
from budget.units import Unit
from budget.water.decision import Decision

INPUTS = [
    Input(
        "base_wind_speed",
        "Wind speed",
        Unit.SPEED,
        "Gust of 3 seconds, of the local code, with its load factor in it; the safety below comes on top. Ask the"
        " building office: coasts and hills have more.",
        "115 mph",
        low="10 mph",
        high="250 mph",
        source="ASCE 7-10, ordinary buildings in much of the country; recalled",
    ),
    Input(
        "base_wind_exposure",
        "Exposure factor Kz",
        Unit.NUMBER,
        "0.85: open country, up to 15 ft (4.6 m) above the ground; 0.98 at 30 ft (9.1 m). 1.03 beside open water.",
        "0.85",
        low="0.5",
        high="2",
        source="ASCE 7-10 table 29.3-1: 0.85 exposure C, 1.03 exposure D (read in a secondary text)",
    ),
    Input(
        "base_wind_terrain",
        "Terrain factor Kzt",
        Unit.NUMBER,
        "1 on flat land; more on a crest or a ridge.",
        "1",
        low="1",
        high="3",
        source="ASCE 7-10 section 26.8; recalled",
    ),
    Input(
        "base_wind_direction",
        "Direction factor Kd",
        Unit.NUMBER,
        "1 for round tanks in newer editions of the code, 0.95 in older ones.",
        "1",
        low="0.5",
        high="1",
        source="ASCE 7-16 table 26.6-1: 1 for round tanks; ASCE 7-10: 0.95 (both read in secondary texts)",
    ),
    Input(
        "base_wind_gust",
        "Gust factor G",
        Unit.NUMBER,
        "For stiff things.",
        "0.85",
        low="0.5",
        high="2",
        source="ASCE 7-10 section 26.9; recalled",
    ),
    Input(
        "base_wind_force_factor",
        "Force coefficient Cf",
        Unit.NUMBER,
        "Of an upright cylinder as high as wide: about 0.5 smooth, 0.7 with ribs, 0.8 with deep ones.",
        "0.7",
        low="0.3",
        high="2",
        source="ASCE 7-10 figure 29.5-1; recalled",
    ),
    Input(
        "base_wind_lift_factor",
        "Lift coefficient of the roof",
        Unit.NUMBER,
        "Suction on the whole roof: the stronger of its zones. 0 for a tank without a roof.",
        "0.8",
        low="0",
        high="2",
        source="ASCE 7-16 section 29.4, roofs of round tanks; recalled",
    ),
    Input(
        "base_friction",
        "Friction of tank on concrete",
        Unit.NUMBER,
        "Plastic on dry concrete; less when wet.",
        "0.3",
        low="0.05",
        high="1",
        source="common practice, no source",
    ),
    Input(
        "base_safety",
        "Safety wanted",
        Unit.NUMBER,
        "Against sliding and against tipping: so many times the wind is borne.",
        "1.5",
        low="1",
        high="5",
        source="common practice, no source",
    ),
    Input(
        "base_storm_water",
        "Water that always stays in it",
        Unit.VOLUME,
        "0: the tank may stand empty. Counts nothing where the tank is drained for frost: it stands empty all winter.",
        "0 gal",
        low="0 gal",
        high="1000000 L",
    ),
    Input(
        "base_anchored",
        "Anchored",
        Unit.TEXT,
        "Whether anchors hold it that take the pull and the shear below, as its maker says.",
        "no",
        choices=("no", "yes"),
    ),
    Input(
        "base_anchors",
        "Anchors on a round slab",
        Unit.COUNT,
        "Other slabs have one at each corner.",
        "4",
        low="3",
        high="48",
    ),
    Input(
        "base_anchor_circle",
        "Circle of the anchors",
        Unit.LENGTH,
        "Its diameter. Empty: the tank's and one margin, half way out to the flats.",
        "",
        low="0.3 m",
        high="20 m",
    ),
]

RESULTS = [
    Result(
        "base_wind_pressure",
        "Wind pressure",
        Unit.BEARING,
        "q = 0.00256 Kz Kzt Kd V², in lb/ft² with V in miles an hour.",
        "IF(base_there=1, 0.00256 * base_wind_exposure * base_wind_terrain * base_wind_direction"
        " * (base_wind_speed * mph_per_speed)^2 / psf_per_bearing, 0)",
        source="ASCE 7-10 eq. 27.3-1: 0.00256 Kz Kzt Kd V²",
    ),
    Result(
        "base_wind_force",
        "Wind pushes",
        Unit.FORCE,
        "q G Cf times diameter times height of the wall; at half that height.",
        "IF(base_there=1, base_wind_pressure * base_wind_gust * base_wind_force_factor * base_tank_diameter"
        " * base_wall_height, 0)",
        source="ASCE 7-10 eq. 29.5-1: F = q G Cf A",
    ),
    Result(
        "base_wind_lift",
        "Wind lifts",
        Unit.FORCE,
        "q G times lift coefficient times area of the bottom; at the tank's middle.",
        "IF(base_there=1, base_wind_pressure * base_wind_gust * base_wind_lift_factor * base_tank_area, 0)",
        source="own rule, after ASCE 7-16 section 29.4",
    ),
    Result(
        "base_wind_moment",
        "Wind tips",
        Unit.MOMENT,
        "The push times half the height; without the lift.",
        "base_wind_force * base_wall_height / 2",
        source="statics: force × height / 2",
    ),
    Result(
        "base_storm_weight",
        "Tank in a storm weighs",
        Unit.WEIGHT,
        "Empty tank and the water that always stays, at most what the plan leaves with less water; none where the tank"
        " is drained for frost.",
        'IF(base_there=1, base_empty_weight + IF(tank_in_service="all year",'
        " MIN(base_storm_water, tank_below_outlet + tank_least_left), 0)"
        " * weight_per_volume, 0)",
    ),
    Result(
        "base_sliding_safety",
        "Safety against sliding",
        Unit.NUMBER,
        "Friction times weight, over push and friction times lift; 0 where there is no wind.",
        "IF(base_there=0, 0, IF(ROUND(base_wind_force + base_friction * base_wind_lift, 9)>0, base_friction"
        " * base_storm_weight * force_per_weight / (base_wind_force + base_friction * base_wind_lift), 0))",
        source="statics",
    ),
    Result(
        "base_tipping_safety",
        "Safety against tipping",
        Unit.NUMBER,
        "About the toe: weight times radius, over tipping moment and lift times radius; 0 where there is no wind.",
        "IF(ROUND(base_wind_moment + base_wind_lift, 9)>0, base_storm_weight * force_per_weight * base_tank_diameter"
        " / 2 / (base_wind_moment + base_wind_lift * base_tank_diameter / 2), 0)",
        source="statics: weight × diameter / 2 over moment + lift × diameter / 2",
    ),
    Result(
        "base_storm_needed",
        "Weight that would stand",
        Unit.WEIGHT,
        "With the safety wanted: safety times lift and the larger of push over friction and moment over radius.",
        "IF(base_there=1, base_safety * (base_wind_lift + MAX(base_wind_force / base_friction,"
        " 2 * base_wind_moment / base_tank_diameter)) / force_per_weight, 0)",
        source="statics: safety × (lift + the larger of force / friction and 2 × moment / diameter)",
    ),
    Result(
        "base_stands",
        "Stands in the wind",
        Unit.FLAG,
        "1 where the tank weighs as much: both safeties are the wanted one or more. Anchors are not counted.",
        "IF(AND(base_there=1, ROUND(base_storm_weight - base_storm_needed, 6)>=0), 1, 0)",
    ),
    Result(
        "base_water_needed",
        "Water that holds it",
        Unit.VOLUME,
        "What the empty tank lacks of that weight, as water; at most the capacity.",
        "MIN(tank_capacity, MAX(0, base_storm_needed - base_empty_weight) / weight_per_volume)",
    ),
    Result(
        "base_water_needed_depth",
        "which is a depth of",
        Unit.LENGTH,
        "In the tank: keep it, or anchor the tank.",
        "IF(base_there=1, base_water_needed / (volume_per_cube * base_tank_area), 0)",
    ),
    Result(
        "base_water_holds",
        "Full, it stands",
        Unit.FLAG,
        "1 where the tank with all its water has the safeties wanted.",
        "IF(AND(base_there=1, ROUND(base_empty_weight + base_water_weight - base_storm_needed, 6)>=0), 1, 0)",
    ),
    Result(
        "base_anchor_count",
        "Anchors",
        Unit.COUNT,
        "One a corner; on a round slab as typed.",
        "IF(base_there=1, IF(base_corners>0, base_corners, base_anchors), 0)",
    ),
    Result(
        "base_circle_used",
        "Circle of the anchors, in use",
        Unit.LENGTH,
        "Diameter as typed, not less than the tank's; or the tank's and one margin.",
        "IF(base_there=1, IF(ISNUMBER(base_anchor_circle), MAX(base_tank_diameter, base_anchor_circle),"
        " base_tank_diameter + base_margin / depth_per_length), 0)",
    ),
    Result(
        "base_anchor_pull",
        "Pull on an anchor",
        Unit.FORCE,
        "4 M/(N d) + (lift − weight)/N, moment M and lift times the safety; 0 where it stands without."
        " Straight up: a cable at a slant"
        " pulls more, by 1 over the sine of its slope.",
        "IF(AND(base_there=1, base_stands=0), MAX(0, (4 * base_safety * base_wind_moment / base_circle_used"
        " + base_safety * base_wind_lift - base_storm_weight * force_per_weight) / base_anchor_count), 0)",
        source="anchors of an upright cylinder: 4 M/(N d) − W/N; recalled",
    ),
    Result(
        "base_anchor_shear",
        "Shear on an anchor",
        Unit.FORCE,
        "Push times the safety over all anchors, without friction; 0 where it stands without.",
        "IF(AND(base_there=1, base_stands=0), base_safety * base_wind_force / base_anchor_count, 0)",
    ),
]

STANDS = Decision(
    "wind_verdicts",
    (
        ("base_there=0", '""'),
        (
            "AND(base_stands=1, ROUND(base_storm_weight - base_empty_weight, 6)>0)",
            '"With the water that always stays in it, the tank stands in this wind."',
        ),
        ("base_stands=1", '"The tank, even empty, stands in this wind."'),
        (
            'base_anchored="yes"',
            '"Anchors must hold the tank in this wind: the upright pull and the shear of each stand below."',
        ),
        (
            "base_water_holds=1",
            '"This wind can move or tip the tank when it is low: keep the water said below in it, or anchor it."',
        ),
        ("1=1", '"This wind can move or tip the tank even when full: it must be anchored."'),
    ),
)
IN_WINTER = Result(
    "base_wind_in_winter",
    "Wind in winter",
    Unit.TEXT,
    "Said where the tank does not stand by itself and is drained for frost.",
    'IF(AND(base_there=1, base_stands=0, tank_in_service="between the dates"),'
    ' " Drained for frost it stands empty all winter, when only anchors help.", "")',
)
VERDICT = Result(
    "base_wind_verdict",
    "Wind",
    Unit.TEXT,
    "Whether wind moves or tips the tank, with the water that always stays in it.",
    f"{STANDS.said} & base_wind_in_winter",
)
