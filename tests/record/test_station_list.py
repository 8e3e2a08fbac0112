"""The list of stations, asked for through the unmodified library: damaged, old, refused, and with odd rows in it."""

from __future__ import annotations

import os
import sqlite3
import time
from collections.abc import Callable
from contextlib import closing
from datetime import date
from pathlib import Path
from types import SimpleNamespace

import meteostat
import pandas as pd
import pytest

from budget.errors import InputFaults, RainUnavailable
from budget.record.station import Station, Wanted, plain_name
from budget.record.station_list import is_sound
from budget.record.trouble import host
from budget.record.weather_library import DAY
from budget.record.weather_service import WeatherService
from tests.record.one_station import BROOK, OF_LIST, OF_ROWS, PLACE, named, near, service
from tests.station_server import LIST, Fault, ServedStation, StationServer, station_list


def old_list(folder: Path, days: int = 8) -> str:
    """Make the list in the cache that old; its day."""
    made = time.time() - days * DAY
    os.utime(folder / "stations.db", (made, made))
    return str(date.fromtimestamp(made))


@pytest.mark.parametrize("fault", OF_LIST, ids=named)
def test_a_list_that_does_not_come(fault: Fault, folder: Path, server: StationServer) -> None:
    """It is told, and nothing of it stays in the cache."""
    server.faults[LIST] = fault
    asking = service(folder)
    for ask in (
        asking.stations.nearby,
        lambda place: asking.stations.named(Wanted(44.3, -40.0, "ZZA01", None, None, 50.0)),
    ):
        with pytest.raises(RainUnavailable) as refused:
            ask(PLACE)
        words = OF_LIST[fault].format(host=host(server.url))
        assert refused.value.tried == [f"The list of weather stations could not be had: {words}."]
        assert 'rain.source = "files"' in refused.value.to_do[0]
    assert list(folder.iterdir()) == []
    server.faults.clear()
    assert [found.id for found in asking.stations.nearby(PLACE)] == ["ZZA01"]


@pytest.mark.parametrize("fault", OF_ROWS, ids=named)
def test_faults_of_rows_leave_the_list(fault: Fault, folder: Path, server: StationServer) -> None:
    server.faults[LIST] = fault
    assert len(service(folder).stations.nearby(PLACE)) == 1


def test_the_list_is_asked_for_once(folder: Path, server: StationServer) -> None:
    for _ in range(2):
        asking = service(folder)
        stations = asking.stations.nearby(PLACE)
        asking.stations.named(Wanted(44.3, -40.0, "ZZA01", None, None, 50.0))
        asking.stations.periods(stations)
    assert server.requests == [LIST]
    old_list(folder, 6)
    service(folder).stations.nearby(PLACE)
    assert server.requests == [LIST]


def test_the_list_is_retried_as_often_as_is_said(
    folder: Path, server: StationServer, monkeypatch: pytest.MonkeyPatch
) -> None:
    slept: list[float] = []
    monkeypatch.setattr(meteostat.core.network, "time", SimpleNamespace(sleep=slept.append))
    server.faults[LIST] = Fault.SERVER_ERROR
    with pytest.raises(RainUnavailable):
        WeatherService(folder, pause=0).stations.nearby(PLACE)
    assert (server.requests, slept) == ([LIST, LIST], [1])


def page(path: Path) -> None:
    path.write_bytes(b"<!DOCTYPE html><html><body>Please sign in.</body></html>")


def half(path: Path) -> None:
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])


def nothing(path: Path) -> None:
    path.write_bytes(b"")


def garbage(path: Path) -> None:
    content = path.read_bytes()
    path.write_bytes(content[:4096] + b"\xff" * (len(content) - 4096))


def last_page(path: Path) -> None:
    """Where the inventory stands, so that the stations can still be read."""
    path.write_bytes(path.read_bytes()[:-4096] + b"\xff" * 4096)


def no_stations(path: Path) -> None:
    path.write_bytes(station_list([]))


def no_names(path: Path) -> None:
    with closing(sqlite3.connect(path)) as database:
        database.execute("DROP TABLE names")
        database.commit()


@pytest.mark.parametrize("damage", [page, half, nothing, garbage, last_page, no_stations, no_names])
def test_a_damaged_list_in_the_cache(damage: Callable[[Path], None], folder: Path, server: StationServer) -> None:
    service(folder).stations.nearby(PLACE)
    damage(folder / "stations.db")
    asking = service(folder)
    assert [found.id for found in asking.stations.nearby(PLACE)] == ["ZZA01"]
    assert asking.remarks == ["The list of stations in the cache was damaged and was fetched anew."]
    assert server.requests == [LIST, LIST]
    damage(folder / "stations.db")
    server.stop()
    with pytest.raises(RainUnavailable, match="no connection"):
        service(folder).stations.nearby(PLACE)


def test_an_old_list_is_renewed(folder: Path, server: StationServer, two_years: pd.DataFrame) -> None:
    service(folder).stations.nearby(PLACE)
    server.serve([near(two_years), ServedStation("ZZA02", "New", 44.31, -40.0)])
    old_list(folder)
    asking = service(folder)
    assert [found.id for found in asking.stations.nearby(PLACE)] == ["ZZA01", "ZZA02"]
    assert (asking.remarks, server.requests) == ([], [LIST, LIST])
    service(folder).stations.nearby(PLACE)
    assert server.requests == [LIST, LIST]


@pytest.mark.parametrize("fault", [None, *OF_LIST], ids=lambda fault: fault.name if fault else "refused")
def test_an_old_list_serves_where_no_newer_one_can_be_had(
    fault: Fault | None, folder: Path, server: StationServer
) -> None:
    """And says so with its day, each time anew; a newer one that is broken does not take its place."""
    service(folder).stations.nearby(PLACE)
    day = old_list(folder)
    if fault is None:
        server.stop()
        words = f"no connection to {host(server.url)}"
    else:
        server.faults[LIST] = fault
        words = OF_LIST[fault].format(host=host(server.url))
    for _ in range(2):
        asking = service(folder)
        server.requests.clear()
        assert [found.id for found in asking.stations.nearby(PLACE)] == ["ZZA01"]
        assert asking.stations.named(Wanted(44.3, -40.0, "ZZA01", None, None, 50.0)).name == "Brook"
        assert list(asking.stations.periods([BROOK])) == ["ZZA01"]
        assert asking.remarks == [f"No newer list of stations can be had ({words}); that of {day} served."]
        assert server.requests == ([] if fault is None else [LIST])
    assert sorted(path.name for path in folder.iterdir()) == ["stations.db"]


def test_a_list_that_was_written_to_a_log_first(folder: Path) -> None:
    """SQLite's write-ahead log: the list is read without leaving files beside it."""
    service(folder).stations.nearby(PLACE)
    with closing(sqlite3.connect(folder / "stations.db")) as database:
        database.execute("PRAGMA journal_mode=WAL")
    assert is_sound(folder / "stations.db")
    assert [path.name for path in folder.iterdir()] == ["stations.db"]
    asking = service(folder)
    assert len(asking.stations.nearby(PLACE)) == 1 and asking.remarks == []
    assert [path.name for path in folder.iterdir()] == ["stations.db"]


def edit(folder: Path, *statements: str) -> None:
    """Change the list in the cache."""
    with closing(sqlite3.connect(folder / "stations.db")) as database:
        for statement in statements:
            database.execute(statement)
        database.commit()


def test_a_list_without_an_inventory(folder: Path) -> None:
    asking = service(folder)
    assert asking.stations.periods(asking.stations.nearby(PLACE)) == {
        "ZZA01": {name: (date(2010, 1, 1), date(2011, 12, 31)) for name in ("rain", "tmax", "tmin")}
    }
    assert asking.stations.periods([]) == {}
    edit(folder, "DROP TABLE inventory")
    asking = service(folder)
    assert asking.stations.periods(asking.stations.nearby(PLACE)) == {}
    assert asking.remarks == []


def test_an_inventory_of_several_sources(folder: Path) -> None:
    """The span of all that measure; a station with nothing but forecasts has nothing; odd rows are passed over."""
    service(folder).stations.nearby(PLACE)
    rows = [
        ("ZZA01", "ghcnd", "prcp", "1950-01-01", "1980-12-31"),
        ("ZZA01", "isd_lite", "prcp", "1975-01-01", "2010-05-31"),
        ("ZZA01", "dwd_mosmix", "prcp", "2009-01-01", "2030-12-31"),
        ("ZZA01", "ghcnd", "snow", "1900-01-01", "2020-12-31"),
        ("ZZA01", "ghcnd", "tmax", None, "2020-12-31"),
        ("ZZA01", "ghcnd", "tmin", "soon", "2020-12-31"),
        ("ZZA02", "metno_forecast", "prcp", "2018-01-01", "2030-12-31"),
    ]
    edit(folder, "DELETE FROM inventory")
    with closing(sqlite3.connect(folder / "stations.db")) as database:
        database.executemany("INSERT INTO inventory VALUES (?, ?, ?, ?, ?, 1.0)", rows)
        database.commit()
    stations = [BROOK, Station("ZZA02", "", "", 0, 0, None, 0), Station("ZZA03", "", "", 0, 0, None, 0)]
    assert service(folder).stations.periods(stations) == {
        "ZZA01": {"rain": (date(1950, 1, 1), date(2010, 5, 31))},
        "ZZA02": {},
    }


def test_stations_within_reach_nearest_first(folder: Path, server: StationServer) -> None:
    server.serve(
        [
            ServedStation("ZZA04", "Far", 45.3, -40.0),
            ServedStation("ZZA03", "Hill", 44.4, -40.0, None, country="YY"),
            ServedStation("ZZA02", "Same place", 44.3, -40.0),
            ServedStation("ZZA01", "Brook", 44.3, -40.0, -3),
        ]
    )
    found = service(folder).stations.nearby(PLACE)
    assert [(station.id, station.name, station.country, station.height) for station in found] == [
        ("ZZA01", "Brook", "XX", -3.0),
        ("ZZA02", "Same place", "XX", 100.0),
        ("ZZA03", "Hill", "YY", None),
    ]
    assert [station.distance for station in found] == pytest.approx([0, 0, 11.119], abs=0.001)
    assert service(folder).stations.nearby(Wanted(10.0, 10.0, None, None, None, 50.0)) == []


HOSTILE = {
    "=1+1": "1+1",
    "=-+@ cmd": "cmd",
    "\tBell\x07 and\r\nline  two\u202e": "Bell and line two",
    "x" * 300: "x" * 60,
    "Río Bäche 井戸": "Río Bäche 井戸",
    "": "ZZA00",
    " == ": "ZZA00",
}


def test_names_are_made_plain(folder: Path, server: StationServer) -> None:
    for name, plain in HOSTILE.items():
        server.serve([ServedStation("ZZA00", name, 44.3, -40.0)])
        (folder / "stations.db").unlink(missing_ok=True)
        assert [station.name for station in service(folder).stations.nearby(PLACE)] == [plain]
        assert service(folder).stations.named(Wanted(0.0, 0.0, "ZZA00", None, None, 50.0)).name == plain
    assert plain_name(None) == ""


IDS = ["7%", "../x", "..", "", "a b", "ZZA0_", "ZZA01\n", "x" * 17, "é"]


def test_ids_that_are_none_are_passed_over(folder: Path, server: StationServer) -> None:
    server.serve([ServedStation(key, "Odd", 44.3, -40.0) for key in [*IDS, "ZZA01"]])
    assert [station.id for station in service(folder).stations.nearby(PLACE)] == ["ZZA01"]


@pytest.mark.parametrize("key", IDS)
def test_an_id_that_is_none_cannot_be_named(key: str, folder: Path, server: StationServer) -> None:
    with pytest.raises(InputFaults, match="is not an id of letters and digits"):
        service(folder).stations.named(Wanted(44.3, -40.0, key, None, None, 50.0))
    assert server.requests == []


def test_a_station_that_is_named(folder: Path, server: StationServer, two_years: pd.DataFrame) -> None:
    """However far it lies; its id in any case, which the list writes in its own."""
    server.serve([near(two_years, elevation=None), ServedStation("zzA01", "Another", 45.3, -40.0, 7)])

    def ask(key: str) -> Station:
        return service(folder).stations.named(Wanted(45.3, -40.0, key, None, None, 1.0))

    assert (ask("ZZA01").id, ask("ZZA01").height) == ("ZZA01", None)
    assert ask("ZZA01").distance == pytest.approx(111.195, abs=0.001)
    assert (ask("zzA01").id, ask("zzA01").height, ask("zzA01").name) == ("zzA01", 7.0, "Another")
    assert ask("zza01").id.lower() == "zza01"
    server.serve([near(two_years)])
    old_list(folder)
    assert ask("zza01") == ask("ZZA01")
    with pytest.raises(InputFaults, match=r"rain\.station: the service knows no station 'ZZA09'"):
        ask("ZZA09")


def test_a_station_without_a_place_or_an_english_name(folder: Path) -> None:
    service(folder).stations.nearby(PLACE)
    edit(
        folder,
        "INSERT INTO stations VALUES ('ZZA02', 'XX', NULL, 44.3, -40.0, NULL, NULL)",
        "INSERT INTO names VALUES ('ZZA02', 'de', 'Bach')",
        "INSERT INTO stations VALUES ('ZZA03', NULL, NULL, NULL, -40.0, NULL, NULL)",
        "INSERT INTO names VALUES ('ZZA03', 'en', 'Nowhere')",
    )
    found = service(folder).stations.named(Wanted(44.3, -40.0, "ZZA02", None, None, 50.0))
    assert (found.name, found.height) == ("ZZA02", None)
    with pytest.raises(InputFaults, match="knows no station 'ZZA03'"):
        service(folder).stations.named(Wanted(44.3, -40.0, "ZZA03", None, None, 50.0))
    with pytest.raises(RainUnavailable, match="The list of weather stations lacks what is asked of it"):
        service(folder).stations.nearby(PLACE)  # the library cannot count its distance, nor pass it over
