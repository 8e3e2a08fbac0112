"""Sunlight above the air and reference evapotranspiration: FAO Irrigation and Drainage Paper 56 (1998)."""

import numpy as np

from .site import Columns

SOLAR_CONSTANT = 0.0820  # [MJ/m² min], FAO-56 eq. 21
MONTH_LENGTHS = np.array([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
MIDDLE_DAYS = np.concatenate([[0], np.cumsum(MONTH_LENGTHS)[:-1]]) + 15  # the 15th, year of 365 days


def sunlight(latitude: float, day_of_year: np.ndarray) -> Columns:
    """Extraterrestrial radiation [MJ/m² day] and what leads to it; latitude [rad], FAO-56 eqs 21 to 25.

    The cosine of the sunset angle is kept within -1 and 1: polar night and polar day.
    """
    turn = 2 * np.pi * np.asarray(day_of_year, dtype=float) / 365
    distance = 1 + 0.033 * np.cos(turn)  # eq. 23
    declination = 0.409 * np.sin(turn - 1.39)  # eq. 24
    sunset = np.arccos(np.clip(-np.tan(latitude) * np.tan(declination), -1, 1))  # eq. 25
    height = sunset * np.sin(latitude) * np.sin(declination) + np.cos(latitude) * np.cos(declination) * np.sin(sunset)
    return {
        "day_of_year": np.asarray(day_of_year, dtype=float),
        "sun_distance": distance,
        "declination": declination,
        "sunset_angle": sunset,
        "radiation": 24 * 60 / np.pi * SOLAR_CONSTANT * distance * height,  # eq. 21
    }


def hargreaves(tmax: np.ndarray, tmin: np.ndarray, radiation: np.ndarray) -> np.ndarray:
    """Reference evapotranspiration [mm/day] from daily high and low [°C] and radiation [MJ/m² day].

    FAO-56 eq. 52; eq. 20 turns radiation into mm/day (0.408). Never below 0; a low above the high gives 0.
    """
    mean = (tmax + tmin) / 2
    spread = np.maximum(0.0, tmax - tmin)
    return np.maximum(0.0, 0.0023 * (mean + 17.8) * np.sqrt(spread) * 0.408 * radiation)
