"""The page: the only writer of cells.

A sheet module calls a `Page` for titles, forms of inputs and results, and tables; the page puts them one below the
other, makes them known in the book's `Directory`, and prepares the cells of the formulas, which the book writes when
every sheet is laid out.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from openpyxl.chart._chart import ChartBase
from openpyxl.formatting.rule import FormulaRule
from openpyxl.styles import PatternFill
from openpyxl.utils import get_column_letter

from budget.declarations import Input, Result, Table
from budget.errors import ModelError
from budget.units import Factor, Unit
from budget.water.nouns import ListOf
from budget.workbook import printing, table_layout
from budget.workbook.book import Book
from budget.workbook.cells import KEY, LABEL, NOTE, TITLE_CELL, TITLE_ROW, UNIT, VALUE, Cells, Value, area
from budget.workbook.placement import Placement, address, quoted
from budget.workbook.styles import CLAY, Role
from budget.workbook.text_size import BOLD, SMALL, broken_lines_of, height_of, lines_of


class Page(Cells):
    """One sheet, written from the top down. `row` is the next free row, `edge` the last column of the forms."""

    def __init__(self, book: Book, sheet: str, title: str, purpose: str | None, colour: str) -> None:
        """Begin a sheet, with its title and one line on what it is for (None: the sheet says it elsewhere)."""
        super().__init__(book, sheet, colour)
        self.put(TITLE_ROW, LABEL, title, "title")
        if purpose is not None:
            self.put(TITLE_ROW + 1, LABEL, purpose, "purpose")
        self.height(TITLE_ROW, 30)
        self.row = TITLE_ROW + 3
        self.note = NOTE
        self.edge = 14

    # ---------------------------------------------------------------- running text

    def heading(self, text: str) -> None:
        """A heading over what follows, underlined over the width of the forms."""
        self.row += 1
        self.heading_at(self.row, LABEL, self.edge, text)
        self.row += 1

    def heading_at(self, row: int, left: int, right: int, text: str) -> None:
        """A heading in that row, underlined from the column `left` to `right`."""
        for column in range(left, right + 1):
            self.put(row, column, text if column == left else None, "heading")
        self.height(row, 20)

    def paragraph(self, text: str, role: Role = "text") -> None:
        """Running text over the width of the forms."""
        self.put(self.row, LABEL, text, role)
        self.merge(self.row, LABEL, self.edge)
        self.height(self.row, height_of(lines_of(text, self.width(LABEL, self.edge)), 6))
        self.row += 1

    def paragraph_at(self, top: int, bottom: int, left: int, right: int, text: str, role: Role) -> None:
        """Running text in these rows and columns, whose heights are set already; `row` stays."""
        self.put(top, left, text, role)
        self.sheet.merge_cells(start_row=top, end_row=bottom, start_column=left, end_column=right)

    def told(self, title: str, text: str) -> None:
        """A title and what there is to say of it, over the width of the forms."""
        self.put(self.row, LABEL, title, "label")
        self.put(self.row, UNIT, text, "text")
        self.merge(self.row, UNIT, self.edge)
        self.height(self.row, height_of(lines_of(text, self.width(UNIT, self.edge)), 5))
        self.row += 1

    def noted(self, title: str, text: str) -> None:
        """A title, and a note on it in the column of the forms' notes."""
        self.put(self.row, LABEL, title, "label")
        self._note(title, text)

    def _note(self, title: str, text: str) -> None:
        self.put(self.row, self.note, text, "folded_note")
        self.fit_height(self.row, {LABEL: title, self.note: text})
        self.row += 1

    def fact(self, name: str, title: str, value: Value) -> None:
        """A title and a constant whose cell has a name, for programs; no formula reads it."""
        self.put(self.row, KEY, name, "key")
        self.put(self.row, LABEL, title, "label")
        self.put(self.row, VALUE, value, "words")
        self.height(self.row, 15)  # of one line, however many the text has
        self.define_range(name, self.row, VALUE, self.row, VALUE)
        self.row += 1

    def box(self, row: int, left: int, right: int, text: str) -> None:
        """A box to write a day or a tick into, and beside it what is to be done."""
        self.put(row, left, None, "box")
        self.put(row, left + 1, text, "chore")
        self.merge(row, left + 1, right)
        self.height(row, 16)
        self.row = max(self.row, row + 1)

    # ---------------------------------------------------------------- forms of inputs and results

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
            if isinstance(value, str) and lines_of(value, self.width(VALUE) * BOLD) > 1:
                self.height(self.row, height_of(2))
            self.book.inputs.append(given)
            self.validate(given, f"{get_column_letter(VALUE)}{self.row}")
            self.row += 1

    def results(self, results: Sequence[Result], role: Role = "result", lines: int = 1) -> None:
        """A form of results, beside which stand unit and meaning; sentences of so many `lines` reach to the edge."""
        for result in results:
            self._form_row(result.name, result.title, result.unit, result.meaning)
            self.prepare(self.row, VALUE, role, self.format_of(result.unit))
            if lines > 1:
                self.merge(self.row, VALUE, self.edge)
                self.height(self.row, height_of(lines, 0))
            self.book.results.append(result)
            self.row += 1

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
            self.merge(self.row, self.note, last)
        self.fit_height(self.row, {LABEL: title, self.note: meaning}, last)
        self.define(name, self.row, VALUE)

    def sentences(self, results: Sequence[Result], role: Role, height: float = 30) -> None:
        """Results that are sentences, each over the width of the forms."""
        for result in results:
            self.sentence_at(result, self.row, LABEL, self.edge, role)
            self.height(self.row, height)
            self.row += 1

    def sentence_at(self, result: Result, row: int, left: int, right: int, role: Role) -> None:
        """A result that is a sentence, in that row, from the column `left` to `right`."""
        self.define(result.name, row, left)
        self.put(row, KEY, result.name, "key")
        for column in range(left, right + 1):
            self.prepare(row, column, role)
        self.merge(row, left, right)
        self.book.results.append(result)

    def results_beside(self, results: Sequence[Result], lefts: Sequence[int]) -> None:
        """Results side by side, each with its title in two columns and its value in the next two."""
        for start in range(0, len(results), len(lefts)):
            for result, left in zip(results[start : start + len(lefts)], lefts, strict=False):
                self._result_at(result, left)
            self.height(self.row, 18)
            self.row += 1

    def _result_at(self, result: Result, left: int) -> None:
        unit = result.unit.label(self.book.system)
        beside: Role = "label_beside" if left > LABEL else "label"
        self.put(self.row, left, f"{result.title} ({unit})" if unit else result.title, beside)
        self.put(self.row, left + 1, None, beside)
        for column in (left + 2, left + 3):
            self.prepare(self.row, column, "result", self.format_of(result.unit))
        for first in (left, left + 2):
            self.merge(self.row, first, first + 1)
        self.define(result.name, self.row, left + 2)
        self.book.results.append(result)

    # ---------------------------------------------------------------- what has its own cell elsewhere

    def link(self, text: str, sheet: str, row: int, column: int, cell: str = TITLE_CELL) -> None:
        """A cell that leads to another sheet: to its title, or to another cell."""
        self.prepare(row, column, "link")
        formula = f'HYPERLINK("#{quoted(sheet)}!{cell}", "{text}")'
        self.book.write_formula((self.name, row, column), formula, f"link:{sheet}!{cell}")

    def link_to(self, block: Input | Result, row: int, column: int) -> None:
        """A cell that leads to the cell of an input or result, wherever it will stand."""

        def write() -> None:
            sheet, at_row, at_column = self.book.directory.names[block.name]
            self.link(f"{sheet}: {block.title}", sheet, row, column, f"{get_column_letter(at_column)}{at_row}")

        self.book.later.append(write)

    def shown_again(self, block: Input | Result, row: int, column: int, role: Role = "data") -> None:
        """A cell that shows what stands in the cell of an input or result, wherever that will stand."""
        self.prepare(row, column, role, self.format_of(block.unit))

        def write() -> None:
            where = (self.name, row, column)
            self.book.write_formula(where, address(*self.book.directory.names[block.name]), f"again:{block.name}")

        self.book.later.append(write)

    def sentence_again(self, result: Result, role: Role, height: float = 18) -> None:
        """A sentence that has its own cell elsewhere, over the width of the forms."""
        self.shown_again(result, self.row, LABEL, role)
        self.merge(self.row, LABEL, self.edge)
        self.height(self.row, height)
        self.row += 1

    def results_again(self, results: Sequence[Result]) -> None:
        """A form of results that have their own cells elsewhere."""
        for result in results:
            self.put(self.row, LABEL, result.title, "label")
            self._form_row_again(result, "result")

    def result_again(self, result: Result, told_at: Result) -> None:
        """A result that has its own cell elsewhere; a click leads to the cell that tells more of it."""
        self.link_to(told_at, self.row, LABEL)
        self._form_row_again(result, "result")

    def inputs_again(self, inputs: Sequence[Input]) -> None:
        """A form of inputs that have their own cells elsewhere; a click on a name leads there."""
        for given in inputs:
            self.link_to(given, self.row, LABEL)
            self._form_row_again(given, "data")

    def _form_row_again(self, block: Input | Result, role: Role) -> None:
        self.put(self.row, UNIT, block.unit.label(self.book.system), "unit")
        self.shown_again(block, self.row, VALUE, role)
        self._note(block.title, block.meaning)

    # ---------------------------------------------------------------- tables

    def table(
        self,
        table: Table,
        top: int | None = None,
        left: int = LABEL,
        labels: tuple[str, Sequence[object]] | None = None,
        beside: Placement | None = None,
        headed_as_list: bool = False,
    ) -> Placement:
        """Lay out a table from `top` (default: the next free row) and `left`; `row` moves below it.

        `labels`: a title and one name a row, in a column of their own before the table. `beside`: one column to the
        right of that table, row by row with it; a list touches the list that it belongs to. `headed_as_list`: with the
        head of a list, in which repeated columns have their title once.
        """
        if table.sheet != self.name:
            raise ModelError(f"table {table.name} belongs on {table.sheet}, not on {self.name}")
        start = self.row if top is None else top
        above = table_layout.rows_above(beside.table if beside else table)
        if beside is not None:
            start, left = table_layout.top_of(beside), table_layout.right_of(beside) + (0 if table.listed else 1)
        if labels is not None:
            table_layout.label_rows(self, table, start, left, *labels)
            left += 1
        if table.transposed:
            placement = table_layout.lay_across(self, table, start, left)
        elif headed_as_list or (beside.table if beside else table).listed:
            placement = table_layout.lay_list(self, table, start, left)
        else:
            placement = table_layout.lay_down(self, table, start, left, above)
        self.book.directory.place(placement)
        table_layout.fill(self, placement)
        self.row = max(self.row, table_layout.row_below(placement) + 1)
        return placement

    def list_of(self, tables: Mapping[str, Table], of: ListOf) -> Placement:
        """A list with its twelve months, if it has them, and one empty column apart what is shown of each line.

        A program on a protected sheet sorts no list that formulas touch.
        """
        placed = lines = self.table(tables[of.table])
        if of.months_table:
            placed = self.table(tables[of.months_table], beside=placed)
        table_layout.bind_lines(self, lines, placed)
        self.table(tables[f"{of.table}_shown"], beside=placed)
        self.sheet.protection.sort = False  # the odd flag of the format: sorting stays allowed
        return lines

    def named_before(self, names: Table, months: Table, span: int = 1) -> None:
        """A table of names, over so many columns, and to its right a table with the same rows."""
        table_layout.refuse_runs(names)
        top = self.row
        named = self.table(names, top=top)
        if span > 1:
            for row in range(top + table_layout.TITLES, named.first_row + names.rows.size):
                self.merge(row, LABEL, LABEL + span - 1)
        self.table(months, top=top, left=LABEL + span)

    def pencil(self, placement: Placement, titles: Sequence[str]) -> None:
        """Empty columns to write in, to the right of a table and row by row with it."""
        top = table_layout.top_of(placement)
        beside = placement.table.columns[0].key
        for column, title in enumerate(titles, table_layout.right_of(placement)):
            self.put(top + table_layout.TITLES, column, title, "column_title")
            self.put(top + table_layout.UNITS, column, None, "column_unit")
            for row in range(placement.table.rows.size):
                self.put(placement.cell(beside, 0, row)[0], column, None, "pencil")

    def mark_rows(self, placement: Placement, key: str, test: str) -> None:
        """Colour the rows of a table in which the column `key` meets the test, such as `=1`."""
        table_layout.refuse_runs(placement.table)
        top, bottom = placement.first_row, placement.first_row + placement.table.rows.size - 1
        at = get_column_letter(placement.cell(key, 0, 0)[1])
        cells = area(top, placement.first_column, bottom, table_layout.right_of(placement) - 1)
        fill = PatternFill("solid", bgColor=CLAY)
        self.sheet.conditional_formatting.add(cells, FormulaRule([f"${at}{top}{test}"], fill=fill))

    def fold(self, placement: Placement, *keys: str) -> None:
        """Let the texts of these data columns take as many lines as they need."""
        table_layout.refuse_runs(placement.table)
        for row in range(placement.table.rows.size):
            lines = 1
            for key in keys:
                at = placement.cell(key, 0, row)
                self.prepare(*at, "folded_words")
                text = str(self.sheet.cell(*at).value or "")
                lines = max(lines, broken_lines_of(text, self.width(at[1]) * SMALL))
            self.height(placement.first_row + row, height_of(lines))

    def room_for(self, placement: Placement, texts: Mapping[str, Sequence[str]]) -> None:
        """Let columns of words fold, with room for the longest text that each row may come to; `texts`: by column."""
        lines = [1] * placement.table.rows.size
        for key, longest in texts.items():
            for row, text in enumerate(longest):
                at = placement.cell(key, 0, row)
                self.prepare(*at, "folded_words")
                lines[row] = max(lines[row], lines_of(text, self.width(at[1]) * SMALL))
        for row, most in enumerate(lines):
            self.height(placement.first_row + row, height_of(most))

    def hide_zeros(self, placement: Placement, key: str) -> None:
        """Show nothing for 0 in a computed column of flags."""
        for row in range(placement.table.rows.size):
            self.prepare(*placement.cell(key, 0, row), "body", "0;-0;")

    def chart(self, draw: Callable[[], ChartBase], anchor_column: str) -> None:
        """Put a chart with its upper left corner at the next free row; it is drawn when all sheets are laid out."""
        self.chart_at(self.row, anchor_column, draw)

    def chart_at(self, row: int, anchor_column: str, draw: Callable[[], ChartBase]) -> None:
        """Put a chart with its upper left corner at that row."""
        self.book.charts.append((self.name, f"{anchor_column}{row}", draw))

    # ---------------------------------------------------------------- on the screen and on paper

    def repeat_head(self, placement: Placement) -> None:
        """Print the head of a table that lies down on each page."""
        top = self.top_of_head(placement)
        printing.repeat_rows(self, top, top + table_layout.UNITS)

    def top_of_head(self, placement: Placement) -> int:
        """The row in which the head of a table that lies down begins."""
        return table_layout.top_of(placement)

    def freeze(self, placement: Placement | None = None, names: bool = True) -> None:
        """Keep the sheet's title and the column of names in sight, and the titles of a table, which print on each page.

        What is kept leaves room for the rest where it is three rows: a table that lies across begins in the third; one
        that lies down, in the second, with a head that was shortened. `names`: of a sheet without such a table, keep
        the names in sight, too.
        """
        if placement is None:
            self._keep_in_sight(TITLE_ROW, names)
        elif placement.table.transposed:
            self._keep_in_sight(placement.first_row - 1)
            printing.repeat_rows(self, placement.first_row - 1, placement.first_row - 1)
        else:
            units = table_layout.top_of(placement) + table_layout.UNITS
            self._keep_in_sight(units)
            printing.repeat_rows(self, TITLE_ROW, units)
            printing.repeat_columns(self, LABEL, LABEL)

    def _keep_in_sight(self, last_row: int, names: bool = True) -> None:
        corner = self.sheet.cell(last_row + 1, LABEL + 1 if names else KEY)
        self.sheet.freeze_panes = corner
        chosen = self.sheet.sheet_view.selection[-1]
        chosen.activeCell = chosen.sqref = self.sheet.cell(corner.row, max(corner.column, LABEL)).coordinate

    def shorten_head(self, table: Placement, *beside: Placement) -> None:
        """Give a table that lies down, and those beside it, a head of two rows, titles and units.

        Groups stand beside the sheet's title, and the items of repeated columns before their units.
        """
        for placement in (table, *beside):
            table_layout.shorten_head(self, placement, table_layout.top_of(table))

    def hide(self) -> None:
        """Keep the sheet out of sight; it has no area to print, so that no program prints it."""
        self.sheet.sheet_state = "hidden"

    def new_sheet_of_paper(self) -> None:
        """Print what follows from the top of a new sheet of paper."""
        printing.break_above(self, self.row)

    def print_setup(self, orientation: str, right: int | None = None, one_page: bool = False) -> None:
        """Print what stands above the next free row, up to the column `right` (default: the forms' edge).

        Workings below are left out. `one_page`: all on one page.
        """
        right = right or self.edge
        printing.lay_on_paper(self, orientation)
        printing.print_area(self, right, self.row)
        if one_page:
            printing.fit_pages(self, 1, 1)
        else:
            printing.fit_scale(self, orientation, right)

    def print_pages_across(self, orientation: str, pages: int) -> None:
        """Print the whole sheet, so many pages wide."""
        printing.lay_on_paper(self, orientation)
        printing.fit_pages(self, pages, 0)
