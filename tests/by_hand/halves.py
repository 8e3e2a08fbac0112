"""Halves of a month: days 1 to 15 and the rest, stepped one after the other and told again by months.

What runs by halves is written for steps of any length and stepped over twice as many rows; a month's figure is then
that of its first half, of its second half, or of both together.
"""

import numpy as np

FIRST_DAYS = 15.0  # days of a month's first half


def in_turn(first: np.ndarray, second: np.ndarray) -> np.ndarray:
    """The halves of all months in order of time, from the first and the second halves."""
    return np.column_stack([first, second]).ravel()


def lengths(days: np.ndarray) -> np.ndarray:
    """Days of each half, in order of time, of months of so many `days`."""
    return in_turn(np.full(len(days), FIRST_DAYS), days - FIRST_DAYS)


def shared(total: np.ndarray, first: np.ndarray) -> np.ndarray:
    """A month's total told by halves in order of time, where `first` falls in the first half."""
    return in_turn(first, total - first)


def firsts(halves: np.ndarray) -> np.ndarray:
    """The first half of each month."""
    return halves[::2]


def seconds(halves: np.ndarray) -> np.ndarray:
    """The second half of each month."""
    return halves[1::2]


def totals(halves: np.ndarray) -> np.ndarray:
    """Both halves of each month together."""
    return firsts(halves) + seconds(halves)


def means(halves: np.ndarray, days: np.ndarray) -> np.ndarray:
    """Mean over the days of each month of what is a mean over each half."""
    of_days = halves * lengths(days)
    return totals(of_days) / days
