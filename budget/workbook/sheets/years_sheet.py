"""Years: every plan year of the record, what it needed, how it ranks, what the present tank carries of it."""

from budget.water import years_of_record
from budget.workbook.applications import Tables
from budget.workbook.book import Book
from budget.workbook.material import Material
from budget.workbook.page import Page
from budget.workbook.styles import WORKING


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet."""
    page = Page(book, "Years", "Years", "Every plan year of the record, named by the year in which it begins.", WORKING)
    page.widths(B=28, **{letter: 10 for letter in "CDEFGHIJKLMNOPQRSTUVWX"})
    page.results(years_of_record.RESULTS)
    page.new_sheet_of_paper()
    page.heading("Year by year")
    top = page.row
    placed = page.table(tables["years"], top=top)
    page.table(tables["year_choices"], top=top, left=placed.first_column + len(tables["years"].columns) + 1)
    page.print_setup("landscape", right=placed.cell("carried", 0, 0)[1])
    names = tables["years"].data["year"]
    page.heading("Month by month: the levels that set what is kept for the house, and the depth to water")
    page.table(tables["year_months"], labels=("Year", names))
    page.table(tables["over_years"], labels=("All years", ["all"]))
