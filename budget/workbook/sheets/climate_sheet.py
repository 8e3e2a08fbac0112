"""Climate: the place, its rain and temperature by calendar month, and what the record is worth."""

from budget.water import frosts, record, site, snow, years_of_record
from budget.workbook.applications import Tables
from budget.workbook.book import Book
from budget.workbook.material import Material
from budget.workbook.page import Page
from budget.workbook.styles import WORKING

PIPES_AND_TANK = (
    "One night of hard frost can freeze pipes, taps and the pump. The water of a tank of some tons follows the air with"
    " a lag of days: its dates follow spells of so many days as Storage says, whose mean is at or below freezing."
)
FEW_STATIONS = 6  # up to so many, the table of the months has room on the same sheet of paper


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet."""
    page = Page(book, "Climate", "Climate", "The place, and what its weather has been.", WORKING)
    page.widths(B=36, C=14, D=30, **dict.fromkeys("GHIJKLM", 13.5))
    page.heading("The place")
    page.inputs(site.INPUTS, material.values)
    page.inputs(record.LOCAL, material.values)
    page.inputs(record.STATION, material.values, hidden=tables["stations"].rows.size == 0)
    page.inputs(snow.INPUTS, material.values)
    page.results([*record.RESULTS, *site.RESULTS])
    page.heading("The record")
    page.sentence_again(years_of_record.QUALITY[0], "text")
    for note in material.notes:
        page.paragraph(note)
    if tables["stations"].rows.size:
        write_stations(page, tables, material)
    beside_stations = 0 < tables["stations"].rows.size <= FEW_STATIONS
    if not beside_stations:
        page.new_sheet_of_paper()
    page.heading("By calendar month")
    top = page.row
    calendar = page.table(tables["calendar"], top=top)
    climate = page.table(tables["climate"], top=top, left=calendar.first_column + len(tables["calendar"].columns))
    if beside_stations:
        page.new_sheet_of_paper()
    page.heading("Frosts")
    write_frosts(page, tables, material)
    page.new_sheet_of_paper()
    page.heading("How much of each year was measured")
    coverage = page.table(tables["coverage"])
    page.mark_rows(coverage, "year_months_filled", ">0")
    page.print_setup("landscape", right=climate.first_column + len(tables["climate"].columns) - 1)
    page.heading("Workings: words")
    page.results([*record.PARTS, *years_of_record.QUALITY_PARTS])
    page.table(tables["thirds"])


def write_frosts(page: Page, tables: Tables, material: Material) -> None:
    """When a night endangers the pipes, and when a cold spell endangers the tank."""
    page.paragraph(PIPES_AND_TANK)
    for sentence in material.frost_words or ["A record of months tells nothing of frosts."]:
        page.paragraph(sentence)
    page.results(frosts.RESULTS)
    kinds = page.table(tables["frosts"])
    page.table(tables["frost_dates"], beside=kinds)


def write_stations(page: Page, tables: Tables, material: Material) -> None:
    """The weather stations that were looked at, what each serves for, and whom to name."""
    page.new_sheet_of_paper()
    page.heading("Weather stations")
    stations = page.table(tables["stations"])
    page.fold(stations, "station", "station_serves")
    page.row += 1
    for sentence in (*material.station_notes, *material.credits):
        page.paragraph(sentence)
