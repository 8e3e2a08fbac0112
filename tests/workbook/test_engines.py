"""The finished books in other spreadsheet programs: LibreOffice and Gnumeric compute every cell as the engine does.

A finished book carries its values, and a program that trusts them would be compared with them. So the books tested
here carry a wrong value beside every formula: whatever comes out right was computed. Tolerance 1e-9 of max(1, value);
texts are equal.
"""

from __future__ import annotations

import io
import shutil
import subprocess
import warnings
from collections.abc import Mapping
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.utils.datetime import to_excel

from budget.water import water_table
from budget.workbook.book import CellKey
from budget.workbook.engine import Computed as Value
from budget.workbook.engine import upstream
from budget.workbook.finish import finished
from budget.workbook.sheets import ALTERNATIVES
from tests.computed import ROOT, Computed, compute
from tests.conftest import needs

TOLERANCE = 1e-9
WRONG = 12345.678
PEOPLE_AT_FIRST, PEOPLE = 3, 5
# As it comes, LibreOffice trusts the values that stand in the file, whatever program's name it carries (measured with
# 7.4); only this setting makes it compute them.
ALWAYS_RECALCULATE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry"><item oor:path="/org.openoffice.Office.Calc/Formula/Load">
<prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item></oor:items>"""


def wrong_book(computed: Computed) -> bytes:
    """The finished book with a wrong value beside every formula."""
    return finished(computed.book, dict.fromkeys(computed.values, WRONG), ALTERNATIVES)


def libreoffice(path: Path, folder: Path, recalculate: bool = True) -> Path:
    """The book as LibreOffice saves it again, with a profile of its own that recalculates on loading."""
    target = folder / "by_libreoffice"
    settings = folder / "profile" / "user" / "registrymodifications.xcu"
    settings.parent.mkdir(parents=True, exist_ok=True)
    if recalculate:
        settings.write_text(ALWAYS_RECALCULATE, encoding="utf-8")
    profile = f"-env:UserInstallation=file://{folder}/profile"
    run("soffice", profile, "--headless", "--convert-to", "xlsx", "--outdir", str(target), str(path))
    return target / path.name


def gnumeric(path: Path, folder: Path, *options: str) -> Path:
    """The book as Gnumeric saves it again."""
    target = folder / f"{path.stem}_by_gnumeric.xlsx"
    run("ssconvert", *options, str(path), str(target))
    return target


def run(*command: str) -> None:
    subprocess.run(command, check=True, capture_output=True, timeout=120)


def values_in(path: Path) -> dict[CellKey, Value]:
    """The values of a saved book that are not empty; dates as the days that stand in the cells."""
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="Workbook contains no default style")  # Gnumeric writes none
        book = load_workbook(path, data_only=True, read_only=True)
    found = {
        (sheet.title, cell.row, cell.column): to_excel(cell.value) if cell.is_date else cell.value
        for sheet in book.worksheets
        for row in sheet.iter_rows()
        for cell in row
        if cell.value is not None
    }
    book.close()
    return found


def differences(expected: Mapping[CellKey, Value], found: Mapping[CellKey, object]) -> list[str]:
    """The formula cells whose values differ, each with both."""
    return [
        f"{where}: {value!r}, computed elsewhere {found.get(where)!r}"
        for where, value in expected.items()
        if not equal(value, found.get(where))
    ]


def equal(value: Value, other: object) -> bool:
    """Whether two values are the same; an empty text and no value are."""
    if isinstance(value, str) or value is None:
        return (value or "") == (other or "")
    if isinstance(other, bool) or not isinstance(other, (int, float)):
        return False
    return abs(other - value) <= TOLERANCE * max(1.0, abs(value))


def test_libreoffice_computes_the_same(example: Computed, tmp_path: Path) -> None:
    """From a file without any value, so that every one is LibreOffice's own."""
    needs("soffice")
    path = tmp_path / "book.xlsx"
    example.book.workbook.save(path)
    found = values_in(libreoffice(path, tmp_path, recalculate=False))
    assert len(example.values) > 10_000
    assert differences(example.values, found)[:10] == []


def test_libreoffice_sees_no_circle_when_it_computes_again(example: Computed, tmp_path: Path) -> None:
    """It computes columns of like formulas in parallel, and then took the tank's columns for a circle."""
    needs("soffice")
    path = tmp_path / "book.xlsx"
    path.write_bytes(finished(example.book, example.values, ALTERNATIVES))
    found = values_in(libreoffice(path, tmp_path))
    assert differences(example.values, found)[:10] == []


def test_gnumeric_computes_the_same(example: Computed, tmp_path: Path) -> None:
    needs("ssconvert")
    path = tmp_path / "book.xlsx"
    path.write_bytes(wrong_book(example))
    found = values_in(gnumeric(path, tmp_path, "--recalc"))
    assert differences(example.values, found)[:10] == []


def test_the_comparison_can_fail(terrace: Computed, tmp_path: Path) -> None:
    """Asked not to compute, Gnumeric hands on the wrong values, and every one is told."""
    needs("ssconvert")
    path = tmp_path / "book.xlsx"
    path.write_bytes(wrong_book(terrace))
    found = values_in(gnumeric(path, tmp_path))
    assert len(differences(terrace.values, found)) == len(terrace.values)


def test_libreoffice_trusts_what_stands_in_the_file_unless_told(terrace: Computed, tmp_path: Path) -> None:
    """Without the setting nothing is computed: a test that forgets it would compare the file with itself."""
    needs("soffice")
    path = tmp_path / "book.xlsx"
    path.write_bytes(wrong_book(terrace))
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


def people_changed_by_hand(computed: Computed) -> Workbook:
    """The finished book as openpyxl opens it, with another number of people typed into it."""
    book = load_workbook(io.BytesIO(finished(computed.book, computed.values, ALTERNATIVES)))
    ((sheet, cells),) = book.defined_names["household_number"].destinations
    first = book[sheet][cells][0][0]
    assert first.value == PEOPLE_AT_FIRST
    first.value = PEOPLE
    return book


def test_the_fit_does_not_depend_on_people(terrace: Computed, five_people: Computed) -> None:
    """So that a hand edit of the people and a new build must give the same answers."""
    read = upstream(terrace.book, water_table.MISFITS)
    assert ("ledger", "modelled_depth") in read
    assert not {owner for owner in read if owner[0] in ("household", "household_months", "household_daily")}
    for given in water_table.FITTED:
        assert five_people.model.number(given.name) == terrace.model.number(given.name)


def test_people_changed_by_hand_in_libreoffice(terrace: Computed, five_people: Computed, tmp_path: Path) -> None:
    """A hand edit, computed by LibreOffice, gives what a site file with that number gives, in every cell."""
    needs("soffice")
    path = tmp_path / "edited.xlsx"
    people_changed_by_hand(terrace).save(path)
    found = values_in(libreoffice(path, tmp_path))
    assert five_people.values.keys() == terrace.values.keys()
    assert differences(five_people.values, found)[:10] == []
    assert len(differences(terrace.values, found)) > 1000


def test_people_changed_by_hand_in_gnumeric(terrace: Computed, five_people: Computed, tmp_path: Path) -> None:
    needs("ssconvert")
    path = tmp_path / "edited.xlsx"
    people_changed_by_hand(terrace).save(path)
    # Without values in the file Gnumeric computes a chart's cells as soon as their sheet is read, later sheets still
    # empty, and keeps what came out: it must be told to compute again.
    found = values_in(gnumeric(path, tmp_path, "--recalc"))
    assert differences(five_people.values, found)[:10] == []
