"""The figures of a rain file gathered by day, or by month, in millimetres and degrees Celsius."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from budget.record import dates
from budget.record.date_column import date_texts, row_date
from budget.record.figure_columns import Column, cell_value, figure_column, figure_columns
from budget.record.findings import Findings, Step, quoted
from budget.record.header import Body, Header
from budget.record.layouts import IN_METRIC, MONTH_NAMES, NUMBERS, Layout
from budget.record.remarks import Counts

COLDEST, HOTTEST = -90.0, 60.0  # [°C] the extremes on record are about -89 and 57; recalled


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
