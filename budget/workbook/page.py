"""The page: the only writer of cells.

A sheet module calls a `Page` for titles, forms of inputs and results, and tables; the page puts them one below the
other, makes them known in the `Directory`, and notes the formulas. When every sheet is laid out, `Book.write_formulas`
resolves and writes them all, so that sheets may name each other in any order.

Column A of each sheet is hidden and holds the key of the input or result in that row; above each table's titles a
hidden row holds the keys of its columns (`table:key`, and `:item` where the column repeats), so that a program finds
every figure wherever the sheets are moved to.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from openpyxl import Workbook
from openpyxl.chart._chart import ChartBase
from openpyxl.comments import Comment
from openpyxl.formatting.rule import FormulaRule
from openpyxl.styles import PatternFill
from openpyxl.utils import get_column_letter
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.page import PageMargins
from openpyxl.worksheet.pagebreak import Break
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.worksheet import Worksheet

from budget.declarations import Column, Input, Result, Rows, Table
from budget.errors import ModelError
from budget.units import DAY_FORMAT, Factor, System, Unit, to_book
from budget.workbook.formulas import (
    STEPWISE,
    Directory,
    Moving,
    Placement,
    Resolved,
    address,
    quoted,
    resolve_column,
    resolve_result,
    validation_range,
)
from budget.workbook.styles import CLAY, Role, Styles

Value = float | int | str | None
CellKey = tuple[str, int, int]  # sheet, row, column
Owner = str | tuple[str, str]  # a result's name, or a table and a column's key

KEY, LABEL, UNIT, VALUE, NOTE = 1, 2, 3, 4, 5
FAULT = "fault"  # key of the columns that say what is to be mended in their row
LONGEST_NOTE = 250
USUAL_WIDTH = 12
LETTERS = 1.12  # of running text in the width of a digit, with room to spare
BOLD = 0.85  # of that many where they are bold
SMALL = 1.06  # times as many where they are of size 9, a place kept for the indent
LINE_HEIGHT = 13.5  # points
VALIDATED_AS = {Unit.MONTH: "whole", Unit.DAY: "whole", Unit.FLAG: "whole", Unit.YEAR: "whole", Unit.DATE: "date"}


@dataclass(frozen=True)
class SharedRun:
    """Cells of one column that hold the same formula, moved along: what an evaluation copy may write once."""

    sheet: str
    column: int
    first_row: int
    last_row: int


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
    later: list[Callable[[], None]] = field(default_factory=list)  # what waits until every cell has its place

    def __post_init__(self) -> None:
        first = self.workbook.active
        assert isinstance(first, Worksheet)
        self.styles = Styles(first)

    def page(self, sheet: str, title: str, purpose: str, colour: str) -> Page:
        """Begin a sheet, with its title and one line on what it is for."""
        workbook = self.workbook
        first = workbook.active
        if isinstance(first, Worksheet) and first.title == "Sheet" and len(workbook.sheetnames) == 1:
            first.title = sheet
            worksheet = first
        else:
            worksheet = workbook.create_sheet(sheet)
        worksheet.sheet_properties.tabColor = colour
        self.sheets[sheet] = worksheet
        return Page(self, worksheet, title, purpose)

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
            sheet, row, cell_column = self.directory.names[result.name]
            self._note(result.name, resolved)
            self._write_formula((sheet, row, cell_column), resolved.text(0), result.name)
        for write in self.later:
            write()
        for given, sheet, cells in self.validations:
            self._validate(given, sheet, cells)
        for sheet, cell, draw in self.charts:
            self.workbook[sheet].add_chart(draw(), cell)

    def _write_column(self, placement: Placement, column: Column) -> None:
        table = placement.table
        owner = (table.name, column.key)
        for item in range(table.each.size if table.each else 1):
            edges = ((-1, table.opening_of(column)), (table.rows.size, column.closing))
            for row, template in edges:
                if template is not None:
                    resolved = resolve_column(self.directory, table, column, template, item, row)
                    self._note(owner, resolved)
                    where = placement.cell(column.key, item, row)
                    self._write_formula((placement.sheet, *where), resolved.text(row), owner)
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
            if not alike:
                resolved = resolve_column(self.directory, table, column, formula, item, row)
                self._note(owner, resolved)
            where = placement.cell(column.key, item, row)
            self._write_formula((placement.sheet, *where), resolved.text(row), owner)
        downwards = not table.transposed and not any(isinstance(p, Moving) and p.across for p in resolved.parts)
        if alike and downwards and table.rows.size > 1:
            first_row, sheet_column = placement.cell(column.key, item, 0)
            run = SharedRun(placement.sheet, sheet_column, first_row, first_row + table.rows.size - 1)
            self.runs.append(run)

    def _write_formula(self, where: CellKey, text: str, owner: Owner) -> None:
        sheet, row, column = where
        cell = self.sheets[sheet].cell(row, column)
        # Past the setter, which inspects every text anew: a third of the time of laying out.
        cell._value, cell.data_type = "=" + text, "f"
        self.owners[where] = owner

    def _note(self, owner: Owner, resolved: Resolved) -> None:
        self.reads.setdefault(owner, set()).update(resolved.columns, resolved.names)

    def _validate(self, given: Input, sheet: str, cells: str) -> None:
        validation = _validation(given, self.system, self.directory)
        validation.add(cells)
        self.workbook[sheet].add_data_validation(validation)


def _validation(given: Input, system: System, directory: Directory) -> DataValidation:
    """The data validation of an input: a list, or bounds in the book's units, with its meaning as the prompt."""
    bounds = accepted(given, system)
    if given.choices:
        words = (
            f'"{",".join(given.choices)}"'
            if isinstance(given.choices, tuple)
            else validation_range(directory, given.choices)
        )
        validation = DataValidation(type="list", formula1=words, allow_blank=True)
        # A drop-down arrow is shown when this odd flag of the format is off.
        validation.showDropDown = False
    elif given.unit is Unit.TEXT:
        validation = DataValidation(type="textLength", operator="lessThanOrEqual", formula1="200", allow_blank=True)
    else:
        low, high = bound(given.low, given.unit, system), bound(given.high, given.unit, system)
        kind = VALIDATED_AS.get(given.unit, "decimal")
        validation = DataValidation(type=kind, operator="between", formula1=low, formula2=high, allow_blank=True)
    validation.promptTitle = given.title[:32]
    validation.prompt = f"{given.meaning} Accepted: {bounds}."[:LONGEST_NOTE]
    validation.errorTitle = given.title[:32]
    validation.error = f"Accepted: {bounds}."[:LONGEST_NOTE]
    validation.showInputMessage = True
    validation.showErrorMessage = True
    return validation


def bound(text: str | None, unit: Unit, system: System) -> str:
    """A bound as a number of the book, in text."""
    if text is None:
        raise ModelError(f"an input in {unit.name} has no bound")
    return repr(to_book(text, unit, system))


def accepted(given: Input, system: System) -> str:
    """What an input accepts, in words, in the book's units."""
    if isinstance(given.choices, tuple):
        return ", ".join(given.choices)
    if given.choices:
        return "a word of the list"
    if given.unit is Unit.TEXT:
        return "text"
    if given.unit is Unit.DATE:
        return f"a date from {given.low} to {given.high}"
    low, high = (to_book(text or "0", given.unit, system) for text in (given.low, given.high))
    if given.unit is Unit.YEAR:
        return f"{low:.0f} to {high:.0f}"
    label = given.unit.label(system)
    if given.unit is Unit.SHARE:
        return f"{low:.0%} to {high:.0%}"
    return f"{low:,.4g} to {high:,.4g} {label}".strip()


class Page:
    """One sheet, written from the top down. `row` is the next free row."""

    def __init__(self, book: Book, worksheet: Worksheet, title: str, purpose: str) -> None:
        self.book = book
        self.sheet = worksheet
        self.name = worksheet.title
        self.put(1, LABEL, title, "title")
        self.put(2, LABEL, purpose, "purpose")
        worksheet.row_dimensions[1].height = 30
        worksheet.sheet_format.defaultColWidth = USUAL_WIDTH
        worksheet.column_dimensions["A"].hidden = True
        worksheet.sheet_view.showGridLines = False
        worksheet.protection.sheet = True
        worksheet.protection.formatColumns = False
        worksheet.protection.formatRows = False
        self.row = 4
        self.note = NOTE
        self.edge = 14

    def put(self, row: int, column: int, value: Value, role: Role, number_format: str = "General") -> None:
        """Write a constant. Text stays text, whatever it begins with."""
        cell = self.sheet.cell(row, column)
        cell.value = value
        if isinstance(value, str):
            cell.data_type = "s"
        cell._style = self.book.styles.of(role, number_format)

    def widths(self, **widths: float) -> None:
        """Set column widths by letter."""
        for letter, width in widths.items():
            self.sheet.column_dimensions[letter].width = width

    def _width(self, column: int) -> float:
        letter = get_column_letter(column)
        known = letter in self.sheet.column_dimensions
        return self.sheet.column_dimensions[letter].width if known else USUAL_WIDTH

    def heading(self, text: str) -> None:
        """A heading over what follows, underlined over the width of the forms."""
        self.row += 1
        for column in range(LABEL, self.edge + 1):
            self.put(self.row, column, text if column == LABEL else None, "heading")
        self.sheet.row_dimensions[self.row].height = 20
        self.row += 1

    def paragraph(self, text: str, role: Role = "text", lines: int | None = None) -> None:
        """Running text over the width of the forms."""
        across = self.edge
        self.put(self.row, LABEL, text, role)
        self.sheet.merge_cells(start_row=self.row, end_row=self.row, start_column=LABEL, end_column=across)
        wide = sum(self._width(column) for column in range(LABEL, across + 1))
        self.sheet.row_dimensions[self.row].height = LINE_HEIGHT * (lines or _lines(text, wide)) + 6
        self.row += 1

    def link(self, text: str, sheet: str, row: int, column: int, cell: str = "A1") -> None:
        """A cell that leads to another sheet."""
        self.sheet.cell(row, column)._style = self.book.styles.of("link")
        formula = f'HYPERLINK("#{quoted(sheet)}!{cell}", "{text}")'
        self.book._write_formula((self.name, row, column), formula, f"link:{sheet}!{cell}")

    def link_to_input(self, given: Input, row: int, column: int) -> None:
        """A cell that leads to the cell of an input, wherever it will stand."""

        def write() -> None:
            sheet, at_row, at_column = self.book.directory.names[given.name]
            self.link(f"{sheet}: {given.title}", sheet, row, column, f"{get_column_letter(at_column)}{at_row}")

        self.book.later.append(write)

    def shown_again(self, block: Input | Result, row: int, column: int, role: Role = "data") -> None:
        """A cell that shows what stands in the cell of an input or result, wherever that will stand."""
        number_format = "General" if block.unit is Unit.TEXT else block.unit.number_format(self.book.system)
        self.sheet.cell(row, column)._style = self.book.styles.of(role, number_format)

        def write() -> None:
            where = (self.name, row, column)
            self.book._write_formula(where, address(*self.book.directory.names[block.name]), f"again:{block.name}")

        self.book.later.append(write)

    def sentence_again(self, result: Result, role: Role, height: float = 18) -> None:
        """A sentence that has its own cell elsewhere, over the width of the forms."""
        self.shown_again(result, self.row, LABEL, role)
        self.sheet.merge_cells(start_row=self.row, end_row=self.row, start_column=LABEL, end_column=self.edge)
        self.sheet.row_dimensions[self.row].height = height
        self.row += 1

    def inputs(self, inputs: Sequence[Input], values: Mapping[str, Value], hidden: bool = False) -> None:
        """A form of inputs: label, cell, unit, meaning. `values` holds what stands in the cells, None in an empty one.

        `hidden`: the rows are there for the formulas, but say nothing in this book. Raises ModelError where `values`
        does not know an input.
        """
        for given in inputs:
            self._form_row(given.name, given.title, given.unit, given.meaning)
            self.sheet.row_dimensions[self.row].hidden = hidden
            role: Role = "found" if given.found else "input"
            if given.name not in values:
                raise ModelError(f"no value for the input {given.name}: its noun is not in the register")
            value = values[given.name]
            self.put(self.row, VALUE, value, role, given.unit.number_format(self.book.system))
            if isinstance(value, str) and _lines(value, self._width(VALUE) * BOLD) > 1:
                self.sheet.row_dimensions[self.row].height = LINE_HEIGHT * 2 + 3
            self.book.inputs.append(given)
            cell = f"{get_column_letter(VALUE)}{self.row}"
            self.book.validations.append((given, self.name, cell))
            self.row += 1

    def results(self, results: Sequence[Result], role: Role = "result", lines: int = 1) -> None:
        """A form of results, beside which stand unit and meaning; sentences of so many `lines` reach to the edge."""
        for result in results:
            self._form_row(result.name, result.title, result.unit, result.meaning)
            number_format = "General" if result.unit is Unit.TEXT else result.unit.number_format(self.book.system)
            self.sheet.cell(self.row, VALUE)._style = self.book.styles.of(role, number_format)
            if lines > 1:
                self.sheet.merge_cells(start_row=self.row, end_row=self.row, start_column=VALUE, end_column=self.edge)
                self.sheet.row_dimensions[self.row].height = 13.5 * lines
            self.book.results.append(result)
            self.row += 1

    def sentences(self, results: Sequence[Result], role: Role, height: float = 30) -> None:
        """Results that are sentences, each over the width of the forms."""
        across = self.edge
        for result in results:
            self._name(result.name, self.row, LABEL)
            self.put(self.row, KEY, result.name, "key")
            for column in range(LABEL, across + 1):
                self.sheet.cell(self.row, column)._style = self.book.styles.of(role)
            self.sheet.merge_cells(start_row=self.row, end_row=self.row, start_column=LABEL, end_column=across)
            self.sheet.row_dimensions[self.row].height = height
            self.book.results.append(result)
            self.row += 1

    def results_beside(self, results: Sequence[Result], lefts: Sequence[int]) -> None:
        """Results side by side, each with its title in two columns and its value in the next two."""
        for start in range(0, len(results), len(lefts)):
            for result, left in zip(results[start : start + len(lefts)], lefts, strict=False):
                unit = result.unit.label(self.book.system)
                beside: Role = "label_beside" if left > LABEL else "label"
                self.put(self.row, left, f"{result.title} ({unit})" if unit else result.title, beside)
                self.put(self.row, left + 1, None, beside)
                number_format = "General" if result.unit is Unit.TEXT else result.unit.number_format(self.book.system)
                for column in (left + 2, left + 3):
                    self.sheet.cell(self.row, column)._style = self.book.styles.of("result", number_format)
                for first in (left, left + 2):
                    self.sheet.merge_cells(
                        start_row=self.row, end_row=self.row, start_column=first, end_column=first + 1
                    )
                self._name(result.name, self.row, left + 2)
                self.book.results.append(result)
            self.sheet.row_dimensions[self.row].height = 18
            self.row += 1

    def told(self, title: str, text: str) -> None:
        """A title and what there is to say of it, over the width of the forms."""
        self.put(self.row, LABEL, title, "label")
        self.put(self.row, UNIT, text, "text")
        self.sheet.merge_cells(start_row=self.row, end_row=self.row, start_column=UNIT, end_column=self.edge)
        wide = sum(self._width(column) for column in range(UNIT, self.edge + 1))
        self.sheet.row_dimensions[self.row].height = LINE_HEIGHT * _lines(text, wide) + 5
        self.row += 1

    def results_again(self, blocks: Sequence[Input | Result]) -> None:
        """A form of inputs and results that have their own cells elsewhere."""
        for block in blocks:
            self.put(self.row, LABEL, block.title, "label")
            self.put(self.row, UNIT, block.unit.label(self.book.system), "unit")
            self.shown_again(block, self.row, VALUE, "result")
            self.put(self.row, self.note, block.meaning, "folded_note")
            self.fit_height(self.row, {LABEL: block.title, self.note: block.meaning})
            self.row += 1

    def box(self, row: int, left: int, right: int, text: str) -> None:
        """A box to write a day or a tick into, and beside it what is to be done."""
        self.put(row, left, None, "box")
        self.put(row, left + 1, text, "chore")
        self.sheet.merge_cells(start_row=row, end_row=row, start_column=left + 1, end_column=right)
        self.sheet.row_dimensions[row].height = 16
        self.row = max(self.row, row + 1)

    def pencil(self, placement: Placement, titles: Sequence[str]) -> None:
        """Empty columns to write in, to the right of a table and row by row with it."""
        table = placement.table
        left = placement.first_column + len(placement.offsets)
        top = placement.first_row - (4 if table.has_opening else 3)
        for column, title in enumerate(titles, left):
            self.put(top, column, title, "column_title")
            self.put(top + 2, column, None, "column_unit")
            for row in range(table.rows.size):
                self.put(placement.first_row + row, column, None, "pencil")

    def factors(self, factors: Sequence[Factor]) -> None:
        """The factors of the formulas: constants that pint computed for the book's units."""
        for factor in factors:
            self._form_row(factor.name, factor.name, None, factor.meaning)
            self.put(self.row, VALUE, factor.value(self.book.system), "data", "0.000000")
            self.row += 1

    def _form_row(self, name: str, title: str, unit: Unit | None, meaning: str) -> None:
        self.put(self.row, KEY, name, "key")
        self.put(self.row, LABEL, title, "label")
        self.put(self.row, UNIT, unit.label(self.book.system) if unit else "", "unit")
        self.put(self.row, self.note, meaning, "folded_note")
        last = max(self.note, self.edge)
        if last > self.note:
            self.sheet.merge_cells(start_row=self.row, end_row=self.row, start_column=self.note, end_column=last)
        self.fit_height(self.row, {LABEL: title, self.note: meaning}, last)
        self._name(name, self.row, VALUE)

    def fit_height(self, row: int, texts: Mapping[int, str], last: int | None = None) -> None:
        """Make the row high enough for these texts, by column; that of the note reaches to the column `last`."""
        lines = 1
        for column, text in texts.items():
            reach = last if last is not None and column == self.note else column
            lines = max(lines, _lines(text, sum(self._width(c) for c in range(column, reach + 1))))
        self.sheet.row_dimensions[row].height = LINE_HEIGHT * lines + 3

    def _name(self, name: str, row: int, column: int) -> None:
        self.book.directory.define(name, self.name, row, column)
        self.book.workbook.defined_names[name] = DefinedName(name, attr_text=address(self.name, row, column))

    def freeze(self, placement: Placement, columns: int, on_every_page: bool = False) -> None:
        """Keep the titles of a table and its first columns in sight, and print them `on_every_page`."""
        first = placement.cell(placement.table.columns[0].key, 0, -1 if placement.table.has_opening else 0)
        row = placement.first_row if placement.table.transposed else first[0]
        self.sheet.freeze_panes = self.sheet.cell(row, LABEL + columns)
        if not on_every_page:
            return
        if placement.table.transposed:
            self.sheet.print_title_rows = f"{placement.first_row - 1}:{placement.first_row - 1}"
        else:
            self.sheet.print_title_rows = f"{first[0] - 4}:{first[0] - 1}"
            self.sheet.print_title_cols = f"{get_column_letter(LABEL)}:{get_column_letter(LABEL + columns - 1)}"

    def print_setup(self, orientation: str, right: int | None = None, one_page: bool = False) -> None:
        """Print what stands above the next free row, up to the column `right` (default: the forms' edge).

        Workings below are left out. At the foot stand the sheet, the place and the page. `one_page`: all on one page.
        Else the scale is reckoned from the columns' widths, because breaks between pages are not kept where a program
        fits the pages.
        """
        right = right or self.edge
        self.sheet.print_area = f"B1:{get_column_letter(right)}{self.row}"
        setup = self.sheet.page_setup
        setup.orientation = orientation
        if one_page:
            setup.fitToWidth = setup.fitToHeight = 1
            self.sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
        else:
            wide = sum(_inches(self._width(column)) for column in range(LABEL, right + 1))
            setup.scale = _scale(orientation, wide)
        self.sheet.page_margins = PageMargins(left=0.5, right=0.5, top=0.5, bottom=0.8, footer=0.4)
        self.sheet.oddFooter.left.text = "&A"
        self.sheet.oddFooter.center.text = self.book.place.replace("&", "&&")
        self.sheet.oddFooter.right.text = "page &P of &N"

    def print_pages_across(self, orientation: str, pages: int) -> None:
        """Print the whole sheet, so many pages wide."""
        self.print_setup(orientation)
        self.sheet.print_area = None
        self.sheet.page_setup.scale = None
        self.sheet.page_setup.fitToWidth, self.sheet.page_setup.fitToHeight = pages, 0
        self.sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)

    def mark_rows(self, placement: Placement, key: str, test: str) -> None:
        """Colour the rows of a table in which the column `key` meets the test, such as `=1`."""
        table = placement.table
        top, left = placement.first_row, placement.first_column
        right = left + len(placement.offsets) - 1
        at = get_column_letter(placement.cell(key, 0, 0)[1])
        cells = f"{get_column_letter(left)}{top}:{get_column_letter(right)}{top + table.rows.size - 1}"
        fill = PatternFill("solid", bgColor=CLAY)
        self.sheet.conditional_formatting.add(cells, FormulaRule([f"${at}{top}{test}"], fill=fill))

    def fold(self, placement: Placement, *keys: str) -> None:
        """Let the texts of these data columns take as many lines as they need."""
        for row in range(placement.table.rows.size):
            lines = 1
            for key in keys:
                sheet_row, column = placement.cell(key, 0, row)
                cell, wide = self.sheet.cell(sheet_row, column), self._width(column) * SMALL
                cell._style = self.book.styles.of("folded_words")
                endless = re.compile(rf"\S{{{int(wide * LETTERS)}}}")  # a word that is broken within
                lines = max(lines, _lines(endless.sub(r"\g<0> ", str(cell.value or "")), wide))
            self.sheet.row_dimensions[placement.first_row + row].height = LINE_HEIGHT * lines + 3

    def new_sheet_of_paper(self) -> None:
        """Print what follows from the top of a new sheet of paper."""
        self.sheet.row_breaks.append(Break(id=self.row - 1))

    def chart(self, draw: Callable[[], ChartBase], anchor_column: str) -> None:
        """Put a chart with its upper left corner at the next free row; it is drawn when all sheets are laid out."""
        self.chart_at(self.row, anchor_column, draw)

    def chart_at(self, row: int, anchor_column: str, draw: Callable[[], ChartBase]) -> None:
        """Put a chart with its upper left corner at that row."""
        self.book.charts.append((self.name, f"{anchor_column}{row}", draw))

    def table(
        self,
        table: Table,
        top: int | None = None,
        left: int = LABEL,
        labels: tuple[str, Sequence[object]] | None = None,
        beside: Placement | None = None,
    ) -> Placement:
        """Lay out a table from `top` (default: the next free row) and `left`; `row` moves below it.

        `labels`: a title and one name a row, in a column of their own before the table. `beside`: one column to the
        right of that table, row by row with it.
        """
        if beside is not None:
            left = beside.first_column + len(beside.offsets) * (beside.table.each.size if beside.table.each else 1) + 1
            top = beside.first_row - (6 if beside.table.has_opening else 5)
        if table.sheet != self.name:
            raise ModelError(f"table {table.name} belongs on {table.sheet}, not on {self.name}")
        start = self.row if top is None else top
        if labels is not None:
            self._label_rows(table, start, left, labels)
            left += 1
        placement = (
            self._across(table, start, left)
            if table.transposed
            else self._down(table, start, left, (beside.table if beside else table).has_opening)
        )
        self.book.directory.place(placement)
        self._fill(placement)
        bottom, _ = placement.cell(table.columns[-1].key, 0, table.rows.size)
        self.row = max(self.row, bottom + (1 if table.transposed or table.has_closing else 0) + 1)
        return placement

    def named_before(self, names: Table, months: Table, span: int = 1) -> None:
        """A table of names, over so many columns, and to its right a table with the same rows."""
        top = self.row
        named = self.table(names, top=top)
        for row in range(named.first_row - 3, named.first_row + names.rows.size):
            if span > 1:
                self.sheet.merge_cells(start_row=row, end_row=row, start_column=LABEL, end_column=LABEL + span - 1)
        self.table(months, top=top, left=LABEL + span)

    def _label_rows(self, table: Table, top: int, left: int, labels: tuple[str, Sequence[object]]) -> None:
        first = top + (6 if table.has_opening else 5)
        self.put(top + 2, left, labels[0], "column_title")
        for row in (top + 1, top + 3, top + 4):
            self.put(row, left, None, "column_unit")
        for row, name in enumerate(labels[1]):
            self.put(first + row, left, str(name), "label")

    def _down(self, table: Table, top: int, left: int, opening: bool) -> Placement:
        """Columns side by side, rows down: hidden keys, groups, titles, items, units, [opening], then the rows."""
        keys, groups, titles, items, units = range(top, top + 5)
        first = units + (2 if opening else 1)
        copies = table.each.size if table.each else 1
        offsets: dict[str, int] = {}
        for index, column in enumerate(table.columns):
            offsets[column.key] = index * copies
            for item in range(copies):
                at = left + index * copies + item
                suffix = f":{item + 1}" if table.each else ""
                self.put(keys, at, f"{table.name}:{column.key}{suffix}", "key")
                self.put(groups, at, table.groups.get(column.key) if item == 0 else None, "group")
                self.put(titles, at, column.title, "column_title")
                self.put(units, at, column.unit.label(self.book.system), "column_unit")
                self.put(items, at, _item_label(table.each, item), "column_unit")
                if isinstance(column, Column):
                    self._explain(titles, at, column.meaning, column.source)
        self.sheet.row_dimensions[keys].hidden = True
        self.sheet.row_dimensions[groups].hidden = not table.groups
        self.sheet.row_dimensions[items].hidden = table.each is None and not self.sheet.row_dimensions[items].height
        high = LINE_HEIGHT * self._title_lines(table, left, copies) + 6
        self.sheet.row_dimensions[titles].height = max(high, self.sheet.row_dimensions[titles].height or 0)
        return Placement(table, self.name, first, left, offsets)

    def _title_lines(self, table: Table, left: int, copies: int) -> int:
        """Lines that the highest title takes; a column without a width of its own is made as wide as its words."""
        lines = 1
        for index, column in enumerate(table.columns):
            longest = max(column.title.split(), key=len)
            for at in range(left + index * copies, left + (index + 1) * copies):
                letter = get_column_letter(at)
                if letter not in self.sheet.column_dimensions and len(longest) > USUAL_WIDTH:
                    self.sheet.column_dimensions[letter].width = len(longest) + 1
                lines = max(lines, _lines(column.title, self._width(at) * BOLD))
        return lines

    def _across(self, table: Table, top: int, left: int) -> Placement:
        """Rows across, columns down: label, unit, [before], the rows, [after], meaning."""
        first_column = left + 2 + (1 if table.has_opening else 0)
        last_column = first_column + table.rows.size - 1
        note_column = last_column + (2 if table.has_closing else 1)
        for index, label in enumerate(table.rows.labels):
            self.put(top, first_column + index, label, "column_title")
        edges = {first_column - 1: "before" if table.has_opening else None, last_column + 1: "after"}
        for column in range(left, note_column):
            if not first_column <= column <= last_column:
                self.put(top, column, edges.get(column), "column_title")
        row = top + 1
        offsets: dict[str, int] = {}
        for column_declared in table.columns:
            group = table.groups.get(column_declared.key)
            if group:
                for column in range(left, note_column):
                    self.put(row, column, group if column == left else None, "group")
                row += 1
            offsets[column_declared.key] = row - (top + 1)
            self.put(row, KEY, f"{table.name}:{column_declared.key}", "key")
            self.put(row, left, column_declared.title, "label")
            self.put(row, left + 1, column_declared.unit.label(self.book.system), "unit")
            texts = {left: column_declared.title}
            if table.headline:  # printed to its edge: its notes fold
                texts[note_column] = column_declared.meaning
            self.put(row, note_column, column_declared.meaning, "folded_note" if table.headline else "note")
            self.fit_height(row, texts)
            row += 1
        return Placement(table, self.name, top + 1, first_column, offsets)

    def _explain(self, row: int, column: int, meaning: str, source: str) -> None:
        text = f"{meaning}\nSource: {source}" if source else meaning
        comment = Comment(text, "water budget")
        comment.width, comment.height = 260, 90
        self.sheet.cell(row, column).comment = comment

    def _fill(self, placement: Placement) -> None:
        """Write the table's data and typed cells, and the style of every cell that will hold a formula."""
        table = placement.table
        copies = table.each.size if table.each else 1
        for column in table.columns:
            typed = isinstance(column, Input) and not table.reference
            role: Role = "input" if typed else "data" if column.key in table.data else "body"
            if typed and column.unit is Unit.TEXT:
                role = "input_words"
            if table.headline:
                role = "result"
            elif column.key == FAULT:
                role = "warning"
            elif column.unit is Unit.TEXT and not typed and not table.transposed:
                role = "words"
            number_format = "General" if column.unit is Unit.TEXT else column.unit.number_format(self.book.system)
            if table.spare and not typed and column.unit is not Unit.TEXT:
                number_format = _without_zeros(number_format)
            style = self.book.styles.of(role, number_format)
            edge = self.book.styles.of("edge", number_format)
            values = table.data.get(column.key)
            if isinstance(column, Column) and column.formula is None and values is None:
                raise ModelError(f"table {table.name}: no data for column '{column.key}'")
            for item in range(copies):
                series = values[item] if values is not None and table.each else values
                for row in range(table.rows.size):
                    sheet_row, sheet_column = placement.cell(column.key, item, row)
                    cell = self.sheet.cell(sheet_row, sheet_column)
                    cell._style = style
                    if series is not None:
                        value = series[row]  # type: ignore[index]
                        cell.value = value
                        if isinstance(value, str):
                            cell.data_type = "s"
                if isinstance(column, Column):
                    for row, template in ((-1, table.opening_of(column)), (table.rows.size, column.closing)):
                        if template is not None:
                            self.sheet.cell(*placement.cell(column.key, item, row))._style = edge
            if typed:
                self._open(placement, column, copies)

    def _open(self, placement: Placement, given: Input | Column, copies: int) -> None:
        """Validate the typed cells of a column, and name its range."""
        assert isinstance(given, Input)
        table = placement.table
        top, left = placement.cell(given.key, 0, 0)
        bottom, right = placement.cell(given.key, copies - 1, table.rows.size - 1)
        cells = f"{get_column_letter(left)}{top}:{get_column_letter(right)}{bottom}"
        self.book.validations.append((given, self.name, cells))
        name = f"{table.name}_{given.key}"
        area = f"{quoted(self.name)}!${get_column_letter(left)}${top}:${get_column_letter(right)}${bottom}"
        self.book.workbook.defined_names[name] = DefinedName(name, attr_text=area)


def _without_zeros(number_format: str) -> str:
    """The number format that shows nothing for 0."""
    if number_format == DAY_FORMAT:
        return number_format
    return f'[=0]"";{number_format}' if number_format.startswith("[") else f"{number_format};-{number_format};"


def _lines(text: str, width: float) -> int:
    """Lines that a text takes in so wide a cell, its words kept whole."""
    lines, used, room = 1, 0, int(width * LETTERS)
    for word in text.split():
        if used and used + 1 + len(word) > room:
            lines, used = lines + 1, len(word)
        else:
            used += len(word) + (1 if used else 0)
    return lines


def _inches(width: float) -> float:
    """Width of a column on paper, of a width counted in digits of 7 dots and 5 dots of edge, 96 dots to the inch."""
    return (7 * width + 5) / 96


def _scale(orientation: str, inches: float) -> int:
    """Percent at which so many inches fit on A4 and on Letter, with some room to spare; never enlarged."""
    paper = 8.27 if orientation == "portrait" else 11.0  # the narrower of the two
    return max(10, min(100, int(96 * (paper - 1) / inches)))


def _item_label(each: Rows | None, item: int) -> str | None:
    if each is None:
        return None
    return each.labels[item] if each.labels else f"{each.name} {item + 1}"
