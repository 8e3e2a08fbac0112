"""A formula of each noun, broken on purpose, must be caught by the comparison with the ledgers by hand.

The text is changed in the cells of a column of the computed example; `differences` of
`tests.workbook.test_by_hand.test_every_column_of_every_example` must then name that column.
"""

from collections.abc import Iterator

import pytest

from budget.workbook.engine import Model
from tests.by_hand import compute as compute_by_hand
from tests.computed import EXAMPLES, Computed, by_hand_site, compute
from tests.workbook.test_by_hand import differences

# noun, table, column, what stands in its formula, what is put there instead
MUTATIONS = [
    ("record", "ledger", "plan_year", "< first_month", "<= first_month"),
    ("evapotranspiration", "climate", "radiation", "0.0820", "0.0830"),
    ("evapotranspiration", "ledger", "reference_et", "17.8", "17.9"),
    ("snow", "ledger", "snowpack", "snow_melt_rate", "0.01 * snow_melt_rate"),
    ("soil", "ledger", "half_drawn", "(2 * ", "(1 * "),
    ("soil", "ledger", "recharge", "(1 - runoff_share)", "1"),
    ("water_table", "ledger", "mean_height", "(1 - ", "(1 + "),
    ("water_table", "over_years", "middle_depth", ", 0.5)", ", 0.4)"),
    ("well", "ledger", "available_drawdown", "MAX(0, ", "MAX(9, "),
    ("pump", "ledger", "run_minutes", "pump_restart", "0.9"),
    ("pump", "ledger", "runs_a_day", "24 * 60", "23 * 60"),
    ("household_demand", "household", "line_daily", " * IF(", " * 1.01 * IF("),
    ("effective_rain", "garden_ledger", "effective_rain", "0.02426", "0.02427"),
    ("garden_demand", "kc_workings", "season_day", "0.5", "0.9"),
    ("garden_demand", "garden_ledger", "zone_need", "MAX(0, ", "MAX(0.1, "),
    ("service", "ledger", "days_in_service", " + 1)", ")"),
    ("tank", "storage_months", "filling_found", ">=0", ">=9999"),
    ("tank", "storage_months", "kept_found", "MIN(tank_usable", "MIN(0.9 * tank_usable"),
    ("years", "over_years", "highest_required", "MAX(", "MIN("),
    ("rule_curve", "ledger", "required_level", "reserve_used", "0"),
    ("rule_curve", "ledger", "storage_needed", "MAX(0,", "MAX(1,"),
    ("balance", "ledger", "tank_fill", "=1, tank_usable", "=0, tank_usable"),
    ("balance", "ledger", "tank_fill", '="yes"', '="no"'),
    ("years", "years", "rank", ">", "<"),
    ("plan_year", "plan", "start_on", " / ", " * "),
    ("answers", "answers", "loads", "9), 0)", "9), 1)"),
    ("answers", "answers", "cost", "* hauling_price", "* 1"),
]


@pytest.fixture(scope="module")
def subject() -> Iterator[tuple[Computed, dict]]:
    """The US example, computed apart from the others, and its ledgers by hand."""
    computed = compute(next(path for path in EXAMPLES if path.stem == "terrace_house"))
    yield computed, compute_by_hand(by_hand_site(computed))


@pytest.mark.parametrize(("noun", "table", "key", "old", "new"), MUTATIONS)
def test_a_broken_formula_is_caught(subject, noun: str, table: str, key: str, old: str, new: str) -> None:
    computed, by_hand = subject
    cells = [where for where, owner in computed.book.owners.items() if owner == (table, key)]
    before = {where: computed.book.workbook[where[0]].cell(*where[1:])._value for where in cells}
    after = {where: formula.replace(old, new, 1) for where, formula in before.items()}
    assert after != before, f"{table}:{key} has no '{old}'"
    for (sheet, row, column), formula in after.items():
        computed.book.workbook[sheet].cell(row, column)._value = formula
    sound, computed.model = computed.model, Model(computed.book)
    try:
        computed.evaluate()
        found = differences(computed, by_hand)
    finally:
        for (sheet, row, column), formula in before.items():
            computed.book.workbook[sheet].cell(row, column)._value = formula
        computed.model = sound
    assert any(line.startswith(f"{table}:{key}") for line in found), f"{noun}: {table}:{key} broken, and nobody saw it"
