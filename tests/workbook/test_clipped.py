"""No text of any example is cut off by its cell; and the check that says so can fail."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from openpyxl import Workbook
from openpyxl.styles import Alignment, Font
from openpyxl.worksheet.worksheet import Worksheet

from budget.declarations import Check
from budget.units import DAY_FORMAT
from budget.water.checks import IN_ORDER
from tests.computed import Computed
from tests.workbook.clipped import Face, clipped, report, shown

LONG = "water in the tank at the month's end"


def test_nothing_printed_is_cut_off(example: Computed) -> None:
    found = clipped(example.book.workbook, example.values)
    assert list(report([one for one in found if one.printed])) == []


def test_findings_are_told_in_full(terrace: Computed) -> None:
    """All on Checks, and the longest of them on Answers, in the place of the verdict too."""
    said = {check.name: longest(check) for check in IN_ORDER if isinstance(check, Check)}
    cells = {check.result.name: said[check.name] for check in IN_ORDER if isinstance(check, Check)}
    gravest = sorted(said.values(), key=len)[-3:]
    assert len(gravest[-1]) > 200
    cells |= dict(zip(("finding_1", "finding_2", "finding_3"), gravest, strict=True))
    stops = max((said[check.name] for check in IN_ORDER if isinstance(check, Check) and check.grade == "stop"), key=len)
    cells["verdict"] = f"Do not trust this book yet. {stops}"
    cells["findings_told"] = "Findings of the checks: 123; to be put right first: 123. Hidden by errors: 123."
    names = terrace.book.directory.names
    values = terrace.values | {names[name]: text for name, text in cells.items()}
    found = clipped(terrace.book.workbook, values)
    assert list(report([one for one in found if one.printed])) == []


def longest(check: Check) -> str:
    """What a check says, all alternatives one behind the other; where it tells names, a long one."""
    constant = " ".join(re.findall('"([^"]*)"', check.sentence))
    return (
        f"{constant} Well: Recovered where less of the drawdown is left than" if "title" in check.sentence else constant
    )


def small_sheet() -> tuple[Workbook, Worksheet]:
    """A sheet whose cell B2 holds a long text in Arial 10, in a column of 10 digits: 75 pixels, 52.5 points of room."""
    workbook = Workbook()
    sheet = workbook.active
    assert isinstance(sheet, Worksheet)
    for letter in "ABCD":
        sheet.column_dimensions[letter].width = 10
    sheet["B2"].value = LONG
    sheet["B2"].font = Font(name="Arial", size=10)
    return workbook, sheet


def beside(sheet: Worksheet) -> None:
    sheet["C2"].value = "x"


def between(sheet: Worksheet) -> None:
    """The text has 52.5 points of its own column and as many of the next, and needs some 160."""
    sheet["D2"].value = "x"


def edge_of_the_print(sheet: Worksheet) -> None:
    sheet.print_area = "A1:C9"


def right_at_the_edge(sheet: Worksheet) -> None:
    """To the left there is one column only."""
    sheet["B2"].alignment = Alignment(horizontal="right")


def low_row(sheet: Worksheet) -> None:
    sheet["B2"].alignment = Alignment(wrap_text=True)
    sheet.row_dimensions[2].height = 25


def merged(sheet: Worksheet) -> None:
    """Two columns wide, and the row does not grow with merged cells."""
    sheet["B2"].alignment = Alignment(wrap_text=True)
    sheet.merge_cells("B2:C2")


def broken(sheet: Worksheet) -> None:
    sheet["B2"].value = "evapotranspiration"
    sheet["B2"].alignment = Alignment(wrap_text=True)


def number(sheet: Worksheet) -> None:
    sheet["B2"].value = 1234567890.0
    sheet["B2"].number_format = "#,##0"


def large(sheet: Worksheet) -> None:
    sheet["B2"].value = "x"
    sheet["B2"].font = Font(name="Arial", size=18)
    sheet.row_dimensions[2].height = 20


FAULTS: list[tuple[Callable[[Worksheet], None], str]] = [
    (beside, "width"),
    (between, "width"),
    (edge_of_the_print, "width"),
    (right_at_the_edge, "width"),
    (low_row, "height"),
    (merged, "height"),
    (broken, "word"),
    (number, "number"),
    (large, "height"),
]


@pytest.mark.parametrize(("change", "how"), FAULTS, ids=[change.__name__ for change, _ in FAULTS])
def test_what_is_cut_off_is_told(change: Callable[[Worksheet], None], how: str) -> None:
    workbook, sheet = small_sheet()
    change(sheet)
    assert [(one.cell, one.how) for one in clipped(workbook, {}) if one.cell == "B2"] == [("B2", how)]


def test_what_has_room_is_not_told() -> None:
    """It flows over empty cells; wrapped, its row grows; merged over enough columns, it stands in one line."""
    workbook, sheet = small_sheet()
    assert clipped(workbook, {}) == []
    sheet["B2"].alignment = Alignment(wrap_text=True)
    assert clipped(workbook, {}) == []
    sheet.row_dimensions[2].height = 60  # five lines of 12 points
    assert clipped(workbook, {}) == []
    sheet.row_dimensions[2].height = 12
    sheet.merge_cells("B2:E2")
    assert clipped(workbook, {}) == []


def test_hidden_cells_do_not_count() -> None:
    for hide in ("row", "column"):
        workbook, sheet = small_sheet()
        beside(sheet)
        if hide == "row":
            sheet.row_dimensions[2].hidden = True
        else:
            sheet.column_dimensions["B"].hidden = True
        assert clipped(workbook, {}) == []


def test_formulas_count_by_their_values() -> None:
    """And a formula beside, even one that comes to nothing, stops the text."""
    workbook, sheet = small_sheet()
    sheet["B2"].value = "=1+1"
    sheet["C2"].value = '=""'
    values = {("Sheet", 2, 2): LONG, ("Sheet", 2, 3): ""}
    assert [one.text for one in clipped(workbook, values)] == [LONG]


@pytest.mark.parametrize(
    ("value", "number_format", "text"),
    [
        (1234.5, "#,##0.0", "1,234.5"),
        (0.305, "0%", "30%"),
        (7.0, "[<10]0.0;#,##0", "7.0"),
        (1234.0, "[<10]0.0;#,##0", "1,234"),
        (-0.0035, "0.0000", "-0.0035"),
        (40000.0, DAY_FORMAT, "0000-00-00"),
        (0.0, "0.00;-0.00;", ""),
        (0.0, '[=0]"";[<10]0.0;#,##0', ""),
        (6.25, '[=0]"";[<10]0.0;#,##0', "6.2"),
        (15.5, '[=0]"";[<10]0.0;#,##0', "16"),
    ],
)
def test_numbers_are_written_by_their_format(value: float, number_format: str, text: str) -> None:
    assert shown(value, number_format) == (text, True)


def test_widths_are_those_of_the_font() -> None:
    """Helvetica and Arial: ten digits are 5.56 times the size wide, regular and bold (Adobe font metrics, recalled)."""
    for bold in (False, True):
        face = Face(10, bold, False, "general", 0, "General")
        assert round(face.width("0123456789"), 1) == 55.6
