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


def kept_at_ends(month: np.ndarray, kept: np.ndarray) -> np.ndarray:
    """Level kept for the house at each month's end [L]: that of the next month's first day."""
    return kept[month.astype(int) % 12]


def balance(
    rows: Columns, filling: np.ndarray, kept_at_end: np.ndarray, usable: float, tank_first: bool, opening: float
) -> Columns:
    """Who gets what, row by row [L]; the house has drawn from the well, pond and the garden's rain tank have given.

    `filling`: 1 where the tank is filled to the top, `kept_at_end`: level kept for the house at the row's end [L], one
    of each a row. The roof's water meets what the well does not give on the days in service, and what it brings beyond
    that stands in the tank. Where the yield rises the house then draws what it still lacks, else when the tank has been
    filled: to the top in a filling month, else so that the kept level is left at the end; before the garden where
    `tank_first`, and with what the garden leaves. The garden has the rest of the well, and of the tank what stands
    above the kept level. The tank is emptied where it goes out.
    """
    names = ("well_left", "house_left", "house_left_in_service", "tank_before_fill", "tank_room")
    names += ("kept_at_end", "tank_target", "tank_claim", "garden_leaves", "tank_fill", "tank_before_draws")
    names += ("garden_from_well", "house_from_tank", "garden_from_tank", "tank_after_draws", "short", "short_drained")
    names += ("garden_given", "garden_dry", "drained", "spill", "stored", "well_unused", "next_month")
    out = {name: np.zeros(len(rows["month"])) for name in names}
    stored = opening
    for t in range(len(rows["month"])):
        month, roof, rises = int(rows["month"][t]), rows["roof_to_house"][t], rows["rises"][t] == 1
        asked, share = rows["garden_left"][t], rows["service_share"][t]
        left = rows["well_yield"][t] - rows["house_from_well"][t]
        unmet = rows["house_need"][t] - rows["house_from_well"][t]
        may_give = share * unmet
        from_roof = min(may_give, roof)
        lack, over = may_give - from_roof, roof - from_roof
        opens = stored + over
        drawn_first = min(lack, stored) if rises else 0.0
        room = max(0.0, usable - (opens - drawn_first))
        drawn_later = 0.0 if rises else lack
        target = usable if filling[t] == 1 else min(usable, kept_at_end[t] + drawn_later)
        # Where more stands in the tank than it may hold there is no room, and the target is reached.
        claim = min(share * left, max(0.0, target - (usable - room))) if tank_first else 0.0
        leaves = max(0.0, share * (left - asked))
        fill = min(room, max(claim, leaves))
        drawn = drawn_first + (0.0 if rises else min(lack, stored + fill))
        house_tank = from_roof + drawn
        holds = stored + roof + fill
        garden_well = min(asked, left - fill)
        garden_tank = min(share * (asked - garden_well), max(0.0, holds - house_tank - kept_at_end[t]))
        remains = holds - house_tank - garden_tank
        spill = max(0.0, remains - usable)
        drained = remains - spill if rows["goes_out"][t] else 0.0
        before_fill = stored + roof
        stored = remains - spill - drained
        given = garden_well + garden_tank + rows["garden_from_pond"][t] + rows["garden_from_roof"][t]
        row = (left, unmet, may_give, before_fill, room, kept_at_end[t], target, claim, leaves, fill, holds)
        row += (garden_well, house_tank, garden_tank, remains, may_give - house_tank, (1 - share) * unmet, given)
        row += (asked - garden_well - garden_tank, drained, spill, stored, left - fill - garden_well, month % 12 + 1)
        for name, value in zip(names, row, strict=True):
            out[name][t] = value
    return out
