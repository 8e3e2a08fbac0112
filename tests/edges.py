"""Sites at the edges of rules: what is typed there lies on a threshold or next to it, where random edits never come.

Each edge is a handful of cells of an example with evidence, pond, roof and a tank's base, in US units. A key is an
input's name, or a table, a column and a row.
"""

from __future__ import annotations

from datetime import date

from budget.units import Unit, serial
from budget.water import tank_base
from tests.computed import Computed
from tests.workbook.test_by_hand import put_in

Edge = dict[str | tuple[str, str, int], float | str | None]

NOBODY: Edge = {("household", "number", row): 0.0 for row in range(3)} | {("animals", "head", 0): 0.0}
SMALL_TANK: Edge = {"tank_capacity": 700.0, "tank_reserve": 0.0}
NO_GARDEN: Edge = {("zones", "area", row): 0.0 for row in range(3)} | {("zones", "trees", 2): 0.0}


def as_of(year: int, month: int, day: int) -> Edge:
    """The day as of which this year's rain is told."""
    return {"plan_as_of": float(serial(date(year, month, day)))}


def dates(fill: tuple[int, int], drain: tuple[int, int]) -> Edge:
    """The tank fills from the one month and day, and is drained by the other."""
    keys = ("tank_fill_from_month", "tank_fill_from_day", "tank_drain_by_month", "tank_drain_by_day")
    return {"tank_in_service": "between the dates"} | dict(zip(keys, map(float, (*fill, *drain)), strict=True))


def readings(*pairs: tuple[float, float]) -> Edge:
    """These readings of the recovery test and no others: minutes and depth."""
    edge: Edge = {("recovery", key, row): None for key in ("minutes", "depth") for row in range(18)}
    for row, (minutes, depth) in enumerate(pairs):
        edge |= {("recovery", "minutes", row): minutes, ("recovery", "depth", row): depth}
    return edge


def emptied(names: list[str]) -> Edge:
    """Nothing stands in the cells of these names."""
    return dict.fromkeys(names)


# Without a diameter there is no base that could lack anything.
BASE = [i.name for i in tank_base.INPUTS if i.unit is not Unit.TEXT and i.name != "base_tank_diameter"]
EDGES: dict[str, Edge] = {
    "a tank of less than a gallon": {"tank_capacity": 0.4, "tank_below_outlet": 0.0, "tank_reserve": 0.0}
    | {"hauling_load": 0.5, "plan_for": "1 in 5"},
    "a tank whose outlet stands above it": {"tank_capacity": 0.7, "tank_below_outlet": 0.9},
    "a tank that holds nothing": {"tank_capacity": 0.0, "tank_below_outlet": 0.0, "tank_reserve": 0.0}
    | {"hauling_load": 0.0, "plan_for": "middle", "roof_goes_to": "house tank"} | as_of(2025, 1, 10),
    "drained and filled within a month": dates((1, 20), (1, 5)) | {"tank_frost_days": 5.0},
    "drained and filled within December": dates((12, 10), (12, 2)),
    "in service on one day of the first and of the last month": dates((4, 30), (12, 1))
    | {"plan_for": "driest"} | as_of(2026, 2, 20),
    "drained for ten days about a month's end": dates((11, 6), (10, 27)) | as_of(2026, 3, 31),
    "drained at a month's end and filled within the next": dates((10, 10), (9, 30)) | as_of(2026, 4, 10),
    "filled on the first day and drained on the last": dates((4, 1), (10, 31)) | as_of(2026, 5, 1)
    | {"tank_reserve": 0.0},
    "drained on the tenth": SMALL_TANK | dates((4, 20), (10, 10)) | as_of(2026, 6, 11),
    "drained on the eleventh": SMALL_TANK | dates((4, 21), (10, 11)) | as_of(2026, 7, 1),
    "drained on the twentieth": SMALL_TANK | dates((4, 10), (10, 20)) | as_of(2026, 8, 20),
    "drained on the twenty-first": SMALL_TANK | dates((4, 11), (10, 21)) | as_of(2026, 9, 21),
    "nobody draws": NOBODY | as_of(2026, 9, 30) | {"plan_for": "1 in 10"},
    "nobody draws and nothing grows": NOBODY | NO_GARDEN | as_of(2025, 9, 30),
    "drained and filled again in midsummer": dates((7, 5), (6, 30)),
    "filled on the last of February": dates((2, 29), (10, 14)) | {"plan_number": 2028.0},
    "in service all year": {"tank_in_service": "all year", "base_pump_head": 4.0},
    "all year, planned from July": {"tank_in_service": "all year", "tank_wettest_month": 7.0} | as_of(2025, 1, 31),
    "a garden of a hand's breadth without water": NO_GARDEN
    | {("zones", "area", 0): 0.02, "well_depth": None, "pond_depth": None, ("roofs", "area", 0): None},
    "at the equator": {"site_latitude": 0.0, ("zones", "planting_month", 0): None} | as_of(2025, 10, 1),
    "all year, planned from September": {"tank_in_service": "all year", "tank_wettest_month": 9.0}
    | as_of(2025, 2, 28),
    "a puddle for a pond and a plank for a roof": {"pond_depth": 0.3, "pond_area": 0.3, "pond_keep": 0.3}
    | {("roofs", "area", 0): 0.4, "roof_tank_capacity": 0.5} | as_of(2024, 12, 31),
    "one reading": readings((0, 15.5), (60, 14.35)) | {"well_inflow": None},
    "two readings": readings((0, 15.5), (30, 14.9), (60, 14.35)),
    "readings that fall": readings((0, 13.5), (30, 13.6), (60, 13.7)),
    "a pump at the bottom, a reserve as large as the tank": {"pump_intake": 22.0, "tank_reserve": 6350.0}
    | {"pump_kind": "submersible", "pond_keep": 5.0},
    "every second cell of the base empty": emptied(BASE[::2]),
    "every second pair of its cells empty": emptied([*BASE[::4], *BASE[1::4]]),
    "the first half of its cells empty": emptied(BASE[: len(BASE) // 2]),
    "a year that is no plan year": {"plan_for": 1900.0},
    "the first year of the record": {"plan_for": 1996.0},
    "a station as high as the place": {"rain_station_height": 420.0, "rain_local_annual": 40.0},
    "a station as much higher as is let pass": {"rain_station_height": 520.0, "rain_height_limit": 100.0},
    "a third more inflow than the readings say": {"well_inflow": 0.9},
    "an inflow far above the readings": {"well_inflow": 9.0},
    "a pump that a hand switches in two hours of the day": {"pump_window": 2.0, "pump_most_runs": 300.0},
    "the same where the water falls to the intake": {"pump_window": 2.0, "pump_most_runs": 300.0}
    | {"well_water_lower": 5.0, "well_water_enters": "bottom"},
    "neither people nor water": NOBODY | {"well_depth": None, "pond_depth": None, ("roofs", "area", 0): None},
    "a zone that all or nothing reaches": {("zones", "share_given", 0): 0.0, ("zones", "efficiency", 1): None}
    | {("zones", "crop", 2): "moss", ("zones", "area", 0): 0.5},
    "a light tank in a storm, which the pump fills": {"base_tank_diameter": 8.0, "base_wind_speed": 110.0}
    | {"base_anchored": "no", "base_pump_head": 200.0},
    "no wind": {"base_wind_speed": 0.0, "base_wind_lift_factor": 0.0},
    "a cup of water against a breath of wind": {"base_wind_speed": 1.0, "base_storm_water": 0.05}
    | {"tank_in_service": "all year"},
}  # fmt: skip


def type_in(computed: Computed, edge: Edge) -> None:
    """Type an edge's cells into a book."""
    for key, value in edge.items():
        if isinstance(key, tuple):
            table, column, row = key
            put_in(computed, computed.cells(table, column)[row], value)
        else:
            put_in(computed, computed.book.directory.names[key], value)
