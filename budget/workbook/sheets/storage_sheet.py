"""Storage: tank, roof and pond, the tank's service between the frosts, the level kept for the house, hauling."""

from budget.water import frosts, hauling, pond, roof, service, tank
from budget.water.nouns import LISTS
from budget.workbook.applications import Tables
from budget.workbook.book import Book
from budget.workbook.charts import year_beside_year
from budget.workbook.material import Material
from budget.workbook.page import Page
from budget.workbook.styles import LEAF, SET_ONCE, WATER

POND_CHART = "Level of the pond"
ALTERNATIVES = {
    POND_CHART: "Two lines by month: depth of water in the pond at each month's end, in the planning year and in the"
    " middle year.",
}
POND_YEARS = (("plan", "Planning year", WATER), ("middle", "Middle year", LEAF))
TANK_CAUTION = (
    "A full tank is heavy: its weight stands below. It needs a level, firm base that its maker and the local building"
    " office accept: see Tank base. Keep the lid locked, never enter it. Fill it from the haulier's hose with an air"
    " gap, and lead its overflow away from the base."
)
ROOF_CAUTION = (
    "Roof water is not drinking water: never lead it into the house's pipes without treatment and a backflow preventer"
    " that the local code accepts. Some places limit what may be caught. Leave out roofs with lead, tar, moss killer or"
    " treated wood where the garden feeds people."
)
POND_CAUTION = (
    "Ponds drown children and animals: a fence, or banks flat enough to climb out. A dam or a large pond needs a"
    " permit, a spillway and an engineer in most places. Pond water is not for drinking, nor for salads without"
    " washing; a pump's strainer wants to hang clear of the mud. One pond; several may stand here as one."
)


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet."""
    page = Page(
        book,
        "Storage",
        "Storage",
        "Tank, roof and pond: what they hold, when they may hold it, and what is kept for the house.",
        SET_ONCE,
    )
    page.widths(B=40, C=14, D=20)
    page.edge = 13
    page.paragraph(TANK_CAUTION, "caution")
    page.heading("Tank")
    page.inputs(tank.INPUTS, material.values)
    page.results([*tank.RESULTS, *tank.LEFT])
    page.heading("In service")
    page.inputs(service.INPUTS, material.values)
    page.results([*service.RESULTS, *frosts.OF_TANK])
    page.heading("Hauling")
    page.inputs(hauling.INPUTS, material.values)
    page.new_sheet_of_paper()
    page.heading("Filling months, and the level kept for the house")
    page.table(tables["storage_months"], labels=("Month", tables["calendar"].data["month_name"]))
    write_roof(page, tables, material)
    page.new_sheet_of_paper()
    write_pond(page, material)
    page.print_setup("landscape")
    page.heading("Table of roofs")
    page.table(tables["roof_table"])
    page.heading("Table of pond soils")
    page.table(tables["pond_soils"])
    page.heading("Workings of the roofs")
    page.table(tables["roof_workings"])


def write_roof(page: Page, tables: Tables, material: Material) -> None:
    """The roofs, and where their rain goes."""
    page.heading("Roof: rain for the house's tank, or for a tank of the garden's own")
    page.paragraph(ROOF_CAUTION, "caution")
    page.inputs(roof.INPUTS, material.values)
    page.results(roof.RESULTS)
    page.list_of(tables, LISTS["roofs"])


def write_pond(page: Page, material: Material) -> None:
    """The pond, and its level through the year."""
    page.heading("Pond: water for the garden before the well")
    page.paragraph(POND_CAUTION, "caution")
    page.inputs(pond.INPUTS, material.values)
    page.results(pond.RESULTS)
    page.row += 1
    page.chart(lambda: year_beside_year(page, POND_CHART, "pond_level", POND_YEARS, "Depth of water", (16.5, 7.5)), "B")
    page.row += 16
