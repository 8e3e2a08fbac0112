"""The snapshot: what is written is read back the same, and whatever is wrong with the file is told with its line."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from budget.errors import InputFaults, OutputFault
from budget.rain import read_record
from budget.record import snapshot
from budget.record.csv_file import read_file
from budget.record.fetched import Credit, Fetched
from budget.record.layouts import NUMBERS
from budget.record.station import GAPS, RAIN, TEMPERATURES, Considered, Station, Wanted, plain_name
from budget.site_file.reading import read_site
from tests.computed import EXAMPLES

FIRST = date(2009, 1, 1)
ACCEPTED = "; accepted: a snapshot as this tool wrote it; move the file away, and the rain is fetched anew"
HEADING = "station,date,rain (mm),tmax (°C),tmin (°C)"


def a_station(key: str = "INV01", name: str = "Mill Brook (invented)", **changes: object) -> Station:
    return replace(Station(key, name, "XX", 44.25, -40.0, 105.5, 5.56), **changes)


def serving(station: Station, *uses: str, **changes: object) -> Considered:
    found = Considered(station, 0.9973, 0.5, date(2009, 1, 1), date(2011, 12, 31), uses, "")
    return replace(found, **changes)


def a_fetch(days: dict[str, pd.DataFrame], considered: list[Considered], **changes: object) -> Fetched:
    """Days of stations as they might have been fetched for an invented place."""
    fetch = Fetched(
        wanted=Wanted(44.3, -40.0, None, 2009, 2011, 50.0),
        first_year=2009,
        last_year=2011,
        until=date(2011, 12, 31),
        retrieved=date(2026, 5, 6),
        fetched_with="invented library 1.0",
        considered=considered,
        days=days,
        credits=[Credit("gauges", 3000, "CC BY 4.0", "Invented Weather Office"), Credit("others", 7, "CC0", "")],
        remarks=["Mill Brook lacks 2010: the server answers with status 500."],
        troubled=True,
    )
    return replace(fetch, **changes)


@pytest.fixture
def alone(invented_days: pd.DataFrame) -> Fetched:
    """A fetch of one station for all."""
    return a_fetch({"INV01": invented_days.round(1)}, [serving(a_station(), RAIN, TEMPERATURES)])


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "home_stations.csv"


def faults_of(path: Path, content: str | bytes) -> list[str]:
    """The lines that a file of that content gives; it is left as it is."""
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    before = path.read_bytes()
    with pytest.raises(InputFaults) as caught:
        snapshot.read(path)
    assert path.read_bytes() == before
    return str(caught.value).split("\n")


def on_a_calendar(days: pd.DataFrame) -> pd.DataFrame:
    """The days without those at either end of which nothing is known, and none between left out."""
    known = days.dropna(how="all").sort_index()
    return known.reindex(pd.date_range(known.index[0], known.index[-1], name="date"))


def assert_same(found: Fetched, written: Fetched) -> None:
    assert replace(found, days={}) == replace(written, days={})
    assert list(found.days) == list(written.days)
    for key, days in written.days.items():
        pd.testing.assert_frame_equal(found.days[key], on_a_calendar(days), check_freq=False, check_exact=True)


# ---- there and back ----

ANY_TEXT = st.text(max_size=30) | st.sampled_from(
    ["\r\n# rows = 5\n", '"', "\\", "a\x7fb", "one\u2028two\x85three", '", date, rain (mm), "', "# x", "🌧", "\0", "]},"]
)
TENTHS = st.none() | st.integers(-1000, 650).map(lambda tenths: tenths / 10)
RAINS = st.none() | st.integers(0, 20000).map(lambda tenths: tenths / 10)
DAYS = st.dictionaries(st.integers(0, 1094), st.tuples(RAINS, TENTHS, TENTHS), min_size=1, max_size=12).filter(
    lambda days: any(figure is not None for day in days.values() for figure in day)
)
STATIONS = st.builds(
    Station,
    id=st.from_regex(r"[A-Za-z0-9]{1,16}", fullmatch=True),
    name=ANY_TEXT.map(lambda text: plain_name(plain_name(text))),
    country=ANY_TEXT,
    latitude=st.floats(-90, 90),
    longitude=st.floats(-180, 180),
    height=st.none() | st.floats(-400, 9000),
    distance=st.floats(0, 20000),
)
SHARES = st.none() | st.floats(0, 1)
FOUND = st.tuples(SHARES, SHARES, st.none() | st.dates(), st.none() | st.dates())


@st.composite
def fetches(draw: st.DrawFn) -> Fetched:
    """Fetches with all that may stand in them, of one to fifteen stations."""
    stations = draw(st.lists(STATIONS, min_size=1, max_size=15, unique_by=lambda station: station.id))
    uses = [(RAIN, TEMPERATURES), *(draw(st.sampled_from([(), (GAPS,)])) for _ in stations[1:])]
    if len(stations) > 1 and draw(st.booleans()):
        uses[:2] = (RAIN,), (TEMPERATURES,)
    considered = [
        Considered(station, *draw(FOUND), used, draw(ANY_TEXT)) for station, used in zip(stations, uses, strict=True)
    ]
    days = {}
    for station, used in zip(stations, uses, strict=True):
        if used:
            drawn = draw(DAYS)
            index = pd.DatetimeIndex([FIRST + timedelta(day) for day in drawn], name="date")
            days[station.id] = pd.DataFrame(list(drawn.values()), index, list(NUMBERS), dtype=float).sort_index()
    years = st.none() | st.integers(1, 2100)
    return a_fetch(
        days,
        considered,
        wanted=Wanted(
            draw(st.floats(-90, 90)),
            draw(st.floats(-180, 180)),
            draw(st.none() | ANY_TEXT),
            draw(years),
            draw(years),
            draw(st.floats(0, 500)),
        ),
        fetched_with=draw(ANY_TEXT),
        credits=draw(st.lists(st.builds(Credit, ANY_TEXT, st.integers(0, 10**9), ANY_TEXT, ANY_TEXT), max_size=4)),
        remarks=draw(st.lists(ANY_TEXT, max_size=40)),
        troubled=draw(st.booleans()),
    )


@settings(max_examples=25, deadline=None)
@given(fetches())
def test_what_is_written_is_read_back(tmp_path_factory: pytest.TempPathFactory, fetch: Fetched) -> None:
    path = tmp_path_factory.getbasetemp() / "hostile_stations.csv"
    path.unlink(missing_ok=True)
    assert snapshot.write(fetch, path) is None
    assert_same(snapshot.read(path), fetch)
    path.unlink()
    snapshot.write(snapshot.parse(snapshot.as_text(fetch), path.name), path)
    assert path.read_text(encoding="utf-8") == snapshot.as_text(fetch)


def test_a_remark_with_half_a_character(path: Path, alone: Fetched) -> None:
    """As an error text of the system may have it: no file in UTF-8 can hold it."""
    snapshot.write(replace(alone, remarks=["a\udc80b"]), path)
    assert snapshot.read(path).remarks == ["a\ufffdb"]


@pytest.mark.parametrize("digits", [0, 1, 2, 4])
def test_figures_come_back_to_the_last_digit(digits: int, path: Path, alone: Fetched) -> None:
    days = alone.days["INV01"]
    chance = np.random.default_rng(3)
    whole = chance.integers(0, 60 * 10**digits, (len(days), 3))
    exact = pd.DataFrame(whole / 10**digits, days.index, days.columns)
    snapshot.write(replace(alone, days={"INV01": exact}), path)
    assert snapshot.read(path).days["INV01"].to_numpy().tolist() == exact.to_numpy().tolist()
    texts = [line.split(",")[2:] for line in path.read_text(encoding="utf-8").split(HEADING)[1].splitlines()[1:]]
    assert all(len(text.partition(".")[2]) <= max(digits, 1) for row in texts for text in row)


def test_what_the_library_lets_through_can_be_read_again(path: Path, alone: Fetched) -> None:
    """A high of 64 °C is no weather, but to refuse the file would be to fetch it again and again."""
    days = alone.days["INV01"].copy()
    days.iloc[5] = [2000.0, 65.0, -100.0]
    snapshot.write(replace(alone, days={"INV01": days}), path)
    assert snapshot.read(path).days["INV01"].iloc[5].to_list() == [2000.0, 65.0, -100.0]


def test_a_file_is_the_same_each_time(path: Path, alone: Fetched) -> None:
    snapshot.write(alone, path)
    first = path.read_bytes()
    snapshot.write(alone, path)
    assert path.read_bytes() == first and first.count(b"\r") == 0
    assert [file.name for file in path.parent.iterdir()] == [path.name]


# ---- the tool's own reader of rain files ----


def home(folder: Path, more: str = "") -> Path:
    """The smallest example with `home_stations.csv` as its rain file."""
    text = next(path for path in EXAMPLES if path.stem == "smallest").read_text(encoding="utf-8")
    path = folder / "home.toml"
    path.write_text(text.replace('file = "terrace_house_rain.csv"', f'file = "home_stations.csv"\n{more}'), "utf-8")
    return path


@pytest.mark.parametrize("number", [1, 12, 100])
def test_a_snapshot_is_a_rain_file_however_many_stations_were_looked_at(
    number: int, path: Path, alone: Fetched
) -> None:
    why = "rain from 2001-01-01 to 2003-12-31 only, by its inventory"
    before = [
        Considered(a_station(f"NO{count}", f"Weir {count} (invented)"), None, None, None, None, (), why)
        for count in range(number - 1)
    ]
    fetch = replace(alone, considered=[*before, *alone.considered], remarks=["One (mm).", "Two, with date, rain (in)."])
    snapshot.write(fetch, path)
    record = read_record(read_site(home(path.parent)))
    assert record.files[0].layout == "columns by their headings"
    pd.testing.assert_frame_equal(record.files[0].rows, alone.days["INV01"], check_freq=False)


HOSTILE_NAMES = [
    "Brook, date, rain (mm), tmax (°C)",
    "date",
    'A "Mill" (in)',
    "rain",
    "station;date;prcp (in);tmax (F)",
]


@pytest.mark.parametrize("name", HOSTILE_NAMES)
@pytest.mark.parametrize("serves", [(), (GAPS,)])
def test_a_name_is_no_header(name: str, serves: tuple[str, ...], path: Path, alone: Fetched) -> None:
    """Neither of a station that serves nor of one that does not."""
    other = Considered(a_station("NO1", name), 0.2, None, None, None, serves, f"{name}, date, rain (mm), low (°F)")
    days = {"NO1": alone.days["INV01"].iloc[:3]} if serves else {}
    fetch = replace(alone, considered=[other, *alone.considered], days={**alone.days, **days})
    snapshot.write(fetch, path)
    record = read_record(read_site(home(path.parent, 'station = "INV01"')))
    pd.testing.assert_frame_equal(record.files[0].rows, alone.days["INV01"], check_freq=False)


def test_of_several_stations_the_reader_asks_which(path: Path, alone: Fetched) -> None:
    days = alone.days["INV01"]
    two = {"INV01": days, "INV02": (days + 1).round(1)}
    considered = [*alone.considered, serving(a_station("INV02", "Weir (invented)"), GAPS)]
    snapshot.write(replace(alone, days=two, considered=considered), path)
    with pytest.raises(InputFaults) as caught:
        read_file(path)
    line = path.read_text(encoding="utf-8").split("\n").index(HEADING) + 1
    told = f'line {line}: 2 stations; accepted: this line in the site file, with one of them: rain.station = "INV01", '
    assert str(caught.value).startswith(f"home_stations.csv {told}")
    record = read_record(read_site(home(path.parent, 'station = "INV02"')))
    pd.testing.assert_frame_equal(record.files[0].rows, two["INV02"], check_freq=False)


# ---- damage ----

Damage = Callable[[list[str], int], list[str]]


def at(offset: int, *new: str) -> Damage:
    """Other lines instead of one of the rows."""
    return lambda lines, first: [*lines[: first + offset], *new, *lines[first + offset + 1 :]]


def instead(old: str, new: str) -> Damage:
    """Another text in the head."""

    def damage(lines: list[str], first: int) -> list[str]:
        head = "\n".join(lines[: first - 1])
        assert head.count(old) == 1, old
        return [*head.replace(old, new).split("\n"), *lines[first - 1 :]]

    return damage


# What was done to a sound file, and what is told: line (0: none; of the rows counted from 1, behind the head), fault.
ROWS: dict[str, tuple[Damage, list[tuple[int, str]]]] = {
    "text for a number": (
        at(2, "INV01,2009-01-03,wet,1,1"),
        [(3, "'wet' as rain; accepted: a number from 0 to 2000, or blank")],
    ),
    "no number": (
        at(2, "INV01,2009-01-03,nan,inf,True"),
        [
            (3, "'nan' as rain; accepted: a number from 0 to 2000, or blank"),
            (3, "'inf' as tmax; accepted: a number from -100 to 65, or blank"),
            (3, "'True' as tmin; accepted: a number from -100 to 65, or blank"),
        ],
    ),
    "rain below zero": (
        at(2, "INV01,2009-01-03,-3.2,1,1"),
        [(3, "'-3.2' as rain; accepted: a number from 0 to 2000, or blank")],
    ),
    "a date twice": (
        at(2, "INV01,2009-01-02,0,1,1"),
        [(3, "'2009-01-02' as date of that station a second time; accepted: each day of a station once")],
    ),
    "no date": (at(2, "INV01,2009-02-30,0,1,1"), [(3, "'2009-02-30' as date; accepted: a date such as 2012-01-31")]),
    "a date with its time": (
        at(2, "INV01,2009-01-03 07:00,0,1,1"),
        [(3, "'2009-01-03 07:00' as date; accepted: a date such as 2012-01-31")],
    ),
    "a date beyond the days that were asked for": (
        at(2, "INV01,2090-01-03,0,1,1"),
        [(3, "'2090-01-03' as date; accepted: a day of 2009 up to 2011-12-31, as the head says")],
    ),
    "another station": (
        at(2, "INV0l,2009-01-03,0,1,1"),
        [(3, "'INV0l' as station; accepted: a station of the head")],
    ),
    "a cell too many": (at(2, "INV01,2009-01-03,0,1,1,"), [(3, f"6 cells; accepted: 5 cells: {HEADING}")]),
    "a decimal comma": (at(2, "INV01,2009-01-03,0,1,5,1"), [(3, f"6 cells; accepted: 5 cells: {HEADING}")]),
    "a quote": (
        at(2, 'INV01,"2009-01-03,0,1,1'),
        [(3, "'\"2009-01-03' as date; accepted: a date such as 2012-01-31")],
    ),
    "lines counted past a blank one": (
        at(2, "", "INV01,2009-01-03,wet,1,1"),
        [
            (3, f"1 cells; accepted: 5 cells: {HEADING}"),
            (4, "'wet' as rain; accepted: a number from 0 to 2000, or blank"),
            (0, f"1096 rows of days, and by its head it had 1095{ACCEPTED}"),
        ],
    ),
    "cut within a row": (
        lambda lines, first: [*lines[: first + 4], "INV01,2009-01-05,0.2,7"],
        [
            (5, f"the file ends within a row: 'INV01,2009-01-05,0.2,7'{ACCEPTED}"),
            (0, f"4 rows of days, and by its head it had 1095{ACCEPTED}"),
        ],
    ),
    "cut within the last figure": (
        lambda lines, first: [*lines[:-2], lines[-2][:-1]],
        [(1095, "the file ends within a row: '{}'" + ACCEPTED)],
    ),
    "cut behind a row": (
        lambda lines, first: [*lines[: first + 4], ""],
        [(0, f"4 rows of days, and by its head it had 1095{ACCEPTED}")],
    ),
    "no rows": (
        lambda lines, first: [*lines[:first], ""],
        [(0, f"0 rows of days, and by its head it had 1095{ACCEPTED}")],
    ),
}


@pytest.mark.parametrize("damage", ROWS)
def test_damaged_rows(damage: str, path: Path, alone: Fetched) -> None:
    lines = snapshot.as_text(alone).split("\n")
    first = lines.index(HEADING) + 1
    spoil, expected = ROWS[damage]
    told = [
        f"home_stations.csv{f' line {first + line}' if line else ''}: {fault.format(lines[-2][:-1])}"
        for line, fault in expected
    ]
    assert faults_of(path, "\n".join(spoil(lines, first))) == told


HEADS: dict[str, tuple[Damage, list[tuple[str, str]]]] = {
    "another format": (
        instead("format = 1", "format = 2"),
        [("", "its head is of format 2; accepted: format 1; another version of this tool wrote the file")],
    ),
    "no format": (
        instead("# format = 1\n", ""),
        [("", "its head is of format None; accepted: format 1; another version of this tool wrote the file")],
    ),
    "no TOML": (
        instead("troubled = true", "troubled = perhaps"),
        [("troubled", "the head cannot be read: Invalid value")],
    ),
    "a bracket lost": (
        instead("# asked_for = {", "# asked_for = "),
        [("asked_for", "the head cannot be read: Invalid value")],
    ),
    "of another kind": (
        instead("until = 2011-12-31", 'until = "2011"'),
        [("until", "'2011' as until in the head")],
    ),
    "a time": (
        instead("retrieved = 2026-05-06", "retrieved = 2026-05-06T10:00:00"),
        [("retrieved", "'2026-05-06 10:00:00' as retrieved in the head")],
    ),
    "a year in words": (
        instead("first_year = 2009", "first_year = true"),
        [("first_year", "'True' as first_year in the head")],
    ),
    "nothing asked for": (
        instead("asked_for = {", "asked_for = 5 # {"),
        [("asked_for", "'5' as asked_for in the head")],
    ),
    "no latitude": (
        instead("{ latitude = 44.3, ", "{ "),
        [("asked_for", "no asked_for, latitude in the head")],
    ),
    "a station without a place": (
        instead("latitude = 44.25, longitude = -40.0, height", 'latitude = "north", height'),
        [
            ("stations +1", "'north' as stations, latitude in the head"),
            ("stations +1", "no stations, longitude in the head"),
        ],
    ),
    "stations that are none": (
        instead("# stations = [", "# stations = [\n#  5,"),
        [("stations +1", "'5' as stations in the head")],
    ),
    "a credit": (instead("values = 7", 'values = "7"'), [("sources +2", "'7' as sources, values in the head")]),
    "no remarks": (
        instead('remarks = [\n#   "Mill Brook lacks 2010: the server answers with status 500.",\n# ]', "# none"),
        [("", "no remarks in the head")],
    ),
    "no rows told": (instead("rows = 1095\n", "row = 1095\n"), [("", "no rows in the head")]),
    "two faults": (
        instead("first_year = 2009\n# last_year = 2011", "first_year = 2009.5\n# last_year = []"),
        [("first_year", "'2009.5' as first_year in the head"), ("last_year", "'[]' as last_year in the head")],
    ),
    "no station for the rain": (
        instead('serves = ["rain", "temperatures"]', 'serves = ["temperatures"]'),
        [("", "no station for rain in the head")],
    ),
}


@pytest.mark.parametrize("damage", HEADS)
def test_a_damaged_head(damage: str, path: Path, alone: Fetched) -> None:
    lines = snapshot.as_text(alone).split("\n")
    spoil, expected = HEADS[damage]
    spoiled = spoil(lines, lines.index(HEADING) + 1)
    told = []
    for key, fault in expected:
        name, _, behind = key.partition(" +")
        line = [number for number, text in enumerate(spoiled, 1) if key and text.startswith(f"# {name} = ")]
        where = f" line {line[0] + int(behind or 0)}" if line else ""
        told.append(f"home_stations.csv{where}: {fault}{'' if 'format' in damage else ACCEPTED}")
    assert faults_of(path, "\n".join(spoiled)) == told


def test_a_station_without_rows(path: Path, alone: Fetched) -> None:
    """The head names one for the gaps, and has no row of it."""
    other = serving(a_station("INV02", "Weir (invented)"), GAPS)
    text = snapshot.as_text(replace(alone, considered=[*alone.considered, other]))
    assert faults_of(path, text) == [f"home_stations.csv: no row of station INV02, which serves by the head{ACCEPTED}"]


def test_many_faults_of_a_kind_are_not_told_one_by_one(path: Path, alone: Fetched) -> None:
    text = snapshot.as_text(alone)
    assert len(faults_of(path, text.replace("INV01,20", "INV01,1"))) == 6


@pytest.mark.parametrize("share", [0.0, 0.001, 0.2, 0.4, 0.6, 0.8, 0.99])
def test_a_file_that_is_cut_anywhere_is_not_taken_for_whole(share: float, path: Path, alone: Fetched) -> None:
    """In the first words, in the head, in the rows."""
    content = snapshot.as_text(alone).encode()
    sizes = range(int(share * len(content)), int(share * len(content)) + 15)
    assert len(sizes) == 15 and sizes[-1] < len(content)
    for size in sizes:
        told = faults_of(path, content[:size])
        assert told and all(line.startswith("home_stations.csv") and line.count("; accepted: ") for line in told)


def test_every_cut_of_the_head_is_told(path: Path, alone: Fetched) -> None:
    text = snapshot.as_text(alone)
    sizes = range(len(snapshot.FIRST_LINE) + 1, text.index(HEADING) + len(HEADING))
    assert len(sizes) > 500  # the whole head, letter by letter
    for size in sizes:
        (told,) = faults_of(path, text[:size])
        line = text[:size].rstrip("\n").count("\n") + 1
        assert told.startswith(f"home_stations.csv line {line}: no line '{HEADING}' up to here"), size


def test_no_utf_8(path: Path, alone: Fetched) -> None:
    lines = snapshot.as_text(alone).split("\n")
    line = next(number for number, text in enumerate(lines, 1) if "Mill Brook (invented)" in text)
    content = "\n".join(lines).encode().replace(b"Mill Brook (invented)", "Mühlbach".encode("latin-1"))
    assert faults_of(path, content) == [f"home_stations.csv line {line}: is not UTF-8 text{ACCEPTED}"]


@pytest.mark.parametrize(
    ("content", "found"),
    [
        ("", "is empty"),
        ("\n\n", "is empty"),
        ("date,rain (mm)\n2010-01-01,3.2\n", "is no snapshot of this tool"),
        (f"{HEADING}\nINV01,2009-01-01,1,1,1\n", "is no snapshot of this tool"),
        ("PK\x03\x04\0\0", "is no snapshot of this tool"),
    ],
)
def test_a_file_of_somebody_is_never_written_over(content: str, found: str, path: Path, alone: Fetched) -> None:
    assert faults_of(path, content) == [f"home_stations.csv: {found}{ACCEPTED}"]
    with pytest.raises(InputFaults):
        snapshot.write(alone, path)
    assert path.read_bytes() == content.encode()
    assert [file.name for file in path.parent.iterdir()] == [path.name]


def test_a_folder_of_that_name(path: Path) -> None:
    path.mkdir()
    with pytest.raises(InputFaults, match=r"home_stations\.csv: cannot be read: Is a directory"):
        snapshot.read(path)


# ---- saved by a spreadsheet program ----


@pytest.mark.parametrize("ends", ["\r\n", "\r"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_other_ends_of_lines_and_a_mark_in_front(ends: str, mark: str, path: Path, alone: Fetched) -> None:
    path.write_bytes((mark + snapshot.as_text(alone).replace("\n", ends)).encode())
    assert_same(snapshot.read(path), alone)
    assert snapshot.write(alone, path) is None, "the days are the same: nothing is to be kept"


def saved(line: str, quote: bool, separator: str) -> str:
    """A line as a spreadsheet program saves the cells that it saw in it."""
    cells = (line.split(",") + [""] * 14)[:14]
    marked = [f'"{cell.replace(chr(34), chr(34) * 2)}"' if quote or '"' in cell else cell for cell in cells]
    return separator.join(marked)


SAVED = {"commas": (False, ","), "quotes": (True, ","), "semicolons": (False, ";"), "tabs": (False, "\t")}


@pytest.mark.parametrize("way", SAVED)
@pytest.mark.parametrize("ends", ["\n", "\r\n"])
def test_saved_by_a_spreadsheet_program(way: str, ends: str, path: Path, alone: Fetched) -> None:
    """Which takes the lines of the head for rows, and gives all rows as many cells."""
    quote, separator = SAVED[way]
    lines = [saved(line, quote, separator) for line in snapshot.as_text(alone).rstrip("\n").split("\n")]
    found = "was a snapshot of this tool until something else changed it: a spreadsheet program, perhaps"
    assert faults_of(path, ends.join([*lines, ""])) == [f"home_stations.csv: {found}{ACCEPTED}"]


@pytest.mark.parametrize("form", ["%d.%m.%Y", "%m/%d/%Y", "%m/%d/%y", "%Y/%m/%d"])
def test_dates_in_another_form(form: str, path: Path, alone: Fetched) -> None:
    head, heading, rows = snapshot.as_text(alone).partition(f"{HEADING}\n")
    cells = [row.split(",") for row in rows.splitlines()]
    other = "".join(f"{key},{date.fromisoformat(day):{form}},{','.join(rest)}\n" for key, day, *rest in cells)
    told = faults_of(path, head + heading + other)
    first = head.count("\n") + 2
    assert told[0] == (f"home_stations.csv line {first}: '{FIRST:{form}}' as date; accepted: a date such as 2012-01-31")
    assert len(told) == 6 and "and 1090 more from here on: date" in told[-1]


def test_dates_without_their_zeros_are_the_same_dates(path: Path, alone: Fetched) -> None:
    path.write_text(snapshot.as_text(alone).replace(",2009-01-0", ",2009-1-"), encoding="utf-8")
    assert_same(snapshot.read(path), alone)


# ---- one step ----


def test_other_days_keep_what_lay_there(path: Path, alone: Fetched) -> None:
    """Under the date of its retrieval, byte by byte, and never over what was kept before."""
    snapshot.write(alone, path)
    path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    contents = [path.read_bytes()]
    for number, day in enumerate((7, 8), 2):
        later = replace(alone, days={"INV01": alone.days["INV01"].iloc[day:]})
        kept = snapshot.write(later, path)
        assert kept is not None and kept.read_bytes() == contents[-1]
        assert kept.name == f"home_stations_2026-05-06{'' if number == 2 else f'_{number - 1}'}.csv"
        contents.append(path.read_bytes())
    assert snapshot.read(path.with_name("home_stations_2026-05-06.csv")) is not None
    assert path.with_name("home_stations_2026-05-06.csv").read_bytes() == contents[0]
    assert len(list(path.parent.iterdir())) == 3


@pytest.mark.parametrize("step", ["the last rename", "the copy", "the write"])
def test_a_write_that_fails_leaves_all_as_it_was(
    step: str, path: Path, alone: Fetched, monkeypatch: pytest.MonkeyPatch
) -> None:
    snapshot.write(alone, path)
    before = path.read_bytes()
    rename, calls = os.replace, []

    def full(*given: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    def renamed(source: str, target: Path) -> None:
        calls.append(target)
        if (target == path) is (step == "the last rename"):
            full()
        rename(source, target)

    monkeypatch.setattr(os, "fsync", full) if step == "the write" else monkeypatch.setattr(os, "replace", renamed)
    with pytest.raises(OutputFault, match=r"cannot be written: No space left on device"):
        snapshot.write(replace(alone, days={"INV01": alone.days["INV01"].iloc[9:]}), path)
    assert {file.name: file.read_bytes() for file in path.parent.iterdir()} == {path.name: before}
    assert step == "the write" or calls


def test_what_could_not_be_read_again_is_not_written(path: Path, alone: Fetched) -> None:
    snapshot.write(alone, path)
    before = path.read_bytes()
    with pytest.raises(InputFaults, match="no row of station INV01"):
        snapshot.write(replace(alone, days={"INV01": alone.days["INV01"] * np.nan}), path)
    assert {file.name: file.read_bytes() for file in path.parent.iterdir()} == {path.name: before}


@pytest.mark.skipif(os.name == "nt", reason="rights of files are other there")
def test_its_rights_are_those_of_any_new_file(alone: Fetched, path: Path) -> None:
    """Or those that its owner gave it: it holds where somebody lives."""
    before = os.umask(0o077)
    try:
        snapshot.write(alone, path)
    finally:
        os.umask(before)
    assert path.stat().st_mode & 0o777 == 0o600
    path.chmod(0o640)
    snapshot.write(alone, path)
    assert path.stat().st_mode & 0o777 == 0o640
