"""Floor, specific yield and drainage time by least squares, to the depths that were measured.

The water table stands as deep in the deepest and in the shallowest calendar month of the median year as somebody
measured in summer and in winter, and the figures leave those of the soil as little as may be. Months and days are
fitted alike, each with its own recharge: both then tell of the same well. Dips are not minded here.
"""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from scipy.optimize import least_squares

from .climate import by_calendar_month
from .site import Columns, Site
from .water_table import fit_results

FITTED = ("aquifer_floor", "aquifer_specific_yield", "aquifer_drainage_time")
MISFITS = ("misfit_summer", "misfit_winter", "misfit_specific_yield", "misfit_drainage_time")
NO_DIPS = {"dips_rule": 0.0, "deepest_dip": 0.0, "dip_fit_error": 0.0}
FARTHEST = 3.0  # of the logarithms, from where the fit begins
STARTS = (1.0, 2.0, 6.0)  # times the soil's specific yield: where the highest water is touched the misfit has no slope


def median_depths(site: Site, rows: Columns, mean_height: np.ndarray) -> np.ndarray:
    """Median over the record of each calendar month's mean depth to water [m], shape (12,)."""
    depth = site.number("aquifer_floor") - mean_height
    return by_calendar_month(depth, rows["month"], rows["in_record"], np.median)


def with_figures(site: Site, floor: float, specific_yield: float, time: float) -> Site:
    """The site with other figures of its water table [m, share, days]."""
    return replace(site, inputs=site.inputs | dict(zip(FITTED, map(float, (floor, specific_yield, time)), strict=True)))


def fit(site: Site, rows: Columns, heights: Callable[[Site], np.ndarray], soil_row: int, begins: list[Site]) -> Site:
    """The site with the figures of least misfit among the fits that begin with those of `begins`.

    `rows`: the ledger's months; `heights`: the mean height of each of them [m] by a site's figures; `soil_row`: row of
    the soil (counted from 1), whose figures bind.
    """
    best, least = site, np.inf
    for start in begins:
        floor, *others = (start.number(name) for name in FITTED)

        def moved(by: np.ndarray, floor: float = floor, others: list[float] = others) -> Site:
            return with_figures(site, floor + by[0], *(np.array(others) * np.exp(by[1:])))

        def misfit(by: np.ndarray, moved: Callable[[np.ndarray], Site] = moved) -> list[float]:
            tried = moved(by)
            found = fit_results(tried, median_depths(tried, rows, heights(tried)), soil_row, NO_DIPS)
            return [found[name] for name in MISFITS]

        lowest = site.number("well_winter_depth") - floor - 1e-6
        bounds = [lowest, -FARTHEST, -FARTHEST], [np.inf, FARTHEST, FARTHEST]
        found = least_squares(misfit, np.zeros(3), bounds=bounds, diff_step=1e-3, x_scale=0.1, xtol=1e-6, ftol=1e-6)
        if found.cost < least:
            best, least = moved(found.x), found.cost
    return best


def soils_figures(site: Site, soil_row: int) -> list[Site]:
    """Where a fit begins: the floor a little below the deepest water measured, the rest as in the soil's table."""
    line = site.lists["soils"][soil_row - 1]
    floor = max(site.number("well_summer_depth"), 0.0) + 2 * site.number("fit_depth_spread")
    return [with_figures(site, floor, times * line["specific_yield"], line["drainage_time"]) for times in STARTS]
