"""The base of the tank: slab and gravel, what to order, whether ground, wind and height allow it.

Metric: m, m², m³, kg, kN, kPa; widths are typed in mm. Weight presses with standard gravity.
"""

from math import ceil, pi, tan

from .pump import WATER_WEIGHT
from .site import Site, row_named
from .well import well_there
from .years_of_record import ALMOST

GRAVITY = 9.80665e-3  # [kN/kg], standard
PSF = 4.4482216152605e-3 / 0.3048**2  # [kPa], a pound-force on the square foot: NIST SP 811
MPH = 0.44704  # [m/s], the same
LITRES = 1000  # [L/m³], and as many kg of water
PRESSURE_PER_HEAD = WATER_WEIGHT / 1000  # [kPa/m]

WORDS = ("base_ground", "base_shape", "base_anchored")
# What must be typed, in the order of the book, and what it is called there.
NEEDED = {
    "base_tank_share": "Empty tank against its water",
    "base_ground": "Ground under the gravel",
    "base_shape": "Shape of the slab",
    "base_sides": "Sides of a many-sided slab",
    "base_margin": "Margin all round the tank",
    "base_thickness": "Thickness",
    "base_edge_depth": "Whole depth at the edge",
    "base_edge_width": "Width of the thickened edge",
    "base_fall": "Fall of the slab's top",
    "base_concrete_density": "Weight of concrete",
    "base_gravel_depth": "Depth of the gravel",
    "base_gravel_reach": "Gravel beyond the slab",
    "base_layer": "Thickest layer compacted at once",
    "base_settling": "Loose gravel settles by",
    "base_waste": "Waste",
    "base_bag_weight": "Weight of a bag of mix",
    "base_bag_yield": "Concrete from a bag",
    "base_board_length": "Length of a form board",
    "base_stake_spacing": "Stakes, one every",
    "base_edge_bars": "Bars round the edge",
    "base_bar_length": "Length of a bar",
    "base_bar_lap": "Lap of two bars",
    "base_tie_spacing": "Ties, one every",
    "base_mesh_length": "Length of a sheet of mesh",
    "base_mesh_width": "Its width",
    "base_mesh_overlap": "Overlap of two sheets",
    "base_wind_speed": "Wind speed",
    "base_wind_exposure": "Exposure factor Kz",
    "base_wind_terrain": "Terrain factor Kzt",
    "base_wind_direction": "Direction factor Kd",
    "base_wind_gust": "Gust factor G",
    "base_wind_force_factor": "Force coefficient Cf",
    "base_wind_lift_factor": "Lift coefficient of the roof",
    "base_friction": "Friction of tank on concrete",
    "base_safety": "Safety wanted",
    "base_storm_water": "Water that always stays in it",
    "base_anchored": "Anchored",
    "base_anchors": "Anchors on a round slab",
    "base_above_well": "Slab's top above the ground at the well",
    "base_tap_height": "Highest tap above the ground at the well",
    "base_outlet_height": "Outlet above the slab",
    "base_least_pressure": "Least pressure wanted at the tap",
    "base_tap_loss": "Lost in the pipe to the tap",
    "base_filling_loss": "Lost in the pipe to the tank",
}

FIGURES = (
    *("base_there", "base_tank_area", "base_wall_height", "base_empty_weight", "base_water_weight", "base_corners"),
    *("base_plan_factor", "base_width", "base_slab_area", "base_perimeter", "base_side", "base_edge_ring"),
    *("base_concrete", "base_slab_weight", "base_fall_height", "base_gravel", "base_layers", "base_full_weight"),
    *("base_ground_pressure", "base_bearing", "base_bearing_share", "base_bears", "base_concrete_ordered"),
    *("base_bags", "base_bags_weight", "base_concrete_saved", "base_bags_saved", "base_gravel_loose", "base_boards"),
    *("base_stakes", "base_mesh_sheets", "base_bars", "base_ties", "base_wind_pressure", "base_wind_force"),
    *("base_wind_lift", "base_wind_moment", "base_storm_weight", "base_sliding_safety", "base_tipping_safety"),
    *("base_storm_needed", "base_stands", "base_water_needed", "base_water_needed_depth", "base_water_holds"),
    *("base_anchor_count", "base_circle_used", "base_anchor_pull", "base_anchor_shear", "base_full_depth"),
    *("base_head_full", "base_head_low", "base_pressure_full", "base_pressure_low", "base_feeds_full"),
    *("base_feeds_low", "base_filling_head", "base_pump_fills"),
)


def typed(site: Site, key: str) -> float | None:
    """The number in a cell; None where it is empty or holds text."""
    value = site.inputs.get(key)
    return None if value is None or isinstance(value, str) else float(value)


def lacking(site: Site) -> dict[str, list]:
    """Of each cell that a base needs, whether it lacks what it must hold, and the names of those down to it."""
    lacks = [not site.word(key) if key in WORDS else typed(site, key) is None for key in NEEDED]
    names = [f"{title}; " if lack else "" for title, lack in zip(NEEDED.values(), lacks, strict=True)]
    return {
        "lacking": [float(lack) for lack in lacks],
        "lacking_so_far": ["".join(names[: row + 1]) for row in range(len(names))],
    }


def missing(site: Site) -> str:
    """The cells of the base that lack what they must hold, by name; none where the tank has no diameter."""
    return "" if typed(site, "base_tank_diameter") is None else lacking(site)["lacking_so_far"][-1]


def whole(pieces: float) -> float:
    """Pieces to buy: rounded up, but not for a rounding error."""
    return float(ceil(round(pieces, 9)))


def plan(shape: str, sides: float, across: float) -> tuple[float, float]:
    """Area [m²] and perimeter [m] of a slab of that width across the flats [m].

    A regular polygon has n (a/2)² tan(π/n) and n a tan(π/n).
    """
    if shape == "round":
        return pi * (across / 2) ** 2, pi * across
    if shape == "square":
        return across**2, 4 * across
    return sides * (across / 2) ** 2 * tan(pi / sides), sides * across * tan(pi / sides)


def slab_concrete(site: Site, shape: str, across: float) -> tuple[float, float]:
    """Concrete in place [m³] of a slab of that shape and width, and the area of its thickened edge [m²]."""
    thickness, edge_depth, edge_width = (
        site.number(f"base_{key}") / 1000 for key in ("thickness", "edge_depth", "edge_width")
    )
    area, _ = plan(shape, site.number("base_sides"), across)
    inner, _ = plan(shape, site.number("base_sides"), max(0.0, across - 2 * edge_width))
    return area * thickness + (area - inner) * max(0.0, edge_depth - thickness), area - inner


def tank(site: Site, diameter: float) -> dict[str, float]:
    """The tank itself: bottom, wall, weights, depth of water when full."""
    capacity = site.number("tank_capacity")
    bottom = pi * diameter**2 / 4
    height, weight = typed(site, "base_tank_height"), typed(site, "base_tank_weight")
    wall = capacity / LITRES / bottom if height is None else height
    return {
        "base_tank_area": bottom,
        "base_wall_height": wall,
        "base_water_weight": capacity,
        "base_empty_weight": site.number("base_tank_share") * capacity if weight is None else weight,
        "base_full_depth": min(wall, capacity / LITRES / bottom),
    }


def boards(perimeter: float, corners: float, length: float) -> float:
    """Form boards: no board goes round a corner; a long one is cut for as many sides as it gives."""
    if not corners:
        return whole(perimeter / length)
    side, count = perimeter / corners, int(corners)
    if side > length + ALMOST:
        return count * whole(side / length)
    return float(-(-count // int(length / side + ALMOST)))


def slab(site: Site, diameter: float) -> dict[str, float]:
    """Plan, concrete and gravel of the slab, and what to order."""
    number, shape, sides = site.number, site.word("base_shape"), site.number("base_sides")
    width = diameter + 2 * number("base_margin") / 1000
    area, perimeter = plan(shape, sides, width)
    corners = {"round": 0.0, "square": 4.0}.get(shape, sides)
    concrete, ring = slab_concrete(site, shape, width)
    square, _ = slab_concrete(site, "square", width)
    with_waste = 1 + number("base_waste")
    bags, bags_of_square = (whole(cubes * with_waste / number("base_bag_yield")) for cubes in (concrete, square))
    gravel_area, _ = plan(shape, sides, width + 2 * number("base_gravel_reach") / 1000)
    gravel = gravel_area * number("base_gravel_depth") / 1000
    overlap = number("base_mesh_overlap") / 1000
    sheet = (number("base_mesh_length") - overlap) * (number("base_mesh_width") - overlap)
    round_edge = number("base_edge_bars") * perimeter
    return {
        "base_corners": corners,
        "base_plan_factor": plan(shape, sides, 1.0)[0],
        "base_width": width,
        "base_slab_area": area,
        "base_perimeter": perimeter,
        "base_side": perimeter / corners if corners else 0.0,
        "base_edge_ring": ring,
        "base_concrete": concrete,
        "base_slab_weight": concrete * number("base_concrete_density"),
        "base_fall_height": number("base_fall") * width,
        "base_gravel": gravel,
        "base_layers": whole(number("base_gravel_depth") / number("base_layer")),
        "base_concrete_ordered": concrete * with_waste,
        "base_bags": bags,
        "base_bags_weight": bags * number("base_bag_weight"),
        "base_concrete_saved": (square - concrete) * with_waste,
        "base_bags_saved": bags_of_square - bags,
        "base_gravel_loose": gravel / (1 - number("base_settling")),
        "base_boards": boards(perimeter, corners, number("base_board_length")),
        "base_stakes": whole(perimeter / number("base_stake_spacing")) + corners,
        "base_mesh_sheets": whole(area * with_waste / sheet),
        "base_bars": whole(round_edge / (number("base_bar_length") - number("base_bar_lap"))),
        "base_ties": whole(round_edge / number("base_tie_spacing")),
    }


def ground(site: Site, found: dict[str, float]) -> dict[str, float]:
    """What the full tank asks of the ground, beside what is presumed of it [kPa]."""
    weight = found["base_water_weight"] + found["base_empty_weight"] + found["base_slab_weight"]
    pressure = weight * GRAVITY / found["base_slab_area"]
    table = site.lists["bearing"]
    row = row_named(table, "soil", site.inputs.get("base_ground"))
    presumed = float(table[row - 1]["pressure"] or 0.0) if row else 0.0
    return {
        "base_full_weight": weight,
        "base_ground_pressure": pressure,
        "base_bearing": presumed,
        "base_bearing_share": pressure / presumed if presumed > 0 else 0.0,
        "base_bears": float(presumed > 0 and pressure <= presumed + ALMOST),
    }


def drained_for_frost(site: Site) -> bool:
    """Whether the tank stands empty in winter."""
    return site.word("tank_in_service") == "between the dates"


def wind(site: Site, found: dict[str, float], diameter: float, least: float) -> dict[str, float]:
    """Wind on the empty or nearly empty tank [kN, kN m] and what holds it: ASCE 7, and the statics of a stiff body.

    It slides where the push is more than the friction of what weighs on the slab; it tips about its toe.
    """
    number, wall, empty = site.number, found["base_wall_height"], found["base_empty_weight"]
    exposure, terrain, direction = (number(f"base_wind_{key}") for key in ("exposure", "terrain", "direction"))
    pressure = 0.00256 * exposure * terrain * direction * (number("base_wind_speed") / MPH) ** 2 * PSF
    gusting = pressure * number("base_wind_gust")
    push = gusting * number("base_wind_force_factor") * diameter * wall
    lift = gusting * number("base_wind_lift_factor") * found["base_tank_area"]
    tips, radius = push * wall / 2, diameter / 2
    capacity = number("tank_capacity")
    stays = 0.0 if drained_for_frost(site) else min(number("base_storm_water"), number("tank_below_outlet") + least)
    weighs = empty + stays
    friction, safety = number("base_friction"), number("base_safety")
    slides = push + friction * lift
    turns = tips + lift * radius
    holds = safety * (lift + max(push / friction, tips / radius)) / GRAVITY
    lacks = min(capacity, max(0.0, holds - empty))
    return {
        "base_wind_pressure": pressure,
        "base_wind_force": push,
        "base_wind_lift": lift,
        "base_wind_moment": tips,
        "base_storm_weight": weighs,
        "base_sliding_safety": friction * weighs * GRAVITY / slides if slides > ALMOST else 0.0,
        "base_tipping_safety": weighs * GRAVITY * radius / turns if turns > ALMOST else 0.0,
        "base_storm_needed": holds,
        "base_stands": float(weighs >= holds - ALMOST),
        "base_water_needed": lacks,
        "base_water_needed_depth": lacks / LITRES / found["base_tank_area"],
        "base_water_holds": float(empty + capacity >= holds - ALMOST),
    }


def anchors(site: Site, found: dict[str, float], diameter: float) -> dict[str, float]:
    """Anchors of an upright cylinder: 4 M/(N d) - W/N each, and an even share of the push [kN].

    0 where the tank stands by its weight; a negative pull is no pull.
    """
    count = found["base_corners"] or site.number("base_anchors")
    circle = typed(site, "base_anchor_circle")
    circle = diameter + site.number("base_margin") / 1000 if circle is None else max(circle, diameter)
    safety, weight = site.number("base_safety"), found["base_storm_weight"] * GRAVITY
    tips, lifts = safety * found["base_wind_moment"], safety * found["base_wind_lift"]
    pull = 4 * tips / (count * circle) + (lifts - weight) / count
    stands = found["base_stands"] == 1
    return {
        "base_anchor_count": count,
        "base_circle_used": circle,
        "base_anchor_pull": 0.0 if stands else max(0.0, pull),
        "base_anchor_shear": 0.0 if stands else safety * found["base_wind_force"] / count,
    }


def heads(site: Site, found: dict[str, float], allowed_depth: float) -> dict[str, float]:
    """Heights of water [m] and pressures [kPa] at the tap, and what the pump must lift; heights count from the ground
    at the well, the pump draws down to the allowed depth below it."""
    number, well = site.number, well_there(site)
    floor = number("base_above_well")
    full = floor + found["base_full_depth"] - number("base_tap_height")
    low = floor + min(number("base_outlet_height") / 1000, found["base_full_depth"]) - number("base_tap_height")
    to_fill = floor + found["base_wall_height"] + allowed_depth + number("base_filling_loss") if well else 0.0
    lifts = typed(site, "base_pump_head")

    def feeds(head: float) -> float:
        left = (head - number("base_tap_loss")) * PRESSURE_PER_HEAD
        return float(left >= number("base_least_pressure") - ALMOST)

    return {
        "base_head_full": full,
        "base_head_low": low,
        "base_pressure_full": max(0.0, full) * PRESSURE_PER_HEAD,
        "base_pressure_low": max(0.0, low) * PRESSURE_PER_HEAD,
        "base_feeds_full": feeds(full),
        "base_feeds_low": feeds(low),
        "base_filling_head": to_fill,
        "base_pump_fills": float(well and lifts is not None and lifts >= to_fill - ALMOST),
    }


def tank_base(site: Site, allowed_depth: float, least: float) -> dict[str, float]:
    """Every figure of the base; all are 0 where it is not reckoned. `allowed_depth`: of pumping, below the ground;
    `least`: what the plan leaves in the tank with less water [L], above the outlet."""
    diameter = typed(site, "base_tank_diameter")
    if not diameter or site.number("tank_capacity") <= 0 or missing(site):
        return dict.fromkeys(FIGURES, 0.0)
    found = {"base_there": 1.0} | tank(site, diameter) | slab(site, diameter)
    found |= ground(site, found) | wind(site, found, diameter, least)
    return found | anchors(site, found, diameter) | heads(site, found, allowed_depth)
