"""The weather stations of a fetched record as Climate tells of them: a row each, notes, and whom to name."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from budget.site_file.site import Site
from budget.units import System, Unit, convert, serial

if TYPE_CHECKING:
    from budget.record import Record
    from budget.record.station import Considered

MOST_STATIONS = 12  # rows of the table of weather stations; more only where stations beyond them serve
LONGEST_NAME, LONGEST_REASON = 60, 160  # characters that a cell of that table shows


def station_columns(rain: Record, system: System) -> dict[str, list[object]]:
    """The weather stations that were looked at, as the table on Climate has them; no rows where none were."""

    def book(value: float | None, unit: Unit) -> float | None:
        return None if value is None else convert(value, unit, "metric", system)

    def day(value: date | None) -> int | None:
        return None if value is None else serial(value)

    rows = _stations_shown(rain)
    return {
        "station": [f"{_cut(row.station.name, LONGEST_NAME)} ({_cut(row.station.id, LONGEST_NAME)})" for row in rows],
        "station_distance": [book(row.station.distance, Unit.DISTANCE) for row in rows],
        "station_serves": [_cut(_serves(row), LONGEST_REASON) for row in rows],
        "station_height": [book(row.station.height, Unit.HEIGHT) for row in rows],
        "station_begins": [day(row.first) for row in rows],
        "station_ends": [day(row.last) for row in rows],
        "station_rain_known": [row.rain for row in rows],
        "station_warmth_known": [row.temperatures for row in rows],
    }


def _stations_shown(rain: Record) -> list[Considered]:
    """All that serve, and of the others the nearest."""
    if rain.fetched is None:
        return []
    return [row for place, row in enumerate(rain.fetched.considered) if row.serves or place < MOST_STATIONS]


def _serves(row: Considered) -> str:
    """What a station was taken for, or why it was not."""
    from budget.record.station import RAIN

    if not row.serves:
        return f"not taken: {row.why}" if row.why else "not taken"
    uses = ", ".join(row.serves)
    return f"{uses}; {'' if RAIN in row.serves else 'not for rain: '}{row.why}" if row.why else uses


def _cut(text: str, longest: int) -> str:
    return text if len(text) <= longest else text[: longest - 1] + "…"


def station_notes(site: Site, rain: Record) -> list[str]:
    """What is to be known of the table of weather stations; nothing where the rain stands in files."""
    from budget.record.neighbours import counted

    if rain.fetched is None:
        return []
    fetched, left_out = rain.fetched, len(rain.fetched.considered) - len(_stations_shown(rain))
    kept = f"{rain.files[0].path.name} beside the site file"
    wanted = fetched.wanted
    notes = [
        f"Looked for round latitude {wanted.latitude:g}, longitude {wanted.longitude:g}. Shares are of the days of"
        f" {fetched.first_year} to {fetched.last_year}.",
        f"What was fetched on {fetched.retrieved} stands in {kept}; later builds read it there.",
    ]
    if left_out:
        notes.append(f"Not shown: {counted(left_out, 'farther station')} not taken; that file lists all.")
    as_measured, warm = "temperatures are as they were measured", fetched.temperature_station
    if "site_elevation" in site.given and warm.height is not None:
        brought = "Temperatures were brought to the elevation of the place when this book was built"
        notes.append(f"{brought}: where you change it, they follow when it is built anew.")
    elif "site_elevation" in site.given:
        notes.append(f"The height of {_cut(warm.words, LONGEST_NAME)} is not known: {as_measured} there.")
    elif fetched.rain_station.height is not None:
        taken = "The site file gives no elevation of the place: that of the rain station is taken for it"
        notes.append(f"{taken}.")
    else:
        unknown = "The site file gives no elevation of the place, and that of the rain station is not known"
        notes.append(f"{unknown}: {as_measured}.")
    return notes


def credits(rain: Record) -> list[str]:
    """Whom to name for the rain that was fetched."""
    from budget.record import credit_lines

    return [] if rain.fetched is None else credit_lines(rain.fetched)
