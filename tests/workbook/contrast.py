"""How far two colours stand apart in lightness, and what of a book's cells and charts does not stand out enough.

Relative luminance and contrast ratio are those of the Web Content Accessibility Guidelines (WCAG) 2.2, W3C
Recommendation of 2023: 4.5 to 1 for text (success criterion 1.4.3), 3 to 1 for parts of charts (1.4.11). Luminance is
what grey print keeps of a colour.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, pairwise

from openpyxl import Workbook
from openpyxl.cell import Cell
from openpyxl.chart.series import Series
from openpyxl.utils import range_boundaries

OF_TEXT, OF_CHARTS = 4.5, 3.0
PAPER = "FFFFFF"
AUTOMATIC = "000000"  # what a program takes where a font names no colour


def luminance(colour: str) -> float:
    """Relative luminance of a colour of six hexadecimal digits: 0 black, 1 white."""
    parts = (int(colour[at : at + 2], 16) / 255 for at in (0, 2, 4))
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """The contrast ratio of two colours, from 1 to 21."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


# ---------------------------------------------------------------- cells


def faint_texts(book: Workbook) -> list[str]:
    """Cells whose text does not stand out from its ground, also where a condition colours that; one a look."""
    return [
        f"{where}: {text} on {ground}, {contrast(text, ground):.2f}"
        for where, text, ground in texts(book)
        if contrast(text, ground) < OF_TEXT
    ]


def texts(book: Workbook) -> Iterator[tuple[str, str, str]]:
    """A cell, the colour of its text and that of its ground, once for each pair of a sheet."""
    for sheet in book.worksheets:
        conditions = [
            (range_boundaries(str(area)), rule.dxf.fill.bgColor.rgb[-6:])
            for formatted in sheet.conditional_formatting
            for area in formatted.sqref.ranges
            for rule in formatted.rules
            if rule.dxf is not None and rule.dxf.fill is not None
        ]
        seen: dict[tuple[str, str], str] = {}
        looks: dict[bytes, tuple[str, str]] = {}  # by style, because openpyxl takes long to tell them
        for cell in sheet._cells.values():
            if cell.value in (None, ""):
                continue
            style = bytes(cell._style)
            if style not in looks:
                looks[style] = text_colour(cell), own_ground(cell)
            text, own = looks[style]
            for ground in (own, *grounds_at(cell, conditions)):
                seen.setdefault((text, ground), f"{sheet.title}!{cell.coordinate}")
        for (text, ground), where in seen.items():
            yield where, text, ground


def grounds_at(cell: Cell, conditions: list[tuple[tuple[int, int, int, int], str]]) -> Iterator[str]:
    """The colours that conditions may give the ground of a cell."""
    for (left, top, right, bottom), colour in conditions:
        if left <= cell.column <= right and top <= cell.row <= bottom:
            yield colour


def text_colour(cell: Cell) -> str:
    """The colour of a cell's text. Raises ValueError where it is none of our own, but a theme's."""
    colour = cell.font.color
    if colour is None or (colour.type == "theme" and colour.theme == 1):
        return AUTOMATIC
    if colour.type != "rgb":
        raise ValueError(f"{cell.parent.title}!{cell.coordinate} has a text of colour {colour.type}")
    return str(colour.rgb)[-6:]


def own_ground(cell: Cell) -> str:
    """The colour of a cell's ground."""
    return str(cell.fill.fgColor.rgb)[-6:] if cell.fill.fill_type == "solid" else PAPER


# ---------------------------------------------------------------- charts


def unclear_series(book: Workbook) -> list[str]:
    """Series of charts that do not stand out from the paper, or not from one another."""
    found = []
    for sheet in book.worksheets:
        for number, chart in enumerate(sheet._charts, 1):
            columns = [s for part in chart._charts if part.tagname == "barChart" for s in part.series]
            lines = [s for part in chart._charts if part.tagname != "barChart" for s in part.series]
            found += [f"{sheet.title}, chart {number}: {fault}" for fault in unclear(columns, lines)]
    return found


def unclear(columns: list[Series], lines: list[Series]) -> Iterator[str]:
    """What is unclear in a chart of stacked columns, lines and points."""
    beds = [series for series in lines if columns and drawn_colour(series) == PAPER]
    lines = [series for series in lines if not columns or drawn_colour(series) != PAPER]
    areas = [str(series.graphicalProperties.solidFill.srgbClr) for series in columns]
    for colour in [*areas, *(drawn_colour(series) for series in lines)]:
        if contrast(colour, PAPER) < OF_CHARTS:
            yield f"{colour} on paper, {contrast(colour, PAPER):.2f}"
    for below, above in pairwise(areas):
        if contrast(below, above) < OF_CHARTS:
            yield f"{below} beside {above}, {contrast(below, above):.2f}"
    for one, other in combinations(lines, 2):
        apart = contrast(drawn_colour(one), drawn_colour(other)) >= OF_CHARTS
        if not apart and pattern(one) == pattern(other):
            yield f"{drawn_colour(one)} and {drawn_colour(other)} are both {pattern(one)}"
    for series in lines:
        for area in areas:
            if contrast(drawn_colour(series), area) < OF_CHARTS and not has_bed_against(series, beds, area):
                yield f"{drawn_colour(series)} is lost over {area}"


def drawn_colour(series: Series) -> str:
    """The colour of a line, or that of points, which LibreOffice draws without their edge."""
    if is_line(series):
        return str(series.graphicalProperties.ln.solidFill.srgbClr)
    return str(series.marker.spPr.solidFill.srgbClr)


def is_line(series: Series) -> bool:
    return not series.graphicalProperties.ln.noFill


def pattern(series: Series) -> tuple[str, str]:
    """What tells a series from another without its colour: the dash of a line, the shape of points."""
    if is_line(series):
        return "line", str(series.graphicalProperties.ln.prstDash)
    return "points", str(series.marker.symbol)


def has_bed_against(series: Series, beds: list[Series], area: str) -> bool:
    """Whether a line lies on a wider one of the same values, which stands out from the line and from the area below."""
    return any(
        bed.val.numRef.f == series.val.numRef.f
        and bed.graphicalProperties.ln.w >= 2 * series.graphicalProperties.ln.w
        and min(contrast(drawn_colour(bed), drawn_colour(series)), contrast(drawn_colour(bed), area)) >= OF_CHARTS
        for bed in beds
    )
