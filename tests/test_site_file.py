"""The site file: every kind of fault with its line, and the same quantities in either system of units.

The conversion factors below stand for themselves: they are exact by definition (international foot and US gallon).
"""

import re
import tempfile
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from budget import references
from budget.declarations import Input
from budget.errors import InputFaults, ModelError
from budget.record import Asked
from budget.record.asked import UNIT_SETTINGS
from budget.site_file.reading import read_site
from budget.site_file.schema import MONTHLY, RAIN_SETTINGS, SETTINGS, bounds, sections
from budget.site_file.site import Site, Stations
from budget.site_file.values import Refused, read_value
from budget.site_file.words import TOML_ACCEPTED, bounds_in_words
from budget.units import SYSTEMS, System, Unit
from budget.water import household_demand, water_table, years_of_record
from budget.water.nouns import LISTS, SCALARS, place

L_PER_GAL = 3.785411784
M_PER_FT = 0.3048
KG_PER_LB = 0.45359237
ONE_DAY = timedelta(days=1)

SMALLEST = """
units = "US"
[site]
latitude = 44.6
[rain]
file = "rain.csv"
[well]
bore = "36 in"
depth = "24 ft"
summer_depth = "16 ft"
winter_depth = "6 ft"
inflow = "0.18 gal/min/ft"
[pump]
rate = "8 gal/min"
intake = "21 ft"
"""
EVERY_INPUT = [i for i in SCALARS if i.found != water_table.STORED]
LIST_INPUTS = [i for entries in LISTS.values() for i in (*entries.inputs, *entries.monthly)]
MONTHLY_INPUTS = [i for inputs in MONTHLY.values() for i in inputs]
DECLARED = [*EVERY_INPUT, *LIST_INPUTS, *MONTHLY_INPUTS]
NUMBERS = [i for i in DECLARED if i.unit is not Unit.TEXT]
DATES = [i for i in DECLARED if i.unit is Unit.DATE]
PHYSICAL = [i for i in NUMBERS if i.unit.physical]


LATITUDE_ACCEPTED = (
    "a latitude in degrees from -90 to 90, south negative, or with N or S such as 44.6, -38.2 or 44°36'N"
)
LONGITUDE_ACCEPTED = (
    "a longitude in degrees from -180 to 180, west negative, or with E or W such as -123.1, 176.1 or 123°6'W"
)


def named(inputs: list[Input]) -> list[Any]:
    return [pytest.param(i, id=i.name) for i in inputs]


def write(folder: Path, text: str) -> Path:
    path = folder / "site.toml"
    path.write_text(text, encoding="utf-8")
    return path


def put(text: str, where: str, line: str) -> str:
    """The text with one more line in a section that it has, or in a new one at its end."""
    heading = f"[{where}]\n"
    return text.replace(heading, heading + line + "\n") if heading in text else f"{text}{heading}{line}\n"


def change(text: str, key: str, value: str) -> str:
    """The text with another value of a key that it has."""
    changed, count = re.subn(rf"^{key} = .*$", f"{key} = {value}", text, flags=re.MULTILINE)
    assert count == 1, key
    return changed


def faults(folder: Path, text: str) -> list[str]:
    with pytest.raises(InputFaults) as caught:
        read_site(write(folder, text))
    return [str(fault) for fault in caught.value.faults]


def site(folder: Path, text: str) -> Site:
    return read_site(write(folder, text))


# ---------------------------------------------------------------- what is read


def test_smallest_file_takes_every_default(tmp_path: Path) -> None:
    read = site(tmp_path, SMALLEST)
    assert read.system == "US"
    assert list(read.values) == [i.name for i in SCALARS]
    assert read.given == {
        *("site_latitude", "well_bore", "well_depth", "well_summer_depth", "well_winter_depth", "well_inflow"),
        *("pump_rate", "pump_intake"),
    }
    assert read.values["well_bore"] == 3.0  # [ft] 36 in
    assert read.values["pump_most_runs"] == 48
    assert read.values["pump_submergence"] == pytest.approx(0.3 / M_PER_FT, rel=1e-12)
    assert read.values["soil_available_water"] is None and read.values["aquifer_floor"] is None
    assert read.lists == {name: [] for name in LISTS}
    assert read.monthly == {
        name: [None] * 12 for name in ("filling", "kept", "monthly_depth", "safe_take", "rain_so_far")
    }
    assert read.rain_files == [tmp_path / "rain.csv"] and read.rain_neighbours == []
    assert set(read.rain_settings.values()) == {None} and read.stations is None


def test_every_input_has_one_place_and_the_stored_one_has_none() -> None:
    places = [(section, key) for section, keys in sections().items() for key in keys]
    assert len(places) == len(set(places)) == len(EVERY_INPUT) + len(SETTINGS)
    assert sections()["well"]["bore"].name == "well_bore"
    assert sections()["plan"]["for"].name == "plan_for"
    assert "error_at_build" not in sections()["fit"]
    for section, inputs in MONTHLY.items():
        assert not {i.name for i in inputs} & set(sections()[section])


def test_rain_settings(tmp_path: Path) -> None:
    text = put(SMALLEST, "rain", 'unit = "in"\ntemperature_unit = "f"\nlocal_annual = "38 in"')
    read = site(tmp_path, change(text, "file", '"records/near.csv"'))
    assert (read.rain_settings["unit"], read.rain_settings["temperature_unit"]) == ("in", "F")
    assert read.rain_files == [tmp_path / "records" / "near.csv"]
    assert read.values["rain_local_annual"] == pytest.approx(38)
    assert "rain_local_annual" in read.given and "rain_unit" not in read.given


def test_several_files_and_how_to_read_them(tmp_path: Path) -> None:
    text = change(SMALLEST, "file", '["rain.csv", "records/warmth.csv"]')
    more = 'neighbours = ["near.csv"]\nstation = "X1"\ndate_order = "Day first"\ndays_left_out = "dry"'
    read = site(tmp_path, put(text, "rain", more))
    assert read.rain_files == [tmp_path / "rain.csv", tmp_path / "records" / "warmth.csv"]
    assert read.rain_neighbours == [tmp_path / "near.csv"]
    assert read.rain_settings == {
        "unit": None,
        "temperature_unit": None,
        "station": "X1",
        "date_order": "day first",
        "days_left_out": "dry",
    }


@pytest.mark.parametrize(
    ("written", "found"),
    [
        ("[]", "names no file"),
        ('["a.csv", 3]', "names no file"),
        ('["a.csv", "a.csv"]', "names a file twice"),
        ("7", "rain.file: 7 names no file"),
    ],
)
def test_files_that_are_not_named(tmp_path: Path, written: str, found: str) -> None:
    with pytest.raises(InputFaults) as caught:
        site(tmp_path, change(SMALLEST, "file", written))
    assert [found in str(fault) for fault in caught.value.faults] == [True]


def test_rain_units_are_those_of_the_record() -> None:
    units = [one for one in RAIN_SETTINGS if one.name.endswith("unit")]
    assert [one.name for one in units] == ["rain_unit", "rain_temperature_unit"]
    for setting, (_, told, choices) in zip(
        units,
        list(UNIT_SETTINGS.values())[:2],
        strict=True,
    ):
        assert ".".join(place(setting)) == told
        assert setting.choices == choices


def test_lists(tmp_path: Path) -> None:
    text = f"""{SMALLEST}
[[household]]
use = "Overnight Guest"
number = 2
factors = [0, 0, 0, 0, 0, 1, 1.5, 1, 0, 0, 0, 0]
[[household]]
use = "trough"
number = 1.5
amount = "100 L/day"
factors = 2
[[garden]]
crop = "Apples"
trees = 6
canopy = "12 ft"
kc = ["", "", "", 0.5, "", "", "", "", "", "", "", ""]
[[garden]]
name = "beds"
crop = "tomatoes"
area = "1200 sq ft"
share_given = "80 %"
"""
    read = site(tmp_path, text)
    guest, trough = read.lists["household"]
    assert guest == {
        "use": "overnight guest",
        "number": 2,
        "amount": None,
        "factors": [0, 0, 0, 0, 0, 1, 1.5, 1, 0, 0, 0, 0],
    }
    assert trough["use"] == "trough" and trough["factors"] == [2] * 12
    assert trough["amount"] == pytest.approx(100 / L_PER_GAL, rel=1e-12)
    apples, beds = read.lists["garden"]
    assert apples["crop"] == "apples" and apples["name"] is None and apples["area"] is None
    assert apples["kc"] == [None, None, None, 0.5, *[None] * 8]
    assert apples["efficiency"] == 0.75 and apples["trees"] == 6
    assert beds["area"] == pytest.approx(1200) and beds["share_given"] == 0.8
    assert set(beds) == {i.name for i in (*LISTS["garden"].inputs, *LISTS["garden"].monthly)}


TESTED = put(SMALLEST, "well", 'depth_at_test = "9.4 ft"')


def test_readings_of_a_recovery_test(tmp_path: Path) -> None:
    """Minutes are plain numbers; the inflow may then be left out."""
    readings = 'recovery = [{ minutes = -2.5, depth = "15 ft" }, { minutes = "1,000", depth = "3 m" }]\n'
    read = site(tmp_path, readings + re.sub("^inflow = .*\n", "", TESTED, flags=re.MULTILINE))
    first, second = read.lists["recovery"]
    assert first == {"minutes": -2.5, "depth": 15}
    assert second == {"minutes": 1000, "depth": pytest.approx(3 / M_PER_FT, rel=1e-12)}
    assert read.values["well_inflow"] is None and "well_inflow" not in read.given


@pytest.mark.parametrize("written", ["2024-05-01", '"2024-05-01"', '" 2024-05-01 "'])
def test_a_date_may_be_one_or_text(tmp_path: Path, written: str) -> None:
    """The book holds its number of days after 30 December 1899."""
    text = f'dips = [{{ date = {written}, depth = "9 ft" }}]\nremembered = [{{ dry_on = {written} }}]\n{SMALLEST}'
    read = site(tmp_path, text)
    assert read.lists["dips"] == [{"date": 45413, "depth": 9}]
    assert read.lists["remembered"] == [{"year": None, "dry_on": 45413, "loads": None, "garden": None}]


def test_dry_spells_remembered(tmp_path: Path) -> None:
    lines = '[[remembered]]\nyear = 2012\n[[remembered]]\nyear = "2015"\ndry_on = 2015-08-20\nloads = 2.5\n'
    never, dry = site(tmp_path, f'{SMALLEST}{lines}garden = "40 %"\n').lists["remembered"]
    assert never == {"year": 2012, "dry_on": None, "loads": None, "garden": None}
    assert dry == {"year": 2015, "dry_on": 42236, "loads": 2.5, "garden": 0.4}


def test_a_year_without_a_dry_day_may_say_that_nothing_was_hauled(tmp_path: Path) -> None:
    (year,) = site(tmp_path, f"{SMALLEST}[[remembered]]\nyear = 2012\nloads = 0\n").lists["remembered"]
    assert (year["dry_on"], year["loads"]) == (None, 0)


def test_animals(tmp_path: Path) -> None:
    lines = (
        '[[animals]]\nanimal = "Goat, milking"\nhead = 2\nfactors = { July = 1.5, aug = 2, 12 = 0 }\n'
        '[[animals]]\nanimal = "Ostrich"\nhead = 1\namount = "10 L/day"\n'
    )
    goats, ostrich = site(tmp_path, SMALLEST + lines).lists["animals"]
    assert goats == {
        "animal": "goat, milking",
        "head": 2,
        "amount": None,
        "factors": [1, 1, 1, 1, 1, 1, 1.5, 2, 1, 1, 1, 0],
    }
    assert (ostrich["animal"], ostrich["factors"]) == ("Ostrich", [1] * 12)
    assert ostrich["amount"] == pytest.approx(10 / L_PER_GAL, rel=1e-12)


def test_as_many_entries_as_the_book_has_rows_for(tmp_path: Path) -> None:
    readings = "".join(f'[[recovery]]\nminutes = {minute}\ndepth = "15 ft"\n' for minute in range(20))
    years = "".join(f"[[remembered]]\nyear = {year}\n" for year in range(2001, 2011))
    read = site(tmp_path, TESTED + readings + years)
    assert (len(read.lists["recovery"]), len(read.lists["remembered"])) == (20, 10)


MONTHS_BY_NAME = "{ Jan = 1, february = 2, MAR = 3, April = 4, May = 5, jun = 6, 7 = 7, aug = 6, dec = 5 }"


@pytest.mark.parametrize(
    ("section", "key", "unit", "in_book"),
    [("well", "monthly_depth", "m", 1 / M_PER_FT), ("pump", "safe_take", "L/day", 1 / L_PER_GAL)],
)
def test_months_of_the_well_and_pump(tmp_path: Path, section: str, key: str, unit: str, in_book: float) -> None:
    """By name, short or whole, or by number; months that are not named stay empty."""
    quantities = re.sub(r"= (\d+)", rf'= "\1 {unit}"', MONTHS_BY_NAME)
    read = site(tmp_path, put(SMALLEST, section, f"{key} = {quantities}"))
    wanted = [1, 2, 3, 4, 5, 6, 7, 6, None, None, None, 5]
    assert read.monthly[key] == [None if n is None else pytest.approx(n * in_book, rel=1e-12) for n in wanted]
    assert key in read.given


def test_months_of_the_tank(tmp_path: Path) -> None:
    filling = '[1, 0, "", "", "", "", "", "", "", "", "", 1]'
    kept = '["", "", "", "500 gal", "2 m³", "", "", "", "", "", "", ""]'
    read = site(tmp_path, put(SMALLEST, "tank", f"filling = {filling}\nkept = {kept}"))
    assert read.monthly["filling"] == [1, 0, *[None] * 9, 1]
    assert read.monthly["kept"][3:5] == pytest.approx([500, 2000 / L_PER_GAL])
    assert {"filling", "kept"} <= read.given


@pytest.mark.parametrize(
    ("raw", "value"), [('"driest"', "driest"), ('"1 IN 5"', "1 in 5"), ("2015", 2015), ('"2015"', 2015)]
)
def test_plan_for(tmp_path: Path, raw: str, value: object) -> None:
    assert site(tmp_path, put(SMALLEST, "plan", f"for = {raw}")).values["plan_for"] == value


def test_text_may_be_anything_that_prints(tmp_path: Path) -> None:
    for text in ("=1+1", "+1 (555)", "Øvre brønn", "x" * 200):
        assert site(tmp_path, put(SMALLEST, "site", f'name = "{text}"')).values["site_name"] == text


def test_empty_text_leaves_an_optional_input_empty(tmp_path: Path) -> None:
    read = site(tmp_path, put(SMALLEST, "aquifer", 'floor = ""'))
    assert read.values["aquifer_floor"] is None and "aquifer_floor" not in read.given


def test_dates_of_service(tmp_path: Path) -> None:
    dates = "fill_from_month = 4\nfill_from_day = 30\ndrain_by_month = 10\ndrain_by_day = 31"
    read = site(tmp_path, put(SMALLEST, "tank", dates))
    assert [read.values[f"tank_{key}"] for key in ("fill_from_month", "fill_from_day")] == [4, 30]
    assert site(tmp_path, put(SMALLEST, "tank", 'in_service = "between the dates"')).system == "US"


def test_a_mark_at_the_beginning_of_the_file_is_no_fault(tmp_path: Path) -> None:
    assert site(tmp_path, "\ufeff" + SMALLEST).system == "US"


# ---------------------------------------------------------------- where the place lies, and rain from stations

# A latitude as it is written, and as the book holds it; 12' are 0.2 degrees and 18" are 0.005.
WRITTEN_LATITUDES = [
    ("44.6", 44.6),
    ("-38", -38),
    ('"44.6"', 44.6),
    ('"44.6 N"', 44.6),
    ('"S 38.2°"', -38.2),
    ('"38°12\'S"', -38.2),
    ('"44°36\'18\\"N"', 44.605),
    ("'44° 36′ 18″ N'", 44.605),
    ('"44 36 18 N"', 44.605),
]


@pytest.mark.parametrize(("written", "degrees"), WRITTEN_LATITUDES, ids=[written for written, _ in WRITTEN_LATITUDES])
def test_a_latitude_in_all_its_forms(tmp_path: Path, written: str, degrees: float) -> None:
    assert site(tmp_path, change(SMALLEST, "latitude", written)).values["site_latitude"] == degrees


NEARBY = put(SMALLEST.replace('file = "rain.csv"\n', 'source = "stations"\n'), "site", "longitude = -123.1")


def test_stations_near_the_place(tmp_path: Path) -> None:
    """As little as a family may write, and nothing of files."""
    read = site(tmp_path, NEARBY)
    assert read.stations == Stations(44.6, -123.1, None, None, None, None, 50)
    assert (read.rain_files, read.rain_neighbours) == ([], [])
    assert set(read.rain_settings.values()) == {None}
    assert read.values["site_elevation"] == 0 and "site_elevation" not in read.given
    assert not {setting.name for setting in SETTINGS} & (set(read.values) | read.given)


@pytest.mark.parametrize("units", SYSTEMS)
def test_all_that_is_said_of_stations_is_metric(tmp_path: Path, units: System) -> None:
    """Exact in either system of the book."""
    text = change(change(NEARBY, "longitude", '"123°6\'W"'), "units", f'"{units}"')
    text = put(text, "site", 'elevation = "295 ft"')
    text = put(text, "rain", 'from_year = 1981\nto_year = "2010"\nwithin = "20 mi"\nstation = " 72694 "')
    read = site(tmp_path, text)
    assert read.stations == Stations(44.6, -123.1, 89.916, "72694", 1981, 2010, 32.18688)
    assert read.rain_settings["station"] is None and "site_elevation" in read.given


def test_empty_places_of_files_and_stations(tmp_path: Path) -> None:
    """As the starter shows them: a file and a height that are left empty are not given."""
    empty = 'neighbours = ""\nunit = ""\ndate_order = ""\nfrom_year = ""\nto_year = ""\nwithin = ""\nstation = ""'
    text = put(put(NEARBY, "rain", f'file = " "\n{empty}'), "site", 'elevation = ""')
    read = site(tmp_path, text)
    assert read.stations == Stations(44.6, -123.1, None, None, None, None, 50)
    assert read.values["site_elevation"] == 0 and "site_elevation" not in read.given
    files = site(tmp_path, put(put(SMALLEST, "rain", f'source = "Files"\n{empty}'), "site", 'longitude = ""'))
    assert files.stations is None and len(files.rain_files) == 1


def test_a_place_may_tell_its_longitude_beside_files(tmp_path: Path) -> None:
    read = site(tmp_path, put(SMALLEST, "site", "longitude = 0"))
    assert read.stations is None and "site_longitude" not in read.given


def test_greenwich_is_a_longitude(tmp_path: Path) -> None:
    read = site(tmp_path, change(NEARBY, "longitude", "0"))
    assert read.stations is not None and read.stations.longitude == 0


def test_how_to_read_files_is_what_the_record_asks(tmp_path: Path) -> None:
    for text in (SMALLEST, NEARBY):
        assert Asked(**site(tmp_path, text).rain_settings) == Asked()


FILES_ONLY = 'and source is "stations"; accepted: files only with source = "files"'
STATIONS_ONLY = 'and source is "files"; accepted: only with source = "stations"'
AT_STATIONS = [
    ("rain", 'file = "rain.csv"', f"rain.file: 'rain.csv' is given, {FILES_ONLY}"),
    ("rain", 'file = ["a.csv", "b.csv"]', f"rain.file: a list is given, {FILES_ONLY}"),
    ("rain", "file = 7", 'rain.file: 7 names no file; accepted: a name such as "rain.csv", or a list of names'),
    ("rain", 'neighbours = "near.csv"', f"rain.neighbours: 'near.csv' is given, {FILES_ONLY}"),
    ("rain", 'unit = "in"', f"rain.unit: 'in' is given, {FILES_ONLY}"),
    ("rain", 'temperature_unit = "F"', f"rain.temperature_unit: 'F' is given, {FILES_ONLY}"),
    ("rain", 'date_order = "day first"', f"rain.date_order: 'day first' is given, {FILES_ONLY}"),
    ("rain", 'days_left_out = "dry"', f"rain.days_left_out: 'dry' is given, {FILES_ONLY}"),
    ("rain", "station = 72694", "rain.station: 72694 is not text; accepted: text of 1 to 200 characters"),
    ("rain", "from_year = 1849", "rain.from_year: 1849 is out of bounds; accepted: 1850 to 2100"),
    ("rain", "to_year = 2000.5", "rain.to_year: 2000.5 is not a whole number; accepted: a whole number, 1850 to 2100"),
    ("rain", "to_year = 2000-01-01", "rain.to_year: 2000-01-01 is not a number; accepted: a year, 1850 to 2100"),
    (
        "rain",
        "from_year = 2011\nto_year = 2010",
        "rain.from_year: 2011 is after rain.to_year (2010); accepted: at most rain.to_year",
    ),
    ("rain", 'within = "0.9 km"', "rain.within: '0.9 km' is out of bounds; accepted: 0.6214 to 310.6 mi"),
    ("rain", 'within = "501 km"', "rain.within: '501 km' is out of bounds; accepted: 0.6214 to 310.6 mi"),
    ("rain", "within = 50", "rain.within: 50 has no unit; accepted: a distance such as 30 mi or 50 km"),
    ("rain", 'within = "5 gal"', "rain.within: '5 gal' is a volume; accepted: a distance such as 30 mi or 50 km"),
    (
        "site",
        'elevation = "9 gal"',
        "site.elevation: '9 gal' is a volume; accepted: a height above the sea such as 430 ft or 130 m",
    ),
]


@pytest.mark.parametrize(("section", "lines", "fault"), AT_STATIONS, ids=[lines[:30] for _, lines, _ in AT_STATIONS])
def test_faults_where_the_rain_comes_from_stations(tmp_path: Path, section: str, lines: str, fault: str) -> None:
    assert faults(tmp_path, put(NEARBY, section, lines)) == [fault]


@pytest.mark.parametrize("source", ['source = "files"\n', ""])
@pytest.mark.parametrize(
    ("key", "value", "told"),
    [("from_year", "1990", "1990"), ("to_year", "2020", "2020"), ("within", '"50 km"', "'50 km'")],
)
def test_what_chooses_stations_is_not_for_files(tmp_path: Path, key: str, value: str, told: str, source: str) -> None:
    lines = f"{source}{key} = {value}"
    assert faults(tmp_path, put(SMALLEST, "rain", lines)) == [f"rain.{key}: {told} is given, {STATIONS_ONLY}"]


MISSING_LONGITUDE = (
    f"site.longitude: missing, and stations near the place are found by it; accepted: {LONGITUDE_ACCEPTED}"
)


@pytest.mark.parametrize(
    ("line", "fault"),
    [
        ("", MISSING_LONGITUDE),
        ('longitude = ""', MISSING_LONGITUDE),
        ("longitude = 180.5", "site.longitude: 180.5 is out of bounds; accepted: -180 to 180"),
        (
            'longitude = "123.1 N"',
            f"site.longitude: '123.1 N' has the letter N, which is not for a longitude; accepted: {LONGITUDE_ACCEPTED}",
        ),
        ("longitude = true", f"site.longitude: true is not a number; accepted: {LONGITUDE_ACCEPTED}"),
    ],
)
def test_a_longitude_that_is_missing_or_wrong(tmp_path: Path, line: str, fault: str) -> None:
    assert faults(tmp_path, NEARBY.replace("longitude = -123.1", line)) == [fault]


@pytest.mark.parametrize("source", ['"sattelite"', '""', "1", '["stations"]'])
def test_a_source_that_is_none_is_the_only_fault(tmp_path: Path, source: str) -> None:
    """Whether a file or a longitude is missing then nobody knows."""
    (told,) = faults(tmp_path, change(NEARBY, "source", source))
    assert told.startswith("rain.source: ") and told.endswith("; accepted: files, stations")


@pytest.mark.parametrize("setting", named(SETTINGS))
@pytest.mark.parametrize("system", SYSTEMS)
def test_bounds_and_defaults_of_the_settings_are_accepted(setting: Input, system: System) -> None:
    for text in (setting.default, setting.low, setting.high):
        assert text is None or (read_value(setting, text, system) is None) == (text == "")


# ---------------------------------------------------------------- files that cannot be had


def test_no_such_file(tmp_path: Path) -> None:
    path = tmp_path / "nowhere.toml"
    with pytest.raises(InputFaults, match=re.escape(f"{path}: no such file; accepted: the path of a site file")):
        read_site(path)


def test_a_folder(tmp_path: Path) -> None:
    with pytest.raises(InputFaults, match=re.escape(f"{tmp_path}: is a folder; accepted: the path of a site file")):
        read_site(tmp_path)


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("a = 1\ncapacity = 5000 gal\n", "site.toml line 2 column 17: Expected newline or end of document"),
        ("a = 1\na = 2\n", "site.toml line 2 column 6: Cannot overwrite a value"),
        ('a = "', "site.toml at its end: Unterminated string"),
        ("a = " + "9" * 5000, "site.toml: Exceeds the limit"),
    ],
)
def test_not_toml(tmp_path: Path, text: str, line: str) -> None:
    (fault,) = faults(tmp_path, text)
    assert fault.startswith(line) and fault.endswith(f"; accepted: {TOML_ACCEPTED}")
    assert "\n" not in fault and "(at " not in fault


def test_not_text(tmp_path: Path) -> None:
    path = tmp_path / "site.toml"
    path.write_bytes(b'units = "\xff"')
    with pytest.raises(InputFaults, match=r"site.toml: byte 10 is not UTF-8 text; accepted: a site file in TOML"):
        read_site(path)


def test_nested_without_end(tmp_path: Path) -> None:
    (fault,) = faults(tmp_path, "a = " + "[" * 100_000)
    assert fault.startswith("site.toml: lists within lists without end; ")


# ---------------------------------------------------------------- one fault, one line

# Section, line put into it, and the fault that must be told (its beginning, where it ends in a list of words).
LINES = [
    ("tank", 'capcity = "5000 gal"', "tank.capcity: is not known; accepted: nearest: capacity"),
    ("tank", 'rate = "5 gal/min"', "tank.rate: is not known; accepted: pump.rate"),
    ("hauling", "zzz = 1", "hauling.zzz: is not known; accepted: load, price"),
    (
        "fit",
        'error_at_build = "1 m"',
        "fit.error_at_build: is not known; accepted: depth_spread, prior_spread, prior_spread_with_dips",
    ),
    ("tnak", "", "tnak: is not known; accepted: nearest: tank"),
    ("site", "name = 5", "site.name: 5 is not text; accepted: text of 1 to 200 characters"),
    ("site", "name = true", "site.name: true is not text; accepted: text of 1 to 200 characters"),
    ("site", 'name = " "', "site.name: is empty; accepted: text of 1 to 200 characters"),
    ("site", f'name = "{"x" * 201}"', "site.name: has 201 characters; accepted: text of 1 to 200 characters"),
    (
        "site",
        'name = "a\\nb"',
        "site.name: 'a\\u000ab' holds a control character; accepted: text of 1 to 200 characters",
    ),
    (
        "tank",
        'capacity = "10 ft"',
        "tank.capacity: '10 ft' is a length; accepted: a volume such as 5000 gal or 20 m³",
    ),
    ("tank", 'capacity = "10"', "tank.capacity: '10' has no unit; accepted: a volume such as 5000 gal or 20 m³"),
    (
        "tank",
        'capacity = "1,5 m³"',
        "tank.capacity: '1,5 m³' cannot be read as a quantity; accepted: a volume such as 5000 gal or 20 m³",
    ),
    (
        "tank",
        'capacity = "plenty"',
        "tank.capacity: 'plenty' cannot be read as a quantity; accepted: a volume such as 5000 gal or 20 m³",
    ),
    (
        "tank",
        'capacity = "5 bucketz"',
        "tank.capacity: '5 bucketz' cannot be read, 'bucketz' is not a unit;"
        " accepted: a volume such as 5000 gal or 20 m³",
    ),
    (
        "tank",
        "capacity = [1]",
        "tank.capacity: a list is not a number; accepted: a volume such as 5000 gal or 20 m³",
    ),
    (
        "tank",
        "capacity = 2024-01-01",
        "tank.capacity: 2024-01-01 is not a number; accepted: a volume such as 5000 gal or 20 m³",
    ),
    (
        "tank",
        'capacity = "-1 gal"',
        "tank.capacity: '-1 gal' is out of bounds; accepted: 0 to 264,100 gal",
    ),
    (
        "tank",
        'before_garden = "maybe"',
        "tank.before_garden: 'maybe' is not one of the choices; accepted: yes, no",
    ),
    ("tank", "before_garden = true", "tank.before_garden: true is not text; accepted: yes, no"),
    ("tank", "fill_from_month = 13", "tank.fill_from_month: 13 is out of bounds; accepted: 1 to 12"),
    (
        "tank",
        "wettest_month = 4.5",
        "tank.wettest_month: 4.5 is not a whole number; accepted: a whole number, 1 to 12",
    ),
    (
        "tank",
        "filling = [1, 0]",
        "tank.filling: has 2 entries; accepted: 12 entries, January to December, each 1 or 0, 0 to 1 or empty",
    ),
    (
        "tank",
        "filling = 1",
        "tank.filling: 1 is not a list; accepted: 12 entries, January to December, each 1 or 0, 0 to 1 or empty",
    ),
    (
        "tank",
        "filling = [1, 0, 0.5, 0, 0, 0, 0, 0, 0, 0, 0, 0]",
        "tank.filling[3]: 0.5 is not a whole number; accepted: a whole number, 0 to 1",
    ),
    (
        "tank",
        "filling = [1, 0, 1, true, 0, 0, 0, 0, 0, 0, 0, 0]",
        "tank.filling[4]: true is not a number; accepted: 1 or 0, 0 to 1",
    ),
    (
        "pump",
        "restart = true",
        "pump.restart: true is not a number; accepted: a share from 0 to 1 or a percentage such as 0.5 or 50 %",
    ),
    (
        "pump",
        "restart = nan",
        "pump.restart: nan is not a number; accepted: a share from 0 to 1 or a percentage such as 0.5 or 50 %",
    ),
    (
        "pump",
        "restart = inf",
        "pump.restart: inf is not a number; accepted: a share from 0 to 1 or a percentage such as 0.5 or 50 %",
    ),
    ("pump", 'restart = "97 %"', "pump.restart: '97 %' is out of bounds; accepted: 0.05 to 0.95"),
    (
        "pump",
        'restart = "1 ft"',
        "pump.restart: '1 ft' has a unit, 'ft'; accepted: a share from 0 to 1 or a percentage such as 0.5 or 50 %",
    ),
    (
        "pump",
        'restart = ""',
        "pump.restart: is empty; accepted: a share from 0 to 1 or a percentage such as 0.5 or 50 %",
    ),
    ("pump", "most_runs = 0", "pump.most_runs: 0 is out of bounds; accepted: 1 to 300"),
    ("pump", f"most_runs = {10**400}", "pump.most_runs: a number of very many digits is out of bounds; accepted: "),
    ("pump", 'most_runs = "4 gal"', "pump.most_runs: '4 gal' has a unit, 'gal'; accepted: a count, 1 to 300"),
    ("pump", 'window = "25 hours"', "pump.window: '25 hours' is out of bounds; accepted: 0.25 to 24 hours"),
    (
        "soil",
        'type = "lom"',
        "soil.type: 'lom' is not in the soil table; accepted: a soil of the table, nearest: loam",
    ),
    ("soil", "type = 3", "soil.type: 3 is not text; accepted: a soil of the table, which are: coarse gravel, "),
    (
        "snow",
        'melt_rate = "1 in"',
        "snow.melt_rate: '1 in' is a length; accepted: a melt per degree-day such as 2.74 mm/(delta_degC*day)",
    ),
    (
        "plan",
        'for = "1 in 7"',
        "plan.for: '1 in 7' is neither odds nor a year; accepted: driest, 1 in 10, 1 in 5, middle, or a year"
        " of the record by its number",
    ),
    (
        "plan",
        "for = 10",
        "plan.for: 10 is neither odds nor a year; accepted: driest, 1 in 10, 1 in 5, middle, or a year"
        " of the record by its number",
    ),
    (
        "well",
        'monthly_depth = { aug = "15 ft", August = "15 ft" }',
        "well.monthly_depth: August is there twice; accepted: each month once",
    ),
    (
        "pump",
        'safe_take = { 8 = "20 gal/day", aug = "20 gal/day" }',
        "pump.safe_take: August is there twice; accepted: each month once",
    ),
    (
        "well",
        'monthly_depth = { augst = "15 ft" }',
        "well.monthly_depth: 'augst' is not a month; accepted: months such as aug or August, or 1 to 12",
    ),
    (
        "pump",
        'safe_take = { 13 = "20 gal/day" }',
        "pump.safe_take: '13' is not a month; accepted: months such as aug or August, or 1 to 12",
    ),
    (
        "well",
        'monthly_depth = { aug = "15 gal" }',
        "well.monthly_depth[8]: '15 gal' is a volume; accepted: a length such as 18 ft or 5.5 m",
    ),
    (
        "well",
        'monthly_depth = "15 ft"',
        "well.monthly_depth: '15 ft' is not a list; accepted: 12 entries, January to December, each a length such as"
        " 18 ft or 5.5 m or empty",
    ),
    ("rain", 'unit = "cm"', "rain.unit: 'cm' is not one of the choices; accepted: in, mm"),
    ("rain", 'temperature_unit = "K"', "rain.temperature_unit: 'K' is not one of the choices; accepted: F, C"),
]


@pytest.mark.parametrize(("section", "line", "fault"), LINES, ids=[f"{s} {i[:30]}" for s, i, _ in LINES])
def test_a_line_put_in(tmp_path: Path, section: str, line: str, fault: str) -> None:
    (told,) = faults(tmp_path, put(SMALLEST, section, line))
    assert told.startswith(fault) if fault.endswith((", ", ": ")) else told == fault


CHANGES = [
    ("units", '"SI"', "units: 'SI' is not one of the choices; accepted: US, metric"),
    ("units", "1", "units: 1 is not text; accepted: US, metric"),
    ("latitude", "95", "site.latitude: 95 is out of bounds; accepted: -90 to 90"),
    (
        "latitude",
        '"44 degrees"',
        f"site.latitude: '44 degrees' cannot be read; accepted: {LATITUDE_ACCEPTED}",
    ),
    ("latitude", '"44,6"', f"site.latitude: '44,6' has a decimal comma; accepted: {LATITUDE_ACCEPTED}"),
    ("latitude", '"-44 S"', f"site.latitude: '-44 S' has both a sign and a letter; accepted: {LATITUDE_ACCEPTED}"),
    (
        "latitude",
        '"44.6 W"',
        f"site.latitude: '44.6 W' has the letter W, which is not for a latitude; accepted: {LATITUDE_ACCEPTED}",
    ),
    ("latitude", '"44° 60\'"', f"site.latitude: '44° 60'' has 60 minutes or more; accepted: {LATITUDE_ACCEPTED}"),
    (
        "latitude",
        '"90.1 N"',
        f"site.latitude: '90.1 N' is out of bounds, beyond 90 degrees; accepted: {LATITUDE_ACCEPTED}",
    ),
    ("latitude", '""', f"site.latitude: is empty; accepted: {LATITUDE_ACCEPTED}"),
    ("rate", "8", "pump.rate: 8 has no unit; accepted: a pumping rate such as 8 gal/min"),
    ("rate", '"8 gal"', "pump.rate: '8 gal' is a volume; accepted: a pumping rate such as 8 gal/min"),
    ("rate", '"0.01 gal/min"', "pump.rate: '0.01 gal/min' is out of bounds; accepted: 0.05284 to 528.3 gal/min"),
    ("rate", '""', "pump.rate: is empty; accepted: a pumping rate such as 8 gal/min"),
    ("file", '""', 'rain.file: is empty; accepted: a name such as "rain.csv", or a list of names'),
    (
        "inflow",
        '"-1 gal/min per ft"',
        "well.inflow: '-1 gal/min per ft' is out of bounds; accepted: 0 to 161 gal/min per ft",
    ),
]


@pytest.mark.parametrize(("key", "value", "fault"), CHANGES, ids=[f"{k} {v}" for k, v, _ in CHANGES])
def test_a_value_changed(tmp_path: Path, key: str, value: str, fault: str) -> None:
    assert faults(tmp_path, change(SMALLEST, key, value)) == [fault]


DATES_APART = [
    (
        "tank",
        "fill_from_month = 4\nfill_from_day = 1\ndrain_by_month = 10",
        "tank.drain_by_day: missing; accepted: month and day together, as tank.drain_by_month = 4",
    ),
    (
        "tank",
        "drain_by_month = 10\ndrain_by_day = 1",
        "tank.fill_from_month: missing; accepted: both dates, or neither: the frost dates of the record then",
    ),
]


@pytest.mark.parametrize(("section", "lines", "fault"), DATES_APART, ids=[lines[-20:] for _, lines, _ in DATES_APART])
def test_dates_of_service_come_whole_and_together(tmp_path: Path, section: str, lines: str, fault: str) -> None:
    assert faults(tmp_path, put(SMALLEST, section, lines)) == [fault]


READING = '[[recovery]]\nminutes = 5\ndepth = "15 ft"\n'


def test_a_faulty_reading_is_the_only_fault(tmp_path: Path) -> None:
    """Nothing is said of an inflow that the mended test will give."""
    text = re.sub("^inflow = .*\n", "", TESTED, flags=re.MULTILINE) + "[[recovery]]\nminutes = 5\n"
    assert faults(tmp_path, text) == [
        "recovery[1].depth: missing; accepted: a length such as 18 ft or 5.5 m",
    ]


@pytest.mark.parametrize(
    ("name", "count", "entry", "fault"),
    [
        ("recovery", 21, 'minutes = 5\ndepth = "15 ft"', "recovery: has 21 entries; accepted: at most 20"),
        ("remembered", 11, "year = 2001", "remembered: has 11 entries; accepted: at most 10"),
    ],
)
def test_more_entries_than_rows(tmp_path: Path, name: str, count: int, entry: str, fault: str) -> None:
    assert faults(tmp_path, TESTED + f"[[{name}]]\n{entry}\n" * count) == [fault]


def test_no_second_fault_about_a_faulty_part(tmp_path: Path) -> None:
    told = faults(tmp_path, change(SMALLEST, "depth", '"24 gal"'))
    assert told == ["well.depth: '24 gal' is a volume; accepted: a length such as 18 ft or 5.5 m"]


@pytest.mark.parametrize(
    ("key", "fault"),
    [
        ("units", "units: missing; accepted: US, metric"),
        (
            "latitude",
            f"site.latitude: missing; accepted: {LATITUDE_ACCEPTED}",
        ),
        (
            "file",
            'rain.file: missing; accepted: a name such as "rain.csv", or a list of names; or source = "stations"',
        ),
        ("bore", "well.bore: missing; accepted: a length such as 18 ft or 5.5 m"),
        ("rate", "pump.rate: missing; accepted: a pumping rate such as 8 gal/min"),
    ],
)
def test_missing(tmp_path: Path, key: str, fault: str) -> None:
    assert faults(tmp_path, re.sub(rf"^{key} = .*\n", "", SMALLEST, flags=re.MULTILINE)) == [fault]


def test_an_empty_file_misses_all_that_has_no_default(tmp_path: Path) -> None:
    required = [".".join(place(i)) for i in (*SETTINGS, *SCALARS) if i.default is None]
    assert len(required) == 8
    told = [fault.split(":")[0] for fault in faults(tmp_path, "[well]\n")]
    assert told[0] == "units" and sorted(told[1:]) == sorted(required)


def test_a_file_without_well_and_pump_is_a_place_without_a_well(tmp_path: Path) -> None:
    told = [fault.split(":")[0] for fault in faults(tmp_path, "")]
    assert told == ["units", "rain.file", "site.latitude"]


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("tank = 5\n", "tank: 5 is not a section; accepted: one section [tank]"),
        ("tank = [5]\n", "tank: a list is not a section; accepted: one section [tank]"),
        ("garden = 5\n", "garden: 5 is not a list; accepted: each zone under its own [[garden]]"),
        ("garden = [5]\n", "garden[1]: 5 is not a zone; accepted: each zone under its own [[garden]]"),
        ("household.use = 1\n", "household: a section is not a list; accepted: each line under its own [[household]]"),
        ('"a\\nb" = 5\n', "a\\u000ab: is not known; accepted: "),
        ("gardens = 5\n", "gardens: is not known; accepted: nearest: garden"),
    ],
)
def test_wrong_shape(tmp_path: Path, text: str, fault: str) -> None:
    (told,) = faults(tmp_path, text + SMALLEST)
    assert told.startswith(fault) if fault.endswith(" ") else told == fault


ENTRIES = [
    (
        "household",
        'use = "overnight guest"',
        ["household[2].number: missing; accepted: a plain number, 0 to 10,000"],
    ),
    (
        "household",
        'use = "x"\nnumber = 1\namount = "5 gal"',
        ["household[2].amount: '5 gal' is a volume; accepted: a volume per day such as 55 gal/day"],
    ),
    (
        "household",
        'use = "x"\nnumber = -1\namount = "5 gal/day"',
        ["household[2].number: -1 is out of bounds; accepted: 0 to 10,000"],
    ),
    (
        "household",
        'use = "overnight guest"\nnumber = 1\nfactors = [1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1]',
        [
            "household[2].factors: has 11 entries; accepted: 12 entries, January to December, each a plain number,"
            " 0 to 20; or one for all months"
        ],
    ),
    (
        "household",
        'use = "overnight guest"\nnumber = 1\nfactors = [1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, ""]',
        ["household[2].factors[12]: is empty; accepted: a plain number, 0 to 20"],
    ),
    (
        "household",
        'use = "overnight guest"\nnumber = 1\nfactors = 21',
        ["household[2].factors: 21 is out of bounds; accepted: 0 to 20"],
    ),
    (
        "household",
        'use = "overnight guest"\nnumber = 1\nfactor = 2',
        ["household[2].factor: is not known; accepted: nearest: factors"],
    ),
    (
        "garden",
        'crop = "appel"\narea = "1 m²"',
        ["garden[2].crop: 'appel' is not in the crop table; accepted: a crop of the table, nearest: apples"],
    ),
    ("garden", 'area = "1 m²"', ["garden[2].crop: missing; accepted: a crop of the table, which are: "]),
    (
        "garden",
        'crop = "apples"\ntrees = 6\ncanopy = "12 gal"',
        ["garden[2].canopy: '12 gal' is a volume; accepted: a length such as 18 ft or 5.5 m"],
    ),
    (
        "garden",
        'crop = "apples"\narea = "1 m²"\nkc = 0.5',
        [
            "garden[2].kc: 0.5 is not a list; accepted: 12 entries, January to December, each a plain number,"
            " 0 to 1.5 or empty"
        ],
    ),
    (
        "garden",
        'crop = "apples"\narea = "1 m²"\nkc = ["", "", 2, "", "", "", "", "", "", "x", "", ""]',
        [
            "garden[2].kc[3]: 2 is out of bounds; accepted: 0 to 1.5",
            "garden[2].kc[10]: 'x' cannot be read as a quantity; accepted: a plain number, 0 to 1.5",
        ],
    ),
    (
        "animals",
        'animal = "goat"',
        ["animals[2].head: missing; accepted: a plain number, 0 to 10,000"],
    ),
    (
        "animals",
        'animal = "goat"\nhead = 2\nfactors = { aug = 2, August = 2 }',
        ["animals[2].factors: August is there twice; accepted: each month once"],
    ),
    (
        "animals",
        'animal = "goat"\nhead = 2\nfactors = { summer = 2 }',
        ["animals[2].factors: 'summer' is not a month; accepted: months such as aug or August, or 1 to 12"],
    ),
    (
        "recovery",
        'depth = "15 ft"',
        ["recovery[2].minutes: missing; accepted: a number of minutes, -1,440 to 14,400"],
    ),
    (
        "recovery",
        "minutes = 5",
        ["recovery[2].depth: missing; accepted: a length such as 18 ft or 5.5 m"],
    ),
    (
        "recovery",
        'minutes = "5 min"\ndepth = "15 ft"',
        ["recovery[2].minutes: '5 min' has a unit, 'min'; accepted: a number of minutes, -1,440 to 14,400"],
    ),
    (
        "recovery",
        "minutes = 5\ndepth = 15",
        ["recovery[2].depth: 15 has no unit; accepted: a length such as 18 ft or 5.5 m"],
    ),
    (
        "dips",
        'depth = "15 ft"',
        ["dips[2].date: missing; accepted: a date as year-month-day such as 2024-05-01"],
    ),
    ("dips", "date = 2024-05-01", ["dips[2].depth: missing; accepted: a length such as 18 ft or 5.5 m"]),
    (
        "dips",
        'date = "2023-02-29"\ndepth = "15 ft"',
        ["dips[2].date: '2023-02-29' is not a date; accepted: a date as year-month-day such as 2024-05-01"],
    ),
    (
        "dips",
        'date = "5/1/2024"\ndepth = "15 ft"',
        ["dips[2].date: '5/1/2024' is not a date; accepted: a date as year-month-day such as 2024-05-01"],
    ),
    (
        "dips",
        'date = 45413\ndepth = "15 ft"',
        ["dips[2].date: 45413 is not a date; accepted: a date as year-month-day such as 2024-05-01"],
    ),
    (
        "dips",
        'date = 2024-05-01T08:00:00\ndepth = "15 ft"',
        ["dips[2].date: 2024-05-01 08:00:00 is not a date; accepted: a date as year-month-day such as 2024-05-01"],
    ),
    (
        "dips",
        'date = 1024-05-01\ndepth = "15 ft"',
        ["dips[2].date: 1024-05-01 is out of bounds; accepted: 1901-01-01 to 2199-12-31"],
    ),
    (
        "remembered",
        'year = 2012\ndry_on = "August"\nloads = 3',
        ["remembered[2].dry_on: 'August' is not a date; accepted: a date as year-month-day such as 2024-05-01"],
    ),
    (
        "remembered",
        "",
        ["remembered[2]: is empty; accepted: year = 2015, dry_on = 2015-08-20, or both"],
    ),
    (
        "roofs",
        "coefficient = 0.8",
        ["roofs[2].area: missing; accepted: an area such as 1200 sq ft or 110 m²"],
    ),
    (
        "remembered",
        "year = 12",
        ["remembered[2].year: 12 is out of bounds; accepted: 1901 to 2199"],
    ),
    (
        "remembered",
        'year = 2012\ngarden = "140 %"',
        ["remembered[2].garden: '140 %' is out of bounds; accepted: 0 to 1"],
    ),
]
GOOD = {
    "roofs": '[[roofs]]\narea = "9 m²"\ncoefficient = 0.8\n',
    "animals": '[[animals]]\nanimal = "goat"\nhead = 1\n',
    "recovery": READING,
    "dips": '[[dips]]\ndate = 2024-04-01\ndepth = "9 ft"\n',
    "remembered": "[[remembered]]\nyear = 2011\n",
    "household": '[[household]]\nuse = "overnight guest"\nnumber = 1\n',
    "garden": '[[garden]]\nname = "a"\ncrop = "apples"\narea = "9 m²"\n',
}


@pytest.mark.parametrize(("name", "lines", "expected"), ENTRIES, ids=[f"{n} {i[:40]}" for n, i, _ in ENTRIES])
def test_entries_of_lists(tmp_path: Path, name: str, lines: str, expected: list[str]) -> None:
    told = faults(tmp_path, f"{TESTED}{GOOD[name]}[[{name}]]\n{lines}\n{GOOD[name]}")
    assert len(told) == len(expected)
    for fault, wanted in zip(told, expected, strict=True):
        assert fault.startswith(wanted) if wanted.endswith(" ") else fault == wanted


def test_all_faults_at_once_in_the_order_of_the_file(tmp_path: Path) -> None:
    text = """
extra = 1
[[garden]]
crop = "tomatos"
[pump]
rate = 8
kind = "hand"
[well]
bore = "36 in"
depth = "10 ft"
summer_depth = "16 ft"
winter_depth = "18 ft"
[tank]
capacity = "big"
[[household]]
number = 1
"""
    told = [fault.split(":")[0] for fault in faults(tmp_path, text)]
    assert told == [
        "units",
        "extra",
        "garden[1].crop",
        "pump.rate",
        "pump.kind",
        "pump.intake",
        "tank.capacity",
        "rain.file",
        "site.latitude",
    ]


def test_bounds_are_told_in_the_system_of_the_file(tmp_path: Path) -> None:
    text = change(change(SMALLEST, "units", '"metric"'), "rate", '"1 L/day"')
    assert faults(tmp_path, text) == ["pump.rate: '1 L/day' is out of bounds; accepted: 0.2 to 2,000 L/min"]


# ---------------------------------------------------------------- every declared input


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("declared", named(DECLARED))
def test_defaults_and_bounds_are_accepted(declared: Input, system: System) -> None:
    for text in (declared.default, declared.low, declared.high):
        if text:
            value = read_value(declared, text, system)
            assert value is not None and isinstance(value, str) == (declared.unit is Unit.TEXT)


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("declared", named(NUMBERS))
def test_printed_bounds_are_accepted_as_they_stand_and_little_is_lost(declared: Input, system: System) -> None:
    words = bounds_in_words(declared, system)
    low, _, rest = words.partition(" to ")
    high, _, unit = rest.partition(" ")
    lowest, highest = bounds(declared, system)
    for number, end in ((low, lowest), (high, highest)):
        value = read_value(declared, f"{number} {unit}", system)
        assert value == pytest.approx(end, rel=2e-3, abs=1e-12)


@pytest.mark.parametrize("declared", named([i for i in NUMBERS if i not in DATES]))
def test_nothing_beyond_the_bounds_is_accepted(declared: Input) -> None:
    unit = declared.unit.expression("metric")
    low, high = bounds(declared, "metric")
    for number in (low - 1 - abs(low), high + 1 + abs(high)):
        with pytest.raises(Refused, match="out of bounds"):
            read_value(declared, f"{number:.9f} {unit}", "metric")


@pytest.mark.parametrize("declared", named(DATES))
def test_no_date_beyond_the_bounds_is_accepted(declared: Input) -> None:
    first, last = (date.fromisoformat(str(text)) for text in (declared.low, declared.high))
    for raw in (first - ONE_DAY, (last + ONE_DAY).isoformat()):
        with pytest.raises(Refused, match=re.escape(f"{raw} is out of bounds; accepted: {first} to {last}")):
            read_value(declared, raw, "US")


@pytest.mark.parametrize("declared", named(DECLARED))
@pytest.mark.parametrize("raw", [True, [], {}, "5 s*kg", "5 in/", "5 (m", "5 m**999999", "1e999999999 m", "5 ±1 m"])
def test_nonsense_is_refused(declared: Input, raw: object) -> None:
    if declared.unit is Unit.TEXT and declared.choices is None and isinstance(raw, str):
        assert read_value(declared, raw, "US") == raw
        return
    with pytest.raises(Refused):
        read_value(declared, raw, "US")


@settings(deadline=None)
@given(st.sampled_from(PHYSICAL), st.text(max_size=12))
def test_no_text_makes_a_traceback(declared: Input, text: str) -> None:
    try:
        value = read_value(declared, f"3 {text}", "US")
    except Refused as refusal:
        assert "\n" not in str(refusal)
    else:
        assert isinstance(value, float) or value is None


@settings(deadline=None)
@given(st.text(max_size=60))
def test_no_file_makes_a_traceback(text: str) -> None:
    with tempfile.TemporaryDirectory() as folder, pytest.raises(InputFaults) as caught:
        read_site(write(Path(folder), text.encode("utf-8", "replace").decode("utf-8")))
    assert all(len(str(fault).splitlines()) == 1 for fault in caught.value.faults)


# ---------------------------------------------------------------- the two systems

# One of the book's units in the other: how many metric ones a US one is.
METRIC_PER_US = {
    Unit.VOLUME: L_PER_GAL,
    Unit.FLOW: L_PER_GAL,
    Unit.RATE: L_PER_GAL,
    Unit.INFLOW: L_PER_GAL / M_PER_FT,
    Unit.DEPTH: 25.4,
    Unit.LENGTH: M_PER_FT,
    Unit.HEIGHT: M_PER_FT,
    Unit.WIDTH: 25.4,
    Unit.AREA: M_PER_FT**2,
    Unit.MELT: 25.4 * 9 / 5,
    Unit.HOLDING: 25.4 / M_PER_FT,
    Unit.CUBE: M_PER_FT**3,
    Unit.WEIGHT: KG_PER_LB,
    Unit.DENSITY: KG_PER_LB / M_PER_FT**3,
    Unit.BEARING: KG_PER_LB * 9.80665e-3 / M_PER_FT**2,
    Unit.PRESSURE: KG_PER_LB * 9.80665e-3 / 0.0254**2,
    Unit.SPEED: 5280 * M_PER_FT / 3600,
    Unit.SLOPE: 1000 / 12,
    Unit.DAYS: 1,
    Unit.HOURS: 1,
}


@settings(deadline=None)
@given(st.sampled_from(PHYSICAL), st.floats(0.001, 0.999), st.sampled_from(SYSTEMS), st.sampled_from(SYSTEMS))
def test_a_quantity_is_the_same_in_either_system(declared: Input, share: float, written: System, book: System) -> None:
    low, high = bounds(declared, written)
    number = float(f"{low + share * (high - low):.12g}")
    assume(low <= number <= high)
    value = read_value(declared, f"{number:.12f} {declared.unit.expression(written)}", book)
    factor = METRIC_PER_US[declared.unit]
    wanted = number * {("US", "metric"): factor, ("metric", "US"): 1 / factor}.get((written, book), 1)
    assert value == pytest.approx(wanted, rel=1e-9, abs=1e-9)


@settings(deadline=None, max_examples=30)
@given(
    st.floats(1, 60, exclude_min=True),
    st.floats(0.06, 500),
    st.floats(0, 200_000),
    st.floats(0.01, 1),
)
def test_the_same_file_in_either_system(depth: float, rate: float, capacity: float, share: float) -> None:
    """A whole file, its quantities in feet and gallons [ft, gal/min, gal] or in metres and litres, is one site."""
    assume(depth > 3.5)
    quantities = {
        "us": (f'"{depth:.9f} ft"', f'"{rate:.9f} gal/min"', f'"{capacity:.9f} gal"'),
        "metric": (
            f'"{depth * M_PER_FT:.12f} m"',
            f'"{rate * L_PER_GAL:.12f} L/min"',
            f'"{capacity * L_PER_GAL:.12f} L"',
        ),
    }
    read = {}
    with tempfile.TemporaryDirectory() as folder:
        for words, (deep, fast, large) in quantities.items():
            text = change(change(SMALLEST, "depth", deep), "rate", fast)
            text = change(change(text, "summer_depth", '"1 m"'), "winter_depth", '"2 ft"')
            text = put(change(text, "intake", deep), "tank", f"capacity = {large}")
            text = put(text, "soil", f"runoff_share = {share * 0.95:.6f}")
            read[words] = read_site(write(Path(folder), text))
    for name, value in read["us"].values.items():
        other = read["metric"].values[name]
        assert other == (pytest.approx(value, rel=1e-9, abs=1e-9) if isinstance(value, float) else value), name
    assert read["us"].values["well_depth"] == pytest.approx(depth, abs=1e-8)
    assert read["us"].values["tank_capacity"] == pytest.approx(capacity, abs=1e-8)


# ---------------------------------------------------------------- reference tables


def test_a_reference_table_is_in_the_books_units() -> None:
    for name, (_, columns) in references.TABLES.items():
        metric, us = references.reference(name, "metric"), references.reference(name, "US")
        assert len(metric) == len(us) > 4
        for row, other in zip(metric, us, strict=True):
            for column in columns:
                factor = METRIC_PER_US.get(column.unit, 1)
                value = other[column.key]
                wanted = value * factor if isinstance(value, float) else value
                assert row[column.key] == (pytest.approx(wanted, rel=1e-12) if factor != 1 else wanted)
    average = references.reference("uses", "US")[0]
    assert (average["use"], average["amount"]) == ("whole house, average use", 58.6)


def test_a_reference_table_out_of_order_is_a_defect(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(references, "templates_folder", lambda: tmp_path)
    headings = ",".join(column.key for column in household_demand.REFERENCE)
    for text, reason in (
        ("use,amount\n", "its headings are not use, per, amount, source"),
        (f"{headings}\na,person,5 gal\n", "row 2: 3 cells under 4 headings"),
        (f"{headings}\na,person,5 gal,x\n", "row 2, amount: '5 gal' is in 'gal'"),
        ("", "its headings are not"),
    ):
        (tmp_path / "household_uses.csv").write_text(text, encoding="utf-8")
        with pytest.raises(ModelError, match=re.escape(reason)):
            references.reference("uses", "US")
    with pytest.raises(ModelError, match="cannot be read"):
        references.reference("crops", "US")
    with pytest.raises(ModelError, match="no reference table 'trees'"):
        references.reference("trees", "US")


def test_what_is_planned_for_is_declared_where_it_is_read() -> None:
    assert years_of_record.INPUTS[0].name == "plan_for"
