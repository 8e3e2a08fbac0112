"""One plan year lived again, month by month, with the dates that follow."""

import numpy as np

from .rule_curve import house_steps, required_levels
from .site import Columns
from .years_of_record import ALMOST, rounded

SPARE_DIGITS = 6  # of the book's unit of volume


def first_so_far(dates: np.ndarray) -> np.ndarray:
    """The first date above 0 among the rows so far, 0 before it."""
    out = np.zeros(len(dates))
    for t, value in enumerate(dates):
        earlier = out[t - 1] if t else 0.0
        out[t] = earlier if earlier > 0 else value
    return out


def untouched(rows: Columns, opening: float, usable: float) -> np.ndarray:
    """Level [L] at each month's end if nothing were pumped into the tank from the plan year's beginning on.

    The roof's water comes all the same, and what the well lacks goes.
    """
    level = np.zeros(len(rows["house_left_in_service"]))
    held = opening
    for t, lack in enumerate(rows["house_left_in_service"]):
        stays = rows["days_in_service"][t] > 0 and rows["goes_out"][t] == 0
        held = min(usable, max(0.0, held + rows["roof_to_house"][t] - lack)) if stays else 0.0
        level[t] = held
    return level


def peaks(level: np.ndarray, first_service_day: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Highest level so far [L] and the first day in service of the month that reached it."""
    peak, on = np.zeros(len(level)), np.zeros(len(level))
    highest, day = 0.0, 0.0
    for t, value in enumerate(level):
        if value > highest + ALMOST:
            day = first_service_day[t]
        highest = max(highest, value)
        peak[t], on[t] = highest, day
    return peak, on


def used_up(begins: float, days: float, held: float, drawn: float) -> float:
    """Day (serial number) on which what is held [L] is gone, where so much [L] is drawn evenly over the days."""
    return begins + days * min(1.0, held / drawn)


def share_covered(lack: float, covered: float, spare: float, rises: bool) -> float:
    """Share of a month's days after which the tank has given what it has for a lack, of which it covers a share.

    The lack grows or dwindles along a straight line, as the yield does, and so does the spare water [L] on the other
    days: two triangles on one line, whose bases are to each other as the roots of their areas. Of a growing lack the
    share z lasts √z of its days, of a dwindling one 1 - √(1 - z). Where nothing is spare the lack is spread evenly.
    """
    if spare <= 0:
        return covered
    base = np.sqrt(lack) / (np.sqrt(lack) + np.sqrt(spare))
    return float(base * (1 - np.sqrt(1 - covered)) if rises else 1 - base + base * np.sqrt(covered))


def run_out_dates(rows: Columns, unit: float = 1.0) -> np.ndarray:
    """Date in each month on which well and tank are both empty for the house, 0 where it is not short in service.

    Spare water is told from none to the sixth decimal of the book's volume `unit` [L].
    """
    steps = house_steps(rows)
    spare = rows["service_share"] * rows["well_left"]
    from_roof = np.minimum(rows["house_left_in_service"], rows["roof_to_house"])
    given = rows["house_from_tank"] - from_roof
    dates = np.zeros(len(given))
    for t in np.flatnonzero(rows["short"] > ALMOST):
        covered = min(1.0, given[t] / steps.lack[t])
        left = spare[t] if round(float(spare[t]) / unit, SPARE_DIGITS) > 0 else 0.0
        lasts = share_covered(steps.lack[t], covered, left, rows["rises"][t] == 1)
        dates[t] = rows["first_service_day"][t] + rows["days_in_service"][t] * lasts
    return dates


def emptied(rows: Columns) -> np.ndarray:
    """Last day in service of the month that last went out of service, 0 before any did."""
    out, day = np.zeros(len(rows["goes_out"])), 0.0
    for t in range(len(out)):
        if rows["goes_out"][t]:
            day = rows["service_to"][t]
        out[t] = day
    return out


def start(
    rows: Columns, filling: np.ndarray, usable: float, reserve: float, opening: float, unit: float = 1.0
) -> Columns:
    """When filling must begin at the latest, when the tank must be full, when it runs out and is drained.

    The level to reach counts the well's spare water in filling months only, the roof's always. The latest start lies in
    the first filling month with spare at whose end the level to reach stands above the untouched one: its last day in
    service less the gap over the spare of a day.
    """
    serves = rows["days_in_service"] > 0
    filling_now = (serves & (filling[rows["month"].astype(int) - 1] == 1)).astype(float)
    last = rows["goes_out"].copy()
    last[-1] = 1
    level = required_levels(house_steps(rows, filling_now), serves, last, reserve, usable)
    without = untouched(rows, opening, usable)
    spare = rows["well_left"] / rows["days"]
    gap = np.append(level[1:], 0.0) - without
    begin = np.zeros(len(level))
    for t in range(len(level)):
        if filling_now[t] and rounded(spare[t], unit) > 0 and rounded(gap[t], unit) > 0:
            begin[t] = rows["last_service_day"][t] - gap[t] / spare[t]
    peak, peak_on = peaks(level, rows["first_service_day"])
    out_on = run_out_dates(rows, unit)
    filled = np.where(filling_now == 1, rows["daily_yield"], np.inf)
    lowest_filling = np.minimum.accumulate(filled)
    kept_in = np.where(serves & (rows["goes_out"] == 0), rows["stored"], np.inf)
    at_end = np.where(last == 1, 0.0, np.append(rows["required_level"][1:], 0.0))
    yield_key = np.array([rounded(value, unit) for value in rows["daily_yield"]])
    return {
        "yield_key": yield_key,
        "required_at_end": at_end,
        "filling_so_far": np.cumsum(filling_now),
        "lowest_filling": np.where(np.isinf(lowest_filling), 0.0, lowest_filling),
        "lowest_level": np.minimum(usable, np.minimum.accumulate(kept_in)),
        "filling_now": filling_now,
        "stays_in": (serves & (rows["goes_out"] == 0)).astype(float),
        "start_level": level,
        "untouched_level": without,
        "spare_a_day": spare,
        "start_gap": gap,
        "start_on": begin,
        "started": first_so_far(begin),
        "peak_level": peak,
        "peak_on": peak_on,
        "out_on": out_on,
        "ran_out": first_so_far(out_on),
        "emptied_on": emptied(rows),
    }
