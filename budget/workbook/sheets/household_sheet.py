"""Household: who lives here, people and animals, and what they use. Set once, changed by hand at any time."""

from budget.workbook.applications import Material, Tables
from budget.workbook.page import Book
from budget.workbook.styles import WATER


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet."""
    page = book.page("Household", "Household", "What people and animals use, line by line and month by month.", WATER)
    page.widths(B=44, C=11, D=14, E=12, F=14, G=10)
    page.paragraph(
        "A use that is in the table below needs only a number; any other needs an amount a day. Count whole-house use"
        " or its parts, not both. Factors tell how the months differ: 0 nobody there, 2 twice as many guests."
        " Animals are served with the house, before the garden."
    )
    page.heading("Uses")
    top = page.row
    household = page.table(tables.household, top=top)
    beside = household.first_column + len(tables.household.columns) + 1
    page.table(tables.household_months, top=top, left=beside)
    page.table(tables.people_days, left=beside, title_height=18)
    page.heading("Animals")
    top = page.row
    page.table(tables.animals, top=top)
    page.table(tables.animal_months, top=top, left=beside)
    page.table(tables.animal_days, left=beside, title_height=18)
    page.heading("A day of the house: people and animals")
    page.table(tables.household_daily, left=beside, title_height=18)
    page.print_setup("landscape", right=beside + 11)
    page.heading("Table of uses")
    page.table(tables.uses)
    page.heading("Table of animals")
    page.table(tables.animal_table)
    page.freeze(household, columns=1)
