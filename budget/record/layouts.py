"""Layouts in which services and families hand out rain: declared once each, told apart by their headings.

A heading is compared without case, dots, dashes and underscores (`plain`). A layout is taken where every heading that
it `needs` stands in one line of the file; any other file is read by what its headings say (`SAID`, `read_heading`).
The headings and units were taken from the services' own descriptions of their files.

    role                what the column holds
    date                a day or a month; or in parts: year, month, day, day of the year
    rain tmax tmin      the three figures
    element value       one figure a row: what it is, and how much
    total total_days    rain of several days, told on the last of them, and of how many
    running             a total that runs on from day to day
    station             which station, where the file holds several
    january ...         a month of the year that the row stands for
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from budget.record.findings import plain

MONTH_NAMES = "january february march april may june july august september october november december".split()
NUMBERS = ("rain", "tmax", "tmin")
# What a column may be called in a file of no known layout.
SAID: Mapping[str, tuple[str, ...]] = {
    "date": ("date", "datum", "time", "date time", "fecha", "data", "month of"),
    "year": ("year", "yyyy", "jahr"),
    "month": ("month", "mm", "mo", "monat"),
    "day": ("day", "dd", "tag"),
    "day_of_year": ("doy", "yday", "day of year"),
    "station": ("station", "station id", "site"),
    "rain": (
        "rain",
        "rainfall",
        "prcp",
        "prec",
        "precip",
        "precipitation",
        "precipitation sum",
        "total precip",
        "total precipitation",
        "ppt",
        "regen",
        "niederschlag",
        "pluie",
        "lluvia",
    ),
    "tmax": (
        "tmax",
        "t max",
        "temp max",
        "max temp",
        "temperature max",
        "max temperature",
        "maximum temperature",
        "temperature 2m max",
        "high",
        "tx",
    ),
    "tmin": (
        "tmin",
        "t min",
        "temp min",
        "min temp",
        "temperature min",
        "min temperature",
        "minimum temperature",
        "temperature 2m min",
        "low",
        "tn",
    ),
    "running": ("total", "running total", "cumulative", "rain total", "cumulative rain", "total rain to date"),
}
RAIN_UNITS = {
    "mm": ("mm", "millimetre", "millimetres", "millimeter", "millimeters", "l/m2", "l/m²"),
    "in": ("in", "inch", "inches", '"'),
}
TEMPERATURE_UNITS = {"C": ("c", "celsius", "centigrade"), "F": ("f", "fahrenheit")}
# From a file's unit to mm or °C: what is taken away first, times, and by what it is divided.
IN_METRIC: Mapping[str, tuple[float, float, float]] = {
    "mm": (0.0, 1.0, 1.0),
    "0.1 mm": (0.0, 1.0, 10.0),
    "in": (0.0, 25.4, 1.0),  # exact by definition
    "C": (0.0, 1.0, 1.0),
    "0.1 C": (0.0, 1.0, 10.0),
    "F": (32.0, 1.0, 1.8),
}
NOT_MEASURED = frozenset(("dwd_mosmix", "metno_forecast"))  # sources of forecasts that stand in for observations


@dataclass(frozen=True)
class Layout:
    """One layout: the headings that tell it, what each column holds, in which units, with which marks.

    `columns`: role by plain heading. `begins`: headings that the line must begin with. `units`: by figure, where the
    layout fixes them; else the heading or the site file says. `elements`: figure by what the element column says.
    `rejected`: heading of a mark beside a figure, and the marks with which the value does not count; `{heading}` in it
    stands for the figure's own, `{name}` for that without its unit in brackets. `traces`: likewise, marks of a trace.
    `sources`: the heading of the source of a figure. `attributes`: the heading of a cell of marks parted by commas, the
    first that of measurement, the second that of quality, blank where it passed (of months after a count of missing
    days). `trace_values`: numbers that stand for a trace. `separator`: "" for columns parted by blanks. `unit_line`: a
    line of units follows the headings. `headless`: a pattern that the first line matches where the file has no
    headings, with `columns` then by position. `note`: what the reader should know of such files.
    """

    name: str
    needs: tuple[str, ...]
    columns: Mapping[str, str]
    begins: tuple[str, ...] = ()
    units: Mapping[str, str] = field(default_factory=dict)
    elements: Mapping[str, str] = field(default_factory=dict)
    rejected: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    traces: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    sources: str = ""
    attributes: str = ""
    trace_values: tuple[str, ...] = ()
    separator: str | None = None
    unit_line: bool = False
    headless: str = ""
    note: str = ""


METRIC = {"rain": "mm", "tmax": "C", "tmin": "C"}
TENTHS = {"rain": "0.1 mm", "total": "0.1 mm", "tmax": "0.1 C", "tmin": "0.1 C"}
GRID = "Values of a grid or a model, not of a gauge: single days are smoothed."
OWN = Layout("columns by their headings", (), {})

_LONG = {
    "name": "one value a row, in tenths",
    "elements": {
        "PRCP": "rain",
        "TMAX": "tmax",
        "TMIN": "tmin",
        "MDPR": "total",
        "DAPR": "total_days",
    },
    "units": TENTHS,
}
_ORDER = {
    "name": "an order of daily or monthly summaries",
    "columns": {
        "station": "station",
        "date": "date",
        "prcp": "rain",
        "tmax": "tmax",
        "tmin": "tmin",
        "mdpr": "total",
        "dapr": "total_days",
    },
    "attributes": "{heading} attributes",
}
LAYOUTS: tuple[Layout, ...] = (
    Layout(
        **_LONG,  # type: ignore[arg-type]
        needs=("id", "date", "element", "data value"),
        columns={"id": "station", "date": "date", "element": "element", "data value": "value"},
        rejected={"q flag": ("*",)},
        traces={"m flag": ("T",)},
    ),
    Layout(
        **_LONG,  # type: ignore[arg-type]
        needs=(),
        headless=r"[A-Z]{2}[A-Z0-9_-]{9},\d{8},[A-Z0-9]{4},-?\d+,",
        columns={"0": "station", "1": "date", "2": "element", "3": "value", "4": "m flag", "5": "q flag"},
        rejected={"q flag": ("*",)},
        traces={"m flag": ("T",)},
    ),
    Layout(
        **_ORDER,  # type: ignore[arg-type]
        needs=("station", "name", "date", "prcp"),
        begins=("station", "name"),  # with places and marks it has every heading of the next
    ),
    Layout(
        "one day a row with attributes, in tenths",
        ("station", "date", "latitude", "prcp", "prcp attributes"),
        {
            "station": "station",
            "date": "date",
            "prcp": "rain",
            "tmax": "tmax",
            "tmin": "tmin",
            "mdpr": "total",
            "dapr": "total_days",
        },
        units=TENTHS,
        attributes="{heading} attributes",
    ),
    Layout(**_ORDER, needs=("station", "name", "date", "prcp")),  # type: ignore[arg-type]
    Layout(
        "a download by station and day",
        ("date", "tavg", "tmin", "tmax", "prcp", "wspd", "pres"),
        {"date": "date", "prcp": "rain", "tmax": "tmax", "tmin": "tmin"},
        units=METRIC,
        note="Forecasts may stand in it for missing observations, unmarked.",
    ),
    Layout(
        "a bulk file with sources",
        ("year", "month", "day", "prcp", "prcp source"),
        {"year": "year", "month": "month", "day": "day", "prcp": "rain", "tmax": "tmax", "tmin": "tmin"},
        units=METRIC,
        sources="{heading} source",
    ),
    Layout(
        "a bulk file of months with sources",
        ("year", "month", "prcp", "prcp source"),
        {"year": "year", "month": "month", "prcp": "rain", "tmax": "tmax", "tmin": "tmin"},
        units=METRIC,
        sources="{heading} source",
    ),
    Layout(
        "a German climate file",
        ("stations id", "mess datum", "rsk", "txk", "tnk"),
        {"stations id": "station", "mess datum": "date", "rsk": "rain", "txk": "tmax", "tnk": "tmin"},
        units=METRIC,
        separator=";",
    ),
    Layout(
        "a German rain file",
        ("stations id", "mess datum", "rs"),
        {"stations id": "station", "mess datum": "date", "rs": "rain"},
        units=METRIC,
        separator=";",
    ),
    Layout(
        "a French climate file",
        ("num poste", "aaaammjj", "rr"),
        {"num poste": "station", "aaaammjj": "date", "rr": "rain", "tx": "tmax", "tn": "tmin"},
        units=METRIC,
        rejected={"q{heading}": ("2",)},
    ),
    Layout(
        "a Canadian climate file",
        ("date/time", "max temp (°c)", "min temp (°c)", "total precip (mm)"),
        {
            "climate id": "station",
            "date/time": "date",
            "total precip (mm)": "rain",
            "max temp (°c)": "tmax",
            "min temp (°c)": "tmin",
        },
        units=METRIC,
        traces={"{name} flag": ("T",)},
        rejected={"{name} flag": ("M", "C", "L")},  # missing; fell or may have fallen, amount uncertain
    ),
    Layout(
        "an Australian rain file",
        ("product code", "year", "month", "day", "rainfall amount (millimetres)"),
        {
            "bureau of meteorology station number": "station",
            "year": "year",
            "month": "month",
            "day": "day",
            "rainfall amount (millimetres)": "total",
            "period over which rainfall was measured (days)": "total_days",
        },
        units={"total": "mm"},
    ),
    Layout(
        "an Australian file of highs",
        ("product code", "year", "month", "day", "maximum temperature (degree c)"),
        {
            "bureau of meteorology station number": "station",
            "year": "year",
            "month": "month",
            "day": "day",
            "maximum temperature (degree c)": "tmax",
        },
        units=METRIC,
    ),
    Layout(
        "an Australian file of lows",
        ("product code", "year", "month", "day", "minimum temperature (degree c)"),
        {
            "bureau of meteorology station number": "station",
            "year": "year",
            "month": "month",
            "day": "day",
            "minimum temperature (degree c)": "tmin",
        },
        units=METRIC,
    ),
    Layout(
        "a Dutch climate file, in tenths",
        ("stn", "yyyymmdd", "rh"),
        {"stn": "station", "yyyymmdd": "date", "rh": "rain", "tx": "tmax", "tn": "tmin"},
        units=TENTHS,
        trace_values=("-1",),
    ),
    Layout(
        "a British table of months",
        ("yyyy", "mm", "tmax", "tmin", "af", "rain"),
        {"yyyy": "year", "mm": "month", "tmax": "tmax", "tmin": "tmin", "rain": "rain"},
        units=METRIC,
        separator="",
        unit_line=True,
    ),
    Layout(
        "an Irish climate file",
        ("date", "ind", "maxtp", "mintp", "rain"),
        {"date": "date", "maxtp": "tmax", "mintp": "tmin", "rain": "rain"},
        units=METRIC,
    ),
    Layout(
        "a gridded time series",
        ("date", "ppt (inches)", "tmin (degrees f)", "tmax (degrees f)"),
        {"date": "date", "ppt (inches)": "rain", "tmin (degrees f)": "tmin", "tmax (degrees f)": "tmax"},
        units={"rain": "in", "tmax": "F", "tmin": "F"},
        note=GRID,
    ),
    Layout(
        "a gridded time series",
        ("date", "ppt (mm)", "tmin (degrees c)", "tmax (degrees c)"),
        {"date": "date", "ppt (mm)": "rain", "tmin (degrees c)": "tmin", "tmax (degrees c)": "tmax"},
        units=METRIC,
        note=GRID,
    ),
    Layout(
        "a satellite series by day of the year",
        ("year", "doy", "prectotcorr"),
        {
            "year": "year",
            "doy": "day_of_year",
            "prectotcorr": "rain",
            "t2m max": "tmax",
            "t2m min": "tmin",
        },
        units=METRIC,
        note=GRID,
    ),
    Layout(
        "a gridded series by day of the year",
        ("year", "yday", "prcp (mm/day)"),
        {
            "year": "year",
            "yday": "day_of_year",
            "prcp (mm/day)": "rain",
            "tmax (deg c)": "tmax",
            "tmin (deg c)": "tmin",
        },
        units=METRIC,
        note=GRID,
    ),
    Layout(
        "a table with a column for each month",
        ("year", *(name[:3] for name in MONTH_NAMES)),
        {"year": "year"} | {name[:3]: name for name in MONTH_NAMES},
    ),
    Layout(
        "a table with a column for each month",
        ("year", *MONTH_NAMES),
        {"year": "year"} | {name: name for name in MONTH_NAMES},
    ),
)


def known_unit(role: str, text: str, rate: str = "d|day|month") -> str | None:
    """The unit that a header cell means ("mm", "in", "C", "F"), or None; `rate`: what it may be per."""
    word = re.sub(r"[°º]|deg(rees?)?", "", text.strip()).strip()
    word = re.sub(rf"(/| per )\s*({rate})$", "", word).strip()  # a day's rain is a daily rate
    spellings = TEMPERATURE_UNITS if role in ("tmax", "tmin") else RAIN_UNITS if role in ("rain", "running") else {}
    for unit, words in spellings.items():
        if word in words or word.removeprefix("in ") in words:
            return unit
    return None


def read_heading(cell: str) -> tuple[str, str | None] | None:
    """Role and unit text of a header cell, or None for a column that is not used.

    A unit in brackets is handed on whatever it says, so that `rain (cm)` can be refused; without brackets
    only a known unit makes it the column, so that `rain_flag` is not taken for rain.
    """
    words = plain(cell)
    bracketed = re.fullmatch(r"([^(\[]*?) ?[(\[](.*)[)\]]", words)
    name, brackets = (bracketed[1], bracketed[2].strip()) if bracketed else (words, None)
    for role, names in SAID.items():
        for known in sorted(names, key=len, reverse=True):
            if name == known:
                return role, brackets
            if brackets is None and name.startswith(f"{known} ") and known_unit(role, name[len(known) :]):
                return role, name[len(known) :].strip()
    return None
