"""The station server against the unmodified library: what comes back, and what the library makes of each fault.

These are facts of the library that the fetching of records rests on. Where a new version of it changes one, the test
that says so fails here.
"""

from __future__ import annotations

import logging
import os
import re
import signal
import socket
import subprocess
import sys
import threading
import time
import tomllib
from collections.abc import Iterator
from datetime import date
from functools import cache
from math import asin, cos, radians, sin
from pathlib import Path
from types import SimpleNamespace
from urllib.error import HTTPError
from urllib.request import urlopen

import meteostat
import meteostat.core.network
import numpy as np
import pandas as pd
import pytest
import requests
from meteostat import Parameter
from meteostat.providers.meteostat import daily as daily_files

from budget.units import parse
from tests.computed import ROOT
from tests.station_server import (
    AROUND,
    LIST,
    Fault,
    ServedStation,
    StationServer,
    library_on,
    stations_of,
)

EXAMPLE_INPUTS = ROOT / "example_inputs"
FIGURES = {"rain": "prcp", "tmax": "tmax", "tmin": "tmin"}  # columns here, and there
PARAMETERS = [Parameter.PRCP, Parameter.TMAX, Parameter.TMIN]
FIRST, LAST = date(2010, 1, 1), date(2011, 12, 31)
DAYS = 730  # from first to last
FILES = ["/daily/2010/ZZA01.csv.gz", "/daily/2011/ZZA01.csv.gz"]
PLACE = meteostat.Point(44.3, -40.0)


def near(days: pd.DataFrame, **given: object) -> ServedStation:
    """An invented station at the place, with that record."""
    return ServedStation("ZZA01", "Brook (invented)", 44.3, -40.0, days=days, **given)


def ask(station: str = "ZZA01", first: date = FIRST, last: date = LAST) -> meteostat.TimeSeries:
    return meteostat.daily(station, first, last, parameters=PARAMETERS)


def came_back(fetched: pd.DataFrame | None) -> pd.DataFrame:
    """What the library gave, with the columns and the kind of numbers of the days served."""
    assert fetched is not None
    there = fetched.rename(columns={figure: column for column, figure in FIGURES.items()})[list(FIGURES)]
    return there.astype(float).rename_axis("date")


@pytest.fixture
def two_years(invented_days: pd.DataFrame) -> pd.DataFrame:
    """Two whole invented years without a gap; not to be changed."""
    return invented_days["2010":]


@pytest.fixture
def server(two_years: pd.DataFrame) -> Iterator[StationServer]:
    """One station with two invented years."""
    with StationServer([near(two_years)], slow=0.4) as running:
        yield running


@pytest.fixture
def library(server: StationServer, tmp_path: Path, caplog: pytest.LogCaptureFixture) -> Iterator[Path]:
    """The library on that server, without waiting before it tries again; the folder of its files."""
    caplog.set_level(logging.INFO, "meteostat")
    with library_on(server, tmp_path, network_max_retries=0):
        yield tmp_path


def told(caplog: pytest.LogCaptureFixture) -> list[tuple[str, str]]:
    """Level of what the library logged of files, and the error of which it gives the trace."""
    return [
        (record.levelname, record.exc_info[0].__name__ if record.exc_info and record.exc_info[0] else "")
        for record in caplog.records
        if "Connecting" not in record.message
    ]


# ---- what comes back ----


def test_a_record_comes_back_day_by_day(tmp_path: Path, two_years: pd.DataFrame) -> None:
    """A day without a row is absent, a day without rain has none, and a figure is rounded to one decimal."""
    days = two_years.copy()
    days.loc["2010-03-02":"2010-03-04", "rain"] = np.nan
    days.loc["2010-05-06", "tmin"] = np.nan
    days.loc["2011-07-01":"2011-07-09"] = np.nan
    days.iloc[5, 0] = 0.254  # a hundredth of an inch
    days = days.drop(days.index[[0, 40, 700]])
    with StationServer([near(days)]) as server, library_on(server, tmp_path):
        series = ask()
        fetched = series.fetch()
        filled = series.fetch(fill=True)
    pd.testing.assert_frame_equal(came_back(fetched), days.round(1).dropna(how="all"), check_freq=False)
    assert fetched.dtypes.astype(str).unique().tolist() == ["Float64"]
    assert fetched.loc["2010-03-02", "prcp"] is pd.NA and fetched.loc["2010-03-02", "tmax"] is not pd.NA
    assert fetched.loc["2010-01-06", "prcp"] == 0.3
    assert len(filled) == DAYS and filled.isna().all(axis=1).sum() == 12


def test_a_sum_takes_missing_rain_for_none(tmp_path: Path, two_years: pd.DataFrame) -> None:
    days = two_years.copy()
    days.loc["2010-03-01":"2010-03-28", "rain"] = np.nan
    with StationServer([near(days)]) as server, library_on(server, tmp_path):
        march = ask().fetch()["prcp"]["2010-03"]
    assert march.sum() == march["2010-03-29":].sum() and march.isna().sum() == 28


def test_rain_has_the_decimals_that_it_was_given(tmp_path: Path) -> None:
    days = pd.DataFrame(
        {"rain": [0.254, np.nan, 0.0, np.nan], "tmax": [1.26, 2.0, np.nan, np.nan]},
        index=pd.date_range("2009-01-01", periods=4),
    )
    with StationServer([near(days)]) as server, urlopen(f"{server.url}/daily/2009/ZZA01.csv.gz") as response:
        read = pd.read_csv(response, compression="gzip", dtype=str, keep_default_na=False)
    assert read.columns.to_list() == ["year", "month", "day", "tmax", "tmax_source", "prcp", "prcp_source"]
    assert read.iloc[:, 3:].to_numpy().tolist() == [
        ["1.3", "ghcnd", "0.254", "ghcnd"],
        ["2.0", "ghcnd", "", ""],
        ["", "", "0", "ghcnd"],
        ["", "", "", ""],
    ]


def test_a_file_is_the_same_each_time(two_years: pd.DataFrame) -> None:
    contents = []
    for _ in range(2):
        with StationServer([near(two_years)]) as server, urlopen(server.url + FILES[0]) as response:
            contents.append(response.read())
    assert contents[0] == contents[1]


def test_a_station_without_temperatures(tmp_path: Path, two_years: pd.DataFrame) -> None:
    with StationServer([near(two_years[["rain"]])]) as server, library_on(server, tmp_path):
        fetched = ask().fetch()
    assert fetched["prcp"].notna().all() and fetched[["tmax", "tmin"]].isna().all(axis=None)
    assert len(fetched) == DAYS


def test_a_year_of_blanks_is_a_year_without_rows(tmp_path: Path, two_years: pd.DataFrame) -> None:
    days = two_years.copy()
    days.loc["2010"] = np.nan
    with StationServer([near(days)]) as server, library_on(server, tmp_path):
        fetched = ask().fetch()
        assert server.requests.count(FILES[0]) == 1
    assert fetched.index.year.unique().to_list() == [2011]


def test_sources_of_single_days(tmp_path: Path, two_years: pd.DataFrame) -> None:
    """Without model data the library drops what has no other source; a mixed string stays."""
    sources = pd.DataFrame("isd_lite", index=two_years.index, columns=two_years.columns)
    sources.loc["2010-06-01", "rain"] = "isd_lite dwd_mosmix"
    sources.loc["2010-06-02", "rain"] = "dwd_mosmix"
    station = near(two_years, sources=sources)
    with StationServer([station]) as server, library_on(server, tmp_path):
        fetched = ask().fetch(sources=True)
    assert fetched.loc["2010-05-31":"2010-06-02", "prcp_source"].to_list() == [
        "isd_lite",
        "isd_lite dwd_mosmix",
        "dwd_mosmix",
    ]
    assert set(fetched["tmax_source"]) == {"isd_lite"}
    with StationServer([station]) as server, library_on(server, tmp_path / "own", include_model_data=False):
        observed = ask().fetch()["prcp"]
    assert observed.isna().sum() == 1 and observed["2010-06-02"] is pd.NA


def test_sources_by_column(tmp_path: Path, two_years: pd.DataFrame) -> None:
    station = near(two_years, sources={"rain": "ghcnd", "tmax": "dwd_daily", "tmin": "dwd_daily"})
    with StationServer([station]) as server, library_on(server, tmp_path):
        series = ask()
    fetched = series.fetch(sources=True)
    assert [set(fetched[f"{figure}_source"]) for figure in ("prcp", "tmax")] == [{"ghcnd"}, {"dwd_daily"}]
    assert series.attribution == "Meteostat, Deutscher Wetterdienst"


def test_months_are_one_file_and_their_completeness_is_wrong(tmp_path: Path, two_years: pd.DataFrame) -> None:
    days = two_years.copy()
    days.loc["2010-03-02", "rain"] = np.nan
    with StationServer([near(days, monthly=True)]) as server, library_on(server, tmp_path):
        series = meteostat.monthly("ZZA01", FIRST, LAST, parameters=PARAMETERS)
        assert server.requests == [LIST, "/monthly/ZZA01.csv.gz"]
    months = came_back(series.fetch())
    whole = two_years["rain"].resample("MS").sum().round(1)
    assert np.isnan(months.loc["2010-03-01", "rain"])
    assert months["rain"].dropna().to_list() == whole.drop(pd.Timestamp("2010-03-01")).to_list()
    # A file has the means with one decimal, so they stand half a digit off at most.
    assert np.abs(months["tmax"] - two_years["tmax"].resample("MS").mean()).max() <= 0.05 + 1e-9
    assert len(months) == 24 and series.completeness() == 0.0


# ---- what is asked, and how often ----


def test_the_second_time_nothing_is_asked(server: StationServer, library: Path) -> None:
    cold = ask().fetch()
    asked = list(server.requests)
    assert asked == [LIST, *FILES]
    warm = ask().fetch()
    assert server.requests == asked
    pd.testing.assert_frame_equal(cold, warm)


def test_the_library_asks_anew_for_what_was_not_found(server: StationServer, library: Path) -> None:
    ask(first=date(2008, 1, 1))
    server.requests.clear()
    ask(first=date(2008, 1, 1))
    assert server.requests == ["/daily/2008/ZZA01.csv.gz", "/daily/2009/ZZA01.csv.gz"]


def test_more_than_thirty_years_are_refused(server: StationServer, library: Path) -> None:
    with pytest.raises(ValueError, match="longer than 30 years"):
        ask(first=date(1980, 1, 1))
    assert server.requests == [LIST]


# ---- faults of the files ----

# By fault: the level at which the library tells it of each file, and the error whose trace it logs.
TOLD = {
    Fault.NOT_FOUND: [("INFO", "")],
    Fault.SERVER_ERROR: [("WARNING", "HTTPError")],
    Fault.HTML: [("WARNING", "BadGzipFile")],
    Fault.GZIPPED_HTML: [("WARNING", "ValueError")],
    Fault.EMPTY: [("WARNING", "EmptyDataError")],
    Fault.NOT_GZIP: [("WARNING", "BadGzipFile")],
    Fault.HANG_UP: [("WARNING", "IncompleteRead")],
    Fault.TRUNCATED_GZIP: [("WARNING", "EOFError")],
    Fault.DUPLICATE_DAY: [("WARNING", "ValueError")],
    Fault.NO_SOURCES: [],
}


@pytest.mark.parametrize("fault", TOLD, ids=lambda fault: fault.name)
def test_a_fault_in_every_year_gives_none(
    fault: Fault, server: StationServer, library: Path, caplog: pytest.LogCaptureFixture
) -> None:
    """As if there were no data; the next time the files are asked for again."""
    server.faults["/daily/*"] = fault
    for _ in range(2):
        caplog.clear()
        server.requests.clear()
        series = ask()
        assert (series.fetch(), series.empty, series.completeness()) == (None, True, 0.0)
        assert told(caplog) == TOLD[fault] * 2
        assert [path for path in server.requests if path != LIST] == FILES


@pytest.mark.parametrize("fault", TOLD, ids=lambda fault: fault.name)
def test_a_fault_in_one_year_leaves_the_others_without_a_mark(
    fault: Fault, server: StationServer, library: Path, caplog: pytest.LogCaptureFixture
) -> None:
    server.faults["/daily/2010/*"] = fault
    series = ask()
    assert series.fetch().index.year.unique().to_list() == [2011]
    assert series.completeness(Parameter.PRCP) == 0.5
    assert told(caplog) == TOLD[fault]
    server.requests.clear()
    server.faults.clear()
    assert len(ask()) == DAYS
    assert server.requests == [FILES[0]]


def test_a_blank_source_raises_and_stays_in_the_cache(server: StationServer, library: Path) -> None:
    """In fetch(), of the whole record; the file is asked for only once, so it stays when the service mended it."""
    server.faults[FILES[0]] = Fault.BLANK_SOURCE
    for _ in range(2):
        series = ask()
        assert not series.empty
        with pytest.raises(AttributeError, match="split"):
            series.fetch()
        server.faults.clear()
    assert server.requests.count(FILES[0]) == 1


def test_connections_refused(server: StationServer, library: Path, caplog: pytest.LogCaptureFixture) -> None:
    url = server.url
    meteostat.stations.meta("ZZA01")
    server.stop()
    assert ask().fetch() is None
    assert told(caplog) == [("WARNING", "URLError")] * 2
    server.restart()
    assert server.url == url
    assert len(ask().fetch()) == DAYS


def test_a_damaged_file_of_the_cache_loses_the_whole_station(
    server: StationServer, library: Path, caplog: pytest.LogCaptureFixture
) -> None:
    ask()
    server.requests.clear()
    caplog.clear()
    damaged = sorted((library / "cache").iterdir())[0]
    damaged.write_bytes(damaged.read_bytes()[:100])
    for _ in range(2):
        assert ask().fetch() is None
    assert [level for level, _ in told(caplog)] == ["ERROR", "ERROR"]
    assert server.requests == []
    damaged.unlink()
    assert len(ask().fetch()) == DAYS


def test_slow_files_are_waited_for_whatever_the_time_limit(server: StationServer, library: Path) -> None:
    """The library's own limit does not hold for files of days; that of all sockets does."""
    server.faults[FILES[0]] = Fault.SLOW
    meteostat.config.network_timeout = 0.05
    began = time.monotonic()
    assert len(ask().fetch()) == DAYS
    assert time.monotonic() - began >= server.slow


def test_a_time_limit_of_all_sockets_ends_the_waiting(
    server: StationServer, library: Path, caplog: pytest.LogCaptureFixture
) -> None:
    server.faults[FILES[0]], server.slow = Fault.SLOW, 30
    before = socket.getdefaulttimeout()
    socket.setdefaulttimeout(0.7)
    try:
        fetched = ask().fetch()
    finally:
        socket.setdefaulttimeout(before)
    assert fetched.index.year.unique().to_list() == [2011]
    assert told(caplog) == [("WARNING", "TimeoutError")]


def test_a_good_file_of_the_cache_is_lost_when_it_is_old_and_the_service_fails(
    server: StationServer, library: Path
) -> None:
    """After thirty days; so the cache keeps no record."""
    meteostat.config.cache_autoclean = False
    ask()
    files = sorted((library / "cache").iterdir())
    sizes = [file.stat().st_size for file in files]
    for file in files:
        os.utime(file, (time.time() - 31 * 86400,) * 2)
    server.faults["/daily/*"] = Fault.SERVER_ERROR
    assert ask().fetch() is None
    assert all(10 * file.stat().st_size < size for file, size in zip(files, sizes, strict=True))


# ---- the list of stations ----


# A tenth of a degree of latitude, and a degree of longitude at 44.3 degrees: great circles by haversines [m].
RADIUS = 6_371_000  # the library's
DISTANCES = [RADIUS * radians(0.1), 2 * RADIUS * asin(cos(radians(44.3)) * sin(radians(0.5)))]


def test_stations_nearby_by_distance(tmp_path: Path, two_years: pd.DataFrame) -> None:
    stations = [
        ServedStation("ZZA03", "Far", 44.3, -39.0, days=two_years),
        ServedStation("ZZA02", "Hill", 44.4, -40.0, None, country="YY"),
        near(two_years),
    ]
    with StationServer(stations) as server, library_on(server, tmp_path):
        found = meteostat.stations.nearby(PLACE, radius=100_000)
        assert found.index.to_list() == ["ZZA01", "ZZA02", "ZZA03"]
        # The library's arc cosine is good to a decimetre where nothing lies between.
        assert found["distance"].to_list() == pytest.approx([0.0, *DISTANCES], abs=0.15)
        assert found.loc["ZZA01", ["name", "country", "latitude", "longitude", "elevation"]].to_list() == [
            "Brook (invented)",
            "XX",
            44.3,
            -40.0,
            100,
        ]
        assert np.isnan(found.loc["ZZA02", "elevation"])
        assert meteostat.stations.nearby(PLACE, radius=20_000).index.to_list() == ["ZZA01", "ZZA02"]
        assert meteostat.stations.nearby(PLACE, radius=100_000, limit=1).index.to_list() == ["ZZA01"]
        nobody = meteostat.stations.nearby(meteostat.Point(10, 10))
        assert nobody.empty and "distance" in nobody.columns
        with pytest.raises(AssertionError):
            meteostat.daily(nobody, FIRST, LAST)
        with pytest.raises(ValueError, match="could not be found"):
            ask("ZZA09")
        assert server.requests == [LIST]


def test_the_inventory(tmp_path: Path, two_years: pd.DataFrame) -> None:
    """A row for each figure and single source: from its first day to its last, and the share of the days between."""
    days = two_years[["rain", "tmax"]].copy()
    days.loc["2010-02-01":"2010-12-31", "rain"] = np.nan
    days.loc[:"2010-06-30", "tmax"] = np.nan
    sources = pd.DataFrame("ghcnd", index=days.index, columns=days.columns)
    sources.loc["2011-12-30":, "tmax"] = "isd_lite dwd_mosmix"
    untold = ServedStation("ZZA02", "Untold", 44.3, -40.0, days=days, inventory=False)
    with StationServer([near(days, sources=sources), untold]) as server, library_on(server, tmp_path):
        inventory = meteostat.stations.inventory("ZZA01")
        none = [meteostat.stations.inventory(station) for station in ("ZZA02", "ZZA09")]
    assert inventory.df.reset_index().to_numpy().tolist() == [
        ["ZZA01", "ghcnd", "prcp", "2010-01-01", "2011-12-31", round(1 - 334 / DAYS, 2)],
        ["ZZA01", "dwd_mosmix", "tmax", "2011-12-30", "2011-12-31", 1.0],
        ["ZZA01", "ghcnd", "tmax", "2010-07-01", "2011-12-29", 1.0],
        ["ZZA01", "isd_lite", "tmax", "2011-12-30", "2011-12-31", 1.0],
    ]
    assert (inventory.start, inventory.end) == (FIRST, LAST)
    assert inventory.parameters == [Parameter.PRCP, Parameter.TMAX]
    assert [(found.start, found.parameters) for found in none] == [(None, []), (None, [])]


@pytest.mark.parametrize("fault", [Fault.NOT_FOUND, Fault.SERVER_ERROR], ids=lambda fault: fault.name)
def test_a_list_that_is_not_sent_is_asked_for_again(fault: Fault, server: StationServer, library: Path) -> None:
    server.faults[LIST] = fault
    for _ in range(2):
        with pytest.raises(Exception, match="Failed to download the database file"):
            meteostat.stations.nearby(PLACE)
    assert server.requests == [LIST, LIST]
    server.faults.clear()
    assert len(meteostat.stations.nearby(PLACE)) == 1


@pytest.mark.parametrize("broken", ["500", "refused"])
def test_the_library_tries_four_times_within_seven_seconds(
    broken: str,
    server: StationServer,
    library: Path,
    monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
) -> None:
    slept: list[float] = []
    monkeypatch.setattr(meteostat.core.network, "time", SimpleNamespace(sleep=slept.append))
    meteostat.config.network_max_retries = 3
    if broken == "500":
        server.faults[LIST] = Fault.SERVER_ERROR
    else:
        server.stop()
    with pytest.raises(Exception, match="Failed to download the database file"):
        meteostat.stations.nearby(PLACE)
    assert slept == [1, 2, 4]
    # One each time, and one more that the mirror could not be reached.
    assert told(caplog) == [("WARNING", "")] * (4 if broken == "500" else 5)


BROKEN_LISTS = [Fault.HTML, Fault.GZIPPED_HTML, Fault.EMPTY, Fault.NOT_GZIP, Fault.TRUNCATED]


@pytest.mark.parametrize("fault", BROKEN_LISTS, ids=lambda fault: fault.name)
def test_a_broken_list_is_kept(fault: Fault, server: StationServer, library: Path) -> None:
    """It raises each time without being asked for again, until somebody deletes it."""
    server.faults[LIST] = fault
    for _ in range(2):
        with pytest.raises(pd.errors.DatabaseError):
            meteostat.stations.nearby(PLACE)
        server.faults.clear()
    assert server.requests == [LIST]
    (library / "stations.db").unlink()
    assert len(meteostat.stations.nearby(PLACE)) == 1


def test_a_list_that_breaks_off_is_kept_too(server: StationServer, library: Path) -> None:
    """The first time another error; there is no second try, and half a list stays."""
    meteostat.config.network_max_retries = 3
    server.faults[LIST] = Fault.HANG_UP
    with pytest.raises(requests.exceptions.ChunkedEncodingError):
        meteostat.stations.nearby(PLACE)
    server.faults.clear()
    with pytest.raises(pd.errors.DatabaseError):
        meteostat.stations.nearby(PLACE)
    assert server.requests == [LIST]


def test_faults_of_rows_leave_the_list(server: StationServer, library: Path) -> None:
    server.faults["*"] = Fault.DUPLICATE_DAY
    assert len(meteostat.stations.nearby(PLACE)) == 1
    assert ask().fetch() is None


# ---- the server itself ----


def test_every_fault_is_tried_here() -> None:
    assert {*TOLD, Fault.BLANK_SOURCE, Fault.SLOW} == set(Fault)


def test_the_first_pattern_counts(server: StationServer) -> None:
    server.faults |= {"/daily/2010/*": Fault.NOT_FOUND, "/daily/*": Fault.SERVER_ERROR}
    codes = {}
    for path in (FILES[0], "/daily/2011/ZZA01.csv.gz", "/daily/2012/ZZA01.csv.gz", "/elsewhere"):
        with pytest.raises(HTTPError) as refused:
            urlopen(server.url + path)
        codes[path] = refused.value.code
        refused.value.close()
    assert list(codes.values()) == [404, 500, 500, 404]
    assert server.requests == list(codes)


def test_an_answer_waits_and_others_do_not_wait_for_it(server: StationServer) -> None:
    """Eight at a time take less than eight one after another."""
    server.delay = 0.3

    def fetch() -> None:
        with urlopen(server.url + FILES[0]) as response:
            response.read()

    threads = [threading.Thread(target=fetch) for _ in range(8)]
    began = time.monotonic()
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert server.delay <= time.monotonic() - began < 8 * server.delay
    assert server.requests == [FILES[0]] * 8


def test_stopping_does_not_wait_for_slow_answers(server: StationServer) -> None:
    server.delay = 30
    failed: list[Exception] = []

    def fetch() -> None:
        try:
            urlopen(server.url + LIST)
        except OSError as error:
            failed.append(error)

    thread = threading.Thread(target=fetch)
    thread.start()
    while not server.requests:
        time.sleep(0.01)
    began = time.monotonic()
    server.stop()
    thread.join()
    assert time.monotonic() - began < 5
    assert len(failed) == 1
    server.stop()  # once more does no harm


def test_other_stations_while_it_runs(server: StationServer, library: Path, two_years: pd.DataFrame) -> None:
    """A year that had no file yet."""
    later = two_years.set_axis(two_years.index + pd.DateOffset(years=2))[:40]
    assert ask(first=date(2011, 1, 1), last=date(2012, 12, 31)).fetch().index.year.max() == 2011
    server.serve([near(pd.concat([two_years, later]))])
    assert ask(first=date(2011, 1, 1), last=date(2012, 12, 31)).fetch().index.max() == pd.Timestamp("2012-02-09")


def test_stations_that_cannot_be_served(two_years: pd.DataFrame) -> None:
    for days in (
        two_years.rename(columns={"rain": "prcp"}),
        two_years.reset_index(drop=True),
        pd.concat([two_years, two_years]),
        two_years.shift(12, freq="h"),
    ):
        with pytest.raises(ValueError, match="ZZA01"):
            near(days)
    with pytest.raises(ValueError, match="two stations"):
        StationServer([near(two_years), near(two_years)])


def test_all_settings_of_the_library_are_put_back(
    server: StationServer, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_PROXY", "elsewhere")
    before = dict(vars(meteostat.config)), daily_files.ENDPOINT, dict(os.environ)
    assert meteostat.config.stations_db_endpoints[0].startswith("https://")
    with pytest.raises(ZeroDivisionError), library_on(server, tmp_path, cache_autoclean=False):
        assert meteostat.config.stations_db_endpoints == [server.url + LIST]
        assert daily_files.ENDPOINT.startswith(server.url)
        assert (meteostat.config.cache_autoclean, os.environ["NO_PROXY"]) == (False, "127.0.0.1,localhost")
        meteostat.config.include_model_data = False  # as a program may do
        raise ZeroDivisionError
    assert before == (dict(vars(meteostat.config)), daily_files.ENDPOINT, dict(os.environ))
    with pytest.raises(TypeError, match="no_such"), library_on(server, tmp_path, no_such=1):
        pass


PROGRAM = """
from datetime import date
import meteostat
fetched = meteostat.daily("ZZA01", date(2010, 1, 1), date(2011, 12, 31), parameters=[meteostat.Parameter.PRCP]).fetch()
print(len(fetched), meteostat.config.cache_autoclean, meteostat.config.network_max_retries)
"""


def test_a_subprocess_is_led_there_by_its_environment(server: StationServer, tmp_path: Path) -> None:
    folder = tmp_path / "with spaces" / "deep"
    given = server.environment(folder, cache_autoclean=False, network_max_retries=0)
    run = subprocess.run(
        [sys.executable, "-c", PROGRAM],
        env=os.environ | {"http_proxy": "http://127.0.0.1:9"} | given,
        capture_output=True,
        text=True,
    )
    assert (run.stdout, run.stderr) == (f"{DAYS} False 0\n", "")
    assert server.requests == [LIST, *FILES]
    assert sorted(path.name for path in folder.iterdir()) == ["cache", "stations.db"]


# ---- by hand ----


@cache
def example_stations() -> list[ServedStation]:
    """What is served by default; read once."""
    return stations_of([EXAMPLE_INPUTS], 0.0, 0.0, 0)


def test_stations_around_the_example_places() -> None:
    stations = example_stations()
    assert [station.id for station in stations] == ["ZZA01", "ZZA02", "ZZA03", "ZZB01", "ZZB02", "ZZB03"]
    brook, gauge, hill = stations[:3]
    assert "Guest house" in brook.name
    site = tomllib.loads((EXAMPLE_INPUTS / "guest_house.toml").read_text(encoding="utf-8"))["site"]
    height = round(parse(site["elevation"]).to("m").magnitude)
    assert [station.elevation - height for station in (brook, gauge, hill)] == [shift.up for shift in AROUND]
    record = pd.read_csv(EXAMPLE_INPUTS / "guest_house_rain.csv", index_col="date", parse_dates=["date"])
    record.columns = ["rain", "tmax", "tmin"]
    assert sorted(set(record.index.year) - set(brook.days.index.year)) == [2005]
    pd.testing.assert_frame_equal(brook.days, record.loc[brook.days.index], check_index_type=False)
    assert gauge.days.columns.to_list() == ["rain"] and gauge.days.index.min() == pd.Timestamp("2006-01-01")
    assert (hill.days["tmax"] - record["tmax"]).unique() == pytest.approx(-1.5)
    assert (hill.days["rain"] - 1.2 * record["rain"]).abs().max() <= 0.05 + 1e-9


def test_the_stations_stand_where_the_library_finds_them(tmp_path: Path) -> None:
    with StationServer(example_stations()) as server, library_on(server, tmp_path):
        found = meteostat.stations.nearby(meteostat.Point(-37.6, -40.0))
    assert found["distance"].to_list() == pytest.approx([3000, 8000, 12000], abs=10)


def test_a_record_served_by_hand(tmp_path: Path) -> None:
    """The printed lines lead the library there; Ctrl-C ends it without a trace."""
    record = tmp_path / "own.csv"
    rows = [f"{day:%Y-%m-%d},{day.day / 10},{day.month},{day.month - 5}" for day in pd.date_range(FIRST, LAST)]
    record.write_text("\n".join(["date,prcp,tmax,tmin", *rows]), encoding="utf-8")
    command = [sys.executable, "-m", "tests.station_server", str(record), "--fault", "/daily/2010/*=NOT_FOUND"]
    with subprocess.Popen(
        command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True
    ) as serving:
        try:
            lines = []
            while not lines or "Ctrl-C" not in lines[-1]:
                lines.append(serving.stdout.readline())
                assert lines[-1], serving.stderr.read()
            exported = "".join(line for line in lines if line.startswith("export "))
            program = PROGRAM.replace("ZZA01", "ZZR00")
            run = subprocess.run(
                ["sh", "-c", f'{exported}exec "$0" -c "$1"', sys.executable, program], capture_output=True, text=True
            )
        finally:
            serving.send_signal(signal.SIGINT)
            try:
                rest = serving.communicate(timeout=20)
            finally:
                serving.kill()
    assert re.match(r"# ZZR00 own: 44\.3, -40\.0, 100 m, rain, tmax, tmin, 2010 to 2011, 2 years\n", lines[0])
    assert (run.stdout, run.stderr) == ("365 True 3\n", "")
    assert (serving.returncode, rest) == (0, ("", ""))


# ---- no test leaves this machine ----


def test_no_test_leaves_this_machine(server: StationServer) -> None:
    """192.0.2.1 is an address for documentation (RFC 5737), and names in .invalid have none (RFC 2606)."""
    with socket.socket() as open_socket, pytest.raises(pytest.fail.Exception, match=r"192\.0\.2\.1"):
        open_socket.connect(("192.0.2.1", 80))
    with pytest.raises(pytest.fail.Exception, match=r"service\.invalid"):
        urlopen("http://service.invalid/", timeout=1)
    with pytest.raises(pytest.fail.Exception), socket.create_connection(("192.0.2.1", 80), timeout=1):
        pass
    with pytest.raises(pytest.fail.Exception):
        socket.gethostbyname("service.invalid")
    for host in ("localhost", "127.0.0.1"):
        with socket.create_connection((host, int(server.url.rsplit(":", 1)[1])), timeout=5):
            pass


def test_the_library_cannot_swallow_it(server: StationServer, library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A test that forgets to lead the library to a server fails, though the library takes every error for no data."""
    monkeypatch.setattr(daily_files, "ENDPOINT", "http://192.0.2.1/{year}/{station}.csv.gz")
    with pytest.raises(pytest.fail.Exception):
        ask()
    meteostat.config.stations_db_endpoints = ["https://service.invalid/stations.db"]
    (library / "stations.db").unlink()
    with pytest.raises(pytest.fail.Exception):
        meteostat.stations.nearby(PLACE)
