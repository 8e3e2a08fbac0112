"""A cell changed by hand in an open book: LibreOffice computes what hangs on it as a new build would.

Loading computes everything from nothing; an edit computes only what the change reaches, in an order of its own, and
other faults show. A macro in a profile of its own opens the finished book, types the number, and saves.
"""

from __future__ import annotations

import subprocess
from dataclasses import replace
from pathlib import Path

import pytest

from budget.site_file.reading import read_site
from tests.computed import ROOT, Computed, compute_site
from tests.conftest import finished_example, needs
from tests.workbook.spreadsheet_programs import but_for_papers, differences, values_in

PEOPLE_AT_FIRST, PEOPLE = 3, 5
HEAD = '<?xml version="1.0" encoding="UTF-8"?>\n'
LIBRARIES = """<!DOCTYPE library:libraries PUBLIC "-//OpenOffice.org//DTD OfficeDocument 1.0//EN" "libraries.dtd">
<library:libraries xmlns:library="http://openoffice.org/2000/library" xmlns:xlink="http://www.w3.org/1999/xlink">
<library:library library:name="Standard" xlink:href="$(USER)/basic/Standard/script.xlb/" xlink:type="simple"
 library:link="false"/></library:libraries>"""
LIBRARY = """<!DOCTYPE library:library PUBLIC "-//OpenOffice.org//DTD OfficeDocument 1.0//EN" "library.dtd">
<library:library xmlns:library="http://openoffice.org/2000/library" library:name="Standard" library:readonly="false"
 library:passwordprotected="false"><library:element library:name="Edit"/></library:library>"""
MODULE = """<!DOCTYPE script:module PUBLIC "-//OpenOffice.org//DTD OfficeDocument 1.0//EN" "module.dtd">
<script:module xmlns:script="http://openoffice.org/2000/script" script:name="Edit" script:language="StarBasic">
Sub Main
 Dim hidden(0) As New com.sun.star.beans.PropertyValue
 hidden(0).Name = "Hidden" : hidden(0).Value = True
 book = StarDesktop.loadComponentFromURL("{source}", "_blank", 0, hidden())
 cells = book.NamedRanges.getByName("{name}").getReferredCells()
 cells.getCellByPosition(0, 1).Value = {value}
 Dim filter(0) As New com.sun.star.beans.PropertyValue
 filter(0).Name = "FilterName" : filter(0).Value = "Calc MS Excel 2007 XML"
 book.storeToURL("{target}", filter())
 book.close(True)
End Sub
</script:module>"""


def typed_in_libreoffice(source: Path, name: str, value: float, folder: Path) -> Path:
    """The book as LibreOffice saves it after a number was typed into the first line of that list's column.

    The column's name is that of its range, which begins with the heading.
    """
    target = folder / "after_the_edit.xlsx"
    profile = f"-env:UserInstallation=file://{folder}/profile"
    subprocess.run(["soffice", profile, "--headless", "--terminate_after_init"], check=True, timeout=120)
    basic = folder / "profile" / "user" / "basic"
    (basic / "Standard").mkdir(parents=True, exist_ok=True)
    macro = MODULE.format(source=source.as_uri(), name=name, value=value, target=target.as_uri())
    (basic / "script.xlc").write_text(HEAD + LIBRARIES, encoding="utf-8")
    (basic / "Standard" / "script.xlb").write_text(HEAD + LIBRARY, encoding="utf-8")
    (basic / "Standard" / "Edit.xba").write_text(HEAD + macro, encoding="utf-8")
    command = ["soffice", profile, "--headless", "--norestore", "macro:///Standard.Edit.Main()"]
    subprocess.run(command, check=True, capture_output=True, timeout=120)
    assert target.exists(), "the macro did not save the book"
    return target


@pytest.fixture
def finished_book(tmp_path: Path) -> Path:
    path = tmp_path / "book.xlsx"
    path.write_bytes(finished_example("terrace_house"))
    return path


def test_the_same_number_typed_again_changes_nothing(terrace: Computed, finished_book: Path, tmp_path: Path) -> None:
    needs("soffice")
    after = typed_in_libreoffice(finished_book, "household_number", PEOPLE_AT_FIRST, tmp_path)
    assert differences(terrace.values, values_in(after)) == []


def test_people_typed_in_an_open_book(terrace: Computed, finished_book: Path, tmp_path: Path) -> None:
    """Every cell is that of a book built anew with that number of people."""
    needs("soffice")
    site = read_site(ROOT / "example_inputs" / "terrace_house.toml")
    first, *others = site.lists["household"]
    assert first["number"] == PEOPLE_AT_FIRST
    anew = compute_site(replace(site, lists={**site.lists, "household": [{**first, "number": PEOPLE}, *others]}))
    after = typed_in_libreoffice(finished_book, "household_number", PEOPLE, tmp_path)
    found = values_in(after)
    assert len(differences(terrace.values, found)) > 1000
    assert differences(but_for_papers(anew), found)[:10] == []
