"""The frost dates: from when an outdoor tank may be filled, by when it must be drained.

The daily lows of each cold season (July to June in the north, January to December in the south) have a first
and a last day of hard freeze. One season in ten may be worse than the dates given: a freeze date at 10 % is
one year in ten with that cold still after it (NOAA NCEI, climate normals; recalled).

    cold                         last of the season             first of the season
                                 one in ten   middle season     middle season   one in ten
    frost (0 °C, 32 °F)          2 May        14 April          3 November      12 October
    hard frost (-2.2 °C, 28 °F)  20 April     30 March          15 November     25 October

`frost_table` has all of them, in words too; `frost_dates` takes the two for the tank from the hard frosts.
"""

from __future__ import annotations

from calendar import month_name
from dataclasses import dataclass
from datetime import date, timedelta

import pandas as pd

FREEZE = 0.0  # [°C] 32 °F, freeze of the US National Weather Service; recalled
HARD_FREEZE = -2.2  # [°C] 28 °F, hard freeze of the US National Weather Service; recalled
KNOWN_SHARE = 0.9  # [0..1] of a season's lows; common practice, no source
ODDS = 10  # one season in ten
MIDDLE = 2  # one season in two
YEAR_DAYS = 365
SHORTEST_SERVICE = 30  # [days] between the dates; shorter is no season to fill a tank in; common practice, no source
COMMON_YEAR = 2001  # any year without 29 February
COLD = {"frost": FREEZE, "hard frost": HARD_FREEZE}  # [°C] at or under


@dataclass(frozen=True)
class FrostDates:
    """Dates as (month, day); both None where the tank serves all year, or where no season is complete or known."""

    seasons: int  # complete cold seasons counted
    threshold: float  # [°C]
    fill_from: tuple[int, int] | None
    drain_by: tuple[int, int] | None
    frost_free: bool = True  # whether any part of the year is free of hard frost in all but one season in ten
    known: bool = True  # False where the record holds no daily lows: then nothing is known of frost, for or against


UNKNOWN = FrostDates(0, HARD_FREEZE, None, None, known=False)  # of a file of months


def frost_dates(days: pd.DataFrame, southern: bool) -> FrostDates:
    """Find the dates between which hard freezes are left behind, in all but one season in ten.

    Args:
        days: full daily calendar, column `tmin` [°C], NaN where missing; as `believable.judge` leaves it, because a
            single impossible low would be a season's last freeze.
        southern: whether the site lies south of the equator.

    With n complete seasons, k = max(1, int((n + 1) / 10)): `fill_from` is the day after the k-th latest last
    day at or under -2.2 °C, `drain_by` the day before the k-th earliest first one (rank m of n at odds
    m / (n + 1): Weibull 1939, in any hydrology handbook; recalled). With fewer than k seasons that have such a day,
    the tank stays in service all year. Where less than a month lies between the two dates there is no season free of
    hard frost, and no dates are given. A season is complete where its first and last day lie in the record
    and 90 % of its lows are known.

    Days are ranked by their place within the season; 29 February counts as 28 February.
    """
    seasons = complete_seasons(days["tmin"], southern)
    lasts, firsts = last_and_first_days(seasons, HARD_FREEZE, southern)
    k = rank(len(seasons), ODDS)
    if len(firsts) < k:
        return FrostDates(len(seasons), HARD_FREEZE, None, None)
    last, first = lasts[k - 1], firsts[k - 1]
    if days_between(last, first) < SHORTEST_SERVICE:
        return FrostDates(len(seasons), HARD_FREEZE, None, None, frost_free=False)
    fill_from = month_and_day(last + 1, southern)
    drain_by = month_and_day(first - 1, southern)
    return FrostDates(len(seasons), HARD_FREEZE, fill_from, drain_by)


@dataclass(frozen=True)
class FrostRow:
    """One kind of frost. Dates as (month, day), None where too few seasons have such a frost to tell them."""

    cold: str  # what it is called
    threshold: float  # [°C] at or under
    seasons: int  # complete cold seasons counted
    frosty: int  # how many of them have such a frost
    last_in_ten: tuple[int, int] | None  # the last one of the season; in one season in ten it is still later
    last_middle: tuple[int, int] | None  # in the middle season
    first_middle: tuple[int, int] | None  # the first one of the season, in the middle season
    first_in_ten: tuple[int, int] | None  # in one season in ten it is still earlier
    free_days: int | None  # [days] from last_in_ten to first_in_ten, neither counted

    @property
    def words(self) -> str:
        """The row in plain sentences."""
        name = f"{self.cold} ({self.threshold:g} °C / {round(self.threshold * 1.8 + 32)} °F)"
        opening = name[0].upper() + name[1:]
        seasons = "1 season" if self.seasons == 1 else f"{self.seasons} seasons"
        often = f"in {self.frosty} of {seasons}"
        if self.seasons == 0:
            return f"No cold season is complete, so the record tells nothing of {name}."
        if self.frosty == 0:
            return f"{opening} never came in {seasons}."
        if self.last_in_ten is None or self.first_in_ten is None or self.free_days is None:
            return f"{opening} is rare: it came {often}."
        if self.free_days < SHORTEST_SERVICE:
            return f"{opening} may come at any time of the year; it came {often}."
        late, early = told(self.last_in_ten), told(self.first_in_ten)
        # The latest of fewer seasons than nine is not one in ten, so nothing is said of later years.
        few = self.seasons < ODDS - 1
        middle = "in the middle season" if few else "in a middle year"
        last_middle = f"; {middle} the last is on {told(self.last_middle)}" if self.last_middle else ""
        first_middle = f"; {middle} the first is on {told(self.first_middle)}" if self.first_middle else ""
        if few:
            sentences = [
                f"The latest {name} in {seasons} was on {late}{last_middle}.",
                f"The earliest was on {early}{first_middle}.",
            ]
        else:
            sentences = [
                f"In one year of ten {name} still comes after {late}{last_middle}.",
                f"In one year of ten it is back before {early}{first_middle}.",
            ]
        if self.last_middle is None:
            sentences.append(f"It came {often}, so {middle} there is none.")
        elif self.frosty < self.seasons:
            sentences.append(f"It came {often}.")
        return " ".join(sentences)


@dataclass(frozen=True)
class FrostTable:
    """The frosts of a record, the mildest kind first."""

    seasons: int  # complete cold seasons counted
    rows: list[FrostRow]


def frost_table(days: pd.DataFrame, southern: bool) -> FrostTable:
    """Find the last and the first frosts of one season in ten and of the middle season, by the rules of `frost_dates`.

    Args:
        days, southern: as for `frost_dates`.

    The rank of the middle season is max(1, int((n + 1) / 2)) of all n complete seasons; those without such a frost
    rank as the mildest, so that there is no middle date where fewer than half have one. Of an even number
    of seasons the harsher one of the middle two counts.
    """
    seasons = complete_seasons(days["tmin"], southern)
    return FrostTable(len(seasons), [frost_row(cold, low, seasons, southern) for cold, low in COLD.items()])


def frost_row(cold: str, threshold: float, seasons: list[pd.Series[float]], southern: bool) -> FrostRow:
    """The row of one kind of frost, from the lows [°C] of the complete seasons."""
    lasts, firsts = last_and_first_days(seasons, threshold, southern)
    ten, middle = rank(len(seasons), ODDS) - 1, rank(len(seasons), MIDDLE) - 1

    def date_of(places: list[int], at: int) -> tuple[int, int] | None:
        return month_and_day(places[at], southern) if at < len(places) else None

    return FrostRow(
        cold,
        threshold,
        len(seasons),
        len(lasts),
        date_of(lasts, ten),
        date_of(lasts, middle),
        date_of(firsts, middle),
        date_of(firsts, ten),
        days_between(lasts[ten], firsts[ten]) if ten < len(lasts) else None,
    )


def last_and_first_days(
    seasons: list[pd.Series[float]], threshold: float, southern: bool
) -> tuple[list[int], list[int]]:
    """Places of the last days at or under the threshold [°C], latest first, and of the first ones, earliest first."""
    cold = [pd.DatetimeIndex(season.index[season <= threshold]) for season in seasons]
    lasts = [place_in_season(found[-1].date(), southern) for found in cold if len(found)]
    firsts = [place_in_season(found[0].date(), southern) for found in cold if len(found)]
    return sorted(lasts, reverse=True), sorted(firsts)


def rank(seasons: int, odds: int) -> int:
    """Rank of the season that is exceeded in one of so many: m of n at odds m / (n + 1); at least 1."""
    return max(1, int((seasons + 1) / odds))


def days_between(last: int, first: int) -> int:
    """[days] from a place in one season to a place in the next, neither counted."""
    return YEAR_DAYS - (last + 1) + first


def told(day: tuple[int, int]) -> str:
    """(5, 2) as "2 May"."""
    return f"{day[1]} {month_name[day[0]]}"


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
