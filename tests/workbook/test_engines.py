"""The finished books in other spreadsheet programs: LibreOffice and Gnumeric compute every cell as the engine does.

A finished book carries its values, and a program that trusts them would be compared with them. So the books tested
here carry a wrong value beside every formula: whatever comes out right was computed. Tolerance 1e-9 of max(1, value);
texts are equal.
"""

from __future__ import annotations

import io
import shutil
import warnings
from datetime import date
from functools import cache
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.utils.datetime import to_excel

from budget.water import water_table
from budget.workbook.engine import upstream
from budget.workbook.finish import finished
from budget.workbook.sheets import ALTERNATIVES
from tests.computed import EXAMPLES, ROOT, Computed, compute
from tests.conftest import computed_example, example_without_values, finished_example, needs
from tests.workbook.spreadsheet_programs import (
    but_for_papers,
    differences,
    formula_values_in,
    gnumeric,
    libreoffice,
    values_in,
)

NAMES = [path.stem for path in EXAMPLES]
WRONG = 12345.678
PEOPLE_AT_FIRST, PEOPLE = 3, 5


@cache
def wrong_example(name: str) -> bytes:
    """The finished example with a wrong value beside every formula."""
    computed = computed_example(name)
    return finished(computed.book, dict.fromkeys(computed.values, WRONG), ALTERNATIVES)


def test_values_are_read_as_they_stand(tmp_path: Path) -> None:
    """Texts, numbers, truth values, a date, nothing; constants and formulas; as openpyxl reads them."""
    book = Workbook()
    sheet = book.active
    sheet.title = "A & B"
    constants = ['a <b> & "c"', 1.5, -3, True, date(2024, 5, 1), "", " blanks ", 1e-300]
    for row, value in enumerate(constants, 1):
        sheet.cell(row, 2).value = value
    sheet["AB9"], sheet["C9"] = "=1+1", '="x"'
    book.create_sheet("Second")["A1"] = "two\nlines"
    path = tmp_path / "book.xlsx"
    book.save(path)
    expected = {("A & B", row, 2): value for row, value in enumerate(constants, 1) if value != ""}
    expected[("A & B", 5, 2)] = to_excel(constants[4])
    assert values_in(path) == expected | {("Second", 1, 1): "two\nlines"}
    assert formula_values_in(path) == {("A & B", 9, 28): "", ("A & B", 9, 3): ""}


@pytest.mark.parametrize("program", ["soffice", "ssconvert"])
def test_values_are_read_as_openpyxl_reads_them(program: str, tmp_path: Path) -> None:
    """Of a small book that each program computed and saved."""
    needs(program)
    book = Workbook()
    rows = ["=1/3", '="a <b> & ""c"""', '=""', "=DATE(2024, 5, 1)", "=1>0", "=1/0", "text & more", 7]
    for row, content in enumerate(rows, 1):
        book.active.cell(row, 2).value = content
    path = tmp_path / "book.xlsx"
    book.save(path)
    saved = libreoffice(path, tmp_path) if program == "soffice" else gnumeric(path, tmp_path, "--recalc")
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="Workbook contains no default style")  # Gnumeric writes none
        sheet = load_workbook(saved, data_only=True).worksheets[0]
    there = {(sheet.title, cell.row, 2): cell for (cell,) in sheet.iter_rows(min_col=2, max_col=2)}
    read = {where: to_excel(cell.value) if cell.is_date else cell.value for where, cell in there.items()}
    assert values_in(saved) == {where: value for where, value in read.items() if value not in (None, "")}
    assert [key[1] for key in sorted(formula_values_in(saved))] == [1, 2, 3, 4, 5, 6]


@pytest.mark.parametrize("name", NAMES)
def test_libreoffice_computes_the_same(name: str, tmp_path: Path) -> None:
    """From a file without any value, so that every one is LibreOffice's own."""
    needs("soffice")
    path = tmp_path / "book.xlsx"
    path.write_bytes(example_without_values(name))
    found, values = values_in(libreoffice(path, tmp_path, recalculate=False)), computed_example(name).values
    assert len(values) > 10_000
    assert differences(values, found)[:10] == []


@pytest.mark.parametrize("name", NAMES)
def test_libreoffice_sees_no_circle_when_it_computes_again(name: str, tmp_path: Path) -> None:
    """It computes columns of like formulas in parallel, and then took the tank's columns for a circle."""
    needs("soffice")
    path = tmp_path / "book.xlsx"
    path.write_bytes(finished_example(name))
    found = values_in(libreoffice(path, tmp_path))
    assert differences(computed_example(name).values, found)[:10] == []


@pytest.mark.parametrize("name", NAMES)
def test_gnumeric_computes_the_same(name: str, tmp_path: Path) -> None:
    needs("ssconvert")
    path = tmp_path / "book.xlsx"
    path.write_bytes(wrong_example(name))
    found = values_in(gnumeric(path, tmp_path, "--recalc"))
    assert differences(computed_example(name).values, found)[:10] == []


def test_the_comparison_can_fail(terrace: Computed, tmp_path: Path) -> None:
    """Asked not to compute, Gnumeric hands on the wrong values, and every one is told."""
    needs("ssconvert")
    path = tmp_path / "book.xlsx"
    path.write_bytes(wrong_example("terrace_house"))
    found = values_in(gnumeric(path, tmp_path))
    assert len(differences(terrace.values, found)) == len(terrace.values)


def test_libreoffice_trusts_what_stands_in_the_file_unless_told(terrace: Computed, tmp_path: Path) -> None:
    """Without the setting nothing is computed: a test that forgets it would compare the file with itself."""
    needs("soffice")
    path = tmp_path / "book.xlsx"
    path.write_bytes(wrong_example("terrace_house"))
    found = values_in(libreoffice(path, tmp_path, recalculate=False))
    assert len(differences(terrace.values, found)) > len(terrace.values) / 2


@pytest.fixture(scope="module")
def five_people(tmp_path_factory: pytest.TempPathFactory) -> Computed:
    """The US example, built anew from a site file with another number of people."""
    folder = tmp_path_factory.mktemp("five_people")
    shutil.copy(ROOT / "example_inputs" / "terrace_house_rain.csv", folder)
    text = (ROOT / "example_inputs" / "terrace_house.toml").read_text(encoding="utf-8")
    line = f'use = "whole house, average use"\nnumber = {PEOPLE_AT_FIRST}\n'
    assert line in text
    path = folder / "terrace_house.toml"
    path.write_text(text.replace(line, line.replace(f"= {PEOPLE_AT_FIRST}", f"= {PEOPLE}")), encoding="utf-8")
    return compute(path)


@pytest.fixture(scope="module")
def edited(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The finished book as openpyxl opens it, with another number of people typed into it, and saves it."""
    book = load_workbook(io.BytesIO(finished_example("terrace_house")))
    ((sheet, cells),) = book.defined_names["household_number"].destinations
    (_heading,), (first,), *_ = book[sheet][cells]
    assert first.value == PEOPLE_AT_FIRST
    first.value = PEOPLE
    path = tmp_path_factory.mktemp("edited") / "edited.xlsx"
    book.save(path)
    return path


def test_the_fit_does_not_depend_on_people(terrace: Computed, five_people: Computed) -> None:
    """So that a hand edit of the people and a new build must give the same answers."""
    read = upstream(terrace.book, water_table.MISFITS)
    assert ("ledger", "modelled_depth") in read
    assert not {owner for owner in read if owner[0] in ("household", "household_months", "household_daily")}
    for given in water_table.FITTED:
        assert five_people.model.number(given.name) == terrace.model.number(given.name)


def test_people_changed_by_hand_in_libreoffice(
    terrace: Computed, five_people: Computed, edited: Path, tmp_path: Path
) -> None:
    """A hand edit, computed by LibreOffice, gives what a site file with that number gives, in every cell."""
    needs("soffice")
    found = values_in(libreoffice(edited, tmp_path))
    assert five_people.values.keys() == terrace.values.keys()
    assert differences(but_for_papers(five_people.values), found)[:10] == []
    assert found[terrace.book.directory.names["inputs_changed"]] == 1
    assert len(differences(terrace.values, found)) > 1000


def test_people_changed_by_hand_in_gnumeric(five_people: Computed, edited: Path, tmp_path: Path) -> None:
    needs("ssconvert")
    # Without values in the file Gnumeric computes a chart's cells as soon as their sheet is read, later sheets still
    # empty, and keeps what came out: it must be told to compute again.
    found = values_in(gnumeric(edited, tmp_path, "--recalc"))
    assert differences(but_for_papers(five_people.values), found)[:10] == []
