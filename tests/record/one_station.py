"""One invented station at a place, on a server with every fault, and what the service makes of each fault."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pandas as pd

from budget.record.station import Station, Wanted
from budget.record.station_days import Came
from budget.record.trouble import Kind
from budget.record.weather_service import WeatherService
from tests.station_server import Fault, ServedStation

PLACE = Wanted(44.3, -40.0, None, None, None, 50.0)
UNTIL = date(2020, 1, 1)
YEARS = [2010, 2011]
FILES = ["/daily/2010/ZZA01.csv.gz", "/daily/2011/ZZA01.csv.gz"]
LOG_IN = "something else came than its file; a log-in page of the network, perhaps"
NO_LIST = "what came is no list of stations; a log-in page of the network, perhaps"


def near(days: pd.DataFrame, **given: object) -> ServedStation:
    """An invented station at the place, with that record."""
    return ServedStation("ZZA01", "Brook", 44.3, -40.0, days=days, **given)


BROOK = Station("ZZA01", "Brook", "XX", 44.3, -40.0, 100.0, 0.0)


def service(folder: Path, **given: object) -> WeatherService:
    return WeatherService(folder, pause=0, retries=0, **given)


def came_back(came: Came) -> pd.DataFrame:
    return pd.concat([came.years[year].days for year in sorted(came.years)])


# By fault: what becomes of the year, in which words.
OF_DAYS = {
    Fault.NOT_FOUND: (Kind.ABSENT, "not found"),
    Fault.SERVER_ERROR: (Kind.SERVER, "the server answers with status 500"),
    Fault.HTML: (Kind.CONTENT, LOG_IN),
    Fault.GZIPPED_HTML: (Kind.CONTENT, "its file cannot be read (ValueError)"),
    Fault.EMPTY: (Kind.CONTENT, "its file cannot be read (EmptyDataError)"),
    Fault.NOT_GZIP: (Kind.CONTENT, LOG_IN),
    Fault.HANG_UP: (Kind.CONTENT, "its file is cut short"),
    Fault.TRUNCATED: (Kind.CONTENT, "its file is cut short"),
    Fault.DUPLICATE_DAY: (Kind.CONTENT, "its file cannot be read (ValueError)"),
    Fault.NO_SOURCES: (Kind.ABSENT, "no measured value"),
    Fault.BLANK_SOURCE: (Kind.CONTENT, "its file cannot be read (AttributeError)"),
}
OF_LIST = {
    Fault.NOT_FOUND: "the service has none at its addresses",
    Fault.SERVER_ERROR: "{host} answers with status 500",
    Fault.HTML: NO_LIST,
    Fault.GZIPPED_HTML: NO_LIST,
    Fault.EMPTY: NO_LIST,
    Fault.NOT_GZIP: NO_LIST,
    Fault.HANG_UP: "its file is cut short",
    Fault.TRUNCATED: NO_LIST,
    Fault.SLOW: "no answer from {host} in time",
}
OF_ROWS = [Fault.DUPLICATE_DAY, Fault.NO_SOURCES, Fault.BLANK_SOURCE]  # leave the list as it is


def named(fault: Fault) -> str:
    return fault.name
