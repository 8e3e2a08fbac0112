"""The rows of the Ledger."""

from budget.declarations import Check

ROWS = [
    Check(
        "boundary",
        "Dry season within the plan year",
        "Months 12 and 1 are not both short.",
        "AND(well_there=1, SUM({years:crosses.all})>usable_years / 5)",
        '"The dry season crosses the boundary of the plan year in more than one year of five:'
        ' storage may be underestimated."',
    ),
    Check(
        "balance",
        "Rows close",
        "Every row of the Ledger closes.",
        "ROUND(largest_row_error, 6)>0",
        '"A row of the Ledger does not close. Do not trust this book: a formula was changed."',
        "stop",
    ),
]
