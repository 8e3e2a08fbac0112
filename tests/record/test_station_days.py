"""The days of a station, asked for through the unmodified library, against a server on loopback with every fault.

What is asked here waits for nothing: no pause, no second try of the list, time limits of a fraction of a second.
"""

from __future__ import annotations

import errno
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pandas as pd
import pytest

from budget.errors import RainUnavailable
from budget.record import station_days
from budget.record.station import RAIN, TEMPERATURES
from budget.record.station_days import NetworkGone
from budget.record.trouble import Kind, host
from tests.record.one_station import BROOK, FILES, OF_DAYS, UNTIL, YEARS, came_back, named, near, service
from tests.station_server import Fault, StationServer


def in_the_pause(monkeypatch: pytest.MonkeyPatch, do: Callable[[], object]) -> None:
    """Have something happen between the first and the second time of asking."""
    monkeypatch.setattr(station_days, "time", SimpleNamespace(sleep=lambda _: do(), time=time.time))


def kept(folder: Path) -> list[Path]:
    """The files of days in the cache."""
    return sorted(folder.glob("days/ZZA01/*.pickle"))


# ---- what comes ----


def test_values_come_day_by_day_and_what_is_missing_stays_missing(folder: Path, server: StationServer) -> None:
    index = pd.date_range("2010-01-01", "2011-12-31", name="date")
    chance = np.random.default_rng(3)
    days = pd.DataFrame({"rain": chance.gamma(0.5, 9, 730), "tmax": 20.0, "tmin": -3.4}, index=index)
    days.loc["2010-03-02":"2010-03-04", "rain"] = np.nan
    days.loc["2010-05-06", ["tmin", "tmax"]] = np.nan
    days.loc["2010-05-07", ["tmin"]] = np.nan
    days.loc["2011-07-01":"2011-07-09"] = np.nan
    days.loc["2011-08-01", "rain"] = 0.0
    days = days.drop(days.index[[0, 40, 700]])
    server.serve([near(days)])
    came = service(folder).days.of(BROOK, YEARS, UNTIL)
    pd.testing.assert_frame_equal(came_back(came), days.round(1).dropna(how="all"), check_freq=False)
    assert came_back(came).dtypes.astype(str).to_list() == ["float64"] * 3
    assert came.years[2010].known == {RAIN: 365 - 2 - 3, TEMPERATURES: 365 - 2 - 2}
    assert came.years[2011].known == {RAIN: 365 - 1 - 9, TEMPERATURES: 365 - 1 - 9}
    assert came.sources == {"ghcnd": int(days.notna().sum().sum())}
    assert (came.forecasts, came.years[2010].trouble) == (0, None)


def test_a_station_with_rain_alone(folder: Path, server: StationServer, two_years: pd.DataFrame) -> None:
    server.serve([near(two_years[["rain"]])])
    came = service(folder).days.of(BROOK, YEARS, UNTIL)
    assert came_back(came)["rain"].notna().all() and came_back(came)[["tmax", "tmin"]].isna().all(axis=None)
    assert came.years[2011].known == {RAIN: 365, TEMPERATURES: 0}


def test_nothing_is_asked_after_the_last_day(folder: Path, server: StationServer) -> None:
    came = service(folder).days.of(BROOK, YEARS, date(2011, 3, 1))
    assert came_back(came).index.max() == pd.Timestamp("2011-03-01")
    assert came.years[2011].known[RAIN] == 60


def test_forecasts_are_dropped_by_token_and_counted(
    folder: Path, server: StationServer, two_years: pd.DataFrame
) -> None:
    sources = pd.DataFrame("isd_lite", index=two_years.index, columns=two_years.columns)
    sources.loc["2010-06-01", "rain"] = "isd_lite dwd_mosmix"
    sources.loc["2010-06-02", "rain"] = "dwd_mosmix"
    sources.loc["2010-06-03", "tmin"] = "metno_forecast ghcnd"
    sources.loc["2010-06-04", "tmax"] = "isd_lite ghcnd"
    sources.loc["2010-06-05", "rain"] = "not_dwd_mosmix"
    server.serve([near(two_years, sources=sources)])
    came = service(folder).days.of(BROOK, YEARS, UNTIL)
    expected = two_years.round(1)
    expected.loc["2010-06-01":"2010-06-02", "rain"] = np.nan
    expected.loc["2010-06-03", "tmin"] = np.nan
    pd.testing.assert_frame_equal(came_back(came), expected, check_freq=False)
    assert came.forecasts == 3
    assert came.sources == {"isd_lite": 3 * 730 - 4, "ghcnd": 1, "not_dwd_mosmix": 1}
    assert came.years[2010].known == {RAIN: 363, TEMPERATURES: 364}


def test_a_year_of_nothing_but_forecasts_is_absent(
    folder: Path, server: StationServer, two_years: pd.DataFrame
) -> None:
    server.serve([near(two_years, sources="dwd_mosmix")])
    came = service(folder).days.of(BROOK, [2011], UNTIL)
    trouble = came.years[2011].trouble
    assert trouble is not None and (trouble.kind, trouble.words) == (Kind.ABSENT, "no measured value")
    assert (came.forecasts, came.sources, len(came.years[2011].days)) == (3 * 365, {}, 0)


# ---- what is asked, and how often ----


def test_the_second_time_nothing_is_asked(folder: Path, server: StationServer) -> None:
    cold = service(folder).days.of(BROOK, YEARS, UNTIL)
    assert server.requests == FILES
    warm = service(folder).days.of(BROOK, YEARS, UNTIL)
    assert server.requests == FILES
    pd.testing.assert_frame_equal(came_back(cold), came_back(warm))
    assert cold.sources == warm.sources


def test_a_fresh_answer_replaces_what_the_cache_had(
    folder: Path, server: StationServer, two_years: pd.DataFrame
) -> None:
    service(folder).days.of(BROOK, YEARS, UNTIL)
    server.serve([near(two_years + 1)])
    fresh = service(folder, fresh=True).days.of(BROOK, YEARS, UNTIL)
    assert server.requests == FILES * 2
    warm = service(folder).days.of(BROOK, YEARS, UNTIL)
    assert server.requests == FILES * 2
    for came in (fresh, warm):
        pd.testing.assert_frame_equal(came_back(came), (two_years + 1).round(1), check_freq=False)
    assert len(list(folder.glob("days/ZZA01/*"))) == len(kept(folder)) == 2


def test_years_that_are_not_there_are_asked_for_once(folder: Path, server: StationServer) -> None:
    came = service(folder).days.of(BROOK, [2008, 2009, 2010], UNTIL)
    assert len(server.requests) == 3
    assert came.troubled(Kind.ABSENT) == [2008, 2009]
    assert {came.years[year].trouble.words for year in (2008, 2009)} == {"not found"}
    assert came.years[2008].known == {RAIN: 0, TEMPERATURES: 0}


# ---- faults of the days ----


GOES_AWAY = [fault for fault, (kind, _) in OF_DAYS.items() if kind is not Kind.ABSENT]


@pytest.mark.parametrize("fault", OF_DAYS, ids=named)
def test_a_fault_of_one_year_is_told_and_the_others_come(fault: Fault, folder: Path, server: StationServer) -> None:
    server.faults[FILES[0]] = fault
    asking = service(folder)
    came = asking.days.of(BROOK, YEARS, UNTIL)
    kind, words = OF_DAYS[fault]
    trouble = came.years[2010].trouble
    assert trouble is not None and (trouble.kind, trouble.words) == (kind, words)
    assert (len(came.years[2010].days), came.years[2010].known[RAIN]) == (0, 0)
    assert (len(came.years[2011].days), came.years[2011].trouble) == (365, None)
    assert came.sources == {"ghcnd": 3 * 365}
    asked_twice = [] if kind is Kind.ABSENT else [FILES[0]]
    assert server.requests == [*FILES, *asked_twice]
    assert asking.remarks == []


@pytest.mark.parametrize("fault", GOES_AWAY, ids=named)
def test_a_trouble_that_goes_away(
    fault: Fault, folder: Path, server: StationServer, two_years: pd.DataFrame, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is asked for once more and comes; the next time nothing is asked."""
    server.faults[FILES[0]] = fault
    in_the_pause(monkeypatch, server.faults.clear)
    came = service(folder).days.of(BROOK, YEARS, UNTIL)
    assert server.requests == [*FILES, FILES[0]]
    pd.testing.assert_frame_equal(came_back(came), two_years.round(1), check_freq=False)
    assert came.sources == {"ghcnd": 3 * 730} and came.years[2010].trouble is None
    warm = service(folder).days.of(BROOK, YEARS, UNTIL)
    assert len(server.requests) == 3
    pd.testing.assert_frame_equal(came_back(warm), came_back(came))


@pytest.mark.parametrize("fault", GOES_AWAY, ids=named)
def test_what_the_service_mended_is_not_stuck_in_the_cache(fault: Fault, folder: Path, server: StationServer) -> None:
    server.faults[FILES[0]] = fault
    assert service(folder).days.of(BROOK, YEARS, UNTIL).years[2010].trouble is not None
    server.faults.clear()
    assert service(folder).days.of(BROOK, YEARS, UNTIL).years[2010].known[RAIN] == 365
    server.requests.clear()
    assert service(folder).days.of(BROOK, YEARS, UNTIL).years[2010].known[RAIN] == 365
    assert server.requests == []


def test_one_bad_file_does_not_have_the_others_asked_for_again(folder: Path, server: StationServer) -> None:
    server.faults[FILES[1]] = Fault.BLANK_SOURCE
    came = service(folder, fresh=True).days.of(BROOK, YEARS, UNTIL)
    assert server.requests == [*FILES, FILES[1]]
    assert came.troubled(Kind.CONTENT) == [2011]


def test_no_pause_where_nothing_went_wrong(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    in_the_pause(monkeypatch, lambda: pytest.fail("it paused"))
    came = service(folder).days.of(BROOK, [2009, *YEARS], UNTIL)  # 2009 is not there
    assert came.years[2010].known[RAIN] == 365


# ---- the network ----


def test_no_answer_in_time(folder: Path, server: StationServer) -> None:
    """What came is handed on; the year that failed is not known."""
    server.faults[FILES[0]] = Fault.SLOW
    began = time.monotonic()
    with pytest.raises(NetworkGone) as gone:
        service(folder).days.of(BROOK, YEARS, UNTIL)
    assert time.monotonic() - began < 10
    assert (gone.value.trouble.kind, gone.value.year) == (Kind.NETWORK, 2010)
    assert gone.value.trouble.words == f"no answer from {host(server.url)} in time"
    assert list(gone.value.came.years) == [2011] and gone.value.came.sources == {"ghcnd": 3 * 365}
    assert server.requests == [*FILES, FILES[0]]


def test_what_came_the_second_time_counts_though_the_network_goes_away(
    folder: Path, server: StationServer, monkeypatch: pytest.MonkeyPatch
) -> None:
    server.faults |= {FILES[0]: Fault.SERVER_ERROR, FILES[1]: Fault.SLOW}
    in_the_pause(monkeypatch, lambda: server.faults.pop(FILES[0], None))
    with pytest.raises(NetworkGone) as gone:
        service(folder).days.of(BROOK, YEARS, UNTIL)
    assert {year: len(answer.days) for year, answer in gone.value.came.years.items()} == {2010: 365}
    assert (gone.value.year, gone.value.came.sources) == (2011, {"ghcnd": 3 * 365})


def test_a_connection_that_comes_back(folder: Path, server: StationServer, monkeypatch: pytest.MonkeyPatch) -> None:
    server.stop()
    in_the_pause(monkeypatch, server.restart)
    assert len(came_back(service(folder).days.of(BROOK, YEARS, UNTIL))) == 730


# ---- the cache ----


@pytest.mark.parametrize("content", [b"", b"half", b"\x80\x04\x8c\x05hello\x94."], ids=["empty", "garbage", "foreign"])
def test_a_damaged_file_of_the_cache(
    content: bytes, folder: Path, server: StationServer, two_years: pd.DataFrame
) -> None:
    service(folder).days.of(BROOK, YEARS, UNTIL)
    kept(folder)[0].write_bytes(content)
    server.requests.clear()
    asking = service(folder)
    came = asking.days.of(BROOK, YEARS, UNTIL)
    pd.testing.assert_frame_equal(came_back(came), two_years.round(1), check_freq=False)
    assert came.sources == {"ghcnd": 3 * 730}
    assert server.requests == FILES
    assert asking.remarks == ["What the cache held of Brook (ZZA01) was damaged and was fetched anew."]
    again = service(folder)
    again.days.of(BROOK, YEARS, UNTIL)
    assert server.requests == FILES and again.remarks == []


def test_a_full_disk(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*given: object, **named: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patch, pytest.raises(RainUnavailable) as refused:
        patch.setattr(pd.DataFrame, "to_pickle", full)
        service(folder).days.of(BROOK, [2010], UNTIL)
    assert f"cache folder {folder}" in str(refused.value) and "No space left on device" in str(refused.value)
    assert "make room for the cache folder" in str(refused.value)
    assert len(came_back(service(folder).days.of(BROOK, [2010], UNTIL))) == 365


@pytest.mark.parametrize("blocked", ["", "days", "days/ZZA01"])
def test_a_cache_folder_that_cannot_be_made(blocked: str, folder: Path) -> None:
    path = folder / blocked
    path.parent.mkdir(parents=True, exist_ok=True)
    path.touch()
    with pytest.raises(RainUnavailable, match=r"cache folder .* cannot be made: (File exists|Not a directory)"):
        service(folder).days.of(BROOK, [2010], UNTIL)
