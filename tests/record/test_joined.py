"""Several files to one record, and what one file cannot be blamed for."""

from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from budget.errors import InputFaults
from budget.record.asked import Asked
from budget.record.csv_file import FileRead, read_file
from budget.record.joined import join


def write(folder: Path, name: str, table: pd.DataFrame) -> FileRead:
    """The table as a file, and that read."""
    months = table.index.freqstr == "MS"
    table.to_csv(folder / name, index_label="date", date_format="%Y-%m" if months else "%Y-%m-%d")
    return read_file(folder / name, Asked("mm", "C", days_left_out="missing"))


def faults_of(reads: list[FileRead]) -> list[str]:
    with pytest.raises(InputFaults) as caught:
        join(reads)
    return [str(fault) for fault in caught.value.faults]


def test_rain_here_and_temperatures_there(tmp_path: Path, invented_days: pd.DataFrame) -> None:
    rain = write(tmp_path, "rain.csv", invented_days.loc["2009-02":, ["rain"]])
    warmth = write(tmp_path, "warmth.csv", invented_days.loc[:"2011-11", ["tmax", "tmin"]])
    table, remarks = join([rain, warmth])
    expected = invented_days.copy()
    expected.loc[:"2009-01", "rain"] = np.nan
    expected.loc["2011-12":, ["tmax", "tmin"]] = np.nan
    pd.testing.assert_frame_equal(table, expected, rtol=0, atol=1e-9, check_index_type=False)
    assert remarks == []


def test_two_stations_end_to_end(tmp_path: Path, invented_days: pd.DataFrame) -> None:
    """Over a year that nobody measured, too."""
    first = write(tmp_path, "old.csv", invented_days.loc[:"2009-06"])
    second = write(tmp_path, "new.csv", invented_days.loc["2010-07":])
    table, remarks = join([second, first])
    expected = invented_days.copy()
    expected.loc["2009-07":"2010-06"] = np.nan
    pd.testing.assert_frame_equal(table, expected, rtol=0, atol=1e-9, check_index_type=False)
    assert remarks == []


def test_where_both_have_a_value_the_first_counts(tmp_path: Path, invented_days: pd.DataFrame) -> None:
    first = invented_days.loc["2009-06":].copy()
    first.loc["2010-03-03":"2010-03-05", "rain"] = np.nan
    second = invented_days.loc[:"2010-12"].copy()
    second.loc["2010-01-01":"2010-01-10", "rain"] += 1
    second.loc["2010-02-01", "tmin"] -= 1
    second.loc["2010-05-01":"2010-05-03", "tmax"] += 0.04  # as rounding makes
    table, remarks = join([write(tmp_path, "near.csv", first), write(tmp_path, "far.csv", second)])
    pd.testing.assert_frame_equal(table, invented_days, rtol=0, atol=1e-9, check_index_type=False)
    both = 214 + 365  # June to December 2009, and 2010
    assert remarks == [
        f"far.csv: rain differ from those of the file before on 10 of {both - 3} days that both have;"
        " the file listed first counts.",
        f"far.csv: daily lows differ from those of the file before on 1 of {both} days that both have;"
        " the file listed first counts.",
    ]


def test_what_each_file_says_of_itself_is_told_with_its_name(tmp_path: Path, invented_days: pd.DataFrame) -> None:
    marked = invented_days.astype(object)
    marked.iloc[5, 0] = "T"
    read = write(tmp_path, "marked.csv", marked)
    assert join([read])[1] == ["marked.csv: 1 trace of rain counts 0."]


def test_months_end_to_end(tmp_path: Path, invented_days: pd.DataFrame) -> None:
    months = invented_days.resample("MS").mean()
    table, _ = join([write(tmp_path, "a.csv", months[:10]), write(tmp_path, "b.csv", months[12:])])
    expected = months.copy()
    expected.iloc[10:12] = np.nan
    pd.testing.assert_frame_equal(table, expected, check_names=False, rtol=0, atol=1e-9, check_index_type=False)


def test_days_and_months_do_not_mix(tmp_path: Path, invented_days: pd.DataFrame) -> None:
    days = write(tmp_path, "days.csv", invented_days)
    months = write(tmp_path, "months.csv", invented_days.resample("MS").mean())
    assert faults_of([days, months]) == [
        "rain.file: months.csv holds months, the other files hold days; accepted: files of days only, or of months only"
    ]


def test_a_figure_that_no_file_has(tmp_path: Path, invented_days: pd.DataFrame) -> None:
    rain = write(tmp_path, "rain.csv", invented_days[["rain"]])
    high = write(tmp_path, "high.csv", invented_days[["tmax"]])
    assert faults_of([rain]) == [
        "rain.csv: no temperatures at all; accepted: columns tmax and tmin: daily high and low;"
        " or a second file that has them: rain.file"
    ]
    within = "daily, in one of the files of rain.file"
    assert faults_of([rain, high]) == [f"rain.csv, high.csv: no daily lows; accepted: a column with them, {within}"]
    assert faults_of([high]) == [
        f"high.csv: no rain; accepted: a column with them, {within}",
        f"high.csv: no daily lows; accepted: a column with them, {within}",
    ]


@pytest.mark.parametrize(
    ("first", "last", "months"),
    [("2010-01-01", "2011-12-30", 23), ("2010-01-02", "2011-12-31", 23), ("2010-01-10", "2010-01-29", 0)],
)
def test_fewer_than_24_whole_months(
    tmp_path: Path, invented_days: pd.DataFrame, first: str, last: str, months: int
) -> None:
    assert len(join([write(tmp_path, "rain.csv", invented_days.loc["2010":])])[0]) == 730
    assert faults_of([write(tmp_path, "rain.csv", invented_days.loc[first:last])]) == [
        f"rain.csv: {months} whole months, from {first} to {last}; accepted: at least 24 whole calendar months"
    ]
