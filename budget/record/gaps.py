"""Missing days: when a month still counts, and what stands for one that does not.

    kind of figure        a few days missing                  too many days missing
    rain, rain days,      total of the known days             median of the same calendar month
    rain spells           x days of the month / days known    over its usable months
    snow share            over the days known                 likewise
    temperatures          mean of the days known              likewise
    degree-days           total x days / days known           likewise
    of days 1 to 15       as of the whole month               likewise

Too many is more than 5 days of a month, or more than 3 in a row (WMO practice; recalled). Nothing is ever
filled without a mark: the month's row says `filled`.
"""

from __future__ import annotations

import calendar

import pandas as pd

from budget.errors import Fault, InputFaults

MOST_MISSING = 5  # [days] of a month; WMO practice, recalled
MOST_IN_A_ROW = 3  # [days] within a month; WMO practice, recalled
USABLE = f"that misses at most {MOST_MISSING} days, at most {MOST_IN_A_ROW} in a row"


def has_too_many_missing(missing: pd.Series[bool], month: pd.Series[int]) -> pd.Series[bool]:
    """Whether a month misses too many days to be formed.

    Args:
        missing: by day, whether the value is missing; every day of every month present.
        month: by day, the number of the month; non-decreasing, shape of `missing`.

    Returns:
        By month number. A run that crosses into the next month counts in each month with its own days.
    """
    total = missing.groupby(month).sum()
    return (total > MOST_MISSING) | (longest_run(missing, month) > MOST_IN_A_ROW)


def longest_run(missing: pd.Series[bool], month: pd.Series[int]) -> pd.Series[int]:
    """Longest run of missing days within each month [days], by month number; arguments as above."""
    starts = missing != missing.shift()
    runs = missing.astype(int).groupby([month, starts.cumsum()]).sum()
    return runs.groupby(level=0).max()


def fill_with_medians(figures: pd.DataFrame, unusable: pd.Series[bool]) -> pd.DataFrame:
    """Replace the rows of unusable months by the medians of their calendar month's usable ones.

    Args:
        figures: one row a month, index month number (year x 12 + month - 1), any number of columns.
        unusable: by month number, index of `figures`.

    A calendar month without any usable month keeps NaN; `check_usable` tells of it.
    """
    calendar_month = figures.index.to_series() % 12
    medians = figures.where(~unusable).groupby(calendar_month).transform("median")
    return figures.where(~unusable, medians)


def check_usable(unusable: pd.Series[bool], what: str, usable: str = USABLE) -> list[Fault]:
    """One fault for each calendar month of which no year is usable.

    Args:
        unusable: by month number (year x 12 + month - 1).
        what: "rain" or "temperatures", for the message.
        usable: what makes a month usable, for the message.
    """
    faults = []
    for calendar_month, marks in unusable.groupby(unusable.index.to_series() % 12):
        if marks.all():
            name = calendar.month_name[int(str(calendar_month)) + 1]
            found = f"no usable {name} in {len(marks)} years of {what}"
            faults.append(Fault("record", found, f"at least one {name} {usable}"))
    return faults


def raise_unusable(faults: list[Fault]) -> None:
    if faults:
        raise InputFaults(faults)
