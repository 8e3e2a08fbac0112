"""Plan year: the year that is planned for and the middle year, month by month. For those who want to see why."""

from budget.water import readings
from budget.workbook.applications import Tables
from budget.workbook.book import Book
from budget.workbook.cases import CASES, EXPECTED, Case
from budget.workbook.cells import LABEL, TITLE_ROW, UNIT
from budget.workbook.material import Material
from budget.workbook.page import Page
from budget.workbook.styles import WORKING

PURPOSE = "A year of the record lived again on this year's calendar, with today's inputs."
DIFFERS = "Only what differs from the planning year stands here; all other figures are as in the planning year above."


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet."""
    page = Page(book, "Plan year", "Plan year", None, WORKING)
    page.widths(B=32, C=11, D=10, **{letter: 10 for letter in "EFGHIJKLMNOPQ"}, R=70)
    page.edge = 17
    page.put(TITLE_ROW, UNIT, PURPOSE, "purpose")
    page.row = TITLE_ROW + 1
    page.sentence_again(readings.RESULTS[-1], "text")
    plan = page.table(tables[EXPECTED.key])
    page.put(plan.first_row - 1, LABEL, EXPECTED.heading, "column_title")
    _garden(page, tables, EXPECTED)
    for case in CASES:
        if case is not EXPECTED:
            page.new_sheet_of_paper()
            page.heading(case.heading)
            page.paragraph(DIFFERS)
            page.table(tables[case.key])
            if f"{case.key}_garden" in tables:
                _garden(page, tables, case)
    page.heading("Workings of Answers")
    page.table(tables["answer_workings"])
    page.freeze(plan)
    page.print_setup("landscape")
    page.heading("Workings of Fill and drain: the halves of the months, at their lower ends")
    page.table(tables["pumping"])


def _garden(page: Page, tables: Tables, case: Case) -> None:
    """The garden of a case, zone by zone, each month named."""
    page.heading("Its garden, zone by zone")
    page.named_before(tables[f"{case.key}_names"], tables[f"{case.key}_garden"])
