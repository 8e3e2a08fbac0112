"""A file of months: the same months as its days would give, rules for what months cannot tell, and its own faults."""

from datetime import date
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pandas as pd
import pytest

from budget.errors import InputFaults
from budget.material import _service
from budget.record import Asked, load, monthly
from budget.record.monthly_file import from_months
from budget.record.months import COLUMNS

HEADER = "date,rain (mm),tmax (°C),tmin (°C)"
MONTHS = [f"{year}-{month:02d}" for year in (2010, 2011) for month in range(1, 13)]
ROWS = [f"{month},{40 + place}.5,{10 + place % 12},{place % 12}" for place, month in enumerate(MONTHS)]


def write(folder: Path, rows: list[str], header: str = HEADER) -> Path:
    path = folder / "months.csv"
    path.write_text("\n".join([header, *rows]) + "\n", encoding="utf-8")
    return path


def months_of(path: Path, unit: str | None = None, temperature_unit: str | None = None) -> pd.DataFrame:
    return load([path], Asked(unit, temperature_unit), southern=False).months


def faults_of(path: Path) -> list[str]:
    with pytest.raises(InputFaults) as caught:
        load([path], Asked(), southern=False)
    return [str(fault) for fault in caught.value.faults]


def test_the_months_of_a_daily_record_come_back(tmp_path: Path, invented_days: pd.DataFrame) -> None:
    by_month = invented_days.resample("MS")
    sums = pd.DataFrame(
        {"rain": by_month["rain"].sum(), "tmax": by_month["tmax"].mean(), "tmin": by_month["tmin"].mean()}
    )
    rows = [f"{month:%Y-%m},{row.rain!r},{row.tmax!r},{row.tmin!r}" for month, row in sums.astype(object).iterrows()]
    found, expected = months_of(write(tmp_path, rows)), monthly(invented_days)
    assert list(found.columns) == COLUMNS
    same = ["year", "month", "days", "rain", "tmax", "tmin", "missing_days", "filled"]
    pd.testing.assert_frame_equal(found[same], expected[same])
    assert found.dtypes.equals(expected.dtypes)
    np.testing.assert_array_equal(found["wet_days"], found["days"])
    np.testing.assert_allclose(found["rain_spells"], found["days"] / 4)


@pytest.mark.parametrize(
    ("mean", "share", "warmth"),
    [(-10.0, 1.0, 0.0), (-2.0, 1.0, 0.0), (1.0, 0.5, 1.0), (2.5, 0.25, 2.5), (4.0, 0.0, 4.0), (9.0, 0.0, 9.0)],
)
def test_snow_and_melt_go_by_the_mean_of_the_month(mean: float, share: float, warmth: float) -> None:
    calendar = pd.date_range("2011-01-01", "2012-12-01", freq="MS")
    rows = pd.DataFrame({"rain": 50.0, "tmax": mean + 3, "tmin": mean - 3}, index=calendar)
    months = from_months(rows)
    assert months["snow_share"].to_numpy() == pytest.approx(share)
    assert months["degree_days"].to_numpy() == pytest.approx(warmth * months["days"].to_numpy())
    assert months["days"].tolist()[12:15] == [31, 29, 31]
    assert months["first_snow_share"].to_numpy() == pytest.approx(share)
    assert months["first_degree_days"].to_numpy() == pytest.approx(warmth * 15)
    assert months["first_rain_share"].tolist()[12:15] == [15 / 31, 15 / 29, 15 / 31]
    assert set(months["first_wet_days"]) == {15.0}


def test_holes_take_the_median_of_their_calendar_month(tmp_path: Path) -> None:
    years = {2009: (10, 8, 2), 2010: (30, 12, 4), 2011: (20, 20, 0), 2012: (90, 40, 30)}
    rows = []
    for year, (rain, high, low) in years.items():
        rows += [f"{year}-{month:02d},{rain},{high},{low}" for month in range(1, 13)]
    rows[36:39] = ["2012-01,,2,-4", "2012-02,90,40,"]  # no rain, no low, and no row at all for March
    record = load([write(tmp_path, rows)], Asked(), southern=False)
    january, february, march, april = (record.months.iloc[place] for place in range(36, 40))
    assert (january["rain"], january["tmax"], january["tmin"]) == (20, 2, -4)
    assert january["snow_share"] == pytest.approx(5 / 6)  # of its own temperatures, mean -1
    assert (february["rain"], february["tmax"], february["tmin"]) == (90, 12, 2)
    assert (march["rain"], march["tmax"], march["tmin"]) == (20, 12, 2)
    assert march["degree_days"] == pytest.approx(31 * 7)
    assert (april["rain"], april["filled"], april["missing_days"]) == (90, 0, 0)
    assert [row["filled"] for row in (january, february, march)] == [1, 1, 1]
    assert [row["missing_days"] for row in (january, february, march)] == [31, 29, 31]
    assert len(record.months) == 48
    assert record.notes == [
        "The record holds months, not days, from 2009-01 to 2012-12: each month's rain and mean daily high and low.",
        "Rain is known in 95.8 % of months, both temperatures in 95.8 %.",
        (
            "Rain or temperatures missing, so the median of the calendar month stands in 3 of 48 months:"
            " 2012-01, 2012-02, 2012-03."
        ),
        (
            "Months are coarser than days: snow, melt, rain days and rain spells are estimated from the month's length"
            " and mean temperature, and frost dates cannot be found."
        ),
    ]


def test_what_the_record_says_of_itself(tmp_path: Path) -> None:
    record = load([write(tmp_path, [*ROWS, "2012-01,1,2,1", "2012-02,1,2,1"])], Asked(), southern=False)
    assert record.days is None
    assert (record.first, record.last) == (date(2010, 1, 1), date(2012, 2, 29))
    assert record.frosts is None
    assert record.notes[1:3] == [
        "Rain is known in 100 % of months, both temperatures in 100 %.",
        "No month is missing.",
    ]


@pytest.mark.parametrize(
    ("header", "layout"),
    [
        (HEADER, "{year}/{month:02d},{rest}"),
        ("month,rain (mm/month),tmax_c,tmin_c", "{year}-{month},{rest}"),
        ("year,month,rain_mm,tmax_c,tmin_c", "{year},{month},{rest}"),
        ("Month,Year,rain in mm,tmax_c,tmin_c", "{month:02d},{year},{rest}"),
        ("year,date,month,rain_mm,tmax_c,tmin_c", "x,{year}-{month:02d},y,{rest}"),
    ],
)
def test_ways_to_write_the_month(tmp_path: Path, header: str, layout: str) -> None:
    rows = []
    for row in ROWS:
        month, rest = row.split(",", 1)
        rows.append(layout.format(year=int(month[:4]), month=int(month[5:]), rest=rest))
    plain = months_of(write(tmp_path, ROWS))
    pd.testing.assert_frame_equal(months_of(write(tmp_path, rows, header)), plain)
    assert plain["rain"].tolist() == [40.5 + place for place in range(24)]


@pytest.mark.parametrize(
    ("header", "units"),
    [("date,rain (in),tmax (°F),tmin (°F)", (None, None)), ("date,rain,tmax,tmin", ("in", "F"))],
)
def test_us_units(tmp_path: Path, header: str, units: tuple[str | None, str | None]) -> None:
    months = months_of(write(tmp_path, [f"{month},2.5,50,23" for month in MONTHS], header), *units)
    assert months["rain"].to_numpy() == pytest.approx(63.5)
    assert months["tmax"].to_numpy() == pytest.approx(10)
    assert months["tmin"].to_numpy() == pytest.approx(-5)


MONTH_ACCEPTED = "a month such as 2012-01 or 2012/01; in columns year and month: 2012 and 1 to 12"
# Each fault of one row: the row put in line 6 (2010-05), and the line that must come out.
ROW_FAULTS = [
    ("2010-13,1,11,1", f"the date '2010-13'; accepted: {MONTH_ACCEPTED}"),
    ("2010-00,1,11,1", f"the date '2010-00'; accepted: {MONTH_ACCEPTED}"),
    ("1066-05,1,11,1", f"the date '1066-05'; accepted: {MONTH_ACCEPTED}"),
    ("May 2010,1,11,1", f"the date 'May 2010'; accepted: {MONTH_ACCEPTED}"),
    ("2010-04,1,11,1", "2010-04 a second time, first in line 5; accepted: one row a month"),
    ("2010-05-01,1,11,1", "the day '2010-05-01' in a file of months; accepted: days only, or months only"),
    ("2010-05,10001,11,1", "rain 10001 mm in one month; accepted: at most 10000 mm (393.7 in) a month"),
]


@pytest.mark.parametrize(("row", "expected"), ROW_FAULTS, ids=[row for row, _ in ROW_FAULTS])
def test_a_fault_in_one_row(tmp_path: Path, row: str, expected: str) -> None:
    rows = [*ROWS[:4], row, *ROWS[5:]]
    assert faults_of(write(tmp_path, rows)) == [f"months.csv line 6: {expected}"]


def test_more_rain_than_a_day_can_bring(tmp_path: Path) -> None:
    assert months_of(write(tmp_path, ["2010-01,3500,11,1", *ROWS[1:]]))["rain"].iloc[0] == 3500


def test_a_month_in_a_file_of_days(tmp_path: Path, invented_lines: list[str]) -> None:
    invented_lines[3] = "2010-01,1,11,1"
    assert faults_of(write(tmp_path, invented_lines[1:])) == [
        "months.csv line 4: the month '2010-01' in a file of days; accepted: days only, or months only"
    ]


def test_year_and_month_in_columns_of_their_own(tmp_path: Path) -> None:
    rows = [row.replace("-", ",", 1) for row in ROWS]
    rows[4:6] = ["2010,13,1,11,1", "2010,04,1,11,1"]
    assert faults_of(write(tmp_path, rows, "year,month,rain_mm,tmax_c,tmin_c")) == [
        f"months.csv line 6: the date '2010-13'; accepted: {MONTH_ACCEPTED}",
        "months.csv line 7: 2010-04 a second time, first in line 5; accepted: one row a month",
    ]


def test_months_written_as_days(tmp_path: Path) -> None:
    rows = [row.replace(",", "-01,", 1) for row in ROWS]
    assert faults_of(write(tmp_path, rows)) == [
        "months.csv: days a month or more apart; accepted: every day; in a file of months dates such as 2012-01"
    ]


def test_a_daily_rate_in_a_file_of_months(tmp_path: Path, invented_lines: list[str]) -> None:
    accepted = 'accepted: "in" or "mm"'
    assert faults_of(write(tmp_path, ROWS, "date,rain (mm/day),tmax_c,tmin_c")) == [
        f"months.csv line 1: the unit of column 'rain (mm/day)'; {accepted}"
    ]
    assert faults_of(write(tmp_path, invented_lines[1:], "date,rain (mm/month),tmax_c,tmin_c")) == [
        f"months.csv line 1: the unit of column 'rain (mm/month)'; {accepted}"
    ]


def test_too_short_and_too_empty(tmp_path: Path) -> None:
    assert faults_of(write(tmp_path, ROWS[1:])) == [
        "months.csv: 23 whole months, from 2010-02 to 2011-12; accepted: at least 24 whole calendar months"
    ]
    holed = [row for row in ROWS if "-06," not in row]
    holed[0], holed[11] = "2010-01,5,,1", "2011-01,5,7,"
    assert faults_of(write(tmp_path, holed)) == [
        "record: no usable June in 2 years of rain; accepted: at least one June with its rain",
        ("record: no usable January in 2 years of temperatures; accepted: at least one January with both temperatures"),
        ("record: no usable June in 2 years of temperatures; accepted: at least one June with both temperatures"),
    ]
    blank = [f"{month},,11,1" for month in MONTHS]
    assert faults_of(write(tmp_path, blank)) == [
        "months.csv: no rain; accepted: a column with them, monthly, in one of the files of rain.file"
    ]


@pytest.mark.parametrize("in_service", [None, "between the dates"])
def test_frost_dates_are_asked_for(tmp_path: Path, in_service: str | None) -> None:
    """Nothing is known of frost, so the tank is not put in service all year unasked."""
    record = load([write(tmp_path, ROWS)], Asked(), southern=False)
    given = {"tank_in_service"} if in_service else set()
    with pytest.raises(InputFaults) as caught:
        _service(SimpleNamespace(given=given, values={"tank_in_service": in_service, "tank_frost_days": 3.0}), record)
    assert str(caught.value) == (
        "tank.fill_from_month: a monthly record holds no frost dates;"
        ' accepted: dates of your own, or in_service = "all year"'
    )


def test_dates_of_ones_own_or_all_year(tmp_path: Path) -> None:
    record = load([write(tmp_path, ROWS)], Asked(), southern=False)
    all_year = SimpleNamespace(
        given={"tank_in_service"}, values={"tank_in_service": "all year", "tank_frost_days": 3.0}
    )
    found = _service(all_year, record)
    assert (found["tank_fill_from_month"], found["tank_drain_by_month"]) == (1, 12)
    dated = SimpleNamespace(given={"tank_fill_from_month"}, values={"tank_in_service": None, "tank_frost_days": 3.0})
    assert _service(dated, record)["tank_in_service"] == "between the dates"


def test_months_that_cannot_be_are_left_out_and_told(tmp_path: Path) -> None:
    """Rain below zero, and a mean low above the mean high: missing, and so a median stands there."""
    rows = [
        f"{year}-{month:02d},{month * 5},{10 + month},{month}" for year in (2009, 2010, 2011) for month in range(1, 13)
    ]
    rows[15], rows[18] = "2010-04,-5,14,4", "2010-07,35,7,17"
    path = tmp_path / "months.csv"
    path.write_text("\n".join(["date,rain (mm),tmax (°C),tmin (°C)", *rows]), encoding="utf-8")
    record = load([path], Asked(), southern=False)
    assert "The rain of -5.0 mm in 2010-04 is left out: rain below zero." in record.notes
    assert sum("in 2010-07 is left out" in note for note in record.notes) == 2
    filled = record.months[record.months["filled"] == 1]
    assert list(zip(filled["year"], filled["month"], strict=True)) == [(2010, 4), (2010, 7)]
    assert record.months["rain"].min() == 5
