"""The dates for pipes and for the tank: against counts by hand in plain Python, and by cases whose answer is plain."""

import csv
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from budget.record import Asked, FrostRow, read_file
from budget.record.believable import judge
from budget.record.frost_dates import freezing_spells, frost_table, night_frosts

MonthDay = tuple[int, int] | None


def hard_frost(days: pd.DataFrame, southern: bool) -> FrostRow:
    return night_frosts(days["tmin"], southern)[-1]


def dates_of(row: FrostRow) -> tuple[MonthDay, MonthDay]:
    return row.free_from, row.free_until


def count_by_hand(path: Path, low_column: str, left_out: list[date]) -> tuple[int, MonthDay, MonthDay]:
    """Seasons and both dates of a northern file in °C, from the rule alone; without the lows of some days."""
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
    found = hard_frost(judge(read_file(seattle_file, Asked("mm", "C")).rows).days, southern=False)
    seasons, free_from, free_until = count_by_hand(seattle_file, "temp_min", [])
    assert free_from is not None
    assert (found.seasons, found.threshold, *dates_of(found)) == (seasons, -2.2, free_from, free_until)
    assert seasons == 3


def test_thirty_years_against_a_count_by_hand(long_file: Path) -> None:
    judged = judge(read_file(long_file, Asked("mm", "C")).rows)
    found = hard_frost(judged.days, southern=False)
    left_out = [remark.first for remark in judged.remarks if remark.figure == "tmin" and not remark.kept]
    seasons, free_from, free_until = count_by_hand(long_file, "tmin", left_out)
    assert date(2003, 5, 23) in left_out
    assert free_from is not None
    assert free_from < (5, 1)
    assert (found.seasons, found.threshold, *dates_of(found)) == (seasons, -2.2, free_from, free_until)
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
    found = hard_frost(days, southern=False)
    assert (found.seasons, found.free_from, found.free_until) == (2, (3, 11), (11, 19))


def test_first_is_autumn_and_last_is_spring_in_the_south() -> None:
    days = lows_of("2000-01-01", "2001-12-31", ["2000-05-20", "2000-09-10", "2001-06-05", "2001-08-01"])
    found = hard_frost(days, southern=True)
    assert (found.seasons, found.free_from, found.free_until) == (2, (9, 11), (5, 19))


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
    northern, southern = hard_frost(north, southern=False), hard_frost(south, southern=True)
    assert northern.seasons == southern.seasons == 12
    for there, here in zip(dates_of(northern), dates_of(southern), strict=True):
        assert there is not None
        assert here is not None
        place = (date(2001, *there) - date(2000, 7, 1)).days % 365
        assert place == (date(2001, *here) - date(2001, 1, 1)).days


@pytest.mark.parametrize(("seasons", "k"), [(2, 1), (18, 1), (19, 2), (28, 2), (29, 3)])
def test_one_season_in_ten_may_be_worse(seasons: int, k: int) -> None:
    springs = [f"{2001 + season}-03-{1 + season:02d}" for season in range(seasons)]
    autumns = [f"{2000 + season}-11-{1 + season:02d}" for season in range(seasons)]
    found = hard_frost(lows_of("2000-07-01", f"{2000 + seasons}-06-30", springs + autumns), southern=False)
    assert found.seasons == seasons
    latest = date(2001, 3, seasons - (k - 1))  # the k-th latest last freeze
    earliest = date(2000, 11, k)  # the k-th earliest first one
    after, before = latest + timedelta(days=1), earliest - timedelta(days=1)
    assert found.free_from == (after.month, after.day)
    assert found.free_until == (before.month, before.day)


@pytest.mark.parametrize(("freezes", "all_year"), [(["2005-01-10"], True), (["2005-01-10", "2009-01-10"], False)])
def test_too_few_cold_seasons_mean_the_whole_year(freezes: list[str], all_year: bool) -> None:
    found = hard_frost(lows_of("2000-07-01", "2019-06-30", freezes), southern=False)
    assert found.seasons == 19  # so k is 2
    assert (found.spares == "the whole year") == all_year
    assert dates_of(found) == ((None, None) if all_year else ((1, 11), (1, 9)))


@pytest.mark.parametrize(("low", "cold"), [(-2.2, True), (-2.19, False), ((28 - 32) / 1.8, True)])
def test_the_threshold_itself_is_a_hard_freeze(low: float, cold: bool) -> None:
    days = lows_of("2000-07-01", "2002-06-30", [])
    days.loc["2001-01-10", "tmin"] = low
    assert (hard_frost(days, southern=False).free_from is not None) == cold


@pytest.mark.parametrize(
    ("freeze", "free_from", "free_until"),
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
def test_the_turn_of_february_year_and_season(freeze: str, free_from: MonthDay, free_until: MonthDay) -> None:
    found = hard_frost(lows_of("2002-07-01", "2004-06-30", [freeze]), southern=False)
    assert dates_of(found) == (free_from, free_until)


def test_the_southern_season_wraps_at_new_year() -> None:
    days = lows_of("2001-01-01", "2002-12-31", ["2001-01-01", "2001-12-31"])
    found = hard_frost(days, southern=True)
    assert (*dates_of(found), found.spares) == (None, None, "no season")  # no day lies between
    days = lows_of("2001-01-01", "2002-12-31", ["2001-05-20", "2001-09-10"])
    found = hard_frost(days, southern=True)
    assert dates_of(found) == ((9, 11), (5, 19))  # over New Year


def test_only_complete_seasons_count() -> None:
    freezes = ["2000-01-10", "2001-01-20", "2002-01-30", "2003-02-10"]
    days = lows_of("1999-07-02", "2003-06-29", freezes)  # a day short at both ends
    assert hard_frost(days, southern=False).seasons == 2
    days.loc["2001-08-01":"2001-09-05", "tmin"] = np.nan  # 36 of 365: still 90 %
    assert hard_frost(days, southern=False).seasons == 2
    days.loc["2001-09-06", "tmin"] = np.nan
    found = hard_frost(days, southern=False)
    assert (found.seasons, found.free_from) == (1, (1, 21))


def test_no_complete_season() -> None:
    found = hard_frost(lows_of("2000-08-01", "2001-12-31", ["2001-01-10"]), southern=False)
    assert (found.seasons, *dates_of(found), found.spares) == (0, None, None, "not known")


def test_a_freak_low_does_not_set_the_dates() -> None:
    days = lows_of("2000-07-01", "2003-06-30", ["2001-01-10", "2002-01-20"])
    clean = hard_frost(days, southern=False)
    assert judge(days).remarks == []
    days.loc["2002-05-23", "tmin"] = -30.0
    assert hard_frost(days, southern=False).free_from == (5, 24)
    judged = judge(days)
    assert [(remark.first, remark.value, remark.kept) for remark in judged.remarks] == [
        (date(2002, 5, 23), -30.0, False)
    ]
    found = hard_frost(judged.days, southern=False)
    assert dates_of(found) == dates_of(clean) == ((1, 21), (1, 9))


def spells_by_hand(path: Path, length: int, left_out: set[tuple[str, date]]) -> tuple[int, int, MonthDay, MonthDay]:
    """Seasons, those with a spell, the day after the last and the day before the first, of a northern file in °C.

    From the rule alone: every run of so many days of a season is tried. Without the figures of some days.
    """
    means: dict[date, float] = {}
    with path.open() as file:
        for row in csv.DictReader(file):
            day = date(*map(int, row["date"].replace("/", "-").split("-")))
            high, low = (
                row.get(name) or row.get(other) or "" for name, other in (("tmax", "temp_max"), ("tmin", "temp_min"))
            )
            if high and low and not {("tmax", day), ("tmin", day)} & left_out:
                means[day] = (float(high) + float(low)) / 2
    known = set(means)
    for day in [first + timedelta(days=step) for first in known for step in (1, 2, 3)]:  # a hole begins after `first`
        before, after = day, day
        while before not in known and (day - before).days < 4:
            before -= timedelta(days=1)
        while after not in known and (after - day).days < 4:
            after += timedelta(days=1)
        if day not in known and before in known and after in known and (after - before).days <= 4:
            share = (day - before).days / (after - before).days
            means[day] = (1 - share) * means[before] + share * means[after]

    seasons, begins, ends = 0, [], []
    for year in range(min(known).year - 1, max(known).year + 1):
        season = [
            date(year, 7, 1) + timedelta(days=step) for step in range((date(year + 1, 7, 1) - date(year, 7, 1)).days)
        ]
        if season[0] < min(known) or season[-1] > max(known) or sum(day in known for day in season) < 0.9 * len(season):
            continue
        seasons += 1
        runs = [season[at : at + length] for at in range(len(season) - length + 1)]
        cold = [run for run in runs if all(day in means for day in run) and sum(means[day] for day in run) <= 1e-6]
        if cold:
            begins.append(((cold[0][0].month - 7) % 12, cold[0][0].day))
            ends.append(((cold[-1][-1].month - 7) % 12, cold[-1][-1].day))
    k = max(1, (seasons + 1) // 10)
    if len(begins) < k:
        return seasons, len(begins), None, None
    first, last = sorted(begins)[k - 1], sorted(ends)[-k]
    if last < first:  # no day has a spell before or behind it in more than one season in ten
        return seasons, len(begins), None, None
    after = date(2009, (last[0] + 6) % 12 + 1, last[1]) + timedelta(days=1)
    before = date(2009, (first[0] + 6) % 12 + 1, first[1]) - timedelta(days=1)
    return seasons, len(begins), (after.month, after.day), (before.month, before.day)


@pytest.mark.parametrize("name", ["seattle_file", "long_file"])
def test_spells_of_real_records_against_a_search_by_hand(name: str, request: pytest.FixtureRequest) -> None:
    path = request.getfixturevalue(name)
    judged = judge(read_file(path, Asked("mm", "C")).rows)
    left_out = {(remark.figure, remark.first) for remark in judged.remarks if not remark.kept}
    rows = frost_table(judged.days, southern=False).spells
    assert [row.spell_days for row in rows] == [1, 2, 3, 4, 5, 6, 7]
    for row in rows:
        by_hand = spells_by_hand(path, row.spell_days, left_out)
        assert (row.seasons, row.frosty, *dates_of(row)) == by_hand
    assert rows[0].frosty >= rows[-1].frosty > 0


def test_spells_of_the_terrace_house_against_a_search_by_hand(tmp_path: Path) -> None:
    """Its record in °C, with holes of one to five days, some of them in its cold spells."""
    record = Path(__file__).parents[2] / "example_inputs" / "terrace_house_rain.csv"
    days = judge(read_file(record, Asked()).rows).days[["tmin", "tmax"]]
    pierced = days.copy()
    chance = np.random.default_rng(7)
    for at in chance.choice(len(days), 250, replace=False):
        pierced.iloc[at : at + int(chance.integers(1, 6)), int(chance.integers(0, 2))] = np.nan
    tables = [frost_table(table, southern=False) for table in (days, pierced)]
    for table, found in zip((days, pierced), tables, strict=True):
        file = tmp_path / "record.csv"
        table.to_csv(file, date_format="%Y-%m-%d")
        for row in found.spells:
            assert (row.seasons, row.frosty, *dates_of(row)) == spells_by_hand(file, row.spell_days, set())
    whole, holed = tables
    assert any(dates_of(a) != dates_of(b) for a, b in zip(whole.spells, holed.spells, strict=True))
    assert dates_of(whole.tank(3)) == ((3, 6), (12, 8))
    assert dates_of(whole.pipes) == ((4, 10), (10, 14))


def mild_means(first: str, last: str, frosts: dict[str, list[float]]) -> pd.Series:
    """Invented daily means of 8 °C, with the figures of some days on end put in."""
    means = pd.Series(8.0, index=pd.date_range(first, last, freq="D", name="date"))
    for day, figures in frosts.items():
        means[pd.date_range(day, periods=len(figures))] = figures
    return means


NAN = float("nan")


@pytest.mark.parametrize(
    ("figures", "length", "spell"),
    [
        ([-1.0], 1, (10, 10)),
        ([-1.0], 2, None),  # 8 - 1 is not cold
        ([0.0, 0.0, 0.0], 3, (10, 12)),  # 0 °C itself is freezing
        ([0.0, 0.0, 0.01], 3, None),
        ([-8.0], 2, (9, 11)),  # the milder day before it, and the one after it, make a spell with it
        ([-5.0, -5.0, -5.0, 3.0, -5.0], 3, (9, 14)),
        ([-16.0], 3, (8, 12)),
        ([-3.0, NAN, -3.0], 3, (10, 12)),  # a hole within the cold is cold
        ([-3.0, NAN, NAN, NAN, -3.0], 3, (10, 14)),
        ([-3.0, NAN, NAN, NAN, NAN, -3.0], 3, None),  # four days in a row are not known
        ([-3.0, NAN, NAN, NAN, NAN, -3.0], 1, (10, 15)),
        ([NAN, -8.0], 2, (10, 12)),  # 0 °C on the line from 8 to -8; then -8 and 8
    ],
)
@pytest.mark.parametrize(("year", "month", "southern"), [(2001, 1, False), (2000, 7, True)])
def test_what_is_a_spell(
    figures: list[float], length: int, spell: tuple[int, int] | None, year: int, month: int, southern: bool
) -> None:
    """`spell`: the days of the month on which it begins and ends."""
    frosts = {f"{year}-{month:02d}-10": figures}
    row = freezing_spells(
        mild_means(
            f"{year}-01-01" if southern else "2000-07-01",
            f"{year + southern - 1}-12-31" if southern else "2001-06-30",
            frosts,
        ),
        southern,
    )[length - 1]
    assert (row.seasons, row.frosty) == (1, int(spell is not None))
    assert dates_of(row) == (((month, spell[1] + 1), (month, spell[0] - 1)) if spell else (None, None))


def test_a_spell_lies_within_one_season() -> None:
    means = mild_means("2000-07-01", "2002-06-30", {"2001-06-30": [-3.0, -3.0]})
    single, pair = freezing_spells(means, southern=False)[:2]
    assert (single.frosty, single.spares, pair.frosty) == (2, "no season", 0)


@pytest.mark.parametrize(
    ("days", "spares"),
    [
        (["2001-01-10", "2005-12-20", "2009-02-03"], "the whole year"),  # last in ten 20 December, first 3 February
        (["2001-01-10", "2005-01-10", "2009-01-10"], "a season"),
        (["2001-01-10", "2005-01-10"], "the whole year"),
    ],
)
def test_where_spells_are_rare_the_tank_serves_all_year(days: list[str], spares: str) -> None:
    """Of 29 seasons (k = 3) at most three have a spell: where none is the rule on any day, no day is drained."""
    row = freezing_spells(mild_means("2000-07-01", "2029-06-30", {day: [-1.0] for day in days}), southern=False)[0]
    assert (row.frosty, row.spares) == (len(days), spares)
    assert row.free_told == (("11 January", "9 January") if spares == "a season" else ("all year", "all year"))


def test_bridged_days_do_not_make_a_season_known() -> None:
    means = mild_means("2000-07-01", "2001-06-30", {"2001-01-10": [-1.0]})
    means[means.index[60:200:3]] = np.nan  # 47 of 365, one by one
    assert freezing_spells(means, southern=False)[0].spares == "not known"
    means[means.index[60:96]] = 8.0
    assert freezing_spells(means, southern=False)[0].spares == "a season"
