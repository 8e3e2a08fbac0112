"""The frost dates: when a night endangers the pipes, and when a cold spell endangers the tank.

One night of hard frost freezes taps, thin pipe and the pump. A tank of some tons is not in danger from it: its water
follows the air with a lag of days, heat capacity over surface times 10 W/m²K, which is 1 day for 500 gal and 3 days for
6,500 gal in a tank as tall as it is wide. So the tank goes by freezing spells: so many days in a row whose mean
temperature lies at or under 0 °C. (Own rule, no source.)

The nights and the spells of each cold season (July to June in the north, January to December in the south) have a first
and a last one. One season in ten may be worse than the dates given: a freeze date at 10 % is one year in ten with that
cold still after it (NOAA NCEI, climate normals; recalled).

    cold                              last of the season             first of the season
                                      one in ten   middle season     middle season   one in ten
    frost (0 °C, 32 °F)               2 May        14 April          3 November      12 October
    hard frost (-2.2 °C, 28 °F)       20 April     30 March          15 November     25 October
    freezing spell of 1 day           20 March     21 February       8 December      22 November
    freezing spell of 3 days          12 March     10 February       20 December     6 December

`frost_table` has all of them. The last of a season is told by the day on which it ends, the first by the day on which
it begins. What a kind of frost spares in all but one season in ten runs from the day after its last to the day before
its first: pipes are safe without protection, or the tank holds water.
"""

from __future__ import annotations

from calendar import month_name
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

import pandas as pd

from budget.record.gaps import MOST_IN_A_ROW

FREEZE = 0.0  # [°C] 32 °F, freeze of the US National Weather Service; recalled
HARD_FREEZE = -2.2  # [°C] 28 °F, hard freeze of the US National Weather Service; recalled
LONGEST_SPELL = 7  # [days]
KNOWN_SHARE = 0.9  # [0..1] of a season's days; common practice, no source
ODDS = 10  # one season in ten
MIDDLE = 2  # one season in two
YEAR_DAYS = 365
SHORTEST_SERVICE = 30  # [days] between the dates; shorter is no season to fill a tank in; common practice, no source
COMMON_YEAR = 2001  # any year without 29 February
NIGHTS = {"frost": FREEZE, "hard frost": HARD_FREEZE}  # [°C] at or under
SPELL = "freezing spell"
A_DAY = timedelta(days=1)

Day = tuple[int, int]  # month, day
FirstAndLast = tuple[pd.Timestamp, pd.Timestamp]  # the day on which the first begins, and on which the last ends


@dataclass(frozen=True)
class FrostRow:
    """One kind of frost. Dates as (month, day), None where too few seasons have such a frost to tell them."""

    cold: str  # what it is called
    threshold: float  # [°C] at or under
    spell_days: int  # [days] of a spell whose mean counts; 0: the low of a night
    seasons: int  # complete cold seasons counted
    frosty: int  # how many of them have such a frost
    last_in_ten: Day | None  # the last one of the season; in one season in ten it is still later
    last_middle: Day | None  # in the middle season
    first_middle: Day | None  # the first one of the season, in the middle season
    first_in_ten: Day | None  # in one season in ten it is still earlier
    free_days: int | None  # [days] from last_in_ten to first_in_ten, neither counted

    @property
    def spares(self) -> Literal["a season", "the whole year", "no season", "not known"]:
        """Which part of the year it spares, in all but one season in ten.

        The whole year where too few seasons have it; and where the last lies before the first, because then no day
        has it before or behind it in more than one season in ten.
        """
        if self.seasons == 0:
            return "not known"
        if self.free_days is None or self.free_days >= YEAR_DAYS:
            return "the whole year"
        return "no season" if self.free_days < SHORTEST_SERVICE else "a season"

    @property
    def free_from(self) -> Day | None:
        """First day of the season that it spares."""
        return None if self.spares != "a season" or self.last_in_ten is None else moved(self.last_in_ten, A_DAY)

    @property
    def free_until(self) -> Day | None:
        """Last day of the season that it spares."""
        return None if self.spares != "a season" or self.first_in_ten is None else moved(self.first_in_ten, -A_DAY)

    @property
    def free_told(self) -> tuple[str, str]:
        """First and last day of the season that it spares, in words; or why there are none, twice."""
        if self.free_from is None or self.free_until is None:
            why = {"the whole year": "all year", "no season": "at no time"}.get(self.spares, "not known")
            return why, why
        return told(self.free_from), told(self.free_until)

    @property
    def words(self) -> str:
        """The row of a night's frost in plain sentences."""
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
    """The frosts of a record: the nights, the mildest kind first, and the spells, the shortest first."""

    nights: list[FrostRow]
    spells: list[FrostRow]

    @property
    def rows(self) -> list[FrostRow]:
        """All of them."""
        return [*self.nights, *self.spells]

    @property
    def pipes(self) -> FrostRow:
        """The one that endangers pipes: the hard frost of a night."""
        return self.nights[-1]

    def tank(self, spell_days: int) -> FrostRow:
        """The one that endangers a tank which stands fewer than so many days of it, 1 to `LONGEST_SPELL`."""
        return self.spells[spell_days - 1]


def frost_table(days: pd.DataFrame, southern: bool) -> FrostTable:
    """Find the frosts of a record.

    Args:
        days: full daily calendar, columns `tmin` and `tmax` [°C], NaN where missing; as `believable.judge` leaves it,
            because a single impossible low would be a season's last freeze.
        southern: whether the site lies south of the equator.
    """
    return FrostTable(
        night_frosts(days["tmin"], southern), freezing_spells((days["tmax"] + days["tmin"]) / 2, southern)
    )


def night_frosts(lows: pd.Series[float], southern: bool) -> list[FrostRow]:
    """The frosts of nights, a row for each of `NIGHTS`, from the daily lows [°C] of a full calendar.

    With n complete seasons, k = max(1, int((n + 1) / 10)): in one season in ten the last lies at or after the k-th
    latest, the first at or before the k-th earliest (rank m of n at odds m / (n + 1): Weibull 1939, in any hydrology
    handbook; recalled). Fewer than k seasons with such a night tell no date. A season is complete where its first and
    last day lie in the record and 90 % of its days are known.

    The rank of the middle season is max(1, int((n + 1) / 2)) of all n complete seasons; those without such a frost
    rank as the mildest, so that there is no middle date where fewer than half have one. Of an even number of seasons
    the harsher one of the middle two counts. Seasons are ranked by the place of the day within the season; 29 February
    counts as 28 February.
    """
    seasons = complete_seasons(lows, southern)
    return [
        frost_row(cold, threshold, 0, [first_and_last(season, threshold) for season in seasons], southern)
        for cold, threshold in NIGHTS.items()
    ]


def freezing_spells(means: pd.Series[float], southern: bool) -> list[FrostRow]:
    """The freezing spells, a row for each length up to `LONGEST_SPELL`, from the daily means [°C] of a full calendar.

    A spell of m days is any m days in a row within a season whose mean lies at or under 0 °C; it begins on the first
    of them and ends on the last. Ranks and seasons as for `night_frosts`. Because milder days around a sharp one are
    part of its spell, a longer spell may begin a few days before a shorter one.

    Days without a mean: up to three in a row, as many as a month may miss, stand on the straight line between the days
    on either side, because the cold of one day is close to that of the next; so a hole in a cold week hides no spell.
    A longer hole stays one, and no spell reaches into it. Bridged days do not count as known.
    """
    seasons = complete_seasons(means, southern)
    whole = bridged(means)
    return [
        frost_row(
            SPELL, FREEZE, length, [first_and_last(whole[season.index], FREEZE, length) for season in seasons], southern
        )
        for length in range(1, LONGEST_SPELL + 1)
    ]


def bridged(means: pd.Series[float]) -> pd.Series[float]:
    """The daily means with the straight line put into holes of at most `MOST_IN_A_ROW` days between known ones."""
    missing = means.isna()
    hole = missing.groupby((missing != missing.shift()).cumsum()).transform("sum")
    return means.where(~missing | (hole > MOST_IN_A_ROW), means.interpolate(limit_area="inside"))


def first_and_last(season: pd.Series[float], threshold: float, length: int = 1) -> FirstAndLast | None:
    """The day on which the first spell of so many days at or under the threshold [°C] begins, and the last one ends.

    `season`: its days in order [°C]; None where it has no such spell.
    """
    # Rounded, so that 34 °F and 30 °F make 0 °C and not a last bit more.
    ends = season.index[season.rolling(length).mean().round(6) <= threshold]
    return None if ends.empty else (ends[0] - (length - 1) * A_DAY, ends[-1])


def frost_row(
    cold: str, threshold: float, spell_days: int, found: Sequence[FirstAndLast | None], southern: bool
) -> FrostRow:
    """The row of one kind of frost, from its first and last of each complete season."""
    places = [[place_in_season(day.date(), southern) for day in one] for one in found if one]
    firsts, lasts = sorted(first for first, _ in places), sorted((last for _, last in places), reverse=True)
    ten, middle = rank(len(found), ODDS) - 1, rank(len(found), MIDDLE) - 1

    def date_of(ranked: list[int], at: int) -> Day | None:
        return month_and_day(ranked[at], southern) if at < len(ranked) else None

    return FrostRow(
        cold,
        threshold,
        spell_days,
        len(found),
        len(places),
        date_of(lasts, ten),
        date_of(lasts, middle),
        date_of(firsts, middle),
        date_of(firsts, ten),
        days_between(lasts[ten], firsts[ten]) if ten < len(places) else None,
    )


def rank(seasons: int, odds: int) -> int:
    """Rank of the season that is exceeded in one of so many: m of n at odds m / (n + 1); at least 1."""
    return max(1, int((seasons + 1) / odds))


def days_between(last: int, first: int) -> int:
    """[days] from a place in one season to a place in the next, neither counted."""
    return YEAR_DAYS - (last + 1) + first


def moved(day: Day, by: timedelta) -> Day:
    """(month, day) so much later or earlier in a common year."""
    there = date(COMMON_YEAR, *day) + by
    return there.month, there.day


def told(day: Day) -> str:
    """(5, 2) as "2 May"."""
    return f"{day[1]} {month_name[day[0]]}"


def nothing_known(cold: str, threshold: float, spell_days: int) -> FrostRow:
    """The row of a record without complete seasons."""
    return frost_row(cold, threshold, spell_days, [], southern=False)


def complete_seasons(temperatures: pd.Series[float], southern: bool) -> list[pd.Series[float]]:
    """The days [°C] of each complete cold season, in order of time."""
    calendar = pd.DatetimeIndex(temperatures.index)
    named = calendar.year if southern else calendar.year - (calendar.month < 7).astype(int)
    complete = []
    for _, season in temperatures.groupby(named):
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


def month_and_day(place: int, southern: bool) -> Day:
    """(month, day) of a place in the season; a place outside it wraps round the year."""
    in_year = (place if southern else place + days_before_july()) % 365
    day = date(COMMON_YEAR, 1, 1) + timedelta(days=in_year)
    return day.month, day.day


def days_before_july() -> int:
    return (date(COMMON_YEAR, 7, 1) - date(COMMON_YEAR, 1, 1)).days


# Of a record of months.
UNKNOWN = FrostTable(
    [nothing_known(cold, threshold, 0) for cold, threshold in NIGHTS.items()],
    [nothing_known(SPELL, FREEZE, length) for length in range(1, LONGEST_SPELL + 1)],
)
