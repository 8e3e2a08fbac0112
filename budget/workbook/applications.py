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
    animals,
    answers,
    balance,
    dips,
    dry_spells,
    effective_rain,
    evapotranspiration,
    fill_and_drain,
    garden_demand,
    household_demand,
    kept_for_house,
    plan_year,
    pond,
    pump,
    record,
    recovery_test,
    roof,
    rule_curve,
    running_out,
    service,
    snow,
    soil,
    tank,
    tank_base,
    this_year,
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
SPARE_HERDS, FEWEST_HERDS = 2, 4
SPARE_DIPS, FEWEST_DIPS = 12, 24
SPARE_ROOFS, FEWEST_ROOFS = 1, 4

CALENDAR = Rows("calendar", 12, SHORT_MONTHS)
PLAN = Rows("plan", 12, tuple(f"month {n}" for n in range(1, 13)))
MIDDLE = Rows("middle", 12, PLAN.labels)
LESS = Rows("less", 12, PLAN.labels)
MORE = Rows("more", 12, PLAN.labels)
CASES = Rows("cases", 4, ("Expected", "With less water", "With more water", "In a middle year"))
ONE = Rows("one", 1)
READING = Rows("reading", recovery_test.READINGS)
SPELL = Rows("spell", dry_spells.SPELLS)
SPELL_MONTHS = Rows("spell_months", dry_spells.SPELLS * 12)
SHARE = Rows(
    "share", len(dry_spells.TRIED) + 1, (*(f"share {share:.0%}" for share in dry_spells.TRIED), "the share in use")
)

Series = Mapping[str, Sequence[object]]


@dataclass(frozen=True)
class Material:
    """What a book is made from, in the book's units.

    `values`: inputs by name. `lists`: rows of household, animals, garden, recovery test, dips and dry spells
    remembered. `monthly`: what is typed by hand for the twelve calendar months, by the input's name. `months`: the
    record's data columns, warm-up years in front, a list each. `year_numbers`: the calendar years of the record.
    `references`: rows of the reference tables. `notes`: sentences on the record's quality; `coverage`: columns of the
    table of years, `frosts`: a sentence for each kind of frost; `stations`: columns of the table of weather stations
    that the rain was fetched from, `station_notes`: what is to be known of them, `credits`: whom to name for it, all
    empty where the rain stands in files; `assumed`: the inputs that nobody gave.
    """

    system: System
    values: Mapping[str, float | str | None]
    lists: Mapping[str, Sequence[Mapping[str, object]]]
    monthly: Mapping[str, Sequence[float | None]]
    months: Series
    year_numbers: Sequence[int]
    references: Mapping[str, Sequence[Mapping[str, object]]]
    notes: Sequence[str]
    coverage: Series
    frosts: Sequence[str]
    stations: Series
    station_notes: Sequence[str]
    credits: Sequence[str]
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
    "pond_surface": "Pond",
    "roof_catch": "Roof",
    "well_deficit": "Rule curve and storage",
    "kept_at_end": "Who gets what",
    "error_well": "What does not close",
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
    *well.SUSTAINED,
    *pump.COLUMNS,
    *pump.YIELD,
    *household_demand.COLUMNS,
    *garden_demand.COLUMNS,
    *pond.COLUMNS,
    *roof.COLUMNS,
    *rule_curve.COLUMNS,
    *kept_for_house.COLUMNS,
    *balance.COLUMNS,
    *balance.ERRORS,
]
GARDEN: list[Column] = [
    *garden_demand.CROP_ET,
    *effective_rain.COLUMNS,
    *garden_demand.ZONE_NEED,
    *garden_demand.ZONE_GIVEN,
]
# What a year without a tank asks of the nouns, at each share of the inflow that is tried.
TRIAL: list[Column] = [
    *well.SUSTAINED,
    *pump.COLUMNS,
    *pump.YIELD,
    *(
        column
        for column in balance.COLUMNS
        if column.key in ("house_from_well", "well_left", "house_left", "garden_from_well")
    ),
    *dry_spells.TRIAL,
]
TRIAL_READS = (
    "first_day",
    "days",
    "month",
    "rested_inflow",
    "available_drawdown",
    "house_need",
    "garden_need",
    "garden_from_pond",
)
ANSWER_WORKINGS = (
    "case_row",
    "no_tank_enough",
    "cannot_fill",
    "too_late",
    "start_day",
    "full_day",
    "worst_row",
    "out_day",
    "in_service_day",
    "drain_day",
    "pond_dry_day",
)


@dataclass(frozen=True)
class Tables:
    """Every table of the book, by the name that formulas use."""

    calendar: Table
    climate: Table
    coverage: Table
    stations: Table
    soils: Table
    crops: Table
    uses: Table
    household: Table
    household_names: Table
    household_months: Table
    animal_table: Table
    animals: Table
    animal_names: Table
    animal_months: Table
    people_days: Table
    animal_days: Table
    household_daily: Table
    zones: Table
    garden_names: Table
    garden_names_again: Table
    garden_kc: Table
    crop_coefficients: Table
    kc_workings: Table
    recovery: Table
    recovery_workings: Table
    dips: Table
    dip_workings: Table
    well_months: Table
    month_workings: Table
    remembered: Table
    shares: Table
    share_workings: Table
    spell_workings: Table
    share_totals: Table
    memory_scores: Table
    spell_months: Table
    memory_trials: Table
    pond_soils: Table
    roof_table: Table
    roofs: Table
    bearing: Table
    storage_months: Table
    so_far: Table
    so_far_workings: Table
    ledger: Table
    garden_ledger: Table
    years: Table
    year_months: Table
    over_years: Table
    year_choices: Table
    plan: Table
    plan_names: Table
    plan_garden: Table
    plan_less: Table
    plan_less_names: Table
    plan_less_garden: Table
    plan_more: Table
    plan_more_names: Table
    plan_more_garden: Table
    middle: Table
    middle_names: Table
    middle_garden: Table
    answers: Table
    answer_workings: Table
    fill_and_drain: Table


def tables(material: Material) -> Tables:
    """Apply the nouns to the material."""
    lines = Rows("line", max(FEWEST_LINES, len(material.lists["household"]) + SPARE_LINES))
    zone_count = max(FEWEST_ZONES, len(material.lists["garden"]) + SPARE_ZONES)
    zones = Rows("zone", zone_count)
    months = Rows("months", len(material.months["year"]))
    year_rows = Rows("years", len(material.year_numbers))
    choices = [*years.ODDS, *material.year_numbers]
    calendar = [
        Column("month_name", "Month", Unit.TEXT, "Its name."),
        Column("short_name", "Short", Unit.TEXT, "Its name, short."),
        Column("month", "Number", Unit.MONTH, "Calendar month, 1 to 12."),
    ]
    workings = [c for c in answers.CASES if c.key in ANSWER_WORKINGS]
    shown = [c for c in answers.CASES if c.key not in ANSWER_WORKINGS]
    cases = [
        {"case": "plan", "case_row": "planning_row"},
        {"case": "plan_less", "case_row": "planning_row"},
        {"case": "plan_more", "case_row": "planning_row"},
        {"case": "middle", "case_row": "middle_row"},
    ]
    herds = Rows("herd", max(FEWEST_HERDS, len(material.lists["animals"]) + SPARE_HERDS))
    dip_rows = Rows("dip", max(FEWEST_DIPS, len(material.lists["dips"]) + SPARE_DIPS))
    roof_rows = Rows("roof", max(FEWEST_ROOFS, len(material.lists["roofs"]) + SPARE_ROOFS))
    spells = range(1, SPELL.size + 1)
    return Tables(
        calendar=Table(
            "calendar",
            "Climate",
            CALENDAR,
            calendar,
            data={"month": list(range(1, 13)), "month_name": list(MONTH_NAMES), "short_name": list(SHORT_MONTHS)},
        ),
        climate=Table("climate", "Climate", CALENDAR, record.BY_CALENDAR_MONTH + evapotranspiration.RADIATION),
        coverage=Table(
            "coverage",
            "Climate",
            Rows("coverage", len(material.coverage["coverage_year"])),
            record.COVERAGE,
            data=material.coverage,
        ),
        stations=Table(
            "stations",
            "Climate",
            Rows("stations", len(material.stations["station"])),
            record.STATIONS,
            data=material.stations,
        ),
        soils=_reference("soils", "Well", soil.REFERENCE, material),
        crops=_reference("crops", "Garden", garden_demand.REFERENCE, material),
        uses=_reference("uses", "Household", household_demand.REFERENCE, material),
        household=Table(
            "household",
            "Household",
            lines,
            [*household_demand.LIST, *household_demand.LINES],
            data=_rows_data(household_demand.LIST, material.lists["household"], lines.size),
            spare=True,
        ),
        household_names=Table("household_names", "Household", lines, household_demand.NAMES),
        household_months=Table(
            "household_months",
            "Household",
            lines,
            household_demand.MONTHLY_LIST,
            each=CALENDAR,
            data={"factors": _by_month(material.lists["household"], "factors", lines.size, 1.0)},
        ),
        animal_table=_reference("animal_table", "Household", animals.REFERENCE, material),
        animals=Table(
            "animals",
            "Household",
            herds,
            [*animals.LIST, *animals.LINES],
            data=_rows_data(animals.LIST, material.lists["animals"], herds.size),
            spare=True,
        ),
        animal_names=Table("animal_names", "Household", herds, animals.NAMES),
        animal_months=Table(
            "animal_months",
            "Household",
            herds,
            animals.MONTHLY_LIST,
            each=CALENDAR,
            data={"factors": _by_month(material.lists["animals"], "factors", herds.size, 1.0)},
        ),
        people_days=Table("people_days", "Household", ONE, household_demand.PEOPLE, each=CALENDAR),
        animal_days=Table("animal_days", "Household", ONE, animals.MONTHLY, each=CALENDAR),
        household_daily=Table("household_daily", "Household", ONE, household_demand.MONTHLY, each=CALENDAR),
        zones=Table(
            "zones",
            "Garden",
            zones,
            [*garden_demand.LIST, *garden_demand.ZONES, *effective_rain.STORAGE_FACTOR],
            data=_rows_data(garden_demand.LIST, material.lists["garden"], zones.size),
            groups={"name": "What you grow", "crop_row": "Worked out"},
            spare=True,
        ),
        garden_names=Table("garden_names", "Garden", zones, garden_demand.NAMES),
        garden_names_again=Table("garden_names_again", "Garden", zones, garden_demand.NAMES),
        garden_kc=Table(
            "garden_kc",
            "Garden",
            zones,
            garden_demand.MONTHLY_LIST,
            each=CALENDAR,
            data={"kc": _by_month(material.lists["garden"], "kc", zones.size, None)},
        ),
        crop_coefficients=Table(
            "crop_coefficients", "Garden", zones, garden_demand.KC_IN_USE, each=CALENDAR, spare=True
        ),
        kc_workings=Table("kc_workings", "Garden", zones, garden_demand.KC_WORKINGS, each=CALENDAR),
        recovery=Table(
            "recovery",
            "Well",
            READING,
            [*recovery_test.LIST, *recovery_test.SHOWN],
            data=_rows_data(recovery_test.LIST, material.lists["recovery"], READING.size),
        ),
        recovery_workings=Table("recovery_workings", "Well", READING, [*recovery_test.COLUMNS, *recovery_test.DRAWN]),
        dips=Table(
            "dips",
            "Well",
            dip_rows,
            [*dips.LIST, *dips.SHOWN],
            data=_rows_data(dips.LIST, material.lists["dips"], dip_rows.size),
        ),
        dip_workings=Table("dip_workings", "Well", dip_rows, [*dips.COLUMNS, *dips.DRAWN]),
        well_months=_calendar_table(
            "well_months", "Well", [*water_table.BY_CALENDAR_MONTH, *pump.BY_CALENDAR_MONTH], material
        ),
        month_workings=Table("month_workings", "Well", CALENDAR, [*water_table.MONTH_WORKINGS, *pump.MONTH_WORKINGS]),
        remembered=Table(
            "remembered",
            "Well",
            SPELL,
            [*dry_spells.LIST, *dry_spells.SHOWN],
            data=_rows_data(dry_spells.LIST, material.lists["remembered"], SPELL.size),
        ),
        shares=Table("shares", "Well", SHARE, dry_spells.SHARES),
        share_workings=Table(
            "share_workings",
            "Well",
            SHARE,
            dry_spells.SHARE_WORKINGS,
            data={"share_number": list(range(1, SHARE.size + 1)), "tried": [*dry_spells.TRIED, 0]},
        ),
        spell_workings=Table("spell_workings", "Well", SPELL, dry_spells.SPELL, data={"spell": list(spells)}),
        share_totals=Table("share_totals", "Well", ONE, dry_spells.OVER_SPELLS, each=SHARE),
        memory_scores=Table("memory_scores", "Well", SPELL, dry_spells.SCORES, each=SHARE),
        spell_months=Table(
            "spell_months",
            "Well",
            SPELL_MONTHS,
            [
                *dry_spells.MONTHS,
                *looked_up(
                    [c for c in [*record.DATA, *record.CALENDAR, *WATER] if c.key in TRIAL_READS],
                    "ledger",
                    "ledger_row",
                ),
                *dry_spells.NO_TANK,
            ],
            data={
                "spell": [spell for spell in spells for _ in range(12)],
                "spell_month": [month for _ in spells for month in range(1, 13)],
            },
        ),
        memory_trials=Table(
            "memory_trials",
            "Well",
            SPELL_MONTHS,
            TRIAL,
            each=SHARE,
            given={"well_sustained_share": "{shares:share}"},
        ),
        pond_soils=_reference("pond_soils", "Storage", pond.REFERENCE, material),
        roof_table=_reference("roof_table", "Storage", roof.REFERENCE, material),
        roofs=Table(
            "roofs",
            "Storage",
            roof_rows,
            [*roof.LIST, *roof.LINES],
            data=_rows_data(roof.LIST, material.lists["roofs"], roof_rows.size),
            spare=True,
        ),
        bearing=_reference("bearing", "Tank base", tank_base.REFERENCE, material),
        storage_months=_calendar_table(
            "storage_months", "Storage", [*tank.BY_CALENDAR_MONTH, *kept_for_house.BY_CALENDAR_MONTH], material
        ),
        so_far=_calendar_table("so_far", "Readings", this_year.BY_CALENDAR_MONTH, material),
        so_far_workings=Table("so_far_workings", "Readings", CALENDAR, this_year.MONTH_WORKINGS),
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
            sorted(
                [*years.NEED, *kept_for_house.YEARS, *years.CARRIED], key=lambda column: column.key not in years.SHOWN
            ),
            data={"year": list(material.year_numbers)},
            groups={
                "year": "What each year needed",
                "house_short": "What the present tank carries",
                "first_row": "Behind it",
            },
        ),
        year_months=Table(
            "year_months", "Years", year_rows, [*kept_for_house.YEARS_BY_MONTH, *years.BY_MONTH], each=CALENDAR
        ),
        over_years=Table("over_years", "Years", ONE, [*kept_for_house.OVER_YEARS, *years.OVER_YEARS], each=CALENDAR),
        year_choices=Table(
            "year_choices",
            "Years",
            Rows("choices", len(choices)),
            [Column("choice", "Plan for", Unit.TEXT, "Words and years that Answers offers.")],
            data={"choice": choices},
        ),
        plan=_lived_again("plan", PLAN, "planning_row"),
        plan_names=Table("plan_names", "Plan year", PLAN, plan_year.NAMES),
        plan_garden=_garden_again("plan_garden", PLAN, zones),
        plan_less=_lived_again("plan_less", LESS, "planning_row", LESS_WATER),
        plan_less_names=Table("plan_less_names", "Plan year", LESS, plan_year.NAMES),
        plan_less_garden=_garden_again("plan_less_garden", LESS, zones),
        plan_more=_lived_again("plan_more", MORE, "planning_row", MORE_WATER),
        plan_more_names=Table("plan_more_names", "Plan year", MORE, plan_year.NAMES),
        plan_more_garden=_garden_again("plan_more_garden", MORE, zones),
        middle=_lived_again("middle", MIDDLE, "middle_row", record_rain=True),
        middle_names=Table("middle_names", "Plan year", MIDDLE, plan_year.NAMES),
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
        fill_and_drain=Table("fill_and_drain", "Fill and drain", PLAN, fill_and_drain.COLUMNS, spare=True),
    )


# How sure the planning year is: the same months with the inputs that are least known off by their errors.
LESS_WATER = {"well_sustained_share": "share_less", "well_water_lower": "water_lower_less"}
MORE_WATER = {"well_sustained_share": "share_more", "well_water_lower": "water_lower_more"}
ANSWER_GROUPS = {
    "case_year": "The year",
    "latest_start": "Filling",
    "worst_yield": "The well at its lowest",
    "lowest_stored": "When it runs out",
    "drain_by": "Before frost",
    "garden_carried": "The garden",
    "pond_dry_by": "Pond and roof",
}


def _lived_again(
    name: str, rows: Rows, case_row: str, replaced: Mapping[str, str] | None = None, record_rain: bool = False
) -> Table:
    """A year of the record as the twelve months of the plan year, stores opened from the Ledger's row before.

    `replaced`: inputs that are other ones in it. `record_rain`: with the record's rain, whatever fell this year.
    """
    stores = {c.key: f"{{ledger:{c.key}@source_row}}" for c in WATER if c.opening is not None}
    own = {c.key: c for c in (this_year.DATED if record_rain else [*this_year.DATED, this_year.RAIN])}
    columns = [
        *plan_year.LABEL,
        *plan_year.MONTHS,
        *(own.get(c.key, c) for c in looked_up(record.DATA, "ledger", "source_row")),
        *(own.get(c.key, c) for c in record.CALENDAR),
        *WATER,
        *pump.RESTED,
        *pond.DATES,
        *plan_year.START,
        *running_out.DATES,
        *plan_year.DRAINED,
    ]
    groups = {key: text for key, text in LEDGER_GROUPS.items() if key != "year_rain"}
    groups |= {
        "month_label": "The months",
        "runs_dry": "One run from a rested well",
        "pond_dry_on": "Pond",
        "filling_now": "Dates",
    }
    given = {"case_row": case_row, "garden_ledger": f"{name}_garden", **(replaced or {})}
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


def _calendar_table(name: str, sheet: str, columns: Sequence[Column | Input], material: Material) -> Table:
    """A table of the calendar months, with what is typed by hand for them."""
    typed = {column.key: material.monthly[column.key] for column in columns if isinstance(column, Input)}
    return Table(name, sheet, CALENDAR, columns, data=typed)


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
