"""The plan years of the record: totals, ranks, the planning year."""

import math

import numpy as np

from .site import Columns, Site

ODDS = {"1 in 10": 10, "1 in 5": 5, "middle": 2}
MOST_FILLED = 2
ALMOST = 1e-6
CLOSE = 0.2  # of the usable capacity


def so_far(values: np.ndarray, restarts: np.ndarray, measure) -> np.ndarray:
    """Running sum, largest or smallest of a column, begun anew where `restarts`."""
    out = np.zeros(len(values))
    for t, value in enumerate(values):
        out[t] = value if t == 0 or restarts[t] else measure(out[t - 1], value)
    return out


def running(rows: Columns) -> Columns:
    """The columns 'year so far'; they begin anew in the first month of each plan year, warm-up years too."""
    begins = rows["position"] == 1
    add = float.__add__
    return {
        "year_rain": so_far(rows["rain"], begins, add),
        "year_filled": so_far(rows["filled"].astype(float), begins, add),
        "year_storage": so_far(rows["storage_needed"], begins, max),
        "year_storage_garden": so_far(rows["storage_with_garden"], begins, max),
        "year_short": so_far(rows["short"], begins, add),
        "year_short_drained": so_far(rows["short_drained"], begins, add),
        "year_garden_need": so_far(rows["garden_need"], begins, add),
        "year_garden_given": so_far(rows["garden_given"], begins, add),
        "year_pond_dry": so_far(rows["pond_is_dry"], begins, max),
        "year_lowest_yield": so_far(rows["daily_yield"], begins, min),
    }


def dry_boundary(rows: Columns) -> np.ndarray:
    """1 in the last month of a plan year where the house needs more than the well gives, then and the month after."""
    dry = rows["house_need"] > rows["well_yield"]
    dry_next = np.append(dry[1:], False)
    return ((rows["position"] == 12) & dry & dry_next).astype(float)


def rank_years(storage: np.ndarray, garden: np.ndarray, rain: np.ndarray, year: np.ndarray, usable: np.ndarray):
    """Rank among the usable years, 0 for others: most storage first, then garden, least rain, earlier year."""
    order = sorted(np.flatnonzero(usable), key=lambda i: (-storage[i], -garden[i], rain[i], year[i]))
    rank = np.zeros(len(year))
    for place, i in enumerate(order, start=1):
        rank[i] = place
    return rank


def rounded(value: float, unit: float) -> float:
    """A figure rounded to the sixth decimal of the unit that the book shows it in."""
    return round(float(value) / unit, 6) * unit


def years_needed(site: Site, rows: Columns) -> Columns:
    """What each plan year of the table needed; needs `year_*` and required columns, not the tank."""
    names = ("first_row", "months", "filled_months", "usable", "rain_total", "lowest_yield", "storage")
    names += ("storage_garden", "first_required", "first_uncut", "well_fills", "fillable")
    names += ("storage_key", "garden_key", "rain_key")
    out = {name: np.zeros(len(site.year_numbers)) for name in names}
    out["year"] = np.array(site.year_numbers, dtype=float)
    for i, year in enumerate(site.year_numbers):
        at = np.flatnonzero(rows["plan_year"] == year)
        out["months"][i] = len(at)
        if len(at):
            out["first_row"][i] = at[0] + 1
        if len(at) != 12:
            continue
        out["filled_months"][i] = rows["filled"][at].sum()
        out["usable"][i] = out["filled_months"][i] <= MOST_FILLED
        out["rain_total"][i] = rows["rain"][at].sum()
        out["lowest_yield"][i] = rows["daily_yield"][at].min()
        out["storage"][i] = rows["storage_needed"][at].max()
        out["storage_garden"][i] = rows["storage_with_garden"][at].max()
        out["first_required"][i] = rows["required_level"][at[0]]
        out["first_uncut"][i] = rows["required_uncut"][at[0]]
        out["well_fills"][i] = rounded(out["first_required"][i], site.volume_unit) <= 0
        out["fillable"][i] = rounded(out["first_uncut"][i], site.volume_unit) <= 0
        out["storage_key"][i] = rounded(out["storage"][i], site.volume_unit)
        out["garden_key"][i] = rounded(out["storage_garden"][i], site.volume_unit)
        out["rain_key"][i] = rounded(out["rain_total"][i], site.depth_unit)
    out["rank"] = rank_years(out["storage_key"], out["garden_key"], out["rain_key"], out["year"], out["usable"])
    out["plotting_position"] = out["rank"] / (out["usable"].sum() + 1)  # Weibull (1939), recalled
    return out


def typed_year(plan_for: float | str | None) -> int:
    """The year number typed as the planning year, 0 where odds are chosen."""
    try:
        return int(float(plan_for))
    except (TypeError, ValueError):
        return 0


def row_with_rank(rank: np.ndarray, wanted: int) -> int:
    """Row (counted from 1) of the year with that rank, 0 where there is none."""
    at = np.flatnonzero(rank == wanted)
    return int(at[0]) + 1 if len(at) else 0


def planning(site: Site, table: Columns) -> dict[str, float]:
    """Which years the plan rests on: rank 1 for the driest, (n + 1)/p rounded down for 1 in p, or a year typed."""
    count = int(table["usable"].sum())
    plan_for = site.inputs.get("plan_for")
    rank = 1 if plan_for == "driest" else max(1, math.floor((count + 1) / ODDS.get(plan_for, 10)))
    whole = np.flatnonzero((table["year"] == typed_year(plan_for)) & (table["months"] == 12))
    typed_row = int(whole[0]) + 1 if len(whole) else 0
    row = typed_row or row_with_rank(table["rank"], rank)
    return {
        "usable_years": float(count),
        "planning_rank": float(rank),
        "typed_row": float(typed_row),
        "planning_row": float(row),
        "planning_year": float(table["year"][row - 1]) if row else 0.0,
        "planning_storage": float(table["storage"][row - 1]) if row else 0.0,
        "middle_row": float(row_with_rank(table["rank"], max(1, math.floor((count + 1) / 2)))),
    }


def sets_kept(table: Columns, planning_row: int) -> np.ndarray:
    """1 in the years that count for what is kept: a tank carries them with no more than the planning year's."""
    most = table["storage_key"][planning_row - 1]
    return ((table["usable"] == 1) & (table["fillable"] == 1) & (table["storage_key"] <= most)).astype(float)


def by_row(rows: Columns, table: Columns) -> Columns:
    """Row among the years of each ledger row, 0 outside; the required level where its year sets what is kept."""
    place = {int(year): i + 1 for i, year in enumerate(table["year"])}
    year_row = np.array([place.get(int(year), 0) for year in rows["plan_year"]])
    counts = np.array([table["sets_kept"][r - 1] if r else 0.0 for r in year_row])
    return {"year_row": year_row.astype(float), "kept_candidate": rows["required_level"] * counts}


def whole_loads(short: float, load: float) -> float:
    """Loads to haul for a shortage [L]: whole ones, a last drop forgiven; 0 where no load is given."""
    return float(max(0, math.ceil(short / load - 1e-9))) if load > 0 else 0.0


def years_carried(site: Site, rows: Columns, table: Columns) -> Columns:
    """How the present tank would have carried each plan year; years that are not whole have zeros."""
    names = ("crosses", "house_short", "house_short_drained", "loads", "garden_share", "carried", "pond_dry")
    out = {name: np.zeros(len(table["year"])) for name in names}
    for i in np.flatnonzero(table["months"] == 12):
        at = np.arange(12) + int(table["first_row"][i]) - 1
        short, need = rows["short"][at].sum(), rows["garden_need"][at].sum()
        out["crosses"][i] = table["usable"][i] * rows["dry_boundary"][at[-1]]
        out["house_short"][i] = short
        out["house_short_drained"][i] = rows["short_drained"][at].sum()
        out["loads"][i] = whole_loads(short, site.number("hauling_load"))
        out["garden_share"][i] = rows["garden_given"][at].sum() / need if need > 0 else 1.0
        out["pond_dry"][i] = table["usable"][i] == 1 and rows["pond_is_dry"][at].any()
        out["carried"][i] = table["usable"][i] == 1 and short < ALMOST
    return out


def close_years(table: Columns, usable: float) -> np.ndarray:
    """1 in the years that count whose storage lies within a fifth of the usable capacity [L]: no monthly rule can tell
    whether the tank carries them."""
    near = np.abs(table["storage"] - usable) <= CLOSE * usable + ALMOST
    return ((table["usable"] == 1) & near & (usable > ALMOST)).astype(float)


def carried_results(table: Columns) -> dict[str, float]:
    """Counts over the usable years: carried, beyond the well, beyond any tank."""
    usable = table["usable"] == 1
    return {
        "years_carried": float(table["carried"].sum()),
        "years_close": float(table["close"].sum()),
        "years_pond_dry": float(table["pond_dry"].sum()),
        "years_unfillable": float((usable & (table["well_fills"] == 0)).sum()),
        "years_beyond_tanks": float((usable & (table["carried"] == 0) & (table["fillable"] == 0)).sum()),
    }
