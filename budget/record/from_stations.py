"""The rain of a place from weather stations: from the snapshot where there is one, else fetched and kept as one."""

from __future__ import annotations

import os
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pandas as pd

from budget.errors import Fault, OutputFault, RainUnavailable
from budget.record import snapshot
from budget.record.fetched import Fetched, spans
from budget.record.neighbours import TEMPERATURES as BOTH
from budget.record.station import RAIN, TEMPERATURES, Wanted

OLD = 365  # [days] from which on a snapshot lacks a whole year of rain
# What the site file calls that which is asked for.
SETTINGS = {
    "latitude": "site.latitude",
    "longitude": "site.longitude",
    "station": "rain.station",
    "from_year": "rain.from_year",
    "to_year": "rain.to_year",
    "within": "rain.within",
}


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
            refuse_less(fetched, same, path)
    except RainUnavailable as error:
        raise RainUnavailable(error.tried, [*_instead(path, there, wanted), *error.to_do]) from error
    kept = snapshot.write(fetched, path)
    since = "" if fetched.retrieved == today else f", from answers since {fetched.retrieved} that were still at hand"
    told = f"Fetched from weather stations on {today}{since}; {path.name} holds it, and later builds read it there."
    if kept is not None:
        told += f" What it held before is kept as {kept.name}."
    return Obtained(snapshot.read(path), path, told)  # as later builds will have it, to the last digit


def age(path: Path, fetched: Fetched, today: date) -> str:
    """How old the snapshot is that serves."""
    days = (today - fetched.retrieved).days
    when = "today" if days == 0 else f"{days} day{'' if days == 1 else 's'} ago"
    told = f"The rain is that of {path.name}, fetched on {fetched.retrieved}, {when}."
    if days < 0:
        told = f"The rain is that of {path.name}, fetched on {fetched.retrieved} by its head."
    if days >= OLD and fetched.until >= fetched.retrieved:  # not only years that were over then
        told += " It lacks the rain since then: --fresh asks for it."
    elif fetched.troubled:
        told += " Not all came then: --fresh asks again."
    return told


def refuse_less(fetched: Fetched, old: Fetched, path: Path) -> None:
    """Raise RainUnavailable where less came than the snapshot at `path` holds.

    That is a whole year, for years come in one piece each. Years before those that count now may go.
    """
    lost = [
        f"What came is less than {path.name} holds: no {use} in {spans(years)}."
        for use, figures in ((RAIN, ["rain"]), (TEMPERATURES, BOTH))
        if (years := years_of(old, use, figures) - years_of(fetched, use, figures) - {*range(fetched.first_year)})
    ]
    serves = {entry.station.id: entry.serves for entry in fetched.considered}
    gone = [entry.station.words for entry in old.considered if {*entry.serves} - {*serves.get(entry.station.id, ())}]
    if fetched.troubled and gone and not lost:
        lost = [
            f"Not every year came, and {path.name} rests on stations that would serve no longer: {', '.join(gone)}."
        ]
    if lost:
        away = f"to take what there is now all the same, move {path.name} away"
        raise RainUnavailable([*lost, *fetched.remarks], [f"try again later; {away}"])


def years_of(fetched: Fetched, use: str, figures: list[str]) -> set[int]:
    """The years of which the station for a use has days with all these figures."""
    days = fetched.days[fetched.serving(use)[0].id][figures].dropna()
    return set(pd.DatetimeIndex(days.index).year)


def _instead(path: Path, there: Fetched | None, wanted: Wanted) -> list[str]:
    """What the snapshot that lies there can do."""
    if there is None:
        return []
    if there.wanted == wanted:
        return [f"leave --fresh away: {path.name}, fetched on {there.retrieved}, is as it was and serves"]
    then = {key: value for key, value in vars(there.wanted).items() if value != getattr(wanted, key)}
    said = " and ".join(_setting(key, value) for key, value in then.items())
    return [f"{path.name}, fetched on {there.retrieved}, is as it was; it serves where the site file has {said} again"]


def _setting(key: str, value: object) -> str:
    """A setting of the site file with its value; years and stations may be left out there."""
    if value is None:
        return f"no {SETTINGS[key]}"
    return f"{SETTINGS[key]} = {f'{value:g} km' if key == 'within' else value}"


def _refuse_folder(path: Path) -> None:
    """Raise OutputFault before anything is fetched that could not be kept."""
    if not os.access(path.parent, os.W_OK):
        accepted = "a site file in a folder that can be written to: what is fetched is kept beside it"
        raise OutputFault([Fault(str(path), "cannot be written", accepted)])
