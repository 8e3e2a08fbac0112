"""From formula templates to cell text.

A template is resolved once per column into fixed text and references that move with the row; the text of each row is
then only a join. The template language is described in `budget.declarations`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from openpyxl.utils import get_column_letter

from budget.declarations import Column, Result, Table
from budget.errors import ModelError

# Functions that LibreOffice, Gnumeric, ironcalc and (by its documentation) Excel compute alike.
PORTABLE_FUNCTIONS = frozenset(
    """ABS ACOS AND AVERAGE COS COUNT COUNTA COUNTIF DATE DAY EXP IF IFERROR INDEX INT INTERCEPT ISNUMBER LN MATCH MAX
    MIN MOD MONTH NOT OR PERCENTILE PI RADIANS ROUND ROUNDUP RSQ SIN SLOPE SQRT SUM SUMIF SUMPRODUCT TAN TEXT
    YEAR""".split()
)

# Added to the formulas of columns that lean on each other from row to row. LibreOffice computes the cells of a column
# in parallel and then takes such columns for a circle (Err:522, measured with 7.4 after a single edit of the tank); it
# computes a formula that holds MATCH row by row. The term is nothing: 0 times the place of January.
STEPWISE = " + 0 * MATCH(1, {calendar:month.all}, 0)"

_TOKEN = re.compile(
    r"""(?P<text>"[^"]*")
      | \{(?P<reference>[^{}]*)\}
      | (?P<function>[A-Z][A-Z0-9.]*)(?=\()
      | (?P<number>\d+\.?\d*(?:E[-+]?\d+)?)
      | (?P<word>[a-z_][a-z0-9_]*)
      | (?P<operator>[\s(),<>=+\-*/^&]+)
      | (?P<stray>.)""",
    re.VERBOSE | re.DOTALL,
)
_REFERENCE = re.compile(r"^(?:(?P<table>\w+):)?(?P<key>\w+)(?:\.(?P<modifier>\w+))?(?:@(?P<position>[\w:.]+))?$")


@dataclass(frozen=True)
class Placement:
    """Where a table stands: the cells of its columns, rows from -1 (opening) to `rows.size` (closing).

    `first_row`, `first_column`: the cell of row 0 of the first column. `offsets` maps a column's key to its distance,
    in columns (in rows where transposed), which headings between may widen.
    """

    table: Table
    sheet: str
    first_row: int
    first_column: int
    offsets: Mapping[str, int]

    def cell(self, key: str, item: int, row: int) -> tuple[int, int]:
        """Row and column on the sheet of the cell of `key`, item of `each`, row of the table."""
        if self.table.transposed:
            return self.first_row + self.offsets[key], self.first_column + row
        return self.first_row + row, self.first_column + self.offsets[key] + item

    def column_range(self, key: str, item: int) -> str:
        """The absolute range of the whole column, without the sheet's name."""
        return _range(*self.cell(key, item, 0), *self.cell(key, item, self.table.rows.size - 1))


def quoted(sheet: str) -> str:
    """The sheet's name as a formula names it."""
    return f"'{sheet}'" if " " in sheet else sheet


def address(sheet: str, row: int, column: int) -> str:
    """The absolute address of a cell, with its sheet."""
    return f"{quoted(sheet)}!${get_column_letter(column)}${row}"


def _range(top: int, left: int, bottom: int, right: int) -> str:
    return f"${get_column_letter(left)}${top}:${get_column_letter(right)}${bottom}"


@dataclass
class Directory:
    """What formulas can name: tables by their placement, defined names by their address."""

    placements: dict[str, Placement] = field(default_factory=dict)
    names: dict[str, tuple[str, int, int]] = field(default_factory=dict)

    def place(self, placement: Placement) -> None:
        """Make a table known. Raises ModelError where the name is taken."""
        if placement.table.name in self.placements:
            raise ModelError(f"two tables are named {placement.table.name}")
        self.placements[placement.table.name] = placement

    def define(self, name: str, sheet: str, row: int, column: int) -> None:
        """Make a defined name known. Raises ModelError where it is taken or looks like a cell."""
        if name in self.names:
            raise ModelError(f"two cells are named {name}")
        if re.fullmatch(r"[a-z]{1,3}\d+|r\d*c?\d*|c\d*|true|false", name, re.IGNORECASE):
            raise ModelError(f"the name {name} looks like a cell or a keyword")
        self.names[name] = (sheet, row, column)

    def owner(self, key: str, table: Table, where: str) -> Placement:
        """The placement that a bare key means in `table`: its own column, or one of the table with the same rows.

        Raises ModelError that names `where` it stands, unless there is exactly one.
        """
        if any(column.key == key for column in table.columns):
            return self.placements[table.name]
        found = [
            placement
            for placement in self.placements.values()
            if placement.table.rows.name == table.rows.name and key in placement.offsets
        ]
        if len(found) != 1:
            what = "unknown" if not found else "ambiguous"
            raise ModelError(f"{where}: {{{key}}} is {what} among tables that run along {table.rows.name}")
        return found[0]


@dataclass(frozen=True)
class Moving:
    """A reference that moves with the row: `prefix` holds sheet and column, `start` the sheet row of row 0.

    Where `across`, the rows run across the sheet: `start` is the sheet column, `fixed` the sheet row.
    """

    prefix: str
    start: int
    across: bool = False
    fixed: int = 0

    def at(self, row: int) -> str:
        """The reference in that row of the table."""
        if self.across:
            return f"{self.prefix}{get_column_letter(self.start + row)}{self.fixed}"
        return f"{self.prefix}{self.start + row}"


Part = str | Moving


@dataclass
class Resolved:
    """A resolved template: its parts and the columns and names that it reads."""

    parts: list[Part]
    columns: set[tuple[str, str]]
    names: set[str]

    def text(self, row: int) -> str:
        """The formula of that row, without the leading equals sign."""
        return "".join(part if isinstance(part, str) else part.at(row) for part in self.parts)


@dataclass(frozen=True)
class _Context:
    directory: Directory
    sheet: str
    table: Table | None
    item: int
    key: str
    given: Mapping[str, str]


class _Resolver:
    """Resolves one template in one context, gathering what it reads."""

    def __init__(self, context: _Context) -> None:
        self.context = context
        self.columns: set[tuple[str, str]] = set()
        self.names: set[str] = set()

    def parts(self, template: str) -> list[Part]:
        result: list[Part] = []
        for match in _TOKEN.finditer(template):
            kind, text = match.lastgroup, match.group()
            if kind == "reference":
                result.extend(self._reference(match["reference"]))
            elif kind == "word":
                result.extend(self._word(text))
            else:
                if kind == "function" and text not in PORTABLE_FUNCTIONS:
                    raise ModelError(f"{self._where()}: {text} is not among the portable functions")
                if kind == "stray":  # a capital word, a cell's address, a brace or quote without its pair
                    raise ModelError(f"{self._where()}: '{template[match.start() :]}' cannot be read")
                result.append(text)
        return list(_joined(result))

    def _where(self) -> str:
        table = self.context.table
        return f"{table.name}:{self.context.key}" if table else self.context.key

    def _word(self, word: str) -> list[Part]:
        replacement = self.context.given.get(word)
        if replacement is not None:
            return self.parts(replacement)
        if word not in self.context.directory.names:
            raise ModelError(f"{self._where()}: '{word}' is no input, result or factor")
        self.names.add(word)
        return [word]

    def _reference(self, text: str) -> list[Part]:
        match = _REFERENCE.match(text)
        if match is None:
            raise ModelError(f"{self._where()}: {{{text}}} cannot be read")
        placement = self._placement(match["table"], match["key"])
        key, modifier, position = match["key"], match["modifier"], match["position"]
        if key not in placement.offsets:
            raise ModelError(f"{self._where()}: table {placement.table.name} has no column '{key}'")
        self.columns.add((placement.table.name, key))
        if position is not None:
            if modifier not in (None, "each"):
                raise ModelError(f"{self._where()}: {{{text}}}: only .each goes with a position")
            across = modifier == "each"
            whole = self._across(placement, key) if across else self._whole(placement, key)
            # Gnumeric takes the one number of a range that lies across for its row: name the row too.
            lies_across = across or placement.table.transposed
            return ["INDEX(", *whole, ",1," if lies_across else ",", *self._reference(position), ")"]
        if modifier == "all":
            return self._whole(placement, key)
        if modifier == "each":
            return self._across(placement, key)
        ends = {"opening": -1, "first": 0, "last": placement.table.rows.size - 1}
        if modifier in ends:
            return [self._fixed(placement, key, self._item(placement, key), ends[modifier])]
        if modifier == "left":
            return self._left(placement, key)
        steps = {None: 0, "before": -1, "after": 1}
        if modifier not in steps:
            raise ModelError(f"{self._where()}: {{{text}}} has an unknown modifier")
        return [self._one(placement, key, self._item(placement, key), steps[modifier])]

    def _placement(self, table_name: str | None, key: str) -> Placement:
        context = self.context
        if table_name is None:
            if context.table is None:
                raise ModelError(f"{self._where()}: {{{key}}} needs a table before it")
            return context.directory.owner(key, context.table, self._where())
        table_name = context.given.get(table_name, table_name)
        if table_name not in context.directory.placements:
            raise ModelError(f"{self._where()}: there is no table '{table_name}'")
        return context.directory.placements[table_name]

    def _item(self, placement: Placement, key: str) -> int:
        """The item of `each` that this context reads. Raises where the reference does not say which."""
        table = placement.table
        if table.each is None:
            return 0
        own = self.context.table
        if own is not None and own.each is not None and own.each.name == table.each.name:
            return self.context.item
        raise ModelError(f"{self._where()}: {{{table.name}:{key}}} stands once per {table.each.name}: say which")

    def _row(self, placement: Placement) -> int | None:
        """The fixed row that this context reads, None where the row moves along. Raises where neither holds."""
        table, own = placement.table, self.context.table
        if own is not None and table.rows.name == own.rows.name:
            return None
        if own is not None and own.each is not None and table.rows.name == own.each.name:
            return self.context.item
        if table.rows.size == 1:
            return 0
        raise ModelError(f"{self._where()}: which row of table {table.name} is meant?")

    def _prefix(self, placement: Placement) -> str:
        return "" if placement.sheet == self.context.sheet else f"{quoted(placement.sheet)}!"

    def _fixed(self, placement: Placement, key: str, item: int, row: int) -> str:
        sheet_row, column = placement.cell(key, item, row)
        return f"{self._prefix(placement)}${get_column_letter(column)}${sheet_row}"

    def _one(self, placement: Placement, key: str, item: int, step: int) -> Part:
        row = self._row(placement)
        if row is not None:
            if step:
                raise ModelError(f"{self._where()}: table {placement.table.name} does not move along")
            return self._fixed(placement, key, item, row)
        sheet_row, column = placement.cell(key, item, step)
        if placement.table.transposed:
            return Moving(self._prefix(placement), column, across=True, fixed=sheet_row)
        return Moving(self._prefix(placement) + get_column_letter(column), sheet_row)

    def _whole(self, placement: Placement, key: str) -> list[Part]:
        return [self._prefix(placement) + placement.column_range(key, self._item(placement, key))]

    def _across(self, placement: Placement, key: str) -> list[Part]:
        each = placement.table.each
        if each is None or placement.table.transposed:
            raise ModelError(f"{self._where()}: table {placement.table.name} does not repeat its columns")
        row = self._row(placement)
        if row is not None:
            return [
                self._prefix(placement) + _range(*placement.cell(key, 0, row), *placement.cell(key, each.size - 1, row))
            ]
        first = self._one(placement, key, 0, 0)
        sheet_row, column = placement.cell(key, each.size - 1, 0)
        return [first, ":", Moving(get_column_letter(column), sheet_row)]

    def _left(self, placement: Placement, key: str) -> list[Part]:
        item = self._item(placement, key)
        if item > 0:
            return [self._one(placement, key, item - 1, 0)]
        column = placement.table.column(key)
        leftmost = column.leftmost if isinstance(column, Column) else None
        if leftmost is None:
            raise ModelError(f"{self._where()}: {{{key}.left}} has no leftmost value")
        return self.parts(leftmost)


def _joined(parts: list[Part]) -> Iterator[Part]:
    """The same parts with neighbouring fixed text put together."""
    text = ""
    for part in parts:
        if isinstance(part, str):
            text += part
        else:
            if text:
                yield text
            text = ""
            yield part
    if text:
        yield text


def resolve_column(directory: Directory, table: Table, column: Column, template: str, item: int, row: int) -> Resolved:
    """Resolve a column's template for one item of `each`; `row` matters only where `given` differs by row."""
    placement = directory.placements[table.name]
    resolver = _Resolver(_Context(directory, placement.sheet, table, item, column.key, table.given_in(row)))
    parts = resolver.parts(template)
    return Resolved(parts, resolver.columns, resolver.names)


def resolve_result(directory: Directory, result: Result) -> Resolved:
    """Resolve the formula of a named cell."""
    sheet = directory.names[result.name][0]
    resolver = _Resolver(_Context(directory, sheet, None, 0, result.name, {}))
    parts = resolver.parts(result.formula)
    return Resolved(parts, resolver.columns, resolver.names)


def validation_range(directory: Directory, choices: str) -> str:
    """The absolute range of a reference column written as `table:column`."""
    table, key = choices.split(":")
    placement = directory.placements[table]
    return f"{quoted(placement.sheet)}!{placement.column_range(key, 0)}"
