"""Where things stand: the cells of a table, what formulas can name, and references that move with the row."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from openpyxl.utils import get_column_letter

from budget.declarations import Table
from budget.errors import ModelError


@dataclass(frozen=True)
class Placement:
    """Where a table stands.

    `first_row`, `first_column`: the cell of row 0 of the first column. `offsets` maps a column's key to its distance,
    in columns (in rows where transposed), which headings between may widen. Rows are counted from 0; where the table
    falls into runs, the opening and closing rows between them do not count.
    """

    table: Table
    sheet: str
    first_row: int
    first_column: int
    offsets: Mapping[str, int]

    @cached_property  # asked for at every cell
    def stride(self) -> int:
        """Lines of the sheet from the first row of a run to the first row of the next."""
        return self.table.rows.run_length + self.table.has_opening + self.table.has_closing

    def cell(self, key: str, item: int, row: int) -> tuple[int, int]:
        """Row and column on the sheet of the cell of `key`, item of `each`, row of the table.

        Row -1 is the opening row above the first, `rows.size` the closing row below the last.
        """
        rows = self.table.rows
        if row == -1:
            return self.edge(key, item, 0, closing=False)
        if row == rows.size:
            return self.edge(key, item, rows.run_count - 1, closing=True)
        return self._at(key, item, row // rows.run_length * self.stride + row % rows.run_length)

    def edge(self, key: str, item: int, run: int, closing: bool) -> tuple[int, int]:
        """The cell of `key` in the opening or the closing row of a run."""
        return self._at(key, item, run * self.stride + (self.table.rows.run_length if closing else -1))

    def _at(self, key: str, item: int, line: int) -> tuple[int, int]:
        if self.table.transposed:
            return self.first_row + self.offsets[key], self.first_column + line
        return self.first_row + line, self.first_column + self.offsets[key] + item

    @property
    def guard(self) -> tuple[int, int]:
        """How far a column's range reaches: lines above its first row and below its last.

        That of a list takes in its heading, and the empty line and the row 'end of list' below it: a row inserted at
        either end lies within, and what is cut out within leaves the ends where they are.
        """
        return (1, 2) if self.table.listed else (0, 0)

    def heading(self, key: str, item: int) -> tuple[int, int]:
        """The cell right above a column's first row: a list's heading, in another table the unit.

        Raises ModelError where that is none, because the table lies across or the opening of a store stands there.
        """
        if self.table.transposed or self.table.has_opening:
            raise ModelError(f"no heading stands right above the rows of table {self.table.name}")
        row, column = self.cell(key, item, 0)
        return row - 1, column

    def column_range(self, key: str, item: int) -> str:
        """The absolute range of the whole column, without the sheet's name; over all runs with what lies between."""
        return self._range(key, item, key, item)

    def block(self, first: str, last: str) -> str:
        """The absolute range from the column `first` to the column `last`, all items and rows, without the sheet."""
        return self._range(first, 0, last, (self.table.each.size if self.table.each else 1) - 1)

    def _range(self, first: str, first_item: int, last: str, last_item: int) -> str:
        above, below = self.guard
        top, left = self.cell(first, first_item, 0)
        bottom, right = self.cell(last, last_item, self.table.rows.size - 1)
        return cell_range(top - above, left, bottom + below, right)


def quoted(sheet: str) -> str:
    """The sheet's name as a formula names it."""
    return f"'{sheet}'" if " " in sheet else sheet


def address(sheet: str, row: int, column: int) -> str:
    """The absolute address of a cell, with its sheet."""
    return f"{quoted(sheet)}!${get_column_letter(column)}${row}"


def cell_range(top: int, left: int, bottom: int, right: int) -> str:
    """The absolute address of a rectangle, without its sheet."""
    return f"${get_column_letter(left)}${top}:${get_column_letter(right)}${bottom}"


@dataclass
class Directory:
    """What formulas can name: tables by their placement, defined names by their address."""

    placements: dict[str, Placement] = field(default_factory=dict)
    names: dict[str, tuple[str, int, int]] = field(default_factory=dict)

    def place(self, placement: Placement) -> None:
        """Make a table known. Raises ModelError where the name is taken, or its rows are others than of that name."""
        rows = placement.table.rows
        if placement.table.name in self.placements:
            raise ModelError(f"two tables are named {placement.table.name}")
        for other in self.placements.values():
            if other.table.rows.name == rows.name and (other.table.rows.size, other.table.rows.runs) != (
                rows.size,
                rows.runs,
            ):
                raise ModelError(f"{placement.table.name} and {other.table.name} run along other rows {rows.name}")
        self.placements[placement.table.name] = placement

    def define(self, name: str, sheet: str, row: int, column: int) -> None:
        """Make a defined name known. Raises ModelError where it is taken or looks like a cell."""
        if name in self.names:
            raise ModelError(f"two cells are named {name}")
        if re.fullmatch(r"[a-z]{1,3}\d+|r\d*c?\d*|c\d*|true|false", name, re.IGNORECASE):
            raise ModelError(f"the name {name} looks like a cell or a keyword")
        self.names[name] = (sheet, row, column)

    def with_partners(self, table: Table) -> list[Placement]:
        """A table's placement, then its partners', each followed by its own partners."""
        found: list[Placement] = []
        waiting = [table.name]
        while waiting:
            name = waiting.pop(0)
            if name not in self.placements:
                raise ModelError(f"there is no table '{name}'")
            placement = self.placements[name]
            if placement not in found:
                found.append(placement)
                waiting = [*placement.table.partners, *waiting]
        return found

    def owner(self, key: str, table: Table) -> Placement:
        """The placement that a bare key means in `table`.

        Its own column; else a partner's; else that of the one other table with the same rows. Raises ModelError
        where there is none, or where more than one could be meant.
        """
        for placement in self.with_partners(table):
            if key in placement.offsets:
                return placement
        found = [
            placement
            for placement in self.placements.values()
            if placement.table.rows.name == table.rows.name and key in placement.offsets
        ]
        if len(found) != 1:
            what = "unknown" if not found else "ambiguous"
            raise ModelError(f"{{{key}}} is {what} among tables that run along {table.rows.name}")
        return found[0]


@dataclass(frozen=True)
class Moving:
    """A reference that moves with the row of the formula: `prefix` holds sheet and column, `start` the line of row 0.

    Where `across`, the rows run across the sheet: `start` is the sheet column, `fixed` the sheet row. Where the rows of
    the formula fall into runs of `length`, the reference goes `step` lines on with each row within a run, and `stride`
    lines from the first row of a run to that of the next.
    """

    prefix: str
    start: int
    across: bool = False
    fixed: int = 0
    length: int | None = None
    step: int = 1
    stride: int = 0

    def at(self, row: int, edge: int = 0) -> str:
        """The reference in that row; `edge` -1 or 1: in the opening row above it, the closing row below it."""
        if self.length is None:
            line = self.start + (row + edge) * self.step
        else:
            run, within = divmod(row, self.length)
            line = self.start + run * self.stride + (within + edge) * self.step
        return f"{self.prefix}{get_column_letter(line)}{self.fixed}" if self.across else f"{self.prefix}{line}"

    @property
    def follows_each_row(self) -> bool:
        """Whether it goes one line down with each row of a run, as a formula does that is copied down."""
        return not self.across and (self.stride if self.length == 1 else self.step) == 1


@dataclass(frozen=True)
class Listed:
    """A cell of a list, read by its position: `column` is the range from the heading to the row 'end of list'.

    The heading has the position 1. `row`: the one row of the list that is read; None: that of the formula.
    """

    column: str
    row: int | None = None

    def at(self, row: int, edge: int = 0) -> str:
        """The reference in that row; `edge` is there because a moving reference has it."""
        return f"INDEX({self.column},{(row if self.row is None else self.row) + 2})"

    @property
    def follows_each_row(self) -> bool:
        """A position is a number: no program moves it along when the formula is copied down."""
        return False
