"""The whole site by months: the ledger of the record, and the plan years lived again from it."""

from calendar import month_abbr
from dataclasses import dataclass, fields, replace
from datetime import date

import numpy as np

from .answers import NEVER_DRY, case, side_by_side
from .climate import by_calendar_month, calendar, rain_scale, serial, stations
from .course import course, yields_within
from .demand import animals, by_month, crop_coefficients, garden_needs, household, share_out, zones
from .dips import CHART_YEAR, dips
from .fill_and_drain import by_half as pumping_by_half
from .fill_and_drain import dates as pump_house_dates
from .fill_and_drain import told as pump_house_lines
from .frosts import frosts
from .memory import memory
from .plan_months import start
from .pond import dry_dates, pond, pond_figures
from .pump import daily_yield, priming, pump, rested, suction
from .radiation import MIDDLE_DAYS, hargreaves, sunlight
from .readings import on_this_year, so_far, this_year
from .recovery import recovery
from .roof import roof, roofs
from .rule_curve import house_steps, required_levels, sequent_peak, with_garden
from .sentences import sentences
from .service import first_month, service
from .site import Columns, Site
from .snow import snow_by_halves
from .soil import soil_by_halves, soil_figures
from .storage import balance, filling_months, kept_at_ends, kept_for_house, tank_sizes
from .tank_base import lacking, tank_base
from .water_table import depths, first_half_figures, fit_results, highest_height, water_table_by_halves
from .well import bore_storage, column_at_test, shares, well, well_there
from .years_of_record import (
    ALMOST,
    by_row,
    carried_results,
    close_years,
    dry_boundary,
    planning,
    running,
    sets_kept,
    years_carried,
    years_needed,
)


@dataclass
class Openings:
    """What the stores hold when the first row begins: soil, snow [mm], water table [m], pond, rain tank, tank [L].

    And the well's yield at that time [L/day]: none with the water at the dry-season floor.
    """

    soil_water: float
    pond_stored: float
    snowpack: float = 0.0
    water_height: float = 0.0
    roof_stored: float = 0.0
    stored: float = 0.0
    yield_end: float = 0.0


@dataclass
class Fixed:
    """What does not change along the rows."""

    results: dict[str, float]
    radiation: np.ndarray
    house: np.ndarray
    zones: Columns
    kc: np.ndarray


def water_and_needs(site: Site, fixed: Fixed, data: Columns, opens: Openings) -> tuple[Columns, Columns]:
    """Columns that know nothing of the tank's water, and the garden's, along the rows of `data` (record, calendar)."""
    found, month, days = fixed.results, data["month"].astype(int), data["days"].astype(float)
    rows = dict(data)
    rows["reference_et"] = days * hargreaves(rows["tmax"], rows["tmin"], fixed.radiation[month - 1])
    melt_rate = site.number("snow_melt_rate")
    of_snow, snow_halves = snow_by_halves(rows, melt_rate, opens.snowpack)
    rows |= of_snow
    rows["cover_et"] = rows["reference_et"] * site.number("soil_cover_factor")
    of_ground = found["soil_capacity"], found["runoff_share"], opens.soil_water
    of_soil, recharge_halves = soil_by_halves(rows, snow_halves, melt_rate, *of_ground)
    rows |= of_soil
    rows |= water_table_by_halves(
        recharge_halves,
        days,
        site.number("aquifer_specific_yield"),
        site.number("aquifer_drainage_time"),
        found["highest_height"],
        opens.water_height,
    )
    rows |= well_by_rows(site, found, rows)
    rows["well_yield"] = rows["daily_yield"] * days
    rows["house_need"] = fixed.house[month - 1] * days
    rows |= course(site, rows, found["bore_storage"], found["allowed_pumping_depth"], opens.yield_end)
    garden = garden_needs(fixed.zones, fixed.kc, month, rows["reference_et"], rows["water_input"])
    rows["garden_need"] = garden["zone_need"].sum(axis=0)
    rows |= pond(site, found, rows, opens.pond_stored)
    rows |= service(site, rows["year"], month, days, rows["first_day"])
    rows |= roof(site, found, rows, opens.roof_stored)
    rows |= curves(site, fixed, rows)
    return rows, garden


def well_by_rows(site: Site, found: dict[str, float], rows: Columns) -> Columns:
    """What the well does with the water table of the rows: depths, inflow, the pump's cycle and the yield a day."""
    month = rows["month"].astype(int)
    of_well = depths(site, rows["mean_height"], month)
    of_well |= well(site, found["inflow"], of_well["depth_to_water"], found["allowed_pumping_depth"])
    of_well |= pump(
        found["bore_storage"],
        of_well["season_inflow"],
        of_well["available_drawdown"],
        site.number("pump_rate"),
        site.number("pump_restart"),
        site.number("pump_window"),
        site.number("pump_most_runs"),
    )
    return of_well | {"daily_yield": daily_yield(site, of_well["cycle_yield"], month)}


def yield_before(site: Site, found: dict[str, float], ledger: Columns, row: int) -> float:
    """Yield a day [L/day] at the end of a row of the ledger, for a site whose well may be another than the ledger's."""
    keys = ("month", "days", "mean_height", "height_middle", "water_height")
    before = {key: ledger[key][row : row + 1] for key in keys}
    before |= well_by_rows(site, found, before)
    within = yields_within(site, before, found["bore_storage"], found["allowed_pumping_depth"])
    return float(within["yield_end"][0])


def curves(site: Site, fixed: Fixed, rows: Columns) -> Columns:
    """Required levels and storage needed [L] along the rows; nothing is carried from one plan year to the next."""
    serves = rows["days_in_service"] > 0
    ends = (rows["goes_out"] == 1) | (rows["position"] == 12)
    went_out = np.concatenate([[True], rows["goes_out"][:-1] == 1])
    restarts = (rows["position"] == 1) | went_out
    share = rows["service_share"]
    house = house_steps(rows)
    both = with_garden(rows, house)
    usable, reserve = fixed.results["tank_usable"], fixed.results["reserve_used"]
    return {
        "house_lack": house.lack,
        "garden_net": house.lack + share * rows["garden_left"] - house.spare_before - house.spare_after,
        "required_level": required_levels(house, serves, ends, reserve, usable),
        "required_uncut": required_levels(house, serves, ends, 0.0, np.inf),
        "storage_needed": sequent_peak(house, serves, restarts),
        "storage_with_garden": sequent_peak(both, serves, restarts),
    }


def share_water(site: Site, fixed: Fixed, rows: Columns, garden: Columns, months: Columns, stored: float) -> None:
    """Add to the rows who gets what and the years so far; to the garden what each zone was given."""
    first = site.word("tank_before_garden") != "no"
    usable = fixed.results["tank_usable"]
    filling = months["filling_used"][rows["month"].astype(int) - 1]
    rows |= balance(rows, filling, kept_at_ends(rows["month"], months["kept_used"]), usable, first, stored)
    rows |= running(rows)
    rows["dry_boundary"] = dry_boundary(rows)
    garden["zone_given"] = share_out(garden["zone_need"], rows["garden_given"])


def plan_year(
    site: Site,
    fixed: Fixed,
    ledger: Columns,
    months: Columns,
    data_keys: list[str],
    first_row: int,
    own_rain: bool = True,
) -> tuple[Columns, Columns]:
    """The twelve rows from `first_row` (counted from 1) lived again; stores open as the ledger's row before ended.

    The well's yield opens as the site's well gives it with the water table of that row: another than the ledger's
    where there is less or more water. `own_rain`: with this year's rain where it is typed.
    """
    at = np.arange(12) + first_row - 1
    before = at[0] - 1
    results = fixed.results
    opens = Openings(**{store.name: float(ledger[store.name][before]) for store in fields(Openings)})
    opens.yield_end = yield_before(site, results, ledger, before)
    recorded = {key: ledger[key][at] for key in data_keys}
    data = on_this_year(site, recorded, int(results["first_month"]), results["rain_scale"], own_rain)
    rows, garden = water_and_needs(site, fixed, data, opens)
    share_water(site, fixed, rows, garden, months, opens.stored)
    rate = site.number("pump_rate")
    rows |= rested(results["bore_storage"], rows["rested_inflow"], rows["available_drawdown"], rate, site.volume_unit)
    rows |= dry_dates(site, results, rows, opens.pond_stored)
    tank, unit = (results["tank_usable"], results["reserve_used"], opens.stored), site.volume_unit
    rows |= start(rows, months["filling_used"], *tank, unit)
    rows["plan_month"] = np.arange(1.0, 13.0)
    rows["month_label"] = np.array([month_abbr[int(m)] for m in rows["month"]], dtype=object)
    rows["source_row"] = at + 1.0
    for key, store in (("yield_begins", "yield_end"), ("height_begins", "water_height"), ("stored_begins", "stored")):
        rows[key] = np.concatenate([[getattr(opens, store)], rows[store][:-1]])
    return rows, garden


def named(lines: list[dict], key: str) -> np.ndarray:
    """What the lines of a list are called, '' where they have no name."""
    return np.array([line[key] or "" for line in lines], dtype=object)


def as_typed(lines: list[dict]) -> Columns:
    """The columns of a list as its workings take them, '' where nothing is typed; months have the shape (12, lines)."""
    columns: Columns = {}
    for key in lines[0] if lines else ():
        typed = [line[key] if isinstance(line[key], list) else [line[key]] for line in lines]
        side_by_side = np.array([["" if one is None else one for one in values] for values in typed], dtype=object).T
        columns[key] = side_by_side if len(side_by_side) > 1 else side_by_side[0]
    return columns


def incomplete(lines: list[dict], needed: str) -> Columns:
    """Where something is typed in a line, but not what makes an item of it; defaults and months are not typed."""
    spare = ("share_given", "efficiency", "factors", "kc", needed)
    typed = [any(one not in (None, "") for key, one in line.items() if key not in spare) for line in lines]
    lacks = [line[needed] in (None, "") for line in lines]
    return {"incomplete": np.array([a and b for a, b in zip(typed, lacks, strict=True)], dtype=float)}


def prepare(site: Site) -> tuple[Fixed, dict[str, Columns]]:
    """What does not change along the rows, and the tables that show it."""
    recorded, scale = rain_scale(site)
    latitude = np.radians(site.number("site_latitude"))
    results = {"latitude_radians": latitude, "recorded_annual": recorded, "rain_scale": scale}
    results |= soil_figures(site)
    results |= first_half_figures(site, results["runoff_share"])
    results["highest_height"] = highest_height(site)
    results["bore_storage"] = bore_storage(site.number("well_bore"))
    results["column_at_test"] = column_at_test(site)
    readings, reading_work, test = recovery(site, results["bore_storage"])
    results |= test
    results["inflow"] = site.number("well_inflow", float(test["recovery_inflow"]))
    results |= shares(site) | suction(site) | priming(site)
    results["first_month"] = float(first_month(site))
    results |= tank_sizes(site) | pond_figures(site)
    of_roofs, areas = roofs(site)
    results |= areas | {"well_there": float(well_there(site))}
    lines, herd = household(site), animals(site)
    fixed_zones, sun = zones(site, results["available_water"]), sunlight(latitude, MIDDLE_DAYS)
    kc = crop_coefficients(site, fixed_zones)
    people = by_month(site.lists["household"], lines["line_daily"])
    herds = by_month(site.lists["animals"], herd["herd_daily"])
    house = people + herds
    climate = dict(sun)
    for key, column in (("rain_mean", "rain_recorded"), ("tmax_mean", "tmax"), ("tmin_mean", "tmin")):
        climate[key] = by_calendar_month(site.record[column], site.record["month"], site.record["in_record"])
    climate["filled_months_of"] = by_calendar_month(
        site.record["filled"], site.record["month"], site.record["in_record"], np.sum
    )
    tables = {
        "climate": climate,
        "stations": stations(site),
        "household_workings": as_typed(site.lists["household"]) | lines | incomplete(site.lists["household"], "number"),
        "household_factors": as_typed(site.lists["household"]),
        "animal_workings": as_typed(site.lists["animals"]) | herd | incomplete(site.lists["animals"], "head"),
        "animal_factors": as_typed(site.lists["animals"]),
        "garden_names": {"zone_told": named(site.lists["garden"], "name")},
        "people_days": {"people_daily": people.reshape(12, 1)},
        "animal_days": {"animals_daily": herds.reshape(12, 1)},
        "household_daily": {"house_daily": house.reshape(12, 1)},
        "recovery_workings": as_typed(site.lists["recovery"]) | readings | reading_work,
        "zone_workings": as_typed(site.lists["garden"]) | fixed_zones | incomplete(site.lists["garden"], "crop"),
        "crop_coefficients": as_typed(site.lists["garden"]) | kc,
        "roof_workings": as_typed(site.lists["roofs"]) | of_roofs | incomplete(site.lists["roofs"], "area"),
    }
    return Fixed(results, sun["radiation"], house, fixed_zones, kc["kc_used"]), tables


def by_year_and_month(ledger: Columns, years: Columns) -> Columns:
    """Calendar months by years: level required [L] in plan years that set what is kept, modelled depth to water [m]
    in the calendar year (empty text where it is not in the record)."""
    required = np.zeros((12, len(years["year"])))
    depth = np.full((12, len(years["year"])), "", dtype=object)
    for i, year in enumerate(years["year"]):
        for month in range(1, 13):
            lived = (ledger["month"] == month) & (ledger["plan_year"] == year)
            if years["sets_kept"][i]:
                required[month - 1, i] = ledger["required_level"][lived][0]
            seen = (ledger["month"] == month) & (ledger["year"] == year) & (ledger["in_record"] == 1)
            if seen.any():
                depth[month - 1, i] = ledger["modelled_depth"][seen][0]
    return {"month_required": required, "month_depth": depth}


def with_water(site: Site, results: dict[str, float], which: str) -> Site:
    """The site with 'less' or 'more' water: the sustained share and the water table moved by their errors."""
    moved = {"well_sustained_share": results[f"share_{which}"], "well_water_lower": results[f"water_lower_{which}"]}
    return replace(site, inputs=site.inputs | moved)


def well_by_month(
    site: Site, results: dict[str, float], median: np.ndarray, plan: Columns, middle: Columns
) -> tuple[Columns, Columns]:
    """What the well does in each calendar month: in the median year, in the planning and the middle year; and what is
    typed for it."""
    position = np.array([int(np.flatnonzero(plan["month"] == m)[0]) for m in range(1, 13)])
    out, work = {"median_depth": median}, {"plan_position": position + 1.0}
    well = site.inputs.get("well_depth") is not None
    for name, typed in (("depth", site.monthly_depth), ("take", site.safe_take)):
        work[f"{name}_typed"] = np.array([float(value is not None and (name == "depth" or well)) for value in typed])
        work[f"{name}_given"] = np.array([value or 0.0 for value in typed])
    work["held_all_month"] = np.maximum(work["depth_typed"], work["take_typed"])
    below = [well and depth is not None and depth > site.number("well_depth") + ALMOST for depth in site.monthly_depth]
    work["too_deep"] = np.array(below, dtype=float)
    out["planning_depth"] = plan["depth_to_water"][position]
    out["middle_year_depth"] = middle["depth_to_water"][position]
    out["allowed_depth"] = np.full(12, results["allowed_pumping_depth"])
    work["drawn_day"] = np.array([float(serial(date(CHART_YEAR, m, 15))) for m in range(1, 13)])
    for key in ("rested_minutes", "rested_take"):
        out[key] = plan[key][position].astype(object)
        if results["well_there"]:
            out[key][plan["runs_dry"][position] == 0] = NEVER_DRY
    return out, work


def compute(site: Site) -> dict[str, Columns]:
    """Every table of the site, by name, key and array.

    Raises ValueError where no plan year of the record counts, so that nothing can be planned on.
    """
    fixed, tables = prepare(site)
    results = fixed.results
    data = {key: np.asarray(values, dtype=float) for key, values in site.record.items()}
    data |= calendar(data, int(results["first_month"]), results["rain_scale"])
    ledger, garden = water_and_needs(site, fixed, data, Openings(results["soil_capacity"], results["pond_full"]))
    median = by_calendar_month(ledger["modelled_depth"], ledger["month"], ledger["in_record"], np.median)
    dips_told, dips_worked, dipped = dips(site, ledger, results["highest_height"])
    tables["dip_workings"] = as_typed(site.lists["dips"]) | dips_told | dips_worked
    results |= dipped | fit_results(site, median, int(results["soil_row"]), dipped)

    years = years_needed(site, ledger)
    results |= planning(site, years)
    if not results["planning_row"] or not results["middle_row"]:
        raise ValueError("no plan year of the record counts")
    years["sets_kept"] = sets_kept(years, int(results["planning_row"]))
    ledger |= by_row(ledger, years)
    months = filling_months(site, ledger) | kept_for_house(site, ledger, results["tank_usable"])
    months["next_month"] = np.arange(1.0, 13.0) % 12 + 1
    share_water(site, fixed, ledger, garden, months, 0.0)
    years |= years_carried(site, ledger, years)
    years["close"] = close_years(years, results["tank_usable"])
    results |= carried_results(years)

    remembered, judged = memory(site, ledger, results["bore_storage"])
    tables |= remembered
    results |= judged

    cases = []
    for name, of_site, row in (
        ("plan", site, int(results["planning_row"])),
        ("plan_less", with_water(site, results, "less"), int(results["planning_row"])),
        ("plan_more", with_water(site, results, "more"), int(results["planning_row"])),
        ("middle", site, int(results["middle_row"])),
    ):
        first_row = int(years["first_row"][row - 1])
        own_rain = name != "middle"
        rows, zone_rows = plan_year(of_site, fixed, ledger, months, list(data), first_row, own_rain)
        tables[name], tables[f"{name}_garden"] = rows, zone_rows
        tables[f"{name}_names"] = {"month_again": rows["month_label"]}
        cases.append(case(site, results, years, row, rows, float(ledger["stored"][first_row - 2])))
    of_well = well_by_month(site, results, median, tables["plan"], tables["middle"])
    tables["well_months"], tables["month_workings"] = of_well
    of_year = so_far(site, int(results["first_month"]), results["rain_scale"], tables["plan"])
    tables["so_far"], tables["so_far_workings"] = of_year
    tables["frost_dates"], of_frosts = frosts(site, int(results["first_month"]))
    results |= of_frosts
    results |= this_year(site, results, of_year[1])
    tables |= {"ledger": ledger, "garden_ledger": garden, "storage_months": months, "years": years}
    tables["year_months"] = by_year_and_month(ledger, years)
    tables["over_years"] = {
        "highest_required": tables["year_months"]["month_required"].max(axis=1).reshape(12, 1),
        "middle_depth": median.reshape(12, 1),
    }
    tables["answers"] = side_by_side(cases)
    results["tank_least_left"] = least = float(tables["plan_less"]["lowest_level"][-1])
    results |= tank_base(site, results["allowed_pumping_depth"], least)
    tables["base_cells"] = lacking(site)
    tables["pumping"] = pumping_by_half(site, results, tables["plan"])
    tables["fill_and_drain"] = pump_house_lines(site, results, tables["plan"], tables["pumping"], months["kept_used"])
    results |= pump_house_dates(site, results, tables["answers"])
    results["months_filled"] = float(ledger["filled"][ledger["in_record"] == 1].sum())
    # Shown beside the lines, which stand in the list in the order of their places.
    shown = ("household", "animal", "zone", "recovery", "dip", "spell", "roof")
    names = ("household", "animals", "zones", "recovery", "dips", "remembered", "roofs")
    tables |= {f"{name}_shown": tables[f"{worked}_workings"] for name, worked in zip(names, shown, strict=True)}
    results |= sentences(site, results, tables)
    tables["results"] = {key: np.array([value]) for key, value in results.items()}
    return tables
