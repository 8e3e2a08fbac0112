"""A plain CSV: one row a day or one row a month, columns found by name, every fault told with its line.

    date        rain (mm)   tmax (°C)   tmin (°C)
    2012-01-01        0.0        12.8         5.0
    2012-01-02       10.9        10.6         2.8
    2012-01-04                    9.4         1.1      a blank cell is a missing value, never 0
                                                       a day without a row is missing too

A file of months has dates such as 2012-01, or columns year and month; it holds each month's rain and the means of its
daily highs and lows.

A unit is never guessed from the size of the numbers: it stands in the header or in the site file.
"""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path

import numpy as np
import pandas as pd

from budget.errors import Fault, InputFaults

# What a column may be called, once case, dots, dashes and underscores are put aside.
COLUMN_NAMES = {
    "date": ("date",),
    "year": ("year",),
    "month": ("month",),
    "rain": ("rain", "rainfall", "prcp", "precip", "precipitation"),
    "tmax": (
        "tmax",
        "t max",
        "temp max",
        "max temp",
        "temperature max",
        "max temperature",
        "maximum temperature",
    ),
    "tmin": (
        "tmin",
        "t min",
        "temp min",
        "min temp",
        "temperature min",
        "min temperature",
        "minimum temperature",
    ),
}
NUMBERS = ("rain", "tmax", "tmin")
RAIN_UNITS = {
    "mm": ("mm", "millimetre", "millimetres", "millimeter", "millimeters"),
    "in": ("in", "inch", "inches"),
}
TEMPERATURE_UNITS = {"C": ("c", "celsius"), "F": ("f", "fahrenheit")}
# What the site file may say of a column: the words for it, the setting, its choices.
UNIT_SETTINGS = {
    "rain": ("rain", "rain.unit", ("in", "mm")),
    "tmax": ("temperatures", "rain.temperature_unit", ("F", "C")),
    "tmin": ("temperatures", "rain.temperature_unit", ("F", "C")),
}

MM_PER_INCH = 25.4  # exact by definition
MISSING = ("", "na", "nan")
NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?")

FIRST_YEAR, LAST_YEAR = 1700, 2200  # wider than any rain record; a year outside is a slip
COLDEST, HOTTEST = -90.0, 60.0  # [°C] the extremes on record are about -89 and 57; recalled
FEWEST_MONTHS = 24  # two years, the least from which years can be compared; common practice, no source
HEADER_WITHIN = 50  # lines searched for the header, so that titles may stand above it
LINES_TOLD = 5  # of the same kind of fault
LONGEST_MONTH = 31  # [days]
SHORTEST_MONTH = 28  # [days]

NUMBER_ACCEPTED = "a number with a decimal point; blank, NA or nan where the value is missing"
HEADER_ACCEPTED = "a header line with columns date, rain, tmax, tmin, separated by commas"


@dataclass(frozen=True)
class Step:
    """What one row stands for: how its date is read, how much rain it may hold, and the words of its faults."""

    name: str
    adjective: str
    layout: re.Pattern[str]
    accepted: str  # such dates
    rate: str  # what a unit in the header may be "per": as a pattern
    frequency: str  # of the calendar, as pandas calls it
    most_rain: float  # [mm] believable in one

    def told(self, day: date) -> str:
        """The row's date as a fault writes it, from its first day."""
        return str(day) if self is DAYS else str(day)[:7]

    def last_day(self, day: date) -> date:
        """The last day that the row stands for, from its first."""
        return day if self is DAYS else (day + timedelta(LONGEST_MONTH)).replace(day=1) - timedelta(1)


DAYS = Step(
    "day",
    "daily",
    re.compile(r"(\d{4})([-/])(\d{1,2})\2(\d{1,2})(?:[T ]00:00(?::00)?)?"),
    "a date such as 2012-01-31 or 2012/01/31",
    "d|day",
    "D",
    2000.0,  # the most on record is about 1.83 m, Réunion 1966; recalled
)
MONTHS = Step(
    "month",
    "monthly",
    re.compile(r"(\d{4})[-/](\d{1,2})"),
    "a month such as 2012-01 or 2012/01; in columns year and month: 2012 and 1 to 12",
    "month",
    "MS",
    10000.0,  # the most on record is about 9.3 m, Cherrapunji, July 1861; recalled
)


@dataclass
class Findings:
    """The faults of one file, gathered so that all are told at once."""

    file: str
    entries: list[tuple[int | None, str, str, str]] = field(default_factory=list)

    def add(self, line: int | None, kind: str, found: str, accepted: str) -> None:
        """Note a fault at a line (None: of the file as a whole); faults of one kind are told together."""
        self.entries.append((line, kind, found, accepted))

    def add_once(self, line: int | None, kind: str, found: str, accepted: str) -> None:
        """Note a fault that two columns share."""
        if not self.has(kind):
            self.add(line, kind, found, accepted)

    def has(self, *kinds: str) -> bool:
        return any(kind in kinds for _, kind, _, _ in self.entries)

    def faults(self) -> list[Fault]:
        """In the order of the file, at most `LINES_TOLD` of a kind and then how many more there are."""
        totals: dict[str, int] = {}
        for _, kind, _, _ in self.entries:
            totals[kind] = totals.get(kind, 0) + 1
        told: dict[str, int] = {}
        listed: list[tuple[float, Fault]] = []
        for line, kind, found, accepted in self.entries:
            told[kind] = told.get(kind, 0) + 1
            if told[kind] > LINES_TOLD + 1:
                continue
            if told[kind] == LINES_TOLD + 1:
                found = f"and {totals[kind] - LINES_TOLD} more from here on: {kind}"
            where = self.file if line is None else f"{self.file} line {line}"
            listed.append((float("inf") if line is None else line, Fault(where, found, accepted)))
        return [fault for _, fault in sorted(listed, key=lambda entry: entry[0])]

    def raise_if_any(self) -> None:
        if self.entries:
            raise InputFaults(self.faults())


@dataclass(frozen=True)
class Heading:
    """One cell of the header: what the column holds, where it stands, the unit written there if any."""

    role: str
    position: int
    text: str
    unit: str | None


@dataclass(frozen=True)
class Header:
    """The header line: its number, its count of cells, the headings of known columns in file order."""

    line: int
    width: int
    headings: list[Heading]

    def columns(self) -> dict[str, Heading]:
        """The first heading of each role."""
        first: dict[str, Heading] = {}
        for heading in self.headings:
            first.setdefault(heading.role, heading)
        return first

    def date_of(self, cells: list[str]) -> str:
        """The text of the row's date; a year and a month in columns of their own are joined."""
        columns = self.columns()
        return "-".join(cells[columns[role].position] for role in ("date", "year", "month") if role in columns)


def read_record(path: Path, unit: str | None, temperature_unit: str | None) -> pd.DataFrame:
    """Read a file of days, or of months, into a full calendar of them.

    Args:
        path: the CSV file; UTF-8 or Windows-1252, separated by commas.
        unit: of the rain, "mm" or "in", where the header does not say it.
        temperature_unit: "C" or "F", where the header does not say it.

    Returns:
        One row a day from the first day of the file to the last, gaps as NaN; index `date` (DatetimeIndex,
        daily), columns `rain` [mm], `tmax` [°C], `tmin` [°C], all float. Of a file of months one row a month
        likewise, under its first day (see `holds_months`).

    Raises:
        InputFaults: with every fault of the file, each with its line.
    """
    findings = Findings(path.name)
    lines = read_lines(path)
    header = find_header(lines, findings)
    check_columns(header, findings)
    step = find_step(lines, header)
    units = settle_units(header, step, unit, temperature_unit, findings)
    days, values = read_rows(lines, header, step, units, findings)
    check_whole(days, values, header, step, findings)
    findings.raise_if_any()
    return full_calendar(days, values, step)


def holds_months(table: pd.DataFrame) -> bool:
    """Whether a table that `read_record` gave has a row a month, and not a row a day."""
    return pd.DatetimeIndex(table.index).freqstr == MONTHS.frequency


def read_lines(path: Path) -> list[str]:
    """The text lines of the file; anything that is not a text file is a fault."""
    if not path.exists():
        raise InputFaults([Fault(str(path), "no such file", "the path of a daily CSV file")])
    if path.is_dir():
        raise InputFaults([Fault(str(path), "a folder", "the path of a daily CSV file")])
    try:
        content = path.read_bytes()
    except OSError as error:
        reason = error.strerror or "cannot be read"
        raise InputFaults([Fault(str(path), reason, "a file that may be read")]) from None
    text = decode(content)
    if text is None:
        raise InputFaults([Fault(path.name, "not a text file", "a CSV file in UTF-8 or Windows-1252")])
    if not text.strip():
        raise InputFaults([Fault(path.name, "an empty file", HEADER_ACCEPTED)])
    return [line.rstrip("\n") for line in io.StringIO(text, newline=None)]


def decode(content: bytes) -> str | None:
    """The text of the file, or None where it cannot be one (pictures, workbooks, UTF-16)."""
    if b"\0" in content:
        return None
    for encoding in ("utf-8-sig", "cp1252"):
        try:
            return content.decode(encoding)
        except UnicodeDecodeError:
            continue
    return None


def split_cells(line: str) -> list[str] | None:
    """The cells of one line, or None where a quote is not closed."""
    try:
        # One line at a time: an unclosed quote then costs one line, not the rest of the file.
        return [cell.strip() for cell in next(csv.reader([line], strict=True, skipinitialspace=True), [])]
    except csv.Error:
        return None


def find_header(lines: list[str], findings: Findings) -> Header:
    """The first line that names a date and at least one number column."""
    for number, line in enumerate(lines[:HEADER_WITHIN], start=1):
        cells = split_cells(line) or []
        read = [(position, cell, read_heading(cell)) for position, cell in enumerate(cells)]
        headings = [Heading(found[0], position, cell, found[1]) for position, cell, found in read if found]
        dates = date_roles({heading.role for heading in headings})
        headings = [heading for heading in headings if heading.role in (*dates, *NUMBERS)]
        if dates and len({heading.role for heading in headings}) > len(dates):
            return Header(number, len(cells), headings)
    number, line = next((number, line) for number, line in enumerate(lines, start=1) if line.strip())
    findings.add(number, "no header", f"no header; the line reads {quoted(line)}", HEADER_ACCEPTED)
    raise InputFaults(findings.faults())


def date_roles(roles: set[str]) -> tuple[str, ...]:
    """Which columns say the date: one of dates before others, a month alone where it may hold a year as well."""
    if "date" in roles:
        return ("date",)
    if "month" in roles:
        return ("year", "month") if "year" in roles else ("month",)
    return ()


def find_step(lines: list[str], header: Header) -> Step:
    """Days or months, as the first row says whose date is either."""
    for _, cells in rows_below(lines, header, Findings("")):
        for step in (DAYS, MONTHS):
            if step.layout.fullmatch(header.date_of(cells)):
                return step
    return DAYS if "date" in header.columns() else MONTHS


def read_heading(cell: str) -> tuple[str, str | None] | None:
    """Role and unit text of a header cell, or None for a column that is not used.

    A unit in brackets is handed on whatever it says, so that `rain (cm)` can be refused; without brackets
    only a known unit makes it the column, so that `rain_flag` is not taken for rain.
    """
    words = " ".join(re.split(r"[\s_.,-]+", cell.lower())).strip()
    bracketed = re.fullmatch(r"([^(\[]*?) ?[(\[](.*)[)\]]", words)
    name, brackets = (bracketed[1], bracketed[2].strip()) if bracketed else (words, None)
    for role, names in COLUMN_NAMES.items():
        for known in sorted(names, key=len, reverse=True):
            if name == known:
                return role, brackets
            if brackets is None and name.startswith(f"{known} ") and known_unit(role, name[len(known) :]):
                return role, name[len(known) :].strip()
    return None


def known_unit(role: str, text: str, rate: str = f"{DAYS.rate}|{MONTHS.rate}") -> str | None:
    """The unit that a header cell means ("mm", "in", "C", "F"), or None; `rate`: as in `Step`."""
    word = re.sub(r"[°º]|deg(rees?)?", "", text.strip()).strip()
    word = re.sub(rf"(/| per )\s*({rate})$", "", word).strip()  # a day's rain is a daily rate
    spellings = RAIN_UNITS if role == "rain" else TEMPERATURE_UNITS if role in ("tmax", "tmin") else {}
    for unit, words in spellings.items():
        if word in words or word.removeprefix("in ") in words:
            return unit
    return None


def check_columns(header: Header, findings: Findings) -> None:
    """All columns that are needed, each once."""
    columns = header.columns()
    for role in COLUMN_NAMES:
        texts = [quoted(heading.text) for heading in header.headings if heading.role == role]
        if len(texts) > 1:
            found = f"{len(texts)} columns for {role}: {', '.join(texts)}"
            findings.add(header.line, f"columns for {role}", found, "one; rename the other")
    if "tmax" not in columns and "tmin" not in columns:
        findings.add(
            header.line,
            "no temperatures",
            "no temperatures at all",
            "columns tmax and tmin: daily high and low",
        )
    for role in NUMBERS:
        if role not in columns and not (role in ("tmax", "tmin") and findings.has("no temperatures")):
            findings.add(header.line, f"no column {role}", f"no column for {role}", HEADER_ACCEPTED)


def settle_units(
    header: Header, step: Step, unit: str | None, temperature_unit: str | None, findings: Findings
) -> dict[str, str | None]:
    """The unit of each number column: from the header, else from the site file, else a fault (and None)."""
    given = {"rain": unit, "tmax": temperature_unit, "tmin": temperature_unit}
    return {
        role: settle_unit(heading, step, given[role], header.line, findings)
        for role, heading in header.columns().items()
        if role in NUMBERS
    }


def settle_unit(heading: Heading, step: Step, given: str | None, line: int, findings: Findings) -> str | None:
    """The unit of one column; `given` is what the site file says."""
    what, key, choices = UNIT_SETTINGS[heading.role]
    accepted = " or ".join(f'"{choice}"' for choice in choices)
    if given is not None and given not in choices:
        findings.add_once(None, key, f'{key} = "{given}" in the site file', accepted)
        return None
    if heading.unit is None:
        if given is None:
            wanted = " or ".join(f'{key} = "{choice}"' for choice in choices)
            findings.add_once(
                line,
                f"no unit for the {what}",
                f"no unit for the {what}",
                f"this line in the site file: {wanted}",
            )
        return given
    written = known_unit(heading.role, heading.unit, step.rate)
    if written is None:
        findings.add(line, f"unit of {heading.role}", f"the unit of column {quoted(heading.text)}", accepted)
    elif given is not None and written != given:
        found = f'column {quoted(heading.text)}, but {key} = "{given}" in the site file'
        findings.add(line, f"unit of {heading.role}", found, "the same unit in both, or only one of them")
    return written


def read_rows(
    lines: list[str], header: Header, step: Step, units: dict[str, str | None], findings: Findings
) -> tuple[list[date], dict[str, list[float]]]:
    """Days in file order (of months the first) and, beside them, the values of each number column [mm, °C], or NaN."""
    columns = header.columns()
    days: list[date] = []
    values: dict[str, list[float]] = {role: [] for role in NUMBERS}
    lines_of: dict[date, int] = {}
    for line, cells in rows_below(lines, header, findings):
        written = header.date_of(cells)
        day = read_date(written, step)
        other = MONTHS if step is DAYS else DAYS
        if day is None and read_date(written, other):
            found = f"the {other.name} {quoted(written)} in a file of {step.name}s"
            findings.add(line, "days and months mixed", found, "days only, or months only")
        elif day is None:
            findings.add(line, "unreadable dates", f"the date {quoted(written)}", step.accepted)
        elif day in lines_of:
            found = f"{step.told(day)} a second time, first in line {lines_of[day]}"
            findings.add(line, "dates given twice", found, f"one row a {step.name}")
        elif days and day < days[-1]:
            found = f"{step.told(day)} after {step.told(days[-1])}"
            findings.add(line, "dates that go back", found, "dates in order, oldest first")
        numbers = {
            role: read_number(cells[columns[role].position], line, columns[role], findings)
            for role in NUMBERS
            if role in columns
        }
        converted = convert_row(numbers, units)
        check_row(line, numbers, converted, units, step, findings)
        if day is not None:
            lines_of.setdefault(day, line)
            days.append(day)
            for role in NUMBERS:
                values[role].append(converted.get(role, np.nan))
    return days, values


def rows_below(lines: list[str], header: Header, findings: Findings) -> Iterator[tuple[int, list[str]]]:
    """Line number and cells of each row that has as many cells as the header; blank rows are passed over."""
    for line, text in enumerate(lines[header.line :], start=header.line + 1):
        cells = split_cells(text)
        if cells is None:
            findings.add(line, "quotes not closed", "a quote that is not closed", 'quotes in pairs: "..."')
            continue
        while len(cells) > header.width and not cells[-1]:
            cells.pop()
        if not any(cells):
            continue
        if len(cells) != header.width:
            found = f"{len(cells)} cells"
            accepted = f"{header.width} cells as in the header; decimals with a point"
            findings.add(line, "rows of another length", found, accepted)
            continue
        yield line, cells


def read_date(text: str, step: Step) -> date | None:
    """A calendar day, the first where it is a month, or None where the text is not one in the layout that is read."""
    match = step.layout.fullmatch(text)
    if match is None or not FIRST_YEAR <= int(match[1]) <= LAST_YEAR:
        return None
    year, month, *day = (int(part) for part in match.groups() if part.isdecimal())
    try:
        return date(year, month, *(day or [1]))
    except ValueError:
        return None


def read_number(cell: str, line: int, heading: Heading, findings: Findings) -> float:
    """The number in the cell, in the file's own unit; NaN where missing or not a number (a fault)."""
    if cell.lower() in MISSING:
        return np.nan
    if NUMBER.fullmatch(cell) is None:
        found = f"{quoted(cell)} in column {quoted(heading.text)}"
        findings.add(line, f"text in column {quoted(heading.text)}", found, NUMBER_ACCEPTED)
        return np.nan
    return float(cell)


def convert_row(numbers: dict[str, float], units: dict[str, str | None]) -> dict[str, float]:
    """The row's numbers in mm and °C; a number whose unit is not known stays as it is."""
    converted = dict(numbers)
    for role, number in numbers.items():
        if units[role] == "in":
            converted[role] = number * MM_PER_INCH
        elif units[role] == "F":
            converted[role] = (number - 32) / 1.8
    return converted


def check_row(
    line: int,
    numbers: dict[str, float],
    converted: dict[str, float],
    units: dict[str, str | None],
    step: Step,
    findings: Findings,
) -> None:
    """Believable values, told in the file's own numbers; a limit is held once the unit is known."""
    rain = converted.get("rain", np.nan)
    if rain < 0:
        found = f"rain {numbers['rain']:g}"
        findings.add(line, "negative rain", found, "0 or more; blank where the value is missing")
    elif units.get("rain") is not None and rain > step.most_rain:
        found = f"rain {numbers['rain']:g} {units['rain']} in one {step.name}"
        accepted = f"at most {step.most_rain:g} mm ({step.most_rain / MM_PER_INCH:.1f} in) a {step.name}"
        findings.add(line, "more rain than believable", found, accepted)
    for role in ("tmax", "tmin"):
        if units.get(role) is not None and not COLDEST <= converted[role] <= HOTTEST and not math.isnan(numbers[role]):
            found = f"{role} {numbers[role]:g} °{units[role]}"
            accepted = "-90 to 60 °C (-130 to 140 °F); blank where the value is missing"
            findings.add(line, "unbelievable temperatures", found, accepted)
    tmax, tmin = converted.get("tmax", np.nan), converted.get("tmin", np.nan)
    comparable = (units.get("tmax") is None) == (units.get("tmin") is None)
    if comparable and tmin > tmax:
        found = f"tmin {numbers['tmin']:g} above tmax {numbers['tmax']:g}"
        findings.add(line, "tmin above tmax", found, "tmin at most tmax; blank where the value is missing")


def check_whole(
    days: list[date], values: dict[str, list[float]], header: Header, step: Step, findings: Findings
) -> None:
    """What can be judged only on the whole file: long enough, some rain, some temperatures."""
    columns = header.columns()
    if not days:
        if not findings.entries:
            findings.add(None, "no rows", "no rows below the header", f"one row a {step.name}")
        return
    if not findings.has("days and months mixed", "unreadable dates", "dates given twice", "dates that go back"):
        check_calendar(days, step, findings)
    texts = {heading.role: f"text in column {quoted(heading.text)}" for heading in columns.values()}
    known = {
        role: any(not math.isnan(value) for value in values[role]) or findings.has(texts[role])
        for role in NUMBERS
        if role in columns
    }
    if not known.get("rain", True):
        findings.add(None, "no rain", "no rain value in any row", f"{step.adjective} rain, 0 where none fell")
    elif "rain" in columns and not findings.has(texts["rain"]) and not any(value for value in rain_known(values)):
        findings.add(None, "no rain", "all rain is zero", f"{step.adjective} rain; blank where the value is missing")
    temperatures = [role for role in ("tmax", "tmin") if role in columns]
    if len(temperatures) == 2 and not any(known[role] for role in temperatures):
        findings.add(None, "no temperatures", "no temperatures at all", "daily high and low in tmax and tmin")
    else:
        for role in temperatures:
            if not known[role]:
                findings.add(None, f"no {role}", f"no {role} value in any row", f"a {step.adjective} {role}")


def check_calendar(days: list[date], step: Step, findings: Findings) -> None:
    """Long enough, and not months that are written as days."""
    months = whole_months_between(days[0], step.last_day(days[-1]))
    apart = min((later - earlier for earlier, later in pairwise(days)), default=timedelta(0))
    if step is DAYS and apart >= timedelta(SHORTEST_MONTH):
        accepted = "every day; in a file of months dates such as 2012-01"
        findings.add(None, "days a month apart", "days a month or more apart", accepted)
    elif months < FEWEST_MONTHS:
        found = f"{months} whole months, from {step.told(days[0])} to {step.told(days[-1])}"
        findings.add(None, "short record", found, f"at least {FEWEST_MONTHS} whole calendar months")


def rain_known(values: dict[str, list[float]]) -> Iterator[float]:
    return (value for value in values["rain"] if not math.isnan(value))


def whole_months_between(first: date, last: date) -> int:
    """Calendar months that lie wholly within the two days [count]."""
    after = last + timedelta(days=1)
    begun = first.year * 12 + first.month + (1 if first.day > 1 else 0)
    return max(0, after.year * 12 + after.month - begun)


def full_calendar(days: list[date], values: dict[str, list[float]], step: Step) -> pd.DataFrame:
    """One row for each day or month from first to last, NaN where the file has none."""
    table = pd.DataFrame(values, index=pd.DatetimeIndex(days, name="date"), dtype=float)
    return table.reindex(pd.date_range(days[0], days[-1], freq=step.frequency, name="date"))


def quoted(text: str) -> str:
    """The text as it stands in the file, on one line and not too long."""
    return repr(text if len(text) <= 40 else text[:37] + "...")
