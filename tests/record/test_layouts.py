"""The layouts of services and families: each to the figures it holds, and what is asked where a file leaves it open."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from budget.errors import InputFaults
from budget.record.asked import Asked
from budget.record.csv_file import read_file
from budget.record.findings import Findings
from budget.record.header import find_header
from budget.record.layouts import LAYOUTS
from budget.record.text_rows import read_rows_of_text
from tests.record.samples import SAMPLES, Sample

NAMED = {sample.name: sample for sample in SAMPLES}


@pytest.fixture(params=SAMPLES, ids=list(NAMED))
def sample(request: pytest.FixtureRequest) -> Sample:
    """Each sample in turn."""
    found: Sample = request.param
    return found


NOTHING = Asked()


def faults_of(path: Path, asked: Asked = NOTHING) -> list[str]:
    with pytest.raises(InputFaults) as caught:
        read_file(path, asked)
    return [str(fault) for fault in caught.value.faults]


def write(folder: Path, text: str, name: str = "rain.csv") -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def test_a_layout_to_its_figures(tmp_path: Path, sample: Sample) -> None:
    read = read_file(sample.write(tmp_path), sample.asked)
    assert read.layout == sample.layout
    pd.testing.assert_frame_equal(read.rows, sample.expected(), rtol=0, atol=1e-9)
    assert np.flatnonzero(read.totals).tolist() == list(sample.totals)
    assert tuple(read.remarks) == sample.remarks
    assert read.monthly is sample.monthly


def test_every_layout_has_a_sample(tmp_path: Path) -> None:
    found = [find_header(read_rows_of_text(sample.write(tmp_path)), Findings("")).layout for sample in SAMPLES]
    assert len(LAYOUTS) >= 20  # services, own logs, tables of months
    assert [layout for layout in LAYOUTS if not any(layout is other for other in found)] == []


@pytest.mark.parametrize("sample", [each for each in SAMPLES if "without headings" not in each.name], ids=str)
def test_a_sample_in_a_spreadsheet(tmp_path: Path, sample: Sample) -> None:
    rows = read_rows_of_text(sample.write(tmp_path))
    header = find_header(rows, Findings(""))
    cells = [rows.split(index, header.separator) or [] for index in range(header.index, len(rows.lines))]
    above = [[text] for _, text in rows.lines[: header.index]]
    widest = max(map(len, [*above, *cells]))
    table = [[*row, *[None] * (widest - len(row))] for row in (*above, *cells)]
    for name in ("sample.xlsx", "sample.ods"):
        pd.DataFrame(table).to_excel(tmp_path / name, header=False, index=False)
        read = read_file(tmp_path / name, sample.asked)
        assert read.layout == sample.layout
        pd.testing.assert_frame_equal(read.rows, sample.expected(), rtol=0, atol=1e-9)


def test_numbers_and_dates_of_a_spreadsheet(tmp_path: Path) -> None:
    """As a spreadsheet keeps them, not as text."""
    days = pd.date_range("2031-01-01", periods=4, freq="D")
    table = pd.DataFrame(
        {"Date": days, "Rain (in)": [0.25, 0, None, 1], "Year": [2031.0] * 4, "tmax_f": [50, 59, 68, None]}
    )
    expected = [(6.35, 10), (0, 15), (np.nan, 20), (25.4, np.nan)]
    for name in ("rain.xlsx", "rain.ods"):
        with pd.ExcelWriter(tmp_path / name) as book:
            pd.DataFrame().to_excel(book, sheet_name="empty", index=False)
            table.to_excel(book, sheet_name="rain", index=False, startrow=2)
        rows = read_file(tmp_path / name).rows
        assert (rows.index == days).all()
        np.testing.assert_allclose(rows[["rain", "tmax"]], expected, rtol=0, atol=1e-12)


@pytest.mark.parametrize("name", ["rain.xlsx", "rain.ods"])
def test_a_spreadsheet_that_does_not_open(tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_bytes(b"PK\x03\x04 and no more")
    assert faults_of(tmp_path / name) == [
        f"{name}: cannot be read as a spreadsheet; accepted: an .xlsx or .ods file that opens"
    ]
    pd.DataFrame().to_excel(tmp_path / name, header=False, index=False)
    assert [fault.split(";")[0] for fault in faults_of(tmp_path / name)] == [f"{name}: an empty file"]


# ---------------------------------------------------------------- what is asked

UNIT_ASKED = 'this line in the site file: rain.unit = "in" or rain.unit = "mm"'
TEMPERATURE_ASKED = 'this line in the site file: rain.temperature_unit = "F" or rain.temperature_unit = "C"'
ORDER_ASKED = 'this line in the site file: rain.date_order = "day first" or rain.date_order = "month first"'


def test_units_are_asked_for(tmp_path: Path) -> None:
    assert faults_of(NAMED["an order in US units"].write(tmp_path)) == [
        f"sample.csv line 1: no unit for the rain; accepted: {UNIT_ASKED}",
        f"sample.csv line 1: no unit for the temperatures; accepted: {TEMPERATURE_ASKED}",
    ]
    assert faults_of(NAMED["months in columns by their whole names"].write(tmp_path)) == [
        f"sample.csv line 1: no unit for the rain; accepted: {UNIT_ASKED}"
    ]


AMBIGUOUS = "date,rain_mm\n1/2/2031,1\n1/3/2031,2\n2/2/2031,3\n"


def test_the_order_of_dates_is_asked_for(tmp_path: Path) -> None:
    path = write(tmp_path, AMBIGUOUS)
    assert faults_of(path) == [
        "rain.csv line 1: dates such as '1/2/2031', whose day and month could be taken for each other;"
        f" accepted: {ORDER_ASKED}"
    ]
    for order, expected in [
        ("day first", {"2031-02-01": 1, "2031-03-01": 2, "2031-02-02": 3}),
        ("month first", {"2031-01-02": 1, "2031-01-03": 2, "2031-02-02": 3}),
    ]:
        rain = read_file(path, Asked(date_order=order, days_left_out="missing")).rows["rain"].dropna()
        assert {str(day)[:10]: value for day, value in rain.items()} == expected


def test_one_day_above_twelve_tells_the_order(tmp_path: Path) -> None:
    path = write(tmp_path, AMBIGUOUS + "13/2/2031,4\n")
    rain = read_file(path, Asked(days_left_out="missing")).rows["rain"].dropna()
    assert {str(day)[:10] for day in rain.index} == {"2031-02-01", "2031-03-01", "2031-02-02", "2031-02-13"}
    assert faults_of(path, Asked(date_order="month first")) == [
        'rain.csv line 1: dates with the day first, but rain.date_order = "month first" in the site file;'
        " accepted: the same in both"
    ]
    assert faults_of(write(tmp_path, AMBIGUOUS + "13/2/2031,4\n2/13/2031,4\n")) == [
        "rain.csv line 1: dates of which some have the day first and some the month; accepted: one order throughout"
    ]


def test_order_and_units_are_asked_for_at_once(tmp_path: Path) -> None:
    path = write(tmp_path, AMBIGUOUS.replace("rain_mm", "rain"))
    assert [fault.split("accepted: ")[1] for fault in faults_of(path)] == [ORDER_ASKED, UNIT_ASKED]


def test_one_of_several_stations_is_asked_for(tmp_path: Path) -> None:
    sample = NAMED["French climate"]
    text = sample.text + "".join(f"99999002;INVENTE;0.0;0.0;10;2031010{day};{day};1;;;;;;;;\n" for day in (1, 2, 3))
    path = write(tmp_path, text)
    assert faults_of(path) == [
        "rain.csv line 1: 2 stations; accepted: this line in the site file, with one of them:"
        ' rain.station = "99999002", "99999001"'
    ]
    pd.testing.assert_frame_equal(read_file(path, Asked(station="99999001")).rows, sample.expected())
    assert read_file(path, Asked(station="99999002")).rows["rain"].tolist() == [1, 2, 3]
    assert "2 stations" in faults_of(path, Asked(station="99999003"))[0]


def test_days_left_out_are_asked_for(tmp_path: Path) -> None:
    sample = NAMED["own log, US"]
    rows = "".join(f"{month}/{day}/31,7:00,{day / 10}\n" for month in (2, 4, 6) for day in (1, 15))
    path = write(tmp_path, sample.text + rows)
    asked = 'this line in the site file: rain.days_left_out = "dry" or rain.days_left_out = "missing"'
    assert faults_of(path) == [
        f"rain.csv: rows for 8% of the days: are the others dry, or not known?; accepted: {asked}"
    ]
    dry = read_file(path, Asked(days_left_out="dry")).rows["rain"]
    assert dry.isna().sum() == 1  # of the day that is marked as missing
    assert dry.sum() == pytest.approx((0.6 + 0.96 + 0.25 + 3 * 1.6) * 25.4)
    assert read_file(path, Asked(days_left_out="missing")).rows["rain"].notna().sum() == 10


def test_days_that_a_service_leaves_out_are_never_dry(tmp_path: Path) -> None:
    sample = NAMED["long"]
    read = read_file(sample.write(tmp_path), Asked(days_left_out="dry"))
    pd.testing.assert_frame_equal(read.rows, sample.expected(), rtol=0, atol=1e-9)
    sample = NAMED["a download by station and day"]
    assert read_file(sample.write(tmp_path), Asked(days_left_out="dry")).rows["rain"].isna().sum() == 2


# ---------------------------------------------------------------- what must not be read in silence


def test_numbers_with_a_point_are_no_tenths(tmp_path: Path) -> None:
    """The same headings with values in millimetres would be ten times too small."""
    text = NAMED["a day a row with attributes"].text.replace('"   56"', '"  5.6"')
    assert faults_of(write(tmp_path, text)) == [
        "rain.csv line 2: '5.6' in column 'PRCP', which such files have in tenths; accepted: whole tenths;"
        ' where the numbers are no tenths, headings of your own such as "rain (mm)"'
    ]


def test_a_title_that_says_another_unit_than_the_layout(tmp_path: Path) -> None:
    text = NAMED["a satellite series"].text.replace("(mm/day)", "(in/day)")
    assert faults_of(write(tmp_path, text)) == [
        "rain.csv line 6: rain in in by the lines above the header; accepted: mm, as such files have it;"
        ' or headings of your own such as "rain (in)"'
    ]


def test_a_title_and_the_site_file_disagree(tmp_path: Path) -> None:
    path = NAMED["months in columns"].write(tmp_path)
    assert faults_of(path, Asked(unit="in")) == [
        'sample.csv line 2: rain in mm by the lines above the header, but rain.unit = "in" in the site file;'
        " accepted: the same unit in both, or only one of them"
    ]


@pytest.mark.parametrize("title", ["Weather of Invented County (C) 2031", "Invented Town (IN)", "rain (mm), snow (in)"])
def test_titles_that_name_no_unit(tmp_path: Path, title: str) -> None:
    text = f"{title}\ndate,rain,tmax\n2031-01-01,1,50\n"
    assert [fault.split("; ")[0] for fault in faults_of(write(tmp_path, text))] == [
        "rain.csv line 2: no unit for the rain",
        "rain.csv line 2: no unit for the temperatures",
    ]


def test_units_above_and_in_a_line_below_disagree(tmp_path: Path) -> None:
    text = "date,rain (mm),tmax\n,in,F\n2031-01-01,1,50\n"
    assert faults_of(write(tmp_path, text)) == [
        'rain.csv line 1: the unit of column \'rain (mm)\'; accepted: "in" or "mm"'
    ]
    read = read_file(write(tmp_path, text.replace(",in,", ",mm,")))
    assert read.rows.iloc[0].tolist()[:2] == [1, 10]


def test_years_that_begin_in_autumn(tmp_path: Path) -> None:
    text = "Year,Oct,Nov,Dec,Jan,Feb,Mar,Apr,May,Jun,Jul,Aug,Sep\n2031,1,2,3,4,5,6,7,8,9,10,11,12\n"
    assert faults_of(write(tmp_path, text), Asked("mm")) == [
        "rain.csv line 1: columns of months that begin with 'Oct';"
        " accepted: January to December, each row a calendar year"
    ]


def test_two_values_for_one_day(tmp_path: Path) -> None:
    text = "date,rain_mm,tmax_c\n2031-01-01,1,10\n2031-01-02,2,11\n2031-01-01,1,10\n2031-01-02,2.5,12\n"
    assert faults_of(write(tmp_path, text)) == [
        "rain.csv line 5: 2031-01-02 a second time, first in line 3; accepted: one row a day"
    ]


def test_a_total_of_each_day_is_no_running_total(tmp_path: Path) -> None:
    text = "date,total (mm)\n2031-03-01,5\n2031-03-02,2\n2031-03-03,2\n"
    assert faults_of(write(tmp_path, text)) == [
        "rain.csv line 3: the running total falls from 5 to 2 mm on 2031-03-02; accepted: one that only rises, but for"
        " a new start on 1 January, 1 July or 1 October; what fell in each row stands in a column named rain"
    ]


def test_a_running_total_over_a_long_gap(tmp_path: Path) -> None:
    text = "date,total (mm)\n2031-03-01,5\n2031-03-02,7\n2031-05-02,300\n2031-05-03,301\n"
    read = read_file(write(tmp_path, text), Asked(days_left_out="dry"))
    assert read.rows["rain"].dropna().to_dict() == {
        pd.Timestamp("2031-03-01"): 0,
        pd.Timestamp("2031-03-02"): 2,
        pd.Timestamp("2031-05-03"): 1,
    }
    assert "1 rise of the running total over more than a month is left out." in read.remarks
    assert not read.totals.any()


@pytest.mark.parametrize("span", ["0", "32", "1e300"])
def test_totals_over_days_that_cannot_be(tmp_path: Path, span: str) -> None:
    text = NAMED["Australian rain"].text.replace("24.4,4,Y", f"24.4,{span},Y")
    assert faults_of(write(tmp_path, text)) == [
        f"rain.csv line 6: a total over {float(span):g} days; accepted: 1 to 31 days"
    ]


def test_a_sentence_is_no_header(tmp_path: Path) -> None:
    text = "The date of the rain stands in front\n2031-01-01 1\n"
    assert [fault.split(";")[0] for fault in faults_of(write(tmp_path, text))] == ["rain.csv line 1: no header"]
