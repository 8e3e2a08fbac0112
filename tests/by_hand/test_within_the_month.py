"""What happens within the month, against integrals, differential equations, simulated days and the days themselves."""

import csv

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp

from tests.by_hand import compute, halves
from tests.by_hand.course import falls, mean_above_zero, slope, yield_at
from tests.by_hand.daily import months
from tests.by_hand.dips import height_on
from tests.by_hand.invented_site import ROOT, days_of_record, invented_site, random_site
from tests.by_hand.plan_months import share_covered
from tests.by_hand.pump import pump
from tests.by_hand.site import Columns, Site
from tests.by_hand.snow import snow, snow_by_halves
from tests.by_hand.soil import left_over, soil, soil_by_halves
from tests.by_hand.water_table import water_table_by_halves


@pytest.fixture(scope="module")
def ledger() -> Columns:
    return compute(invented_site())["ledger"]


# The first half's figures, from days.


def test_first_halves_are_counted_from_days_1_to_15():
    """Every month counted day by day, with the calendar of `datetime`."""
    day, rain, tmax, tmin = days_of_record()
    found = months(day, rain, tmax, tmin)
    mean = (tmax + tmin) / 2
    snowy = 0
    for t in (0, 1, 13, 100, 200, 300, len(found["days"]) - 1):
        year, month = int(found["year"][t]), int(found["month"][t])
        of_month = [i for i, d in enumerate(day.tolist()) if (d.year, d.month) == (year, month)]
        first = [i for i in of_month if day[i].item().day <= 15]
        assert len(of_month) == found["days"][t] and len(first) == 15
        fallen = rain[first].sum()
        as_snow = rain[[i for i in first if mean[i] <= 1]].sum()
        wanted = fallen / rain[of_month].sum() if rain[of_month].sum() else 15 / len(of_month)
        assert found["first_rain_share"][t] == pytest.approx(wanted)
        assert found["first_snow_share"][t] == pytest.approx(as_snow / fallen if fallen else 0.0)
        assert found["first_wet_days"][t] == (rain[first] >= 1).sum()
        assert found["first_degree_days"][t] == pytest.approx(np.maximum(0, mean[first]).sum())
        snowy += as_snow > 0
    assert snowy
    in_both = (found["first_rain_share"] > 0) & (found["first_rain_share"] < 1)
    assert 0.8 < in_both.mean() < 1  # some dry months have their rain in one half


def test_a_month_without_rain_has_its_share_of_days():
    day = np.arange("2023-02-01", "2023-04-01", dtype="datetime64[D]")
    found = months(day, np.zeros(59), np.full(59, 12.0), np.full(59, 2.0))
    assert list(found["first_rain_share"]) == [15 / 28, 15 / 31]
    assert list(found["first_snow_share"]) == list(found["first_wet_days"]) == [0.0, 0.0]
    assert list(found["first_degree_days"]) == [105.0, 105.0]


# Snow and soil.


def test_the_pack_of_the_first_half_melts_in_the_second():
    """40 mm, half of them in a first half of snow without warmth; then 5 °C days melt 13.7 mm of 30 mm. On paper."""
    rows = {"rain": np.array([40.0]), "first_rain_share": np.array([0.5]), "snow_share": np.array([0.5])}
    rows |= {"first_snow_share": np.ones(1), "degree_days": np.array([5.0]), "first_degree_days": np.zeros(1)}
    found, stepped = snow_by_halves(rows, 2.74, 10.0)
    told = {key: float(values[0]) for key, values in found.items()}
    assert told == pytest.approx(
        {"snowfall": 20.0, "water_first": 0.0, "melt": 13.7, "snowpack": 16.3, "water_input": 33.7}
    )
    assert list(stepped["melt"]) == pytest.approx([0.0, 13.7])


def test_snow_and_soil_by_halves_keep_their_water(ledger):
    """The columns of the rule, each row of the record: what came in is used, ran through, or is held."""

    def before(key: str, opening: float) -> np.ndarray:
        return np.concatenate([[opening], ledger[key][:-1]])

    capacity = 155.0 * 0.9
    first_rain = ledger["rain"] * ledger["first_rain_share"]
    first_snow = first_rain * ledger["first_snow_share"]
    assert (ledger["water_first"] >= first_rain - first_snow - 1e-9).all()
    melted_first = ledger["water_first"] - first_rain + first_snow
    assert (melted_first <= before("snowpack", 0.0) + first_snow + 1e-9).all() and melted_first.max() > 1
    assert (ledger["melt"] >= melted_first - 1e-9).all()
    pack = before("snowpack", 0.0) + ledger["snowfall"] - ledger["melt"]
    assert ledger["snowpack"] == pytest.approx(pack, abs=1e-9)
    # The middle of the month: the soil is never above its capacity, and surplus leaves it full.
    filled = before("soil_water", capacity) * ledger["kept_first"] + ledger["excess_first"]
    assert ledger["surplus_first"] == pytest.approx(np.maximum(0.0, filled - capacity), abs=1e-9)
    assert ledger["soil_middle"] == pytest.approx(np.minimum(capacity, filled) * ledger["kept_first"], abs=1e-9)
    filled = ledger["soil_middle"] * ledger["half_drawn"] + ledger["wet_excess"]
    later = np.maximum(0.0, filled - capacity)
    assert ledger["surplus"] - ledger["surplus_first"] == pytest.approx(later, abs=1e-9)
    # Used: as the rule within the month tells it, on its own.
    k1, k2 = ledger["kept_first"], ledger["half_drawn"]
    opened, middle, end = before("soil_water", capacity), ledger["soil_middle"], ledger["soil_water"]
    used = ledger["water_input"] - ledger["excess_first"] - ledger["wet_excess"]
    used = used + opened * (1 - k1) + middle * (1 / k1 - 1) + middle * (1 - k2) + end * (1 / k2 - 1)
    assert ledger["actual_et"] == pytest.approx(used, abs=1e-9)
    assert (ledger["actual_et"] <= ledger["cover_et"] + 1e-9).all()


@pytest.mark.parametrize(
    ("water", "demand", "wet", "days"), [(60.0, 45.0, 7, 15), (20.0, 70.0, 3, 16), (3.0, 60.0, 2, 13)]
)
def test_left_over_is_the_mean_of_exponential_rain_days(water, demand, wet, days):
    """The mean of max(0, rain of a day - demand of a day) over amounts spread exponentially, integrated."""
    amount, a_day = water / wet, demand / days
    mean = quad(lambda x: (x - a_day) * np.exp(-x / amount) / amount, a_day, np.inf)[0]
    found = left_over(np.array([water]), np.array([demand]), np.array([wet / days]))[0]
    assert found == pytest.approx(wet * mean, rel=1e-7)
    assert max(0.0, water - demand * wet / days) < found < water


def test_left_over_at_its_ends():
    water, demand = np.array([30.0, 80.0, 0.0, 25.0]), np.full(4, 50.0)
    every_day = left_over(water, demand, np.ones(4))
    assert list(every_day) == [0.0, 30.0, 0.0, 0.0]  # the monthly rule
    assert left_over(water, demand, np.zeros(4)) == pytest.approx(water)  # drizzle that no rain day counts


def posse_by_halves() -> tuple[Columns, Columns]:
    """Posse's year, every day wet and rain in equal parts: by the plain monthly rule, and by halves."""
    with (ROOT / "tests" / "published" / "posse_soil_balance.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    days = np.array([31.0, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
    rain, demand = (np.array([float(r[k]) for r in rows]) for k in ("rain_mm", "potential_evapotranspiration_mm"))
    capacity = float(rows[0]["capacity_mm"])
    data = {"rain": rain, "cover_et": demand, "days": days, "wet_days": days, "snow_share": np.zeros(12)}
    data |= {"first_rain_share": 15 / days, "first_wet_days": np.full(12, 15.0), "first_snow_share": np.zeros(12)}
    data |= {"degree_days": 20 * days, "first_degree_days": np.full(12, 300.0)}
    water, stepped = snow_by_halves(data, 2.74, 0.0)
    opening = capacity
    for _ in range(60):  # the year from its own end
        ours, _ = soil_by_halves(data | water, stepped, 2.74, capacity, 0.0, opening)
        plain = soil(rain, demand, np.ones(12), capacity, 0.0, opening)
        opening = ours["soil_water"][-1]
    return plain, ours


def test_halves_with_every_day_wet_are_the_monthly_rule():
    """Thornthwaite and Mather's Posse: 897.5 mm used and 639.5 mm of surplus, month by month as without halves."""
    plain, ours = posse_by_halves()
    assert ours["actual_et"].sum() == pytest.approx(897.5, abs=0.05)
    assert ours["surplus"].sum() == pytest.approx(639.5, abs=0.05)
    for key in ("actual_et", "surplus", "soil_water"):
        assert ours[key] == pytest.approx(plain[key], abs=1e-9), key


def test_a_half_in_which_snow_melts_throughout_is_wet_throughout():
    """A pack that outlasts the half: every day of it is wet, whatever the rain days; without warmth they count."""
    rows = {"rain": np.zeros(1), "snow_share": np.zeros(1), "first_snow_share": np.zeros(1), "days": np.array([31.0])}
    rows |= {"first_rain_share": np.array([15 / 31]), "wet_days": np.zeros(1), "first_wet_days": np.zeros(1)}
    rows |= {"degree_days": np.array([40.0]), "first_degree_days": np.array([20.0]), "cover_et": np.array([31.0])}
    water, stepped = snow_by_halves(rows, 2.0, 60.0)
    found, _ = soil_by_halves(rows | water, stepped, 2.0, 100.0, 0.0, 50.0)
    # 40 mm melt in the first half: each day wet, so 40 - 15 are left; 20 mm in the second, half of its warmth.
    assert found["excess_first"][0] == pytest.approx(25.0)
    assert found["wet_excess"][0] == pytest.approx(20 * np.exp(-16 * 0.5 / 20))
    frozen = rows | {"degree_days": np.zeros(1), "first_degree_days": np.zeros(1), "rain": np.array([31.0])}
    water, stepped = snow_by_halves(frozen | {"wet_days": np.array([4.0])}, 2.0, 60.0)
    found, _ = soil_by_halves(frozen | {"wet_days": np.array([4.0])} | water, stepped, 2.0, 100.0, 0.0, 50.0)
    assert found["excess_first"][0] == pytest.approx(15.0)  # no rain day there
    assert found["wet_excess"][0] == pytest.approx(16 * np.exp(-16 * 4 / 16 / 16))


# The water table.


def test_water_table_by_halves_agrees_with_its_differential_equation():
    days, recharge = np.array([31.0, 28.0, 30.0]), np.array([10.0, 80.0, 0.0, 0.0, 35.0, 5.0])
    specific_yield, time, height = 0.06, 65.0, 0.7
    found = water_table_by_halves(recharge, days, specific_yield, time, np.inf, height)
    for t in range(3):
        integral = 0.0
        for half, length in enumerate((15.0, days[t] - 15)):
            inflow = recharge[2 * t + half] / 1000 / specific_yield / length
            solved = solve_ivp(
                lambda _, w, q=inflow: [q - w[0] / time, w[0]], (0, length), [height, 0.0], rtol=1e-10, atol=1e-12
            )
            height, integral = float(solved.y[0, -1]), integral + float(solved.y[1, -1])
            if half == 0:
                assert found["height_middle"][t] == pytest.approx(height, rel=1e-7)
        assert found["water_height"][t] == pytest.approx(height, rel=1e-7)
        assert found["mean_height"][t] == pytest.approx(integral / days[t], rel=1e-7)
    capped = water_table_by_halves(np.array([900.0, 0.0]), np.array([31.0]), specific_yield, time, 1.5, 0.7)
    assert capped["height_middle"][0] == 1.5
    assert capped["water_height"][0] == pytest.approx(1.5 * np.exp(-16 / time))


def test_a_dip_is_read_in_the_half_in_which_its_day_lies(ledger):
    """Day by day from the month's beginning: on the 16th the middle, on the next month's first day the end.

    Between them each half's own recharge, by the solver.
    """
    site, highest = invented_site(), 6.25 - 0.3
    at = int(np.argmax(ledger["surplus"][:-1])) + 1  # counted from 1
    here, days = at - 1, int(ledger["days"][at - 1])
    read = [height_on(site, ledger, at, ledger["first_day"][here] + gone, highest) for gone in range(days)]
    assert read[0] == pytest.approx(ledger["water_height"][here - 1])
    assert read[15] == pytest.approx(ledger["height_middle"][here])
    next_first = height_on(site, ledger, at + 1, ledger["first_day"][at], highest)
    assert next_first == pytest.approx(ledger["water_height"][here])
    first = ledger["surplus_first"][here] / ledger["surplus"][here]
    for begins, gone, share, length in ((0, 6, first, 15), (15, 9, 1 - first, days - 15)):
        inflow = share * ledger["recharge"][here] / 1000 / 0.035 / length
        solved = solve_ivp(lambda _, w, q=inflow: q - w / 80, (0, gone), [read[begins]], rtol=1e-10, atol=1e-12)
        assert read[begins + gone] == pytest.approx(min(highest, solved.y[0, -1]), rel=1e-6)
    assert abs(first - 15 / days) > 0.02


# The yield and what the house takes of it.


@pytest.mark.parametrize(
    ("u", "v"), [(3.0, 1.0), (-2.0, -5.0), (4.0, -2.0), (-1.0, 7.0), (0.0, 5.0), (0.0, 0.0), (-3.0, 0.0)]
)
def test_mean_of_what_lies_above_zero_is_its_integral(u, v):
    integral = quad(
        lambda x: max(0.0, u + (v - u) * x), 0, 1, points=[0.5] if u == v else [min(1, max(0, u / (u - v)))]
    )[0]
    assert mean_above_zero(u, v) == pytest.approx(integral, abs=1e-9)


def one_row(site: Site, at_hand: float, allowed: float = 5.0) -> Columns:
    """A month in which so much drawdown [m] is at hand, in a bore of 300 L/m that lets in 1.2 L/min per m."""
    rows = {
        "season_inflow": np.array([1.2]),
        "available_drawdown": np.array([max(0.0, at_hand)]),
        "month": np.array([5.0]),
    }
    pumped = (site.number(key) for key in ("pump_rate", "pump_restart", "pump_window", "pump_most_runs"))
    rows |= pump(300.0, rows["season_inflow"], rows["available_drawdown"], *pumped)
    depth = np.array([allowed - at_hand])
    rows |= {
        "daily_yield": rows["cycle_yield"],
        "depth_to_water": depth,
        "mean_height": 6.0 - depth,
        "days": np.array([31.0]),
    }
    return rows | {"water_column": site.number("well_depth") - depth}


@pytest.mark.parametrize("window", [3.0, 24.0])
@pytest.mark.parametrize("most", [4.0, 60.0])
def test_slope_is_continuous_where_the_mean_crosses_the_intake(window, most):
    site = invented_site(pump_window=window, pump_most_runs=most, pump_rate=25.0)
    near, none = (slope(site, one_row(site, at_hand), 300.0)[0] for at_hand in (1e-7, -0.2))
    assert near == pytest.approx(none, rel=1e-5) and none > 0


@pytest.mark.parametrize("enters", ["bottom", "walls"])
def test_yield_along_the_slope_is_near_that_of_the_pump(enters):
    """A decimetre above and below the mean: what the pump's cycle gives at that height, but for its bend."""
    site = invented_site(well_water_enters=enters, well_depth_at_test=2.0)
    middle = one_row(site, 0.8)
    middle["season_inflow"] = 1.2 * np.array([falls(site, middle["water_column"][0])])
    for move in (0.1, -0.1):
        other = one_row(site, 0.8 + move)
        other["season_inflow"] = 1.2 * np.array([falls(site, other["water_column"][0])])
        for rows in (middle, other):
            pumped = (site.number(key) for key in ("pump_rate", "pump_restart", "pump_window", "pump_most_runs"))
            rows |= pump(300.0, rows["season_inflow"], rows["available_drawdown"], *pumped)
            rows["daily_yield"] = rows["cycle_yield"]
        middle["yield_slope"] = slope(site, middle, 300.0)
        found = yield_at(site, middle, middle["mean_height"] + move, 5.0)[0]
        assert found == pytest.approx(other["cycle_yield"][0], rel=0.005)
        assert abs(found / middle["cycle_yield"][0] - 1) > 0.1  # it moved by much more than it is wrong


def test_house_takes_the_water_of_the_days(ledger):
    """A straight line through the yields at beginning, middle and end, day by day: the sum of min(need, yield)."""
    both = 0
    for t in range(30, len(ledger["days"])):
        days = int(ledger["days"][t])
        ends = [ledger["yield_end"][t - 1], ledger["yield_middle"][t], ledger["yield_end"][t]]
        at = (np.arange(days * 50) + 0.5) / 50
        yields = np.interp(at, [0, 15, days], ends)
        need = ledger["house_need"][t] / days
        lacks = np.maximum(0.0, need - yields).sum() / 50
        wanted = min(ledger["house_need"][t] - lacks, ledger["well_yield"][t])
        assert ledger["house_from_well"][t] == pytest.approx(wanted, rel=1e-4, abs=0.1)
        lacking = ledger["house_need"][t] - ledger["house_from_well"][t]
        both += min(lacking, ledger["well_left"][t]) > 1
        assert ledger["rises"][t] == (ends[2] > ends[0] + 5e-7)
    assert both > 10  # months with both a lack and spare water


def test_typed_depths_and_takes_have_no_course():
    site = invented_site()
    site.monthly_depth[6], site.safe_take[7] = 5.9, 333.0
    ledger = compute(site)["ledger"]
    for month in (7, 8):
        at = ledger["month"] == month
        assert at.sum() > 20
        for key in ("yield_middle", "yield_end"):
            assert (ledger[key][at] == ledger["daily_yield"][at]).all()
    at = ledger["month"] == 9
    assert not (ledger["yield_end"][at] == ledger["daily_yield"][at]).any()


def test_without_a_well_nothing_is_yielded():
    ledger = compute(invented_site(well_depth=None, well_highest_water=0.0, well_water_lower=-3.0))["ledger"]
    for key in ("daily_yield", "yield_slope", "yield_middle", "yield_end", "house_from_well"):
        assert (ledger[key] == 0).all(), key


# The day on which the water is gone.


@pytest.mark.parametrize("rises", [False, True])
@pytest.mark.parametrize("covered", [0.0, 0.2, 0.7, 1.0])
def test_a_lack_that_grows_or_dwindles_is_covered_day_by_day(covered, rises):
    """A need of 600 L against a yield that runs straight through it, and a tank that covers a share of the lack."""
    days, need = 30.0, 600.0
    yields = (450.0, 900.0) if rises else (900.0, 450.0)
    step = 1e-4
    at = np.arange(0, 1, step) + step / 2
    lack = np.maximum(0.0, need - (yields[0] + (yields[1] - yields[0]) * at)) * step * days
    spare = np.maximum(0.0, yields[0] + (yields[1] - yields[0]) * at - need) * step * days
    total = lack.sum()
    gone = np.searchsorted(np.cumsum(lack), covered * total * (1 - 1e-12)) * step
    found = share_covered(total, covered, spare.sum(), rises)
    if covered == 0.0:  # the first day that lacks water
        gone = np.flatnonzero(lack > 0)[0] * step
    assert found == pytest.approx(gone, abs=3 * step)


def test_an_even_lack_lasts_evenly():
    assert share_covered(200.0, 0.25, 0.0, False) == share_covered(200.0, 0.25, 0.0, True) == 0.25


# All of it, on sites of every kind.


def test_columns_are_what_they_may_be_on_random_sites():
    """Balances and signs on twelve random sites: the well, the house and the tank close, and nothing is negative."""
    rng = np.random.default_rng(3)
    for _ in range(12):
        tables = compute(random_site(rng))
        rows, usable = tables["ledger"], tables["results"]["tank_usable"][0]
        taken = rows["house_from_well"] + rows["tank_fill"] + rows["garden_from_well"] + rows["well_unused"]
        assert taken == pytest.approx(rows["well_yield"], abs=1e-7)
        house = rows["house_from_well"] + rows["house_from_tank"] + rows["short"] + rows["short_drained"]
        assert house == pytest.approx(rows["house_need"], abs=1e-7)
        leaves = rows["house_from_tank"] + rows["garden_from_tank"] + rows["drained"] + rows["spill"]
        before = np.concatenate([[0.0], rows["stored"][:-1]])
        assert before + rows["tank_fill"] + rows["roof_to_house"] - leaves == pytest.approx(rows["stored"], abs=1e-7)
        for key in ("well_left", "well_unused", "tank_fill", "garden_from_well", "garden_from_tank", "house_from_tank"):
            assert rows[key].min() >= -1e-9, key
        for key in ("short", "short_drained", "spill", "drained", "stored", "house_from_well", "yield_end"):
            assert rows[key].min() >= -1e-9, key
        assert rows["stored"].max() <= usable + 1e-9
        # The fill never runs over what the tank may hold.
        drawn_first = np.where(rows["rises"] == 1, np.minimum(rows["house_lack"], before), 0.0)
        over = np.maximum(0.0, rows["roof_to_house"] - rows["house_left_in_service"])
        filled = before + over - drawn_first + rows["tank_fill"]
        assert (filled <= np.maximum(usable, before + over) + 1e-7).all()
        assert (rows["required_level"] <= usable + 1e-9).all()
        years = tables["years"]
        assert (years["storage_garden"] >= years["storage"] - 1e-7).all()


def closed_forms(rows: Columns, usable: float, reserve: float, tank_first: bool) -> Columns:
    """Who gets what, storage and required level as the rule prints them, each row from its neighbours' columns."""
    before = {key: np.concatenate([[0.0], rows[key][:-1]]) for key in ("stored", "storage_needed")}
    after = {key: np.append(rows[key][1:], 0.0) for key in ("required_level", "required_uncut")}
    share, rises, serves = rows["service_share"], rows["rises"], rows["days_in_service"] > 0
    unmet = share * (rows["house_need"] - rows["house_from_well"])
    lack, over = (np.maximum(0.0, sign * (unmet - rows["roof_to_house"])) for sign in (1, -1))
    spare = share * (rows["well_yield"] - rows["house_from_well"])
    first, later = spare * (1 - rises), spare * rises
    room = np.maximum(0.0, usable - before["stored"] - over + rises * np.minimum(lack, before["stored"]))
    end = np.minimum(usable, rows["kept_at_end"] + (1 - rises) * lack)
    target = np.where(rows["filling"] == 1, usable, end)
    claim = tank_first * np.minimum(spare, np.maximum(0.0, target - usable + room))
    leaves = share * (rows["well_left"] - rows["garden_left"])
    fill = np.minimum(room, np.maximum(np.maximum(claim, leaves), 0.0))
    drawn = np.minimum(lack, before["stored"] + (1 - rises) * fill)
    house = np.minimum(unmet, rows["roof_to_house"]) + drawn
    from_well = np.minimum(rows["garden_left"], rows["well_left"] - fill)
    above = before["stored"] + fill + rows["roof_to_house"] - house - rows["kept_at_end"]
    garden = np.minimum(share * (rows["garden_left"] - from_well), np.maximum(0.0, above))
    restarts = (rows["position"] == 1) | np.concatenate([[True], rows["goes_out"][:-1] == 1])
    carried = np.maximum(0.0, before["storage_needed"] - np.concatenate([[0.0], later[:-1]]))
    carried = np.where(restarts, 0.0, carried)
    ends = (rows["goes_out"] == 1) | (rows["position"] == 12)

    def level(key: str, most: float, held: float) -> np.ndarray:
        left = np.where(ends, 0.0, after[key]) - later
        high = np.where(
            lack > 0, np.minimum(most, np.maximum(np.maximum(left, held), 0.0) + lack), np.maximum(0.0, left)
        )
        return np.where(serves, np.maximum(0.0, high - first - over), 0.0)

    return {
        "house_lack": lack,
        "tank_room": room,
        "tank_target": target,
        "tank_fill": fill,
        "house_from_tank": house,
        "garden_from_well": from_well,
        "garden_from_tank": garden,
        "short": unmet - house,
        "storage_needed": np.where(serves, np.maximum(0.0, carried - over - first) + lack, 0.0),
        "required_level": level("required_level", usable, reserve),
        "required_uncut": level("required_uncut", np.inf, 0.0),
    }


@pytest.mark.parametrize("tank_first", [True, False])
def test_steps_are_the_closed_forms_of_the_rule(tank_first):
    """Five people each; every second tank serves all year, so that the yield rises in service too."""
    rng, rose, fell = np.random.default_rng(17), 0, 0
    for number in range(6):
        site = random_site(rng)
        site.inputs["tank_before_garden"] = "yes" if tank_first else "no"
        site.inputs["tank_in_service"] = ("all year", "between the dates")[number % 2]
        site.lists["household"][0]["number"] = 5.0
        tables = compute(site)
        rows, results = dict(tables["ledger"]), tables["results"]
        rows["filling"] = tables["storage_months"]["filling_used"][rows["month"].astype(int) - 1]
        printed = closed_forms(rows, results["tank_usable"][0], results["reserve_used"][0], tank_first)
        for key, values in printed.items():
            assert rows[key] == pytest.approx(values, rel=1e-9, abs=1e-7), key
        both = (rows["house_lack"] > 1) & (rows["well_left"] > 1)
        rose, fell = rose + int((both & (rows["rises"] == 1)).sum()), fell + int((both & (rows["rises"] == 0)).sum())
    assert min(rose, fell) > 20  # months with a lack and spare water, in either order


def test_halves_are_told_apart_and_together():
    days = np.array([31.0, 28.0])
    assert list(halves.lengths(days)) == [15, 16, 15, 13]
    both = halves.shared(np.array([10.0, 7.0]), np.array([4.0, 7.0]))
    assert list(both) == [4, 6, 7, 0]
    assert list(halves.totals(both)) == [10, 7]
    assert list(halves.means(both, days)) == [(4 * 15 + 6 * 16) / 31, 7 * 15 / 28]


def test_snow_by_days_and_by_halves_share_their_equations():
    """Two halves given as two steps are the month of both."""
    rain, share, warmth = np.array([20.0, 30.0]), np.array([0.5, 0.2]), np.array([4.0, 9.0])
    steps = snow(rain, share, warmth, 2.74, 12.0)
    month = {"rain": np.array([50.0]), "first_rain_share": np.array([0.4]), "first_snow_share": np.array([0.5])}
    month |= {"snow_share": np.array([16 / 50]), "degree_days": np.array([13.0]), "first_degree_days": np.array([4.0])}
    found, _ = snow_by_halves(month, 2.74, 12.0)
    assert found["water_input"][0] == pytest.approx(steps["water_input"].sum())
    assert found["snowpack"][0] == pytest.approx(steps["snowpack"][-1])
