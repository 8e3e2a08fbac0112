"""The rain of a site: the record in files beside its site file, or from weather stations near it; and its report."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from budget.errors import Fault, InputFaults
from budget.site_file.reading import read_site
from budget.site_file.site import Site

if TYPE_CHECKING:
    from budget.record import Record


def read_record(site: Site, to_build: bool = True, fresh: bool = False) -> Record:
    """The rain record of a site file: its files, or what weather stations near it have measured.

    Not `to_build`: to show it, whatever it is worth. `fresh`: stations are asked again, even where a snapshot serves.
    Raises InputFaults for bad input, RainUnavailable where stations could not be asked or have too little.
    """
    from budget.record import Asked, Wanted, load, load_stations, obtain, snapshot_path

    latitude = site.values["site_latitude"]
    southern = isinstance(latitude, (int, float)) and latitude < 0
    if site.stations is None:
        if fresh:
            accepted = 'rain.source = "stations"; files are read anew by every build'
            raise InputFaults([Fault("--fresh", "the rain of this site file stands in files", accepted)])
        return load(site.rain_files, Asked(**site.rain_settings), southern, site.rain_neighbours, to_build)
    place = site.stations
    wanted = Wanted(place.latitude, place.longitude, place.station, place.from_year, place.to_year, place.within)
    obtained = obtain(snapshot_path(site.path), wanted, fresh, date.today())
    return load_stations(obtained, place.elevation, southern, to_build)


@dataclass(frozen=True)
class RainReport:
    """What the record of a site holds: as lines, as data for a program, and as a clean file."""

    lines: list[str]
    content: dict[str, object]
    clean: str


def report_rain(site_path: Path, fresh: bool = False) -> RainReport:
    """Read the record of a site file and tell what it holds. Raises as `read_record` does."""
    from budget.record import as_data, as_file, as_text

    site = read_site(site_path)
    rain = read_record(site, to_build=False, fresh=fresh)
    return RainReport(as_text(rain, site.system), as_data(rain), as_file(rain))
