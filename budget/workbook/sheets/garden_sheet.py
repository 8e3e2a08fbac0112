"""Garden: zones, crops, and the crop coefficient of each month. Set once, changed by hand at any time."""

from budget.workbook.applications import Material, Tables
from budget.workbook.page import Book
from budget.workbook.styles import WATER


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet."""
    page = book.page("Garden", "Garden", "What beds, fruit and grass ask for, watered in the order listed.", WATER)
    page.widths(B=30, C=26, D=11, E=11, F=11, G=11, H=11, I=11)
    page.paragraph(
        "A zone is an area, or a number of trees and their canopy width. Its crop gives the crop coefficient (Kc) of"
        " each month; a figure typed under 'Kc by hand' replaces it. Skip a zone by an area of 0."
    )
    page.heading("Zones")
    zones = page.table(tables.zones)
    names = [f"zone {number + 1}" for number in range(tables.zones.rows.size)]
    page.heading("Kc by hand")
    page.table(tables.garden_kc, labels=("Zone", names), title_height=18)
    page.heading("Kc in use")
    page.table(tables.crop_coefficients, labels=("Zone", names), title_height=18)
    page.print_setup("landscape", right=zones.first_column + len(tables.zones.columns) - 1)
    page.heading("Table of crops")
    page.table(tables.crops)
    page.heading("How Kc runs through the year")
    page.table(tables.kc_workings, labels=("Zone", names))
    page.freeze(zones, columns=1)
