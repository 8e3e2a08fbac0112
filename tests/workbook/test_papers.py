"""The book's own papers: nothing is missing, nothing is lost in other programs, and an edit is counted once."""

from __future__ import annotations

import hashlib
import io
import re
import zipfile
from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook

from budget import __version__
from budget import material as material_module
from budget.build import lay_out
from budget.errors import InputFaults
from budget.material import EPOCH, build_date, material
from budget.rain import read_record
from budget.site_file.reading import read_site
from budget.water import record, water_table
from budget.water.nouns import LISTS, MONTHS, SCALARS
from budget.workbook import papers
from budget.workbook.book import Book, CellKey
from budget.workbook.engine import Model
from budget.workbook.finish import finished
from budget.workbook.page import Page
from budget.workbook.sheets import ALTERNATIVES
from tests.computed import EXAMPLES, Computed
from tests.conftest import computed_example, finished_example, needs, opened_example
from tests.workbook.cell_formulas import formulas
from tests.workbook.spreadsheet_programs import gnumeric, libreoffice, values_in

TERRACE = next(path for path in EXAMPLES if path.stem == "terrace_house")
AWKWARD = '# "=1+1" \'at\' 50 %\t<&>\n\n  name = "Ü_x0041_"  \r\n' + "\ufeff# _x000D_ %41 %5Fx\n"

by_gnumeric = pytest.mark.filterwarnings("ignore:Workbook contains no default style")  # its files do


def cells_of(book: Book, table: str, key: str) -> set[CellKey]:
    """All cells of a column, for each item of `each`."""
    placement = book.directory.placements[table]
    items = range(placement.table.each.size if placement.table.each else 1)
    return {(placement.sheet, *placement.cell(key, i, row)) for i in items for row in range(placement.table.rows.size)}


def named(workbook: Workbook, name: str) -> object:
    """What stands in the cell of that name."""
    ((sheet, cell),) = workbook.defined_names[name].destinations
    return workbook[sheet][cell].value


def pieces_in(workbook: Workbook) -> list[str]:
    """The pieces of the site file's text, in their order."""
    names = [name for name in workbook.defined_names if re.fullmatch(r"papers_site_text_\d+", name)]
    return [str(named(workbook, name)) for name in sorted(names, key=lambda name: int(name.rpartition("_")[2]))]


def rows_in(workbook: Workbook, computed: Computed) -> list[tuple[object, ...]]:
    """The rows of the papers without what is computed: name, table, item, row, title, place, unit, origin, as built."""
    placement = computed.book.directory.placements["papers"]
    computed_too = ("input_now", "input_off")
    keys = [column.key for column in papers.ROWS if column.key not in computed_too and column.formula is None]
    sheet = workbook[papers.SHEET]
    return [
        tuple(sheet.cell(*placement.cell(key, 0, row)).value for key in keys)
        for row in range(placement.table.rows.size)
    ]


def ledger_in(workbook: Workbook, computed: Computed) -> dict[str, list[float]]:
    """The record's columns as they stand on the Ledger of a saved book."""
    sheet = workbook["Ledger"]
    return {
        column.key: [sheet.cell(row, at).value for _, row, at in computed.cells("ledger", column.key)]
        for column in record.DATA
    }


# ---------------------------------------------------------------- nothing is missing


def test_every_input_of_the_register_has_its_row(example: Computed) -> None:
    """One for each cell: single ones, those of lists with their spare rows, those of the months."""
    book = example.book
    wanted = {book.directory.names[one.name] for one in SCALARS}
    for months in MONTHS:
        wanted |= set().union(*(cells_of(book, months.table, one.key) for one in months.inputs))
    for listed in LISTS.values():
        wanted |= set().union(*(cells_of(book, listed.table, one.key) for one in listed.inputs))
        for one in listed.monthly:
            found = cells_of(book, listed.months_table, one.key)
            assert len(found) == 12 * book.directory.placements[listed.table].table.rows.size
            wanted |= found
    unlocked = {
        (sheet.title, row, column)
        for sheet in book.workbook.worksheets
        for (row, column), cell in sheet._cells.items()
        if not cell.protection.locked and sheet.title != "Read first"  # where samples of cells are shown
    }
    assert len(wanted) > 400
    assert set(book.as_built) == wanted == unlocked
    assert len({papers_of.value for papers_of in book.as_built.values()}) == len(wanted)


def test_a_row_tells_name_place_value_and_origin(terrace: Computed) -> None:
    rows = {(row[0], row[1], row[2], row[3]): row[4:] for row in rows_in(terrace.book.workbook, terrace)}
    assert rows["well_depth", None, None, None] == ("Well: Depth of the well", "Well!D8", "ft", "given", 22.0)
    assert rows["plan_for", None, None, None][3:] == ("assumed", "1 in 10")
    assert rows["plan_as_of", None, None, None][2:4] == ("date", "found from the record")
    assert rows["pond_bottom_width", None, None, None][3:] == ("left empty", None)
    assert rows["use", "household", None, 1][3] == "given"
    assert rows["efficiency", "zones", None, 3][2:] == ("%", "assumed", 0.75)
    assert rows["factors", "household_months", 3, 3][3:] == ("given", 0.0)
    assert rows["kc", "garden_kc", 12, 3][3:] == ("left empty", None)
    for figure in (*(one.name for one in water_table.FITTED), "fit_error_at_build", "fit_error_left_out"):
        assert rows[figure, None, None, None][3:] == ("fitted", terrace.model.value(figure))


def test_a_place_without_a_well_has_nothing_fitted(tmp_path: Path) -> None:
    text = re.sub(r"\[(well|pump)\]\n[^\[]*", "", TERRACE.read_text("utf-8"))
    (tmp_path / "dry.toml").write_text(re.sub(r"\[\[recovery\]\]\n[^\[]*", "", text), "utf-8")
    site = read_site(tmp_path / "dry.toml")
    origins = material(site, read_record(read_site(TERRACE))).provenance.origins
    assert origins["aquifer_floor"] == "assumed" and origins["fit_error_at_build"] == "left empty"
    assert "fitted" not in origins.values()


def test_what_the_build_finds_later_stands_in_the_papers() -> None:
    """The rain of months that the record holds is put in after the book was computed."""
    book, _ = lay_out(material(read_site(TERRACE), read_record(read_site(TERRACE))))
    model = Model(book, [papers.COUNTED.name])
    where = book.cells("so_far", "rain_so_far")[3]
    kept = book.as_built[where]
    model.keep_cell(where, 2.25)
    model.evaluate()
    assert model.number(papers.COUNTED.name) == 0 and model.cell(kept.value) == 2.25
    sheet = book.workbook[papers.SHEET]
    assert sheet.cell(*kept.value[1:]).value == 2.25
    assert sheet.cell(*kept.origin[1:]).value == "found from the record"


def test_the_sheet_is_hidden_and_not_printed(example: Computed) -> None:
    sheet = example.book.workbook[papers.SHEET]
    assert sheet.sheet_state == "hidden" and not sheet.print_area
    assert [s.title for s in example.book.workbook.worksheets if s.sheet_state != "visible"] == [papers.SHEET]


# ---------------------------------------------------------------- what was changed


@pytest.fixture
def counting(terrace: Computed) -> Model:
    """The US example with nothing but the papers computed."""
    return Model(terrace.book, [papers.COUNTED.name])


def count(model: Model) -> float:
    model.evaluate()
    return model.number(papers.COUNTED.name)


def test_a_fresh_build_has_no_change(example: Computed) -> None:
    assert example.model.number(papers.COUNTED.name) == 0


def test_one_edit_of_any_cell_counts_one(terrace: Computed, counting: Model) -> None:
    """Every single cell, every cell of a list and of the months: another number or text, and one where none was."""
    wrong = []
    for where in terrace.book.as_built:
        value = terrace.model.cell(where)
        counting.set_cell(where, 7.5 if value in (None, "") else f"{value}x" if isinstance(value, str) else value + 0.5)
        if count(counting) != 1:
            wrong.append(where)
        if value in (None, ""):
            counting.clear_cell(where)
        else:
            counting.set_cell(where, value)
    assert wrong == []
    assert count(counting) == 0


@pytest.mark.parametrize(
    ("edit", "changed"),
    [
        (lambda model: model.set("well_depth", 22.0 * (1 + 1e-12)), 0),
        (lambda model: model.set("well_depth", 22.0 * (1 + 1e-7)), 1),
        (lambda model: model.set("well_sustained_share", 0.5 + 3e-9), 1),
        (lambda model: model.set("well_depth", "22"), 1),
        (lambda model: model.set("well_water_enters", "Bottom"), 1),
        (lambda model: model.set("well_water_enters", 3), 1),
        (lambda model: (model.set("well_depth", 23.0), model.set("plan_for", "1 in 5")), 2),
    ],
    ids=["15 digits", "a hair", "a small number", "a number as text", "a capital", "a number for a word", "two"],
)
def test_what_counts_as_a_change(counting: Model, edit: Callable[[Model], object], changed: int) -> None:
    assert counting.number("well_sustained_share") == 0.5 and counting.number("well_depth") == 22.0
    edit(counting)
    assert count(counting) == changed


def test_an_emptied_cell_is_a_change(terrace: Computed, counting: Model) -> None:
    counting.clear_cell(terrace.book.directory.names["well_depth"])
    assert count(counting) == 1


# ---------------------------------------------------------------- through other programs


@by_gnumeric
@pytest.mark.parametrize("program", ["soffice", "ssconvert"])
def test_the_papers_survive_other_programs(program: str, terrace: Computed, tmp_path: Path) -> None:
    """Computed anew and saved there: the same texts and rows, no change counted, and the record's digest holds.

    That none is counted in a book without values either, `test_engines` says of every cell.
    """
    needs(program)
    path = tmp_path / "book.xlsx"
    path.write_bytes(finished_example("terrace_house"))
    before = opened_example("terrace_house")
    saved = libreoffice(path, tmp_path) if program == "soffice" else gnumeric(path, tmp_path, "--recalc")
    after = load_workbook(saved, data_only=True)
    assert papers.SHEET in after.sheetnames
    facts = [name for name, _, _ in papers.facts(terrace.book, terrace.made_of)]
    for name in facts:
        assert named(after, name) == named(before, name), name
    assert papers.site_text(str(named(after, "papers_site_text_written")), pieces_in(after)) == TERRACE.read_text(
        "utf-8"
    )
    assert len(rows_in(after, terrace)) > 500
    for found, wanted in zip(rows_in(after, terrace), rows_in(before, terrace), strict=True):
        assert found[:-1] == wanted[:-1]
        assert found[-1] == (pytest.approx(wanted[-1], rel=1e-12) if isinstance(wanted[-1], float) else wanted[-1])
    assert papers.record_digest(ledger_in(after, terrace)) == named(before, "papers_record_digest")
    assert values_in(saved)[terrace.book.directory.names[papers.COUNTED.name]] == 0


@by_gnumeric
@pytest.mark.parametrize("program", ["soffice", "ssconvert"])
def test_awkward_text_survives_other_programs(program: str, tmp_path: Path) -> None:
    """Several pieces; ends of lines of both kinds, blanks at the ends, what looks like an escape or a formula."""
    needs(program)
    plain = re.sub("[\r\ufeff]|_x", "", AWKWARD)
    for number, text in enumerate((AWKWARD * 150, plain * 300, "x = 1\n" * 3000)):
        book = Book("metric")
        page = Page(book, papers.SHEET, "Papers", "Text.", "FFFFFF")
        written, pieces = papers.site_pieces(text)
        assert len(pieces) > 1
        for name, title, value in papers._numbered("papers_site_text", "Text", pieces):
            page.fact(name, title, value)
        page.hide()
        book.new_sheet("Seen", "FFFFFF")
        path = tmp_path / f"text_{number}.xlsx"
        path.write_bytes(finished(book, {}, {}))
        saved = libreoffice(path, tmp_path) if program == "soffice" else gnumeric(path, tmp_path)
        assert papers.site_text(written, pieces_in(load_workbook(saved))) == text


# ---------------------------------------------------------------- the site file and the record


def test_the_site_file_comes_back_word_for_word(example: Computed) -> None:
    workbook = opened_example(example.site.path.stem)
    text = papers.site_text(str(named(workbook, "papers_site_text_written")), pieces_in(workbook))
    assert text.encode() == example.site.path.read_bytes()
    assert named(workbook, "papers_site_file") == example.site.path.name


@pytest.mark.parametrize("start", ["\ufeff", ""])
def test_the_file_is_kept_with_its_own_line_ends(start: str, tmp_path: Path) -> None:
    path = tmp_path / "home.toml"
    path.write_bytes((start + TERRACE.read_text("utf-8").replace("\n", "\r\n")).encode())
    site = read_site(path)
    assert site.text.encode() == path.read_bytes()
    written, pieces = papers.site_pieces(site.text)
    assert written == papers.ENCODED and papers.site_text(written, pieces).encode() == path.read_bytes()


letters = st.one_of(st.characters(exclude_categories=("Cs",)), st.sampled_from("\r\n\t %=_x"))


@settings(max_examples=200, deadline=None)
@given(st.text(letters, max_size=300), st.integers(2, 40))
def test_any_text_comes_back_from_its_pieces(text: str, longest: int) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(papers, "LONGEST_PIECE", longest)
        written, pieces = papers.site_pieces(text)
        assert all(0 < len(piece) <= longest for piece in pieces) or pieces == [""]
        assert len(pieces) <= 1 + 2 * len("".join(pieces)) / longest
        assert papers.site_text(written, pieces) == text
        if written == papers.AS_IT_IS:
            assert "".join(pieces) == text
        assert not papers._CHANGED_BY_PROGRAMS.search("".join(pieces))


def test_a_piece_fits_a_cell() -> None:
    _, pieces = papers.site_pieces("# a line of a long site file\n" * 5000)
    assert len(pieces) == 19 and all(len(piece) <= 8_000 for piece in pieces)
    assert not any(piece[:1].isspace() or piece[-1:].isspace() for piece in pieces[1:-1])


def test_the_digest_tells_a_changed_figure(terrace: Computed) -> None:
    months = terrace.made_of.months
    digest = papers.record_digest(months)
    assert re.fullmatch("[0-9a-f]{64}", digest) and digest == papers.record_digest(dict(months))
    rain = list(months["rain_recorded"])
    assert papers.record_digest({**months, "rain_recorded": [rain[0] * (1 + 1e-15), *rain[1:]]}) == digest
    assert papers.record_digest({**months, "rain_recorded": [rain[0] + 0.01, *rain[1:]]}) != digest
    two = {column.key: [1, 2.5] for column in record.DATA}
    line = " ".join(["1"] * len(record.DATA)) + "\n" + " ".join(["2.5"] * len(record.DATA)) + "\n"
    assert papers.record_digest(two) == hashlib.sha256(line.encode()).hexdigest()


# ---------------------------------------------------------------- the date of the build, and the file's properties


def laid_out_on(day: date | None) -> tuple[list[str], bytes]:
    """The smallest example as it is built on that day: its sheets, and its file, its formulas at 0."""
    smallest = computed_example("smallest")
    book, _ = lay_out(material(smallest.site, read_record(smallest.site), day))
    return book.workbook.sheetnames, finished(book, dict.fromkeys(book.owners, 0.0), ALTERNATIVES)


def test_the_bytes_depend_on_the_date_of_the_build_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    sheets, first = laid_out_on(date(2025, 3, 4))
    monkeypatch.setenv(EPOCH, str(int(datetime(2025, 3, 4, 23, 59, tzinfo=UTC).timestamp())))
    assert laid_out_on(None)[1] == first
    _, other = laid_out_on(date(2025, 3, 5))
    with zipfile.ZipFile(io.BytesIO(first)) as one, zipfile.ZipFile(io.BytesIO(other)) as two:
        differ = [part for part in one.namelist() if one.read(part) != two.read(part)]
        told = [re.sub("<[^>]*>", " ", archive.read("docProps/core.xml").decode()) for archive in (one, two)]
    numbers = [int(re.sub(r"\D", "", part.rpartition("/")[2])) for part in differ if "worksheets" in part]
    assert [sheets[number - 1] for number in numbers] == ["Read first", papers.SHEET]
    assert [part for part in differ if "worksheets" not in part] == ["docProps/core.xml"]
    assert told[0].count("2025-03-04T00:00:00Z") == told[1].count("2025-03-05T00:00:00Z") == 2


def test_the_date_of_the_build_stands_in_no_formula(terrace: Computed) -> None:
    workbook, day = terrace.book.workbook, terrace.book.built_on
    number = str((day - date(1899, 12, 30)).days)
    texts = formulas(workbook).values()
    assert len(texts) > 10_000
    assert [text for text in texts if day.isoformat() in text or re.search(rf"\b{number}\b", text)] == []


def test_the_date_comes_from_one_place(terrace: Computed, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(material_module, "build_date", lambda: date(2025, 3, 4))
    made_of = material(terrace.site, read_record(terrace.site))
    assert made_of.provenance.built_on == lay_out(made_of)[0].built_on == date(2025, 3, 4)


def test_the_day_of_a_build(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(EPOCH, raising=False)
    assert build_date() == date.today()
    monkeypatch.setenv(EPOCH, "86400")
    assert build_date() == date(1970, 1, 2)


@pytest.mark.parametrize("epoch", ["tomorrow", "1e9", "9" * 30])
def test_an_epoch_that_is_no_number_is_told(epoch: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(EPOCH, epoch)
    with pytest.raises(InputFaults) as caught:
        build_date()
    (fault,) = caught.value.faults
    assert (fault.where, fault.found) == (EPOCH, f"'{epoch}'")


def test_the_file_tells_title_place_maker_language_and_dates(terrace: Computed) -> None:
    told = opened_example("terrace_house").properties
    place = str(terrace.model.value("site_name"))
    assert (told.title, told.subject) == (f"Year-round water budget: {place}", place)
    assert (told.creator, told.lastModifiedBy, told.language) == ("water-budget", "water-budget", "en")
    assert told.created.date() == told.modified.date() == terrace.book.built_on


def test_read_first_tells_version_date_record_and_how_not_to_break_it(terrace: Computed) -> None:
    site, rain = terrace.site, read_record(terrace.site)
    book, _ = lay_out(material(site, rain, date(2025, 3, 4)))
    told = " ".join(str(cell.value) for cell in book.workbook["Read first"]._cells.values())
    assert f"On 4 March 2025, by water-budget {__version__}, in US units." in told
    assert "terrace_house_rain.csv. It ends on 31 December 2025." in told
    for word in ("Keep a copy", "sort it", ".xlsx", "cut a whole line"):
        assert word in told
    assert "Nothing here can be broken" not in told
