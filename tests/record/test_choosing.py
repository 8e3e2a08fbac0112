"""Which stations are taken, in which order they are asked, and what is told where none can be."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from datetime import date
from itertools import pairwise
from pathlib import Path
from statistics import median

import numpy as np
import pandas as pd
import pytest

from budget.errors import InputFaults, RainUnavailable
from budget.record import choosing
from budget.record.choosing import fetch, portions
from budget.record.fetched import Fetched, describe, site_days, spans, yearly_differences
from budget.record.station import GAPS, RAIN, TEMPERATURES, Wanted
from budget.record.weather_service import WeatherService
from tests.station_server import Fault, ServedStation, StationServer, library_on

TODAY = date(2014, 6, 10)
YEARS = range(2004, 2014)  # ten complete ones
NORTH = 1 / 111.195  # [degrees] in one kilometre on a sphere of 6371 km


def days(seed: int = 1, first: str = "2004-01-01", last: str = "2014-06-09") -> pd.DataFrame:
    """Invented days; rain on one in three, in tenths of a millimetre, as the service writes them."""
    rng, index = np.random.default_rng(seed), pd.date_range(first, last, name="date")
    rain = (rng.gamma(0.7, 8, len(index)) * (rng.random(len(index)) < 0.35)).round(1)
    low = (8 - 9 * np.cos(2 * np.pi * index.day_of_year / 365.25) + rng.normal(0, 2, len(index))).round(1)
    return pd.DataFrame({"rain": rain, "tmax": (low + 9).round(1), "tmin": low}, index=index)


def station(key: str, north: float, table: pd.DataFrame, **given: object) -> ServedStation:
    """A station so many kilometres north of the place."""
    return ServedStation(key, f"Station {key}", 44.3 + north * NORTH, -30.0, days=table, **given)  # type: ignore[arg-type]


def without(table: pd.DataFrame, share: float) -> pd.DataFrame:
    """The same without rain on this share of the days of the ten years, the first of them."""
    lacking = table.copy()
    counted = lacking.index[lacking.index.year.isin(YEARS)]
    lacking.loc[counted[: round(share * len(counted))], "rain"] = np.nan
    return lacking


def wanted(**given: object) -> Wanted:
    return Wanted(
        **{**dict(latitude=44.3, longitude=-30.0, station=None, from_year=2004, to_year=None, within=50.0), **given}
    )  # type: ignore[arg-type]


@pytest.fixture
def server() -> Iterator[StationServer]:
    with StationServer() as running:
        yield running


@pytest.fixture
def ask(server: StationServer, tmp_path: Path):  # type: ignore[no-untyped-def]
    """Serve these stations and fetch from them."""
    with library_on(server, tmp_path / "theirs"):

        def fetch_from(*stations: ServedStation, fresh: bool = False, **given: object) -> Fetched:
            server.serve(stations)
            return fetch(wanted(**given), WeatherService(tmp_path / "cache", fresh, pause=0), TODAY)

        yield fetch_from


def taken(fetched: Fetched) -> dict[str, list[str]]:
    return {use: [found.id for found in fetched.serving(use)] for use in (RAIN, TEMPERATURES, GAPS)}


def asked_for(server: StationServer, key: str) -> list[int]:
    return [int(path.split("/")[2]) for path in server.requests if path.endswith(f"/{key}.csv.gz")]


# ---------------------------------------------------------------- who is taken


def test_the_nearest_that_is_nearly_complete(ask) -> None:  # type: ignore[no-untyped-def]
    """Days come as they were served, and stations in the order of their distance, however the list has them."""
    far, near, next_one = days(1), days(2), days(3)
    found = ask(station("FAR1", 30, far), station("NEAR", -2, near), station("NEXT", 9, next_one))
    assert taken(found) == {RAIN: ["NEAR"], TEMPERATURES: ["NEAR"], GAPS: ["NEXT", "FAR1"]}
    assert [entry.station.id for entry in found.considered] == ["NEAR", "NEXT", "FAR1"]
    for key, table in (("NEAR", near), ("NEXT", next_one), ("FAR1", far)):
        pd.testing.assert_frame_equal(found.days[key], table, check_freq=False)
    assert [round(entry.station.distance, 3) for entry in found.considered] == [2, 9, 30]
    assert not found.troubled and found.remarks == []
    assert (found.first_year, found.last_year, found.until, found.retrieved) == (2004, 2013, TODAY, TODAY)


@pytest.mark.parametrize(("lacking", "chosen"), [(365, "NEAR"), (366, "FAR1")])
def test_nine_days_in_ten(ask, lacking: int, chosen: str) -> None:  # type: ignore[no-untyped-def]
    """3,653 days in the ten years, three of them leap years: 365 may lack, 366 may not."""
    whole = days()
    table = whole.copy()
    table.loc[table.index[:lacking], "rain"] = np.nan
    found = ask(station("NEAR", 2, table, inventory=False), station("FAR1", 9, whole))
    assert taken(found)[RAIN] == [chosen]
    if chosen == "FAR1":
        assert taken(found)[GAPS] == ["NEAR"]  # and temperatures come from the rain station
        assert found.considered[0].why == "rain on 90 % of the days" or "89.9" in found.considered[0].why


def test_a_hopeless_station_is_hardly_asked(ask, server: StationServer) -> None:  # type: ignore[no-untyped-def]
    """The latest year first, alone; then the next ones; then it cannot pass, and is left."""
    table = days()
    table["rain"] = table["rain"].where(table.index.year < 2011)
    found = ask(station("NEAR", 2, table, inventory=False), station("FAR1", 9, days(2)))
    assert taken(found)[RAIN] == ["FAR1"]
    assert "so it cannot pass" in found.considered[0].why or "no rain in" in found.considered[0].why
    assert asked_for(server, "NEAR")[0] == 2013
    assert sorted(asked_for(server, "FAR1")) == [*YEARS, 2014]


def test_the_inventory_rules_out_without_asking(ask, server: StationServer) -> None:  # type: ignore[no-untyped-def]
    old, warm = days(1, "2004-01-01", "2007-12-31"), days(2)[["tmax", "tmin"]]
    found = ask(station("OLD1", 1, old), station("WARM", 2, warm), station("GOOD", 3, days(3)))
    assert taken(found)[RAIN] == ["GOOD"]
    assert {entry.station.id: entry.why for entry in found.considered} == {
        "OLD1": "rain from 2004-01-01 to 2007-12-31 only, by its inventory",
        "WARM": "no rain in its inventory",
        "GOOD": "",
    }
    assert asked_for(server, "OLD1") == [] and asked_for(server, "WARM") == []


def test_temperatures_of_the_next_that_has_them(ask) -> None:  # type: ignore[no-untyped-def]
    """A gauge of rain alone takes them of the next station; both are brought to the height of the place."""
    gauge, climate = days(1)[["rain"]], days(2)
    found = ask(station("RAIN", 1, gauge), station("CLIM", 5, climate, elevation=500))
    assert taken(found) == {RAIN: ["RAIN"], TEMPERATURES: ["CLIM"], GAPS: ["CLIM"]}
    table = site_days(found, 300.0)
    np.testing.assert_allclose(table["rain"], gauge["rain"])
    np.testing.assert_allclose(table["tmin"], climate["tmin"] + 0.2 * 6.5)
    np.testing.assert_allclose(table["tmax"], climate["tmax"] + 0.2 * 6.5)
    np.testing.assert_allclose(site_days(found, None)["tmin"], climate["tmin"])
    told = " ".join(describe(found, 300.0))
    assert "Temperatures are of Station CLIM (CLIM), 5.0 km (3.1 mi) to the north, 200 m (656 ft) higher" in told
    assert "by +1.3 °C (6.5 K per km)" in told


def test_no_more_than_two_fill_gaps(ask, server: StationServer) -> None:  # type: ignore[no-untyped-def]
    found = ask(*(station(f"ST{number}", number, days(number)) for number in range(1, 6)))
    assert taken(found)[GAPS] == ["ST2", "ST3"]
    assert asked_for(server, "ST4") == []


def test_a_named_station(ask) -> None:  # type: ignore[no-untyped-def]
    """It is taken though it is far and has half the years; the others serve for gaps."""
    half = days(1)
    half["rain"] = half["rain"].where(half.index.year > 2008)
    found = ask(station("NEAR", 1, days(2)), station("FAR1", 300, half), station="FAR1")
    assert taken(found)[RAIN] == ["FAR1"] and taken(found)[GAPS] == ["NEAR"]
    assert found.considered[0].rain == pytest.approx(half.loc["2004":"2013", "rain"].notna().mean())  # type: ignore[misc]
    assert round(found.rain_station.distance) == 300


@pytest.mark.parametrize("key", ["NONE", "7%", "../../x", "a b", ""])
def test_a_named_station_that_is_not_there(ask, key: str) -> None:  # type: ignore[no-untyped-def]
    if not key:
        assert taken(ask(station("NEAR", 1, days()), station=None))[RAIN] == ["NEAR"]
        return
    with pytest.raises(InputFaults, match=r"rain\.station"):
        ask(station("NEAR", 1, days()), station=key)


def test_years_that_are_absent_are_told(ask) -> None:  # type: ignore[no-untyped-def]
    table = days()
    table = table[~table.index.year.isin([2007])]
    found = ask(station("NEAR", 1, table))
    assert found.remarks == ["Station NEAR (NEAR) lacks 2007: not found."]
    assert not found.troubled


# ---------------------------------------------------------------- what goes wrong


def test_nobody_near(ask) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(RainUnavailable) as raised:
        ask(station("FAR1", 60, days()))
    assert raised.value.exit_code == 3
    assert "No weather station of the list lies within 50.0 km (31.1 mi) of 44.3, -30" in str(raised.value)
    assert "rain.within" in str(raised.value) and "rain.file" in str(raised.value)


def test_nobody_passes(ask) -> None:  # type: ignore[no-untyped-def]
    """Each is listed with what it has."""
    half, third = without(days(1), 0.5), without(days(2), 0.66)
    with pytest.raises(RainUnavailable) as raised:
        ask(station("HALF", 1, half, inventory=False), station("THIR", 2, third))
    text = str(raised.value)
    assert text.startswith("No station within 50.0 km (31.1 mi) has rain on 90 % of the days of 2004 to 2013.")
    assert "Station HALF (HALF), 1.0 km (0.6 mi)" in text and "Station THIR (THIR)" in text
    assert "by its inventory" in text and "rain.station" in text


def test_nobody_has_temperatures(ask) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(RainUnavailable, match="has temperatures on 90 %"):
        ask(station("RAIN", 1, days()[["rain"]]))


@pytest.mark.parametrize("fault", [Fault.SERVER_ERROR, Fault.TRUNCATED, Fault.HTML, Fault.NO_SOURCES])
def test_years_that_cannot_be_read_lead_to_the_next_station(ask, server: StationServer, fault: Fault) -> None:  # type: ignore[no-untyped-def]
    """Half of a station's years are broken: it is left for that, and told so."""
    server.faults["/daily/200?/NEAR*"] = fault
    found = ask(station("NEAR", 1, days(1), inventory=False), station("NEXT", 2, days(2)))
    assert taken(found)[RAIN] == ["NEXT"]
    if fault is not Fault.NO_SOURCES:
        assert "could not be read" in found.considered[0].why


def test_one_broken_year_is_told_and_asked_for_again(ask, server: StationServer) -> None:  # type: ignore[no-untyped-def]
    server.faults["/daily/2006/NEAR*"] = Fault.SERVER_ERROR
    found = ask(station("NEAR", 1, days(1)))
    assert taken(found)[RAIN] == ["NEAR"] and found.troubled
    assert found.remarks == ["Station NEAR (NEAR) lacks 2006: the server answers with status 500."]
    assert asked_for(server, "NEAR").count(2006) == 2
    server.faults.clear()
    again = ask(station("NEAR", 1, days(1)))
    assert not again.troubled and again.remarks == []


def test_a_broken_year_among_good_ones(ask, server: StationServer) -> None:  # type: ignore[no-untyped-def]
    """A value without a source breaks the library's answer for all years of a question: only that year is lost."""
    server.faults["/daily/2006/NEAR*"] = Fault.BLANK_SOURCE
    found = ask(station("NEAR", 1, days(1)))
    assert taken(found)[RAIN] == ["NEAR"] and found.troubled
    known = found.days["NEAR"]["rain"].groupby(found.days["NEAR"].index.year).count()
    assert 2006 not in known.index and known[2005] == 365 and known[2007] == 365
    server.faults.clear()
    assert not ask(station("NEAR", 1, days(1))).troubled  # what the cache has of it does not stand in the way


def test_a_service_that_fails_is_not_asked_for_every_station(ask, server: StationServer) -> None:  # type: ignore[no-untyped-def]
    server.faults["/daily/*"] = Fault.SERVER_ERROR
    with pytest.raises(RainUnavailable, match="does not answer as it should: the server answers with status 500"):
        ask(*(station(f"ST{number}", number, days(number)) for number in range(1, 8)))
    assert len({path.rpartition("/")[2] for path in server.requests if path.startswith("/daily/")}) == 2


def test_a_named_station_with_broken_years_is_not_taken(ask, server: StationServer) -> None:  # type: ignore[no-untyped-def]
    server.faults["/daily/200?/NEAR*"] = Fault.SERVER_ERROR
    with pytest.raises(RainUnavailable, match=r"The station that is named does not serve.*2004 to 2009"):
        ask(station("NEAR", 1, days(1)), station="NEAR")


class Cut(WeatherService):
    """A service whose network goes away before some question."""

    def __init__(self, folder: Path, server: StationServer, before: str) -> None:
        super().__init__(folder, pause=0)
        self.server, self.before = server, before

    def _ask(self, station, years, until, fresh=False):  # type: ignore[no-untyped-def]
        if f"{station.id} {max(years)}" == self.before:
            self.server.stop()
        return super()._ask(station, years, until, fresh)


@pytest.mark.parametrize(
    ("before", "came"),
    [("NEAR 2013", None), ("NEAR 2012", "1 file of days came"), ("NEAR 2007", "6 files of days came")],
)
def test_the_network_goes_away(server: StationServer, tmp_path: Path, before: str, came: str | None) -> None:
    """Nothing else is asked then; what came before is there for the next try."""
    server.serve([station("NEAR", 1, days(1)), station("NEXT", 2, days(2))])
    with library_on(server, tmp_path / "theirs"):
        with pytest.raises(RainUnavailable) as raised:
            fetch(wanted(), Cut(tmp_path / "cache", server, before), TODAY)
        text = str(raised.value)
        assert "no connection to 127.0.0.1" in text and "see that the network is there" in text
        assert (came or "came before") in text if came else "came before" not in text
        server.restart()
        asked = len(server.requests)
        assert taken(fetch(wanted(), WeatherService(tmp_path / "cache", pause=0), TODAY))[RAIN] == ["NEAR"]
        had = 0 if came is None else int(came.split()[0])
        assert len([path for path in server.requests[asked:] if "NEAR" in path]) == len(YEARS) + 1 - had


def test_the_network_goes_away_while_fillers_are_asked(server: StationServer, tmp_path: Path) -> None:
    server.serve([station("NEAR", 1, days(1)), station("NEXT", 2, days(2))])
    with library_on(server, tmp_path / "theirs"):
        found = fetch(wanted(), Cut(tmp_path / "cache", server, "NEXT 2012"), TODAY)
    assert taken(found) == {RAIN: ["NEAR"], TEMPERATURES: ["NEAR"], GAPS: []}
    assert any("No more stations could be asked for what fills gaps" in remark for remark in found.remarks)


# ---------------------------------------------------------------- how it is asked


def test_cold_and_warm(ask, server: StationServer) -> None:  # type: ignore[no-untyped-def]
    """Each file once; then none, until it is asked anew."""
    served = [station("NEAR", 1, days(1)), station("NEXT", 2, days(2))]
    cold = ask(*served)
    files = [path for path in server.requests if path.startswith("/daily/")]
    assert len(files) == len(set(files)) == 2 * (len(YEARS) + 1)
    server.requests.clear()
    warm = ask(*served)
    assert server.requests == []
    pd.testing.assert_frame_equal(cold.days["NEAR"], warm.days["NEAR"])
    ask(*served, fresh=True)
    assert sorted(server.requests) == sorted(files)


def test_no_more_stations_than_is_decent(ask, server: StationServer) -> None:  # type: ignore[no-untyped-def]
    poor = [station(f"ST{number:02}", number, without(days(number), 0.3), inventory=False) for number in range(1, 20)]
    with pytest.raises(RainUnavailable, match="No more than 12 stations were asked"):
        ask(*poor)
    assert len({path.rpartition("/")[2] for path in server.requests if path.startswith("/daily/")}) == 12


def test_one_line_of_log_for_each_station(ask, caplog: pytest.LogCaptureFixture, capsys) -> None:  # type: ignore[no-untyped-def]
    old = days(1, "2004-01-01", "2007-12-31")
    with caplog.at_level(logging.INFO, "budget.record"):
        ask(station("OLD1", 1, old), station("NEAR", 2, days(1)), station("NEXT", 3, days(2)))
    lines = [record.getMessage() for record in caplog.records if record.name == choosing.__name__]
    assert len(lines) == 3
    assert lines[0].startswith("Station OLD1 (OLD1), 1.0 km (0.6 mi), 100 m above the sea: not taken: rain from 2004")
    assert lines[1].endswith("taken for rain, temperatures") and lines[2].endswith("taken for gaps")
    assert capsys.readouterr() == ("", "")


def test_portions_follow_each_other() -> None:
    years = [*range(2013, 2003, -1), 2014]
    parts = list(portions(years))
    assert parts[0] == [2013] and [year for part in parts for year in part] == years
    assert all(abs(a - b) == 1 for part in parts for a, b in pairwise(part))
    assert max(map(len, parts)) == choosing.PORTION


# ---------------------------------------------------------------- what is said


def test_spans() -> None:
    assert spans([2007, 1996, 2003, 2005, 2004]) == "1996, 2003 to 2005, 2007"
    assert spans([]) == ""


def test_yearly_differences_in_plain_python() -> None:
    """Two gauges: totals over the days that both know, year by year, against their ratio over all years."""
    here, there = days(1)["rain"], days(2)["rain"] * 1.4
    there.iloc[100:105] = np.nan
    here[here.index.year == 2008] = np.nan
    totals: dict[int, list[float]] = {}
    for day, rain in here.items():
        other = there[day]
        if rain == rain and other == other and day.year < 2014:
            entry = totals.setdefault(day.year, [0.0, 0.0])
            entry[0] += rain
            entry[1] += other
    usual = sum(a for a, _ in totals.values()) / sum(b for _, b in totals.values())
    expected = [abs(a / b / usual - 1) for a, b in totals.values()]
    found = yearly_differences(here, there)
    assert len(found) == 9
    np.testing.assert_allclose(found, expected)
    assert median(found) > 0.01
