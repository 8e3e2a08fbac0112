"""Ledger: every month of the record, with the two warm-up years before it. For those who check."""

from budget.workbook.applications import Tables
from budget.workbook.book import Book
from budget.workbook.material import Material
from budget.workbook.page import Page
from budget.workbook.styles import WORKING


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet."""
    page = Page(book, "Ledger", "Ledger", "Every month of the record: water in, water out, what is left.", WORKING)
    ledger = page.table(tables["ledger"])
    page.table(tables["garden_ledger"], beside=ledger)
    page.mark_rows(ledger, "filled", "=1")
    page.freeze(ledger, columns=2, on_every_page=True)
    page.print_pages_across("landscape", pages=8)
