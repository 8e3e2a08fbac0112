"""Snow that waits and melts: degree-day method, USDA NRCS National Engineering Handbook Part 630 ch. 11 (2004)."""

import numpy as np

from .site import Columns


def snow(rain: np.ndarray, share: np.ndarray, degree_days: np.ndarray, rate: float, opening: float) -> Columns:
    """Snowfall, melt, pack at the end and water that reaches the ground [mm], step by step.

    melt = min(pack with the new snow, rate [mm/°C day] × degree-days [°C day]); water = rain - snowfall + melt.
    """
    snowfall = rain * share
    melt, pack = np.zeros(len(rain)), np.zeros(len(rain))
    held = opening
    for t in range(len(rain)):
        held += snowfall[t]
        melt[t] = min(held, rate * degree_days[t])
        held -= melt[t]
        pack[t] = held
    return {"snowfall": snowfall, "melt": melt, "snowpack": pack, "water_input": rain - snowfall + melt}
