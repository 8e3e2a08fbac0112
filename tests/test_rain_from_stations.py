"""From coordinates to the book: a served record, the network cut, fetches that fail or are killed.

The place is invented, and so are its stations: they are made of the example's record. Each command asks the unmodified
weather library, which asks a server on 127.0.0.1.
"""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from calendar import monthrange
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from budget.build import read_record
from budget.cli import main
from budget.record import snapshot
from budget.record.from_stations import age
from budget.site_file import read_site
from tests.computed import EXAMPLES, compute
from tests.invented_stations import terrace_days
from tests.station_server import Fault, ServedStation, StationServer, library_on

SMALLEST = (EXAMPLES[0].parent / "smallest.toml").read_text(encoding="utf-8")
YEARS = (1998, 2009)
FILES = 'file = "terrace_house_rain.csv"'
STATIONS = f'source = "stations"\nfrom_year = {YEARS[0]}\nto_year = {YEARS[1]}'


def served() -> pd.DataFrame:
    """What the station of the rain measured, in tenths as the service writes it; a year and some days are lacking."""
    days = terrace_days().round(1)
    days = days[(days.index.year >= YEARS[0]) & (days.index.year <= YEARS[1])]
    return days[(days.index.year != 2003) & ~days.index.isin(pd.date_range("2006-02-10", "2006-02-12"))]


def stations() -> list[ServedStation]:
    days = terrace_days().round(1)
    beside = days.assign(rain=(days["rain"] * 1.2).round(1))
    return [
        ServedStation("MILL1", "Upper Mill (invented)", 44.35, -30.0, 378, days=served()),
        ServedStation("RIDG1", "Long Ridge (invented)", 44.1, -30.0, 128, days=beside),
    ]


def site(folder: Path, rain: str = STATIONS, place: str = "longitude = -30\nelevation = 128") -> Path:
    """The smallest example at coordinates."""
    assert SMALLEST.count(FILES) == 1 and SMALLEST.count("latitude = 44.3") == 1
    text = SMALLEST.replace(FILES, rain).replace("latitude = 44.3", f"latitude = 44.3\n{place}")
    path = folder / "home.toml"
    path.write_text(text.replace("elevation = 128", 'elevation = "128 m"'), encoding="utf-8")
    return path


@pytest.fixture
def server(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[StationServer]:
    monkeypatch.setattr("budget.record.weather_service.cache_folder", lambda: tmp_path / "cache")
    monkeypatch.setattr("budget.record.weather_service.PAUSE", 0)
    with StationServer(stations()) as running, library_on(running, tmp_path / "theirs"):
        yield running


def left_in(folder: Path) -> set[str]:
    """The files of a folder, hidden ones too."""
    return {path.name for path in folder.iterdir() if path.is_file()}


# ---------------------------------------------------------------- values


def test_values_from_the_server_to_the_ledger(server: StationServer, tmp_path: Path) -> None:
    """Day by day to the record, and month by month, counted here, to the Ledger."""
    path = site(tmp_path)
    record = read_record(read_site(path))
    sent, days = served(), record.days
    assert days is not None
    shift = (378 - 128) / 1000 * 6.5
    for column, expected in (("rain", sent["rain"]), ("tmax", sent["tmax"] + shift), ("tmin", sent["tmin"] + shift)):
        np.testing.assert_allclose(days.loc[sent.index, column], expected, rtol=0, atol=1e-9)
    # The year that the station lacks comes from the next one, by the ratio of the two over all days in common.
    near = stations()[1].days
    both = sent.index
    ratio = sent["rain"].sum() / near.loc[both, "rain"].sum()
    lacking = near.loc["2003-01-01":"2003-12-31", "rain"]  # type: ignore[misc]
    np.testing.assert_allclose(days.loc[lacking.index, "rain"], lacking * ratio, rtol=1e-12)
    computed = compute(path)
    rows = zip(
        *(computed.column("ledger", key) for key in ("year", "month", "in_record")),
        *(computed.metric_column("ledger", key) for key in ("rain_recorded", "tmax", "tmin")),
        strict=True,
    )
    seen = 0
    for year, month, counted, rain, high, low in rows:
        if not counted or year == 2003 or (year, month) == (2006, 2):
            continue
        of_month = sent[(sent.index.year == year) & (sent.index.month == month)]
        assert len(of_month) == monthrange(int(year), int(month))[1]
        assert rain == pytest.approx(sum(of_month["rain"]), abs=1e-9)
        assert high == pytest.approx(sum(of_month["tmax"]) / len(of_month) + shift, abs=1e-9)
        assert low == pytest.approx(sum(of_month["tmin"]) / len(of_month) + shift, abs=1e-9)
        seen += 1
    assert seen == 12 * 11 - 1
    assert str(computed.model.value("check_station_height")).startswith("The rain station stands 250 m (820 ft) higher")
    assert computed.column("stations", "station") == ["Upper Mill (invented) (MILL1)", "Long Ridge (invented) (RIDG1)"]


# ---------------------------------------------------------------- commands


def test_build_then_the_network_cut(server: StationServer, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The snapshot serves, says its age, and gives the same book; asked again it is untouched, and exit 3."""
    path, book, kept = site(tmp_path), tmp_path / "home.xlsx", tmp_path / "home_stations.csv"
    assert main(["build", str(path)]) == 0
    told = capsys.readouterr()
    assert f"{kept.name} holds it, and later builds read it there." in told.out
    lines = told.err.splitlines()
    assert len(lines) == 2 and "Upper Mill (invented) (MILL1)" in lines[0] and "taken for gaps" in lines[1]
    first, archive = book.read_bytes(), kept.read_bytes()
    server.stop()
    assert main(["build", str(path), "-o", str(tmp_path / "again.xlsx")]) == 0
    told = capsys.readouterr()
    assert "The rain is that of home_stations.csv, fetched on" in told.out and ", today." in told.out
    assert told.err == "" and (tmp_path / "again.xlsx").read_bytes() == first
    names = left_in(tmp_path)
    assert main(["build", str(path), "--fresh"]) == 3
    told = capsys.readouterr()
    assert told.out == ""
    assert "no connection to 127.0.0.1" in told.err
    assert "What to do: leave --fresh away: home_stations.csv, fetched on" in told.err
    assert kept.read_bytes() == archive and book.read_bytes() == first and left_in(tmp_path) == names
    server.restart()
    server.requests.clear()
    assert main(["rain", str(path), "--fresh"]) == 0
    assert len(server.requests) == 2 * (YEARS[1] - YEARS[0] + 1)
    assert kept.read_bytes() == archive


def test_rain_says_all_of_the_stations(
    server: StationServer, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = site(tmp_path)
    assert main(["rain", str(path), "--json"]) == 0
    content = json.loads(capsys.readouterr().out)
    assert [row["id"] for row in content["stations"]] == ["MILL1", "RIDG1"]
    assert content["stations"][0]["serves"] == ["rain", "temperatures"]
    assert any("Meteostat" in line for line in content["credit"])
    assert main(["rain", str(path), "--save", str(tmp_path / "clean.csv")]) == 0
    text = capsys.readouterr().out
    for wanted in (
        "home_stations.csv: days fetched from weather stations",
        "Upper Mill (invented) (MILL1), 5.6 km (3.5 mi), 378 m above the sea, rain on 91.6 %",
        "to the north, 250 m (820 ft) higher",
        "Upper Mill (invented) (MILL1) lacks 2003: not found.",
        "brought to the site's height by +1.6 °C (6.5 K per km)",
        "Gaps are filled from Long Ridge (invented) (RIDG1), 22.2 km (13.8 mi) to the south, at the same height",
        "Measured: 27.8 km (17.3 mi) from it, at Long Ridge (invented) (RIDG1), single years had",
        "Weather data: Meteostat (https://meteostat.net), CC BY 4.0.",
    ):
        assert wanted in text, wanted
    again = site(tmp_path, 'file = "clean.csv"', "")
    clean = read_record(read_site(again)).days
    pd.testing.assert_frame_equal(
        clean, read_record(read_site(site(tmp_path))).days, atol=1e-3, rtol=0, check_index_type=False
    )


def test_a_new_place_is_built_from_its_coordinates(
    server: StationServer, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """`new --at`, then `build`, with nothing between but the years that the server has."""
    path = tmp_path / "place.toml"
    assert main(["new", str(path), "--at", "44°18'N, 30°0'W", "--units", "metric"]) == 0
    text = path.read_text(encoding="utf-8")
    for key, year in zip(("from_year", "to_year"), YEARS, strict=True):
        assert text.count(f'#{key} = ""') == 1
        text = text.replace(f'#{key} = ""', f"{key} = {year}")
    path.write_text(text, encoding="utf-8")
    assert main(["build", str(path)]) == 0
    assert "The height of the place is not given" in " ".join(read_record(read_site(path)).notes)
    assert (tmp_path / "place.xlsx").exists() and (tmp_path / "place_stations.csv").exists()


def test_fresh_is_for_stations(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["rain", "--fresh"]) == 1
    told = capsys.readouterr()
    assert told.err.startswith("--fresh: the rain of this site file stands in files; accepted:") and told.out == ""


@pytest.mark.parametrize("latitude", [89.9, -89.9, -37.0])
def test_nobody_near(
    server: StationServer, tmp_path: Path, latitude: float, capsys: pytest.CaptureFixture[str]
) -> None:
    path = site(tmp_path)
    path.write_text(path.read_text(encoding="utf-8").replace("latitude = 44.3", f"latitude = {latitude}"))
    assert main(["build", str(path)]) == 3
    assert "No weather station of the list lies within 50.0 km" in capsys.readouterr().err
    assert left_in(tmp_path) == {"home.toml"}


def test_across_the_date_line(server: StationServer, tmp_path: Path) -> None:
    mill = stations()[0]
    server.serve([ServedStation("DATE1", "Date Line (invented)", 44.3, 179.99, 128, days=mill.days)])
    record = read_record(read_site(site(tmp_path, place="longitude = -179.99\nelevation = 128")))
    assert record.fetched is not None and record.fetched.rain_station.distance == pytest.approx(1.592, abs=0.01)
    assert any("to the west" in note for note in record.notes)


# ---------------------------------------------------------------- fetches that fail

FAULTS = [
    Fault.SERVER_ERROR,
    Fault.HTML,
    Fault.TRUNCATED,
    Fault.EMPTY,
    Fault.HANG_UP,
    Fault.NOT_FOUND,
    Fault.NO_SOURCES,
]


@pytest.mark.parametrize(
    ("fault", "there"),
    [(FAULTS[0], False), *((fault, True) for fault in FAULTS)],
    ids=["SERVER_ERROR, no snapshot", *(fault.name for fault in FAULTS)],
)
def test_a_fetch_that_fails(
    server: StationServer, tmp_path: Path, fault: Fault, there: bool, capsys: pytest.CaptureFixture[str]
) -> None:
    """With a snapshot or without: exit 3, what was tried and what to do, and nothing is written or lost."""
    path, kept = site(tmp_path), tmp_path / "home_stations.csv"
    if there:
        read_record(read_site(path))
    before = kept.read_bytes() if there else None
    server.faults["/daily/*"] = fault
    names = left_in(tmp_path)
    capsys.readouterr()
    assert main(["rain", str(path), "--fresh"]) == 3
    told = capsys.readouterr()
    assert told.out == "" and "What to do:" in told.err and "rain.file" in told.err
    assert ("leave --fresh away" in told.err) is there
    assert left_in(tmp_path) == names
    assert (kept.read_bytes() if there else None) == before


def test_less_than_before_does_not_replace_it(
    server: StationServer, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """One year is broken on the second try: still nine days in ten would come, yet a year would be lost."""
    server.serve([ServedStation("MILL1", "Upper Mill (invented)", 44.35, -30.0, 378, days=terrace_days().round(1))])
    path, kept = site(tmp_path), tmp_path / "home_stations.csv"
    read_record(read_site(path))
    before = kept.read_bytes()
    server.faults["/daily/2001/*"] = Fault.SERVER_ERROR
    assert main(["rain", str(path), "--fresh"]) == 3
    told = capsys.readouterr().err
    assert "365 days of rain are missing" in told and "lacks 2001: the server answers with status 500" in told
    assert kept.read_bytes() == before
    kept.unlink()
    assert main(["rain", str(path), "--fresh"]) == 0  # where nothing is lost, it is better than nothing
    assert "lacks 2001" in capsys.readouterr().out
    assert main(["rain", str(path)]) == 0
    assert "Some years did not come then: --fresh asks again." in capsys.readouterr().out


def test_other_days_keep_the_old_ones_beside_them(
    server: StationServer, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path, kept = site(tmp_path), tmp_path / "home_stations.csv"
    read_record(read_site(path))
    before, day = kept.read_bytes(), snapshot.read(kept).retrieved
    for number in (1, 2):
        changed = served().assign(rain=(served()["rain"] + number).round(1))
        server.serve([ServedStation("MILL1", "Upper Mill (invented)", 44.35, -30.0, 378, days=changed)])
        assert main(["rain", str(path), "--fresh"]) == 0
        assert f"kept as home_stations_{day}{'' if number == 1 else '_2'}.csv" in capsys.readouterr().out
    assert (tmp_path / f"home_stations_{day}.csv").read_bytes() == before


def test_another_place_is_asked_for_anew(
    server: StationServer, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A snapshot serves only what it was fetched for."""
    path, kept = site(tmp_path), tmp_path / "home_stations.csv"
    read_record(read_site(path))
    before = kept.read_bytes()
    path.write_text(path.read_text(encoding="utf-8").replace("latitude = 44.3", "latitude = 44.31"), encoding="utf-8")
    server.faults["/daily/*"] = Fault.SERVER_ERROR
    assert main(["rain", str(path), "--fresh"]) == 3
    assert "it serves where the site file asks for what it asked then (44.3, -30)" in capsys.readouterr().err
    assert kept.read_bytes() == before
    server.faults.clear()
    assert main(["rain", str(path)]) == 0
    assert snapshot.read(kept).wanted.latitude == 44.31
    # The elevation is not asked for: temperatures are brought to it whenever the snapshot is read.
    server.stop()
    path.write_text(path.read_text(encoding="utf-8").replace("128 m", "378 m"), encoding="utf-8")
    days = read_record(read_site(path)).days
    assert days is not None
    np.testing.assert_allclose(days.loc["1999-05-05", "tmin"], served().loc["1999-05-05", "tmin"], atol=1e-9)


def test_a_file_of_ones_own_is_not_written_over(
    server: StationServer, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path, own = site(tmp_path), tmp_path / "home_stations.csv"
    own.write_text("date,rain (mm)\n2020-01-01,1\n", encoding="utf-8")
    assert main(["build", str(path)]) == 1
    assert "home_stations.csv: is no snapshot of this tool; accepted:" in capsys.readouterr().err
    assert own.read_text(encoding="utf-8").startswith("date,rain") and server.requests == []


def test_a_fetch_that_is_killed(server: StationServer, tmp_path: Path) -> None:
    """The old snapshot is as it was, and the next run is not disturbed."""
    path, kept = site(tmp_path), tmp_path / "home_stations.csv"
    environment = {**os.environ, **server.environment(tmp_path / "theirs"), "XDG_CACHE_HOME": str(tmp_path / "xdg")}
    command = [sys.executable, "-m", "budget", "rain", str(path)]
    subprocess.run(command, env=environment, check=True, capture_output=True)
    before, names = kept.read_bytes(), left_in(tmp_path)
    server.requests.clear()
    server.delay = 0.2
    running = subprocess.Popen([*command, "--fresh"], env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    deadline = time.monotonic() + 30
    while len(server.requests) < 4 and time.monotonic() < deadline:
        time.sleep(0.02)
    running.send_signal(signal.SIGKILL)
    running.communicate()
    assert running.returncode == -signal.SIGKILL and len(server.requests) >= 4
    assert kept.read_bytes() == before and left_in(tmp_path) == names
    server.delay = 0.0
    done = subprocess.run([*command, "--fresh"], env=environment, check=True, capture_output=True, text=True)
    assert "Upper Mill" in done.stdout and kept.read_bytes() == before


@pytest.mark.parametrize(("days", "words"), [(0, "today."), (1, "1 day ago."), (40, "40 days ago."), (400, "--fresh")])
def test_how_old_it_is(server: StationServer, tmp_path: Path, days: int, words: str) -> None:
    path, kept = site(tmp_path), tmp_path / "home_stations.csv"
    read_record(read_site(path))
    fetched = snapshot.read(kept)
    told = age(kept, fetched, fetched.retrieved + pd.Timedelta(days=days).to_pytimedelta())
    assert words in told and ("--fresh" in told) is (days == 400)
