"""Dates as files write them. Which of day and month comes first is decided over the whole column, never row by row."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date, timedelta

FIRST_YEAR, LAST_YEAR = 1700, 2200  # wider than any rain record; a year outside is a slip
SPLIT_YEAR = 50  # two digits below it are years of the 2000s, others of the 1900s; common practice, no source
DAY_FIRST, MONTH_FIRST = "day first", "month first"
NAMED = {name: number for number, name in enumerate("jan feb mar apr may jun jul aug sep oct nov dec".split(), 1)}

_CLOCK = r"(?:[T ]\d{1,2}:\d{2}(?::\d{2}(?:\.\d+)?)?(?:Z| ?[AaPp][Mm])?)?"
_ISO_DAY = re.compile(rf"(\d{{4}})([-/.])(\d{{1,2}})\2(\d{{1,2}}){_CLOCK}")
_COMPACT_DAY = re.compile(r"(\d{4})(\d{2})(\d{2})")
_YEAR_AND_DAY = re.compile(r"(\d{4}):(\d{1,3})")  # day of the year, as its two columns are joined
_NAMED_DAY = re.compile(rf"(\d{{1,2}})[- ]([A-Za-z]{{3}})[a-z]*[- ](\d{{4}}|\d{{2}}){_CLOCK}")
_DOTTED_DAY = re.compile(rf"(\d{{1,2}})\.(\d{{1,2}})\.(\d{{4}}|\d{{2}}){_CLOCK}")  # with dots the day comes first
_EITHER_DAY = re.compile(rf"(\d{{1,2}})([-/])(\d{{1,2}})\2(\d{{4}}|\d{{2}}){_CLOCK}")
_ISO_MONTH = re.compile(r"(\d{4})[-/](\d{1,2})")
_COMPACT_MONTH = re.compile(r"(\d{4})(\d{2})")


def order_of(texts: Iterable[str]) -> set[str]:
    """The orders of day and month that the column's dates with dashes or slashes allow: both, one, or none."""
    possible = {DAY_FIRST, MONTH_FIRST}
    for text in texts:
        match = _EITHER_DAY.fullmatch(text)
        if match:
            if int(match[1]) > 12:
                possible.discard(MONTH_FIRST)
            if int(match[3]) > 12:
                possible.discard(DAY_FIRST)
    return possible


def asks_for_order(text: str) -> bool:
    """Whether day and month of this date could be taken for each other."""
    return _EITHER_DAY.fullmatch(text) is not None


def read_day(text: str, order: str | None = None) -> date | None:
    """The day that a text says, or None; `order`: of day and month where they could be taken for each other."""
    if match := _ISO_DAY.fullmatch(text):
        return _day(match[1], match[3], match[4])
    if match := _COMPACT_DAY.fullmatch(text):
        return _day(match[1], match[2], match[3])
    if match := _DOTTED_DAY.fullmatch(text):
        return _day(match[3], match[2], match[1])
    if match := _NAMED_DAY.fullmatch(text):
        return _day(match[3], str(NAMED.get(match[2].lower(), 0)), match[1])
    if match := _YEAR_AND_DAY.fullmatch(text):
        first = _day(match[1], "1", "1")
        found = first + timedelta(int(match[2]) - 1) if first and 1 <= int(match[2]) <= 366 else None
        return found if found and first and found.year == first.year else None
    if order and (match := _EITHER_DAY.fullmatch(text)):
        day, month = (match[1], match[3]) if order == DAY_FIRST else (match[3], match[1])
        return _day(match[4], month, day)
    return None


def read_month(text: str) -> date | None:
    """The first day of the month that a text says, or None."""
    match = _ISO_MONTH.fullmatch(text) or _COMPACT_MONTH.fullmatch(text)
    return _day(match[1], match[2], "1") if match else None


def _day(year: str, month: str, day: str) -> date | None:
    number = int(year)
    if len(year) == 2:
        number += 2000 if number < SPLIT_YEAR else 1900
    if not FIRST_YEAR <= number <= LAST_YEAR:
        return None
    try:
        return date(number, int(month), int(day))
    except ValueError:
        return None
