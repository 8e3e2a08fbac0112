"""One file of rain or temperatures, of any layout, to figures in millimetres and degrees Celsius.

    the file as rows of cells (`text_rows`)
    -> its header, found by what the columns hold, and its layout (`layouts`)
    -> its units: from the header, else the layout, else a title, else the site file, else asked for
    -> its rows, one day or month each; traces 0, marks and sentinels missing (`figures`), dates (`dates`)
    -> a full calendar, gaps as NaN; a day without a row is a gap too, unless only rain days are listed

A unit is never guessed from the size of the numbers. Every fault is told with its line, all of them at once.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path

import pandas as pd

from budget.errors import InputFaults
from budget.record import dates, figures
from budget.record.findings import DAYS, LONGEST_MONTH, MONTHS, Findings, Step, plain, quoted
from budget.record.layouts import (
    IN_METRIC,
    LAYOUTS,
    MONTH_NAMES,
    NOT_MEASURED,
    NUMBERS,
    OWN,
    Layout,
    known_unit,
    read_heading,
)
from budget.record.text_rows import HEADER_ACCEPTED, TextRows, read_rows_of_text

# What the site file may say of a column: the words for it, the setting, its choices.
UNIT_SETTINGS = {
    "rain": ("rain", "rain.unit", ("in", "mm")),
    "tmax": ("temperatures", "rain.temperature_unit", ("F", "C")),
    "tmin": ("temperatures", "rain.temperature_unit", ("F", "C")),
}
RAIN_ROLES = ("rain", "total", "running")
DRY, MISSING = "dry", "missing"  # what days are that a file leaves out

COLDEST, HOTTEST = -90.0, 60.0  # [°C] the extremes on record are about -89 and 57; recalled
HEADER_WITHIN = 80  # lines searched for the header, so that titles may stand above it
SHORTEST_MONTH = 28  # [days]
LONGEST_TOTAL = 31  # [days] that one total may stand for
MANY_LEFT_OUT = 0.5  # share of days without a row from which on the file is asked what they are; common practice
ORDER_FAULTS = ("order of dates", "dates of two orders")
NUMBER_ACCEPTED = "a number with a decimal point; blank, NA or nan where the value is missing"


@dataclass(frozen=True)
class Asked:
    """What the site file says of its rain files, each where the files themselves do not say it."""

    unit: str | None = None
    temperature_unit: str | None = None
    date_order: str | None = None
    days_left_out: str | None = None
    station: str | None = None


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


@dataclass(frozen=True)
class Heading:
    """One cell of the header: what the column holds, where it stands, the unit written there if any."""

    role: str
    position: int
    text: str
    unit: str | None


@dataclass(frozen=True)
class Header:
    """The header line and the layout that it tells.

    `line`: as a person counts. `rows_from`: index of the first row below it; the row itself stands at `index`, -1 where
    the file has no headings.
    """

    layout: Layout
    separator: str
    index: int
    line: int
    cells: list[str]
    headings: list[Heading]
    rows_from: int

    def columns(self) -> dict[str, Heading]:
        """The first heading of each role."""
        first: dict[str, Heading] = {}
        for heading in self.headings:
            first.setdefault(heading.role, heading)
        return first

    def beside(self, pattern: str, position: int) -> int | None:
        """Where the column stands whose heading is `pattern`, with the heading at `position` put into it.

        Of several of that name the one that stands nearest to the position.
        """
        if not pattern:
            return None
        if self.layout.headless:
            places = [int(at) for at, role in self.layout.columns.items() if role == pattern]
            found = [at for at in places if at < len(self.cells)]
        else:
            own = plain(self.cells[position])
            wanted = pattern.replace("{heading}", own).replace("{name}", own.partition(" (")[0])
            found = [at for at, cell in enumerate(self.cells) if plain(cell) == wanted]
        return min(found, key=lambda at: abs(at - position), default=None)


@dataclass(frozen=True)
class Column:
    """A column of figures with what stands beside it: worked out once, for it is asked of every cell.

    `unit`: of its numbers, None of a count of days or where it is not known. `commas`: whether it has decimal commas.
    `rejected`, `traces`: position and marks. `source`, `attributes`: positions. `quality`: which of the attributes is
    the mark of a value that failed; the one before it is the mark of measurement.
    """

    role: str
    position: int
    text: str
    unit: str | None
    commas: bool
    rejected: list[tuple[int, tuple[str, ...]]]
    traces: list[tuple[int, tuple[str, ...]]]
    source: int | None
    attributes: int | None
    quality: int
    rainy: bool
    tenths: bool


@dataclass
class Counts:
    """What was found in the cells and is worth a sentence."""

    traces: int = 0
    estimates: int = 0
    rejected: int = 0
    forecasts: int = 0
    totals: int = 0
    crossing: int = 0  # totals that run over the end of a month
    left_out_dry: int = 0
    repeated: int = 0
    unknown_spans: int = 0  # rises of a running total over more days than a total may stand for
    resets: list[str] = field(default_factory=list)


@dataclass
class Gathered:
    """The figures by day (of months the first), in the file's own order of days."""

    values: dict[str, dict[date, float]] = field(default_factory=lambda: {role: {} for role in NUMBERS})
    lines: dict[tuple[date, str], int] = field(default_factory=dict)
    days: set[date] = field(default_factory=set)
    spans: dict[date, int] = field(default_factory=dict)  # days that a total covers
    span_days: dict[date, float] = field(default_factory=dict)  # as told in a row of its own
    totals: dict[date, float] = field(default_factory=dict)
    running: dict[date, float] = field(default_factory=dict)
    unknown: set[date] = field(default_factory=set)  # rain that the file says is missing, or that does not count


def read_file(path: Path, asked: Asked = Asked()) -> FileRead:
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


# ---------------------------------------------------------------- the header


def find_header(rows: TextRows, findings: Findings) -> Header:
    """The first line that a known layout's headings stand in, else that names a date and a figure."""
    # Comments may hold the words of a header as well, and a snapshot of stations begins with many lines of them.
    comments = [index for index, (_, text) in enumerate(rows.lines) if text.startswith("#")]
    others = [index for index, (_, text) in enumerate(rows.lines) if not text.startswith("#")]
    within = [*others[:HEADER_WITHIN], *comments[:HEADER_WITHIN]]
    places = [(separator, index) for separator in rows.separators for index in within]
    lines = [(separator, index, rows.split(index, separator) or []) for separator, index in places]
    for separator, index, cells in lines:
        names = [plain(cell) for cell in cells]
        for layout in LAYOUTS:
            if layout.needs and told_by(layout, names, separator):
                return _as_layout(layout, cells, names, separator, index, rows)
    for layout in (layout for layout in LAYOUTS if layout.headless):
        if header := _headless(layout, rows):
            return header
    for separator, index, cells in lines:
        if header := _as_said(cells, separator, index, rows):
            return _with_units_below(header, rows)
    index, line = next((i, n) for i, (n, text) in enumerate(rows.lines) if text.strip() or rows.cells)
    shown = rows.lines[index][1] if rows.cells is None else " ".join(rows.cells[index])
    findings.add(line, "no header", f"no header; the line reads {quoted(shown.strip())}", HEADER_ACCEPTED)
    raise InputFaults(findings.faults())


def told_by(layout: Layout, names: list[str], separator: str) -> bool:
    """Whether these headings are those of the layout."""
    begun = tuple(names[: len(layout.begins)]) == layout.begins
    return begun and set(layout.needs) <= set(names) and (separator == "cells" or layout.separator in (None, separator))


def _as_layout(
    layout: Layout, cells: list[str], names: list[str], separator: str, index: int, rows: TextRows
) -> Header:
    """The header of a known layout. Of columns of the same name the first counts."""
    headings: list[Heading] = []
    taken: set[str] = set()
    for position, (name, cell) in enumerate(zip(names, cells, strict=True)):
        role = layout.columns.get(name)
        if role and name not in taken:
            taken.add(name)
            headings.append(Heading(role, position, cell, None))
    rows_from = index + 1 + (1 if layout.unit_line else 0)
    return Header(layout, separator, index, rows.lines[index][0], cells, headings, rows_from)


def _headless(layout: Layout, rows: TextRows) -> Header | None:
    """The header of a file that has none, told by the pattern of its first line."""
    first = next((index for index, (_, text) in enumerate(rows.lines) if text.strip()), None)
    if first is None or not re.match(layout.headless, rows.lines[first][1]):
        return None
    cells = [str(at) for at in range(len(rows.split(first, ",") or []))]
    headings = [Heading(role, int(at), role, None) for at, role in layout.columns.items() if int(at) < len(cells)]
    return Header(layout, ",", -1, rows.lines[first][0], cells, headings, first) if headings else None


def _as_said(cells: list[str], separator: str, index: int, rows: TextRows) -> Header | None:
    """The header where the cells name a date and at least one figure."""
    read = [(position, cell, read_heading(cell)) for position, cell in enumerate(cells)]
    headings = [Heading(found[0], position, cell, found[1]) for position, cell, found in read if found]
    roles = {heading.role for heading in headings}
    dated = date_roles(roles)
    wanted = {*dated, *NUMBERS, "running", "station"}
    headings = [heading for heading in headings if heading.role in wanted]
    if roles & set(NUMBERS):  # a total beside the days' rain is their sum, not more rain
        headings = [heading for heading in headings if heading.role != "running" or "rain" not in roles]
    if any(heading.role == "date" and plain(heading.text) != "time" for heading in headings):  # time of the reading
        headings = [heading for heading in headings if plain(heading.text) != "time"]
    if not dated or not roles & {*NUMBERS, "running"}:
        return None
    if not separator and not _as_many_below(cells, index, rows):  # a sentence may hold the same words
        return None
    return Header(OWN, separator, index, rows.lines[index][0], cells, headings, index + 1)


def _as_many_below(cells: list[str], index: int, rows: TextRows) -> bool:
    """Whether the next line that is not blank has as many words."""
    below = next((text for _, text in rows.lines[index + 1 :] if text.strip()), "")
    return len(below.split()) == len(cells)


def _with_units_below(header: Header, rows: TextRows) -> Header:
    """The header with the units of a line of units right below it, where there is one."""
    cells = rows.split(header.rows_from, header.separator) if header.rows_from < len(rows.lines) else None
    if cells is None or len(cells) != len(header.cells) or any(map(str.isdecimal, "".join(cells))):
        return header
    said = {heading: re.sub(r"[()\[\]]", "", plain(cells[heading.position])) for heading in header.headings}
    if not any(known_unit(heading.role, unit) for heading, unit in said.items()):
        return header
    headings = []
    for heading, unit in said.items():
        above, figure = heading.unit, heading.role in (*NUMBERS, "running")
        if figure and unit and known_unit(heading.role, unit) != known_unit(heading.role, above or unit):
            unit = f"{above} {unit}"  # two that differ are none
        headings.append(replace(heading, unit=unit or above) if figure else heading)
    return replace(header, headings=headings, rows_from=header.rows_from + 1)


def date_roles(roles: set[str]) -> tuple[str, ...]:
    """Which columns say the date: one of dates before parts of it; a month alone where it may hold a year as well."""
    if "date" in roles:
        return ("date",)
    if "year" in roles and "day_of_year" in roles:
        return ("year", "day_of_year")
    if {"year", "month", "day"} <= roles:
        return ("year", "month", "day")
    if "month" in roles:
        return ("year", "month") if "year" in roles else ("month",)
    return ("year",) if "year" in roles and set(MONTH_NAMES) <= roles else ()


def check_columns(header: Header, findings: Findings) -> None:
    """Each column once; the months of a year's row from January on."""
    for role in (*NUMBERS, "date", "running"):
        texts = [quoted(heading.text) for heading in header.headings if heading.role == role]
        if len(texts) > 1:
            found = f"{len(texts)} columns for {role}: {', '.join(texts)}"
            findings.add(header.line, f"columns for {role}", found, "one; rename the other")
    months = [heading for heading in header.headings if heading.role in MONTH_NAMES]
    if [heading.role for heading in months] not in ([], list(MONTH_NAMES)):
        found = f"columns of months that begin with {quoted(months[0].text)}"
        findings.add(header.line, "order of months", found, "January to December, each row a calendar year")
        findings.raise_if_any()


def rows_below(rows: TextRows, header: Header, findings: Findings) -> Iterator[tuple[int, list[str]]]:
    """Line number and cells of each row below the header, as many cells as it has; rows without a digit are left out.

    Notes at the end of a row may have been left out, where another row has as many cells as the header; else the
    header has a cell too many, and what it names may stand elsewhere.
    """
    width = len(header.cells)
    last_read = max(heading.position for heading in header.headings)
    split = [(rows.lines[at][0], rows.split(at, header.separator)) for at in range(header.rows_from, len(rows.lines))]
    for _, cells in split:
        while cells and len(cells) > width and (not cells[-1] or (not header.separator and cells[-1].isalpha())):
            cells.pop()
    may_be_short = header.separator != "" and any(cells and len(cells) == width for _, cells in split)
    for line, cells in split:
        if cells is None:
            findings.add(line, "quotes not closed", "a quote that is not closed", 'quotes in pairs: "..."')
            continue
        if not any(map(str.isdecimal, "".join(cells))):
            continue  # blank, or words at the foot of the file; a row has a date at least
        if may_be_short and last_read < len(cells) < width:
            cells += [""] * (width - len(cells))
        if len(cells) != width:
            found, accepted = f"{len(cells)} cells", f"{width} cells as in the header; decimals with a point"
            findings.add(line, "rows of another length", found, accepted)
            continue
        yield line, cells


Body = list[tuple[int, list[str]]]


def of_one_station(body: Body, header: Header, asked: Asked, findings: Findings) -> Body:
    """The rows of the station that is asked for; a file of several stations asks which."""
    column = header.columns().get("station")
    if column is None:
        return body
    found = Counter(cells[column.position] for _, cells in body)
    if asked.station is not None and asked.station in found:
        return [(line, cells) for line, cells in body if cells[column.position] == asked.station]
    if len(found) > 1:
        names = ", ".join(f'"{name}"' for name, _ in found.most_common(5)) + (" ..." if len(found) > 5 else "")
        accepted = f"this line in the site file, with one of them: rain.station = {names}"
        findings.add(header.line, "several stations", f"{len(found)} stations", accepted)
        findings.raise_if_any()
    return body


# ---------------------------------------------------------------- dates and units


def date_texts(body: Body, header: Header) -> list[str]:
    """The text of each row's date; its parts joined where they stand in columns of their own."""
    columns = header.columns()
    roles = date_roles(set(columns))
    positions = [columns[role].position for role in roles]
    between = ":" if "day_of_year" in roles else "-"
    return [between.join([cells[at] for at in positions]) for _, cells in body]


def settle_order(body: Body, header: Header, asked: Asked, findings: Findings) -> str | None:
    """Which of day and month comes first, from the whole column; asked for where no date tells."""
    texts = [text for text in date_texts(body, header) if dates.asks_for_order(text)]
    if not texts:
        return None
    possible = dates.order_of(texts)
    choices = " or ".join(f'rain.date_order = "{order}"' for order in (dates.DAY_FIRST, dates.MONTH_FIRST))
    if not possible:
        found = "dates of which some have the day first and some the month"
        findings.add(header.line, "dates of two orders", found, "one order throughout")
        return None
    if asked.date_order in possible:
        return asked.date_order
    if len(possible) == 1:
        (order,) = possible
        if asked.date_order is not None:
            found = f'dates with the {order}, but rain.date_order = "{asked.date_order}" in the site file'
            findings.add(header.line, "order of dates", found, "the same in both")
        return order
    findings.add(
        header.line,
        "order of dates",
        f"dates such as {quoted(texts[0])}, whose day and month could be taken for each other",
        f"this line in the site file: {choices}",
    )
    return None


def find_step(body: Body, header: Header, order: str | None) -> Step:
    """Days or months, as the first row says whose date is either."""
    if set(MONTH_NAMES) <= set(header.columns()):
        return MONTHS
    for text in date_texts(body, header):
        if dates.read_day(text, order):
            return DAYS
        if dates.read_month(text):
            return MONTHS
    return DAYS if "date" in header.columns() else MONTHS


def settle_units(rows: TextRows, header: Header, step: Step, asked: Asked, findings: Findings) -> dict[str, str | None]:
    """The unit of each figure: from header, layout, title or site file, else a fault (and None)."""
    given = {"rain": asked.unit, "tmax": asked.temperature_unit, "tmin": asked.temperature_unit}
    columns = header.columns()
    found: dict[str, str | None] = {}
    for role in NUMBERS:
        roles = (*RAIN_ROLES, MONTH_NAMES[0]) if role == "rain" else (role,)
        heading = next((columns[r] for r in roles if r in columns), None)
        if heading is None and role in header.layout.elements.values():
            found[role] = header.layout.units[role]
        elif heading is not None:
            fixed = header.layout.units.get(role) or header.layout.units.get(heading.role)
            titled = unit_of_title(role, rows, header, step)
            if fixed and titled and titled != fixed.removeprefix("0.1 "):
                what = f"{role} in {titled} by the lines above the header"
                accepted = f'{fixed}, as such files have it; or headings of your own such as "{role} ({titled})"'
                findings.add(header.line, f"unit of {role}", what, accepted)
            found[role] = fixed or settle_unit(role, heading, step, given[role], titled, header.line, findings)
    if (high := found.get("tmax")) and (low := found.get("tmin")) and high != low:
        findings.add(header.line, "two units", f"highs in °{high} and lows in °{low}", "one unit for both")
    return found


def settle_unit(
    role: str, heading: Heading, step: Step, given: str | None, titled: str | None, line: int, findings: Findings
) -> str | None:
    """The unit of one column; `given` is what the site file says, `titled` what the lines above the header say."""
    what, key, choices = UNIT_SETTINGS[role]
    accepted = " or ".join(f'"{choice}"' for choice in choices)
    if given is not None and given not in choices:
        findings.add_once(None, key, f'{key} = "{given}" in the site file', accepted)
        return None
    if heading.unit is None and titled is None:
        if given is None:
            wanted = " or ".join(f'{key} = "{choice}"' for choice in choices)
            found = f"no unit for the {what}"
            findings.add_once(line, found, found, f"this line in the site file: {wanted}")
        return given
    written = titled if heading.unit is None else known_unit(role, heading.unit, step.rate)
    if written is None:
        findings.add(line, f"unit of {role}", f"the unit of column {quoted(heading.text)}", accepted)
    elif given is not None and written != given:
        said = f"{role} in {written} by the lines above the header"
        if heading.unit is not None:
            said = f"column {quoted(heading.text)}"
        found = f'{said}, but {key} = "{given}" in the site file'
        findings.add(line, f"unit of {role}", found, "the same unit in both, or only one of them")
    return written


def unit_of_title(role: str, rows: TextRows, header: Header, step: Step) -> str | None:
    """The one unit in brackets that the lines above the header name for such a figure; None where they do not agree.

    A single letter does not count, nor IN in capitals: they stand for a copyright or a state as well.
    """
    above = range(max(0, header.index))
    words = " ".join(rows.lines[index][1] if rows.cells is None else " ".join(rows.cells[index]) for index in above)
    bracketed = [text.strip() for text in re.findall(r"[(\[]([^()\[\]]{2,20})[)\]]", words)]
    units = {known_unit(role, text.lower(), step.rate) for text in bracketed if len(text) > 1 and text != "IN"}
    units.discard(None)
    return units.pop() if len(units) == 1 else None


# ---------------------------------------------------------------- the rows


def gather(
    body: Body,
    header: Header,
    step: Step,
    order: str | None,
    units: Mapping[str, str | None],
    counts: Counts,
    findings: Findings,
) -> Gathered:
    """The figures of every row, by day."""
    gathered = Gathered()
    if set(MONTH_NAMES) <= set(header.columns()):
        gather_years(body, header, step, units, counts, gathered, findings)
        return gathered
    columns, elements = figure_columns(body, header, step, units)
    told = header.columns()["element"].position if elements else 0
    for (line, cells), text in zip(body, date_texts(body, header), strict=True):
        day = row_date(line, text, step, order, findings)
        if day is None:
            continue
        gathered.days.add(day)
        held = columns if not elements else [elements[cells[told]]] if cells[told] in elements else []
        for column in held:
            take(line, cells, day, column, header.layout, step, counts, gathered, findings)
    return gathered


def gather_years(
    body: Body,
    header: Header,
    step: Step,
    units: Mapping[str, str | None],
    counts: Counts,
    gathered: Gathered,
    findings: Findings,
) -> None:
    """The twelve months of each row, which stands for a year."""
    headings = header.columns()
    year = headings["year"].position
    columns = [figure_column("rain", headings[name], body, header, step, units["rain"]) for name in MONTH_NAMES]
    for line, cells in body:
        first = dates.read_month(f"{cells[year]}-1")
        if first is None:
            findings.add(line, "unreadable dates", f"the year {quoted(cells[year])}", "a year such as 2012")
            continue
        for number, column in enumerate(columns, 1):
            month = first.replace(month=number)
            if take(line, cells, month, column, header.layout, step, counts, gathered, findings):
                gathered.days.add(month)  # the months to come are blank


def figure_columns(
    body: Body, header: Header, step: Step, units: Mapping[str, str | None]
) -> tuple[list[Column], dict[str, Column]]:
    """The columns that hold figures; or, of a file with one figure a row, by what its element column says."""
    headings = header.columns()

    def unit(role: str) -> str | None:
        return units.get("rain" if role in RAIN_ROLES else role)

    if "element" in headings:
        value = headings["value"]
        elements = header.layout.elements.items()
        return [], {name: figure_column(role, value, body, header, step, unit(role)) for name, role in elements}
    held = [role for role in (*NUMBERS, "total", "total_days", "running") if role in headings]
    return [figure_column(role, headings[role], body, header, step, unit(role)) for role in held], {}


def figure_column(role: str, heading: Heading, body: Body, header: Header, step: Step, unit: str | None) -> Column:
    """One column with the marks beside it."""
    layout, at = header.layout, heading.position

    def marks(patterns: Mapping[str, tuple[str, ...]]) -> list[tuple[int, tuple[str, ...]]]:
        found = [(header.beside(pattern, at), marks) for pattern, marks in patterns.items()]
        return [(position, marks) for position, marks in found if position is not None]

    return Column(
        role,
        at,
        heading.text,
        unit,
        figures.has_decimal_commas([cells[at] for _, cells in body]),
        marks(layout.rejected),
        marks(layout.traces),
        header.beside(layout.sources, at),
        header.beside(layout.attributes, at),
        1 if step is DAYS else 2,  # attributes of months begin with the count of missing days
        role in RAIN_ROLES,
        unit is not None and unit.startswith("0.1 "),
    )


def row_date(line: int, text: str, step: Step, order: str | None, findings: Findings) -> date | None:
    """The row's day, of months the first; a fault and None where it has none of this step."""
    read = dates.read_day(text, order) if step is DAYS else dates.read_month(text)
    if read is not None:
        return read
    if (dates.read_month(text) if step is DAYS else dates.read_day(text, order)) is not None:
        other = MONTHS if step is DAYS else DAYS
        found = f"the {other.name} {quoted(text)} in a file of {step.name}s"
        findings.add(line, "days and months mixed", found, "days only, or months only")
    else:
        findings.add(line, "unreadable dates", f"the date {quoted(text)}", step.accepted)
    return None


def take(
    line: int,
    cells: list[str],
    day: date,
    column: Column,
    layout: Layout,
    step: Step,
    counts: Counts,
    gathered: Gathered,
    findings: Findings,
) -> bool:
    """Keep a cell's figure; whether it has one."""
    value = cell_value(line, cells, column, layout, counts, findings)
    if math.isnan(value):
        if column.rainy and cells[column.position]:
            gathered.unknown.add(day)
        return False
    put(line, day, value, column, step, gathered, counts, findings)
    return True


def cell_value(
    line: int, cells: list[str], column: Column, layout: Layout, counts: Counts, findings: Findings
) -> float:
    """The number of a cell in the file's own unit, NaN where it is missing or does not count."""
    cell = cells[column.position]
    if figures.is_missing(cell):
        return math.nan
    attributes = cells[column.attributes].split(",") if column.attributes is not None else []
    failed = column.quality < len(attributes) and attributes[column.quality].strip() != ""
    for at, marks in column.rejected:
        failed = failed or (cells[at] != "" and (cells[at] in marks or "*" in marks))
    if failed:
        counts.rejected += 1
        return math.nan
    if column.source is not None and not NOT_MEASURED.isdisjoint(cells[column.source].split()):
        counts.forecasts += 1
        return math.nan
    if column.rainy:
        traced = column.quality <= len(attributes) and attributes[column.quality - 1].strip() == "T"
        for at, marks in column.traces:
            traced = traced or cells[at] in marks
        if traced or figures.is_trace(cell) or cell in layout.trace_values:
            counts.traces += 1
            return 0.0
    value = figures.read_figure(cell, column.commas, column.tenths)
    behind = figures.unit_behind(cell)
    if value is None or (behind and column.unit and behind != column.unit):
        found = f"{quoted(cell)} in column {quoted(column.text)}"
        accepted = NUMBER_ACCEPTED if value is None else f"numbers in {column.unit}, as in the rest of the column"
        findings.add(line, f"text in column {quoted(column.text)}", found, accepted)
        return math.nan
    if column.tenths and "." in cell:
        found = f"{quoted(cell)} in column {quoted(column.text)}, which such files have in tenths"
        accepted = 'whole tenths; where the numbers are no tenths, headings of your own such as "rain (mm)"'
        findings.add(line, f"tenths in column {quoted(column.text)}", found, accepted)
        return math.nan
    counts.estimates += figures.is_estimate(cell)
    return value


def put(
    line: int,
    day: date,
    value: float,
    column: Column,
    step: Step,
    gathered: Gathered,
    counts: Counts,
    findings: Findings,
) -> None:
    """Keep a figure, in mm or °C; a second, other value for the day is a fault."""
    role = column.role
    if role == "total_days":
        gathered.span_days[day] = value
        return
    zero, times, per = IN_METRIC[column.unit] if column.unit else (0.0, 1.0, 1.0)
    metric = (value - zero) * times / per
    check_value(line, value, metric, column, step, findings)
    kept = {"total": gathered.totals, "running": gathered.running}
    into = kept[role] if role in kept else gathered.values[role]
    if day in into:
        if abs(into[day] - metric) > 1e-9:
            found = f"{step.told(day)} a second time, first in line {gathered.lines[day, role]}"
            findings.add(line, "dates given twice", found, f"one row a {step.name}")
        else:
            counts.repeated += 1
        return
    into[day] = metric
    gathered.lines[day, role] = line


def check_value(line: int, value: float, metric: float, column: Column, step: Step, findings: Findings) -> None:
    """Bounds that no figure passes in any climate, told in the file's own numbers; held once the unit is known."""
    if column.unit is None:
        return
    unit = column.unit.removeprefix("0.1 ")
    if column.unit != unit:
        value /= 10
    if column.role == "rain":
        if metric > step.most_rain:
            found = f"rain {value:g} {unit} in one {step.name}"
            findings.add(line, "more rain than believable", found, most_accepted(step))
    elif not column.rainy and not COLDEST <= metric <= HOTTEST:
        found = f"{column.role} {value:g} °{unit}"
        accepted = "-90 to 60 °C (-130 to 140 °F); blank where the value is missing"
        findings.add(line, "unbelievable temperatures", found, accepted)


def most_accepted(step: Step) -> str:
    return f"at most {step.most_rain:g} mm ({step.most_rain / 25.4:.1f} in) a {step.name}"


# ---------------------------------------------------------------- totals


def spread_totals(gathered: Gathered, step: Step, counts: Counts, findings: Findings) -> None:
    """Rain of several days stands on the last of them; the days before, blank in the file, count 0."""
    rain = gathered.values["rain"]
    for day, total in gathered.totals.items():
        span, line = gathered.span_days.get(day, 1.0), gathered.lines[day, "total"]
        if not 1 <= span <= LONGEST_TOTAL:
            accepted = f"1 to {LONGEST_TOTAL} days"
            findings.add(line, "totals over many days", f"a total over {span:g} days", accepted)
            continue
        if total > step.most_rain * span:
            findings.add(line, "more rain than believable", f"{total:g} mm in {span:g} days", most_accepted(step))
        if day in rain:
            continue  # the day has its own figure
        rain[day] = total
        if step is DAYS:
            _cover(day, int(span), gathered, counts)


def _cover(day: date, span: int, gathered: Gathered, counts: Counts) -> None:
    """Mark the days that a total on `day` covers."""
    if span <= 1:
        return
    rain = gathered.values["rain"]
    covered = [day - timedelta(back) for back in range(1, span)]
    counts.totals += 1
    counts.crossing += any(before.month != day.month for before in covered)
    gathered.spans[day] = span
    for before in covered:
        gathered.days.add(before)
        rain.setdefault(before, 0.0)


def difference(gathered: Gathered, step: Step, counts: Counts, findings: Findings) -> None:
    """A total that runs on becomes the rain between its readings; it may begin anew at a year's beginning.

    What fell over more than a month without a reading, or over several rows of a file of months, is not known by days
    or months: it is left out and told.
    """
    rain = gathered.values["rain"]
    longest = LONGEST_TOTAL if step is DAYS else LONGEST_MONTH
    for before, day in pairwise(sorted(gathered.running)):
        total, line = gathered.running[day], gathered.lines[day, "running"]
        fell, days = total - gathered.running[before], (day - before).days
        if fell < -1e-9:
            if not _begins_anew(before, day):
                found = f"the running total falls from {gathered.running[before]:g} to {total:g} mm on {step.told(day)}"
                accepted = (
                    "one that only rises, but for a new start on 1 January, 1 July or 1 October;"
                    " what fell in each row stands in a column named rain"
                )
                findings.add(line, "totals that fall", found, accepted)
            counts.resets.append(step.told(day))
            fell = total
        if days > longest:
            counts.unknown_spans += 1
            gathered.unknown.update(before + timedelta(ahead) for ahead in range(1, days + 1))
            continue
        if fell > step.most_rain * (days if step is DAYS else 1):
            findings.add(line, "more rain than believable", f"{fell:g} mm since the row before", most_accepted(step))
        rain[day] = max(0.0, fell)
        if step is DAYS:
            _cover(day, days, gathered, counts)


def _begins_anew(before: date, day: date) -> bool:
    """Whether a year of the calendar, of the south, or of water began since the reading before."""
    return any(before < date(year, month, 1) <= day for year in (before.year, day.year) for month in (1, 7, 10))


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


def remarks(header: Header, counts: Counts) -> list[str]:
    """What was found in the cells, in plain sentences."""
    doubtful = "that the service marked as doubtful"
    told = [
        (counts.traces, "trace of rain counts 0", "traces of rain count 0"),
        (counts.estimates, "value is marked as estimated and kept", "values are marked as estimated and kept"),
        (counts.rejected, f"value {doubtful} is left out", f"values {doubtful} are left out"),
        (
            counts.forecasts,
            "value comes from a forecast and is left out",
            "values come from a forecast and are left out",
        ),
        (
            counts.totals,
            "total over several days stands on their last day",
            "totals over several days stand on their last day",
        ),
        (counts.crossing, "of them runs over the end of a month", "of them run over the end of a month"),
        (
            counts.left_out_dry,
            "day without a figure counts as dry, as the site file says",
            "days without a figure count as dry, as the site file says",
        ),
        (counts.repeated, "value that stands twice is taken once", "values that stand twice are taken once"),
        (len(counts.resets), "time the running total began anew", "times the running total began anew"),
        (
            counts.unknown_spans,
            "rise of the running total over more than a month is left out",
            "rises of the running total over more than a month each are left out",
        ),
    ]
    sentences = [f"{n} {one if n == 1 else many}." for n, one, many in told if n]
    return [*sentences, *([header.layout.note] if header.layout.note else [])]
