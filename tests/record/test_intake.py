"""From a file to the record of a site, with what is said about the data."""

from datetime import date
from pathlib import Path

import pandas as pd
import pytest

import budget.record
from budget.errors import InputFaults
from budget.record import Asked, frost_table, load, monthly, read_file


def test_seattle_end_to_end(seattle_file: Path) -> None:
    record = load([seattle_file], Asked("mm", "C"), southern=False)
    days = read_file(seattle_file, Asked("mm", "C")).rows
    pd.testing.assert_frame_equal(record.days, days)
    pd.testing.assert_frame_equal(record.months, monthly(days))
    assert record.frosts == frost_table(days, southern=False)
    assert (record.first, record.last) == (date(2012, 1, 1), date(2015, 12, 31))
    assert record.notes == [
        "The record runs from 2012-01-01 to 2015-12-31, 48 whole months.",
        "Rain is known on 100 % of days, both temperatures on 100 %.",
        "No month misses too many days.",
        "The frost dates rest on 3 cold seasons.",
    ]


def test_notes_on_gaps_filled_months_and_days_outside(tmp_path: Path, invented_days: pd.DataFrame) -> None:
    days = invented_days.copy()
    days.loc["2010-03-10":"2010-05-02", "rain"] = float("nan")
    days.loc["2010-07-01":"2010-07-04", "tmin"] = float("nan")
    path = tmp_path / "rain.csv"
    days.iloc[3:].to_csv(path)
    record = load([path], Asked("mm", "C"), southern=False)
    assert record.notes[:5] == [
        "The record runs from 2009-01-04 to 2011-12-31, 35 whole months.",
        "28 days left out of the months: the record's first or last days, in months that are not whole.",
        "Rain is known on 95.1 % of days, both temperatures on 99.6 %.",
        "The longest gap in the rain is 54 days, from 2010-03-10 to 2010-05-02.",
        (
            "Too many days missing, so the median of the calendar month stands in 3 of 35 months:"
            " 2010-03, 2010-04, 2010-07."
        ),
    ]


def test_a_nearly_full_record_is_not_called_full(tmp_path: Path, invented_days: pd.DataFrame) -> None:
    long = pd.concat([invented_days.set_index(invented_days.index + pd.Timedelta(days=1095 * n)) for n in range(3)])
    long.index.name = "date"
    long.iloc[500, 0] = float("nan")
    path = tmp_path / "rain.csv"
    long.to_csv(path)
    notes = load([path], Asked("mm", "C"), southern=False).notes
    assert "Rain is known on 99.9 % of days, both temperatures on 100 %." in notes


@pytest.mark.parametrize(
    ("southern", "lift", "expected"),
    [
        (True, 28.0, "Hard freezes are too rare in 3 cold seasons for frost dates of pipes."),
        (False, 28.0, "Hard freezes are too rare in 2 cold seasons for frost dates of pipes."),
        (False, 0.0, "The frost dates rest on 2 cold seasons."),
        (False, -40.0, "No cold season is free of hard frost for long enough: pipes want protection all year."),
    ],
)
def test_notes_on_frost(
    tmp_path: Path, invented_days: pd.DataFrame, southern: bool, lift: float, expected: str
) -> None:
    days = invented_days.copy()
    days[["tmax", "tmin"]] += lift
    path = tmp_path / "rain.csv"
    days.to_csv(path)
    assert load([path], Asked("mm", "C"), southern).notes[-1] == expected


def test_no_complete_season_is_said(tmp_path: Path, invented_days: pd.DataFrame) -> None:
    days = invented_days.copy()
    days.loc["2010-06-01":"2010-09-30", "tmin"] = float("nan")  # costs both northern seasons
    days.loc["2009-08-01":"2009-08-31", "tmin"] = float("nan")
    path = tmp_path / "rain.csv"
    days.to_csv(path)
    assert load([path], Asked("mm", "C"), southern=False).notes[-1] == (
        "No cold season is complete, so the record gives no frost dates: type your own."
    )


def test_thirty_years_end_to_end(long_file: Path) -> None:
    record = load([long_file], Asked("mm", "C"), southern=False)
    assert (record.first, record.last) == (date(1993, 1, 1), date(2022, 12, 31))
    left_out = "The low of -17.8 °C (0 °F) on 2003-05-23 is left out: "
    assert any(note.startswith(left_out) for note in record.notes)
    yearly = record.months.groupby("year")["rain"].sum()
    assert 90 < yearly.min() < 105
    assert 540 < yearly.max() < 570


def test_faults_come_through(tmp_path: Path) -> None:
    with pytest.raises(InputFaults, match="no such file"):
        load([tmp_path / "none.csv"], Asked(), southern=False)


def test_what_the_package_offers_is_there() -> None:
    assert len(budget.record.__all__) >= 15
    assert all(hasattr(budget.record, name) for name in budget.record.__all__)
