"""The columns of a rain file that hold figures, with the marks beside them; one of their cells to its number."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from budget.record import figures
from budget.record.column_units import RAIN_ROLES
from budget.record.findings import DAYS, Findings, Step, quoted
from budget.record.header import Body, Header, Heading
from budget.record.layouts import NOT_MEASURED, NUMBERS, Layout
from budget.record.remarks import Counts

NUMBER_ACCEPTED = "a number with a decimal point; blank, NA or nan where the value is missing"


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
