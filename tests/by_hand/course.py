"""The course of the well's yield through the month, and what the house takes of it day by day.

The yield a day is known at the month's beginning, after day 15 and at its end, and runs straight between. So a month
may lack water on some days and have some to spare on others: what is spare before the lack can be stored for it, what
comes after it cannot.
"""

import numpy as np

from .halves import FIRST_DAYS, in_turn
from .pump import MINUTES
from .site import Columns, Site
from .well import column_at_test, well_there

DIGITS = 6  # of the book's unit of volume a day


def slope(site: Site, rows: Columns, storage: float) -> np.ndarray:
    """Yield a day for each metre of drawdown at hand [L/day per m], `storage` in L per m of the bore.

    The yield is the month's in use, typed or found. Where no drawdown is at hand: the limit of yield ÷ drawdown as it
    vanishes. A run is then short against the rest, takes the water between restart and stop, and so many of them fit a
    day. Without inflow, or without a well, 0.
    """
    window, restart = site.number("pump_window") * MINUTES, site.number("pump_restart")
    out = np.zeros(len(rows["days"]))
    for t, (inflow, at_hand) in enumerate(zip(rows["season_inflow"], rows["available_drawdown"], strict=True)):
        if not well_there(site):
            continue
        if at_hand > 0:
            out[t] = rows["daily_yield"][t] / at_hand
        elif inflow > 0:
            rest = storage / inflow * np.log(1 / restart)
            runs = min(24 * MINUTES / rest, (window + rest) / rest, site.number("pump_most_runs"))
            out[t] = storage * (1 - restart) * runs
    return out


def falls(site: Site, column: float) -> float:
    """Share of the inflow at the test that is left with so much standing water [m]: 1 through the bottom."""
    tested = column_at_test(site)
    if site.word("well_water_enters") != "walls" or tested <= 0:
        return 1.0
    return min(1.0, max(0.0, column) / tested)


def yield_at(site: Site, rows: Columns, height: np.ndarray, allowed: float) -> np.ndarray:
    """Yield a day [L/day] where the water table stands at `height` [m], from each month's mean along its slope.

    Where a depth or a take is typed for the calendar month: the month's yield.
    """
    most = site.number("pump_rate") * site.number("pump_window") * MINUTES
    out = rows["daily_yield"].astype(float)
    for t, month in enumerate(rows["month"].astype(int)):
        if site.monthly_depth[month - 1] is not None:
            continue
        if site.safe_take[month - 1] is not None and well_there(site):
            continue
        rise = height[t] - rows["mean_height"][t]
        at_hand = max(0.0, allowed - rows["depth_to_water"][t] + rise)
        at_mean = falls(site, rows["water_column"][t])
        inflow = falls(site, rows["water_column"][t] + rise) / at_mean if at_mean > 0 else 0.0
        out[t] = min(most, rows["yield_slope"][t] * at_hand * inflow)
    return out


def before(values: np.ndarray, opening: float) -> np.ndarray:
    """Each row's value at its beginning: the end of the row before."""
    return np.concatenate([[opening], values[:-1]])


def safe_takes(rows: Columns, opening: float) -> np.ndarray:
    """What may safely be pumped a day [L/day] in each half of the months, in order of time: the lower end of its yield.

    `opening`: yield a day at the first row's beginning [L/day].
    """
    begins = before(rows["yield_end"], opening)
    return in_turn(np.minimum(begins, rows["yield_middle"]), np.minimum(rows["yield_middle"], rows["yield_end"]))


def mean_above_zero(begins: float, ends: float) -> float:
    """Mean of max(0, ·) along the straight line between two values: a trapezium, or the triangle above zero."""
    if begins * ends >= 0:
        return max(0.0, (begins + ends) / 2)
    top = max(begins, ends)
    return top / abs(begins - ends) * top / 2


def house_from_well(rows: Columns, opening: float) -> Columns:
    """What the house takes from the well in the month [L]: its need less what the yield lacks on each day of a half.

    `opening`: yield a day [L/day] at the first row's beginning. Never more than the month gives on its mean.
    """
    first = before(rows["yield_end"], opening)
    out = {key: np.zeros(len(first)) for key in ("lack_first", "lack_rest", "house_from_well")}
    for t, days in enumerate(rows["days"]):
        a_day = rows["house_need"][t] / days
        at = a_day - first[t], a_day - rows["yield_middle"][t], a_day - rows["yield_end"][t]
        out["lack_first"][t] = FIRST_DAYS * mean_above_zero(at[0], at[1])
        out["lack_rest"][t] = (days - FIRST_DAYS) * mean_above_zero(at[1], at[2])
        lacks = out["lack_first"][t] + out["lack_rest"][t]
        out["house_from_well"][t] = min(rows["house_need"][t], rows["well_yield"][t], rows["house_need"][t] - lacks)
    return out


def yields_within(site: Site, rows: Columns, storage: float, allowed: float) -> Columns:
    """Slope [L/day per m], and yield a day at the middle and the end of the month [L/day]."""
    found = {"yield_slope": slope(site, rows, storage)}
    found["yield_middle"] = yield_at(site, rows | found, rows["height_middle"], allowed)
    found["yield_end"] = yield_at(site, rows | found, rows["water_height"], allowed)
    return found


def course(site: Site, rows: Columns, storage: float, allowed: float, opening: float) -> Columns:
    """The yield within the month, what the house lacks and takes of it [L], and whether it rises.

    `opening`: yield a day at the first row's beginning [L/day]; 0 where the water stands at the floor. Where the yield
    rises the lack comes before the spare water, else after it.
    """
    found = yields_within(site, rows, storage, allowed)
    found |= house_from_well(rows | found, opening)
    gain = (found["yield_end"] - before(found["yield_end"], opening)) / site.volume_unit
    found["rises"] = np.array([float(round(float(value), DIGITS) > 0) for value in gain])
    return found
