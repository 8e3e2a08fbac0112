"""What the well holds and how fast water enters it."""

import numpy as np

from .site import Columns, Site

LEAST_SHARE = 0.05  # of the inflow, kept where an error takes more


def well_there(site: Site) -> bool:
    """Whether the place has a well: it has where its depth is typed."""
    return site.inputs.get("well_depth") is not None


def bore_storage(diameter: float) -> float:
    """Water in the bore [L per m] of inside diameter [m]: π D² / 4 × 1000."""
    return np.pi * diameter**2 / 4 * 1000


def rest_depth(site: Site) -> float:
    """Depth to water [m] at rest when the inflow was measured; the wet-season depth where none was noted."""
    return site.number("well_depth_at_test", site.number("well_winter_depth"))


def column_at_test(site: Site) -> float:
    """Water standing [m] when the inflow was measured."""
    return max(0.0, site.number("well_depth") - rest_depth(site))


def shares(site: Site) -> dict[str, float]:
    """Share of the inflow kept through a season with less and with more water: the typed error either way."""
    share, spread = site.number("well_sustained_share"), site.number("well_share_spread")
    return {"share_less": max(LEAST_SHARE, share - spread), "share_more": min(1.0, share + spread)}


def well(site: Site, inflow: float, depth_to_water: np.ndarray, allowed_depth: float) -> Columns:
    """Standing water [m], inflow rested and sustained [L/min per m], drawdown at hand [m], of each depth to water [m].

    `inflow` is the figure in use [L/min per m]. Through walls it falls in proportion to the standing column (never
    above its figure at the test); through the bottom it stays. The share that lasts a season: common practice, no
    source.
    """
    column = np.maximum(0.0, site.number("well_depth") - depth_to_water)
    tested = column_at_test(site)
    falls = np.ones(len(column))
    if site.word("well_water_enters") == "walls" and tested > 0:
        falls = np.minimum(1.0, column / tested)
    return {
        "water_column": column,
        "rested_inflow": inflow * falls,
        "season_inflow": site.number("well_sustained_share") * (inflow * falls),
        "available_drawdown": np.maximum(0.0, allowed_depth - depth_to_water),
    }
