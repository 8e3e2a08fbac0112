"""A file of months: its totals and means as they stand, and by rule what only days can tell.

    figure          out of a month's rain, mean daily high and mean daily low
    snow share      1 where the mean of high and low is -2 °C or less, 0 from +4 °C, in a straight line between
    degree-days     days of the month x mean, 0 below freezing
    rain days       every day of the month, so that the soil goes by Thornthwaite and Mather's monthly rule
    rain spells     one in four days
    days 1 to 15    their part of the month's days, in rain, rain days and degree-days; the month's snow share
    missing days    0; all days of the month where the rain or a temperature is blank

What is blank takes the median of its calendar month, and the row says `filled`. The rules are common practice, no
source.
"""

from __future__ import annotations

import pandas as pd

from budget.record import gaps
from budget.record.months import FIRST_DAYS, in_order

ALL_SNOW, NO_SNOW = -2.0, 4.0  # [°C] mean of the month; common practice, no source
SPELL_DAYS = 4.0  # [days] one rain spell in so many; common practice, no source


def from_months(rows: pd.DataFrame) -> pd.DataFrame:
    """Form the same figures from a row a month as `monthly` forms from a row a day.

    Args:
        rows: full calendar of months (DatetimeIndex of first days without holes), columns `rain` [mm/month], `tmax`,
            `tmin` [°C], the means of the daily highs and lows; NaN where missing.

    Returns:
        As `monthly` does.

    Raises:
        InputFaults: a calendar month that has no rain, or not both temperatures, in any year.
    """
    calendar = pd.DatetimeIndex(rows.index)
    known = rows.set_index(calendar.year * 12 + calendar.month - 1)
    no_rain = known["rain"].isna()
    no_temperatures = known[["tmax", "tmin"]].isna().any(axis=1)
    gaps.raise_unusable(
        gaps.check_usable(no_rain, "rain", "with its rain")
        + gaps.check_usable(no_temperatures, "temperatures", "with both temperatures")
    )
    rain = gaps.fill_with_medians(known[["rain"]], no_rain)
    temperatures = gaps.fill_with_medians(known[["tmax", "tmin"]], no_temperatures)
    table = rain.join(temperatures)
    table["year"], table["month"], table["days"] = calendar.year, calendar.month, calendar.days_in_month
    table["filled"] = no_rain | no_temperatures
    table["missing_days"] = table["days"].where(table["filled"], 0)
    tmean = (table["tmax"] + table["tmin"]) / 2
    table["snow_share"] = ((NO_SNOW - tmean) / (NO_SNOW - ALL_SNOW)).clip(0, 1)
    table["degree_days"] = table["days"] * tmean.clip(lower=0)
    table["wet_days"] = table["days"].astype(float)
    table["rain_spells"] = table["days"] / SPELL_DAYS
    table["first_rain_share"] = FIRST_DAYS / table["days"]
    table["first_wet_days"] = float(FIRST_DAYS)
    table["first_snow_share"] = table["snow_share"]
    table["first_degree_days"] = table["degree_days"] * FIRST_DAYS / table["days"]
    return in_order(table)
