"""Both kinds of frost, one season in ten and the middle one: against counts by hand, and by cases that are plain."""

import csv
import statistics
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from budget.record import Asked, read_file
from budget.record.believable import judge
from budget.record.frost_dates import FrostRow, night_frosts

MonthDay = tuple[int, int] | None
START = {False: (7, 1), True: (1, 1)}  # of a cold season, in the north and in the south


def count_by_hand(path: Path, low_column: str, threshold: float) -> tuple[int, int, list[MonthDay]]:
    """Seasons, seasons with such a frost, and the four dates of a northern file in °C, without pandas."""
    with path.open() as file:
        cells = [(row["date"].replace("/", "-").split("-"), row[low_column]) for row in csv.DictReader(file)]
    lows = {date(*map(int, day)): float(low) for day, low in cells if low}
    for month in range(1, 13):
        same = {day: low for day, low in lows.items() if day.month == month}
        middle, width = statistics.median(same.values()), statistics.stdev(same.values())
        for day, low in same.items():
            if abs(low - middle) > 4 * width:
                del lows[day]
    # As (months since July, day): seasons without such a frost come before every date, or after it.
    lasts, firsts = [], []
    for year in range(min(lows).year, max(lows).year):
        season = [date(year, 7, 1) + timedelta(days=step) for step in range(365)]
        if season[0] < min(lows) or sum(day in lows for day in season) < 0.9 * 365:
            continue
        cold = [((day.month - 7) % 12, day.day) for day in season if lows.get(day, 99) <= threshold]
        lasts.append(max(cold, default=(-1, 0)))
        firsts.append(min(cold, default=(12, 0)))
    k = max(1, (len(lasts) + 1) // 10)
    picked = [
        sorted(lasts)[-k],
        statistics.median_high(lasts),  # of an even number, the later of the middle two
        statistics.median_low(firsts),
        sorted(firsts)[k - 1],
    ]
    dates = [((month + 6) % 12 + 1, day) if 0 <= month < 12 else None for month, day in picked]
    return len(lasts), sum(last >= (0, 0) for last in lasts), dates


def dates_of(row: FrostRow) -> list[MonthDay]:
    return [row.last_in_ten, row.last_middle, row.first_middle, row.first_in_ten]


# What plain counting gave, written down: seasons, seasons with frost, and the four dates.
SEATTLE = {0.0: (3, 3, [(3, 4), (3, 4), (11, 12), (11, 10)]), -2.2: (3, 3, [(2, 7), (1, 17), (12, 5), (11, 29)])}
MERCED = {0.0: (29, 29, [(3, 23), (3, 1), (11, 24), (11, 4)]), -2.2: (29, 27, [(2, 25), (1, 14), (12, 5), (11, 22)])}


def test_seattle_against_a_count_by_hand(seattle_file: Path) -> None:
    rows = night_frosts(read_file(seattle_file, Asked("mm", "C")).rows["tmin"], southern=False)
    found = {row.threshold: (row.seasons, row.frosty, dates_of(row)) for row in rows}
    assert found == {threshold: count_by_hand(seattle_file, "temp_min", threshold) for threshold in SEATTLE}
    assert found == SEATTLE
    assert [row.words for row in rows] == [
        (
            "The latest frost (0 °C / 32 °F) in 3 seasons was on 4 March; in the middle season the last is on 4 March."
            " The earliest was on 10 November; in the middle season the first is on 12 November."
        ),
        (
            "The latest hard frost (-2.2 °C / 28 °F) in 3 seasons was on 7 February; in the middle season the last is"
            " on 17 January. The earliest was on 29 November; in the middle season the first is on 5 December."
        ),
    ]


def test_thirty_years_against_a_count_by_hand(long_file: Path) -> None:
    rows = night_frosts(judge(read_file(long_file, Asked("mm", "C")).rows).days["tmin"], southern=False)
    found = {row.threshold: (row.seasons, row.frosty, dates_of(row)) for row in rows}
    assert found == {threshold: count_by_hand(long_file, "tmin", threshold) for threshold in MERCED}
    assert found == MERCED
    assert [row.free_days for row in rows] == [
        (date(2001, 11, 4) - date(2001, 3, 24)).days,
        (date(2001, 11, 22) - date(2001, 2, 26)).days,
    ]
    assert rows[1].words == (
        "In one year of ten hard frost (-2.2 °C / 28 °F) still comes after 25 February; in a middle year the last is"
        " on 14 January. In one year of ten it is back before 22 November; in a middle year the first is on 5 December."
        " It came in 27 of 29 seasons."
    )


def lows_of(seasons: int, southern: bool, frosts: dict[str, float]) -> pd.DataFrame:
    """Invented seasons from 2000 on: lows that swing from 1 to 14 °C, so that none is a freak, and the frosts given."""
    start = date(2000, *START[southern])
    end = start.replace(year=2000 + seasons) - timedelta(days=1)
    index = pd.date_range(start, end, freq="D", name="date")
    days = pd.DataFrame({"tmin": np.where(np.arange(len(index)) % 2, 14.0, 1.0)}, index=index)
    for day, low in frosts.items():
        days.loc[day, "tmin"] = low
    return days


def rows_of(seasons: int, southern: bool, frosts: dict[str, float]) -> list[FrostRow]:
    return night_frosts(lows_of(seasons, southern, frosts)["tmin"], southern)


@pytest.mark.parametrize(("low", "frosty"), [(0.01, (0, 0)), (0.0, (1, 0)), (-2.19, (1, 0)), (-2.2, (1, 1))])
def test_the_thresholds_themselves_are_frost(low: float, frosty: tuple[int, int]) -> None:
    rows = rows_of(3, False, {"2001-01-10": low})
    assert [row.threshold for row in rows] == [0.0, -2.2]
    assert tuple(row.frosty for row in rows) == frosty


@pytest.mark.parametrize(
    ("seasons", "frosty", "middle"),
    [(9, 5, True), (9, 4, False), (10, 5, True), (10, 4, False), (1, 1, True)],
)
def test_a_middle_date_needs_half_of_the_seasons(seasons: int, frosty: int, middle: bool) -> None:
    frosts = {f"{2001 + season}-01-{10 + season}": -1.0 for season in range(frosty)}
    row, hard = rows_of(seasons, False, frosts)
    assert (row.seasons, row.frosty) == (seasons, frosty)
    assert (row.last_in_ten, row.first_in_ten) == ((1, 9 + frosty), (1, 10))
    # With no more than half the seasons, the middle one is the mildest that has a frost at all.
    assert (row.last_middle, row.first_middle) == (((1, 10), (1, 9 + frosty)) if middle else (None, None))
    # Nine seasons are the fewest whose worst is one in ten.
    assert row.words.startswith("In one year of ten" if seasons >= 9 else "The latest frost (0 °C / 32 °F) in ")
    assert row.words.endswith("so in a middle year there is none.") != middle
    assert dates_of(hard) == [None] * 4
    assert hard.words == f"Hard frost (-2.2 °C / 28 °F) never came in {seasons} season{'s' if seasons > 1 else ''}."


def test_of_two_middle_seasons_the_harsher_one_counts() -> None:
    springs = {f"{2001 + season}-03-{10 + season}": -1.0 for season in range(10)}
    autumns = {f"{2000 + season}-11-{10 + season}": -1.0 for season in range(10)}
    row = rows_of(10, False, springs | autumns)[0]
    assert dates_of(row) == [(3, 19), (3, 15), (11, 14), (11, 10)]
    assert row.words == (
        "In one year of ten frost (0 °C / 32 °F) still comes after 19 March; in a middle year the last is on 15 March."
        " In one year of ten it is back before 10 November; in a middle year the first is on 14 November."
    )


def test_a_southern_site_has_its_last_frost_in_its_own_spring() -> None:
    frosts = {f"{2000 + season}-06-{20 + season % 9}": -3.0 for season in range(10)}
    frosts |= {f"{2000 + season}-09-{10 + season}": -1.0 for season in range(10)}
    frost, hard = rows_of(10, True, frosts)
    assert dates_of(frost) == [(9, 19), (9, 15), (6, 23), (6, 20)]
    assert dates_of(hard) == [(6, 28), (6, 24), (6, 23), (6, 20)]
    assert frost.words.startswith("In one year of ten frost (0 °C / 32 °F) still comes after 19 September;")
    assert frost.free_days == 364 - (date(2001, 9, 19) - date(2001, 6, 20)).days


@pytest.mark.parametrize(
    ("seasons", "frosts", "words"),
    [
        (
            29,
            ["2001-01-10", "2004-12-20"],
            "Frost (0 °C / 32 °F) is rare: it came in 2 of 29 seasons.",
        ),
        (
            29,
            ["2001-01-10", "2004-12-20", "2011-02-03"],
            (
                "In one year of ten frost (0 °C / 32 °F) still comes after 20 December."
                " In one year of ten it is back before 3 February."
                " It came in 3 of 29 seasons, so in a middle year there is none."
            ),
        ),
        (
            3,
            ["2002-01-10"],
            (
                "The latest frost (0 °C / 32 °F) in 3 seasons was on 10 January. The earliest was on 10 January."
                " It came in 1 of 3 seasons, so in the middle season there is none."
            ),
        ),
        (1, [], "Frost (0 °C / 32 °F) never came in 1 season."),
        (
            2,
            ["2000-07-02", "2002-06-28"],
            "Frost (0 °C / 32 °F) may come at any time of the year; it came in 2 of 2 seasons.",
        ),
        (0, ["2001-01-10"], "No cold season is complete, so the record tells nothing of frost (0 °C / 32 °F)."),
    ],
)
def test_words_where_frost_is_rare_or_always_near(seasons: int, frosts: list[str], words: str) -> None:
    days = lows_of(max(seasons, 1), False, dict.fromkeys(frosts, -1.0))
    row = night_frosts((days if seasons else days.iloc[1:])["tmin"], southern=False)[0]
    assert row.seasons == seasons
    assert row.words == words


def test_a_freak_low_is_no_frost() -> None:
    frosts = {"2001-01-10": -1.0, "2002-01-20": -1.0}
    days = lows_of(3, False, frosts)
    clean = night_frosts(days["tmin"], southern=False)
    days.loc["2002-05-23", "tmin"] = -40.0
    assert night_frosts(days["tmin"], southern=False) != clean
    assert night_frosts(judge(days).days["tmin"], southern=False) == clean


@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 10**6), southern=st.booleans(), warmth=st.floats(-2, 12), seasons=st.integers(1, 22))
def test_what_a_frost_spares_lies_between_its_dates(seed: int, southern: bool, warmth: float, seasons: int) -> None:
    days = lows_of(seasons, southern, {})
    place = (days.index - pd.Timestamp(2000, *START[southern])).days.to_numpy()
    days["tmin"] = warmth + 7 * np.cos(2 * np.pi * place / 365.25) + np.random.default_rng(seed).normal(0, 3, len(days))
    frost, hard = night_frosts(days["tmin"], southern)
    assert frost.seasons == hard.seasons == seasons
    assert frost.frosty >= hard.frosty
    for row in (frost, hard):
        ten_in_order = row.free_days is not None and row.free_days < 365
        if row.free_from and row.free_until:
            assert row.last_in_ten and row.first_in_ten
            day_after = date(2001, *row.last_in_ten) + timedelta(days=1)
            day_before = date(2001, *row.first_in_ten) - timedelta(days=1)
            assert row.free_from == (day_after.month, day_after.day)
            assert row.free_until == (day_before.month, day_before.day)
            assert ten_in_order and row.spares == "a season"
        else:
            assert row.spares == ("no season" if ten_in_order else "the whole year")
    if frost.last_in_ten and hard.last_in_ten and frost.free_days is not None and hard.free_days is not None:
        assert frost.free_days <= hard.free_days
