"""Plan year: the year that is planned for and the middle year, month by month. For those who want to see why."""

from budget.water import this_year
from budget.workbook.applications import Material, Tables
from budget.workbook.book import Book
from budget.workbook.page import Page
from budget.workbook.styles import WORKING


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet."""
    purpose = "A year of the record lived again on this year's calendar, with today's inputs."
    page = Page(book, "Plan year", "Plan year", purpose, WORKING)
    page.widths(B=32, C=10, D=10, **{letter: 10 for letter in "EFGHIJKLMNOPQ"}, R=70)
    page.edge = 17
    page.sentence_again(this_year.RESULTS[-1], "text")
    page.heading("The planning year")
    plan = page.table(tables.plan)
    page.heading("Its garden, zone by zone")
    page.named_before(tables.plan_names, tables.plan_garden)
    for title, months, names, garden in (
        ("The planning year with less water", tables.plan_less, tables.plan_less_names, tables.plan_less_garden),
        ("The planning year with more water", tables.plan_more, tables.plan_more_names, tables.plan_more_garden),
        ("A middle year", tables.middle, tables.middle_names, tables.middle_garden),
    ):
        page.new_sheet_of_paper()
        page.heading(title)
        page.table(months)
        page.heading("Its garden, zone by zone")
        page.named_before(names, garden)
    page.heading("Workings of Answers")
    page.table(tables.answer_workings)
    page.freeze(plan, columns=2, on_every_page=True)
    page.print_setup("landscape")
