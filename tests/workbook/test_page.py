"""The page: where tables and their heads stand, how much room texts get, what cells accept, how sheets print."""

from dataclasses import replace

import pytest

from budget.declarations import Column, Input, Rows, Table
from budget.errors import ModelError
from budget.units import Unit
from budget.workbook.book import Book
from budget.workbook.page import Page
from budget.workbook.table_layout import KEYS, TITLES, UNITS, top_of
from budget.workbook.text_size import broken_lines_of, lines_of
from budget.workbook.validation import accepted, bound, validation_of

SHEET = "Bench"
DAYS = Rows("days", 3)
FALLS = Column("falls", "Falls", Unit.DEPTH, "Rain of the day.")
HELD = Column("held", "Held", Unit.DEPTH, "Rain so far.", "{held.before} + {falls}", opening="0")


def page_of(book: Book | None = None) -> Page:
    return Page(book or Book("metric"), SHEET, "Bench", "For the tests.", "FFFFFF")


def table_of(name: str, *columns: Column, each: Rows | None = None) -> Table:
    values = [1.0, 2.0, 3.0]
    data = {"falls": [values] * each.size if each else values}
    return Table(name, SHEET, DAYS, columns, each=each, data=data)


def column_of(page: Page, column: int, first: int, last: int) -> list[object]:
    return [page.sheet.cell(row, column).value for row in range(first, last + 1)]


def test_a_table_stands_below_its_head() -> None:
    page = page_of()
    placed = page.table(table_of("rain", FALLS))
    top = top_of(placed)
    assert (placed.first_row, placed.first_column) == (9, 2)
    assert [page.sheet.cell(top + row, 2).value for row in (KEYS, TITLES, UNITS)] == ["rain:falls", "Falls", "mm"]
    assert column_of(page, 2, 9, 11) == [1.0, 2.0, 3.0]
    assert page.row == 13  # one row stays free


def test_an_opening_stands_between_head_and_rows() -> None:
    page = page_of()
    placed = page.table(table_of("rain", FALLS, HELD))
    page.book.write_formulas()
    assert (placed.first_row, top_of(placed)) == (10, 4)
    assert column_of(page, 3, 8, 12) == ["mm", "=0", "=C9 + B10", "=C10 + B11", "=C11 + B12"]


def test_a_table_beside_another_stands_row_by_row_with_it() -> None:
    """The one has an opening row, the other has not; one column between them stays free."""
    page = page_of()
    first = page.table(table_of("rain", FALLS, HELD))
    second = page.table(table_of("zones", FALLS, each=Rows("zone", 2)), beside=first)
    assert (second.first_row, second.first_column) == (first.first_row, 5)
    keys = [page.sheet.cell(top_of(first) + KEYS, column).value for column in (5, 6)]
    assert keys == ["zones:falls:1", "zones:falls:2"]


def test_a_list_touches_its_months_and_nothing_else_touches_it() -> None:
    """Heads in one row, with an empty row above; an empty row, and the end; what is shown one column apart."""
    page = page_of()
    typed = [Input("use", "Use", Unit.TEXT, "A use.", ""), Input("amount", "Amount", Unit.DEPTH, "Of each.", "")]
    typed = [replace(given, low="0 mm", high="9 mm") for given in typed]
    data = {"use": ["bath", None, None], "amount": [1.0, None, None]}
    uses = page.table(Table("uses", SHEET, DAYS, typed, data=data, listed=True))
    factor = Input("factor", "Factor", Unit.NUMBER, "Of each.", "", low="0", high="9")
    of_months = Table(
        "months", SHEET, DAYS, [factor], each=Rows("month", 2), data={"factor": [[1.0, None, None]] * 2}, listed=True
    )
    months = page.table(of_months, beside=uses)
    shown = page.table(table_of("shown", FALLS), beside=months)
    assert [(one.first_row, one.first_column) for one in (uses, months, shown)] == [(8, 2), (8, 4), (8, 7)]
    assert top_of(uses) == 4
    rows = [[page.sheet.cell(row, column).value for column in range(2, 8)] for row in range(4, 13)]
    assert rows == [
        ["uses:use", "uses:amount", "months:factor:1", "months:factor:2", None, "shown:falls"],
        [None, None, "Factor", None, None, None],
        [None] * 6,
        ["Use", "Amount, mm", "month 1", "month 2", None, "Falls, mm"],
        ["bath", 1.0, 1.0, 1.0, None, 1.0],
        [None, None, None, None, None, 2.0],
        [None, None, None, None, None, 3.0],
        [None] * 6,
        ["end of list", None, None, None, None, None],
    ]
    heights = page.sheet.row_dimensions
    assert heights[4].hidden and not heights[5].hidden and heights[6].height == heights[11].height == 4
    assert page.row == 14
    assert page.book.workbook.defined_names["uses_amount"].attr_text == "Bench!$C$7:$C$12"
    assert [cells for _, _, cells in page.book.validations] == ["B8:B10", "C8:C10", "D8:E10"]


def test_rows_that_are_named_stand_before_the_table() -> None:
    page = page_of()
    placed = page.table(table_of("rain", FALLS), labels=("Day", ["one", "two", "three"]))
    assert (placed.first_row, placed.first_column) == (9, 3)
    assert column_of(page, 2, 6, 11) == ["Day", None, None, "one", "two", "three"]


def test_a_table_has_its_own_sheet_and_all_its_data() -> None:
    page = page_of()
    with pytest.raises(ModelError, match="table rain belongs on Elsewhere, not on Bench"):
        page.table(Table("rain", "Elsewhere", DAYS, [FALLS], data={"falls": [1, 2, 3]}))
    with pytest.raises(ModelError, match="table rain: no data for column 'falls'"):
        page.table(Table("rain", SHEET, DAYS, [FALLS]))


def test_words_are_kept_whole() -> None:
    """A cell 10 digits wide has room for 11 letters: 1.12 letters to the digit."""
    assert lines_of("", 10) == 1
    assert lines_of("eleven char", 10) == 1
    assert lines_of("twelve chars", 10) == 2
    assert lines_of("one two three four", 10) == 2
    assert lines_of("interminably", 10) == 1
    assert broken_lines_of("interminably", 10) == 2
    assert broken_lines_of("a interminably", 10) == 3


def test_a_row_is_high_enough_for_its_longest_text() -> None:
    """The rightmost text has the room of all columns up to the last; a line is 13.5 points high, 3 are air."""
    page = page_of()
    page.widths(B=10, C=10, D=10)
    page.fit_height(5, {2: "one two three four"})
    page.fit_height(6, {2: "one", 3: "one two three four"}, last=4)
    page.fit_height(7, {2: "one two three four", 3: "one"}, last=4)
    assert [page.sheet.row_dimensions[row].height for row in (5, 6, 7)] == [30, 16.5, 30]


def test_a_short_head_leaves_titles_and_units_in_sight() -> None:
    """Three rows and one column are kept: the sheet's title with the groups, the titles, the units with the items."""
    page = page_of()
    held = replace(table_of("rain", FALLS, HELD), groups={"falls": "Weather"})
    first = page.table(held, top=2, labels=("Day", ["one", "two", "three"]))
    zones = table_of("zones", FALLS, each=Rows("zone", 2))
    page.shorten_head(first, page.table(zones, beside=first))
    page.freeze(first)
    page.book.write_formulas()
    seen = [row for row in range(1, 7) if not page.sheet.row_dimensions[row].hidden]
    assert page.sheet.freeze_panes == "C7"
    assert [[page.sheet.cell(row, column).value for column in (2, 3, 4, 6, 7)] for row in seen] == [
        ["Bench", "Weather", None, None, None],
        ["Day", "Falls", "Held", "Falls", "Falls"],
        [None, "mm", "mm", "zone 1, mm", "zone 2, mm"],
    ]
    assert (page.sheet.print_title_rows, page.sheet.print_title_cols) == ("$1:$6", "$B:$B")


def test_a_reader_is_put_where_something_is_seen() -> None:
    page = page_of()
    assert page.sheet.sheet_view.selection[-1].activeCell == "B1"
    page.freeze()
    assert page.sheet.freeze_panes == "C2" == page.sheet.sheet_view.selection[-1].activeCell


def test_a_sheet_prints_so_small_that_its_columns_fit() -> None:
    """B to D are 3 * (7 * 50 + 5) / 96 = 11.09 inches wide; paper has 7.27 upright and 10 across: 96 % of the rest."""
    for orientation, scale in (("portrait", 62), ("landscape", 86)):
        page = page_of()
        page.widths(B=50, C=50, D=50)
        page.edge, page.row = 4, 20
        page.print_setup(orientation)
        assert page.sheet.page_setup.scale == scale
        assert page.sheet.print_area == f"'{SHEET}'!$B$1:$D$20"


def test_a_narrow_sheet_is_not_enlarged() -> None:
    page = page_of()
    page.print_setup("portrait", right=3)
    assert page.sheet.page_setup.scale == 100


def test_the_foot_names_sheet_place_and_page() -> None:
    page = page_of(Book("metric", place="Bell & Bower"))
    page.print_setup("portrait", one_page=True)
    foot = page.sheet.oddFooter
    assert (foot.left.text, foot.center.text, foot.right.text) == ("&A", "Bell && Bower", "page &P of &N")
    assert (page.sheet.page_setup.fitToWidth, page.sheet.page_setup.fitToHeight) == (1, 1)


def test_a_sheet_of_paper_ends_above_what_follows() -> None:
    page = page_of()
    page.row = 30
    page.new_sheet_of_paper()
    assert [found.id for found in page.sheet.row_breaks.brk] == [29]


BOUNDED = Input("tank_height", "Height", Unit.LENGTH, "Of the wall.", "", low="0.3 m", high="12 m")
SHARE = Input("part", "Part", Unit.SHARE, "Of all.", "", low="0", high="0.5")
WORDS = Input("shape", "Shape", Unit.TEXT, "Of the slab.", choices=("round", "square"))
TEXT = Input("name", "Name", Unit.TEXT, "Of the place.", "")


def test_what_is_accepted_is_told_in_the_books_units() -> None:
    assert accepted(BOUNDED, "metric") == "0.3 to 12 m"
    assert accepted(BOUNDED, "US") == "0.9843 to 39.37 ft"
    assert accepted(SHARE, "US") == "0% to 50%"
    assert accepted(WORDS, "US") == "round, square"
    assert accepted(TEXT, "US") == "text"


def test_a_cell_refuses_what_is_not_accepted() -> None:
    directory = Book("metric").directory
    found = validation_of(BOUNDED, "metric", directory)
    assert (found.type, found.formula1, found.formula2) == ("decimal", "0.3", "12.0")
    assert (found.prompt, found.error) == ("Of the wall. Accepted: 0.3 to 12 m.", "Accepted: 0.3 to 12 m.")
    assert validation_of(WORDS, "metric", directory).formula1 == '"round,square"'
    text = validation_of(TEXT, "metric", directory)
    assert (text.type, text.operator, text.formula1) == ("textLength", "lessThanOrEqual", "200")
    with pytest.raises(ModelError, match="an input in LENGTH has no bound"):
        bound(None, Unit.LENGTH, "metric")


def test_layouts_that_do_not_know_runs_refuse_them() -> None:
    """Their opening rows would stand among names and marks, or across under other months."""
    runs = Table("years", SHEET, Rows("month", 4, runs=Rows("year", 2)), [Column("a", "A", Unit.NUMBER, "A.", "1")])
    page = Page(Book("metric"), SHEET, SHEET, "A page.", "FFFFFF")
    placement = page.table(runs)
    for lay in (
        lambda: page.table(replace(runs, name="across", transposed=True)),
        lambda: page.table(replace(runs, name="named"), labels=("Month", ["a", "b", "c", "d"])),
        lambda: page.named_before(replace(runs, name="before"), replace(runs, name="after")),
        lambda: page.mark_rows(placement, "a", "=1"),
        lambda: page.fold(placement, "a"),
    ):
        with pytest.raises(ModelError, match="falls into runs"):
            lay()


def test_pencilled_cells_stand_beside_the_rows_of_every_run() -> None:
    """Not beside the opening rows between them."""
    stock = Column("a", "A", Unit.NUMBER, "A.", "{a.before} + 1", opening="0")
    runs = Table("years", SHEET, Rows("month", 4, runs=Rows("year", 2)), [stock])
    book = Book("metric")
    page = Page(book, SHEET, SHEET, "A page.", "FFFFFF")
    placement = page.table(runs)
    page.pencil(placement, ["Notes"])
    right = placement.first_column + 1
    first = placement.first_row
    pencilled = [row for row in range(6) if book.sheets[SHEET].cell(first + row, right).has_style]
    assert pencilled == [0, 1, 3, 4]
