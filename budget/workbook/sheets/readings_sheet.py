"""Readings: which year is planned, and the rain that has fallen in it. Typed through the year, month by month."""

from budget.water import readings
from budget.workbook.applications import Tables
from budget.workbook.book import Book
from budget.workbook.material import Material
from budget.workbook.page import Page
from budget.workbook.rows import MONTH_NAMES
from budget.workbook.styles import EVERY_YEAR

NEXT_YEAR = (
    "When a new plan year begins: raise the plan year's number by one, put a new day into 'as of', and empty the twelve"
    " cells of rain. Every date of the book follows; no build is needed. Water table and tank then begin as in the"
    " year of the record, not as your last winter left them: a build with newer rain takes that in, and makes the dry"
    " years surer."
)


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet."""
    page = Page(book, "Readings", "Readings", "This year, as it goes: the plan year and its rain so far.", EVERY_YEAR)
    page.widths(B=32, C=12, D=14, E=14, F=14)
    page.edge = 10
    page.heading("The plan year")
    page.inputs(readings.INPUTS, material.values)
    page.results([result for result in readings.RESULTS if result.name != "plan_told"])
    page.paragraph(NEXT_YEAR)
    page.heading("This year's rain so far")
    page.paragraph(
        "At the end of each month type what your gauge caught. Months without a figure keep the rain of the planning"
        " year, so a dry year stays in the plan until it has rained."
    )
    page.paragraph(
        "To read the depth to water, let a weighted clean line down from above: never lean into the well, never enter"
        " it, keep children away, and put the cover back.",
        "caution",
    )
    page.table(tables["so_far"], labels=("Month", MONTH_NAMES))
    page.print_setup("portrait", right=page.edge)
    page.heading("Workings")
    page.table(tables["so_far_workings"], labels=("Month", MONTH_NAMES))
    page.results(readings.PARTS)
