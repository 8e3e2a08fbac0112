"""The smallest tank that leaves the house unshort in one plan year, found by trial."""

import numpy as np


def house_short(
    capacity: float,
    need: np.ndarray,
    gives: np.ndarray,
    share: np.ndarray,
    goes_out: np.ndarray,
    roof: np.ndarray | float = 0.0,
) -> float:
    """Shortage in service [L] of one plan year that begins with an empty tank; the house comes before everything.

    `need` and `gives` are the months' household need and safe yield [L], `share` the share of the month in service,
    `roof` what runs into the tank off the roofs [L]. A month's draws come before its overflow.
    """
    stored = short = 0.0
    from_roof = np.zeros(len(need)) + roof
    for asked, well, f, out, rain in zip(need, gives, share, goes_out, from_roof, strict=True):
        stored += f * max(0.0, well - asked) + rain
        lacking = f * max(0.0, asked - well)
        drawn = min(stored, lacking)
        stored, short = min(capacity, stored - drawn), short + lacking - drawn
        if out:
            stored = 0.0
    return short


def smallest_tank(
    need: np.ndarray,
    gives: np.ndarray,
    share: np.ndarray,
    goes_out: np.ndarray,
    tolerance: float = 1e-6,
    roof: np.ndarray | float = 0.0,
) -> float:
    """Smallest capacity [L] without shortage by bisection, infinite where no capacity is enough."""
    year = need, gives, share, goes_out, roof
    largest = float(np.sum(need) + np.sum(gives) + np.sum(roof)) + 1.0
    if house_short(largest, *year) > tolerance / 10:
        return np.inf
    if house_short(0.0, *year) <= tolerance / 10:
        return 0.0
    low, high = 0.0, largest
    while high - low > tolerance:
        middle = (low + high) / 2
        if house_short(middle, *year) > tolerance / 10:
            low = middle
        else:
            high = middle
    return high
