"""Household: who lives here, people and animals, and what they use. Set once, changed by hand at any time."""

from budget.declarations import Table
from budget.water.nouns import LISTS
from budget.workbook.applications import Tables
from budget.workbook.book import Book
from budget.workbook.cells import LABEL
from budget.workbook.material import Material
from budget.workbook.page import Page
from budget.workbook.styles import SET_ONCE

FIRST_MONTH, LAST_MONTH = 5, 16  # the columns of the twelve months, after use, number and amount


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet."""
    page = Page(
        book, "Household", "Household", "What people and animals use, line by line and month by month.", SET_ONCE
    )
    page.widths(B=41, C=9, D=11, **{letter: 6.2 for letter in "EFGHIJKLMNOP"}, Q=3, R=11, S=11)
    page.edge = LAST_MONTH
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
    _list(page, tables, "household", "people_days", "All uses together, a day")
    page.new_sheet_of_paper()
    page.heading("Animals")
    _list(page, tables, "animals", "animal_days", "All animals together, a day")
    page.heading("A day of the house")
    _together(page, tables["household_daily"], "People and animals together")
    page.print_setup("landscape")
    page.heading("Table of uses")
    page.table(tables["uses"])
    page.heading("Table of animals")
    page.table(tables["animal_table"])
    for title, section in (("Workings of the uses", "household"), ("Workings of the animals", "animals")):
        page.heading(title)
        page.table(tables[LISTS[section].workings])
        page.table(tables[LISTS[section].months_workings], left=FIRST_MONTH)
    page.freeze()


def _list(page: Page, tables: Tables, section: str, together: str, title: str) -> None:
    """A list with its twelve months, what is shown beside it, and what comes of all its lines."""
    page.list_of(tables, LISTS[section])
    _together(page, tables[together], title)


def _together(page: Page, days: Table, title: str) -> None:
    """A sum for each month, under the months of the lists."""
    placed = page.table(days, left=FIRST_MONTH, headed_as_list=True)
    page.put(placed.first_row, LABEL, title, "label")
