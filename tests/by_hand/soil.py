"""The soil bucket with exponential extraction, Thornthwaite and Mather (1955), wet and dry days told apart."""

import numpy as np

from .site import Columns, Site, row_named


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


def soil(
    water: np.ndarray,
    demand: np.ndarray,
    wet_share: np.ndarray,
    capacity: float,
    runoff_share: float,
    opening: float,
) -> Columns:
    """Soil water, surplus, water used and recharge [mm] of each month.

    `water`: rain and melt [mm]; `demand`: what the cover would use [mm]; `wet_share`: rain days ÷ days, at most 1.
    On wet days A = max(0, W - E n/d) is left over; the dry days still ask B = E - (W - A). Half of B is drawn before
    the water comes and half after, exponentially: h = e^(-B / 2C). With every day wet this is the monthly rule of
    Thornthwaite and Mather (1955); counting rain days is the project's own rule.
    """
    excess = np.maximum(0.0, water - demand * np.minimum(1.0, wet_share))
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
