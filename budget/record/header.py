"""The header of a rain file: found by what its columns hold, with the layout that it tells; and the rows below it."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace

from budget.errors import InputFaults
from budget.record.asked import Asked
from budget.record.findings import Findings, plain, quoted
from budget.record.layouts import LAYOUTS, MONTH_NAMES, NUMBERS, OWN, Layout, known_unit, read_heading
from budget.record.text_rows import HEADER_ACCEPTED, TextRows

HEADER_WITHIN = 80  # lines searched for the header, so that titles may stand above it

Body = list[tuple[int, list[str]]]  # line number and cells of each row


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


# ---------------------------------------------------------------- the rows below it


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
