"""The pipes' dates in the plan year, and whether the tank has the dates that the record gives for its days of frost."""

from datetime import date

import numpy as np

from .climate import serial
from .site import Columns, Site

HARD_FROST = "hard frost"


def row_of(site: Site, days: float) -> dict | None:
    """The kind of frost that endangers a tank of so many days; None where the record tells none of that length."""
    return next((row for row in site.frosts if row["spell"] == days), None)


def in_the_plan(site: Site, first_month: int, day: tuple[int, int] | None) -> float:
    """Serial number of a month and day in the plan year that begins with a month of its year; 0 without a day."""
    if day is None:
        return 0.0
    number = int(site.number("plan_number"))
    plan = [(number + (month < first_month), month) for month in range(1, 13)]
    year = next(year for year, month in plan if month == day[0])
    return float(serial(date(year, *day)))


def is_followed(site: Site, row: dict) -> bool:
    """Whether the tank has the dates of this row: between them, or all year where the row leaves it so."""
    if row["spell"] == 0:
        return False
    if row["from"] is None:
        return bool(row["from_told"] == "all year" and site.word("tank_in_service") == "all year")
    dates = [site.number(f"tank_{which}") for which in ("fill_from_month", "fill_from_day")]
    dates += [site.number(f"tank_{which}") for which in ("drain_by_month", "drain_by_day")]
    return site.word("tank_in_service") == "between the dates" and dates == [*row["from"], *row["until"]]


def frosts(site: Site, first_month: int) -> tuple[Columns, dict[str, float | str]]:
    """The working columns beside the table of frosts, and the single cells that read it."""
    hard = next(row for row in site.frosts if row["name"] == HARD_FROST)
    tank = row_of(site, site.number("tank_frost_days"))
    columns = {
        "free_from_ahead": np.array([in_the_plan(site, first_month, row["from"]) for row in site.frosts]),
        "free_until_ahead": np.array([in_the_plan(site, first_month, row["until"]) for row in site.frosts]),
        "tank_dates_here": np.array([float(is_followed(site, row)) for row in site.frosts]),
    }
    return columns, {
        "hard_frost_over": hard["from_told"],
        "pipes_safe_by": in_the_plan(site, first_month, hard["until"]),
        "pipes_free_from": in_the_plan(site, first_month, hard["from"]),
        "tank_record_from": tank["from_told"] if tank else "not known",
        "tank_record_by": tank["until_told"] if tank else "not known",
    }


def other_dates(site: Site) -> bool:
    """Whether the tank still has the dates that were found for other days of frost than are typed now."""
    found, typed = (row_of(site, site.number(f"tank_{which}")) for which in ("dates_days", "frost_days"))
    if found is None or typed is None or typed["from_told"] == "not known":
        return False
    return is_followed(site, found) and not is_followed(site, typed)
