"""The tank: what it holds, when it is filled, and who gets what."""

import numpy as np

from .climate import by_calendar_month
from .site import Columns, Site


def tank_sizes(site: Site) -> dict[str, float]:
    """Usable capacity between outlet and overflow, and the reserve within it [L]."""
    usable = max(0.0, site.number("tank_capacity") - site.number("tank_below_outlet"))
    return {
        "tank_usable": usable,
        "reserve_used": min(site.number("tank_reserve"), usable),
        "tank_water_weight": site.number("tank_capacity"),
    }


def filling_months(site: Site, ledger: Columns) -> Columns:
    """Means by calendar month and the months in which the tank is filled, found and in use, shape (12,).

    Found: in service, and the well gives the house its need twice over on the mean (common practice, no source).
    """
    month, in_record = ledger["month"], ledger["in_record"]
    mean_yield = by_calendar_month(ledger["well_yield"], month, in_record)
    mean_daily = by_calendar_month(ledger["daily_yield"], month, in_record)
    mean_need = by_calendar_month(ledger["house_need"], month, in_record)
    mean_service = by_calendar_month(ledger["service_share"], month, in_record)
    found = ((mean_service > 0) & (mean_yield - 2 * mean_need >= 0)).astype(float)
    used = np.array([f if typed is None else float(typed) for f, typed in zip(found, site.filling, strict=True)])
    return {
        "mean_yield": mean_yield,
        "mean_daily_yield": mean_daily,
        "mean_need": mean_need,
        "mean_service": mean_service,
        "filling_found": found,
        "filling_used": used,
    }


def kept_for_house(site: Site, ledger: Columns, usable: float) -> Columns:
    """Level kept for the house on each calendar month's first day [L], found and in use, shape (12,).

    Found: the upper envelope of the required levels in the years that count (own rule).
    A hand value replaces it. Both at most the usable capacity.
    """
    top = by_calendar_month(ledger["kept_candidate"], ledger["month"], ledger["in_record"], np.max)
    found = np.minimum(usable, top)
    used = [f if typed is None else min(usable, float(typed)) for f, typed in zip(found, site.kept, strict=True)]
    return {"kept_found": found, "kept_used": np.array(used)}


def balance(
    rows: Columns,
    filling: np.ndarray,
    kept: np.ndarray,
    usable: float,
    tank_first: bool,
    opening: float,
) -> Columns:
    """Who gets what, row by row [L]; pond and the garden's rain tank have given before.

    The roof's water into the tank; house from the well; tank up to its target (before the garden where `tank_first`);
    garden from the well; what is
    still left tops up the tank; house from the tank; garden from what the tank holds above the level kept for the
    house at the month's end. The tank counts its share in service of the month, and is emptied where it goes out.
    """
    names = ("house_from_well", "well_left", "house_left", "house_left_in_service", "tank_before_fill", "tank_room")
    names += ("kept_at_end", "tank_target", "tank_claim", "garden_leaves", "tank_fill", "tank_before_draws")
    names += ("garden_from_well", "house_from_tank", "garden_from_tank", "tank_after_draws", "short", "short_drained")
    names += ("garden_given", "garden_dry", "drained", "spill", "stored", "well_unused", "next_month")
    out = {name: np.zeros(len(rows["month"])) for name in names}
    stored = opening
    for t in range(len(rows["month"])):
        month = int(rows["month"][t])
        need, gives, asked = rows["house_need"][t], rows["well_yield"][t], rows["garden_left"][t]
        share = rows["service_share"][t]
        kept_at_end = kept[month % 12]
        from_well = min(need, gives)
        left = gives - from_well
        opens = stored + rows["roof_to_house"][t]
        room = max(0.0, usable - opens)
        target = usable if filling[month - 1] == 1 else kept_at_end
        first_claim = min(share * left, max(0.0, target - opens)) if tank_first else 0.0
        leaves = max(0.0, share * (left - asked))
        fill = min(room, max(first_claim, leaves))
        holds = opens + fill
        garden_well = min(asked, left - fill)
        unmet = need - from_well
        house_tank = min(share * unmet, holds)
        above_kept = max(0.0, holds - house_tank - kept_at_end)
        garden_tank = min(share * (asked - garden_well), above_kept)
        remains = holds - house_tank - garden_tank
        spill = max(0.0, remains - usable)
        drained = remains - spill if rows["goes_out"][t] else 0.0
        stored = remains - spill - drained
        row = (from_well, left, unmet, share * unmet, opens, room, kept_at_end, target, first_claim, leaves)
        row += (fill, holds, garden_well, house_tank, garden_tank, remains)
        given = garden_well + garden_tank + rows["garden_from_pond"][t] + rows["garden_from_roof"][t]
        row += (share * unmet - house_tank, (1 - share) * unmet, given)
        row += (
            asked - garden_well - garden_tank,
            drained,
            spill,
            stored,
            left - fill - garden_well,
            month % 12 + 1,
        )
        for name, value in zip(names, row, strict=True):
            out[name][t] = value
    return out
