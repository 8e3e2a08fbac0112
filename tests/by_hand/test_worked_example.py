"""Three months worked by hand with the rule within the month: every step to the printed digits.

The table beside this file holds what is given and what comes out; the rest of the example stands here. It is the
project's own, worked with pencil and calculator from the equations: it guards against slips, not against a wrong rule.
"""

import csv
from pathlib import Path

import numpy as np
import pytest

from tests.by_hand.course import before, course
from tests.by_hand.fill_and_drain import by_half, minutes_on
from tests.by_hand.invented_site import invented_site
from tests.by_hand.plan_months import run_out_dates, share_covered
from tests.by_hand.pump import pump
from tests.by_hand.rule_curve import house_steps, required_levels, sequent_peak
from tests.by_hand.site import Columns, Site
from tests.by_hand.snow import snow_by_halves
from tests.by_hand.soil import soil_by_halves
from tests.by_hand.storage import balance
from tests.by_hand.water_table import depths, first_half_figures, water_table_by_halves
from tests.by_hand.well import well

TABLE = Path(__file__).parent / "worked_example.csv"
MONTHS = ("august", "september", "october")
CAPACITY, RUNOFF, STORAGE, INFLOW = 100.0, 0.2, 600.0, 1.0  # [mm], share, [L per m], [L/min per m]
ALLOWED, HIGHEST = 5.5, 5.0  # depth, height above the floor [m]
USABLE, RESERVE, NEED = 9000.0, 500.0, 600.0  # [L], [L], [L/day]
SOIL, HEIGHT, YIELD, STORED = 40.0, 1.5, 1030.0, 6000.0  # before August: [mm], [m], [L/day], [L]


def table() -> list[dict[str, str]]:
    with TABLE.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def given() -> Columns:
    """What the example gives of each month; no snow, no roof, no pond, in service throughout, drained at the end."""
    rows = {row["quantity"]: np.array([float(row[m]) for m in MONTHS]) for row in table() if row["source"] == "given"}
    nothing = np.zeros(3)
    for key in ("snow_share", "first_snow_share", "roof_to_house", "garden_from_pond", "garden_from_roof"):
        rows[key] = nothing
    return rows | {
        "month": np.array([8.0, 9.0, 10.0]),
        "degree_days": np.array([600.0, 450.0, 310.0]),
        "first_degree_days": np.array([300.0, 250.0, 160.0]),
        "service_share": np.ones(3),
        "goes_out": np.array([0.0, 0.0, 1.0]),
        "days_in_service": rows["days"],
        "first_service_day": np.cumsum(rows["days"]) - rows["days"],
    }


@pytest.fixture(scope="module")
def site() -> Site:
    pumped = {"pump_rate": 30.0, "pump_restart": 0.5, "pump_window": 24.0, "pump_most_runs": 48.0}
    store = {"aquifer_floor": 6.0, "aquifer_specific_yield": 0.05, "aquifer_drainage_time": 80.0}
    return invented_site(well_highest_water=1.0, well_sustained_share=1.0, **pumped, **store)


@pytest.fixture(scope="module")
def worked(site: Site) -> Columns:
    """Every column of the three months, by the functions of the ledger."""
    rows = given()
    of_snow, snow_halves = snow_by_halves(rows, site.number("snow_melt_rate"), 0.0)
    rows |= of_snow
    of_soil, recharge = soil_by_halves(rows, snow_halves, site.number("snow_melt_rate"), CAPACITY, RUNOFF, SOIL)
    rows |= of_soil
    rows |= water_table_by_halves(recharge, rows["days"], 0.05, 80.0, HIGHEST, HEIGHT)
    rows |= depths(site, rows["mean_height"], rows["month"])
    rows |= well(site, INFLOW, rows["depth_to_water"], ALLOWED)
    rows |= pump(STORAGE, rows["season_inflow"], rows["available_drawdown"], 30.0, 0.5, 24.0, 48.0)
    rows["daily_yield"] = rows["cycle_yield"]
    rows["well_yield"], rows["house_need"] = rows["daily_yield"] * rows["days"], NEED * rows["days"]
    rows |= course(site, rows, STORAGE, ALLOWED, YIELD)
    steps, serves, ends = house_steps(rows), np.ones(3), rows["goes_out"]
    rows["house_lack"], rows["storage_needed"] = steps.lack, sequent_peak(steps, serves, np.zeros(3))
    rows["required_uncut"] = required_levels(steps, serves, ends, 0.0, np.inf)
    rows["required_level"] = required_levels(steps, serves, ends, RESERVE, USABLE)
    return rows | balance(rows, np.zeros(3), rows["kept_at_end"], USABLE, True, STORED)


@pytest.mark.parametrize("row", [row for row in table() if row["tolerance"]], ids=lambda row: row["quantity"])
def test_every_step_to_the_printed_digits(row: dict[str, str], worked: Columns) -> None:
    printed = np.array([float(row[month]) for month in MONTHS])
    assert np.abs(worked[row["quantity"]] - printed).max() <= float(row["tolerance"]) + 1e-9


def test_every_row_is_read() -> None:
    rows = table()
    assert len(rows) == 8 + 28
    assert {row["source"] for row in rows} == {"given", "worked example of the rule"}
    assert all(bool(row["tolerance"]) == (row["source"] != "given") for row in rows)


def test_single_figures(site: Site, worked: Columns) -> None:
    kept = first_half_figures(site, RUNOFF)
    assert kept["first_kept"] == pytest.approx(0.8290291, abs=5e-8)
    assert kept["first_gain"] == pytest.approx(0.0853333, abs=5e-8)
    august = {key: float(worked[key][0]) for key in ("available_drawdown", "run_minutes", "rest_minutes", "run_take")}
    assert august["available_drawdown"] == pytest.approx(0.743542, abs=5e-7)
    assert august["run_minutes"] == pytest.approx(7.576353, abs=5e-7)
    assert august["rest_minutes"] == pytest.approx(415.888308, abs=5e-7)
    assert worked["runs_a_day"][0] == pytest.approx(3.400520, abs=5e-7)
    assert august["run_take"] == pytest.approx(227.290585, abs=5e-7)


def test_the_day_on_which_october_runs_out(worked: Columns) -> None:
    dates = run_out_dates(worked)
    assert list(dates[:2]) == [0.0, 0.0]
    assert dates[2] - worked["first_service_day"][2] == pytest.approx(1.048, abs=5e-4)
    # The lack falls on the share 0.669184 of the days: all of it covered, they are over.
    assert share_covered(8929.0444, 1.0, 2182.1573, True) == pytest.approx(0.669184, abs=5e-7)


def test_what_the_hand_is_told_in_each_half(site: Site, worked: Columns) -> None:
    """The lower end of each half; the minutes of August's second half from the drawdown at its end, 0.518127 m."""
    results = {"allowed_pumping_depth": ALLOWED, "bore_storage": STORAGE, "well_there": 1.0}
    begins = {"yield_begins": before(worked["yield_end"], YIELD)}
    begins["height_begins"] = before(worked["water_height"], HEIGHT)
    told = by_half(site, results, worked | begins)
    lower_ends = [772.9078, 538.5894, 357.5064, 207.5562, 83.2446, 83.2446]
    assert told["low_yield"] == pytest.approx(lower_ends, abs=5e-5)
    at_hand = 0.518127
    assert at_hand == pytest.approx(worked["water_height"][0] - 0.5, abs=5e-7)
    minutes = minutes_on(site, results, told)
    assert minutes[1] == pytest.approx(600 * np.log((30 - at_hand / 2) / (30 - at_hand)), abs=1e-5)
    # Its rests between are those of the month: what so many runs give is the take, but for the bend of the slope.
    run, rest = minutes[1], worked["rest_minutes"][0]
    assert (1440 / (run + rest)) * 30 * run == pytest.approx(538.5894, rel=0.003)


def test_no_tank_is_enough_for_the_planned_year(worked: Columns) -> None:
    assert worked["required_uncut"][0] > STORED
    assert worked["storage_needed"].max() > USABLE
