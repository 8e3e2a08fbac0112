"""Days to months: against hand-counted months, pandas, and a plain loop over the missing days."""

import calendar
from functools import cache
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from budget.errors import InputFaults
from budget.record import Asked, monthly, read_file
from budget.record.months import COLUMNS

NAN = float("nan")


def days_of(rain: float = 0.0, tmax: float = 15.0, tmin: float = 5.0, years: int = 3) -> pd.DataFrame:
    """Invented years from 2009 on, every day alike."""
    index = pd.date_range("2009-01-01", f"{2008 + years}-12-31", freq="D", name="date")
    return pd.DataFrame({"rain": rain, "tmax": tmax, "tmin": tmin}, index=index)


def month_of(table: pd.DataFrame, year: int, month: int) -> pd.Series:
    return table[(table["year"] == year) & (table["month"] == month)].iloc[0]


def test_seattle_months_equal_a_groupby(seattle_file: Path) -> None:
    table = monthly(read_file(seattle_file, Asked("mm", "C")).rows)
    plain = pd.read_csv(seattle_file, parse_dates=["date"])
    by_month = plain.groupby([plain["date"].dt.year, plain["date"].dt.month])
    assert list(table.columns) == COLUMNS
    assert list(zip(table["year"], table["month"], strict=True)) == list(by_month.groups)
    np.testing.assert_allclose(table["rain"], by_month["precipitation"].sum(), atol=1e-9)
    np.testing.assert_allclose(table["tmax"], by_month["temp_max"].mean(), atol=1e-9)
    np.testing.assert_allclose(table["tmin"], by_month["temp_min"].mean(), atol=1e-9)
    np.testing.assert_array_equal(table["days"], by_month.size())
    np.testing.assert_array_equal(table["wet_days"], by_month["precipitation"].agg(lambda rain: (rain >= 1).sum()))
    assert table["filled"].sum() == 0
    assert table["missing_days"].sum() == 0


def test_seattle_snow_degree_days_and_spells_by_a_plain_loop(seattle_file: Path) -> None:
    table = monthly(read_file(seattle_file, Asked("mm", "C")).rows)
    snow: dict[tuple[int, int], float] = {}
    warmth: dict[tuple[int, int], float] = {}
    spells: dict[tuple[int, int], int] = {}
    before = 0.0
    for line in seattle_file.read_text().splitlines()[1:]:
        day, rain, tmax, tmin = line.split(",")[:4]
        key = (int(day[:4]), int(day[5:7]))
        mean = round((float(tmax) + float(tmin)) / 2, 3)
        snow[key] = snow.get(key, 0) + (float(rain) if mean <= 1 else 0)
        warmth[key] = warmth.get(key, 0) + (max(0, mean))
        spells[key] = spells.get(key, 0) + (1 if float(rain) >= 1 > before else 0)
        before = float(rain)
    np.testing.assert_allclose(table["snow_share"] * table["rain"], list(snow.values()), atol=1e-9)
    np.testing.assert_allclose(table["degree_days"], list(warmth.values()), atol=1e-6)
    np.testing.assert_array_equal(table["rain_spells"], list(spells.values()))
    assert table["snow_share"].max() > 0.1


def test_seattle_first_halves_by_a_plain_loop(seattle_file: Path) -> None:
    """Days 1 to 15 alone: rain, rain days, snow and degree-days."""
    table = monthly(read_file(seattle_file, Asked("mm", "C")).rows)
    first: dict[tuple[int, int], list[float]] = {}
    for line in seattle_file.read_text().splitlines()[1:]:
        day, rain, tmax, tmin = line.split(",")[:4]
        sums = first.setdefault((int(day[:4]), int(day[5:7])), [0.0, 0.0, 0.0, 0.0])
        if int(day[8:10]) > 15:
            continue
        mean = round((float(tmax) + float(tmin)) / 2, 3)
        added = (float(rain), float(float(rain) >= 1), float(rain) if mean <= 1 else 0.0, max(0.0, mean))
        sums[:] = [so_far + more for so_far, more in zip(sums, added, strict=True)]
    rain, wet, snow, warmth = np.array(list(first.values())).T
    by_days = np.where(table["rain"] > 0, rain, 15 / table["days"])  # a month without rain: the share of the days
    np.testing.assert_allclose(
        table["first_rain_share"] * np.where(table["rain"] > 0, table["rain"], 1), by_days, atol=1e-9
    )
    np.testing.assert_array_equal(table["first_wet_days"], wet)
    np.testing.assert_allclose(table["first_snow_share"] * rain, snow, atol=1e-9)
    np.testing.assert_allclose(table["first_degree_days"], warmth, atol=1e-6)
    assert table["first_snow_share"].max() > 0.1


def test_a_first_half_counted_by_hand() -> None:
    days = days_of(years=2, tmax=4.0, tmin=0.0)
    days.loc["2010-01-15", "rain"] = 3.0
    days.loc["2010-01-14", ["rain", "tmax", "tmin"]] = [1.0, 0.0, 0.0]  # snow, no degree-day
    days.loc["2010-01-16", "rain"] = 12.0
    january, june = (month_of(monthly(days), 2010, month) for month in (1, 6))
    assert january["first_rain_share"] == pytest.approx(0.25)
    assert january["first_wet_days"] == 2
    assert january["first_snow_share"] == pytest.approx(0.25)
    assert january["snow_share"] == pytest.approx(1 / 16)
    assert january["first_degree_days"] == pytest.approx(14 * 2.0)
    assert june["first_rain_share"] == pytest.approx(15 / 30) and june["first_snow_share"] == 0.0


@given(
    st.lists(st.sampled_from([(0.0, 3.0), (5.0, 3.0), (8.0, -3.0), (NAN, 3.0), (4.0, NAN)]), min_size=31, max_size=31)
)
@settings(max_examples=60, deadline=None)
def test_no_half_has_more_than_the_month(given_days: list[tuple[float, float]]) -> None:
    """Rain days, degree-days and snow of days 1 to 15, and what is left for the rest, whatever is missing."""
    days = days_of(rain=2.0)
    january = days.index[(days.index.year == 2010) & (days.index.month == 1)]
    days.loc[january, "rain"] = [rain for rain, _ in given_days]
    days.loc[january, "tmax"] = [mean + 1 for _, mean in given_days]
    days.loc[january, "tmin"] = [mean - 1 for _, mean in given_days]
    row = month_of(monthly(days), 2010, 1)
    snow, first_snow = row["snow_share"], row["first_rain_share"] * row["first_snow_share"]
    assert 0 <= row["first_rain_share"] <= 1 and 0 <= row["first_snow_share"] <= 1
    assert row["first_wet_days"] <= row["wet_days"] + 1e-9
    assert row["first_degree_days"] <= row["degree_days"] + 1e-9
    assert first_snow <= snow + 1e-9
    assert snow - first_snow <= 1 - row["first_rain_share"] + 1e-9


def test_months_that_are_not_whole_are_left_out() -> None:
    days = days_of(rain=2.0)
    table = monthly(days.loc["2009-01-02":"2011-12-30"])
    assert (table["year"].iloc[0], table["month"].iloc[0]) == (2009, 2)
    assert (table["year"].iloc[-1], table["month"].iloc[-1]) == (2011, 11)
    assert len(monthly(days)) == 36
    with pytest.raises(InputFaults, match="record: no whole calendar month; accepted: at least one"):
        monthly(days.iloc[5:20])


def test_a_month_counted_by_hand() -> None:
    days = days_of(years=2, tmax=4.0, tmin=0.0)
    days.loc["2009-12-31", "rain"] = 5.0  # the day before the month is wet, so the first day begins no spell
    days.loc["2010-01-01", "rain"] = 3.0
    days.loc["2010-01-03", ["rain", "tmax", "tmin"]] = [6.0, 3.3, -1.3]  # mean 1.0: snow
    days.loc["2010-01-04", ["rain", "tmax", "tmin"]] = [
        1.0,
        3.4,
        -1.3,
    ]  # mean 1.05: rain, a wet day, the same spell
    days.loc["2010-01-05", "rain"] = 0.9  # not a wet day
    days.loc["2010-01-06", "rain"] = 1.1
    days.loc["2010-01-20", ["tmax", "tmin"]] = [-2.0, -8.0]  # adds no degree-day
    january = month_of(monthly(days), 2010, 1)
    assert january["rain"] == pytest.approx(12.0)
    assert january["wet_days"] == 4
    assert january["rain_spells"] == 2
    assert january["snow_share"] == pytest.approx(0.5)
    assert january["degree_days"] == pytest.approx(28 * 2.0 + 1.0 + 1.05)
    assert january["tmax"] == pytest.approx((28 * 4.0 + 3.3 + 3.4 - 2.0) / 31)
    december = month_of(monthly(days), 2009, 12)
    assert (december["wet_days"], december["rain_spells"]) == (1, 1)


def test_a_few_missing_days_raise_the_month_to_its_length() -> None:
    days = days_of()
    days.loc["2010-06-01":"2010-06-10", "rain"] = 2.0
    days.loc[["2010-06-03", "2010-06-05", "2010-06-20"], "rain"] = NAN
    days.loc[["2010-06-20", "2010-06-29"], "tmax"] = NAN
    june = month_of(monthly(days), 2010, 6)
    assert june["rain"] == pytest.approx(16.0 * 30 / 27)
    assert june["wet_days"] == pytest.approx(8 * 30 / 27)
    # Spells begin on the 1st, and on the 4th and 6th, after a missing day that counts as dry.
    assert june["rain_spells"] == pytest.approx(3 * 30 / 27)
    assert june["missing_days"] == 4
    assert june["tmax"] == pytest.approx(15)
    assert june["degree_days"] == pytest.approx(300)
    assert june["filled"] == 0


def test_temperatures_are_means_of_the_days_that_have_both() -> None:
    days = days_of()
    days.loc["2010-06-01", ["tmax", "tmin"]] = [NAN, -10.0]
    june = month_of(monthly(days), 2010, 6)
    assert june["tmin"] == pytest.approx(5)
    assert june["degree_days"] == pytest.approx(300)


@pytest.mark.parametrize(
    ("missing", "filled"),
    [
        ([2, 4, 6, 8, 10], 0),  # five scattered
        ([2, 4, 6, 8, 10, 12], 1),  # six scattered
        ([7, 8, 9], 0),  # three in a row
        ([7, 8, 9, 10], 1),  # four in a row
        ([1, 2, 3, 29, 30], 0),
        ([27, 28, 29, 30], 1),
    ],
)
@pytest.mark.parametrize("column", ["rain", "tmax", "tmin"])
def test_the_rule_of_five_days_and_three_in_a_row(missing: list[int], filled: int, column: str) -> None:
    days = days_of(rain=2.0)
    for day in missing:
        days.loc[f"2010-06-{day:02d}", column] = NAN
    table = monthly(days)
    june = month_of(table, 2010, 6)
    assert june["filled"] == filled
    assert june["missing_days"] == len(missing)
    assert table["filled"].sum() == filled


def test_a_run_over_the_turn_of_the_month_counts_in_each_with_its_own_days() -> None:
    days = days_of(rain=2.0)
    days.loc["2010-05-29":"2010-06-03", "rain"] = NAN
    assert monthly(days)["filled"].sum() == 0


def test_a_filled_month_takes_the_medians_of_its_calendar_month() -> None:
    days = days_of(years=4)
    for year, rain, tmax in [(2009, 1.0, 10.0), (2010, 3.0, 14.0), (2011, 2.0, 20.0), (2012, 9.0, 30.0)]:
        days.loc[f"{year}-06", "rain"] = [rain, 0.0, 0.0] * 10
        days.loc[f"{year}-06", "tmax"] = tmax
    days.loc["2012-06-10":"2012-06-13", "rain"] = NAN
    june = month_of(monthly(days), 2012, 6)
    assert june["rain"] == pytest.approx(20.0)  # median of 10, 30, 20
    assert june["wet_days"] == 10
    assert june["rain_spells"] == 10
    assert june["tmax"] == pytest.approx(30.0)  # the temperatures are its own
    assert june["filled"] == 1
    days.loc["2012-06-10":"2012-06-13", "rain"] = 0.0
    days.loc["2012-06-10":"2012-06-13", "tmin"] = NAN
    june = month_of(monthly(days), 2012, 6)
    assert june["tmax"] == pytest.approx(14.0)
    assert june["degree_days"] == pytest.approx(30 * (14.0 + 5.0) / 2)
    assert june["rain"] == pytest.approx(90.0 - 2 * 9.0)  # the 10th and 13th were wet and are set to 0 above


def test_snow_share_of_a_filled_month_goes_with_the_rain() -> None:
    days = days_of(rain=2.0, tmax=2.0, tmin=2.0)
    for year, cold in [(2009, 10), (2010, 20), (2011, 31)]:
        days.loc[f"{year}-01-01" : f"{year}-01-{cold}", ["tmax", "tmin"]] = 0.0
    days.loc["2011-01-10":"2011-01-13", "rain"] = NAN
    january = month_of(monthly(days), 2011, 1)
    assert january["snow_share"] == pytest.approx((10 + 20) / 2 / 31)
    days.loc["2011-01-10":"2011-01-13", "rain"] = 2.0
    days.loc["2011-01", "tmax"] = NAN  # it rained, but no temperature tells what fell
    january = month_of(monthly(days), 2011, 1)
    assert january["snow_share"] == pytest.approx((10 + 20) / 2 / 31)
    assert january["rain"] == pytest.approx(62.0)


def test_a_month_without_rain_has_no_snow() -> None:
    assert (monthly(days_of(tmax=-5.0, tmin=-9.0))["snow_share"] == 0).all()
    assert (monthly(days_of(rain=1.0, tmax=-5.0, tmin=-9.0))["snow_share"] == 1).all()


def test_a_calendar_month_without_a_usable_year() -> None:
    days = days_of(rain=2.0)
    for year in (2009, 2010, 2011):
        days.loc[f"{year}-01-05" : f"{year}-01-08", "rain"] = NAN
        days.loc[f"{year}-07-01" : f"{year}-07-12", "tmin"] = NAN
    with pytest.raises(InputFaults) as caught:
        monthly(days)
    assert [str(fault) for fault in caught.value.faults] == [
        (
            "record: no usable January in 3 years of rain; accepted: at least one January that misses"
            " at most 5 days, at"
            " most 3 in a row"
        ),
        (
            "record: no usable July in 3 years of temperatures; accepted: at least one July that misses"
            " at most 5 days, at"
            " most 3 in a row"
        ),
    ]


def test_days_with_holes_are_refused() -> None:
    with pytest.raises(ValueError, match="full daily calendar"):
        monthly(days_of().drop(pd.Timestamp("2010-01-05")))


@cache
def rainy_days() -> tuple[pd.DataFrame, pd.DataFrame]:
    """Three invented years with rain on three days in ten, and their months."""
    chance = np.random.default_rng(3)
    days = days_of()
    days["rain"] = np.where(chance.random(len(days)) < 0.3, chance.gamma(0.8, 9.0, len(days)), 0.0)
    return days, monthly(days)


def scatter(places: list[int], length: int) -> list[int]:
    return sorted({place % length for place in places})


@settings(max_examples=40, deadline=None)
@given(places=st.lists(st.integers(0, 1094), max_size=3), column=st.sampled_from(["rain", "tmax", "tmin"]))
def test_three_lost_days_never_fill_a_month(places: list[int], column: str) -> None:
    days, whole = rainy_days()
    places = scatter(places, len(days))
    holed = days.copy()
    holed.iloc[places, holed.columns.get_loc(column)] = NAN
    table = monthly(holed)
    assert table["filled"].sum() == 0
    assert table["missing_days"].sum() == len(places)
    # Only the months that lost days change; a spell may begin in the month after.
    lost = table["missing_days"] > 0
    figures = [name for name in COLUMNS if name != "rain_spells"]
    pd.testing.assert_frame_equal(table[~lost][figures], whole[~lost][figures])
    for row in table[lost].itertuples():
        inside = (holed.index.year == row.year) & (holed.index.month == row.month)
        assert row.rain == pytest.approx(holed["rain"][inside].mean() * row.days)


@settings(max_examples=60, deadline=None)
@given(
    lost=st.lists(st.booleans() | st.just(False), min_size=31, max_size=31),
    lost_warmth=st.lists(st.booleans() | st.just(False) | st.just(False), min_size=31, max_size=31),
)
def test_the_rule_against_a_plain_loop(lost: list[bool], lost_warmth: list[bool]) -> None:
    def too_many(marks: list[bool]) -> bool:
        text = "".join("x" if mark else "." for mark in marks)
        return text.count("x") > 5 or "xxxx" in text

    days = days_of(rain=3.0)
    march = days.loc["2010-03"].index
    days.loc[march[lost], "rain"] = NAN
    days.loc[march[lost_warmth], "tmax"] = NAN
    table = monthly(days)
    row = month_of(table, 2010, 3)
    assert row["filled"] == int(too_many(lost) or too_many(lost_warmth))
    assert row["missing_days"] == sum(one or other for one, other in zip(lost, lost_warmth, strict=True))
    assert table["filled"].sum() == row["filled"]
    # Every March is alike, so the month's figures come back whether they are raised or filled.
    assert row["rain"] == pytest.approx(93.0)
    assert row["degree_days"] == pytest.approx(310.0)
    assert not table.isna().any(axis=None)


def test_invented_years_close(invented_days: pd.DataFrame) -> None:
    table = monthly(invented_days)
    assert table["rain"].sum() == pytest.approx(invented_days["rain"].sum())
    assert (table["tmin"] * table["days"]).sum() == pytest.approx(invented_days["tmin"].sum())
    assert [calendar.monthrange(year, month)[1] for year, month in zip(table["year"], table["month"], strict=True)] == (
        list(table["days"])
    )


def test_thirty_years_with_gaps(long_file: Path) -> None:
    table = monthly(read_file(long_file, Asked("mm", "C")).rows)
    plain = pd.read_csv(long_file, parse_dates=["date"], index_col="date").resample("D").asfreq()
    by_month = plain.groupby([plain.index.year, plain.index.month])
    assert len(table) == 360
    whole = (table["missing_days"] == 0).to_numpy()
    np.testing.assert_allclose(table["rain"][whole], by_month["prcp"].sum()[whole], atol=1e-9)
    np.testing.assert_array_equal(table["missing_days"], by_month.apply(lambda days: days.isna().any(axis=1).sum()))
    assert 0 < table["filled"].sum() < 10
    assert not table.isna().any(axis=None)
