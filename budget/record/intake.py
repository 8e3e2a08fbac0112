"""One call from a daily file to everything that the book needs of the record."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pandas as pd

from budget.record.csv_file import read_daily
from budget.record.frost_dates import FrostDates, frost_dates
from budget.record.months import monthly

LONG_GAP = 31  # [days] without rain or temperature that a note tells of; common practice, no source
MONTHS_NAMED = 12  # filled months that a note names one by one


@dataclass(frozen=True)
class Record:
    """The record of one site, ready for the book."""

    days: pd.DataFrame  # as `read_daily` returns it
    months: pd.DataFrame  # as `monthly` returns it
    frost: FrostDates
    first: date  # first day of the record
    last: date  # last day of the record
    notes: list[str]  # plain sentences on the quality of the data


def load(path: Path, unit: str | None, temperature_unit: str | None, southern: bool) -> Record:
    """Read a daily file, form its months and its frost dates, and say what the data are worth.

    Args:
        path, unit, temperature_unit: as for `read_daily`.
        southern: whether the site lies south of the equator.

    Raises:
        InputFaults: as `read_daily` and `monthly` do.
    """
    days = read_daily(path, unit, temperature_unit)
    months = monthly(days)
    frost = frost_dates(days, southern)
    calendar = pd.DatetimeIndex(days.index)
    return Record(days, months, frost, calendar[0].date(), calendar[-1].date(), describe(days, months, frost))


def describe(days: pd.DataFrame, months: pd.DataFrame, frost: FrostDates) -> list[str]:
    """Plain sentences: period, share of days known, long gaps, filled months, frost seasons, freaks."""
    return [
        *describe_period(days, months),
        *describe_gaps(days),
        *describe_filled(months),
        *describe_frost(frost),
    ]


def describe_period(days: pd.DataFrame, months: pd.DataFrame) -> list[str]:
    calendar = pd.DatetimeIndex(days.index)
    notes = [
        f"The record runs from {calendar[0].date()} to {calendar[-1].date()}, {counted(len(months), 'whole month')}."
    ]
    outside = len(days) - int(months["days"].sum())
    if outside:
        part = "the record's first or last days, in months that are not whole"
        notes.append(f"{counted(outside, 'day')} left out of the months: {part}.")
    rain, temperatures = days["rain"].notna().mean(), days[["tmax", "tmin"]].notna().all(axis=1).mean()
    notes.append(f"Rain is known on {percent(rain)} of days, both temperatures on {percent(temperatures)}.")
    return notes


def describe_gaps(days: pd.DataFrame) -> list[str]:
    """The longest stretch without rain, and without temperatures, where it is long."""
    notes = []
    missing = {"rain": days["rain"].isna(), "temperatures": days[["tmax", "tmin"]].isna().any(axis=1)}
    for what, gap in missing.items():
        lengths = gap.astype(int).groupby((~gap).cumsum()).cumsum()
        if lengths.max() > LONG_GAP:
            end = pd.Timestamp(str(lengths.idxmax()))
            start = end - pd.Timedelta(days=int(lengths.max()) - 1)
            notes.append(f"The longest gap in the {what} is {lengths.max()} days, from {start.date()} to {end.date()}.")
    return notes


def describe_filled(months: pd.DataFrame) -> list[str]:
    filled = months[months["filled"] == 1]
    if filled.empty:
        return ["No month misses too many days."]
    names = [f"{year}-{month:02d}" for year, month in zip(filled["year"], filled["month"], strict=True)]
    listed = ", ".join(names[:MONTHS_NAMED]) + (" ..." if len(names) > MONTHS_NAMED else "")
    share = f"{len(names)} of {counted(len(months), 'month')}"
    return [f"Too many days missing, so the median of the calendar month stands in {share}: {listed}."]


def describe_frost(frost: FrostDates) -> list[str]:
    if frost.seasons == 0:
        notes = ["No cold season is complete, so the record gives no frost dates: type your own."]
    elif frost.fill_from is None:
        notes = [f"Hard freezes are too rare in {counted(frost.seasons, 'cold season')} for frost dates."]
    else:
        notes = [f"The frost dates rest on {counted(frost.seasons, 'cold season')}."]
    for day, low in frost.dropped:
        if low <= frost.threshold:  # a warm freak cannot move a frost date, so it is not worth a sentence
            notes.append(
                f"The low of {low:.1f} °C ({round(low * 1.8 + 32)} °F) on {day} is not believable for its month and was"
                " left out of the frost dates."
            )
    return notes


def counted(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def percent(share: float) -> str:
    """One decimal; 100 only where nothing is missing."""
    return "100 %" if share == 1 else f"{min(share, 0.999):.1%}".replace("%", " %")
