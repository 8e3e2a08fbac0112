"""How a sheet comes out on paper: what is printed, how large, where a sheet of paper ends, what stands at its foot.

Breaks between pages are not kept where a program fits the pages: sheets with breaks print at a scale that is reckoned
from the columns' widths.
"""

from openpyxl.utils import get_column_letter
from openpyxl.worksheet.page import PageMargins
from openpyxl.worksheet.pagebreak import Break
from openpyxl.worksheet.properties import PageSetupProperties

from budget.workbook.cells import LABEL, Cells

NARROWER = {"portrait": 8.27, "landscape": 11.0}  # inches: of A4 and Letter, the paper that is less wide
MARGIN = 0.5  # inches, at either side


def print_area(cells: Cells, right: int, bottom: int) -> None:
    """Print down to the row `bottom` and up to the column `right`; what stands outside is left out.

    One area alone: Gnumeric saves a second as an error.
    """
    cells.sheet.print_area = f"B1:{get_column_letter(right)}{bottom}"


def fit_pages(cells: Cells, across: int, down: int) -> None:
    """Make the print so many pages wide and high; 0: as many as it takes."""
    setup = cells.sheet.page_setup
    setup.fitToWidth, setup.fitToHeight = across, down
    cells.sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)


def fit_scale(cells: Cells, orientation: str, right: int) -> None:
    """Print so small that the columns up to `right` stand on one page; never enlarged."""
    wide = sum(_inches(cells.width(column)) for column in range(LABEL, right + 1))
    room = NARROWER[orientation] - 2 * MARGIN
    cells.sheet.page_setup.scale = max(10, min(100, int(96 * room / wide)))  # percent, with some room to spare


def _inches(width: float) -> float:
    """Width of a column on paper, of a width counted in digits of 7 dots and 5 dots of edge, 96 dots to the inch."""
    return (7 * width + 5) / 96


def lay_on_paper(cells: Cells, orientation: str) -> None:
    """Turn the paper; margins, and at the foot sheet, place and page."""
    sheet = cells.sheet
    sheet.page_setup.orientation = orientation
    sheet.page_margins = PageMargins(left=MARGIN, right=MARGIN, top=0.5, bottom=0.8, footer=0.4)
    sheet.oddFooter.left.text = "&A"
    sheet.oddFooter.center.text = cells.book.place.replace("&", "&&")
    sheet.oddFooter.right.text = "page &P of &N"


def repeat_rows(cells: Cells, first: int, last: int) -> None:
    """Print these rows at the top of every page."""
    cells.sheet.print_title_rows = f"{first}:{last}"


def repeat_columns(cells: Cells, first: int, last: int) -> None:
    """Print these columns at the left of every page."""
    cells.sheet.print_title_cols = f"{get_column_letter(first)}:{get_column_letter(last)}"


def break_above(cells: Cells, row: int) -> None:
    """Begin a new sheet of paper with this row."""
    cells.sheet.row_breaks.append(Break(id=row - 1))
