"""Which stations serve a place: asked through the unmodified library, against a server on loopback.

The stations are invented and stand on a line to the north of the place, the first 1 km away, the second 2 km and so on.
"""

from __future__ import annotations

import logging
import os
from collections import Counter
from collections.abc import Callable, Iterator
from datetime import date, datetime
from datetime import time as clock
from math import pi
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from budget.errors import InputFaults, RainUnavailable
from budget.record import choosing, weather_library
from budget.record.choosing import MOST_ASKED, Search, days_of, fetch, portions
from budget.record.fetched import (
    CREDIT,
    Credit,
    Fetched,
    credit_lines,
    describe,
    distance_told,
    site_days,
    spans,
    told_station,
    yearly_differences,
)
from budget.record.station import GAPS, RAIN, TEMPERATURES, Considered, Station, Wanted
from budget.record.trouble import host
from budget.record.weather_service import WeatherService
from tests.station_server import LIST, Fault, ServedStation, StationServer, library_on

NAN = float("nan")
KILOMETRES_A_DEGREE = pi / 180 * 6371
TODAY = date(2026, 5, 20)
ALL = ("rain", "tmax", "tmin")


def wanted(first: int = 2010, last: int | None = 2011, station: str | None = None, within: float = 50.0) -> Wanted:
    return Wanted(44.3, -40.0, station, first, last, within)


def days(first: int = 2010, last: int = 2011, lost: int = 0, figures: tuple[str, ...] = ALL) -> pd.DataFrame:
    """Whole invented years; the first `lost` days are not there."""
    index = pd.date_range(f"{first}-01-01", f"{last}-12-31", name="date")[lost:]
    return pd.DataFrame({"rain": 2.5, "tmax": 15.0, "tmin": 5.0}, index=index)[list(figures)]


def station(number: int, record: pd.DataFrame, km: float | None = None, **given: object) -> ServedStation:
    """A station in the order of its number, of which no inventory is told unless it is asked for."""
    latitude = 44.3 + (number if km is None else km) / KILOMETRES_A_DEGREE
    told = {"inventory": False} | given
    return ServedStation(f"ZZA{number:02}", f"Place {number}", latitude, -40.0, days=record, **told)


@pytest.fixture
def server() -> Iterator[StationServer]:
    """Without stations at first; slow answers never come."""
    with StationServer(slow=30) as running:
        yield running


@pytest.fixture
def ask(server: StationServer, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[..., Fetched]]:
    """Search among these stations, without waiting."""
    monkeypatch.setattr(weather_library, "FILE_TIMEOUT", 0.7)

    def search(
        *stations: ServedStation, want: Wanted | None = None, today: date = TODAY, fresh: bool = False
    ) -> Fetched:
        if stations:
            server.serve(stations)
            (tmp_path / "cache" / "stations.db").unlink(missing_ok=True)
        service = WeatherService(tmp_path / "cache", fresh=fresh, pause=0, retries=0)
        return fetch(want or wanted(), service, today)

    with library_on(server, tmp_path / "library"):
        yield search


def ids(stations: list[Station]) -> list[str]:
    return [entry.id for entry in stations]


def taken(fetched: Fetched) -> dict[str, list[str]]:
    """The stations by what they serve for."""
    return {use: ids(fetched.serving(use)) for use in (RAIN, TEMPERATURES, GAPS)}


def asked(server: StationServer, number: int) -> list[int]:
    """The years of which a station was asked, in order."""
    return [int(path.split("/")[2]) for path in server.requests if path.endswith(f"/ZZA{number:02}.csv.gz")]


def why(fetched: Fetched) -> dict[str, str]:
    return {entry.station.id: entry.why for entry in fetched.considered}


# ---- one after the other ----


def test_the_nearest_that_has_enough_is_taken_and_the_next_two_fill_gaps(
    ask: Callable[..., Fetched], server: StationServer
) -> None:
    fetched = ask(*(station(number, days() + number / 10) for number in (4, 2, 1, 3)))
    assert taken(fetched) == {RAIN: ["ZZA01"], TEMPERATURES: ["ZZA01"], GAPS: ["ZZA02", "ZZA03"]}
    assert ids([entry.station for entry in fetched.considered]) == ["ZZA01", "ZZA02", "ZZA03"]
    assert [entry.station.distance for entry in fetched.considered] == pytest.approx([1, 2, 3], abs=0.001)
    assert list(fetched.days) == ["ZZA01", "ZZA02", "ZZA03"]
    for number in (1, 2, 3):
        there = (days() + number / 10).round(1)
        pd.testing.assert_frame_equal(fetched.days[f"ZZA{number:02}"], there, check_freq=False)
        assert asked(server, number) == [2011, 2010]
    assert asked(server, 4) == []
    assert (fetched.first_year, fetched.last_year, fetched.until) == (2010, 2011, date(2011, 12, 31))
    assert (fetched.retrieved, fetched.wanted, fetched.fetched_with) == (
        TODAY,
        wanted(),
        weather_library.library_version(),
    )
    assert (fetched.remarks, fetched.troubled) == ([], False)
    assert fetched.credits == [Credit("ghcnd", 3 * 3 * 730, "CC0 1.0 Universal", "")]
    first = fetched.considered[0]
    assert (first.rain, first.temperatures, first.why) == (1.0, 1.0, "")
    assert (first.first, first.last) == (date(2010, 1, 1), date(2011, 12, 31))


@pytest.mark.parametrize(
    ("first", "last", "lost", "passes"),
    [
        (2010, 2011, 73, True),  # 657 of 730 days: 90 %
        (2010, 2011, 74, False),  # 89.9 %
        (2011, 2012, 73, True),  # 658 of 731
        (2011, 2012, 74, False),  # 657, which is enough only of 730
    ],
)
def test_ninety_percent_of_the_days_are_enough(
    first: int, last: int, lost: int, passes: bool, ask: Callable[..., Fetched]
) -> None:
    """The next, which has all days, is taken else."""
    fetched = ask(station(1, days(first, last, lost)), station(2, days(first, last)), want=wanted(first, last))
    share = 1 - lost / days_of(range(first, last + 1))
    assert fetched.considered[0].rain == pytest.approx(share)
    if passes:
        assert taken(fetched) == {RAIN: ["ZZA01"], TEMPERATURES: ["ZZA01"], GAPS: ["ZZA02"]}
        assert why(fetched) == {"ZZA01": "", "ZZA02": ""}
    else:
        assert taken(fetched) == {RAIN: ["ZZA02"], TEMPERATURES: ["ZZA02"], GAPS: ["ZZA01"]}
        assert why(fetched) == {"ZZA01": "rain on 89.9 % of the days", "ZZA02": ""}


def test_days_without_rain_do_not_count_though_they_are_there(ask: Callable[..., Fetched]) -> None:
    blank = days()
    blank.loc["2010-02-01":"2010-05-31", "rain"] = NAN
    fetched = ask(station(1, blank), station(2, days()))
    assert taken(fetched) == {RAIN: ["ZZA02"], TEMPERATURES: ["ZZA02"], GAPS: ["ZZA01"]}
    assert (fetched.considered[0].rain, fetched.considered[0].temperatures) == (1 - 120 / 730, 1.0)
    assert fetched.days["ZZA01"]["rain"].isna().sum() == 120


@pytest.mark.parametrize(("lost", "fills"), [(365, True), (366, False)])
def test_half_the_days_are_enough_to_fill_gaps(lost: int, fills: bool, ask: Callable[..., Fetched]) -> None:
    fetched = ask(station(1, days()), station(2, days(lost=lost)), station(3, days()))
    assert taken(fetched)[GAPS] == (["ZZA02", "ZZA03"] if fills else ["ZZA03"])
    assert why(fetched)["ZZA02"] == ("" if fills else "rain on 49.9 % of the days")


def test_a_station_without_rain_for_years_is_asked_for_few_files(
    ask: Callable[..., Fetched], server: StationServer, tmp_path: Path
) -> None:
    """Of thirty years the last alone, then five at once: with six years lost it cannot have 90 % any more."""
    server.serve([station(1, days(1990, 1991)), station(2, days(2019, 2019))])
    search = Search(wanted(), WeatherService(tmp_path / "few", pause=0), range(1990, 2020), date(2019, 12, 31))
    stations = search.service.stations.nearby(search.wanted)
    assert search.first_that_passes(stations, RAIN) is None
    assert asked(server, 1) == [2019, 2014, 2015, 2016, 2017, 2018]
    assert asked(server, 2) == [2019, 2014, 2015, 2016, 2017, 2018]
    assert search.why == {
        "ZZA01": {RAIN: "no rain in 2014 to 2019"},
        "ZZA02": {RAIN: "rain on 16.7 % of the days of 2014 to 2019, so it cannot pass"},
    }
    server.requests.clear()
    assert search.first_that_passes(stations, RAIN) is None
    assert search.fillers(stations) == []
    # None twice; with 16 or 17 of 30 years lost less than half can come.
    assert asked(server, 1) == asked(server, 2) == [2013, *range(2008, 2013), *range(2003, 2008)]


def test_a_year_that_is_lost_of_ten(ask: Callable[..., Fetched], server: StationServer) -> None:
    """365 of 3652 days leave just 90 %, so that the others are asked for; 366 of 3653 do not."""
    fetched = ask(station(1, days(2002, 2010)), want=wanted(2002, 2011))
    assert taken(fetched)[RAIN] == ["ZZA01"] and len(asked(server, 1)) == 10
    server.requests.clear()
    with pytest.raises(RainUnavailable):
        ask(station(2, days(2003, 2011)), want=wanted(2003, 2012))
    assert asked(server, 2) == [2012]


def test_an_inventory_rules_out_without_asking(ask: Callable[..., Fetched], server: StationServer) -> None:
    ended, begun = days(1990, 1999), days(2011, 2011, lost=200)
    warm = days(figures=("tmax", "tmin"))
    fetched = ask(
        station(1, ended, inventory=True),
        station(2, begun, inventory=True),
        station(3, warm, inventory=True),
        station(4, days(), inventory=True),
        station(5, days(lost=400), inventory=True),
        station(6, days(lost=73), inventory=True),
    )
    assert taken(fetched) == {RAIN: ["ZZA04"], TEMPERATURES: ["ZZA04"], GAPS: ["ZZA06"]}
    assert [asked(server, number) for number in (1, 2, 3, 5)] == [[], [], [], []]
    assert why(fetched) == {
        "ZZA01": "rain from 1990-01-01 to 1999-12-31 only, by its inventory",
        "ZZA02": "rain from 2011-07-20 to 2011-12-31 only, by its inventory",
        "ZZA03": "no rain in its inventory",
        "ZZA04": "",
        "ZZA05": "rain from 2011-02-05 to 2011-12-31 only, by its inventory",
        "ZZA06": "",
    }
    entry = fetched.considered[0]
    assert (entry.rain, entry.first, entry.last) == (None, date(1990, 1, 1), date(1999, 12, 31))


def test_without_an_inventory_a_station_is_asked(ask: Callable[..., Fetched], server: StationServer) -> None:
    fetched = ask(station(1, days(1990, 1999), inventory=False), station(2, days(), inventory=True))
    assert asked(server, 1) == [2011, 2010]
    assert why(fetched)["ZZA01"] == "no rain in 2011"
    assert taken(fetched)[RAIN] == ["ZZA02"]


@pytest.mark.parametrize(("lost", "ruled_out"), [(73, False), (74, True)])
def test_an_inventory_that_just_suffices(
    lost: int, ruled_out: bool, ask: Callable[..., Fetched], server: StationServer
) -> None:
    fetched = ask(station(1, days(lost=lost), inventory=True), station(2, days()))
    assert taken(fetched)[RAIN] == (["ZZA02"] if ruled_out else ["ZZA01"])
    assert server.requests[1] == f"/daily/2011/ZZA0{2 if ruled_out else 1}.csv.gz"


def test_no_file_is_asked_for_twice_and_the_next_time_none(ask: Callable[..., Fetched], server: StationServer) -> None:
    """Though stations are looked at for rain, for temperatures and for gaps."""
    stations = [
        station(1, days(lost=200)),
        station(2, days(figures=("rain",))),
        station(3, days(lost=100)),
        station(4, days()),
    ]
    cold = ask(*stations)
    assert taken(cold) == {RAIN: ["ZZA02"], TEMPERATURES: ["ZZA04"], GAPS: ["ZZA01", "ZZA03"]}
    assert set(Counter(server.requests).values()) == {1} and len(server.requests) == 1 + 8
    server.requests.clear()
    warm = ask()
    assert server.requests == []
    assert taken(warm) == taken(cold) and warm.considered == cold.considered and warm.credits == cold.credits
    for key in cold.days:
        pd.testing.assert_frame_equal(cold.days[key], warm.days[key])


def test_no_more_than_twelve_stations_are_asked(ask: Callable[..., Fetched], server: StationServer) -> None:
    with pytest.raises(RainUnavailable) as refused:
        ask(*(station(number, days(1990, 1990)) for number in range(1, 16)))
    assert [number for number in range(1, 16) if asked(server, number)] == list(range(1, MOST_ASKED + 1))
    assert refused.value.tried[-1] == "No more than 12 stations were asked."
    assert len(refused.value.tried) == 1 + MOST_ASKED + 1


def test_what_was_asked_before_counts_where_no_more_may_be_asked(
    ask: Callable[..., Fetched], server: StationServer, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Temperatures and gaps from a station that was asked for rain, though a nearer one may not be asked any more."""
    monkeypatch.setattr(choosing, "MOST_ASKED", 2)
    warm, cold = days(figures=("tmax", "tmin")), days()
    cold.loc["2010-01-01":"2010-06-30", "rain"] = NAN
    fetched = ask(station(1, warm, inventory=True), station(2, cold), station(3, days(figures=("rain",))))
    assert taken(fetched) == {RAIN: ["ZZA03"], TEMPERATURES: ["ZZA02"], GAPS: ["ZZA02"]}
    assert asked(server, 1) == []
    assert fetched.remarks == ["No more than 2 stations were asked."]


# ---- the station that is named ----


def test_a_station_that_is_named_is_taken_however_far_it_lies(
    ask: Callable[..., Fetched], server: StationServer
) -> None:
    fetched = ask(station(1, days()), station(9, days(), km=300), want=wanted(station="ZZA09"))
    assert taken(fetched) == {RAIN: ["ZZA09"], TEMPERATURES: ["ZZA09"], GAPS: ["ZZA01"]}
    assert ids([entry.station for entry in fetched.considered]) == ["ZZA09", "ZZA01"]
    assert fetched.rain_station.distance == pytest.approx(300, abs=0.001)
    assert server.requests[:3] == [LIST, "/daily/2011/ZZA09.csv.gz", "/daily/2010/ZZA09.csv.gz"]


def test_a_station_that_is_named_in_another_case(ask: Callable[..., Fetched], server: StationServer) -> None:
    fetched = ask(station(1, days()), station(2, days(), inventory=True), want=wanted(station="zza02"))
    assert taken(fetched) == {RAIN: ["ZZA02"], TEMPERATURES: ["ZZA02"], GAPS: ["ZZA01"]}
    assert Counter(server.requests).most_common(1)[0][1] == 1


def test_a_station_that_is_named_alone_in_the_world(ask: Callable[..., Fetched]) -> None:
    fetched = ask(station(9, days(), km=300), want=wanted(station="ZZA09"))
    assert taken(fetched) == {RAIN: ["ZZA09"], TEMPERATURES: ["ZZA09"], GAPS: []}


def test_a_station_that_is_named_may_lack_half_its_years(ask: Callable[..., Fetched]) -> None:
    """What is not there is told; temperatures come from the next, and gaps are filled as else."""
    fetched = ask(station(1, days()), station(2, days(2011, 2011)), station(3, days()), want=wanted(station="ZZA02"))
    assert taken(fetched) == {RAIN: ["ZZA02"], TEMPERATURES: ["ZZA01"], GAPS: ["ZZA01", "ZZA03"]}
    assert fetched.considered[0].rain == 0.5
    assert why(fetched)["ZZA02"] == "named in the site file"
    assert fetched.remarks == ["Place 2 (ZZA02) lacks 2010: not found."]
    assert not fetched.troubled


def test_a_station_that_is_named_and_of_which_half_is_broken(
    ask: Callable[..., Fetched], server: StationServer
) -> None:
    server.faults["/daily/2010/ZZA02.csv.gz"] = Fault.SERVER_ERROR
    with pytest.raises(RainUnavailable) as refused:
        ask(station(1, days()), station(2, days()), want=wanted(station="ZZA02"))
    assert refused.value.tried == [
        "The station that is named does not serve. Place 2 (ZZA02): 1 year could not be read (2010: the server answers"
        " with status 500)."
    ]
    assert refused.value.to_do[0].startswith("try again later; leave rain.station away, or name another; or bring")


def test_a_station_that_is_named_and_of_which_little_is_broken(
    ask: Callable[..., Fetched], server: StationServer
) -> None:
    server.faults["/daily/2004/ZZA02.csv.gz"] = Fault.SERVER_ERROR
    fetched = ask(station(1, days()), station(2, days(2001, 2012)), want=wanted(2001, 2012, station="ZZA02"))
    assert taken(fetched) == {RAIN: ["ZZA02"], TEMPERATURES: ["ZZA02"], GAPS: []}
    assert fetched.remarks == ["Place 2 (ZZA02) lacks 2004: the server answers with status 500."]
    assert fetched.troubled and why(fetched)["ZZA02"] == ""


def test_a_station_that_is_named_and_has_no_rain(ask: Callable[..., Fetched]) -> None:
    with pytest.raises(RainUnavailable) as refused:
        ask(station(1, days()), station(2, days(figures=("tmax",))), want=wanted(station="ZZA02"))
    assert refused.value.tried == [
        "The station that is named does not serve. Place 2 (ZZA02): no rain in 2010 to 2011."
    ]
    assert refused.value.to_do[0].startswith("leave rain.station away")


def test_temperatures_of_a_station_that_is_named_serve_where_nobody_has_more(
    ask: Callable[..., Fetched], server: StationServer
) -> None:
    """As its rain does; unless something of it is broken."""
    few = days()
    few.loc["2010-01-01":"2010-06-30", "tmin"] = NAN
    served = [station(1, days(figures=("rain",))), station(2, few)]
    fetched = ask(*served, want=wanted(station="ZZA02"))
    assert taken(fetched) == {RAIN: ["ZZA02"], TEMPERATURES: ["ZZA02"], GAPS: ["ZZA01"]}
    assert fetched.considered[0].temperatures == 1 - 181 / 730
    fetched = ask(*served, station(3, days()), want=wanted(station="ZZA02"))
    assert taken(fetched)[TEMPERATURES] == ["ZZA03"]
    with pytest.raises(RainUnavailable, match="has temperatures on 90 % of the days"):
        ask(*served, want=wanted(station="ZZA01"))


def test_a_station_that_is_named_and_not_known(ask: Callable[..., Fetched], server: StationServer) -> None:
    with pytest.raises(InputFaults, match="the service knows no station 'ZZA07'"):
        ask(station(1, days()), want=wanted(station="ZZA07"))
    assert server.requests == [LIST]


# ---- temperatures ----


def test_temperatures_of_the_next_that_has_them(ask: Callable[..., Fetched], server: StationServer) -> None:
    """Both of them, on as many days; a station that has them alone serves for nothing else."""
    fetched = ask(
        station(1, days(figures=("rain",))),
        station(2, days(figures=("rain", "tmax"))),
        station(3, days(lost=100)),
        station(4, days(figures=("tmax", "tmin"))),
    )
    assert taken(fetched) == {RAIN: ["ZZA01"], TEMPERATURES: ["ZZA04"], GAPS: ["ZZA02", "ZZA03"]}
    assert fetched.temperature_station.id == "ZZA04"
    assert [(entry.rain, entry.temperatures) for entry in fetched.considered] == [
        (1.0, 0.0),
        (1.0, 0.0),
        (1 - 100 / 730, 1 - 100 / 730),
        (0.0, 1.0),
    ]


def test_a_station_that_has_one_temperature_on_some_days_and_the_other_on_others(
    ask: Callable[..., Fetched],
) -> None:
    halves = days()
    halves.loc["2010", "tmax"] = NAN
    halves.loc["2011", "tmin"] = NAN
    fetched = ask(station(1, halves), station(2, days()))
    assert taken(fetched) == {RAIN: ["ZZA01"], TEMPERATURES: ["ZZA02"], GAPS: ["ZZA02"]}
    assert fetched.considered[0].temperatures == 0


def test_an_inventory_of_temperatures_counts_where_both_are(ask: Callable[..., Fetched], server: StationServer) -> None:
    one = days()
    one.loc["2010", "tmax"] = NAN
    fetched = ask(station(1, days(figures=("rain",))), station(2, one, inventory=True), station(3, days()))
    assert taken(fetched)[TEMPERATURES] == ["ZZA03"]
    assert asked(server, 2) == [2011, 2010]  # for gaps, later
    assert server.requests.index("/daily/2011/ZZA02.csv.gz") > server.requests.index("/daily/2010/ZZA03.csv.gz")


def test_few_temperatures_do_not_serve_where_no_station_is_named(ask: Callable[..., Fetched]) -> None:
    few = days()
    few.loc["2010-01-01":"2010-04-30", "tmax"] = NAN
    with pytest.raises(RainUnavailable) as refused:
        ask(station(1, few))
    assert refused.value.tried[1].endswith("not taken: temperatures on 83.6 % of the days")


def test_nobody_has_temperatures(ask: Callable[..., Fetched], server: StationServer) -> None:
    """Every station that was looked at is told, with what it has and why it was not taken for temperatures."""
    with pytest.raises(RainUnavailable) as refused:
        ask(
            station(1, days(2000, 2001), inventory=True),
            station(2, days(figures=("rain",))),
            station(3, days(figures=("rain", "tmax")), inventory=True),
            station(4, days(lost=500)),
        )
    assert refused.value.tried == [
        "No station within 50.0 km (31.1 mi) has temperatures on 90 % of the days of 2010 to 2011.",
        "Place 1 (ZZA01), 1.0 km (0.6 mi), 100 m above the sea: not taken: temperatures from 2000-01-01 to 2001-12-31"
        " only, by its inventory",
        "Place 2 (ZZA02), 2.0 km (1.2 mi), 100 m above the sea, rain on 100 % and temperatures on 0 % of the days of"
        " 2010 to 2011: not taken: no temperatures in 2010 to 2011",
        "Place 3 (ZZA03), 3.0 km (1.9 mi), 100 m above the sea: not taken: no temperatures in its inventory",
        "Place 4 (ZZA04), 4.0 km (2.5 mi), 100 m above the sea: not taken: temperatures on 63 % of the days of 2011,"
        " so it cannot pass",
    ]
    assert "rain.station" not in refused.value.to_do[0] and "rain.within" in refused.value.to_do[0]


# ---- none serves ----


def test_none_within_reach(ask: Callable[..., Fetched], server: StationServer) -> None:
    with pytest.raises(RainUnavailable) as refused:
        ask(station(1, days(), km=51))
    assert refused.value.tried == [
        "No weather station of the list lies within 50.0 km (31.1 mi) of 44.3, -40. The nearest is Place 1 (ZZA01),"
        " 51.0 km (31.7 mi) away."
    ]
    assert "rain.within" in refused.value.to_do[0]
    assert server.requests == [LIST]
    assert taken(ask(want=wanted(within=52.0)))[RAIN] == ["ZZA01"]


def test_none_passes_and_all_are_told(ask: Callable[..., Fetched], server: StationServer) -> None:
    server.faults["/daily/*/ZZA03.csv.gz"] = Fault.TRUNCATED
    with pytest.raises(RainUnavailable) as refused:
        ask(
            station(1, days(1990, 1991), inventory=True),
            station(2, days(lost=500), elevation=None),
            station(3, days()),
            station(4, days(lost=100)),
            station(5, days(1990, 1991)),
        )
    assert refused.value.tried == [
        "No station within 50.0 km (31.1 mi) has rain on 90 % of the days of 2010 to 2011.",
        "Place 1 (ZZA01), 1.0 km (0.6 mi), 100 m above the sea: not taken: rain from 1990-01-01 to 1991-12-31 only, by"
        " its inventory",
        "Place 2 (ZZA02), 2.0 km (1.2 mi): not taken: rain on 63 % of the days of 2011, so it cannot pass",
        "Place 3 (ZZA03), 3.0 km (1.9 mi), 100 m above the sea: not taken: 1 year could not be read (2011: its file is"
        " cut short)",
        "Place 4 (ZZA04), 4.0 km (2.5 mi), 100 m above the sea, rain on 86.3 % and temperatures on 86.3 % of the days"
        " of 2010 to 2011: not taken: rain on 86.3 % of the days",
        "Place 5 (ZZA05), 5.0 km (3.1 mi), 100 m above the sea: not taken: no rain in 2011",
    ]
    assert len(refused.value.to_do) == 1
    for part in ("log in to the network", "rain.within", "rain.from_year", "rain.station", 'rain.source = "files"'):
        assert part in refused.value.to_do[0]
    fetched = ask(want=wanted(station="ZZA04"))  # as was proposed
    assert taken(fetched) == {RAIN: ["ZZA04"], TEMPERATURES: ["ZZA04"], GAPS: []}


def test_that_the_list_is_old_is_told_where_none_passes(
    ask: Callable[..., Fetched], server: StationServer, tmp_path: Path
) -> None:
    """A newer one may know a station that does."""
    with pytest.raises(RainUnavailable):
        ask(station(1, days(1990, 1990)))
    made = date(2020, 2, 3)
    moment = datetime.combine(made, clock(12)).timestamp()
    os.utime(tmp_path / "cache" / "stations.db", (moment, moment))
    server.faults[LIST] = Fault.SERVER_ERROR
    with pytest.raises(RainUnavailable) as refused:
        ask()
    assert refused.value.tried[-1] == (
        f"No newer list of stations can be had ({host(server.url)} answers with status 500); that of {made} served."
    )


def test_no_year_counts(ask: Callable[..., Fetched], server: StationServer) -> None:
    with pytest.raises(InputFaults, match=r"rain\.from_year: 2026"):
        ask(station(1, days()), want=wanted(2026, None))
    assert server.requests == []


# ---- troubles ----


def test_two_stations_of_which_nothing_can_be_read(ask: Callable[..., Fetched], server: StationServer) -> None:
    """Then it is the service that fails, and nobody else is asked."""
    server.faults["/daily/*"] = Fault.HTML
    with pytest.raises(RainUnavailable) as refused:
        ask(*(station(number, days()) for number in range(1, 6)))
    assert refused.value.tried == [
        "The weather service does not answer as it should: something else came than its file; a log-in page of the"
        " network, perhaps.",
        "Asked for: Place 1 (ZZA01), Place 2 (ZZA02).",
    ]
    assert refused.value.to_do[0].startswith("log in to the network")
    assert [asked(server, number) for number in (1, 2, 3)] == [[2011, 2011], [2011, 2011], []]


def test_one_station_of_which_nothing_can_be_read(ask: Callable[..., Fetched], server: StationServer) -> None:
    """The next is asked; one that answers between two that do not shows that the service answers."""
    server.faults |= {"/daily/*/ZZA01.csv.gz": Fault.SERVER_ERROR, "/daily/*/ZZA03.csv.gz": Fault.SERVER_ERROR}
    fetched = ask(station(1, days()), station(2, days(lost=100)), station(3, days()), station(4, days()))
    assert taken(fetched) == {RAIN: ["ZZA04"], TEMPERATURES: ["ZZA04"], GAPS: ["ZZA02"]}
    reason = "1 year could not be read (2011: the server answers with status 500)"
    assert why(fetched)["ZZA01"] == reason
    # Those that serve came whole; yet these are nearer, and might pass another time.
    assert fetched.remarks == [f"Place {number} (ZZA0{number}) was not taken for rain: {reason}." for number in (1, 3)]
    assert fetched.troubled


def test_what_cannot_be_read_of_a_station_that_would_not_pass_anyhow(
    ask: Callable[..., Fetched], server: StationServer
) -> None:
    server.faults["/daily/2011/ZZA01.csv.gz"] = Fault.SERVER_ERROR
    served = station(1, days(2004, 2011)), station(2, days(2000, 2011))
    fetched = ask(*served, want=wanted(2000, 2011))
    assert taken(fetched) == {RAIN: ["ZZA02"], TEMPERATURES: ["ZZA02"], GAPS: ["ZZA01"]}
    assert why(fetched)["ZZA01"].startswith("1 year could not be read")
    assert (fetched.remarks, fetched.troubled) == ([], False)
    assert len(asked(server, 1)) == 12 + 1


def test_stations_that_are_not_there_are_no_failure_of_the_service(ask: Callable[..., Fetched]) -> None:
    fetched = ask(*(station(number, days(1990, 1990)) for number in range(1, 5)), station(5, days()))
    assert taken(fetched)[RAIN] == ["ZZA05"]


def test_the_network_goes_away_at_the_first_file(ask: Callable[..., Fetched], server: StationServer) -> None:
    server.faults["/daily/*"] = Fault.SLOW
    with pytest.raises(RainUnavailable) as refused:
        ask(station(1, days()), station(2, days()))
    assert refused.value.tried == [
        f"The days of Place 1 (ZZA01) in 2011 could not be had: no answer from {host(server.url)} in time."
    ]
    assert refused.value.to_do[0].startswith("see that the network is there, and try again; or bring a record")
    assert (asked(server, 1), asked(server, 2)) == ([2011, 2011], [])


@pytest.mark.parametrize("fresh", [False, True])
def test_the_network_goes_away_in_the_middle_of_the_station(
    fresh: bool, ask: Callable[..., Fetched], server: StationServer
) -> None:
    """What came is not asked for again the next time, except with --fresh."""
    server.faults["/daily/2009/ZZA02.csv.gz"] = Fault.SLOW
    served = [station(1, days(1990, 1990)), station(2, days(2008, 2011))]
    with pytest.raises(RainUnavailable) as refused:
        ask(*served, want=wanted(2008, 2011), fresh=fresh)
    before = ["3 files of days came before that; the cache has them for the next try."]
    assert refused.value.tried == [
        f"The days of Place 2 (ZZA02) in 2009 could not be had: no answer from {host(server.url)} in time.",
        *([] if fresh else before),
    ]
    server.faults.clear()
    server.requests.clear()
    assert taken(ask(want=wanted(2008, 2011)))[RAIN] == ["ZZA02"]
    assert asked(server, 2) == [2009]


def test_the_network_goes_away_while_gaps_are_to_be_filled(ask: Callable[..., Fetched], server: StationServer) -> None:
    """What is needed is there; that more might come is told."""
    server.faults["/daily/*/ZZA03.csv.gz"] = Fault.SLOW
    fetched = ask(*(station(number, days()) for number in range(1, 6)))
    assert taken(fetched) == {RAIN: ["ZZA01"], TEMPERATURES: ["ZZA01"], GAPS: ["ZZA02"]}
    assert fetched.remarks == [
        "No more stations could be asked for what fills gaps. The days of Place 3 (ZZA03) in 2011 could not be had:"
        f" no answer from {host(server.url)} in time."
    ]
    assert fetched.troubled
    assert (list(fetched.days), asked(server, 4)) == (["ZZA01", "ZZA02"], [])


def test_the_service_fails_while_gaps_are_to_be_filled(ask: Callable[..., Fetched], server: StationServer) -> None:
    server.faults |= {f"/daily/*/ZZA0{number}.csv.gz": Fault.SERVER_ERROR for number in (2, 3)}
    fetched = ask(*(station(number, days()) for number in range(1, 6)))
    assert taken(fetched)[GAPS] == [] and asked(server, 4) == []
    assert fetched.remarks == [
        "No more stations could be asked for what fills gaps. The weather service does not answer as it should: the"
        " server answers with status 500."
    ]
    assert fetched.troubled


def test_years_that_did_not_come_are_told_with_their_reasons(
    ask: Callable[..., Fetched], server: StationServer
) -> None:
    """Of the stations for rain and temperatures; those that fill gaps may lack what they will."""
    record = days(1997, 2011)
    server.faults |= {
        "/daily/2001/ZZA01.csv.gz": Fault.SERVER_ERROR,
        "/daily/2004/ZZA02.csv.gz": Fault.TRUNCATED,
        "/daily/2005/ZZA03.csv.gz": Fault.SERVER_ERROR,
    }
    fetched = ask(station(1, record[["rain"]]), station(2, record), station(3, record), want=wanted(1997, 2011))
    assert taken(fetched) == {RAIN: ["ZZA01"], TEMPERATURES: ["ZZA02"], GAPS: ["ZZA02", "ZZA03"]}
    assert fetched.remarks == [
        "Place 1 (ZZA01) lacks 2001: the server answers with status 500.",
        "Place 2 (ZZA02) lacks 2004: its file is cut short.",
    ]
    assert fetched.troubled and fetched.considered[0].rain == pytest.approx(14 / 15, abs=0.001)


def test_years_that_are_not_there_are_told_and_no_trouble(ask: Callable[..., Fetched]) -> None:
    record = days(1990, 2011)
    record = record[~record.index.year.isin([1995, 2003])]
    fetched = ask(station(1, record), want=wanted(1990, 2011))
    assert fetched.remarks == ["Place 1 (ZZA01) lacks 1995, 2003: not found."]
    assert not fetched.troubled


def test_the_year_that_has_begun_is_asked_for_last_and_need_not_be_there(
    ask: Callable[..., Fetched], server: StationServer
) -> None:
    today = date(2012, 2, 10)
    fetched = ask(station(1, days(2010, 2011)), want=wanted(2010, None), today=today)
    assert asked(server, 1) == [2011, 2010, 2012]
    assert (fetched.remarks, fetched.troubled, fetched.until) == ([], False, today)
    server.faults["/daily/2012/*"] = Fault.SERVER_ERROR
    fetched = ask(want=wanted(2010, None), today=today)
    assert fetched.remarks == ["Place 1 (ZZA01) lacks 2012: the server answers with status 500."]
    assert fetched.troubled
    server.faults.clear()
    fetched = ask(station(1, days(2010, 2012)), want=wanted(2010, None), today=today)
    assert fetched.days["ZZA01"].index.max() == pd.Timestamp(today)
    assert (fetched.last_year, fetched.considered[0].rain) == (2011, 1.0)


def test_forecasts_left_out_are_counted(ask: Callable[..., Fetched]) -> None:
    sources = pd.DataFrame("ghcnd", index=days().index, columns=list(ALL))
    sources.loc["2010-06-01":"2010-06-03", "rain"] = "ghcnd dwd_mosmix"
    fetched = ask(station(1, days(), sources=sources), station(2, days(), sources="dwd_daily"))
    assert fetched.remarks == ["3 values of forecasts or models, mixed in by the service, left out."]
    assert fetched.days["ZZA01"]["rain"].isna().sum() == 3
    assert [(credit.source, credit.values) for credit in fetched.credits] == [
        ("dwd_daily", 3 * 730),
        ("ghcnd", 3 * 730 - 3),
    ]


# ---- what is told ----


def test_the_log_has_a_line_for_each_station_that_was_looked_at(
    ask: Callable[..., Fetched], caplog: pytest.LogCaptureFixture, capfd: pytest.CaptureFixture[str]
) -> None:
    """Whatever for; and no progress is shown where there is no terminal."""
    caplog.set_level(logging.INFO)
    fetched = ask(
        station(1, days(2000, 2001), inventory=True),
        station(2, days(figures=("rain",))),
        station(3, days(figures=("rain", "tmax")), inventory=True),
        station(4, days(1990, 1990)),
        station(5, days(lost=300)),
        station(6, days()),
        station(7, days()),
    )
    assert taken(fetched) == {RAIN: ["ZZA02"], TEMPERATURES: ["ZZA06"], GAPS: ["ZZA03", "ZZA05"]}
    shares = "rain on {} and temperatures on {} of the days of 2010 to 2011"
    above = "100 m above the sea"
    assert [record.getMessage() for record in caplog.records if record.levelno >= logging.INFO] == [
        f"Place 1 (ZZA01), 1.0 km (0.6 mi), {above}: not taken: rain from 2000-01-01 to 2001-12-31 only, by its"
        " inventory",
        f"Place 2 (ZZA02), 2.0 km (1.2 mi), {above}, {shares.format('100 %', '0 %')}: taken for rain",
        f"Place 3 (ZZA03), 3.0 km (1.9 mi), {above}, {shares.format('100 %', '0 %')}: taken for gaps",
        f"Place 4 (ZZA04), 4.0 km (2.5 mi), {above}, {shares.format('0 %', '0 %')}: not taken: no temperatures in 2011",
        f"Place 5 (ZZA05), 5.0 km (3.1 mi), {above}, {shares.format('58.9 %', '58.9 %')}: taken for gaps",
        f"Place 6 (ZZA06), 6.0 km (3.7 mi), {above}, {shares.format('100 %', '100 %')}: taken for temperatures",
    ]
    assert {record.name for record in caplog.records if record.levelno >= logging.INFO} == {choosing.__name__}
    assert capfd.readouterr() == ("", "")


def test_portions_of_years() -> None:
    """The first alone; then at most five that follow each other; the year that has begun by itself."""
    assert list(portions([*range(2011, 1999, -1), 2012])) == [
        [2011],
        [2010, 2009, 2008, 2007, 2006],
        [2005, 2004, 2003, 2002, 2001],
        [2000],
        [2012],
    ]
    assert list(portions([2011, 2012])) == [[2011], [2012]]
    assert list(portions([2005, 2003, 2002])) == [[2005], [2003, 2002]]
    assert list(portions([])) == []


def test_days_of_years() -> None:
    assert days_of(range(1899, 1905)) == 365 * 6 + 1  # 1900 was no leap year
    assert days_of([2000, 2004]) == 732
    assert days_of([]) == 0


def test_years_in_words() -> None:
    assert spans([2007, 1996, 2003, 2004, 2005, 2006]) == "1996, 2003 to 2007"
    assert spans({2010: "", 2011: ""}) == "2010 to 2011"
    assert spans([2010]) == "2010" and spans([]) == ""


# ---- what was fetched ----


def gauge(key: str, km: float, height: float | None = 100.0, east: float = 0.0) -> Station:
    return Station(key, f"Place {key}", "XX", 44.3 + km / KILOMETRES_A_DEGREE, -40.0 + east, height, abs(km))


def considered(station: Station, *serves: str, rain: float | None = 1.0, why: str = "") -> Considered:
    return Considered(station, rain, 1.0, None, None, serves, why)


def fetched_of(entries: list[Considered], records: dict[str, pd.DataFrame], **given: object) -> Fetched:
    """A fetch made by hand."""
    made: dict[str, object] = {
        "wanted": wanted(),
        "first_year": 2010,
        "last_year": 2011,
        "until": date(2011, 12, 31),
        "retrieved": TODAY,
        "fetched_with": "meteostat 2.1",
        "considered": entries,
        "days": records,
        "credits": [],
        "remarks": [],
        "troubled": False,
    }
    return Fetched(**(made | given))


def test_days_at_the_site_from_one_station() -> None:
    """The calendar has no holes, what is missing stays missing, and it is 0.65 K warmer 100 m below the station."""
    record = days(lost=31).drop(pd.date_range("2010-03-01", "2010-03-09"))
    record.loc["2010-04-01", "rain"] = NAN
    record.loc["2010-04-02", "tmin"] = NAN
    entry = considered(gauge("A", 3, 300.0), RAIN, TEMPERATURES)
    there = site_days(fetched_of([entry], {"A": record}), 200.0)
    assert there.index.equals(pd.date_range("2010-02-01", "2011-12-31", name="date"))
    assert there.columns.to_list() == ["rain", "tmax", "tmin"]
    assert there["rain"].isna().sum() == 10 and there["tmin"].isna().sum() == 10 and there["tmax"].isna().sum() == 9
    assert there["rain"].dropna().unique() == [2.5]
    assert there["tmax"].dropna().to_numpy() == pytest.approx(15.65)
    assert there["tmin"].dropna().to_numpy() == pytest.approx(5.65)
    assert record["tmax"].unique() == [15.0]  # what was fetched stays as it is


def test_days_at_the_site_from_two_stations() -> None:
    """Rain of the one, temperatures of the other by its own height; days that only one has are there."""
    entries = [considered(gauge("A", 3, 0.0), RAIN), considered(gauge("B", 5, 400.0), TEMPERATURES)]
    rain, warmth = days(2010, 2010), days(lost=181)
    warmth["rain"], rain["tmax"] = 99.0, -99.0
    there = site_days(fetched_of(entries, {"A": rain, "B": warmth}), 600.0)
    assert there.index.equals(pd.date_range("2010-01-01", "2011-12-31", name="date"))
    assert there["rain"].sum() == 365 * 2.5 and there["rain"].isna().sum() == 365
    assert there["tmax"].dropna().to_numpy() == pytest.approx(15 - 1.3) and there["tmax"].isna().sum() == 181


@pytest.mark.parametrize(("height", "site"), [(None, 100.0), (100.0, None)])
def test_no_shift_where_a_height_is_not_known(height: float | None, site: float | None) -> None:
    fetched = fetched_of([considered(gauge("A", 3, height), RAIN, TEMPERATURES)], {"A": days()})
    assert site_days(fetched, site)["tmax"].unique() == [15.0]
    assert "Temperatures are of the same station, as measured there, since a height is not known." in describe(
        fetched, site
    )


def test_what_was_fetched_in_sentences() -> None:
    entries = [
        considered(gauge("A", 3, 140.0), RAIN, rain=0.953),
        considered(gauge("B", -5, 300.0), TEMPERATURES),
        considered(gauge("C", 0, None, east=0.1), GAPS),
        considered(gauge("D", 9, 100.0), GAPS),
        considered(gauge("E", 1), why="no rain"),
    ]
    fetched = fetched_of(entries, {"A": days(), "C": days(), "D": days()}, remarks=["Place A (A) lacks 2010."])
    assert describe(fetched, 100.0) == [
        "Rain was measured by the weather station Place A (A), 3.0 km (1.9 mi) to the north, 40 m (131 ft) higher, on"
        " 95.3 % of the days of 2010 to 2011.",
        "Temperatures are of Place B (B), 5.0 km (3.1 mi) to the south, 200 m (656 ft) higher, brought to the site's"
        " height by +1.3 °C (6.5 K per km).",
        "Gaps are filled from Place C (C), 0.0 km (0.0 mi) to the east, height not known and Place D (D), 9.0 km (5.6"
        " mi) to the north, at the same height.",
        "On clear nights cold air lies in valleys: watch your own first and last frosts beside these.",
        "Rain often grows with height: where the gauge stands much higher or lower than your place, give the rain of a"
        " mean year there (rain.local_annual), or take a station at a like height.",
        "The gauge is close: 3.0 km (1.9 mi). Single storms differ even so.",
        "Place A (A) lacks 2010.",
    ]


def test_heights_and_reach_are_spoken_of() -> None:
    """Heights where both are known and the place's is its own; a gauge farther than was looked for."""
    for height, stated, told in ((310.0, True, True), (310.0, False, False), (None, True, False)):
        fetched = fetched_of([considered(gauge("A", 3, height), RAIN, TEMPERATURES)], {"A": days()})
        assert any("rain.local_annual" in note for note in describe(fetched, 100.0, stated)) is told
    far = fetched_of([considered(gauge("A", 900), RAIN, TEMPERATURES)], {"A": days()})
    assert any("farther than rain.within" in note for note in describe(far, 100.0))
    assert not any("carries over" in note for note in describe(far, 100.0))


def test_fewer_years_are_proposed_where_they_would_do(ask: Callable[..., Fetched]) -> None:
    """By the inventory of the nearest: rain from 1996 on, and thirty years are too many."""
    with pytest.raises(RainUnavailable, match=r"rain\.from_year = 1995 may do, by the inventory of Place 1 \(ZZA01\)"):
        ask(station(1, days(1996, 2011), inventory=True), want=wanted(1982, 2011))


@pytest.mark.parametrize("fault", [Fault.SERVER_ERROR, Fault.TRUNCATED])
def test_a_named_station_that_only_fails_is_not_asked_to_the_end(
    ask: Callable[..., Fetched], server: StationServer, fault: Fault
) -> None:
    server.faults["/daily/*"] = fault
    with pytest.raises(RainUnavailable):
        ask(station(1, days(1990, 2011)), want=wanted(1990, 2011, "ZZA01"))
    assert len(asked(server, 1)) == 2 * 6


def test_a_small_shift_is_none() -> None:
    fetched = fetched_of([considered(gauge("A", 3, 97.0), RAIN, TEMPERATURES)], {"A": days()})
    assert "of the same station, as measured there." in describe(fetched, 100.0)[1]


def plain_differences(here: pd.Series, there: pd.Series) -> list[float]:
    """The same, counted in plain Python: year by year, day by day."""
    totals = {}
    for year in sorted({day.year for day in here.index}):
        both = [
            (here[day], there[day])
            for day in here.index
            if day.year == year and day in there.index and here[day] == here[day] and there[day] == there[day]
        ]
        if len(both) >= 358:  # 98 % of 365 days
            totals[year] = sum(a for a, _ in both), sum(b for _, b in both)
    totals = {year: (a, b) for year, (a, b) in totals.items() if a > 0 and b > 0}
    usual = sum(a for a, _ in totals.values()) / max(sum(b for _, b in totals.values()), 1e-9)
    return [abs(a / b / usual - 1) for a, b in totals.values()]


def two_gauges() -> tuple[pd.Series, pd.Series]:
    """Nine years of two invented gauges: eight days lost in 2003 and in the leap year 2004; 2006 dry at one."""
    index = pd.date_range("2001-01-01", "2009-12-31", name="date")
    chance = np.random.default_rng(11)
    rain = np.where(chance.random(len(index)) < 0.4, chance.gamma(0.8, 9.0, len(index)), 0.0)
    here = pd.Series(rain, index=index)
    there = pd.Series(rain * chance.uniform(0.4, 1.4, len(index)), index=index)
    here["2003-05-01":"2003-05-08"] = NAN
    there["2004-07-01":"2004-07-08"] = NAN
    there["2006"] = 0.0
    return here, there.drop(there["2008-01-01":"2008-06-30"].index)


def test_yearly_differences_against_a_count_in_plain_python() -> None:
    here, there = two_gauges()
    found = yearly_differences(here, there)
    assert found == pytest.approx(plain_differences(here, there))
    assert len(found) == 9 - 3  # without 2003, 2006 and 2008
    assert yearly_differences(here, here * 1.7) == pytest.approx([0] * 8, abs=1e-12)
    assert yearly_differences(here, there * 0) == []
    assert yearly_differences(here["2001"], there["2002"]) == []


def test_two_years_counted_by_hand() -> None:
    """730 mm and 365 mm here, 365 mm and 365 mm there: the usual ratio is 1.5, and the years had 2 and 1."""
    index = pd.date_range("2009-01-01", "2010-12-31")
    here = pd.Series([2.0] * 365 + [1.0] * 365, index=index)
    assert yearly_differences(here, pd.Series(1.0, index=index)) == pytest.approx([1 / 3, 1 / 3])


def test_what_the_distance_means_is_measured_at_a_gauge_nearby() -> None:
    """Only over five years or more; the first that has as many is told of."""
    here, there = two_gauges()
    entries = [considered(gauge("A", 12), RAIN, TEMPERATURES), considered(gauge("B", 14), GAPS)]
    named = Station("C", "Hill 50%", "XX", 44.3 + 20 / KILOMETRES_A_DEGREE, -40.0, 100.0, 20.0)
    entries += [considered(named, GAPS), considered(gauge("D", 21), GAPS)]
    records = {"A": days(2001, 2009), "B": days(2001, 2009), "C": days(2001, 2009)}
    records["D"] = records["C"].copy()
    records["A"]["rain"], records["C"]["rain"] = here, there
    records["B"]["rain"] = there["2001":"2004"]
    differences = sorted(plain_differences(here, there))
    middle = (differences[2] + differences[3]) / 2
    assert distance_told(fetched_of(entries, records)) == [
        "The gauge stands 12.0 km (7.5 mi) away: its mean year carries over to your place better than its single years"
        " do, and a storm that fills your tank may miss it.",
        f"Measured: 8.0 km (5.0 mi) from it, at Hill 50% (C), single years had {round(100 * middle)} % more or less"
        f" than the usual ratio of the two gauges (6 years; the most {round(100 * differences[-1])} %). Expect the like"
        " over a like distance.",
    ]
    assert len(distance_told(fetched_of(entries[:2], records))) == 1


@pytest.mark.parametrize(("km", "close"), [(5.0, True), (5.1, False)])
def test_a_gauge_within_five_kilometres_is_close(km: float, close: bool) -> None:
    told = distance_told(fetched_of([considered(gauge("A", km), RAIN, TEMPERATURES)], {"A": days()}))
    assert told[0].startswith("The gauge is close") == close and len(told) == 1


def test_whom_to_name() -> None:
    sources = [
        Credit("dwd_daily", 900, "CC BY 4.0", "Deutscher Wetterdienst"),
        Credit("ghcnd", 30, "CC0 1.0 Universal", ""),
        Credit("dwd_poi", 3, "CC BY 4.0", "Deutscher Wetterdienst"),
    ]
    assert credit_lines(fetched_of([], {}, credits=sources))[:2] == [
        f"{CREDIT}; Deutscher Wetterdienst.",
        "Sources of the values: dwd_daily (CC BY 4.0); ghcnd (CC0 1.0 Universal); dwd_poi (CC BY 4.0).",
    ]
    lines = credit_lines(fetched_of([], {}))
    assert lines[1] == "The sources of the values are not known."
    assert lines[2].startswith("Fetched on 2026-05-20 with meteostat 2.1. Changed here:")


def test_a_station_in_a_line() -> None:
    there = gauge("A", 3, None)
    assert told_station(considered(there, GAPS, TEMPERATURES, why="too short"), range(2010, 2012)) == (
        "Place A (A), 3.0 km (1.9 mi), rain on 100 % and temperatures on 100 % of the days of 2010 to 2011: taken for"
        " gaps, temperatures; not for rain: too short"
    )
    assert told_station(considered(there, RAIN, rain=None, why="named"), range(2010, 2012)) == (
        "Place A (A), 3.0 km (1.9 mi): taken for rain"
    )
    assert told_station(considered(there, rain=None), range(2010, 2012)) == "Place A (A), 3.0 km (1.9 mi): not taken"
