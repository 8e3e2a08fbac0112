"""The printed pages of every example, in A4 and in Letter, through LibreOffice and poppler.

The Ledger has most pages and takes most of the time: it is printed once, for one example.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.computed import EXAMPLES, Computed
from tests.conftest import computed_example, finished_example, needs
from tests.pictures import (
    PAPERS,
    PrintedPage,
    on_paper,
    only_sheets,
    pages_by_sheet,
    printed_pages,
    to_pdf,
)

ONE_PAGE = ("Answers", "Fill and drain")
A_FEW = 2
# Parts of these begin a new sheet of paper each; the Plan year's four years take up to six each. Checks has its head on
# each page.
MOST_PAGES = {
    "Read first": 3,
    "Checks": 8,
    "Well": 7,
    "Storage": 3,
    "Tank base": 3,
    "Plan year": 17,
    "Sources": 4,
    "Climate": 3,
}
LEDGER_PAGES = 80
TOO_WIDE = "###"


@dataclass(frozen=True)
class Printed:
    """A book as it was printed: its pages, and which of them are whose, counted from 0."""

    computed: Computed
    pages: list[PrintedPage]
    by_sheet: dict[str, range]

    def margins(self, sheet: str, page: int) -> str:
        """What stands in the upper and in the lower margin of a page."""
        margins = self.computed.book.sheets[sheet].page_margins
        return self.pages[page].margins(margins.top, margins.bottom)

    def each_margin(self) -> Iterator[tuple[str, int, str]]:
        """Sheet, page and margins of every page."""
        for sheet, pages in self.by_sheet.items():
            for page in pages:
                yield sheet, page, self.margins(sheet, page)


def seen_but_the_ledger(computed: Computed) -> list[str]:
    """The sheets that are not hidden, without the Ledger."""
    sheets = computed.book.sheets
    return [name for name, sheet in sheets.items() if sheet.sheet_state == "visible" and name != "Ledger"]


def print_sheets(name: str, sheets: list[str], paper: str, folder: Path) -> Printed:
    """Print these sheets of an example on that paper."""
    for program in ("soffice", "pdftotext", "pdftohtml"):
        needs(program)
    pdf = to_pdf(on_paper(only_sheets(finished_example(name), sheets), paper), folder)
    by_sheet = {sheet: range(pages.start - 1, pages.stop - 1) for sheet, pages in pages_by_sheet(pdf).items()}
    return Printed(computed_example(name), printed_pages(pdf), by_sheet)


@pytest.fixture(scope="module", params=[(path.stem, paper) for path in EXAMPLES for paper in PAPERS], ids="-".join)
def printed(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Printed:
    """Each example on each paper, all sheets but the Ledger."""
    name, paper = request.param
    sheets = seen_but_the_ledger(computed_example(name))
    return print_sheets(name, sheets, paper, tmp_path_factory.mktemp("print"))


def test_every_sheet_prints(printed: Printed) -> None:
    assert list(printed.by_sheet) == seen_but_the_ledger(printed.computed)
    assert sum(len(pages) for pages in printed.by_sheet.values()) == len(printed.pages)


@pytest.mark.parametrize("sheet", ONE_PAGE)
def test_a_sheet_for_the_wall_prints_on_one_page(printed: Printed, sheet: str) -> None:
    if sheet not in printed.computed.book.sheets:
        pytest.skip(f"this book has no sheet '{sheet}'")
    assert len(printed.by_sheet[sheet]) == 1


def test_no_sheet_runs_over_many_pages(printed: Printed) -> None:
    counts = {sheet: len(pages) for sheet, pages in printed.by_sheet.items()}
    assert len(counts) > 10
    assert {sheet: count for sheet, count in counts.items() if count > MOST_PAGES.get(sheet, A_FEW)} == {}


def test_no_number_is_too_wide_for_its_column(printed: Printed) -> None:
    assert len(printed.pages) > 20 and len(printed.pages[-1].text()) > 100
    assert [page.text() for page in printed.pages if TOO_WIDE in page.text()] == []


def test_no_word_stands_off_the_paper(printed: Printed) -> None:
    """As those of a chart do that lies across two pages."""
    assert sum(len(page.words) for page in printed.pages) > 2000
    assert [
        (sheet, page + 1, word.text)
        for sheet, pages in printed.by_sheet.items()
        for page in pages
        for word in printed.pages[page].words
        if word.top < 0 or word.bottom > printed.pages[page].height
    ] == []


def test_every_page_carries_its_sheet_and_its_number(printed: Printed) -> None:
    count = len(printed.pages)
    missing = [
        (sheet, page + 1, margins)
        for sheet, page, margins in printed.each_margin()
        if sheet not in margins or f"page {page + 1} of {count}" not in margins
    ]
    assert count > 20
    assert missing == []


def test_every_page_carries_the_name_of_the_place(printed: Printed) -> None:
    name = str(printed.computed.model.value("site_name"))
    assert name and len(printed.pages) > 20
    assert [(sheet, page + 1) for sheet, page, margins in printed.each_margin() if name not in margins] == []


def test_the_ledger_prints(tmp_path: Path) -> None:
    """Alone, on the smaller paper across: no number too wide, no end of pages, each with its name and number."""
    printed = print_sheets("terrace_house", ["Ledger"], "A4", tmp_path)
    assert len(printed.pages) <= LEDGER_PAGES
    assert [page.text() for page in printed.pages if TOO_WIDE in page.text()] == []
    for number in range(len(printed.pages)):
        margins = printed.margins("Ledger", number)
        assert "Ledger" in margins
        assert f"page {number + 1} of {len(printed.pages)}" in margins
