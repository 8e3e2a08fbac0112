"""The page for the pump house, from the rows of the planning year."""

from calendar import month_name
from datetime import date

import numpy as np

from .climate import day_of_serial, serial
from .course import falls, safe_takes
from .frosts import HARD_FROST
from .halves import in_turn
from .pump import rest_minutes, run_minutes
from .site import Columns, Site
from .years_of_record import ALMOST, whole_loads


def day_in_words(number: float) -> str:
    """A date (serial number) as day, month by name, year."""
    day = day_of_serial(number)
    return f"{day.day} {month_name[day.month]} {day.year}"


def by_half(site: Site, results: dict[str, float], plan: Columns) -> Columns:
    """The halves of the plan's months, days 1 to 15 and the rest, in order of time, at the lower end of each.

    What the well gives a day [L/day], and the pump's cycle [min] from the drawdown at hand there [m]; through the walls
    with the inflow of the water that stands there [L/min per m]. A depth typed for the calendar month holds all month.
    """
    rate, restart = site.number("pump_rate"), site.number("pump_restart")
    take = safe_takes(plan, float(plan["yield_begins"][0]))
    height = np.minimum(
        in_turn(plan["height_begins"], plan["height_middle"]), in_turn(plan["height_middle"], plan["water_height"])
    )
    names = ("low_rise", "low_drawdown", "low_inflow", "low_draws_down", "low_run", "low_rest")
    out = {"low_yield": take, **{name: np.zeros(len(take)) for name in names}}
    for i in range(len(take)):
        t = i // 2
        held = site.monthly_depth[int(plan["month"][t]) - 1] is not None
        rise = 0.0 if held else height[i] - plan["mean_height"][t]
        at_hand = max(0.0, results["allowed_pumping_depth"] - plan["depth_to_water"][t] + rise)
        at_mean, there = (falls(site, plan["water_column"][t] + moved) for moved in (0.0, rise))
        inflow = plan["season_inflow"][t] * there / at_mean if at_mean > 0 else 0.0
        out["low_rise"][i], out["low_drawdown"][i], out["low_inflow"][i] = rise, at_hand, inflow
        if 0 < inflow * at_hand < rate:
            out["low_draws_down"][i] = 1.0
            out["low_run"][i] = run_minutes(results["bore_storage"], inflow, rate, restart * at_hand, at_hand)
            out["low_rest"][i] = rest_minutes(results["bore_storage"], inflow, restart)
    return out


def minutes_on(site: Site, results: dict[str, float], halves: Columns) -> np.ndarray:
    """Minutes of one run in each half; a pump that does not outrun the well runs as long as the day's water needs."""
    whole_day = halves["low_yield"] / site.number("pump_rate") if results["well_there"] else 0.0
    return np.where(halves["low_draws_down"] == 1, halves["low_run"], whole_day)


def told(site: Site, results: dict[str, float], plan: Columns, halves: Columns, kept: np.ndarray) -> Columns:
    """Two lines a month: what to pump [L/day], runs [min] and rests [h], into and out of the tank, levels [L].

    `kept`: level kept for the house on each calendar month's first day [L]. Levels stand in the first line of a month.
    """
    rate, usable = site.number("pump_rate"), results["tank_usable"]
    minutes = minutes_on(site, results, halves)
    runs = np.zeros(len(minutes))
    runs[minutes > ALMOST] = halves["low_yield"][minutes > ALMOST] / (minutes[minutes > ALMOST] * rate)
    serves = plan["days_in_service"] > 0
    days = np.where(serves, plan["days_in_service"], 1.0)
    into = np.where(serves, plan["tank_fill"] / days, 0.0)
    out = np.where(serves, (plan["house_from_tank"] + plan["garden_from_tank"]) / days, 0.0)
    keeps = np.where(serves, kept[plan["month"].astype(int) - 1], 0.0)
    level = in_turn(plan["stored_begins"], np.zeros(12))
    names = []
    for month, year, last in zip(plan["month"], plan["year"], plan["days"], strict=True):
        name = f"{month_name[int(month)]} {int(year)}"
        names += [f"{name}, 1 to 15", f"{name}, 16 to {int(last)}"]
    return {
        "month_told": np.array(names, dtype=object),
        "most_a_day": halves["low_yield"],
        "minutes_on": minutes,
        "hours_of_rest": halves["low_rest"] / 60,
        "runs_told": runs,
        "into_tank_a_day": in_turn(into, into),
        "from_tank_a_day": in_turn(out, out),
        "level_on_first": level,
        "full_on_first": level / usable if usable > ALMOST else np.zeros(24),
        "house_keeps": in_turn(keeps, np.zeros(12)),
    }


def dates(site: Site, results: dict[str, float], answers: Columns) -> dict[str, float | str]:
    """What stands under the table: dates of this year, what is left to use."""
    tank, all_year = results["tank_usable"] > ALMOST, site.word("tank_in_service") == "all year"
    drained = answers["drain_day"][0]
    month = int(site.number("tank_fill_from_month"))
    # A plan year that begins in the month after begins in the next year, where that month is December.
    year = int(site.number("plan_number")) - (month > results["first_month"])
    opens = date(year, month, int(site.number("tank_fill_from_day")))
    hard = next(row for row in site.frosts if row["name"] == HARD_FROST)
    by, since = {
        "all year": ("hard frost is rare", "hard frost is rare"),
        "at no time": ("the whole year", "at no time"),
    }.get(hard["from_told"], ("not known", "not known"))
    if hard["from"]:
        by, since = day_in_words(results["pipes_safe_by"]), day_in_words(results["pipes_free_from"])
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
        "pipes_by_told": by,
        "pipes_from_told": since,
        "start_told": answers["latest_start"][0],
        "full_told": answers["full_by"][0],
        "full_level_told": answers["full_level"][0],
        "drain_told": none if not tank else day_in_words(drained) if drained else always,
        "runs_out_told": answers["runs_out"][0],
        "loads_told": whole_loads(answers["short_by"][0] + answers["short_drained"][0], site.number("hauling_load")),
        "use_first_told": answers["use_first"][0],
        "use_first_sentence": use,
    }
