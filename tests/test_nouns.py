"""The register of the nouns: every input stands in it once, has a place in the site file and a cell in the book."""

import importlib
import pkgutil
from collections.abc import Iterator
from pathlib import Path

import pytest

import budget.water
from budget.build import lay_out
from budget.declarations import Input
from budget.errors import ModelError
from budget.material import material
from budget.rain import read_record
from budget.references import TABLES
from budget.site_file.reading import read_site
from budget.site_file.schema import sections
from budget.units import Unit
from budget.water import water_table
from budget.water.checks import DECLARED
from budget.water.nouns import LISTS, MONTHS, NOUNS, SCALARS, THE_WELL
from budget.workbook import sheets
from budget.workbook.book import Book
from budget.workbook.page import Page
from budget.workbook.sheets import require_every_input
from tests.computed import EXAMPLES

REGISTERED = [
    *SCALARS,
    *(given for months in MONTHS for given in months.inputs),
    *(given for entries in LISTS.values() for given in (*entries.inputs, *entries.monthly)),
]
TERRACE = next(path for path in EXAMPLES if path.stem == "terrace_house")
NEW = Input("tank_colour", "Colour", Unit.NUMBER, "Of the tank.", "1", low="0", high="9")


def declared() -> Iterator[tuple[str, Input]]:
    """Every Input that a module of the water holds, alone or in a list, with the module's name."""
    for found in pkgutil.walk_packages(budget.water.__path__, "budget.water."):
        module = importlib.import_module(found.name)
        for value in vars(module).values():
            held = value if isinstance(value, (list, tuple)) else [value]
            yield from ((found.name, given) for given in held if isinstance(given, Input))


def laid_out(path: Path = TERRACE) -> Book:
    site = read_site(path)
    book, _ = lay_out(material(site, read_record(site)))
    return book


def test_every_input_is_in_the_register() -> None:
    looked_up = [given for _, inputs in TABLES.values() for given in inputs]
    known = {id(given) for given in (*REGISTERED, *looked_up)}
    found = list(declared())
    assert len(found) > 150
    assert [f"{module}: {given.name}" for module, given in found if id(given) not in known] == []


def test_nothing_is_registered_twice() -> None:
    """Neither an input nor a name; the keys of a list are its own."""
    assert len({id(given) for given in REGISTERED}) == len(REGISTERED)
    names = [given.name for given in SCALARS] + [given.name for months in MONTHS for given in months.inputs]
    assert len(set(names)) == len(names)
    for entries in LISTS.values():
        keys = [given.name for given in (*entries.inputs, *entries.monthly)]
        assert len(set(keys)) == len(keys) and set(entries.needed) <= set(keys)
    assert len({noun.name for noun in NOUNS}) == len(NOUNS)
    assert len(LISTS) == sum(len(noun.lists) for noun in NOUNS)


def test_every_input_has_a_cell() -> None:
    book = laid_out()
    assert {given.name for given in book.inputs} == {given.name for given in SCALARS}
    validated = {id(given) for given, _, _ in book.validations}
    assert [given.name for given in REGISTERED if id(given) not in validated] == []


def test_an_input_that_stands_on_no_sheet_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """Registered, and forgotten by the sheets."""
    site = read_site(TERRACE)
    made_of = material(site, read_record(site))
    monkeypatch.setattr(sheets, "SCALARS", (*SCALARS, NEW))
    with pytest.raises(ModelError, match=r"stand on no sheet: tank_colour$"):
        lay_out(made_of)


def test_a_column_that_stands_on_no_sheet_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    book = laid_out()
    require_every_input(book)
    placed = book.directory.placements["zones"].offsets
    monkeypatch.delitem(placed, "trees")  # type: ignore[arg-type]
    with pytest.raises(ModelError, match=r"stand on no sheet: trees$"):
        require_every_input(book)


def test_an_input_that_nobody_registered_is_refused() -> None:
    """Laid out on a sheet, but unknown to the site file: its cell would be empty, and its default forgotten."""
    with pytest.raises(ModelError, match="no value for the input tank_colour"):
        Page(Book("metric"), "Bench", "Bench", "One input.", "FFFFFF").inputs([NEW], {"tank_capacity": 1.0})
    book = Book("metric")
    Page(book, "Bench", "Bench", "One input, left empty.", "FFFFFF").inputs([NEW], {"tank_colour": None})
    assert book.inputs == [NEW]


def test_every_registered_input_has_a_place_in_the_site_file() -> None:
    """All but those that only the build writes."""
    placed = {id(given) for inputs in sections().values() for given in inputs.values()}
    stored = [given.name for given in SCALARS if given.found == water_table.STORED]
    assert [given.name for given in SCALARS if id(given) not in placed] == stored
    assert {months.section for months in MONTHS} <= set(sections())
    assert set(THE_WELL) <= set(sections())


def test_checks_ask_for_every_cell_of_the_register() -> None:
    """Every input that is a number or a word of a list has its row; a text of one's own may be anything."""
    asked = [(check.table, check.given.name) for check in DECLARED]
    wanted = [("", given.name) for given in SCALARS if given.choices or given.unit is not Unit.TEXT]
    wanted += [(rows.table, given.name) for rows in LISTS.values() for given in rows.inputs if given.low]
    wanted += [(rows.months_table, given.name) for rows in LISTS.values() for given in rows.monthly]
    wanted += [(months.table, given.name) for months in MONTHS for given in months.inputs]
    assert len(wanted) > 140 and set(wanted) == set(asked)
