"""The slab under the tank, on gravel: its plan, its concrete, its weight.

The plan is a circle, a square or a regular polygon. All of them are drawn round a circle, so that one figure serves
area and perimeter: area = f a², perimeter = 4 f a with a the width across the flats, f = (n/4) tan(π/n) for n sides,
1 for the square and π/4 for the circle. The bending of the slab and its bars are not reckoned.
"""

from budget.declarations import Input, Result
from budget.units import Unit

ROUND, SQUARE, MANY_SIDED = "round", "square", "many-sided"

INPUTS = [
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
        source="common practice, no source",
    ),
    Input(
        "base_thickness",
        "Thickness",
        Unit.WIDTH,
        "Of the slab.",
        "6 in",
        low="50 mm",
        high="1000 mm",
        source="common practice, no source",
    ),
    Input(
        "base_edge_depth",
        "Whole depth at the edge",
        Unit.WIDTH,
        "Of the thickened edge, from the top. Not more than the thickness: the edge is not thickened.",
        "12 in",
        low="0 mm",
        high="2000 mm",
        source="common practice, no source",
    ),
    Input(
        "base_edge_width",
        "Width of the thickened edge",
        Unit.WIDTH,
        "Inwards from the flats.",
        "12 in",
        low="0 mm",
        high="2000 mm",
        source="common practice, no source",
    ),
    Input(
        "base_fall",
        "Fall of the slab's top",
        Unit.SLOPE,
        "To the drain, for rain. A maker who wants his tank level: 0.",
        "0.125 in/ft",
        low="0 mm/m",
        high="30 mm/m",
        source="common practice, no source",
    ),
    Input(
        "base_concrete_density",
        "Weight of concrete",
        Unit.DENSITY,
        "With its steel.",
        "150 lb/cu ft",
        low="1500 kg/m**3",
        high="3000 kg/m**3",
        source="common practice, no source",
    ),
    Input(
        "base_gravel_depth",
        "Depth of the gravel",
        Unit.WIDTH,
        "Compacted, under the slab.",
        "6 in",
        low="0 mm",
        high="2000 mm",
        source="common practice, no source",
    ),
    Input(
        "base_gravel_reach",
        "Gravel beyond the slab",
        Unit.WIDTH,
        "All round, from the flats.",
        "12 in",
        low="0 mm",
        high="3000 mm",
        source="common practice, no source",
    ),
    Input(
        "base_layer",
        "Thickest layer compacted at once",
        Unit.WIDTH,
        "Less for a light machine.",
        "4 in",
        low="25 mm",
        high="500 mm",
        source="common practice, no source",
    ),
    Input(
        "base_settling",
        "Loose gravel settles by",
        Unit.SHARE,
        "Of its loose volume, when it is compacted.",
        "0.15",
        low="0",
        high="0.5",
        source="common practice, no source",
    ),
]

RESULTS = [
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
        source="geometry: diameter + 2 × margin",
    ),
    Result(
        "base_slab_area",
        "Area of the slab",
        Unit.AREA,
        "Factor times the square of the width.",
        "base_plan_factor * base_width^2",
        source="geometry: factor × width^2",
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
        source="geometry: factor × (width^2 − (width − 2 × edge width)^2)",
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
        source="geometry: factor × (width + 2 × reach)^2 × depth",
    ),
    Result(
        "base_layers",
        "Layers of gravel",
        Unit.COUNT,
        "Each compacted before the next: depth over the thickest layer, rounded up.",
        "IF(base_there=1, ROUNDUP(ROUND(base_gravel_depth / base_layer, 9), 0), 0)",
    ),
]
