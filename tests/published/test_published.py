"""The real formulas against published figures, and against general-purpose libraries where none is printed.

Each CSV beside this file holds inputs, the published figure, its tolerance, its source, and how far it was confirmed:
'read', 'recalled' or 'recomputed'. A test's docstring carries that word.
"""

import csv
import importlib.util
import math
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pandas as pd
import pyet
import pytest
from scipy.integrate import quad, solve_ivp

from budget.declarations import Table
from budget.references import reference
from budget.units import FACTORS, Unit, parse, to_book
from budget.water import (
    effective_rain,
    evapotranspiration,
    pump,
    recovery_test,
    rule_curve,
    site,
    snow,
    soil,
    water_table,
    well,
)
from tests.small_book import data_table, evaluate

FOLDER = Path(__file__).parent
MONTHS = list(range(1, 13))
MONTH_DAYS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
US_DEFAULTS = {
    given.name: to_book(given.default, given.unit, "US")
    for given in (*site.INPUTS, *pump.INPUTS)
    if given.default and given.unit is not Unit.TEXT
}


def published(stem: str) -> list[dict[str, str]]:
    with (FOLDER / f"{stem}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))


def agrees(row: dict[str, str], ours: object) -> bool:
    """Whether our figure lies within the row's tolerance; the last bit of a binary fraction is let pass."""
    assert isinstance(ours, float)
    return abs(ours - float(row["value"])) <= float(row["tolerance"]) * (1 + 1e-9)


def radiation_at(latitude: float) -> dict[str, list]:
    return evaluate(evapotranspiration.RADIATION, {"month": MONTHS}, {"site_latitude": latitude}, results=site.RESULTS)


@pytest.mark.parametrize("latitude", ["40", "30", "0"])
def test_extraterrestrial_radiation(latitude: str) -> None:
    """FAO-56 (1998), Annex 2 Table 2.6; read."""
    rows = [row for row in published("extraterrestrial_radiation") if row["latitude_deg"] == latitude]
    ours = radiation_at(float(latitude))
    assert [int(row["day_of_year"]) for row in rows] == ours["day_of_year"]
    assert [row for row, value in zip(rows, ours["radiation"], strict=True) if not agrees(row, value)] == []


@pytest.mark.parametrize("latitude", [-80.0, -38.2, 0.0, 23.4, 45.7, 66.6, 80.0])
def test_radiation_is_that_of_pyet(latitude: float) -> None:
    """pyet.extraterrestrial_r (FAO-56 eq. 21) on the 15th of each month of 2001, polar night and day too."""
    days = pd.DatetimeIndex([f"2001-{month:02d}-15" for month in MONTHS])
    with np.errstate(invalid="ignore"):  # beyond the polar circles pyet takes the arc cosine of more than 1
        theirs = pyet.extraterrestrial_r(days, math.radians(latitude)).to_numpy()
    ours = np.array(radiation_at(latitude)["radiation"])
    known = np.isfinite(theirs)
    assert known.sum() >= 6
    assert ours[known] == pytest.approx(theirs[known], rel=1e-9, abs=1e-9)


def climate(latitude: float) -> Table:
    """The calendar months' radiation as data [MJ/m² day], where the formulas look for it."""
    return data_table("climate", 12, [], {"radiation": radiation_at(latitude)["radiation"]})


def reference_et(
    latitude: float, month: Sequence[int], tmax: Sequence[float], tmin: Sequence[float], days: Sequence[int]
) -> list:
    """ET0 [mm a month] by the book's formula, from mean daily high and low [°C]."""
    tmean = [(high + low) / 2 for high, low in zip(tmax, tmin, strict=True)]
    given = {"month": month, "days": days, "tmax": tmax, "tmin": tmin, "tmean": tmean}
    rows = {key: [float(value) for value in values] for key, values in given.items()}
    return evaluate(evapotranspiration.COLUMNS, rows, {}, tables=[climate(latitude)])["reference_et"]


def test_hargreaves_example() -> None:
    """FAO-56 (1998), Example 20: radiation, and eq. 52; read."""
    radiation, evapotranspired = published("hargreaves")
    assert radiation["quantity"] == "extraterrestrial_radiation"
    latitude, month = float(radiation["latitude_deg"]), int(radiation["month"])
    assert agrees(radiation, radiation_at(latitude)["radiation"][month - 1])
    tmax, tmin = float(radiation["tmax_degc"]), float(radiation["tmin_degc"])
    assert agrees(evapotranspired, reference_et(latitude, [month], [tmax], [tmin], [31])[0] / 31)


@pytest.fixture(scope="module")
def seattle() -> pd.DataFrame:
    """Four years of a real daily record: temp_max, temp_min [°C]."""
    package = importlib.util.find_spec("vega_datasets")
    assert package is not None and package.origin is not None
    path = Path(package.origin).parent / "_data" / "seattle-weather.csv"
    return pd.read_csv(path, parse_dates=["date"], index_col="date")[["temp_max", "temp_min"]]


def test_reference_et_is_that_of_pyet(seattle: pd.DataFrame) -> None:
    """pyet.hargreaves on the 15th of each month with the month's mean temperatures.

    FAO-56 holds the latent heat at 2.45 MJ/kg; pyet lets it fall with warmth (eq. 3-1), 2.0 % apart at 0 °C.
    """
    latitude = 47.6
    means = seattle[seattle.index.year > 2012].groupby(pd.Grouper(freq="MS")).mean()  # no leap year among them
    on_15th = means.set_axis(means.index + pd.Timedelta(days=14))
    highs, lows = on_15th["temp_max"], on_15th["temp_min"]
    theirs = pyet.hargreaves((highs + lows) / 2, highs, lows, math.radians(latitude)) * means.index.days_in_month
    ours = reference_et(latitude, means.index.month, highs, lows, means.index.days_in_month)
    assert len(ours) == 36
    assert ours == pytest.approx(theirs.to_list(), rel=0.02)


def test_a_month_from_means_is_near_the_sum_of_its_days(seattle: pd.DataFrame) -> None:
    """The yearly sum of months against the sum of pyet's days: what is lost by working with monthly means."""
    latitude = 47.6
    highs, lows = seattle["temp_max"], seattle["temp_min"]
    daily = pyet.hargreaves((highs + lows) / 2, highs, lows, math.radians(latitude))
    months = seattle.groupby(pd.Grouper(freq="MS")).mean()
    days = months.index.days_in_month
    ours = pd.Series(reference_et(latitude, months.index.month, months["temp_max"], months["temp_min"], days))
    by_year = ours.groupby(months.index.year).sum().to_numpy()
    assert by_year == pytest.approx(daily.groupby(daily.index.year).sum().to_numpy(), rel=0.03)


@pytest.mark.parametrize("row", published("storage_factor"), ids=lambda row: row["root_storage_in"])
def test_storage_factor(row: dict[str, str]) -> None:
    """NRCS NEH 623 ch. 2 (1993), the cubic read, its values recomputed."""
    ours = evaluate(effective_rain.STORAGE_FACTOR, {"root_storage": [float(row["root_storage_in"])]}, {}, "US")
    assert agrees(row, ours["storage_factor"][0])


def test_storage_factor_is_held_beyond_7_inches() -> None:
    """NRCS NEH 623 ch. 2 (1993): the cubic goes on rising past the end of its curve; recomputed."""
    ours = evaluate(effective_rain.STORAGE_FACTOR, {"root_storage": [7.0, 9.0]}, {}, "US")["storage_factor"]
    assert ours[0] == ours[1] == pytest.approx(0.531747 + 0.295164 * 7 - 0.057697 * 49 + 0.003804 * 343, abs=1e-12)


def effective_rain_of(storage: float, rain: Sequence[float], crop_et: Sequence[float]) -> list:
    """Effective rain [in a month] by the book's formulas, on one zone."""
    zones = data_table("zone_workings", 1, effective_rain.STORAGE_FACTOR, {"root_storage": [storage]})
    rows = {"water_input": rain, "crop_et": crop_et}
    return evaluate(effective_rain.COLUMNS, rows, {}, "US", tables=[zones])["effective_rain"]


def test_effective_rain() -> None:
    """NRCS NEH 623 ch. 2 (1993), eq. 2-84, Table 2-43 at D = 3 in; recalled."""
    rows = published("effective_rain")
    assert [row["root_storage_in"] for row in rows] == ["3"] * 4
    rain = [float(row["rain_in"]) for row in rows]
    crop_et = [float(row["crop_evapotranspiration_in"]) for row in rows]
    ours = effective_rain_of(3.0, rain, crop_et)
    assert [row for row, value in zip(rows, ours, strict=True) if not agrees(row, value)] == []


def test_effective_rain_keeps_its_limits() -> None:
    """NRCS NEH 623 ch. 2 (1993): never above rain or crop use, never below 0; the limits read."""
    assert effective_rain_of(3.0, [6.0, 0.0, 0.1, 0.02], [0.5, 5.0, 9.0, 9.0]) == [0.5, 0.0, 0.0, 0.0]
    assert effective_rain_of(6.0, [0.9, 9.0], [20.0, 3.0]) == [0.9, 3.0]


def test_soil_balance_of_a_year() -> None:
    """Posse (Goiás): Pereira, Angelocci and Sentelhas (2002), by Thornthwaite and Mather (1955).

    The monthly inputs read, the year's totals recalled. With as many rain days as days the book's rule is theirs.
    """
    year = published("posse_soil_balance")
    copies = 6  # until the year begins as it ended
    rows = {
        "rain": [float(row["rain_mm"]) for row in year] * copies,
        "reference_et": [float(row["potential_evapotranspiration_mm"]) for row in year] * copies,
        "days": MONTH_DAYS * copies,
        "wet_days": MONTH_DAYS * copies,
        "first_wet_days": [15.0] * 12 * copies,
        "first_rain_share": [15 / days for days in MONTH_DAYS] * copies,
    }
    rows |= dict.fromkeys(NO_SNOW, [0.0] * 12 * copies)
    names = {"soil_capacity": float(year[0]["capacity_mm"]), "soil_cover_factor": 1.0, "runoff_share": 0.0}
    ours = evaluate([*snow.COLUMNS, *soil.COLUMNS], rows, names | {"snow_melt_rate": 2.74})
    assert ours["water_input"] == pytest.approx(rows["rain"], rel=1e-12)
    assert ours["soil_water"][-1] == pytest.approx(ours["soil_water"][-13], abs=1e-9)
    actual, surplus = sum(ours["actual_et"][-12:]), sum(ours["surplus"][-12:])
    totals = {
        "actual_evapotranspiration": actual,
        "deficit": sum(rows["reference_et"][-12:]) - actual,
        "surplus": surplus,
    }
    printed = {row["quantity"]: row for row in published("posse_totals")}
    assert {name for name, total in totals.items() if agrees(printed[name], total)} == set(totals)
    assert ours["recharge"] == ours["surplus"]


NO_SNOW = ("snow_share", "first_snow_share", "degree_days", "first_degree_days")


def dried(water: float, demand: float, capacity: float) -> float:
    """Soil water [mm] after a demand [mm], drawn in proportion to what is left: dS/dx = −S / capacity."""
    solution = solve_ivp(lambda _, s: -s / capacity, (0, demand), [water], "DOP853", rtol=1e-11, atol=1e-13)
    return float(solution.y[0, -1])


def left_over(water: float, demand: float, wet_days: float, days: float) -> float:
    """What `wet_days` of `days` leave over of `water` [mm], each using its part of the demand.

    Their amounts are exponentially distributed: the mean of the part above a day's demand, by scipy.integrate.quad.
    Where every day is wet, what the total leaves.
    """
    if water == 0 or wet_days == days:
        return max(0.0, water - demand)
    if wet_days == 0:  # all of it in one downpour
        return water
    mean, a_day = water / wet_days, demand / days
    above, _ = quad(lambda rain: (rain - a_day) * math.exp(-rain / mean) / mean, a_day, a_day + 60 * mean)
    return wet_days * above


def test_wet_days_of_each_half_fall_between_two_dry_parts() -> None:
    """The book's own rule for months with fewer rain days than days, stepped by scipy.integrate.solve_ivp; recomputed.

    Days 1 to 15, then the rest: half the dry days' demand, what the wet days leave over into the soil and past it, the
    other half.
    """
    chance = np.random.default_rng(3)
    days = np.array(MONTH_DAYS * 3)
    wet = np.array([chance.integers(0, 16, 36), np.minimum(days - 15, chance.integers(0, 17, 36))])
    wet[:, :3] = [[15, 0, 15], [16, 0, 0]]
    rain, demand = chance.gamma(1.0, 70.0, 36) * (wet.sum(axis=0) > 0), chance.uniform(5, 170, 36)
    share = np.where(wet[0] == 0, 0.0, np.where(wet[1] == 0, 1.0, chance.uniform(0, 1, 36)))
    capacity, runoff = 90.0, 0.25
    rows = {"rain": rain, "reference_et": demand / 0.9, "days": days, "wet_days": wet.sum(axis=0)}
    rows |= {"first_rain_share": share, "first_wet_days": wet[0]} | dict.fromkeys(NO_SNOW, np.zeros(36))
    names = {"soil_capacity": capacity, "soil_cover_factor": 0.9, "runoff_share": runoff, "snow_melt_rate": 2.74}
    given = {key: values.astype(float).tolist() for key, values in rows.items()}
    ours = evaluate([*snow.COLUMNS, *soil.COLUMNS], given, names)
    water, levels, surpluses, used = capacity, [], [], []
    for month, length in enumerate(days):
        surplus, before = 0.0, water
        for half, (part, of_rain) in enumerate(((15, share[month]), (length - 15, 1 - share[month]))):
            fell = rain[month] * of_rain
            asked = demand[month] * part / length
            excess = left_over(fell, asked, float(wet[half][month]), float(part))
            dry_half = (asked - (fell - excess)) / 2
            filled = dried(water, dry_half, capacity) + excess
            surplus += max(0.0, filled - capacity)
            water = dried(min(capacity, filled), dry_half, capacity)
        surpluses.append(surplus)
        levels.append(water)
        used.append(before + rain[month] - surplus - water)
    assert sum(surplus > 0 for surplus in surpluses) >= 6
    assert ours["soil_water"] == pytest.approx(levels, rel=1e-7)
    assert ours["surplus"] == pytest.approx(surpluses, rel=1e-7, abs=1e-7)
    assert ours["recharge"] == pytest.approx([(1 - runoff) * surplus for surplus in surpluses], rel=1e-7, abs=1e-7)
    assert ours["actual_et"] == pytest.approx(used, rel=1e-7, abs=1e-7)


@pytest.mark.parametrize("row", published("sequent_peak"), ids=lambda row: f"{row['cycles']} cycles")
def test_sequent_peak(row: dict[str, str]) -> None:
    """Loucks and van Beek, Table 11.2: 7.5 over two cycles, read; a single pass, recomputed."""
    inflows = [float(text) for text in row["inflows"].split()] * int(row["cycles"])
    size = len(inflows)
    lack = [max(0.0, float(row["release"]) - inflow) for inflow in inflows]
    rows = {
        "house_lack": lack,
        "house_left_in_service": lack,
        "well_left": [max(0.0, inflow - float(row["release"])) for inflow in inflows],
        "rises": [0] * size,
        "garden_left": [0.0] * size,
        "roof_to_house": [0.0] * size,
        "days_in_service": [30] * size,
        "service_share": [1.0] * size,
        "goes_out": [0] * size,
        "position": [2] * size,  # never 1: one plan year throughout
    }
    names = {"tank_usable": 100.0, "reserve_used": 0.0, "tank_reserve": 0.0}
    ours = evaluate(rule_curve.COLUMNS, rows, names)
    assert agrees(row, max(ours["storage_needed"]))
    assert ours["storage_with_garden"] == ours["storage_needed"]


@pytest.mark.parametrize("row", published("bore_volume"), ids=lambda row: row["diameter_in"])
def test_bore_volume(row: dict[str, str]) -> None:
    """MIL-HDBK-1164 Table 1, US gallons per foot of depth; read (its 60 in row is a misprint and is left out)."""
    bore = to_book(f"{row['diameter_in']} in", Unit.LENGTH, "US")
    results = [result for result in well.RESULTS if result.name == "bore_storage"]
    ours = evaluate([], {}, {"well_bore": bore}, "US", results=results)
    assert agrees(row, ours["bore_storage"][0])


def suction_at(elevation_ft: str) -> dict[str, list]:
    """Atmospheric head and practical lift [ft] with the pump's defaults."""
    names = {**US_DEFAULTS, "site_elevation": float(elevation_ft)}
    return evaluate([], {}, names, "US", results=pump.RESULTS[:2])


@pytest.mark.parametrize("row", published("atmospheric_head"), ids=lambda row: row["elevation_ft"])
def test_atmospheric_head(row: dict[str, str]) -> None:
    """US Standard Atmosphere 1976 over water of 62.4 lb/ft³; recomputed."""
    assert agrees(row, suction_at(row["elevation_ft"])["atmospheric_head"][0])


@pytest.mark.parametrize("row", published("suction"), ids=lambda row: row["elevation_ft"])
def test_practical_suction_lift(row: dict[str, str]) -> None:
    """Common practice, no source; recalled. The default losses and vapour pressure are chosen to meet the first row."""
    assert agrees(row, suction_at(row["elevation_ft"])["suction_limit"][0])


@pytest.mark.parametrize("row", published("units"), ids=lambda row: row["quantity"])
def test_units(row: dict[str, str]) -> None:
    """NIST SP 811 and Handbook 44 Appendix C; recomputed from their exact definitions."""
    assert agrees(row, float(parse(row["quantity"]).to(row["unit"]).magnitude))


def test_factors_of_the_book_are_those_published() -> None:
    """NIST SP 811 and Handbook 44 Appendix C; recomputed. The cells that formulas read, in US units."""
    rows = {row["quantity"]: row for row in published("units")}
    factors = {factor.name: factor.value("US") for factor in FACTORS}
    assert agrees(rows["1 foot**3"], factors["volume_per_cube"])
    assert agrees(rows["1 inch*foot**2"], factors["volume_per_area_depth"])
    assert factors["mm_per_depth"] == 25.4


def test_crop_coefficients() -> None:
    """FAO-56 (1998), Table 12; read. A printed range is met by its middle."""
    crops = {row["crop"]: row for row in reference("crops", "metric")}
    rows = [row for row in published("crop_coefficients") if row["crop"] in crops]
    assert len(rows) >= 30
    assert [row for row in rows if not agrees(row, crops[row["crop"]][f"kc_{row['stage']}"])] == []


def test_specific_yields() -> None:
    """Johnson 1967, USGS Water-Supply Paper 1662-D, average specific yield; read (three in a copy)."""
    soils = {row["soil"]: row for row in reference("soils", "metric")}
    rows = published("specific_yield")
    assert len(rows) == 11
    assert [row for row in rows if not agrees(row, soils[row["material"]]["specific_yield"])] == []


WELLS = 30


@pytest.fixture(scope="module")
def wells() -> dict[str, list[float]]:
    """Random wells whose pump outruns them: bore [L/m], inflow [L/min per m], pump [L/min], drawdown [m], restart."""
    chance = np.random.default_rng(11)
    inflow, drawdown = chance.uniform(0.2, 15, WELLS), chance.uniform(0.3, 6, WELLS)
    return {
        "bore_storage": chance.uniform(8, 3000, WELLS).tolist(),
        "season_inflow": inflow.tolist(),
        "available_drawdown": drawdown.tolist(),
        "pump_rate": (inflow * drawdown * chance.uniform(1.02, 12, WELLS)).tolist(),
        "pump_restart": chance.uniform(0.05, 0.95, WELLS).tolist(),
    }


def minutes_until(bore: float, inflow: float, rate: float, start: float, end: float) -> float:
    """Minutes in which A ds/dt = Q − C s brings the drawdown from `start` to `end` [m], by Runge and Kutta."""

    def reached(_: float, s: np.ndarray) -> float:
        return float(s[0] - end)

    reached.terminal = True  # type: ignore[attr-defined]
    solution = solve_ivp(
        lambda _, s: (rate - inflow * s) / bore, (0, 1e7), [start], "DOP853", events=reached, rtol=1e-11, atol=1e-12
    )
    assert solution.t_events[0].size == 1
    return float(solution.t_events[0][0])


def test_runs_and_rests_solve_the_well_equation(wells: dict[str, list[float]]) -> None:
    """A ds/dt = Q − C s and A ds/dt = −C s (no published table): scipy.integrate.solve_ivp, recomputed."""
    rows = {key: wells[key] for key in ("season_inflow", "available_drawdown")}
    rows["days"] = [30.0] * WELLS
    by_row = {key: wells[key] for key in ("bore_storage", "pump_rate", "pump_restart")}
    ours = evaluate(pump.COLUMNS, rows, {**by_row, "pump_window": 24.0, "pump_most_runs": 1e9})
    assert ours["draws_down"] == [1] * WELLS
    for i in range(WELLS):
        bore, inflow, drawdown, rate, restart = (wells[key][i] for key in wells)
        run = minutes_until(bore, inflow, rate, restart * drawdown, drawdown)
        rest = minutes_until(bore, inflow, 0.0, drawdown, restart * drawdown)
        assert ours["run_minutes"][i] == pytest.approx(run, rel=1e-6)
        assert ours["rest_minutes"][i] == pytest.approx(rest, rel=1e-6)
        assert ours["run_take"][i] == pytest.approx(rate * run, rel=1e-6)
        assert ours["cycle_yield"][i] == pytest.approx(rate * run * 1440 / (run + rest), rel=1e-6)


def rested(wells: dict[str, list[float]], inflow: list[float], rate: list[float]) -> dict[str, list]:
    """One run from a rested well [minutes, L], the wells' inflow and pump replaced."""
    rows = {"rested_inflow": inflow, "available_drawdown": wells["available_drawdown"]}
    return evaluate(pump.RESTED, rows, {"bore_storage": wells["bore_storage"], "pump_rate": rate})


def test_a_rested_well_lasts_as_the_well_equation_says(wells: dict[str, list[float]]) -> None:
    """A ds/dt = Q − C s from s = 0 (no published table): scipy.integrate.solve_ivp, recomputed."""
    ours = rested(wells, wells["season_inflow"], wells["pump_rate"])
    assert ours["runs_dry"] == [1] * WELLS
    for i in range(WELLS):
        bore, inflow, drawdown, rate, _ = (wells[key][i] for key in wells)
        minutes = minutes_until(bore, inflow, rate, 0.0, drawdown)
        assert ours["rested_minutes"][i] == pytest.approx(minutes, rel=1e-6)
        assert ours["rested_take"][i] == pytest.approx(rate * minutes, rel=1e-6)


def test_a_rested_well_without_inflow_gives_its_bore(wells: dict[str, list[float]]) -> None:
    """A ds/dt = Q: scipy.integrate.solve_ivp, recomputed."""
    ours = rested(wells, [0.0] * WELLS, wells["pump_rate"])
    assert ours["runs_dry"] == [1] * WELLS
    for i in range(WELLS):
        bore, _, drawdown, rate, _ = (wells[key][i] for key in wells)
        assert ours["rested_minutes"][i] == pytest.approx(minutes_until(bore, 0.0, rate, 0.0, drawdown), rel=1e-6)
        assert ours["rested_take"][i] == pytest.approx(bore * drawdown, rel=1e-9)


def test_a_pump_slower_than_the_well_never_draws_it_down(wells: dict[str, list[float]]) -> None:
    """A ds/dt = Q − C s stays below Q / C (no published table); recomputed. The last well meets the pump exactly."""
    most = [wells["season_inflow"][i] * wells["available_drawdown"][i] for i in range(WELLS)]
    ours = rested(wells, wells["season_inflow"], [*(0.98 * rate for rate in most[:-1]), most[-1]])
    assert ours["runs_dry"] == ours["rested_minutes"] == ours["rested_take"] == [0] * WELLS


READINGS = 20


def recovery_line(minutes: Sequence[float | None], depth: Sequence[float | None], rest: float, bore: float) -> dict:
    """The recovery test's columns and figures for readings [min, m] of a bore [L/m]; all but its last word."""
    names = {
        "well_depth_at_test": rest,
        "well_winter_depth": rest - 0.5,
        "well_recovered_share": 0.05,
        "bore_storage": bore,
        "well_bore": 1.0,
        "well_depth": 60.0,
    }
    readings = {"minutes": minutes, "depth": depth}
    columns = [*recovery_test.SHOWN, *recovery_test.COLUMNS, *recovery_test.DRAWN]
    table = data_table("recovery_workings", len(minutes), columns, readings)
    return evaluate([], {}, names, tables=[table], results=recovery_test.RESULTS[:-1])


@pytest.mark.parametrize("seed", range(6))
def test_recovery_line_is_that_of_numpy(seed: int) -> None:
    """Least squares of ln s against time (no published table): numpy.polyfit and numpy.corrcoef, recomputed.

    Readings while the pump ran, nearly back, above rest and spare rows lie between those that count, out of order.
    """
    chance = np.random.default_rng(seed)
    rest, bore, largest, lag = 3.0, 650.0, chance.uniform(0.5, 3.0), chance.uniform(20, 400)
    count = int(chance.integers(3, 13))
    minutes = [0.0, *chance.uniform(1, 2.5 * lag, count - 1)]
    drawdown = largest * np.exp(-np.array(minutes) / lag) * np.exp(chance.normal(0, 0.03, count))
    drawdown[0] = largest * 1.2  # the largest, whatever the noise
    left_out = [(-4.0, 0.9 * largest), (-1.0, 2 * largest), (6 * lag, 0.01 * largest), (9 * lag, -0.02)]
    readings = [*zip(minutes, drawdown, strict=True), *left_out]
    chance.shuffle(readings)
    spare = [None] * (READINGS - len(readings))
    ours = recovery_line(
        [*(float(m) for m, _ in readings), *spare], [*(rest + float(s) for _, s in readings), *spare], rest, bore
    )
    logs = np.log(drawdown / drawdown[0])
    slope, intercept = np.polyfit(minutes, logs, 1)
    assert ours["recovery_points"] == [count]
    assert ours["recovery_drawdown"][0] == pytest.approx(drawdown[0], rel=1e-12)
    assert ours["recovery_slope"][0] == pytest.approx(slope, rel=1e-9)
    assert ours["recovery_intercept"][0] == pytest.approx(intercept, rel=1e-9, abs=1e-9)
    assert ours["recovery_fit"][0] == pytest.approx(np.corrcoef(minutes, logs)[0, 1] ** 2, rel=1e-9)
    assert ours["recovery_lag"][0] == pytest.approx(-1 / slope, rel=1e-9)
    assert ours["recovery_inflow"][0] == pytest.approx(-slope * bore, rel=1e-9)


def test_recovery_of_a_well_without_error_gives_its_inflow() -> None:
    """A ds/dt = −C s stepped by scipy.integrate.solve_ivp: the line gives C back, and 37 % (1/e) is left at the lag."""
    inflow, bore, largest = 2.2, 650.0, 1.8
    minutes = np.linspace(0, 700, 12)
    solution = solve_ivp(
        lambda _, s: -inflow * s / bore, (0, 700), [largest], "DOP853", t_eval=minutes, rtol=1e-11, atol=1e-13
    )
    ours = recovery_line(minutes.tolist(), (3.0 + solution.y[0]).tolist(), 3.0, bore)
    assert ours["recovery_inflow"][0] == pytest.approx(inflow, rel=1e-7)
    assert ours["recovery_fit"][0] == pytest.approx(1, abs=1e-9)
    assert math.exp(ours["recovery_slope"][0] * ours["recovery_lag"][0]) == pytest.approx(0.368, abs=5e-4)


# A depth typed for a calendar month stands in another table; the columns that read it are tested in `tests/by_hand`.
MODELLED = [column for column in water_table.COLUMNS if column.key not in ("known_depth", "depth_to_water")]


GAINED = [result for result in water_table.RESULTS if result.name in ("first_kept", "first_gain")]


@pytest.mark.parametrize("specific_yield, drainage_time", [(0.03, 12.0), (0.12, 90.0), (0.25, 700.0)])
def test_water_table_solves_the_linear_store(specific_yield: float, drainage_time: float) -> None:
    """dw/dt = R/(Sy d) − w/τ with constant R over each half month: by scipy.integrate.solve_ivp; recomputed."""
    chance = np.random.default_rng(5)
    days = MONTH_DAYS * 3
    runoff = 0.2
    surplus = np.where(chance.random((2, 36)) < 0.4, 0.0, chance.gamma(1.2, 40.0, (2, 36)))  # [mm a half]
    floor = 9.0
    names = {
        "aquifer_floor": floor,
        "aquifer_specific_yield": specific_yield,
        "aquifer_drainage_time": drainage_time,
        "highest_height": 1e6,
        "runoff_share": runoff,
    }
    recharge = (1 - runoff) * surplus
    rows = {"days": days, "surplus_first": surplus[0].tolist(), "recharge": recharge.sum(axis=0).tolist()}
    ours = evaluate(MODELLED, rows, names, results=GAINED)
    height, middles, ends, means = 0.0, [], [], []
    for month, length in enumerate(days):
        area = 0.0
        for half, part in ((0, 15), (1, length - 15)):
            inflow = recharge[half][month] / 1000 / specific_yield / part
            solution = solve_ivp(
                lambda _, w, inflow=inflow: [inflow - w[0] / drainage_time, w[0]],
                (0, part),
                [height, 0.0],
                "DOP853",
                rtol=1e-11,
                atol=1e-13,
            )
            height = float(solution.y[0, -1])
            area += float(solution.y[1, -1])
            (ends if half else middles).append(height)
        means.append(area / length)
    assert ours["height_middle"] == pytest.approx(middles, rel=1e-6)
    assert ours["water_height"] == pytest.approx(ends, rel=1e-6)
    assert ours["mean_height"] == pytest.approx(means, rel=1e-6)
    assert ours["modelled_depth"] == pytest.approx([floor - mean for mean in means], rel=1e-6)


def test_water_table_stops_at_the_highest_water() -> None:
    """Geometry: neither the ends nor the mean of a half stand above the highest water; recomputed."""
    names = {
        "aquifer_floor": 5.0,
        "aquifer_specific_yield": 0.05,
        "aquifer_drainage_time": 60.0,
        "highest_height": 2.0,
        "runoff_share": 0.0,
    }
    rows = {"days": [31, 28, 31], "recharge": [900.0, 900.0, 0.0], "surplus_first": [450.0, 450.0, 0.0]}
    ours = evaluate(MODELLED, rows, names, results=GAINED)
    assert ours["height_middle"][:2] == ours["water_height"][:2] == [2.0, 2.0]
    assert ours["modelled_depth"][1] == 3.0
    assert ours["water_height"][2] == pytest.approx(2.0 * math.exp(-31 / 60), rel=1e-12)
