"""What a site file may hold: its sections, lists and months, the settings of the file itself, and what each accepts."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache

from budget.declarations import Input
from budget.references import names
from budget.units import SYSTEMS, System, Unit, to_book
from budget.water import water_table
from budget.water.nouns import MONTHS, SCALARS, place

LONGEST_TEXT = 200  # characters, as the cells of the book accept
TWELVE = 12  # months

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
# Settings that name one file or a list of them.
FILE_LISTS = ("rain_file", "rain_neighbours")
# The dates of the tank's service, which the build finds together where the file gives neither.
DATES = ("tank_fill_from", "tank_drain_by")
# Twelve values of a section, one a calendar month.
MONTHLY: dict[str, Sequence[Input]] = {months.section: months.inputs for months in MONTHS}


@cache
def sections() -> dict[str, dict[str, Input]]:
    """The scalar inputs that a site file accepts, by section and key."""
    found: dict[str, dict[str, Input]] = {}
    for given in (*RAIN_SETTINGS, *SCALARS, LONGITUDE):
        if given.found != water_table.STORED:
            section, key = place(given)
            found.setdefault(section, {})[key] = given
    return found


def bounds(given: Input, system: System) -> tuple[float, float]:
    """Lowest and highest number that is accepted, in the book's units."""
    low = -math.inf if given.low is None else to_book(given.low, given.unit, system)
    return low, math.inf if given.high is None else to_book(given.high, given.unit, system)


def choices(given: Input) -> tuple[str, ...]:
    """The words that an input of text may be."""
    return column_of(given.choices) if isinstance(given.choices, str) else given.choices or ()


def column_of(table: str) -> tuple[str, ...]:
    """The words in a column of a reference table, which is named as `table:column`."""
    return names(*table.split(":"))
