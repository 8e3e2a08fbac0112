"""From formula templates to cell text.

A template is resolved once per column into fixed text and references that move with the row; the text of each row is
then only a join. `budget.declarations` describes the language, `budget.workbook.template` takes it apart.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from openpyxl.utils import get_column_letter

from budget.declarations import Column, Result, Table
from budget.errors import ModelError
from budget.workbook.placement import Directory, Listed, Moving, Placement, cell_range, quoted
from budget.workbook.template import Reference, is_one_token, reference, tokens

# Added to the formulas of columns that lean on each other from row to row. LibreOffice computes the cells of a column
# in parallel and then takes such columns for a circle (Err:522, measured with 7.4 after a single edit of the tank); it
# computes a formula that holds MATCH row by row. The term is nothing: 0 times the place of January.
STEPWISE = " + 0 * MATCH(1, {calendar:month.all}, 0)"

WHOLE = "whole"  # the key that stands for all columns of a table

Part = str | Moving | Listed
OF_A_LIST = (None, "all", "block", "heading")  # how a list may be read: never by a cell that somebody may move


@dataclass
class Resolved:
    """A resolved template: its parts and the columns and names that it reads."""

    parts: list[Part]
    columns: set[tuple[str, str]]
    names: set[str]

    def text(self, row: int, edge: int = 0) -> str:
        """The formula of that row, without the leading equals sign; `edge` -1, 1: of the opening, closing row at it."""
        return "".join(part if isinstance(part, str) else part.at(row, edge) for part in self.parts)


@dataclass(frozen=True)
class _Context:
    directory: Directory
    sheet: str
    table: Table | None
    item: int
    key: str
    given: Mapping[str, str]


@dataclass(frozen=True)
class _Steps:
    """How a reference goes along: over runs of `length` rows, `stride` lines a run and `step` lines a row."""

    length: int | None
    stride: int
    step: int


ROW_BY_ROW = _Steps(None, 0, 1)


class _Resolver:
    """Resolves one template in one context, gathering what it reads."""

    def __init__(self, context: _Context) -> None:
        self.context = context
        self.columns: set[tuple[str, str]] = set()
        self.names: set[str] = set()

    def resolved(self, template: str) -> Resolved:
        """The template resolved. Raises ModelError that names the column where it stands."""
        try:
            parts = self._parts(template, self.context.given)
        except ModelError as error:
            table = self.context.table
            where = f"{table.name}:{self.context.key}" if table else self.context.key
            raise ModelError(f"{where}: {error}") from None
        return Resolved(list(_joined(parts)), self.columns, self.names)

    def _parts(self, template: str, given: Mapping[str, str]) -> list[Part]:
        result: list[Part] = []
        for token in tokens(template):
            if token.kind == "reference":
                result.extend(self._reference(token.text))
            elif token.kind == "word":
                result.extend(self._word(token.text, given))
            else:
                result.append(token.text)
        return result

    def _word(self, word: str, given: Mapping[str, str]) -> list[Part]:
        replacement = given.get(word)
        if replacement is not None:  # read as it stands: a case's own word may be part of what takes its place
            parts = self._parts(replacement, {})
            return parts if is_one_token(replacement) else ["(", *parts, ")"]
        if word not in self.context.directory.names:
            raise ModelError(f"'{word}' is no input, result or factor")
        self.names.add(word)
        return [word]

    def _reference(self, text: str) -> list[Part]:
        asked = reference(text)
        if asked.key == WHOLE:
            return self._table(asked)
        placement = self._placement(asked)
        self.columns.add((placement.table.name, asked.key))
        if placement.table.listed and (asked.modifier not in OF_A_LIST or asked.position is not None):
            raise ModelError(f"{{{text}}}: a list is read by position, as {{key}}, .all, .block or .heading")
        if asked.modifier == "heading":
            return [self._heading(placement, asked.key)]
        if asked.position is not None:
            return self._at_position(asked, placement)
        if asked.modifier == "all":
            return self._whole(placement, asked.key)
        if asked.modifier == "each":
            return self._across(placement, asked.key)
        if asked.modifier == "block":
            return [self._prefix(placement) + placement.block(asked.key, asked.key)]
        if asked.modifier in ("opening", "first", "last"):
            return [self._end(placement, asked.key, asked.modifier)]
        if asked.modifier == "left":
            return self._left(placement, asked.key)
        steps = {None: 0, "before": -1, "after": 1}
        if asked.modifier not in steps:
            raise ModelError(f"{{{text}}} has an unknown modifier")
        return [self._one(placement, asked.key, self._item(placement, asked.key), steps[asked.modifier])]

    def _table(self, asked: Reference) -> list[Part]:
        """A whole table: every column, every row."""
        placement = self.context.directory.placements.get(asked.table or "")
        if placement is None or asked.modifier is not None or asked.position is not None:
            raise ModelError(f"{{{asked.table}:{asked.key}}} names no table, or more than one")
        keys = sorted(placement.offsets, key=lambda key: placement.offsets[key])
        self.columns.update((placement.table.name, key) for key in keys)
        return [self._prefix(placement) + placement.block(keys[0], keys[-1])]

    def _at_position(self, asked: Reference, placement: Placement) -> list[Part]:
        """The column at the position that another column's row holds."""
        if asked.modifier not in (None, "each"):
            raise ModelError(f"{{{asked.key}.{asked.modifier}@{asked.position}}}: only .each goes with a position")
        across = asked.modifier == "each"
        whole = self._across(placement, asked.key) if across else self._whole(placement, asked.key)
        # Gnumeric takes the one number of a range that lies across for its row: name the row too.
        comma = ",1," if across or placement.table.transposed else ","
        return ["INDEX(", *whole, comma, *self._reference(asked.position or ""), ")"]

    def _placement(self, asked: Reference) -> Placement:
        """The table that holds the column asked for."""
        context = self.context
        if asked.table is None:
            if context.table is None:
                raise ModelError(f"{{{asked.key}}} needs a table before it")
            return context.directory.owner(asked.key, context.table)
        name = context.given.get(asked.table, asked.table)
        if name not in context.directory.placements:
            raise ModelError(f"there is no table '{name}'")
        named = context.directory.placements[name].table
        for placement in context.directory.with_partners(named):
            if asked.key in placement.offsets:
                return placement
        raise ModelError(f"table {name} has no column '{asked.key}'")

    def _item(self, placement: Placement, key: str) -> int:
        """The item of `each` that this context reads. Raises where the reference does not say which."""
        table = placement.table
        if table.each is None:
            return 0
        own = self.context.table
        if own is not None and own.each is not None and own.each.name == table.each.name:
            return self.context.item
        raise ModelError(f"{{{table.name}:{key}}} stands once per {table.each.name}: say which")

    def _course(self, placement: Placement) -> _Steps | int:
        """How a reference goes along with the rows of this context, or the fixed row that it reads."""
        table, own = placement.table, self.context.table
        if own is not None:
            runs, length = own.rows.runs, own.rows.run_length
            if table.rows.name == own.rows.name:
                return _Steps(length, placement.stride, 1) if runs else ROW_BY_ROW
            if own.each is not None and table.rows.name == own.each.name:
                return self.context.item
            if runs is not None and table.rows.name == runs.name:
                return _Steps(length, 1, 0)
            if table.rows.size > 1 and placement in self.context.directory.with_partners(own):
                if runs is not None and table.rows.size == length:
                    return _Steps(length, 0, 1)
                if runs is None and table.rows.runs is None and table.rows.size == own.rows.size:
                    return ROW_BY_ROW
        if table.rows.size == 1:
            return 0
        raise ModelError(f"which row of table {table.name} is meant?")

    def _prefix(self, placement: Placement) -> str:
        return "" if placement.sheet == self.context.sheet else f"{quoted(placement.sheet)}!"

    def _heading(self, placement: Placement, key: str) -> str:
        row, column = placement.heading(key, self._item(placement, key))
        return f"{self._prefix(placement)}${get_column_letter(column)}${row}"

    def _fixed(self, placement: Placement, key: str, row: int) -> str:
        sheet_row, column = placement.cell(key, self._item(placement, key), row)
        return f"{self._prefix(placement)}${get_column_letter(column)}${sheet_row}"

    def _moving(self, placement: Placement, line: tuple[int, int], steps: _Steps) -> Moving:
        """A reference that goes along from the cell `line` (row and column on the sheet)."""
        sheet_row, column = line
        length, stride, step = steps.length, steps.stride, steps.step
        if placement.table.transposed:
            return Moving(self._prefix(placement), column, True, sheet_row, length, step, stride)
        prefix = self._prefix(placement) + get_column_letter(column)
        return Moving(prefix, sheet_row, False, 0, length, step, stride)

    def _one(self, placement: Placement, key: str, item: int, step: int) -> Part:
        course = self._course(placement)
        if step and (isinstance(course, int) or not course.step):
            raise ModelError(f"table {placement.table.name} does not move along")
        if placement.table.listed:
            return self._listed(placement, key, item, course)
        if isinstance(course, int):
            sheet_row, column = placement.cell(key, item, course)
            return f"{self._prefix(placement)}${get_column_letter(column)}${sheet_row}"
        sheet_row, column = placement.cell(key, item, 0)
        down, right = (0, step) if placement.table.transposed else (step, 0)
        return self._moving(placement, (sheet_row + down, column + right), course)

    def _listed(self, placement: Placement, key: str, item: int, course: _Steps | int) -> Listed:
        column = self._prefix(placement) + placement.column_range(key, item)
        if isinstance(course, int):
            return Listed(column, course)
        if course != ROW_BY_ROW:
            raise ModelError(f"list {placement.table.name} is read row by row, not in runs")
        return Listed(column)

    def _of_own_run(self, placement: Placement) -> bool:
        """Whether the rows of this context are the runs of that table, so that each reads its own run."""
        own, runs = self.context.table, placement.table.rows.runs
        if runs is None or (own is not None and own.rows.name == runs.name):
            return runs is not None
        raise ModelError(f"table {placement.table.name} falls into runs: which one is meant?")

    def _end(self, placement: Placement, key: str, end: str) -> Part:
        """The first or last cell of a column, or what was there before it."""
        rows, column = placement.table.rows, placement.table.column(key)
        if end == "opening" and not (isinstance(column, Column) and placement.table.opening_of(column) is not None):
            raise ModelError(f"{{{placement.table.name}:{key}}} has no opening")
        row = {"opening": -1, "first": 0, "last": rows.run_length - 1}[end]
        if self._of_own_run(placement):
            cell = placement.cell(key, self._item(placement, key), row)
            return self._moving(placement, cell, _Steps(1, placement.stride, 1))
        return self._fixed(placement, key, row)

    def _whole(self, placement: Placement, key: str) -> list[Part]:
        if self._of_own_run(placement):
            last = self._end(placement, key, "last")
            bare = _without_sheet(last) if isinstance(last, Moving) else last
            return [self._end(placement, key, "first"), ":", bare]
        return [self._prefix(placement) + placement.column_range(key, self._item(placement, key))]

    def _across(self, placement: Placement, key: str) -> list[Part]:
        each = placement.table.each
        if each is None or placement.table.transposed:
            raise ModelError(f"table {placement.table.name} does not repeat its columns")
        course = self._course(placement)
        if isinstance(course, int):
            ends = (*placement.cell(key, 0, course), *placement.cell(key, each.size - 1, course))
            return [self._prefix(placement) + cell_range(*ends)]
        first, last = self._one(placement, key, 0, 0), self._one(placement, key, each.size - 1, 0)
        assert isinstance(last, Moving)
        return [first, ":", _without_sheet(last)]

    def _left(self, placement: Placement, key: str) -> list[Part]:
        item = self._item(placement, key)
        if item > 0:
            return [self._one(placement, key, item - 1, 0)]
        column = placement.table.column(key)
        leftmost = column.leftmost if isinstance(column, Column) else None
        if leftmost is None:
            raise ModelError(f"{{{key}.left}} has no leftmost value")
        return self._parts(leftmost, self.context.given)


def _without_sheet(reference: Moving) -> Moving:
    """The same reference as the end of a range, whose sheet its beginning names."""
    return replace(reference, prefix=reference.prefix.rpartition("!")[2])


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
    context = _Context(directory, placement.sheet, table, item, column.key, table.given_in(row))
    return _Resolver(context).resolved(template)


def resolve_result(directory: Directory, result: Result) -> Resolved:
    """Resolve the formula of a named cell."""
    sheet = directory.names[result.name][0]
    return _Resolver(_Context(directory, sheet, None, 0, result.name, {})).resolved(result.formula)


def validation_range(directory: Directory, choices: str) -> str:
    """The absolute range of a reference column written as `table:column`."""
    table, key = choices.split(":")
    placement = directory.placements[table]
    return f"{quoted(placement.sheet)}!{placement.column_range(key, 0)}"
