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

# What every answer rests on: table, and the sheet on which it stands.
ANSWERED_BY = {
    "household_daily": "Household",
    "zone_workings": "Garden",
    "crop_coefficients": "Garden",
    "well_months": "Well",
    "storage_months": "Storage",
    "climate": "Climate",
    "ledger": "Ledger",
    "years": "Years",
    "plan": "Plan year",
    "plan_less": "Plan year",
    "plan_more": "Plan year",
    "middle": "Plan year",
    "answers": "Answers",
}
SHEETS = tuple(dict.fromkeys(ANSWERED_BY.values()))


def _errors(sheet: str) -> Check:
    """Any error in what the answers take from a sheet: a sum over it is an error, too."""
    sums = " + ".join(f"SUM({{{table}:whole}})" for table, stands_on in ANSWERED_BY.items() if stands_on == sheet)
    return Check(
        f"errors_{sheet.lower().replace(' ', '_')}",
        f"No error on {sheet}",
        "None of the cells that the answers take from this sheet holds an error.",
        f"NOT(ISNUMBER({sums}))",
        f'"Cells on {sheet} hold errors. Put right what else is told; if nothing is, a cell of a table or a formula was'
        ' changed: undo it, or go back to a copy."',
        "stop",
    )


ERRORS = [_errors(sheet) for sheet in SHEETS]
