"""How much of each calendar year was measured, how much was filled from neighbours, and what is still missing.

year days whole rain_measured rain_filled rain_missing rain_gap temperatures_measured ..._filled ..._missing ..._gap
2012  366     1           350          12            4        3                   366          0           0       0
"""

from __future__ import annotations

import pandas as pd

from budget.record import gaps

KINDS = {"rain": ["rain"], "temperatures": ["tmax", "tmin"]}
COLUMNS = [
    "year",
    "days",
    "whole",
    "rain_measured",
    "rain_filled",
    "rain_missing",
    "rain_gap",
    "temperatures_measured",
    "temperatures_filled",
    "temperatures_missing",
    "temperatures_gap",
]


def by_year(days: pd.DataFrame, marks: pd.DataFrame) -> pd.DataFrame:
    """Count the days of each calendar year.

    Args:
        days: full daily calendar (DatetimeIndex without holes), columns `rain` [mm], `tmax`, `tmin` [°C]; gaps
            filled as far as they were, NaN where still missing.
        marks: index and columns as `days`, bool: whether a neighbour's figure stands there.

    Returns:
        One row a year in order of time, index 0, 1, 2 ..., whole numbers: `year`; `days` [days] of the record in it;
        `whole` [0/1], 0 where the record begins or ends within the year; and for `rain` and for `temperatures` the
        days `_measured`, `_filled`, `_missing` [days], which add up to `days`, and `_gap` [days], the most in a row
        that are missing. Temperatures are measured where both are, and filled where both are known and either comes
        from a neighbour. A gap over New Year counts in each year with its own days.
    """
    calendar = pd.DatetimeIndex(days.index)
    year = pd.Series(calendar.year, index=days.index)
    table = pd.DataFrame({"days": year.groupby(year).size()})
    table["whole"] = table["days"] == 365 + pd.Series(calendar.is_leap_year, index=days.index).groupby(year).any()
    for kind, columns in KINDS.items():
        missing = days[columns].isna().any(axis=1)
        filled = marks[columns].any(axis=1) & ~missing
        table[f"{kind}_measured"] = (~missing & ~filled).groupby(year).sum()
        table[f"{kind}_filled"] = filled.groupby(year).sum()
        table[f"{kind}_missing"] = missing.groupby(year).sum()
        table[f"{kind}_gap"] = gaps.longest_run(missing, year)
    table["year"] = table.index
    return table[COLUMNS].astype("int64").reset_index(drop=True)
