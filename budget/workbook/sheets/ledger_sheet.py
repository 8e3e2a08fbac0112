"""Ledger: every month of the record, with the two warm-up years before it. For those who check."""

from budget.workbook.applications import Tables
from budget.workbook.book import Book
from budget.workbook.cells import TITLE_ROW
from budget.workbook.material import Material
from budget.workbook.page import Page
from budget.workbook.rows import MONTH_NAMES
from budget.workbook.styles import WORKING

PURPOSE = "Every month of the record: water in, water out, what is left."  # stands over the months' names


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet."""
    page = Page(book, "Ledger", "Ledger", None, WORKING)
    page.widths(B=17)
    months = zip(material.months["month"], material.months["year"], strict=True)
    names = [f"{MONTH_NAMES[int(str(month)) - 1]} {year}" for month, year in months]
    ledger = page.table(tables["ledger"], top=TITLE_ROW + 1, labels=(PURPOSE, names))
    garden = page.table(tables["garden_ledger"], beside=ledger)
    page.shorten_head(ledger, garden)
    page.mark_rows(ledger, "filled", "=1")
    page.freeze(ledger)
    page.print_pages_across("landscape", pages=8)
