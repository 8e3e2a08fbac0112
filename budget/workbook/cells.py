"""The cells of one sheet: whatever a book shows is written here, formulas excepted, which the book writes at the end.

Column A of each sheet is hidden and holds the key of the input or result in that row; above each table's titles a
hidden row holds the keys of its columns (`table:key`, and `:item` where the column repeats), so that a program finds
every figure wherever the sheets are moved to.
"""

from __future__ import annotations

from collections.abc import Mapping

from openpyxl.comments import Comment
from openpyxl.utils import get_column_letter
from openpyxl.workbook.defined_name import DefinedName

from budget.declarations import Input
from budget.units import Unit
from budget.workbook.book import Book
from budget.workbook.placement import address, quoted
from budget.workbook.styles import Role
from budget.workbook.text_size import USUAL_WIDTH, height_of, lines_of

Value = float | int | str | None

KEY, LABEL, UNIT, VALUE, NOTE = 1, 2, 3, 4, 5  # the columns of every form
TITLE_ROW = 1
TITLE_CELL = f"{get_column_letter(LABEL)}{TITLE_ROW}"


class Cells:
    """The cells of one sheet of a book: values, looks, widths and heights, names."""

    def __init__(self, book: Book, name: str, colour: str) -> None:
        self.book = book
        self.name = name
        self.sheet = book.new_sheet(name, colour)
        self.sheet.sheet_format.defaultColWidth = USUAL_WIDTH
        self.sheet.column_dimensions["A"].hidden = True
        self.sheet.sheet_view.showGridLines = False
        chosen = self.sheet.sheet_view.selection[0]
        chosen.activeCell = chosen.sqref = TITLE_CELL  # A1 is hidden
        self.sheet.protection.sheet = True
        self.sheet.protection.formatColumns = False
        self.sheet.protection.formatRows = False

    def put(self, row: int, column: int, value: Value, role: Role, number_format: str = "General") -> None:
        """Write a constant. Text stays text, whatever it begins with."""
        cell = self.sheet.cell(row, column)
        cell.value = value
        if isinstance(value, str):
            cell.data_type = "s"
        cell._style = self.book.styles.of(role, number_format)

    def prepare(self, row: int, column: int, role: Role, number_format: str = "General") -> None:
        """Give a cell its look; its formula comes later."""
        self.sheet.cell(row, column)._style = self.book.styles.of(role, number_format)

    def format_of(self, unit: Unit) -> str:
        """The number format of computed cells of that unit."""
        return "General" if unit is Unit.TEXT else unit.number_format(self.book.system)

    def explain(self, row: int, column: int, meaning: str, source: str) -> None:
        """Put a note on a cell, which shows when the mouse rests there."""
        comment = Comment(f"{meaning}\nSource: {source}" if source else meaning, "water budget")
        comment.width, comment.height = 260, 90
        self.sheet.cell(row, column).comment = comment

    def merge(self, row: int, left: int, right: int) -> None:
        """Make the cells of a row from `left` to `right` one."""
        self.sheet.merge_cells(start_row=row, end_row=row, start_column=left, end_column=right)

    def widths(self, **widths: float) -> None:
        """Set column widths by letter."""
        for letter, width in widths.items():
            self.sheet.column_dimensions[letter].width = width

    def width(self, left: int, right: int | None = None) -> float:
        """Width of a column, or of all from `left` to `right` together."""
        letters = (get_column_letter(column) for column in range(left, (right or left) + 1))
        return sum(self.sheet.column_dimensions[at].width if self.has_width(at) else USUAL_WIDTH for at in letters)

    def has_width(self, letter: str) -> bool:
        """Whether the column was given a width of its own."""
        return letter in self.sheet.column_dimensions

    def height(self, row: int, points: float) -> None:
        """Set the height of a row."""
        self.sheet.row_dimensions[row].height = points

    def fit_height(self, row: int, texts: Mapping[int, str], last: int | None = None) -> None:
        """Make the row high enough for these texts, by column; the rightmost reaches to the column `last`."""
        rightmost = max(texts)
        reaches = {column: last if column == rightmost else column for column in texts}
        self.height(row, height_of(max(lines_of(text, self.width(at, reaches[at])) for at, text in texts.items())))

    def define(self, name: str, row: int, column: int) -> None:
        """Give a cell its defined name."""
        self.book.directory.define(name, self.name, row, column)
        self.book.workbook.defined_names[name] = DefinedName(name, attr_text=address(self.name, row, column))

    def define_range(self, name: str, top: int, left: int, bottom: int, right: int) -> None:
        """Give a range a defined name, for those who look for it; no formula reads it."""
        first, last = (f"${get_column_letter(column)}${row}" for row, column in ((top, left), (bottom, right)))
        area = f"{quoted(self.name)}!{first}" + ("" if first == last else f":{last}")
        self.book.workbook.defined_names[name] = DefinedName(name, attr_text=area)

    def validate(self, given: Input, cells: str) -> None:
        """Let these cells accept what the input accepts."""
        self.book.validations.append((given, self.name, cells))


def area(top: int, left: int, bottom: int, right: int) -> str:
    """A range of a sheet as `B2:D9`."""
    return f"{get_column_letter(left)}{top}:{get_column_letter(right)}{bottom}"
