"""From weather stations to the book, over the command line: an invented place whose stations a server here serves.

What the server sends is read once more, file by file and without the library, and followed day by day into the record
and month by month into the cells of the Ledger.
"""

from __future__ import annotations

import csv
import gzip
import io
import json
import logging
import os
import re
import subprocess
import sys
from calendar import monthrange
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from dataclasses import dataclass, replace
from datetime import date
from functools import cache
from pathlib import Path
from urllib.request import urlopen

import pandas as pd
import pytest
from openpyxl import load_workbook

from budget.build import lay_out
from budget.cli import main
from budget.material import material
from budget.rain import read_record
from budget.record import frost_table
from budget.record.csv_file import read_file
from budget.record.fetched import CREDIT
from budget.site_file.reading import read_site
from tests.computed import EXAMPLES, ROOT
from tests.station_server import Fault, ServedStation, StationServer, days_of_file, library_on, stations_around

FOLDER = EXAMPLES[0].parent
LATITUDE, LONGITUDE = 44.3, -40.0  # in the ocean, where nobody lives
HEIGHT = 304.8  # [m] of the place: 1000 ft
LAPSE = 6.5 / 1000  # [K/m]
FIRST, LAST = 2010, 2013
NEAREST = "The nearest is Terrace, near by (invented) (ZZA01), 3.0 km (1.9 mi) away."
NEAR, GAUGE, HILL = "ZZA01", "ZZA02", "ZZA03"
NEAR_HEIGHT, HILL_HEIGHT = 105, 340  # [m]
Figures = tuple[float | None, float | None, float | None]


def run(*arguments: str) -> tuple[int, str, str]:
    """A command in this process: exit code, standard output, standard error."""
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        code = main(arguments)
    return code, out.getvalue(), err.getvalue()


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


@contextmanager
def service(folder: Path, stations: Sequence[ServedStation]) -> Iterator[StationServer]:
    """The library on a server with these stations, and the cache in the folder."""
    with (
        StationServer(stations) as server,
        library_on(server, folder / "library"),
        pytest.MonkeyPatch.context() as patch,
    ):
        patch.setenv("XDG_CACHE_HOME", str(folder / "caches"))
        yield server


@cache
def terrace_days() -> pd.DataFrame:
    """The days of the example's record, thirty years [mm, °C]; not to be changed."""
    return days_of_file(FOLDER / "terrace_house_rain.csv").round(1)


@cache
def around() -> list[ServedStation]:
    """Three invented stations round the place: one near by, a gauge without temperatures, one on a hill."""
    return stations_around("Terrace", "ZZA", terrace_days(), LATITUDE, LONGITUDE, 100)


def home(
    folder: Path,
    *rain: str,
    latitude: float = LATITUDE,
    longitude: float = LONGITUDE,
    more: str = "",
    years: tuple[int, int] = (FIRST, LAST),
) -> Path:
    """The smallest example, its rain from stations."""
    lines = "\n".join(['source = "stations"', f"from_year = {years[0]}", f"to_year = {years[1]}", *rain])
    text = (FOLDER / "smallest.toml").read_text(encoding="utf-8")
    text = text.replace("latitude = 44.3", f"latitude = {latitude}\nlongitude = {longitude}\n{more}")
    folder.mkdir(exist_ok=True)
    path = folder / "home.toml"
    path.write_text(text.replace('file = "terrace_house_rain.csv"', lines), encoding="utf-8")
    return path


def sent(server: StationServer, station: str) -> dict[date, Figures]:
    """Rain, high and low of each day as they stand in the files that the server sends."""

    def figure(text: str) -> float | None:
        return float(text) if text else None

    days: dict[date, Figures] = {}
    for year in range(FIRST, LAST + 1):
        with urlopen(f"{server.url}/daily/{year}/{station}.csv.gz") as answer:
            text = gzip.decompress(answer.read()).decode()
        for row in csv.DictReader(text.splitlines()):
            day = date(int(row["year"]), int(row["month"]), int(row["day"]))
            days[day] = figure(row["prcp"]), figure(row.get("tmax", "")), figure(row.get("tmin", ""))
    return days


# ---- from the command `new` to the book ----


@dataclass
class Book:
    """A place whose book was built from stations: what the commands said, and what they left."""

    server: StationServer
    site: Path
    new: tuple[int, str, str]
    build: tuple[int, str, str]
    left: set[str]
    requests: list[str]
    content: bytes

    @property
    def path(self) -> Path:
        return self.site.with_suffix(".xlsx")


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    folder = tmp_path_factory.mktemp("built")
    site = folder / "home" / "home.toml"
    site.parent.mkdir()
    with service(folder, around()) as server:
        new = run("new", str(site), "--at", f"{LATITUDE},{LONGITUDE},1000 ft")
        text = site.read_text(encoding="utf-8")
        for key, year in (("from_year", FIRST), ("to_year", LAST)):
            text, count = re.subn(f'^#{key} = ""', f"{key} = {year}", text, flags=re.MULTILINE)
            assert count == 1
        site.write_text(text, encoding="utf-8")
        done = run("build", str(site))
        content = site.with_suffix(".xlsx").read_bytes()
        yield Book(server, site, new, done, names(site.parent), list(server.requests), content)


def test_new_then_build(built: Book) -> None:
    assert built.new == (0, f"{built.site} is written. Fill in your site; then: water-budget build {built.site}\n", "")
    code, out, _ = built.build
    assert code == 0 and built.left == {"home.toml", "home_stations.csv", "home.xlsx"}
    assert out.splitlines()[-2:] == [
        f"Fetched from weather stations on {date.today()}; home_stations.csv holds it, and later builds read it there.",
        f"The workbook is {built.path}",
    ]
    years, stations = range(FIRST, LAST + 1), (NEAR, GAUGE, HILL)
    files = {f"/daily/{year}/{key}.csv.gz" for year in years for key in stations}
    assert len(built.requests) == 13 and set(built.requests) == {"/stations.db", *files}


def test_what_goes_on_is_told_on_standard_error_alone(built: Book) -> None:
    """A line for each station; the answers hold none of them."""
    _, out, err = built.build
    lines = err.splitlines()
    assert [line.partition(", near by")[0] for line in lines[:1]] == ["  Terrace"]
    assert [re.findall(r"\((ZZA\d\d)\)", line) for line in lines] == [[NEAR], [GAUGE], [HILL]]
    assert lines[0].endswith("of the days of 2010 to 2013: taken for rain, temperatures")
    assert all(line.endswith(": taken for gaps") for line in lines[1:])
    assert "ZZA" not in out and "%|" not in err
    log = logging.getLogger("budget.record")
    assert log.handlers == [] and log.propagate, "what one command logs is not left on for who comes after it"


def test_from_the_server_to_the_record_day_by_day(built: Book) -> None:
    record = read_record(read_site(built.site))
    assert record.days is not None and record.remarks == []
    shift = (NEAR_HEIGHT - HEIGHT) * LAPSE
    days = sent(built.server, NEAR)
    assert [day.date() for day in record.days.index] == list(days)
    for day, rain, tmax, tmin in record.days.itertuples():
        there = days[day.date()]
        assert rain == there[0], day
        assert (tmax - shift, tmin - shift) == pytest.approx(there[1:], abs=1e-9), day


def test_from_the_server_to_the_ledger_month_by_month(built: Book) -> None:
    """Sums of rain [in] and means of temperatures [°F], in the cells of the book; two years in front as warm-up."""
    site = read_site(built.site)
    book, _ = lay_out(material(site, read_record(site)))
    placement = book.directory.placements["ledger"]
    sheet = load_workbook(built.path)[placement.sheet]
    rows = range(placement.table.rows.size)

    def column(key: str) -> list[float]:
        return [sheet.cell(*placement.cell(key, 0, row)).value for row in rows]

    days, shift = sent(built.server, NEAR), (NEAR_HEIGHT - HEIGHT) * LAPSE
    months = [(year, month) for year in range(FIRST, LAST + 1) for month in range(1, 13)]
    inches, highs, lows = [], [], []
    for year, month in months:
        figures = [days[date(year, month, day)] for day in range(1, monthrange(year, month)[1] + 1)]
        inches.append(sum(figure[0] for figure in figures) / 25.4)
        highs.append((sum(figure[1] for figure in figures) / len(figures) + shift) * 1.8 + 32)
        lows.append((sum(figure[2] for figure in figures) / len(figures) + shift) * 1.8 + 32)
    assert column("in_record") == [0] * 24 + [1] * 48
    assert list(zip(column("year"), column("month"), strict=True))[24:] == months
    assert column("rain_recorded") == pytest.approx(inches[:24] + inches, rel=1e-12)
    assert column("tmax") == pytest.approx(highs[:24] + highs, rel=1e-12)
    assert column("tmin") == pytest.approx(lows[:24] + lows, rel=1e-12)
    assert sum(column("filled")) == 0


def test_without_the_network_the_book_is_the_same(built: Book) -> None:
    """Byte by byte, from the snapshot; only the sentence of how the rain came differs."""
    built.server.stop()
    try:
        code, out, err = run("build", str(built.site))
    finally:
        built.server.restart()
    kept = names(built.site.parent) - built.left
    for name in kept:
        (built.site.parent / name).unlink()
    assert code == 0 and built.path.read_bytes() == built.content
    assert err == "" and len(kept) == 1
    before, after = built.build[1].splitlines(), out.splitlines()
    assert after[:-3] == before[:-2]
    assert after[-3] == f"The rain is that of home_stations.csv, fetched on {date.today()}, today."


def test_the_rain_command(built: Book, tmp_path: Path) -> None:
    clean = tmp_path / "clean.csv"
    code, out, err = run("rain", str(built.site), "--save", str(clean))
    assert code == 0 and err == ""
    for told in (
        "home_stations.csv: days fetched from weather stations",
        f"The rain is that of home_stations.csv, fetched on {date.today()}, today.",
        "Weather stations, in the order in which they were looked at:",
        f"{CREDIT}.",
        "The record runs from 2010-01-01 to 2013-12-31, 48 whole months.",
        f"The clean record is {clean}",
    ):
        assert told in out.splitlines()
    record = read_record(read_site(built.site))
    again = read_file(clean)
    pd.testing.assert_frame_equal(again.rows, record.days.round(4), check_freq=False)
    assert run("rain", str(built.site), "--save", str(clean))[0] == 1


def test_the_rain_command_for_a_program(built: Book, tmp_path: Path) -> None:
    """In another process; nothing but JSON goes to standard output, also where the stations are asked again."""
    before = (built.site.parent / "home_stations.csv").read_bytes()
    variables = {**os.environ, **built.server.environment(built.site.parent.parent / "library")}
    clean = tmp_path / "clean.csv"
    command = [sys.executable, "-m", "budget", "rain", str(built.site), "--json", "--fresh", "--save", str(clean)]
    done = subprocess.run(command, cwd=ROOT, env=variables, capture_output=True, encoding="utf-8", timeout=60)
    assert done.returncode == 0
    content = json.loads(done.stdout)
    assert done.stderr == built.build[2]
    assert (built.site.parent / "home_stations.csv").read_bytes() == before
    assert [station["id"] for station in content["stations"]] == [NEAR, GAUGE, HILL]
    assert content["stations"][0]["serves"] == ["rain", "temperatures"]
    assert content["files"][0]["path"] == str(built.site.parent / "home_stations.csv")
    assert content["came"].startswith("Fetched from weather stations on ") and len(content["credit"]) == 3
    rain = {year: 0.0 for year in range(FIRST, LAST + 1)}
    for day, figures in sent(built.server, NEAR).items():
        rain[day.year] += figures[0] or 0.0
    assert {row["year"]: row["rain"] for row in content["years"]} == pytest.approx(rain)
    assert len(clean.read_text(encoding="utf-8").splitlines()) == 3 + 1 + 4 * 365 + 1  # whom to name stands above
    text = json.loads(run("rain", str(built.site), "--json")[1])
    differ = {key for key in text if text[key] != content[key]}
    assert differ == {"came"}


# ---- what came of several stations ----


def test_rain_here_temperatures_there_and_gaps(tmp_path: Path) -> None:
    """The nearest has no temperatures and lacks days; those that it has come through, the others are counted."""
    lost = pd.date_range("2011-06-05", "2011-06-24")
    near, _, hill = around()
    holed = replace(near, days=terrace_days()[["rain"]][f"{FIRST}" : f"{LAST}"].drop(lost), monthly=False)
    with service(tmp_path, [holed, hill]) as server:
        site = home(tmp_path / "home", more=f'elevation = "{HEIGHT} m"')
        contents = [json.loads(run("rain", str(site), "--json")[1]) for _ in ("fetched", "from the snapshot")]
        record = read_record(read_site(site))
        here, there = sent(server, NEAR), sent(server, HILL)
    assert [key for key in contents[0] if contents[0][key] != contents[1][key]] == ["came"]
    assert record.days is not None and record.coverage is not None
    shift = (HILL_HEIGHT - HEIGHT) * LAPSE
    for day, rain, tmax, tmin in record.days.itertuples():
        if day not in lost:
            assert rain == here[day.date()][0], day
        assert (tmax - shift, tmin - shift) == pytest.approx(there[day.date()][1:], abs=1e-9), day
    ratio = sum(figures[0] for figures in here.values()) / sum(there[day][0] for day in here)
    filled = [there[day.date()][0] * ratio for day in lost]
    assert record.days.loc[lost, "rain"].to_list() == pytest.approx(filled)
    assert record.coverage["rain_filled"].to_list() == [0, 20, 0, 0]
    notes = contents[0]["notes"]
    assert "Rain was missing on 20 days; 20 were filled from Terrace, hill (invented) (ZZA03) (20)." in notes
    assert any(note.endswith(f"brought to the site's height by {shift:+.1f} °C (6.5 K per km).") for note in notes)


def test_a_station_that_is_named(tmp_path: Path) -> None:
    """The farther one, on a hill; the nearest fills its gaps."""
    with service(tmp_path, around()) as server:
        site = home(tmp_path / "home", f'station = "{HILL}"', more=f'elevation = "{HEIGHT} m"')
        code, out, _ = run("rain", str(site))
        record = read_record(read_site(site))
        days = sent(server, HILL)
    assert code == 0 and record.days is not None and record.fetched is not None
    assert record.fetched.rain_station.id == HILL and "12.0 km (7.5 mi) to the east, 35 m (115 ft) higher" in out
    assert record.days["rain"].to_list() == [figures[0] for figures in days.values()]
    shift = (HILL_HEIGHT - HEIGHT) * LAPSE
    assert record.days["tmin"].to_list() == pytest.approx([figures[2] + shift for figures in days.values()], abs=1e-9)


def test_a_name_that_the_service_does_not_know(tmp_path: Path) -> None:
    with service(tmp_path, around()):
        site = home(tmp_path / "home", 'station = "NOWHERE1"')
        code, out, err = run("build", str(site))
    assert (code, out) == (1, "")
    assert err.startswith("rain.station: the service knows no station 'NOWHERE1'; accepted: ") and err.count("\n") == 1
    assert names(site.parent) == {"home.toml"}


def test_no_station_within_reach(tmp_path: Path) -> None:
    with service(tmp_path, around()):
        site = home(tmp_path / "home", 'within = "2 km"')
        code, out, err = run("build", str(site))
    assert (code, out) == (3, "")
    tried, to_do = err.splitlines()
    assert tried == "No weather station of the list lies within 2.0 km (1.2 mi) of 44.3, -40. " + NEAREST
    assert to_do.startswith(
        "What to do: see that latitude and longitude are right; look farther: rain.within; or bring"
    )
    assert names(site.parent) == {"home.toml"}


# ---- places at the ends of the world ----


def test_a_place_south_of_the_equator(tmp_path: Path) -> None:
    """The same months and frost dates as from a file of the same days, with its cold season round July."""
    days = terrace_days()["2009":"2013"]
    days = days.set_axis(pd.DatetimeIndex(days.index) + pd.Timedelta(days=182)).loc["2010":"2013"].rename_axis("date")
    with service(tmp_path, [ServedStation("ZZS01", "Southern brook (invented)", -33.9, -40.0, 90, days=days)]):
        site = home(tmp_path / "home", latitude=-33.9, more='elevation = "90 m"')
        code, out, _ = run("rain", str(site))
        record = read_record(read_site(site))
    assert code == 0 and record.days is not None
    pd.testing.assert_frame_equal(record.days, days, check_freq=False)
    assert (
        record.frosts == frost_table(days.asfreq("D"), southern=True) != frost_table(days.asfreq("D"), southern=False)
    )
    assert record.frosts.pipes.seasons == 4 and "The frost dates rest on 4 cold seasons." in out
    days.rename(columns={"rain": "rain (mm)", "tmax": "tmax (°C)", "tmin": "tmin (°C)"}).to_csv(
        site.parent / "days.csv"
    )
    text = site.read_text(encoding="utf-8")
    text = re.sub(r'source = "stations"\n.*\n.*\n', 'file = "days.csv"\n', text)
    (site.parent / "other.toml").write_text(text, encoding="utf-8")
    other = read_record(read_site(site.parent / "other.toml"))
    pd.testing.assert_frame_equal(record.months, other.months)
    assert record.frosts == other.frosts


PLACES = {
    # The place, the station, how far it stands and where. One hundredth of a degree is 1.11 km along a meridian.
    "across the pole": ((89.9, 10.0), (89.95, -170.0), "16.7 km (10.4 mi) to the north"),
    "across the southern pole": ((-89.9, 0.0), (-89.95, 180.0), "16.7 km (10.4 mi) to the south"),
    "east over the date line": ((44.3, 179.9), (44.3, -179.95), "11.9 km (7.4 mi) to the east"),
    "west over the date line": ((44.3, -179.9), (44.3, 179.95), "11.9 km (7.4 mi) to the west"),
    "on the date line": ((0.0, 180.0), (0.0, -180.0), "0.0 km (0.0 mi)"),
}


@pytest.mark.parametrize("where", PLACES)
def test_far_ends_of_the_world(where: str, tmp_path: Path) -> None:
    (latitude, longitude), (there_latitude, there_longitude), told = PLACES[where]
    days = terrace_days()["2010":"2011"]
    station = ServedStation("ZZE01", "Far end (invented)", there_latitude, there_longitude, None, days=days)
    with service(tmp_path, [station]) as server:
        site = home(tmp_path / "home", latitude=latitude, longitude=longitude, years=(2010, 2011))
        code, out, err = run("rain", str(site), "--json")
        assert code == 0, err
        first = json.loads(out)
        server.stop()
        code, out, _ = run("rain", str(site), "--json")
    again = json.loads(out)
    assert code == 0 and {**first, "came": again["came"]} == again
    assert [note for note in first["notes"] if told in note]
    assert first["stations"][0]["height"] is None
    assert any("as measured there, since a height is not known" in note for note in first["notes"])


# ---- what goes wrong ----


@pytest.mark.parametrize("command", ["build", "rain"])
def test_fresh_with_files(command: str, tmp_path: Path) -> None:
    site = tmp_path / "home.toml"
    site.write_text((FOLDER / "smallest.toml").read_text(encoding="utf-8"), encoding="utf-8")
    (tmp_path / "terrace_house_rain.csv").write_bytes((FOLDER / "terrace_house_rain.csv").read_bytes())
    assert run(command, str(site), "--fresh") == (
        1,
        "",
        '--fresh: the rain of this site file stands in files; accepted: rain.source = "stations"; files are read anew'
        " by every build\n",
    )
    assert names(tmp_path) == {"home.toml", "terrace_house_rain.csv"}


@pytest.mark.parametrize(("command", "book"), [("build", False), ("build", True), ("rain --save", False)])
def test_nothing_half_written_without_rain(command: str, book: bool, tmp_path: Path) -> None:
    """No book, no snapshot, no clean file, and nothing in between; a book that was there is as it was."""
    with service(tmp_path, around()) as server:
        site = home(tmp_path / "home")
        if book:
            site.with_suffix(".xlsx").write_bytes(b"the old book")
        before = {path.name: path.read_bytes() for path in site.parent.iterdir()}
        server.stop()
        verb, *options = command.split()
        given = [str(site.parent / "clean.csv")] if options == ["--save"] else []
        code, out, err = run(verb, str(site), *options, *given)
    assert (code, out) == (3, "")
    assert {path.name: path.read_bytes() for path in site.parent.iterdir()} == before
    tried, to_do = err.splitlines()
    assert tried.startswith("The list of weather stations could not be had: no connection to 127.0.0.1:")
    assert to_do.startswith("What to do: see that the network is there, and try again; or bring a record of your own")


def test_a_damaged_snapshot_is_told_and_left(built: Book) -> None:
    """One line a fault, exit code 1, and no book; the service is not asked behind the user's back."""
    path = built.site.parent / "home_stations.csv"
    sound = path.read_text(encoding="utf-8")
    spoiled = sound.replace(f"{NEAR},2010-02-03,", f"{NEAR},2010-02-03,x").replace(f"{NEAR},2012-", f"{NEAR},1012-", 1)
    asked = len(built.server.requests)
    try:
        path.write_text(spoiled, encoding="utf-8")
        for arguments in (["build"], ["build", "--fresh"], ["rain"]):
            code, out, err = run(*arguments, str(built.site))
            lines = [
                number for number, line in enumerate(spoiled.splitlines(), 1) if "-02-03,x" in line or ",1012" in line
            ]
            told = [line.partition(":")[0] for line in err.splitlines()]
            assert (code, out, told) == (1, "", [f"home_stations.csv line {number}" for number in lines])
            assert path.read_text(encoding="utf-8") == spoiled
    finally:
        path.write_text(sound, encoding="utf-8")
    assert len(built.server.requests) == asked
    assert names(built.site.parent) == built.left and built.path.read_bytes() == built.content


@pytest.mark.parametrize("command", ["build", "rain"])
def test_stopped_by_the_user(command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl-C in the middle of a fetch, which may take a minute: one line and nothing half-written."""

    def stopped(*given: object) -> None:
        raise KeyboardInterrupt

    with service(tmp_path, around()):
        site = home(tmp_path / "home")
        monkeypatch.setattr("budget.record.station_days.StationDays.of", stopped)
        try:
            done = run(command, str(site))
        except KeyboardInterrupt:
            pytest.fail("the command lets it through")
        assert done == (130, "", "Stopped.\n")
        assert names(site.parent) == {"home.toml"}


def test_one_year_that_fails_is_told_everywhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A first fetch of ten years of which one cannot be read: the record says so, in the next build too."""
    monkeypatch.setattr("budget.record.station_days.time.sleep", lambda seconds: None)
    station = ServedStation("ZZY01", "Ten years (invented)", 44.33, -40.0, days=terrace_days()["2010":"2019"])
    with service(tmp_path, [station]) as server:
        site = home(tmp_path / "home", years=(2010, 2019))
        server.faults["/daily/2013/*"] = Fault.TRUNCATED
        told = "Ten years (invented) (ZZY01) lacks 2013: its file is cut short."
        assert told in run("rain", str(site))[1].splitlines()
        out = run("rain", str(site))[1].splitlines()
        assert told in out and out[1].endswith(" Not all came then: --fresh asks again.")
        server.faults.clear()
        code, text, _ = run("rain", str(site), "--fresh", "--json")
    assert code == 0
    content = json.loads(text)
    assert content["came"].endswith(f" What it held before is kept as home_stations_{date.today()}.csv.")
    assert not any("lacks 2013" in note for note in content["notes"])
    assert [row["missing"] for row in content["years"]] == [0] * 10
