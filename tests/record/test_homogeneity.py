"""Pettitt's test: against its published formula by brute force, and how often it cries wolf."""

import math
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import mannwhitneyu

from budget.record import Asked, read_file
from budget.record.homogeneity import Shift, shift

EXAMPLES = Path(__file__).parent.parent.parent / "example_inputs"


def series(amounts: list[float], first: int = 1990) -> pd.Series:
    return pd.Series(amounts, index=range(first, first + len(amounts)), dtype=float)


def by_brute_force(amounts: list[float]) -> tuple[int, float]:
    """Years before the change, and p: sums of signs over all pairs of a year before and a year after."""
    count = len(amounts)
    largest, before = -1, 0
    for split in range(1, count):
        signs = sum((one > other) - (one < other) for one in amounts[:split] for other in amounts[split:])
        if abs(signs) > largest:
            largest, before = abs(signs), split
    return before, min(1.0, 2 * math.exp(-6 * largest**2 / (count**3 + count**2)))


@settings(max_examples=200, deadline=None)
@given(
    amounts=st.lists(st.integers(0, 12), min_size=2, max_size=40),
    step=st.integers(0, 12),
    place=st.integers(1, 39),
)
def test_as_the_formula_says_with_ties_as_well(amounts: list[int], step: int, place: int) -> None:
    amounts = [amount + (step if number >= place else 0) for number, amount in enumerate(amounts)]
    before, p = by_brute_force(amounts)
    found = shift(series(list(amounts)))
    if p > 0.05:
        assert found is None
        return
    assert found is not None
    assert found.year == 1990 + before
    assert found.p == pytest.approx(p, rel=1e-12)
    assert found.before == pytest.approx(np.mean(amounts[:before]))
    assert found.after == pytest.approx(np.mean(amounts[before:]))


def test_the_statistic_is_that_of_mann_and_whitney() -> None:
    """U(t) = 2 U - t (n - t) of the first t years against the others, U as scipy has it."""
    amounts = [510, 480, 530, 495, 520, 500, 610, 640, 590, 605, 620, 615, 633]
    count = len(amounts)
    statistics = [
        abs(2 * mannwhitneyu(amounts[:split], amounts[split:]).statistic - split * (count - split))
        for split in range(1, count)
    ]
    found = shift(series(amounts))
    assert found is not None
    assert found.year == 1990 + int(np.argmax(statistics)) + 1 == 1996
    assert found.p == pytest.approx(2 * math.exp(-6 * max(statistics) ** 2 / (count**3 + count**2)), rel=1e-12)


def test_a_change_of_level_is_told_with_its_year_and_means() -> None:
    lower, upper = [400.0, 420, 380, 410, 390, 405], [500.0, 520, 480, 510, 490, 505]
    found = shift(series(upper + lower, first=2001))
    assert found is not None
    assert (found.year, found.before, found.after) == (2007, np.mean(upper), np.mean(lower))
    assert found.p == 2 * math.exp(-6 * 36**2 / (12**3 + 12**2))  # all 36 pairs have one sign


def test_a_missing_year_is_left_out() -> None:
    amounts = series([500.0, 520, 480, 510, 490, 505, math.nan, 400, 420, 380, 410, 390, 405])
    found = shift(amounts)
    assert found is not None
    assert found == shift(amounts.dropna())
    assert (found.year, found.before) == (1997, np.mean([500, 520, 480, 510, 490, 505]))


def test_ten_years_are_too_few_and_eleven_are_enough() -> None:
    amounts = [500.0, 501, 502, 503, 504, 100, 101, 102, 103, 104, 105]
    assert isinstance(shift(series(amounts)), Shift)
    for fewer in ([], amounts[:1], amounts[:10], [*amounts[:10], math.nan]):
        assert shift(series(fewer)) is None
    assert by_brute_force(amounts[:10])[1] > 0.05  # the formula itself gives nothing away


@pytest.mark.parametrize("amounts", [[500.0] * 30, [500.0, 600.0] * 15, [500.0 + 10 * (n % 7) for n in range(35)]])
def test_no_change_no_warning(amounts: list[float]) -> None:
    assert shift(series(amounts)) is None


def false_alarms(yearly: pd.Series, seed: int, trials: int = 2000) -> int:
    chance = np.random.default_rng(seed)
    return sum(shift(series(list(chance.permutation(yearly)))) is not None for _ in range(trials))


@pytest.mark.parametrize("seed", [1, 2])
def test_shuffled_real_years_warn_no_more_often_than_the_level(long_file: Path, seed: int) -> None:
    """The formula errs on the careful side: about 2 in a hundred of 30 years, where 5 are allowed."""
    rain = read_file(long_file, Asked("mm", "C")).rows["rain"]
    yearly = rain.groupby(rain.index.year).sum()
    assert shift(yearly) is None
    assert 0.01 < false_alarms(yearly, seed) / 2000 <= 0.05


@pytest.mark.parametrize("place", ["terrace", "guest"])
def test_shuffled_years_of_the_examples(place: str) -> None:
    rain = read_file(EXAMPLES / f"{place}_house_rain.csv").rows["rain"]
    yearly = rain.groupby(rain.index.year).sum()
    assert shift(yearly) is None
    assert 0.01 < false_alarms(yearly, seed=3) / 2000 <= 0.05


@pytest.mark.parametrize(("factor", "least"), [(0.85, 0.5), (0.7, 0.99)])
def test_a_gauge_that_catches_less_is_noticed(factor: float, least: float) -> None:
    """From the middle of 30 shuffled years on: how often it is noticed."""
    rain = read_file(EXAMPLES / "terrace_house_rain.csv").rows["rain"]
    yearly = rain.groupby(rain.index.year).sum().to_numpy()
    chance = np.random.default_rng(5)
    noticed = 0
    for _ in range(500):
        shuffled = chance.permutation(yearly)
        shuffled[15:] *= factor
        noticed += shift(series(list(shuffled))) is not None
    assert noticed / 500 >= least
