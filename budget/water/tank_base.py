"""The tank's base: a slab on gravel, its weight on the ground, what it takes, wind on the empty tank, head at a tap.

A check to take to a licensed engineer and the building office, not a design: the bending of the slab, its bars, frost
and earthquakes are not reckoned. The slab's plan is a circle, a square or a regular polygon. All of them are drawn
round a circle, so that one figure serves area and perimeter: area = f a², perimeter = 4 f a with a the width across
the flats, f = (n/4) tan(π/n) for n sides, 1 for the square and π/4 for the circle.
"""

from budget.declarations import Input, Result
from budget.units import Unit

ROUND, SQUARE, MANY_SIDED = "round", "square", "many-sided"
COMMON = "common practice, no source"

REFERENCE = [
    Input("soil", "Ground", Unit.TEXT, "What the slab's gravel lies on, undisturbed."),
    Input("pressure", "Presumed to bear", Unit.BEARING, "Pressure that is allowed without tests; 0: none."),
    Input("source", "Source", Unit.TEXT, "Where the figure comes from."),
]

# ---------------------------------------------------------------- what is typed, section by section

TANK = [
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
        source=COMMON,
    ),
]

GROUND = [
    Input(
        "base_ground",
        "Ground under the gravel",
        Unit.TEXT,
        "A word of the table below. It holds for ground that nobody dug up or filled.",
        "clay or silt",
        choices="bearing:soil",
    ),
]

SLAB = [
    Input(
        "base_shape",
        "Shape of the slab",
        Unit.TEXT,
        "A round one needs bent strips for forms, the others straight boards.",
        SQUARE,
        choices=(ROUND, SQUARE, MANY_SIDED),
    ),
    Input(
        "base_sides", "Sides of a many-sided slab", Unit.COUNT, "Counts for that shape alone.", "8", low="5", high="24"
    ),
    Input(
        "base_margin",
        "Margin all round the tank",
        Unit.WIDTH,
        "From the tank's wall to the flats of the slab.",
        "12 in",
        low="0 mm",
        high="3000 mm",
        source=COMMON,
    ),
    Input(
        "base_thickness", "Thickness", Unit.WIDTH, "Of the slab.", "6 in", low="50 mm", high="1000 mm", source=COMMON
    ),
    Input(
        "base_edge_depth",
        "Whole depth at the edge",
        Unit.WIDTH,
        "Of the thickened edge, from the top. Not more than the thickness: the edge is not thickened.",
        "12 in",
        low="0 mm",
        high="2000 mm",
        source=COMMON,
    ),
    Input(
        "base_edge_width",
        "Width of the thickened edge",
        Unit.WIDTH,
        "Inwards from the flats.",
        "12 in",
        low="0 mm",
        high="2000 mm",
        source=COMMON,
    ),
    Input(
        "base_fall",
        "Fall of the slab's top",
        Unit.SLOPE,
        "To the drain, for rain. A maker who wants his tank level: 0.",
        "0.125 in/ft",
        low="0 mm/m",
        high="30 mm/m",
        source=COMMON,
    ),
    Input(
        "base_concrete_density",
        "Weight of concrete",
        Unit.DENSITY,
        "With its steel.",
        "150 lb/cu ft",
        low="1500 kg/m**3",
        high="3000 kg/m**3",
        source=COMMON,
    ),
    Input(
        "base_gravel_depth",
        "Depth of the gravel",
        Unit.WIDTH,
        "Compacted, under the slab.",
        "6 in",
        low="0 mm",
        high="2000 mm",
        source=COMMON,
    ),
    Input(
        "base_gravel_reach",
        "Gravel beyond the slab",
        Unit.WIDTH,
        "All round, from the flats.",
        "12 in",
        low="0 mm",
        high="3000 mm",
        source=COMMON,
    ),
    Input(
        "base_layer",
        "Thickest layer compacted at once",
        Unit.WIDTH,
        "Less for a light machine.",
        "4 in",
        low="25 mm",
        high="500 mm",
        source=COMMON,
    ),
    Input(
        "base_settling",
        "Loose gravel settles by",
        Unit.SHARE,
        "Of its loose volume, when it is compacted.",
        "0.15",
        low="0",
        high="0.5",
        source=COMMON,
    ),
]

PURCHASES = [
    Input("base_waste", "Waste", Unit.SHARE, "On top of concrete and mesh.", "0.1", low="0", high="0.5", source=COMMON),
    Input(
        "base_bag_weight",
        "Weight of a bag of mix",
        Unit.WEIGHT,
        "Dry.",
        "80 lb",
        low="1 kg",
        high="2000 kg",
        source=COMMON,
    ),
    Input(
        "base_bag_yield",
        "Concrete from a bag",
        Unit.CUBE,
        "From its label: an 80 lb bag about 0.60 ft³ (17 L), a 60 lb bag 0.45 ft³ (12.7 L).",
        "0.60 cu ft",
        low="0.001 m**3",
        high="2 m**3",
        source="common practice, no source; recalled",
    ),
    Input(
        "base_board_length",
        "Length of a form board",
        Unit.LENGTH,
        "As it is sold.",
        "8 ft",
        low="0.5 m",
        high="10 m",
        source=COMMON,
    ),
    Input(
        "base_stake_spacing",
        "Stakes, one every",
        Unit.LENGTH,
        "Along the forms.",
        "2 ft",
        low="0.2 m",
        high="3 m",
        source=COMMON,
    ),
    Input(
        "base_edge_bars",
        "Bars round the edge",
        Unit.COUNT,
        "How many, one beside or above the other.",
        "2",
        low="0",
        high="12",
        source=COMMON,
    ),
    Input(
        "base_bar_length",
        "Length of a bar",
        Unit.LENGTH,
        "As it is sold.",
        "20 ft",
        low="3 m",
        high="20 m",
        source=COMMON,
    ),
    Input(
        "base_bar_lap",
        "Lap of two bars",
        Unit.LENGTH,
        "Where one follows the other.",
        "2 ft",
        low="0 m",
        high="2 m",
        source=COMMON,
    ),
    Input(
        "base_tie_spacing",
        "Ties, one every",
        Unit.LENGTH,
        "Along each bar.",
        "2 ft",
        low="0.1 m",
        high="3 m",
        source=COMMON,
    ),
    Input(
        "base_mesh_length",
        "Length of a sheet of mesh",
        Unit.LENGTH,
        "As it is sold.",
        "10 ft",
        low="1 m",
        high="20 m",
        source=COMMON,
    ),
    Input("base_mesh_width", "Its width", Unit.LENGTH, "As above.", "5 ft", low="1 m", high="5 m", source=COMMON),
    Input(
        "base_mesh_overlap",
        "Overlap of two sheets",
        Unit.WIDTH,
        "Taken off the sheet's length and width.",
        "6 in",
        low="0 mm",
        high="500 mm",
        source=COMMON,
    ),
]

WIND = [
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
        source=COMMON,
    ),
    Input(
        "base_safety",
        "Safety wanted",
        Unit.NUMBER,
        "Against sliding and against tipping: so many times the wind is borne.",
        "1.5",
        low="1",
        high="5",
        source=COMMON,
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

HEAD = [
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
        source=COMMON,
    ),
    Input(
        "base_least_pressure",
        "Least pressure wanted at the tap",
        Unit.PRESSURE,
        "While it runs.",
        "20 psi",
        low="0 kPa",
        high="700 kPa",
        source=COMMON,
    ),
    Input(
        "base_tap_loss",
        "Lost in the pipe to the tap",
        Unit.LENGTH,
        "Height of water, while the tap runs.",
        "3 ft",
        low="0 m",
        high="100 m",
        source=COMMON,
    ),
    Input(
        "base_filling_loss",
        "Lost in the pipe to the tank",
        Unit.LENGTH,
        "Height of water, while the pump runs.",
        "5 ft",
        low="0 m",
        high="100 m",
        source=COMMON,
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

INPUTS = [*TANK, *GROUND, *SLAB, *PURCHASES, *WIND, *HEAD]

# ---------------------------------------------------------------- what is found, section by section

TANK_FOUND = [
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
        source="geometry",
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

SLAB_FOUND = [
    Result(
        "base_corners",
        "Corners",
        Unit.COUNT,
        "4 of a square, the sides of a many-sided slab, 0 of a round one.",
        f'IF(base_there=0, 0, IF(base_shape="{SQUARE}", 4, IF(base_shape="{MANY_SIDED}", base_sides, 0)))',
        source="geometry",
    ),
    Result(
        "base_plan_factor",
        "Area over the square of the width",
        Unit.FINE,
        "n/4 times tan(π/n) for n sides; 1 for a square; π/4 for a circle.",
        f'IF(base_there=0, 0, IF(base_shape="{SQUARE}", 1, IF(base_shape="{MANY_SIDED}",'
        " base_sides / 4 * TAN(PI() / base_sides), PI() / 4)))",
        source="geometry: a regular polygon has n (a/2)² tan(π/n), a across the flats; its perimeter is n a tan(π/n)",
    ),
    Result(
        "base_width",
        "Width of the slab",
        Unit.LENGTH,
        "Across the flats: the tank and the margin on both sides.",
        "IF(base_there=1, base_tank_diameter + 2 * base_margin / depth_per_length, 0)",
        source="geometry",
    ),
    Result(
        "base_slab_area",
        "Area of the slab",
        Unit.AREA,
        "Factor times the square of the width.",
        "base_plan_factor * base_width^2",
        source="geometry",
    ),
    Result(
        "base_perimeter",
        "Round the slab",
        Unit.LENGTH,
        "Perimeter: 4 times factor times width.",
        "4 * base_plan_factor * base_width",
        source="geometry",
    ),
    Result(
        "base_side",
        "Length of a side",
        Unit.LENGTH,
        "Perimeter over corners; 0 of a round slab.",
        "IF(base_corners>0, base_perimeter / base_corners, 0)",
    ),
    Result(
        "base_edge_ring",
        "Area of the thickened edge",
        Unit.AREA,
        "The slab, less the same plan narrower by two widths of the edge.",
        "IF(base_there=1, base_plan_factor"
        " * (base_width^2 - MAX(0, base_width - 2 * base_edge_width / depth_per_length)^2), 0)",
        source="geometry",
    ),
    Result(
        "base_concrete",
        "Concrete in place",
        Unit.CUBE,
        "Slab times thickness, and the ring times what the edge is deeper; without waste.",
        "IF(base_there=1, (base_slab_area * base_thickness"
        " + base_edge_ring * MAX(0, base_edge_depth - base_thickness)) / depth_per_length, 0)",
        source="geometry",
    ),
    Result(
        "base_slab_weight",
        "Weight of the slab",
        Unit.WEIGHT,
        "Concrete in place times its weight.",
        "IF(base_there=1, base_concrete * base_concrete_density, 0)",
    ),
    Result(
        "base_fall_height",
        "One side lower by",
        Unit.WIDTH,
        "Fall times width.",
        "IF(base_there=1, base_fall * base_width, 0)",
    ),
    Result(
        "base_gravel",
        "Gravel in place",
        Unit.BULK,
        "Compacted: the slab's plan wider by two reaches, times the depth.",
        "IF(base_there=1, base_plan_factor * (base_width + 2 * base_gravel_reach / depth_per_length)^2"
        " * base_gravel_depth / depth_per_length * bulk_per_cube, 0)",
        source="geometry",
    ),
    Result(
        "base_layers",
        "Layers of gravel",
        Unit.COUNT,
        "Each compacted before the next: depth over the thickest layer, rounded up.",
        "IF(base_there=1, ROUNDUP(ROUND(base_gravel_depth / base_layer, 9), 0), 0)",
    ),
]

GROUND_FOUND = [
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

PURCHASES_FOUND = [
    Result(
        "base_concrete_ordered",
        "Concrete to order",
        Unit.BULK,
        "In place, and the waste; as loads are counted.",
        "IF(base_there=1, base_concrete * (1 + base_waste) * bulk_per_cube, 0)",
    ),
    Result(
        "base_bags",
        "or bags of mix",
        Unit.COUNT,
        "In place, and the waste, over the yield; rounded up.",
        "IF(base_there=1, ROUNDUP(ROUND(base_concrete * (1 + base_waste) / base_bag_yield, 9), 0), 0)",
    ),
    Result(
        "base_bags_weight",
        "which weigh",
        Unit.WEIGHT,
        "Bags times their weight.",
        "IF(base_there=1, base_bags * base_bag_weight, 0)",
    ),
    Result(
        "base_concrete_saved",
        "A square would take more concrete",
        Unit.BULK,
        "A square slab of the same width takes 1/factor as much; with the waste.",
        "IF(base_there=1, base_concrete_ordered * (1 / base_plan_factor - 1), 0)",
    ),
    Result(
        "base_bags_saved",
        "A square would take more bags",
        Unit.COUNT,
        "Bags of the square, rounded up, less these.",
        "IF(base_there=1, ROUNDUP(ROUND(base_concrete * (1 + base_waste) / base_plan_factor / base_bag_yield, 9), 0)"
        " - base_bags, 0)",
    ),
    Result(
        "base_gravel_loose",
        "Gravel to order, loose",
        Unit.BULK,
        "In place, over what is left of 1 when the settling is taken off.",
        "IF(base_there=1, base_gravel / (1 - base_settling), 0)",
    ),
    Result(
        "base_boards",
        "Form boards",
        Unit.COUNT,
        "A whole board, or several, for each side; of a board longer than a side as many sides as it gives. For a round"
        " slab strips that bend, over its perimeter.",
        "IF(base_there=0, 0, IF(base_corners=0, ROUNDUP(ROUND(base_perimeter / base_board_length, 9), 0),"
        " IF(ROUND(base_side - base_board_length, 9)>0,"
        " base_corners * ROUNDUP(ROUND(base_side / base_board_length, 9), 0),"
        " ROUNDUP(base_corners / INT(ROUND(base_board_length / base_side, 9)), 0))))",
    ),
    Result(
        "base_stakes",
        "Stakes",
        Unit.COUNT,
        "Perimeter over their spacing, rounded up, and one a corner.",
        "IF(base_there=1, ROUNDUP(ROUND(base_perimeter / base_stake_spacing, 9), 0) + base_corners, 0)",
    ),
    Result(
        "base_mesh_sheets",
        "Sheets of mesh",
        Unit.COUNT,
        "Slab's area and the waste over a sheet less its overlaps, rounded up.",
        "IF(base_there=1, ROUNDUP(ROUND(base_slab_area * (1 + base_waste)"
        " / ((base_mesh_length - base_mesh_overlap / depth_per_length)"
        " * (base_mesh_width - base_mesh_overlap / depth_per_length)), 9), 0), 0)",
    ),
    Result(
        "base_bars",
        "Bars",
        Unit.COUNT,
        "Bars round the edge times perimeter over a bar less its lap, rounded up.",
        "IF(base_there=1, ROUNDUP(ROUND(base_edge_bars * base_perimeter / (base_bar_length - base_bar_lap), 9), 0), 0)",
    ),
    Result(
        "base_ties",
        "Ties",
        Unit.COUNT,
        "Bars round the edge times perimeter over their spacing, rounded up; for the mesh, more.",
        "IF(base_there=1, ROUNDUP(ROUND(base_edge_bars * base_perimeter / base_tie_spacing, 9), 0), 0)",
    ),
]

WIND_FOUND = [
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
        source="statics",
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
        source="statics",
    ),
    Result(
        "base_storm_needed",
        "Weight that would stand",
        Unit.WEIGHT,
        "With the safety wanted: safety times lift and the larger of push over friction and moment over radius.",
        "IF(base_there=1, base_safety * (base_wind_lift + MAX(base_wind_force / base_friction,"
        " 2 * base_wind_moment / base_tank_diameter)) / force_per_weight, 0)",
        source="statics",
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

HEAD_FOUND = [
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

VERDICTS = [
    Result(
        "base_ground_verdict",
        "Ground",
        Unit.TEXT,
        "Whether the ground bears the full tank.",
        'IF(base_there=0, IF(missing_base_cells<>"",'
        ' "The base is not reckoned: cells are missing, see the warnings on Answers.",'
        ' "Type the tank\'s diameter, and its capacity on Storage, to reckon its base."),'
        ' IF(base_bearing<=0, "Nothing is presumed of this ground: an engineer must say what it bears.",'
        ' IF(base_bears=1, "Full, it uses " & TEXT(base_bearing_share, "0%") & " of what such ground is presumed to'
        ' bear, where it is undisturbed. The building office has the last word.",'
        ' "Full, it asks " & TEXT(base_bearing_share, "0%") & " of what such ground is presumed to bear: too much.'
        ' A wider slab, other ground, or an engineer.")))',
    ),
    Result(
        "base_wind_verdict",
        "Wind",
        Unit.TEXT,
        "Whether wind moves or tips the tank, with the water that always stays in it.",
        'IF(base_there=0, "", IF(base_stands=1,'
        ' IF(ROUND(base_storm_weight - base_empty_weight, 6)>0, "With the water that always stays in it, the tank",'
        ' "The tank, even empty,") & " stands in this wind.",'
        ' IF(base_anchored="yes",'
        ' "Anchors must hold the tank in this wind: the upright pull and the shear of each stand below.",'
        " IF(base_water_holds=1,"
        ' "This wind can move or tip the tank when it is low: keep the water said below in it, or anchor it.",'
        ' "This wind can move or tip the tank even when full: it must be anchored."))'
        ' & IF(tank_in_service="between the dates",'
        ' " Drained for frost it stands empty all winter, when only anchors help.", "")))',
    ),
    Result(
        "base_head_verdict",
        "Head",
        Unit.TEXT,
        "Whether the tank feeds the tap by its height, and whether the pump can fill it.",
        'IF(base_there=0, "", IF(base_feeds_low=1, "It feeds the tap by its height, down to the outlet.",'
        ' IF(base_feeds_full=1, "It feeds the tap by its height when full, not when nearly empty.",'
        ' "It does not feed the tap by its height: the house needs a pressure pump, or less pressure."))'
        ' & IF(well_there=0, "", IF(NOT(ISNUMBER(base_pump_head)),'
        ' " Type the pump\'s total head to see whether it can fill the tank.",'
        ' IF(base_pump_fills=1, " The pump can lift the water into it.",'
        ' " The pump cannot lift the water to its top."))))',
    ),
]

RESULTS = [
    *TANK_FOUND,
    *SLAB_FOUND,
    *GROUND_FOUND,
    *PURCHASES_FOUND,
    *WIND_FOUND,
    *HEAD_FOUND,
    *VERDICTS,
]
