"""Formulas as they stand in the cells of a workbook, taken apart without the package's own resolver.

openpyxl's `Tokenizer` finds the operands; every address, range and defined name becomes an `Area` of cells.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from openpyxl import Workbook
from openpyxl.formula import Tokenizer
from openpyxl.formula.tokenizer import Token
from openpyxl.utils import range_boundaries

from budget.workbook.book import CellKey


@dataclass(frozen=True)
class Area:
    """A rectangle of cells on one sheet."""

    sheet: str
    left: int
    top: int
    right: int
    bottom: int

    @property
    def size(self) -> int:
        """Number of cells."""
        return (self.right - self.left + 1) * (self.bottom - self.top + 1)

    def cells(self) -> list[CellKey]:
        """Every cell of the rectangle."""
        rows, columns = range(self.top, self.bottom + 1), range(self.left, self.right + 1)
        return [(self.sheet, row, column) for row in rows for column in columns]


def formulas(workbook: Workbook) -> dict[CellKey, str]:
    """The text of every formula cell, with its equals sign."""
    found: dict[CellKey, str] = {}
    for sheet in workbook.worksheets:
        for cells in sheet.iter_rows():
            for cell in cells:
                if cell.data_type == "f":
                    found[sheet.title, cell.row, cell.column] = str(cell.value)
    return found


def names(workbook: Workbook) -> dict[str, Area]:
    """The area of every defined name; each must be one area."""
    found: dict[str, Area] = {}
    for name, defined in workbook.defined_names.items():
        ((sheet, cells),) = defined.destinations
        found[name] = area(sheet, cells)
    return found


@cache
def area(sheet: str, cells: str) -> Area:
    """The area of an address without its sheet, e.g. `$B$2:$B$9`."""
    left, top, right, bottom = range_boundaries(cells)
    assert left and top and right and bottom, f"{cells} on {sheet} has no end"
    return Area(sheet, left, top, right, bottom)


def referred(operand: str, sheet: str, known: dict[str, Area]) -> Area:
    """What an operand of a formula on `sheet` refers to. An unknown name fails."""
    if operand in known:
        return known[operand]
    other, mark, cells = operand.rpartition("!")
    return area(other.strip("'").replace("''", "'") if mark else sheet, cells)


def operand(token: Token, sheet: str, known: dict[str, Area]) -> Area | None:
    """What a token of a formula on `sheet` reads; None where it is no reference. An unknown name fails."""
    is_reference = token.type == Token.OPERAND and token.subtype == Token.RANGE
    return referred(token.value, sheet, known) if is_reference else None


_DIGITS = re.compile(r"([0-9]+)")


@cache
def operands(shape: str) -> list[tuple[list[str], int]]:
    """The references in every formula that reads like this one but for its digits, whose runs are 1 here.

    Of each reference what stands between its runs of digits, and how many runs stand before it in the formula. Digits
    do not move the borders of tokens, and to take apart one formula of thousands alike is enough.
    """
    found, before = [], 0
    for token in Tokenizer(shape).items:
        between = _DIGITS.split(token.value)[::2]
        if token.type == Token.OPERAND and token.subtype == Token.RANGE:
            found.append((between, before))
        before += len(between) - 1
    assert before == len(_DIGITS.findall(shape)), f"digits were lost: {shape}"
    return found


def read_by(text: str, sheet: str, known: dict[str, Area]) -> list[Area]:
    """Everything that a formula on `sheet` reads."""
    runs = _DIGITS.findall(text)
    found = []
    for (first, *others), before in operands(_DIGITS.sub("1", text)):
        digits = runs[before : before + len(others)]
        found.append(first + "".join(run + part for run, part in zip(digits, others, strict=True)))
    return [referred(operand, sheet, known) for operand in found]
