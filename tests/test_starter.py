"""The starter: one template for both unit systems and both hemispheres, explained, believable and readable."""

import csv
import math
import re
import tomllib
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import budget.starter
from budget.coordinates import Position
from budget.errors import InputFaults, ModelError
from budget.references import templates_folder
from budget.site_file.reading import read_site
from budget.site_file.schema import MONTHLY, sections
from budget.site_file.site import Site, Stations
from budget.site_file.values import default_value, read_value
from budget.starter import TEMPLATE, VALUES, starter
from budget.units import SYSTEMS, System, Unit, parse, to_book
from budget.water.nouns import LISTS

FOUR = [(system, southern) for system in SYSTEMS for southern in (False, True)]
MONTHS = "jan feb mar apr may jun jul aug sep oct nov dec".split()
WIDEST = 120
TEMPLATE_TEXT = (templates_folder() / TEMPLATE).read_text(encoding="utf-8")
with (templates_folder() / VALUES).open(encoding="utf-8", newline="") as file:
    ROWS = {row["placeholder"]: row for row in csv.DictReader(file, strict=True)}

each = pytest.mark.parametrize(("system", "southern"), FOUR, ids=[f"{s} {'south' if c else 'north'}" for s, c in FOUR])


def uncommented(text: str) -> str:
    """The starter with every option and every list taken in, as its first lines say it is done."""
    return re.sub(r"^#(?=\S)", "", text, flags=re.MULTILINE)


def document(system: System, southern: bool) -> dict[str, Any]:
    """The starter with all that it shows."""
    return tomllib.loads(uncommented(starter(system, southern)))


def site(folder: Path, text: str) -> Site:
    path = folder / "site.toml"
    path.write_text(text, encoding="utf-8")
    return read_site(path)


def is_quantity(words: str) -> bool:
    try:
        return not parse(words).dimensionless
    except Exception:
        return False


# ---------------------------------------------------------------- the template and its values


def test_every_placeholder_has_its_words_and_all_words_are_used() -> None:
    assert set(re.findall(r"\$\{(\w+)\}", TEMPLATE_TEXT)) == set(ROWS)
    assert re.sub(r"\$\{\w+\}", "", TEMPLATE_TEXT).count("$") == 0


@pytest.mark.parametrize("name", ROWS)
def test_a_row_gives_its_words_by_system_or_by_hemisphere(name: str) -> None:
    row = ROWS[name]
    assert list(row) == ["placeholder", "US", "metric", "north", "south"]
    by_system, by_hemisphere = (row["US"], row["metric"]), (row["north"], row["south"])
    one, other = by_system if any(by_system) else by_hemisphere
    assert one and other and one != other
    assert not (any(by_system) and any(by_hemisphere))
    assert all(words == words.strip() for words in row.values())


def test_quantities_of_the_two_systems_are_the_same_place() -> None:
    """Rounded to what is customary in each, and no further apart than that."""
    compared = 0
    for name, row in ROWS.items():
        if is_quantity(row["US"]):
            ratio = parse(row["US"]) / parse(row["metric"])
            assert float(ratio.to("").magnitude) == pytest.approx(1, abs=0.06), name
            compared += 1
    assert compared >= 35


def test_words_that_do_not_fit_are_a_defect(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(budget.starter, "templates_folder", lambda: tmp_path)
    with pytest.raises(ModelError, match="the starter cannot be written: "):
        starter("US")
    (tmp_path / VALUES).write_text("placeholder,US,metric,north,south\nbore,36 in,0.9 m,,\n", encoding="utf-8")
    for text, reason in (('depth = "${depth}"', "'depth'"), ("price = $ 3", "Invalid placeholder")):
        (tmp_path / TEMPLATE).write_text(text, encoding="utf-8")
        with pytest.raises(ModelError, match=reason):
            starter("US")


def test_comments_behind_lines_stand_in_one_column(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(budget.starter, "templates_folder", lambda: tmp_path)
    (tmp_path / VALUES).write_text("placeholder,US,metric,north,south\nbore,36 in,0.9 m,,\n", encoding="utf-8")
    (tmp_path / TEMPLATE).write_text('bore = "${bore}"  # one # two\n#a = 1  # b\n#  c = 1  # d\n', encoding="utf-8")
    assert (
        starter("metric")
        == 'bore = "0.9 m"                  # one # two\n#a = 1                          # b\n#  c = 1  # d\n'
    )


# ---------------------------------------------------------------- the four texts


@each
def test_texts_are_toml_without_a_placeholder(system: System, southern: bool) -> None:
    text = starter(system, southern)
    assert tomllib.loads(text)["units"] == system
    assert "${" not in text
    assert [line for line in text.splitlines() if len(line) > WIDEST or line != line.rstrip()] == []


@each
def test_texts_say_that_the_place_is_invented_and_where_it_lies(system: System, southern: bool) -> None:
    text = starter(system, southern)
    said = tomllib.loads(text)["site"]
    assert "INVENTED" in text and "(invented)" in said["name"]
    assert (said["latitude"] < 0) == southern
    assert said["name"] == starter_of_other_units(system, southern)["site"]["name"]
    assert said["name"] != tomllib.loads(starter(system, not southern))["site"]["name"]


def starter_of_other_units(system: System, southern: bool) -> dict[str, Any]:
    return tomllib.loads(starter("metric" if system == "US" else "US", southern))


@each
def test_texts_warn_where_the_reader_is(system: System, southern: bool) -> None:
    said = " ".join(re.sub(r"^#", "", line).strip() for line in starter(system, southern).splitlines())
    for warning in (
        "Never enter a dug well",
        "Switch the pump off at its breaker, and make sure that it stays off",
        "Switch the pump off at its breaker, so that nothing starts it again",
        "Nothing that goes down the well may be dirty",
        "stop before it draws air",
        "A full tank is heavy",
        "Local codes, permits and licensed trades come first",
        "no untreated water",
    ):
        assert warning in said


@each
def test_every_line_that_counts_is_explained(system: System, southern: bool) -> None:
    """A key has a comment behind it, or one above it in its own paragraph."""
    counting = 0
    for paragraph in starter(system, southern).split("\n\n"):
        explained = False
        for line in paragraph.splitlines():
            if re.match(r"#?\w+ = ", line):
                assert explained or "  # " in line or "[[" in paragraph, line
                counting += 1
            explained = explained or line.startswith("# ")
    assert counting > 100


@each
def test_sums_in_the_comments_are_right(system: System, southern: bool) -> None:
    sums = re.findall(r"((?:[\d.]+ [x/] )+[\d.]+) = ([\d.]*\d)", starter(system, southern))
    assert len(sums) == 3
    for terms, result in sums:
        first, *rest = re.findall(r"([x/]?) ?([\d.]+)", terms)
        value = float(first[1])
        for sign, number in rest:
            value = value * float(number) if sign == "x" else value / float(number)
        decimals = len(result.partition(".")[2])
        assert value == pytest.approx(float(result), abs=0.51 * 10**-decimals), terms


@pytest.mark.parametrize(("system", "unit"), [("US", "gal/ft"), ("metric", "L/m")])
def test_water_in_the_bore_is_geometry(system: System, unit: str) -> None:
    held = math.pi / 4 * parse(ROWS["bore"][system]) ** 2
    printed, *_ = ROWS["bore_water"][system].split(" ")
    assert float(held.to(unit).magnitude) == pytest.approx(float(printed), rel=2e-3)


def test_the_south_is_half_a_year_away() -> None:
    def month(words: str) -> int:
        return MONTHS.index(words) + 1 if words in MONTHS else date.fromisoformat(words).month

    for name in [*(name for name in ROWS if name.endswith("_date")), "dry_month", "driest_month"]:
        assert (month(ROWS[name]["south"]) - month(ROWS[name]["north"])) % 12 == 6, name
    assert (int(ROWS["planting_month"]["south"]) - int(ROWS["planting_month"]["north"])) % 12 == 6
    for system in SYSTEMS:
        north, south = (document(system, southern) for southern in (False, True))
        for name in ("household", "animals"):
            for one, other in zip(north[name], south[name], strict=True):
                factors = one["factors"]
                turned = factors[6:] + factors[:6] if isinstance(factors, list) else factors
                assert other["factors"] == turned
    assert int(ROWS["fill_month"]["north"]) < int(ROWS["drain_month"]["north"])
    assert int(ROWS["fill_month"]["south"]) > int(ROWS["drain_month"]["south"])


# ---------------------------------------------------------------- the invented measurements


@pytest.mark.parametrize("system", SYSTEMS)
def test_readings_of_the_recovery_give_the_inflow(system: System) -> None:
    """A ds/dt = −C s: the slope of ln s in time is −C/A."""
    shown = document(system, False)
    minutes = np.array([reading["minutes"] for reading in shown["recovery"]])
    drawdown = np.array(
        [metres(reading["depth"]) - metres(shown["well"]["depth_at_test"]) for reading in shown["recovery"]]
    )
    assert 3 <= len(minutes) <= 20 and np.all(np.diff(minutes) > 0) and np.all(np.diff(drawdown) < 0)
    assert drawdown[-1] < drawdown[0] / 2 and drawdown[-1] > 0.05 * drawdown[0]
    slope, _ = np.polyfit(minutes, np.log(drawdown), 1)
    area = math.pi / 4 * metres(shown["well"]["bore"]) ** 2  # [m²]
    inflow = to_book(ROWS["inflow"][system], Unit.INFLOW, "metric") / 1000  # [m²/min]
    assert -slope * area == pytest.approx(inflow, rel=0.04)
    assert np.corrcoef(minutes, np.log(drawdown))[0, 1] < -0.999
    deepest = metres(shown["recovery"][0]["depth"])
    assert deepest < metres(shown["pump"]["intake"]) - metres(shown["pump"]["submergence"])


def metres(quantity: str) -> float:
    return to_book(quantity, Unit.LENGTH, "metric")


@each
def test_dips_stand_between_the_depths_of_the_seasons(system: System, southern: bool) -> None:
    shown = document(system, southern)
    dips = shown["dips"]
    summer, winter = metres(shown["well"]["summer_depth"]), metres(shown["well"]["winter_depth"])
    assert 4 <= len(dips) <= 6
    assert [dip["date"] for dip in dips] == sorted({dip["date"] for dip in dips})
    assert len({dip["date"].year for dip in dips}) >= 3
    assert all(winter - 0.2 < metres(dip["depth"]) < summer + 0.2 for dip in dips)
    dry = (1, 2, 3) if southern else (7, 8, 9)
    for dip in dips:
        assert (metres(dip["depth"]) > (summer + winter) / 2 + 0.5) or dip["date"].month not in dry


@each
def test_dry_spells_lie_in_their_plan_year(system: System, southern: bool) -> None:
    """The plan year begins with the filling, in spring."""
    begins = int(ROWS["fill_month"]["south" if southern else "north"])
    years = document(system, southern)["remembered"]
    assert any("dry_on" not in year for year in years)
    for year in years:
        if "dry_on" in year:
            assert date(year["year"], begins, 1) <= year["dry_on"] < date(year["year"] + 1, begins, 1)


# ---------------------------------------------------------------- as the site file's reader takes it


@each
def test_starters_read_without_a_fault(tmp_path: Path, system: System, southern: bool) -> None:
    read = site(tmp_path, starter(system, southern))
    assert read.system == system and [path.name for path in read.rain_files] == ["rain.csv"]
    assert len(read.lists["household"]) == len(read.lists["animals"]) == len(read.lists["garden"]) == 2
    assert len(read.lists["recovery"]) == 10


@each
def test_options_are_the_declared_defaults(tmp_path: Path, system: System, southern: bool) -> None:
    text = starter(system, southern)
    options, as_it_stands = tomllib.loads(uncommented(text)), tomllib.loads(text)
    compared = 0
    for section, inputs in sections().items():
        for key, declared in inputs.items():
            if key not in as_it_stands.get(section, {}):
                assert read_value(declared, options[section][key], system) == default_value(declared, system), key
                compared += 1
    assert compared >= 38
    short, full = site(tmp_path, text), site(tmp_path, uncommented(text))
    assert full.values == short.values and full.monthly == short.monthly
    for name in short.lists:
        if name in as_it_stands:
            assert full.lists[name] == short.lists[name]


@each
def test_lists_that_are_left_out_are_read_where_they_are_taken_in(
    tmp_path: Path, system: System, southern: bool
) -> None:
    text = starter(system, southern)
    short, full = site(tmp_path, text), site(tmp_path, uncommented(text))
    assert [len(short.lists[name]) for name in ("dips", "remembered")] == [0, 0]
    assert [len(full.lists[name]) for name in ("dips", "remembered")] == [6, 3]


@each
def test_months_by_name_are_read_as_the_comments_show_them(tmp_path: Path, system: System, southern: bool) -> None:
    text = starter(system, southern)
    shown = re.findall(r"^# {5}(monthly_depth|safe_take) = (\{.*\})$", text, flags=re.MULTILINE)
    assert [key for key, _ in shown] == ["monthly_depth", "safe_take"]
    plain = site(tmp_path, text)
    for key, words in shown:
        read = site(tmp_path, re.sub(rf"^#{key} = .*$", f"{key} = {words}", text, flags=re.MULTILINE))
        named = {MONTHS.index(month) for month in tomllib.loads(f"given = {words}")["given"]}
        assert named and {at for at, value in enumerate(read.monthly[key]) if value is not None} == named
        assert plain.monthly[key] == [None] * 12


@each
def test_starters_name_every_key(system: System, southern: bool) -> None:
    shown = document(system, southern)
    assert len(sections()) > 10 and len(LISTS) > 5
    for section, inputs in sections().items():
        assert set(shown[section]) == {*inputs, *(i.name for i in MONTHLY.get(section, ()))}
    for name, entries in LISTS.items():
        assert {key for entry in shown[name] for key in entry} == {i.name for i in (*entries.inputs, *entries.monthly)}


# ---------------------------------------------------------------- where the place lies

HEIGHT = {"US": "295.3 ft", "metric": "90 m"}  # 90 m are 295.28 ft
SETTLED = ("latitude", "longitude", "elevation", "source", "file")


def position(southern: bool, height: float | None) -> Position:
    return Position(-38.2, 176.1, height) if southern else Position(44.605, -123.1, height)


each_place = pytest.mark.parametrize(
    ("system", "southern", "height"),
    [(system, southern, height) for system, southern in FOUR for height in (None, 90.0)],
)


@each_place
def test_a_starter_for_a_place(system: System, southern: bool, height: float | None) -> None:
    """The lines that the coordinates settle are other ones, and no line else."""
    plain, text = starter(system, southern), starter(system, at=position(southern, height))
    pairs = list(zip(plain.splitlines(), text.splitlines(), strict=True))
    changed = [new.partition("  # ")[0].rstrip() for old, new in pairs if old != new]
    assert changed == [
        *([] if southern else ["latitude = 44.605"]),  # the southern one is the invented place's own
        f"longitude = {176.1 if southern else -123.1}",
        '#elevation = ""' if height is None else f'elevation = "{HEIGHT[system]}"',
        'source = "stations"',
        '#file = ""',
    ]
    assert [new.partition("  # ")[2] for old, new in pairs if old != new] == [
        old.partition("  # ")[2] for old, new in pairs if old != new
    ]
    assert [line for line in text.splitlines() if len(line) > WIDEST or line != line.rstrip()] == []


@each_place
def test_starters_for_a_place_read_without_a_fault(
    tmp_path: Path, system: System, southern: bool, height: float | None
) -> None:
    """As they stand, and with every option taken in."""
    at = position(southern, height)
    text = starter(system, at=at)
    short, full = site(tmp_path, text), site(tmp_path, uncommented(text))
    for read in (short, full):
        assert read.rain_files == []
        assert read.stations is not None
        assert read.stations.elevation == (None if height is None else pytest.approx(height, abs=0.02))
        assert read.stations == Stations(at.latitude, at.longitude, read.stations.elevation, None, None, None, 50)
    assert ("site_elevation" in short.given) == ("site_elevation" in full.given) == (height is not None)
    assert full.values == short.values and full.monthly == short.monthly


@each
def test_starters_for_a_place_name_every_key(system: System, southern: bool) -> None:
    shown = tomllib.loads(uncommented(starter(system, at=position(southern, None))))
    assert len(sections()) > 10
    for section, inputs in sections().items():
        assert set(inputs) <= set(shown[section])


def test_the_latitude_settles_the_hemisphere() -> None:
    north, south = position(False, None), position(True, None)
    assert starter("US", True, north) == starter("US", False, north)
    assert starter("US", False, south) == starter("US", True, south)
    assert "Lower Sedge Farm" in starter("US", at=south)
    assert "Rushy Terrace" in starter("US", at=Position(0, 30))


@pytest.mark.parametrize(
    ("degrees", "written"),
    [(44 + 36 / 60 + 12 / 3600, "44.60333"), (44.0, "44"), (-0.0000004, "0"), (40.0, "40"), (-89.999999, "-90")],
)
def test_coordinates_are_written_to_a_metre(degrees: float, written: str) -> None:
    for text in (starter("metric", at=Position(degrees, 10)), starter("metric", at=Position(10, degrees))):
        assert len(re.findall(rf"^(?:latitude|longitude) = {written} +# ", text, flags=re.MULTILINE)) == 1


@pytest.mark.parametrize(
    ("system", "height", "fault"),
    [
        ("metric", 9000, "--at: the height '9000 m' is out of bounds; accepted: -450 to 5,500 m"),
        ("US", -600, "--at: the height '-1968.5 ft' is out of bounds; accepted: -1,476 to 18,040 ft"),
    ],
)
def test_a_height_that_no_site_has(system: System, height: float, fault: str) -> None:
    with pytest.raises(InputFaults) as refused:
        starter(system, at=position(False, height))
    assert str(refused.value) == fault


def test_a_template_without_a_line_for_the_place_is_a_defect(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert len(SETTLED) == 5
    for key in SETTLED:
        missing = re.sub(rf"^#?{key} = .*\n", "", TEMPLATE_TEXT, flags=re.MULTILINE)
        assert missing != TEMPLATE_TEXT
        (tmp_path / TEMPLATE).write_text(missing, encoding="utf-8")
        (tmp_path / VALUES).write_bytes((templates_folder() / VALUES).read_bytes())
        with monkeypatch.context() as patched:
            patched.setattr(budget.starter, "templates_folder", lambda: tmp_path)
            with pytest.raises(ModelError, match=f"0 lines of '{key}'"):
                starter("US", at=position(False, None))


@each
def test_texts_say_what_stations_mean(system: System, southern: bool) -> None:
    """That a build goes out to the network, that what came is kept, and how to ask again; also without coordinates."""
    for text in (starter(system, southern), starter(system, at=position(southern, None))):
        said = " ".join(re.sub(r"^ *# ?", "", line).strip() for line in text.splitlines())
        for words in (
            "The build goes out to the network for the daily rain and temperatures of stations near the place",
            "What came is kept beside this file and used from then on, without the network; --fresh asks again",
            "the station's height is taken",
        ):
            assert words in said
