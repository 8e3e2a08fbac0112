"""Units of the book: US customary or metric throughout, and the factors that formulas need.

A book is written in one of the two systems, working tables too. The text of every formula is the same in both; where an
equation needs a constant that depends on the units, or was published in units of its own, the formula names a
*factor*: a cell of the Sources sheet whose value pint computed. pint is imported when first needed, because it is slow
to load and `--help` does not need it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from enum import Enum
from fractions import Fraction
from functools import cache, lru_cache
from tokenize import TokenError
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    from pint import Quantity, UnitRegistry

System = Literal["US", "metric"]
SYSTEMS: tuple[System, ...] = ("US", "metric")


@dataclass(frozen=True)
class UnitSpec:
    """How one kind of quantity is written in each system; `us` and `metric` are pint expressions.

    `what` names the kind in error messages ("a volume"); the labels stand in headings and the formats are number
    formats of the cells.
    """

    what: str
    us: str
    metric: str
    us_label: str
    metric_label: str
    us_format: str
    metric_format: str
    example: str = ""


DAY_FORMAT = 'yyyy-mm-dd;;"–"'  # 0 is no date; the first part tells readers that the cell holds one


class Unit(Enum):
    """The kinds of quantity that the book knows."""

    VOLUME = UnitSpec("a volume", "gal", "L", "gal", "L", "#,##0", "#,##0", "5000 gal or 20 m³")
    FLOW = UnitSpec("a volume per day", "gal/day", "L/day", "gal/day", "L/day", "#,##0", "#,##0", "55 gal/day")
    RATE = UnitSpec("a pumping rate", "gal/min", "L/min", "gal/min", "L/min", "0.00", "0.0", "8 gal/min")
    INFLOW = UnitSpec(
        "an inflow per unit of drawdown",
        "gal/min/ft",
        "L/min/m",
        "gal/min per ft",
        "L/min per m",
        "0.000",
        "0.00",
        "0.18 gal/min/ft",
    )
    FLOW_LENGTH = UnitSpec(
        "a volume per day and unit of drawdown",
        "gal/day/ft",
        "L/day/m",
        "gal/day per ft",
        "L/day per m",
        "#,##0",
        "#,##0",
        "80 gal/day/ft",
    )
    DEPTH = UnitSpec("a depth of water", "inch", "mm", "in", "mm", "0.00", "0.0", "4 in or 100 mm")
    LENGTH = UnitSpec("a length", "foot", "m", "ft", "m", "0.00", "0.00", "18 ft or 5.5 m")
    HEIGHT = UnitSpec("a height above the sea", "foot", "m", "ft", "m", "#,##0", "#,##0", "430 ft or 130 m")
    DISTANCE = UnitSpec("a distance", "mile", "km", "mi", "km", "0.0", "0.0", "30 mi or 50 km")
    WIDTH = UnitSpec("a width", "inch", "mm", "in", "mm", "0.00", "0", "1.25 in or 32 mm")
    AREA = UnitSpec("an area", "foot**2", "m**2", "ft²", "m²", "#,##0", "#,##0.0", "1200 sq ft or 110 m²")
    CUBE = UnitSpec(
        "a volume of concrete", "foot**3", "m**3", "ft³", "m³", "#,##0.00", "#,##0.000", "0.60 cu ft or 17 L"
    )
    BULK = UnitSpec("a volume of loads", "yard**3", "m**3", "yd³", "m³", "#,##0.00", "#,##0.00", "5 yd**3 or 4 m³")
    WEIGHT = UnitSpec("a weight", "lb", "kg", "lb", "kg", "#,##0", "#,##0", "900 lb or 400 kg")
    DENSITY = UnitSpec(
        "a weight per volume",
        "lb/foot**3",
        "kg/m**3",
        "lb/ft³",
        "kg/m³",
        "#,##0",
        "#,##0",
        "150 lb/cu ft or 2400 kg/m³",
    )
    BEARING = UnitSpec("a pressure on the ground", "psf", "kPa", "lb/ft²", "kPa", "#,##0", "0.00", "1500 psf")
    PRESSURE = UnitSpec("a pressure", "psi", "kPa", "psi", "kPa", "0.0", "0.0", "20 psi or 140 kPa")
    FORCE = UnitSpec("a force", "lbf", "kN", "lbf", "kN", "#,##0", "0.00", "500 lbf or 2.2 kN")
    MOMENT = UnitSpec("a moment", "lbf*foot", "kN*m", "lbf ft", "kN m", "#,##0", "0.00", "500 lbf*foot")
    SPEED = UnitSpec("a speed", "mph", "m/s", "mph", "m/s", "0", "0.0", "115 mph or 51 m/s")
    SLOPE = UnitSpec("a slope", "inch/foot", "mm/m", "in per ft", "mm per m", "0.000", "0.0", "0.125 in/ft or 1 %")
    TEMPERATURE = UnitSpec("a temperature", "degF", "degC", "°F", "°C", "0.0", "0.0", "28 degF")
    DEGREE_DAYS = UnitSpec(
        "degree-days", "delta_degF*day", "delta_degC*day", "°F day", "°C day", "0", "0", "50 delta_degC*day"
    )
    MELT = UnitSpec(
        "a melt per degree-day",
        "inch/(delta_degF*day)",
        "mm/(delta_degC*day)",
        "in per °F day",
        "mm per °C day",
        "0.000",
        "0.00",
        "2.74 mm/(delta_degC*day)",
    )
    HOLDING = UnitSpec(
        "water held per depth of soil", "inch/foot", "mm/m", "in per ft", "mm per m", "0.00", "0", "150 mm/m"
    )
    RISE = UnitSpec(
        "a rise per depth of water", "foot/inch", "m/mm", "ft per in", "m per mm", "0.0000", "0.0000", "0.1 m/mm"
    )
    PER_VOLUME_LENGTH = UnitSpec(
        "a volume per unit of depth", "gal/foot", "L/m", "gal per ft", "L per m", "0.0", "0.0", "50 gal/ft"
    )
    PER_VOLUME_DEPTH = UnitSpec(
        "a volume per depth of water",
        "gal/inch",
        "L/mm",
        "gal per in",
        "L per mm",
        "0.0",
        "0.0",
        "900 gal/inch",
    )
    RADIATION = UnitSpec("radiation", "MJ/m**2", "MJ/m**2", "MJ/m² day", "MJ/m² day", "0.0", "0.0", "30 MJ/m**2")
    SHARE = UnitSpec("a share from 0 to 1 or a percentage", "", "", "%", "%", "0%", "0%", "0.5 or 50 %")
    NUMBER = UnitSpec("a plain number", "", "", "", "", "0.00", "0.00", "1.5")
    FINE = UnitSpec("a plain number", "", "", "", "", "0.0000", "0.0000", "0.0023")
    COUNT = UnitSpec("a count", "", "", "", "", "0", "0", "4")
    FLAG = UnitSpec("1 or 0", "", "", "1 = yes", "1 = yes", "0", "0", "1")
    DAYS = UnitSpec("a time in days", "day", "day", "days", "days", "0.0", "0.0", "90 day")
    HOURS = UnitSpec("a time in hours", "hour", "hour", "hours", "hours", "0.0", "0.0", "24 hours")
    MINUTES = UnitSpec(
        "a time in minutes", "minute", "minute", "min", "min", "[<10]0.0;#,##0", "[<10]0.0;#,##0", "30 min"
    )
    CLOCK = UnitSpec("a number of minutes", "", "", "min", "min", "0.0", "0.0", "12")
    PER_MINUTE = UnitSpec("a share per minute", "", "", "per min", "per min", "0.0000", "0.0000", "0.01")
    RUNS = UnitSpec("a number of runs", "", "", "a day", "a day", "0.0", "0.0", "12")
    MONTH = UnitSpec("a month from 1 to 12", "", "", "month", "month", "0", "0", "4")
    DAY = UnitSpec("a day of the month from 1 to 31", "", "", "day", "day", "0", "0", "12")
    YEAR = UnitSpec("a year", "", "", "year", "year", "0", "0", "1996")
    LATITUDE = UnitSpec(
        "a latitude in degrees from -90 to 90, south negative, or with N or S",
        "",
        "",
        "°",
        "°",
        "0.00",
        "0.00",
        "44.6, -38.2 or 44°36'N",
    )
    LONGITUDE = UnitSpec(
        "a longitude in degrees from -180 to 180, west negative, or with E or W",
        "",
        "",
        "°",
        "°",
        "0.00",
        "0.00",
        "-123.1, 176.1 or 123°6'W",
    )
    RADIANS = UnitSpec("an angle", "", "", "rad", "rad", "0.000", "0.000", "0.7")
    MONEY = UnitSpec("an amount of money", "", "", "", "", "#,##0", "#,##0", "95")
    DATE = UnitSpec("a date as year-month-day", "", "", "date", "date", DAY_FORMAT, DAY_FORMAT, "2024-05-01")
    TEXT = UnitSpec("text", "", "", "", "", "@", "@", "a word")

    def label(self, system: System) -> str:
        """What stands in a heading, e.g. `gal/day`."""
        return self.value.us_label if system == "US" else self.value.metric_label

    def number_format(self, system: System) -> str:
        """The spreadsheet number format of a cell of this unit."""
        return self.value.us_format if system == "US" else self.value.metric_format

    def expression(self, system: System) -> str:
        """The pint expression of this unit in `system`; empty where it has none."""
        return self.value.us if system == "US" else self.value.metric

    @property
    def physical(self) -> bool:
        """Whether a quantity of this kind carries a unit at all."""
        return bool(self.value.us)


WHOLE_NUMBERS = (Unit.COUNT, Unit.FLAG, Unit.MONTH, Unit.DAY, Unit.YEAR)


@dataclass(frozen=True)
class Factor:
    """A constant of the formulas that depends on the book's units, or bridges to a source's units.

    `source_unit` per one of the book's unit `per`, both pint expressions; `per` differs between the systems.
    """

    name: str
    meaning: str
    result: tuple[str, str]  # pint expression of the value's unit in (US, metric)
    quantity: tuple[str, str]  # pint expression of what is expressed in it, in (US, metric)

    def value(self, system: System) -> float:
        """The factor in `system`, computed by pint."""
        index = SYSTEMS.index(system)
        return _in_unit(self.quantity[index], self.result[index])


@cache
def _in_unit(quantity: str, unit: str) -> float:
    return float(parse(quantity).to(unit).magnitude)


FACTORS: tuple[Factor, ...] = (
    Factor("freezing_point", "0 °C in the book's degrees", ("degF", "degC"), ("0 degC", "0 degC")),
    Factor(
        "degrees_per_celsius",
        "The book's degrees in one degree Celsius",
        ("delta_degF", "delta_degC"),
        ("1 delta_degC", "1 delta_degC"),
    ),
    Factor("mm_per_depth", "Millimetres in the book's unit of water depth", ("mm", "mm"), ("1 inch", "1 mm")),
    Factor("inches_per_depth", "Inches in the book's unit of water depth", ("inch", "inch"), ("1 inch", "1 mm")),
    Factor("depth_per_length", "Units of water depth in one unit of length", ("inch", "mm"), ("1 foot", "1 m")),
    Factor(
        "volume_per_area_depth",
        "Volume of one unit of water depth over one unit of area",
        ("gal", "L"),
        ("1 inch*foot**2", "1 mm*m**2"),
    ),
    Factor(
        "volume_per_cube",
        "Volume of a cube whose side is one unit of length",
        ("gal", "L"),
        ("1 foot**3", "1 m**3"),
    ),
    Factor("metres_per_length", "Metres in the book's unit of length", ("m", "m"), ("1 foot", "1 m")),
    Factor(
        "weight_per_volume",
        "Weight of one unit of volume of water, at 1 kg to the litre",
        ("lb", "kg"),
        ("1 gal*kg/L", "1 L*kg/L"),
    ),
    Factor(
        "bulk_per_cube",
        "Volume, as loads are counted, of a cube whose side is one unit of length",
        ("yard**3", "m**3"),
        ("1 foot**3", "1 m**3"),
    ),
    Factor("force_per_weight", "Force of one unit of weight", ("lbf", "kN"), ("1 lb*g_0", "1 kg*g_0")),
    Factor(
        "psf_per_bearing", "Pounds per square foot in the book's unit of bearing", ("psf", "psf"), ("1 psf", "1 kPa")
    ),
    Factor("mph_per_speed", "Miles an hour in the book's unit of speed", ("mph", "mph"), ("1 mph", "1 m/s")),
    Factor(
        "pressure_per_head",
        "Pressure under one unit of length of water, at 1 kg to the litre",
        ("psi", "kPa"),
        ("1 foot*g_0*kg/L", "1 m*g_0*kg/L"),
    ),
)


@cache
def registry() -> UnitRegistry[Any]:
    """The one pint registry, exact in fractions, with the spellings that well owners use."""
    import pint

    ureg: UnitRegistry[Any] = pint.UnitRegistry(non_int_type=Fraction, on_redefinition="ignore")
    # pint keeps the survey acre, 4 ppm larger; the international foot is the law since 2023.
    ureg.define("acre = 43560 * foot ** 2")
    ureg.define("gpm = gallon / minute")
    ureg.define("gpd = gallon / day")
    ureg.define("psf = force_pound / foot ** 2")
    return ureg


_SPELLINGS = (
    (re.compile(r"\bsq\.?\s*(ft|feet|foot|m|yd|in)\b"), r"\1**2"),
    (re.compile(r"\b(?:cu|cubic)\.?\s*(ft|feet|foot|m|yd|in)\b"), r"\1**3"),
    (re.compile(r"°\s*([CF])\b"), r"deg\1"),
    (re.compile(r"\bper\b"), "/"),
    (re.compile(r"%"), "percent"),
)


# A number with thousands in commas or without; a decimal comma is no number here.
_NUMBER = re.compile(r"^([-+]?(?:\d{1,3}(?:,\d{3})+|\d+)?(?:\.\d*)?(?:[eE][-+]?\d{1,2})?)(?!\s*[\d.,±])\s*(.*)$")


def _split(text: str) -> tuple[str, str]:
    """The number and the unit of a quantity in text. Raises ValueError where it begins with no plain number."""
    plain = text.strip()
    for pattern, replacement in _SPELLINGS:
        plain = pattern.sub(replacement, plain)
    match = _NUMBER.match(plain)
    if match is None or not re.search(r"\d", match[1]):
        raise ValueError("no plain number at its start")
    return match[1].replace(",", ""), match[2].strip()


# What `parse` and `to_book` raise for texts that are no quantity of that unit.
UNREADABLE = (ValueError, AssertionError, ArithmeticError, LookupError, TypeError, TokenError)


def parse(text: str) -> Quantity[Any]:
    """A quantity as people write it: `36 in`, `55 gal/day`, `1200 sq ft`, `50 %`.

    Raises ValueError with a plain reason where it cannot be read.
    """
    number, unit_text = _split(text)
    try:
        unit = registry().parse_units(unit_text)
    except Exception as error:  # pint lets many kinds of error through for odd text
        raise ValueError(f"'{unit_text}' is not a unit") from error
    return registry().Quantity(Fraction(number), unit)


# Day 0 of the spreadsheet's calendar; its numbers are right from March 1900 on.
FIRST_DAY = date(1899, 12, 30)


def serial(day: date) -> int:
    """The number by which a spreadsheet knows that day."""
    return (day - FIRST_DAY).days


@lru_cache(maxsize=4096)  # a build asks for the same bounds several times, and pint takes its time
def to_book(text: str, unit: Unit, system: System) -> float:
    """The number that stands in the book for a quantity written as text.

    Raises ValueError where the text is not a quantity of that kind.
    """
    import pint

    if unit is Unit.DATE:
        return serial(date.fromisoformat(text.strip()))
    quantity = parse(text)
    if not unit.physical:
        if unit is Unit.SHARE and str(quantity.units) == "percent":
            return float(quantity.magnitude / 100)
        if quantity.units != registry().dimensionless:
            raise ValueError(f"has a unit, '{_split(text)[1]}'")
        return float(quantity.magnitude)
    if quantity.units == registry().dimensionless:
        raise ValueError("has no unit")
    try:
        return float(quantity.to(unit.expression(system)).magnitude)
    except pint.DimensionalityError as error:
        raise ValueError(f"is in '{_split(text)[1]}'") from error


@cache
def _line(unit: Unit) -> tuple[float, float]:
    """Slope and offset of the line from a metric number to a US one."""
    if not unit.physical:
        return 1.0, 0.0
    ureg = registry()
    zero, one = (ureg.Quantity(Fraction(x), unit.value.metric).to(unit.value.us).magnitude for x in (0, 1))
    return float(one - zero), float(zero)


def convert(value: float, unit: Unit, source: System, target: System) -> float:
    """A number of the book in `source` units as it stands in a book in `target` units."""
    if source == target:
        return value
    slope, offset = _line(unit)
    return value * slope + offset if target == "US" else (value - offset) / slope
