"""Fill and drain: one page to hang in the pump house, with boxes to tick and room to write."""

from budget.water import checks, fill_and_drain, readings
from budget.workbook.applications import Tables
from budget.workbook.book import Book
from budget.workbook.cells import LABEL
from budget.workbook.material import Material
from budget.workbook.page import Page
from budget.workbook.styles import EVERY_YEAR

BEFORE_FILLING = (
    "Frost is over; drain and low valves closed, no crack, no leak",
    "Base level and firm, no washed-out edge; anchors tight",
    "Tank clean inside as seen from the hatch; screens whole, lid locks",
    "Disinfected and flushed as the health office says",
    "Suction line tight, pump primed; priming water kept by",
    "Low-level cut-off tried: it stops the pump",
    "Depth to water read, and a run timed: as in the table?",
)
WHILE_IN_USE = (
    "First full: base, fittings and overflow looked at for an hour",
    "Water tested before the house drinks it; date:",
    "On the first of each month: depth to water and tank level, in the columns above",
    "Once a month: rain typed on Readings",
)
AT_DRAINING = (
    "By the pipes' date: outlet, valve, level pipe, pump, suction line protected",
    "Tank's water used or led away from base and well; drain left open",
    "Power off and locked; then pump, lines and cut-off drained",
    "A frost-proof vessel filled for the house, if it runs short in winter",
    "Lid locked; an empty tank tied down against wind",
)
LOWER_END = (
    "Two lines a month, days 1 to 15 and the rest. What may be pumped, and the minutes, are those of the day in each"
    " line on which the well gives least; on its other days it gives a little more, which may be taken as well."
)
CAUTION = (
    "Lock the power off before you touch the pump. Stop at once when it draws air or the water turns cloudy: the well"
    " then has less than this page expects, so shorten the runs. Short runs many times a day want a float switch"
    " or a timer. Never enter well or tank. See Cautions."
)
PIPES = (
    "Pipes and tank freeze at different times. Before the pipes' date, all that is thin or stands still outdoors must"
    " be insulated, heated or drained alone, although the tank still holds water: its outlet, valve and level pipe,"
    " the pump and the suction line. Use heat cable as its maker says, on a circuit with a ground-fault breaker, never"
    " over itself; it fails with the power. Never thaw with a flame, and never start a pump that may be frozen."
)
PENCILLED = ("Depth to water, read", "Tank level, read", "Notes")
LEFT_BOX, RIGHT_BOX, FOLD = LABEL, 9, 8  # where the two columns of chores begin; the left one ends before the fold


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet."""
    page = Page(book, "Fill and drain", "Fill and drain", "One page for the pump-house wall.", EVERY_YEAR)
    page.widths(B=24, **{letter: 11.5 for letter in "CDEFGHIJK"}, L=13, M=13, N=20)
    page.note, page.edge = 5, 14
    page.sentence_again(readings.RESULTS[-1], "purpose")
    page.sentence_again(checks.STOP, "warning", height=30)
    page.paragraph(CAUTION, "caution")
    page.paragraph(LOWER_END)
    plan = page.table(tables["fill_and_drain"])
    page.pencil(plan, PENCILLED)
    page.heading("Dates of this year")
    page.results_beside([r for r in fill_and_drain.RESULTS if r.name != "use_first_sentence"], (2, 6, 10))
    page.sentences([r for r in fill_and_drain.RESULTS if r.name == "use_first_sentence"], "text", height=28)
    page.paragraph(PIPES, "caution")
    page.heading("Every year, what applies")
    top = page.row
    _chores(page, top, LEFT_BOX, FOLD, "Before filling", BEFORE_FILLING)
    _chores(page, top, RIGHT_BOX, page.edge, "While it is in use", WHILE_IN_USE)
    _chores(page, top + len(WHILE_IN_USE) + 1, RIGHT_BOX, page.edge, "Before frost", AT_DRAINING)
    page.print_setup("landscape", one_page=True)
    page.heading("Workings: what to use first")
    page.table(tables["use_first_verdicts"])


def _chores(page: Page, top: int, left: int, right: int, title: str, chores: tuple[str, ...]) -> None:
    """A list of chores, each with a box to tick."""
    page.put(top, left, title, "label")
    page.merge(top, left, right)
    for number, chore in enumerate(chores, 1):
        page.box(top + number, left, right, chore)
