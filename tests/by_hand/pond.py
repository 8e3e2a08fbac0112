"""The pond: how much it holds, and what it gains, loses and gives from month to month.

Shapes: USDA Agriculture Handbook 590, Ponds: planning, design, construction (1997): 0.4 × depth × surface for a bowl,
the prismoidal rule for a pond dug with straight sides. That the surface falls as a power of the water held is the
project's own rule; the power is the one that belongs to the volume.
"""

import numpy as np

from .plan_months import first_so_far, used_up
from .site import Columns, Site, row_named

BOWL = 0.4
LITRES = 1000.0  # in a cubic metre
DIGITS = 6
LEAST = 1e-6  # of the book's unit of volume


def prismoid(top: float, middle: float, bottom: float, depth: float) -> float:
    """Volume between two level surfaces, from the areas at the top, half way and at the bottom."""
    return (top + 4 * middle + bottom) / 6 * depth


def dug_area(site: Site, depth: float) -> float:
    """Surface [m²] of a dug pond with that depth [m] of water in it."""
    sides = site.number("pond_side_slope")
    ends = sides + site.number("pond_ramp_slope", sides)
    length = site.number("pond_bottom_length") + ends * depth
    return length * (site.number("pond_bottom_width") + 2 * sides * depth)


def pond_figures(site: Site) -> dict[str, float]:
    """What does not change: kind, slopes, surface [m²] and water [L] when full, power of the depth, seepage [mm a day],
    water below the keep-level [L]."""
    depth, keep = site.number("pond_depth"), site.number("pond_keep")
    dug = all(site.inputs.get(f"pond_bottom_{side}") is not None for side in ("length", "width"))
    if dug:
        area = dug_area(site, depth)
        full = LITRES * prismoid(area, dug_area(site, depth / 2), dug_area(site, 0.0), depth)
    else:
        area = site.number("pond_area", site.number("pond_length") * site.number("pond_width"))
        full = LITRES * BOWL * depth * area
    shape = LITRES * area * depth / full if full > 0 else 1.0
    sides = site.number("pond_side_slope")
    table = site.lists["pond_soils"]
    row = row_named(table, "pond_soil", site.inputs.get("pond_lies_in"))
    return {
        "pond_dug": float(dug),
        "pond_ends": sides + site.number("pond_ramp_slope", sides),
        "pond_full_area": area,
        "pond_full": full,
        "pond_shape": shape,
        "pond_seepage_used": site.number("pond_seepage", table[row - 1]["seepage"] if row else 0.0),
        "pond_kept": full * min(1.0, keep / depth) ** shape if full > 0 and keep > 0 else 0.0,
    }


def surface(held: float, full: float, full_area: float, shape: float) -> float:
    """Surface [m²] of a pond that holds that much [L]: V grows with depth^m, so the surface with V^((m - 1) / m)."""
    return full_area * (held / full) ** ((shape - 1) / shape) if held > 0 and full > 0 else 0.0


def asked(site: Site, found: dict[str, float], rows: Columns, t: int, area: float) -> tuple[float, float]:
    """What would evaporate and seep [L] in the month from that surface [m²], were there enough."""
    evaporates = site.number("pond_evaporation_factor") * rows["reference_et"][t] * area
    return evaporates, found["pond_seepage_used"] * rows["days"][t] * area


def pond(site: Site, found: dict[str, float], rows: Columns, opening: float) -> Columns:
    """The pond month by month [L]; `found` are its figures, `opening` the water in it [L] before the first row.

    Rain and losses on the surface that the month opens with; then the garden, before the well, down to
    the keep-level; then it runs over.
    """
    names = ("pond_surface", "pond_rain", "pond_runoff", "pond_before_losses", "pond_evaporation", "pond_seeped")
    names += ("pond_after_losses", "garden_from_pond", "pond_spill", "pond_stored", "pond_level", "pond_is_dry")
    count = len(rows["days"])
    out = {name: np.zeros(count) for name in names}
    full, shape = found["pond_full"], found["pond_shape"]
    drains = found["runoff_share"] * site.number("pond_runoff_reaching") * site.number("pond_catchment")
    held = opening
    for t in range(count):
        area = surface(held, full, found["pond_full_area"], shape)
        rain = rows["rain"][t] * area
        runoff = rows["surplus"][t] * drains if full > 0 else 0.0
        held = gained = held + rain + runoff
        evaporates, seeps = asked(site, found, rows, t, area)
        evaporated = min(held, evaporates)
        held -= evaporated
        seeped = min(held, seeps)
        held -= seeped  # one after the other: what is taken to the last drop leaves exactly nothing
        kept = held
        given = min(rows["garden_need"][t], max(0.0, held - found["pond_kept"]))
        held -= given
        over = max(0.0, held - full)
        held -= over
        wet = round(held / site.volume_unit, DIGITS) > 0
        level = site.number("pond_depth") * (held / full) ** (1 / shape) if full > 0 and wet else 0.0
        row = (area, rain, runoff, gained, evaporated, seeped, kept, given, over, held, level)
        row += (float(full > 0 and not wet),)
        for name, value in zip(names, row, strict=True):
            out[name][t] = value
    return out


def dry_dates(site: Site, found: dict[str, float], rows: Columns, opening: float) -> Columns:
    """Date on which the pond falls dry in each month that ends dry, 0 in the others; and the first of them so far.

    What it held and gained lasts as many days of the month as it covers of what evaporates, seeps and is drawn.
    """
    on = np.zeros(len(rows["days"]))
    before = np.concatenate([[opening], rows["pond_stored"][:-1]])
    for t in np.flatnonzero(rows["pond_is_dry"] == 1):
        had = before[t] + rows["pond_rain"][t] + rows["pond_runoff"][t]
        leaves = sum(asked(site, found, rows, t, rows["pond_surface"][t])) + rows["garden_from_pond"][t]
        on[t] = used_up(rows["first_day"][t], rows["days"][t], had, max(LEAST * site.volume_unit, leaves))
    return {"pond_dry_on": on, "pond_fell_dry": first_so_far(on)}
