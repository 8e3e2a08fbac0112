"""The invented daily records of the examples: `python tests/example_record.py` writes them anew, the same every time.

Places of our own making. One above a river terrace in the north: wet winters with real frost, dry summers, about
900 mm a year. One on a headland in the south: mild wet winters, dry summers with now and then a storm, about 750 mm a
year. Both have wet and dry runs of years. Rain days follow a two-state chain by month, amounts a gamma law, and a slow
year-to-year factor makes the runs; the temperatures follow the season with day-to-day memory, cooler by day and milder
by night when it rains.
"""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pandas as pd

FIRST, LAST = "1996-01-01", "2025-12-31"
SHAPE = 0.75  # of the gamma law of daily amounts
FOLDER = Path(__file__).parent.parent / "example_inputs"


@dataclass(frozen=True)
class Climate:
    """An invented climate. Monthly figures from January to December; amounts [mm], temperatures [°C].

    `wet_after_dry`, `wet_after_wet`: chance of a rain day. `year_begins`: month from 0 in which the years of the slow
    factor begin, before the rains. `warmest_day`: of the year. `swing`: half the yearly range of the mean temperature.
    `day_range`: half the daily range in dry and wet weather, and how much more of it there is in summer.
    `steps`: of the day-to-day memory. `milder_wet`: how much warmer a wet day's mean is.
    """

    seed: int
    rain: tuple[float, ...]
    wet_after_dry: tuple[float, ...]
    wet_after_wet: tuple[float, ...]
    year_begins: int
    year_spread: float
    year_memory: float
    warmest_day: int
    mean: float
    swing: float
    day_range: tuple[float, float, float, float]
    steps: float
    milder_wet: float


TERRACE = Climate(
    seed=4711,
    rain=(128, 100, 96, 76, 62, 34, 11, 13, 36, 84, 128, 136),
    wet_after_dry=(0.34, 0.33, 0.32, 0.28, 0.22, 0.14, 0.05, 0.05, 0.11, 0.22, 0.34, 0.36),
    wet_after_wet=(0.66, 0.64, 0.62, 0.58, 0.54, 0.46, 0.34, 0.36, 0.44, 0.56, 0.66, 0.68),
    year_begins=8,
    year_spread=0.19,
    year_memory=0.45,
    warmest_day=200,
    mean=10.3,
    swing=8.8,
    day_range=(5.8, 2.2, 3.6, 0.8),
    steps=2.0,
    milder_wet=0.8,
)
HEADLAND = Climate(
    seed=2718,
    rain=(34, 32, 42, 58, 82, 98, 102, 94, 76, 62, 48, 38),
    wet_after_dry=(0.09, 0.09, 0.12, 0.18, 0.24, 0.30, 0.31, 0.30, 0.25, 0.20, 0.15, 0.11),
    wet_after_wet=(0.36, 0.36, 0.40, 0.48, 0.56, 0.60, 0.62, 0.60, 0.56, 0.50, 0.44, 0.38),
    year_begins=3,
    year_spread=0.14,
    year_memory=0.4,
    warmest_day=25,
    mean=14.4,
    swing=4.6,
    day_range=(4.4, 0.9, 2.9, 0.4),
    steps=1.3,
    milder_wet=0.3,
)


def year_factors(rng: np.random.Generator, count: int, spread: float, memory: float) -> np.ndarray:
    """Factors on the rain of years that begin before the rains, with memory from year to year."""
    noise = rng.normal(size=count)
    log = np.zeros(count)
    for i in range(count):
        before = log[i - 1] if i else 0.0
        log[i] = memory * before + spread * np.sqrt(1 - memory**2) * noise[i]
    return np.exp(log - spread**2 / 2)


def days_of(climate: Climate) -> pd.DataFrame:
    """Daily rain [mm], tmax and tmin [°C], not rounded."""
    rng = np.random.default_rng(climate.seed)
    days = pd.date_range(FIRST, LAST, freq="D", name="date")
    month = days.month.to_numpy() - 1
    rainy_year = days.year.to_numpy() - days.year[0] + (month >= climate.year_begins)
    factor = year_factors(rng, int(rainy_year.max()) + 1, climate.year_spread, climate.year_memory)[rainy_year]
    wet_after_dry, wet_after_wet = np.array(climate.wet_after_dry), np.array(climate.wet_after_wet)
    wet = np.zeros(len(days), dtype=bool)
    draws = rng.random(len(days))
    for i in range(len(days)):
        chance = wet_after_wet[month[i]] if i and wet[i - 1] else wet_after_dry[month[i]]
        wet[i] = draws[i] < chance * factor[i] ** 0.4
    share_wet = wet_after_dry / (1 + wet_after_dry - wet_after_wet)
    mean_amount = np.array(climate.rain, dtype=float) / (30.4 * share_wet)
    amounts = rng.gamma(SHAPE, 1 / SHAPE, size=len(days)) * mean_amount[month] * factor**0.6
    rain = np.where(wet, amounts, 0.0)
    season = np.cos(2 * np.pi * (days.day_of_year.to_numpy() - climate.warmest_day) / 365.25)
    mean, noise = climate.mean + climate.swing * season, np.zeros(len(days))
    steps = rng.normal(size=len(days))
    for i in range(1, len(days)):
        noise[i] = 0.72 * noise[i - 1] + climate.steps * steps[i]
    dry_range, dry_summer, wet_range, wet_summer = climate.day_range
    half_range = np.where(wet, wet_range, dry_range) + np.where(wet, wet_summer, dry_summer) * season
    half_range = np.maximum(half_range + 0.5 * rng.normal(size=len(days)), 0.8)
    centre = mean + noise + np.where(wet, climate.milder_wet, 0.0)
    return pd.DataFrame({"rain": rain, "tmax": centre + half_range, "tmin": centre - half_range}, index=days)


def terrace() -> pd.DataFrame:
    """The US example: rain [in], temperatures [°F], rounded as a gauge and a thermometer are read."""
    days = days_of(TERRACE)
    return pd.DataFrame(
        {
            "rain (in)": np.round(days["rain"] / 25.4, 2),
            "tmax (°F)": np.round(days["tmax"] * 1.8 + 32).astype(int),
            "tmin (°F)": np.round(days["tmin"] * 1.8 + 32).astype(int),
        }
    )


def headland() -> pd.DataFrame:
    """The southern example: rain [mm], temperatures [°C], rounded as a gauge and a thermometer are read."""
    days = days_of(HEADLAND)
    return pd.DataFrame(
        {
            "rain (mm)": np.round(days["rain"], 1),
            "tmax (°C)": np.round(days["tmax"], 1),
            "tmin (°C)": np.round(days["tmin"], 1),
        }
    )


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    terrace().to_csv(FOLDER / "terrace_house_rain.csv", lineterminator="\n")
    headland().to_csv(FOLDER / "guest_house_rain.csv", lineterminator="\n")
