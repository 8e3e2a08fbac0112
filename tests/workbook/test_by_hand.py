"""Every column of the book against the ledgers by hand, on the examples and on random edits of the inputs.

The ledgers in `tests.by_hand` are plain numpy, written from the equations and their sources, in metric units; the book
is evaluated by the engine and converted. Tolerance 1e-9 of max(1, value).
"""

import random
import shutil
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import numpy as np
import pytest

from budget.declarations import Column, Input
from budget.units import WHOLE_NUMBERS, Unit, convert, to_book
from budget.water import balance, decision
from budget.water.checks import lists, months
from budget.water.list_lines import broken_key
from budget.water.nouns import LISTS
from budget.workbook import applications, changes, papers
from budget.workbook.book import CellKey
from budget.workbook.engine import Computed as Value
from tests.by_hand import compute as compute_by_hand
from tests.computed import EXAMPLES, Computed, by_hand_site, compute
from tests.conftest import computed_example

TOLERANCE = 1e-9
EDITS = 100
EMPTIED = 0.2  # share of the edits of a cell that may stay empty which empty it
NO_WELL = 0.05  # share of the edits that take the well away
NEW_TANK = 0.75  # share of the edits that type a diameter of the tank, so that its base is reckoned
LACKING = 0.04  # share of the edits that spoil a cell which the base needs
# Told by the workbook alone, since they are zero by hand: see `tests.test_balance_errors`.
NOT_BY_HAND = {
    (name, column.key) for name in ("ledger", "plan", "plan_less", "plan_more", "middle") for column in balance.ERRORS
}
# What was changed in the book itself is told by the workbook alone: see `tests.workbook.test_papers`.
NOT_BY_HAND |= {("papers", column.key) for column in papers.ROWS} | {("changes", c.key) for c in changes.COLUMNS}
TOLD_BY_PAPERS = (*papers.COUNTS, changes.TOLD, changes.SHIFTED)
RESULTS_NOT_BY_HAND = ("largest_row_error", *(result.name for result in TOLD_BY_PAPERS))
# Checks that follow from the declarations: see `tests.test_checks`; the rows of a decision are told by its sentence.
NOT_BY_HAND |= {("checks", key) for key in ("finding", "said", "findings_so_far")}
NOT_BY_HAND |= {(made.name, column.key) for made in applications.DECISIONS for column in decision.COLUMNS}
# Whether a number of a list is whole: see `tests.test_checks`.
NOT_BY_HAND |= {
    (of.workings, broken_key(given)) for of in LISTS.values() for given in of.inputs if given.unit in WHOLE_NUMBERS
}
# What becomes of a list's lines in a program is told by `tests.workbook.test_lists`: here none is moved.
OF_LINES = {"list_lines": lists.OF_LISTS, "list_columns": lists.OF_COLUMNS}
OF_LINES |= {lists.months_table_name(of): lists.OF_MONTHS for of in LISTS.values() if of.monthly}
NOT_BY_HAND |= {(name, column.key) for name, columns in OF_LINES.items() for column in columns}
# Nor is a month's cell cut and pasted: see `tests.workbook.test_hand_edits`.
NOT_BY_HAND |= {("months_moved", column.key) for column in months.COLUMNS}
# Tables whose columns stand in the ledger by hand of another name.
LEDGERS = {"kc_workings": "crop_coefficients", "answer_workings": "answers", "answer_words": "answers"}


def differences(computed: Computed, by_hand: dict | None = None) -> list[str]:
    """Every cell of the book that differs from the ledger by hand, and every column that has none."""
    by_hand = by_hand or compute_by_hand(by_hand_site(computed))
    found: list[str] = []
    for name, placement in computed.book.directory.placements.items():
        table = placement.table
        ledger = by_hand.get(LEDGERS.get(name, name), {})
        for column in table.columns:
            if isinstance(column, Input) or column.formula is None or (name, column.key) in NOT_BY_HAND:
                continue
            if column.key not in ledger:
                found.append(f"{name}:{column.key} has no ledger by hand")
                continue
            expected = np.asarray(ledger[column.key], dtype=object)
            for item in range(table.each.size if table.each else 1):
                actual = computed.metric_column(name, column.key, item)
                wanted = expected[item] if table.each else expected
                found += unequal(f"{name}:{column.key}[{item}]", actual, list(wanted))
    for result in computed.book.results:
        if result.name in by_hand.get("results", {}):
            wanted = list(np.atleast_1d(by_hand["results"][result.name]))
            found += unequal(result.name, [computed.metric_input(result)], wanted)
        elif result.name not in RESULTS_NOT_BY_HAND:
            found.append(f"{result.name} has no ledger by hand")
    return found


def unequal(where: str, actual: list, wanted: list) -> list[str]:
    if len(actual) != len(wanted):
        return [f"{where}: {len(actual)} rows, {len(wanted)} by hand"]
    for row, (value, by_hand) in enumerate(zip(actual, wanted, strict=True)):
        if value is None or isinstance(by_hand, str) or isinstance(value, str):
            if (value or "") != by_hand:  # an empty text is read as None
                return [f"{where} row {row}: {value!r}, by hand {by_hand!r}"]
        elif abs(float(value) - float(by_hand)) > TOLERANCE * max(1.0, abs(float(by_hand))):
            return [f"{where} row {row}: {value!r}, by hand {by_hand!r}"]
    return []


def test_every_column_of_every_example(example: Computed) -> None:
    assert differences(example) == []


def test_every_column_of_a_short_record(tmp_path: Path) -> None:
    """Four years: the warnings that longer records never give."""
    folder = EXAMPLES[0].parent
    heading, *days = (folder / "terrace_house_rain.csv").read_text(encoding="utf-8").splitlines()
    (tmp_path / "terrace_house_rain.csv").write_text("\n".join([heading, *days[: 4 * 365 + 1]]), encoding="utf-8")
    computed = compute(Path(shutil.copy(folder / "terrace_house.toml", tmp_path)))
    assert computed.model.value("check_years") and computed.model.value("check_odds")
    assert differences(computed) == []


def test_every_column_with_all_evidence(terrace: Computed) -> None:
    """Every list full and sound: dips round the year, ten dry spells near what the model says, takes and depths."""
    computed, rng = terrace.copy(), random.Random(5)
    model, ledger = computed.model, compute_by_hand(by_hand_site(terrace))["ledger"]
    foot = float(convert(1, Unit.LENGTH, "US", "metric"))
    for row, at in enumerate(rng.sample(range(24, len(ledger["days"])), 24)):
        put_in(computed, computed.cells("dips", "date")[row], ledger["first_day"][at] + rng.randrange(28))
        put_in(computed, computed.cells("dips", "depth")[row], ledger["modelled_depth"][at] / foot + rng.gauss(0, 0.2))
    for month in (1, 6, 7):
        put_in(computed, computed.cells("well_months", "monthly_depth")[month], 9.0 + month)
        put_in(computed, computed.cells("well_months", "safe_take")[month], 400.0 - 40 * month)
    for row, year in enumerate(rng.sample(range(1997, 2025), 10)):
        put_in(computed, computed.cells("remembered", "year")[row], year)
    computed.evaluate()
    dry, loads = (computed.column("memory_scores", key, 4) for key in ("modelled_dry", "modelled_loads"))
    for row in range(10):
        if dry[row]:
            put_in(computed, computed.cells("remembered", "dry_on")[row], round(dry[row] + rng.gauss(0, 15)))
            put_in(computed, computed.cells("remembered", "loads")[row], loads[row] + rng.randrange(2))
        put_in(computed, computed.cells("remembered", "garden")[row], rng.random())
    computed.evaluate()
    assert model.number("dips_counted") == 24 and model.number("spells_counted") == 10
    assert 2 < model.number("years_agreed") < 10 and sum(map(bool, dry)) > 2
    assert differences(computed) == []


def edit(computed: Computed, rng: random.Random) -> dict[str, object]:
    """Change a handful of inputs at random within their bounds, most of them near where they stand."""
    apart = ("fit_error_at_build", "base_")  # of the base: see `edit_base`
    scalars = [given for given in computed.book.inputs if not given.name.startswith(apart)]
    changes: dict[str, object] = {}
    for given in rng.sample(scalars, 8):
        may_stay_empty = given.optional and not given.found
        value = None if may_stay_empty and rng.random() < EMPTIED else _another(computed, given, rng)
        changes[given.name] = value
        put_in(computed, computed.book.directory.names[given.name], value)
    for table, key in (("household", "number"), ("household", "amount"), ("zones", "area"), ("zones", "efficiency")):
        given = computed.book.directory.placements[table].table.column(key)
        where = rng.choice(computed.cells(table, key))
        changes[f"{table}:{key}"] = value = _another(computed, given, rng)
        computed.model.set_cell(where, value)
    for table, key in (("storage_months", "filling"), ("storage_months", "kept")):
        where = rng.choice(computed.cells(table, key))
        value = float(rng.randint(0, 1)) if key == "filling" else rng.uniform(0, 4000)
        computed.model.set_cell(where, value)
    return changes | edit_evidence(computed, rng) | edit_pond_and_roofs(computed, rng) | edit_base(computed, rng)


def edit_base(computed: Computed, rng: random.Random) -> dict[str, object]:
    """Change the tank's diameter and ten more inputs of its base to what a builder might type; empty some.

    Light winds and heavy ones, so that tanks stand and fall. Now and then a cell that is needed holds nothing, or text.
    """
    names, system = computed.book.directory.names, computed.book.system
    by_name = {given.name: given for given in computed.book.inputs if given.name.startswith("base_")}
    changes: dict[str, object] = {}
    sizes: dict[str, Callable[[], float]] = {
        "base_tank_diameter": lambda: rng.uniform(0.8, 6),
        "base_tank_height": lambda: rng.uniform(0.5, 5),
        "base_tank_weight": lambda: 10 ** rng.uniform(1.5, 4),
        "base_wind_speed": lambda: rng.uniform(5, 60),
        "base_storm_water": lambda: 10 ** rng.uniform(2, 4.5),
        "base_anchor_circle": lambda: rng.uniform(0.8, 7),
        "base_above_well": lambda: rng.uniform(-3, 15),
        "base_tap_height": lambda: rng.uniform(-10, 10),
        "base_outlet_height": lambda: rng.uniform(0, 600),
        "base_least_pressure": lambda: rng.uniform(0, 150),
        "base_pump_head": lambda: rng.uniform(2, 40),
    }

    if not computed.model.value("tank_capacity") and rng.random() < 0.8:  # a tank that holds nothing has no base
        changes["tank_capacity"] = value = float(convert(10 ** rng.uniform(3, 4.6), Unit.VOLUME, "metric", system))
        put_in(computed, names["tank_capacity"], value)

    def type_in(given: Input) -> None:
        value: float | str | None
        if given.optional and rng.random() < EMPTIED:
            value = None
        elif given.name in sizes:
            value = float(convert(sizes[given.name](), given.unit, "metric", system))
        else:
            value = _another(computed, given, rng)
        changes[given.name] = value
        put_in(computed, names[given.name], value)

    if rng.random() < NEW_TANK:
        type_in(by_name["base_tank_diameter"])
    # All that is not in `sizes` varies about its default, within its bounds.
    for name in [*rng.sample(sorted(sizes), 4), *rng.sample(sorted(set(by_name) - set(sizes)), 6)]:
        type_in(by_name[name])
    if rng.random() < LACKING:
        given = rng.choice([given for given in by_name.values() if not given.optional])
        spoilt = None if given.unit is Unit.TEXT else rng.choice([None, "about"])
        changes[given.name] = spoilt
        put_in(computed, names[given.name], spoilt)
    return changes


def edit_pond_and_roofs(computed: Computed, rng: random.Random) -> dict[str, object]:
    """Change some inputs of pond and roof to sizes that a place has, and two cells of the roofs; empty some.

    A depth or a length that comes or goes makes another kind of pond of it, or none. Now and then the well goes.
    """
    names, system = computed.book.directory.names, computed.book.system
    by_name = {given.name: given for given in computed.book.inputs}
    changes: dict[str, object] = {}

    def type_in(where: CellKey, label: str, unit: Unit, draw: Callable[[], float | str], optional: bool = True) -> None:
        value = None if optional and rng.random() < EMPTIED else draw()
        if isinstance(value, float):
            value = float(convert(value, unit, "metric", system))
        changes[label] = value
        put_in(computed, where, value)

    soils, materials = (computed.column(*of) for of in (("pond_soils", "pond_soil"), ("roof_table", "material")))
    sizes: dict[str, Callable[[], float | str]] = {
        "pond_depth": lambda: rng.uniform(0.3, 4),
        "pond_area": lambda: 10 ** rng.uniform(0.5, 3.5),
        **{f"pond_{side}": lambda: rng.uniform(2, 60) for side in ("length", "width")},
        **{f"pond_bottom_{side}": lambda: rng.uniform(0, 40) for side in ("length", "width")},
        "pond_side_slope": lambda: rng.uniform(0, 4),
        "pond_ramp_slope": lambda: rng.uniform(0, 8),
        "pond_catchment": lambda: 10 ** rng.uniform(1.5, 5),
        "pond_runoff_reaching": rng.random,
        "pond_lies_in": lambda: str(rng.choice(soils)),
        "pond_seepage": lambda: 10 ** rng.uniform(-1.5, 1.5),
        "pond_keep": lambda: rng.uniform(0, 3),
        "pond_evaporation_factor": lambda: rng.uniform(0.5, 1.5),
        "roof_goes_to": lambda: rng.choice(by_name["roof_goes_to"].choices),
        "roof_tank_capacity": lambda: 10 ** rng.uniform(2, 5),
        "roof_first_flush": lambda: rng.uniform(0, 6),
    }
    for name in rng.sample(sorted(sizes), 6):
        type_in(names[name], name, by_name[name].unit, sizes[name], by_name[name].optional)
    cells: dict[str, tuple[Unit, Callable[[], float | str]]] = {
        "area": (Unit.AREA, lambda: rng.uniform(0, 300)),
        "material": (Unit.TEXT, lambda: str(rng.choice([*materials, "straw"]))),
        "coefficient": (Unit.NUMBER, rng.random),
    }
    for key in rng.sample(sorted(cells), 2):
        where = rng.choice(computed.cells("roofs", key)[:2])
        type_in(where, f"roofs:{key} at {where[1:]}", *cells[key])
    if rng.random() < NO_WELL:
        changes["well_depth"] = None
        put_in(computed, names["well_depth"], None)
    return changes


def edit_evidence(computed: Computed, rng: random.Random) -> dict[str, object]:
    """Change what was measured, counted or remembered: rows of the lists, some emptied, some wrong on purpose."""
    model, changes = computed.model, {}
    rest, deep = model.number("rest_depth"), float(model.value("well_depth") or 0.0)
    begins, ends = (int(model.number(name)) for name in ("record_begins", "record_ends"))
    typed_days = [value for value in computed.column("dips", "date") if value]
    years = [int(year) for year in computed.column("years", "year")]
    dry = computed.column("memory_scores", "modelled_dry", 9)
    volume = float(convert(1000, Unit.VOLUME, "metric", computed.book.system))

    def day() -> int:
        return rng.randint(begins, ends) if rng.random() < 0.9 else rng.choice((begins - 1, ends + 1))

    def one_of(table: str, key: str, count: int, *makers: Callable[[], float | str | None]) -> None:
        for where in rng.sample(computed.cells(table, key), count):
            value = None if rng.random() < EMPTIED else rng.choice(makers)()
            changes[f"{table}:{key} at {where[1:]}"] = value
            put_in(computed, where, value)

    one_of("recovery", "minutes", 1, lambda: rng.randint(-10, 400), lambda: 15)
    one_of("recovery", "depth", 1, lambda: rng.uniform(rest, deep), lambda: rest, lambda: rng.uniform(0, 1.1 * deep))
    for row in rng.sample(range(24), 2):
        at = [computed.cells("dips", key)[row] for key in ("date", "depth")]
        date = rng.choice(typed_days) if typed_days and rng.random() < 0.1 else day()
        for where, value in zip(at, (date, rng.uniform(0, 1.05 * deep)), strict=True):
            value = None if rng.random() < EMPTIED else value
            changes[f"dips at {where[1:]}"] = value
            put_in(computed, where, value)
    one_of("well_months", "monthly_depth", 1, lambda: rng.uniform(0, deep), lambda: None)
    one_of("well_months", "safe_take", 1, lambda: rng.uniform(0, volume), lambda: 0.0, lambda: None)
    one_of("so_far", "rain_so_far", 2, lambda: rng.uniform(0, 5), lambda: 0.0, lambda: None)
    herd = [*computed.column("animal_table", "animal"), "unicorn"]
    one_of("animals", "animal", 1, lambda: str(rng.choice(herd)))
    one_of("animals", "head", 1, lambda: rng.randint(0, 12))
    one_of("animals", "amount", 1, lambda: rng.uniform(0, volume / 20), lambda: None)
    where = rng.choice(computed.cells("animal_months", "factors", rng.randrange(12)))
    put_in(computed, where, rng.choice([0.0, 1.0, 1.5]))
    for row in rng.sample(range(10), 2):
        year = rng.choice(years)
        guess = dry[row] or (datetime(year, 7, 1) - datetime(1899, 12, 30)).days + rng.randint(-120, 300)
        line = {
            "year": rng.choice([year, year, None]),
            "dry_on": rng.choice([guess, int(guess) + rng.randint(-60, 60), None, day()]),
            "loads": rng.choice([None, 0, rng.randint(0, 9)]),
            "garden": rng.choice([None, rng.random()]),
        }
        changes[f"remembered {row}"] = line
        for key, value in line.items():
            put_in(computed, computed.cells("remembered", key)[row], value)
    if rng.random() < 0.1:  # all twelve depths typed, or none
        value = rng.choice([None, rng.uniform(0, deep)])
        changes["every monthly_depth"] = value
        for where in computed.cells("well_months", "monthly_depth"):
            put_in(computed, where, value)
    return changes


def typed_cells(computed: Computed) -> dict[CellKey, Value]:
    """Every cell that a person may type in, and what stands there."""
    found = [computed.book.directory.names[given.name] for given in computed.book.inputs]
    for name, placement in computed.book.directory.placements.items():
        table = placement.table
        for column in table.columns:
            if isinstance(column, Input) and not table.reference:
                for item in range(table.each.size if table.each else 1):
                    found += computed.cells(name, column.key, item)
    return {where: computed.model.cell(where) for where in found}


def put_back(computed: Computed, typed: dict[CellKey, Value]) -> None:
    """Undo the edits."""
    for where, value in typed.items():
        if computed.model.cell(where) != value:
            put_in(computed, where, None if value in (None, "") else value)


def put_in(computed: Computed, where: CellKey, value: float | str | None) -> None:
    """Type a value into a cell, or empty it."""
    if value is None:
        computed.model.clear_cell(where)
    else:
        computed.model.set_cell(where, value)


def _another(computed: Computed, given: Input | Column, rng: random.Random) -> float | str:
    """Another value that the input accepts."""
    assert isinstance(given, Input)
    if given.name == "plan_for":
        years = [int(year) for year in computed.column("years", "year")]
        return rng.choice(["driest", "1 in 10", "1 in 5", "middle", *years])
    if isinstance(given.choices, tuple):
        return rng.choice(given.choices)
    if given.choices:
        return str(rng.choice(computed.column(*given.choices.split(":"))))
    if given.unit is Unit.TEXT:
        return "changed"
    system = computed.book.system
    low, high = (to_book(text, given.unit, system) for text in (given.low, given.high))
    if given.unit is Unit.DAY:
        return float(rng.randint(1, 28))
    if given.unit is Unit.MONTH:
        return float(rng.randint(1, 12))
    now = computed.model.value(given.name) if given.name in computed.book.directory.names else None
    if isinstance(now, (int, float)) and now and rng.random() < 0.8:
        value = float(now) * rng.uniform(0.6, 1.5)
    else:
        value = 10 ** rng.uniform(-1, 2.5)  # bounds are wide: what a household might type
    value = min(max(value, low), high)
    return float(round(value)) if given.unit in (Unit.COUNT, Unit.FLAG, Unit.YEAR, Unit.DATE) else value


@pytest.mark.parametrize("start", range(0, EDITS, 10))
def test_every_column_after_random_edits(start: int) -> None:
    """Ten edits of an example, from a seed of its own; ten times ten in all.

    Three times three stand one upon another, so that some are wild and some near what a household has.
    """
    rng = random.Random(start)
    computed = computed_example(EXAMPLES[start // 10 % len(EXAMPLES)].stem).copy()
    typed, with_base = typed_cells(computed), 0.0
    for number in range(10):
        if number % 3 == 0:
            put_back(computed, typed)
        changes = edit(computed, rng)
        computed.evaluate()
        found = differences(computed)
        assert found == [], f"edit {start + number}: {changes}"
        with_base += computed.model.number("base_there")
    assert with_base >= 2


def test_a_changed_cell_is_seen() -> None:
    """The comparison can fail: one input changed behind its back is found."""
    computed = computed_example(EXAMPLES[0].stem).copy()
    site = by_hand_site(computed)
    computed.model.set("well_inflow", computed.model.number("well_inflow") * 1.001)
    computed.evaluate()
    yields = compute_by_hand(site)["ledger"]["well_yield"]
    assert unequal("well_yield", computed.metric_column("ledger", "well_yield"), list(yields)) != []


def test_examples_are_cached_and_a_copy_leaves_them_alone() -> None:
    terrace = computed_example("terrace_house")
    assert terrace is computed_example("terrace_house")
    before, other = dict(terrace.values), terrace.copy()
    assert other.values == before
    other.model.set("well_depth", other.model.number("well_depth") - 1)
    other.evaluate()
    assert other.values != before
    terrace.evaluate()
    assert terrace.values == before
