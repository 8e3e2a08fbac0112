"""Height of the water table above the dry-season floor: a store that drains at a constant rate (linear reservoir).

dw/dt = R/(Sy d) - w/τ, solved exactly over the step.
"""

import numpy as np

from . import halves
from .site import Columns, Site


def water_table(
    recharge: np.ndarray,
    days: np.ndarray,
    specific_yield: float,
    drainage_time: float,
    highest: float,
    opening: float,
) -> Columns:
    """Heights [m] at the month's end and in its mean; recharge [mm], drainage time [days].

    q = R τ / (Sy d); end = q + (w - q) e^(-d/τ); mean = q + (w - q)(τ/d)(1 - e^(-d/τ)), the integral of the same
    curve; both at most `highest`. Each month begins with the capped end of the month before.
    """
    held_height = recharge / 1000 * drainage_time / (specific_yield * days)
    kept = np.exp(-days / drainage_time)
    lag = drainage_time / days * (1 - kept)
    end, mean = np.zeros(len(days)), np.zeros(len(days))
    height = opening
    for t, (held, share, of_mean) in enumerate(zip(held_height.tolist(), kept.tolist(), lag.tolist(), strict=True)):
        mean[t] = min(highest, held + (height - held) * of_mean)
        height = min(highest, held + (height - held) * share)
        end[t] = height
    return {"recharge_height": held_height, "height_kept": kept, "water_height": end, "mean_height": mean}


def water_table_by_halves(
    recharge: np.ndarray,
    days: np.ndarray,
    specific_yield: float,
    drainage_time: float,
    highest: float,
    opening: float,
) -> Columns:
    """Heights [m] at the middle and the end of each month and in its mean, stepped by halves.

    `recharge` [mm] of each half in order of time, `days` of each month. Both halves' means are capped on their own.
    """
    stepped = water_table(recharge, halves.lengths(days), specific_yield, drainage_time, highest, opening)
    return {
        "height_middle": halves.firsts(stepped["water_height"]),
        "recharge_height": halves.seconds(stepped["recharge_height"]),
        "height_kept": halves.seconds(stepped["height_kept"]),
        "water_height": halves.seconds(stepped["water_height"]),
        # A mean of two heights at the cap may lie above it by its last digit: no water stands above the ground.
        "mean_height": np.minimum(highest, halves.means(stepped["mean_height"], days)),
    }


def first_half_figures(site: Site, runoff_share: float) -> dict[str, float]:
    """Of a month's first half: share of the height that is kept, and height that a millimetre of surplus holds [m]."""
    time, fifteen = site.number("aquifer_drainage_time"), np.array([halves.FIRST_DAYS])
    one = water_table(np.array([1 - runoff_share]), fifteen, site.number("aquifer_specific_yield"), time, np.inf, 0.0)
    return {"first_kept": float(one["height_kept"][0]), "first_gain": float(one["recharge_height"][0])}


def highest_height(site: Site) -> float:
    """Height [m] of the highest water ever seen above the floor; the ground where none is typed."""
    return max(0.0, site.number("aquifer_floor") - site.number("well_highest_water"))


def depths(site: Site, mean_height: np.ndarray, month: np.ndarray) -> Columns:
    """Depths to water [m], means of the month: by the model, as known, and in use.

    A depth typed for the calendar month replaces the model's. What is tried lowers it; it is never lifted above the
    highest water ever seen (nor lowered to it).
    """
    modelled = site.number("aquifer_floor") - mean_height
    typed = [site.monthly_depth[int(m) - 1] for m in month]
    known = np.array([d if t is None else float(t) for d, t in zip(modelled, typed, strict=True)])
    highest, lower = site.number("well_highest_water"), site.number("well_water_lower")
    used = np.maximum(np.minimum(highest, known), known + lower)
    return {"modelled_depth": modelled, "known_depth": known, "depth_to_water": used}


def fit_results(site: Site, median_depth: np.ndarray, soil_row: int, dips: dict[str, float]) -> dict[str, float]:
    """Modelled against measured depths [m], and the fitted figures against the soil's.

    The deepest and the shallowest of the calendar months' median depths stand for summer and winter. Where `dips`
    count, the two are no longer minded and the soil's figures bind more.
    """
    dipped = dips["dips_rule"] == 1
    summer, winter = float(median_depth.max()), float(median_depth.min())
    summer_error = summer - site.number("well_summer_depth")
    winter_error = winter - site.number("well_winter_depth")
    yield_shift = time_shift = 0.0
    if soil_row:
        line = site.lists["soils"][soil_row - 1]
        yield_shift = float(np.log(site.number("aquifer_specific_yield") / line["specific_yield"]))
        time_shift = float(np.log(site.number("aquifer_drainage_time") / line["drainage_time"]))
    depth_unit = site.number("fit_depth_spread")
    prior_unit = site.number("fit_prior_spread_with_dips" if dipped else "fit_prior_spread")
    error = dips["dip_fit_error"]
    if not dipped:
        error = max(error, abs(summer_error), abs(winter_error))
    all_typed = all(depth is not None for depth in site.monthly_depth)
    lower, in_use = site.number("well_water_lower"), [error, depth_unit]
    if dipped:  # what was missed when it was not shown to the fit, as the build found it
        in_use.append(site.number("fit_error_left_out"))
    depth_error = depth_unit if all_typed else max(in_use)
    return {
        "summer_depth_modelled": summer,
        "winter_depth_modelled": winter,
        "summer_depth_error": summer_error,
        "winter_depth_error": winter_error,
        "specific_yield_shift": yield_shift,
        "drainage_time_shift": time_shift,
        "aquifer_floor_start": max(site.number("well_summer_depth"), dips["deepest_dip"]) + 2 * depth_unit,
        "prior_spread": prior_unit,
        "misfit_summer": 0.0 if dipped else summer_error / depth_unit,
        "misfit_winter": 0.0 if dipped else winter_error / depth_unit,
        "misfit_specific_yield": yield_shift / prior_unit,
        "misfit_drainage_time": time_shift / prior_unit,
        "fit_error": error,
        "rain_explains_well": float(error <= depth_unit or all_typed),
        "depth_error": depth_error,
        "water_lower_less": lower + depth_error,
        "water_lower_more": lower - depth_error,
    }
