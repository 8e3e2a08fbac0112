"""Several files become one record: rain here and temperatures there, or two stations end to end.

Figure by figure the file that is listed first counts; another only fills the days that it has none of.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

import pandas as pd

from budget.errors import Fault, InputFaults
from budget.record.csv_file import FileRead
from budget.record.findings import DAYS, MONTHS, Step
from budget.record.layouts import NUMBERS

FEWEST_MONTHS = 24  # two years, the least from which years can be compared; common practice, no source
WHAT = {"rain": "rain", "tmax": "daily highs", "tmin": "daily lows"}


def join(reads: Sequence[FileRead], to_build: bool = True) -> tuple[pd.DataFrame, list[str]]:
    """The figures of all files on one calendar, and sentences on what came from where.

    `to_build`: a book is to rest on them; else what is too short, or lacks a figure, is only told.

    Raises InputFaults where files of days and of months are mixed, where a figure is in none of them, and where the
    record is too short.
    """
    steps = {read.monthly for read in reads}
    names = ", ".join(read.path.name for read in reads)
    if len(steps) > 1:
        months = ", ".join(read.path.name for read in reads if read.monthly)
        found = f"{months} holds months, the other files hold days"
        raise InputFaults([Fault("rain.file", found, "files of days only, or of months only")])
    step = MONTHS if steps == {True} else DAYS
    table = reads[0].rows
    remarks = [f"{read.path.name}: {sentence}" for read in reads for sentence in read.remarks]
    for read in reads[1:]:
        remarks += _differences(table, read)
        both = table.index.union(read.rows.index)
        calendar = pd.date_range(both[0], both[-1], freq=step.frequency, name="date")
        table = table.reindex(calendar).combine_first(read.rows.reindex(calendar))
    faults = [*_absent(table, names, step), *_short(table, names, step)]
    if faults and to_build:
        raise InputFaults(faults)
    remarks += [f"No book can be built on this: {fault.found}." for fault in faults]
    return table[list(NUMBERS)], remarks


def _differences(table: pd.DataFrame, read: FileRead) -> list[str]:
    """A sentence for each figure of which the file has another value than the files before it."""
    found = []
    for role in NUMBERS:
        pair = pd.concat([table[role], read.rows[role]], axis=1, keys=["first", "other"], sort=True).dropna()
        differing = int(((pair["first"] - pair["other"]).abs() > 0.05).sum())
        if differing:
            found.append(
                f"{read.path.name}: {WHAT[role]} differ from those of the file before on {differing} of {len(pair)}"
                " days that both have; the file listed first counts."
            )
    return found


def _absent(table: pd.DataFrame, names: str, step: Step) -> list[Fault]:
    """A fault for each figure that no file has."""
    missing = [role for role in NUMBERS if not table[role].notna().any()]
    if missing[-2:] == ["tmax", "tmin"]:
        accepted = "columns tmax and tmin: daily high and low; or a second file that has them: rain.file"
        missing, faults = missing[:-2], [Fault(names, "no temperatures at all", accepted)]
    else:
        faults = []
    accepted = f"a column with them, {step.adjective}, in one of the files of rain.file"
    return [Fault(names, f"no {WHAT[role]}", accepted) for role in missing] + faults


def _short(table: pd.DataFrame, names: str, step: Step) -> list[Fault]:
    first, last = table.index[0].date(), step.last_day(table.index[-1].date())
    months = whole_months_between(first, last)
    if months >= FEWEST_MONTHS:
        return []
    found = f"{months} whole months, from {step.told(first)} to {step.told(table.index[-1].date())}"
    return [Fault(names, found, f"at least {FEWEST_MONTHS} whole calendar months")]


def whole_months_between(first: date, last: date) -> int:
    """Calendar months that lie wholly within the two days [count]."""
    after = last + timedelta(days=1)
    begun = first.year * 12 + first.month + (1 if first.day > 1 else 0)
    return max(0, after.year * 12 + after.month - begun)
