"""Garden: zones, crops, and the crop coefficient of each month. Set once, changed by hand at any time."""

from budget.workbook.applications import Tables
from budget.workbook.book import Book
from budget.workbook.material import Material
from budget.workbook.page import Page
from budget.workbook.styles import SET_ONCE


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet."""
    page = Page(book, "Garden", "Garden", "What beds, fruit and grass ask for, watered in the order listed.", SET_ONCE)
    page.widths(B=28, C=26, **{letter: 12 for letter in "DEFGHIJKLMNO"})
    page.edge = 15
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
    page.table(tables["zones"])
    for title, names, months in (
        ("Kc by hand", tables["garden_names"], tables["garden_kc"]),
        ("Kc in use", tables["garden_names_again"], tables["crop_coefficients"]),
    ):
        page.heading(title)
        page.named_before(names, months, span=2)
    page.print_setup("landscape")
    page.heading("Table of crops")
    page.table(tables["crops"])
    page.heading("How Kc runs through the year")
    numbered = [f"zone {number + 1}" for number in range(tables["zones"].rows.size)]
    page.table(tables["kc_workings"], labels=("Zone", numbered))
    page.freeze()
