"""Tank base: the slab under the storage tank, read before it is dug, with the engineer and the building office."""

from budget.water import ground, purchases, slab, tank_base, tank_shell, tap_head, wind
from budget.workbook.applications import Tables
from budget.workbook.book import Book
from budget.workbook.material import Material
from budget.workbook.page import Page
from budget.workbook.styles import SET_ONCE

CAUTIONS = (
    "A check to take to a licensed engineer and the building office, not a design: their word, permits and the tank"
    " maker's papers come first. The bending of the slab, its bars, the grip of anchors, frost in the ground and"
    " earthquakes are not reckoned.",
    "Call before you dig, and look up for power lines. Keep off slopes, edges of terraces, swelling clay and septic"
    " fields. Fresh or loose fill settles: compact in layers, and do not dig deeper than needed and fill up"
    " again. Wet concrete burns skin and eyes: gloves, boots, glasses. Never stand under or behind a tank that is being"
    " set. An empty tank is a sail: tie it down or put water in it the day it comes.",
)


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet."""
    page = Page(
        book, "Tank base", "Tank base", "What the storage tank stands on, and whether it stays there.", SET_ONCE
    )
    page.widths(B=40, C=10, D=18, E=77)
    page.edge = page.note
    for caution in CAUTIONS:
        page.paragraph(caution, "caution")
    page.sentences(tank_base.VERDICTS, "sentence", height=30)
    page.heading("Tank")
    page.inputs(tank_shell.INPUTS, material.values)
    page.results(tank_shell.RESULTS)
    page.heading("Ground")
    page.inputs(ground.INPUTS, material.values)
    page.results(ground.RESULTS)
    page.heading("Slab")
    page.inputs(slab.INPUTS, material.values)
    page.results(slab.RESULTS)
    page.new_sheet_of_paper()
    page.heading("What to buy")
    page.inputs(purchases.INPUTS, material.values)
    page.results(purchases.RESULTS)
    page.heading("Head at the tap")
    page.inputs(tap_head.INPUTS, material.values)
    page.results(tap_head.RESULTS)
    page.new_sheet_of_paper()
    page.heading("Wind on the empty tank")
    page.inputs(wind.INPUTS, material.values)
    page.results(wind.RESULTS)
    page.print_setup("portrait", right=page.edge)
    page.heading("Table of grounds")
    page.table(tables["bearing"])
    page.heading("Workings: the sentences at the top")
    page.results([wind.IN_WINTER])
    for name in ("ground_verdicts", "wind_verdicts", "tap_verdicts", "pump_verdicts"):
        page.table(tables[name])
