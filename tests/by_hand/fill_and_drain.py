"""The page for the pump house, from the rows of the planning year."""

from calendar import month_name
from datetime import date

import numpy as np

from .climate import day_of_serial, serial
from .course import before, falls, safe_takes
from .halves import in_turn
from .pump import run_minutes
from .site import Columns, Site
from .years_of_record import ALMOST, whole_loads


def day_in_words(number: float) -> str:
    """A date (serial number) as day, month by name, year."""
    day = day_of_serial(number)
    return f"{day.day} {month_name[day.month]} {day.year}"


def by_month(site: Site, results: dict[str, float], plan: Columns, kept: np.ndarray, opening: float) -> Columns:
    """The twelve months: what to pump [L/day], runs [min] and rests [h], into and out of the tank, levels [L]."""
    rate, usable = site.number("pump_rate"), results["tank_usable"]
    outruns = plan["draws_down"] == 1
    whole_day = plan["daily_yield"] / rate if results["well_there"] else np.zeros(12)
    minutes = np.where(outruns, plan["run_minutes"], whole_day)
    serves = plan["days_in_service"] > 0
    days = np.where(serves, plan["days_in_service"], 1.0)
    first = np.concatenate([[opening], plan["stored"][:-1]])
    runs = np.zeros(12)
    pumped = minutes * rate
    runs[minutes > ALMOST] = plan["daily_yield"][minutes > ALMOST] / pumped[minutes > ALMOST]
    names = [f"{month_name[int(m)]} {int(y)}" for m, y in zip(plan["month"], plan["year"], strict=True)]
    return {
        "month_told": np.array(names, dtype=object),
        "most_a_day": plan["daily_yield"],
        "minutes_on": minutes,
        "hours_of_rest": np.where(outruns, plan["rest_minutes"] / 60, 0.0),
        "runs_told": runs,
        "into_tank_a_day": np.where(serves, plan["tank_fill"] / days, 0.0),
        "from_tank_a_day": np.where(serves, (plan["house_from_tank"] + plan["garden_from_tank"]) / days, 0.0),
        "level_on_first": first,
        "full_on_first": first / usable if usable > ALMOST else np.zeros(12),
        "house_keeps": np.where(serves, kept[plan["month"].astype(int) - 1], 0.0),
    }


def by_half(
    site: Site, results: dict[str, float], plan: Columns, opening_yield: float, opening_height: float
) -> Columns:
    """The halves of the twelve months, days 1 to 15 and the rest, in order of time: what to pump [L/day] and the
    minutes of a run, both at the lower end of the half.

    The openings are those of the first month: yield a day [L/day] and height of the water table above the floor [m]. A
    pump that does not outrun the well runs as long as the take needs.
    """
    begins = before(plan["water_height"], opening_height)
    lowest = in_turn(np.minimum(begins, plan["height_middle"]), np.minimum(plan["height_middle"], plan["water_height"]))
    take, rate = safe_takes(plan, opening_yield), site.number("pump_rate")
    minutes = np.zeros(len(take))
    for i in range(len(take)):
        t = i // 2
        rise = lowest[i] - plan["mean_height"][t]
        at_hand = max(0.0, results["allowed_pumping_depth"] - plan["depth_to_water"][t] + rise)
        at_mean = falls(site, plan["water_column"][t])
        inflow = (
            plan["season_inflow"][t] * falls(site, plan["water_column"][t] + rise) / at_mean if at_mean > 0 else 0.0
        )
        if 0 < inflow * at_hand < rate:
            minutes[i] = run_minutes(
                results["bore_storage"], inflow, rate, site.number("pump_restart") * at_hand, at_hand
            )
        elif rate > 0:
            minutes[i] = take[i] / rate
    return {"half_take": take, "half_minutes": minutes}


def dates(site: Site, results: dict[str, float], answers: Columns) -> dict[str, float | str]:
    """What stands under the table: dates of this year, what is left to use."""
    tank, all_year = results["tank_usable"] > ALMOST, site.word("tank_in_service") == "all year"
    drained = answers["drain_day"][0]
    opens = date(
        int(site.number("plan_number")),
        int(site.number("tank_fill_from_month")),
        int(site.number("tank_fill_from_day")),
    )
    use = ""
    if tank and not drained:
        use = "The tank stays in service: use its water in turn, so that none stands for months."
    elif tank and answers["use_first"][0] > ALMOST:
        use = (
            "From a month before: water trees and beds from the tank first, then let the house live from it while the"
            " well rests. Drain what is left away from the base and the well, open every low valve, and leave the drain"
            " open."
        )
    elif tank:
        use = "Nothing is expected to be left by then. Open every low valve all the same, and leave the drain open."
    always, none = "in service all year", "there is no tank"
    return {
        "fill_from_told": none if not tank else always if all_year else day_in_words(serial(opens)),
        "start_told": answers["latest_start"][0],
        "full_told": answers["full_by"][0],
        "full_level_told": answers["full_level"][0],
        "drain_told": none if not tank else day_in_words(drained) if drained else always,
        "runs_out_told": answers["runs_out"][0],
        "loads_told": whole_loads(answers["short_by"][0] + answers["short_drained"][0], site.number("hauling_load")),
        "use_first_told": answers["use_first"][0],
        "use_first_sentence": use,
    }
