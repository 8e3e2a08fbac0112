"""The days of each year counted, against a plain loop and by hand."""

from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from budget.record import Asked, read_file
from budget.record.coverage import COLUMNS, by_year
from budget.record.neighbours import fill

NAN = float("nan")


def days_of(first: str, last: str) -> pd.DataFrame:
    index = pd.date_range(first, last, freq="D", name="date")
    return pd.DataFrame({"rain": 2.0, "tmax": 15.0, "tmin": 5.0}, index=index)


def unmarked(days: pd.DataFrame) -> pd.DataFrame:
    return pd.DataFrame(False, index=days.index, columns=days.columns)


def test_years_counted_by_hand() -> None:
    days = days_of("2010-12-25", "2013-12-30")
    marks = unmarked(days)
    days.loc["2011-12-30":"2012-01-04", "rain"] = NAN  # 2 days in 2011, 4 in 2012
    days.loc["2012-03-01":"2012-03-03", "rain"] = NAN
    marks.loc["2012-03-04":"2012-03-08", "rain"] = True
    days.loc["2012-05-01", "tmax"] = NAN
    days.loc["2012-05-02", "tmin"] = NAN
    marks.loc["2012-05-02", "tmax"] = True  # half of the day was filled: it still misses
    marks.loc["2012-05-03", "tmin"] = True
    marks.loc["2012-05-04", ["tmax", "tmin"]] = True
    table = by_year(days, marks)
    assert list(table.columns) == COLUMNS
    assert (table.dtypes == "int64").all()
    assert table.to_numpy().tolist() == [
        [2010, 7, 0, 7, 0, 0, 0, 7, 0, 0, 0],
        [2011, 365, 1, 363, 0, 2, 2, 365, 0, 0, 0],
        [2012, 366, 1, 354, 5, 7, 4, 362, 2, 2, 2],
        [2013, 364, 0, 364, 0, 0, 0, 364, 0, 0, 0],
    ]


@pytest.mark.parametrize(
    ("first", "last", "whole"),
    [
        ("2011-01-01", "2012-12-31", [1, 1]),
        ("2011-01-02", "2012-12-31", [0, 1]),
        ("2011-01-01", "2012-12-30", [1, 0]),  # 365 days of a leap year
        ("2012-02-01", "2012-02-20", [0]),
    ],
)
def test_only_whole_years_are_called_whole(first: str, last: str, whole: list[int]) -> None:
    days = days_of(first, last)
    assert by_year(days, unmarked(days))["whole"].to_list() == whole


def count_by_loop(days: pd.DataFrame, marks: pd.DataFrame, columns: list[str]) -> dict[int, list[int]]:
    """Measured, filled, missing, longest gap by year, day by day."""
    counts: dict[int, list[int]] = {}
    run = 0
    for day in days.index:
        year = counts.setdefault(day.year, [0, 0, 0, 0])
        missing = any(np.isnan(days.at[day, column]) for column in columns)
        filled = any(marks.at[day, column] for column in columns)
        year[2 if missing else 1 if filled else 0] += 1
        run = 0 if not missing else 1 if (day.month, day.day) == (1, 1) else run + 1
        year[3] = max(year[3], run)
    return counts


GAPS = st.lists(
    st.tuples(st.integers(0, 900), st.integers(1, 40), st.sampled_from(["rain", "tmax", "tmin"])), max_size=6
)


@settings(max_examples=30, deadline=None)
@given(lost=GAPS, lost_there=GAPS)
def test_any_gaps_against_a_plain_loop(
    lost: list[tuple[int, int, str]], lost_there: list[tuple[int, int, str]]
) -> None:
    here, there = days_of("2010-11-01", "2013-03-31"), days_of("2010-11-01", "2013-03-31")
    for frame, holes in [(here, lost), (there, lost_there)]:
        for start, length, column in holes:
            frame.iloc[start : start + length, frame.columns.get_loc(column)] = NAN
    filled = fill(here, [there])
    table = by_year(filled.days, filled.marks)
    for kind, columns in [("rain", ["rain"]), ("temperatures", ["tmax", "tmin"])]:
        counts = count_by_loop(filled.days, filled.marks, columns)
        parts = [f"{kind}_{part}" for part in ("measured", "filled", "missing", "gap")]
        assert dict(zip(table["year"], table[parts].to_numpy().tolist(), strict=True)) == counts
        assert (table[parts[:3]].sum(axis=1) == table["days"]).all()


def test_thirty_years_against_a_plain_count(long_file: Path) -> None:
    days = read_file(long_file, Asked("mm", "C")).rows
    table = by_year(days, unmarked(days))
    rain: dict[int, int] = {}
    both: dict[int, int] = {}
    for line in long_file.read_text().splitlines()[1:]:
        day, prcp, tmax, tmin = line.split(",")[:4]
        rain[int(day[:4])] = rain.get(int(day[:4]), 0) + (prcp != "")
        both[int(day[:4])] = both.get(int(day[:4]), 0) + (tmax != "" and tmin != "")
    assert table["rain_measured"].to_list() == list(rain.values())
    assert table["temperatures_measured"].to_list() == list(both.values())
    assert table["whole"].all()
    assert table["days"].sum() == (date(2023, 1, 1) - date(1993, 1, 1)) // timedelta(days=1)
    assert 0 < table["rain_missing"].sum() < 100
