"""The same equations stepped by days: how much does a month hide?

The functions are those of the monthly ledger, with steps of one day: a day is wet or dry as a whole, its precipitation
is snow at a mean of 1 °C or less (recalled, after US Army Corps of Engineers, Snow Hydrology, 1956), the tank is in
service or not. Only the garden's need, and what the pond and its rain tank give of it, stay the month's, in equal
parts: effective rain is a monthly rule. The level kept for the house runs straight from month to month, and the water
table is fitted to the measured depths, as the months' is.
"""

import numpy as np

from .climate import day_of_serial, last_of_month
from .fit import fit
from .halves import FIRST_DAYS
from .pump import daily_yield, pump
from .radiation import hargreaves, sunlight
from .roof import roof_catch
from .rule_curve import house_steps, sequent_peak
from .service import in_service
from .site import Columns, Site
from .snow import snow
from .soil import soil
from .storage import balance
from .water_table import depths, highest_height, water_table
from .well import well
from .years_of_record import ALMOST

SNOW_BELOW = 1.0  # [°C]
WET_DAY = 1.0  # [mm]


def share_of(part: np.ndarray, whole: np.ndarray) -> np.ndarray:
    """Part ÷ whole, 0 where the whole is nothing."""
    return np.divide(part, whole, out=np.zeros(len(whole)), where=whole > 0)


def months(date: np.ndarray, rain: np.ndarray, tmax: np.ndarray, tmin: np.ndarray) -> Columns:
    """Monthly record of a daily one without gaps, whole months only; `date` as numpy days, rain [mm], [°C].

    What begins with `first_` is counted over days 1 to 15; a month without rain has 15 ÷ days of it there.
    """
    month_of = date.astype("datetime64[M]")
    mean = (tmax + tmin) / 2
    first_half = (date.astype("datetime64[D]") - month_of.astype("datetime64[D]")).astype(int) < FIRST_DAYS
    wet = rain >= WET_DAY
    spell = wet & ~np.concatenate([[True], wet[:-1]])
    starts = np.unique(month_of)
    inverse = np.searchsorted(starts, month_of)

    def total(values: np.ndarray) -> np.ndarray:
        return np.bincount(inverse, weights=values.astype(float), minlength=len(starts))

    days = total(np.ones(len(date)))
    fallen, fallen_first = total(rain), total(rain * first_half)
    snowed = np.where(mean <= SNOW_BELOW, rain, 0.0)
    return {
        "year": starts.astype("datetime64[Y]").astype(float) + 1970,
        "month": starts.astype(float) % 12 + 1,
        "days": days,
        "in_record": np.ones(len(starts)),
        "rain_recorded": fallen,
        "tmax": total(tmax) / days,
        "tmin": total(tmin) / days,
        "first_rain_share": np.divide(fallen_first, fallen, out=FIRST_DAYS / days, where=fallen > 0),
        "snow_share": share_of(total(snowed), fallen),
        "first_snow_share": share_of(total(snowed * first_half), fallen_first),
        "degree_days": total(np.maximum(0.0, mean)),
        "first_degree_days": total(np.maximum(0.0, mean) * first_half),
        "wet_days": total(wet),
        "first_wet_days": total(wet & first_half),
        "rain_spells": total(spell),
        "missing_days": np.zeros(len(starts)),
        "filled": np.zeros(len(starts)),
    }


def with_warm_up(record: Columns) -> Columns:
    """The record with its first two years in front once more, marked as outside the record."""
    out = {key: np.concatenate([values[:24], values]) for key, values in record.items()}
    out["in_record"][:24] = 0
    return out


def calendar_of_days(ledger: Columns) -> Columns:
    """Of each day of the ledger's rows: its row, calendar month, serial number, day of the year and of the month."""
    row = np.repeat(np.arange(len(ledger["days"])), ledger["days"].astype(int))
    serial = np.concatenate([np.arange(d, last_of_month(d) + 1) for d in ledger["first_day"]]).astype(int)
    return {
        "row": row,
        "month": ledger["month"][row],
        "serial": serial,
        "day_of_year": np.array([day_of_serial(day).timetuple().tm_yday for day in serial]),
        "day_of_month": serial - ledger["first_day"][row] + 1,
    }


def ground(site: Site, found: dict[str, float], days: Columns, weather: list[np.ndarray]) -> Columns:
    """Snow and soil by days [mm]; `weather`: rain as recorded [mm], highs and lows [°C]."""
    rain, tmax, tmin = weather
    sun = sunlight(found["latitude_radians"], days["day_of_year"])["radiation"]
    et0, mean = hargreaves(tmax, tmin, sun), (tmax + tmin) / 2
    is_snow, warmth = (mean <= SNOW_BELOW).astype(float), np.maximum(0.0, mean)
    out = snow(rain * found["rain_scale"], is_snow, warmth, site.number("snow_melt_rate"), 0.0)
    cover, all_wet = et0 * site.number("soil_cover_factor"), np.ones(len(rain))
    capacity = found["soil_capacity"]
    return out | soil(out["water_input"], cover, all_wet, capacity, found["runoff_share"], capacity)


def heights(site: Site, recharge: np.ndarray) -> Columns:
    """The water table by days [m]."""
    store = site.number("aquifer_specific_yield"), site.number("aquifer_drainage_time"), highest_height(site)
    return water_table(recharge, np.ones(len(recharge)), *store, 0.0)


def fitted_by_days(site: Site, ledger: Columns, days: Columns, soil_row: int) -> Site:
    """The site with its water table fitted by days, to the depths to which that of the months is fitted."""

    def by_month(tried: Site) -> np.ndarray:
        of_days = heights(tried, days["recharge"])["mean_height"]
        return np.bincount(days["row"], weights=of_days) / ledger["days"]

    return fit(site, ledger, by_month, soil_row, [site])


def kept_by_days(ledger: Columns, days: Columns, kept: np.ndarray) -> np.ndarray:
    """Level kept for the house at each day's end [L]: on the straight line between the months' first days."""
    month = days["month"].astype(int)
    gone = days["day_of_month"] / ledger["days"][days["row"]]
    return kept[month - 1] + (kept[month % 12] - kept[month - 1]) * gone


def step_days(site: Site, tables: dict[str, Columns], *weather: np.ndarray, fitted: bool = True) -> Columns:
    """Columns by day. `tables` are the monthly ones; the weather runs over the same rows, warm-up in front.

    `weather`: rain as recorded [mm], highs and lows [°C]. Taken from the months: filling months, levels kept for the
    house, the garden's need; and, unless they are `fitted` anew to the measured depths, the figures of the water table.
    """
    ledger, storage = tables["ledger"], tables["storage_months"]
    found = {key: float(value[0]) for key, value in tables["results"].items() if not isinstance(value[0], str)}
    days = calendar_of_days(ledger)
    row, month, serial = days["row"], days["month"].astype(int), days["serial"]
    days |= ground(site, found, days, list(weather))
    if fitted:
        site = fitted_by_days(site, ledger, days, int(found["soil_row"]))
    days |= heights(site, days["recharge"])
    days |= depths(site, days["mean_height"], month)
    days |= well(site, found["inflow"], days["depth_to_water"], found["allowed_pumping_depth"])
    rate, restart = site.number("pump_rate"), site.number("pump_restart")
    window, runs = site.number("pump_window"), site.number("pump_most_runs")
    inflow, drawdown = days["season_inflow"], days["available_drawdown"]
    days |= pump(found["bore_storage"], inflow, drawdown, rate, restart, window, runs)

    days["well_yield"] = days["daily_yield"] = daily_yield(site, days["cycle_yield"], month)
    days["house_need"] = tables["household_daily"]["house_daily"][month - 1, 0]
    days["house_from_well"] = np.minimum(days["house_need"], days["well_yield"])
    days["rises"] = np.zeros(len(row))  # within a day there is no order: it lacks water, or has some to spare
    for key in ("garden_need", "garden_from_pond", "garden_from_roof", "garden_left"):
        days[key] = ledger[key][row] / ledger["days"][row]
    open_days = [in_service(site, int(d), day_of_serial(d).year) for d in (*serial, serial[-1] + 1)]
    serves, serves_next = np.array(open_days[:-1]), np.array(open_days[1:])
    days["service_share"] = serves.astype(float)
    days["goes_out"] = (serves & ~serves_next).astype(float)
    first = site.word("tank_before_garden") != "no"
    days["roof_to_house"] = daily_roof(site, found, days, weather[0])
    kept = kept_by_days(ledger, days, storage["kept_used"])
    filling = storage["filling_used"][month - 1]
    days |= balance(days, filling, kept, found["tank_usable"], first, 0.0)
    first_of_year = (ledger["position"][row] == 1) & (days["day_of_month"] == 1)
    days["storage_needed"] = sequent_peak(house_steps(days), serves, first_of_year)
    return days


def daily_roof(site: Site, found: dict[str, float], days: Columns, rain: np.ndarray) -> np.ndarray:
    """Roof water [L] into the house's tank each day; the first flush goes with each wet day after a dry one.

    `rain` as recorded [mm].
    """
    if site.word("roof_goes_to") != "house tank" or found["tank_usable"] <= 0:
        return np.zeros(len(rain))
    wet = rain >= WET_DAY
    spells = (wet & ~np.concatenate([[True], wet[:-1]])).astype(float)
    areas = found["roof_catching_area"], found["roof_total_area"]
    catch = roof_catch(rain * found["rain_scale"] - days["snowfall"], spells, *areas, site.number("roof_first_flush"))
    return days["service_share"] * catch


def first_above(serial: np.ndarray, short: np.ndarray) -> float:
    """The first of the days (serial numbers) on which something is short [L], 0 where there is none."""
    at = np.flatnonzero(short > ALMOST)
    return float(serial[at[0]]) if len(at) else 0.0


def by_plan_year(tables: dict[str, Columns], days: Columns) -> Columns:
    """Of each whole plan year: surplus [mm], lowest yield of a day and lowest monthly mean of it [L/day], house short
    in service and while drained, garden given, storage needed [L], first day short in service (serial number, or 0)."""
    years = tables["years"]
    whole = years["months"] == 12
    names = (
        "surplus",
        "lowest_yield",
        "lowest_month_yield",
        "house_short",
        "house_short_drained",
        "garden_given",
        "ran_out",
    )
    out = {name: np.zeros(int(whole.sum())) for name in (*names, "storage")}
    out["year"] = years["year"][whole]
    for i, first_row in enumerate(years["first_row"][whole].astype(int)):
        at = (days["row"] >= first_row - 1) & (days["row"] < first_row + 11)
        month_mean = np.bincount(days["row"][at] - first_row + 1, weights=days["daily_yield"][at])
        month_mean /= np.bincount(days["row"][at] - first_row + 1)
        out["surplus"][i] = days["surplus"][at].sum()
        out["lowest_yield"][i] = days["daily_yield"][at].min()
        out["lowest_month_yield"][i] = month_mean.min()
        out["house_short"][i] = days["short"][at].sum()
        out["house_short_drained"][i] = days["short_drained"][at].sum()
        out["garden_given"][i] = days["garden_given"][at].sum()
        out["storage"][i] = days["storage_needed"][at].max()
        out["ran_out"][i] = first_above(days["serial"][at], days["short"][at])
    return out


def days_of_rows(tables: dict[str, Columns], *series: np.ndarray) -> list[np.ndarray]:
    """Daily series laid along the ledger's rows: the warm-up years' days in front once more."""
    ledger = tables["ledger"]
    warm_up = int(ledger["days"][ledger["in_record"] == 0].sum())
    return [np.concatenate([values[:warm_up], values]) for values in series]
