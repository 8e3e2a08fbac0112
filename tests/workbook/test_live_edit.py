"""A cell changed by hand in an open book: LibreOffice computes what hangs on it as a new build would.

Loading computes everything from nothing; an edit computes only what the change reaches, in an order of its own, and
other faults show.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from budget.site_file.reading import read_site
from tests.computed import ROOT, Computed, compute_site
from tests.conftest import finished_example, needs
from tests.workbook.hand_edits import cell, enter, saved_after
from tests.workbook.spreadsheet_programs import but_for_papers, differences, values_in

PEOPLE_AT_FIRST, PEOPLE = 3, 5


def with_people(terrace: Computed, people: int, folder: Path) -> Path:
    """The finished book as LibreOffice saves it after that number of people was typed into the first line."""
    where = cell(*terrace.cells("household", "number")[0])
    return saved_after(finished_example("terrace_house"), enter(where, str(people)), folder)


def test_the_same_number_typed_again_changes_nothing(terrace: Computed, tmp_path: Path) -> None:
    needs("soffice")
    after = with_people(terrace, PEOPLE_AT_FIRST, tmp_path)
    assert differences(terrace.values, values_in(after)) == []


def test_people_typed_in_an_open_book(terrace: Computed, tmp_path: Path) -> None:
    """Every cell is that of a book built anew with that number of people."""
    needs("soffice")
    site = read_site(ROOT / "example_inputs" / "terrace_house.toml")
    first, *others = site.lists["household"]
    assert first["number"] == PEOPLE_AT_FIRST
    anew = compute_site(replace(site, lists={**site.lists, "household": [{**first, "number": PEOPLE}, *others]}))
    after = with_people(terrace, PEOPLE, tmp_path)
    found = values_in(after)
    assert len(differences(terrace.values, found)) > 1000
    assert differences(but_for_papers(anew), found)[:10] == []
