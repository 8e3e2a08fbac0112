"""The service's list of stations: which lie near, which has that id, from when to when each has figures.

The list is one SQLite file in the cache folder. A damaged one is fetched anew, an old one renewed where that can be;
else the old one serves and a remark says so.
"""

from __future__ import annotations

import re
import sqlite3
import tempfile
import time
from collections.abc import Callable, Iterable
from datetime import date
from pathlib import Path
from typing import Any, TypeVar

import pandas as pd

from budget.errors import Fault, InputFaults, RainUnavailable
from budget.record import weather_library
from budget.record.layouts import NOT_MEASURED
from budget.record.station import Station, Wanted, distance, plain_name
from budget.record.trouble import BRING_A_FILE, LOG_IN_PAGE, Kind, Trouble, list_trouble, remedy, shortened
from budget.record.weather_library import DAY, FIGURES, LIST_FILE, RETRIES
from budget.safe_writing import move_in_place

LIST_AGE = 7 * DAY  # [s] from which on a newer list of stations is asked for
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
Answer = TypeVar("Answer")


class StationList:
    """The list of stations in a cache folder, asked for once by each object.

    `retries`: of the library where the list does not come. `remarks`: what is to be told of it.
    """

    def __init__(self, folder: Path, retries: int = RETRIES) -> None:
        self.folder = folder
        self.retries = retries
        self.remarks: list[str] = []
        self._has_list = False

    def nearby(self, wanted: Wanted) -> list[Station]:
        """The stations within reach, nearest first. Raises RainUnavailable where the list cannot be had."""
        latitude, longitude, within = wanted.latitude, wanted.longitude, wanted.within * 1000
        table = self._from_list(lambda: weather_library.nearby(latitude, longitude, within, MOST_LISTED))
        known = table[[bool(re.fullmatch(STATION_ID, str(key))) for key in table.index]]
        found = [self._station(str(key), row, wanted) for key, row in known.iterrows()]
        return sorted(found, key=lambda station: (station.distance, station.id))

    def named(self, wanted: Wanted) -> Station:
        """The station that the site file names. Raises InputFaults where the list has none of that id."""
        asked = str(wanted.station)
        accepted = "the id of a station, as the command 'rain' lists them where no station is named"
        if not re.fullmatch(STATION_ID, asked):
            raise InputFaults([Fault("rain.station", f"'{asked}' is not an id of letters and digits", accepted)])
        rows = self._from_list(lambda: weather_library.query(BY_ID, (asked, asked))).to_dict("records")
        if not rows:
            raise InputFaults([Fault("rain.station", f"the service knows no station '{asked}'", accepted)])
        return self._station(str(rows[0]["id"]), rows[0], wanted)

    def periods(self, stations: Iterable[Station]) -> dict[str, dict[str, tuple[date, date]]]:
        """First and last day of `rain`, `tmax` and `tmin` by station, where the list's inventory tells them.

        Not of forecasts; a station that has nothing but them is there without figures.
        """
        ids = [station.id for station in stations]
        try:
            table = self._from_list(lambda: weather_library.inventory(ids) if ids else None)
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
        with weather_library.asking(self.folder, retries=self.retries):
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
        weather_library.make_folder(self.folder)
        with tempfile.TemporaryDirectory(dir=self.folder) as new:
            came = Path(new, LIST_FILE)
            with weather_library.asking(Path(new), retries=self.retries) as lines:
                try:
                    weather_library.fetch_list()
                except Exception as error:  # the library raises bare Exceptions
                    return list_trouble(lines, error)
            if not is_sound(came):
                return Trouble(Kind.CONTENT, f"what came is no list of stations; {LOG_IN_PAGE}")
            move_in_place(came, self._list_file())
        return None

    def _list_file(self) -> Path:
        return self.folder / LIST_FILE


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
