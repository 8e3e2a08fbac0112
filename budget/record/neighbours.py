"""Days that the station missed, from stations nearby: rain by the normal ratio, temperatures by a shift.

    figure                  from                                how
    rain                    all neighbours that have the day    mean of (normal here / normal there) x rain there
    temperatures            the first that has what is missing  its figure + what the month is warmer here

The normal-ratio method is Paulhus and Kohler's (1952, Monthly Weather Review 80; recalled). The normals are totals over
the days that both stations have, of the whole year: over the same days neither station's gaps lean on the ratio, and a
dry month of a short record holds too little rain for a ratio of its own. The mean of several neighbours rains on more
days than any of them, so two or three close ones are better than many.

Only gaps are filled: no known value changes, no day is added, and nothing before the first or after the last day on
which the station measured anything.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import pandas as pd

TEMPERATURES = ["tmax", "tmin"]
FIGURES = ["rain", *TEMPERATURES]
LEAST_IN_COMMON = 365  # [days] a year, so that each season has its part in the normals; common practice, no source
LEAST_IN_MONTH = 15  # [days] in common in a calendar month, for its mean difference; common practice, no source


@dataclass(frozen=True)
class Filled:
    """A daily frame with its gaps filled as far as the neighbours reach."""

    days: pd.DataFrame  # as it came, gaps filled
    marks: pd.DataFrame  # same index, bool columns `rain`, `tmax`, `tmin`: whether a neighbour's figure stands there
    remarks: list[str]  # plain sentences: how many days, from whom, and who was left out


def fill(days: pd.DataFrame, neighbours: Sequence[pd.DataFrame], names: Sequence[str] = ()) -> Filled:
    """Fill the gaps of a station from its neighbours.

    Args:
        days: full daily calendar (DatetimeIndex without holes), columns `rain` [mm], `tmax`, `tmin` [°C]; NaN
            where missing.
        neighbours: frames of the same form over any period, nearest first. Freaks are to be dropped before.
        names: of the neighbours, for the remarks; "neighbour 1" and so on without them.

    Raises:
        ValueError: names are given, but not one for each neighbour.
    """
    names = list(names) or [f"neighbour {place}" for place in range(1, len(neighbours) + 1)]
    if len(names) != len(neighbours):
        raise ValueError("a name is needed for each neighbour")
    there = [neighbour.reindex(index=days.index, columns=FIGURES) for neighbour in neighbours]
    inside = within_record(days)
    no_rain = days["rain"].isna() & inside
    no_temperatures = days[TEMPERATURES].isna().any(axis=1) & inside

    rain_faults = [find_rain_fault(days["rain"], station["rain"]) for station in there]
    temperature_faults = [find_temperature_fault(days, station) for station in there]
    filled = days.copy()
    filled["rain"], rain_from = fill_rain(days["rain"], pick(there, rain_faults), no_rain)
    filled[TEMPERATURES], temperatures_from = fill_temperatures(days, pick(there, temperature_faults), no_temperatures)

    marks = filled[FIGURES].notna() & days[FIGURES].isna()
    remarks = [
        *describe("Rain was", no_rain, rain_from, names),
        *describe_left_out("rain", no_rain, rain_faults, names),
        *describe("Temperatures were", no_temperatures, temperatures_from, names),
        *describe_left_out("temperatures", no_temperatures, temperature_faults, names),
    ]
    if neighbours and not remarks:
        remarks = ["No day of the record is missing, so no neighbour was needed."]
    return Filled(filled, marks, remarks)


def within_record(days: pd.DataFrame) -> pd.Series[bool]:
    """By day, whether it lies between the first and the last on which the station measured anything."""
    known = days[FIGURES].notna().any(axis=1)
    return known.cummax() & known[::-1].cummax()[::-1]


def pick(stations: list[pd.DataFrame], faults: list[str | None]) -> dict[int, pd.DataFrame]:
    """The stations without a fault, by their place in the list."""
    return {place: stations[place] for place, fault in enumerate(faults) if fault is None}


def find_rain_fault(here: pd.Series[float], there: pd.Series[float]) -> str | None:
    """Why a neighbour cannot serve for rain [mm], or None where it can."""
    common = here.notna() & there.notna()
    dry = here[common].sum() == 0 or there[common].sum() == 0
    return find_time_fault(common) or ("no rain at one of the two on the days in common" if dry else None)


def find_temperature_fault(here: pd.DataFrame, there: pd.DataFrame) -> str | None:
    """Why a neighbour cannot serve for temperatures [°C], or None where it can."""
    return find_time_fault(have_all_temperatures(here, there))


def find_time_fault(common: pd.Series[bool]) -> str | None:
    """That too few days are in common, or None; `common`: by day."""
    if common.sum() >= LEAST_IN_COMMON:
        return None
    return f"{counted(int(common.sum()), 'day')} in common, and at least {LEAST_IN_COMMON} are needed"


def have_all_temperatures(here: pd.DataFrame, there: pd.DataFrame) -> pd.Series[bool]:
    """By day, whether both stations know both temperatures."""
    return here[TEMPERATURES].notna().all(axis=1) & there[TEMPERATURES].notna().all(axis=1)


def fill_rain(
    rain: pd.Series[float], stations: dict[int, pd.DataFrame], wanted: pd.Series[bool]
) -> tuple[pd.Series[float], pd.DataFrame]:
    """The rain [mm] with the wanted days filled, and by day and station whether it had a part in that."""
    there = pd.DataFrame({place: station["rain"] for place, station in stations.items()}, index=rain.index)
    ratios = pd.Series({place: normal_ratio(rain, there[place]) for place in stations}, dtype=float)
    filled = rain.where(~wanted, estimate_rain(there, ratios))
    return filled, there.notna().mul(wanted, axis="index")


def normal_ratio(here: pd.Series[float], there: pd.Series[float]) -> float:
    """Normal rain here / normal rain there, both totals over the days that both have [1]."""
    common = here.notna() & there.notna()
    return float(here[common].sum() / there[common].sum())


def estimate_rain(there: pd.DataFrame, ratios: pd.Series[float]) -> pd.Series[float]:
    """P = 1/n sum (N / Ni) Pi over the n stations that have the day (Paulhus and Kohler 1952).

    Args:
        there: rain Pi, a column a station, NaN where missing [mm].
        ratios: N / Ni by station, index the columns of `there` [1].
    """
    return there.mul(ratios, axis="columns").mean(axis=1)


def fill_temperatures(
    days: pd.DataFrame, stations: dict[int, pd.DataFrame], wanted: pd.Series[bool]
) -> tuple[pd.DataFrame, pd.DataFrame]:
    """`tmax`, `tmin` [°C] with the wanted days filled, and by day and station whether it was taken from there.

    A station serves a day where it has all that is missing on it and the low does not come to stand above the high.
    """
    filled = days[TEMPERATURES].copy()
    taken = pd.DataFrame(False, index=days.index, columns=list(stations))
    for place, station in stations.items():
        offered = days[TEMPERATURES].fillna(station[TEMPERATURES] + monthly_differences(days, station))
        serves = wanted & ~taken.any(axis=1) & (offered["tmin"] <= offered["tmax"])
        filled = filled.mask(serves, offered)
        taken[place] = serves
    return filled, taken


def monthly_differences(here: pd.DataFrame, there: pd.DataFrame) -> pd.DataFrame:
    """By day, what its calendar month's mean `tmax` and `tmin` are higher here than there [°C].

    Means over the days on which both stations know both; NaN where a calendar month has too few of them.
    """
    common = have_all_temperatures(here, there)
    difference = (here[TEMPERATURES] - there[TEMPERATURES]).where(common)
    by_month = difference.groupby(pd.DatetimeIndex(here.index).month)
    return by_month.transform("mean").where(by_month.transform("count") >= LEAST_IN_MONTH)


def describe(what: str, wanted: pd.Series[bool], taken: pd.DataFrame, names: Sequence[str]) -> list[str]:
    """How many days were missing, how many were filled and from whom; `what`: "Rain was"."""
    if not wanted.any():
        return []
    missing = f"{what} missing on {counted(int(wanted.sum()), 'day')}"
    filled = int(taken.any(axis=1).sum())
    if not filled:
        return [f"{missing}; none was filled from a neighbour."]
    sources = [f"{names[int(str(place))]} ({days})" for place, days in taken.sum().items() if days]
    shared = "; a day from several counts at each" if taken.sum().sum() > filled else ""
    return [f"{missing}; {filled} {'was' if filled == 1 else 'were'} filled from {', '.join(sources)}{shared}."]


def describe_left_out(what: str, wanted: pd.Series[bool], faults: list[str | None], names: Sequence[str]) -> list[str]:
    """Which neighbours were left out and why, where there was something to fill."""
    told = [f"{name} was left out for {what}: {fault}." for name, fault in zip(names, faults, strict=True) if fault]
    return told if wanted.any() else []


def counted(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"
