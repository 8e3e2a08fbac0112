"""Checks: every rule that what is typed must keep, a row each, and beside them what was changed since the build."""

import re

from budget.declarations import Check
from budget.water import checks
from budget.workbook import changes, papers
from budget.workbook.applications import Tables
from budget.workbook.book import Book
from budget.workbook.check_rows import SHEET, base_table, check_table, list_tables, month_table
from budget.workbook.material import Material
from budget.workbook.page import Page
from budget.workbook.placement import Placement
from budget.workbook.rows import MONTH_NAMES
from budget.workbook.styles import WORKING

NAME_OF_A_CELL = "Well: Recovered where less of the drawdown is left than"  # a long one, for which there must be room


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet. What the checks look at must be laid out before."""
    purpose = "What is wrong in what was typed, where, and what to do: worst first."
    page = Page(book, SHEET, SHEET, purpose, WORKING)
    page.widths(B=48, C=9, D=11, E=44, F=86, G=12, H=12, I=10, J=4, K=52, L=24, M=24, N=24, O=16)
    page.note, page.edge = 5, 6
    page.sentence_again(checks.FINDINGS_TOLD, "sentence")
    page.results(checks.COUNTS)
    page.result_again(papers.COUNTED, changes.TOLD)
    page.heading("A row a check: 1 where something is wrong")
    table = check_table(book)
    placed = page.table(table)
    accepted = [str(text) for text in table.data["accepted"]]
    page.room_for(placed, {"accepted": accepted, "said": [_longest(check) for check in checks.IN_ORDER]})
    page.hide_zeros(placed, "finding")
    page.mark_rows(placed, "finding", "=1")
    page.repeat_head(placed)
    page.freeze(names=False)
    bottom = page.row
    _changes(page, placed)
    page.row = bottom
    page.print_setup("landscape")
    page.edge = page.note
    page.heading("Workings: what the sentences on Answers are made of")
    page.results(checks.WORKINGS, lines=2)
    page.table(base_table())
    page.heading("The lines of the lists")
    for table in list_tables(book):
        page.table(table)
    page.heading("The cells of the calendar months")
    page.table(month_table(), labels=("Month", MONTH_NAMES))


def _changes(page: Page, beside: Placement) -> None:
    """What was changed since the build, to the right of the checks; not printed with them."""
    placed = page.table(changes.changes(), beside=beside)
    top, left = page.top_of_head(placed) - 3, placed.first_column
    right = placed.cell("changed_unit", 0, 0)[1]
    page.heading_at(top, left, right, "Changed since the build")
    for row, result in enumerate((changes.TOLD, changes.SHIFTED), top + 1):
        page.sentence_at(result, row, left, right, "text")


def _longest(check: Check | checks.Declared) -> str:
    """As much text as a check may come to say; what follows from a declaration is one line."""
    if isinstance(check, checks.Declared):
        return ""
    constant = " ".join(re.findall('"([^"]*)"', check.sentence))
    return f"{NAME_OF_A_CELL} {constant}" if "&" in check.sentence else constant
