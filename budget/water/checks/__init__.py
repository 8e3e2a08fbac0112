"""Checks: cells that are empty while all is well and hold a sentence where it is not.

What is wrong in what was given is judged here, by the book itself, whether it came from a site file or was typed into
the book later. A check that refuses also stops `build`, which tells it in the words of the site file.
"""

from budget.declarations import Check, Result
from budget.units import Unit
from budget.water.checks.base import BASE
from budget.water.checks.cells import CELLS_BY_MONTH, MISSING, MISSING_BASE, SCALAR_CELLS, TEXTS
from budget.water.checks.demand import GARDEN, HOUSE
from budget.water.checks.record import RECORD, THIS_YEAR
from budget.water.checks.rows import ROWS
from budget.water.checks.storage import POND, ROOF, SERVICE, TANK
from budget.water.checks.water_table import DEPTHS, FIT, MEASURED
from budget.water.checks.well import INFLOW, PUMP

# In the order in which they are told: the first names the cause where cells hold errors.
CHECKS: tuple[Check, ...] = (
    *SCALAR_CELLS,
    *RECORD,
    *THIS_YEAR,
    *CELLS_BY_MONTH,
    *DEPTHS,
    *FIT,
    *INFLOW,
    *MEASURED,
    *ROWS,
    *PUMP,
    *SERVICE,
    *TANK,
    *HOUSE,
    *ROOF,
    *POND,
    *GARDEN,
    *BASE,
)
RESULTS = [check.result for check in CHECKS]

TOTALS = [
    MISSING,
    TEXTS,
    MISSING_BASE,
    Result(
        "largest_row_error",
        "Largest error of a row",
        Unit.VOLUME,
        "Of the Ledger.",
        "MAX({ledger:row_error.all})",
    ),
]
