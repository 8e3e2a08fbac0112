"""On which days the tank may hold water."""

from datetime import date, timedelta
from itertools import pairwise

import numpy as np

from .climate import last_of_month, serial
from .site import Columns, Site


def first_month(site: Site) -> int:
    """Month in which the plan year begins: that of the filling date, or the wettest where in service all year.

    Where the tank is drained and filled within one month, the plan year ends with it.
    """
    if site.word("tank_in_service") == "all year":
        return int(site.number("tank_wettest_month"))
    month, day = int(site.number("tank_fill_from_month")), site.number("tank_fill_from_day")
    drained_on = site.number("tank_drain_by_day") if site.number("tank_drain_by_month") == month else 99
    return month % 12 + 1 if drained_on < day else month


def date_in_year(site: Site, which: str, year: int) -> int:
    """Serial number of 'fill_from' or 'drain_by' in a calendar year, 0 where no date is typed."""
    month, day = site.number(f"tank_{which}_month"), site.number(f"tank_{which}_day")
    if not month or not day:
        return 0
    return serial(date(year, int(month), 1) + timedelta(days=int(day) - 1))


def in_service(site: Site, day: int, year: int) -> bool:
    """Whether the tank may hold water on a day (serial number) of a calendar year; both dates included.

    An interval that ends before it begins in the calendar wraps over New Year.
    """
    if site.word("tank_in_service") == "all year":
        return True
    return between(date_in_year(site, "fill_from", year), date_in_year(site, "drain_by", year), day)


def between(begins: int, ends: int, day: int) -> bool:
    """Whether a day lies between two of a calendar year, both included, over New Year where they are turned round."""
    if begins <= ends:
        return begins <= day <= ends
    return day >= begins or day <= ends


def service(site: Site, year: np.ndarray, month: np.ndarray, days: np.ndarray, first_day: np.ndarray) -> Columns:
    """Days, share and dates in service of each month, counted day by day."""
    names = ("service_from", "service_to", "opens_in_service", "days_in_service", "service_share", "goes_out")
    names += ("first_service_day", "last_service_day")
    out = {name: np.zeros(len(year)) for name in names}
    for t in range(len(year)):
        y, first, last = int(year[t]), int(first_day[t]), last_of_month(first_day[t])
        begins, ends = date_in_year(site, "fill_from", y), date_in_year(site, "drain_by", y)
        opens = in_service(site, first, y)
        open_days = [in_service(site, day, y) for day in range(first, last + 1)]
        open_days.append(in_service(site, last + 1, y + (month[t] == 12)))
        goes_out = any(today and not tomorrow for today, tomorrow in pairwise(open_days))
        count = sum(open_days[:-1])
        row = (begins, ends, opens, count, count / days[t], goes_out)
        row += (first if opens else begins, ends if goes_out else last)
        for name, value in zip(names, row, strict=True):
            out[name][t] = value
    return out
