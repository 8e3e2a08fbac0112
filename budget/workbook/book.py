"""The book being laid out: its sheets, what formulas can name, and which formula stands where.

When every sheet is laid out, `Book.write_formulas` resolves and writes all formulas, so that sheets may name each other
in any order.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date

from openpyxl import Workbook
from openpyxl.cell import Cell
from openpyxl.chart._chart import ChartBase
from openpyxl.worksheet.worksheet import Worksheet

from budget.declarations import Column, Input, Result, Table
from budget.units import System
from budget.workbook.formulas import STEPWISE, Resolved, resolve_column, resolve_result
from budget.workbook.material import FOUND, LEFT_EMPTY
from budget.workbook.placement import Directory, Placement
from budget.workbook.styles import Styles
from budget.workbook.validation import validation_of

CellKey = tuple[str, int, int]  # sheet, row, column
UNDATED = date(2000, 1, 1)  # of books that tell no date of their build
Owner = str | tuple[str, str]  # a result's name, or a table and a column's key


@dataclass(frozen=True)
class SharedRun:
    """Cells of one column that hold the same formula, moved along: what an evaluation copy may write once."""

    sheet: str
    column: int
    first_row: int
    last_row: int


@dataclass(frozen=True)
class AsBuilt:
    """Where the book's own papers keep the value of an input's cell as the build left it, and where it came from."""

    value: CellKey
    origin: CellKey


@dataclass
class Book:
    """A workbook being laid out: its cells, what formulas can name, and which formula stands where."""

    system: System
    workbook: Workbook = field(default_factory=Workbook)
    sheets: dict[str, Worksheet] = field(default_factory=dict)
    directory: Directory = field(default_factory=Directory)
    owners: dict[CellKey, Owner] = field(default_factory=dict)
    runs: list[SharedRun] = field(default_factory=list)
    reads: dict[Owner, set[Owner]] = field(default_factory=dict)
    results: list[Result] = field(default_factory=list)
    inputs: list[Input] = field(default_factory=list)
    validations: list[tuple[Input, str, str]] = field(default_factory=list)  # input, sheet, range
    charts: list[tuple[str, str, Callable[[], ChartBase]]] = field(default_factory=list)  # sheet, cell, how to draw it
    place: str = ""  # stands at the foot of every page
    built_on: date = UNDATED
    as_built: dict[CellKey, AsBuilt] = field(default_factory=dict)  # of every input's cell
    later: list[Callable[[], None]] = field(default_factory=list)  # what waits until every cell has its place

    def __post_init__(self) -> None:
        first = self.workbook.active
        assert isinstance(first, Worksheet)
        self.styles = Styles(first)

    def new_sheet(self, name: str, colour: str) -> Worksheet:
        """An empty sheet after the others, its tab in that colour."""
        workbook = self.workbook
        first = workbook.active
        if isinstance(first, Worksheet) and not self.sheets:
            first.title = name
            worksheet = first
        else:
            worksheet = workbook.create_sheet(name)
        worksheet.sheet_properties.tabColor = colour
        self.sheets[name] = worksheet
        return worksheet

    def cells(self, table: str, key: str) -> list[CellKey]:
        """The cells of a table's column along its rows."""
        placement = self.directory.placements[table]
        rows = range(placement.table.rows.size)
        return [(placement.sheet, *placement.cell(key, 0, row)) for row in rows]

    def write_formulas(self) -> None:
        """Resolve every template, write it into its cells, draw the charts. Call once, when all sheets are laid out."""
        for placement in self.directory.placements.values():
            for column in placement.table.columns:
                if isinstance(column, Column):
                    self._write_column(placement, column)
        for result in self.results:
            resolved = resolve_result(self.directory, result)
            self._note(result.name, resolved)
            self.write_formula(self.directory.names[result.name], resolved.text(0), result.name)
        for write in self.later:
            write()
        for given, sheet, cells in self.validations:
            validation = validation_of(given, self.system, self.directory)
            validation.add(cells)
            self.workbook[sheet].add_data_validation(validation)
        for sheet, cell, draw in self.charts:
            self.workbook[sheet].add_chart(draw(), cell)

    def _write_column(self, placement: Placement, column: Column) -> None:
        table = placement.table
        owner = (table.name, column.key)
        for item in range(table.each.size if table.each else 1):
            for edge in edges(table, column):
                resolved = resolve_column(self.directory, table, column, edge.template, item, edge.row)
                self._note(owner, resolved)
                where = placement.edge(column.key, item, edge.run, edge.closing)
                self.write_formula((placement.sheet, *where), resolved.text(edge.row, 1 if edge.closing else -1), owner)
            if column.formula is not None:
                formula = column.formula + STEPWISE if column.stepwise else column.formula
                self._write_rows(placement, column, formula, item)

    def _write_rows(self, placement: Placement, column: Column, formula: str, item: int) -> None:
        table = placement.table
        owner = (table.name, column.key)
        alike = isinstance(table.given, Mapping)
        resolved = resolve_column(self.directory, table, column, formula, item, 0)
        self._note(owner, resolved)
        for row in range(table.rows.size):
            if name := table.name_of(column.key, row):  # a result of its own, written as such
                self.reads[owner].add(name)
                continue
            if not alike:
                resolved = resolve_column(self.directory, table, column, formula, item, row)
                self._note(owner, resolved)
            where = placement.cell(column.key, item, row)
            self.write_formula((placement.sheet, *where), resolved.text(row), owner)
        downwards = all(isinstance(part, str) or part.follows_each_row for part in resolved.parts)
        length = table.rows.run_length
        if alike and downwards and not table.transposed and length > 1:
            for run in range(table.rows.run_count):
                first_row, sheet_column = placement.cell(column.key, item, run * length)
                self.runs.append(SharedRun(placement.sheet, sheet_column, first_row, first_row + length - 1))

    def keep(self, where: CellKey, value: float) -> list[CellKey]:
        """Put what the build found into the cell of an input, and into the papers; returns the cells that got it."""
        cells, papers = [where], self.as_built.get(where)
        if papers is not None:
            cells.append(papers.value)
            origin = self._cell(papers.origin)
            if origin.value == LEFT_EMPTY:
                origin.value = FOUND
        for cell in cells:
            self._cell(cell).value = value
        return cells

    def _cell(self, where: CellKey) -> Cell:
        sheet, row, column = where
        cell = self.workbook[sheet].cell(row, column)
        assert isinstance(cell, Cell)
        return cell

    def write_formula(self, where: CellKey, text: str, owner: Owner) -> None:
        """Write a formula, without its equals sign, into a cell."""
        sheet, row, column = where
        cell = self.sheets[sheet].cell(row, column)
        # Past the setter, which inspects every text anew: a third of the time of laying out.
        cell._value, cell.data_type = "=" + text, "f"
        self.owners[where] = owner

    def _note(self, owner: Owner, resolved: Resolved) -> None:
        self.reads.setdefault(owner, set()).update(resolved.columns, resolved.names)


@dataclass(frozen=True)
class Edge:
    """The opening cell of a column above a run of its rows, or the closing cell below it; `row` is beside it."""

    run: int
    row: int
    closing: bool
    template: str


def edges(table: Table, column: Column) -> Iterator[Edge]:
    """The cells of a column that hold another formula than its own."""
    length = table.rows.run_length
    for run in range(table.rows.run_count):
        opening = table.opening_of(column)
        if opening is not None:
            yield Edge(run, run * length, False, opening)
        if column.closing is not None:
            yield Edge(run, run * length + length - 1, True, column.closing)
