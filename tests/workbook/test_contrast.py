"""Every text and every part of a chart stands out from what is behind and beside it, also in grey print."""

from copy import deepcopy

import pytest
from openpyxl import Workbook
from openpyxl.formatting.rule import FormulaRule
from openpyxl.styles import Font, PatternFill

from budget.workbook.styles import CLAY, EARTH, LOOKS, MEADOW, RUST, SOFT, WATER, Look, Role
from tests.computed import EXAMPLES
from tests.conftest import opened_example
from tests.workbook.contrast import (
    OF_CHARTS,
    OF_TEXT,
    PAPER,
    contrast,
    faint_texts,
    luminance,
    texts,
    unclear_series,
)

CHARTS = {"Answers": 2, "Well": 2, "Storage": 1}


@pytest.fixture(scope="module", params=[path.stem for path in EXAMPLES])
def book(request: pytest.FixtureRequest) -> Workbook:
    return opened_example(request.param)


def test_contrast_is_that_of_the_standard() -> None:
    """Black on white 21; #777777 and #767676 on white stand on either side of 4.5, as W3C's own examples say."""
    assert contrast("000000", "FFFFFF") == pytest.approx(21)
    assert contrast("FFFFFF", "FFFFFF") == 1
    assert luminance("FF0000") == pytest.approx(0.2126)
    assert contrast("777777", "FFFFFF") < 4.5 < contrast("FFFFFF", "767676")


@pytest.mark.parametrize("role, look", LOOKS.items())
def test_every_role_can_be_read(role: Role, look: Look) -> None:
    """On its own ground, and on that of a coloured row."""
    assert contrast(look.colour, look.fill or PAPER) >= OF_TEXT
    assert contrast(look.colour, CLAY) >= OF_TEXT


def test_every_text_of_a_finished_book_can_be_read(book: Workbook) -> None:
    assert len({(text, ground) for _, text, ground in texts(book)}) > 10
    assert faint_texts(book) == []


def test_every_chart_can_be_read(book: Workbook) -> None:
    assert {sheet.title: len(sheet._charts) for sheet in book.worksheets if sheet._charts} == CHARTS
    assert unclear_series(book) == []


def test_columns_side_by_side_differ_in_grey() -> None:
    assert min(contrast(EARTH, MEADOW), contrast(MEADOW, PAPER)) >= OF_CHARTS


# ---------------------------------------------------------------- the tests above can fail


def written(text: Font, ground: PatternFill | None = None) -> Workbook:
    """A book with one text."""
    book = Workbook()
    book.active.title = "Well"
    cell = book.active["B1"]
    cell.value, cell.font = "Never enter it.", text
    if ground is not None:
        cell.fill = ground
    return book


def test_a_faint_text_is_found() -> None:
    assert faint_texts(written(Font(color=RUST))) == []
    assert faint_texts(written(Font(color="888888"))) == ["Well!B1: 888888 on FFFFFF, 3.54"]
    (found,) = faint_texts(written(Font(color=RUST), PatternFill("solid", fgColor=EARTH)))
    assert found.startswith(f"Well!B1: {RUST} on {EARTH}")


def test_a_text_that_a_condition_hides_is_found() -> None:
    book = written(Font(color=RUST))
    fill = PatternFill("solid", bgColor=EARTH)
    book["Well"].conditional_formatting.add("C1:C9", FormulaRule(["$B$1=1"], fill=fill))
    assert faint_texts(book) == []
    book["Well"].conditional_formatting.add("B1:B2", FormulaRule(["$B$1=1"], fill=fill))
    assert len(faint_texts(book)) == 1


def test_faint_and_like_series_are_found(monkeypatch: pytest.MonkeyPatch) -> None:
    book = opened_example("terrace_house")
    for sheet in (book["Answers"], book["Well"]):
        monkeypatch.setattr(sheet, "_charts", deepcopy(sheet._charts))
    levels, needs = book["Answers"]._charts
    recovery, _ = book["Well"]._charts
    _, wanted = next(part for part in needs._charts if part.tagname == "barChart").series
    bed, _ = next(part for part in needs._charts if part.tagname == "lineChart").series
    levels.series[1].graphicalProperties.ln.prstDash = "solid"
    wanted.graphicalProperties.solidFill = "B7C98B"
    bed.graphicalProperties.ln.w = 28000
    recovery.series[1].marker.symbol = "circle"
    assert unclear_series(book) == [
        f"Answers, chart 1: {WATER} and {RUST} are both ('line', 'solid')",
        "Answers, chart 2: B7C98B on paper, 1.79",
        f"Answers, chart 2: {WATER} is lost over {EARTH}",
        f"Well, chart 1: {WATER} and {SOFT} are both ('points', 'circle')",
    ]
