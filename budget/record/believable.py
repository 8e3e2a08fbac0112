"""Values that cannot be believed: set missing and told, each with its date; nothing is changed in silence.

    finding                                                              what becomes of it
    negative rain; more than 500 mm in a day                             missing
    the same rain, high or low on too many days in a row                 the stretch is missing
    low above high                                                       both missing
    high or low far from its calendar month's median                     missing, unless other values bear it out: kept
    a year without rain where other years have rain in most months       the year's rain is missing
    rain far above the record's great rain days                          kept, and told
    a stretch of years in another unit                                   a fault: only who keeps the record knows which

Setting a value missing moves the medians and shares that others are judged by. So the rules are gone through again
until they find nothing more, and to judge what has been judged changes nothing.
"""

from __future__ import annotations

from calendar import month_name
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from statistics import NormalDist

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from budget.errors import Fault
from budget.record.months import WET_DAY

MOST_RAIN = 500.0  # [mm/day] common practice, no source
GREAT = 3.0  # [times] the percentile below; common practice, no source
GREAT_PERCENTILE = 0.999  # [0..1] of the rain days; common practice, no source
FEWEST_RAIN_DAYS = 30  # [days] from which rain days can be compared; common practice, no source

FREAK = 4.0  # [standard deviations] from the calendar month's median; common practice, no source
TAIL = 0.05  # [0..1] of a month's values that may be wrong before they widen the spread; common practice, no source
LEAST_DEVIATION = 1.0  # [°C] for months that hardly vary; common practice, no source
FEWEST_VALUES = 20  # [days] of a calendar month, so that at least one may be wrong; common practice, no source
BORNE_OUT = 0.5  # [0..1] of the freak's own distance; common practice, no source

SAME_RAIN = 5  # [days] in a row; common practice, no source
SAME_TEMPERATURE = 10  # [days] in a row; common practice, no source (Durre et al. 2010 take 20; recalled)
BY_CHANCE = 0.01  # stretches in a whole record that chance may make; common practice, no source
LONGEST_SAME = 365  # [days] no weather stays the same for a year; common practice, no source

YEAR_DAYS = 365
KNOWN_SHARE = 0.9  # [0..1] of a year's days; common practice, no source
MOST_MONTHS = 6  # more than so many of twelve are most of them
FEW_MONTHS, DRY_YEARS = 3, 0.1  # the driest in ten of the others have more than so many; common practice, no source
FEWEST_OTHERS = 2  # years to compare with; common practice, no source

UNIT_FACTORS = {25.4: "millimetres and inches", 10.0: "a unit and tenths of it"}  # exact by definition
FACTOR_WITHIN = 1.6  # [times] either way: the two factors then meet half way; common practice, no source
HEAVY_PERCENTILE = 0.9  # [0..1] of a year's days with rain: drizzle hardly moves it; common practice, no source
FAHRENHEIT_WITHIN = 6.0  # [°C, or °F read as °C] of the level; common practice, no source
SPREAD_WITHIN = 1.35  # [times] either way, so that 1 and 1.8 stay apart; common practice, no source
FEWEST_IN_A_YEAR = 10  # [days] with rain, from which a year's amounts say something; common practice, no source
LEAST_JUMP = 5.0  # [°C] a smaller range of yearly medians holds no change of unit; common practice, no source
ONE_UNIT = "one unit throughout; split the file where the unit changes, and give each part its own"

Years = NDArray[np.float64]  # a row a year


@dataclass(frozen=True)
class Remark:
    """What was found at one value, or at a stretch of them."""

    first: date
    last: date
    figure: str  # "rain", "tmax", "tmin"
    value: float  # [mm, °C] of the first day
    why: str
    kept: bool  # False where the stretch was set missing


@dataclass(frozen=True)
class Judged:
    days: pd.DataFrame  # as given, NaN where a value is not believed
    remarks: list[Remark]  # in order of time
    faults: list[Fault]  # what nothing here can repair; the days are then handed back as they came, without remarks


def judge(days: pd.DataFrame) -> Judged:
    """Set missing what cannot be believed, and say so.

    Args:
        days: full daily calendar, columns `rain` [mm], `tmax`, `tmin` [°C], or some of them; NaN where missing.
    """
    faults = [*mixed_rain(days), *mixed_temperatures(days)]
    if faults:
        return Judged(days, [], faults)
    dropped: list[Remark] = []
    while True:
        days, found = go_through(days)
        more = [remark for remark in found if not remark.kept]
        if not more:
            return Judged(days, sorted([*dropped, *found], key=lambda remark: (remark.first, remark.figure)), [])
        dropped += more


def judge_months(months: pd.DataFrame) -> Judged:
    """Set missing in a record of months what cannot be: rain below zero, a mean low above the mean high."""
    remarks = [*negative_rain(months), *low_above_high(months)]
    return Judged(without(months, remarks), sorted(remarks, key=lambda remark: (remark.first, remark.figure)), [])


def go_through(days: pd.DataFrame) -> tuple[pd.DataFrame, list[Remark]]:
    """Each rule once, on what the ones before it have left."""
    found: list[Remark] = []
    for rule in (negative_rain, too_much_rain, stuck, low_above_high, freaks, rainless_years, great_rain):
        remarks = rule(days)
        days = without(days, remarks)
        found += remarks
    return days, found


def without(days: pd.DataFrame, remarks: list[Remark]) -> pd.DataFrame:
    """The days with the stretches of the remarks missing, but those that are kept."""
    left = days.copy()
    for remark in remarks:
        if not remark.kept:
            left.loc[pd.Timestamp(remark.first) : pd.Timestamp(remark.last), remark.figure] = np.nan
    return left


def figure_of(days: pd.DataFrame, figure: str) -> pd.Series[float]:
    """A column, or missing throughout where the record has none."""
    return days[figure] if figure in days else pd.Series(np.nan, index=days.index, name=figure)


def one_by_one(values: pd.Series[float], why: str, kept: bool = False) -> list[Remark]:
    """A remark for each value."""
    calendar = pd.DatetimeIndex(values.index).date
    figure = str(values.name)
    return [Remark(day, day, figure, float(value), why, kept) for day, value in zip(calendar, values, strict=True)]


def negative_rain(days: pd.DataFrame) -> list[Remark]:
    rain = figure_of(days, "rain")
    return one_by_one(rain[rain < 0], "rain below zero")


def too_much_rain(days: pd.DataFrame) -> list[Remark]:
    rain = figure_of(days, "rain")
    return one_by_one(rain[rain > MOST_RAIN], f"more than {MOST_RAIN:g} mm in a day")


def low_above_high(days: pd.DataFrame) -> list[Remark]:
    """Which of the two is wrong cannot be told, so both go."""
    tmax, tmin = figure_of(days, "tmax"), figure_of(days, "tmin")
    wrong = tmin > tmax
    why = "the day's low is above its high"
    return one_by_one(tmax[wrong], why) + one_by_one(tmin[wrong], why)


def great_rain(days: pd.DataFrame) -> list[Remark]:
    """Days over three times the 99.9th percentile of the rain days that had less.

    Of those with less, because in a short record the great day is itself the percentile.
    """
    rain = figure_of(days, "rain")
    amounts = np.sort(rain[rain >= WET_DAY].to_numpy())
    if len(amounts) <= FEWEST_RAIN_DAYS:
        return []
    less = np.arange(FEWEST_RAIN_DAYS, len(amounts))  # how many had less
    percentile = amounts[np.round(GREAT_PERCENTILE * (less - 1)).astype(int)]
    great = amounts[less] > GREAT * percentile
    if not great.any():
        return []
    least, usual = amounts[less][great][0], percentile[great][0]
    why = f"more than {GREAT:g} times the record's other great rain days ({usual:.1f} mm)"
    return one_by_one(rain[rain >= least], why, kept=True)


def freaks(days: pd.DataFrame) -> list[Remark]:
    """Highs and lows further than four standard deviations from the median of their calendar month.

    Weather comes in spells: a freak is kept where the day before, the day after or the day's other temperature lies
    half as far out on the same side, and is no freak itself. A cold wave thus stays for the frost dates; an error, or a
    row of them, stands alone.
    """
    distances = {figure: deviations(figure_of(days, figure)) for figure in ("tmax", "tmin")}
    remarks = []
    for figure, other in (("tmax", "tmin"), ("tmin", "tmax")):
        own = distances[figure]
        witnesses = (own.shift(1), own.shift(-1), distances[other])
        borne_out = pd.concat([bears_out(witness, own) for witness in witnesses], axis="columns", sort=True).any(
            axis="columns"
        )
        values = figure_of(days, figure)
        for month in range(1, 13):
            in_month = pd.DatetimeIndex(days.index).month == month
            freak = in_month & (own.abs() > FREAK)
            why = f"more than {FREAK:g} standard deviations from the median of {month_name[month]}"
            if freak.any():
                why += f" ({values[in_month].median():.1f} °C)"
            remarks += one_by_one(values[freak & ~borne_out], why)
            remarks += one_by_one(values[freak & borne_out], why + ", but in a spell of such weather", kept=True)
    return remarks


def bears_out(witness: pd.Series[float], freak: pd.Series[float]) -> pd.Series[bool]:
    """Whether one distance lies on the side of another and at least half as far out, but is no freak itself."""
    return (witness.abs() <= FREAK) & (witness * np.sign(freak) >= BORNE_OUT * freak.abs())


def deviations(values: pd.Series[float]) -> pd.Series[float]:
    """Each value's distance from its calendar month's median, in standard deviations; NaN where they are too few.

    The standard deviation is read from the value within which all but the outermost 5 % of the month's lie, and from
    where a normal law has a value of that rank (Blom 1958; recalled). On either side by itself, because cold waves
    reach further than warm nights, but nowhere below that of both sides. Freaks do not widen it as long as they are no
    more than those 5 %: three of the sixty values that two years have. The plain standard deviation lets three through
    that lie 20 °C off, and one from the median of absolute deviations is too narrow where the law is skewed: it drops
    cold waves.
    """
    distances = pd.Series(np.nan, index=values.index)
    known = values.dropna()
    for _, month in known.groupby(pd.DatetimeIndex(known.index).month):
        if len(month) < FEWEST_VALUES:
            continue
        middle, ranked, outside = month.median(), np.sort(month.to_numpy()), int(TAIL * len(month))
        reach = NormalDist().inv_cdf(1 - (outside + 1 - 0.375) / (len(month) + 0.25))
        below, above = (middle - ranked[outside]) / reach, (ranked[-1 - outside] - middle) / reach
        least = max((below + above) / 2, LEAST_DEVIATION)
        deviation = np.where(month < middle, max(below, least), max(above, least))
        distances[month.index] = (month - middle) / deviation
    return distances


def stuck(days: pd.DataFrame) -> list[Remark]:
    """The same rain, other than none, or the same high or low, on more days in a row than chance explains."""
    rain = figure_of(days, "rain")
    remarks = []
    for values, fewest in (
        (rain.where(rain > 0), SAME_RAIN),
        (figure_of(days, "tmax"), SAME_TEMPERATURE),
        (figure_of(days, "tmin"), SAME_TEMPERATURE),
    ):
        runs = runs_of(values)
        runs = runs[runs["length"] >= needed_lengths(runs, fewest)]
        firsts, lasts = (pd.DatetimeIndex(runs[end]).date for end in ("first", "last"))
        for first, last, value, length in zip(firsts, lasts, runs["value"], runs["length"], strict=True):
            why = f"the same value on {length} days in a row"
            remarks.append(Remark(first, last, str(values.name), float(value), why, kept=False))
    return remarks


def runs_of(values: pd.Series[float]) -> pd.DataFrame:
    """`first`, `last`, `value`, `length` [days] of each run of the same value; a missing day ends a run."""
    table = pd.DataFrame({"day": values.index, "value": values.to_numpy()})
    table["run"] = (table["value"] != table["value"].shift()).cumsum()
    runs = table.dropna().groupby("run")
    return runs.agg(first=("day", "first"), last=("day", "last"), value=("value", "first"), length=("day", "size"))


def needed_lengths(runs: pd.DataFrame, fewest: int) -> pd.Series[float]:
    """From which length on each run is taken for a gauge or thermometer that was stuck [days].

    At least `fewest`, and so many that chance would make 0.01 of them in the record. The chance that a value comes
    again the day after is read from the record itself: the share of days that have it, or how often a day repeats the
    day before, where that is more and more than shuffled days would. In whole degrees near the equator half the days
    repeat the day before, and it takes some twenty in a row; where a fifth of the rain days have the gauge's smallest
    step, from mist and dew, it takes nine of those; else it takes `fewest`. No more than a year, so that a record that
    never changes is told as well.
    """
    total = max(int(runs["length"].sum()), 1)
    share = runs.groupby("value")["length"].transform("sum") / total
    again = 1 - len(runs) / total
    shuffled = float((share * runs["length"]).sum()) / total
    chance = share.clip(lower=again if again > shuffled else 0, upper=1 - 1e-9)
    needed = 1 + np.log(BY_CHANCE / total) / np.log(chance.to_numpy())
    return pd.Series(needed, index=runs.index).clip(fewest, LONGEST_SAME)


def rainless_years(days: pd.DataFrame) -> list[Remark]:
    """Years of a blocked or unattended gauge: known, and without any rain, where the others have it in most months.

    The middle one of the other years decides, and that their dry ones have rain in some months as well: a desert keeps
    its rainless years.
    """
    rain = figure_of(days, "rain")
    calendar = pd.DatetimeIndex(days.index)
    totals, known = rain.groupby(calendar.year).sum(), whole_years(rain)
    rainy = (rain.groupby([calendar.year, calendar.month]).sum() >= WET_DAY).astype(int).groupby(level=0).sum()
    others = rainy[known & (totals > 0)]
    if len(others) < FEWEST_OTHERS or others.median() <= MOST_MONTHS or others.quantile(DRY_YEARS) <= FEW_MONTHS:
        return []
    why = f"a year without any rain, where others have rain in {others.median():.0f} months of 12"
    remarks = []
    for year in totals.index[known & (totals == 0)]:
        zeros = pd.DatetimeIndex(rain[calendar.year == year].dropna().index)
        remarks.append(Remark(zeros[0].date(), zeros[-1].date(), "rain", 0.0, why, kept=False))
    return remarks


def whole_years(values: pd.Series[float]) -> pd.Series[bool]:
    """By calendar year, whether nearly all of its days are known."""
    return values.notna().groupby(pd.DatetimeIndex(values.index).year).sum() >= KNOWN_SHARE * YEAR_DAYS


def mixed_rain(days: pd.DataFrame) -> list[Fault]:
    """Years whose rain is about 25.4 or 10 times that of the others, or that part of it.

    The year's mean and its heavier days must both say so: a drought leaves the heavier days nearly as they are, and
    another gauge leaves the mean.
    """
    rain = figure_of(days, "rain")
    rain = rain.where(rain >= 0)
    year = pd.DatetimeIndex(days.index).year
    rained = rain.where(rain > 0)
    table = pd.DataFrame(
        {
            "mean": rain.groupby(year).mean(),
            "heavy": rained.groupby(year).quantile(HEAVY_PERCENTILE),
            "rain_days": rained.groupby(year).count(),
        }
    )
    table = table[whole_years(rain) & (table["rain_days"] >= FEWEST_IN_A_YEAR)]
    table[["mean", "heavy"]] = np.log(table[["mean", "heavy"]])
    stretch = stretch_apart(table, a_factor_apart, float(np.log(min(UNIT_FACTORS) / FACTOR_WITHIN)))
    if stretch is None:
        return []
    inside = table.index.isin(stretch)
    apart = table.loc[inside, "mean"].median() - table.loc[~inside, "mean"].median()
    factor = min(UNIT_FACTORS, key=lambda factor: abs(abs(apart) - np.log(factor)))
    times = f"{factor:g} times" if apart > 0 else f"1/{factor:g} of"
    found = f"about {times} the rain of the other years, as if {UNIT_FACTORS[factor]} were mixed"
    return [Fault(f"rain {period(stretch, days)}", found, ONE_UNIT)]


def a_factor_apart(inside: Years, outside: Years) -> bool:
    """Whether rain and heavier days (as logarithms, beside the count of rain days) differ as two units do."""
    if min(inside[:, 2].sum(), outside[:, 2].sum()) < FEWEST_RAIN_DAYS:
        return False
    mean, heavy = (np.median(inside, axis=0) - np.median(outside, axis=0))[:2]
    least, most = np.log(min(UNIT_FACTORS) / FACTOR_WITHIN), np.log(max(UNIT_FACTORS) * FACTOR_WITHIN)
    return bool(least <= abs(mean) <= most and least <= abs(heavy) <= most)


def mixed_temperatures(days: pd.DataFrame) -> list[Fault]:
    """Years that lie from the others as °F read as °C, or °C read as °F: in their middle, and in how far they reach."""
    faults: dict[str, Fault] = {}
    for figure in ("tmax", "tmin"):
        values = figure_of(days, figure)
        by_year = values.groupby(pd.DatetimeIndex(days.index).year)
        reach = by_year.quantile(1 - TAIL) - by_year.quantile(TAIL)
        table = pd.DataFrame({"middle": by_year.median(), "reach": reach})[whole_years(values)]
        stretch = stretch_apart(table, fahrenheit_apart, LEAST_JUMP)
        if stretch is None:
            continue
        inside = table.index.isin(stretch)
        here, there = table.loc[inside, "middle"].median(), table.loc[~inside, "middle"].median()
        found = f"{figure} is {here:.0f} in the middle of the year, {there:.0f} in other years (as °C)"
        told = Fault(f"temperatures {period(stretch, days)}", f"{found}, as if °F and °C were mixed", ONE_UNIT)
        faults.setdefault(told.where, told)  # high and low together are one fault
    return list(faults.values())


def fahrenheit_apart(inside: Years, outside: Years) -> bool:
    """Whether medians and reaches differ as °F and °C do, one way or the other."""
    pairs = np.median(inside, axis=0), np.median(outside, axis=0)
    (cool, narrow), (warm, wide) = sorted((pairs[0].tolist(), pairs[1].tolist()))
    reach = wide / (1.8 * narrow) if narrow > 0 else np.inf
    return bool(abs(warm - (1.8 * cool + 32)) <= FAHRENHEIT_WITHIN and 1 / SPREAD_WITHIN <= reach <= SPREAD_WITHIN)


def stretch_apart(table: pd.DataFrame, fits: Callable[[Years, Years], bool], least: float) -> range | None:
    """The stretch of years that stands apart from the others as `fits` asks, or None.

    Args:
        table: a row a year, by its number.
        fits: of the rows inside and outside.
        least: the range of the first column below which there is nothing to look for.

    Of several the one that leaves least to explain in the first column: the sum of distances from the medians inside
    and outside. Of a beginning and the rest after it, the shorter.
    """
    years = table.to_numpy(dtype=float)
    if len(years) == 0 or np.ptp(years[:, 0]) < least:
        return None
    found = []
    for length in range(1, len(years)):
        for start in range(len(years) - length + 1):
            inside, outside = years[start : start + length], np.delete(years, slice(start, start + length), axis=0)
            if fits(inside, outside):
                left = sum(float(np.abs(part[:, 0] - np.median(part[:, 0])).sum()) for part in (inside, outside))
                found.append((round(left, 9), length, start))
    if not found:
        return None
    _, length, start = min(found)
    return range(int(table.index[start]), int(table.index[start + length - 1]) + 1)


def period(years: range, days: pd.DataFrame) -> str:
    """The days of the record that lie in the years."""
    calendar = pd.DatetimeIndex(days.index)
    within = calendar[calendar.year.isin(years)]
    return f"from {within[0].date()} to {within[-1].date()}"
