"""Whether the record's yearly rain changes its level: a gauge that was moved, or a tree that grew beside it.

Pettitt's test (A. N. Pettitt, A non-parametric approach to the change-point problem, Applied Statistics 28(2), 1979;
recalled) asks of each year how the years up to it rank among all. It only warns: nothing is corrected, because a run of
wet or dry years looks alike.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

LEVEL = 0.05  # [0..1] of false alarms, at most; common practice, no source
FEWEST_YEARS = 11  # with fewer p is over 0.05 even where every early year is above every late one


@dataclass(frozen=True)
class Shift:
    year: int  # in which the new level begins
    before: float  # [mm/year] mean of the years before it
    after: float  # [mm/year] mean from it on
    p: float  # [0..1] chance of as large a difference where there is no change


def shift(yearly: pd.Series[float]) -> Shift | None:
    """Find the year with which the level of the yearly rain changes, or None where no change can be told.

    Args:
        yearly: rain of whole years [mm/year], by year in order of time; a missing year is left out.

    With n years, U(t) = 2 x (sum of the first t years' ranks) - t (n + 1), K = max |U(t)| and
    p = 2 exp(-6 K² / (n³ + n²)), at most 1. Equal years share their mean rank. Of two equal changes the first is told.
    The formula is an approximation on the careful side: of 30 shuffled years some 2 in a hundred warn where 5 might.
    """
    known = yearly.dropna()
    count = len(known)
    if count < FEWEST_YEARS:
        return None
    first = np.arange(1, count)  # how many years lie before the change
    differences = np.abs(2 * known.rank().to_numpy().cumsum()[:-1] - first * (count + 1))
    p = min(1.0, 2 * float(np.exp(-6 * differences.max() ** 2 / (count**3 + count**2))))
    if p > LEVEL:
        return None
    begins = int(differences.argmax()) + 1
    before, after = known.iloc[:begins].mean(), known.iloc[begins:].mean()
    return Shift(int(known.index[begins]), float(before), float(after), p)
