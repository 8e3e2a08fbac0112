"""Well: bore, pump, soil, and the water table that was fitted to the measured depths. Set once."""

from budget.water import pump, soil, water_table, well
from budget.workbook.applications import Material, Tables
from budget.workbook.page import Book
from budget.workbook.styles import WATER


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet."""
    page = book.page(
        "Well", "Well", "How fast water enters, how deep the pump may draw, how the water table moves.", WATER
    )
    page.widths(B=40, C=14, D=16)
    page.paragraph(
        "Never enter a dug well: the air in it can kill. Cut the power before you touch the pump; keep the cover on.",
        "caution",
    )
    page.heading("Well")
    page.inputs(well.INPUTS, material.values)
    page.results(well.RESULTS)
    page.heading("Pump")
    page.inputs(pump.INPUTS, material.values)
    page.results(pump.RESULTS)
    page.heading("Depth to water, as measured")
    page.inputs(water_table.INPUTS, material.values)
    page.heading("Soil and land around the well")
    page.inputs(soil.INPUTS, material.values)
    page.results(soil.RESULTS)
    page.heading("Water table, fitted to the depths")
    page.inputs(water_table.FITTED, material.values)
    page.inputs(water_table.FIT_SETTINGS, material.values)
    page.results(water_table.RESULTS)
    page.heading("Depth to water in the median year")
    page.table(tables.depths, labels=("Month", tables.calendar.data["month_name"]))
    page.print_setup("portrait", right=page.edge)
    page.heading("Table of soils")
    page.table(tables.soils)
