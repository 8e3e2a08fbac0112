"""The sheets, one module each: who reads it, what stands on it, and `write`, a list of calls.

Tabs are ordered and coloured by use: every year, set once, working; the hidden Papers come last.
"""

from budget.errors import ModelError
from budget.water.nouns import LISTS, MONTHS, SCALARS
from budget.workbook.applications import Tables
from budget.workbook.book import Book
from budget.workbook.material import Material
from budget.workbook.sheets import (
    answers_sheet,
    cautions_sheet,
    checks_sheet,
    climate_sheet,
    fill_and_drain_sheet,
    garden_sheet,
    household_sheet,
    ledger_sheet,
    papers_sheet,
    plan_year_sheet,
    read_first_sheet,
    readings_sheet,
    sources_sheet,
    storage_sheet,
    tank_base_sheet,
    well_sheet,
    years_sheet,
)

IN_ORDER = (
    read_first_sheet,
    answers_sheet,
    readings_sheet,
    fill_and_drain_sheet,
    household_sheet,
    garden_sheet,
    well_sheet,
    storage_sheet,
    tank_base_sheet,
    climate_sheet,
    plan_year_sheet,
    years_sheet,
    ledger_sheet,
    checks_sheet,
    cautions_sheet,
    sources_sheet,
    papers_sheet,  # the last: it has a row for each cell that is typed on the others
)

# The alternative text of every chart, by its title.
ALTERNATIVES = answers_sheet.ALTERNATIVES | well_sheet.ALTERNATIVES | storage_sheet.ALTERNATIVES


def write_sheets(book: Book, tables: Tables, material: Material) -> None:
    """Lay out every sheet in the order of the tabs, then write all formulas."""
    for sheet in IN_ORDER:
        sheet.write(book, tables, material)
    require_every_input(book)
    book.write_formulas()


def require_every_input(book: Book) -> None:
    """Raise ModelError where an input of the register has no cell in the book: nobody could change it there."""
    scalars = {given.name for given in book.inputs}
    columns = {name: set(placed.offsets) for name, placed in book.directory.placements.items()}
    unlaid = [given.name for given in SCALARS if given.name not in scalars]
    unlaid += [given.key for months in MONTHS for given in months.inputs if given.key not in columns[months.table]]
    unlaid += [given.key for rows in LISTS.values() for given in rows.inputs if given.key not in columns[rows.table]]
    if unlaid:
        raise ModelError(f"inputs that stand on no sheet: {', '.join(unlaid)}")
