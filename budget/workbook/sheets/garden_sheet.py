"""Garden: zones, crops, and the crop coefficient of each month. Set once, changed by hand at any time."""

from budget.water.nouns import LISTS
from budget.workbook.applications import Tables
from budget.workbook.book import Book
from budget.workbook.cells import LABEL
from budget.workbook.material import Material
from budget.workbook.page import Page
from budget.workbook.styles import SET_ONCE

FIRST_MONTH, LAST_MONTH = 10, 21  # the columns of the twelve months, after what is typed of a zone


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet."""
    page = Page(book, "Garden", "Garden", "What beds, fruit and grass ask for, watered in the order listed.", SET_ONCE)
    months = {letter: 7 for letter in "JKLMNOPQRSTU"}
    page.widths(B=24, C=24, **{letter: 10 for letter in "DEFGHI"}, **months, V=3, W=11, X=11, Y=11)
    page.edge = LAST_MONTH
    page.paragraph(
        "A zone is an area, or a number of trees and their canopy width. Its crop gives the crop coefficient (Kc) of"
        " each month; a figure typed under 'Kc by hand' replaces it. Skip a zone by an area of 0."
    )
    page.paragraph(
        "A hose or drip line that lies in soil, a butt or a pond can draw it back into the house's pipes: fit a"
        " backflow preventer that the local code accepts. Water of pond or roof is not for drinking: mark each tap.",
        "caution",
    )
    page.heading("Zones")
    page.list_of(tables, LISTS["garden"])
    page.heading("Kc in use")
    page.named_before(tables["garden_names"], tables["crop_coefficients"], span=FIRST_MONTH - LABEL)
    page.print_setup("landscape")
    page.heading("Table of crops")
    page.table(tables["crops"])
    page.heading("Workings of the zones")
    page.table(tables["zone_workings"])
    page.heading("How Kc runs through the year")
    numbered = [f"zone {number + 1}" for number in range(tables["zones"].rows.size)]
    page.table(tables["kc_workings"], labels=("Zone", numbered))
    page.freeze()
