"""The days of one station, asked for by years: what came of them, and what went wrong on the way.

Rain is in mm, temperatures in °C. Values whose source is a forecast or a model are dropped, mixed sources too.
"""

from __future__ import annotations

import shutil
import tempfile
import time
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

import pandas as pd

from budget.errors import RainUnavailable
from budget.record import weather_library
from budget.record.layouts import NOT_MEASURED, NUMBERS
from budget.record.neighbours import TEMPERATURES as BOTH
from budget.record.station import RAIN, TEMPERATURES, Station
from budget.record.trouble import BRING_A_FILE, Kind, Trouble, remedy, year_trouble
from budget.record.weather_library import FIGURES
from budget.safe_writing import move_in_place

PAUSE = 1.0  # [s] before what went wrong is asked for once more
CACHED = 31  # [days] for which the library at most answers from its cache
NEEDS = {RAIN: ["rain"], TEMPERATURES: BOTH}  # figures that a day must have for a use


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


class StationDays:
    """The days of stations, with the files of the library kept in a cache folder.

    `fresh`: days are asked for even where the cache has them. `pause` [s]: before what failed is asked for again.
    `remarks`: what is to be told of the cache.
    """

    def __init__(self, folder: Path, fresh: bool = False, pause: float | None = None) -> None:
        self.folder = folder
        self.fresh = fresh
        self.pause = PAUSE if pause is None else pause
        self.remarks: list[str] = []

    def of(self, station: Station, years: Sequence[int], until: date) -> Came:
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
        first, last = date(min(years), 1, 1), min(until, date(max(years), 12, 31))
        with weather_library.asking(self.folder, folder) as lines:
            try:
                table = weather_library.daily(station, first, last)
            except Exception as error:  # bare errors of pandas and of the library for foreign content
                broken = f"its file cannot be read ({type(error).__name__})"
        if broken and len(years) > 1:  # which of them?
            came = Came()
            for year in years:
                came.add(self._ask(station, [year], until, folder))
            return came
        if broken:
            return measured(None, {years[0]: Trouble(Kind.CONTENT, broken)})
        address = weather_library.address_of_days()
        troubles = {year: year_trouble(lines, year, address) for year in years}
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
        weather_library.make_folder(folder)
        if not fresh:
            yield folder
            return
        with tempfile.TemporaryDirectory(dir=folder) as new:
            try:
                yield Path(new)
            finally:
                for file in Path(new).iterdir():
                    move_in_place(file, folder / file.name)


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
