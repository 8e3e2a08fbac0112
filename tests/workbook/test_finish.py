"""The finishing step: values beside formulas and in charts, the same bytes each time, and no file lost."""

import errno
import io
import os
import re
import zipfile
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from xml.etree.ElementTree import canonicalize

import pandas as pd
import pytest
from openpyxl import load_workbook
from openpyxl.writer.excel import ExcelWriter

from budget.declarations import Column, Input, Result, Rows, Table
from budget.errors import ModelError, OutputFault
from budget.units import Unit
from budget.workbook import charts
from budget.workbook.book import Book, CellKey
from budget.workbook.engine import Computed, Model
from budget.workbook.file_writer import FileWriter
from budget.workbook.finish import finished, write_book
from budget.workbook.page import Page

SHEET = "Plan year"
LEVELS, NEEDS = "Levels & needs <1>", "Needs"
ALTERNATIVES = {LEVELS: 'Two lines: "stored" & its <limit>.', NEEDS: "Columns and a line."}
LABELS = ["May", "June & after", "July"]
INFLOW = [10.5, 20.0, 0.0]
STORED = [10.5, 25.0, 25.0]  # [L] with a tank of 25 L
COLUMNS = [
    Column("month_label", "Month", Unit.TEXT, "Its name."),
    Column("inflow", "Inflow", Unit.VOLUME, "Given."),
    Column("stored", "Stored", Unit.VOLUME, "Kept.", "MIN(tank_usable, {stored.before} + {inflow})", opening="0"),
    Column("limit", "Limit", Unit.VOLUME, "The tank.", "tank_usable"),
    Column("word", "In words", Unit.TEXT, "A sentence.", 'IF({inflow}>0, "rain & ""more""", "")'),
]
TANK = Input("tank_usable", "Tank", Unit.VOLUME, "What it holds.", "25 L", low="0 L", high="100 L")
NOTE = Input("site_note", "Note", Unit.TEXT, "Your own words.", "")
RESULTS = [
    Result(
        "deepest",
        "Least stored",
        Unit.VOLUME,
        "In any month.",
        "MIN({plan:stored.all})",
    ),
    Result("first_day", "First day", Unit.DATE, "Of the year.", "DATE(2024, 5, 1)"),
    Result("share", "Share", Unit.SHARE, "A third.", "1 / 3"),
]


def laid_out(extra: str = "0", note: str = "=1+1") -> Book:
    """A small book with two charts; `extra` is one more formula, `note` a typed text."""
    book = Book("metric")
    page = Page(book, SHEET, "=SUM(A1)", "A small year.", "1F5673")
    page.inputs([TANK, NOTE], {"tank_usable": 25.0, "site_note": note})
    page.results([*RESULTS, Result("extra", "Extra", Unit.NUMBER, "One more.", extra)])
    data = {"month_label": LABELS, "inflow": INFLOW}
    page.table(Table("plan", SHEET, Rows("plan", 3, ("1", "2", "3")), COLUMNS, data=data, transposed=True))
    page.chart(lambda: charts.lines(page, LEVELS, "plan", ("stored", "limit"), ("1F5673", "A33B20"), "Water"), "B")
    page.chart(
        lambda: charts.columns_and_line(page, NEEDS, "plan", ("inflow",), ("7A4A21",), "stored", "5B7A2E", "Water"), "E"
    )
    book.write_formulas()
    return book


def evaluated(book: Book) -> dict[CellKey, Computed]:
    model = Model(book)
    model.evaluate()
    return model.computed()


def put(path: Path, extra: str = "0") -> Path | None:
    book = laid_out(extra)
    return write_book(book, evaluated(book), path, ALTERNATIVES)


@pytest.fixture(scope="module")
def content() -> bytes:
    book = laid_out()
    return finished(book, evaluated(book), ALTERNATIVES)


def parts(content: bytes) -> dict[str, str]:
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        return {name: archive.read(name).decode() for name in archive.namelist()}


def test_the_bytes_are_the_same_each_time(content: bytes) -> None:
    book = laid_out()
    values = evaluated(book)
    assert finished(book, values, ALTERNATIVES) == content
    changed = laid_out("1")
    assert finished(changed, evaluated(changed), ALTERNATIVES) != content


def test_every_formula_has_its_value(content: bytes) -> None:
    book = laid_out()
    formulas = load_workbook(io.BytesIO(content))[SHEET]
    values = load_workbook(io.BytesIO(content), data_only=True)[SHEET]
    found = {
        (SHEET, cell.row, cell.column): values.cell(cell.row, cell.column).value
        for row in formulas.iter_rows()
        for cell in row
        if cell.data_type == "f"
    }
    assert set(found) == set(book.owners)
    placement = book.directory.placements["plan"]
    by_key = {key: [found[(SHEET, *placement.cell(key, 0, row))] for row in range(3)] for key in ("stored", "word")}
    assert by_key == {"stored": STORED, "word": ['rain & "more"', 'rain & "more"', None]}
    named = {result.name: found[book.directory.names[result.name]] for result in RESULTS}
    assert named == {"deepest": 10.5, "first_day": datetime(2024, 5, 1), "share": 1 / 3}


def test_pandas_reads_the_values(content: bytes) -> None:
    book = laid_out()
    cells = pd.read_excel(io.BytesIO(content), sheet_name=SHEET, header=None)
    placement = book.directory.placements["plan"]
    row, first = placement.cell("stored", 0, 0)
    assert cells.iloc[row - 1, first - 1 : first + 2].to_list() == STORED
    _, row, column = book.directory.names["deepest"]
    assert cells.iloc[row - 1, column - 1] == 10.5


def test_text_that_begins_with_an_equals_sign_stays_text(content: bytes) -> None:
    book = laid_out()
    sheet = load_workbook(io.BytesIO(content))[SHEET]
    _, row, column = book.directory.names["site_note"]
    for cell, text in ((sheet.cell(row, column), "=1+1"), (sheet.cell(1, 2), "=SUM(A1)")):
        assert (cell.data_type, cell.value) == ("s", text)
    model = Model(book)
    model.evaluate()
    assert model.value("site_note") == "=1+1"


def test_text_in_a_table_stays_text() -> None:
    book = Book("metric")
    page = Page(book, "List", "List", "Typed.", "FFFFFF")
    own = Column("own", "Own", Unit.TEXT, "Own words.")
    placement = page.table(Table("list", "List", Rows("line", 1), [own], data={"own": ["=A1"]}))
    book.write_formulas()
    sheet = load_workbook(io.BytesIO(finished(book, {}, {})))["List"]
    cell = sheet.cell(*placement.cell("own", 0, 0))
    assert (cell.data_type, cell.value) == ("s", "=A1")


def test_nothing_of_the_machine_is_left(content: bytes) -> None:
    found = parts(content)
    assert "<Application>water-budget</Application>" in found["docProps/app.xml"]
    assert str(datetime.now().year) not in found["docProps/core.xml"]
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        assert {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}


def test_the_parts_of_fonts_stand_in_order(content: bytes) -> None:
    """As Excel writes them; none is lost."""
    fonts = re.findall(r"<font>(.*?)</font>", parts(content)["xl/styles.xml"])
    found = [re.findall(r"<(\w+)", font) for font in fonts]
    assert ["b", "sz", "color", "name"] in found
    assert ["i", "sz", "color", "name"] in found
    assert ["sz", "name", "family"] in found
    assert {name for font in found for name in font} == set("b i sz color name family".split())


def test_charts_hold_their_values(content: bytes) -> None:
    drawn = load_workbook(io.BytesIO(content))[SHEET]._charts
    assert len(drawn) == 2
    levels, needs = drawn
    assert [point.v for point in levels.series[0].val.numRef.numCache.pt] == STORED
    assert [point.v for point in levels.series[1].val.numRef.numCache.pt] == [25.0] * 3
    for series in (*levels.series, *needs.series):
        assert [point.v for point in series.cat.strRef.strCache.pt] == LABELS
    assert [point.v for point in needs.series[0].val.numRef.numCache.pt] == INFLOW


def test_charts_have_alternative_text(content: bytes) -> None:
    drawing = parts(content)["xl/drawings/drawing1.xml"]
    assert 'descr="Two lines: &quot;stored&quot; &amp; its &lt;limit&gt;."' in drawing
    assert 'descr="Columns and a line."' in drawing
    book = laid_out()
    with pytest.raises(ModelError, match="chart 'Needs' has no alternative text"):
        finished(book, evaluated(book), {LEVELS: "Lines."})


@pytest.mark.parametrize("formula, error", [("1 / 0", "#DIV/0!"), ("MATCH(9, {plan:inflow.all}, 0)", "#N/A")])
def test_an_error_value_is_refused(tmp_path: Path, formula: str, error: str) -> None:
    with pytest.raises(ModelError, match=f"extra on {SHEET}, .* evaluates to {error}"):
        put(tmp_path / "book.xlsx", formula)
    assert list(tmp_path.iterdir()) == []


def test_a_formula_without_a_value_is_refused() -> None:
    book = laid_out()
    values = evaluated(book)
    del values[book.directory.names["share"]]
    with pytest.raises(ModelError, match=f"share on {SHEET}, .* has no value"):
        finished(book, values, ALTERNATIVES)


def test_a_formula_that_nobody_declared_is_refused() -> None:
    book = laid_out()
    values = evaluated(book)
    book.workbook[SHEET]["Z99"] = "=1+1"
    with pytest.raises(ModelError, match=f"{SHEET}: the formula in Z99 has no value"):
        finished(book, values, ALTERNATIVES)


def awkward() -> Book:
    """The small book with what is written otherwise than most cells are."""
    book = laid_out(note=" <blanks> & a\nline ")
    sheet = book.workbook[SHEET]
    texts, numbers = ["", "  x", "x\t", 'a & "b"', "Ü ≤ 1"], [0, -3, 1e-300, 0.1 + 0.2, 12345678901234567890.0]
    for row, value in enumerate([*texts, *numbers, True, None], 40):
        sheet.cell(row, 3).value = value
    sheet.cell(60, 3)._style = sheet.cell(2, 2)._style  # a look alone
    sheet.row_dimensions[70].height = 12  # a row without cells
    sheet.cell(71, 2).hyperlink = "https://example.org"
    return book


def test_the_cells_are_written_as_openpyxl_writes_them() -> None:
    """But for the values of formulas, and the kind of number that it tells of cells with nothing in them."""
    book = awkward()
    found, expected = io.BytesIO(), io.BytesIO()
    with zipfile.ZipFile(found, "w") as archive:
        FileWriter(book, archive, evaluated(book)).save()
    with zipfile.ZipFile(expected, "w") as archive:
        ExcelWriter(awkward().workbook, archive).save()
    ours, theirs = parts(found.getvalue()), parts(expected.getvalue())
    part = "xl/worksheets/sheet1.xml"
    written, count = re.subn(r'(?: t="(?:str|b)")?(><f>[^<]*</f><v>)[^<]*(?=</v>)', r"\1", ours.pop(part))
    assert count == len(book.owners)
    assert canonicalize(written) == canonicalize(theirs.pop(part)).replace(' t="n"></c>', "></c>")
    assert "blanks" in written and 'r="C60"' in written and 'r="70"' in written
    del ours["docProps/core.xml"], theirs["docProps/core.xml"]  # tells the second
    assert {name: canonicalize(xml) for name, xml in ours.items()} == {
        name: canonicalize(xml) for name, xml in theirs.items()
    }


def test_the_book_that_stood_there_is_kept(tmp_path: Path) -> None:
    path = tmp_path / "home.xlsx"
    assert put(path) is None
    first = path.read_bytes()
    os.utime(path, (0, datetime(2023, 10, 5, 7, 30, 9).timestamp()))
    kept = put(path, "1")
    assert kept == tmp_path / "home 2023-10-05 073009.xlsx"
    assert kept.read_bytes() == first != path.read_bytes()
    os.utime(path, (0, datetime(2023, 10, 5, 7, 30, 9).timestamp()))
    again = put(path, "2")
    assert again == tmp_path / "home 2023-10-05 073009 2.xlsx"
    assert kept.read_bytes() == first
    assert sorted(tmp_path.iterdir()) == sorted([path, kept, again])


def refused(path: Path) -> str:
    with pytest.raises(OutputFault) as caught:
        put(path, "1")
    (fault,) = caught.value.faults
    assert fault.where == str(path)
    return fault.found


def test_where_a_book_cannot_be_put(tmp_path: Path) -> None:
    assert refused(tmp_path / "nowhere" / "book.xlsx") == "its folder does not exist"
    (tmp_path / "file").write_text("")
    assert refused(tmp_path / "file" / "book.xlsx") == "its folder does not exist"
    (tmp_path / "folder.xlsx").mkdir()
    assert refused(tmp_path / "folder.xlsx") == "is a folder"
    assert refused(tmp_path / "book.ods") == "does not end in .xlsx"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["file", "folder.xlsx"]


def denied(*_: object, **__: object) -> None:
    raise PermissionError(errno.EACCES, "Permission denied")


def denied_in(folder: Path, original: Callable[..., int]) -> Callable[..., int]:
    """The temporary files that others write elsewhere are not what is denied."""

    def call(path: str | Path, *arguments: object, **named: object) -> int:
        return denied() if Path(path).parent == folder else original(path, *arguments, **named)

    return call


@pytest.mark.parametrize("call", ["open", "replace", "chmod"])
def test_the_old_book_outlives_a_failure(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, call: str) -> None:
    """A folder that cannot be written to, a book that another program holds open."""
    path = tmp_path / "home.xlsx"
    put(path)
    before = path.read_bytes()
    with monkeypatch.context() as patch:
        patch.setattr(os, call, denied_in(tmp_path, os.open) if call == "open" else denied)
        assert refused(path) == "cannot be written: Permission denied"
    assert path.read_bytes() == before
    assert list(tmp_path.iterdir()) == [path]


def test_a_copy_that_fails_half_way_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The disk is full when the old book is copied."""
    path = tmp_path / "home.xlsx"
    put(path)
    before = path.read_bytes()

    brought, sync = [], os.fsync

    def full(handle: int) -> None:
        brought.append(handle)
        if len(brought) == 2:  # the new book came to the disk, the copy of the old one does not
            raise OSError(errno.ENOSPC, "No space left on device")
        sync(handle)

    monkeypatch.setattr(os, "fsync", full)
    assert refused(path) == "cannot be written: No space left on device"
    assert path.read_bytes() == before
    assert list(tmp_path.iterdir()) == [path]
