"""From a site and its record to the material of a book: everything in the book's units, and what the record settles."""

from __future__ import annotations

import os
from calendar import monthrange
from collections.abc import Callable, Mapping
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

from budget.declarations import Input
from budget.errors import Fault, InputFaults
from budget.references import reference
from budget.site_file.site import Site
from budget.stations import credits, station_columns, station_notes
from budget.units import System, Unit, convert, serial
from budget.water import record, water_table
from budget.water.nouns import MONTHS, SCALARS
from budget.workbook.material import Material, Origin, Provenance

if TYPE_CHECKING:
    import pandas as pd

    from budget.record import Record

WARM_UP_MONTHS = 24
LEAP_CYCLE = 4  # years by which the warm-up years are named earlier, so that their Februaries keep their days
FIT_ERRORS = ("fit_error_at_build", "fit_error_left_out")
EPOCH = "SOURCE_DATE_EPOCH"
REFERENCES = ("soils", "crops", "uses", "animal_table", "pond_soils", "roof_table", "bearing")


def material(site: Site, rain: Record, built_on: date | None = None) -> Material:
    """Site and record as a book needs them: in the book's units, warm-up years in front, frost dates put in.

    `built_on`: the date of the build that the book shall tell; None for `build_date`, which may raise InputFaults.
    """
    values = dict(site.values)
    values.update(_service(site, rain))
    values.update(_this_year(site, rain))
    values.update(_rain_station(site, rain))
    months = record_columns(rain.months, site.system)
    years = sorted({int(year) for year in rain.months["year"]})
    references = {name: reference(name, site.system) for name in REFERENCES}
    assumed = [i for i in SCALARS if i.name not in site.given and not i.optional]
    frosts = frost_columns(rain, site.system), [row.words for row in rain.frosts.nights] if rain.frosts else []
    stations = (station_columns(rain, site.system), station_notes(site, rain), credits(rain))
    of_record = (rain.notes, coverage_columns(rain), *frosts, *stations)
    given = (site.system, values, site.lists, site.monthly, months, years, references)
    return Material(*given, *of_record, assumed, provenance(site, rain, values, built_on or build_date()))


def build_date() -> date:
    """Today; where SOURCE_DATE_EPOCH is set, the day in UTC that it names, so that a build can be repeated to the byte.

    Raises InputFaults where that is no number of seconds (reproducible-builds.org, specification of the variable).
    """
    epoch = os.environ.get(EPOCH)
    if not epoch:
        return date.today()
    try:
        return datetime.fromtimestamp(int(epoch), UTC).date()
    except (ValueError, OverflowError, OSError):
        raise InputFaults([Fault(EPOCH, f"'{epoch}'", "seconds since 1970-01-01, or unset")]) from None


def provenance(site: Site, rain: Record, values: Mapping[str, float | str | None], built_on: date) -> Provenance:
    """Where the book comes from; `values`: what is put into its scalar cells."""
    of_the_fit = {given.name for given in water_table.FITTED}
    with_a_well = site.values["well_depth"] is not None

    def origin(given: Input) -> Origin:
        if given.name in site.given:
            return "given"
        if given.name in of_the_fit or (given.name in FIT_ERRORS and with_a_well):
            return "fitted" if with_a_well else "assumed"
        if values.get(given.name) is None:
            return "left empty"
        return "found from the record" if given.found else "assumed"

    inputs = (*SCALARS, *(given for months in MONTHS for given in months.inputs))
    origins = {given.name: origin(given) for given in inputs}
    return Provenance(built_on, site.path.name, site.text, sources(site, rain), rain.last, origins, site.given_in_lists)


def sources(site: Site, rain: Record) -> list[str]:
    """The files or the weather stations of a record, a line each."""
    if rain.fetched is None:
        beside = [f"{path.name}: for gaps" for path in site.rain_neighbours]
        return [file.path.name for file in rain.files] + beside
    served = [entry for entry in rain.fetched.considered if entry.serves]
    day = rain.fetched.retrieved.isoformat()
    return [f"station {entry.station.words}: {', '.join(entry.serves)}, fetched on {day}" for entry in served]


def coverage_columns(rain: Record) -> dict[str, list[int]]:
    """How much of each calendar year was measured, as the table on Climate has it."""
    from budget.record import yearly

    source = {
        "coverage_year": "year",
        "measured_days": "measured",
        "neighbour_days": "filled",
        "lacking_days": "missing",
        "longest_gap": "gap",
        "year_months_filled": "months_filled",
    }
    table = yearly(rain, "metric")
    return {key: [int(value) for value in table[column]] for key, column in source.items()}


def frost_columns(rain: Record, system: System) -> dict[str, list[object]]:
    """The kinds of frost and their dates, as the table on Climate has them; nothing is known where it holds months."""
    from budget.record.frost_dates import UNKNOWN, FrostRow, told

    rows = (rain.frosts or UNKNOWN).rows

    def days(which: str) -> list[object]:
        return [told(day) if (day := getattr(row, which)) else None for row in rows]

    def numbers(pick: Callable[[FrostRow], tuple[int, int] | None], part: int) -> list[object]:
        return [day[part] if (day := pick(row)) else 0 for row in rows]

    return {
        "frost_name": [row.cold for row in rows],
        "frost_spell": [row.spell_days for row in rows],
        "frost_limit": [convert(row.threshold, Unit.TEMPERATURE, "metric", system) for row in rows],
        "frost_seasons": [row.seasons for row in rows],
        "frost_came": [row.frosty for row in rows],
        "frost_last_middle": days("last_middle"),
        "frost_last_ten": days("last_in_ten"),
        "frost_first_ten": days("first_in_ten"),
        "frost_first_middle": days("first_middle"),
        "frost_free_from": [row.free_told[0] for row in rows],
        "frost_free_until": [row.free_told[1] for row in rows],
        "free_from_month": numbers(lambda row: row.free_from, 0),
        "free_from_day": numbers(lambda row: row.free_from, 1),
        "free_until_month": numbers(lambda row: row.free_until, 0),
        "free_until_day": numbers(lambda row: row.free_until, 1),
    }


def _rain_station(site: Site, rain: Record) -> dict[str, float | str | None]:
    """Distance and height of the station for the rain; its height also as the place's where none is given."""
    if rain.fetched is None:
        return {}
    station = rain.fetched.rain_station
    found: dict[str, float | str | None] = {}
    found["rain_station_distance"] = convert(station.distance, Unit.DISTANCE, "metric", site.system)
    if station.height is not None:
        height = convert(station.height, Unit.HEIGHT, "metric", site.system)
        found["rain_station_height"] = height
        if "site_elevation" not in site.given:
            found["site_elevation"] = height
    return found


def _service(site: Site, rain: Record) -> dict[str, float | str | None]:
    """The dates of the tank's service where none are given: the record's frost dates, or all year without them."""
    found: dict[str, float | str | None] = {}
    dated = "tank_fill_from_month" in site.given
    spell_days = int(site.values["tank_frost_days"] or 0)
    frost = rain.frosts.tank(spell_days) if rain.frosts else None
    if frost is None and not dated and site.values.get("tank_in_service") != "all year":
        accepted = 'dates of your own, or in_service = "all year"'
        raise InputFaults([Fault("tank.fill_from_month", "a monthly record holds no frost dates", accepted)])
    if frost and frost.spares == "no season" and not dated and "tank_in_service" not in site.given:
        found_there = f"no season is free of freezing spells of {_days(spell_days)}, so no dates can be proposed"
        if site.stations is not None:
            found_there += " (temperatures were brought to site.elevation: is that right?)"
        accepted = 'dates of your own, or in_service = "all year" for a tank that may freeze'
        raise InputFaults([Fault("tank.fill_from_month", found_there, accepted)])
    if frost and frost.free_from and frost.free_until and not dated:
        found["tank_fill_from_month"], found["tank_fill_from_day"] = frost.free_from
        found["tank_drain_by_month"], found["tank_drain_by_day"] = frost.free_until
    elif not dated:
        found |= dict.fromkeys(("tank_fill_from_month", "tank_fill_from_day"), 1)
        found |= {"tank_drain_by_month": 12, "tank_drain_by_day": 31}
    if "tank_in_service" not in site.given:
        frosty = dated or (frost is not None and frost.spares == "a season")
        found["tank_in_service"] = "between the dates" if frosty else "all year"
    asked = not dated and site.values.get("tank_in_service") != "all year"
    found["tank_dates_days"] = spell_days if asked and frost and frost.spares != "not known" else None
    if "tank_wettest_month" not in site.given:
        found["tank_wettest_month"] = 1
    return found


def _days(number: int) -> str:
    return f"{number} day{'s' if number > 1 else ''}"


def _this_year(site: Site, rain: Record) -> dict[str, float | str | None]:
    """The last day of the record as the day 'as of', and a plan year to begin with, until the book tells its own."""
    year, month = int(rain.months["year"].iloc[-1]), int(rain.months["month"].iloc[-1])
    found: dict[str, float | str | None] = {}
    if "plan_as_of" not in site.given:
        found["plan_as_of"] = serial(date(year, month, monthrange(year, month)[1]))
    if "plan_number" not in site.given:
        found["plan_number"] = year + 1
    return found


def record_columns(months: pd.DataFrame, system: System) -> dict[str, list[float] | list[int]]:
    """The record's data columns in the book's units, its first two years once more in front as warm-up."""
    source = {"rain_recorded": "rain"}
    columns: dict[str, list[float] | list[int]] = {}
    for column in record.DATA:
        if column.key == "in_record":
            columns["in_record"] = [0] * WARM_UP_MONTHS + [1] * len(months)
            continue
        series = months[source.get(column.key, column.key)]
        if column.unit in (Unit.YEAR, Unit.MONTH, Unit.COUNT, Unit.FLAG):
            counts = [int(value) for value in series]
            earlier = LEAP_CYCLE if column.key == "year" else 0
            columns[column.key] = [count - earlier for count in counts[:WARM_UP_MONTHS]] + counts
        else:
            values = [convert(float(value), column.unit, "metric", system) for value in series]
            columns[column.key] = values[:WARM_UP_MONTHS] + values
    return columns
