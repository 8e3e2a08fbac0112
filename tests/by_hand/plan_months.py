"""One plan year lived again, month by month, with the dates that follow."""

import numpy as np

from .rule_curve import required_levels
from .site import Columns
from .years_of_record import ALMOST, rounded


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
    level = np.zeros(len(rows["house_net"]))
    held = opening
    for t, net in enumerate(rows["house_net"] + rows["roof_to_house"]):
        stays = rows["days_in_service"][t] > 0 and rows["goes_out"][t] == 0
        held = min(usable, max(0.0, held + rows["roof_to_house"][t] - max(0.0, net))) if stays else 0.0
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


def run_out_dates(rows: Columns, opening: float) -> np.ndarray:
    """Date in each month on which well and tank are both empty for the house, 0 where it is not short in service.

    The tank's water lasts that share of the days in service that it covers of what the well does not give.
    """
    before = np.concatenate([[opening], rows["stored"][:-1]])
    dates = np.zeros(len(before))
    for t in np.flatnonzero(rows["short"] > ALMOST):
        asked = rows["service_share"][t] * (rows["house_need"][t] - rows["house_from_well"][t])
        held = before[t] + rows["roof_to_house"][t] + rows["tank_fill"][t]
        in_service = rows["days"][t] * rows["service_share"][t]
        dates[t] = used_up(rows["first_service_day"][t], in_service, held, asked)
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
    service less the gap
    over the spare of a day.
    """
    serves = rows["days_in_service"] > 0
    filling_now = (serves & (filling[rows["month"].astype(int) - 1] == 1)).astype(float)
    last = rows["goes_out"].copy()
    last[-1] = 1
    well_net = rows["house_net"] + rows["roof_to_house"]
    net = np.where(well_net > 0, rows["house_net"], filling_now * well_net - rows["roof_to_house"])
    level = required_levels(net, serves, last, reserve, usable)
    without = untouched(rows, opening, usable)
    spare = np.maximum(0.0, rows["well_yield"] - rows["house_need"]) / rows["days"]
    gap = np.append(level[1:], 0.0) - without
    begin = np.zeros(len(level))
    for t in range(len(level)):
        if filling_now[t] and spare[t] > 0 and gap[t] > 0:
            begin[t] = rows["last_service_day"][t] - gap[t] / spare[t]
    peak, peak_on = peaks(level, rows["first_service_day"])
    out_on = run_out_dates(rows, opening)
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
