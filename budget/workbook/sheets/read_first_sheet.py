"""Read first: for someone who opens the book for the first time, or once a year. Short."""

from budget.units import Unit
from budget.workbook.applications import Material, Tables
from budget.workbook.page import LABEL, NOTE, UNIT, VALUE, Book
from budget.workbook.styles import EARTH, Role

STEPS = (
    "Look at Answers: it says when to start filling, how hard the well may be pumped, and when the water runs out.",
    "Change what is yours in the cells that look like the sample below: people and uses on Household, beds and trees"
    " on Garden, well and pump on Well, tank and dates on Storage. Everything else follows at once.",
    "On Answers choose how dry a year to plan for, or a year of the record by its number.",
    "Before each spring fill, measure the depth to water and look whether the well still matches Well.",
    "When something under the ground changed (a deeper well, another soil), put it into the site file and build again:"
    " that fits the water table anew. A build reads the site file alone: copy what you changed by hand into it first."
    " The old book is kept beside the new one.",
)
MAP = (
    ("Answers", "What to do, and by when"),
    ("Household", "People and animals, and what they use"),
    ("Garden", "Beds, fruit, grass"),
    ("Well", "Bore, pump, recovery test, depths, dry spells remembered, soil"),
    ("Storage", "Tank, dates, hauling, roof, pond"),
    ("Climate", "Rain and temperature, and what is known of them"),
    ("Plan year", "The year that is planned for, month by month"),
    ("Years", "Every year of the record"),
    ("Ledger", "Every month of the record"),
    ("Cautions", "Before you touch pump, well, tank or pond"),
    ("Sources", "Where every method and constant comes from"),
)
CELLS: tuple[tuple[Role, str, str], ...] = (
    ("input", "yours", "Typed by you. Each has a note and says what it accepts."),
    ("found", "found", "Found by the build from the record or the measured depths; yours to change."),
    ("result", "computed", "Computed. Locked, without a password."),
    ("warning", "warning", "Something to look at."),
)
CAUTION = (
    "This is an estimate from rain, not a measurement of your well. Never let the pump run dry; cut the power before"
    " you work on it; never enter a dug well. See Cautions. Local codes and licensed practice come first."
)


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet."""
    page = book.page(
        "Read first", "Year-round water budget", "When to fill the tank, and when the water runs out.", EARTH
    )
    page.widths(B=44, C=14, D=18, E=74)
    page.edge = page.note
    page.heading("How to use it")
    for number, step in enumerate(STEPS, 1):
        page.paragraph(f"{number}. {step}")
    page.heading("What the cells look like")
    for role, sample, meaning in CELLS:
        page.put(page.row, VALUE, sample, role)
        page.put(page.row, NOTE, meaning, "note")
        page.row += 1
    page.heading("The sheets")
    for sheet, purpose in MAP:
        page.link(sheet, sheet, page.row, LABEL)
        page.put(page.row, VALUE, None, "text")
        page.put(page.row, NOTE, purpose, "note")
        page.row += 1
    page.heading("Cautions in short")
    page.paragraph(CAUTION, "caution")
    page.heading("What the record is worth")
    for note in material.notes:
        page.paragraph(note)
    page.heading("Taken as usual because nothing was given")
    for given in material.assumed:
        page.put(page.row, LABEL, given.title, "label")
        page.put(page.row, UNIT, given.unit.label(book.system), "unit")
        value = material.values.get(given.name)
        fmt = "General" if given.unit is Unit.TEXT else given.unit.number_format(book.system)
        page.put(page.row, VALUE, "from the record" if value is None else value, "data", fmt)
        page.put(page.row, NOTE, given.source or given.found or given.meaning, "note")
        page.row += 1
    page.print_setup("portrait")
