"""How many formulas the book spends on what is computed though mostly nothing is typed, and how long they are."""

import re

import pytest

from budget.declarations import Column, Table
from tests.computed import Computed

TRIAL = ("spell_workings", "spell_months", "memory_trials", "memory_scores", "share_totals", "shares", "share_workings")
MOST_OF_TRIAL = 6_850  # ten years by twelve months by ten shares are 1,200 for each column: there is room for four
LONGEST, DEEPEST = 300, 3


def spent(table: Table) -> int:
    """Cells of a table that hold a formula, opening and closing rows left out."""
    columns = [column for column in table.columns if isinstance(column, Column) and column.formula]
    return len(columns) * table.rows.size * (table.each.size if table.each else 1)


def depth_of_if(formula: str) -> int:
    """How deep IF stands in IF."""
    open_brackets, deepest = [], 0
    for bracket in re.findall(r"[A-Z.]*\(|\)", re.sub(r'"[^"]*"', "", formula)):
        if bracket == ")":
            open_brackets.pop()
        else:
            open_brackets.append(bracket)
            deepest = max(deepest, open_brackets.count("IF("))
    return deepest


@pytest.mark.parametrize(("formula", "depth"), [("=1", 0), ("=IF(A1, IF(MIN(2, IF(1, 2, 3)), 0, 1), IF(1, 0, 2))", 3)])
def test_depth(formula: str, depth: int) -> None:
    assert depth_of_if(formula) == depth


def test_the_trial_of_dry_spells_is_a_tenth_of_the_book(example: Computed) -> None:
    """It was more than a quarter: 23,780 of 87,000."""
    placements = example.book.directory.placements
    counted = sum(spent(placements[name].table) for name in TRIAL)
    on_the_sheet = [
        where
        for name in TRIAL
        for column in placements[name].table.columns
        for item in range(placements[name].table.each.size if placements[name].table.each else 1)
        for where in example.cells(name, column.key, item)
        if where in example.values
    ]
    assert counted == len(on_the_sheet) <= MOST_OF_TRIAL
    assert counted < 0.1 * len(example.values)


def test_formulas_of_the_trial_are_short(example: Computed) -> None:
    formulas: dict[str, str] = {}
    for name in TRIAL:
        placement = example.book.directory.placements[name]
        for column in placement.table.columns:
            last = placement.table.each.size - 1 if placement.table.each else 0
            sheet, *cell = example.cells(name, column.key, last)[-1]
            formulas[f"{name}:{column.key}"] = str(example.book.workbook[sheet].cell(*cell).value)
    assert len(formulas) > 30
    too_long = {key for key, text in formulas.items() if len(text) > LONGEST or depth_of_if(text) > DEEPEST}
    assert too_long == set()
