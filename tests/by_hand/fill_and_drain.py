"""The page for the pump house, from the rows of the planning year."""

from calendar import month_name
from datetime import date

import numpy as np

from .climate import day_of_serial, serial
from .frosts import HARD_FROST
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
