"""What cannot be believed: each rule made to speak and to stay silent, and what real records have to show."""

import math
import statistics
from datetime import date
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from budget.record import Asked, read_file
from budget.record.believable import Remark, deviations, judge, mixed_rain, needed_lengths, runs_of, stuck

EXAMPLES = Path(__file__).parent.parent.parent / "example_inputs"


def invented(first: int, last: int, seed: int = 1, rainy: float = 0.3) -> pd.DataFrame:
    """Whole invented years: rain to 0.1 mm on a share of days, temperatures to 0.1 °C with a day's memory."""
    calendar = pd.date_range(f"{first}-01-01", f"{last}-12-31", freq="D", name="date")
    chance = np.random.default_rng(seed)
    noise = np.convolve(chance.normal(0, 2, len(calendar) + 4), [0.2, 0.6, 1, 0.6, 0.2], mode="valid")
    warmth = 10 - 9 * np.cos(2 * np.pi * (calendar.day_of_year.to_numpy() - 15) / 365) + noise
    rain = np.where(chance.random(len(calendar)) < rainy, 0.1 + chance.gamma(0.8, 9.0, len(calendar)), 0.0)
    spread = chance.uniform(2, 7, len(calendar))
    return pd.DataFrame({"rain": rain, "tmax": warmth + spread, "tmin": warmth - spread}, index=calendar).round(1)


def told(remarks: list[Remark], kept: bool | None = None) -> list[tuple[str, str, str, float]]:
    return [
        (str(remark.first), str(remark.last), remark.figure, remark.value)
        for remark in remarks
        if kept is None or remark.kept == kept
    ]


def test_a_sound_record_is_left_alone(invented_days: pd.DataFrame) -> None:
    for days in (invented_days, invented(1990, 2019), invented(2000, 2001, seed=3)):
        judged = judge(days)
        pd.testing.assert_frame_equal(judged.days, days)
        assert (told(judged.remarks, kept=False), judged.faults) == ([], [])


def test_seattle_is_believed(seattle_file: Path) -> None:
    days = read_file(seattle_file, Asked("mm", "C")).rows
    judged = judge(days)
    pd.testing.assert_frame_equal(judged.days, days)
    assert (judged.remarks, judged.faults) == ([], [])


@pytest.mark.parametrize(("place", "kept"), [("guest", []), ("terrace", [date(2003, 1, 6)])])
def test_the_examples_are_believed(place: str, kept: list[date]) -> None:
    """The terrace has one cold wave by day, which the days beside it and its low bear out."""
    days = read_file(EXAMPLES / f"{place}_house_rain.csv").rows
    judged = judge(days)
    pd.testing.assert_frame_equal(judged.days, days)
    assert [remark.first for remark in judged.remarks] == kept
    assert all(remark.kept and remark.figure == "tmax" for remark in judged.remarks)
    assert judged.faults == []


def test_thirty_years_lose_four_impossible_lows_and_nothing_else(long_file: Path) -> None:
    """Each a jump of 9 to 30 °C to a single day and back; the great heat of July 2006 and August 2020 is kept."""
    days = read_file(long_file, Asked("mm", "C")).rows
    judged = judge(days)
    wrong = [("1997-07-08", 30.0), ("1998-06-07", -2.8), ("2003-05-23", -17.8), ("2005-08-05", 27.2)]
    assert told(judged.remarks) == [(day, day, "tmin", value) for day, value in wrong]
    assert not any(remark.kept for remark in judged.remarks)
    assert judged.faults == []
    expected = days.copy()
    expected.loc[pd.DatetimeIndex([day for day, _ in wrong]), "tmin"] = np.nan
    pd.testing.assert_frame_equal(judged.days, expected)


@pytest.mark.parametrize("columns", [["rain"], ["tmax", "tmin"], ["tmin"], ["rain", "tmax"]])
def test_columns_may_be_missing(columns: list[str]) -> None:
    days = invented(2001, 2004)
    days.loc["2002-05-05"] = [-1.0, 80.0, -40.0]
    judged = judge(days[columns])
    assert list(judged.days.columns) == columns
    assert {remark.figure for remark in judged.remarks} == set(columns)
    blank = days.copy()
    blank[[column for column in days if column not in columns]] = np.nan
    assert told(judge(blank).remarks) == told(judged.remarks)


def test_a_record_without_any_value_has_nothing_to_tell() -> None:
    days = invented(2001, 2002) * np.nan
    assert judge(days).remarks == []


def test_low_above_high_costs_both() -> None:
    days = invented(2001, 2004)
    days.loc["2002-05-05", ["tmax", "tmin"]] = [12.0, 12.1]
    days.loc["2002-05-06", ["tmax", "tmin"]] = [12.0, 12.0]  # a day may stay as it is
    judged = judge(days)
    assert told(judged.remarks) == [
        ("2002-05-05", "2002-05-05", "tmax", 12.0),
        ("2002-05-05", "2002-05-05", "tmin", 12.1),
    ]
    assert judged.days.loc["2002-05-05", ["tmax", "tmin"]].isna().all()
    assert judged.remarks[0].why == "the day's low is above its high"


def test_negative_rain_and_more_than_500_mm() -> None:
    days = invented(2001, 2004)
    amounts = {"2001-03-03": -9999.0, "2002-05-05": -0.1, "2002-05-07": 0.0, "2002-05-09": 500.1, "2002-05-11": 500.0}
    for day, amount in amounts.items():
        days.loc[day, "rain"] = amount
    judged = judge(days)
    assert told(judged.remarks, kept=False) == [
        ("2001-03-03", "2001-03-03", "rain", -9999.0),
        ("2002-05-05", "2002-05-05", "rain", -0.1),
        ("2002-05-09", "2002-05-09", "rain", 500.1),
    ]
    assert [remark.why for remark in judged.remarks[1:3]] == ["rain below zero", "more than 500 mm in a day"]
    assert told(judged.remarks, kept=True) == [("2002-05-11", "2002-05-11", "rain", 500.0)]


@pytest.mark.parametrize(("last", "others"), [(2001, [60.0]), (2020, [60.0, 60.0, 70.0, 80.0])])
def test_a_great_rain_day_is_kept_and_told(last: int, others: list[float]) -> None:
    """Of a year the others' greatest is the percentile; of 20 years with 2,000 rain days the third."""
    days = invented(2001, last)
    days["rain"] = days["rain"].clip(upper=59.0)
    days.iloc[20 : 20 + 2 * len(others) : 2, 0] = others
    days.loc["2001-08-08", "rain"] = 180.0
    assert judge(days).remarks == []
    days.loc["2001-08-08", "rain"] = 180.1
    judged = judge(days)
    assert told(judged.remarks) == [("2001-08-08", "2001-08-08", "rain", 180.1)]
    assert judged.remarks[0].kept
    pd.testing.assert_frame_equal(judged.days, days)
    days.loc["2001-08-10", "rain"] = 250.0
    assert [remark.value for remark in judge(days).remarks] == [180.1, 250.0]  # two do not hide each other


def test_freaks_by_hand_from_the_median_and_the_outermost_twentieth() -> None:
    days = pd.DataFrame(index=pd.date_range("2000-07-01", "2010-06-30", freq="D", name="date"))
    days["tmin"] = -np.random.default_rng(1).exponential(4.0, len(days))  # skewed: the mean lies elsewhere
    expected, from_mean = [], []
    for month in range(1, 13):
        same = sorted((low, day.date()) for day, low in days["tmin"].items() if day.month == month)
        lows = [low for low, _ in same]
        middle, outside = statistics.median(lows), len(lows) // 20
        reach = -statistics.NormalDist().inv_cdf((outside + 0.625) / (len(lows) + 0.25))
        width = max(middle - lows[outside], (lows[-1 - outside] - lows[outside]) / 2) / reach
        expected += [day for value, day in same if middle - value > 4 * width]
        from_mean += [day for value, day in same if statistics.mean(lows) - value > 4 * width]
    assert len(expected) > len(from_mean) > 0
    distances = deviations(days["tmin"])
    assert [day.date() for day in distances[distances.abs() > 4].index] == sorted(expected)


@pytest.mark.parametrize("freaks", [["2001-05-07"], ["2001-05-07", "2002-05-20"], ["2001-05-07", "2001-05-08"]])
def test_freaks_stand_alone_or_side_by_side_and_bear_each_other_out_never(freaks: list[str]) -> None:
    days = invented(2001, 2010)
    days.loc[pd.DatetimeIndex(freaks), "tmin"] = -17.8
    judged = judge(days)
    assert told(judged.remarks) == [(day, day, "tmin", -17.8) for day in freaks]
    assert judged.days["tmin"].isna().sum() == len(freaks)
    assert judged.days["tmax"].notna().all()
    assert judged.remarks[0].why == "more than 4 standard deviations from the median of May (10.1 °C)"


def test_three_freaks_in_two_years_do_not_hide_behind_their_own_weight() -> None:
    days = invented(2001, 2002)
    freaks = pd.DatetimeIndex(["2001-05-07", "2001-05-21", "2002-05-12"])
    days.loc[freaks, "tmin"] = -10.0
    may = days["tmin"][days.index.month == 5]
    assert ((may - may.median()).abs() < 4 * may.std()).all()  # the plain standard deviation lets them through
    assert [remark.first for remark in judge(days).remarks] == [day.date() for day in freaks]


def test_a_high_may_be_a_freak_too() -> None:
    days = invented(2001, 2010)
    days.loc["2004-01-09", "tmax"] = 45.0
    assert told(judge(days).remarks) == [("2004-01-09", "2004-01-09", "tmax", 45.0)]


@pytest.mark.parametrize("witness", ["before", "after", "high"])
def test_a_cold_wave_is_kept(witness: str) -> None:
    """Half as far out on the same side bears it out, a little less does not."""
    days = invented(2001, 2010)
    day = pd.Timestamp("2004-05-09")
    place = {"before": (day - pd.Timedelta(days=1), "tmin"), "after": (day + pd.Timedelta(days=1), "tmin")}
    where, figure = place.get(witness, (day, "tmax"))

    def put(target: pd.Timestamp, column: str, distance: float) -> None:
        """The value that lies so many standard deviations below the month's median."""
        median = days[column][days.index.month == 5].median()
        unit = (days.loc[target, column] - 50 - median) / deviations(
            days[column].mask(days.index == target, days.loc[target, column] - 50)
        ).loc[target]
        days.loc[target, column] = median - distance * unit

    for beside in (day - pd.Timedelta(days=1), day + pd.Timedelta(days=1)):
        days.loc[beside, ["tmax", "tmin"]] = [20.0, 8.5]
    days.loc[day, "tmax"] = 20.0
    put(day, "tmin", 4.4)
    put(where, figure, 2.4)
    judged = judge(days)
    assert [(remark.first, remark.figure, remark.kept) for remark in judged.remarks] == [(day.date(), "tmin", True)]
    assert judged.remarks[0].why.endswith("(10.1 °C), but in a spell of such weather")
    pd.testing.assert_frame_equal(judged.days, days)
    put(where, figure, 2.0)
    assert [remark.kept for remark in judge(days).remarks] == [False]
    put(where, figure, -2.4)
    assert [remark.kept for remark in judge(days).remarks] == [False]


def test_months_that_hardly_vary_and_months_hardly_known() -> None:
    days = invented(2001, 2010)
    days["tmin"] = 4 + 0.1 * (np.arange(len(days)) % 3)
    days["tmax"] = 30 + 0.1 * (np.arange(len(days)) % 3)
    days.loc["2004-05-09", "tmin"] = 8.0  # from 4.1: less than four times the least deviation
    assert judge(days).remarks == []
    days.loc["2004-05-09", "tmin"] = 8.2
    assert len(judge(days).remarks) == 1
    may = days.index[days.index.month == 5]
    days.loc[may[may != "2004-05-09"][19:], "tmin"] = np.nan  # 19 beside the freak
    assert len(judge(days).remarks) == 1
    days.loc[may[0], "tmin"] = np.nan
    assert judge(days).remarks == []


@pytest.mark.parametrize(("figure", "fewest", "value"), [("rain", 5, 7.3), ("tmax", 10, 25.0), ("tmin", 10, 2.2)])
def test_stuck_values_are_one_stretch(figure: str, fewest: int, value: float) -> None:
    days = invented(2001, 2010)
    stretch = pd.date_range("2004-05-02", periods=fewest - 1)
    days.loc[stretch, figure] = value
    days.loc["2004-05-01", figure] = days.loc[stretch[-1] + pd.Timedelta(days=1), figure] = value + 0.1
    assert judge(days).remarks == []
    days.loc["2004-05-01", figure] = value
    judged = judge(days)
    assert told(judged.remarks) == [("2004-05-01", str(stretch[-1].date()), figure, value)]
    assert judged.remarks[0].why == f"the same value on {fewest} days in a row"
    assert judged.days[figure].isna().sum() == fewest
    days.loc["2004-05-03", figure] = np.nan  # a missing day ends a run
    assert judge(days).remarks == []


def test_dry_days_are_not_stuck() -> None:
    days = invented(2001, 2010)
    days.loc["2004-05-01":"2004-09-30", "rain"] = 0.0
    assert judge(days).remarks == []


def test_a_stuck_year_of_two_does_not_excuse_itself() -> None:
    days = invented(2001, 2002)
    days.loc["2002-01-01":"2002-12-31", "tmin"] = 7.7
    days["tmax"] = days["tmax"] + 20
    assert told(judge(days).remarks) == [("2002-01-01", "2002-12-31", "tmin", 7.7)]


def test_a_thermometer_that_never_moved() -> None:
    days = invented(2001, 2002)
    days["tmin"] = -17.8
    assert told(judge(days).remarks) == [("2001-01-01", "2002-12-31", "tmin", -17.8)]


def test_few_rain_days_tell_of_no_great_one() -> None:
    days = invented(2001, 2002)
    days["rain"] = 0.0
    days.iloc[0:60:2, 0] = 10 + 0.1 * np.arange(30)  # thirty of them
    days.iloc[400, 0] = 100.0
    assert told(judge(days).remarks) == [("2002-02-05", "2002-02-05", "rain", 100.0)]
    days.iloc[0, 0] = 0.9  # less than a rain day
    assert judge(days).remarks == []


def tropical(seed: int) -> pd.DataFrame:
    """Thirty invented years near the equator, read in whole degrees."""
    calendar = pd.date_range("1990-01-01", "2019-12-31", freq="D", name="date")
    chance = np.random.default_rng(seed)
    noise = np.convolve(chance.normal(0, 0.5, len(calendar) + 2), [0.5, 1, 0.5], mode="valid")
    return pd.DataFrame({"tmin": (24 + noise).round()}, index=calendar)


@pytest.mark.parametrize("seed", range(5))
def test_whole_degrees_near_the_equator_repeat_themselves(seed: int) -> None:
    days = tropical(seed)
    runs = runs_of(days["tmin"])
    assert runs["length"].max() > 20  # weather as it is; ten in a row would tell of dozens
    assert (runs["length"] >= 10).sum() > 50
    assert stuck(days) == []
    needed = math.ceil(needed_lengths(runs, 10).max())
    days.loc[days.index[4000 : 4000 + 2 * needed], "tmin"] = 24.0
    assert [remark.value for remark in stuck(days)] == [24.0]


@pytest.mark.parametrize("seed", range(5))
def test_the_smallest_step_of_the_gauge_repeats_itself(seed: int) -> None:
    """A share of 0.4 of all days with rain is 0.2 mm, and six days of it in a row are weather."""
    days = invented(1990, 2019, seed)[["rain"]]
    small = np.random.default_rng(seed).random(len(days)) < 0.2
    days.loc[small, "rain"] = 0.2
    days.loc["2004-05-01":"2004-05-06", "rain"] = 0.2
    assert stuck(days) == []
    days.loc["2004-05-01":"2004-05-06", "rain"] = 4.7
    assert told(stuck(days)) == [("2004-05-01", "2004-05-06", "rain", 4.7)]


def test_a_year_without_rain_among_rainy_ones() -> None:
    days = invented(2001, 2006)
    days.loc["2003-01-01":"2003-12-31", "rain"] = 0.0
    days.loc["2003-01-01":"2003-01-20", "rain"] = np.nan
    judged = judge(days)
    assert told(judged.remarks) == [("2003-01-21", "2003-12-31", "rain", 0.0)]
    assert judged.remarks[0].why == "a year without any rain, where others have rain in 12 months of 12"
    assert judged.days.loc["2003", "rain"].isna().all()
    assert judged.days.loc["2003", "tmin"].notna().all()
    days.loc["2003-12-31", "rain"] = 0.1
    assert judge(days).remarks == []


def test_two_blocked_years_of_five() -> None:
    days = invented(2001, 2005)
    days.loc["2002-01-01":"2003-12-31", "rain"] = 0.0
    assert [remark.first.year for remark in judge(days).remarks] == [2002, 2003]
    assert judge(days.loc["2003":"2004"]).remarks == []  # one other year is not enough to tell


def test_a_year_that_is_hardly_known_is_not_judged() -> None:
    days = invented(2001, 2006)
    days.loc["2003-01-01":"2003-12-31", "rain"] = 0.0
    days.loc["2003-01-01":"2003-02-06", "rain"] = np.nan  # 37 days: less than 90 % are known
    assert judge(days).remarks == []
    days = invented(2001, 2006)
    days.loc["2006-01-01":"2006-12-31", "rain"] = 0.0
    assert judge(days.loc[:"2006-10-31"]).remarks == []  # a year that is not over


@pytest.mark.parametrize("rainy_months", [(1, 2), (11, 12, 1, 2, 3, 4), ()])
def test_a_desert_keeps_its_rainless_years(rainy_months: tuple[int, ...]) -> None:
    days = invented(2001, 2012)
    days.loc[~days.index.month.isin(rainy_months), "rain"] = 0.0
    days.loc["2003-01-01":"2003-12-31", "rain"] = 0.0
    days.loc["2007-01-01":"2008-12-31", "rain"] = 0.0
    assert judge(days).remarks == []


def test_dry_years_beside_it_excuse_a_year_without_rain() -> None:
    days = invented(2001, 2012)
    days.loc["2003-01-01":"2003-12-31", "rain"] = 0.0
    assert len(judge(days).remarks) == 1
    for year in (2002, 2004):  # rain in three months
        days.loc[(days.index.year == year) & (days.index.month > 3), "rain"] = 0.0
    assert judge(days).remarks == []


@pytest.mark.parametrize("factor", [25.4, 10.0, 1 / 10, 1 / 25.4])
@pytest.mark.parametrize(
    ("first", "last", "told_first", "told_last"),
    [
        (1996, 1996, "1996-01-01", "1996-12-31"),
        (1996, 2003, "1996-01-01", "2003-12-31"),
        (2005, 2007, "2005-01-01", "2007-12-31"),
        (2020, 2025, "2020-01-01", "2025-12-31"),
        (2004, 2025, "1996-01-01", "2003-12-31"),  # the shorter part is told
    ],
)
def test_another_unit_in_a_stretch_of_years(
    factor: float, first: int, last: int, told_first: str, told_last: str
) -> None:
    days = read_file(EXAMPLES / "terrace_house_rain.csv").rows
    days.loc[str(first) : str(last), "rain"] *= factor
    judged = judge(days)
    times = factor if (first, last) != (2004, 2025) else 1 / factor
    what = {25.4: "25.4 times", 10.0: "10 times", 1 / 10: "1/10 of", 1 / 25.4: "1/25.4 of"}
    named = next(words for size, words in what.items() if math.isclose(size, times))
    mixed = "millimetres and inches" if "25.4" in named else "a unit and tenths of it"
    assert [str(fault) for fault in judged.faults] == [
        f"rain from {told_first} to {told_last}: about {named} the rain of the other years, as if {mixed} were mixed;"
        " accepted: one unit throughout; split the file where the unit changes, and give each part its own"
    ]
    assert judged.remarks == []  # nothing else is judged by such days
    pd.testing.assert_frame_equal(judged.days, days)


def test_another_unit_from_the_middle_of_a_year_on() -> None:
    days = read_file(EXAMPLES / "guest_house_rain.csv").rows
    days.loc["2011-06-16":, "rain"] /= 25.4
    (fault,) = judge(days).faults
    assert fault.where in ("rain from 1996-01-01 to 2010-12-31", "rain from 2012-01-01 to 2025-12-31")


def test_another_unit_in_two_years(seattle_file: Path) -> None:
    days = read_file(seattle_file, Asked("mm", "C")).rows.loc["2012":"2013"]
    assert judge(days).faults == []
    days.loc["2013", "rain"] /= 25.4
    assert len(judge(days).faults) == 1


@pytest.mark.parametrize("factor", [5.0, 1 / 5])
def test_other_factors_are_not_a_unit(factor: float) -> None:
    days = read_file(EXAMPLES / "terrace_house_rain.csv").rows
    days.loc["2005":"2009", "rain"] *= factor
    assert judge(days).faults == []


def test_neither_a_drought_nor_a_coarser_gauge_is_another_unit() -> None:
    days = invented(2001, 2012)
    dry = days.copy()
    gone = (dry.index.year >= 2008) & (np.random.default_rng(1).random(len(dry)) < 0.9)
    dry.loc[gone, "rain"] = 0.0  # a tenth of the rain, on days like any
    assert judge(dry).faults == []
    spread = days.copy()
    spread.loc["2008":, "rain"] = spread.loc["2008":, "rain"].rolling(15, min_periods=1).mean()
    assert judge(spread).faults == []


@pytest.mark.parametrize("seed", [1, 2, 3, 64, 145])
def test_a_desert_is_not_another_unit(seed: int) -> None:
    """Few rain days, and years that differ by the hundredfold."""
    days = invented(1990, 2019, seed, rainy=1.0)[["rain"]]
    chance = np.random.default_rng(seed)
    often = dict(zip(range(1990, 2020), 0.015 * chance.gamma(1.0, 1.0, 30), strict=True))
    rained = chance.random(len(days)) < days.index.year.map(often)
    days.loc[~rained, "rain"] = 0.0
    assert mixed_rain(days) == []
    assert told(judge(days).remarks, kept=False) == []


@pytest.mark.parametrize("warm", [-10.0, 0.0, 15.0])
@pytest.mark.parametrize("columns", [["tmax", "tmin"], ["tmin"], ["tmax"]])
def test_another_unit_of_the_temperatures(warm: float, columns: list[str]) -> None:
    days = invented(2001, 2012)
    days[["tmax", "tmin"]] += warm
    for read, where in [
        (lambda celsius: 1.8 * celsius + 32, slice("2004", "2006")),  # °F read as °C
        (lambda celsius: (celsius - 32) / 1.8, slice("2004", "2006")),  # °C read as °F
        (lambda celsius: 1.8 * celsius + 32, slice("2007", "2012")),
    ]:
        mixed = days.copy()
        mixed.loc[where, columns] = read(mixed.loc[where, columns])
        judged = judge(mixed)
        (fault,) = judged.faults
        assert fault.where.startswith("temperatures from ")
        assert fault.where[-24:-14] in (f"{where.start}-01-01", "2001-01-01")
        assert fault.found.endswith("as if °F and °C were mixed")
        pd.testing.assert_frame_equal(judged.days, mixed)


def test_warm_years_a_moved_and_a_broken_thermometer_are_not_another_unit() -> None:
    days = invented(2001, 2012)
    warm = days.copy()
    warm.loc["2004":"2006", ["tmax", "tmin"]] += 4.0
    assert judge(warm).faults == []
    moved = days.copy()
    moved.loc["2004":"2006", ["tmax", "tmin"]] += 40.0  # the level fits °F, how far the year reaches does not
    assert judge(moved).faults == []
    broken = days.copy()
    broken.loc["2004":"2006", "tmin"] = -17.8
    judged = judge(broken)
    assert judged.faults == []
    assert told(judged.remarks) == [("2004-01-01", "2006-12-31", "tmin", -17.8)]


def messy(seed: int, errors: int) -> pd.DataFrame:
    """An invented record with errors of every kind strewn over it, and gaps."""
    days = invented(2001, 2005, seed)
    chance = np.random.default_rng(seed)
    for kind in chance.integers(0, 8, errors):
        place = int(chance.integers(0, len(days) - 20))
        day, stretch = days.index[place], days.index[place : place + int(chance.integers(2, 20))]
        if kind == 0:
            days.loc[day, "rain"] = -chance.integers(1, 999)
        elif kind == 1:
            days.loc[day, "rain"] = chance.uniform(100, 900)
        elif kind == 2:
            days.loc[day, ["tmax", "tmin"]] = days.loc[day, ["tmin", "tmax"]].to_numpy()
        elif kind == 3:
            days.loc[day, chance.choice(["tmax", "tmin"])] = chance.choice([-17.8, 0.0, 48.0, -40.0])
        elif kind == 4:
            days.loc[stretch, chance.choice(["rain", "tmax", "tmin"])] = chance.choice([1.0, 9.9, 17.3])
        elif kind == 5:
            days.loc[stretch, chance.choice(["rain", "tmax", "tmin"])] = np.nan
        elif kind == 6:
            days.loc[stretch, ["tmax", "tmin"]] -= chance.uniform(5, 20)
        else:
            days.loc[days.index.year == chance.integers(2001, 2006), "rain"] = 0.0
    return days


@settings(max_examples=12, deadline=None)
@given(seed=st.integers(0, 10_000), errors=st.integers(1, 30))
def test_all_that_is_set_missing_is_told_and_judging_twice_changes_nothing(seed: int, errors: int) -> None:
    days = messy(seed, errors)
    before = days.copy()
    judged = judge(days)
    pd.testing.assert_frame_equal(days, before)  # the argument stays as it was
    expected = days.copy()
    for remark in judged.remarks:
        first, last = pd.Timestamp(remark.first), pd.Timestamp(remark.last)
        assert days.loc[first, remark.figure] == remark.value
        if not remark.kept:
            stretch = days.loc[first:last, remark.figure]
            expected.loc[stretch.index[stretch == remark.value], remark.figure] = np.nan
    pd.testing.assert_frame_equal(judged.days, expected)
    again = judge(judged.days)
    pd.testing.assert_frame_equal(again.days, judged.days)
    assert again.remarks == [remark for remark in judged.remarks if remark.kept]
    assert again.faults == judged.faults
