"""Cases: lean copies of the plan year equal a whole book with the same changes, also as years one below the other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from types import SimpleNamespace

import pytest

from budget.build import lay_out
from budget.declarations import Column, Result, Rows, Table
from budget.errors import ModelError
from budget.evaluation import evaluate
from budget.fit import fit
from budget.units import Unit
from budget.water.nouns import RESULTS
from budget.workbook import sheets
from budget.workbook.applications import tables
from budget.workbook.book import Book, CellKey
from budget.workbook.cases import THE_PLAN, Case, lived_again
from budget.workbook.material import Material
from budget.workbook.page import Page
from budget.workbook.template import words
from tests.computed import Computed

BENCH = "Bench"
THRIFT = "0.8 * {plan:house_need}"
CASES = (
    Case("early", "Pump starts again earlier", "", changes={"pump_restart": "0.9"}, held=THE_PLAN),
    Case("lower", "Intake lower", "", changes={"pump_intake": "pump_intake + 0.25"}, held=THE_PLAN),
    Case("thrift", "House uses a fifth less", "", columns={"house_need": THRIFT}),
)


def column(key: str, formula: str | None = None, opening: str | None = None) -> Column:
    return Column(key, key, Unit.VOLUME, "A figure.", formula, opening)


MONTHS = Table(
    "plan",
    "Plan",
    Rows("plan", 12),
    [
        column("month"),
        column("weather", "{record:weather@month} * case_row"),
        column("inflow", "MIN(pump_rate, {weather})"),
        column("need", "house_use * {month}"),
        column("stored", "{stored.before} + {inflow} - {need} - {garden:given.each}", "start"),
        column("level", "{stored} / tank_area"),
        column("fixed", "{month} + 1"),
    ],
    given={"case_row": "planning_row", "garden": "plan_garden"},
    data={"month": list(range(1, 13))},
    groups={"month": "Calendar", "inflow": "Water", "level": "Depth"},
)
GARDEN = Table(
    "plan_garden",
    "Plan",
    MONTHS.rows,
    [column("asked", "{month} * 2"), column("given", "MIN({asked}, {inflow})")],
    each=Rows("zone", 2),
    partners=("plan",),
)
RECORD = Table("record", "Record", Rows("calendar", 12), [column("weather"), column("pumped", "{pumped:most} * 2")])
PUMPED = Table("pumped", "Record", RECORD.rows, [column("most", "pump_power + {share}"), column("share", "hat_size")])
FIGURES = [
    Result("pump_rate", "", Unit.VOLUME, "", "pump_power / 2"),
    Result("pump_power", "", Unit.VOLUME, "", "pump_size * 3"),
    Result("tank_area", "", Unit.VOLUME, "", "tank_width + 1"),
]


def again(case: Case, **more: object) -> dict[str, Table]:
    made = lived_again([MONTHS, GARDEN], case, FIGURES, [RECORD, PUMPED], **more)  # type: ignore[arg-type]
    return {table.name: table for table in made}


def keys(table: Table) -> list[str]:
    return [column.key for column in table.columns]


def test_only_what_follows_from_the_change_stands_again() -> None:
    made = again(Case("wide", "", "", changes={"tank_width": "9"}))
    assert list(made) == ["wide"]
    assert keys(made["wide"]) == ["level"]
    assert made["wide"].partners == ("plan",)
    assert made["wide"].groups == {"level": "Depth"}
    assert made["wide"].given == {
        "case_row": "planning_row",
        "garden": "plan_garden",
        "tank_width": "9",
        "tank_area": "9 + 1",
    }


def test_a_change_goes_through_results_and_both_tables() -> None:
    made = again(Case("strong", "", "", changes={"pump_size": "pump_size + 1"}))
    assert keys(made["strong"]) == ["inflow", "stored", "level"]
    assert keys(made["strong_garden"]) == ["given"]
    assert made["strong"].given["pump_rate"] == "((pump_size + 1) * 3) / 2"  # type: ignore[call-overload]
    assert made["strong"].given["garden"] == "strong_garden"  # type: ignore[call-overload]
    assert made["strong_garden"].partners == ("strong", "plan_garden")
    assert made["strong"].groups == {"inflow": "Water", "level": "Depth"}


def test_another_year_changes_what_its_row_is_read_by() -> None:
    made = again(Case("middle", "", "", year="middle_row"))
    assert keys(made["middle"]) == ["weather", "inflow", "stored", "level"]
    assert made["middle"].given["case_row"] == "middle_row"  # type: ignore[call-overload]


def test_only_what_is_wanted_stands_again() -> None:
    made = again(Case("strong", "", "", changes={"pump_size": "2"}), wanted={"given"})
    assert {name: keys(table) for name, table in made.items()} == {"strong": ["inflow"], "strong_garden": ["given"]}


@pytest.mark.parametrize(
    "case", [Case("idle", "", "", changes={"hat_size": "2"}), Case("idle", "", "", columns={"hats": "{month}"})]
)
def test_a_change_that_nothing_reads_is_refused(case: Case) -> None:
    with pytest.raises(ModelError, match="case idle: no column of the plan year reads hat"):
        again(case)


def test_a_change_that_reaches_the_plan_past_its_tables_must_be_held() -> None:
    """The need by the month comes from a table outside, which the pump's power and the hat both move."""
    need = [replace(c, formula="{record:pumped@month}") if c.key == "need" else c for c in MONTHS.columns]
    months = replace(MONTHS, columns=need)
    for changed in ("pump_size", "pump_power"):
        case = Case("strong", "", "", changes={changed: "2"})
        with pytest.raises(ModelError, match="reaches the plan year through record as well"):
            lived_again([months, GARDEN], case, FIGURES, [RECORD, PUMPED])
        held = replace(case, held=frozenset({"record"}))
        made = lived_again([months, GARDEN], held, FIGURES, [RECORD, PUMPED])
        assert keys(made[0]) == ["inflow", "stored", "level"]


@pytest.mark.parametrize(
    ("months", "garden", "results", "reason"),
    [
        ([column("asked", "{month}")], [], [], "share columns: asked"),
        ([column("odd", "{plan:month} + 1")], [], [], "plan:odd names a table that is lived again"),
        ([], [column("odd", "{plan:month} + 1")], [], "plan_garden:odd names a table that is lived again"),
        ([column("odd", "tank_sum")], [], ["SUM({plan:stored.all})"], "the plan year reads tank_sum"),
    ],
)
def test_what_a_copy_could_misread_is_refused(
    months: list[Column], garden: list[Column], results: list[str], reason: str
) -> None:
    tables = [replace(MONTHS, columns=[*MONTHS.columns, *months]), replace(GARDEN, columns=[*GARDEN.columns, *garden])]
    figures = [*FIGURES, *(Result("tank_sum", "", Unit.VOLUME, "", formula) for formula in results)]
    with pytest.raises(ModelError, match=reason):
        lived_again(tables, Case("wide", "", "", changes={"tank_width": "9"}), figures, [RECORD])


def test_a_formula_of_the_case_is_read_too() -> None:
    """What its own formula rests on stands again as well."""
    case = Case("strong", "", "", changes={"pump_size": "2"}, columns={"need": "{inflow} / 2"})
    made = again(case, wanted={"need"})
    assert {name: keys(table) for name, table in made.items()} == {"strong": ["inflow", "need"]}


def typed_by_hand(computed: Computed) -> dict[str, list[float]]:
    """Filling months and level kept for the house as they are, to be typed: a book then holds them as a case does."""
    return {
        key: [float(value or 0) for value in computed.column("storage_months", used)]  # type: ignore[arg-type]
        for key, used in (("filling", "filling_used"), ("kept", "kept_used"))
    }


def compute_with(terrace: Computed, extra: Sequence[Table], monkeypatch: pytest.MonkeyPatch) -> Computed:
    """The terrace house with more tables, on a sheet of their own."""

    def write(book: Book, applied: object, made_of: Material) -> None:
        page = Page(book, BENCH, BENCH, "Tables of the test.", "FFFFFF")
        for table in extra:
            page.row += 1
            page.table(table)

    site = terrace.site
    made_of = terrace.made_of
    with monkeypatch.context() as patch:
        patch.setattr(sheets, "IN_ORDER", (*sheets.IN_ORDER, SimpleNamespace(write=write)))
        book, applied = lay_out(made_of)
    fit(book, site)
    model = evaluate(book, site)
    return Computed(site, made_of, book, applied, model)


def plan_of(made_of: Material) -> list[Table]:
    applied = tables(made_of)
    return [applied["plan"], applied["plan_garden"]]


def outside_of(made_of: Material) -> list[Table]:
    """The tables that the plan year may read."""
    of_plan = ("plan", "middle", "answer", "fill_and_drain")
    return [table for name, table in tables(made_of).items() if not name.startswith(of_plan)]


def on_the_bench(case: Case, made_of: Material, **more: object) -> list[Table]:
    return lived_again(plan_of(made_of), case, RESULTS, outside_of(made_of), sheet=BENCH, **more)  # type: ignore[arg-type]


def test_a_case_equals_a_book_with_its_changes(terrace: Computed, monkeypatch: pytest.MonkeyPatch) -> None:
    """Ranks, filling months, level kept and fit are held: the year is typed by its number, the others by hand."""
    made_of = terrace.made_of
    extra = [table for case in CASES for table in on_the_bench(case, made_of)]
    computed = compute_with(terrace, extra, monkeypatch)
    computed.model.set("plan_for", float(computed.model.number("planning_year")))
    for key, values in typed_by_hand(computed).items():
        for where, value in zip(computed.cells("storage_months", key), values, strict=True):
            computed.model.set_cell(where, value)
    computed.evaluate()
    lower = computed.model.number("pump_intake") + 0.25
    by_cell: dict[str, dict[CellKey, float]] = {
        "early": {computed.book.directory.names["pump_restart"]: 0.9},
        "lower": {computed.book.directory.names["pump_intake"]: lower},
        "thrift": {
            where: 0.8 * float(value)  # type: ignore[arg-type]
            for table, key in (("household", "number"), ("animals", "head"))
            for where, value in zip(computed.cells(table, key), computed.column(table, key), strict=True)
            if value
        },
    }
    expected = {case.key: lean_values(computed, case.key) for case in CASES}
    before = {name: computed.column("plan", name) for name in ("stored", "short", "daily_yield")}
    assert len(CASES) == 3
    for case in CASES:
        was = {where: computed.model.cell(where) for where in by_cell[case.key]}
        for where, value in by_cell[case.key].items():
            computed.model.set_cell(where, value)
        computed.evaluate()
        assert len(expected[case.key]) > 15
        for (table, key, item), values in expected[case.key].items():
            base = "plan" + table.removeprefix(case.key)
            assert computed.column(base, key, item) == approximately(values), (case.key, key)
        assert any(computed.column("plan", key) != values for key, values in before.items()), case.key
        for where, value in was.items():
            computed.model.set_cell(where, float(value))  # type: ignore[arg-type]


def approximately(values: list[object]) -> object:
    """The same values to 1e-9, or the same texts."""
    if any(isinstance(value, str) for value in values):
        return values
    return pytest.approx(values, rel=1e-9, abs=1e-9)


def lean_values(computed: Computed, key: str) -> dict[tuple[str, str, int], list[object]]:
    """Values of the columns of a case, by table, key and item."""
    found: dict[tuple[str, str, int], list[object]] = {}
    for name in (key, f"{key}_garden"):
        placement = computed.book.directory.placements.get(name)
        for declared in placement.table.columns if placement else ():
            for item in range(placement.table.each.size if placement.table.each else 1):
                found[name, declared.key, item] = list(computed.column(name, declared.key, item))
    return found


def test_years_one_below_the_other_equal_the_plan(terrace: Computed, monkeypatch: pytest.MonkeyPatch) -> None:
    """An outlook over the record: each year a run of twelve rows with its opening row; no sheet shows it yet."""
    made_of = terrace.made_of
    count = len(made_of.year_numbers) - 1  # the last plan year is not whole
    runs = Rows("outlook_years", count)
    of_years = Table(
        "outlook_years",
        BENCH,
        runs,
        [
            Column("year_row", "Row", Unit.COUNT, "Among the years."),
            Column("year_short", "Short", Unit.VOLUME, "In the year.", "SUM({outlook:short.all})"),
            Column("ran_out", "Ran out", Unit.DATE, "In the year.", "{outlook:ran_out.last}"),
        ],
        data={"year_row": list(range(1, count + 1))},
    )
    case = Case("outlook", "", "", year="{outlook_years:year_row}")
    outlook = on_the_bench(case, made_of, rows=Rows("outlook", 12 * count, runs=runs))
    computed = compute_with(terrace, [of_years, *outlook], monkeypatch)
    usable = [int(value) for value in computed.column("years", "usable")[:count]]  # type: ignore[arg-type]
    rows_tried = [row for row in (1, count // 2, count) if usable[row - 1]]
    assert len(rows_tried) >= 2
    assert sum(map(bool, computed.column("outlook_years", "ran_out"))) > 0  # else the years would hardly differ
    for row in rows_tried:  # the level kept for the house follows the year planned for, in plan and outlook alike
        computed.model.set("plan_for", float(made_of.year_numbers[row - 1]))
        computed.evaluate()
        assert computed.model.number("planning_row") == row
        of_run = slice(12 * row - 12, 12 * row)
        found = lean_values(computed, "outlook")
        assert len(found) > 100
        for (table, key, item), values in found.items():
            base = computed.column("plan" + table.removeprefix("outlook"), key, item)
            assert values[of_run] == approximately(base), (row, table, key)
        of_year = {key: computed.column("outlook_years", key)[row - 1] for key in ("year_short", "ran_out")}
        short = sum(map(float, computed.column("plan", "short")))  # type: ignore[arg-type]
        assert of_year["year_short"] == pytest.approx(short, rel=1e-9, abs=1e-9)
        assert of_year["ran_out"] == pytest.approx(computed.column("plan", "ran_out")[-1])


def test_every_result_that_the_plan_rests_on_can_be_reckoned_again(terrace: Computed) -> None:
    """One left out of the list would keep the planning year's value in every case."""
    formulas = {result.name: result.formula for result in terrace.book.results}
    waiting = {
        word
        for table in plan_of(terrace.made_of)
        for declared in table.columns
        if isinstance(declared, Column)
        for template in (declared.formula, table.opening_of(declared), declared.closing)
        if template is not None
        for word in words(template)
    }
    read: set[str] = set()
    while waiting:
        read |= waiting
        waiting = {word for name in waiting if name in formulas for word in words(formulas[name])} - read
    wanted = read & formulas.keys()
    assert len(wanted) > 20
    assert wanted <= {result.name for result in RESULTS}
