"""The soil bucket with exponential extraction, Thornthwaite and Mather (1955), wet and dry days told apart."""

import numpy as np

from . import halves
from .site import Columns, Site, row_named

DAY_DIGITS = 6  # to which days and degree-days are told apart


def soil_figures(site: Site) -> dict[str, float]:
    """Row of the soil and the figures in use: what is typed, else the table's."""
    table = site.lists["soils"]
    row = row_named(table, "soil", site.inputs.get("soil_type"))
    line = table[row - 1] if row else {}
    water = site.number("soil_available_water", float(line.get("available_water", 0.0)))
    return {
        "soil_row": float(row),
        "available_water": water,
        "soil_specific_yield": float(line.get("specific_yield", 0.0)),
        "soil_drainage_time": float(line.get("drainage_time", 0.0)),
        "soil_capacity": water * site.number("soil_root_depth"),
        "runoff_share": site.number("soil_runoff_share", float(line.get("runoff_share", 0.0))),
    }


def left_over(water: np.ndarray, demand: np.ndarray, wet_share: np.ndarray) -> np.ndarray:
    """What wet days leave over [mm] of `water` [mm], where the cover asks `demand` [mm] in equal parts of every day.

    The sum over the wet days of max(0, rain of the day - demand of a day), of which n bring W: where the amounts are
    spread exponentially about W/n, its mean is W e^(-E n/(d W)) (Todorovic and Woolhiser 1975, recalled). With every
    day wet it is max(0, W - E), the monthly rule of Thornthwaite and Mather (1955).
    """
    excess = np.zeros(len(water))
    for t, (fallen, asked, share) in enumerate(zip(water, demand, wet_share, strict=True)):
        if share >= 1:
            excess[t] = max(0.0, fallen - asked)
        elif fallen > 0:
            excess[t] = fallen * np.exp(-asked * share / fallen)
    return excess


def soil(
    water: np.ndarray,
    demand: np.ndarray,
    wet_share: np.ndarray,
    capacity: float,
    runoff_share: float,
    opening: float,
) -> Columns:
    """Soil water, surplus, water used and recharge [mm] of each step.

    `water`: rain and melt [mm]; `demand`: what the cover would use [mm]; `wet_share`: wet days ÷ days, at most 1.
    What wet days leave over is the excess A; the dry days still ask B = E - (W - A). Half of B is drawn before the
    water comes and half after, exponentially: e^(-B / 2C). With every day wet this is the rule of Thornthwaite and
    Mather (1955); counting wet days is the project's own rule.
    """
    excess = left_over(water, demand, wet_share)
    dry_demand = demand - (water - excess)
    kept = np.exp(-dry_demand / (2 * capacity))
    surplus, held_at_end, used = np.zeros(len(water)), np.zeros(len(water)), np.zeros(len(water))
    held = opening
    for t in range(len(water)):
        before = held
        after_half = before * kept[t]
        wetted = min(capacity, after_half + excess[t])
        surplus[t] = after_half + excess[t] - wetted
        held = wetted * kept[t]
        held_at_end[t] = held
        used[t] = (water[t] - excess[t]) + (before - after_half) + (wetted - held)
    return {
        "wet_excess": excess,
        "dry_demand": dry_demand,
        "half_drawn": kept,
        "surplus": surplus,
        "soil_water": held_at_end,
        "actual_et": used,
        "recharge": surplus * (1 - runoff_share),
    }


def wet_days(rows: Columns, snow: Columns, melt_rate: float) -> np.ndarray:
    """Wet days of each half, in order of time: those with rain, or those on which snow melted if more; at most all.

    `snow`: the halves' melt [mm] and degree-days [°C day]; of the warmth at hand, the share that found snow to melt
    stands for the share of the days. Warmth is told from none to the sixth decimal: without it the days that were
    counted.
    """
    days = halves.lengths(rows["days"])
    counted = halves.shared(rows["wet_days"], rows["first_wet_days"])
    wet = np.zeros(len(days))
    for t, (n, d, melt, warmth) in enumerate(zip(counted, days, snow["melt"], snow["degree_days"], strict=True)):
        melting = d * melt / (melt_rate * warmth) if round(float(warmth), DAY_DIGITS) > 0 else 0.0
        wet[t] = min(d, max(n, melting))
    return wet


def wet_shares(wet: np.ndarray, days: np.ndarray) -> np.ndarray:
    """Wet days ÷ days of each half; told apart to the sixth decimal, so that a half in which snow melts throughout has
    every day wet."""
    return np.where(np.round(wet - days, DAY_DIGITS) >= 0, 1.0, wet / days)


def soil_by_halves(
    rows: Columns, snow: Columns, melt_rate: float, capacity: float, runoff_share: float, opening: float
) -> tuple[Columns, np.ndarray]:
    """The months' soil [mm], stepped by halves, and the recharge of each half [mm] in order of time.

    `rows`: what the cover asks, days and wet days of the months; `snow`: the halves as snow left them. The demand
    falls in equal parts on the days.
    """
    demand = halves.shared(rows["cover_et"], rows["cover_et"] * halves.FIRST_DAYS / rows["days"])
    wet = wet_days(rows, snow, melt_rate)
    share = wet_shares(wet, halves.lengths(rows["days"]))
    stepped = soil(snow["water_input"], demand, share, capacity, runoff_share, opening)
    months = {
        "wet_first": halves.firsts(wet),
        "wet_rest": halves.seconds(wet),
        "excess_first": halves.firsts(stepped["wet_excess"]),
        "kept_first": halves.firsts(stepped["half_drawn"]),
        "surplus_first": halves.firsts(stepped["surplus"]),
        "soil_middle": halves.firsts(stepped["soil_water"]),
        "wet_excess": halves.seconds(stepped["wet_excess"]),
        "dry_demand": halves.seconds(stepped["dry_demand"]),
        "half_drawn": halves.seconds(stepped["half_drawn"]),
        "soil_water": halves.seconds(stepped["soil_water"]),
        "surplus": halves.totals(stepped["surplus"]),
        "actual_et": halves.totals(stepped["actual_et"]),
        "recharge": halves.totals(stepped["recharge"]),
    }
    return months, stepped["recharge"]
