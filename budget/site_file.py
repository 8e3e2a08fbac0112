"""The site file: what a family writes down about its place, in TOML, read and checked against the declarations.

    units = "US"                      the units of the book; each quantity may be given in whatever unit was measured

    [well]
    bore = "36 in"                    the input `well_bore`: section and key are its name, split at the first underscore

    [[household]]                     one line of a list; its keys are the names of the list's inputs
    use = "overnight guest"
    number = 2
    factors = [0, 0, 0, 0, 0, 1, 1, 1, 0, 0, 0, 0]        January to December

The inputs that the nouns declare are the schema: names, kinds, bounds, choices and defaults stand there alone. All
faults of a file are found in one reading and told in the order of the file, each with what would be accepted.
"""

from __future__ import annotations

import calendar
import datetime
import math
import re
import tomllib
import unicodedata
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import ROUND_CEILING, ROUND_FLOOR, Context, Decimal
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from tokenize import TokenError
from typing import cast

from budget.coordinates import read_latitude, read_longitude
from budget.declarations import Input
from budget.errors import Fault, InputFaults
from budget.references import TABLES, names
from budget.units import SYSTEMS, System, Unit, parse, registry, serial, to_book
from budget.water import garden_demand, pond, recovery_test, roof, site, water_table, well, years
from budget.water.nouns import LISTS, MONTHS, SCALARS, THE_WELL, place

Value = float | str | None

LONGEST_TEXT = 200  # characters, as the cells of the book accept
LONGEST_SHOWN = 60  # characters of a value that a fault repeats
DEGREES = {Unit.LATITUDE: read_latitude, Unit.LONGITUDE: read_longitude}
WHOLE = (Unit.COUNT, Unit.FLAG, Unit.MONTH, Unit.DAY, Unit.YEAR)
TWELVE = 12
ANY_YEAR = 2001  # not a leap year: the dates of service come every year

# Settings of the file itself, which are not inputs of the book.
UNITS = Input("units", "Units", Unit.TEXT, "Of the whole book; quantities here may be in any unit.", choices=SYSTEMS)
LONGITUDE = Input(
    "site_longitude",
    "Longitude",
    Unit.LONGITUDE,
    "By which weather stations near the place are found; west of Greenwich negative.",
    "",
    low="-180",
    high="180",
)
FILES, STATIONS = SOURCES = ("files", "stations")
WITHIN = "50 km"  # how far a station may lie where the file does not say; common practice, no source
RAIN_SETTINGS = [
    Input("rain_source", "Source", Unit.TEXT, "Where the rain comes from.", FILES, choices=SOURCES),
    Input("rain_file", "Record", Unit.TEXT, "Rain and temperatures by day, or by month, beside the site file."),
    Input("rain_neighbours", "Neighbours", Unit.TEXT, "Files of stations nearby, for days that the record lacks.", ""),
    Input("rain_station", "Station", Unit.TEXT, "Where a file holds several, or to take no other: which.", ""),
    Input(
        "rain_date_order",
        "Order of dates",
        Unit.TEXT,
        "Where day and month could be taken for each other.",
        "",
        choices=("day first", "month first"),
    ),
    Input(
        "rain_days_left_out",
        "Days left out",
        Unit.TEXT,
        "What days without a figure are, in a list of rain days.",
        "",
        choices=("dry", "missing"),
    ),
    Input("rain_unit", "Unit of the rain", Unit.TEXT, "Where the header has none.", "", choices=("in", "mm")),
    Input(
        "rain_temperature_unit",
        "Unit of the temperatures",
        Unit.TEXT,
        "Where the header has none.",
        "",
        choices=("F", "C"),
    ),
    Input("rain_from_year", "From", Unit.YEAR, "First year whose coverage counts.", "", low="1850", high="2100"),
    Input("rain_to_year", "To", Unit.YEAR, "Last year whose coverage counts.", "", low="1850", high="2100"),
    Input("rain_within", "Within", Unit.DISTANCE, "How far a station may lie.", "", low="1 km", high="500 km"),
]
SETTINGS = [*RAIN_SETTINGS, LONGITUDE]
FOR_FILES = (
    "rain_file",
    "rain_neighbours",
    "rain_unit",
    "rain_temperature_unit",
    "rain_date_order",
    "rain_days_left_out",
)
FOR_STATIONS = ("rain_from_year", "rain_to_year", "rain_within")
HOW_TO_READ = ("unit", "temperature_unit", "date_order", "days_left_out", "station")  # files of rain
# What may stay empty where the rain comes from stations.
KNOWN_BY_STATIONS = ("rain_file", "site_elevation")


# Twelve values of a section, one a calendar month.
MONTHLY: dict[str, Sequence[Input]] = {months.section: months.inputs for months in MONTHS}

# Settings that name one file or a list of them.
FILE_LISTS = ("rain_file", "rain_neighbours")

# What a quantity of the wrong kind is called, by its dimension.
DIMENSIONS = (
    ("m", "a length"),
    ("m**2", "an area"),
    ("m**3", "a volume"),
    ("m**3/day", "a volume per time"),
    ("m**2/day", "a volume per time and length"),
    ("day", "a time"),
    ("degC", "a temperature"),
    ("m/day", "a speed"),
    ("kg", "a mass"),
)
# A number with a decimal point, commas only between thousands, then a unit; anything else is refused unread, so that
# a decimal comma is never taken for one between thousands.
QUANTITY = re.compile(
    r"\s*[+-]?(?:(?:\d{1,3}(?:,\d{3})+|\d{1,30})(?:\.\d{0,30})?|\.\d{1,30})(?:[eE][+-]?\d{1,3})?"
    r"(?P<unit>(?!\d)[\s\w°µμ²³·*/^().%-]{0,60})"
)
UNREADABLE = (ValueError, AssertionError, ArithmeticError, LookupError, TypeError, TokenError)
FILES_ACCEPTED = 'a name such as "rain.csv", or a list of names'
TOML_ACCEPTED = 'lines such as capacity = "5000 gal", quantities and texts in quotes, dates as 2019-05-12'


@dataclass(frozen=True)
class Stations:
    """Which weather stations are asked for the rain: those near a place, or one of them.

    `latitude`, `longitude` [degrees]; `elevation` [m], None where the file gives none; `station`: the id of the one to
    take, None where it is chosen; `from_year`, `to_year`: calendar years whose coverage counts, None where the file
    leaves them open; `within`: how far a station may lie [km].
    """

    latitude: float
    longitude: float
    elevation: float | None
    station: str | None
    from_year: int | None
    to_year: int | None
    within: float


@dataclass(frozen=True)
class Site:
    """A site file that was read without a fault.

    `values`: scalar inputs by name in the book's units, None where the cell stays empty or the build finds the value.
    `given`: names of the inputs that the file gave. `lists`: rows of each list, every row with all keys, None where
    empty, the twelve monthly figures as a list. `monthly`: twelve values by the name of a section's monthly input.
    `stations`: whom to ask for the rain, None where it stands in files; `rain_settings`: how to read these.
    """

    path: Path
    system: System
    values: dict[str, Value]
    given: frozenset[str]
    lists: dict[str, list[dict[str, object]]]
    monthly: dict[str, list[float | None]]
    rain_files: list[Path]
    rain_neighbours: list[Path]
    rain_settings: dict[str, str | None]
    stations: Stations | None


class Refused(Exception):
    """A value that is not accepted: what was found, and what would be."""

    def __init__(self, found: str, accepted: str) -> None:
        super().__init__(f"{found}; accepted: {accepted}")
        self.found, self.accepted = found, accepted


@cache
def sections() -> dict[str, dict[str, Input]]:
    """The scalar inputs that a site file accepts, by section and key."""
    found: dict[str, dict[str, Input]] = {}
    for given in (*RAIN_SETTINGS, *SCALARS, LONGITUDE):
        if given.found != water_table.STORED:
            section, key = place(given)
            found.setdefault(section, {})[key] = given
    return found


def read_site(path: Path) -> Site:
    """Read and check a site file.

    Raises InputFaults with all faults of the file, in its order; those between two inputs come last.
    """
    reading = _Reading(_parse(path))
    reading.everything()
    reading.faults += [fault for check in CROSS_CHECKS for fault in check(reading)]
    if reading.faults:
        raise InputFaults(reading.faults)
    return reading.site(path)


def _parse(path: Path) -> dict[str, object]:
    """The TOML document; raises InputFaults where it cannot be had."""
    where, file_accepted = path.name or str(path), "a site file in TOML, plain text in UTF-8"
    try:
        return tomllib.loads(path.read_bytes().decode("utf-8-sig"))
    except FileNotFoundError:
        fault = Fault(str(path), "no such file", "the path of a site file")
    except IsADirectoryError:
        fault = Fault(str(path), "is a folder", "the path of a site file")
    except OSError as error:
        fault = Fault(str(path), f"cannot be read: {error.strerror}", file_accepted)
    except UnicodeDecodeError as error:
        fault = Fault(where, f"byte {error.start + 1} is not UTF-8 text", file_accepted)
    except RecursionError:
        fault = Fault(where, "lists within lists without end", TOML_ACCEPTED)
    except tomllib.TOMLDecodeError as error:
        found = re.fullmatch(r"(.*) \(at (?:line (\d+), column (\d+)|end of document)\)", str(error), re.DOTALL)
        message, line, column = found.groups() if found else (str(error), None, None)
        position = f" line {line} column {column}" if line else " at its end" if found else ""
        fault = Fault(where + position, _one_line(message), TOML_ACCEPTED)
    except ValueError as error:
        fault = Fault(where, _one_line(str(error)), TOML_ACCEPTED)
    raise InputFaults([fault])


# ---------------------------------------------------------------- one value


def read_value(given: Input, raw: object, system: System) -> Value:
    """A value of the site file as it stands in the book, None for one that is left empty.

    Raises Refused with what was found and what is accepted.
    """
    if _is_blank(raw):
        if given.optional:
            return None
        raise Refused("is empty", kind(given))
    if given is years.INPUTS[0]:
        return _read_odds(raw)
    if given.unit is Unit.TEXT:
        return _read_text(given, raw)
    if given.unit is Unit.DATE:
        return _read_date(given, raw)
    number = _read_number(given, raw, system)
    low, high = bounds(given, system)
    if not low <= number <= high:
        raise Refused(f"{shown(raw)} is out of bounds", bounds_in_words(given, system))
    if given.unit in WHOLE:
        if number != int(number):
            raise Refused(f"{shown(raw)} is not a whole number", f"a whole number, {bounds_in_words(given, system)}")
        return int(number)
    return number


def _read_odds(raw: object) -> Value:
    """What is planned for: odds by their words, or a year by its number."""
    accepted = f"{', '.join(years.ODDS)}, or a year of the record by its number"
    if isinstance(raw, int) and not isinstance(raw, bool) and 1000 <= raw <= 9999:
        return raw
    if isinstance(raw, str) and re.fullmatch("[1-9][0-9]{3}", raw.strip()):
        return int(raw)
    word = _word(raw, years.ODDS)
    if word is None:
        raise Refused(f"{shown(raw)} is neither odds nor a year", accepted)
    return word


def _read_date(given: Input, raw: object) -> Value:
    """A day as the number by which a spreadsheet knows it."""
    if isinstance(raw, str):
        try:
            raw = datetime.date.fromisoformat(raw.strip())
        except ValueError:
            raise Refused(f"{shown(raw)} is not a date", kind(given)) from None
    if not isinstance(raw, datetime.date) or isinstance(raw, datetime.datetime):
        raise Refused(f"{shown(raw)} is not a date", kind(given))
    low, high = bounds(given, "metric")
    if not low <= serial(raw) <= high:
        raise Refused(f"{raw.isoformat()} is out of bounds", bounds_in_words(given, "metric"))
    return serial(raw)


def _read_text(given: Input, raw: object) -> str:
    if not isinstance(raw, str):
        raise Refused(f"{shown(raw)} is not text", _text_accepted(given))
    if len(raw) > LONGEST_TEXT:
        raise Refused(f"has {len(raw)} characters", kind(given))
    if any(_unprintable(character) for character in raw):
        raise Refused(f"{shown(raw)} holds a control character", kind(given))
    if given.choices is None:
        return raw
    word = _word(raw, choices(given))
    if word is None:
        raise Refused(_not_a_choice(given, raw), _text_accepted(given, raw))
    return word


def _read_number(given: Input, raw: object, system: System) -> float:
    if isinstance(raw, bool) or not isinstance(raw, (int, float, str)):
        raise Refused(f"{shown(raw)} is not a number", kind(given))
    if isinstance(raw, str):
        return _read_degrees(given, raw) if given.unit in DEGREES else _read_quantity(given, raw, system)
    try:
        number = float(raw)
    except OverflowError:
        raise Refused(f"{shown(raw)} is out of bounds", bounds_in_words(given, system)) from None
    if not math.isfinite(number):
        raise Refused(f"{shown(raw)} is not a number", kind(given))
    if given.unit.physical:
        raise Refused(f"{shown(raw)} has no unit", kind(given))
    return number


def _read_degrees(given: Input, raw: str) -> float:
    try:
        return DEGREES[given.unit](raw)
    except ValueError as reason:
        raise Refused(f"{shown(raw)} {reason}", kind(given)) from None


def _read_quantity(given: Input, raw: str, system: System) -> float:
    match = QUANTITY.fullmatch(raw)
    if match is None or re.search(r"\d{2}", match["unit"]):
        raise Refused(f"{shown(raw)} cannot be read as a quantity", kind(given))
    try:
        quantity = parse(raw)
    except UNREADABLE:
        unit = _one_line(match["unit"].strip())
        raise Refused(f"{shown(raw)} cannot be read, '{unit}' is not a unit", kind(given)) from None
    if given.unit.physical and quantity.units != registry().dimensionless:
        wanted = registry().parse_units(given.unit.expression(system))
        if quantity.dimensionality != wanted.dimensionality:
            raise Refused(f"{shown(raw)} is {_dimension(quantity.dimensionality)}", kind(given))
    try:
        return to_book(raw, given.unit, system)
    except ValueError as reason:
        raise Refused(f"{shown(raw)} {reason}", kind(given)) from None
    except UNREADABLE:
        raise Refused(f"{shown(raw)} cannot be converted", kind(given)) from None


def _dimension(dimensionality: object) -> str:
    for expression, words in DIMENSIONS:
        if registry().parse_units(expression).dimensionality == dimensionality:
            return words
    return "another kind of quantity"


def read_twelve(given: Input, raw: object, system: System) -> tuple[list[Value], list[tuple[int, Refused]]]:
    """Twelve values, January to December, and the refused ones by their number from 1.

    An input with a default may be given as one value for all months; any as values by the names of months, the others
    left at the default. Raises Refused where there are not twelve, or a month is not known or there twice.
    """
    if isinstance(raw, dict):
        return read_twelve(given, _by_month_names(given, raw), system)
    if not isinstance(raw, list):
        if given.optional:
            raise Refused(f"{shown(raw)} is not a list", _twelve_accepted(given))
        return [read_value(given, raw, system)] * TWELVE, []
    if len(raw) != TWELVE:
        count = "1 entry" if len(raw) == 1 else f"{len(raw)} entries"
        raise Refused(f"has {count}", _twelve_accepted(given))
    values: list[Value] = []
    refusals: list[tuple[int, Refused]] = []
    for number, entry in enumerate(raw, 1):
        try:
            values.append(read_value(given, entry, system))
        except Refused as refusal:
            refusals.append((number, refusal))
    return values, refusals


def _by_month_names(given: Input, raw: dict[str, object]) -> list[object]:
    """A list of twelve from values by the names of months, whole or short, or their numbers."""
    twelve: list[object] = [given.default or ""] * TWELVE
    seen: set[int] = set()
    for name, value in raw.items():
        month = _month_number(name)
        if month is None:
            raise Refused(f"{shown(name)} is not a month", "months such as aug or August, or 1 to 12")
        if month in seen:
            raise Refused(f"{calendar.month_name[month]} is there twice", "each month once")
        seen.add(month)
        twelve[month - 1] = value
    return twelve


def _month_number(name: str) -> int | None:
    """1 to 12 for the name of a month, whole or its first three letters, or its number; None for another word."""
    word = name.strip().casefold()
    for month in range(1, TWELVE + 1):
        full = calendar.month_name[month].casefold()
        if word in (full, full[:3], str(month)):
            return month
    return None


def default_value(given: Input, system: System) -> Value:
    """What stands in the book where the file gives nothing."""
    return None if not given.default else read_value(given, given.default, system)


# ---------------------------------------------------------------- what is accepted, in words


def kind(given: Input) -> str:
    """What kind of value an input takes, with an example: `a pumping rate such as 8 gal/min`."""
    if given.unit is Unit.TEXT:
        return _text_accepted(given)
    if not given.unit.physical and given.unit not in (Unit.SHARE, Unit.DATE, *DEGREES):
        return f"{given.unit.value.what}, {bounds_in_words(given, 'metric')}"
    return f"{given.unit.value.what} such as {given.unit.value.example}"


def bounds(given: Input, system: System) -> tuple[float, float]:
    """Lowest and highest number that is accepted, in the book's units."""
    low = -math.inf if given.low is None else to_book(given.low, given.unit, system)
    return low, math.inf if given.high is None else to_book(given.high, given.unit, system)


def bounds_in_words(given: Input, system: System) -> str:
    """`0.05284 to 528.3 gal/min`: to four digits, rounded inwards, so that what is printed is accepted."""
    low, high = bounds(given, system)
    if given.unit is Unit.DATE:
        return f"{given.low} to {given.high}"
    if given.unit is Unit.YEAR:
        return f"{low:.0f} to {high:.0f}"
    stated = f"{_rounded(low, ROUND_CEILING)} to {_rounded(high, ROUND_FLOOR)}"
    return f"{stated} {unit_in_words(given.unit, system)}" if given.unit.physical else stated


def _rounded(number: float, rounding: str) -> str:
    return f"{float(Context(prec=4, rounding=rounding).create_decimal(Decimal(repr(number)))):,.10g}"


@cache
def unit_in_words(unit: Unit, system: System) -> str:
    """The unit as it stands in the book's headings, if a site file can be written with it, else its expression."""
    label = unit.label(system)
    try:
        to_book(f"1 {label}", unit, system)
    except UNREADABLE:
        return unit.expression(system)
    return label


def choices(given: Input) -> tuple[str, ...]:
    """The words that an input of text may be."""
    if isinstance(given.choices, str):
        table, column = given.choices.split(":")
        return names(table, column)
    return given.choices or ()


def _word(raw: object, words: Sequence[str]) -> str | None:
    """The word that was meant, capitals aside; None if there is none."""
    if not isinstance(raw, str):
        return None
    return next((word for word in words if word.casefold() == raw.strip().casefold()), None)


def _not_a_choice(given: Input, raw: str) -> str:
    if isinstance(given.choices, str):
        return f"{shown(raw)} is not in the {given.choices.split(':')[1]} table"
    return f"{shown(raw)} is not one of the choices"


def _text_accepted(given: Input, raw: str = "") -> str:
    if isinstance(given.choices, str):
        table, column = given.choices.split(":")
        return f"a {column} of the table, {nearest(raw, choices(given))}" if table in TABLES else "a word of the list"
    return ", ".join(given.choices) if given.choices else f"text of 1 to {LONGEST_TEXT} characters"


def _twelve_accepted(given: Input) -> str:
    accepted = f"12 entries, January to December, each {kind(given)}{' or empty' if given.optional else ''}"
    return accepted if given.optional else f"{accepted}; or one for all months"


def nearest(word: str, words: Sequence[str]) -> str:
    """`nearest: apples`, or all words where none is near."""
    near = get_close_matches(word.casefold(), words, n=3, cutoff=0.6)
    near += [entry for entry in words if len(word) > 2 and word.casefold() in entry and entry not in near]
    return f"nearest: {', '.join(near[:3])}" if near else f"which are: {', '.join(words)}"


def shown(raw: object) -> str:
    """A value of the file as a fault repeats it, on one line."""
    if isinstance(raw, str):
        return f"'{_one_line(raw)}'"
    if isinstance(raw, bool):
        return str(raw).lower()
    if isinstance(raw, list):
        return "a list"
    if isinstance(raw, Mapping):
        return "a section"
    if isinstance(raw, int) and abs(raw) >= 10**15:
        return "a number of very many digits"
    return _one_line(str(raw))


def _is_blank(raw: object) -> bool:
    """Whether the file leaves a place empty."""
    return isinstance(raw, str) and not raw.strip()


def _one_line(text: str) -> str:
    plain = "".join(f"\\u{ord(c):04x}" if _unprintable(c) else c for c in text[: LONGEST_SHOWN + 1])
    return plain if len(text) <= LONGEST_SHOWN else plain[:LONGEST_SHOWN] + "…"


def _unprintable(character: str) -> bool:
    """Controls, line separators, and what no XML file may hold."""
    return unicodedata.category(character) in ("Cc", "Zl", "Zp", "Cs") or character in "\ufffe\uffff"


# ---------------------------------------------------------------- the whole file


@dataclass
class _Reading:
    """One pass over a document: values and faults as they come."""

    document: dict[str, object]
    faults: list[Fault] = field(default_factory=list)
    values: dict[str, Value] = field(default_factory=dict)  # scalar inputs and settings, by name
    raw: dict[str, object] = field(default_factory=dict)  # what the file gave, by name
    faulty: set[str] = field(default_factory=set)  # names whose value was refused or is missing
    lists: dict[str, list[dict[str, object]]] = field(default_factory=dict)
    monthly: dict[str, list[float | None]] = field(default_factory=dict)
    files: dict[str, list[str]] = field(default_factory=dict)

    @property
    def system(self) -> System:
        """The system of the book; metric where the file does not say, so that the rest can be checked."""
        word = _word(self.document.get(UNITS.name), SYSTEMS)
        return "US" if word == "US" else "metric"

    @property
    def source(self) -> str | None:
        """Where the rain comes from; None where what the file says of it is refused."""
        rain = self.document.get("rain")
        return _word(rain.get("source", FILES) if isinstance(rain, dict) else FILES, SOURCES)

    def everything(self) -> None:
        if UNITS.name not in self.document:
            self.fault(UNITS.name, "missing", kind(UNITS))
        for name, content in self.document.items():
            if name == UNITS.name:
                self.scalar(UNITS, UNITS.name, content)
            elif name in LISTS:
                self.entries(name, content)
            elif name in sections():
                self.section(name, content)
            else:
                self.unknown(name, (UNITS.name, *sections(), *LISTS), "")
        for name in sections():
            if name not in self.document:
                self.section(name, {})

    def fault(self, where: str, found: str, accepted: str) -> None:
        self.faults.append(Fault(where, found, accepted))

    def unknown(self, name: str, known: Sequence[str], owner: str) -> None:
        near = get_close_matches(name.casefold(), known, n=3, cutoff=0.6)
        elsewhere = [f"{other}.{name}" for other, inputs in sections().items() if name in inputs]
        accepted = f"nearest: {', '.join(near)}" if near else ", ".join(elsewhere or known)
        self.fault(owner + (_one_line(name) or '""'), "is not known", accepted)

    def names_of_files(self, given: Input, where: str, raw: object) -> None:
        """One file's name, or a list of them."""
        self.raw[given.name] = raw
        names = raw if isinstance(raw, list) else [raw]
        good = [name.strip() for name in names if isinstance(name, str) and name.strip()]
        if not names or len(good) < len(names) or any(_unprintable(c) for name in good for c in name):
            self.faulty.add(given.name)
            found = "is empty" if raw == "" else f"{shown(raw)} names no file"
            self.fault(where, found, FILES_ACCEPTED)
        elif len(set(good)) < len(good):
            self.faulty.add(given.name)
            self.fault(where, f"{shown(raw)} names a file twice", "each file once")
        self.files[given.name] = good
        self.values[given.name] = ", ".join(good)

    def scalar(self, given: Input, where: str, raw: object) -> None:
        if self.source == STATIONS and given.name in KNOWN_BY_STATIONS and _is_blank(raw):
            self.absent(given, where)
            return
        if given.name in FILE_LISTS and not (given.optional and raw == ""):
            self.names_of_files(given, where, raw)
            return
        self.raw[given.name] = raw
        try:
            self.values[given.name] = read_value(given, raw, self.system)
        except Refused as refusal:
            self.faulty.add(given.name)
            self.fault(where, refusal.found, refusal.accepted)

    def section(self, name: str, content: object) -> None:
        inputs = sections()[name]
        twelve = {given.name: given for given in MONTHLY.get(name, ())}
        if not isinstance(content, dict):
            self.fault(name, f"{shown(content)} is not a section", f"one section [{name}]")
            self.faulty.update(given.name for given in inputs.values())
            return
        for key, raw in content.items():
            if key in inputs:
                self.scalar(inputs[key], f"{name}.{key}", raw)
            elif key in twelve:
                self.raw[key] = raw
                self.monthly[key] = [
                    value for value in self.twelve(twelve[key], f"{name}.{key}", raw) if not isinstance(value, str)
                ]
            else:
                self.unknown(key, (*inputs, *twelve), f"{name}.")
        for key, given in inputs.items():
            if key not in content:
                self.absent(given, f"{name}.{key}")

    def absent(self, given: Input, where: str) -> None:
        if place(given)[0] in THE_WELL and not set(THE_WELL) & set(self.document):
            self.values[given.name] = default_value(given, self.system)  # a place without a well
        elif given.name == "rain_file":
            if self.source == FILES:
                self.faulty.add(given.name)
                self.fault(where, "missing", f'{FILES_ACCEPTED}; or source = "stations"')
        elif given.default is None:
            self.faulty.add(given.name)
            self.fault(where, "missing", kind(given))
        else:
            self.values[given.name] = default_value(given, self.system)

    def twelve(self, given: Input, where: str, raw: object) -> list[Value]:
        """Twelve values; empty ones where they were refused."""
        try:
            values, refusals = read_twelve(given, raw, self.system)
        except Refused as refusal:
            self.fault(where, refusal.found, refusal.accepted)
            return [None] * TWELVE
        for number, refused in refusals:
            self.fault(f"{where}[{number}]", refused.found, refused.accepted)
        return values

    def entries(self, name: str, content: object) -> None:
        entry, most = LISTS[name].entry, LISTS[name].most
        accepted = f"each {entry} under its own [[{name}]]"
        if not isinstance(content, list):
            self.fault(name, f"{shown(content)} is not a list", accepted)
            return
        if most is not None and len(content) > most:
            self.fault(name, f"has {len(content)} entries", f"at most {most}")
        rows = self.lists.setdefault(name, [])
        for number, raw in enumerate(content, 1):
            if isinstance(raw, dict):
                rows.append(self.entry(name, f"{name}[{number}]", raw))
            else:
                self.fault(f"{name}[{number}]", f"{shown(raw)} is not a {entry}", accepted)

    def entry(self, name: str, where: str, content: dict[str, object]) -> dict[str, object]:
        """One row of a list, with all its keys."""
        scalars, twelves = LISTS[name].inputs, LISTS[name].monthly
        known = {given.name: given for given in (*scalars, *twelves)}
        row: dict[str, object] = {given.name: default_value(given, self.system) for given in scalars}
        row |= {given.name: [default_value(given, self.system)] * TWELVE for given in twelves}
        refused: set[str] = set()
        for key, raw in content.items():
            if key not in known:
                self.unknown(key, tuple(known), f"{where}.")
            elif known[key] in twelves:
                row[key] = self.twelve(known[key], f"{where}.{key}", raw)
            else:
                try:
                    row[key] = read_value(known[key], raw, self.system)
                except Refused as refusal:
                    refused.add(key)
                    self.fault(f"{where}.{key}", refusal.found, refusal.accepted)
        empty = {given.name for given in scalars if row[given.name] is None} - refused
        self.faults += ENTRY_CHECKS[name](where, row, empty, refused)
        return row

    def site(self, path: Path) -> Site:
        given = {name for name in self.raw if self.values.get(name) is not None or name in self.monthly}
        stations = self.stations()
        said = {key: None if stations else self.values[f"rain_{key}"] for key in HOW_TO_READ}
        settings = {key: None if value is None else str(value) for key, value in said.items()}
        return Site(
            path=path,
            system=self.system,
            values={i.name: self.values.get(i.name) for i in SCALARS},
            given=frozenset(given) - {UNITS.name, *(setting.name for setting in SETTINGS)},
            lists={name: self.lists.get(name, []) for name in LISTS},
            monthly={
                given.name: self.monthly.get(given.name, [None] * TWELVE)
                for inputs in MONTHLY.values()
                for given in inputs
            },
            rain_files=[path.parent / name for name in self.files.get("rain_file", [])],
            rain_neighbours=[path.parent / name for name in self.files.get("rain_neighbours", [])],
            rain_settings=settings,
            stations=stations,
        )

    def stations(self) -> Stations | None:
        """Whom to ask for the rain, in metric units; None where it stands in files."""
        if self.source != STATIONS:
            return None
        known = {given.name: given for given in (*SETTINGS, *site.INPUTS)}
        metric = {
            name: read_value(known[name], self.raw[name], "metric")
            for name in ("site_latitude", "site_longitude", "site_elevation", *FOR_STATIONS)
            if name in self.raw
        }
        within = metric.get("rain_within") or read_value(known["rain_within"], WITHIN, "metric")
        station = self.values["rain_station"]
        return Stations(
            latitude=cast(float, metric["site_latitude"]),
            longitude=cast(float, metric["site_longitude"]),
            elevation=cast(float | None, metric.get("site_elevation")),
            station=None if station is None else str(station).strip(),
            from_year=cast(int | None, metric.get("rain_from_year")),
            to_year=cast(int | None, metric.get("rain_to_year")),
            within=cast(float, within),
        )

    def numbers(self, *wanted: str) -> list[float] | None:
        """The values of these inputs; None where one of them is faulty or empty."""
        found = [self.values.get(name) for name in wanted if name not in self.faulty]
        numbers = [value for value in found if isinstance(value, (int, float))]
        return numbers if len(numbers) == len(wanted) else None

    def stated(self, name: str) -> str:
        """An input with its value as the file gives it: `well.depth ('18 ft')`."""
        given = next(given for given in (*SETTINGS, *SCALARS) if given.name == name)
        return f"{'.'.join(place(given))} ({shown(self.raw.get(name, given.default))})"


# ---------------------------------------------------------------- entries of the lists

EntryCheck = Callable[[str, dict[str, object], set[str], set[str]], Iterator[Fault]]


def check_counted(name: str, count: str, key: str, article: str, table: str) -> EntryCheck:
    """The check of a list of water users: each line has a `count`, and an amount of its own or a word that gives one.

    `key` is the input that holds the word, also a column of `table`; `article` goes before it in sentences.
    """

    def check(where: str, row: dict[str, object], empty: set[str], refused: set[str]) -> Iterator[Fault]:
        known = {given.name: given for given in LISTS[name].inputs}
        if count in empty:
            yield Fault(f"{where}.{count}", "missing", kind(known[count]))
        if "amount" not in empty or key in refused:
            return
        words, accepted = names(table, key), f"an amount, or {article} {key} of the table"
        if key in empty:
            yield Fault(where, f"has neither {article} {key} nor an amount", accepted)
        elif (word := _word(row[key], words)) is None:
            found = f"{shown(row[key])} is not in the {key} table and the line has no amount"
            yield Fault(f"{where}.{key}", found, f"{accepted}, {nearest(str(row[key]), words)}")
        else:
            row[key] = word

    return check


def check_whole(name: str) -> EntryCheck:
    """The check of a list whose entries have no empty place."""

    def check(where: str, row: dict[str, object], empty: set[str], refused: set[str]) -> Iterator[Fault]:
        for given in LISTS[name].inputs:
            if given.name in empty:
                yield Fault(f"{where}.{given.name}", "missing", kind(given))

    return check


def check_spell(where: str, row: dict[str, object], empty: set[str], refused: set[str]) -> Iterator[Fault]:
    """A dry spell has a year or a date, and a date where water was hauled."""
    if {"year", "dry_on"} <= empty:
        yield Fault(where, "has neither a year nor a date", "year = 2015, dry_on = 2015-08-20, or both")
    loads = row["loads"]
    if "dry_on" in empty and isinstance(loads, (int, float)) and loads > 0:
        yield Fault(f"{where}.dry_on", "missing, though water was hauled", "the first dry day, about, as 2015-08-20")


def check_roof(where: str, row: dict[str, object], empty: set[str], refused: set[str]) -> Iterator[Fault]:
    """A roof has an area, and a coefficient of its own or a material that gives one."""
    known = {given.name: given for given in roof.LIST}
    if "area" in empty:
        yield Fault(f"{where}.area", "missing", kind(known["area"]))
    if {"material", "coefficient"} <= empty:
        yield Fault(where, "has neither a material nor a coefficient", "a material of the table, or a coefficient")


def check_zone(where: str, row: dict[str, object], empty: set[str], refused: set[str]) -> Iterator[Fault]:
    """A zone of the garden has a crop, and an area or trees with the width of their canopy."""
    known = {given.name: given for given in garden_demand.LIST}
    if "crop" in empty:
        yield Fault(f"{where}.crop", "missing", kind(known["crop"]))
    if "area" in empty and {"trees", "canopy"} & empty:
        yield Fault(
            where,
            "has neither an area nor trees with a canopy width",
            'area such as "1200 sq ft", or trees = 6 and canopy = "12 ft"',
        )


ENTRY_CHECKS: dict[str, EntryCheck] = {
    "household": check_counted("household", "number", "use", "a", "uses"),
    "animals": check_counted("animals", "head", "animal", "an", "animal_table"),
    "garden": check_zone,
    "roofs": check_roof,
    "recovery": check_whole("recovery"),
    "dips": check_whole("dips"),
    "remembered": check_spell,
}


# ---------------------------------------------------------------- between two inputs


def check_source(reading: _Reading) -> Iterator[Fault]:
    """Files go with files, what chooses among stations with stations; and stations are looked for near a place."""
    others = {
        FILES: (FOR_STATIONS, 'only with source = "stations"'),
        STATIONS: (FOR_FILES, 'files only with source = "files"'),
    }
    names, accepted = others.get(reading.source or "", ((), ""))
    for name in names:
        if name not in reading.faulty and not _is_blank(reading.raw.get(name, "")):
            found = f'{shown(reading.raw[name])} is given, and source is "{reading.source}"'
            yield Fault(name.replace("_", ".", 1), found, accepted)
    if reading.source == STATIONS and LONGITUDE.name not in reading.faulty and not reading.numbers(LONGITUDE.name):
        yield Fault("site.longitude", "missing, and stations near the place are found by it", kind(LONGITUDE))


def check_years(reading: _Reading) -> Iterator[Fault]:
    """The years whose coverage counts stand in their order."""
    numbers = reading.numbers("rain_from_year", "rain_to_year")
    if numbers and numbers[0] > numbers[1]:
        found = f"{shown(reading.raw['rain_from_year'])} is after {reading.stated('rain_to_year')}"
        yield Fault("rain.from_year", found, "at most rain.to_year")


# Deeper one, shallower one: depths from the ground that must stand in this order.
DEPTHS = (
    ("well_depth", "well_summer_depth"),
    ("well_summer_depth", "well_winter_depth"),
    ("well_winter_depth", "well_highest_water"),
    ("well_depth", "well_depth_at_test"),
    ("well_depth", "pump_intake"),
)


def check_depths(reading: _Reading) -> Iterator[Fault]:
    """Nothing lies below the bottom, and the water stands in the order of the seasons."""
    for deeper, shallower in DEPTHS:
        numbers = reading.numbers(deeper, shallower)
        if numbers and numbers[1] > numbers[0]:
            where = reading.stated(shallower).split(" ")[0]
            found = f"{shown(reading.raw.get(shallower))} is deeper than {reading.stated(deeper)}"
            yield Fault(where, found, f"at most {reading.stated(deeper).split(' ')[0]}")


def check_intake(reading: _Reading) -> Iterator[Fault]:
    """The intake hangs under the wet-season water, with the water that is kept over it."""
    numbers = reading.numbers("pump_intake", "well_winter_depth", "pump_submergence")
    if numbers and numbers[0] < numbers[1] + numbers[2] - 1e-9:
        found = f"{shown(reading.raw.get('pump_intake'))} is never under water"
        least = f"{reading.stated('well_winter_depth')} plus {reading.stated('pump_submergence')}"
        yield Fault("pump.intake", found, f"at least {least}")


def check_monthly_depth(reading: _Reading) -> Iterator[Fault]:
    """The water of no month stands below the bottom."""
    numbers = reading.numbers("well_depth")
    for month, depth in enumerate(reading.monthly.get("monthly_depth", []), 1):
        if numbers and depth is not None and depth > numbers[0]:
            found = f"is deeper than {reading.stated('well_depth')}"
            yield Fault(f"well.monthly_depth[{month}]", found, "at most well.depth")


def check_inflow(reading: _Reading) -> Iterator[Fault]:
    """The inflow is known: typed, or by a recovery test, which needs the depth at rest."""
    if not set(THE_WELL) & set(reading.document):
        return
    tested = bool(reading.lists.get("recovery"))
    known = {given.name: given for given in (*well.INPUTS, *recovery_test.INPUTS)}
    missing = {name for name in known if reading.values.get(name) is None} - reading.faulty
    if "well_inflow" in missing and reading.document.get("recovery", []) == []:
        yield Fault("well.inflow", "missing", f"{kind(known['well_inflow'])}, or a recovery test")
    if tested and "well_depth_at_test" in missing:
        yield Fault("well.depth_at_test", "missing beside a recovery test", "the depth to water at rest before it")


def check_tank(reading: _Reading) -> Iterator[Fault]:
    """Water stands above the outlet in a tank that there is."""
    numbers = reading.numbers("tank_capacity", "tank_below_outlet")
    if numbers and 0 < numbers[0] < numbers[1]:
        found = f"{shown(reading.raw.get('tank_below_outlet'))} is more than {reading.stated('tank_capacity')}"
        yield Fault("tank.below_outlet", found, "at most tank.capacity")


def check_pond(reading: _Reading) -> Iterator[Fault]:
    """A pond with a depth has a surface, and its keep-level lies within it."""
    depth = reading.numbers("pond_depth")
    if depth is None or depth[0] <= 0:
        return
    sized = any(
        reading.numbers(*names)
        for names in (("pond_area",), ("pond_length", "pond_width"), ("pond_bottom_length", "pond_bottom_width"))
    )
    if not sized and not reading.faulty.intersection(given.name for given in pond.INPUTS):
        accepted = "area, or length and width, or bottom_length and bottom_width of a dug pond"
        yield Fault("pond", "has a depth but no surface", accepted)
    keep = reading.numbers("pond_keep")
    if keep and keep[0] > depth[0]:
        found = f"{shown(reading.raw.get('pond_keep'))} is above {reading.stated('pond_depth')}"
        yield Fault("pond.keep", found, "at most pond.depth")


def check_dates(reading: _Reading) -> Iterator[Fault]:
    """The dates of service are whole, are dates of every year, and come both or not at all."""
    dates = ("tank_fill_from", "tank_drain_by")
    parts = [f"{date}_{part}" for date in dates for part in ("month", "day")]
    if reading.faulty.intersection(parts):
        return
    dated = {date: _has_date(reading, date) for date in dates}
    for date in dates:
        where = date.replace("_", ".", 1)
        month, day = (reading.values.get(f"{date}_{part}") for part in ("month", "day"))
        if isinstance(month, int) and isinstance(day, int):
            if day > calendar.monthrange(ANY_YEAR, month)[1]:
                yield Fault(
                    f"{where}_day",
                    f"{day} {calendar.month_name[month]} is not a date of every year",
                    "a date",
                )
        elif dated[date]:
            missing = "month" if month is None else "day"
            yield Fault(f"{where}_{missing}", "missing", f"month and day together, as {where}_month = 4")
        elif any(dated.values()):
            yield Fault(f"{where}_month", "missing", "both dates, or neither: the frost dates of the record then")


def _has_date(reading: _Reading, date: str) -> bool:
    return any(reading.values.get(f"{date}_{part}") is not None for part in ("month", "day"))


CROSS_CHECKS: tuple[Callable[[_Reading], Iterator[Fault]], ...] = (
    check_source,
    check_years,
    check_depths,
    check_intake,
    check_monthly_depth,
    check_inflow,
    check_tank,
    check_pond,
    check_dates,
)
