"""Well: bore, pump, soil, recovery test, depths to water, and the dry spells that the family remembers. Set once."""

from budget.water import dips, dry_spells, pump, recovery_test, soil, water_table, well
from budget.water.nouns import LISTS
from budget.workbook.applications import Tables
from budget.workbook.book import Book
from budget.workbook.charts import Drawn, points
from budget.workbook.material import Material
from budget.workbook.page import Page
from budget.workbook.rows import MONTH_NAMES
from budget.workbook.styles import EARTH, LEAF, RUST, SET_ONCE, SOFT, WATER

RECOVERY_CHART = "Recovery test: the well comes back"
DEPTH_CHART = "Depth to water through the year"
ALTERNATIVES = {
    RECOVERY_CHART: "Points: drawdown on a logarithmic axis against minutes since the pump stopped, those left out"
    " crosses; a straight line through those that count.",
    DEPTH_CHART: "Lines by month: depth to water in the planning year and in the middle year, and the allowed pumping"
    " depth; points: the dips that were measured. Deeper is lower.",
}


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet."""
    page = Page(
        book, "Well", "Well", "How fast water enters, how deep the pump may draw, how the water table moves.", SET_ONCE
    )
    page.widths(B=40, C=14, D=14, E=20, F=14, G=14, I=15, J=15)
    page.edge = 13
    page.paragraph(
        "Never enter a dug well: the air in it can kill. Cut the power before you touch the pump; keep the cover on."
        " Stay by the pump during a test, and stop it before it draws air. Set a low-level cut-off no deeper than the"
        " allowed pumping depth below. Wiring is for a licensed electrician, a new bore for a licensed driller.",
        "caution",
    )
    page.heading("Well")
    page.inputs(well.INPUTS, material.values)
    page.results(well.RESULTS)
    page.heading("Pump")
    page.inputs(pump.INPUTS, material.values)
    page.results(pump.RESULTS)
    page.new_sheet_of_paper()
    write_recovery(page, tables, material)
    page.new_sheet_of_paper()
    write_depths(page, tables, material)
    page.new_sheet_of_paper()
    write_memory(page, tables)
    page.new_sheet_of_paper()
    page.heading("Soil and land around the well")
    page.inputs(soil.INPUTS, material.values)
    page.results(soil.RESULTS)
    page.heading("Water table, fitted to the depths")
    page.inputs(water_table.FITTED, material.values)
    page.inputs(water_table.FIT_SETTINGS, material.values)
    page.results([*dips.RESULTS, *water_table.RESULTS])
    page.print_setup("landscape", right=page.edge)
    page.heading("Table of soils")
    page.table(tables["soils"])
    write_workings(page, tables)


def write_recovery(page: Page, tables: Tables, material: Material) -> None:
    """The recovery test: readings, what becomes of them, the line."""
    page.heading("Recovery test: pump the well down, stop, and read the depth as the water comes back")
    page.inputs(recovery_test.INPUTS, material.values)
    page.results(recovery_test.RESULTS)
    top = page.row
    page.list_of(tables, LISTS["recovery"])
    series = (
        Drawn("recovery_workings", "drawn_minutes", "drawn_drawdown", "Readings that count", WATER, points=True),
        Drawn("recovery_workings", "left_out_minutes", "drawn_drawdown", "Left out", SOFT, points=True, symbol="x"),
        Drawn("recovery_workings", "line_minutes", "line_drawdown", "Fitted line", RUST),
    )
    page.chart_at(
        top + 2,
        "I",
        lambda: points(
            page, RECOVERY_CHART, series, "Minutes since the pump stopped", "Drawdown", lowest=0, logarithmic=True
        ),
    )


def write_depths(page: Page, tables: Tables, material: Material) -> None:
    """Depths to water: the two of a usual year, the dips, the months."""
    page.heading("Depth to water, as measured")
    page.inputs(water_table.INPUTS, material.values)
    top = page.row
    page.list_of(tables, LISTS["dips"])
    series = (
        Drawn("month_workings", "drawn_day", "planning_depth", "Planning year", WATER),
        Drawn("month_workings", "drawn_day", "middle_year_depth", "Middle year", LEAF, dash="dash"),
        Drawn("month_workings", "drawn_day", "allowed_depth", "Allowed pumping depth", RUST, dash="sysDot"),
        Drawn("dip_workings", "drawn_day", "drawn_depth", "Dips", EARTH, points=True),
    )
    page.chart_at(
        top + 2,
        "I",
        lambda: points(page, DEPTH_CHART, series, "Month", "Below the ground", of_a_year=True, downwards=True),
    )
    page.new_sheet_of_paper()
    page.heading("By calendar month")
    page.table(tables["well_months"], labels=("Month", MONTH_NAMES))


def write_memory(page: Page, tables: Tables) -> None:
    """Dry spells remembered, and how each share of the inflow would fit them."""
    page.heading("Dry spells remembered, from years without a tank")
    page.paragraph(
        "One line a year that somebody remembers, dry or not. The years are run again without a tank, with today's"
        " house and garden, at several shares of the inflow kept through a season. What fits best also takes up the"
        " error of the water table: it holds for this fit only. The share in use stays yours to choose, above."
    )
    page.list_of(tables, LISTS["remembered"])
    page.results([result for result in dry_spells.RESULTS if result.name != "memory_sentence"])
    page.row += 1
    page.table(tables["shares"], labels=("Share of the inflow", tables["shares"].rows.labels))


def write_workings(page: Page, tables: Tables) -> None:
    """What stands behind the tables above, outside the print."""
    page.heading("Workings of the recovery test")
    page.table(tables["recovery_workings"], labels=("Reading", range(1, tables["recovery"].rows.size + 1)))
    page.heading("Workings of the dips")
    page.table(tables["dip_workings"], labels=("Dip", range(1, tables["dips"].rows.size + 1)))
    page.heading("Workings of the calendar months")
    page.table(tables["month_workings"], labels=("Month", MONTH_NAMES))
    page.heading("Workings of the dry spells: the years run again without a tank")
    top = page.row
    spells = page.table(tables["spell_workings"], top=top)
    scores_left = spells.first_column + len(tables["spell_workings"].columns)
    page.table(tables["memory_scores"], top=top, left=scores_left)
    page.table(tables["share_totals"])
    page.table(tables["share_workings"], labels=("Share of the inflow", tables["shares"].rows.labels))
    top = page.row
    months = page.table(tables["spell_months"], top=top)
    page.table(tables["memory_trials"], top=top, left=months.first_column + len(tables["spell_months"].columns))
