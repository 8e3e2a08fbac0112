"""What the well holds and how fast water enters it."""

import numpy as np

from .site import Columns, Site


def bore_storage(diameter: float) -> float:
    """Water in the bore [L per m] of inside diameter [m]: π D² / 4 × 1000."""
    return np.pi * diameter**2 / 4 * 1000


def column_at_test(site: Site) -> float:
    """Water standing [m] when the inflow was measured; at the wet-season depth where no depth was noted."""
    rest = site.number("well_depth_at_test", site.number("well_winter_depth"))
    return max(0.0, site.number("well_depth") - rest)


def well(site: Site, depth_to_water: np.ndarray, allowed_depth: float) -> Columns:
    """Standing water [m], sustained inflow [L/min per m] and drawdown at hand [m], of each depth to water [m].

    Through walls the inflow falls in proportion to the standing column (never above its figure at the test); through
    the bottom it stays. The share that lasts a season: common practice, no source.
    """
    column = np.maximum(0.0, site.number("well_depth") - depth_to_water)
    tested = column_at_test(site)
    falls = np.ones(len(column))
    if site.word("well_water_enters") == "walls" and tested > 0:
        falls = np.minimum(1.0, column / tested)
    return {
        "water_column": column,
        "season_inflow": site.number("well_sustained_share") * site.number("well_inflow") * falls,
        "available_drawdown": np.maximum(0.0, allowed_depth - depth_to_water),
    }
