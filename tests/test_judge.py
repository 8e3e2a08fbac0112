"""Rules between inputs: a check of the book that refuses stops `build`, and speaks when a hand makes the mistake later.

An invented place on five years cut from the example's record. Lines of faults are written out as a family reads them.
"""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from budget.build import build, lay_out
from budget.declarations import Check
from budget.errors import InputFaults
from budget.judge import INPUTS, REFUSING, judge
from budget.material import material
from budget.rain import read_record
from budget.record import Record
from budget.site_file.reading import read_site
from budget.site_file.schema import MONTHLY, column_of, sections
from budget.units import Unit
from budget.water.checks import CHECKS
from budget.water.nouns import LISTS, RESULTS
from budget.workbook.book import Book
from budget.workbook.engine import Model
from tests.computed import ROOT

HEADER, *DAYS = (ROOT / "example_inputs" / "terrace_house_rain.csv").read_text(encoding="utf-8").splitlines()
RAIN = "\n".join([HEADER, *(day for day in DAYS if "2006" <= day[:4] <= "2010")]) + "\n"
SOUND = """
units = "US"
[site]
latitude = 44.3
[rain]
file = "rain.csv"
[well]
bore = "4 ft"
depth = "22 ft"
summer_depth = "15 ft"
winter_depth = "8 ft"
depth_at_test = "9 ft"
inflow = "0.4 gal/min/ft"
[pump]
rate = "8 gal/min"
intake = "21 ft"
submergence = "1 ft"
kind = "submersible"
[tank]
capacity = "5000 gal"
[pond]
depth = "5 ft"
area = "900 ft²"
keep = "1 ft"
[[household]]
use = "overnight guest"
number = 3
[[animals]]
animal = "goat"
head = 2
[[garden]]
crop = "apples"
trees = 6
canopy = "12 ft"
[[roofs]]
area = "900 ft²"
material = "slate"
[[recovery]]
minutes = 0
depth = "14 ft"
[[recovery]]
minutes = 30
depth = "12 ft"
[[recovery]]
minutes = 60
depth = "11 ft"
[[dips]]
date = 2008-08-01
depth = "15 ft"
[[remembered]]
year = 2008
"""
Change = tuple[str, str]
TEST = "".join(f"[[recovery]]{block}" for block in SOUND.split("[[dips]]")[0].split("[[recovery]]")[1:])


def add(section: str, lines: str) -> Change:
    """More lines at the head of a section."""
    return f"{section}\n", f"{section}\n{lines}\n"


def changed(*changes: Change) -> str:
    text = SOUND
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


def written(folder: Path, text: str) -> Path:
    (folder / "rain.csv").write_text(RAIN, encoding="utf-8")
    path = folder / "home.toml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def rain(tmp_path_factory: pytest.TempPathFactory) -> Record:
    return read_record(read_site(written(tmp_path_factory.mktemp("rain"), SOUND)))


def judged(folder: Path, rain: Record, *changes: Change) -> list[str]:
    """The faults that the book finds in the changed site before the fit."""
    site = read_site(written(folder, changed(*changes)))
    book, _ = lay_out(material(site, rain))
    try:
        judge(book, site)
    except InputFaults as faults:
        return [str(fault) for fault in faults.faults]
    return []


# By check: what is changed in the sound site, and the lines that are told. Those of a group are told together.
REFUSED: dict[str, dict[str, tuple[tuple[Change, ...], list[str]]]] = {
    "well and tank": {
        "summer": (
            (('summer_depth = "15 ft"', 'summer_depth = "22.1 ft"'),),
            ["well.summer_depth: '22.1 ft' is deeper than well.depth ('22 ft'); accepted: at most well.depth"],
        ),
        "highest": (
            (add("[well]", 'highest_water = "2.5 m"'),),
            [
                "well.highest_water: '2.5 m' is deeper than well.winter_depth ('8 ft');"
                " accepted: at most well.winter_depth"
            ],
        ),
        "monthly_depth": (
            (add("[well]", 'monthly_depth = { mar = "23 ft", aug = "22 ft", Sep = "25 ft" }'),),
            [
                f"well.monthly_depth[{month}]: is deeper than well.depth ('22 ft'); accepted: at most well.depth"
                for month in (3, 9)
            ],
        ),
        "bottom": (
            (('intake = "21 ft"', 'intake = "22.1 ft"'),),
            ["pump.intake: '22.1 ft' is deeper than well.depth ('22 ft'); accepted: at most well.depth"],
        ),
        "fill_date": (
            (add("[tank]", "fill_from_month = 4\nfill_from_day = 31\ndrain_by_month = 2\ndrain_by_day = 29"),),
            [
                "tank.fill_from_day: 31 is not a day of tank.fill_from_month (4) in every year;"
                " accepted: a date of every year"
            ],
        ),
        "drain_date": (
            (),
            [
                "tank.drain_by_day: 29 is not a day of tank.drain_by_month (2) in every year;"
                " accepted: a date of every year"
            ],
        ),
        "outlet": (
            (add("[tank]", 'below_outlet = "20 m³"'),),
            ["tank.below_outlet: '20 m³' is more than tank.capacity ('5000 gal'); accepted: at most tank.capacity"],
        ),
    },
    "what uses water": {
        "winter": (
            (('winter_depth = "8 ft"', 'winter_depth = "15.1 ft"'),),
            [
                "well.winter_depth: '15.1 ft' is deeper than well.summer_depth ('15 ft');"
                " accepted: at most well.summer_depth"
            ],
        ),
        "intake": (
            (('intake = "21 ft"', 'intake = "16.1 ft"'),),
            [
                "pump.intake: '16.1 ft' is never under water that the pump may take; accepted: deeper than"
                " well.winter_depth ('15.1 ft') plus pump.submergence ('1 ft'), and a pump that can lift from there"
            ],
        ),
        "unknown_use": (
            (
                add("[[household]]", "number = 1\n[[household]]\nuse = 'overnight gest'\nnumber = 2\n[[household]]"),
                add("[[animals]]", "animal = 'gaot'\nhead = 2\n[[animals]]\nhead = 1\n[[animals]]"),
            ),
            [
                "household[1]: has neither a use nor an amount; accepted: an amount, or a use of the table",
                "household[2].use: 'overnight gest' is not in the use table and the line has no amount;"
                " accepted: an amount, or a use of the table, nearest: overnight guest",
            ],
        ),
        "unknown_animal": (
            (),
            [
                "animals[1].animal: 'gaot' is not in the animal table and the line has no amount;"
                " accepted: an amount, or an animal of the table, nearest: goat",
                "animals[2]: has neither an animal nor an amount; accepted: an amount, or an animal of the table",
            ],
        ),
        "unknown_roof": (
            (add("[[roofs]]", 'area = "1 m²"\n[[roofs]]'),),
            ["roofs[1]: has neither a material nor a coefficient; accepted: a material of the table, or a coefficient"],
        ),
        "pond_keep": (
            (('keep = "1 ft"', 'keep = "2 m"'),),
            ["pond.keep: '2 m' is above pond.depth ('5 ft'); accepted: at most pond.depth"],
        ),
        "unsized_zone": (
            (add("[[garden]]", "crop = 'apples'\n[[garden]]\ncrop = 'apples'\ntrees = 6\n[[garden]]"),),
            [
                f"garden[{row}]: has neither an area nor trees with a canopy width;"
                ' accepted: area such as "1200 sq ft", or trees = 6 and canopy = "12 ft"'
                for row in (1, 2)
            ],
        ),
    },
    "what was measured": {
        "recovery": (
            (('depth = "14 ft"', 'depth = "8 ft"'), ('depth = "12 ft"', 'depth = "23 ft"')),
            [
                "recovery: fewer than two readings of the recovery count;"
                " accepted: depths that grow less after the pump stopped, two or more"
            ],
        ),
        "rest": (
            (('depth_at_test = "9 ft"\n', ""),),
            ["well.depth_at_test: missing beside a recovery test; accepted: the depth to water at rest before it"],
        ),
        "readings": (
            (),
            [
                "recovery[2]: deeper than the well;"
                " accepted: minutes since the pump stopped, and a depth above the bottom of the well"
            ],
        ),
        "dips": (
            (("date = 2008-08-01", "date = 2018-08-01"),),
            [
                "dips[1]: after the record ends; accepted: a date within the rain record, each once, and a depth above"
                " the bottom of the well"
            ],
        ),
        "remembered": (
            (("year = 2008", "year = 2008\n[[remembered]]\nloads = 2\n[[remembered]]\nyear = 2009\nloads = 2"),),
            [
                f"remembered[{row}]: {found}; accepted: a whole plan year of the record, each once, with the date on"
                " which it ran dry if it did"
                for row, found in ((2, "neither a year nor a date"), (3, "loads without a date"))
            ],
        ),
        "pond_size": (
            (('area = "900 ft²"\nkeep', "length = '30 ft'\nkeep"),),
            [
                "pond: has a depth but no surface;"
                " accepted: area, or length and width, or bottom_length and bottom_width of a dug pond"
            ],
        ),
    },
    "no test": {
        "test_depth": (
            (('depth_at_test = "9 ft"', 'depth_at_test = "8 m"'),),
            ["well.depth_at_test: '8 m' is deeper than well.depth ('22 ft'); accepted: at most well.depth"],
        ),
        "inflow": (
            ((TEST, ""), ('inflow = "0.4 gal/min/ft"\n', "")),
            [
                "well.inflow: missing; accepted: an inflow per unit of drawdown such as 0.18 gal/min/ft, or a"
                " recovery test"
            ],
        ),
    },
}
IN_ORDER = [check.name for check in CHECKS]


@pytest.mark.parametrize("group", REFUSED)
def test_what_refuses_is_told_together_and_nothing_is_written(group: str, tmp_path: Path) -> None:
    cases = REFUSED[group]
    path = written(tmp_path, changed(*(change for changes, _ in cases.values() for change in changes)))
    before = {file: file.read_bytes() for file in tmp_path.iterdir()}
    with pytest.raises(InputFaults) as caught:
        build(path)
    wanted = [line for name in sorted(cases, key=IN_ORDER.index) for line in cases[name][1]]
    assert [str(fault) for fault in caught.value.faults] == wanted
    assert {file: file.read_bytes() for file in tmp_path.iterdir()} == before


def test_every_check_that_refuses_has_its_case() -> None:
    named = [name for cases in REFUSED.values() for name in cases]
    assert sorted(named) == sorted(check.name for check in REFUSING) == sorted(EDITS)


# ---------------------------------------------------------------- what is not refused

ACCEPTED: dict[str, tuple[Change, ...]] = {
    "as it is": (),
    "depths and intake at the bottom": (
        ('summer_depth = "15 ft"', 'summer_depth = "264 in"'),
        ('intake = "21 ft"', 'intake = "264 in"'),
        ('depth_at_test = "9 ft"', 'depth_at_test = "264 in"'),
        (TEST, ""),
    ),
    "the intake a little under the wet-season water": (('intake = "21 ft"', 'intake = "9.001 ft"'),),
    "below the outlet, and no tank": (
        ('capacity = "5000 gal"', 'below_outlet = "101 gal"'),
        ('area = "900 ft²"\nmaterial = "slate"', 'area = "0 ft²"\ncoefficient = 0.9'),
    ),
    "a tank that holds nothing else": (add("[tank]", 'below_outlet = "5000 gal"'),),
    "a pond kept full": (('keep = "1 ft"', 'keep = "60 in"'),),
    "no pond": (('depth = "5 ft"\narea = "900 ft²"\n', ""),),
    "a dug pond": (('area = "900 ft²"\nkeep', "bottom_length = '30 ft'\nbottom_width = '9 ft'\nkeep"),),
    "a well that gives nothing": (('inflow = "0.4 gal/min/ft"', 'inflow = "0 gal/min/ft"'),),
    "the last days of months": (
        add("[tank]", "fill_from_month = 2\nfill_from_day = 28\ndrain_by_month = 10\ndrain_by_day = 31"),
    ),
    "an amount of one's own": (('use = "overnight guest"', 'use = "trough"\namount = "5 gal/day"'),),
    "a zone by its area": (('trees = 6\ncanopy = "12 ft"', 'area = "0 ft²"'),),
}


@pytest.mark.parametrize("case", ACCEPTED)
def test_what_may_be_right_is_not_refused(case: str, tmp_path: Path, rain: Record) -> None:
    assert judged(tmp_path, rain, *ACCEPTED[case]) == []


def test_an_intake_just_as_deep_as_it_must_be_covered_is_refused(tmp_path: Path, rain: Record) -> None:
    """At wet-season depth plus submergence not a drop may be taken: by whole feet, and by what rounds to them."""
    for intake in ("9 ft", "108 in", "2.7432 m"):
        (told,) = judged(tmp_path, rain, ('intake = "21 ft"', f'intake = "{intake}"'))
        assert told.startswith(f"pump.intake: '{intake}' is never under water")


def test_a_suction_pump_that_cannot_lift_the_wet_season_water_is_refused(tmp_path: Path, rain: Record) -> None:
    """22 feet at sea level are too little for water that stands 18 feet below a pump 5 feet above the ground."""
    high = (
        ('kind = "submersible"', 'kind = "suction"\nheight = "5 ft"'),
        ('winter_depth = "8 ft"', 'winter_depth = "18 ft"'),
    )
    deep = (('summer_depth = "15 ft"', 'summer_depth = "19 ft"'), (TEST, ""))
    (told,) = judged(tmp_path, rain, *high, *deep)
    assert told.startswith("pump.intake: '21 ft' is never under water that the pump may take; ")
    assert told.endswith("and a pump that can lift from there")


def test_a_place_without_a_well_is_not_asked_for_one(tmp_path: Path, rain: Record) -> None:
    without = SOUND[SOUND.index("[well]") : SOUND.index("[tank]")]
    dips = SOUND[SOUND.index("[[dips]]") :]
    assert judged(tmp_path, rain, (without, ""), (TEST, ""), (dips, "")) == []


def test_the_defaults_are_told_where_the_file_has_nothing(tmp_path: Path, rain: Record) -> None:
    (told,) = judged(tmp_path, rain, ('submergence = "1 ft"\n', ""), ('intake = "21 ft"', 'intake = "8.5 ft"'))
    assert "plus pump.submergence ('0.3 m')" in told


def test_braces_in_a_word_of_the_site_file_are_told_as_they_are(tmp_path: Path, rain: Record) -> None:
    (told,) = judged(tmp_path, rain, ('use = "overnight guest"', 'use = "{kind} {well_depth}"'))
    assert told.startswith("household[1].use: '{kind} {well_depth}' is not in the use table")


def test_a_year_that_only_the_fitted_book_can_place_is_judged_after_the_fit(tmp_path: Path) -> None:
    """In service all year the plan year begins in the month of the largest yield, which is not January here: that of
    2010 is then not whole in a record that ends with 2010."""
    all_year = add("[tank]", 'in_service = "all year"')
    path = written(tmp_path, changed(all_year, ("year = 2008", "year = 2010")))
    with pytest.raises(InputFaults, match=r"^remembered\[1\]: the record does not hold this plan year; "):
        build(path)
    assert not path.with_suffix(".xlsx").exists()
    assert build(written(tmp_path, changed(all_year))).path.exists()


# ---------------------------------------------------------------- the same mistakes, typed into the book

Cell = str | tuple[str, str, int]  # a named cell, or a table's column and row
Edit = dict[Cell, float | str | None]
# By check: what a hand types into the sound book [US units], and which other refusing checks then speak as well.
EDITS: dict[str, tuple[Edit, set[str]]] = {
    "summer": ({"well_summer_depth": 22.5}, {"intake_late"}),
    "winter": ({"well_winter_depth": 15.5}, set()),
    "highest": ({"well_highest_water": 8.5}, set()),
    "test_depth": ({"well_depth_at_test": 22.5}, set()),
    "monthly_depth": ({("well_months", "monthly_depth", 7): 22.5}, set()),
    "bottom": ({"pump_intake": 22.5}, set()),
    "intake": ({"pump_intake": 9.0}, set()),
    "inflow": (
        {"well_inflow": None, **{("recovery", key, row): None for key in ("minutes", "depth") for row in range(3)}},
        set(),
    ),
    "rest": ({"well_depth_at_test": None}, set()),
    "recovery": (
        {("recovery", "depth", 0): 11.0, ("recovery", "depth", 1): 12.0, ("recovery", "depth", 2): 13.0},
        set(),
    ),
    "readings": ({("recovery", "depth", 5): 10.0}, set()),
    "dips": ({("dips", "depth", 3): 10.0}, set()),
    "remembered": ({("remembered", "loads", 3): 10.0}, set()),
    "fill_date": ({"tank_fill_from_month": 4, "tank_fill_from_day": 31}, set()),
    "drain_date": ({"tank_drain_by_month": 9, "tank_drain_by_day": 31}, set()),
    "outlet": ({"tank_below_outlet": 5000.5}, set()),
    "unknown_use": ({("household", "use", 0): "overnight gest"}, set()),
    "unknown_animal": ({("animals", "animal", 0): None}, set()),
    "unknown_roof": ({("roofs", "material", 0): None}, set()),
    "pond_size": ({"pond_area": None}, set()),
    "pond_keep": ({"pond_keep": 5.5}, set()),
    "unsized_zone": ({("zones", "canopy", 0): None}, set()),
}


class Typed:
    """A book whose refusing checks are computed as cells are typed, and put back."""

    def __init__(self, book: Book) -> None:
        self.book = book
        others = [check for check in CHECKS if check.name in ("intake_late", "no_inflow")]
        self.checks = [*REFUSING, *others]
        self.model = Model(book, [check.result.name for check in self.checks])
        self.model.evaluate()

    def type_in(self, edit: Edit) -> Edit:
        """Type into cells; returns what stood there."""
        before: Edit = {}
        for cell, value in edit.items():
            where = self.book.directory.names[cell] if isinstance(cell, str) else self.book.cells(*cell[:2])[cell[2]]
            held = self.model.cell(where)
            before[cell] = None if held in (None, "") else held  # type: ignore[assignment]
            if value is None:
                self.model.clear_cell(where)
            else:
                self.model.set_cell(where, value)
        self.model.evaluate()
        return before

    def speaking(self) -> dict[str, str]:
        said = {check.name: str(self.model.value(check.result.name) or "") for check in self.checks}
        return {name: text for name, text in said.items() if text}


@pytest.fixture(scope="module")
def typed(tmp_path_factory: pytest.TempPathFactory, rain: Record) -> Typed:
    site = read_site(written(tmp_path_factory.mktemp("typed"), SOUND))
    book, _ = lay_out(material(site, rain))
    return Typed(book)


@pytest.fixture
def sound(typed: Typed) -> Iterator[Typed]:
    assert typed.speaking() == {}
    yield typed
    assert typed.speaking() == {}, "the book was not put back as it was"


def sentence(check: Check) -> str:
    """The constant words at the beginning of what a check says."""
    found = re.match(r'"([^"]+)', check.sentence)
    assert found is not None
    return found[1]


@pytest.mark.parametrize("name", EDITS)
def test_the_book_says_it_too(name: str, sound: Typed) -> None:
    edit, others = EDITS[name]
    before = sound.type_in(edit)
    said = sound.speaking()
    sound.type_in(before)
    assert said.keys() == {name, *others}
    (check,) = (check for check in CHECKS if check.name == name)
    assert said[name].startswith(sentence(check))
    assert sound.book.directory.names[check.result.name][0] == "Checks"


def test_some_mistakes_only_warn(sound: Typed) -> None:
    """An intake that late summer leaves dry, and an inflow of nothing, may be true."""
    for edit, name in (({"pump_intake": 14.0}, "intake_late"), ({"well_inflow": 0.0}, "no_inflow")):
        before = sound.type_in(edit)  # type: ignore[arg-type]
        said = sound.speaking()
        sound.type_in(before)
        assert said.keys() == {name}


@pytest.mark.parametrize(
    "edit",
    [{"tank_fill_from_month": 2, "tank_fill_from_day": 28}, {"pump_intake": 9.001}, {"tank_below_outlet": 5000.0}],
)
def test_what_may_be_right_stays_silent(edit: Edit, sound: Typed) -> None:
    before = sound.type_in(edit)
    said = sound.speaking()
    sound.type_in(before)
    assert said.keys() <= {"intake_late"}


# ---------------------------------------------------------------- how checks are declared


def test_the_place_of_a_refusal_is_one_of_the_site_file() -> None:
    """And what its words name are inputs, columns and tables that there are."""
    places = {f"{section}.{key}" for section, keys in sections().items() for key in keys}
    places |= {f"{section}.{given.key}" for section, inputs in MONTHLY.items() for given in inputs}
    assert len(REFUSING) > 20
    for check in REFUSING:
        refusal = check.refuses
        assert refusal is not None
        assert refusal.where in places or refusal.where in {*LISTS, *sections()}, check.name
        named = set(re.findall(r"\{(\w+)\}", refusal.found + refusal.accepted + refusal.if_empty))
        assert named - {"value", "kind"} <= set(INPUTS), check.name
        assert refusal.found or refusal.cells, check.name
        if refusal.key:
            assert refusal.key in {given.key for given in LISTS[refusal.where].inputs}
            assert len(column_of(refusal.words)) > 5 and refusal.if_empty


def test_checks_are_named_once_and_no_text_of_theirs_holds_decimals() -> None:
    names = [check.name for check in CHECKS]
    assert len(set(names)) == len(names) > 50
    texts = [check.sentence for check in CHECKS] + [made.formula for made in RESULTS if made.unit is Unit.TEXT]
    formats = [found for text in texts for found in re.findall(r'TEXT\([^"]*"([^"]*)"\)', text)]
    assert set(formats) <= {"0", "0%"} and formats
