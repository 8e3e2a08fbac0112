"""The tank base: polygons by their corners, printed wind pressures and yields, and what must hold for any tank.

The noun's own formulas are evaluated on a small book; tolerance of a printed figure is half its last digit.
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from budget.declarations import Input, Result
from budget.references import reference
from budget.site_file.values import default_value, read_value
from budget.units import SYSTEMS, System, Unit, convert, to_book
from budget.water import checks, tank_base
from budget.workbook.applications import decision_tables
from budget.workbook.check_rows import base_table
from budget.workbook.engine import Computed
from tests.small_book import SHEET, data_table, evaluate

RESULTS = [
    *tank_base.RESULTS,
    checks.MISSING_BASE,
    *(check for check in checks.RESULTS if check.name.startswith(("check_base_", "found_base_"))),
]
OF_CELLS = [f"{cell}_{check}" for cell in ("found", "check") for check in ("missing", "size", "capacity")]
INPUTS = {given.name: given for given in tank_base.INPUTS}
TANK = {"tank_diameter": "10 ft", "tank_height": "11.5 ft", "tank_weight": "1300 lb"}
LINES = {"IN": 12.0, "GAL": 231 / 1728}  # inches to a foot, cubic feet to a gallon
OF_SENTENCES = [
    replace(table, sheet=SHEET)
    for table in (*decision_tables(), base_table())
    if table.name in ("ground_verdicts", "wind_verdicts", "tap_verdicts", "pump_verdicts", "base_cells")
]


def reckon(
    system: System = "US",
    capacity: str = "6500 gal",
    in_service: str = "all year",
    pumping_depth: str | None = "20 ft",
    missing: str = "",
    least_left: str = "6500 gal",
    **typed: object,
) -> dict[str, Computed]:
    """The results by name, without `base_`, for what is typed as a site file has it; `pumping_depth` None: no well."""
    values = {name: default_value(given, system) for name, given in INPUTS.items()}
    for key, raw in typed.items():
        values[f"base_{key}"] = read_value(INPUTS[f"base_{key}"], raw, system)
    if missing:
        values[f"base_{missing}"] = None
    names = values | {
        "tank_capacity": to_book(capacity, Unit.VOLUME, system),
        "tank_in_service": in_service,
        "tank_below_outlet": 0.0,
        "tank_least_left": to_book(least_left, Unit.VOLUME, system),
        "well_there": 0 if pumping_depth is None else 1,
        # Nothing but the base's own warnings reads it.
        "allowed_pumping_depth": to_book(pumping_depth or "0 ft", Unit.LENGTH, system),
        "well_depth": 1.0,
    }
    rows = reference("bearing", system)
    columns = {key: [row[key] for row in rows] for key in ("soil", "pressure")}
    table = data_table("bearing", len(rows), [], columns)  # type: ignore[arg-type]
    found = evaluate([], {}, names, system, [table, *OF_SENTENCES], RESULTS)  # type: ignore[arg-type]
    return {name.replace("base_", "", 1): values[0] for name, values in found.items() if ":" not in name}


def number(found: dict[str, Computed], name: str) -> float:
    value = found[name]
    assert isinstance(value, (int, float)), f"{name}: {value!r}"
    return float(value)


# ---------------------------------------------------------------- printed figures


def test_presumed_pressures_are_the_printed_ones() -> None:
    """International Building Code 2012, Table 1806.2, lb/ft²; unprepared fill by the section's text: none."""
    printed = {"layered rock": 4000, "gravel": 3000, "sand": 2000, "clay or silt": 1500, "fresh or loose fill": 0}
    assert {row["soil"]: row["pressure"] for row in reference("bearing", "US")} == pytest.approx(printed, rel=1e-12)
    # Printed there: 1 lb/ft² is 0.0479 kPa.
    for row in reference("bearing", "metric"):
        assert row["pressure"] == pytest.approx(printed[str(row["soil"])] * 0.0479, rel=0.00005 / 0.0479)
    for soil, pressure in printed.items():
        assert reckon(**TANK, ground=soil)["bearing"] == pytest.approx(pressure, rel=1e-12)


def test_wind_pressure_of_the_equation() -> None:
    """0.00256 × 0.85 × 1 × 0.95 × 115²."""
    assert reckon(**TANK, wind_direction=0.95)["wind_pressure"] == pytest.approx(27.33872, rel=1e-12)


def test_wind_pressure_on_tanks_of_the_trade_standard() -> None:
    """API 650 5.9.7.1, as worked out in a thread of engineers (read): 0.00256 (1.04) (1.0) (0.95) (120)² (0.85) is
    31.0 lb/ft²."""
    found = reckon(**TANK, wind_speed="120 mph", wind_exposure=1.04, wind_force_factor=1, wind_direction=0.95)
    assert number(found, "wind_force") / (10 * 11.5) == pytest.approx(31.0, abs=0.05)


def test_wind_pressure_of_the_metric_equation() -> None:
    """ASCE 7-10 eq. 27.3-1 in SI: q = 0.613 Kz Kzt Kd V², in N/m² with V in m/s."""
    found = reckon("metric", **TANK, wind_speed="40 m/s", wind_exposure=1, wind_direction=1)
    assert number(found, "wind_pressure") * 1000 / 40**2 == pytest.approx(0.613, abs=0.0005)


def test_head_of_a_pound_per_square_inch() -> None:
    """2.31 ft of water to the psi; 9.81 kPa to the metre."""
    us, metric = reckon("US", **TANK, above_well="50 ft"), reckon("metric", **TANK, above_well="15 m")
    assert number(us, "head_full") / number(us, "pressure_full") == pytest.approx(2.31, abs=0.005)
    assert number(metric, "pressure_low") / number(metric, "head_low") == pytest.approx(9.81, abs=0.005)


@pytest.mark.parametrize(("weight", "each", "bags"), [("80 lb", "0.60 cu ft", 45), ("60 lb", "0.45 cu ft", 60)])
def test_bags_of_a_cubic_yard(weight: str, each: str, bags: int) -> None:
    """27 ft³, as 9 ft by 9 ft by 4 in: 45 bags of 80 lb or 60 of 60 lb, 3600 lb either way."""
    slab = {"tank_diameter": "9 ft", "margin": "0 in", "thickness": "4 in", "edge_depth": "0 in", "waste": 0}
    found = reckon(**slab, bag_weight=weight, bag_yield=each)
    assert found["concrete"] == pytest.approx(27, rel=1e-12)
    assert found["concrete_ordered"] == pytest.approx(1, rel=1e-12)
    assert (found["bags"], found["bags_weight"]) == (bags, 3600)


def test_a_gallon_weighs_eight_pounds_and_a_third() -> None:
    """8.345 lb at 1 kg to the litre."""
    assert number(reckon(**TANK, capacity="5000 gal"), "water_weight") / 5000 == pytest.approx(8.345, abs=0.0005)
    assert number(reckon("metric", **TANK, capacity="20 m³"), "water_weight") == pytest.approx(20000, rel=1e-12)


# ---------------------------------------------------------------- the slab


def polygon(sides: int, across: float) -> tuple[float, float]:
    """Area by the shoelace formula and perimeter of a regular polygon, from its corners."""
    radius = across / 2 / math.cos(math.pi / sides)
    angles = np.arange(sides) * 2 * math.pi / sides
    x, y = radius * np.cos(angles), radius * np.sin(angles)
    area = abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2
    return float(area), float(np.hypot(np.roll(x, -1) - x, np.roll(y, -1) - y).sum())


@pytest.mark.parametrize("sides", [4, 5, 6, 8, 12, 24])
def test_a_slab_with_corners(sides: int) -> None:
    """The tank and a foot all round: 12 ft across the flats; 6 in thick, the edge 12 in deep and 18 in wide."""
    shape = {"shape": "square"} if sides == 4 else {"shape": "many-sided", "sides": sides}
    found = reckon(**TANK, **shape, edge_width="18 in", gravel_reach="6 in", gravel_depth="9 in", layer="4 in")
    (area, perimeter), (inner, _), (under, _) = (polygon(sides, across) for across in (12, 9, 13))
    assert found["width"] == pytest.approx(12, rel=1e-12)
    assert found["slab_area"] == pytest.approx(area, rel=1e-12)
    assert found["perimeter"] == pytest.approx(perimeter, rel=1e-12)
    assert found["side"] == pytest.approx(perimeter / sides, rel=1e-12)
    assert found["concrete"] == pytest.approx(area / 2 + (area - inner) / 2, rel=1e-12)
    assert found["slab_weight"] == pytest.approx(150 * (area - inner / 2), rel=1e-12)
    assert found["gravel"] == pytest.approx(under * 0.75 / 27, rel=1e-12)
    assert found["gravel_loose"] == pytest.approx(under * 0.75 / 27 / 0.85, rel=1e-12)
    assert found["layers"] == 3
    assert found["anchor_count"] == sides
    assert found["stakes"] == math.ceil(perimeter / 2 - 1e-9) + sides


def test_many_sides_near_the_circle() -> None:
    factors = [number(reckon(**TANK, shape="many-sided", sides=sides), "plan_factor") for sides in range(5, 25)]
    circle = reckon(**TANK, shape="round")
    assert all(fewer > more > math.pi / 4 for fewer, more in pairwise(factors))
    assert factors[-1] / (math.pi / 4) - 1 == pytest.approx((math.pi / 24) ** 2 / 3, rel=0.01)  # tan x = x + x³/3
    assert circle["slab_area"] == pytest.approx(math.pi * 6**2, rel=1e-12)
    assert circle["perimeter"] == pytest.approx(math.pi * 12, rel=1e-12)
    assert circle["edge_ring"] == pytest.approx(math.pi * (6**2 - 5**2), rel=1e-12)
    assert (circle["side"], circle["corners"], circle["anchor_count"]) == (0, 0, 4)


@pytest.mark.parametrize("shape", [{"shape": "round"}, {"shape": "many-sided", "sides": 8}])
def test_what_a_shape_saves_against_the_square(shape: dict[str, object]) -> None:
    square, other = reckon(**TANK), reckon(**TANK, **shape)
    saved = number(square, "concrete_ordered") - number(other, "concrete_ordered")
    assert saved > 0 and other["concrete_saved"] == pytest.approx(saved, rel=1e-12)
    assert other["bags_saved"] == number(square, "bags") - number(other, "bags") > 0
    assert (square["concrete_saved"], square["bags_saved"]) == (0, 0)


def test_an_edge_as_wide_as_the_slab_is_a_thicker_slab() -> None:
    wide = reckon(**TANK, edge_width="2000 mm", edge_depth="12 in")
    assert wide["concrete"] == pytest.approx(12 * 12 * 1, rel=1e-12)
    thin = reckon(**TANK, edge_depth="5 in")  # less than the thickness
    assert thin["concrete"] == pytest.approx(12 * 12 / 2, rel=1e-12)


def test_what_there_is_to_buy() -> None:
    """A square of 12 ft: 48 ft round it."""
    found = reckon(**TANK, waste=0, board_length="8 ft", bar_length="20 ft", bar_lap="2 ft", fall="0.25 in/ft")
    assert (found["boards"], found["stakes"]) == (8, 24 + 4)  # two boards a side: none goes round a corner
    assert (found["bars"], found["ties"]) == (6, 48)  # 96 ft of bars at 18 ft; a tie every 2 ft
    assert found["mesh_sheets"] == 4  # 144 ft² at 9.5 by 4.5 ft
    assert found["fall_height"] == pytest.approx(3, rel=1e-12)
    assert reckon(**TANK, board_length="12 ft")["boards"] == 4 == reckon(**TANK, board_length="23 ft")["boards"]
    assert reckon(**TANK, board_length="24 ft")["boards"] == 2  # each cut into two sides
    assert reckon(**TANK, shape="many-sided", board_length="8 ft")["boards"] == 8  # of 4.97 ft
    assert reckon(**TANK, shape="many-sided", board_length="10 ft")["boards"] == 4
    assert reckon(**TANK, shape="round", board_length="8 ft")["boards"] == 5  # 37.7 ft that bend


# ---------------------------------------------------------------- ground


def test_the_full_tank_on_the_ground() -> None:
    found = reckon(**TANK, margin="12 in", thickness="6 in", edge_depth="6 in")
    weight = 6500 * 8.3454 + 1300 + 72 * 150
    assert found["full_weight"] == pytest.approx(weight, rel=1e-5)
    assert found["ground_pressure"] == pytest.approx(weight / 144, rel=1e-5)
    assert found["bearing_share"] == pytest.approx(weight / 144 / 1500, rel=1e-5)
    assert found["bears"] == 1 and not found["check_ground"]
    assert "uses 31% of" in str(found["ground_verdict"])


def test_ground_that_does_not_bear() -> None:
    tall = reckon(**TANK | {"tank_height": "38 ft"}, capacity="22000 gal", margin="0 in")
    assert tall["bears"] == 0 and number(tall, "bearing_share") > 1
    assert "too much" in str(tall["ground_verdict"]) and "presses more" in str(tall["check_ground"])
    assert reckon(**TANK | {"tank_height": "38 ft"}, capacity="22000 gal", margin="0 in", ground="gravel")["bears"] == 1
    loose = reckon(**TANK, ground="fresh or loose fill")
    assert (loose["bears"], loose["bearing"], loose["bearing_share"]) == (0, 0, 0)
    assert "Nothing is presumed" in str(loose["ground_verdict"]) and "an engineer" in str(loose["check_ground"])


# ---------------------------------------------------------------- wind


def test_wind_on_the_empty_tank() -> None:
    """By hand: push and lift at 27.33872 lb/ft², G 0.85, Cf 0.7, lift 0.8."""
    found = reckon(**TANK, wind_direction=0.95)
    push, lift = 27.33872 * 0.85 * 0.7 * 115, 27.33872 * 0.85 * 0.8 * math.pi * 25
    assert found["wind_force"] == pytest.approx(push, rel=1e-9)
    assert found["wind_lift"] == pytest.approx(lift, rel=1e-9)
    assert found["wind_moment"] == pytest.approx(push * 5.75, rel=1e-9)
    assert found["sliding_safety"] == pytest.approx(0.3 * 1300 / (push + 0.3 * lift), rel=1e-9)
    assert found["tipping_safety"] == pytest.approx(1300 * 5 / (push * 5.75 + lift * 5), rel=1e-9)
    assert (found["stands"], found["water_holds"]) == (0, 1)
    assert "keep the water" in str(found["wind_verdict"]) and found["check_wind"]


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("friction", [0.1, 0.3, 0.9])  # sliding decides, then tipping
def test_the_water_found_is_just_enough(system: System, friction: float) -> None:
    tall = TANK | {"tank_height": "30 ft", "friction": friction, "wind_speed": "90 mph"}
    empty = reckon(system, **tall, capacity="17000 gal")
    water, unit = number(empty, "water_needed"), Unit.VOLUME.expression(system)
    assert 0 < water < to_book("17000 gal", Unit.VOLUME, system)
    just = reckon(system, **tall, capacity="17000 gal", storm_water=f"{water!r} {unit}")
    assert min(number(just, "sliding_safety"), number(just, "tipping_safety")) == pytest.approx(1.5, rel=1e-9)
    assert (just["stands"], just["anchor_pull"], just["anchor_shear"]) == (1, 0, 0)
    assert not just["check_wind"] and "With the water that always stays" in str(just["wind_verdict"])
    less = reckon(system, **tall, capacity="17000 gal", storm_water=f"{water - 0.01!r} {unit}")
    assert less["stands"] == 0 and number(less, "anchor_shear") > 0
    depth = convert(number(empty, "water_needed_depth"), Unit.LENGTH, system, "US")
    assert depth * math.pi * 25 / LINES["GAL"] == pytest.approx(convert(water, Unit.VOLUME, system, "US"), rel=1e-9)


def test_which_safety_decides() -> None:
    tall = TANK | {"tank_height": "30 ft", "capacity": "17000 gal"}
    slides, tips = reckon(**tall, friction=0.1), reckon(**tall, friction=0.9)
    assert number(slides, "sliding_safety") < number(slides, "tipping_safety")
    assert number(tips, "sliding_safety") > number(tips, "tipping_safety")


def test_more_water_is_safer() -> None:
    found = [reckon(**TANK, storm_water=f"{water} gal") for water in (0, 400, 800, 1200, 1600, 6500, 9000)]
    for name in ("sliding_safety", "tipping_safety"):
        safeties = [number(one, name) for one in found]
        assert all(less < more for less, more in pairwise(safeties[:-1]))
        assert safeties[-1] == safeties[-2]  # no more than the tank holds
    stands = [one["stands"] for one in found]
    assert stands == [0, 0, 0, 0, 1, 1, 1]
    pulls = [number(one, "anchor_pull") for one in found]
    assert pulls[0] > 0 and pulls == sorted(pulls, reverse=True) and pulls[4:] == [0, 0, 0]


def test_only_water_that_the_plan_leaves_holds_the_tank() -> None:
    """A promise to keep water counts for no more than what stands below the outlet or is left in the driest month."""
    promised = reckon(**TANK, storm_water="3000 gal", least_left="0 gal")
    assert promised["storm_weight"] == 1300 and promised["stands"] == 0 and promised["check_wind"]
    kept = reckon(**TANK, storm_water="3000 gal", least_left="2000 gal")
    assert kept["storm_weight"] == pytest.approx(1300 + 2000 * 8.3454, rel=1e-5) and kept["stands"] == 1


def test_a_tank_drained_for_frost_has_no_water_in_a_storm() -> None:
    drained = reckon(**TANK, storm_water="6000 gal", in_service="between the dates")
    assert drained["storm_weight"] == pytest.approx(1300, rel=1e-12) and drained["stands"] == 0
    assert "empty all winter" in str(drained["wind_verdict"])
    assert "empty all winter" not in str(reckon(**TANK)["wind_verdict"])


def test_a_storm_that_no_water_holds() -> None:
    found = reckon(**TANK, wind_speed="250 mph", friction=0.05)
    assert found["water_needed"] == 6500 and found["water_holds"] == 0
    assert "even when full" in str(found["wind_verdict"])


@pytest.mark.parametrize("count", [4, 5, 8, 24])
def test_pull_on_the_anchors(count: int) -> None:
    """Pulls that grow with the distance from the middle: the largest is M r / Σx², less the weight's share."""
    shape = {"shape": "square"} if count == 4 else {"shape": "many-sided", "sides": count}
    found = reckon(**TANK, **shape, anchor_circle="11.4 ft")
    x = 5.7 * np.cos(2 * math.pi * np.arange(count) / count)
    moment, lift = 1.5 * number(found, "wind_moment"), 1.5 * number(found, "wind_lift")
    pulls = moment * x / (x**2).sum() + (lift - 1300) / count
    assert found["anchor_pull"] == pytest.approx(pulls.max(), rel=1e-9)
    assert (pulls * x).sum() == pytest.approx(moment, rel=1e-9)
    assert found["anchor_shear"] == pytest.approx(1.5 * number(found, "wind_force") / count, rel=1e-9)
    assert reckon(**TANK, **shape)["circle_used"] == pytest.approx(11, rel=1e-12)
    assert reckon(**TANK, **shape, anchor_circle="4 ft")["circle_used"] == 10


def test_anchors_still_the_warning() -> None:
    found = reckon(**TANK, anchored="yes")
    assert not found["check_wind"] and number(found, "anchor_pull") > 0
    assert "Anchors must hold" in str(found["wind_verdict"])


def test_a_heavy_tank_needs_no_anchor() -> None:
    found = reckon(**TANK | {"tank_weight": "13000 lb"})
    assert (found["stands"], found["water_needed"], found["anchor_pull"], found["anchor_shear"]) == (1, 0, 0, 0)
    assert "even empty" in str(found["wind_verdict"]) and not found["check_wind"]


# ---------------------------------------------------------------- head


def test_head_from_the_full_and_the_nearly_empty_tank() -> None:
    """Slab 50 ft above the well, tap 4 ft above it: 6500 gal on 10 ft stand 11.063 ft deep, the outlet 6 in up."""
    found = reckon(**TANK, above_well="50 ft", tap_height="4 ft", outlet_height="6 in", tap_loss="0 ft")
    depth = 6500 * LINES["GAL"] / (25 * math.pi)
    assert found["head_full"] == pytest.approx(46 + depth, rel=1e-9)
    assert found["head_low"] == pytest.approx(46.5, rel=1e-12)
    assert (found["feeds_full"], found["feeds_low"]) == (1, 1)
    between = reckon(**TANK, above_well="45 ft", tap_height="4 ft", tap_loss="0 ft")  # 20 psi are 46.1 ft
    assert (between["feeds_full"], between["feeds_low"]) == (1, 0)
    assert "not when nearly empty" in str(between["head_verdict"])
    below = reckon(**TANK, tap_height="20 ft")
    assert number(below, "head_full") < 0
    assert (below["pressure_full"], below["pressure_low"], below["feeds_full"]) == (0, 0, 0)
    assert "does not feed" in str(below["head_verdict"])


def test_the_pump_against_the_top_of_the_tank() -> None:
    """20 ft down, 6 ft up to the slab, 11.5 ft of wall, 5 ft lost: 42.5 ft."""
    just, less = (reckon(**TANK, above_well="6 ft", pump_head=head) for head in ("42.5 ft", "42.4 ft"))
    assert just["filling_head"] == pytest.approx(42.5, rel=1e-12)
    assert just["pump_fills"] == 1 and not just["check_pump"] and "can lift" in str(just["head_verdict"])
    assert less["pump_fills"] == 0 and less["check_pump"] and "cannot lift" in str(less["head_verdict"])
    untold = reckon(**TANK)
    assert not untold["check_pump"] and "Type the pump's total head" in str(untold["head_verdict"])
    alone = reckon(**TANK, pumping_depth=None, pump_head="1 ft")
    assert alone["filling_head"] == 0 and not alone["check_pump"] and "ump can" not in str(alone["head_verdict"])


# ---------------------------------------------------------------- no tank, no figures


def silent(found: dict[str, Computed]) -> None:
    """All figures are 0, all texts empty but the first."""
    said = {name: value for name, value in found.items() if value not in (0, "", None)}
    assert said.keys() <= {"ground_verdict", "missing_cells", *OF_CELLS}, said


def test_without_a_diameter_nothing_is_reckoned() -> None:
    for found in (reckon(), reckon(capacity="0 gal", pumping_depth=None, shape="round", pump_head="3 ft")):
        silent(found)
        assert found["there"] == 0 and not found["check_missing"]
        assert found["ground_verdict"] == "Type the tank's diameter, and its capacity on Storage, to reckon its base."


@pytest.mark.parametrize("missing", [name.removeprefix("base_") for name, i in INPUTS.items() if not i.optional])
def test_an_empty_cell_is_named(missing: str) -> None:
    found = reckon(**TANK, missing=missing)
    silent(found)
    assert "cells are missing" in str(found["ground_verdict"])
    assert f": {INPUTS[f'base_{missing}'].title}; " in str(found["check_missing"])
    assert not reckon(missing=missing)["check_missing"]


def test_a_tank_that_holds_nothing() -> None:
    found = reckon(tank_diameter="10 ft", capacity="0 gal")
    silent(found)
    assert "no capacity" in str(found["check_capacity"]) and "its capacity on Storage" in str(found["ground_verdict"])


def test_a_tank_larger_than_its_wall() -> None:
    assert not reckon(tank_diameter="10 ft")["check_size"]  # the wall follows from the capacity
    assert not reckon(**TANK)["check_size"]
    assert "cannot hold" in str(reckon(**TANK | {"tank_height": "11 ft"})["check_size"])


def test_the_weight_of_a_light_tank_is_taken_where_none_is_typed() -> None:
    found = reckon(tank_diameter="10 ft")
    assert found["empty_weight"] == pytest.approx(0.02 * 6500 * 8.3454, rel=1e-5)
    assert found["wall_height"] == pytest.approx(6500 * LINES["GAL"] / (25 * math.pi), rel=1e-9)


# ---------------------------------------------------------------- both systems


@pytest.mark.parametrize(
    "typed",
    [
        {},
        TANK,
        TANK | {"shape": "round", "in_service": "between the dates", "pump_head": "60 ft"},
        {"tank_diameter": "3.1 m", "shape": "many-sided", "sides": 7, "storm_water": "3 m³", "above_well": "14.2 m"},
    ],
)
def test_both_systems_agree(typed: dict[str, object]) -> None:
    us, metric = (reckon(system, **typed) for system in SYSTEMS)  # type: ignore[arg-type]
    declared: dict[str, Input | Result] = {result.name.replace("base_", "", 1): result for result in RESULTS}
    assert len(us) > 30 and set(us) == set(metric)
    for name, value in us.items():
        other = metric[name]
        if isinstance(value, (int, float)) and isinstance(other, (int, float)):
            converted = convert(float(value), declared[name].unit, "US", "metric")
            assert other == pytest.approx(converted, rel=1e-9, abs=1e-9), name
        else:
            assert value == other, name
