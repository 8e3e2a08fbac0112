"""The workbook as a file: openpyxl writes everything but the cells, which are written here with the values of formulas.

openpyxl knows no values beside formulas, and builds an element for every cell: for a hundred thousand of them that is
most of what finishing a book takes. What is written is openpyxl's own, but for these values.
"""

from __future__ import annotations

import io
import re
from collections.abc import Mapping
from xml.sax.saxutils import escape
from zipfile import ZipFile

from openpyxl.cell import Cell
from openpyxl.comments.comment_sheet import CommentRecord
from openpyxl.drawing.spreadsheet_drawing import SpreadsheetDrawing
from openpyxl.utils import get_column_letter
from openpyxl.worksheet._writer import WorksheetWriter
from openpyxl.worksheet.worksheet import Worksheet
from openpyxl.writer.excel import ExcelWriter

from budget.errors import ModelError
from budget.workbook.book import Book, CellKey
from budget.workbook.engine import Computed

_NO_ROWS = re.compile(r"<sheetData\s*(?:/>|></sheetData>)")


class FileWriter(ExcelWriter):  # type: ignore[misc]  # openpyxl carries no types
    """openpyxl's writer of a whole file, which puts the values of formulas into it."""

    def __init__(self, book: Book, archive: ZipFile, values: Mapping[CellKey, Computed]) -> None:
        super().__init__(book.workbook, archive)
        self._book, self._values = book, values

    def write_worksheet(self, ws: Worksheet) -> None:
        """One sheet, as openpyxl's own does it. Raises ModelError where a formula has no value."""
        ws._drawing = SpreadsheetDrawing()
        ws._drawing.charts, ws._drawing.images = ws._charts, ws._images
        file = io.BytesIO()
        writer = _SheetWriter(ws, file)
        writer.write()
        ws._rels = writer._rels
        rows = _Rows(self._book, ws, self._values).text(writer.rows())
        before, after = _NO_ROWS.split(file.getvalue().decode())
        self._archive.writestr(ws.path[1:], f"{before}<sheetData>{rows}</sheetData>{after}".encode())
        self.manifest.append(ws)


class _SheetWriter(WorksheetWriter):  # type: ignore[misc]  # as above
    """openpyxl's writer of a sheet, with an empty element for its rows; comments and links stand behind them."""

    def write_rows(self) -> None:
        for _, cells in self.rows():
            for cell in cells:
                if cell._comment is not None:
                    self.ws._comments.append(CommentRecord.from_cell(cell))
                if cell.hyperlink:
                    self.ws._hyperlinks.append(cell.hyperlink)
        with self.xf.send(True).element("sheetData"):
            pass
        self.xf.send(None)  # control goes back to the one who writes the elements around


class _Rows:
    """The rows of one sheet as they stand in the file."""

    def __init__(self, book: Book, sheet: Worksheet, values: Mapping[CellKey, Computed]) -> None:
        self._sheet, self._values, self._owners = sheet, values, book.owners
        self._styles: dict[int, str] = {}
        self._letters: dict[int, str] = {}

    def text(self, rows: list[tuple[int, list[Cell]]]) -> str:
        """All rows. Raises ModelError where a formula has no value, or a value that was computed no formula."""
        formulas = sum(cell.data_type == "f" for _, cells in rows for cell in cells)
        expected = sum(1 for where in self._owners if where[0] == self._sheet.title)
        text = "".join(self._row(number, cells) for number, cells in rows)
        if formulas != expected:
            raise ModelError(f"{self._sheet.title}: {formulas} of {expected} formulas got a value")
        return text

    def _row(self, number: int, cells: list[Cell]) -> str:
        looks = {"r": f"{number}", **dict(self._sheet.row_dimensions.get(number, {}))}
        attributes = "".join(f' {key}="{value}"' for key, value in looks.items())
        return f"<row{attributes}>{''.join(self._cell(cell) for cell in cells)}</row>"

    def _cell(self, cell: Cell) -> str:
        style = cell._style
        look = self._styles.get(id(style))  # shared by the cells that look alike
        if look is None:
            look = self._styles[id(style)] = f' s="{cell.style_id}"' if cell.has_style else ""
        value, column = cell._value, cell.column
        if value is None and not look and not cell._comment:
            return ""
        letters = self._letters.get(column)
        if letters is None:
            letters = self._letters[column] = get_column_letter(column)
        start = f'<c r="{letters}{cell.row}"{look}'
        if cell.data_type == "f":
            return f"{start}{self._with_value(cell, letters)}"
        if isinstance(value, str):
            return f'{start} t="inlineStr"{_inline(value)}'
        if value is None:
            return f"{start} />"
        return f'{start} t="{cell.data_type}"><v>{value:.16g}</v></c>'

    def _with_value(self, cell: Cell, letters: str) -> str:
        where = (self._sheet.title, cell.row, cell.column)
        if where not in self._values:
            raise ModelError(f"{self._sheet.title}: the formula in {letters}{cell.row} has no value")
        kind, value = _cached(self._values[where])
        return f"{kind}><f>{escape(cell._value[1:])}</f><v>{value}</v></c>"


def _inline(text: str) -> str:
    """The rest of the cell of a text; blanks at its ends are kept by name."""
    if not text:
        return " />"
    kept = ' xml:space="preserve"' if text != text.strip() else ""
    return f"><is><t{kept}>{escape(text)}</t></is></c>"


def _cached(value: Computed) -> tuple[str, str]:
    """The type attribute and the text of a cached value."""
    if value is None or isinstance(value, str):
        return ' t="str"', escape(value or "")
    if isinstance(value, bool):
        return ' t="b"', "1" if value else "0"
    return "", str(int(value)) if value == int(value) and abs(value) < 1e15 else repr(value)
