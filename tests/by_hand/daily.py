"""The same equations stepped by days: how much does a month hide?

The functions are those of the monthly ledger, with steps of one day: a day is wet or dry as a whole, its precipitation
is snow at a mean of 1 °C or less (recalled, after US Army Corps of Engineers, Snow Hydrology, 1956), the tank is in
service or not. Only the garden's need, and what the pond and its rain tank give of it, stay the month's, in equal
parts: effective rain is a monthly rule.
"""

import numpy as np

from .climate import day_of_serial, last_of_month
from .pump import daily_yield, pump
from .radiation import hargreaves, sunlight
from .roof import roof_catch
from .rule_curve import sequent_peak
from .service import in_service
from .site import Columns, Site
from .snow import snow
from .soil import soil
from .storage import balance
from .water_table import depths, water_table
from .well import well

SNOW_BELOW = 1.0  # [°C]
WET_DAY = 1.0  # [mm]


def months(date: np.ndarray, rain: np.ndarray, tmax: np.ndarray, tmin: np.ndarray) -> Columns:
    """Monthly record of a daily one without gaps, whole months only; `date` as numpy days, rain [mm], [°C]."""
    month_of = date.astype("datetime64[M]")
    mean = (tmax + tmin) / 2
    wet = rain >= WET_DAY
    spell = wet & ~np.concatenate([[True], wet[:-1]])
    starts = np.unique(month_of)
    inverse = np.searchsorted(starts, month_of)

    def total(values: np.ndarray) -> np.ndarray:
        return np.bincount(inverse, weights=values.astype(float), minlength=len(starts))

    days = total(np.ones(len(date)))
    fallen = total(rain)
    snowed = total(np.where(mean <= SNOW_BELOW, rain, 0.0))
    return {
        "year": starts.astype("datetime64[Y]").astype(float) + 1970,
        "month": starts.astype(float) % 12 + 1,
        "days": days,
        "in_record": np.ones(len(starts)),
        "rain_recorded": fallen,
        "tmax": total(tmax) / days,
        "tmin": total(tmin) / days,
        "snow_share": np.divide(snowed, fallen, out=np.zeros(len(starts)), where=fallen > 0),
        "degree_days": total(np.maximum(0.0, mean)),
        "wet_days": total(wet),
        "rain_spells": total(spell),
        "missing_days": np.zeros(len(starts)),
        "filled": np.zeros(len(starts)),
    }


def with_warm_up(record: Columns) -> Columns:
    """The record with its first two years in front once more, marked as outside the record."""
    out = {key: np.concatenate([values[:24], values]) for key, values in record.items()}
    out["in_record"][:24] = 0
    return out


def step_days(site: Site, tables: dict[str, Columns], rain: np.ndarray, tmax: np.ndarray, tmin: np.ndarray) -> Columns:
    """Columns by day. `tables` are the monthly ones; the daily arrays run over the same rows, warm-up in front.

    Taken from the months: filling months, levels kept for the house, the garden's need, the figures that are fitted.
    """
    ledger, storage = tables["ledger"], tables["storage_months"]
    found = {key: float(value[0]) for key, value in tables["results"].items() if not isinstance(value[0], str)}
    row = np.repeat(np.arange(len(ledger["days"])), ledger["days"].astype(int))
    month = ledger["month"][row].astype(int)
    serial = np.concatenate([np.arange(d, last_of_month(d) + 1) for d in ledger["first_day"]]).astype(int)
    dates = [day_of_serial(day) for day in serial]
    day_of_year = np.array([date.timetuple().tm_yday for date in dates])

    sun = sunlight(found["latitude_radians"], day_of_year)["radiation"]
    et0, mean = hargreaves(tmax, tmin, sun), (tmax + tmin) / 2
    days = {"row": row, "month": month.astype(float)}
    is_snow, warmth = (mean <= SNOW_BELOW).astype(float), np.maximum(0.0, mean)
    days |= snow(rain * found["rain_scale"], is_snow, warmth, site.number("snow_melt_rate"), 0.0)
    cover, all_wet = et0 * site.number("soil_cover_factor"), np.ones(len(row))
    capacity = found["soil_capacity"]
    days |= soil(days["water_input"], cover, all_wet, capacity, found["runoff_share"], capacity)
    fitted = (
        site.number("aquifer_specific_yield"),
        site.number("aquifer_drainage_time"),
        found["highest_height"],
    )
    days |= water_table(days["recharge"], all_wet, *fitted, 0.0)
    days |= depths(site, days["mean_height"], month)
    days |= well(site, found["inflow"], days["depth_to_water"], found["allowed_pumping_depth"])
    rate, restart = site.number("pump_rate"), site.number("pump_restart")
    window, runs = site.number("pump_window"), site.number("pump_most_runs")
    inflow, drawdown = days["season_inflow"], days["available_drawdown"]
    days |= pump(found["bore_storage"], inflow, drawdown, rate, restart, window, runs)

    days["well_yield"] = days["daily_yield"] = daily_yield(site, days["cycle_yield"], month)
    days["house_need"] = tables["household_daily"]["house_daily"][month - 1, 0]
    for key in ("garden_need", "garden_from_pond", "garden_from_roof", "garden_left"):
        days[key] = ledger[key][row] / ledger["days"][row]
    serves = np.array([in_service(site, int(d), date.year) for d, date in zip(serial, dates, strict=True)])
    serves_next = np.array([in_service(site, int(d) + 1, day_of_serial(d + 1).year) for d in serial])
    days["service_share"] = serves.astype(float)
    days["goes_out"] = (serves & ~serves_next).astype(float)
    first = site.word("tank_before_garden") != "no"
    usable = found["tank_usable"]
    days["roof_to_house"] = daily_roof(site, found, days, rain)
    days |= balance(days, storage["filling_used"], storage["kept_used"], usable, first, 0.0)
    net = days["service_share"] * (days["house_need"] - days["well_yield"]) - days["roof_to_house"]
    first_of_year = (ledger["position"][row] == 1) & np.concatenate([[True], row[1:] != row[:-1]])
    days["storage_needed"] = sequent_peak(net, serves, first_of_year)
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


def by_plan_year(tables: dict[str, Columns], days: Columns) -> Columns:
    """Of each whole plan year: surplus [mm], lowest yield of a day and lowest monthly mean of it [L/day], house short
    in service and while drained, garden given, storage needed [L]."""
    years = tables["years"]
    whole = years["months"] == 12
    names = (
        "surplus",
        "lowest_yield",
        "lowest_month_yield",
        "house_short",
        "house_short_drained",
        "garden_given",
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
    return out


def days_of_rows(tables: dict[str, Columns], *series: np.ndarray) -> list[np.ndarray]:
    """Daily series laid along the ledger's rows: the warm-up years' days in front once more."""
    ledger = tables["ledger"]
    warm_up = int(ledger["days"][ledger["in_record"] == 0].sum())
    return [np.concatenate([values[:warm_up], values]) for values in series]
