"""Sources: every method and constant with its source, the factors of the units, and what the model leaves out."""

from collections.abc import Iterable

from budget.declarations import Column, Input
from budget.units import FACTORS
from budget.water.nouns import SCALARS
from budget.workbook.applications import Tables
from budget.workbook.book import Book
from budget.workbook.material import Material
from budget.workbook.page import Page
from budget.workbook.styles import WORKING

LEFT_OUT = (
    "Pumping does not lower the water table itself: the well draws only from what stands and enters.",
    "The inflow falls and rises with the water table, half a month at a time; the sustained share stands for a whole"
    " dry season.",
    "A month is two halves: dates are told to its third, because more would be false. What falls within a half evens"
    " out, and the answers lean to one side or the other by the place. Keep a reserve, and read a year that needed a"
    " tank within a fifth of yours as 'close'.",
    "One pond only, filled by rain and by the runoff of its land; springs and leaks through a dam are not known. The"
    " seepage of the table is a guess from a soil's name: ponds on like soils differ widely, so measure yours.",
    "Rain is that of the record, not that of next year. Planning for a dry year is a choice of odds, not a forecast.",
    "'Common practice, no source' and 'recalled' mean just that.",
)
# What was done to the record before it stood in this book.
OF_THE_RECORD = (
    (
        "Days missing, with stations nearby",
        "normal ratio; Paulhus and Kohler (1952), Monthly Weather Review 80; recalled",
    ),
    ("Months that miss too many days", "median of the calendar month; WMO practice for too many; recalled"),
    ("Values left out", "bounds, spread of the month, stuck values: common practice, no source"),
    ("A shift of the yearly rain", "Pettitt (1979), Applied Statistics 28(2); recalled. It only warns"),
    ("Frost dates of pipes", "0 and -2.2 °C, one season in ten: US National Weather Service, NOAA NCEI; recalled"),
    (
        "Freezing spells, for the tank",
        "own rule, no source; the same odds. Up to 3 missing days in a row: a straight line",
    ),
)
# The same of weather stations, where the rain was fetched from them.
OF_STATIONS = (
    (
        "Stations",
        "the nearest with rain on 90 % of the days of the years that count, or the one that is named; rain is never"
        " interpolated, because a mean of several gauges rains on more days than any of them. Temperatures: the same,"
        " or the nearest with high and low on as many days. Gaps: the next two with rain on 50 %. Common practice, no"
        " source",
    ),
    ("Temperatures brought to the site's height", "6.5 K per km, standard atmosphere, ISO 2533; recalled"),
    ("Distances to stations", "great circles on a sphere of 6371 km"),
)


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet."""
    page = Page(
        book, "Sources", "Sources", "Where methods and constants come from, and what the model leaves out.", WORKING
    )
    page.widths(B=46, C=4, D=14, E=74)
    page.edge = page.note
    page.heading("What the model leaves out")
    for sentence in LEFT_OUT:
        page.paragraph(sentence)
    if material.credits:
        page.heading("Weather data")
        for line in material.credits:
            page.paragraph(line)
    page.heading("Methods and constants")
    _listed(page, _sources(book, tables))
    page.heading("What was done to the record")
    _listed(page, [*OF_THE_RECORD, *(OF_STATIONS if material.credits else ())])
    if material.credits:
        page.new_sheet_of_paper()
    page.heading("Factors of the units, computed")
    page.factors(FACTORS)
    page.print_setup("portrait")


def _listed(page: Page, sources: Iterable[tuple[str, str]]) -> None:
    """A line for each title, with its source beside it."""
    for title, source in sources:
        page.noted(title, source)


def _sources(book: Book, tables: Tables) -> list[tuple[str, str]]:
    """Title and source of everything declared with a source, once each: what is typed in the order of the water, what
    is computed in that of the book."""
    declared: list[tuple[str, str]] = [(i.title, i.source) for i in SCALARS]
    declared += [(r.title, r.source) for r in book.results]
    for table in tables.values():
        declared += [(c.title, c.source) for c in table.columns if isinstance(c, (Column, Input))]
    return list(dict.fromkeys((title, source) for title, source in declared if source))
