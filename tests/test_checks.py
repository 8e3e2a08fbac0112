"""Nothing that is typed wrong stays unsaid: every input of the register and every column of the lists.

One cell at a time holds a number out of bounds, text, nothing, or a word of no list. An invented place on five years
cut from the example's record, with something in every list.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

import pytest

from budget.build import read_warnings
from budget.declarations import CANNOT_BE_JUDGED, NOT_JUDGED
from budget.rain import read_record
from budget.site_file.reading import read_site
from budget.units import WHOLE_NUMBERS, to_book
from budget.water import answers
from budget.water.checks import CHECKS, COUNTS, DECLARED, IN_ORDER, WORKINGS, Declared
from budget.water.checks.declared import UNFILLED_FACTOR
from budget.water.list_lines import broken_key
from budget.water.nouns import LISTS
from budget.workbook import engine
from budget.workbook.book import CellKey
from budget.workbook.engine import Computed as Value
from budget.workbook.engine import Model
from tests.computed import Computed, compute_record
from tests.test_judge import SOUND, written

STOPPED = "Do not trust this book yet. "
ROW = {id(check): row for row, check in enumerate(IN_ORDER)}
SINGLE = [check for check in DECLARED if not check.table]
COLUMNS = [check for check in DECLARED if check.table and "MIN(" in check.finding]
UNFILLED = [check for check in DECLARED if check.table and "MIN(" not in check.finding]


def called(check: Declared) -> str:
    return f"{check.table}:{check.given.key}" if check.table else check.given.key


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> Computed:
    """A book in which nothing is wrong."""
    site = read_site(written(tmp_path_factory.mktemp("sound"), SOUND))
    computed = compute_record(site, read_record(site))
    assert stopped_by(computed) == "" and computed.model.number("unjudged_count") == 0
    return computed


@pytest.fixture
def typed(sound: Computed) -> Computed:
    return sound.copy()


@pytest.fixture(scope="module")
def lightest(sound: Computed) -> Computed:
    """The sound book with the declared checks alone, loaded once; not to be changed."""
    with pytest.MonkeyPatch.context() as patch:
        return light(sound, patch)


@pytest.fixture
def few(lightest: Computed) -> Computed:
    return lightest.copy()


def stopped_by(computed: Computed) -> str:
    """What the verdict says instead of the plan, empty where it tells the plan."""
    verdict = str(computed.model.value("verdict"))
    assert (verdict == computed.model.value("stop_sentence")) == verdict.startswith(STOPPED)
    return verdict.removeprefix(STOPPED) if verdict.startswith(STOPPED) else ""


def put(computed: Computed, where: CellKey, value: Value) -> None:
    if value is None:
        computed.model.clear_cell(where)
    else:
        computed.model.set_cell(where, value)  # type: ignore[arg-type]
    computed.evaluate()


def row_of(computed: Computed, check: Declared) -> tuple[Value, str, str]:
    """Finding and sentence of a check that follows from a declaration, and what it is about."""
    found, said, about = (computed.column("checks", key)[ROW[id(check)]] for key in ("finding", "said", "checked"))
    return found, str(said or ""), str(about)


def light(computed: Computed, monkeypatch: pytest.MonkeyPatch) -> Computed:
    """The same book with nothing in the engine but the rows that follow from declarations and what is counted of them.

    The cells of all other checks are empty there: a hundredth of the formulas, and one cell typed takes no time.
    """
    owners = {("checks", key) for key in ("finding", "said", "findings_so_far")} | {
        result.name for result in (*COUNTS, *WORKINGS)
    }
    owners |= {"well_there", "finding_1"}
    owners |= {  # what tells of the lines of a list that a number is not whole
        (of.workings, key)
        for of in LISTS.values()
        for given in of.inputs
        if given.unit in WHOLE_NUMBERS
        for key in (given.key, broken_key(given))
    }
    monkeypatch.setattr(engine, "upstream", lambda book, needed: owners)
    return replace(computed, model=Model(computed.book, []))


def wrong_values(check: Declared, system: str) -> Iterator[Value]:
    """What no cell of that input may hold: a little out of bounds, text, a word of no list."""
    given = check.given
    yield "900 sq ft"
    if given.choices:
        yield 7.0
        yield "wall"
    else:
        low, high = (to_book(str(bound), given.unit, system) for bound in (given.low, given.high))  # type: ignore[arg-type]
        little = 1.0 if given.unit in WHOLE_NUMBERS else 1e-5 + 1e-3 * (high - low)
        yield from (low - little, high + little, high * 1000 + 1)
        if given.unit in WHOLE_NUMBERS:
            yield from (low + 0.5, low + 1 / 3, high - 1e-6)


def must_be_filled(check: Declared) -> bool:
    """Without a depth there is no well: a check of its own asks for it."""
    return check.given.name != "well_depth" and f'IF({check.given.name}="", 0, ' not in check.finding


def told(computed: Computed, check: Declared, value: Value) -> None:
    """The check speaks, names sheet and label and what is accepted; where it stops, the verdict says so."""
    found, said, about = row_of(computed, check)
    assert found == 1, f"{called(check)} = {value!r} is not found"
    assert about.endswith(f": {check.given.title}") and said.startswith(about)
    assert (". Accepted: " in said) != said.endswith(UNFILLED_FACTOR.strip('"'))
    assert not said.endswith("Accepted: .")
    assert said in read_warnings(computed.model)
    assert computed.model.value("finding_1") == said
    assert computed.model.value("stop_sentence") == (STOPPED + said if check.grade == "stop" else "")


@pytest.mark.parametrize("check", SINGLE, ids=called)
def test_a_single_cell_that_holds_what_it_may_not(check: Declared, few: Computed) -> None:
    where = few.book.directory.names[check.given.name]
    values = (*wrong_values(check, few.book.system), *([None] if must_be_filled(check) else []))
    assert values
    for value in values:
        put(few, where, value)
        told(few, check, value)


@pytest.mark.parametrize("check", COLUMNS, ids=called)
def test_a_cell_of_a_list_that_holds_what_it_may_not(check: Declared, few: Computed) -> None:
    items = range(12 if check.table in {rows.months_table for rows in LISTS.values()} else 1)
    for item in (items[0], items[-1]):
        where = few.cells(check.table, check.given.key, item)[-1]
        held = few.model.cell(where)
        for value in wrong_values(check, few.book.system):
            put(few, where, value)
            told(few, check, value)
        put(few, where, held if held != "" else None)
        assert row_of(few, check)[:2] == (0, "")


@pytest.mark.parametrize("check", UNFILLED, ids=called)
def test_a_row_that_lacks_a_figure(check: Declared, few: Computed) -> None:
    """Only where the row is an item: in an empty row an emptied cell is nothing."""
    cells = few.cells(check.table, check.given.key)
    put(few, cells[-1], None)
    assert row_of(few, check)[:2] == (0, "")
    put(few, cells[0], None)
    told(few, check, None)


def test_every_option_of_every_drop_down_is_let_pass(few: Computed) -> None:
    options = 0
    for check in SINGLE:
        choices = check.given.choices
        words = few.column(*choices.split(":")) if isinstance(choices, str) else list(choices or ())
        for word in words:
            put(few, few.book.directory.names[check.given.name], word.upper() if isinstance(word, str) else word)
            assert row_of(few, check)[:2] == (0, ""), f"{check.given.name} = {word!r}"
        options += len(words)
    assert options > 40


def test_every_bound_itself_is_let_pass(few: Computed) -> None:
    bounded = [check for check in SINGLE if not check.given.choices]
    assert len(bounded) > 100
    for check in bounded:
        where = few.book.directory.names[check.given.name]
        held = few.model.cell(where)
        for bound in (check.given.low, check.given.high):
            put(few, where, to_book(str(bound), check.given.unit, few.book.system))
            assert row_of(few, check)[:2] == (0, ""), f"{check.given.name} = {bound}"
        put(few, where, None if held in ("", None) else held)


def test_the_depth_of_a_well_that_is_otherwise_filled_in(typed: Computed) -> None:
    put(typed, typed.book.directory.names["well_depth"], None)
    assert stopped_by(typed).startswith("The depth of the well, on Well, is empty or no number, while the rest")


@pytest.mark.parametrize(
    "edits, check, grade",
    [
        ({"pump_intake": 25.0}, "bottom", "stop"),
        ({"well_depth_at_test": None}, "rest", "stop"),
        ({"pond_area": None}, "pond_size", "stop"),
        ({"pond_depth": None}, "pond_depth", "stop"),
        ({"pond_depth": None, "pond_area": None, "pond_catchment": 400.0}, "pond_depth", "stop"),
        ({("household", "use", 0): None, ("household", "number", 0): None}, "household", "warn"),
        ({("household", "number", 0): 0.0}, "household", "warn"),
        ({("household", "amount", 0): 0.0}, "no_amount", "warn"),
        ({("roofs", "area", 0): None}, "half_typed_roofs", "stop"),
        ({("zones", "crop", 0): None}, "half_typed_garden", "stop"),
        ({("animals", "amount", 3): 5.0}, "half_typed_animals", "stop"),
        ({("household", "amount", 3): 5.0}, "half_typed_household", "stop"),
    ],
)
def test_an_edit_that_empties_what_the_answers_rest_on(
    edits: dict[str | tuple[str, str, int], Value], check: str, grade: str, typed: Computed
) -> None:
    (asked,) = (one for one in CHECKS if one.name == check)
    assert asked.grade == grade and typed.model.value(asked.result.name) == ""
    for cell, value in edits.items():
        named = typed.book.directory.names
        put(typed, named[cell] if isinstance(cell, str) else typed.cells(*cell[:2])[cell[2]], value)
    assert (said := str(typed.model.value(asked.result.name))) not in ("", CANNOT_BE_JUDGED)
    assert said in read_warnings(typed.model)
    assert (stopped_by(typed) != "") == (grade == "stop")


# A row that does not count is left out and told beside it: no answer rests on it.
LEFT_OUT = {"readings", "dips", "remembered"}


def test_what_refuses_a_site_file_stops_the_book() -> None:
    for check in CHECKS:
        assert check.refuses is None or check.grade == "stop" or check.name in LEFT_OUT, check.name
    assert {check.name for check in CHECKS} >= LEFT_OUT


def test_an_error_is_one_finding_and_never_silence(typed: Computed) -> None:
    """A formula of the plan that was overwritten by an error: told once, not by every check that rests on it."""
    where = typed.cells("plan", "daily_yield")[3]
    typed.model.set_formula(where, "=1/0")
    typed.evaluate()
    assert stopped_by(typed).startswith("Cells on Plan year hold errors")
    found = typed.column("checks", "finding")
    errors = [check.name for check, one in zip(IN_ORDER, found, strict=True) if not isinstance(check, Declared) and one]
    assert set(errors) & {"errors_plan_year", "errors_answers"} == {"errors_plan_year", "errors_answers"}
    unjudged = [said for said in read_warnings(typed.model) if said == CANNOT_BE_JUDGED]
    assert len(unjudged) == typed.model.number("unjudged_count") == found.count(NOT_JUDGED)
    assert typed.model.number("findings_count") == found.count(1)


def test_what_the_checks_say_names_a_sheet(sound: Computed) -> None:
    """Every finding that stops tells where to look."""
    sheets = "|".join(sound.book.sheets)
    stopping = [check for check in CHECKS if check.grade == "stop"]
    assert len(stopping) > 10
    for check in stopping:
        if not check.sentence.startswith("INDEX({papers:input_title.all}, "):  # which begins with the sheet
            assert re.search(rf"\b({sheets})\b", check.sentence), check.name


def test_what_is_wrong_in_a_list_names_the_list(sound: Computed) -> None:
    tables = {table: of for of in LISTS.values() for table in (of.table, of.months_table) if table}
    checks = [check for check in DECLARED if check.table in tables]
    assert len(checks) > 20
    for check in checks:
        assert row_of(sound, check)[2] == f"{tables[check.table].told}: {check.given.title}"


def test_capitals_and_a_stray_word(typed: Computed) -> None:
    """'wall' was once taken for the bottom, the hopeful one."""
    where = typed.book.directory.names["well_water_enters"]
    put(typed, where, "wall")
    assert stopped_by(typed).startswith("Well: ")
    assert stopped_by(typed).endswith(" is not in the list. Accepted: walls, bottom.")
    put(typed, where, "Walls")
    assert stopped_by(typed) == ""


@pytest.mark.parametrize(
    "edit", [("pump_intake", 700.0), ("well_bore", "36 in"), ("hauling_load", 0.0), ("soil_type", "mud")]
)
def test_the_whole_book_says_it_at_the_head_of_answers(edit: tuple[str, Value], typed: Computed) -> None:
    """Verdict and sentence on the record give way, whatever errors follow from the cell."""
    name, value = edit
    put(typed, typed.book.directory.names[name], value)
    (check,) = (check for check in SINGLE if check.given.name == name)
    assert stopped_by(typed) == row_of(typed, check)[1] != ""
    assert "trust no figure" in str(typed.model.value("carried_sentence"))


def test_what_stops_is_asked_alone() -> None:
    """The engine asks no more of an AND once it is settled; other programs ask all of it, and an error wins."""
    asked = [result for result in (*answers.RESULTS, *answers.PARTS) if "stop_sentence" in result.formula]
    assert len(asked) >= 3
    for result in asked:
        assert result.formula.startswith('IF(stop_sentence<>"", '), result.name
