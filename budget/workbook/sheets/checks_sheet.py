"""Checks: every rule that what is typed must keep, a row each; a sentence stands where one is broken."""

from budget.declarations import Check
from budget.water import checks
from budget.workbook.applications import Tables
from budget.workbook.book import Book
from budget.workbook.check_rows import SHEET, check_table, list_tables, month_table
from budget.workbook.material import Material
from budget.workbook.page import Page
from budget.workbook.rows import MONTH_NAMES
from budget.workbook.styles import WORKING


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet. What the checks look at must be laid out before."""
    purpose = "What is wrong in what was typed, where, and what to do: worst first."
    page = Page(book, SHEET, SHEET, purpose, WORKING)
    page.widths(B=46, C=9, D=12, E=100, F=36, G=12, H=12, I=10)
    page.note = page.edge = 5
    page.results(checks.COUNTS[:-1], lines=2)
    page.heading("A row a check: 1 where something is wrong")
    placed = page.table(check_table(book))
    page.room_for(placed, "said", [_longest(check) for check in checks.IN_ORDER])
    page.mark_rows(placed, "finding", "=1")
    page.freeze()
    page.print_setup("landscape", right=placed.cell("accepted", 0, 0)[1])
    page.results([checks.MISSING_BASE])
    page.heading("The lines of the lists")
    for table in list_tables(book):
        page.table(table)
    page.heading("The cells of the calendar months")
    page.table(month_table(), labels=("Month", MONTH_NAMES))


def _longest(check: Check | checks.Declared) -> str:
    """As much text as a check may come to say; what follows from a declaration is one line."""
    return check.sentence if isinstance(check, Check) else ""
