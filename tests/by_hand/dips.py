"""Depths to water measured on known days, against the modelled water table."""

from datetime import date

import numpy as np

from .climate import day_of_serial, last_of_month, serial
from .halves import FIRST_DAYS
from .site import Columns, Site

FEWEST = 4  # dips that rule the fit alone
CHART_YEAR = 2001  # of 365 days


def record_span(ledger: Columns) -> dict[str, float]:
    """First and last day (serial numbers) of the record's months."""
    first_days = ledger["first_day"][ledger["in_record"] == 1]
    return {"record_begins": float(first_days[0]), "record_ends": float(last_of_month(first_days[-1]))}


def month_begun(day: float) -> int:
    """First day of the month that a day falls in, both serial numbers."""
    return serial(day_of_serial(day).replace(day=1))


def record_row(ledger: Columns, day: float) -> int:
    """Row of the ledger (counted from 1) of the record's month that holds a day, 0 where there is none."""
    at = np.flatnonzero((ledger["in_record"] == 1) & (ledger["first_day"] == month_begun(day)))
    return int(at[0]) + 1 if len(at) else 0


def faults(site: Site, line: dict, span: dict[str, float]) -> dict[str, str]:
    """What is wrong with a dip: with what is typed, with its date, with its depth; the first of them counts."""
    day, depth = line["date"], line["depth"]
    found = dict.fromkeys(("unread", "date_fault", "date_twice", "depth_fault"), "")
    if isinstance(day, str) or isinstance(depth, str):
        found["unread"] = "text, not a number"
    elif (day is None) != (depth is None):
        found["unread"] = "date and depth go together"
    if isinstance(day, float):
        if sum(other["date"] == day for other in site.lists["dips"]) > 1:
            found["date_twice"] = found["date_fault"] = "this date is there twice"
        if day > span["record_ends"]:
            found["date_fault"] = "after the record ends"
        if day < span["record_begins"]:
            found["date_fault"] = "before the record begins"
    if isinstance(depth, float):
        if depth < site.number("well_highest_water"):
            found["depth_fault"] = "above the highest water ever seen"
        if depth > site.number("well_depth"):
            found["depth_fault"] = "deeper than the well"
    return found | {"fault": found["unread"] or found["date_fault"] or found["depth_fault"]}


def kept_on(site: Site, ledger: Columns, row: int, day: float) -> float:
    """Share of the height at the beginning of its half month that is left at a day's beginning (linear store)."""
    gone = day - ledger["first_day"][row - 1]
    in_half = gone if gone < FIRST_DAYS else gone - FIRST_DAYS
    return float(np.exp(-in_half / site.number("aquifer_drainage_time")))


def height_on(site: Site, ledger: Columns, row: int, day: float, highest: float) -> float:
    """Modelled height above the floor [m] at a day's beginning, in the half of the month in which the day lies.

    From the end of the month before through days 1 to 15, then from the month's middle (linear store).
    """
    t = row - 1
    gone = day - ledger["first_day"][t]
    recharge_first = ledger["recharge"][t] * share_of_first(ledger, t)
    if gone < FIRST_DAYS:
        recharge, length = recharge_first, FIRST_DAYS
        begins = ledger["water_height"][t - 1] if row > 1 else 0.0
    else:
        recharge, length = ledger["recharge"][t] - recharge_first, ledger["days"][t] - FIRST_DAYS
        begins = ledger["height_middle"][t]
    time = site.number("aquifer_drainage_time")
    held = recharge / 1000 * time / (site.number("aquifer_specific_yield") * length)
    return min(highest, float(held + (begins - held) * kept_on(site, ledger, row, day)))


def share_of_first(ledger: Columns, t: int) -> float:
    """Share of a month's recharge that its first half brings, as of its surplus."""
    return ledger["surplus_first"][t] / ledger["surplus"][t] if ledger["surplus"][t] > 0 else 0.0


def day_in_chart(day: float) -> float:
    """The same day in the chart's year; 29 February is drawn on 1 March."""
    at = day_of_serial(day)
    moved = date(CHART_YEAR, 3, 1) if (at.month, at.day) == (2, 29) else at.replace(year=CHART_YEAR)
    return float(serial(moved))


def dips(site: Site, ledger: Columns, highest: float) -> tuple[Columns, Columns, dict[str, float]]:
    """The dips' table, its workings, and how well the model meets those that count.

    `highest` is the greatest height above the floor [m]. Model less measured: above 0 the water stands lower by the
    model than by the tape.
    """
    lines, span = site.lists["dips"], record_span(ledger)
    names = ("dip_month", "dip_row", "counts", "dip_kept", "dip_height", "dip_modelled", "dip_error", "misfit")
    names += ("drawn_day", "drawn_depth")
    work = {name: np.zeros(len(lines)) for name in names}
    table = {name: np.full(len(lines), "", dtype=object) for name in ("modelled", "model_less_measured")}
    wrong = [faults(site, line, span) for line in lines]
    work |= {name: np.array([found[name] for found in wrong], dtype=object) for name in wrong[0]}
    table["fault"] = work.pop("fault")
    for i, line in enumerate(lines):
        if line["date"] is None or line["depth"] is None:
            continue
        row = record_row(ledger, line["date"])
        work["dip_month"][i], work["dip_row"][i] = month_begun(line["date"]), row
        if not row or table["fault"][i]:
            continue
        work["dip_kept"][i] = kept_on(site, ledger, row, line["date"])
        height = height_on(site, ledger, row, line["date"], highest)
        modelled = site.number("aquifer_floor") - height
        work["counts"][i], work["dip_height"][i] = 1, height
        work["dip_modelled"][i], work["dip_error"][i] = modelled, modelled - line["depth"]
        table["modelled"][i], table["model_less_measured"][i] = modelled, modelled - line["depth"]
        work["misfit"][i] = (modelled - line["depth"]) / site.number("fit_depth_spread")
        work["drawn_day"][i], work["drawn_depth"][i] = day_in_chart(line["date"]), line["depth"]
    counted = work["counts"] == 1
    errors = work["dip_error"][counted]
    results = span | {
        "dips_counted": float(counted.sum()),
        "dips_rule": float(counted.sum() >= FEWEST),
        "deepest_dip": float(work["drawn_depth"].max()),
        "dip_fit_error": float(np.sqrt(np.mean(errors**2))) if len(errors) else 0.0,
    }
    return table, work, results
