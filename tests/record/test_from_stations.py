"""The rain of a place over and over: fetched once, read after that, asked for again, and whatever goes wrong then."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from budget.cli import main
from budget.errors import InputFaults, OutputFault, RainUnavailable
from budget.record import snapshot
from budget.record.from_stations import Obtained, age, obtain
from budget.record.station import GAPS, RAIN, TEMPERATURES, Wanted
from tests.computed import EXAMPLES, ROOT
from tests.station_server import LIST, Fault, ServedStation, StationServer, library_on

TODAY = date.today()
PLACE = Wanted(44.3, -40.0, None, 2009, 2011, 50.0)
TEN = replace(PLACE, from_year=2002)
NEAR, HILL, FAR = "INV01", "INV02", "INV03"  # the nearest, the next, the last
YEARS = (2009, 2010, 2011)


@dataclass
class Home:
    """An invented home: its snapshot, the service that it asks, the cache, and the days that the stations have."""

    snapshot: Path
    server: StationServer
    cache: Path
    days: pd.DataFrame

    def obtain(self, fresh: bool = False, wanted: Wanted = PLACE, today: date = TODAY) -> Obtained:
        return obtain(self.snapshot, wanted, fresh, today, self.cache)

    def held(self) -> dict[str, bytes]:
        """The files beside the snapshot."""
        return {file.name: file.read_bytes() for file in self.snapshot.parent.iterdir()}

    def serve(self, number: int = 3, **near: object) -> None:
        """The nearest of the stations; `near`: what the first of them has."""
        self.server.serve(stations(self.days, number, **near))

    def refused(self, **given: object) -> RainUnavailable:
        """What is told where the rain cannot be had; the folder is then as it was."""
        before = self.held()
        with pytest.raises(RainUnavailable) as caught:
            self.obtain(**given)
        assert self.held() == before
        return caught.value


def stations(record: pd.DataFrame, number: int, **near: object) -> list[ServedStation]:
    """The nearest for all, the next on a hill, the last with rain alone."""
    rainy = record[["rain"]].assign(rain=(record["rain"] * 0.9).round(1))
    return [
        ServedStation(NEAR, "Brook (invented)", 44.33, -40.0, **{"days": record, **near}),
        ServedStation(HILL, "Hill (invented)", 44.3, -39.85, 340, days=record.add([0.1, -1.5, -1.5])),
        ServedStation(FAR, "Weir (invented)", 44.5, -40.0, 90, days=rainy),
    ][:number]


@dataclass(frozen=True)
class Before:
    """What a first fetch left: the days, the stations made of them, the snapshot, the list of stations in the cache."""

    days: pd.DataFrame
    served: list[ServedStation]
    text: bytes
    listed: bytes


def fetched_before(folder: Path, days: pd.DataFrame, number: int, wanted: Wanted) -> Before:
    served = stations(days, number)
    with StationServer(served) as server, library_on(server, folder / "library"):
        home = Home(folder / "home_stations.csv", server, folder / "cache", days)
        home.obtain(wanted=wanted)
        return Before(days, served, home.snapshot.read_bytes(), (home.cache / "stations.db").read_bytes())


@pytest.fixture(scope="module")
def three_years_before(tmp_path_factory: pytest.TempPathFactory, invented_days: pd.DataFrame) -> Before:
    return fetched_before(tmp_path_factory.mktemp("three"), invented_days.round(1), 3, PLACE)


@pytest.fixture(scope="module")
def ten_years_before(tmp_path_factory: pytest.TempPathFactory, invented_days: pd.DataFrame) -> Before:
    calendar = pd.date_range("2002-01-01", "2011-12-31", name="date")
    chance = np.random.default_rng(5)
    days = pd.DataFrame({"rain": chance.choice(invented_days["rain"].round(1), len(calendar))}, index=calendar)
    days["tmax"] = (12 + 9 * np.sin(calendar.day_of_year / 58.1 - 1.8) + chance.normal(0, 2, len(calendar))).round(1)
    days["tmin"] = (days["tmax"] - 6.5).round(1)
    return fetched_before(tmp_path_factory.mktemp("ten"), days, 1, TEN)


@pytest.fixture
def impatient(monkeypatch: pytest.MonkeyPatch) -> None:
    """No waiting before what failed is asked again."""
    monkeypatch.setattr("budget.record.station_days.time.sleep", lambda seconds: None)


def no_time(fault: Fault | None, monkeypatch: pytest.MonkeyPatch) -> None:
    """Not long for an answer, where it is slow."""
    if fault is Fault.SLOW:
        monkeypatch.setattr("budget.record.weather_library.FILE_TIMEOUT", 0.3)
        monkeypatch.setattr("budget.record.weather_library.LIST_TIMEOUT", 0.3)


@contextmanager
def at_home(folder: Path, before: Before) -> Iterator[Home]:
    """A home whose rain has not been fetched yet."""
    (folder / "home").mkdir()
    with StationServer(before.served, slow=0.8) as server, library_on(server, folder / "library"):
        yield Home(folder / "home" / "home_stations.csv", server, folder / "cache", before.days)


def put(before: Before, home: Home) -> Home:
    """The home with the snapshot of the first fetch."""
    home.snapshot.write_bytes(before.text)
    home.cache.mkdir()
    (home.cache / "stations.db").write_bytes(before.listed)
    return home


@pytest.fixture
def home(tmp_path: Path, three_years_before: Before, impatient: None) -> Iterator[Home]:
    """Three years at three stations, and no snapshot yet."""
    with at_home(tmp_path, three_years_before) as home:
        yield home


@pytest.fixture
def fetched(home: Home, three_years_before: Before) -> Home:
    """The same, with its snapshot."""
    return put(three_years_before, home)


@pytest.fixture
def ten_years(tmp_path: Path, ten_years_before: Before, impatient: None) -> Iterator[Home]:
    """A home with a snapshot of ten years from one station: nine would be enough."""
    with at_home(tmp_path, ten_years_before) as home:
        yield put(ten_years_before, home)


# ---- once ----


def test_the_first_fetch_writes_it(home: Home) -> None:
    obtained = home.obtain()
    assert obtained.told == (
        f"Fetched from weather stations on {TODAY}; home_stations.csv holds it, and later builds read it there."
    )
    assert list(home.held()) == ["home_stations.csv"]
    assert set(home.server.requests) == {
        LIST,
        *(f"/daily/{y}/{key}.csv.gz" for y in YEARS for key in (NEAR, HILL, FAR)),
    }
    serving = {use: [station.id for station in obtained.fetched.serving(use)] for use in (RAIN, TEMPERATURES, GAPS)}
    assert serving == {RAIN: [NEAR], TEMPERATURES: [NEAR], GAPS: [HILL, FAR]}
    pd.testing.assert_frame_equal(obtained.fetched.days[NEAR], home.days, check_freq=False, check_exact=True)


def test_the_next_build_asks_nothing(home: Home) -> None:
    """It has the same to the last digit: with days that are missing, and with values that the library lets through and
    no climate has. To refuse these would be to fetch the same again at each build.
    """
    days = home.days.copy()
    days = days.drop(days.index[100:103])
    days.iloc[200, 0], days.iloc[300:303] = np.nan, np.nan
    days.loc["2010-02-09"] = [650.0, 63.0, -97.0]
    home.serve(days=days)
    first = home.obtain()
    assert first.fetched.days[NEAR].loc["2010-02-09"].to_list() == [650.0, 63.0, -97.0]
    home.server.requests.clear()
    before = home.held()
    second = home.obtain()
    assert home.server.requests == [] and home.held() == before
    assert replace(second.fetched, days={}) == replace(first.fetched, days={})
    assert list(second.fetched.days) == list(first.fetched.days)
    for key in first.fetched.days:
        pd.testing.assert_frame_equal(second.fetched.days[key], first.fetched.days[key], check_exact=True)
    assert second.told == f"The rain is that of home_stations.csv, fetched on {TODAY}, today."
    home.server.stop()
    third = home.obtain()
    assert third.told == second.told and third.fetched.days[NEAR].equals(first.fetched.days[NEAR])


# ---- again ----


def test_fresh_asks_again(fetched: Home) -> None:
    """Also the files that are in the cache; what lay there is the same, and nothing is kept beside it."""
    before = fetched.held()
    obtained = fetched.obtain(fresh=True)
    assert len(fetched.server.requests) == 9
    assert fetched.held() == before
    assert "kept" not in obtained.told


def test_other_days_keep_the_old_ones_beside_them(fetched: Home) -> None:
    """Under the date of their retrieval, and over nothing."""
    contents = [fetched.snapshot.read_bytes()]
    for number in range(2):
        days = fetched.days.copy()
        days.iloc[number, 0] = 77.7
        fetched.serve(days=days)
        told = fetched.obtain(fresh=True).told
        name = f"home_stations_{TODAY}{'' if number == 0 else f'_{number + 1}'}.csv"
        assert told.endswith(f" What it held before is kept as {name}.")
        assert fetched.snapshot.with_name(name).read_bytes() == contents[-1]
        contents.append(fetched.snapshot.read_bytes())
    assert len(fetched.held()) == 3 and len(set(contents)) == 3


def test_an_old_one_is_kept_under_its_own_date(fetched: Home) -> None:
    old = snapshot.parse(fetched.snapshot.read_text(encoding="utf-8"), "old")
    fetched.snapshot.unlink()
    snapshot.write(replace(old, retrieved=date(2020, 2, 29)), fetched.snapshot)
    kept = fetched.snapshot.read_bytes()
    fetched.serve(days=fetched.days.iloc[5:])
    assert fetched.obtain(fresh=True).told.endswith(" is kept as home_stations_2020-02-29.csv.")
    assert fetched.held()["home_stations_2020-02-29.csv"] == kept


CHANGES = {
    "the place": ({"latitude": 44.301, "longitude": -40.002}, "site.latitude = 44.3 and site.longitude = -40.0"),
    "the longitude": ({"longitude": -40.000001}, "site.longitude = -40.0"),
    "the station": ({"station": HILL}, "no rain.station"),
    "years and reach": ({"to_year": 2010, "within": 80.4672}, "rain.to_year = 2011 and rain.within = 50 km"),
}


@pytest.mark.parametrize("change", CHANGES)
def test_a_changed_site_file_asks_anew(change: str, fetched: Home) -> None:
    changes, said = CHANGES[change]
    wanted = replace(PLACE, **changes)
    fetched.server.stop()
    (fetched.cache / "stations.db").unlink()
    error = fetched.refused(wanted=wanted)
    assert error.tried[0].startswith("The list of weather stations could not be had: no connection to 127.0.0.1:")
    assert error.to_do[0] == (
        f"home_stations.csv, fetched on {TODAY}, is as it was; it serves where the site file has {said} again"
    )
    fetched.server.restart()
    obtained = fetched.obtain(wanted=wanted)
    assert obtained.fetched.wanted == wanted and snapshot.read(fetched.snapshot).wanted == wanted
    fetched.server.requests.clear()
    assert fetched.obtain(wanted=wanted).told.endswith("today.") and fetched.server.requests == []


def test_a_changed_place_keeps_the_old_days(fetched: Home) -> None:
    old = fetched.snapshot.read_bytes()
    told = fetched.obtain(wanted=replace(PLACE, station=HILL)).told
    assert told.endswith(f"kept as home_stations_{TODAY}.csv.")
    assert fetched.held()[f"home_stations_{TODAY}.csv"] == old


# ---- what goes wrong ----


@pytest.mark.parametrize("fault", Fault)
def test_a_failed_refetch_leaves_the_snapshot(fault: Fault, fetched: Home, monkeypatch: pytest.MonkeyPatch) -> None:
    no_time(fault, monkeypatch)
    fetched.server.faults["/daily/*"] = fault
    error = fetched.refused(fresh=True)
    assert error.exit_code == 3
    assert error.to_do[0] == (f"leave --fresh away: home_stations.csv, fetched on {TODAY}, is as it was and serves")
    assert "bring a record of your own" in error.to_do[1]
    assert any(station in " ".join(error.tried) for station in ("Brook (invented)", "Hill (invented)"))
    assert fetched.obtain().fetched.wanted == PLACE


LIST_FAULTS = [fault for fault in Fault if fault not in (Fault.DUPLICATE_DAY, Fault.NO_SOURCES, Fault.BLANK_SOURCE)]


@pytest.mark.parametrize("fault", [*LIST_FAULTS, None])
def test_without_the_list_of_stations(fault: Fault | None, fetched: Home, monkeypatch: pytest.MonkeyPatch) -> None:
    """None: the server does not run at all."""
    no_time(fault, monkeypatch)
    (fetched.cache / "stations.db").unlink()
    if fault is None:
        fetched.server.stop()
    else:
        fetched.server.faults[LIST] = fault
    error = fetched.refused(fresh=True)
    assert error.tried[0].startswith("The list of weather stations could not be had: ")
    assert error.to_do[0].startswith("leave --fresh away: home_stations.csv")
    assert len(error.to_do) == 2


def test_with_the_server_stopped(fetched: Home) -> None:
    """The list of stations is in the cache; the days of the first are not to be had."""
    fetched.server.stop()
    error = fetched.refused(fresh=True)
    assert error.tried[0].startswith("The days of Brook (invented) (INV01) in 2011 could not be had: no connection to ")
    assert error.to_do[1].startswith("see that the network is there, and try again")


def test_a_first_fetch_that_fails_leaves_nothing(home: Home) -> None:
    home.server.faults["/daily/*"] = Fault.SERVER_ERROR
    error = home.refused()
    assert home.held() == {} and len(error.to_do) == 1


FIRST_YEAR = (Fault.NOT_FOUND, Fault.SERVER_ERROR, Fault.TRUNCATED, Fault.NO_SOURCES, Fault.BLANK_SOURCE)


@pytest.mark.parametrize(
    ("year", "fault"), [*((2002, fault) for fault in FIRST_YEAR), (2006, Fault.HTML), (2011, Fault.EMPTY)]
)
def test_a_refetch_that_brings_a_year_less_does_not_replace_it(year: int, fault: Fault, ten_years: Home) -> None:
    """The first, the last, or one between."""
    ten_years.server.faults[f"/daily/{year}/{NEAR}*"] = fault
    error = ten_years.refused(fresh=True, wanted=TEN)
    assert error.tried[:2] == [
        f"What came is less than home_stations.csv holds: no {use} in {year}." for use in ("rain", "temperatures")
    ]
    assert error.tried[2].startswith(f"Brook (invented) (INV01) lacks {year}: ")
    assert error.to_do == [
        f"leave --fresh away: home_stations.csv, fetched on {TODAY}, is as it was and serves",
        "try again later; to take what there is now all the same, move home_stations.csv away",
    ]


def test_a_refetch_that_brings_a_year_more_replaces_it(ten_years: Home) -> None:
    whole = snapshot.read(ten_years.snapshot)
    text = ten_years.snapshot.read_text(encoding="utf-8").splitlines(keepends=True)
    kept = [line.replace("rows = 3652", "rows = 3287") for line in text if not line.startswith(f"{NEAR},2006")]
    ten_years.snapshot.write_text("".join(kept), encoding="utf-8")
    assert ten_years.obtain(wanted=TEN).fetched.days[NEAR].loc["2006"].isna().all(axis=None)
    assert ten_years.obtain(fresh=True, wanted=TEN).fetched.days[NEAR].equals(whole.days[NEAR])


def test_years_that_no_longer_count_may_go(ten_years: Home) -> None:
    """Where the site file names no years, the first goes when another is over."""
    old, wanted = snapshot.read(ten_years.snapshot), replace(TEN, from_year=2003)
    ten_years.snapshot.unlink()
    snapshot.write(replace(old, wanted=wanted), ten_years.snapshot)
    obtained = ten_years.obtain(fresh=True, wanted=wanted)
    assert obtained.fetched.days[NEAR].index[0] == pd.Timestamp("2003-01-01")


@pytest.fixture
def among_three(ten_years: Home) -> Home:
    """The home of ten years among three stations, which has fetched nothing yet."""
    ten_years.snapshot.unlink()
    (ten_years.cache / "stations.db").unlink()
    ten_years.serve()
    return ten_years


def test_lost_temperatures_of_another_station_do_not_replace_it(among_three: Home) -> None:
    """The rain is whole."""
    among_three.serve(2, days=among_three.days[["rain"]])
    assert among_three.obtain(wanted=TEN).fetched.temperature_station.id == HILL
    among_three.server.faults[f"/daily/2005/{HILL}*"] = Fault.TRUNCATED
    error = among_three.refused(fresh=True, wanted=TEN)
    assert error.tried[0] == "What came is less than home_stations.csv holds: no temperatures in 2005."


def test_a_fetch_that_misses_some_years_does_not_change_the_stations(among_three: Home) -> None:
    """A year that the rain station never had fails now, and one that filled gaps is passed over."""
    days = among_three.days
    among_three.serve(2, days=days[days.index.year != 2005])
    among_three.obtain(wanted=TEN)
    among_three.server.faults[f"/daily/2005/{NEAR}*"] = Fault.SERVER_ERROR
    for year in range(2002, 2009):
        among_three.server.faults[f"/daily/{year}/{HILL}*"] = Fault.SERVER_ERROR
    error = among_three.refused(fresh=True, wanted=TEN)
    assert error.tried[0] == (
        "Not every year came, and home_stations.csv rests on stations that would serve no longer: "
        "Hill (invented) (INV02)."
    )


def test_a_station_that_could_not_be_read_is_not_replaced_by_a_farther_one(fetched: Home) -> None:
    fetched.server.faults[f"/daily/2010/{NEAR}*"] = Fault.SERVER_ERROR
    assert "rests on stations that would serve no longer: Brook (invented) (INV01)" in str(fetched.refused(fresh=True))


# ---- the folder ----


@pytest.mark.parametrize("fresh", [False, True])
def test_a_folder_that_cannot_be_written_to(fresh: bool, fetched: Home, monkeypatch: pytest.MonkeyPatch) -> None:
    """A snapshot that lies there serves; else nothing is asked that could not be kept."""
    if os.geteuid() == 0:
        monkeypatch.setattr(os, "access", lambda path, mode: False)  # to whom all is allowed
    else:
        fetched.snapshot.parent.chmod(0o500)
    try:
        if not fresh:
            assert fetched.obtain().told.endswith("today.")
            fetched.snapshot.parent.chmod(0o700)
            fetched.snapshot.unlink()
            fetched.snapshot.parent.chmod(0o500)
        before = fetched.held()
        with pytest.raises(OutputFault) as caught:
            fetched.obtain(fresh=fresh)
        assert str(caught.value) == (
            f"{fetched.snapshot}: cannot be written; accepted: a site file in a folder that can be written to: what is"
            " fetched is kept beside it"
        )
        assert fetched.held() == before and fetched.server.requests == []
    finally:
        fetched.snapshot.parent.chmod(0o700)


@pytest.mark.parametrize("content", ["date,rain (mm)\n2010-01-01,3.2\n", ""])
@pytest.mark.parametrize("fresh", [False, True])
def test_a_file_of_somebody_under_that_name(content: str, fresh: bool, home: Home) -> None:
    home.snapshot.write_text(content, encoding="utf-8")
    with pytest.raises(InputFaults, match="move the file away, and the rain is fetched anew"):
        home.obtain(fresh=fresh)
    assert home.held() == {"home_stations.csv": content.encode()} and home.server.requests == []


def test_a_damaged_cache_does_not_reach_the_snapshot(home: Home) -> None:
    first = home.obtain().fetched
    home.snapshot.unlink()
    for file in (home.cache / "days" / NEAR).iterdir():
        file.write_bytes(b"\x80\x04cut")
    second = home.obtain().fetched
    assert second.days[NEAR].equals(first.days[NEAR])
    assert second.remarks == ["What the cache held of Brook (invented) (INV01) was damaged and was fetched anew."]
    assert home.obtain().fetched.remarks == second.remarks


# ---- its age ----

AGES: dict[str, tuple[int, dict[str, object], str]] = {
    "today": (0, {}, ", today."),
    "a day": (1, {}, ", 1 day ago."),
    "two days": (2, {}, ", 2 days ago."),
    "nearly a year": (364, {}, ", 364 days ago."),
    "a year": (365, {}, ", 365 days ago. It lacks the rain since then: --fresh asks for it."),
    "long ago": (400, {}, ", 400 days ago. It lacks the rain since then: --fresh asks for it."),
    "troubled": (3, {"troubled": True}, ", 3 days ago. Not all came then: --fresh asks again."),
    "long ago and troubled": (
        400,
        {"troubled": True},
        ", 400 days ago. It lacks the rain since then: --fresh asks for it.",
    ),
    "of years that were over": (400, {"until": date(2011, 12, 31)}, ", 400 days ago."),
    "of years that were over, troubled": (
        400,
        {"until": date(2011, 12, 31), "troubled": True},
        ", 400 days ago. Not all came then: --fresh asks again.",
    ),
}


@pytest.mark.parametrize("case", AGES)
def test_how_old_it_is(case: str, fetched: Home) -> None:
    days, changes, expected = AGES[case]
    then = TODAY - timedelta(days)
    fetch = replace(snapshot.read(fetched.snapshot), **{"retrieved": then, "until": then, **changes})
    assert age(fetched.snapshot, fetch, TODAY) == f"The rain is that of home_stations.csv, fetched on {then}{expected}"


def test_a_clock_that_was_wrong(fetched: Home) -> None:
    fetch = replace(snapshot.read(fetched.snapshot), retrieved=TODAY + timedelta(3))
    told = age(fetched.snapshot, fetch, TODAY)
    assert told == f"The rain is that of home_stations.csv, fetched on {TODAY + timedelta(3)} by its head."


# ---- killed ----


def site_of(home: Home) -> Path:
    """The smallest example at the invented place."""
    text = next(path for path in EXAMPLES if path.stem == "smallest").read_text(encoding="utf-8")
    text = text.replace("latitude = 44.3", "latitude = 44.3\nlongitude = -40.0")
    source = 'source = "stations"\nfrom_year = 2009\nto_year = 2011\nwithin = "50 km"'
    path = home.snapshot.with_name("home.toml")
    path.write_text(text.replace('file = "terrace_house_rain.csv"', source), encoding="utf-8")
    return path


def environment(home: Home) -> dict[str, str]:
    library = home.server.environment(home.cache.parent / "library")
    return {**os.environ, **library, "XDG_CACHE_HOME": str(home.cache.parent / "caches")}


def killed(process: subprocess.Popen[bytes], when: Callable[[], bool]) -> None:
    """Kill a process as soon as something is true."""
    try:
        end = time.monotonic() + 30
        while not when():
            assert process.poll() is None and time.monotonic() < end
            time.sleep(0.02)
    finally:
        process.kill()
        process.wait()


def test_a_killed_fetch(fetched: Home, monkeypatch: pytest.MonkeyPatch) -> None:
    """In the middle of the files; the old snapshot is as it was, and the next command is not disturbed."""
    monkeypatch.undo()
    site, before = site_of(fetched), fetched.snapshot.read_bytes()
    monkeypatch.setenv("XDG_CACHE_HOME", str(fetched.cache.parent / "caches"))
    fetched.server.delay = 0.4
    command = [sys.executable, "-m", "budget", "rain", str(site), "--fresh"]
    process = subprocess.Popen(command, cwd=ROOT, env=environment(fetched), stdout=subprocess.DEVNULL)
    killed(process, lambda: sum(path != LIST for path in fetched.server.requests) >= 2)
    fetched.server.delay = 0.0
    assert fetched.held().keys() == {"home_stations.csv", "home.toml"}
    assert fetched.snapshot.read_bytes() == before
    with library_on(fetched.server, fetched.cache.parent / "library"):
        assert main(["rain", str(site), "--fresh"]) == 0
    assert fetched.held().keys() == {"home_stations.csv", "home.toml"}
    assert fetched.snapshot.read_bytes() == before


HANGING = """
import os, sys, time
from budget.cli import main

rename = os.replace

def hang(whole, path):
    if not str(path).endswith("_stations.csv"):
        return rename(whole, path)
    print("there", flush=True)
    time.sleep(60)

os.replace = hang
main(["rain", sys.argv[1], "--fresh"])
"""


def test_killed_while_writing(fetched: Home, monkeypatch: pytest.MonkeyPatch) -> None:
    """Before the new one takes the old one's place."""
    monkeypatch.undo()
    site, before = site_of(fetched), fetched.snapshot.read_bytes()
    monkeypatch.setenv("XDG_CACHE_HOME", str(fetched.cache.parent / "caches"))
    command = [sys.executable, "-c", HANGING, str(site)]
    process = subprocess.Popen(command, cwd=ROOT, env=environment(fetched), stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None and process.stdout.readline() == "there\n"
    process.kill()
    process.communicate()
    assert fetched.snapshot.read_bytes() == before
    left = [name for name in fetched.held() if name.endswith(".part")]
    assert len(left) == 1
    with library_on(fetched.server, fetched.cache.parent / "library"):
        assert main(["rain", str(site)]) == 0 and main(["rain", str(site), "--fresh"]) == 0
    assert fetched.snapshot.read_bytes() == before
    assert fetched.held().keys() == {"home_stations.csv", "home.toml", *left}
