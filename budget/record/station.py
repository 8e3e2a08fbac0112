"""Weather stations near a place: what is asked for, where they stand, what each was found to be worth.

Distances are great circles on a sphere of 6371 km; heights are above the sea.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date

from budget.errors import Fault, InputFaults

YEARS = 30  # complete years whose coverage counts, where the site file names none; the length of a climate normal (WMO)
EARTH_RADIUS = 6371.0  # [km]
LAPSE_RATE = 6.5  # [K/km] of the standard atmosphere, ISO 2533; recalled
LONGEST_NAME = 60  # characters
POINTS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")
RAIN, TEMPERATURES, GAPS = "rain", "temperatures", "gaps"  # what a station may serve the record for


@dataclass(frozen=True)
class Wanted:
    """What the site file asks for.

    `latitude`, `longitude` [degrees] of the place; `station`: the id of one that is to be taken; `from_year`,
    `to_year`: the calendar years that count; `within` [km]: how far a station may lie.
    """

    latitude: float
    longitude: float
    station: str | None
    from_year: int | None
    to_year: int | None
    within: float

    def years(self, today: date) -> range:
        """The complete calendar years whose coverage counts. Raises InputFaults where there is none."""
        last = min(today.year - 1, self.to_year or today.year)
        first = self.from_year or last - YEARS + 1
        if first > last:
            found = f"{first}, and the last year that can count is {last}"
            raise InputFaults([Fault("rain.from_year", found, "a year that is over, and none after rain.to_year")])
        return range(first, last + 1)

    def until(self, today: date) -> date:
        """The last day that is asked for: today, or the end of a year that is named."""
        return today if self.to_year is None else min(today, date(self.to_year, 12, 31))


@dataclass(frozen=True)
class Station:
    """One station as the service's list has it; `height` [m] is None where the list does not know it."""

    id: str
    name: str
    country: str
    latitude: float
    longitude: float
    height: float | None
    distance: float  # [km] from the place

    @property
    def words(self) -> str:
        return f"{self.name} ({self.id})"


@dataclass(frozen=True)
class Considered:
    """A station with what was found about it.

    `rain`, `temperatures`: share of the days of the years that count, None where it was not asked. `first`, `last`: the
    days between which it is known to have measured rain. `serves`: which of `RAIN`, `TEMPERATURES`, `GAPS` it was taken
    for. `why`: where it was not taken for rain, the reason; where it serves nothing, why not for what was looked for.
    """

    station: Station
    rain: float | None
    temperatures: float | None
    first: date | None
    last: date | None
    serves: tuple[str, ...]
    why: str


def distance(latitude: float, longitude: float, other_latitude: float, other_longitude: float) -> float:
    """The great circle between two points given in degrees [km] (haversine)."""
    here, there = math.radians(latitude), math.radians(other_latitude)
    east = math.radians(other_longitude - longitude)
    half = math.sin((there - here) / 2) ** 2 + math.cos(here) * math.cos(there) * math.sin(east / 2) ** 2
    return 2 * EARTH_RADIUS * math.asin(min(1.0, math.sqrt(half)))


def direction(latitude: float, longitude: float, other_latitude: float, other_longitude: float) -> str:
    """The point of the compass in which the other point lies, seen from the first."""
    here, there = math.radians(latitude), math.radians(other_latitude)
    east = math.radians(other_longitude - longitude)
    ahead = math.cos(here) * math.sin(there) - math.sin(here) * math.cos(there) * math.cos(east)
    bearing = math.degrees(math.atan2(math.sin(east) * math.cos(there), ahead))
    return POINTS[round(bearing / 45) % len(POINTS)]


def warmer(station_height: float | None, site_height: float | None) -> float:
    """How much warmer it is at the site than at the station for their heights [°C]; 0 where one is not known."""
    if station_height is None or site_height is None:
        return 0.0
    return (station_height - site_height) / 1000 * LAPSE_RATE


def in_km(kilometres: float) -> str:
    """A distance in both systems: `12.3 km (7.6 mi)`."""
    return f"{kilometres:.1f} km ({kilometres / 1.609344:.1f} mi)"


def in_m(metres: float) -> str:
    """A height in both systems: `40 m (131 ft)`."""
    return f"{metres:.0f} m ({metres / 0.3048:.0f} ft)"


def told_height(station: Station, site_height: float | None) -> str:
    """How the station stands to the site: `40 m (131 ft) lower`."""
    if station.height is None:
        return "height not known"
    if site_height is None:
        return f"at {in_m(station.height)} above the sea"
    difference = station.height - site_height
    if round(difference) == 0:
        return "at the same height"
    return f"{in_m(abs(difference))} {'higher' if difference > 0 else 'lower'}"


def plain_name(text: object) -> str:
    """A name of the list on one line, without what a spreadsheet would take for a formula."""
    words = " ".join("".join(c if c.isprintable() else " " for c in str(text or "")).split())
    return words.lstrip("=+-@ ")[:LONGEST_NAME]
