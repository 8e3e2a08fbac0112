"""Reading a daily file: what is accepted, and each fault with the line that it is told in."""

import csv
from pathlib import Path

import numpy as np
import pandas as pd
import pint
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from budget.errors import InputFaults
from budget.record.asked import Asked
from budget.record.csv_file import read_file
from budget.record.layouts import read_heading

UNITLESS = "date,rain,tmax,tmin"
ONE_ROW = "2010-01-01,1.5,11,1"


def write(folder: Path, lines: list[str], encoding: str = "utf-8", end: str = "\n") -> Path:
    path = folder / "rain.csv"
    path.write_bytes((end.join(lines) + end).encode(encoding))
    return path


def rows_of(path: Path, unit: str | None = None, temperature_unit: str | None = None) -> pd.DataFrame:
    return read_file(path, Asked(unit, temperature_unit)).rows


def faults_of(path: Path, unit: str | None = None, temperature_unit: str | None = None) -> list[str]:
    with pytest.raises(InputFaults) as caught:
        read_file(path, Asked(unit, temperature_unit))
    return [str(fault) for fault in caught.value.faults]


def test_seattle_reads_as_pandas_reads_it(seattle_file: Path) -> None:
    days = rows_of(seattle_file, "mm", "C")
    plain = pd.read_csv(seattle_file, parse_dates=["date"], index_col="date")
    assert list(days.columns) == ["rain", "tmax", "tmin"]
    assert days.index.name == "date"
    assert days.index.freqstr == "D"
    assert (days.index == plain.index).all()
    expected = plain[["precipitation", "temp_max", "temp_min"]].to_numpy()
    np.testing.assert_array_equal(days.to_numpy(), expected)


def test_inches_and_fahrenheit_convert_as_pint_does(tmp_path: Path) -> None:
    calendar = pd.date_range("2010-01-01", "2011-12-31", freq="D")
    rows = [(day.date(), (day.day % 7) * 0.13, 40 + day.day, 20 + day.day * 0.7) for day in calendar]
    path = write(tmp_path, [UNITLESS] + [",".join(map(str, row)) for row in rows])
    days = rows_of(path, "in", "F")
    units = pint.UnitRegistry()
    for column, place, source, target in [
        ("rain", 1, "inch", "mm"),
        ("tmax", 2, "degF", "degC"),
        ("tmin", 3, "degF", "degC"),
    ]:
        numbers = units.Quantity(np.array([row[place] for row in rows]), source)
        np.testing.assert_allclose(days[column], numbers.to(target).magnitude, rtol=0, atol=1e-9)


@pytest.mark.parametrize(
    ("cell", "expected"),
    [
        ("Date", ("date", None)),
        ("rain", ("rain", None)),
        ("Rain (mm)", ("rain", "mm")),
        ("rain_in", ("rain", "in")),
        ("Rain in mm", ("rain", "in mm")),
        ("prcp [inches]", ("rain", "inches")),
        ("precip", ("rain", None)),
        ("PRECIPITATION", ("rain", None)),
        ("rain (cm)", ("rain", "cm")),
        ("tmax (°F)", ("tmax", "°f")),
        ("temp_max", ("tmax", None)),
        ("tmin_c", ("tmin", "c")),
        ("Min Temp (deg C)", ("tmin", "deg c")),
        ("rain_flag", None),
        ("tmax_attributes", None),
        ("wind", None),
    ],
)
def test_a_heading_is_known_by_its_words(cell: str, expected: tuple[str, str | None] | None) -> None:
    assert read_heading(cell) == expected


@pytest.mark.parametrize(
    ("header", "rain", "tmax"),
    [
        ("date,rain (mm),tmax (°C),tmin (°C)", 1.5, 11.0),
        ("date,rain in mm,tmax_c,tmin_c", 1.5, 11.0),
        ("DATE,Rain [in.],TMAX (degrees C),TMIN degC", 38.1, 11.0),
        ("date,rain (mm/day),tmax (°F),tmin (º F)", 1.5, -35 / 3),
    ],
)
def test_the_unit_stands_in_the_header(
    tmp_path: Path, invented_lines: list[str], header: str, rain: float, tmax: float
) -> None:
    days = rows_of(write(tmp_path, [header, *invented_lines[1:]]))
    assert days["rain"].iloc[0] == pytest.approx(rain)
    assert days["tmax"].iloc[0] == pytest.approx(tmax)


def test_order_of_columns_others_beside_them_and_a_title_above(tmp_path: Path, invented_lines: list[str]) -> None:
    rows = list(csv.reader(invented_lines[1:]))
    turned = ["Rain at an invented place", "", '"tmin_c","note","date","tmax_c","rain_mm"']
    turned += [f'{row[3]},"calm, dry",{row[0]},"{row[2]}",{row[1]}' for row in rows]
    plain = rows_of(write(tmp_path, invented_lines))
    pd.testing.assert_frame_equal(rows_of(write(tmp_path, turned)), plain)


@pytest.mark.parametrize(
    ("encoding", "end"),
    [
        ("utf-8", "\n"),
        ("utf-8-sig", "\r\n"),
        ("cp1252", "\r\n"),
        ("utf-8", "\r"),
        ("utf-8", "\r\r\n"),
        ("utf-16", "\n"),
    ],
)
def test_encodings_line_ends_and_blank_lines(
    tmp_path: Path, invented_lines: list[str], encoding: str, end: str
) -> None:
    plain = rows_of(write(tmp_path, invented_lines))
    path = write(tmp_path, [*invented_lines, "", ",,,", "  "], encoding, end)
    pd.testing.assert_frame_equal(rows_of(path), plain)


def test_missing_values_and_missing_rows_are_nan(tmp_path: Path, invented_lines: list[str]) -> None:
    lines = [line for line in invented_lines if not line.startswith(("2010-02-03", "2010-02-04"))]
    lines[1:5] = [
        "2010-01-01,,11,1",
        "2010-01-02,NA,nan,1",
        "2010-01-03,0,NaN,na",
        "2010/1/4 00:00:00,2,11,1",
    ]
    days = rows_of(write(tmp_path, lines))
    assert len(days) == 730
    assert days["rain"].isna().sum() == 4
    assert days.loc["2010-01-03", "rain"] == 0
    assert days.loc["2010-01-04", "rain"] == 2
    assert days.loc["2010-02-03":"2010-02-04"].isna().all(axis=None)
    assert days["tmin"].isna().sum() == 3


# Each fault of one row: the row put in line 17 (2010-01-16), and the line that must come out.
ROW_FAULTS = [
    (
        "2010-02-30,1,11,1",
        "rain.csv line 17: the date '2010-02-30'; accepted: a date such as 2012-01-31 or 2012/01/31",
    ),
    (
        "0010-01-16,1,11,1",
        "rain.csv line 17: the date '0010-01-16'; accepted: a date such as 2012-01-31 or 2012/01/31",
    ),
    (
        "2010-01-15,1,11,1",
        "rain.csv line 17: 2010-01-15 a second time, first in line 16; accepted: one row a day",
    ),
    (
        "2010-01,1,11,1",
        "rain.csv line 17: the month '2010-01' in a file of days; accepted: days only, or months only",
    ),
    (
        "2010-01-16,2000.5,11,1",
        "rain.csv line 17: rain 2000.5 mm in one day; accepted: at most 2000 mm (78.7 in) a day",
    ),
    (
        "2010-01-16,wet,11,1",
        (
            "rain.csv line 17: 'wet' in column 'rain (mm)'; accepted: a number with a decimal point;"
            " blank, NA or nan where"
            " the value is missing"
        ),
    ),
    (
        '2010-01-16,"1,5",11,1',
        (
            "rain.csv line 17: '1,5' in column 'rain (mm)'; accepted: a number with a decimal point;"
            " blank, NA or nan"
            " where the value is missing"
        ),
    ),
    (
        "2010-01-16,1,11,inf",
        (
            "rain.csv line 17: 'inf' in column 'tmin (°C)'; accepted: a number with a decimal point;"
            " blank, NA or nan"
            " where the value is missing"
        ),
    ),
    (
        "2010-01-16,0.5 in,11,1",
        "rain.csv line 17: '0.5 in' in column 'rain (mm)'; accepted: numbers in mm, as in the rest of the column",
    ),
    (
        "2010-01-16,1,51 °F,1",
        "rain.csv line 17: '51 °F' in column 'tmax (°C)'; accepted: numbers in C, as in the rest of the column",
    ),
    (
        "2010-01-16,1,11,T",
        (
            "rain.csv line 17: 'T' in column 'tmin (°C)'; accepted: a number with a decimal point;"
            " blank, NA or nan where the value is missing"
        ),
    ),
    (
        "2010-01-16,1,60.5,1",
        "rain.csv line 17: tmax 60.5 °C; accepted: -90 to 60 °C (-130 to 140 °F); blank where the value is missing",
    ),
    (
        "2010-01-16,1,11,-91",
        "rain.csv line 17: tmin -91 °C; accepted: -90 to 60 °C (-130 to 140 °F); blank where the value is missing",
    ),
    (
        "2010-01-16,1,5,11,1",
        "rain.csv line 17: 5 cells; accepted: 4 cells as in the header; decimals with a point",
    ),
    ("2010-01-1", "rain.csv line 17: 1 cells; accepted: 4 cells as in the header; decimals with a point"),
    ('2010-01-16,"1,11,1', 'rain.csv line 17: a quote that is not closed; accepted: quotes in pairs: "..."'),
]


@pytest.mark.parametrize(("row", "expected"), ROW_FAULTS, ids=[row for row, _ in ROW_FAULTS])
def test_a_fault_in_one_row(tmp_path: Path, invented_lines: list[str], row: str, expected: str) -> None:
    assert invented_lines[16].startswith("2010-01-16")
    invented_lines[16] = row
    assert faults_of(write(tmp_path, invented_lines)) == [expected]


def test_commas_in_one_column_only(tmp_path: Path, invented_lines: list[str]) -> None:
    invented_lines[16] = '2010-01-16,1.5,"11,5",1'
    assert rows_of(write(tmp_path, invented_lines)).loc["2010-01-16"].tolist() == [1.5, 11.5, 1]
    invented_lines[16] = '2010-01-16,1.5,"1,015",1'  # thousands or thousandths
    assert [line.split(";")[0] for line in faults_of(write(tmp_path, invented_lines))] == [
        "rain.csv line 17: '1,015' in column 'tmax (°C)'"
    ]


def test_limits_are_held_in_the_units_of_the_file(tmp_path: Path, invented_lines: list[str]) -> None:
    invented_lines[0] = UNITLESS
    invented_lines[5] = "2010-01-05,79,141,1"
    assert faults_of(write(tmp_path, invented_lines), "in", "F") == [
        "rain.csv line 6: rain 79 in in one day; accepted: at most 2000 mm (78.7 in) a day",
        "rain.csv line 6: tmax 141 °F; accepted: -90 to 60 °C (-130 to 140 °F); blank where the value is missing",
    ]
    invented_lines[5] = "2010-01-05,78,140,1"
    assert rows_of(write(tmp_path, invented_lines), "in", "F")["tmax"].max() == pytest.approx(60)


def test_all_faults_at_once_in_the_order_of_the_file(tmp_path: Path, invented_lines: list[str]) -> None:
    invented_lines[3] = "2010-01-03,3000,61,12"
    invented_lines[2] = "2010-01-32,1,11,1"
    invented_lines[20] = "2010-01-20,x,11,1"
    found = faults_of(write(tmp_path, invented_lines))
    assert [line.split(";")[0] for line in found] == [
        "rain.csv line 3: the date '2010-01-32'",
        "rain.csv line 4: rain 3000 mm in one day",
        "rain.csv line 4: tmax 61 °C",
        "rain.csv line 21: 'x' in column 'rain (mm)'",
    ]


def test_five_lines_of_a_kind_and_then_how_many_more(tmp_path: Path, invented_lines: list[str]) -> None:
    for place in range(10, 22):
        invented_lines[place] = f"{invented_lines[place][:10]},2222,11,-95"
    accepted_rain = "at most 2000 mm (78.7 in) a day"
    accepted_low = "-90 to 60 °C (-130 to 140 °F); blank where the value is missing"
    expected = []
    for line in range(11, 16):
        expected.append(f"rain.csv line {line}: rain 2222 mm in one day; accepted: {accepted_rain}")
        expected.append(f"rain.csv line {line}: tmin -95 °C; accepted: {accepted_low}")
    more = "rain.csv line 16: and 7 more from here on"
    expected.append(f"{more}: more rain than believable; accepted: {accepted_rain}")
    expected.append(f"{more}: unbelievable temperatures; accepted: {accepted_low}")
    assert faults_of(write(tmp_path, invented_lines)) == expected


def test_rows_in_any_order_and_rows_that_stand_twice(tmp_path: Path, invented_lines: list[str]) -> None:
    plain = read_file(write(tmp_path, invented_lines))
    assert plain.remarks == []
    turned = read_file(write(tmp_path, [invented_lines[0], *invented_lines[:0:-1], invented_lines[7]]))
    pd.testing.assert_frame_equal(turned.rows, plain.rows)
    assert turned.remarks == ["3 values that stand twice are taken once."]


def test_what_is_judged_later_is_no_fault_of_the_file(tmp_path: Path, invented_lines: list[str]) -> None:
    invented_lines[5] = "2010-01-05,-0.5,1,11"
    rows = rows_of(write(tmp_path, invented_lines))
    assert rows.loc["2010-01-05"].tolist() == [-0.5, 1, 11]


@pytest.mark.parametrize("code", ["-99", "-99.9", "-999", "-999.90", "-9999", "9999", "99999", "M", "-", "---", "null"])
def test_codes_of_missing_values(tmp_path: Path, invented_lines: list[str], code: str) -> None:
    invented_lines[5] = f"2010-01-05,{code},{code},{code}"
    assert rows_of(write(tmp_path, invented_lines)).loc["2010-01-05"].isna().all()


def test_a_trace_is_no_rain_and_is_counted(tmp_path: Path, invented_lines: list[str]) -> None:
    invented_lines[5:8] = ["2010-01-05,T,11,1", "2010-01-06,trace,11,1", "2010-01-07,Sp.,11,1"]
    read = read_file(write(tmp_path, invented_lines))
    assert read.rows["rain"].iloc[4:7].tolist() == [0, 0, 0]
    assert read.remarks == ["3 traces of rain count 0."]


def test_no_such_file(tmp_path: Path) -> None:
    path = tmp_path / "none.csv"
    assert faults_of(path) == [f"{path}: no such file; accepted: the path of a daily CSV file"]


def test_a_folder(tmp_path: Path) -> None:
    assert faults_of(tmp_path) == [f"{tmp_path}: a folder; accepted: the path of a daily CSV file"]


@pytest.mark.parametrize("content", [b"", b"\n\n  \n", b"\xef\xbb\xbf\n"])
def test_an_empty_file(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "rain.csv"
    path.write_bytes(content)
    assert faults_of(path) == [
        "rain.csv: an empty file; accepted: a header line with columns date, rain, tmax, tmin, separated by commas"
    ]


@pytest.mark.parametrize(
    "content", [b"PK\x03\x04\x00\x00", "date,rain".encode("utf-16-le"), b"\xff\xfea", b"date\x81,rain\n"]
)
def test_a_file_that_is_not_text(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "rain.csv"
    path.write_bytes(content)
    assert faults_of(path) == ["rain.csv: not a text file; accepted: a CSV file in UTF-8 or Windows-1252"]


@pytest.mark.parametrize("line", ["Tage;Wasser (mm);Tmin;Tmax", "2010-01-01,1,11,1", "rain,tmax,tmin"])
def test_no_header(tmp_path: Path, line: str) -> None:
    assert faults_of(write(tmp_path, ["", line, ONE_ROW])) == [
        (
            f"rain.csv line 2: no header; the line reads '{line}'; accepted: a header line with columns"
            " date, rain, tmax,"
            " tmin, separated by commas"
        )
    ]


def test_no_rows(tmp_path: Path, invented_lines: list[str]) -> None:
    assert faults_of(write(tmp_path, invented_lines[:1])) == [
        "rain.csv: no rows below the header; accepted: one row a day"
    ]


@pytest.mark.parametrize(("place", "role"), [(1, "rain"), (3, "tmin")])
def test_a_column_that_another_file_may_have(tmp_path: Path, invented_lines: list[str], place: int, role: str) -> None:
    rows = [line.split(",") for line in invented_lines]
    found = rows_of(write(tmp_path, [",".join(row[:place] + row[place + 1 :]) for row in rows]))
    assert found[role].isna().all()
    assert found.drop(columns=role).notna().all(axis=None)


def test_no_rain_and_no_values(tmp_path: Path, invented_lines: list[str]) -> None:
    rows = [line.split(",") for line in invented_lines[1:]]
    dry = [invented_lines[0]] + [f"{row[0]},0.0,{row[2]},{row[3]}" for row in rows]
    assert faults_of(write(tmp_path, dry)) == [
        "rain.csv: all rain is zero; accepted: daily rain; blank where the value is missing"
    ]
    blank = [invented_lines[0]] + [f"{row[0]},,,x" for row in rows[:1]] + [f"{row[0]},,," for row in rows[1:]]
    assert [line.split(";")[0] for line in faults_of(write(tmp_path, blank))] == [
        "rain.csv line 2: 'x' in column 'tmin (°C)'"
    ]
    blank[1] = f"{rows[0][0]},,,"
    assert faults_of(write(tmp_path, blank)) == [
        "rain.csv: no value in any row; accepted: daily rain, 0 where none fell"
    ]


def test_two_columns_for_the_same_thing(tmp_path: Path, invented_lines: list[str]) -> None:
    lines = ["date,rain (mm),rain (in),tmax_c,tmin_c"] + [line.replace(",", ",1.0,", 1) for line in invented_lines[1:]]
    assert faults_of(write(tmp_path, lines)) == [
        "rain.csv line 1: 2 columns for rain: 'rain (mm)', 'rain (in)'; accepted: one; rename the other"
    ]


def test_no_unit_anywhere_says_which_line_to_add(tmp_path: Path, invented_lines: list[str]) -> None:
    path = write(tmp_path, [UNITLESS, *invented_lines[1:]])
    assert faults_of(path) == [
        (
            'rain.csv line 1: no unit for the rain; accepted: this line in the site file: rain.unit = "in" or'
            ' rain.unit = "mm"'
        ),
        (
            "rain.csv line 1: no unit for the temperatures; accepted: this line in the site file:"
            ' rain.temperature_unit = "F" or rain.temperature_unit = "C"'
        ),
    ]
    assert len(faults_of(path, unit="mm")) == 1


def test_one_of_two_units_is_unknown(tmp_path: Path, invented_lines: list[str]) -> None:
    lines = ["date,rain (mm),tmax (°F),tmin", *(f"{line[:10]},1,50,40" for line in invented_lines[1:])]
    found = faults_of(write(tmp_path, lines))
    assert [line.split(";")[0] for line in found] == ["rain.csv line 1: no unit for the temperatures"]


def test_header_and_site_file_disagree(tmp_path: Path, invented_lines: list[str]) -> None:
    same = "accepted: the same unit in both, or only one of them"
    assert faults_of(write(tmp_path, invented_lines), "in", "F") == [
        f"rain.csv line 1: column 'rain (mm)', but rain.unit = \"in\" in the site file; {same}",
        f"rain.csv line 1: column 'tmax (°C)', but rain.temperature_unit = \"F\" in the site file; {same}",
        f"rain.csv line 1: column 'tmin (°C)', but rain.temperature_unit = \"F\" in the site file; {same}",
    ]
    assert len(rows_of(write(tmp_path, invented_lines), "mm", "C")) == 730


def test_highs_and_lows_in_two_units(tmp_path: Path, invented_lines: list[str]) -> None:
    path = write(tmp_path, ["date,rain (mm),tmax (°F),tmin (°C)", *invented_lines[1:]])
    assert faults_of(path) == ["rain.csv line 1: highs in °F and lows in °C; accepted: one unit for both"]


def test_rows_that_are_all_shorter_than_the_header(tmp_path: Path) -> None:
    """A comma in a heading moves the columns after it."""
    rows = ["2010-01-01,1,2,3", "2010-01-02,1,2,3"]
    path = write(tmp_path, ["date,gauge (old, new),rain_mm,note", *rows])
    assert [line.split(";")[0] for line in faults_of(path)] == [f"rain.csv line {line}: 4 cells" for line in (2, 3)]
    path = write(tmp_path, ["date,rain_mm,note", "2010-01-01,1", "2010-01-02,2,storm", "2010-01-03,3,,"])
    assert rows_of(path)["rain"].tolist() == [1, 2, 3]


def test_units_that_are_not_known(tmp_path: Path, invented_lines: list[str]) -> None:
    path = write(tmp_path, ["date,rain (0.1 mm),tmax (K),tmin (°C)", *invented_lines[1:]])
    assert faults_of(path) == [
        'rain.csv line 1: the unit of column \'rain (0.1 mm)\'; accepted: "in" or "mm"',
        'rain.csv line 1: the unit of column \'tmax (K)\'; accepted: "F" or "C"',
    ]
    assert faults_of(write(tmp_path, [UNITLESS, *invented_lines[1:]]), "cm", "K") == [
        'rain.csv: rain.unit = "cm" in the site file; accepted: "in" or "mm"',
        'rain.csv: rain.temperature_unit = "K" in the site file; accepted: "F" or "C"',
    ]


CELLS = st.sampled_from(
    [
        "date",
        "rain",
        "tmax (°F)",
        "tmin_c",
        "2010-01-01",
        "2010-01",
        "year",
        "month",
        "2010/02/30",
        "9999-12-31",
        "-1",
        "1e999",
        "nan",
        '"',
        "x\x85y",
        "",
    ]
)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    content=st.binary(max_size=60)
    | st.lists(st.lists(CELLS, max_size=5).map(",".join), max_size=8).map(lambda rows: "\n".join(rows).encode()),
    units=st.sampled_from([(None, None), ("mm", "C"), ("in", "F"), ("furlong", "")]),
)
def test_whatever_the_file_holds_only_faults_come_out(
    tmp_path: Path, content: bytes, units: tuple[str | None, str | None]
) -> None:
    path = tmp_path / "rain.csv"
    path.write_bytes(content)
    told = faults_of(path, *units)
    assert told
    for line in told:
        assert line.startswith("rain.csv")
        assert len(line.splitlines()) == 1


def test_thirty_years_read_as_pandas_reads_them(long_file: Path) -> None:
    days = rows_of(long_file, "mm", "C")
    plain = pd.read_csv(long_file, parse_dates=["date"], index_col="date")
    assert (days.index == pd.date_range(plain.index[0], plain.index[-1])).all()
    expected = plain[["prcp", "tmax", "tmin"]].reindex(days.index)
    np.testing.assert_array_equal(days.to_numpy(), expected.to_numpy())
