"""Cells of the calendar months that stand in their rows.

Every formula reads such a cell by itself, and follows it where it is cut and pasted: on the cell of another month it
would count for both. Lists are read by position, and need none of this.
"""

from __future__ import annotations

from collections.abc import Iterator

from budget.declarations import Check, Column, Input
from budget.units import Unit
from budget.water.nouns import MONTHS


def _moved(given: Input, table: str) -> Column:
    cell, above = f"{{{table}:{given.key}}}", f"{{{table}:{given.key}.heading}}"
    row = f"ROW({cell}) - ROW({above})={{calendar:month}}"
    return Column(
        f"{given.key}_moved",
        f"{given.title}: moved",
        Unit.FLAG,
        "1 where the cell that is read for the month stands elsewhere, or is gone.",
        f"IFERROR(IF(AND({row}, COLUMN({cell})=COLUMN({above})), 0, 1), 1)",
    )


def _checks() -> Iterator[Check]:
    for months in MONTHS:
        for given in months.inputs:
            told = f"{months.told}, {given.title}"
            yield Check(
                f"moved_{given.key}",
                f"{told}: cells in their rows",
                "The cell of each month stands in the row in which it was built.",
                f"SUM({{months_moved:{given.key}_moved.all}})>0",
                f'"{told}: the cell of a month was cut and pasted elsewhere, or a row was inserted or deleted there.'
                ' Undo that, and copy or type instead."',
                "stop",
            )


# Along the calendar months.
COLUMNS = [_moved(given, months.table) for months in MONTHS for given in months.inputs]
MOVED = [*_checks()]
