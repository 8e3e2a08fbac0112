"""Every column of the book against the ledgers by hand, on the examples and on random edits of the inputs.

The ledgers in `tests.by_hand` are plain numpy, written from the equations and their sources, in metric units; the book
is evaluated by the engine and converted. Tolerance 1e-9 of max(1, value).
"""

import random

import numpy as np
import pytest

from budget.declarations import Column, Input
from budget.units import Unit, to_book
from tests.by_hand import compute as compute_by_hand
from tests.computed import EXAMPLES, Computed, by_hand_site, compute
from tests.conftest import computed_example

TOLERANCE = 1e-9
EDITS = 100
# Told by the workbook alone: closure errors that are zero by hand, and links between tables.
NOT_BY_HAND = {("ledger", "row_error"), ("plan", "row_error"), ("middle", "row_error")}
# Tables whose columns stand in the ledger by hand of another name.
LEDGERS = {"kc_workings": "crop_coefficients", "answer_workings": "answers"}


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
                if column.unit is not Unit.TEXT:
                    found.append(f"{name}:{column.key} has no ledger by hand")
                continue
            expected = np.asarray(ledger[column.key], dtype=object)
            for item in range(table.each.size if table.each else 1):
                actual = computed.metric_column(name, column.key, item)
                wanted = expected[item] if table.each else expected
                found += _unequal(f"{name}:{column.key}[{item}]", actual, list(wanted))
    for result in computed.book.results:
        if result.name in by_hand.get("results", {}):
            wanted = list(np.atleast_1d(by_hand["results"][result.name]))
            found += _unequal(result.name, [computed.metric_input(result)], wanted)
        elif result.unit is not Unit.TEXT and result.name != "largest_row_error":
            found.append(f"{result.name} has no ledger by hand")
    return found


def _unequal(where: str, actual: list, wanted: list) -> list[str]:
    if len(actual) != len(wanted):
        return [f"{where}: {len(actual)} rows, {len(wanted)} by hand"]
    for row, (value, by_hand) in enumerate(zip(actual, wanted, strict=True)):
        if isinstance(by_hand, str) or isinstance(value, str):
            if value != by_hand:
                return [f"{where} row {row}: {value!r}, by hand {by_hand!r}"]
        elif abs(float(value or 0) - float(by_hand)) > TOLERANCE * max(1.0, abs(float(by_hand))):
            return [f"{where} row {row}: {value!r}, by hand {by_hand!r}"]
    return []


def test_every_column_of_every_example(example: Computed) -> None:
    assert differences(example) == []


def edit(computed: Computed, rng: random.Random) -> dict[str, object]:
    """Change a handful of inputs at random within their bounds, most of them near where they stand."""
    scalars = [given for given in computed.book.inputs if given.name != "fit_error_at_build"]
    changes: dict[str, object] = {}
    for given in rng.sample(scalars, 8):
        changes[given.name] = value = _another(computed, given, rng)
        computed.model.set(given.name, value)
    for table, key in (("household", "number"), ("household", "amount"), ("zones", "area"), ("zones", "efficiency")):
        given = computed.book.directory.placements[table].table.column(key)
        where = rng.choice(computed.cells(table, key))
        changes[f"{table}:{key}"] = value = _another(computed, given, rng)
        computed.model.set_cell(where, value)
    for table, key in (("storage_months", "filling"), ("storage_months", "kept")):
        where = rng.choice(computed.cells(table, key))
        value = float(rng.randint(0, 1)) if key == "filling" else rng.uniform(0, 4000)
        computed.model.set_cell(where, value)
    return changes


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
    return float(round(value)) if given.unit in (Unit.COUNT, Unit.FLAG) else value


@pytest.mark.parametrize("start", range(0, EDITS, 10))
def test_every_column_after_random_edits(start: int) -> None:
    """Ten edits one upon another, from an example of its own seed; ten times ten in all."""
    rng = random.Random(start)
    computed = compute(EXAMPLES[start // 10 % len(EXAMPLES)])
    for number in range(10):
        changes = edit(computed, rng)
        computed.evaluate()
        found = differences(computed)
        assert found == [], f"edit {start + number}: {changes}"


def test_a_changed_cell_is_seen() -> None:
    """The comparison can fail: one input changed behind its back is found."""
    computed = compute(EXAMPLES[0])
    site = by_hand_site(computed)
    computed.model.set("well_inflow", computed.model.number("well_inflow") * 1.001)
    computed.evaluate()
    yields = compute_by_hand(site)["ledger"]["well_yield"]
    assert _unequal("well_yield", computed.metric_column("ledger", "well_yield"), list(yields)) != []


def test_examples_are_cached() -> None:
    assert computed_example("terrace_house") is computed_example("terrace_house")
