"""Lists: one row is one item, however it is sorted, moved, inserted or deleted; or the checks say what is wrong.

Rows are inserted and deleted by the engine, whose references follow as those of every spreadsheet program do.
"""

from __future__ import annotations

import random
from collections.abc import Iterator

import pytest
from openpyxl.formula import Tokenizer
from openpyxl.formula.tokenizer import Token

from budget.units import Unit
from budget.water.checks.lists import LINES
from budget.water.list_lines import END_OF_LIST
from budget.water.nouns import LISTS, ListOf
from budget.workbook.book import Book, CellKey
from budget.workbook.cells import KEY, LABEL
from budget.workbook.engine import Computed as Value
from budget.workbook.engine import Model
from budget.workbook.placement import Placement
from tests.computed import Computed
from tests.workbook.cell_formulas import formulas

ALL = pytest.mark.parametrize("section", LISTS)
DAYS = (("people_days", "people_daily"), ("animal_days", "animals_daily"))
Line = dict[CellKey, Value]


class Light:
    """A book with nothing in its engine but what reads the lists by position, and the checks of their lines."""

    def __init__(self, book: Book) -> None:
        self.book = book
        copies = [(of.workings, given.key) for of in LISTS.values() for given in of.inputs]
        copies += [(of.months_workings, given.key) for of in LISTS.values() for given in of.monthly]
        shown = [(f"{of.table}_shown", "unknown") for of in LISTS.values() if of.table in ("household", "roofs")]
        self.model = Model(book, [*(check.result.name for check in LINES), *copies, *shown, *DAYS])
        self.moved: dict[str, int] = {}
        self.model.evaluate()

    def placed(self, table: str) -> Placement:
        return self.book.directory.placements[table]

    def cells(self, of: ListOf, row: int) -> list[CellKey]:
        """The cells of a line, with those of its months, as the book was built."""
        placed = self.placed(of.table)
        cells = [(placed.sheet, *placed.cell(given.key, 0, row)) for given in of.inputs]
        if of.monthly:
            months = self.placed(of.months_table)
            cells += [(months.sheet, *months.cell(of.monthly[0].key, m, row)) for m in range(12)]
        return cells

    def size(self, of: ListOf) -> int:
        return self.placed(of.table).table.rows.size

    def line(self, of: ListOf, row: int) -> list[Value]:
        return [self.model.cell(where) for where in self.cells(of, row)]

    def type_line(self, of: ListOf, row: int, values: list[Value]) -> None:
        for where, value in zip(self.cells(of, row), values, strict=True):
            if value in (None, ""):
                self.model.clear_cell(where)
            else:
                self.model.set_cell(where, value)  # type: ignore[arg-type]

    def rows(self, of: ListOf, method: str, row: int, count: int = 1) -> None:
        """Insert or delete rows of the sheet, at that line of the list."""
        placed = self.placed(of.table)
        sheet = self.model._sheets[placed.sheet]
        getattr(self.model._model, method)(sheet, placed.first_row + row, count)
        self.moved[placed.sheet] = self.moved.get(placed.sheet, 0) + (count if method == "insert_rows" else -count)

    def read(self, of: ListOf) -> list[list[Value]]:
        """What the workings read, line by line; where they stand now that rows above them came or went."""
        self.model.evaluate()
        down = self.moved.get(self.placed(of.table).sheet, 0)
        columns = [(of.workings, given.key, 0) for given in of.inputs]
        columns += [(of.months_workings, given.key, m) for given in of.monthly for m in range(12)]
        lines = []
        for row in range(self.size(of)):
            placed = [(self.placed(table), key, item) for table, key, item in columns]
            cells = [(p.sheet, p.cell(key, item, row)) for p, key, item in placed]
            lines.append([self.model.cell((sheet, at_row + down, at_column)) for sheet, (at_row, at_column) in cells])
        return lines

    def days(self) -> list[Value]:
        """What people and animals use a day, month by month."""
        self.model.evaluate()
        placed = [(self.placed(table), key, item) for table, key in DAYS for item in range(12)]
        return [self.model.cell((one.sheet, *one.cell(key, item, 0))) for one, key, item in placed]

    def said(self, section: str) -> str:
        self.model.evaluate()
        return str(self.model.value(f"check_lines_{section}") or "")


@pytest.fixture
def light(terrace: Computed) -> Light:
    return Light(terrace.book)


def an_item(of: ListOf, number: float = 3.0) -> list[Value]:
    """A line that is filled in: a word or a number in every cell."""
    return [
        *("mine" if given.unit is Unit.TEXT else number for given in of.inputs),
        *([1.0] * 12 if of.monthly else []),
    ]


@ALL
def test_a_list_lies_so_that_programs_sort_it_whole(section: str, example: Computed) -> None:
    """What touches it is sorted with it: full headings, and no more than these.

    Above the headings and below the last line stands an empty row, beside the list an empty column.
    """
    of, book = LISTS[section], example.book
    placed = book.directory.placements[of.table]
    last = book.directory.placements[of.months_table] if of.monthly else placed
    width = len(of.inputs) + 12 * len(of.monthly)
    sheet, first, size = book.sheets[placed.sheet], placed.first_row, placed.table.rows.size
    assert last.first_row == first and placed.first_column == LABEL
    columns = range(LABEL, LABEL + width)

    def row(number: int) -> list[object]:
        return [sheet.cell(number, column).value for column in columns]

    assert all(isinstance(text, str) and text for text in row(first - 1))
    for empty in (first - 2, first + size):
        assert row(empty) == [None] * width and sheet.row_dimensions[empty].height < 6
    assert row(first + size + 1) == [END_OF_LIST, *[None] * (width - 1)]
    for line in range(first - 1, first + size + 2):
        assert sheet.cell(line, KEY).value is None and sheet.cell(line, LABEL + width).value is None
    for line in range(first, first + size):
        assert not any(sheet.cell(line, column).protection.locked for column in columns)
        assert not any(str(text).startswith("=") for text in row(line))
    ends = [*(first - 2 + n for n in range(2)), first + size, first + size + 1]
    assert all(sheet.cell(line, column).protection.locked for line in ends for column in columns)
    assert sheet.protection.sheet and not sheet.protection.sort  # that flag is off where sorting is allowed


@ALL
def test_names_of_a_list_reach_from_its_heading_to_its_end(section: str, terrace: Computed) -> None:
    of, book = LISTS[section], terrace.book
    assert len(of.inputs) > 1
    for given in of.inputs:
        area = book.workbook.defined_names[f"{of.table}_{given.key}"].attr_text
        placed = book.directory.placements[of.table]
        top, column = placed.cell(given.key, 0, 0)
        first, last = area.split("!")[1].replace("$", "").split(":")
        sheet = book.sheets[placed.sheet]
        assert (sheet[first].row, sheet[first].column) == (top - 1, column)
        assert sheet[last].row == top + placed.table.rows.size + 1


def references(text: str, sheet: str) -> Iterator[tuple[str, str]]:
    """Sheet and address of every single cell and of every end of a range that a formula on that sheet reads."""
    for token in Tokenizer(text).items:
        if token.type == Token.OPERAND and token.subtype == Token.RANGE:
            named, _, cells = token.value.rpartition("!")
            ends = cells.replace("$", "").split(":")
            yield from ((named.strip("'") or sheet, end) for end in ends)


def test_references_are_found_wherever_they_stand() -> None:
    text = "=IF($C$7>0,C8*2-'Plan year'!D9,SUM(Garden!$E$1:$E$3)&\"F4\")^G5"
    assert list(references(text, "Well")) == [
        *(("Well", "C7"), ("Well", "C8"), ("Plan year", "D9"), ("Garden", "E1"), ("Garden", "E3"), ("Well", "G5"))
    ]


def test_no_formula_but_the_workings_reads_a_single_cell_of_a_list(terrace: Computed) -> None:
    """Else what is cut and pasted takes the reference along. Those are read by their position in a range."""
    book = terrace.book
    own: set[tuple[str, str]] = set()
    for of in LISTS.values():
        placed = book.directory.placements[of.table]
        columns = range(LABEL, LABEL + len(of.inputs) + 12 * len(of.monthly))
        for row in range(placed.table.rows.size):
            line = placed.cell(of.inputs[0].key, 0, row)[0]
            own |= {(placed.sheet, book.sheets[placed.sheet].cell(line, column).coordinate) for column in columns}
    assert len(own) > 300 and len({sheet for sheet, _ in own}) == 4
    texts = formulas(book.workbook)
    assert len({sheet for sheet, _, _ in texts}) > 10
    for (sheet, _, _), text in texts.items():
        assert own.isdisjoint(references(text, sheet)), text


@ALL
def test_sorting_keeps_every_line_together(section: str, light: Light) -> None:
    of = LISTS[section]
    lines = [light.line(of, row) for row in range(light.size(of))]
    days = light.days()
    order = list(range(len(lines)))
    random.Random(2).shuffle(order)
    for row, line in enumerate(order):
        light.type_line(of, row, lines[line])
    assert light.read(of) == [[value or "" if value is None else value for value in lines[line]] for line in order]
    assert light.days() == pytest.approx(days)
    assert light.said(section) == ""


@ALL
def test_a_row_inserted_in_the_middle_counts(section: str, light: Light) -> None:
    of = LISTS[section]
    for row in range(light.size(of)):
        light.type_line(of, row, an_item(of, 1.0) if row < light.size(of) - 1 else [None] * len(light.cells(of, row)))
    before = light.read(of)
    light.rows(of, "insert_rows", 1)
    light.type_line(of, 1, an_item(of))
    assert light.read(of) == [before[0], an_item(of), *before[1:-1]]
    assert light.said(section) == ""


@ALL
def test_a_line_that_is_pushed_out_of_a_full_list_is_told(section: str, light: Light) -> None:
    of = LISTS[section]
    for row in range(light.size(of)):
        light.type_line(of, row, an_item(of, 1.0))
    assert light.said(section) == ""
    light.rows(of, "insert_rows", light.size(of) - 1)
    light.type_line(of, light.size(of) - 1, an_item(of))
    assert light.said(section).startswith(f"{of.told}: its last lines are not read. Move them up")


@ALL
def test_what_is_typed_below_the_last_line_is_told(section: str, light: Light) -> None:
    of = LISTS[section]
    counted = [
        where for where, given in zip(light.cells(of, light.size(of)), of.inputs, strict=False) if not given.default
    ]
    assert len(counted) > 1
    for where in counted:
        light.model.set_cell(where, 1.0)
        assert ": its last lines are not read" in light.said(section), where
        light.model.clear_cell(where)
    assert light.said(section) == ""


@ALL
@pytest.mark.parametrize("count", [1, 2, 3])
@pytest.mark.parametrize("empty", ["the last line", "the thin row below it"])
def test_a_deleted_row_is_told_until_one_is_inserted_at_the_end(
    section: str, empty: str, count: int, light: Light
) -> None:
    """What is typed into the new rows is read, whichever line a person takes for the last empty one."""
    of = LISTS[section]
    size = light.size(of)
    light.type_line(of, size - 1, [None] * len(light.cells(of, size - 1)))
    light.rows(of, "delete_rows", 0, count)
    assert light.said(section) == f"{of.told}: a row was deleted. Insert one above the last empty line."
    first = size - count - (empty == "the last line")
    light.rows(of, "insert_rows", first, count)
    for row in range(first, first + count):
        light.type_line(of, row, an_item(of))
    assert light.read(of)[first : first + count] == [an_item(of)] * count
    assert light.said(section) == ""


@ALL
def test_a_list_without_its_end_is_told(section: str, light: Light) -> None:
    of = LISTS[section]
    light.rows(of, "delete_rows", -1, light.size(of) + 3)
    light.model.evaluate()
    assert (
        light.said(section)
        == f"{of.told}: its lines cannot be read, errors stand there. Undo it, or go back to a copy."
    )


@ALL
def test_cells_that_left_their_lines_are_told(section: str, light: Light) -> None:
    """As where cells were inserted in one column: its range is longer, and no longer ends where the others do."""
    of = LISTS[section]
    rows = light.placed("list_columns")
    others = [row for row, name in enumerate(rows.table.data["of_list"]) if name == section][1:]
    cells = [("Checks", *rows.cell("lines", 0, row)) for row in others]
    if of.monthly:
        months = light.placed(f"{of.months_table}_lines")
        cells += [("Checks", *months.cell("lines", item, 0)) for item in (0, 5, 11)]
    for where in cells:
        held = str(light.book.sheets[where[0]].cell(where[1], where[2]).value)
        light.model.set_formula(where, f"{held}+1")
        assert light.said(section).startswith(f"{of.told}: cells were shifted in a part of a row")
        light.model.set_formula(where, held)
    assert light.said(section) == ""


def test_what_is_shown_beside_a_line_is_of_its_own_row(light: Light) -> None:
    """Also where the rows below an inserted one keep their formulas; beyond what is read it says so."""
    of = LISTS["household"]
    shown = light.placed("household_shown")
    last = light.size(of) - 1
    light.type_line(of, last, ["dragon", 2.0, None, *[1.0] * 12])
    light.model.evaluate()
    assert light.model.cell((shown.sheet, *shown.cell("unknown", 0, last))) == 1
    light.rows(of, "insert_rows", 0)
    light.model.evaluate()
    top, column = shown.cell("unknown", 0, last)
    assert light.model.cell((shown.sheet, top + 1, column)) == "not read"
    assert light.model.cell((shown.sheet, top, column)) == 0


def test_words_are_offered_and_others_accepted(terrace: Computed) -> None:
    """Every list of words lies under the cells of its column; only where no other word is good it refuses them."""
    sheets, found = terrace.book.workbook, {}
    for of in LISTS.values():
        placed = terrace.book.directory.placements[of.table]
        for given in of.inputs:
            words = given.suggested or (given.choices if isinstance(given.choices, str) else "")
            if not words:
                continue
            top, column = placed.cell(given.key, 0, 0)
            first = sheets[placed.sheet].cell(top, column).coordinate
            last = sheets[placed.sheet].cell(top + placed.table.rows.size - 1, column).coordinate
            (rule,) = [
                rule
                for rule in sheets[placed.sheet].data_validations.dataValidation
                if str(rule.sqref) == f"{first}:{last}"
            ]
            table, key = words.split(":")
            listed = terrace.book.directory.placements[table]
            assert rule.type == "list" and rule.showDropDown is False and rule.allow_blank
            assert rule.formula1.endswith(f"!{listed.column_range(key, 0)}")
            found[given.key] = rule.showErrorMessage
    assert found == {"use": False, "animal": False, "crop": True, "material": True}


@pytest.mark.parametrize(
    "table, key, lines, workings, asked",
    [
        ("uses", "use", "household", "household_workings", "use_row"),
        ("animal_table", "animal", "animals", "animal_workings", "animal_row"),
        ("crops", "crop", "zones", "zone_workings", "crop_row"),
        ("roof_table", "material", "roofs", "roof_workings", "material_row"),
    ],
)
def test_every_word_of_every_list_of_words_is_known(
    table: str, key: str, lines: str, workings: str, asked: str, terrace: Computed
) -> None:
    model = Model(terrace.book, [(workings, asked)])
    words, cells = terrace.column(table, key), terrace.cells(lines, key)
    assert len(words) > 5
    for start in range(0, len(words), len(cells)):
        some = words[start : start + len(cells)]
        for where, word in zip(cells, some, strict=False):
            model.set_cell(where, str(word).upper())
        model.evaluate()
        assert model.column(workings, asked)[: len(some)] == list(range(start + 1, start + len(some) + 1))


@ALL
def test_a_heading_typed_over_is_told(section: str, light: Light) -> None:
    """Else a text among the numbers below would be taken for the heading."""
    of = LISTS[section]
    top, column = light.cells(of, 0)[1][1:]
    sheet = light.cells(of, 0)[1][0]
    for value in (7.0, None):
        light.model.set_cell((sheet, top - 1, column), value) if value else light.model.clear_cell(
            (sheet, top - 1, column)
        )
        assert (
            light.said(section)
            == f"{of.told}: cells were shifted in a part of a row, or a heading typed over. Undo it."
        )
