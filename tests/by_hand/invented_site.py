"""An invented site for the tests by hand: a house above a river terrace, a place of our own making."""

import csv
from pathlib import Path

import numpy as np

from .daily import months, with_warm_up
from .site import Site

ROOT = Path(__file__).parent.parent.parent
RAIN = ROOT / "example_inputs" / "terrace_house_rain.csv"

INPUTS: dict[str, float | str | None] = {
    "site_latitude": 43.6,
    "site_elevation": 120.0,
    "rain_local_annual": None,
    "snow_melt_rate": 2.74,
    "soil_type": "loam",
    "soil_available_water": None,
    "soil_root_depth": 0.9,
    "soil_cover_factor": 1.0,
    "soil_runoff_share": None,
    "well_summer_depth": 5.8,
    "well_winter_depth": 2.8,
    "well_highest_water": 0.3,
    "aquifer_floor": 6.25,
    "aquifer_specific_yield": 0.035,
    "aquifer_drainage_time": 80.0,
    "fit_depth_spread": 0.25,
    "fit_prior_spread": 1.0,
    "fit_prior_spread_with_dips": 0.5,
    "well_water_lower": None,
    "well_bore": 0.9,
    "well_depth": 7.2,
    "well_inflow": 2.2,
    "well_water_enters": "bottom",
    "well_depth_at_test": None,
    "well_sustained_share": 0.35,
    "well_share_spread": 0.15,
    "well_recovered_share": 0.05,
    "pump_rate": 30.0,
    "pump_intake": 6.8,
    "pump_submergence": 0.3,
    "pump_kind": "suction",
    "pump_height": 0.3,
    "pump_vapour_head": 0.12,
    "pump_suction_allowance": 3.44,
    "pump_restart": 0.5,
    "pump_window": 24.0,
    "pump_most_runs": 24.0,
    "pump_line_length": None,
    "pump_line_bore": 32.0,
    "pump_body_volume": 2.0,
    "tank_in_service": "between the dates",
    "tank_frost_days": 3.0,
    "tank_dates_days": None,
    "tank_fill_from_month": 4.0,
    "tank_fill_from_day": 12.0,
    "tank_drain_by_month": 11.0,
    "tank_drain_by_day": 5.0,
    "tank_wettest_month": 2.0,
    "tank_capacity": 25000.0,
    "tank_below_outlet": 400.0,
    "tank_reserve": 800.0,
    "tank_before_garden": "yes",
    "roof_goes_to": "house tank",
    "roof_tank_capacity": None,
    "roof_first_flush": 0.5,
    "pond_depth": None,
    "pond_area": None,
    "pond_length": None,
    "pond_width": None,
    "pond_bottom_length": None,
    "pond_bottom_width": None,
    "pond_side_slope": 2.0,
    "pond_ramp_slope": None,
    "pond_catchment": None,
    "pond_runoff_reaching": 0.7,
    "pond_lies_in": "clay",
    "pond_seepage": None,
    "pond_keep": None,
    "pond_evaporation_factor": 1.05,
    "base_tank_diameter": 3.6,
    "base_tank_height": 2.6,
    "base_tank_weight": None,
    "base_tank_share": 0.025,
    "base_ground": "sand",
    "base_shape": "many-sided",
    "base_sides": 8.0,
    "base_margin": 300.0,
    "base_thickness": 150.0,
    "base_edge_depth": 300.0,
    "base_edge_width": 300.0,
    "base_fall": 10.0,
    "base_concrete_density": 2400.0,
    "base_gravel_depth": 150.0,
    "base_gravel_reach": 300.0,
    "base_layer": 100.0,
    "base_settling": 0.15,
    "base_waste": 0.1,
    "base_bag_weight": 25.0,
    "base_bag_yield": 0.012,
    "base_board_length": 2.4,
    "base_stake_spacing": 0.6,
    "base_edge_bars": 2.0,
    "base_bar_length": 6.0,
    "base_bar_lap": 0.6,
    "base_tie_spacing": 0.6,
    "base_mesh_length": 3.0,
    "base_mesh_width": 2.0,
    "base_mesh_overlap": 150.0,
    "base_wind_speed": 50.0,
    "base_wind_exposure": 0.85,
    "base_wind_terrain": 1.0,
    "base_wind_direction": 0.95,
    "base_wind_gust": 0.85,
    "base_wind_force_factor": 0.7,
    "base_wind_lift_factor": 0.8,
    "base_friction": 0.3,
    "base_safety": 1.5,
    "base_storm_water": 0.0,
    "base_anchored": "no",
    "base_anchors": 4.0,
    "base_anchor_circle": None,
    "base_above_well": 4.0,
    "base_tap_height": -8.0,
    "base_outlet_height": 100.0,
    "base_least_pressure": 100.0,
    "base_tap_loss": 1.0,
    "base_filling_loss": 1.5,
    "base_pump_head": None,
    "plan_for": "1 in 10",
    "plan_number": 2025.0,
    "plan_as_of": 45657.0,
    "fit_error_at_build": None,
    "fit_error_left_out": None,
    "hauling_load": 7500.0,
    "hauling_price": 180.0,
}

FROSTS = [
    {"name": name, "spell": spell, "from": begins, "until": ends, "from_told": told[0], "until_told": told[1]}
    for name, spell, begins, ends, told in (
        ("frost", 0.0, (5, 6), (9, 23), ("6 May", "23 September")),
        ("hard frost", 0.0, (4, 10), (10, 14), ("10 April", "14 October")),
        ("freezing spell", 3.0, (3, 6), (12, 8), ("6 March", "8 December")),
    )
]
SOILS = [
    {
        "soil": "loam",
        "available_water": 155.0,
        "specific_yield": 0.10,
        "drainage_time": 100.0,
        "runoff_share": 0.25,
    }
]
USES = [{"use": "careful use", "amount": 150.0}, {"use": "visitor", "amount": 38.0}]
CROPS = [
    {
        "crop": "berries",
        "kc_initial": 0.30,
        "kc_mid": 1.05,
        "kc_end": 0.50,
        "initial_days": 20.0,
        "development_days": 50.0,
        "mid_days": 90.0,
        "late_days": 20.0,
        "planting_month": 4.0,
        "root_depth": 0.6,
        "depletion_share": 0.5,
    }
]

ROOFS = [{"material": "tiles", "coefficient": 0.8}]
POND_SOILS = [{"pond_soil": "clay", "seepage": 4.0}]
BEARING = [{"soil": "sand", "pressure": 90.0}]


def zone(**typed: object) -> dict:
    """A row of the garden list: what is typed, the rest as in an empty row."""
    empty = ("name", "crop", "area", "trees", "canopy", "planting_month")
    row: dict[str, object] = dict.fromkeys(empty)
    return row | {"share_given": 1.0, "efficiency": 0.75, "kc": [None] * 12} | typed


def blank(count: int, *keys: str) -> list[dict]:
    """Empty rows of a list."""
    return [dict.fromkeys(keys) for _ in range(count)]


def line(use: str | None, number: float | None, amount: float | None = None) -> dict:
    """A row of the household list, the same in every month."""
    return {"use": use, "number": number, "amount": amount, "factors": [1.0] * 12}


def days_of_record() -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """The invented daily record: dates, rain [mm], highs and lows [°C]."""
    with RAIN.open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file))[1:]
    date = np.array([row[0] for row in rows], dtype="datetime64[D]")
    rain, tmax, tmin = (np.array([float(row[i]) for row in rows]) for i in (1, 2, 3))
    return date, rain * 25.4, (tmax - 32) / 1.8, (tmin - 32) / 1.8


def invented_site(**changed: float | str | None) -> Site:
    """The site, with some inputs changed."""
    record = with_warm_up(months(*days_of_record()))
    garden = [
        zone(name="row", crop="berries", area=120.0),
        zone(crop="berries", trees=4.0, canopy=3.0),
        zone(),
    ]
    return Site(
        inputs=INPUTS | changed,
        record=record,
        frosts=FROSTS,
        lists={
            "household": [line("careful use", 4.0), line("bread oven", 6.0, 12.0), line(None, None)],
            "animals": [],
            "animal_table": [],
            "recovery": blank(20, "minutes", "depth"),
            "dips": blank(24, "date", "depth"),
            "remembered": blank(10, "year", "dry_on", "loads", "garden"),
            "garden": garden,
            "roofs": [],
            "roof_table": ROOFS,
            "pond_soils": POND_SOILS,
            "bearing": BEARING,
            "soils": SOILS,
            "uses": USES,
            "crops": CROPS,
        },
        filling=[None] * 12,
        kept=[None] * 12,
        year_numbers=sorted({int(y) for y in record["year"][record["in_record"] == 1]}),
    )


def random_site(rng: np.random.Generator) -> Site:
    """Another well, tank, house and garden on the same record; every second one with a roof over 60 m².

    The figures of the water table are drawn about what its summer and winter depths ask for, not fitted.
    """
    summer = rng.uniform(4, 8)
    winter = summer - rng.uniform(1.5, 3.5)
    depth = summer + rng.uniform(0.8, 2.5)
    dates = rng.random() < 0.85
    site = invented_site(
        site_latitude=rng.uniform(35, 50),
        rain_local_annual=rng.uniform(650, 1300),
        soil_root_depth=rng.uniform(0.4, 1.4),
        soil_cover_factor=rng.uniform(0.7, 1.1),
        soil_runoff_share=rng.uniform(0.05, 0.5),
        well_summer_depth=summer,
        well_winter_depth=winter,
        well_highest_water=rng.uniform(0, 0.7) * winter,
        aquifer_floor=summer + rng.uniform(0.1, 0.8),
        aquifer_specific_yield=0.04 * np.exp(0.3 * rng.normal()),
        aquifer_drainage_time=rng.uniform(50, 160),
        well_bore=rng.uniform(0.6, 1.5),
        well_depth=depth,
        well_inflow=np.exp(rng.uniform(np.log(0.8), np.log(5))),
        well_water_enters=str(rng.choice(["walls", "bottom"])),
        well_sustained_share=rng.uniform(0.3, 0.9),
        pump_kind="submersible",
        pump_rate=rng.uniform(12, 50),
        pump_intake=depth - rng.uniform(0.2, 0.6),
        pump_restart=rng.uniform(0.3, 0.8),
        pump_window=float(rng.choice([4.0, 12.0, 24.0])),
        pump_most_runs=float(rng.choice([8.0, 24.0, 48.0])),
        tank_in_service="between the dates" if dates else "all year",
        tank_fill_from_month=float(rng.integers(2, 6)),
        tank_fill_from_day=float(rng.integers(1, 29)),
        tank_drain_by_month=float(rng.integers(10, 13)),
        tank_drain_by_day=float(rng.integers(1, 29)),
        tank_capacity=rng.uniform(5000, 50000),
        tank_reserve=float(rng.choice([0.0, 800.0])),
    )
    site.lists["household"] = [line("careful use", float(rng.integers(1, 7))), line(None, None)]
    site.lists["garden"] = [zone(crop="berries", area=rng.uniform(0, 250)), zone()]
    if rng.random() < 0.5:
        site.lists["roofs"] = [{"area": 60.0, "material": "tiles", "coefficient": None}]
    return site
