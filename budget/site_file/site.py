"""What a site file that was read without a fault holds."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from budget.site_file.values import Value
from budget.units import System


@dataclass(frozen=True)
class Stations:
    """Which weather stations are asked for the rain: those near a place, or one of them.

    `latitude`, `longitude` [degrees]; `elevation` [m], None where the file gives none; `station`: the id of the one to
    take, None where it is chosen; `from_year`, `to_year`: calendar years whose coverage counts, None where the file
    leaves them open; `within`: how far a station may lie [km].
    """

    latitude: float
    longitude: float
    elevation: float | None
    station: str | None
    from_year: int | None
    to_year: int | None
    within: float


@dataclass(frozen=True)
class Site:
    """A site file that was read without a fault.

    `text`: the file, word for word. `values`: scalar inputs by name in book units, None where the cell stays empty
    or the build finds the value. `written`: what the file has for each of them, its default where it has nothing, as
    faults repeat it. `given`: names of the inputs that the file gave; `given_in_lists`: what its lists gave, as
    `garden[2].crop`. `lists`: rows of each list, every row with all keys, None where empty, the twelve monthly figures
    as a list. `monthly`: twelve values by the name of a section's monthly input. `stations`: whom to ask for the rain,
    None where it stands in files; `rain_settings`: how to read these.
    """

    path: Path
    text: str
    system: System
    values: dict[str, Value]
    written: dict[str, str]
    given: frozenset[str]
    given_in_lists: frozenset[str]
    lists: dict[str, list[dict[str, object]]]
    monthly: dict[str, list[float | None]]
    rain_files: list[Path]
    rain_neighbours: list[Path]
    rain_settings: dict[str, str | None]
    stations: Stations | None
