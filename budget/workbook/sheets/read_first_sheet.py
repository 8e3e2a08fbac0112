"""Read first: for someone who opens the book for the first time, or once a year. Short."""

from datetime import date

from budget import __version__
from budget.declarations import Input
from budget.units import Unit
from budget.water import tank_base, years_of_record
from budget.workbook import changes, papers
from budget.workbook.applications import Tables
from budget.workbook.book import Book
from budget.workbook.cells import LABEL, VALUE
from budget.workbook.finish import PRODUCT
from budget.workbook.material import Material
from budget.workbook.page import Page
from budget.workbook.rows import MONTH_NAMES
from budget.workbook.styles import EVERY_YEAR, Role

STEPS = (
    "Keep a copy before you change anything, and save as .xlsx. Cells that are not yours are locked, without a"
    " password. In a list a row is an item: sort it, cut a whole line and paste it into an empty one, clear one; rows"
    " may be inserted where the sheet is unprotected, and for one deleted insert another above the last empty line."
    " Garden zones are watered in their order. What no check can see: a part of a line pasted beside another name.",
    "Begin at Answers: when to start filling, how hard to pump the well, when the water runs out, how many loads.",
    "Choose there how dry a year to plan for, or a year of the record by its number.",
    "Say what is yours: people and animals on Household, beds and trees on Garden, tank, dates, roof and pond on"
    " Storage. Every answer follows at once.",
    "Measure your well, and put it on Well: a recovery test first, then depths to water, then the dry spells that you"
    " remember.",
    "Before you build or move a tank, look at Tank base, and take it to an engineer and the building office.",
    "Print Fill and drain, hang it in the pump house, tick and write on it.",
    "At the end of each month type your rain on Readings: it takes the place of the dry year's.",
    "Into the next year: on Readings raise the plan year's number by one, put a new day into 'as of', empty the rain."
    " Every date follows. Nothing but this book is needed.",
    "When the ground under the well changed, or after some years, build anew from the site file: that fits the water"
    " table again and takes in the newer rain. Copy into the site file first what you changed here by hand; the old"
    " book is kept beside the new one.",
)
MAP = (
    ("Every year", "Answers", "What to do, by when, and what happens in a dry year"),
    ("", "Readings", "The plan year's number, and its rain so far"),
    ("", "Fill and drain", "One page for the pump-house wall"),
    ("Set once", "Household", "People and animals, and what they use"),
    ("", "Garden", "Beds, fruit, grass"),
    ("", "Well", "Bore, pump, recovery test, depths, dry spells remembered, soil"),
    ("", "Storage", "Tank, dates, hauling, roof, pond"),
    ("", "Tank base", "What the full tank weighs, and what its slab takes"),
    ("Working", "Climate", "Rain and temperature, and what is known of them"),
    ("", "Plan year", "The year that is planned for, month by month"),
    ("", "Years", "Every year of the record"),
    ("", "Ledger", "Every month of the record"),
    ("", "Checks", "What is wrong in what was typed, and what was changed since the build"),
    ("", "Cautions", "Before you touch pump, well, tank or pond"),
    ("", "Sources", "Where every method and constant comes from"),
)
CELLS: tuple[tuple[Role, str, str], ...] = (
    ("input", "yours", "Typed by you. Each has a note and says what it accepts."),
    ("found", "found", "Found by the build from the record or the measured depths; yours to change."),
    ("result", "computed", "Computed. Locked, without a password."),
    ("warning", "warning", "Something to look at."),
)
CAUTION = (
    "This is an estimate from rain, not a measurement of your well. Never let the pump run dry; lock the power off"
    " before you work on it; never enter a dug well or a tank; have the water tested before anybody drinks it; a full"
    " tank is as heavy as a loaded lorry. Local codes and licensed practice come first. See Cautions."
)


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet."""
    page = Page(
        book, "Read first", "Year-round water budget", "When to fill the tank, and when the water runs out.", EVERY_YEAR
    )
    page.widths(B=50, C=14, D=18, E=66)
    page.edge = page.note
    page.heading("How to use it")
    for number, step in enumerate(STEPS, 1):
        page.paragraph(f"{number}. {step}")
    page.heading("The sheets")
    for group, sheet, purpose in MAP:
        page.put(page.row, LABEL, group, "label")
        page.link(sheet, sheet, page.row, VALUE)
        page.put(page.row, page.note, purpose, "note")
        page.row += 1
    page.heading("What the cells look like")
    for role, sample, meaning in CELLS:
        page.put(page.row, VALUE, sample, role)
        page.put(page.row, page.note, meaning, "note")
        page.row += 1
    page.heading("Cautions in short")
    page.paragraph(CAUTION, "caution")
    _this_book(page, book, material)
    page.heading("What the record is worth")
    page.sentences(years_of_record.QUALITY, "text", height=18)
    _assumed(page, material)
    page.print_setup("portrait")


def _this_book(page: Page, book: Book, material: Material) -> None:
    """Version, date of the build, record, and what was changed by hand since."""
    told = material.provenance
    page.heading("This book")
    page.told("Built", f"On {in_words(told.built_on)}, by {PRODUCT} {__version__}, in {book.system} units.")
    page.told("Its record", f"{'; '.join(told.record_from)}. It ends on {in_words(told.record_until)}.")
    page.result_again(papers.COUNTED, changes.TOLD)


def in_words(day: date) -> str:
    """A day as the book's sentences tell it."""
    return f"{day.day} {MONTH_NAMES[day.month - 1]} {day.year}"


def _assumed(page: Page, material: Material) -> None:
    """Every input that stands at its default because nobody gave it, with a link to its cell."""
    page.heading("Taken as usual, because the site file does not give it")
    page.paragraph(
        "A click on a name leads to its cell; Sources says where each comes from. The most telling to know better stand"
        " on Well."
    )
    told = [given for given in material.assumed if _tells(given, material)]
    page.inputs_again(sorted(told, key=lambda given: given in tank_base.INPUTS))  # the well before the slab


def _tells(given: Input, material: Material) -> bool:
    """Whether the default says something in this book."""
    if given.unit is Unit.TEXT and given.choices is None:
        return False
    if given in tank_base.INPUTS and material.values.get("base_tank_diameter") is None:
        return False  # no base is reckoned
    return given.name != "rain_height_limit" or bool(material.credits)  # a limit of stations
