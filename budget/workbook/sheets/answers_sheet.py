"""Answers: the sheet that a family reads. What to do, by when, and what happens in a dry year."""

from budget.water import answers, checks, dry_spells, readings, years_of_record
from budget.workbook.applications import Tables
from budget.workbook.book import Book
from budget.workbook.cells import LABEL, VALUE
from budget.workbook.charts import columns_and_line, lines
from budget.workbook.material import Material
from budget.workbook.page import Page
from budget.workbook.styles import EARTH, EVERY_YEAR, MEADOW, RUST, WATER
from budget.workbook.text_size import height_of

TANK_CHART = "Level of the tank"
DEMAND_CHART = "Demand and well yield"
ALTERNATIVES = {
    TANK_CHART: "Lines by month of the planning year: what the tank holds at each month's end, and the level the house"
    " requires by then.",
    DEMAND_CHART: "Columns by month of the planning year: household and garden demand stacked; a line: the safe yield"
    " of the well.",
}

RIGHT = VALUE  # the column in which what the checks find begins
HALF = (10.7, 7.8)  # cm: two charts side by side over the width of the page

LEANS = (
    "An estimate. Stepped by days, an invented example comes within a tenth of it; other places lean to either side."
    " Pumping is taken not to lower the water table itself. Beside what is expected stand the same year with less and"
    " with more water: water table and share of the inflow off by their errors on Well, the plan held. Keep a reserve."
)

SENTENCES = [*answers.RESULTS, *(result for result in dry_spells.RESULTS if result.name == "memory_sentence")]


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet."""
    page = Page(book, "Answers", "Answers", "What to do, by when, and what happens in a dry year.", EVERY_YEAR)
    page.widths(B=38, C=9, D=21, E=21, F=21, G=21, H=96)
    page.note, page.edge = 8, 7
    page.inputs(years_of_record.INPUTS, material.values)
    page.sentences([result for result in readings.RESULTS if result.name == "plan_told"], "text", height=18)
    page.sentences(SENTENCES[:1], "sentence", height=height_of(3))  # what stops may be long, or this year's own rain
    page.sentences(SENTENCES[1:], "sentence")
    page.row += 1
    _findings(page)
    page.row += 1
    page.table(tables["answers"])
    page.row += 1
    levels, colours = ("stored", "required_at_end"), (WATER, RUST)
    page.chart(lambda: lines(page, TANK_CHART, "plan", levels, colours, "Above the outlet", HALF), "B")
    needs, shades = ("house_need", "garden_need"), (EARTH, MEADOW)
    page.chart(
        lambda: columns_and_line(page, DEMAND_CHART, "plan", needs, shades, "well_yield", WATER, "In the month", HALF),
        "E",
    )
    page.row += 16
    page.print_setup("portrait", one_page=True)
    page.heading("Workings: the sentences at the top")
    page.results([*answers.PARTS, *dry_spells.PARTS], lines=2)
    page.table(tables["answer_words"])
    page.table(tables["verdicts"])
    page.table(tables["dry_year_verdicts"])
    page.table(tables["memory_verdicts"])


def _findings(page: Page) -> None:
    """What the checks find, the gravest first, and to its left how far the answers are to be trusted."""
    top = page.row
    page.sentence_at(checks.FINDINGS_TOLD, top, RIGHT, page.edge - 1, "sentence")
    page.link("All on Checks", "Checks", top, page.edge)
    page.height(top, height_of(2, 0))
    for row, finding in enumerate(checks.GRAVEST, top + 1):
        page.sentence_at(finding, row, RIGHT, page.edge, "finding")
        page.height(row, 34)  # three lines of its size
    page.row += 1 + len(checks.GRAVEST)
    page.paragraph_at(top, page.row - 1, LABEL, LABEL, LEANS, "aside")
