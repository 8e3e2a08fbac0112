"""Days to calendar months: totals, means and counts, with gaps handled as `gaps` says and marked.

year month days   rain  tmax  tmin snow_share degree_days wet_days rain_spells missing_days filled
2012     1   31  173.3   7.1   1.5       0.25       138.2       21           6            0      0

Beside them, of days 1 to 15 alone: the share of the month's rain that fell on them, their own snow share, degree-days
and rain days. What a month leaves over depends on when in it the rain came.
"""

from __future__ import annotations

import pandas as pd

from budget.errors import Fault, InputFaults
from budget.record import gaps

WET_DAY = 1.0  # [mm] a day with this much or more is a rain day; common practice, no source
SNOW_BELOW = 1.0  # [°C] daily mean; after US Army Corps of Engineers, Snow Hydrology (1956), recalled
FIRST_DAYS = 15  # days 1 to 15 are the month's first half
FIRST_HALF = ["first_rain_share", "first_wet_days", "first_snow_share", "first_degree_days"]
COLUMNS = [
    "year",
    "month",
    "days",
    "rain",
    "tmax",
    "tmin",
    "snow_share",
    "degree_days",
    "wet_days",
    "rain_spells",
    *FIRST_HALF,
    "missing_days",
    "filled",
]
WHOLE_NUMBERS = ["year", "month", "days", "missing_days", "filled"]


def monthly(days: pd.DataFrame) -> pd.DataFrame:
    """Form the calendar months that lie wholly within the record.

    Args:
        days: full daily calendar (DatetimeIndex without holes), columns `rain` [mm], `tmax`, `tmin` [°C]; NaN
            where missing.

    Returns:
        One row a month in order of time, index 0, 1, 2 ...: `year`, `month`, `days` [days], `rain` [mm],
        `tmax`, `tmin` [°C], `snow_share` [0..1], `degree_days` [°C day], `wet_days` [days], `rain_spells`
        [count], of days 1 to 15 `first_rain_share` [0..1 of the month's rain], `first_wet_days` [days],
        `first_snow_share` [0..1 of their own precipitation], `first_degree_days` [°C day],
        `missing_days` [days with rain, tmax or tmin missing], `filled` [0/1]. The last two, the
        year, the month and the days are whole numbers; wet days and spells need not be where days are
        missing.

    Raises:
        InputFaults: no whole month, or a calendar month of which no year is usable.
        ValueError: the index is not a full daily calendar.
    """
    if not days.index.equals(pd.date_range(days.index[0], days.index[-1], freq="D")):
        raise ValueError("a full daily calendar is needed, in order")
    marks = whole_months(mark_days(days))
    if marks.empty:
        raise InputFaults([Fault("record", "no whole calendar month", "at least one")])
    month = marks["month_number"]
    no_rain = gaps.has_too_many_missing(marks["rain_missing"], month)
    no_temperatures = gaps.has_too_many_missing(marks["temperatures_missing"], month)
    gaps.raise_unusable(gaps.check_usable(no_rain, "rain") + gaps.check_usable(no_temperatures, "temperatures"))

    table = count_days(marks)
    rain = gaps.fill_with_medians(rain_figures(marks, table["days"]), no_rain)
    temperatures = gaps.fill_with_medians(temperature_figures(marks, table["days"]), no_temperatures)
    snow = snow_shares(marks, no_rain)
    table = fit_snow_of_first_half(table.join([rain, temperatures, snow]))
    table["filled"] = no_rain | no_temperatures
    return in_order(table)


def in_order(table: pd.DataFrame) -> pd.DataFrame:
    """The months' figures as `monthly` hands them on: its columns, whole numbers whole, rows counted from 0."""
    return table[COLUMNS].astype(dict.fromkeys(WHOLE_NUMBERS, "int64")).reset_index(drop=True)


def mark_days(days: pd.DataFrame) -> pd.DataFrame:
    """What each day adds to its month, one row a day, beside the month's number (year x 12 + month - 1)."""
    marks = days[["rain", "tmax", "tmin"]].copy()
    calendar = pd.DatetimeIndex(days.index)
    marks["month_number"] = calendar.year * 12 + calendar.month - 1
    marks["first_of_month"] = calendar.is_month_start
    marks["first_half"] = calendar.day <= FIRST_DAYS
    marks["last_of_month"] = calendar.is_month_end
    # Rounded, so that a mean of 3.3 and -1.3 is 1 and not a last bit more.
    marks["tmean"] = ((days["tmax"] + days["tmin"]) / 2).round(6)
    marks["rain_missing"] = days["rain"].isna()
    marks["temperatures_missing"] = marks["tmean"].isna()
    # A missing day counts as dry, and so does the day before the record.
    marks["wet"] = days["rain"] >= WET_DAY
    marks["spell_begins"] = marks["wet"] & ~marks["wet"].shift(fill_value=False)
    return marks


def whole_months(marks: pd.DataFrame) -> pd.DataFrame:
    """The days of those months whose first and last day lie in the record."""
    month = marks["month_number"]
    begun = marks["first_of_month"].groupby(month).transform("any")
    ended = marks["last_of_month"].groupby(month).transform("any")
    return marks[begun & ended]


def count_days(marks: pd.DataFrame) -> pd.DataFrame:
    """`year`, `month`, `days`, `missing_days`, by month number."""
    missing = marks["rain_missing"] | marks["temperatures_missing"]
    table = pd.DataFrame({"missing_days": missing.groupby(marks["month_number"]).sum()})
    table["days"] = marks.groupby("month_number").size()
    table["year"] = table.index // 12
    table["month"] = table.index % 12 + 1
    return table


def rain_figures(marks: pd.DataFrame, days: pd.Series[int]) -> pd.DataFrame:
    """`rain` [mm], `wet_days` [days], `rain_spells` [count] by month, raised to its length where days miss.

    Beside them `first_rain_share` [0..1], where it did not rain the share of the days, and `first_wet_days` [days],
    raised as the month's are, so that they are never more.
    """
    by_month = marks.groupby("month_number")
    sums = by_month[["rain", "wet", "spell_begins"]].sum().astype(float)
    of_first = marks[["rain", "wet"]].where(marks["first_half"]).groupby(marks["month_number"]).sum().astype(float)
    missing = days / by_month["rain"].count()
    raised = sums.mul(missing, axis="index")
    raised["first_rain_share"] = (of_first["rain"] / sums["rain"]).where(sums["rain"] > 0, FIRST_DAYS / days)
    raised["first_wet_days"] = of_first["wet"] * missing
    return raised.rename(columns={"wet": "wet_days", "spell_begins": "rain_spells"})


def temperature_figures(marks: pd.DataFrame, days: pd.Series[int]) -> pd.DataFrame:
    """Means `tmax`, `tmin` [°C] over days that have both, and `degree_days` [°C day] of the whole month.

    Beside them `first_degree_days` [°C day], of days 1 to 15, raised as the month's are, so that they are never more.
    """
    known = marks[~marks["temperatures_missing"]]
    by_month = known.groupby("month_number")
    means = by_month[["tmax", "tmin"]].mean().reindex(days.index)
    warmth = known["tmean"].clip(lower=0)
    means["degree_days"] = warmth.groupby(known["month_number"]).mean().reindex(days.index) * days
    of_first = warmth.where(known["first_half"]).groupby(known["month_number"]).sum() / by_month.size()
    means["first_degree_days"] = (of_first.reindex(days.index) * days).clip(upper=means["degree_days"])
    return means


def snow_shares(marks: pd.DataFrame, no_rain: pd.Series[bool]) -> pd.DataFrame:
    """`snow_share` and `first_snow_share` [0..1] by month: share of precipitation on days of `SNOW_BELOW` or less.

    Of the whole month's precipitation, and of that of days 1 to 15 alone. Counted over the days where both are known;
    0 where there is no precipitation. The calendar month's median stands in where the rain is unusable, and where it
    rained but on no such day is the temperature known.
    """
    rain = marks["rain"].where(~marks["temperatures_missing"])
    frozen = rain.where(marks["tmean"] <= SNOW_BELOW)
    total = _sums(rain, marks)
    shares = pd.DataFrame(
        {
            "snow_share": _share(_sums(frozen, marks), total),
            "first_snow_share": _share(_sums(frozen, marks, of_first=True), _sums(rain, marks, of_first=True)),
        }
    )
    untold = (total == 0) & (_sums(marks["rain"], marks) > 0)
    return gaps.fill_with_medians(shares, no_rain | untold).fillna({"snow_share": 0.0, "first_snow_share": 0.0})


def _sums(values: pd.Series[float], marks: pd.DataFrame, of_first: bool = False) -> pd.Series[float]:
    """Sums by month, of all its days or of the first half's."""
    counted = values.where(marks["first_half"]) if of_first else values
    return counted.groupby(marks["month_number"]).sum()


def _share(part: pd.Series[float], total: pd.Series[float]) -> pd.Series[float]:
    return (part / total).where(total > 0, 0.0)


def fit_snow_of_first_half(table: pd.DataFrame) -> pd.DataFrame:
    """The months with a `first_snow_share` that the month's own `snow_share` allows.

    Neither half has less than no snow, nor more than its precipitation. Medians, and days without a temperature, may
    say otherwise.
    """
    fallen = table["first_rain_share"].where(table["first_rain_share"] > 0, 1.0)
    most = (table["snow_share"] / fallen).clip(upper=1)
    least = ((table["snow_share"] - (1 - table["first_rain_share"])) / fallen).clip(lower=0)
    return table.assign(first_snow_share=table["first_snow_share"].clip(lower=least, upper=most))
