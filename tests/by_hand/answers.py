"""The sentences' figures, for the planning year and the middle year."""

from calendar import month_name

import numpy as np

from .climate import day_of_serial
from .site import Columns, Site
from .years_of_record import ALMOST, whole_loads

DIGITS = 6
EQUAL = 1e-13  # of the yield
NEVER_DRY = "does not run down"


def third(number: float) -> str:
    """A date (serial number) to the third of its month: early, mid or late."""
    day = day_of_serial(number)
    part = "early" if day.day <= 10 else "mid" if day.day <= 20 else "late"
    return f"{part} {month_name[day.month]}"


def cannot(source: str) -> str:
    """That the level which the house needs cannot be reached."""
    return f"the {source} cannot fill it"


def can_fill(usable: float, fillable: float, well_fills: float, source: str = "well") -> str:
    """Whether the level that the house needs can be reached; `source`: the well, or the roof where there is none."""
    if usable <= ALMOST:
        return "there is no tank"
    if not well_fills:
        return cannot(source)
    return "yes" if fillable else "yes, but not enough"


def no_start_told(holds: bool, short: float) -> str:
    """Why nothing need be pumped by any date; `holds`: whether the tank holds water when the plan year begins;
    `short`: what the house lacks all the same."""
    if not holds:
        return "none needed"
    return "full already" if short > ALMOST else "holds enough already"


def latest_start(usable: float, too_late: bool, day: float, late: str, none: str) -> str:
    """The latest safe start in words; `late`, `none`: what is said where it is too late, and where none is needed."""
    if usable <= ALMOST:
        return "there is no tank"
    if too_late:
        return late
    return third(day) if day else none


def drain_by(usable: float, day: float) -> str:
    """The day by which the tank is drained, in words."""
    if usable <= ALMOST:
        return "there is no tank"
    return third(day) if day else "in service all year"


def runs_out(day: float, in_service_day: float) -> str:
    """The day on which the house runs out, in words."""
    if not day:
        return "never in that year"
    return "the tank never carries the house" if day <= in_service_day + ALMOST else third(day)


def pond_dry_by(pond_full: float, plan: Columns) -> str:
    """The day on which the pond falls dry, in words."""
    if pond_full <= 0:
        return "there is no pond"
    if plan["pond_is_dry"][0]:
        return "dry when the year begins"
    return third(plan["pond_fell_dry"][-1]) if plan["pond_fell_dry"][-1] else "not in that year"


def case(site: Site, results: dict[str, float], table: Columns, row: int, plan: Columns, opening: float) -> dict:
    """One year's answers; `row` counts from 1 in the table of years, `plan` has its twelve rows.

    `opening`: water in the tank [L] when the plan year begins.
    """
    usable = results["tank_usable"]
    beyond = round(float(plan["required_uncut"][0]) / site.volume_unit, DIGITS) > 0
    unfilled = round(float(plan["required_level"][0]) / site.volume_unit, DIGITS) > 0
    source, alone = ("well", NEVER_DRY) if results["well_there"] else ("roof", 0.0)
    fills = can_fill(usable, not beyond, not unfilled, source)
    too_late = plan["start_level"][0] > opening + ALMOST
    start_day = 0.0 if too_late else plan["started"][-1]
    full_day = plan["peak_on"][-1] if start_day else 0.0
    filling, stays = plan["filling_now"] == 1, plan["stays_in"] == 1
    worst = int(np.argmin(plan["yield_key"]))  # the first of equals
    in_service_day = plan["first_service_day"][0]
    short, asked = plan["short"].sum(), plan["garden_need"].sum()
    loads = whole_loads(short, site.number("hauling_load"))
    late = fills if unfilled else "too late even on the first day, in the filling months chosen"
    late = late if too_late else ""
    none = "" if too_late or start_day else no_start_told(opening > ALMOST, short)
    drain_day, roof_water = plan["emptied_on"][-1], plan["roof_to_house"] + plan["roof_to_garden"]
    return {
        "case_row": float(row),
        "case_year": float(table["year"][row - 1]),
        "no_tank_enough": float(beyond),
        "cannot_fill": float(unfilled),
        "needed": "no tank is enough" if beyond else plan["storage_needed"].max(),
        "can_fill": fills,
        "too_late": float(too_late),
        "start_day": start_day,
        "too_late_told": late,
        "no_start_told": none,
        "latest_start": latest_start(usable, too_late, start_day, late, none),
        "full_day": full_day,
        "full_by": third(full_day) if full_day else "no date",
        "full_level": plan["peak_level"][-1],
        "filling_rate": plan["daily_yield"][filling].min() if filling.any() else 0.0,
        "worst_yield": plan["daily_yield"][worst],
        "worst_row": float(worst + 1),
        "worst_month": month_name[int(plan["month"][worst])],
        "worst_run": plan["run_minutes"][worst],
        "worst_rest": plan["rest_minutes"][worst],
        "worst_runs": plan["runs_a_day"][worst],
        "worst_rested": plan["rested_minutes"][worst] if plan["runs_dry"][worst] else alone,
        "worst_rested_take": plan["rested_take"][worst] if plan["runs_dry"][worst] else alone,
        "out_day": plan["ran_out"][-1],
        "in_service_day": in_service_day,
        "runs_out": runs_out(plan["ran_out"][-1], in_service_day),
        "short_by": short,
        "loads": loads,
        "cost": loads * site.number("hauling_price"),
        "short_drained": plan["short_drained"].sum(),
        "drain_day": drain_day,
        "drain_by": drain_by(usable, drain_day),
        "use_first": plan["drained"].sum(),
        "garden_carried": plan["garden_given"].sum() / asked if asked > 0 else 1.0,
        "garden_short": plan["garden_dry"].sum(),
        "pond_dry_day": plan["pond_fell_dry"][-1],
        "pond_dry_by": pond_dry_by(results["pond_full"], plan),
        "pond_lowest": plan["pond_level"].min() if results["pond_full"] > 0 else "no pond",
        "pond_spared": plan["garden_from_pond"].sum() if results["pond_full"] > 0 else "no pond",
        "roof_brought": roof_water.sum() if results["roof_catching_area"] > 0 else "no roof",
        "lowest_stored": min(usable, plan["stored"][stays].min()) if stays.any() else usable,
    }


def side_by_side(cases: list[dict]) -> Columns:
    """The cases as columns: an array of numbers, or of objects for words."""
    return {
        key: np.array([c[key] for c in cases], dtype=object if any(isinstance(c[key], str) for c in cases) else float)
        for key in cases[0]
    }
