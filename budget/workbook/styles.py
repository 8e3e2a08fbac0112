"""The look of the book: one quiet palette of our own, one role per kind of cell.

Every text stands out from its ground by 4.5 to 1; earth, meadow and paper, which charts lay side by side, by 3 to 1.

A style is built once per role and number format and then shared between cells, because building one for each of many
thousand cells would take longer than all the rest.
"""

from __future__ import annotations

from copy import copy
from dataclasses import dataclass
from typing import Any, Literal

from openpyxl.cell import Cell
from openpyxl.styles import Alignment, Border, Font, PatternFill, Protection, Side
from openpyxl.worksheet.worksheet import Worksheet

INK = "2B2B2B"
SOFT = "6B6459"
EARTH = "653B19"
WATER = "1F5673"
LEAF = "526E29"
SAND = "FBF3E1"
CLAY = "EFE3CF"
MIST = "E6EEF2"
RUST = "A33B20"
LINE = "C9BEAC"
MEADOW = "839B4E"
PAPER = "FFFFFF"

# Tabs, by use.
EVERY_YEAR, SET_ONCE, WORKING = EARTH, WATER, LEAF

FACE = "Arial"

Role = Literal[
    "title",
    "purpose",
    "heading",
    "text",
    "caution",
    "label",
    "label_beside",
    "unit",
    "note",
    "folded_note",
    "input",
    "input_words",
    "found",
    "result",
    "sentence",
    "warning",
    "aside",
    "finding",
    "column_title",
    "column_unit",
    "group",
    "key",
    "data",
    "body",
    "words",
    "folded_words",
    "edge",
    "link",
    "box",
    "chore",
    "pencil",
]


@dataclass(frozen=True)
class Look:
    """What a role looks like: font, fill, lines, alignment; `open` cells are not locked."""

    size: float = 10
    bold: bool = False
    italic: bool = False
    colour: str = INK
    fill: str | None = None
    line: str | None = None
    framed: bool = False
    underline: str | None = None
    wrap: bool = False
    horizontal: str | None = None
    indent: int = 0
    vertical: str = "center"
    open: bool = False


LOOKS: dict[Role, Look] = {
    "title": Look(size=18, bold=True, colour=WATER),
    "purpose": Look(size=11, italic=True, colour=SOFT),
    "heading": Look(size=12, bold=True, colour=EARTH, line=EARTH),
    "text": Look(wrap=True),
    "caution": Look(wrap=True, colour=RUST),
    "label": Look(wrap=True, line="EFEAE0"),
    "label_beside": Look(wrap=True, line="EFEAE0", horizontal="left", indent=1),
    "unit": Look(colour=SOFT, size=9),
    "note": Look(colour=SOFT, size=9, horizontal="left", indent=1),
    "folded_note": Look(colour=SOFT, size=9, horizontal="left", indent=1, wrap=True),
    "input": Look(fill=SAND, line=EARTH, colour=EARTH, bold=True, horizontal="right", open=True, wrap=True),
    "input_words": Look(fill=SAND, line=EARTH, colour=EARTH, bold=True, horizontal="left", indent=1, open=True),
    "found": Look(fill=SAND, line=LEAF, colour=LEAF, bold=True, italic=True, horizontal="right", open=True),
    "result": Look(bold=True, colour=WATER, horizontal="right", fill=MIST, line=LINE),
    "sentence": Look(bold=True, colour=WATER, fill=MIST, wrap=True, horizontal="left"),
    "warning": Look(bold=True, colour=RUST, wrap=True, horizontal="left"),
    "aside": Look(wrap=True, vertical="top"),
    "finding": Look(size=9, colour=RUST, wrap=True, horizontal="left", indent=1),
    "column_title": Look(bold=True, size=9, wrap=True, fill=CLAY, horizontal="center"),
    "column_unit": Look(size=8, colour=SOFT, fill=CLAY, horizontal="center", wrap=True),
    "group": Look(bold=True, size=10, colour=EARTH, fill=CLAY, line=EARTH),
    "key": Look(size=8, colour=SOFT),
    "data": Look(size=9, horizontal="right", colour=SOFT),
    "body": Look(size=9, horizontal="right"),
    "words": Look(size=9, colour=SOFT, horizontal="left", indent=1),
    "folded_words": Look(size=9, colour=SOFT, horizontal="left", indent=1, wrap=True),
    "edge": Look(size=9, italic=True, colour=SOFT, horizontal="right"),
    "link": Look(colour=WATER, underline="single"),
    "box": Look(line=INK, framed=True, fill=PAPER),
    "chore": Look(horizontal="left", indent=1),
    "pencil": Look(line=LINE, framed=True, fill=PAPER),
}


class Styles:
    """The styles of one workbook, built when first asked for."""

    def __init__(self, sheet: Worksheet) -> None:
        self._sheet = sheet
        # Columns are as wide as so many digits of the workbook's own font: it must be one that every program has.
        sheet.parent._fonts[0] = Font(name=FACE, size=LOOKS["text"].size, family=2)
        self._built: dict[tuple[Role, str], Any] = {}

    def of(self, role: Role, number_format: str = "General") -> Any:
        """The shared style array of a role with that number format."""
        wanted = (role, number_format)
        if wanted not in self._built:
            self._built[wanted] = self._build(LOOKS[role], number_format)
        return self._built[wanted]

    def _build(self, look: Look, number_format: str) -> Any:
        cell = Cell(self._sheet, row=1, column=1)
        cell.font = Font(
            name=FACE,
            size=look.size,
            bold=look.bold,
            italic=look.italic,
            color=look.colour,
            underline=look.underline,
        )
        if look.fill:
            cell.fill = PatternFill("solid", fgColor=look.fill)
        if look.line:
            side = Side("thin", color=look.line)
            cell.border = Border(left=side, right=side, top=side, bottom=side) if look.framed else Border(bottom=side)
        cell.alignment = Alignment(
            wrap_text=look.wrap, horizontal=look.horizontal, vertical=look.vertical, indent=look.indent
        )
        cell.number_format = number_format
        cell.protection = Protection(locked=not look.open)
        return copy(cell._style)
