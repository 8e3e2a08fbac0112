"""Frost dates: against a count by hand in plain Python, and by cases whose answer is plain."""

import csv
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from budget.record import Asked, FrostDates, frost_dates, read_file
from budget.record.believable import judge

MonthDay = tuple[int, int] | None


def count_by_hand(path: Path, low_column: str, left_out: list[date]) -> tuple[int, MonthDay, MonthDay]:
    """Seasons, fill from and drain by of a northern file in °C, from the rule alone; without the lows of some days."""
    lows: dict[date, float] = {}
    with path.open() as file:
        for row in csv.DictReader(file):
            if row[low_column]:
                year, month, day = row["date"].replace("/", "-").split("-")
                lows[date(int(year), int(month), int(day))] = float(row[low_column])
    first, last = min(lows), max(lows)

    for day in left_out:
        del lows[day]

    seasons, autumn, spring = 0, [], []
    for year in range(first.year - 1, last.year + 1):
        start, end = date(year, 7, 1), date(year + 1, 6, 30)
        if start < first or end > last:
            continue
        season = [start + timedelta(days=step) for step in range((end - start).days + 1)]
        if sum(day in lows for day in season) / len(season) < 0.9:
            continue
        seasons += 1
        freezes = [day for day in season if lows.get(day, 99) <= -2.2]
        if freezes:
            # Sorting key: months from July on, then the day.
            autumn.append(((freezes[0].month - 7) % 12, freezes[0].day))
            spring.append(((freezes[-1].month - 7) % 12, freezes[-1].day))
    k = max(1, (seasons + 1) // 10)
    if len(autumn) < k:
        return seasons, None, None

    def step(key: tuple[int, int], by: int) -> tuple[int, int]:
        day = date(2009, (key[0] + 6) % 12 + 1, key[1]) + timedelta(days=by)  # a common year
        return day.month, day.day

    return seasons, step(sorted(spring)[-k], 1), step(sorted(autumn)[k - 1], -1)


def test_seattle_against_a_count_by_hand(seattle_file: Path) -> None:
    found = frost_dates(judge(read_file(seattle_file, Asked("mm", "C")).rows).days, southern=False)
    seasons, fill_from, drain_by = count_by_hand(seattle_file, "temp_min", [])
    assert fill_from is not None
    assert found == FrostDates(seasons, -2.2, fill_from, drain_by)
    assert seasons == 3


def test_thirty_years_against_a_count_by_hand(long_file: Path) -> None:
    judged = judge(read_file(long_file, Asked("mm", "C")).rows)
    found = frost_dates(judged.days, southern=False)
    left_out = [remark.first for remark in judged.remarks if remark.figure == "tmin" and not remark.kept]
    seasons, fill_from, drain_by = count_by_hand(long_file, "tmin", left_out)
    assert date(2003, 5, 23) in left_out
    assert fill_from is not None
    assert fill_from < (5, 1)
    assert found == FrostDates(seasons, -2.2, fill_from, drain_by)
    assert seasons == 29


def lows_of(first: str, last: str, freezes: list[str]) -> pd.DataFrame:
    """Invented lows that swing from -2 to 10 °C, and freezes on the days given."""
    index = pd.date_range(first, last, freq="D", name="date")
    days = pd.DataFrame({"tmin": np.where(np.arange(len(index)) % 2, 10.0, -2.0)}, index=index)
    for day in freezes:
        days.loc[day, "tmin"] = -4.0
    return days


def test_first_is_autumn_and_last_is_spring_in_the_north() -> None:
    days = lows_of("2000-07-01", "2002-06-30", ["2000-11-20", "2001-03-10", "2001-12-05", "2002-02-01"])
    found = frost_dates(days, southern=False)
    assert (found.seasons, found.fill_from, found.drain_by) == (2, (3, 11), (11, 19))


def test_first_is_autumn_and_last_is_spring_in_the_south() -> None:
    days = lows_of("2000-01-01", "2001-12-31", ["2000-05-20", "2000-09-10", "2001-06-05", "2001-08-01"])
    found = frost_dates(days, southern=True)
    assert (found.seasons, found.fill_from, found.drain_by) == (2, (9, 11), (5, 19))


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_southern_season_is_the_northern_one_half_a_year_on(seed: int) -> None:
    """The same lows by day of the season, in both hemispheres, give dates as many days after its start."""
    chance = np.random.default_rng(seed)
    north = lows_of("2000-07-01", "2012-06-30", [])
    south = lows_of("2000-01-01", "2011-12-31", [])
    wave = 4 + 8 * np.cos(2 * np.pi * np.arange(365) / 365)
    for season in range(12):
        lows = wave + chance.normal(0, 3, 365)
        for days, start in [(north, date(2000 + season, 7, 1)), (south, date(2000 + season, 1, 1))]:
            calendar = [start + timedelta(days=step) for step in range(366)]
            common = [day for day in calendar if (day.month, day.day) != (2, 29)][:365]
            days.loc[pd.DatetimeIndex(common), "tmin"] = lows
            days.loc[[day for day in days.index if (day.month, day.day) == (2, 29)], "tmin"] = 4.0
    northern, southern = frost_dates(north, southern=False), frost_dates(south, southern=True)
    assert northern.seasons == southern.seasons == 12
    for there, here in [(northern.fill_from, southern.fill_from), (northern.drain_by, southern.drain_by)]:
        assert there is not None
        assert here is not None
        place = (date(2001, *there) - date(2000, 7, 1)).days % 365
        assert place == (date(2001, *here) - date(2001, 1, 1)).days


@pytest.mark.parametrize(("seasons", "k"), [(2, 1), (18, 1), (19, 2), (28, 2), (29, 3)])
def test_one_season_in_ten_may_be_worse(seasons: int, k: int) -> None:
    springs = [f"{2001 + season}-03-{1 + season:02d}" for season in range(seasons)]
    autumns = [f"{2000 + season}-11-{1 + season:02d}" for season in range(seasons)]
    found = frost_dates(lows_of("2000-07-01", f"{2000 + seasons}-06-30", springs + autumns), southern=False)
    assert found.seasons == seasons
    latest = date(2001, 3, seasons - (k - 1))  # the k-th latest last freeze
    earliest = date(2000, 11, k)  # the k-th earliest first one
    after, before = latest + timedelta(days=1), earliest - timedelta(days=1)
    assert found.fill_from == (after.month, after.day)
    assert found.drain_by == (before.month, before.day)


@pytest.mark.parametrize(("freezes", "in_service"), [(["2005-01-10"], True), (["2005-01-10", "2009-01-10"], False)])
def test_too_few_cold_seasons_mean_service_all_year(freezes: list[str], in_service: bool) -> None:
    found = frost_dates(lows_of("2000-07-01", "2019-06-30", freezes), southern=False)
    assert found.seasons == 19  # so k is 2
    assert (found.fill_from is None and found.drain_by is None) == in_service
    assert (found.fill_from, found.drain_by) == ((None, None) if in_service else ((1, 11), (1, 9)))


@pytest.mark.parametrize(("low", "cold"), [(-2.2, True), (-2.19, False), ((28 - 32) / 1.8, True)])
def test_the_threshold_itself_is_a_hard_freeze(low: float, cold: bool) -> None:
    days = lows_of("2000-07-01", "2002-06-30", [])
    days.loc["2001-01-10", "tmin"] = low
    assert (frost_dates(days, southern=False).fill_from is not None) == cold


@pytest.mark.parametrize(
    ("freeze", "fill_from", "drain_by"),
    [
        ("2004-02-28", (3, 1), (2, 27)),
        ("2004-02-29", (3, 1), (2, 27)),  # the leap day counts as the 28th
        ("2004-03-01", (3, 2), (2, 28)),
        ("2003-12-31", (1, 1), (12, 30)),
        ("2004-01-01", (1, 2), (12, 31)),
        ("2004-06-30", (7, 1), (6, 29)),  # wraps round the season's end
        ("2003-07-01", (7, 2), (6, 30)),  # and round its beginning
    ],
)
def test_the_turn_of_february_year_and_season(freeze: str, fill_from: MonthDay, drain_by: MonthDay) -> None:
    found = frost_dates(lows_of("2002-07-01", "2004-06-30", [freeze]), southern=False)
    assert (found.fill_from, found.drain_by) == (fill_from, drain_by)


def test_the_southern_season_wraps_at_new_year() -> None:
    days = lows_of("2001-01-01", "2002-12-31", ["2001-01-01", "2001-12-31"])
    found = frost_dates(days, southern=True)
    assert (found.fill_from, found.drain_by, found.frost_free) == (None, None, False)  # no day lies between
    days = lows_of("2001-01-01", "2002-12-31", ["2001-05-20", "2001-09-10"])
    found = frost_dates(days, southern=True)
    assert (found.fill_from, found.drain_by) == ((9, 11), (5, 19))  # over New Year


def test_only_complete_seasons_count() -> None:
    freezes = ["2000-01-10", "2001-01-20", "2002-01-30", "2003-02-10"]
    days = lows_of("1999-07-02", "2003-06-29", freezes)  # a day short at both ends
    assert frost_dates(days, southern=False).seasons == 2
    days.loc["2001-08-01":"2001-09-05", "tmin"] = np.nan  # 36 of 365: still 90 %
    assert frost_dates(days, southern=False).seasons == 2
    days.loc["2001-09-06", "tmin"] = np.nan
    found = frost_dates(days, southern=False)
    assert (found.seasons, found.fill_from) == (1, (1, 21))


def test_no_complete_season() -> None:
    found = frost_dates(lows_of("2000-08-01", "2001-12-31", ["2001-01-10"]), southern=False)
    assert found == FrostDates(0, -2.2, None, None)


def test_a_freak_low_does_not_set_the_dates() -> None:
    days = lows_of("2000-07-01", "2003-06-30", ["2001-01-10", "2002-01-20"])
    clean = frost_dates(days, southern=False)
    assert judge(days).remarks == []
    days.loc["2002-05-23", "tmin"] = -30.0
    assert frost_dates(days, southern=False).fill_from == (5, 24)
    judged = judge(days)
    assert [(remark.first, remark.value, remark.kept) for remark in judged.remarks] == [
        (date(2002, 5, 23), -30.0, False)
    ]
    found = frost_dates(judged.days, southern=False)
    assert (found.fill_from, found.drain_by) == (clean.fill_from, clean.drain_by) == ((1, 21), (1, 9))
