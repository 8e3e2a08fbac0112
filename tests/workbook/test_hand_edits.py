"""A finished book in a hand's way: whatever is typed, sorted, cut, moved, inserted or deleted, no answer misleads.

After each edit the answers are right, or a finding stops them, stands for the verdict, and says which sheet and which
thing is wrong. What is typed where it may not stand is pasted, as it were: these commands pass a cell's validation by.
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest

from budget.declarations import Input
from budget.water.nouns import LISTS, MONTHS, SCALARS
from budget.workbook.engine import Computed as Value
from tests.computed import Computed
from tests.conftest import computed_example, finished_example, needs
from tests.test_checks import STOPPED
from tests.workbook.hand_edits import (
    Block,
    Cells,
    Edit,
    Outcome,
    Step,
    cell,
    changes,
    clear,
    delete_cells_up,
    delete_row,
    enter,
    insert_cells_down,
    insert_row,
    move,
    played,
    rename_sheet,
    sort,
    unprotect,
)

VERDICT, STOP, COUNT = "verdict", "stop_sentence", "findings_count"
FINDINGS = ("finding_1", "finding_2", "finding_3")
TOLD = (VERDICT, STOP, COUNT, *FINDINGS)
RESULTS = (
    "carried_sentence memory_sentence planning_storage planning_year years_carried inflow recovery_inflow recovery_fit"
    " dips_counted dip_fit_error spells_counted best_score roof_catching_area allowed_pumping_depth tank_usable"
).split()
TABLES = ("answers", "fill_and_drain")
TERRACE, GUEST = "terrace_house", "guest_house"
AUGUST, DECEMBER = 7, 11


class Book:
    """An example as it is finished, and where things stand in it."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.computed: Computed = computed_example(name)
        self.directory = self.computed.book.directory

    def named(self, name: str) -> Cells:
        """The cell of an input or a result."""
        return cell(*self.directory.names[name])

    def table(self, name: str) -> Cells:
        """All rows and columns of a table."""
        placed = self.directory.placements[name]
        first, last = placed.table.columns[0].key, placed.table.columns[-1].key
        copies, rows = (placed.table.each.size if placed.table.each else 1), placed.table.rows.size
        return Cells(placed.sheet, *placed.cell(first, 0, 0), *placed.cell(last, copies - 1, rows - 1))

    def watched(self) -> dict[str, Cells]:
        """The answers: verdict, findings, tables, and what comes of the record, of each list and of the months."""
        return {name: self.named(name) for name in (*TOLD, *RESULTS)} | {name: self.table(name) for name in TABLES}

    def column(self, table: str, key: str) -> Cells:
        """A column of a table."""
        placed = self.directory.placements[table]
        (top, left), (bottom, right) = placed.cell(key, 0, 0), placed.cell(key, 0, placed.table.rows.size - 1)
        return Cells(placed.sheet, top, left, bottom, right)

    def lines(self, section: str) -> Cells:
        """All lines of a list, with their twelve months."""
        of = LISTS[section]
        typed = self.table(of.table)
        return Cells(typed.sheet, typed.top, typed.left, typed.bottom, self.table(of.months_table or of.table).right)

    def listed(self, section: str, key: str, line: int = 0, month: int = 0) -> Cells:
        """A typed cell of a list: of its columns, or of its twelve months."""
        of = LISTS[section]
        placed = self.directory.placements[
            of.months_table if key in [of_month.key for of_month in of.monthly] else of.table
        ]
        return cell(placed.sheet, *placed.cell(key, month, line))

    def items(self, section: str) -> int:
        """How many lines of a list are filled in."""
        return len(self.computed.made_of.lists[section])


Steps = Callable[[Book], Sequence[Step]]
Place = Callable[[Book], Cells]
Expected = Callable[["Trial", Outcome], None]


@dataclass(frozen=True)
class Trial:
    """An edit in one of the examples: the cells to look at, the steps of the hand, and what is to come of them."""

    book: str
    name: str
    looked_at: Place
    steps: Steps
    expected: Expected
    prepared: Steps = lambda book: ()

    def __str__(self) -> str:
        return f"{self.book}: {self.name}"


# ---------------------------------------------------------------- what is to come of an edit


def stays(trial: Trial, outcome: Outcome) -> None:
    """The answers and findings are those of before."""
    assert differing(outcome.before, outcome.after) == {}


def refused(trial: Trial, outcome: Outcome) -> None:
    """The program does nothing, because the sheet is protected."""
    assert outcome.seen_after == outcome.seen_before
    stays(trial, outcome)


def done(expected: Expected) -> Expected:
    """The edit shows in the cells that are looked at; and this comes of it."""

    def also(trial: Trial, outcome: Outcome) -> None:
        assert outcome.seen_after != outcome.seen_before
        expected(trial, outcome)

    return also


def stops(*words: str) -> Expected:
    """A finding that stops names all these, and stands for the verdict."""

    def expected(trial: Trial, outcome: Outcome) -> None:
        verdict, stop, first = (str(outcome.after[key][0][0]) for key in (VERDICT, STOP, FINDINGS[0]))
        assert verdict.startswith(STOPPED) and verdict == stop == f"{STOPPED}{first}"
        assert [word for word in words if word not in stop] == []

    return expected


def like(name: str) -> Expected:
    """The answers are those after another trial in the same book; findings on cells left empty may come on top."""

    def expected(trial: Trial, outcome: Outcome) -> None:
        other = outcomes(trial.book)[name]
        assert outcome.after[STOP] == other.after[STOP] == [[""]]
        found = differing(other.after, outcome.after)
        assert {key: rows for key, rows in found.items() if key not in TOLD} == {}

    return expected


def computed(trial: Trial, outcome: Outcome) -> None:
    """The answers are those of a book in which the engine has the same in these cells."""
    book = Book(trial.book)
    model, at = book.computed.copy().model, trial.looked_at(book)
    for down, row in enumerate(outcome.seen_after):
        for across, value in enumerate(row):
            where = (at.sheet, at.top + down, at.left + across)
            model.clear_cell(where) if value == "" else model.set_cell(where, value)
    model.evaluate()
    by_engine = {
        name: [
            [_or_empty(model.cell((there.sheet, row, column))) for column in range(there.left, there.right + 1)]
            for row in range(there.top, there.bottom + 1)
        ]
        for name, there in book.watched().items()
    }
    assert outcome.after[STOP] == [[""]]
    assert differing(by_engine, outcome.after) == {}, differing(by_engine, outcome.after)
    assert differing(outcome.before, outcome.after) != {}


def _or_empty(value: Value) -> Value:
    return "" if value is None else value


def differing(one: dict[str, Block], other: dict[str, Block]) -> dict[str, list[str]]:
    """What is watched and differs."""
    assert one.keys() == other.keys()
    found = {key: changes(one[key], other[key]) for key in one}
    return {key: rows for key, rows in found.items() if rows}


def sorted_by(column: int, descending: bool) -> Expected:
    """The lines stand in order, each as it was, those with nothing in that column last; and the answers stay."""

    def expected(trial: Trial, outcome: Outcome) -> None:
        keys = [row[column] for row in outcome.seen_after]
        filled = [key.casefold() if isinstance(key, str) else key for key in keys if key != ""]
        assert keys[len(filled) :] == [""] * (len(keys) - len(filled)) and len(filled) > 1
        assert filled == sorted(filled, reverse=descending)
        assert sorted(map(str, outcome.seen_after)) == sorted(map(str, outcome.seen_before))
        stays(trial, outcome)

    return expected


# ---------------------------------------------------------------- single cells


def named(name: str) -> Place:
    return lambda book: book.named(name)


def in_list(section: str, key: str, line: int = 0, month: int = 0) -> Place:
    return lambda book: book.listed(section, key, line, month)


def typed(where: Place, text: str) -> Steps:
    return lambda book: enter(where(book), text)


# What once ended in a confident sentence: where, what is typed (an empty text: the cell is emptied), what is said.
TYPED: tuple[tuple[str, Place, str, Sequence[str]], ...] = (
    (
        "factor with a comma",
        in_list("household", "factors", month=AUGUST),
        "0,5",
        ("Household, uses: Factor: a cell holds text",),
    ),
    ("efficiency emptied", in_list("garden", "efficiency"), "", ("Garden, zones: Efficiency of watering is empty",)),
    ("area with its unit", in_list("garden", "area", 1), "900 sq ft", ("Garden, zones: Area: a cell holds text",)),
    ("share in percent", named("well_sustained_share"), "50", ("Well: Share of the inflow", "is out of bounds")),
    ("bore in inches", named("well_bore"), "36", ("Well: Inside diameter", "is out of bounds")),
    ("load of nothing", named("hauling_load"), "0", ("Storage: One load is out of bounds",)),
    (
        "word almost right",
        named("well_water_enters"),
        "wall",
        ("Well: ", "is not in the list. Accepted: walls, bottom"),
    ),
    ("unknown soil", named("soil_type"), "mud", ("Well: Soil is not in the list",)),
    (
        "unknown crop",
        in_list("garden", "crop"),
        "moonbeans",
        ("Garden, zones: a zone has a crop that is not in the table",),
    ),
    ("depth of the well emptied", named("well_depth"), "", ("The depth of the well, on Well, is empty",)),
)
SHEETS = ("Household", "Garden", "Well", "Storage", "Plan year", "Answers", "Checks", "Ledger", "Papers")


def of_cells(book: str) -> Iterator[Trial]:
    for name, where, text, words in TYPED:
        steps = typed(where, text) if text else lambda book, where=where: clear(where(book))
        yield Trial(book, name, where, steps, done(stops(*words)))


def of_sheets(book: str) -> Iterator[Trial]:
    depth = named("well_depth")
    for sheet in SHEETS:
        yield Trial(book, f"{sheet} renamed", depth, lambda _, sheet=sheet: rename_sheet(sheet, "Our own"), stays)


# Their cells are cut, and rows above them inserted or deleted.
INPUTS = ((TERRACE, "well_depth"), (TERRACE, "plan_for"), (GUEST, "tank_capacity"))
BLANK_ROW = 3  # of each sheet, under its title
ASIDE = 60  # columns


def of_input(book: str, name: str) -> Iterator[Trial]:
    """What is done to the cell of an input, which stands beside its label."""
    given = next(given for given in SCALARS if given.name == name)

    def trial(what: str, expected: Expected, steps: Callable[[Cells], Sequence[Step]], free: bool) -> Trial:
        return in_book(book, name, what, named(name), lambda _, at: steps(at), expected, free)

    told = done(stops(given.title))
    yield trial("moved aside", told, lambda at: move(at, at.moved(across=ASIDE)), True)
    yield trial("moved a row lower", told, lambda at: move(at, at.moved(down=1)), False)
    yield trial("row inserted above", done(stays), insert_row, True)
    yield trial("row inserted above", refused, insert_row, False)
    yield trial("blank row deleted", done(stays), lambda at: delete_row(cell(at.sheet, BLANK_ROW, at.left)), True)
    yield trial("its row deleted", told, delete_row, True)
    yield trial("its row deleted", refused, delete_row, False)


# ---------------------------------------------------------------- figures of the calendar months

MARCH, APRIL = 2, 3


def of_month(book: str, sheet: str, table: str, given: Input) -> Iterator[Trial]:
    """What is done to the twelve cells of an input: each is that month's by the row in which it stands."""

    def column(book: Book) -> Cells:
        return book.column(table, given.key)

    def prepared(book: Book) -> Sequence[Step]:
        return enter(column(book).cell(MARCH), "1")

    def trial(what: str, expected: Expected, steps: Callable[[Cells], Sequence[Step]], free: bool) -> Trial:
        return in_book(book, given.key, what, column, lambda _, at: steps(at), expected, free, prepared)

    moved = done(stops(f"{sheet}, {given.title}: the cell of a month was cut and pasted elsewhere"))
    mixed = done(stops(f"{sheet}: ", ": a cell holds text"))  # the unit above is sorted in
    yield trial("March moved to April", moved, lambda at: move(at.cell(MARCH), at.cell(APRIL)), False)
    yield trial("sorted", refused, lambda at: sort(at.cell(MARCH)), False)
    yield trial("sorted", mixed, lambda at: sort(at.cell(MARCH)), True)


# ---------------------------------------------------------------- lists

# Lines typed before an edit where the example has too few.
MORE_LINES: dict[tuple[str, str], Sequence[Sequence[str]]] = {
    (GUEST, "household"): (("own baths", "1", "30"),),
    (GUEST, "animals"): (("goat", "3"), ("barn cat", "5", "0.4")),
    (GUEST, "roofs"): (("Shed", "30", "slate"), ("Barn", "80", "slate")),
}
# A line to add to each list.
ONE_MORE: dict[tuple[str, str], Sequence[str]] = {
    (TERRACE, "household"): ("one more use", "4", "25"),
    (TERRACE, "garden"): ("One more", "mixed vegetables", "200", "", "", "", "1", "0.75"),
    (TERRACE, "recovery"): ("300", "11.5"),
    (GUEST, "household"): ("one more use", "4", "25"),
    (GUEST, "animals"): ("one more", "5", "9"),
    (GUEST, "roofs"): ("One more", "120", "slate"),
    (GUEST, "dips"): ("2012-03-03", "6.1"),
    (GUEST, "remembered"): ("2006", "2006-12-01", "3"),
}
# The column of each list whose figures tell most, counted from 0.
FIGURES = {"household": 1, "animals": 1, "garden": 2, "recovery": 1, "dips": 1, "remembered": 2, "roofs": 1}
BELOW = 2  # the row 'end of list', counted from the last line


@dataclass(frozen=True)
class List:
    """A list of an example, with lines enough to sort."""

    book: str
    section: str

    @property
    def more(self) -> Sequence[Sequence[str]]:
        """The lines that are typed first."""
        return MORE_LINES.get((self.book, self.section), ())

    def lines(self, book: Book) -> Cells:
        """All its lines."""
        return book.lines(self.section)

    def size(self, book: Book) -> int:
        """How many are filled in: the first spare one's place, counted from 0."""
        return book.items(self.section) + len(self.more)

    def prepared(self, book: Book) -> Sequence[Step]:
        """Three lines or more, and August figures in the second and third, which touch no heading."""
        steps: list[Step] = []
        for n, texts in enumerate(self.more):
            steps += enter(self.lines(book).cell(book.items(self.section) + n), *texts)
        for given in LISTS[self.section].monthly:
            for line, figure in enumerate(("0.5", "0.7"), 1):
                steps += enter(book.listed(self.section, given.key, line, AUGUST), figure)
        return steps

    def one_more(self, at: Cells) -> Sequence[Step]:
        """Type another item into a line."""
        return enter(at, *ONE_MORE[self.book, self.section])

    def trial(self, what: str, expected: Expected, steps: Callable[[Book, Cells], Sequence[Step]], free: bool) -> Trial:
        return in_book(self.book, self.section, what, self.lines, steps, expected, free, self.prepared)


def of_list(of: List) -> Iterator[Trial]:
    """What is done to the lines of a list; they are counted from 0."""
    yield from _sorted_lists(of)
    yield of.trial("line cleared", done(computed), lambda book, at: clear(at.row(of.size(book) // 2)), False)
    yield of.trial(
        "line moved a line lower",
        done(like(f"{of.section}, protected: line cleared")),
        lambda book, at: move(at.row(of.size(book) // 2 - 1), at.row(of.size(book) // 2)),
        False,
    )
    yield of.trial(
        "line moved to a spare one", done(stays), lambda book, at: move(at.row(1), at.cell(of.size(book))), False
    )
    yield of.trial(
        "line typed into a spare one", done(computed), lambda book, at: of.one_more(at.cell(of.size(book))), False
    )
    yield from _rows_of_lists(of)


def _sorted_lists(of: List) -> Iterator[Trial]:
    by_month = [len(LISTS[of.section].inputs) + AUGUST] if LISTS[of.section].monthly else []
    for free in (False, True):
        for column, descending in ((0, free), (FIGURES[of.section], not free), *((at, free) for at in by_month)):
            yield of.trial(
                f"sorted by column {column + 1}, {'down' if descending else 'up'}",
                sorted_by(column, descending),
                lambda _, at, column=column, descending=descending: sort(at.cell(1, column), descending),
                free,
            )


def _rows_of_lists(of: List) -> Iterator[Trial]:
    told = LISTS[of.section].told
    yield of.trial("row inserted", refused, lambda _, at: insert_row(at.row(1)), False)
    yield of.trial("row deleted", refused, lambda _, at: delete_row(at.row(1)), False)
    added = done(like(f"{of.section}, protected: line typed into a spare one"))
    for above in (0, 1):
        yield of.trial(
            f"row inserted above line {above + 1} and an item typed",
            added,
            lambda _, at, above=above: [*insert_row(at.row(above)), *of.one_more(at.cell(above))],
            True,
        )
    yield of.trial(
        "row inserted above 'end of list' and an item typed",
        stops(f"{told}: its last lines are not read"),
        lambda _, at: [
            *insert_row(at.row(at.bottom - at.top + BELOW)),
            *of.one_more(at.cell(at.bottom - at.top + BELOW)),
        ],
        True,
    )
    yield of.trial("row deleted", done(stops(f"{told}: a row was deleted")), lambda _, at: delete_row(at.row(1)), True)
    if of.section == "household":  # elsewhere merged cells below are in the way
        shifted = done(stops(f"{told}: cells were shifted in a part of a row"))
        yield of.trial("a cell of a line deleted", shifted, lambda _, at: delete_cells_up(at.cell(1)), True)
        yield of.trial("a cell inserted", shifted, lambda _, at: insert_cells_down(at.cell(1)), True)


def in_book(
    book: str,
    what: str,
    edit: str,
    looked_at: Place,
    steps: Callable[[Book, Cells], Sequence[Step]],
    expected: Expected,
    free: bool,
    prepared: Steps = lambda book: (),
) -> Trial:
    """An edit of these cells on the sheet as it is protected, or where it is `free`, with the protection taken off."""

    def all_prepared(book: Book) -> Sequence[Step]:
        return [*prepared(book), *(unprotect(looked_at(book).sheet) if free else ())]

    name = f"{what}, {'unprotected' if free else 'protected'}: {edit}"
    return Trial(book, name, looked_at, lambda book: steps(book, looked_at(book)), expected, all_prepared)


TRIALS = [
    *(trial for book in (TERRACE, GUEST) for trial in of_cells(book)),
    *(trial for book in (TERRACE, GUEST) for trial in of_sheets(book)),
    *(trial for book, name in INPUTS for trial in of_input(book, name)),
    *(
        trial
        for months in MONTHS
        for given in months.inputs
        for trial in of_month(TERRACE, months.told, months.table, given)
    ),
    *(trial for book, section in ONE_MORE for trial in of_list(List(book, section))),
]


@cache
def outcomes(name: str) -> dict[str, Outcome]:
    """What came of all trials in that book, done in one launch of the program."""
    book = Book(name)
    edits = [
        Edit(trial.name, trial.steps(book), trial.looked_at(book), trial.prepared(book))
        for trial in TRIALS
        if trial.book == name
    ]
    with tempfile.TemporaryDirectory() as folder:
        return played(finished_example(name), book.watched(), edits, Path(folder))


def test_every_list_is_tried() -> None:
    assert {section for _, section in ONE_MORE} == set(LISTS)


@pytest.mark.parametrize("trial", sorted(TRIALS, key=lambda trial: trial.book), ids=str)
def test_no_edit_misleads(trial: Trial) -> None:
    needs("soffice")
    outcome = outcomes(trial.book)[trial.name]
    assert outcome.before.keys() == {*TOLD, *RESULTS, *TABLES}
    trial.expected(trial, outcome)
