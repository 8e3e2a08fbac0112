"""A check that follows from a declaration, its formula broken in one place, is noticed by some edit of its cells.

Beside each sound formula stand its mutants (`tests.mutants`), all in one engine. One after another, the cells of every
check hold what they may not and what they may; a mutant is noticed where it says another thing than it must. So each
part of these formulas is there for an edit that somebody may make.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import pytest

from budget.declarations import Column
from budget.units import to_book
from budget.water.checks import DECLARED, Declared
from budget.water.checks.declared import WHOLE_NUMBERS
from budget.water.nouns import LISTS
from budget.workbook.book import CellKey
from budget.workbook.engine import Computed as Value
from budget.workbook.formulas import resolve_column
from tests.computed import Computed
from tests.mutants import FAR_RIGHT, broken
from tests.test_checks import COLUMNS, ROW, SINGLE, UNFILLED, called, light, must_be_filled, sound, wrong_values

__all__ = ["sound"]  # a fixture

# Why some parts are needed by no edit; they do no harm. `equal` says of which checks.
NO_ERROR = "what is in it comes to no error: an error is no number, and that is asked first"
ZERO_FITS = "the least and the greatest of no numbers are 0, which lies within the bounds"
NOT_WHOLE = "a text is never equal to a whole number, and an empty cell passes, or counts as 0, below the bounds"
NO_DEPTH = "whether there is a well is told by its depth alone"

ERROR = "=1/0"
BLOCKS = {rows.months_table for rows in LISTS.values()}


@dataclass(frozen=True)
class Edit:
    """What is typed into a cell of a check, and whether the check must speak then."""

    where: CellKey
    value: Value  # an error's formula begins with an equals sign
    finds: bool
    without_well: bool = False  # typed into a place without a well
    emptied: tuple[CellKey, ...] = ()  # cells that hold nothing then


def edits_of(check: Declared, computed: Computed) -> Iterator[Edit]:
    """The edits of its cells, each from the sound book on."""
    if check in SINGLE:
        yield from _of_single(check, computed)
    elif check in COLUMNS:
        for item in (0, 11) if check.table in BLOCKS else (0,):
            yield from _of_column(check, computed, computed.cells(check.table, check.given.key, item))
    else:
        yield from _of_unfilled(check, computed)


def _of_single(check: Declared, computed: Computed) -> Iterator[Edit]:
    where = computed.book.directory.names[check.given.name]
    for value in (*wrong_values(check, computed.book.system), ERROR):
        yield Edit(where, value, True)
    yield Edit(where, None, must_be_filled(check))
    if "well_there" in check.finding and check.given.name != "well_depth":
        yield Edit(where, None, False, without_well=True)
        yield Edit(where, "900 sq ft", True, without_well=True)
    for value in _accepted(check, computed):
        yield Edit(where, value, False)
        if not check.given.choices:
            yield Edit(where, f"{value}", True)  # a number as text


def _of_column(check: Declared, computed: Computed, cells: Sequence[CellKey]) -> Iterator[Edit]:
    for where in (cells[0], cells[-1]):
        for value in (*wrong_values(check, computed.book.system), ERROR):
            yield Edit(where, value, True)
        for value in _accepted(check, computed):
            yield Edit(where, value, False)
    items = range(12) if check.table in BLOCKS else range(1)
    every = tuple(where for item in items for where in computed.cells(check.table, check.given.key, item))
    yield Edit(cells[-1], None, False, emptied=every)


def _of_unfilled(check: Declared, computed: Computed) -> Iterator[Edit]:
    """The first row is an item, the last is none."""
    cells = computed.cells(check.table, check.given.key)
    yield Edit(cells[0], None, True)
    yield Edit(cells[-1], None, False)
    yield Edit(cells[0], ERROR, True)
    for value in _accepted(check, computed):
        yield Edit(cells[-1], value, False)


def _accepted(check: Declared, computed: Computed) -> list[Value]:
    """Every word of the list, or both bounds."""
    given = check.given
    if isinstance(given.choices, str):
        return list(computed.column(*given.choices.split(":")))
    if given.choices:
        return list(given.choices)
    return [to_book(str(bound), given.unit, computed.book.system) for bound in (given.low, given.high)]


class Beside:
    """The mutants of every check beside its formula, and what they say."""

    def __init__(self, computed: Computed) -> None:
        self.computed = computed
        self.mutants: dict[tuple[Declared, str, str], CellKey] = {}  # by check, what is broken, and its template
        placed = computed.book.directory.placements["checks"]
        column = placed.table.column("finding")
        assert isinstance(column, Column)
        for check in DECLARED:
            row = ROW[id(check)]
            for number, (what, template) in enumerate(broken(check.finding), 1):
                text = resolve_column(computed.book.directory, placed.table, column, template, 0, row).text(row)
                where = (placed.sheet, placed.cell("finding", 0, row)[0], FAR_RIGHT + number)
                computed.model.set_formula(where, f"={text}")
                self.mutants[check, what, template] = where


def put(computed: Computed, where: CellKey, value: Value) -> None:
    if value in (None, ""):
        computed.model.clear_cell(where)
    elif isinstance(value, str) and value.startswith("="):
        computed.model.set_formula(where, value)
    else:
        computed.model.set_cell(where, value)  # type: ignore[arg-type]


def rounds(computed: Computed) -> Iterator[dict[int, Edit]]:
    """One edit of each check at a time, by the check's row: as few rounds as there are edits of one check.

    Columns and rows that lack a figure share cells, and whether there is a well is asked by many: each apart.
    """
    groups = [SINGLE, COLUMNS, UNFILLED]
    depth = [check for check in SINGLE if check.given.name == "well_depth"]
    for group in (depth, *([check for check in group if check not in depth] for group in groups)):
        for without_well in (False, True):
            waiting = {
                ROW[id(check)]: [edit for edit in edits_of(check, computed) if edit.without_well == without_well]
                for check in group
            }
            while any(waiting.values()):
                yield {row: edits.pop() for row, edits in waiting.items() if edits}


def equal(check: Declared, what: str, computed: Computed) -> str:
    """Why a mutant can be told from the sound formula by nothing that is typed; empty where it can."""
    if check not in UNFILLED and what == "without IFERROR":
        asks_first = check in COLUMNS or check.finding.startswith("IFERROR(IF(ISNUMBER(")
        return NO_ERROR if asks_first else ""
    if check.given.name == "well_depth" and what == "AND without well_there=0":
        return NO_DEPTH
    if check.given.choices or check in UNFILLED:
        return ""
    low, high = (float(bound or 0) for bound in _accepted(check, computed))
    if check in COLUMNS and what.startswith("AND without COUNT("):
        return ZERO_FITS if low <= 0 <= high else ""
    if what == "without ISNUMBER" and check.given.unit in WHOLE_NUMBERS:
        empty_passes = check.finding.startswith(f'IFERROR(IF({check.given.name}="", 0, ')
        return NOT_WHOLE if low > 0 or empty_passes else ""
    return ""


def unnoticed(beside: Beside) -> list[str]:
    """The mutants that say what they must after every edit; sound formulas are asserted to."""
    computed, model = beside.computed, beside.computed.model
    depth = computed.book.directory.names["well_depth"]
    alive = dict(beside.mutants)
    finding = computed.cells("checks", "finding")
    for edits in rounds(computed):
        touched = {where for edit in edits.values() for where in (edit.where, *edit.emptied)} | {depth}
        held = {where: model.cell(where) for where in touched}
        for edit in edits.values():
            for where in edit.emptied:
                put(computed, where, None)
            put(computed, edit.where, edit.value)
        if any(edit.without_well for edit in edits.values()):
            put(computed, depth, None)
        model.evaluate()
        wrong = {row: edit for row, edit in edits.items() if (model.cell(finding[row]) == 1) != edit.finds}
        assert wrong == {}
        for mutant, where in list(alive.items()):
            edit = edits.get(ROW[id(mutant[0])])
            if edit is not None and model.cell(where) != (1 if edit.finds else 0):
                del alive[mutant]
        for where, value in held.items():
            put(computed, where, value)
    return [f"{called(check)}: {what}: {t}" for check, what, t in alive if not equal(check, what, computed)]


def test_every_broken_check_is_noticed(sound: Computed, monkeypatch: pytest.MonkeyPatch) -> None:
    beside = Beside(light(sound.copy(), monkeypatch))
    assert {check for check, _, _ in beside.mutants} == set(DECLARED)
    assert len(beside.mutants) > 1000
    left = unnoticed(beside)
    assert left == [], "\n".join(left)


def test_what_is_broken_in_a_condition() -> None:
    """One piece at a time, wherever it stands."""
    found = dict(broken("IFERROR(IF(OR(a>1, NOT(ISNUMBER(b))), 1, 0), 1)"))
    assert found == {
        "> turned round": "IFERROR(IF(OR(a<=1, NOT(ISNUMBER(b))), 1, 0), 1)",
        "without ISNUMBER": "IFERROR(IF(OR(a>1, NOT((1=1))), 1, 0), 1)",
        "OR without a>1": "IFERROR(IF(OR(NOT(ISNUMBER(b))), 1, 0), 1)",
        "OR without NOT(ISNUMBER(b))": "IFERROR(IF(OR(a>1), 1, 0), 1)",
        "IF turned round": "IFERROR(IF(OR(a>1, NOT(ISNUMBER(b))), 0, 1), 1)",
        "without IFERROR": "(IF(OR(a>1, NOT(ISNUMBER(b))), 1, 0))",
    }
    assert dict(broken('SUMPRODUCT((a<>"") * (b * c))')) == {
        "<> turned round": 'SUMPRODUCT((a="") * (b * c))',
        'product without (a<>"")': "SUMPRODUCT(--(b * c))",
        "product without (b * c)": 'SUMPRODUCT(--(a<>""))',
    }
