"""The weather service, asked through meteostat: its list of stations, and the days of one station and one year.

This is the only module that imports the library. The library keeps what goes wrong to its log and answers as if there
were no data; here the log is read, and each answer says what is absent at the service and what went wrong on the way.

    what came                                              is told as
    404 for a year                                         absent: the service has no such year
    other status; damaged, cut or foreign content          a trouble of that year; asked for once more
    no connection, no answer in time, a proxy, TLS         the network: nothing else is asked then
    a damaged file in the cache                            the station's cache is dropped, and it is asked for anew
    an old list of stations, and no newer one              a remark: the old one serves

Rain is in mm, temperatures in °C. Values whose source is a forecast or a model are dropped, mixed sources too.
"""

from __future__ import annotations

import http.client
import logging
import os
import re
import shutil
import socket
import sqlite3
import ssl
import tempfile
import time
import urllib.error
import urllib.parse
import urllib.request
import warnings
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date
from enum import Enum
from pathlib import Path
from typing import Any, TypeVar

import pandas as pd
import platformdirs

from budget.errors import Fault, InputFaults, RainUnavailable
from budget.record.fetched import Credit
from budget.record.layouts import NOT_MEASURED, NUMBERS
from budget.record.neighbours import TEMPERATURES as BOTH
from budget.record.station import RAIN, TEMPERATURES, Station, Wanted, distance, plain_name

FILE_TIMEOUT = 15.0  # [s] without an answer, for the file of a year
LIST_TIMEOUT = 10  # [s] likewise, for the list of stations
RETRIES = 1  # of the list of stations; the library waits 1 s before the first
PAUSE = 1.0  # [s] before what went wrong is asked for once more
DAY = 86400  # [s]
CACHED = 31  # [days] for which the library at most answers from its cache
LIST_AGE = 7 * DAY  # [s] from which on a newer list of stations is asked for
FOR_EVER = 2**40  # [s]; when the list is renewed is not left to the library, which would overwrite what it has
NOT_NOW = (401, 403, 407, 429)  # whoever is told so asks nothing more
MOST_LISTED = 100  # stations taken from the list
SQLITE = b"SQLite format 3\0"  # what such a file begins with
STATION_ID = r"[A-Za-z0-9]{1,16}"
# The library's own question for one station takes an id in any case and does not tell how the list writes it.
BY_ID = """
    SELECT stations.*, names.name AS name FROM stations LEFT JOIN names ON id = station AND language = 'en'
    WHERE id = ? COLLATE NOCASE AND latitude IS NOT NULL AND longitude IS NOT NULL ORDER BY id = ? DESC
"""
# What is asked of the list, by the library and here; one row is enough to see that it is there.
LISTED = """
    SELECT id, country, region, latitude, longitude, elevation, timezone, name FROM stations JOIN names ON id = station
    WHERE language = 'en' LIMIT 1
"""
LOG_IN_PAGE = "a log-in page of the network, perhaps"
BRING_A_FILE = 'or bring a record of your own: rain.source = "files" and rain.file'
NEEDS = {RAIN: ["rain"], TEMPERATURES: BOTH}  # figures that a day must have for a use
FIGURES = {"rain": "prcp", "tmax": "tmax", "tmin": "tmin"}
ADDRESSING = urllib.error.URLError, http.client.InvalidURL
Answer = TypeVar("Answer")

log = logging.getLogger(__name__)


class Kind(Enum):
    """What became of a year that did not come."""

    ABSENT = "not there"
    SERVER = "server error"
    CONTENT = "damaged or foreign content"
    NETWORK = "network"
    CACHE = "damaged cache, or one that cannot be written"


@dataclass(frozen=True)
class Trouble:
    kind: Kind
    words: str


@dataclass(frozen=True)
class Year:
    """The days of one station in one year.

    `days`: index date, columns `rain` [mm], `tmax`, `tmin` [°C]; days that are absent have no row. `trouble`: why there
    are none. `known`: days with all figures that a use needs, by use [days].
    """

    days: pd.DataFrame
    trouble: Trouble | None
    known: Mapping[str, int] = field(default_factory=dict)


@dataclass
class Came:
    """What came of one station: its years; by source, on how many values it stands; values of forecasts left out."""

    years: dict[int, Year] = field(default_factory=dict)
    sources: Counter[str] = field(default_factory=Counter)
    forecasts: int = 0

    def add(self, other: Came) -> None:
        self.years |= other.years
        self.sources += other.sources
        self.forecasts += other.forecasts

    def troubled(self, *kinds: Kind) -> list[int]:
        """The years with a trouble of these kinds."""
        return [year for year, answer in self.years.items() if answer.trouble and answer.trouble.kind in kinds]


class NetworkGone(Exception):
    """Nothing can be asked: a trouble of the network, in which year, and what came before."""

    def __init__(self, trouble: Trouble, year: int, came: Came) -> None:
        super().__init__(trouble.words)
        self.trouble, self.year, self.came = trouble, year, came


def cache_folder() -> Path:
    """Where answers of the service are kept for some days; not an archive."""
    return platformdirs.user_cache_path("water-budget")


class WeatherService:
    """The service, with a cache folder of its own.

    `fresh`: days are asked for even where the cache has them. `pause` [s]: before what failed is asked for again.
    `retries`: of the list of stations. One object asks for a list once, and serves one search.
    """

    def __init__(
        self, folder: Path | None = None, fresh: bool = False, pause: float | None = None, retries: int = RETRIES
    ) -> None:
        self.folder = folder or cache_folder()
        self.fresh = fresh
        self.pause = PAUSE if pause is None else pause
        self.retries = retries
        self.remarks: list[str] = []
        self._has_list = False

    # ------------------------------------------------------------ the list of stations

    def nearby(self, wanted: Wanted) -> list[Station]:
        """The stations within reach, nearest first. Raises RainUnavailable where the list cannot be had."""

        def ask() -> pd.DataFrame:
            import meteostat

            place = meteostat.Point(wanted.latitude, wanted.longitude)
            return meteostat.stations.nearby(place, radius=wanted.within * 1000, limit=MOST_LISTED)

        table = self._from_list(ask)
        known = table[[bool(re.fullmatch(STATION_ID, str(key))) for key in table.index]]
        found = [self._station(str(key), row, wanted) for key, row in known.iterrows()]
        return sorted(found, key=lambda station: (station.distance, station.id))

    def named(self, wanted: Wanted) -> Station:
        """The station that the site file names. Raises InputFaults where the list has none of that id."""
        asked = str(wanted.station)
        accepted = "the id of a station, as the command 'rain' lists them where no station is named"
        if not re.fullmatch(STATION_ID, asked):
            raise InputFaults([Fault("rain.station", f"'{asked}' is not an id of letters and digits", accepted)])

        def ask() -> pd.DataFrame:
            import meteostat

            return meteostat.stations.query(BY_ID, params=(asked, asked))

        rows = self._from_list(ask).to_dict("records")
        if not rows:
            raise InputFaults([Fault("rain.station", f"the service knows no station '{asked}'", accepted)])
        return self._station(str(rows[0]["id"]), rows[0], wanted)

    def periods(self, stations: Iterable[Station]) -> dict[str, dict[str, tuple[date, date]]]:
        """First and last day of `rain`, `tmax` and `tmin` by station, where the list's inventory tells them.

        Not of forecasts; a station that has nothing but them is there without figures.
        """
        ids = [station.id for station in stations]

        def ask() -> pd.DataFrame | None:
            import meteostat

            return meteostat.stations.inventory(ids).df if ids else None

        try:
            table = self._from_list(ask)
        except RainUnavailable:
            return {}  # a list without an inventory: the stations are asked
        found: dict[str, dict[str, tuple[date, date]]] = {}
        rows = [] if table is None else table.reset_index().to_dict("records")
        for row in rows:
            key, parameter = str(row["station"]), row["parameter"]
            figure = next((name for name, theirs in FIGURES.items() if theirs == parameter), None)
            try:
                first, last = date.fromisoformat(str(row["start"])[:10]), date.fromisoformat(str(row["end"])[:10])
            except ValueError:
                continue
            known = found.setdefault(key, {})
            if figure is not None and row["provider"] not in NOT_MEASURED:
                before = known.get(figure, (first, last))
                known[figure] = min(first, before[0]), max(last, before[1])
        return found

    def _station(self, key: str, row: Any, wanted: Wanted) -> Station:
        latitude, longitude = float(row["latitude"]), float(row["longitude"])
        height = row["elevation"]
        return Station(
            id=key,
            name=plain_name(row["name"]) or key,
            country=plain_name(row["country"]),
            latitude=latitude,
            longitude=longitude,
            height=None if pd.isna(height) else float(height),
            distance=distance(wanted.latitude, wanted.longitude, latitude, longitude),
        )

    def _from_list(self, ask: Callable[[], Answer]) -> Answer:
        """What the list of stations answers. Raises RainUnavailable where there is none, or it lacks what is asked."""
        self._have_list()
        with self._asking():
            try:
                return ask()
            except (pd.errors.DatabaseError, sqlite3.Error) as error:
                words = shortened(error.__cause__ or error)
                raise RainUnavailable(
                    [f"The list of weather stations lacks what is asked of it: {words}."],
                    [f"try again later; {BRING_A_FILE}"],
                ) from error

    def _have_list(self) -> None:
        """See that a sound list of stations is in the cache, and a newer one where it is old and one can be had."""
        path = self._list_file()
        if self._has_list:
            return
        if path.exists() and not is_sound(path):
            path.unlink()
            self.remarks.append("The list of stations in the cache was damaged and was fetched anew.")
        if not path.exists() or time.time() - path.stat().st_mtime > LIST_AGE:
            trouble = self._fetch_list()
            if trouble is not None and not path.exists():
                raise RainUnavailable(
                    [f"The list of weather stations could not be had: {trouble.words}."],
                    [f"{remedy(trouble)}; {BRING_A_FILE}"],
                )
            if trouble is not None:
                day = date.fromtimestamp(path.stat().st_mtime)
                self.remarks.append(f"No newer list of stations can be had ({trouble.words}); that of {day} served.")
        self._has_list = True

    def _fetch_list(self) -> Trouble | None:
        """Put a new list of stations in the place of what is there, once it has come whole; or tell why it did not."""
        with self._asking() as lines, tempfile.TemporaryDirectory(dir=self.folder) as new:
            import meteostat

            came = Path(new, "stations.db")
            meteostat.config.stations_db_file = str(came)
            try:
                meteostat.stations.connect().close()
            except Exception as error:  # the library raises bare Exceptions
                return list_trouble(lines, error)
            if not is_sound(came):
                return Trouble(Kind.CONTENT, f"what came is no list of stations; {LOG_IN_PAGE}")
            os.replace(came, self._list_file())
        return None

    def _list_file(self) -> Path:
        return self.folder / "stations.db"

    # ------------------------------------------------------------ the days of a station

    def days(self, station: Station, years: Sequence[int], until: date) -> Came:
        """The days of years that follow each other, up to `until`; what went wrong is asked for once more.

        Raises NetworkGone where nothing can be asked.
        """
        with self._cache_of(station, self.fresh) as folder:
            came = self._ask(station, years, until, folder)
            if came.troubled(Kind.CACHE):
                shutil.rmtree(self._days_folder(station), ignore_errors=True)
                self.remarks.append(f"What the cache held of {station.words} was damaged and was fetched anew.")
                came = self._ask(station, years, until, folder)
        again = came.troubled(Kind.SERVER, Kind.CONTENT, Kind.NETWORK, Kind.CACHE)
        for number, year in enumerate(again):
            time.sleep(self.pause)
            with self._cache_of(station, fresh=True) as folder:  # what the cache has of it may be what is wrong
                came.add(self._ask(station, [year], until, folder))
            trouble = came.years[year].trouble
            if trouble is not None and trouble.kind is Kind.NETWORK:
                for untold in again[number:]:
                    del came.years[untold]
                raise NetworkGone(trouble, year, came)
            if trouble is not None and trouble.kind is Kind.CACHE:
                raise RainUnavailable(
                    [f"The cache folder {self.folder} does not serve: {trouble.words}."],
                    [f"{remedy(trouble)}; {BRING_A_FILE}"],
                )
        return came

    def _ask(self, station: Station, years: Sequence[int], until: date, folder: Path) -> Came:
        table: pd.DataFrame | None = None
        broken = ""
        with self._asking(folder) as lines:
            import meteostat
            from meteostat.providers.meteostat import daily
            from meteostat.typing import Station as Theirs

            asked = Theirs(id=station.id, name=station.name, country=station.country)
            figures = [meteostat.Parameter(name) for name in FIGURES.values()]
            first, last = date(min(years), 1, 1), min(until, date(max(years), 12, 31))
            try:
                table = meteostat.daily(asked, first, last, figures).fetch(sources=True)
            except Exception as error:  # bare errors of pandas and of the library for foreign content
                broken = f"its file cannot be read ({type(error).__name__})"
        if broken and len(years) > 1:  # which of them?
            came = Came()
            for year in years:
                came.add(self._ask(station, [year], until, folder))
            return came
        if broken:
            return measured(None, {years[0]: Trouble(Kind.CONTENT, broken)})
        troubles = {year: year_trouble(lines, year, daily.ENDPOINT) for year in years}
        return measured(table, troubles)

    def asked_since(self, stations: Sequence[Station], today: date) -> date:
        """The day since which the days of these stations were asked for: for some weeks the cache answers."""
        days = [today]
        for station in stations if not self.fresh else ():
            ages = (date.fromtimestamp(file.stat().st_mtime) for file in self._days_folder(station).glob("*"))
            days += [day for day in ages if (today - day).days <= CACHED]
        return min(days)

    def _days_folder(self, station: Station) -> Path:
        return self.folder / "days" / station.id

    @contextmanager
    def _cache_of(self, station: Station, fresh: bool) -> Iterator[Path]:
        """The folder where the library keeps the files of a station; an empty one where they are asked for anew.

        What comes anew replaces what was there.
        """
        folder = self._days_folder(station)
        self._make(folder)
        if not fresh:
            yield folder
            return
        with tempfile.TemporaryDirectory(dir=folder) as new:
            try:
                yield Path(new)
            finally:
                for file in Path(new).iterdir():
                    os.replace(file, folder / file.name)

    @contextmanager
    def _asking(self, days: Path | None = None) -> Iterator[list[logging.LogRecord]]:
        """The library set up for one question: our cache, time-outs, its log gathered instead of printed."""
        import meteostat

        theirs = logging.getLogger("meteostat")
        lines: list[logging.LogRecord] = []
        handler = Gathered(lines)
        level, propagate, timeout = theirs.level, theirs.propagate, socket.getdefaulttimeout()
        disabled, silenced = theirs.disabled, logging.root.manager.disable
        certificates = os.environ.get("SSL_CERT_FILE")
        self._make(days or self.folder)
        settings = vars(meteostat.config)
        before = dict(settings)
        try:
            settings.update(
                stations_db_file=str(self._list_file()),
                stations_db_ttl=FOR_EVER,
                cache_directory=str(days or self.folder),
                cache_enable=True,
                cache_autoclean=False,  # it would drop good files before newer ones have come
                cache_ttl=DAY,
                network_timeout=LIST_TIMEOUT,
                network_max_retries=self.retries,
            )
            theirs.addHandler(handler)
            theirs.setLevel(logging.INFO)
            theirs.propagate = False
            theirs.disabled = False  # a trouble that is not told would be taken for a year that is not there
            logging.disable(logging.NOTSET)
            socket.setdefaulttimeout(FILE_TIMEOUT)  # the library asks for days without one
            if certificates is None and ssl.get_default_verify_paths().cafile is None:
                import certifi

                os.environ["SSL_CERT_FILE"] = certifi.where()  # some Pythons come without certificates
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")
                yield lines
        finally:
            for line in lines:
                for error in causes(line.exc_info[1]) if line.exc_info and line.exc_info[1] else ():
                    if isinstance(error, urllib.error.HTTPError):
                        error.close()  # the library leaves its connection open
            settings.clear()
            settings.update(before)
            theirs.removeHandler(handler)
            theirs.setLevel(level)
            theirs.propagate = propagate
            theirs.disabled = disabled
            logging.disable(silenced)
            socket.setdefaulttimeout(timeout)
            if certificates is None:
                os.environ.pop("SSL_CERT_FILE", None)

    def _make(self, folder: Path) -> None:
        """See that a folder of the cache is there."""
        try:
            folder.mkdir(mode=0o700, parents=True, exist_ok=True)  # the library's files in it are to be trusted
        except OSError as error:
            raise RainUnavailable(
                [f"The cache folder {folder} cannot be made: {error.strerror}."],
                [f"make room for it, or free its name; {BRING_A_FILE}"],
            ) from error


class Gathered(logging.Handler):
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


# ---------------------------------------------------------------- what came


def no_days() -> pd.DataFrame:
    return pd.DataFrame(columns=list(NUMBERS), index=pd.DatetimeIndex([], name="date"), dtype=float)


def measured(table: pd.DataFrame | None, troubles: Mapping[int, Trouble]) -> Came:
    """The figures of the library's table that were measured, year by year, and their sources.

    `troubles`: what to tell of each year where it has no days.
    """
    came = Came()
    days = no_days()
    if table is not None and not table.empty:
        days = pd.DataFrame(index=pd.DatetimeIndex(table.index, name="date"), columns=list(NUMBERS), dtype=float)
        for figure, theirs in FIGURES.items():
            if theirs in table and f"{theirs}_source" in table:
                days[figure] = _measured_values(table[theirs], table[f"{theirs}_source"], came)
        days = days.dropna(how="all")
    years = pd.DatetimeIndex(days.index).year
    for year, trouble in troubles.items():
        of_year = days[years == year]
        known = {use: int(of_year[columns].notna().all(axis=1).sum()) for use, columns in NEEDS.items()}
        came.years[year] = Year(of_year, None if len(of_year) else trouble, known)
    return came


def _measured_values(column: pd.Series[Any], sources: pd.Series[Any], came: Came) -> Any:
    """The values of one figure without those of forecasts; counts both in `came`."""
    values = pd.to_numeric(column, errors="coerce").astype(float)
    known = sources.astype(object).where(values.notna())
    tokens = {words: str(words).split() for words in known.dropna().unique()}
    doubtful = [words for words, parts in tokens.items() if not NOT_MEASURED.isdisjoint(parts)]
    dropped = known.isin(doubtful)
    came.forecasts += int(dropped.sum())
    for words, count in known[~dropped].value_counts().items():
        came.sources.update({part: int(count) for part in tokens[words]})
    return values.mask(dropped).to_numpy()


def is_sound(path: Path) -> bool:
    """Whether the file is a whole SQLite database with stations in it."""
    try:
        with path.open("rb") as file:
            head = file.read(32)
        size, pages = int.from_bytes(head[16:18], "big"), int.from_bytes(head[28:32], "big")
        if not head.startswith(SQLITE) or path.stat().st_size < (65536 if size == 1 else size) * pages:
            return False
        connection = sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro&immutable=1", uri=True)
        try:
            whole = connection.execute("PRAGMA quick_check(1)").fetchone() == ("ok",)
            return whole and connection.execute(LISTED).fetchone() is not None
        finally:
            connection.close()
    except (OSError, sqlite3.Error):
        return False


# ---------------------------------------------------------------- what went wrong


def year_trouble(lines: list[logging.LogRecord], year: int, address: str) -> Trouble:
    """Why a year came without days, by what the library told its log."""
    for line in lines:
        if line.levelno == logging.ERROR:
            error = line.exc_info[1] if line.exc_info else None
            reason = error.strerror if isinstance(error, OSError) else type(error).__name__
            return Trouble(Kind.CACHE, f"what it holds cannot be read, or nothing can be written there ({reason})")
    for line in lines:
        error = line.exc_info[1] if line.exc_info else None
        if f'year "{year}"' not in line.getMessage():
            continue
        return classify(error, address) if error is not None else Trouble(Kind.ABSENT, "not found")
    return Trouble(Kind.ABSENT, "no measured value")


def list_trouble(lines: list[logging.LogRecord], error: Exception) -> Trouble:
    """Why the list of stations did not come."""
    if type(error).__module__.startswith("requests"):  # it had begun to come
        return classify(error)
    if isinstance(error, OSError):
        return Trouble(Kind.CACHE, f"it cannot be written to the cache ({error.strerror})")
    for line in lines:
        said = list(line.args) if isinstance(line.args, tuple) else []
        failed = next((part for part in said if isinstance(part, BaseException)), None)
        address = str(said[0]) if said else ""
        if failed is not None:
            return classify(failed, address)
        if "status" in line.getMessage() and len(said) > 1:
            return Trouble(Kind.SERVER, f"{host(address)} answers with status {said[1]}")
    return Trouble(Kind.SERVER, "the service has none at its addresses")


def classify(error: BaseException, address: str = "") -> Trouble:
    """A trouble by the errors that led to it."""
    chain = list(causes(error))
    for found in chain:
        if isinstance(found, urllib.error.HTTPError):
            kind = Kind.NETWORK if found.code in NOT_NOW else Kind.SERVER
            return Trouble(kind, f"the server answers with status {found.code}")
    where, through = host(address) if address else "the service", proxy_words(address)
    for found in chain:
        text = str(found).lower()
        if "proxy" in type(found).__name__.lower() or "tunnel connection" in text:
            return Trouble(Kind.NETWORK, f"the proxy does not let it through{through}")
        if isinstance(found, ssl.SSLCertVerificationError):
            return Trouble(Kind.NETWORK, f"the certificate of {where} is not accepted{through}")
        if isinstance(found, ssl.SSLError):
            return Trouble(Kind.NETWORK, f"no secure connection to {where}{through}")
        if isinstance(found, socket.gaierror) or "name resolution" in text or "failed to resolve" in text:
            return Trouble(Kind.NETWORK, f"no network: the name of {where} cannot be looked up{through}")
        if isinstance(found, TimeoutError) or "timed out" in text:
            return Trouble(Kind.NETWORK, f"no answer from {where} in time{through}")
        if isinstance(found, ConnectionError) or "connection refused" in text:
            return Trouble(Kind.NETWORK, f"no connection to {where}{through}")
    if any(isinstance(found, EOFError) or "IncompleteRead" in type(found).__name__ for found in chain):
        return Trouble(Kind.CONTENT, "its file is cut short")
    if any(isinstance(found, ADDRESSING) or type(found).__module__.startswith("requests") for found in chain):
        said = [found.strerror for found in chain if isinstance(found, OSError) and found.strerror]
        reason = said[0] if said else type(error).__name__  # not its text, which may hold the password of a proxy
        return Trouble(Kind.NETWORK, f"no connection to {where}: {reason}{through}")
    if any("BadGzipFile" in type(found).__name__ for found in chain):
        return Trouble(Kind.CONTENT, f"something else came than its file; {LOG_IN_PAGE}")
    return Trouble(Kind.CONTENT, f"its file cannot be read ({type(error).__name__})")


def causes(error: BaseException) -> Iterator[BaseException]:
    """The error and all that led to it."""
    waiting: list[BaseException] = [error]
    seen: set[int] = set()
    while waiting:
        found = waiting.pop(0)
        if id(found) in seen:
            continue
        seen.add(id(found))
        yield found
        inner = [found.__cause__, found.__context__, getattr(found, "reason", None), *found.args]
        waiting += [part for part in inner if isinstance(part, BaseException)]


def proxy_words(address: str) -> str:
    """The proxy that the environment names for the address, without what is secret in it."""
    scheme = urllib.parse.urlsplit(address).scheme or "https"
    proxy = urllib.request.getproxies().get(scheme)
    name = urllib.parse.urlsplit(address).hostname or ""
    if not proxy or (name and urllib.request.proxy_bypass(name)):
        return ""
    return f" (asked through the proxy {host(proxy)})"


def host(address: str) -> str:
    """Host and port of an address; nothing of a name or password before them, however it is written."""
    after = address.rpartition("@")[2] if "@" in address else address.rpartition("//")[2]
    return re.split(r"[/?#]", after)[0]


def remedy(trouble: Trouble) -> str:
    """What can be done about a trouble."""
    if trouble.kind is Kind.NETWORK:
        return "see that the network is there, and try again"
    if trouble.kind is Kind.CONTENT:
        return "log in to the network where it asks for that, and try again"
    if trouble.kind is Kind.CACHE:
        return "make room for the cache folder, or delete it, and try again"
    return "try again later"


def shortened(error: BaseException) -> str:
    """What an error says, on one line."""
    text = " ".join(str(error).split())
    return text if len(text) <= 120 else f"{text[:117]}..."
