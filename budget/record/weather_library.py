"""The weather library, meteostat: set up for one question, and the questions that are put to it.

This is the only module that imports the library, and it does so only when something is asked. The library keeps what
goes wrong to its log and answers as if there were no data; here its log is gathered, for `trouble` to read.
"""

from __future__ import annotations

import logging
import os
import socket
import ssl
import urllib.error
import warnings
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import date
from pathlib import Path

import pandas as pd

from budget.errors import RainUnavailable
from budget.record.fetched import Credit
from budget.record.station import Station
from budget.record.trouble import BRING_A_FILE, causes

FILE_TIMEOUT = 15.0  # [s] without an answer, for the file of a year
LIST_TIMEOUT = 10  # [s] likewise, for the list of stations
RETRIES = 1  # of the list of stations; the library waits 1 s before the first
DAY = 86400  # [s]
FOR_EVER = 2**40  # [s]; when the list is renewed is not left to the library, which would overwrite what it has
LIST_FILE = "stations.db"  # the list of stations, in the cache folder
FIGURES = {"rain": "prcp", "tmax": "tmax", "tmin": "tmin"}  # as the library calls them


@contextmanager
def asking(folder: Path, files: Path | None = None, retries: int = RETRIES) -> Iterator[list[logging.LogRecord]]:
    """The library set up for one question; gives the lines of its log, which nobody else sees.

    `folder`: the cache, with the list of stations in it. `files`: where files of days are kept, else the same.
    `retries`: of the list of stations. Raises RainUnavailable where there can be no such folder.
    """
    with (
        _configured(folder / LIST_FILE, files or folder, retries),
        _log_gathered() as lines,
        _network_set(),
        warnings.catch_warnings(action="ignore"),
    ):
        yield lines


@contextmanager
def _configured(list_file: Path, files: Path, retries: int) -> Iterator[None]:
    """The settings of the library: our cache, and how long and how often it asks."""
    import meteostat

    make_folder(files)
    settings = vars(meteostat.config)
    before = dict(settings)
    try:
        settings.update(
            stations_db_file=str(list_file),
            stations_db_ttl=FOR_EVER,
            cache_directory=str(files),
            cache_enable=True,
            cache_autoclean=False,  # it would drop good files before newer ones have come
            cache_ttl=DAY,
            network_timeout=LIST_TIMEOUT,
            network_max_retries=retries,
        )
        yield
    finally:
        settings.clear()
        settings.update(before)


@contextmanager
def _log_gathered() -> Iterator[list[logging.LogRecord]]:
    """The lines that the library writes to its log, gathered instead of printed."""
    theirs = logging.getLogger("meteostat")
    lines: list[logging.LogRecord] = []
    handler = LogKeeper(lines)
    level, propagate, disabled = theirs.level, theirs.propagate, theirs.disabled
    silenced = logging.root.manager.disable
    try:
        theirs.addHandler(handler)
        theirs.setLevel(logging.INFO)
        theirs.propagate = False
        theirs.disabled = False  # a trouble that is not told would be taken for a year that is not there
        logging.disable(logging.NOTSET)
        yield lines
    finally:
        for line in lines:
            for error in causes(line.exc_info[1]) if line.exc_info and line.exc_info[1] else ():
                if isinstance(error, urllib.error.HTTPError):
                    error.close()  # the library leaves its connection open
        theirs.removeHandler(handler)
        theirs.setLevel(level)
        theirs.propagate = propagate
        theirs.disabled = disabled
        logging.disable(silenced)


@contextmanager
def _network_set() -> Iterator[None]:
    """A time limit, and certificates."""
    timeout, certificates = socket.getdefaulttimeout(), os.environ.get("SSL_CERT_FILE")
    try:
        socket.setdefaulttimeout(FILE_TIMEOUT)  # the library asks for days without one
        if certificates is None and ssl.get_default_verify_paths().cafile is None:
            import certifi

            os.environ["SSL_CERT_FILE"] = certifi.where()  # some Pythons come without certificates
        yield
    finally:
        socket.setdefaulttimeout(timeout)
        if certificates is None:
            os.environ.pop("SSL_CERT_FILE", None)


class LogKeeper(logging.Handler):
    """Keeps what the library logs, and lets go of the connections that hang on its errors."""

    def __init__(self, lines: list[logging.LogRecord]) -> None:
        super().__init__()
        self.lines = lines

    def emit(self, record: logging.LogRecord) -> None:
        if record.exc_info and record.exc_info[1]:
            for error in causes(record.exc_info[1]):
                error.__traceback__ = None
                if isinstance(error, urllib.error.HTTPError):
                    error.close()
        self.lines.append(record)


def make_folder(folder: Path) -> None:
    """See that a folder of the cache is there."""
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)  # the library's files in it are to be trusted
    except OSError as error:
        raise RainUnavailable(
            [f"The cache folder {folder} cannot be made: {error.strerror}."],
            [f"make room for it, or free its name; {BRING_A_FILE}"],
        ) from error


# ---------------------------------------------------------------- questions, within `asking`


def fetch_list() -> None:
    """Have the library fetch the list of stations into its place. Raises what the library does: bare Exceptions too."""
    import meteostat

    meteostat.stations.connect().close()


def nearby(latitude: float, longitude: float, within: float, most: int) -> pd.DataFrame:
    """The stations of the list within reach [m], by id, at most so many."""
    import meteostat

    return meteostat.stations.nearby(meteostat.Point(latitude, longitude), radius=within, limit=most)


def query(statement: str, values: Sequence[object]) -> pd.DataFrame:
    """What the list of stations answers to a statement of SQL."""
    import meteostat

    return meteostat.stations.query(statement, params=tuple(values))


def inventory(ids: Sequence[str]) -> pd.DataFrame | None:
    """First and last day by station, source and figure; None where the list knows none."""
    import meteostat

    return meteostat.stations.inventory(list(ids)).df


def daily(station: Station, first: date, last: date) -> pd.DataFrame | None:
    """The days of a station with their sources, as the library names them. Raises whatever foreign content leads to."""
    import meteostat
    from meteostat.typing import Station as Theirs

    asked = Theirs(id=station.id, name=station.name, country=station.country)
    figures = [meteostat.Parameter(name) for name in FIGURES.values()]
    table: pd.DataFrame | None = meteostat.daily(asked, first, last, figures).fetch(sources=True)
    return table


def address_of_days() -> str:
    """Where the library asks for days."""
    from meteostat.providers.meteostat import daily as files

    return str(files.ENDPOINT)


# ---------------------------------------------------------------- whom to name


def credits_of(sources: Mapping[str, int]) -> list[Credit]:
    """Licence and attribution of each source, by the library's table; the source with most values first."""
    from meteostat.core.providers import provider_service

    found = []
    for source, values in sorted(sources.items(), key=lambda entry: (-entry[1], entry[0])):
        provider = provider_service.get_provider(source)
        licence = None if provider is None else provider.license
        name = (licence.name if licence else None) or "licence not named"
        found.append(Credit(source, values, name, (licence.attribution if licence else None) or ""))
    return found


def library_version() -> str:
    """Name and version of the library."""
    import meteostat

    return f"meteostat {meteostat.__version__}"
