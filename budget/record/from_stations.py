"""The rain of a place from weather stations: from the snapshot where there is one, else fetched and kept as one."""

from __future__ import annotations

import os
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from budget.errors import Fault, OutputFault, RainUnavailable
from budget.record import snapshot
from budget.record.fetched import Fetched
from budget.record.station import Wanted

OLD = 365  # [days] from which on a snapshot lacks a whole year of rain
LOST = 0.01  # share of the old snapshot's days of rain that a new one may lack; common practice, no source


@dataclass(frozen=True)
class Obtained:
    """The rain of a place: what was fetched, the snapshot that holds it, and how that came, in a sentence."""

    fetched: Fetched
    path: Path
    told: str


def obtain(path: Path, wanted: Wanted, fresh: bool, today: date, folder: Path | None = None) -> Obtained:
    """The rain of a place.

    Args:
        path: of the snapshot. wanted: what the site file asks for. fresh: whether the service is asked in any case.
        folder: of the cache; the user's own without it.

    Raises:
        InputFaults: the snapshot is damaged, or the site file asks for what cannot be.
        RainUnavailable: the rain could not be had; a snapshot that lies there is as it was.
        OutputFault: the snapshot cannot be written.
    """
    there = snapshot.read(path) if path.exists() else None
    if there is not None and there.wanted == wanted and not fresh:
        return Obtained(there, path, age(path, there, today))
    _refuse_folder(path)
    from budget.record.choosing import fetch
    from budget.record.weather_service import WeatherService

    same = there if there is not None and there.wanted == wanted else None
    try:
        fetched = fetch(wanted, WeatherService(folder, fresh), today)
        if same is not None:
            refuse_less(fetched, same)
    except RainUnavailable as error:
        raise RainUnavailable(error.tried, [*_instead(path, there, same), *error.to_do]) from error
    kept = snapshot.write(fetched, path)
    since = "" if fetched.retrieved == today else f", from answers since {fetched.retrieved} that were still at hand"
    told = f"Fetched from weather stations on {today}{since}; {path.name} holds it, and later builds read it there."
    if kept is not None:
        told += f" What it held before is kept as {kept.name}."
    return Obtained(fetched, path, told)


def age(path: Path, fetched: Fetched, today: date) -> str:
    """How old the snapshot is that serves."""
    days = (today - fetched.retrieved).days
    when = "today" if days == 0 else f"{days} day{'' if days == 1 else 's'} ago"
    told = f"The rain is that of {path.name}, fetched on {fetched.retrieved}, {when}."
    if days >= OLD:
        told += " It lacks the rain since then: --fresh asks for it."
    elif fetched.troubled:
        told += " Some years did not come then: --fresh asks again."
    return told


def refuse_less(fetched: Fetched, old: Fetched) -> None:
    """Raise RainUnavailable where something went wrong on the way and less came than the snapshot holds."""
    before = old.days[old.rain_station.id]["rain"].dropna()
    after = fetched.days[fetched.rain_station.id]["rain"].dropna()
    within = before[before.index >= after.index.min()] if len(after) else before
    lost = len(within.index.difference(after.index))
    if fetched.troubled and (lost > LOST * len(before) or fetched.rain_station.id != old.rain_station.id):
        raise RainUnavailable(
            [f"What came is less than the snapshot holds: {lost} days of rain are missing in it.", *fetched.remarks],
            ["try again later"],
        )


def _instead(path: Path, there: Fetched | None, same: Fetched | None) -> list[str]:
    """What the snapshot that lies there can do."""
    if same is not None:
        return [f"leave --fresh away: {path.name}, fetched on {same.retrieved}, is as it was and serves"]
    if there is not None:
        wanted = there.wanted
        asked = f"{wanted.latitude:g}, {wanted.longitude:g}"
        return [f"{path.name} is as it was; it serves where the site file asks for what it asked then ({asked})"]
    return []


def _refuse_folder(path: Path) -> None:
    """Raise OutputFault before anything is fetched that could not be kept."""
    if not os.access(path.parent, os.W_OK):
        accepted = "a site file in a folder that can be written to: what is fetched is kept beside it"
        raise OutputFault([Fault(str(path), "cannot be written", accepted)])
