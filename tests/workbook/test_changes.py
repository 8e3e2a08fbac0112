"""What was changed since the build: counted on Read first, listed on Checks with what it was and what it is."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import pytest
from openpyxl.utils import range_boundaries

from budget.units import serial
from budget.workbook import changes, papers
from budget.workbook.book import CellKey
from budget.workbook.engine import Computed as Value
from budget.workbook.engine import Model
from tests.computed import Computed
from tests.conftest import computed_example

SHOWN = ("changed_input", "changed_place", "changed_from", "changed_to", "changed_unit")
NOTHING = ("",) * len(SHOWN)


@pytest.fixture(scope="module")
def papers_alone() -> Model:
    """The US example with nothing but the papers and the list computed."""
    listed = [("changes", column.key) for column in changes.COLUMNS]
    told = [result.name for result in (*papers.COUNTS, changes.TOLD, changes.SHIFTED)]
    return Model(computed_example("terrace_house").book, [*told, *listed])


@pytest.fixture
def listing(papers_alone: Model) -> Model:
    return papers_alone.copy()


def rows(model: Model) -> list[tuple[Value, ...]]:
    """The list as it is shown, computed again."""
    model.evaluate()
    return list(zip(*(model.column("changes", key) for key in SHOWN), strict=True))


def put(model: Model, where: CellKey, value: Value) -> None:
    if value is None:
        model.clear_cell(where)
    else:
        model.set_cell(where, value)  # type: ignore[arg-type]


def test_a_fresh_book_lists_nothing(example: Computed) -> None:
    for key in SHOWN:
        assert set(example.column("changes", key)) == {""}
    assert example.model.value("changes_told") == "Every cell of yours holds what the build put there."
    assert example.model.value("changes_shifted") == ""


@pytest.mark.parametrize(
    ("name", "value", "told"),
    [
        ("well_depth", 23.5, ("Well: Depth of the well", "Well!D8", 22, 23.5, "ft")),
        ("well_depth", None, ("Well: Depth of the well", "Well!D8", 22, "empty", "ft")),
        ("well_depth", "22 ft", ("Well: Depth of the well", "Well!D8", 22, "22 ft (text)", "ft")),
        ("well_sustained_share", 0.35, (..., ..., 50, 35, "%")),
        ("well_water_enters", "walls", (..., ..., "bottom", "walls", "")),
        ("well_water_enters", "Bottom", (..., ..., "bottom", "Bottom", "")),
        ("well_water_enters", 7.0, (..., ..., "bottom", 7, "")),
        ("pond_bottom_width", 4.0, (..., ..., "empty", 4, "ft")),
        ("pond_bottom_width", "wide", (..., ..., "empty", "wide", "ft")),
        ("plan_as_of", serial(date(2026, 2, 28)), (..., ..., "31 December 2025", "28 February 2026", "date")),
        ("plan_as_of", "May", (..., ..., "31 December 2025", "May (text)", "date")),
        ("plan_as_of", -5.0, (..., ..., "31 December 2025", -5, "date")),
        ("plan_number", 2027.0, (..., ..., 2026, 2027, "year")),
        ("tank_capacity", 0.0, (..., ..., 6500, 0, "gal")),
    ],
)
def test_one_change_is_told_as_people_read_it(
    name: str, value: Value, told: tuple[object, ...], terrace: Computed, listing: Model
) -> None:
    put(listing, terrace.book.directory.names[name], value)
    first, *others = rows(listing)
    assert [wanted in (..., found) for found, wanted in zip(first, told, strict=True)] == [True] * len(SHOWN), first
    assert others == [NOTHING] * (changes.LISTED - 1)
    assert listing.value("changes_told") == "1 cell holds something else than the build put there."


def test_an_error_that_was_pasted_is_told(terrace: Computed, listing: Model) -> None:
    listing.set_formula(terrace.book.directory.names["well_depth"], "=1/0")
    assert rows(listing)[0] == ("Well: Depth of the well", "Well!D8", 22, "an error", "ft")


def test_changes_stand_in_the_order_of_the_papers(terrace: Computed, listing: Model) -> None:
    """Single cells first, then those of lists, with their line and month."""
    listing.set_cell(terrace.cells("household_months", "factors", 3)[1], 0.25)
    listing.set("plan_for", "1 in 5")
    listing.set("well_depth", 23.0)
    found = rows(listing)
    assert [row[0] for row in found[:4]] == [
        "Answers: Plan for",
        "Well: Depth of the well",
        "Household: Factor, line 2, Apr",
        "",
    ]
    assert listing.value("changes_told") == "3 cells hold something else than the build put there."


def test_more_changes_than_the_list_has_room_for(terrace: Computed, listing: Model) -> None:
    cells = list(terrace.book.as_built)[: changes.LISTED + 5]
    assert len(cells) == changes.LISTED + 5
    for number, where in enumerate(cells, 1):
        listing.set_cell(where, 12345.0 + number)
        if number in (changes.LISTED, changes.LISTED + 5):
            assert all(row[0] for row in rows(listing))
            more = f" Here are the first {changes.LISTED}; 5 more are not listed." * (number > changes.LISTED)
            assert listing.value("changes_told") == (
                f"{number} cells hold something else than the build put there.{more}"
            )


def moved_down(values: list[Value]) -> list[Value]:
    return [None, *values[:-1]]


def moved_up(values: list[Value]) -> list[Value]:
    return [*values[1:], None]


@pytest.mark.parametrize("move", [moved_down, moved_up])
def test_a_line_inserted_or_taken_out_is_suspected(
    move: Callable[[list[Value]], list[Value]], terrace: Computed, listing: Model
) -> None:
    """The lines below it hold what their neighbours were built with: said once, not for each."""
    for key in ("efficiency", "area"):
        cells = terrace.cells("zones", key)
        for where, value in zip(cells, move([terrace.model.cell(cell) or None for cell in cells]), strict=True):
            put(listing, where, value)
    rows(listing)
    shifted = listing.number("inputs_shifted")
    assert 1 < shifted <= listing.number("inputs_changed")
    assert str(listing.value("changes_shifted")).startswith(f"{shifted:.0f} of them hold what stood in the line above")


def test_one_cell_that_is_like_its_neighbour_raises_no_suspicion(terrace: Computed, listing: Model) -> None:
    first, second = terrace.cells("zones", "area")[:2]
    listing.set_cell(second, terrace.model.cell(first))  # type: ignore[arg-type]
    assert rows(listing)[0][0] == "Garden: Area, zone 2"
    assert listing.number("inputs_shifted") == 1 and listing.value("changes_shifted") == ""


def test_read_first_counts_and_leads_to_the_list(terrace: Computed) -> None:
    book = terrace.book
    sheet, row, column = book.directory.names["changes_told"]
    assert sheet == "Checks" == book.directory.placements["changes"].sheet
    cells = [cell.value for cell in book.workbook["Read first"]._cells.values() if cell.data_type == "f"]
    assert f'=HYPERLINK("#Checks!{book.workbook[sheet].cell(row, column).coordinate}",' in " ".join(cells)
    assert [owner for where, owner in book.owners.items() if where[0] == "Read first" and "inputs_" in str(owner)] == [
        "again:inputs_changed"
    ]


def test_the_list_stands_beside_what_is_printed(terrace: Computed) -> None:
    """One area alone is printed: Gnumeric saves a second as an error."""
    sheet = terrace.book.workbook["Checks"]
    _, _, left = terrace.cells("changes", "changed_input")[0]
    _, _, right, _ = range_boundaries(sheet.print_area.rpartition("!")[2].replace("$", ""))
    assert "," not in sheet.print_area and right is not None and right < left
    _, _, last = terrace.cells("checks", "said")[0]
    assert right == last
