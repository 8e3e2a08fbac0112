"""What was fetched from weather stations: the days of each that serves, and all that must be said about them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from statistics import median

import pandas as pd

from budget.record.findings import percent
from budget.record.neighbours import TEMPERATURES, normal_ratio
from budget.record.station import (
    GAPS,
    LAPSE_RATE,
    RAIN,
    Considered,
    Station,
    Wanted,
    direction,
    distance,
    in_km,
    told_height,
    warmer,
)

FELT = 0.5  # [°C] of shift from which on the frost dates are worth a word; common practice, no source
CLOSE = 5.0  # [km] within which a gauge is said to be close; common practice, no source
YEAR_KNOWN = 0.98  # share of a year's days that two stations must share for the year to be compared; common practice
FEWEST_COMPARED = 5  # years from which on a usual difference is told; common practice, no source
# As its readme asks, with the address of the licence.
CREDIT = "Weather data: Meteostat (https://meteostat.net), CC BY 4.0 (https://creativecommons.org/licenses/by/4.0/)"
CHANGED = "Changed here: freak values left out, gaps filled, days summed to months, temperatures brought to the site."


@dataclass(frozen=True)
class Credit:
    """A source of the values: on how many of them it stands, its licence and whom to name."""

    source: str
    values: int
    licence: str
    attribution: str


@dataclass(frozen=True)
class Fetched:
    """One fetch, as the snapshot keeps it.

    `first_year`, `last_year`: the complete years whose coverage counted; `until`: the last day that was asked for.
    `considered`: the stations in the order in which they were looked at. `days`: by the id of each station that serves,
    index date, columns `rain` [mm], `tmax`, `tmin` [°C] as measured there, NaN where missing. `remarks`: years that
    did not come, and what else went not as it should. `troubled`: whether more might come another time.
    """

    wanted: Wanted
    first_year: int
    last_year: int
    until: date
    retrieved: date
    fetched_with: str
    considered: list[Considered]
    days: dict[str, pd.DataFrame]
    credits: list[Credit]
    remarks: list[str]
    troubled: bool

    def serving(self, use: str) -> list[Station]:
        """The stations that serve for rain, temperatures or gaps."""
        return [entry.station for entry in self.considered if use in entry.serves]

    @property
    def rain_station(self) -> Station:
        return self.serving(RAIN)[0]

    @property
    def temperature_station(self) -> Station:
        return self.serving("temperatures")[0]


def site_days(fetched: Fetched, site_height: float | None) -> pd.DataFrame:
    """Rain of the one station, temperatures of the same or another, brought to the site's height [m].

    Index: full daily calendar from the first to the last day that was asked for and measured; columns `rain` [mm],
    `tmax`, `tmin` [°C].
    """
    rain, warmth = fetched.days[fetched.rain_station.id], fetched.days[fetched.temperature_station.id]
    parts = pd.concat([rain["rain"], warmth[TEMPERATURES]], axis=1, sort=True).dropna(how="all")
    days = parts.reindex(pd.date_range(parts.index.min(), parts.index.max(), freq="D", name="date"))
    days[TEMPERATURES] = days[TEMPERATURES] + warmer(fetched.temperature_station.height, site_height)
    return days


def describe(fetched: Fetched, site_height: float | None, stated: bool = True) -> list[str]:
    """Plain sentences: which stations, how far, how well covered, and what their distance means.

    Not `stated`: the height is not the place's own, but that of the rain station.
    """
    told_from = site_height if stated else None
    years = f"{fetched.first_year} to {fetched.last_year}"
    chosen, warmth = fetched.rain_station, fetched.temperature_station
    entry = next(entry for entry in fetched.considered if entry.station is chosen)
    notes = [
        f"Rain was measured by the weather station {chosen.words}, {_where(fetched, chosen, told_from)},"
        f" on {percent(entry.rain or 0)} of the days of {years}."
    ]
    shift = warmer(warmth.height, site_height)
    brought = f"brought to the site's height by {shift:+.1f} °C ({LAPSE_RATE} K per km)"
    if not stated:
        brought = brought.replace("the site's height", "the height of the rain station")
    if round(shift, 1) == 0:
        brought = "as measured there"
    if warmth.height is None or site_height is None:
        brought = "as measured there, since a height is not known"
    if warmth is chosen:
        notes.append(f"Temperatures are of the same station, {brought}.")
    else:
        notes.append(f"Temperatures are of {warmth.words}, {_where(fetched, warmth, told_from)}, {brought}.")
    if gaps := fetched.serving(GAPS):
        told = " and ".join(f"{station.words}, {_where(fetched, station, told_from)}" for station in gaps)
        notes.append(f"Gaps are filled from {told}.")
    if abs(shift) >= FELT:
        notes.append("On clear nights cold air lies in valleys: watch your own first and last frosts beside these.")
    if told_from is not None and chosen.height is not None:  # how much is too much, the book says
        notes.append(
            "Rain often grows with height: where the gauge stands much higher or lower than your place, give the rain"
            " of a mean year there (rain.local_annual), or take a station at a like height."
        )
    return [*notes, *distance_told(fetched), *fetched.remarks]


def _where(fetched: Fetched, station: Station, site_height: float | None) -> str:
    wanted = fetched.wanted
    towards = direction(wanted.latitude, wanted.longitude, station.latitude, station.longitude)
    return f"{in_km(station.distance)} to the {towards}, {told_height(station, site_height)}"


def distance_told(fetched: Fetched) -> list[str]:
    """What it means for single years that the gauge does not stand at the place."""
    chosen = fetched.rain_station
    if chosen.distance > fetched.wanted.within:
        notes = [
            f"The gauge stands {in_km(chosen.distance)} away, farther than rain.within: its rain may have little to do"
            " with yours."
        ]
    elif chosen.distance <= CLOSE:
        notes = [f"The gauge is close: {in_km(chosen.distance)}. Single storms differ even so."]
    else:
        notes = [
            f"The gauge stands {in_km(chosen.distance)} away: its mean year carries over to your place better than its"
            " single years do, and a storm that fills your tank may miss it."
        ]
    for station in fetched.serving(GAPS):
        differences = yearly_differences(fetched.days[chosen.id]["rain"], fetched.days[station.id]["rain"])
        if len(differences) >= FEWEST_COMPARED:
            apart = distance(chosen.latitude, chosen.longitude, station.latitude, station.longitude)
            usual, most = (f"{100 * share:.0f} %" for share in (median(differences), max(differences)))
            notes.append(
                f"Measured: {in_km(apart)} from it, at {station.words}, single years had {usual}"
                f" more or less than the usual ratio of the two gauges ({len(differences)} years; the most"
                f" {most}). Expect the like over a like distance."
            )
            break
    return notes


def yearly_differences(here: pd.Series[float], there: pd.Series[float]) -> list[float]:
    """By how much the ratio of two gauges' yearly rain differs from their ratio over all years, as a share of it.

    Only calendar years of which both know nearly all days, over the days that both know.
    """
    both = pd.concat([here, there], axis=1, keys=["here", "there"], sort=True).dropna()
    by_year = both.groupby(pd.DatetimeIndex(both.index).year)
    totals = by_year.sum()[by_year.size() >= YEAR_KNOWN * 365]
    totals = totals[(totals > 0).all(axis=1)]
    if totals.empty:
        return []
    usual = normal_ratio(totals["here"], totals["there"])
    return [abs(float(ratio) / usual - 1) for ratio in totals["here"] / totals["there"]]


def credit_lines(fetched: Fetched) -> list[str]:
    """Whom to name: the service, the sources of the values with their licences, what was changed."""
    names = list(dict.fromkeys(credit.attribution for credit in fetched.credits if credit.attribution))
    sources = "; ".join(f"{credit.source} ({credit.licence})" for credit in fetched.credits)
    return [
        f"{CREDIT}{'; ' + ', '.join(names) if names else ''}.",
        f"Sources of the values: {sources}." if sources else "The sources of the values are not known.",
        f"Fetched on {fetched.retrieved} with {fetched.fetched_with}. {CHANGED}",
    ]


def spans(years: Iterable[int]) -> str:
    """`1996, 2003 to 2007`."""
    ordered = sorted(years)
    starts = ordered[:1] + [year for before, year in pairwise(ordered) if year != before + 1]
    told = []
    for start in starts:
        end = start
        while end + 1 in ordered:
            end += 1
        told.append(str(start) if end == start else f"{start} to {end}")
    return ", ".join(told)


def told_station(entry: Considered, years: Sequence[int] | range) -> str:
    """One station in a line, for the log and for the list of what was tried."""
    station = entry.station
    parts = [f"{station.words}, {in_km(station.distance)}"]
    if station.height is not None:
        parts.append(f"{station.height:.0f} m above the sea")
    if entry.rain is not None and entry.temperatures is not None:
        known = f"rain on {percent(entry.rain)} and temperatures on {percent(entry.temperatures)}"
        parts.append(f"{known} of the days of {years[0]} to {years[-1]}")
    line = ", ".join(parts)
    if not entry.serves:
        return f"{line}: not taken{': ' + entry.why if entry.why else ''}"
    reason = f"; not for rain: {entry.why}" if entry.why and RAIN not in entry.serves else ""
    return f"{line}: taken for {', '.join(entry.serves)}{reason}"
