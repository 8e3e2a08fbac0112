"""Rain off the roofs: into the house's tank, or into a rain tank of the garden's own."""

import numpy as np

from .site import Columns, Site, row_named


def roofs(site: Site) -> tuple[Columns, dict[str, float]]:
    """The roofs' table, and the areas [m²] of all together: as they are, and times the coefficient.

    A coefficient by hand comes before the table's; without either a roof gives nothing.
    """
    table = site.lists["roof_table"]
    out = {name: np.zeros(len(site.lists["roofs"])) for name in ("material_row", "catching_area", "unknown")}
    total = 0.0
    for i, line in enumerate(site.lists["roofs"]):
        area, row = line["area"] or 0.0, row_named(table, "material", line["material"])
        coefficient = line["coefficient"]
        if coefficient is None and row:
            coefficient = table[row - 1]["coefficient"]
        out["material_row"][i] = row
        out["catching_area"][i] = area * (coefficient or 0.0)
        out["unknown"][i] = area > 0 and coefficient is None
        total += area
    return out, {"roof_total_area": total, "roof_catching_area": float(out["catching_area"].sum())}


def roof_catch(rain: np.ndarray, spells: np.ndarray, catching: float, total: float, first_flush: float) -> np.ndarray:
    """Water off the roofs [L] in a month or a day: rain [mm] on the catching area [m²], less the first flush [mm] of
    every rain spell off all of the roofs [m²], never below 0."""
    return np.maximum(0.0, rain * catching - first_flush * spells * total)


def roof(site: Site, found: dict[str, float], rows: Columns, opening: float) -> Columns:
    """What the roofs catch and where it goes [L]; `opening`: water in the garden's rain tank before the first row.

    Only rain, no snow, on the days in service. The rain tank gives what pond leaves to be given, on those days; it is
    emptied with the house's tank.
    """
    share, fallen = rows["service_share"], rows["rain"] - rows["snowfall"]
    areas = found["roof_catching_area"], found["roof_total_area"]
    catch = roof_catch(fallen, rows["rain_spells"], *areas, site.number("roof_first_flush"))
    capacity, goes_to = site.number("roof_tank_capacity"), site.word("roof_goes_to")
    nothing = np.zeros(len(share))
    to_house = share * catch if goes_to == "house tank" and found["tank_usable"] > 0 else nothing
    to_garden = share * catch if goes_to == "garden tank" and capacity > 0 else nothing
    wanted = rows["garden_need"] - rows["garden_from_pond"]
    given, over, stored, holds = (np.zeros(len(share)) for _ in range(4))
    held = opening
    for t in range(len(share)):
        held += to_garden[t]
        holds[t] = held
        given[t] = min(share[t] * wanted[t], held)
        held -= given[t]
        over[t] = held if rows["goes_out"][t] else max(0.0, held - capacity)
        held -= over[t]
        stored[t] = held
    return {
        "roof_catch": catch,
        "roof_to_house": to_house,
        "roof_to_garden": to_garden,
        "roof_before_draws": holds,
        "garden_from_roof": given,
        "roof_spill": over,
        "roof_stored": stored,
        "garden_left": wanted - given,
    }
