"""One file of rain or temperatures, of any layout, to figures in millimetres and degrees Celsius.

    the file as rows of cells (`text_rows`)
    -> its header, found by what the columns hold, and its layout (`header`, `layouts`)
    -> the order of its dates, days or months (`date_column`)
    -> its units: from the header, else the layout, else a title, else the site file, else asked for (`column_units`)
    -> its rows, one day or month each (`gathered`); traces 0, marks and sentinels missing (`figure_columns`, `figures`)
    -> totals over several days, and totals that run on (`totals`)
    -> a full calendar, gaps as NaN; a day without a row is a gap too, unless only rain days are listed

A unit is never guessed from the size of the numbers. Every fault is told with its line, all of them at once.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from itertools import pairwise
from pathlib import Path

import pandas as pd

from budget.record.asked import DRY, MISSING, NOTHING_SAID, Asked
from budget.record.column_units import settle_units
from budget.record.date_column import ORDER_FAULTS, find_step, settle_order
from budget.record.findings import DAYS, MONTHS, Findings, Step, quoted
from budget.record.gathered import Gathered, gather
from budget.record.header import Header, check_columns, find_header, of_one_station, rows_below
from budget.record.layouts import NUMBERS, OWN
from budget.record.remarks import Counts, remarks
from budget.record.text_rows import read_rows_of_text
from budget.record.totals import difference, spread_totals

SHORTEST_MONTH = 28  # [days]
MANY_LEFT_OUT = 0.5  # share of days without a row from which on the file is asked what they are; common practice


@dataclass(frozen=True)
class FileRead:
    """One file: a row a day, or a month, and what became of its values.

    `rows`: full calendar (index `date`), columns `rain` [mm], `tmax`, `tmin` [°C], NaN where missing or not in the
    file. `totals`: days whose rain is, or is within, a total over several days. `remarks`: plain sentences.
    """

    path: Path
    layout: str
    rows: pd.DataFrame
    totals: pd.Series[bool]
    remarks: list[str]

    @property
    def monthly(self) -> bool:
        """Whether it has a row a month."""
        return pd.DatetimeIndex(self.rows.index).freqstr == MONTHS.frequency


def read_file(path: Path, asked: Asked = NOTHING_SAID) -> FileRead:
    """Read one file. Raises InputFaults with every fault of it, each with its line."""
    findings = Findings(path.name)
    rows = read_rows_of_text(path)
    header = find_header(rows, findings)
    check_columns(header, findings)
    body = list(rows_below(rows, header, findings))
    body = of_one_station(body, header, asked, findings)
    order = settle_order(body, header, asked, findings)
    step = find_step(body, header, order)
    units = settle_units(rows, header, step, asked, findings)
    if findings.has(*ORDER_FAULTS):  # no date can be read
        findings.raise_if_any()
    counts = Counts()
    gathered = gather(body, header, step, order, units, counts, findings)
    spread_totals(gathered, step, counts, findings)
    difference(gathered, step, counts, findings)
    check_whole(gathered, header, step, findings)
    findings.raise_if_any()
    table, totals = full_calendar(gathered, header, step, asked, counts, findings)
    findings.raise_if_any()
    return FileRead(path, header.layout.name, table, totals, remarks(header, counts))


# ---------------------------------------------------------------- the whole file


def check_whole(gathered: Gathered, header: Header, step: Step, findings: Findings) -> None:
    """What can be judged only on the whole file: rows, values, a step that is true."""
    if not gathered.days:
        if not findings.entries:
            findings.add(None, "no rows", "no rows below the header", f"one row a {step.name}")
        return
    ordered = sorted(gathered.days)
    apart = min((later - earlier for earlier, later in pairwise(ordered)), default=timedelta(0))
    if step is DAYS and len(ordered) > 1 and apart >= timedelta(SHORTEST_MONTH):
        accepted = "every day; in a file of months dates such as 2012-01"
        findings.add(None, "days a month apart", "days a month or more apart", accepted)
    text = {f"text in column {quoted(heading.text)}" for heading in header.headings}
    if not any(gathered.values.values()) and not findings.has(*text) and not gathered.unknown:
        findings.add(None, "no values", "no value in any row", f"{step.adjective} rain, 0 where none fell")
    rain = gathered.values["rain"]
    if rain and not any(rain.values()) and not findings.has(*text):
        found = f"{step.adjective} rain; blank where the value is missing"
        findings.add(None, "no rain", "all rain is zero", found)


def full_calendar(
    gathered: Gathered, header: Header, step: Step, asked: Asked, counts: Counts, findings: Findings
) -> tuple[pd.DataFrame, pd.Series[bool]]:
    """One row for each day or month from first to last, NaN where the file has none; and the days of totals."""
    first, last = min(gathered.days), max(gathered.days)
    calendar = pd.date_range(first, last, freq=step.frequency, name="date")
    table = pd.DataFrame(
        {role: pd.Series(gathered.values[role], dtype=float) for role in NUMBERS}, columns=list(NUMBERS)
    )
    table.index = pd.DatetimeIndex(table.index)
    table = table.reindex(calendar)
    unsaid = 1 - len(gathered.days) / len(calendar)
    if step is DAYS and header.layout is OWN and gathered.values["rain"]:  # a service says 0 where none fell
        if asked.days_left_out == DRY:
            dry = table["rain"].isna() & ~calendar.isin(pd.DatetimeIndex(sorted(gathered.unknown)))
            counts.left_out_dry = int(dry.sum())
            table["rain"] = table["rain"].mask(dry, 0.0)
        elif asked.days_left_out is None and unsaid > MANY_LEFT_OUT:
            found = f"rows for {1 - unsaid:.0%} of the days: are the others dry, or not known?"
            choices = " or ".join(f'rain.days_left_out = "{word}"' for word in (DRY, MISSING))
            findings.add(None, "days left out", found, f"this line in the site file: {choices}")
    totals = pd.Series(False, index=calendar)
    for day, span in gathered.spans.items():
        totals.loc[pd.Timestamp(day - timedelta(span - 1)) : pd.Timestamp(day)] = True
    return table, totals
