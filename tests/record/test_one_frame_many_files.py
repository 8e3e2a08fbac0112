"""One record in many files: whatever layout, unit, code, separator and form of dates, the same figures come back.

And files that were damaged: a fault or the figures, never another error, never another unit.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from budget.errors import InputFaults
from budget.record import dates
from budget.record.asked import Asked
from budget.record.csv_file import read_file
from budget.record.date_column import date_texts, settle_order
from budget.record.findings import Findings
from budget.record.header import find_header, rows_below
from budget.record.text_rows import read_rows_of_text
from tests.record.samples import SAMPLES, Sample

# Days of rain, high and low in tenths of mm and °C, so that every layout can hold them; None where missing.
Tenths = list[tuple[int | None, int | None, int | None]]
FIGURE = st.one_of(st.none(), st.integers(-350, 450))
RAIN = st.one_of(st.none(), st.just(0), st.integers(0, 2500))
DAYS = st.lists(st.tuples(RAIN, FIGURE, FIGURE), min_size=2, max_size=25)

DATE_FORMS: dict[str, Callable[[date], str]] = {
    "2031-02-28": str,
    "2031/2/8": lambda day: f"{day.year}/{day.month}/{day.day}",
    "20310228": lambda day: f"{day:%Y%m%d}",
    "2031-02-28 00:00:00": lambda day: f"{day} 00:00:00",
    "28.02.2031": lambda day: f"{day:%d.%m.%Y}",
    "28/02/2031": lambda day: f"{day:%d/%m/%Y}",
    "2/8/31": lambda day: f"{day.month}/{day.day}/{day:%y}",
    "28-Feb-2031": lambda day: (
        f"{day.day}-{'JanFebMarAprMayJunJulAugSepOctNovDec'[3 * day.month - 3 :][:3]}-{day.year}"
    ),
}
ORDERS = {"28/02/2031": "day first", "2/8/31": "month first"}


@dataclass(frozen=True)
class Writing:
    """How a file is written."""

    layout: str
    dates: str
    separator: str
    commas: bool
    inches: bool
    fahrenheit: bool
    units_said: bool
    missing: str
    shuffle: int


WRITINGS = st.builds(
    Writing,
    st.sampled_from(
        ["own", "own", "own", "parts", "long", "wide", "order", "download", "German", "Dutch", "day of year"]
    ),
    st.sampled_from(list(DATE_FORMS)),
    st.sampled_from([",", ";", "\t", "|"]),
    st.booleans(),
    st.booleans(),
    st.booleans(),
    st.booleans(),
    st.sampled_from(["", "NA", "-999", "-99.9", "-9999", "M", "---"]),
    st.integers(0, 9),
)


def number(tenths: int, unit: str) -> str:
    """The figure in a unit, in as many digits as it takes."""
    return repr({"mm": tenths / 10, "in": tenths / 254, "C": tenths / 10, "F": tenths * 0.18 + 32}[unit])


def written(days: Tenths, first: date, how: Writing) -> tuple[str, Asked]:
    """The file, and what must be said of it."""
    dated = [(first + timedelta(place), figures) for place, figures in enumerate(days)]
    write = {
        "own": write_own,
        "parts": write_own,
        "day of year": write_own,
        "order": write_order,
        "download": write_download,
        "long": write_long,
        "wide": write_wide,
        "German": write_german,
        "Dutch": write_dutch,
    }[how.layout]
    header, rows, asked = write(dated, how)
    random.Random(how.shuffle).shuffle(rows)
    return "\n".join([header, *rows]) + "\n", asked


Dated = list[tuple[date, tuple[int | None, int | None, int | None]]]
Written = tuple[str, list[str], Asked]


def units_of(how: Writing) -> tuple[str, str, str]:
    temperature = "F" if how.fahrenheit else "C"
    return ("in" if how.inches else "mm", temperature, temperature)


def write_own(dated: Dated, how: Writing) -> Written:
    commas = how.commas and how.separator != ","
    units = units_of(how)
    names = ["rain", "tmax", "tmin"]
    if how.units_said:
        names = [f"{name} ({unit})" for name, unit in zip(names, units, strict=True)]
    dating = {"parts": ["year", "month", "day"], "day of year": ["Year", "DOY"]}.get(how.layout, ["Date"])
    rows = []
    for day, figures in dated:
        told = {
            "parts": [str(day.year), str(day.month), str(day.day)],
            "day of year": [str(day.year), f"{day:%j}"],
        }.get(how.layout, [DATE_FORMS[how.dates](day)])
        if any(figure is not None for figure in figures):
            cells = [how.missing if t is None else number(t, u) for t, u in zip(figures, units, strict=True)]
            cells = [cell.replace(".", ",") if commas and cell != how.missing else cell for cell in cells]
            rows.append(how.separator.join([*told, *cells]))
    order = ORDERS.get(how.dates) if how.layout == "own" else None
    said = (None, None) if how.units_said else units[:2]
    return how.separator.join([*dating, *names]), rows, Asked(*said, date_order=order, days_left_out="missing")


def write_order(dated: Dated, how: Writing) -> Written:
    units = units_of(how)
    rows = []
    for day, figures in dated:
        cells = ["" if t is None else f'"{number(t, u)}"' for t, u in zip(figures, units, strict=True)]
        rows.append(f'"ZZX00000001","INVENTED, ZZ","{day}",{",".join(cells)}')
    return '"STATION","NAME","DATE","PRCP","TMAX","TMIN"', rows, Asked(*units[:2])


def write_download(dated: Dated, how: Writing) -> Written:
    rows = []
    for day, figures in dated:
        rain, high, low = ("" if t is None else number(t, "mm") for t in figures)
        rows.append(f"{day} 00:00:00,,{low},{high},{rain},,,,,,")
    return "date,tavg,tmin,tmax,prcp,snow,wdir,wspd,wpgt,pres,tsun", rows, Asked()


def write_long(dated: Dated, how: Writing) -> Written:
    rows = []
    for day, figures in dated:
        for name, tenths in zip(("PRCP", "TMAX", "TMIN"), figures, strict=True):
            if tenths is not None:
                rows.append(f"ZZX00000001,{day:%Y%m%d},{name},{tenths},,,7,0800")
    return "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME", rows, Asked()


def write_wide(dated: Dated, how: Writing) -> Written:
    rows = []
    for day, figures in dated:
        cells = ['"",""' if t is None else f'"{t:5d}",",,7,0800"' for t in figures]
        rows.append(f'"ZZX00000001","{day}","0.0","0.0","10.0","INVENTED",{",".join(cells)}')
    header = (
        '"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","PRCP","PRCP_ATTRIBUTES","TMAX","TMAX_ATTRIBUTES",'
        '"TMIN","TMIN_ATTRIBUTES"'
    )
    return header, rows, Asked()


def write_german(dated: Dated, how: Writing) -> Written:
    rows = []
    for day, figures in dated:
        rain, high, low = ("-999" if t is None else number(t, "mm") for t in figures)
        rows.append(f"       9999;{day:%Y%m%d};    9;{rain:>6};   6;{high:>8};{low:>7};eor")
    return "STATIONS_ID;MESS_DATUM;QN_4; RSK;RSKF; TXK; TNK;eor", rows, Asked()


def write_dutch(dated: Dated, how: Writing) -> Written:
    rows = []
    for day, figures in dated:
        rain, high, low = ("" if t is None else str(t) for t in figures)
        rows.append(f"  999,{day:%Y%m%d},{low:>5},{high:>5},{rain:>5}")
    return "# STN,YYYYMMDD,   TN,   TX,   RH", rows, Asked()


@settings(
    max_examples=400, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(DAYS, st.dates(date(1990, 1, 1), date(2040, 12, 31)), WRITINGS)
@example([(1, -99, -990 // 10), (0, 3, 5)], date(2032, 2, 28), Writing("long", "2031-02-28", ",", *[False] * 4, "", 0))
def test_one_frame_in_any_file(tmp_path: Path, days: Tenths, first: date, how: Writing) -> None:
    days = [(7, *days[0][1:]), *days[1:-1], (0, *days[-1][1:])]  # the record begins and ends on known days
    text, asked = written(days, first, how)
    path = tmp_path / "rain.csv"
    path.write_text(text, encoding="utf-8")
    read = read_file(path, asked)
    calendar = pd.date_range(first, periods=len(days), freq="D", name="date")
    assert (read.rows.index == calendar).all()
    expected = np.array([[np.nan if t is None else t / 10 for t in figures] for figures in days])
    np.testing.assert_allclose(read.rows.to_numpy(), expected, rtol=0, atol=1e-9)
    assert not read.totals.any()


# ---------------------------------------------------------------- damaged files

DAMAGED = 1000


def days_by_line(sample: Sample, path: Path) -> dict[int, list[pd.Timestamp]]:
    """The days or months that each line of the sound file tells of."""
    rows, none = read_rows_of_text(path), Findings("")
    header = find_header(rows, none)
    body = list(rows_below(rows, header, none))
    order = settle_order(body, header, sample.asked, none)
    found = {}
    for (line, _), text in zip(body, date_texts(body, header), strict=True):
        whole_year = (
            [date(int(text), month, 1) for month in range(1, 13)] if text.isdecimal() and len(text) == 4 else []
        )
        day = dates.read_day(text, order) or dates.read_month(text)
        found[line] = [pd.Timestamp(day) for day in whole_year or [day]]
    return found


def damage(content: bytes, chance: random.Random) -> bytes:
    """The file with some of it changed, lost, or written in another encoding."""
    kind = chance.choice(["bytes", "bytes", "header", "cut", "lines", "encoding", "line ends"])
    changed = bytearray(content)
    if kind == "bytes":
        for _ in range(chance.randint(1, 6)):
            changed[chance.randrange(len(changed))] = chance.randrange(256)
    elif kind == "header":  # where the units stand
        header = max(content.split(b"\n"), key=lambda line: sum(chr(byte).isalpha() for byte in line))
        at = content.index(header)
        for _ in range(chance.randint(1, 2)):
            changed[at + chance.randrange(len(header))] = chance.choice(b' abcdefimnrtxCFINT,;()"_0')
    elif kind == "cut":
        del changed[chance.randrange(len(changed)) :]
    elif kind == "lines":
        lines = content.split(b"\n")
        for _ in range(chance.randint(1, 3)):
            del lines[chance.randrange(len(lines))]
        return b"\n".join(lines)
    elif kind == "encoding":
        to, back = chance.choice(
            [("utf-16", "utf-8"), ("utf-16-be", "utf-8"), ("cp1252", "utf-8"), ("utf-8", "cp1252"), ("cp037", "utf-8")]
        )
        return content.decode(back, "replace").encode(to, "replace")
    else:
        return content.replace(b"\n", chance.choice([b"\r", b"\r\n", b"\r\r\n", b"\x0b"]))
    return bytes(changed)


@pytest.mark.parametrize("part", range(4))
def test_a_damaged_file_is_a_fault_or_keeps_its_units(tmp_path: Path, part: int) -> None:
    """Lines that the damage left alone hold the figures that they held, or the file is refused."""
    chance = random.Random(part)
    known = {}
    for sample in SAMPLES:
        known[sample.name] = days_by_line(sample, sample.write(tmp_path))
    path = tmp_path / "damaged.csv"
    read_again, wrong = 0, []
    for _ in range(DAMAGED // 4):
        sample = chance.choice(SAMPLES)
        content = damage(sample.text.encode(), chance)
        path.write_bytes(content)
        try:
            rows = read_file(path, sample.asked).rows
        except InputFaults:
            continue
        read_again += 1
        if "running" in sample.name:  # a row lost there is rain of the next
            continue
        left = {line.strip() for line in content.decode("utf-8", "replace").splitlines()}
        sound = sample.text.splitlines()
        expected = sample.expected()
        totals = expected.index[list(sample.totals)]
        untouched = {
            day for line, days in known[sample.name].items() if sound[line - 1].strip() in left for day in days
        }
        touched = {
            day for line, days in known[sample.name].items() if sound[line - 1].strip() not in left for day in days
        }
        both = expected.index.intersection(rows.index).intersection(list(untouched - touched)).difference(totals)
        apart = (rows.loc[both] - expected.loc[both]).abs().max(axis=None)
        if apart > 1e-9:
            wrong.append(f"{sample.name}: {apart:g} apart in {content!r}")
    assert wrong == [], wrong
    assert read_again > DAMAGED / 4 / 10
