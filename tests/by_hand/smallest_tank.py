"""The smallest tank that leaves the house unshort in one plan year, found by trial."""

from dataclasses import astuple

import numpy as np

from .rule_curve import Steps


def house_short(capacity: float, steps: Steps, goes_out: np.ndarray, opening: float = 0.0) -> float:
    """Shortage in service [L] of rows that begin with `opening` [L] in the tank; the house comes before everything.

    What is spare in each row fills the tank as far as it has room, before and after the lack in their order; the tank
    is emptied after a row that goes out.
    """
    stored, short = opening, 0.0
    rows = zip(*(values.tolist() for values in astuple(steps)), goes_out.tolist(), strict=True)
    for before, lack, after, out in rows:
        stored = min(capacity, stored + before)
        drawn = min(stored, lack)
        short += lack - drawn
        stored = 0.0 if out else min(capacity, stored - drawn + after)
    return short


def smallest_tank(steps: Steps, goes_out: np.ndarray, tolerance: float = 1e-6) -> float:
    """Smallest capacity [L] without shortage by bisection, infinite where no capacity is enough."""
    largest = float(steps.spare_before.sum() + steps.lack.sum() + steps.spare_after.sum()) + 1.0
    if house_short(largest, steps, goes_out) > tolerance / 10:
        return np.inf
    if house_short(0.0, steps, goes_out) <= tolerance / 10:
        return 0.0
    low, high = 0.0, largest
    while high - low > tolerance:
        middle = (low + high) / 2
        if house_short(middle, steps, goes_out) > tolerance / 10:
            low = middle
        else:
            high = middle
    return high
