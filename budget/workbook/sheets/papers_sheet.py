"""Papers: the book's own papers, for the program that reads it again; hidden, and in nobody's way."""

from budget.workbook import papers
from budget.workbook.applications import Tables
from budget.workbook.book import Book
from budget.workbook.material import Material
from budget.workbook.page import Page
from budget.workbook.styles import WORKING


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet, after all others: it has a row for each cell that is typed on them."""
    page = Page(
        book,
        papers.SHEET,
        "The book's own papers",
        "What was built, from what, and which cells were changed by hand since. Nothing here is to be typed.",
        WORKING,
    )
    page.widths(B=34, C=14, D=24)
    cells = papers.typed_cells(book, material.provenance)
    for name, title, value in papers.facts(book, material):
        page.fact(name, title, value)
    page.results(papers.COUNTS)
    page.row += 1
    papers.connect(book, page.table(papers.rows_of(book, cells)), cells)
    page.hide()
