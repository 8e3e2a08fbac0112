"""Plan year: the year that is planned for and the middle year, month by month. For those who want to see why."""

from budget.workbook.applications import Material, Tables
from budget.workbook.page import Book
from budget.workbook.styles import WORKING


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet."""
    page = book.page(
        "Plan year", "Plan year", "The planning year of the record lived again with today's inputs.", WORKING
    )
    page.widths(B=32, C=10, D=10, **{letter: 10 for letter in "EFGHIJKLMNOPQ"}, R=70)
    page.edge = 18
    page.heading("The planning year")
    plan = page.table(tables.plan)
    page.heading("Its garden, zone by zone")
    page.table(tables.plan_garden, labels=("Month", tables.plan.rows.labels))
    for title, months, garden in (
        ("The planning year with less water", tables.plan_less, tables.plan_less_garden),
        ("The planning year with more water", tables.plan_more, tables.plan_more_garden),
    ):
        page.new_sheet_of_paper()
        page.heading(title)
        page.table(months)
        page.heading("Its garden, zone by zone")
        page.table(garden, labels=("Month", months.rows.labels))
    page.new_sheet_of_paper()
    page.heading("A middle year")
    page.table(tables.middle)
    page.heading("Its garden, zone by zone")
    page.table(tables.middle_garden, labels=("Month", tables.middle.rows.labels))
    page.heading("Workings of Answers")
    page.table(tables.answer_workings)
    page.freeze(plan, columns=2)
    page.print_setup("landscape", right=17)
