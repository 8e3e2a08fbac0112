"""Native charts of the book, drawn from a year's months or from points.

Axis titles carry units. In grey print, columns are told apart by depth of colour, lines by their dashes, points by
their shape; a line that runs over columns lies on a wider one of the colour of the paper.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from openpyxl.chart import BarChart, LineChart, Reference, ScatterChart, Series
from openpyxl.chart._chart import ChartBase
from openpyxl.chart.data_source import AxDataSource, StrRef
from openpyxl.chart.layout import Layout, ManualLayout
from openpyxl.chart.legend import LegendEntry
from openpyxl.chart.marker import Marker
from openpyxl.chart.series import SeriesLabel
from openpyxl.chart.shapes import GraphicalProperties
from openpyxl.chart.text import RichText
from openpyxl.drawing.line import LineProperties
from openpyxl.drawing.text import CharacterProperties, Paragraph, ParagraphProperties
from openpyxl.utils import get_column_letter

from budget.units import serial
from budget.workbook.page import Page
from budget.workbook.placement import Placement, quoted
from budget.workbook.styles import LINE, PAPER

DASHES = ("solid", "dash", "sysDot")
# The year in which charts draw days of any year; its days as a spreadsheet numbers them. Steps of 31 days from the
# first of January fall into each month once, so that each is named once.
CHART_YEAR = (serial(date(2001, 1, 1)), serial(date(2001, 12, 31)))
MONTH_STEP = 31
Size = tuple[float, float]
LINE_WIDTH, BED_WIDTH = 28000, 76000  # 2.2 and 6 points, in the file's unit
WIDE, TALL = (16.5, 9.5), (11.5, 10.5)  # cm


@dataclass(frozen=True)
class Drawn:
    """One series of a chart of points: two columns of a table or its neighbours, as a line or as points."""

    table: str
    across: str
    up: str
    title: str
    colour: str
    points: bool = False
    symbol: str = "circle"
    dash: str = "solid"


def lines(
    page: Page, title: str, table: str, keys: Sequence[str], colours: Sequence[str], up: str, size: Size = WIDE
) -> ChartBase:
    """A line for each of the columns `keys` of a year's table; `up` names its upright axis, `size` is in cm."""
    chart = LineChart()
    placement = page.book.directory.placements[table]
    for index, (key, colour) in enumerate(zip(keys, colours, strict=True)):
        chart.series.append(_line(page, placement, key, colour, DASHES[index % len(DASHES)]))
    _dress(page, chart, title, placement, keys[0], up, size)
    return chart


def year_beside_year(
    page: Page, title: str, key: str, years: Sequence[tuple[str, str, str]], up: str, size: Size = WIDE
) -> ChartBase:
    """A line of the column `key` for each year: its table, its name, its colour."""
    chart = LineChart()
    placements = page.book.directory.placements
    for index, (table, name, colour) in enumerate(years):
        line = _line(page, placements[table], key, colour, DASHES[index % len(DASHES)])
        line.tx = SeriesLabel(v=name)
        chart.series.append(line)
    _dress(page, chart, title, placements[years[0][0]], key, up, size)
    chart.y_axis.number_format = "0.0"
    return chart


def columns_and_line(
    page: Page,
    title: str,
    table: str,
    keys: Sequence[str],
    colours: Sequence[str],
    line_key: str,
    line_colour: str,
    up: str,
    size: Size = WIDE,
) -> ChartBase:
    """Stacked columns for `keys` and a line for `line_key`, of a year's table."""
    placement = page.book.directory.placements[table]
    chart = BarChart()
    chart.type, chart.grouping, chart.overlap, chart.gapWidth = "col", "stacked", 100, 60
    for key, colour in zip(keys, colours, strict=True):
        series = _series(page, placement, key)
        series.graphicalProperties = GraphicalProperties(solidFill=colour)
        chart.series.append(series)
    line = LineChart()
    line.series.append(_line(page, placement, line_key, PAPER, "solid", BED_WIDTH))
    line.series.append(_line(page, placement, line_key, line_colour, "solid"))
    _dress(page, chart, title, placement, keys[0], up, size)
    chart += line
    chart.legend.legendEntry = [LegendEntry(idx=len(keys), delete=True)]  # the bed of the line has no name
    return chart


def points(
    page: Page,
    title: str,
    series: Sequence[Drawn],
    across: str,
    up: str,
    lowest: float | None = None,
    logarithmic: bool = False,
    of_a_year: bool = False,
    downwards: bool = False,
) -> ChartBase:
    """A chart of points and lines; `across` and `up` name its axes.

    Points left of `lowest`, or outside the chart's year where `of_a_year`, are not drawn. `downwards`: larger is lower.
    """
    chart = ScatterChart()
    chart.scatterStyle = "lineMarker"
    for drawn in series:
        chart.series.append(_points(page, drawn))
    first = series[0]
    directory = page.book.directory
    placement = directory.owner(first.up, directory.placements[first.table].table)
    _dress(page, chart, title, placement, first.up, up, TALL)
    chart.x_axis.title, chart.x_axis.majorGridlines = across, None
    chart.x_axis.number_format = "0"
    chart.y_axis.number_format = "0.0"
    if lowest is not None:
        chart.x_axis.scaling.min = lowest
    if of_a_year:
        chart.x_axis.scaling.min, chart.x_axis.scaling.max = CHART_YEAR
        chart.x_axis.majorUnit, chart.x_axis.number_format = MONTH_STEP, "mmm"
        chart.x_axis.title = None  # the months' names say it
    if logarithmic:
        chart.y_axis.scaling.logBase = 10
        chart.x_axis.crosses = "min"
    if downwards:
        chart.y_axis.scaling.orientation = "maxMin"
        chart.y_axis.scaling.min = 0
        chart.x_axis.crosses = "max"
    return chart


def _points(page: Page, drawn: Drawn) -> Series:
    directory = page.book.directory

    def column(key: str) -> Reference:
        placement = directory.owner(key, directory.placements[drawn.table].table)
        sheet = page.book.workbook[placement.sheet]
        row, at = placement.cell(key, 0, 0)
        return Reference(sheet, min_col=at, max_col=at, min_row=row, max_row=row + placement.table.rows.size - 1)

    series = Series(column(drawn.up), column(drawn.across), title=drawn.title)
    series.smooth = False
    if drawn.points:
        fill = GraphicalProperties(solidFill=drawn.colour, ln=LineProperties(solidFill=drawn.colour))
        series.marker = Marker(symbol=drawn.symbol, size=5, spPr=fill)
        series.graphicalProperties = GraphicalProperties(ln=LineProperties(noFill=True))
    else:
        series.marker = Marker(symbol="none")
        series.graphicalProperties = GraphicalProperties(
            ln=LineProperties(solidFill=drawn.colour, prstDash=drawn.dash, w=24000)
        )
    return series


def _series(page: Page, placement: Placement, key: str) -> Series:
    row, first = placement.cell(key, 0, 0)
    _, last = placement.cell(key, 0, placement.table.rows.size - 1)
    sheet = page.book.workbook[placement.sheet]
    values = Reference(sheet, min_col=first, max_col=last, min_row=row, max_row=row)
    series = Series(values, title=placement.table.column(key).title)
    labels = page.book.directory.owner("month_label", placement.table)
    label_row, _ = labels.cell("month_label", 0, 0)
    names = f"{quoted(labels.sheet)}!${get_column_letter(first)}${label_row}:${get_column_letter(last)}${label_row}"
    series.cat = AxDataSource(strRef=StrRef(names))
    return series


def _line(page: Page, placement: Placement, key: str, colour: str, dash: str, width: int = LINE_WIDTH) -> Series:
    series = _series(page, placement, key)
    series.graphicalProperties = GraphicalProperties(ln=LineProperties(solidFill=colour, prstDash=dash, w=width))
    series.marker.symbol = "none"
    series.smooth = False
    return series


def _dress(
    page: Page,
    chart: BarChart | LineChart | ScatterChart,
    title: str,
    placement: Placement,
    key: str,
    up: str,
    size: Size,
) -> None:
    unit = placement.table.column(key).unit.label(page.book.system)
    chart.title = title
    chart.title.overlay = False
    chart.title.tx.rich.paragraphs[0].pPr = ParagraphProperties(defRPr=CharacterProperties(sz=1200, b=True))
    for run in chart.title.tx.rich.paragraphs[0].r or []:
        run.rPr = CharacterProperties(sz=1200, b=True)
    chart.legend.position = "b"
    chart.legend.overlay = False
    chart.roundedCorners = False
    chart.visible_cells_only = False
    chart.x_axis.delete = chart.y_axis.delete = False
    chart.x_axis.title = "Month of the plan year"
    chart.y_axis.title = f"{up}, {unit}"
    chart.y_axis.number_format = "#,##0"
    chart.y_axis.majorGridlines.spPr = GraphicalProperties(ln=LineProperties(solidFill=LINE, w=6000))
    chart.width, chart.height = size
    small = RichText(
        p=[
            Paragraph(
                pPr=ParagraphProperties(defRPr=CharacterProperties(sz=800)),
                endParaRPr=CharacterProperties(sz=800),
            )
        ]
    )
    chart.x_axis.txPr = small
    chart.layout = Layout(manualLayout=ManualLayout(xMode="edge", yMode="edge", x=0.11, y=0.13, w=0.86, h=0.6))
