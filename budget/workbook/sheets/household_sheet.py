"""Household: who lives here, people and animals, and what they use. Set once, changed by hand at any time."""

from budget.declarations import Table
from budget.workbook.applications import Tables
from budget.workbook.book import Book
from budget.workbook.material import Material
from budget.workbook.page import Page
from budget.workbook.styles import SET_ONCE


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet."""
    page = Page(
        book, "Household", "Household", "What people and animals use, line by line and month by month.", SET_ONCE
    )
    page.widths(B=44, **{letter: 10.5 for letter in "CDEFGHIJKLMN"})
    page.paragraph(
        "A use that is in the table below needs only a number; any other needs an amount a day. Count whole-house use"
        " or its parts, not both. Factors tell how the months differ: 0 nobody there, 2 twice as many guests."
        " Animals are served with the house, before the garden."
    )
    page.paragraph(
        "Have the water tested each year, and after the well ran dry, was opened or was flooded, before anybody drinks"
        " it: sheet Cautions.",
        "caution",
    )
    page.heading("Uses")
    page.table(tables["household"])
    _by_month(page, tables["household_names"], tables["household_months"], tables["people_days"], "All uses together")
    page.new_sheet_of_paper()
    page.heading("Animals")
    page.table(tables["animals"])
    _by_month(page, tables["animal_names"], tables["animal_months"], tables["animal_days"], "All animals together")
    page.heading("A day of the house")
    page.table(tables["household_daily"], labels=("People and animals", ["together"]))
    page.print_setup("landscape")
    page.heading("Table of uses")
    page.table(tables["uses"])
    page.heading("Table of animals")
    page.table(tables["animal_table"])
    page.freeze()


def _by_month(page: Page, names: Table, months: Table, together: Table, title: str) -> None:
    """The factors of the twelve months, line by line, and what comes of them."""
    page.row += 1
    page.named_before(names, months)
    page.table(together, labels=(title, ["a day"]))
