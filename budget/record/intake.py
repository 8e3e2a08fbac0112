"""One call from the files of days, or of months, to everything that the book needs of the record."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import pandas as pd

from budget.errors import Fault, InputFaults
from budget.record import believable, coverage, homogeneity, neighbours
from budget.record.asked import Asked
from budget.record.csv_file import FileRead, read_file
from budget.record.fetched import YEAR_KNOWN, Fetched, describe, site_days
from budget.record.findings import MONTHS, percent
from budget.record.from_stations import Obtained
from budget.record.frost_dates import FrostRow, FrostTable, frost_table
from budget.record.joined import join
from budget.record.monthly_file import from_months
from budget.record.months import COLUMNS, monthly
from budget.record.neighbours import counted
from budget.record.station import GAPS

LONG_GAP = 31  # [days] without rain or temperature that a note tells of; common practice, no source
MONTHS_NAMED = 12  # filled months that a note names one by one
REMARKS_TOLD = 12  # values left out that a note tells one by one
COARSER = (
    "Months are coarser than days: snow, melt, rain days and rain spells are estimated from the month's length and"
    " mean temperature, and frost dates cannot be found."
)
STATIONS_LAYOUT = "days fetched from weather stations"
FIGURES = {"rain": ("rain", "mm"), "tmax": ("high", "°C"), "tmin": ("low", "°C")}


@dataclass(frozen=True)
class Record:
    """The record of one site, ready for the book.

    `days`: one row a day, [mm] and [°C], gaps filled from neighbours, NaN where still missing; None where the files
    hold months. `months`: as `monthly` returns it. `frosts`: those of nights and spells; None where the files
    hold months. `coverage`: as `by_year`. `remarks`: values that were left out or are worth a look. `shift`: a change
    in the level of the rain. `notes`: plain sentences on the quality of the data. `fetched`: the stations, where the
    rain was fetched from them; `came`: how that came, in a sentence.
    """

    files: list[FileRead]
    days: pd.DataFrame | None
    months: pd.DataFrame
    frosts: FrostTable | None
    coverage: pd.DataFrame | None
    remarks: list[believable.Remark]
    shift: homogeneity.Shift | None
    first: date
    last: date
    notes: list[str]
    fetched: Fetched | None = None
    came: str = ""


def load(
    paths: Sequence[Path], asked: Asked, southern: bool, nearby: Sequence[Path] = (), to_build: bool = True
) -> Record:
    """Read the files, judge and fill their days, form months and frost dates, and say what the data are worth.

    Args:
        paths: the files of the record, the one that counts first in front. asked: what the site file says of them.
        southern: whether the site lies south of the equator. nearby: files of neighbour stations, nearest first.
        to_build: whether a book is to rest on it; else a record that is too short or lacks a figure is shown all the
            same, with no months where none can be formed.

    Raises:
        InputFaults: as `read_file`, `join`, `judge`, `monthly` and `from_months` do.
    """
    files = _read(paths, asked)
    table, remarks = join(files, to_build)
    if files[0].monthly:
        if nearby:
            found = "neighbours of a record of months"
            raise InputFaults([Fault("rain.neighbours", found, "files of days, beside a record of days")])
        return _of_months(files, table, remarks, to_build)
    beside = {read.path.name: _believed(read) for read in _read(nearby, asked)}
    return _of_days(files, table, remarks, beside, southern, to_build)


def load_stations(obtained: Obtained, height: float | None, southern: bool, to_build: bool = True) -> Record:
    """The same from days that were fetched from weather stations.

    Args:
        obtained: what was fetched, and the snapshot that holds it. height: of the site above the sea [m]; None where it
            is not known, and that of the rain station stands for it. southern, to_build: as above.

    Raises InputFaults as `join`, `judge` and `monthly` do.
    """
    fetched = obtained.fetched
    unsaid = height is None and fetched.rain_station.height is not None
    height = fetched.rain_station.height if height is None else height
    here = FileRead(obtained.path, STATIONS_LAYOUT, site_days(fetched, height), pd.Series(dtype=bool), [])
    table, remarks = join([here], to_build)
    told = [*describe(fetched, height, stated=not unsaid), *remarks]
    if unsaid:
        told.insert(0, "The height of the place is not given: that of the rain station stands for it.")
    beside: dict[str, pd.DataFrame] = {}
    for station in fetched.serving(GAPS):
        judged = believable.judge(fetched.days[station.id])
        if judged.faults:
            told.append(f"{station.words} fills no gaps: {judged.faults[0].found}.")
        else:
            beside[station.words] = judged.days
    record = _of_days([here], table, told, beside, southern, to_build)
    return replace(record, fetched=fetched, came=obtained.told)


def _of_days(
    files: list[FileRead],
    table: pd.DataFrame,
    remarks: list[str],
    beside: Mapping[str, pd.DataFrame],
    southern: bool,
    to_build: bool,
) -> Record:
    """The record of a table of days, filled from stations nearby, whose believable days stand under their names."""
    judged = believable.judge(table)
    if judged.faults:
        raise InputFaults(judged.faults)
    filled = neighbours.fill(judged.days, list(beside.values()), list(beside))
    days = filled.days
    months, unformed = _formed(monthly, days, to_build)
    frosts = frost_table(days, southern)
    by_year = coverage.by_year(days, filled.marks)
    shift = homogeneity.shift(yearly_rain(days, by_year))
    calendar = pd.DatetimeIndex(days.index)
    notes = [
        *describe_period(days, months),
        *remarks,
        *unformed,
        *(filled.remarks if beside else []),
        *describe_judged(judged.remarks),
        *describe_gaps(days),
        *describe_filled(months, "No month misses too many days.", "Too many days missing"),
        *describe_shift(shift),
        *describe_frost(frosts.pipes),
    ]
    first, last = calendar[0].date(), calendar[-1].date()
    return Record(files, days, months, frosts, by_year, judged.remarks, shift, first, last, notes)


def _read(paths: Sequence[Path], asked: Asked) -> list[FileRead]:
    """Every file; the faults of all of them at once."""
    reads: list[FileRead] = []
    faults: list[Fault] = []
    for path in paths:
        try:
            reads.append(read_file(path, asked))
        except InputFaults as error:
            faults += error.faults
    if faults:
        raise InputFaults(faults)
    return reads


def _believed(read: FileRead) -> pd.DataFrame:
    """The believable days of a neighbour's file."""
    if read.monthly:
        raise InputFaults([Fault(read.path.name, "a neighbour's file of months", "a file of days")])
    judged = believable.judge(read.rows)
    if judged.faults:
        raise InputFaults(judged.faults)
    return judged.days


def _formed(
    form: Callable[[pd.DataFrame], pd.DataFrame], rows: pd.DataFrame, to_build: bool
) -> tuple[pd.DataFrame, list[str]]:
    """The months of the rows; where they cannot be formed and no book is built, none, and why."""
    try:
        return form(rows), []
    except InputFaults as error:
        if to_build:
            raise
        empty = pd.DataFrame({column: pd.Series(dtype=float) for column in COLUMNS})
        return empty, [f"No months can be formed: {fault.found}." for fault in error.faults]


def _of_months(files: list[FileRead], rows: pd.DataFrame, remarks: list[str], to_build: bool) -> Record:
    judged = believable.judge_months(rows)
    rows = judged.days
    months, unformed = _formed(from_months, rows, to_build)
    remarks = [*remarks, *(told_remark(remark, monthly=True) for remark in judged.remarks), *unformed]
    calendar = pd.DatetimeIndex(rows.index)
    first, last = calendar[0].date(), MONTHS.last_day(calendar[-1].date())
    notes = describe_monthly_file(rows, months, remarks)
    return Record(files, None, months, None, None, judged.remarks, None, first, last, notes)


def yearly_rain(days: pd.DataFrame, by_year: pd.DataFrame) -> pd.Series[float]:
    """Rain of the whole calendar years that are nearly known [mm], by year."""
    totals = days["rain"].groupby(pd.DatetimeIndex(days.index).year).sum()
    known = by_year.set_index("year")
    good = (known["whole"] == 1) & (known["rain_missing"] <= (1 - YEAR_KNOWN) * known["days"])
    return totals[good.reindex(totals.index)]


def describe_monthly_file(rows: pd.DataFrame, months: pd.DataFrame, remarks: Sequence[str] = ()) -> list[str]:
    """Plain sentences on a file of months: period, share known, filled months, how much less months say than days."""
    first, last = (MONTHS.told(month) for month in pd.DatetimeIndex(rows.index)[[0, -1]].date)
    return [
        f"The record holds months, not days, from {first} to {last}: each month's rain and mean daily high and low.",
        describe_known(rows, "in", "months"),
        *remarks,
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


def describe_judged(remarks: Sequence[believable.Remark]) -> list[str]:
    """The values that were left out, one by one as far as they are few."""
    notes = [told_remark(remark) for remark in remarks[:REMARKS_TOLD]]
    if len(remarks) > REMARKS_TOLD:
        notes.append(f"And {len(remarks) - REMARKS_TOLD} more values like these; the command 'rain' lists them all.")
    return notes


def told_remark(remark: believable.Remark, monthly: bool = False) -> str:
    """A value that was left out, or looked at and kept, in a sentence; `monthly`: it stands for its month."""
    noun, unit = FIGURES[remark.figure]
    shown = f"{remark.value:.1f} {unit}"
    if unit == "°C":
        shown += f" ({round(remark.value * 1.8 + 32)} °F)"
    when = f"on {remark.first}" if remark.first == remark.last else f"from {remark.first} to {remark.last}"
    if monthly:
        when = f"in {MONTHS.told(remark.first)}"
    fate = "kept" if remark.kept else "left out"
    return f"The {noun} of {shown} {when} is {fate}: {remark.why}."


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
        return [none] if len(months) else []
    names = [f"{year}-{month:02d}" for year, month in zip(filled["year"], filled["month"], strict=True)]
    listed = ", ".join(names[:MONTHS_NAMED]) + (" ..." if len(names) > MONTHS_NAMED else "")
    share = f"{len(names)} of {counted(len(months), 'month')}"
    return [f"{why}, so the median of the calendar month stands in {share}: {listed}."]


def describe_shift(shift: homogeneity.Shift | None) -> list[str]:
    """A change in the level of the yearly rain, which may be a gauge that was moved."""
    if shift is None:
        return []
    return [
        f"The yearly rain changes its level with {shift.year}: {shift.before:.0f} mm a year before,"
        f" {shift.after:.0f} mm from then on. Was the gauge moved? Nothing is corrected; a run of dry or wet years"
        " looks alike."
    ]


def describe_frost(pipes: FrostRow) -> list[str]:
    """How many seasons the frost dates rest on, by the frost that endangers pipes; or why there are none."""
    seasons = counted(pipes.seasons, "cold season")
    told = {
        "not known": "No cold season is complete, so the record gives no frost dates: type your own.",
        "no season": "No cold season is free of hard frost for long enough: pipes want protection all year.",
        "the whole year": f"Hard freezes are too rare in {seasons} for frost dates of pipes.",
        "a season": f"The frost dates rest on {seasons}.",
    }
    return [told[pipes.spares]]
