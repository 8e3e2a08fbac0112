"""Storage: the tank, its service between the frosts, the level kept for the house, hauling. Set once."""

from budget.water import hauling, service, tank
from budget.workbook.applications import Material, Tables
from budget.workbook.page import Book
from budget.workbook.styles import WATER


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet."""
    page = book.page(
        "Storage",
        "Storage",
        "What the tank holds, when it may hold it, and what is kept for the house.",
        WATER,
    )
    page.widths(B=40, C=14, D=18)
    page.paragraph(
        "A full tank is heavy: 1000 gal weigh 8,300 lb, a cubic metre a tonne. It needs a level, firm base that its"
        " maker and the local building office accept. Fill it from the haulier's hose with an air gap.",
        "caution",
    )
    page.heading("Tank")
    page.inputs(tank.INPUTS, material.values)
    page.results(tank.RESULTS)
    page.heading("In service")
    page.inputs(service.INPUTS, material.values)
    page.results(service.RESULTS)
    page.heading("Hauling")
    page.inputs(hauling.INPUTS, material.values)
    page.heading("Filling months, and the level kept for the house")
    page.table(tables.storage_months, labels=("Month", tables.calendar.data["month_name"]))
    page.print_setup("landscape")
