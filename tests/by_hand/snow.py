"""Snow that waits and melts: degree-day method, USDA NRCS National Engineering Handbook Part 630 ch. 11 (2004)."""

import numpy as np

from . import halves
from .site import Columns


def snow(rain: np.ndarray, share: np.ndarray, degree_days: np.ndarray, rate: float, opening: float) -> Columns:
    """Snowfall, melt, pack at the end and water that reaches the ground [mm], step by step.

    melt = min(pack with the new snow, rate [mm/°C day] × degree-days [°C day]); water = rain - snowfall + melt.
    """
    return pack(rain, rain * share, degree_days, rate, opening)


def pack(rain: np.ndarray, snowfall: np.ndarray, degree_days: np.ndarray, rate: float, opening: float) -> Columns:
    """The same from the water that falls as snow [mm]; rain is all of the precipitation [mm]."""
    melt, left = np.zeros(len(rain)), np.zeros(len(rain))
    held = opening
    for t in range(len(rain)):
        held += snowfall[t]
        melt[t] = min(held, rate * degree_days[t])
        held -= melt[t]
        left[t] = held
    return {"snowfall": snowfall, "melt": melt, "snowpack": left, "water_input": rain - snowfall + melt}


def snow_by_halves(rows: Columns, rate: float, opening: float) -> tuple[Columns, Columns]:
    """The months' snow [mm], stepped by halves, and the halves' own in order of time.

    `rows`: rain [mm] with its share as snow and degree-days [°C day], of the month and of its first half. Where a
    filled month's medians put more snow into the first half than the month has, the second half takes it back.
    """
    first_rain = rows["rain"] * rows["first_rain_share"]
    fallen = halves.shared(rows["rain"], first_rain)
    as_snow = halves.shared(rows["rain"] * rows["snow_share"], first_rain * rows["first_snow_share"])
    warmth = halves.shared(rows["degree_days"], rows["first_degree_days"])
    stepped = pack(fallen, as_snow, warmth, rate, opening)
    months = {
        "snowfall": rows["rain"] * rows["snow_share"],
        "water_first": halves.firsts(stepped["water_input"]),
        "melt": halves.totals(stepped["melt"]),
        "snowpack": halves.seconds(stepped["snowpack"]),
        "water_input": halves.totals(stepped["water_input"]),
    }
    return months, stepped | {"degree_days": warmth}
