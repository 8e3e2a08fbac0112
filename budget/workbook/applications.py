"""Which noun runs along which rows: every table of the book, with its data.

Record, planning year and middle year are the same lists of columns applied again, with stores opened otherwise; no
rule is written a second time for another sheet.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from budget.declarations import Column, Input, Rows, Table, looked_up
from budget.units import System, Unit
from budget.water import (
    answers,
    balance,
    effective_rain,
    evapotranspiration,
    garden_demand,
    household_demand,
    plan_year,
    pump,
    record,
    rule_curve,
    service,
    snow,
    soil,
    tank,
    water_table,
    well,
    years,
)

MONTH_NAMES = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
SHORT_MONTHS = tuple(name[:3] for name in MONTH_NAMES)
SPARE_LINES, FEWEST_LINES = 3, 8
SPARE_ZONES, FEWEST_ZONES = 1, 4

CALENDAR = Rows("calendar", 12, SHORT_MONTHS)
PLAN = Rows("plan", 12, tuple(f"month {n}" for n in range(1, 13)))
MIDDLE = Rows("middle", 12, PLAN.labels)
CASES = Rows("cases", 2, ("In the planning year", "In a middle year"))
ONE = Rows("one", 1)

Series = Mapping[str, Sequence[object]]


@dataclass(frozen=True)
class Material:
    """What a book is made from, in the book's units.

    `values`: inputs by name. `lists`: rows of the household and the garden. `monthly`: the twelve filling months and
    the twelve levels kept, typed by hand. `months`: the record's data columns, warm-up years in front, a list each.
    `year_numbers`: the calendar years of the record. `references`: rows of the reference tables. `notes`: sentences on
    the record's quality; `assumed`: the inputs that nobody gave.
    """

    system: System
    values: Mapping[str, float | str | None]
    lists: Mapping[str, Sequence[Mapping[str, object]]]
    monthly: Mapping[str, Sequence[float | None]]
    months: Series
    year_numbers: Sequence[int]
    references: Mapping[str, Sequence[Mapping[str, object]]]
    notes: Sequence[str]
    assumed: Sequence[Input]


LEDGER_GROUPS = {
    "year": "The record",
    "first_day": "Calendar",
    "service_from": "Service of the tank",
    "reference_et": "Evapotranspiration and snow",
    "cover_et": "Soil",
    "recharge_height": "Water table",
    "water_column": "Well",
    "draws_down": "Pump",
    "house_need": "Demand",
    "house_net": "Rule curve and storage",
    "house_from_well": "Who gets what",
    "year_rain": "Plan year so far",
}

WATER: list[Column] = [
    *balance.NEXT_MONTH,
    *service.COLUMNS,
    *evapotranspiration.COLUMNS,
    *snow.COLUMNS,
    *soil.COLUMNS,
    *water_table.COLUMNS,
    *well.COLUMNS,
    *pump.COLUMNS,
    *household_demand.COLUMNS,
    *garden_demand.COLUMNS,
    *rule_curve.COLUMNS,
    *balance.COLUMNS,
]
GARDEN: list[Column] = [
    *garden_demand.CROP_ET,
    *effective_rain.COLUMNS,
    *garden_demand.ZONE_NEED,
    *garden_demand.ZONE_GIVEN,
]
ANSWER_WORKINGS = (
    "case_row",
    "too_late",
    "start_day",
    "full_day",
    "worst_row",
    "out_day",
    "in_service_day",
    "drain_day",
)


@dataclass(frozen=True)
class Tables:
    """Every table of the book, by the name that formulas use."""

    calendar: Table
    climate: Table
    soils: Table
    crops: Table
    uses: Table
    household: Table
    household_months: Table
    household_daily: Table
    zones: Table
    garden_kc: Table
    crop_coefficients: Table
    kc_workings: Table
    depths: Table
    storage_months: Table
    ledger: Table
    garden_ledger: Table
    years: Table
    year_months: Table
    over_years: Table
    year_choices: Table
    plan: Table
    plan_garden: Table
    middle: Table
    middle_garden: Table
    answers: Table
    answer_workings: Table


def tables(material: Material) -> Tables:
    """Apply the nouns to the material."""
    lines = Rows("line", max(FEWEST_LINES, len(material.lists["household"]) + SPARE_LINES))
    zone_count = max(FEWEST_ZONES, len(material.lists["garden"]) + SPARE_ZONES)
    zones = Rows("zone", zone_count)
    months = Rows("months", len(material.months["year"]))
    year_rows = Rows("years", len(material.year_numbers))
    choices = [*years.ODDS, *material.year_numbers]
    calendar = [
        Column("month", "Number", Unit.MONTH, "Calendar month, 1 to 12."),
        Column("month_name", "Month", Unit.TEXT, "Its name."),
        Column("short_name", "Short", Unit.TEXT, "Its name, short."),
    ]
    workings = [c for c in answers.CASES if c.key in ANSWER_WORKINGS]
    shown = [c for c in answers.CASES if c.key not in ANSWER_WORKINGS]
    cases = [{"case": "plan", "case_row": "planning_row"}, {"case": "middle", "case_row": "middle_row"}]
    return Tables(
        calendar=Table(
            "calendar",
            "Climate",
            CALENDAR,
            calendar,
            data={"month": list(range(1, 13)), "month_name": list(MONTH_NAMES), "short_name": list(SHORT_MONTHS)},
        ),
        climate=Table("climate", "Climate", CALENDAR, record.BY_CALENDAR_MONTH + evapotranspiration.RADIATION),
        soils=_reference("soils", "Well", soil.REFERENCE, material),
        crops=_reference("crops", "Garden", garden_demand.REFERENCE, material),
        uses=_reference("uses", "Household", household_demand.REFERENCE, material),
        household=Table(
            "household",
            "Household",
            lines,
            [*household_demand.LIST, *household_demand.LINES],
            data=_rows_data(household_demand.LIST, material.lists["household"], lines.size),
        ),
        household_months=Table(
            "household_months",
            "Household",
            lines,
            household_demand.MONTHLY_LIST,
            each=CALENDAR,
            data={"factors": _by_month(material.lists["household"], "factors", lines.size, 1.0)},
        ),
        household_daily=Table("household_daily", "Household", ONE, household_demand.MONTHLY, each=CALENDAR),
        zones=Table(
            "zones",
            "Garden",
            zones,
            [*garden_demand.LIST, *garden_demand.ZONES, *effective_rain.STORAGE_FACTOR],
            data=_rows_data(garden_demand.LIST, material.lists["garden"], zones.size),
            groups={"name": "What you grow", "crop_row": "Worked out"},
        ),
        garden_kc=Table(
            "garden_kc",
            "Garden",
            zones,
            garden_demand.MONTHLY_LIST,
            each=CALENDAR,
            data={"kc": _by_month(material.lists["garden"], "kc", zones.size, None)},
        ),
        crop_coefficients=Table("crop_coefficients", "Garden", zones, garden_demand.KC_IN_USE, each=CALENDAR),
        kc_workings=Table("kc_workings", "Garden", zones, garden_demand.KC_WORKINGS, each=CALENDAR),
        depths=Table("depths", "Well", CALENDAR, water_table.BY_CALENDAR_MONTH),
        storage_months=Table(
            "storage_months", "Storage", CALENDAR, tank.BY_CALENDAR_MONTH, data=dict(material.monthly)
        ),
        ledger=Table(
            "ledger",
            "Ledger",
            months,
            [*record.DATA, *record.CALENDAR, *WATER, *years.RUNNING, *years.BOUNDARY],
            data=material.months,
            groups=LEDGER_GROUPS,
        ),
        garden_ledger=Table(
            "garden_ledger",
            "Ledger",
            months,
            GARDEN,
            each=zones,
            groups={"crop_et": "Garden, zone by zone"},
        ),
        years=Table(
            "years",
            "Years",
            year_rows,
            [*years.NEED, *years.CARRIED],
            data={"year": list(material.year_numbers)},
            groups={"year": "What each year needed", "crosses": "What the present tank carries"},
        ),
        year_months=Table("year_months", "Years", year_rows, years.BY_MONTH, each=CALENDAR),
        over_years=Table("over_years", "Years", ONE, years.OVER_YEARS, each=CALENDAR),
        year_choices=Table(
            "year_choices",
            "Years",
            Rows("choices", len(choices)),
            [Column("choice", "Plan for", Unit.TEXT, "Words and years that Answers offers.")],
            data={"choice": choices},
        ),
        plan=_lived_again("plan", PLAN, "planning_row"),
        plan_garden=_garden_again("plan_garden", PLAN, zones),
        middle=_lived_again("middle", MIDDLE, "middle_row"),
        middle_garden=_garden_again("middle_garden", MIDDLE, zones),
        answers=Table(
            "answers",
            "Answers",
            CASES,
            shown,
            given=cases,
            transposed=True,
            headline=True,
            groups=ANSWER_GROUPS,
        ),
        answer_workings=Table("answer_workings", "Plan year", CASES, workings, given=cases, transposed=True),
    )


ANSWER_GROUPS = {
    "case_year": "The year",
    "latest_start": "Filling",
    "worst_yield": "The well at its lowest",
    "lowest_stored": "When it runs out",
    "drain_by": "Before frost",
    "garden_carried": "The garden",
}


def _lived_again(name: str, rows: Rows, case_row: str) -> Table:
    """A year of the record as twelve months of their own, stores opened from the Ledger's row before."""
    stores = {c.key: f"{{ledger:{c.key}@source_row}}" for c in WATER if c.opening is not None}
    columns = [
        *plan_year.LABEL,
        *plan_year.MONTHS,
        *looked_up([*record.DATA, *record.CALENDAR], "ledger", "source_row"),
        *WATER,
        *plan_year.START,
    ]
    groups = {key: text for key, text in LEDGER_GROUPS.items() if key != "year_rain"}
    groups |= {"month_label": "The months", "filling_now": "Dates"}
    given = {"case_row": case_row, "garden_ledger": f"{name}_garden"}
    data = {"plan_month": list(range(1, 13))}
    return Table(
        name,
        "Plan year",
        rows,
        columns,
        given=given,
        openings=stores,
        data=data,
        transposed=True,
        groups=groups,
    )


def _garden_again(name: str, rows: Rows, zones: Rows) -> Table:
    return Table(name, "Plan year", rows, GARDEN, each=zones)


def _reference(name: str, sheet: str, inputs: Sequence[Input], material: Material) -> Table:
    entries = material.references[name]
    data = {given.key: [entry[given.key] for entry in entries] for given in inputs}
    return Table(name, sheet, Rows(name, len(entries)), inputs, data=data, reference=True)


def _rows_data(inputs: Sequence[Input], entries: Sequence[Mapping[str, object]], size: int) -> Series:
    """A list's typed columns; spare rows are empty."""
    return {
        given.key: [entries[row][given.key] if row < len(entries) else spare(given) for row in range(size)]
        for given in inputs
    }


def spare(given: Input) -> object:
    """What a spare row of a list holds: shares their default, so that the row works once it is filled in."""
    return float(given.default) if given.key in ("share_given", "efficiency") and given.default else None


def _by_month(entries: Sequence[Mapping[str, object]], key: str, size: int, empty: float | None) -> list[list[object]]:
    """A list's twelve monthly figures as one list a month along the rows."""
    found: list[list[object]] = []
    for month in range(12):
        column: list[object] = []
        for row in range(size):
            values = entries[row][key] if row < len(entries) else None
            column.append(values[month] if isinstance(values, Sequence) else empty)
        found.append(column)
    return found
