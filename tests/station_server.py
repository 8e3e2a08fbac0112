"""A weather service on 127.0.0.1: stations, their list and their daily records, served to the unmodified library.

    with StationServer([ServedStation("ZZA01", "Brook", 44.3, -40.0, days=days)]) as server:
        with library_on(server, tmp_path):  # meteostat in this process; for a subprocess: server.environment(tmp_path)
            meteostat.daily("ZZA01", date(2009, 1, 1), date(2011, 12, 31)).fetch()
        server.faults["/daily/2010/*"] = Fault.SERVER_ERROR  # from now on
        server.stop()  # connection refused, until server.restart()

| path | what |
| --- | --- |
| `/stations.db` | the list of stations, SQLite: stations, names, identifiers, inventory |
| `/daily/{year}/{station}.csv.gz` | the station's rows of that year; 404 where it has none |
| `/monthly/{station}.csv.gz` | sums of rain, means of temperatures; 404 unless the station is served `monthly` |

A file's columns are year, month, day (not in monthly ones), then tmin, tmax [°C], prcp [mm] as far as the station has
them, each with its source beside it (`prcp_source`); a figure that is missing is blank, and so is its source.
Temperatures have one decimal, as the service writes them; rain has as many as `days` has. The library itself rounds
every figure to one decimal, rain too.

By hand: `python -m tests.station_server` serves invented stations around the example places, `python -m
tests.station_server rain.csv` that record as a station; both print the variables that lead the library there.
"""

from __future__ import annotations

import argparse
import gzip
import json
import re
import shlex
import signal
import sqlite3
import sys
import tempfile
import threading
import time
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from enum import Enum
from fnmatch import fnmatchcase
from functools import cached_property
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from importlib import import_module
from math import cos, pi, radians
from pathlib import Path
from socketserver import TCPServer
from types import TracebackType
from typing import Self
from urllib.parse import unquote, urlsplit

import pandas as pd
import pytest

from budget.errors import InputFaults
from budget.record.asked import Asked
from budget.record.csv_file import read_file
from budget.units import parse

HOST = "127.0.0.1"
LIST = "/stations.db"
DAILY, MONTHLY = "/daily/{year}/{station}.csv.gz", "/monthly/{station}.csv.gz"
HOURLY = "/hourly/{year}/{station}.csv.gz"  # not served; so that nobody asks elsewhere
# Columns of the served days, and of the files in their order.
FIGURES = {"tmin": "tmin", "tmax": "tmax", "rain": "prcp"}


class Fault(Enum):
    """What goes wrong with a path.

    The first five go wrong with any path, also where there is no file; the others give 404 there. The last three are
    faults of rows, and leave the list of stations as it is.
    """

    NOT_FOUND = "404"
    SERVER_ERROR = "500"
    HTML = "a web page with status 200, as a login page of a network"
    GZIPPED_HTML = "the same, compressed"
    EMPTY = "status 200 and no body"
    NOT_GZIP = "the file as plain text; instead of the list of stations, its names as plain text"
    SLOW = "the right answer after `server.slow` seconds"
    HANG_UP = "the connection closed in the middle of the body"
    TRUNCATED = "the first half of the body, told as if it were whole"
    TRUNCATED_GZIP = TRUNCATED  # another name of the same
    DUPLICATE_DAY = "the first row stands there twice"
    NO_SOURCES = "no columns of sources"
    BLANK_SOURCE = "the first row with figures has no sources"


@dataclass(frozen=True, eq=False)
class ServedStation:
    """A station as the service knows it. Coordinates in degrees, elevation [m] or None where nobody knows it.

    `days`: index of days, which may have holes; columns any of `rain` [mm], `tmax`, `tmin` [°C], NaN where missing. A
    day that is not in the index has no row in the file; a day of NaN has a row of blanks. Not to be changed later.
    `sources`: the source string of each figure: one for all, one by column, or a frame like `days` with one for each
    value, so that "isd_lite dwd_mosmix" can stand on single days.
    `inventory`: whether the list tells start, end and completeness, for each figure and single source. Stations that
    have data without it exist.
    `monthly`: whether there is a file of months too; a month of which a day is missing is blank in it.
    """

    id: str
    name: str
    latitude: float
    longitude: float
    elevation: int | None = 100
    country: str = "XX"
    days: pd.DataFrame = field(default_factory=lambda: pd.DataFrame(index=pd.DatetimeIndex([])))
    sources: str | Mapping[str, str] | pd.DataFrame = "ghcnd"
    inventory: bool = True
    monthly: bool = False
    region: str | None = None
    timezone: str = "UTC"

    def __post_init__(self) -> None:
        index = self.days.index
        if not isinstance(index, pd.DatetimeIndex) or not index.is_unique or (index != index.normalize()).any():
            raise ValueError(f"{self.id}: the index of its days must be days, each of them once")
        if unknown := set(self.days.columns) - set(FIGURES):
            raise ValueError(f"{self.id}: {sorted(unknown)} are no figures; known are {sorted(FIGURES)}")

    def source(self, column: str) -> pd.Series[str]:
        """The source string of each value of a column, by day."""
        if isinstance(self.sources, pd.DataFrame):
            return self.sources[column].reindex(self.days.index)
        of_all = self.sources if isinstance(self.sources, str) else self.sources[column]
        return pd.Series(of_all, index=self.days.index)

    @cached_property
    def files(self) -> dict[str, pd.DataFrame]:
        """The rows of each of its files, as text, by path."""
        days = pd.DatetimeIndex(self.days.index)
        columns = {"year": days.year, "month": days.month, "day": days.day}
        for column, figure in FIGURES.items():
            if column in self.days:
                columns |= in_text(figure, self.days[column], self.source(column))
        rows = pd.DataFrame(columns, index=days).sort_index()
        files = {DAILY.format(year=year, station=self.id): of_year for year, of_year in rows.groupby("year")}
        return files | ({MONTHLY.format(station=self.id): self._months()} if self.monthly else {})

    def _months(self) -> pd.DataFrame:
        """The rows of its monthly file; the sources of a month are those of its days."""
        months = self.days.resample("MS")
        index = pd.DatetimeIndex(months.size().index)
        columns = {"year": index.year, "month": index.month}
        for column, figure in FIGURES.items():
            if column in self.days:
                values = months[column].sum() if column == "rain" else months[column].mean()
                sources = self.source(column).where(self.days[column].notna()).resample("MS").agg(_joined)
                columns |= in_text(figure, values.where(months[column].count() == index.days_in_month), sources)
        return pd.DataFrame(columns, index=index)

    def inventory_rows(self) -> Iterator[tuple[str, str, str, str, str, float]]:
        """station, provider, parameter, start, end, completeness (share of the days from start to end)."""
        for column in self.days if self.inventory else ():
            known = self.source(column)[self.days[column].notna()]
            for provider in sorted({token for text in known.unique() for token in text.split()}):
                dates = known.index[[provider in text.split() for text in known]]
                first, last = dates.min(), dates.max()
                share = round(len(dates) / ((last - first).days + 1), 2)
                yield self.id, provider, FIGURES[column], f"{first:%Y-%m-%d}", f"{last:%Y-%m-%d}", share


def in_text(figure: str, values: pd.Series[float], sources: pd.Series[str]) -> dict[str, pd.Series[str]]:
    """A figure's column and that of its sources, as they stand in a file."""
    written = "{:.10g}" if figure == "prcp" else "{:.1f}"
    known = values.notna()
    return {
        figure: values.map(written.format).where(known, ""),
        f"{figure}_source": sources.where(known, ""),
    }


def _joined(sources: pd.Series[str]) -> str:
    """Each single source of the strings once, in the order in which they come."""
    return " ".join(dict.fromkeys(token for text in sources.dropna() for token in text.split()))


def station_list(stations: Sequence[ServedStation]) -> bytes:
    """The SQLite file of the list of stations: the tables and columns that the library asks."""
    with closing(sqlite3.connect(":memory:")) as database:
        database.executescript(
            """
            CREATE TABLE stations (id TEXT PRIMARY KEY, country TEXT, region TEXT, latitude REAL, longitude REAL,
                                   elevation INTEGER, timezone TEXT);
            CREATE TABLE names (station TEXT, language TEXT, name TEXT, PRIMARY KEY (station, language));
            CREATE TABLE identifiers (station TEXT, key TEXT, value TEXT, PRIMARY KEY (station, key));
            CREATE TABLE inventory (station TEXT, provider TEXT, parameter TEXT, start TEXT, end TEXT,
                                    completeness REAL);
            """
        )
        database.executemany(
            "INSERT INTO stations VALUES (?, ?, ?, ?, ?, ?, ?)",
            [(s.id, s.country, s.region, s.latitude, s.longitude, s.elevation, s.timezone) for s in stations],
        )
        database.executemany("INSERT INTO names VALUES (?, 'en', ?)", [(s.id, s.name) for s in stations])
        database.executemany(
            "INSERT INTO inventory VALUES (?, ?, ?, ?, ?, ?)", [row for s in stations for row in s.inventory_rows()]
        )
        database.commit()
        return database.serialize()


@dataclass(frozen=True)
class Answer:
    """What is sent: `sent` bytes of the body, though its whole length is told."""

    status: int
    kind: str
    body: bytes
    sent: int


def whole(kind: str, body: bytes, status: int = 200) -> Answer:
    """An answer that is sent whole."""
    return Answer(status, kind, body, len(body))


PAGE = b"<!DOCTYPE html>\n<html><head><title>Sign in</title></head><body><p>Please sign in.</p></body></html>\n"
WITHOUT_FILE = {
    Fault.NOT_FOUND: whole("text/html", b"<html><body>Not Found</body></html>", 404),
    Fault.SERVER_ERROR: whole("text/html", b"<html><body>Server Error</body></html>", 500),
    Fault.HTML: whole("text/html", PAGE),
    Fault.GZIPPED_HTML: whole("application/gzip", gzip.compress(PAGE, mtime=0)),
    Fault.EMPTY: whole("application/gzip", b""),
}


def with_fault(rows: pd.DataFrame, fault: Fault | None) -> pd.DataFrame:
    """The rows of a file with the fault that is one of the rows, if it is."""
    if fault is Fault.DUPLICATE_DAY:
        return pd.concat([rows.iloc[:1], rows])
    sources = [column for column in rows.columns if column.endswith("_source")]
    if fault is Fault.NO_SOURCES:
        return rows.drop(columns=sources)
    if fault is Fault.BLANK_SOURCE:
        blanked = rows.copy()
        blanked.loc[rows.index[(rows[sources] != "").any(axis=1)][:1], sources] = ""
        return blanked
    return rows


class StationServer:
    """Serves stations while its `with` block runs; see the module's docstring.

    `requests`: the paths asked for, in order. `faults`: by pattern of the path (fnmatch, `*` goes over slashes), the
    first that matches counts; may be changed at any time. `delay`, `slow`: seconds before each answer, and before
    those with Fault.SLOW.
    """

    def __init__(
        self,
        stations: Sequence[ServedStation] = (),
        *,
        faults: Mapping[str, Fault] | None = None,
        delay: float = 0.0,
        slow: float = 2.0,
        port: int = 0,
    ) -> None:
        self.requests: list[str] = []
        self.faults: dict[str, Fault] = dict(faults or {})
        self.delay, self.slow = delay, slow
        self._port = port  # 0: any that is free
        self._stations: dict[str, ServedStation] = {}
        self._answers: dict[tuple[str, Fault | None], Answer] = {}
        self._running: tuple[_Listener, threading.Thread] | None = None
        self.serve(stations)

    def serve(self, stations: Sequence[ServedStation]) -> None:
        """Have these stations from now on, and no others."""
        by_id = {station.id: station for station in stations}
        if len(by_id) != len(stations):
            raise ValueError("two stations of one id")
        self._stations, self._answers = by_id, {}

    def __enter__(self) -> Self:
        self.restart()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.stop()

    @property
    def url(self) -> str:
        """Where it listens; the same after a restart."""
        if not self._port:
            raise RuntimeError("the server has not been started")
        return f"http://{HOST}:{self._port}"

    def restart(self) -> None:
        """Listen, on the port of before if it listened already."""
        self.stop()
        listener = _Listener((HOST, self._port), _Handler, self)
        self._port = listener.server_address[1]
        thread = threading.Thread(target=listener.serve_forever, args=(0.02,), name="station server", daemon=True)
        thread.start()
        self._running = listener, thread

    def stop(self) -> None:
        """Refuse connections; what waits for an answer gets none."""
        if self._running:
            listener, thread = self._running
            self._running = None
            listener.stopping.set()
            listener.shutdown()
            thread.join()
            listener.server_close()

    def settings(self, folder: Path) -> dict[str, object]:
        """The library's settings that lead it here, its cache and list of stations in the folder, which is made."""
        folder.mkdir(parents=True, exist_ok=True)
        return {
            "stations_db_endpoints": [self.url + LIST],
            "daily_endpoint": self.url + DAILY,
            "monthly_endpoint": self.url + MONTHLY,
            "hourly_endpoint": self.url + HOURLY,
            "cache_directory": str(folder / "cache"),
            "stations_db_file": str(folder / "stations.db"),
        }

    def environment(self, folder: Path, **settings: object) -> dict[str, str]:
        """Variables for a subprocess, to be added to its own; `settings`: more of the library's, by their names."""
        given = self.settings(folder) | settings
        variables = {
            f"MS_{name.upper()}": value if isinstance(value, str) else json.dumps(value)
            for name, value in given.items()
        }
        return variables | dict.fromkeys(("NO_PROXY", "no_proxy"), f"{HOST},localhost")

    def fault_of(self, path: str) -> Fault | None:
        """What goes wrong with that path now."""
        return next((fault for pattern, fault in list(self.faults.items()) if fnmatchcase(path, pattern)), None)

    def answer_to(self, path: str, fault: Fault | None) -> Answer:
        """The answer, made once for each path and fault."""
        key = path, fault
        if key not in self._answers:
            self._answers[key] = self._made(path, fault)
        return self._answers[key]

    def _made(self, path: str, fault: Fault | None) -> Answer:
        if fault in WITHOUT_FILE:
            return WITHOUT_FILE[fault]
        if path == LIST:
            names = "\n".join(["id,name", *(f"{station.id},{station.name}" for station in self._stations.values())])
            plain, packed, kind = names.encode(), station_list([*self._stations.values()]), "application/octet-stream"
        else:
            station = self._stations.get(Path(path).name.removesuffix(".csv.gz"))
            rows = station.files.get(path) if station else None
            if rows is None:
                return WITHOUT_FILE[Fault.NOT_FOUND]
            plain = with_fault(rows, fault).to_csv(index=False, lineterminator="\n").encode()
            packed, kind = gzip.compress(plain, mtime=0), "application/gzip"
        if fault is Fault.NOT_GZIP:
            return whole("text/csv", plain)
        if fault is Fault.TRUNCATED:
            return whole(kind, packed[: len(packed) // 2])
        if fault is Fault.HANG_UP:
            return Answer(200, kind, packed, len(packed) // 2)
        return whole(kind, packed)


class _Listener(ThreadingHTTPServer):
    """Answers each connection in a thread of its own."""

    daemon_threads = True
    request_queue_size = 64  # of the usual 5, one too many waits a whole second

    def __init__(self, address: tuple[str, int], handler: type[_Handler], service: StationServer) -> None:
        self.service = service
        self.stopping = threading.Event()
        super().__init__(address, handler)

    def server_bind(self) -> None:
        """Bind without looking up the name of the host, which may take seconds."""
        TCPServer.server_bind(self)
        self.server_name, self.server_port = HOST, self.server_address[1]

    def handle_error(self, request: object, client_address: object) -> None:
        """A client that went away is no error here."""
        if not isinstance(sys.exception(), (ConnectionError, TimeoutError)):
            super().handle_error(request, client_address)  # type: ignore[arg-type]


class _Handler(BaseHTTPRequestHandler):
    server: _Listener
    timeout = 10  # [s] for a client that asks nothing

    def do_GET(self) -> None:
        service = self.server.service
        path = unquote(urlsplit(self.path).path)
        service.requests.append(path)
        fault = service.fault_of(path)
        answer = service.answer_to(path, fault)
        if self.server.stopping.wait(service.delay + (service.slow if fault is Fault.SLOW else 0)):
            return
        self.send_response(answer.status)
        self.send_header("Content-Type", answer.kind)
        self.send_header("Content-Length", str(len(answer.body)))
        self.end_headers()
        self.wfile.write(answer.body[: answer.sent])

    def log_message(self, format: str, *args: object) -> None:
        """Quiet."""


@contextmanager
def library_on(server: StationServer, folder: Path, **settings: object) -> Iterator[None]:
    """The library of this process on that server; cache and list of stations in the folder.

    `settings`: more of `meteostat.config`, by their names (`network_max_retries=0`: no waiting where the list fails).
    Afterwards everything is as before, also what was changed in the meantime.
    """
    library = import_module("meteostat")
    endpoints = {kind: import_module(f"meteostat.providers.meteostat.{kind}") for kind in ("daily", "monthly")}
    configuration = vars(library.config)
    before = dict(configuration)
    given = server.settings(folder) | settings
    if unknown := [name for name in given if not hasattr(library.config, name)]:
        raise TypeError(f"the library has no settings {unknown}")
    with pytest.MonkeyPatch.context() as patch:
        for name, value in server.environment(folder, **settings).items():
            patch.setenv(name, value)
        for kind, module in endpoints.items():
            patch.setattr(module, "ENDPOINT", given[f"{kind}_endpoint"])
        configuration.update(given)
        try:
            yield
        finally:
            configuration.clear()
            configuration.update(before)


# ---- stations of files, to serve by hand ----

KILOMETRES_A_DEGREE = pi / 180 * 6371  # of latitude, on the library's own sphere
LONGITUDE = -40.0  # of places that say none: in the ocean, so that nobody takes them for real


@dataclass(frozen=True)
class Shift:
    """How an invented station differs from the record that it is made of.

    `north`, `east` [km] and `up` [m] from the place; `rain`: a factor; `warmth` [°C] is added to both temperatures;
    `figures`: the columns that it has; `begins`: years after the record; `lost`: a year without a file, counted from
    the record's first, which is 0.
    """

    name: str
    north: float
    east: float
    up: int
    rain: float = 1.0
    warmth: float = 0.0
    figures: tuple[str, ...] = ("rain", "tmax", "tmin")
    begins: int = 0
    lost: int | None = None


AROUND = (
    Shift("near by", north=3, east=0, up=5, lost=9),
    Shift("gauge", north=-8, east=0, up=-10, rain=0.9, figures=("rain",), begins=10),
    Shift("hill", north=0, east=12, up=240, rain=1.2, warmth=-1.5),
)


def shifted(days: pd.DataFrame, shift: Shift) -> pd.DataFrame:
    """The days of an invented station."""
    first = pd.DatetimeIndex(days.index).year.min()
    years = pd.DatetimeIndex(days.index).year
    kept = (years >= first + shift.begins) & (years != (None if shift.lost is None else first + shift.lost))
    made = days.loc[kept, list(shift.figures)].copy()
    made["rain"] = (made["rain"] * shift.rain).round(1)
    for column in set(shift.figures) - {"rain"}:
        made[column] = made[column] + shift.warmth
    return made


def stations_around(
    name: str, prefix: str, days: pd.DataFrame, latitude: float, longitude: float, elevation: int
) -> list[ServedStation]:
    """Invented stations around a place, made of one record with the shifts of AROUND."""
    return [
        ServedStation(
            f"{prefix}{number:02}",
            f"{name}, {shift.name} (invented)",
            round(latitude + shift.north / KILOMETRES_A_DEGREE, 4),
            round(longitude + shift.east / KILOMETRES_A_DEGREE / cos(radians(latitude)), 4),
            elevation + shift.up,
            days=shifted(days, shift),
            monthly=True,
        )
        for number, shift in enumerate(AROUND, 1)
    ]


def days_of_file(path: Path) -> pd.DataFrame:
    """The days of a record of any layout; rain and temperatures without a unit are in mm and °C."""
    try:
        read = read_file(path)
    except InputFaults:
        read = read_file(path, Asked("mm", "C"))
    if read.monthly:
        raise ValueError(f"{path.name} has a row a month; a record of days is wanted")
    return read.rows.dropna(how="all").dropna(axis=1, how="all")


def stations_of(paths: Sequence[Path], latitude: float, longitude: float, elevation: int) -> list[ServedStation]:
    """Stations of records: those around a place where its site file lies beside, else one, 5 km from the one before."""
    stations: list[ServedStation] = []
    files = [file for path in paths for file in (sorted(path.glob("*_rain.csv")) if path.is_dir() else [path])]
    for number, file in enumerate(files):
        days = days_of_file(file)
        name = file.stem.removesuffix("_rain").replace("_", " ")
        site_file = file.with_name(file.stem.removesuffix("_rain") + ".toml")
        if site_file.exists():
            site = tomllib.loads(site_file.read_text(encoding="utf-8"))["site"]
            height = round(parse(site["elevation"]).to("m").magnitude)
            place = float(site["latitude"]), float(site.get("longitude", LONGITUDE)), height
            stations += stations_around(name.capitalize(), f"ZZ{chr(ord('A') + number)}", days, *place)
        else:
            east = longitude + 5 * number / KILOMETRES_A_DEGREE / cos(radians(latitude))
            served = ServedStation(
                f"ZZR{number:02}", name, latitude, round(east, 4), elevation, days=days, monthly=True
            )
            stations.append(served)
    return stations


def fault_given(text: str) -> tuple[str, Fault]:
    """A pattern and a fault as they are written on the command line."""
    pattern, separator, name = text.partition("=")
    if not separator or name not in Fault.__members__:
        raise argparse.ArgumentTypeError(f"PATTERN=NAME wanted, NAME one of {', '.join(Fault.__members__)}")
    return pattern, Fault[name]


def main(arguments: Sequence[str] | None = None) -> None:
    """Serve stations until Ctrl-C, and print how to ask for them."""
    examples = Path(__file__).parent.parent / "example_inputs"
    parser = argparse.ArgumentParser(prog="python -m tests.station_server", description="Serve weather stations.")
    parser.add_argument(
        "records",
        nargs="*",
        type=Path,
        default=[examples],
        metavar="FOLDER_OR_CSV",
        help="daily records, or folders of NAME_rain.csv (default: example_inputs). Where NAME.toml lies beside, three "
        "invented stations around that place are made of the record, else it is a station itself",
    )
    parser.add_argument("--latitude", type=float, default=44.3, help="of a record without a site file; %(default)s")
    parser.add_argument("--longitude", type=float, default=LONGITUDE, help="the same; %(default)s")
    parser.add_argument("--elevation", type=int, default=100, help="the same [m]; %(default)s")
    parser.add_argument("--port", type=int, default=0, help="default: any that is free")
    parser.add_argument("--delay", type=float, default=0.0, help="seconds before each answer")
    parser.add_argument(
        "--fault",
        type=fault_given,
        action="append",
        default=[],
        metavar="PATTERN=NAME",
        help=f"what goes wrong with paths, such as '/daily/2003/*=NOT_FOUND'; {', '.join(Fault.__members__)}",
    )
    given = parser.parse_args(arguments)
    try:
        stations = stations_of(given.records, given.latitude, given.longitude, given.elevation)
    except (InputFaults, OSError, ValueError) as error:
        parser.error(str(error))
    if not stations:
        parser.error(f"no NAME_rain.csv in {', '.join(map(str, given.records))}")
    with (
        tempfile.TemporaryDirectory() as folder,
        StationServer(stations, faults=dict(given.fault), delay=given.delay, port=given.port) as server,
    ):
        for station in stations:
            years = sorted({int(year) for path in station.files for year in re.findall(r"/(\d{4})/", path)})
            print(
                f"# {station.id} {station.name}: {station.latitude}, {station.longitude}, {station.elevation} m, "
                f"{', '.join(station.days)}, {years[0]} to {years[-1]}, {len(years)} years"
            )
        for name, value in server.environment(Path(folder)).items():
            print(f"export {name}={shlex.quote(value)}")
        try:
            for ending in (signal.SIGINT, signal.SIGTERM):  # also where a shell started it in the background
                signal.signal(ending, signal.default_int_handler)
            print("# Serving until Ctrl-C.", flush=True)
            while True:
                time.sleep(3600)
        except KeyboardInterrupt:
            pass


if __name__ == "__main__":
    main()
