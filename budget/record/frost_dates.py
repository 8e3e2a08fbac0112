"""The frost dates: from when an outdoor tank may be filled, by when it must be drained.

The daily lows of each cold season (July to June in the north, January to December in the south) have a first
and a last day of hard freeze. One season in ten may be worse than the dates given: a freeze date at 10 % is
one year in ten with that cold still after it (NOAA NCEI, climate normals; recalled).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta

import pandas as pd

HARD_FREEZE = -2.2  # [°C] 28 °F, hard freeze of the US National Weather Service; recalled
FREAK = 4.0  # [standard deviations] from the calendar month's median; common practice, no source
KNOWN_SHARE = 0.9  # [0..1] of a season's lows; common practice, no source
ODDS = 10  # one season in ten
YEAR_DAYS = 365
SHORTEST_SERVICE = 30  # [days] between the dates; shorter is no season to fill a tank in; common practice, no source
COMMON_YEAR = 2001  # any year without 29 February


@dataclass(frozen=True)
class FrostDates:
    """Dates as (month, day); both None where the tank serves all year, or where no season is complete or known."""

    seasons: int  # complete cold seasons counted
    threshold: float  # [°C]
    fill_from: tuple[int, int] | None
    drain_by: tuple[int, int] | None
    dropped: list[tuple[date, float]] = field(default_factory=list)  # lows left out as freaks: day, [°C]
    frost_free: bool = True  # whether any part of the year is free of hard frost in all but one season in ten
    known: bool = True  # False where the record holds no daily lows: then nothing is known of frost, for or against


UNKNOWN = FrostDates(0, HARD_FREEZE, None, None, known=False)  # of a file of months


def frost_dates(days: pd.DataFrame, southern: bool) -> FrostDates:
    """Find the dates between which hard freezes are left behind, in all but one season in ten.

    Args:
        days: full daily calendar, column `tmin` [°C], NaN where missing.
        southern: whether the site lies south of the equator.

    With n complete seasons, k = max(1, int((n + 1) / 10)): `fill_from` is the day after the k-th latest last
    day at or under -2.2 °C, `drain_by` the day before the k-th earliest first one (rank m of n at odds
    m / (n + 1): Weibull 1939, in any hydrology handbook; recalled). With fewer than k seasons that have such a day,
    the tank stays in service all year. Where less than a month lies between the two dates there is no season free of
    hard frost, and no dates are given. A season is complete where its first and last day lie in the record
    and 90 % of its lows are known.

    Days are ranked by their place within the season; 29 February counts as 28 February.
    """
    lows, dropped = drop_freaks(days["tmin"])
    firsts: list[int] = []
    lasts: list[int] = []
    seasons = complete_seasons(lows, southern)
    for season in seasons:
        cold = pd.DatetimeIndex(season.index[season <= HARD_FREEZE])
        if len(cold):
            firsts.append(place_in_season(cold[0].date(), southern))
            lasts.append(place_in_season(cold[-1].date(), southern))
    k = max(1, int((len(seasons) + 1) / ODDS))
    if len(firsts) < k:
        return FrostDates(len(seasons), HARD_FREEZE, None, None, dropped)
    last, first = sorted(lasts, reverse=True)[k - 1], sorted(firsts)[k - 1]
    if YEAR_DAYS - (last + 1) + first < SHORTEST_SERVICE:
        return FrostDates(len(seasons), HARD_FREEZE, None, None, dropped, frost_free=False)
    fill_from = month_and_day(last + 1, southern)
    drain_by = month_and_day(first - 1, southern)
    return FrostDates(len(seasons), HARD_FREEZE, fill_from, drain_by, dropped)


def drop_freaks(lows: pd.Series[float]) -> tuple[pd.Series[float], list[tuple[date, float]]]:
    """Lows [°C] without those too far from their calendar month's median, and the ones left out."""
    by_month = lows.groupby(pd.DatetimeIndex(lows.index).month)
    distance = (lows - by_month.transform("median")).abs()
    freak = distance > FREAK * by_month.transform("std")
    freaks = lows[freak]
    dropped = [(day.date(), float(low)) for day, low in zip(pd.DatetimeIndex(freaks.index), freaks, strict=True)]
    return lows.mask(freak), dropped


def complete_seasons(lows: pd.Series[float], southern: bool) -> list[pd.Series[float]]:
    """The lows [°C] of each complete cold season, in order of time."""
    calendar = pd.DatetimeIndex(lows.index)
    named = calendar.year if southern else calendar.year - (calendar.month < 7).astype(int)
    complete = []
    for _, season in lows.groupby(named):
        first, last = season.index[0], season.index[-1]
        whole = first == season_start(first, southern) and last + timedelta(days=1) == season_start(
            last + timedelta(days=1), southern
        )
        if whole and season.notna().mean() >= KNOWN_SHARE:
            complete.append(season)
    return complete


def season_start(day: pd.Timestamp, southern: bool) -> pd.Timestamp:
    """First day of the cold season that holds the day."""
    if southern:
        return pd.Timestamp(day.year, 1, 1)
    return pd.Timestamp(day.year if day.month >= 7 else day.year - 1, 7, 1)


def place_in_season(day: date, southern: bool) -> int:
    """0 on the season's first day to 364 on its last, in every year alike."""
    if (day.month, day.day) == (2, 29):
        day = day - timedelta(days=1)
    in_year = date(COMMON_YEAR, day.month, day.day) - date(COMMON_YEAR, 1, 1)
    return in_year.days if southern else (in_year.days - days_before_july()) % 365


def month_and_day(place: int, southern: bool) -> tuple[int, int]:
    """(month, day) of a place in the season; a place outside it wraps round the year."""
    in_year = (place if southern else place + days_before_july()) % 365
    day = date(COMMON_YEAR, 1, 1) + timedelta(days=in_year)
    return day.month, day.day


def days_before_july() -> int:
    return (date(COMMON_YEAR, 7, 1) - date(COMMON_YEAR, 1, 1)).days
