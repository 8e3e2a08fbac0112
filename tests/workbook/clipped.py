"""Text that its cell cuts off, found without a spreadsheet program: `python -m tests.workbook.clipped [EXAMPLE]`.

The width of a text is the sum of its characters' advance widths at the size of its font; the room is the width of its
column, or of its merged columns, or for text that does not wrap also that of the empty cells into which it may flow.
Wrapped text needs the height of its lines. A row without a height of its own grows with its text, except where cells
are merged. Numbers are written by their number format; one that is too wide shows as ####.

The widths stand in the table below, so that no font and no package for fonts is needed. Kerning is left out, and
italics are taken as wide as upright letters. The programs differ by a pixel here and there: what passes by less than
the padding of a cell may still look tight.
"""

from __future__ import annotations

import math
import re
import sys
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from openpyxl import Workbook
from openpyxl.cell import Cell
from openpyxl.utils import get_column_letter, range_boundaries
from openpyxl.worksheet.worksheet import Worksheet

from budget.units import DAY_FORMAT
from budget.workbook.book import CellKey
from budget.workbook.engine import Computed as Value

# Advance widths in 2048ths of the font's size, measured from Liberation Sans 1.07.4, which has the widths of Arial.
EM = 2048
REGULAR = {
    384: "′",
    391: "'",
    455: "ijl‘’",
    532: "|¦",
    569: " !,./:;I[\\]ft·ÌÍÎÏìíîï",
    682: "()-`r¡¨²³´¸¹“”",
    684: "{}",
    717: "•",
    725: "″",
    727: '"',
    748: "º",
    758: "ª",
    797: "*",
    819: "°",
    961: "^",
    1024: "Jcksvxyzçýÿ↑↓",
    1100: "¶",
    1124: "±÷≤≥≈√",
    1131: "¯",
    1139: "#$0123456789?L_abdeghnopqu¢£¤¥§«»àáâãäåèéêëðñòóôõöùúûüþ–€",
    1180: "µ",
    1196: "+<=>~¬×−",
    1251: "FTZ¿ßø",
    1366: "&ABEKPSVXYÀÁÂÃÄÅÈÉÊËÝÞ",
    1413: "π",
    1460: "∞",
    1479: "CDHNRUwÇÐÑÙÚÛÜ",
    1509: "©®",
    1593: "GOQÒÓÔÕÖØ",
    1706: "Mm",
    1708: "¼½¾",
    1821: "%æ",
    1933: "W",
    2048: "Æ—…→←",
    2079: "@",
}
BOLD = {
    487: "'",
    491: "′",
    569: " ,./I\\ijl·ÌÍÎÏìíîï‘’",
    573: "|¦",
    682: "!()-:;[]`ft¡¨²³´¸¹",
    717: "•",
    748: "º",
    758: "ª",
    797: "*r{}",
    819: "°",
    971: '"',
    981: "″",
    1024: "z“”↑↓",
    1124: "±÷≤≥≈√",
    1131: "¯",
    1139: "#$0123456789J_aceksvxy¢£¤¥§«¶»àáâãäåçèéêëýÿ–€",
    1180: "µ",
    1196: "+<=>^~¬×−",
    1251: "?FLTZbdghnopqu¿ßðñòóôõöøùúûüþ",
    1366: "EPSVXYÈÉÊËÝÞ",
    1460: "∞",
    1479: "&ABCDHKNRUÀÁÂÃÄÅÇÐÑÙÚÛÜ",
    1509: "©®",
    1568: "π",
    1593: "GOQwÒÓÔÕÖØ",
    1706: "M",
    1708: "¼½¾",
    1821: "%mæ",
    1933: "W",
    1997: "@",
    2048: "Æ—…→←",
}
WIDTHS = {
    bold: {character: width for width, characters in table.items() for character in characters}
    for bold, table in ((False, REGULAR), (True, BOLD))
}
LINE = (1854 + 434 + 67) / EM  # ascent, descent and gap between the lines, of the same font

POINTS_A_PIXEL = 72 / 96
# Office Open XML, part 1, 18.3.1.13 (recalled): a column is so many digits of the Normal style wide, and 5 pixels of it
# are padding and line. A digit of Calibri 11 and one of Arial 10 are 7 pixels wide.
DIGIT = 7
PADDING = 5
INDENT = 9  # pixels, three spaces of the Normal style
USUAL_WIDTH = 8.43
USUAL_HEIGHT = 15.0


@dataclass(frozen=True)
class Clipped:
    """One cell whose text is cut off. `needed` and `has` are points, of height where `how` is 'height'."""

    sheet: str
    cell: str
    how: str  # width, height, number (shown as ####), word (broken within)
    text: str
    needed: float
    has: float
    printed: bool


@dataclass(frozen=True)
class Face:
    """What counts of a cell's look."""

    size: float
    bold: bool
    wrap: bool
    horizontal: str
    indent: int
    number_format: str

    def width(self, text: str) -> float:
        """The width of one line of text in points; an unknown character counts as the widest letter."""
        widths = WIDTHS[self.bold]
        return sum(widths.get(character, EM) for character in text) / EM * self.size

    def height(self, lines: int) -> float:
        """The height of so many lines in points; the programs round each up to a pixel."""
        return lines * math.ceil(self.size * LINE / POINTS_A_PIXEL) * POINTS_A_PIXEL


def clipped(workbook: Workbook, values: Mapping[CellKey, Value]) -> list[Clipped]:
    """Every visible cell whose text is cut off; `values` holds what the formulas come to."""
    seen = [sheet for sheet in workbook.worksheets if sheet.sheet_state == "visible"]
    return [found for sheet in seen for found in _Sheet(sheet, values).clipped()]


class _Sheet:
    """A sheet's widths, heights and merged cells."""

    def __init__(self, sheet: Worksheet, values: Mapping[CellKey, Value]) -> None:
        self.sheet = sheet
        self.values = values
        self.merged = {}
        for area in sheet.merged_cells.ranges:
            for row, column in area.cells:
                self.merged[row, column] = area
        self.areas = [range_boundaries(part.rsplit("!", 1)[-1].replace("$", "")) for part in _print_areas(sheet)]
        self.faces: dict[int, Face] = {}

    def clipped(self) -> Iterator[Clipped]:
        """The cells that are cut off, row by row."""
        for (row, column), cell in sorted(self.sheet._cells.items()):
            area = self.merged.get((row, column))
            inside = area is not None and (row, column) != (area.min_row, area.min_col)
            if self.sheet.row_dimensions[row].hidden or self.pixels(column) == 0 or inside:
                continue
            face = self.face(cell)
            text, number = shown(self.value(row, column), face.number_format)
            if not text:
                continue
            for how, needed, has in self.faults(row, column, face, text, number):
                where = f"{get_column_letter(column)}{row}"
                printed = self.printed(row, column)
                yield Clipped(self.sheet.title, where, how, text, round(needed, 1), round(has, 1), printed)

    def faults(self, row: int, column: int, face: Face, text: str, number: bool) -> Iterator[tuple[str, float, float]]:
        """How a text is cut off, what it needs and what it has."""
        area = self.merged.get((row, column))
        last_column, last_row = (area.max_col, area.max_row) if area else (column, row)
        taken = PADDING + INDENT * face.indent
        pixels = sum(self.pixels(c) for c in range(column, last_column + 1))
        own = (pixels - taken) * POINTS_A_PIXEL
        lines = 1
        if number:
            if face.width(text) > own:
                yield "number", face.width(text), own
        elif face.wrap:
            lines = _lines(text, face, own)
            longest = max((face.width(word) for word in _words(text)), default=0.0)
            if longest > own:
                yield "word", longest, own
        else:
            room = own if area else (pixels + self.beside(row, column, face.horizontal) - taken) * POINTS_A_PIXEL
            if face.width(text) > room:
                yield "width", face.width(text), room
        heights = [self.sheet.row_dimensions[r].height for r in range(row, last_row + 1)]
        grows = area is None and heights == [None]
        height = sum(h or USUAL_HEIGHT for h in heights)
        if not grows and face.height(lines) > height:
            yield "height", face.height(lines), height

    def beside(self, row: int, column: int, horizontal: str) -> int:
        """Pixels of the empty cells into which text flows: to the right, to the left, or evenly to both."""
        right = 0 if horizontal == "right" else self.empty(row, column, 1)
        left = 0 if horizontal in ("left", "general") else self.empty(row, column, -1)
        return 2 * min(left, right) if horizontal == "center" else left + right

    def empty(self, row: int, column: int, step: int) -> int:
        """Pixels of the empty cells from there on, within the print area where the text stands in one."""
        area = next((a for a in self.areas if a[0] <= column <= a[2] and a[1] <= row <= a[3]), None)
        low, high = (area[0], area[2]) if area else (1, 16384)
        pixels, at = 0, column + step
        while low <= at <= high and pixels < 10_000:
            cell = self.sheet._cells.get((row, at))
            if (row, at) in self.merged or (cell is not None and cell.value is not None):
                break
            pixels += self.pixels(at)
            at += step
        return pixels

    def pixels(self, column: int) -> int:
        """The width of a column, 0 where it is hidden."""
        letter = get_column_letter(column)
        width = self.sheet.sheet_format.defaultColWidth or USUAL_WIDTH
        if letter in self.sheet.column_dimensions:
            dimension = self.sheet.column_dimensions[letter]
            if dimension.hidden:
                return 0
            width = dimension.width
        return int((256 * width + int(128 / DIGIT)) / 256 * DIGIT)

    def printed(self, row: int, column: int) -> bool:
        """Whether a cell stands in the print area; a sheet without one prints whole."""
        return not self.areas or any(a[0] <= column <= a[2] and a[1] <= row <= a[3] for a in self.areas)

    def value(self, row: int, column: int) -> object:
        """What stands in a cell, or what its formula comes to."""
        cell = self.sheet._cells[row, column]
        return self.values[self.sheet.title, row, column] if cell.data_type == "f" else cell.value

    def face(self, cell: Cell) -> Face:
        """The look of a cell; cells of one style share it."""
        if cell.style_id not in self.faces:
            font, alignment = cell.font, cell.alignment
            self.faces[cell.style_id] = Face(
                float(font.sz),
                bool(font.b),
                bool(alignment.wrap_text),
                alignment.horizontal or "general",
                int(alignment.indent or 0),
                cell.number_format,
            )
        return self.faces[cell.style_id]


def _print_areas(sheet: Worksheet) -> list[str]:
    area = sheet.print_area
    return area.split(",") if isinstance(area, str) and area else list(area or [])


def shown(value: object, number_format: str) -> tuple[str, bool]:
    """What a cell shows, and whether it is a number. Raises ValueError for a number format that is not known here."""
    if value is None or isinstance(value, str):
        return value or "", False
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise ValueError(f"a cell holds {value!r}, which is neither text nor a number")
    if number_format.startswith('[=0]"";'):
        if value == 0:
            return "", True
        number_format = number_format.removeprefix('[=0]"";')
    below = re.fullmatch(r"\[<(\d+)\]([^;]*);(.*)", number_format)
    if below:
        number_format = below[2] if value < float(below[1]) else below[3]
    if number_format in ("General", "@"):
        return f"{value:.0f}", True  # what does not fit of the decimals is rounded off, not cut off
    if number_format == DAY_FORMAT:
        return "0000-00-00", True  # every digit is as wide as any other
    if number_format.endswith(";"):  # in spare rows a zero is not shown
        number_format = number_format.split(";")[0]
        if value == 0:
            return "", True
    pattern = re.fullmatch(r"(#,##)?0(\.0+)?(%)?", number_format)
    if not pattern:
        raise ValueError(f"the number format {number_format!r} is not known here")
    thousands, decimals = "," if pattern[1] else "", len(pattern[2] or ".") - 1
    return f"{value:{thousands}.{decimals}{'%' if pattern[3] else 'f'}}", True


def _words(text: str) -> list[str]:
    """The pieces between which a line may break: after a space or a hyphen."""
    return [word.rstrip(" ") for word in re.split(r"(?<=[ -])|\n", text)]


def _lines(text: str, face: Face, room: float) -> int:
    """How many lines a text takes, words moved to the next line where they do not fit."""
    count = 0
    for paragraph in text.split("\n"):
        count += 1
        line = ""
        for piece in re.split(r"(?<=[ -])", paragraph):
            if line and face.width((line + piece).rstrip(" ")) > room:
                count += 1
                line = ""
            line += piece
            if face.width(piece.rstrip(" ")) > room:  # broken within
                count += math.ceil(face.width(piece.rstrip(" ")) / max(room, 1.0)) - 1
    return count


def report(found: list[Clipped]) -> Iterator[str]:
    """Like cells of a sheet as one line: sheet, first cell and how many more, how, needed and has, text."""
    alike: dict[tuple[str, str, str, bool], list[Clipped]] = {}
    for one in found:
        text = "" if one.how == "number" else one.text
        alike.setdefault((one.sheet, one.how, text, one.printed), []).append(one)
    for (sheet, how, text, printed), cells in alike.items():
        worst = max(cells, key=lambda one: one.needed - one.has)
        more = f" and {len(cells) - 1} more" if len(cells) > 1 else ""
        where = "" if printed else ", not printed"
        yield f"{sheet} {worst.cell}{more}, {how} {worst.needed:g} of {worst.has:g} pt{where}: {text or worst.text}"


def main() -> None:
    """Print what is cut off on every example, or on one."""
    from tests.computed import EXAMPLES, compute

    for path in EXAMPLES:
        if path.stem in (sys.argv[1:] or [path.stem]):
            computed = compute(path)
            print(f"# {path.stem}")
            for line in report(clipped(computed.book.workbook, computed.values)):
                print(line)


if __name__ == "__main__":
    main()
