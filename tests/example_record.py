"""The invented daily record of the US example: `python tests/example_record.py` writes it anew, the same every time.

A place of our own making: wet winters with real frost, dry summers, about 900 mm a year, wet and dry runs of years.
Rain days follow a two-state chain by month, amounts a gamma law, and a slow year-to-year factor makes the runs; the
temperatures follow the season with day-to-day memory, cooler by day and milder by night when it rains.
"""

from pathlib import Path

import numpy as np
import pandas as pd

SEED = 4711
FIRST, LAST = "1996-01-01", "2025-12-31"
# By calendar month: mean rain [mm], chance of a rain day after a dry one and after a wet one.
RAIN = np.array([128, 100, 96, 76, 62, 34, 11, 13, 36, 84, 128, 136], dtype=float)
WET_AFTER_DRY = np.array([0.34, 0.33, 0.32, 0.28, 0.22, 0.14, 0.05, 0.05, 0.11, 0.22, 0.34, 0.36])
WET_AFTER_WET = np.array([0.66, 0.64, 0.62, 0.58, 0.54, 0.46, 0.34, 0.36, 0.44, 0.56, 0.66, 0.68])
SHAPE = 0.75  # of the gamma law of daily amounts
YEAR_SPREAD, YEAR_MEMORY = 0.19, 0.45  # of the logarithm of the year's factor
TARGET = Path(__file__).parent.parent / "example_inputs" / "terrace_house_rain.csv"


def year_factors(rng: np.random.Generator, count: int) -> np.ndarray:
    """Factors on the rain of years that begin in autumn, with memory from year to year."""
    noise = rng.normal(size=count)
    log = np.zeros(count)
    for i in range(count):
        before = log[i - 1] if i else 0.0
        log[i] = YEAR_MEMORY * before + YEAR_SPREAD * np.sqrt(1 - YEAR_MEMORY**2) * noise[i]
    return np.exp(log - YEAR_SPREAD**2 / 2)


def record() -> pd.DataFrame:
    """Daily rain [in], tmax and tmin [°F], rounded as a gauge and a thermometer are read."""
    rng = np.random.default_rng(SEED)
    days = pd.date_range(FIRST, LAST, freq="D", name="date")
    month = days.month.to_numpy() - 1
    autumn_year = days.year.to_numpy() - days.year[0] + (days.month.to_numpy() >= 9)
    factor = year_factors(rng, int(autumn_year.max()) + 1)[autumn_year]
    wet = np.zeros(len(days), dtype=bool)
    draws = rng.random(len(days))
    for i in range(len(days)):
        chance = WET_AFTER_WET[month[i]] if i and wet[i - 1] else WET_AFTER_DRY[month[i]]
        wet[i] = draws[i] < chance * factor[i] ** 0.4
    share_wet = WET_AFTER_DRY / (1 + WET_AFTER_DRY - WET_AFTER_WET)
    mean_amount = RAIN / (30.4 * share_wet)
    amounts = rng.gamma(SHAPE, 1 / SHAPE, size=len(days)) * mean_amount[month] * factor**0.6
    rain = np.where(wet, amounts, 0.0)
    season = np.cos(2 * np.pi * (days.dayofyear.to_numpy() - 200) / 365.25)
    mean, noise = 10.3 + 8.8 * season, np.zeros(len(days))
    steps = rng.normal(size=len(days))
    for i in range(1, len(days)):
        noise[i] = 0.72 * noise[i - 1] + 2.0 * steps[i]
    half_range = np.where(wet, 3.6, 5.8) + np.where(wet, 0.8, 2.2) * season + 0.5 * rng.normal(size=len(days))
    half_range = np.maximum(half_range, 0.8)
    centre = mean + noise + np.where(wet, 0.8, 0.0)
    return pd.DataFrame(
        {
            "rain (in)": np.round(rain / 25.4, 2),
            "tmax (°F)": np.round((centre + half_range) * 1.8 + 32).astype(int),
            "tmin (°F)": np.round((centre - half_range) * 1.8 + 32).astype(int),
        },
        index=days,
    )


if __name__ == "__main__":
    TARGET.parent.mkdir(exist_ok=True)
    record().to_csv(TARGET, lineterminator="\n")
