"""This year: the calendar of the plan year, and the rain that has fallen in it."""

from calendar import month_name, monthrange
from datetime import date, timedelta

import numpy as np

from .climate import calendar, day_of_serial, serial
from .service import date_in_year
from .site import Columns, Site


def first_of(year: int, month: int) -> date:
    """The first day of a month; `month` may run past 12."""
    return date(year + (month - 1) // 12, (month - 1) % 12 + 1, 1)


def on_this_year(site: Site, data: Columns, first_month: int, scale: float, own_rain: bool) -> Columns:
    """Twelve rows of the record on the calendar of the plan year; with this year's rain [mm] where `own_rain`."""
    rows = dict(data)
    month = data["month"].astype(int)
    year = int(site.number("plan_number")) + (month < first_month)
    rows["year"] = year.astype(float)
    rows["days"] = np.array([float(monthrange(y, m)[1]) for y, m in zip(year, month, strict=True)])
    rows["wet_days"] = np.minimum(rows["days"], data["wet_days"])
    rows |= calendar(rows, first_month, scale)
    if own_rain:
        fallen = [site.rain_so_far[m - 1] for m in month]
        rows["rain"] = np.array([r if f is None else f for r, f in zip(rows["rain"], fallen, strict=True)])
    return rows


def so_far(site: Site, first_month: int, scale: float, plan: Columns) -> tuple[Columns, Columns]:
    """The twelve calendar months of this year: when they fall, what fell, what the plan counts; and what is typed."""
    position = [int(np.flatnonzero(plan["month"] == m)[0]) for m in range(1, 13)]
    number, as_of = int(site.number("plan_number")), day_of_serial(site.number("plan_as_of"))
    falls = [number + (m < first_month) for m in range(1, 13)]
    typed = [value is not None for value in site.rain_so_far]
    over = [first_of(y, m + 1) <= as_of + timedelta(days=1) for y, m in zip(falls, range(1, 13), strict=True)]
    shown = {
        "falls_in": np.array(falls, dtype=float),
        "planning_rain": plan["rain_recorded"][position] * scale,
        "rain_counted": plan["rain"][position],
    }
    begins = [serial(date(y, m, 1)) for y, m in zip(falls, range(1, 13), strict=True)]
    work = {
        "typed_month": np.array([float(day) if t else 0.0 for day, t in zip(begins, typed, strict=True)]),
        "rain_typed": np.array(typed, dtype=float),
        "rain_given": np.array([value or 0.0 for value in site.rain_so_far]),
        "rain_ahead": np.array([t and not past for t, past in zip(typed, over, strict=True)], dtype=float),
        "rain_gap": np.array([not t and past for t, past in zip(typed, over, strict=True)], dtype=float),
    }
    return shown, work


def nearest(as_of: date, first_month: int) -> int:
    """The number of the plan year whose beginning lies nearest to a day, by months; at six the later one."""
    months = as_of.year * 12 + as_of.month
    return min(range(as_of.year + 1, as_of.year - 2, -1), key=lambda year: abs(year * 12 + first_month - months))


def told(site: Site, results: dict[str, float]) -> dict[str, str]:
    """Which year is planned, after which year of the record, and the parts of that sentence."""
    number, plan_for = int(site.number("plan_number")), site.inputs["plan_for"]
    as_of, typed = day_of_serial(site.number("plan_as_of")), int(results["months_typed"])
    odds = "" if results["typed_row"] else f" ({plan_for})"
    if isinstance(plan_for, float) and not results["typed_row"]:
        odds = f" ({int(plan_for)} is not on record)"
    own = "" if not typed else f", and this year's own rain in {typed} month{'' if typed == 1 else 's'}"
    day = f"{as_of.day} {month_name[as_of.month]} {as_of.year}"
    return {
        "planned_for_told": odds,
        "own_rain_told": own,
        "as_of_told": day,
        "plan_told": f"Plan year {number}: from {month_name[int(results['first_month'])]} {number} on, with the weather"
        f" of {int(results['planning_year'])}{odds}{own}. As of {day}.",
    }


def this_year(site: Site, results: dict[str, float], work: Columns) -> dict[str, float | str]:
    """The single figures of the plan year's calendar."""
    number, first = int(site.number("plan_number")), int(results["first_month"])
    found: dict[str, float | str] = {
        "plan_begins": float(serial(first_of(number, first))),
        "plan_ends": float(serial(first_of(number + 1, first)) - 1),
        "plan_number_nearest": float(nearest(day_of_serial(site.number("plan_as_of")), first)),
        "months_typed": float(work["rain_typed"].sum()),
    }
    year_before = site.number("tank_fill_from_month") > first  # filled from a day of the month before the plan year
    found["plan_filled_from"] = float(date_in_year(site, "fill_from", number - year_before))
    return found | told(site, {**results, **found})
