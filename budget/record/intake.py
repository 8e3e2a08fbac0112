"""One call from a file of days, or of months, to everything that the book needs of the record."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pandas as pd

from budget.record.csv_file import MONTHS, holds_months, read_record
from budget.record.frost_dates import UNKNOWN, FrostDates, frost_dates
from budget.record.monthly_file import from_months
from budget.record.months import monthly

LONG_GAP = 31  # [days] without rain or temperature that a note tells of; common practice, no source
MONTHS_NAMED = 12  # filled months that a note names one by one
COARSER = (
    "Months are coarser than days: snow, melt, rain days and rain spells are estimated from the month's length and"
    " mean temperature, and frost dates cannot be found."
)


@dataclass(frozen=True)
class Record:
    """The record of one site, ready for the book."""

    days: pd.DataFrame | None  # as `read_record` returns it; None where the file holds months
    months: pd.DataFrame  # as `monthly` returns it
    frost: FrostDates  # not `known` where the file holds months
    first: date  # first day of the record
    last: date  # last day of the record
    notes: list[str]  # plain sentences on the quality of the data


def load(path: Path, unit: str | None, temperature_unit: str | None, southern: bool) -> Record:
    """Read a file, form its months and its frost dates, and say what the data are worth.

    Args:
        path, unit, temperature_unit: as for `read_record`.
        southern: whether the site lies south of the equator.

    Raises:
        InputFaults: as `read_record`, `monthly` and `from_months` do.
    """
    rows = read_record(path, unit, temperature_unit)
    calendar = pd.DatetimeIndex(rows.index)
    first, last = calendar[0].date(), calendar[-1].date()
    if holds_months(rows):
        months = from_months(rows)
        return Record(None, months, UNKNOWN, first, MONTHS.last_day(last), describe_monthly_file(rows, months))
    months = monthly(rows)
    frost = frost_dates(rows, southern)
    return Record(rows, months, frost, first, last, describe(rows, months, frost))


def describe(days: pd.DataFrame, months: pd.DataFrame, frost: FrostDates) -> list[str]:
    """Plain sentences: period, share of days known, long gaps, filled months, frost seasons, freaks."""
    return [
        *describe_period(days, months),
        *describe_gaps(days),
        *describe_filled(months, "No month misses too many days.", "Too many days missing"),
        *describe_frost(frost),
    ]


def describe_monthly_file(rows: pd.DataFrame, months: pd.DataFrame) -> list[str]:
    """Plain sentences on a file of months: period, share known, filled months, how much less months say than days."""
    first, last = (MONTHS.told(month) for month in pd.DatetimeIndex(rows.index)[[0, -1]].date)
    return [
        f"The record holds months, not days, from {first} to {last}: each month's rain and mean daily high and low.",
        describe_known(rows, "in", "months"),
        *describe_filled(months, "No month is missing.", "Rain or temperatures missing"),
        COARSER,
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
    return [*notes, describe_known(days, "on", "days")]


def describe_known(rows: pd.DataFrame, within: str, steps: str) -> str:
    rain, temperatures = rows["rain"].notna().mean(), rows[["tmax", "tmin"]].notna().all(axis=1).mean()
    return f"Rain is known {within} {percent(rain)} of {steps}, both temperatures {within} {percent(temperatures)}."


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


def describe_filled(months: pd.DataFrame, none: str, why: str) -> list[str]:
    filled = months[months["filled"] == 1]
    if filled.empty:
        return [none]
    names = [f"{year}-{month:02d}" for year, month in zip(filled["year"], filled["month"], strict=True)]
    listed = ", ".join(names[:MONTHS_NAMED]) + (" ..." if len(names) > MONTHS_NAMED else "")
    share = f"{len(names)} of {counted(len(months), 'month')}"
    return [f"{why}, so the median of the calendar month stands in {share}: {listed}."]


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
