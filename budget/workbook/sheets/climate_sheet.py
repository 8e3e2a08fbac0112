"""Climate: the place, its rain and temperature by calendar month, and what the record is worth."""

from budget.water import record, site, snow, years
from budget.workbook.applications import Material, Tables
from budget.workbook.page import Book
from budget.workbook.styles import WORKING


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet."""
    page = book.page("Climate", "Climate", "The place, and what its weather has been.", WORKING)
    page.widths(B=36, C=14, D=30)
    page.heading("The place")
    page.inputs(site.INPUTS, material.values)
    page.inputs(record.INPUTS, material.values)
    page.inputs(snow.INPUTS, material.values)
    page.results([*record.RESULTS, *site.RESULTS])
    page.heading("The record")
    page.sentence_again(years.QUALITY[0], "text")
    for note in material.notes:
        page.paragraph(note)
    page.heading("By calendar month")
    top = page.row
    calendar = page.table(tables.calendar, top=top)
    climate = page.table(tables.climate, top=top, left=calendar.first_column + len(tables.calendar.columns))
    page.new_sheet_of_paper()
    page.heading("Frosts")
    for sentence in material.frosts or ["A record of months tells nothing of frosts."]:
        page.paragraph(sentence)
    page.heading("How much of each year was measured")
    coverage = page.table(tables.coverage)
    page.mark_rows(coverage, "year_months_filled", ">0")
    page.print_setup("landscape", right=climate.first_column + len(tables.climate.columns) - 1)
