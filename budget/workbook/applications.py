"""Which noun runs along which rows: every table of the book, with its data.

Record, planning year and every other case of a plan year are the same lists of columns applied again, with stores
opened otherwise; no rule is written a second time for another sheet.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from budget.declarations import Column, Rows, Table, looked_up
from budget.errors import ModelError
from budget.units import Unit
from budget.water import (
    answers,
    balance,
    decision,
    dry_spells,
    effective_rain,
    evapotranspiration,
    fill_and_drain,
    frosts,
    garden_demand,
    ground,
    household_demand,
    kept_for_house,
    plan_months,
    pond,
    pump,
    readings,
    record,
    roof,
    rule_curve,
    running_out,
    service,
    snow,
    soil,
    tap_head,
    water_table,
    well,
    wind,
    years_of_record,
)
from budget.water.nouns import RESULTS
from budget.workbook.cases import CASES, EXPECTED, YEAR, Case, lived_again, words_of
from budget.workbook.lists import (
    garden_tables,
    household_tables,
    listed,
    readings_tables,
    storage_tables,
    well_tables,
    zone_rows,
)
from budget.workbook.material import Material, Series
from budget.workbook.rows import CALENDAR, HALVES, MONTH_NAMES, ONE, PLAN, SHARE, SHORT_MONTHS, SPELL, SPELL_MONTHS

Tables = Mapping[str, Table]  # every table of the book, by the name that formulas use

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
    "kept_at_end": "Who gets what",
    "required_level": "Rule curve and storage",
    "error_well": "What does not close",
    "year_rain": "Plan year so far",
}

PLAN_GROUPS = {key: text for key, text in LEDGER_GROUPS.items() if key != "year_rain"} | {
    "month_label": "The months",
    "runs_dry": "One run from a rested well",
    "pond_dry_on": "Pond",
    "filling_now": "Dates",
    "yield_begins": "When the month begins",
}
ANSWER_GROUPS = {
    "case_year": "The year",
    "latest_start": "Filling",
    "worst_yield": "The well at its lowest",
    "lowest_stored": "When it runs out",
    "drain_by": "Before frost",
    "garden_carried": "The garden",
    "pond_dry_by": "Pond and roof",
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
    *kept_for_house.COLUMNS,
    *balance.COLUMNS,
    *rule_curve.COLUMNS,
    *balance.ERRORS,
]
# The yield with which a plan year begins is reckoned from the water table of the Ledger's month before it, not read
# there: so it follows a case that changes the well.
HELD_BEFORE = ("month", "mean_height")
RECKONED_BEFORE = (
    "modelled_depth known_depth depth_to_water water_column rested_inflow available_drawdown season_inflow draws_down"
    " run_minutes rest_minutes run_take runs_a_day cycle_yield daily_yield yield_slope yield_end"
).split()
GARDEN: list[Column] = [
    *garden_demand.CROP_ET,
    *effective_rain.COLUMNS,
    *garden_demand.ZONE_NEED,
    *garden_demand.ZONE_GIVEN,
]
# What a year without a tank reads of the Ledger.
TRIAL_READS = ("first_day", "days", "month", "rested_inflow", "available_drawdown", "house_need")
# Which sentences come from decision tables, and where these stand.
DECISIONS = {
    answers.VERDICT: "Answers",
    answers.WITHOUT_OWN_RAIN: "Answers",
    dry_spells.JUDGED: "Answers",
    fill_and_drain.TO_USE_FIRST: "Fill and drain",
    ground.BEARS: "Tank base",
    wind.STANDS: "Tank base",
    tap_head.FEEDS: "Tank base",
    tap_head.FILLS: "Tank base",
}
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
ANSWER_WORDS = ("too_late_told", "no_start_told")


def tables(material: Material) -> Tables:
    """Apply the nouns to the material. Raises ModelError where two tables have one name."""
    zones = zone_rows(material)
    plan = plan_tables(zones)
    outside = [
        *climate_tables(material),
        *household_tables(material),
        *garden_tables(material, zones),
        *well_tables(material),
        *dry_spell_tables(material),
        *storage_tables(material),
        *readings_tables(material),
        *ledger_tables(material, zones),
        *years_tables(material),
    ]
    cases = [table for case in CASES for table in case_tables(plan, case, outside)]
    everything = [*outside, *cases, *answer_tables(plan), *decision_tables()]
    names = [table.name for table in everything]
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        raise ModelError(f"two tables are named {', '.join(twice)}")
    return dict(zip(names, everything, strict=True))


def climate_tables(material: Material) -> list[Table]:
    """The calendar, the weather of its months, what was measured of each year, and who measured it."""
    kinds = Rows("frosts", len(material.frosts["frost_name"]))
    calendar = [
        Column("month_name", "Month", Unit.TEXT, "Its name."),
        Column("short_name", "Short", Unit.TEXT, "Its name, short."),
        Column("month", "Number", Unit.MONTH, "Calendar month, 1 to 12."),
    ]
    thirds = [
        Column("third", "Third of a month", Unit.TEXT, "More would be false."),
        Column("from_day", "From the day", Unit.DAY, "First day of that third."),
    ]
    return [
        Table(
            "thirds",
            "Climate",
            Rows("thirds", len(answers.THIRDS)),
            thirds,
            data={"third": list(answers.THIRDS), "from_day": list(answers.THIRDS.values())},
        ),
        Table(
            "calendar",
            "Climate",
            CALENDAR,
            calendar,
            data={"month": list(range(1, 13)), "month_name": list(MONTH_NAMES), "short_name": list(SHORT_MONTHS)},
        ),
        Table("climate", "Climate", CALENDAR, record.BY_CALENDAR_MONTH + evapotranspiration.RADIATION),
        Table("frosts", "Climate", kinds, frosts.COLUMNS, data=_among(frosts.COLUMNS, material.frosts)),
        Table("frost_dates", "Climate", kinds, frosts.WORKINGS, data=_among(frosts.WORKINGS, material.frosts)),
        Table(
            "coverage",
            "Climate",
            Rows("coverage", len(material.coverage["coverage_year"])),
            record.COVERAGE,
            data=material.coverage,
        ),
        Table(
            "stations",
            "Climate",
            Rows("stations", len(material.stations["station"])),
            record.STATIONS,
            data=material.stations,
        ),
    ]


def _among(columns: Sequence[Column], data: Series) -> Series:
    """The data of these columns."""
    return {column.key: data[column.key] for column in columns if column.key in data}


def dry_spell_tables(material: Material) -> list[Table]:
    """Dry spells remembered, and their years run again without a tank at several shares of the inflow."""
    spells = range(1, SPELL.size + 1)
    read = [column for column in [*record.DATA, *record.CALENDAR, *WATER] if column.key in TRIAL_READS]
    return [
        *listed(
            "remembered",
            "Well",
            SPELL,
            [*dry_spells.SPELL, *dry_spells.SHOWN],
            material,
            shown=[column.key for column in dry_spells.SHOWN],
            data={"spell": list(spells)},
        ),
        Table("shares", "Well", SHARE, dry_spells.SHARES),
        Table(
            "share_workings",
            "Well",
            SHARE,
            dry_spells.SHARE_WORKINGS,
            data={"share_number": list(range(1, SHARE.size + 1)), "tried": [*dry_spells.TRIED, 0]},
        ),
        Table("share_totals", "Well", ONE, dry_spells.OVER_SPELLS, each=SHARE),
        Table("memory_scores", "Well", SPELL, dry_spells.SCORES, each=SHARE, partners=("spell_workings",)),
        Table(
            "spell_months",
            "Well",
            SPELL_MONTHS,
            [
                *dry_spells.MONTHS,
                *looked_up(read, "ledger", "ledger_row"),
                *dry_spells.OF_MONTHS,
            ],
            data={
                "spell": [spell for spell in spells for _ in range(12)],
                "spell_month": [month for _ in spells for month in range(1, 13)],
            },
        ),
        Table("memory_trials", "Well", SPELL_MONTHS, dry_spells.TRIAL, each=SHARE),
    ]


def ledger_tables(material: Material, zones: Rows) -> list[Table]:
    """Every month of the record, and its garden zone by zone."""
    months = Rows("months", len(material.months["year"]))
    return [
        Table(
            "ledger",
            "Ledger",
            months,
            [*record.DATA, *record.CALENDAR, *WATER, *years_of_record.RUNNING, *years_of_record.BOUNDARY],
            data=material.months,
            groups=LEDGER_GROUPS,
        ),
        Table(
            "garden_ledger",
            "Ledger",
            months,
            GARDEN,
            each=zones,
            groups={"crop_et": "Garden, zone by zone"},
        ),
    ]


def years_tables(material: Material) -> list[Table]:
    """Every plan year of the record."""
    year_rows = Rows("years", len(material.year_numbers))
    choices = [*years_of_record.ODDS, *material.year_numbers]
    return [
        Table(
            "years",
            "Years",
            year_rows,
            sorted(
                [*years_of_record.NEED, *kept_for_house.YEARS, *years_of_record.CARRIED],
                key=lambda column: column.key not in years_of_record.SHOWN,
            ),
            data={"year": list(material.year_numbers)},
            groups={
                "year": "What each year needed",
                "house_short": "What the present tank carries",
                "first_row": "Behind it",
            },
        ),
        Table(
            "year_months",
            "Years",
            year_rows,
            [*kept_for_house.YEARS_BY_MONTH, *years_of_record.BY_MONTH],
            each=CALENDAR,
        ),
        Table("over_years", "Years", ONE, [*kept_for_house.OVER_YEARS, *years_of_record.OVER_YEARS], each=CALENDAR),
        Table(
            "year_choices",
            "Years",
            Rows("choices", len(choices)),
            [Column("choice", "Plan for", Unit.TEXT, "Words and years that Answers offers.")],
            data={"choice": choices},
        ),
    ]


def plan_tables(zones: Rows) -> list[Table]:
    """The planning year: twelve months of the record lived again, stores opened from the Ledger's row before them."""
    own = {column.key: column for column in (*readings.DATED, readings.RAIN)}
    columns = [
        *plan_months.LABEL,
        *plan_months.MONTHS,
        *(own.get(c.key, c) for c in looked_up(record.DATA, "ledger", "source_row")),
        *(own.get(c.key, c) for c in record.CALENDAR),
        *WATER,
        *pump.RESTED,
        *pond.DATES,
        *plan_months.START,
        *running_out.DATES,
        *plan_months.DRAINED,
        *pump.BEGINS,
        *fill_and_drain.BEGINS,
    ]
    opened = {key: f"{{ledger:{key}@source_row}}" for key in (*(c.key for c in WATER if c.opening), *HELD_BEFORE)}
    reckoned = {c.key: c.formula for c in WATER if c.formula and c.key in RECKONED_BEFORE}
    return [
        Table(
            EXPECTED.key,
            "Plan year",
            PLAN,
            columns,
            given={YEAR: EXPECTED.year, "garden_ledger": f"{EXPECTED.key}_garden"},
            openings={**opened, **reckoned},
            data={"plan_month": list(range(1, 13))},
            transposed=True,
            groups=PLAN_GROUPS,
        ),
        Table(f"{EXPECTED.key}_garden", "Plan year", PLAN, GARDEN, each=zones, partners=(EXPECTED.key,)),
    ]


def case_tables(plan: Sequence[Table], case: Case, outside: Sequence[Table]) -> list[Table]:
    """The months of a case and, where its garden asks for other water, its zones with the months' names."""
    if case is EXPECTED:
        made = list(plan)
    else:
        labels = [column.key for column in plan_months.LABEL]
        of_months = {column.key for column in plan[0].columns}
        made = lived_again(plan, case, RESULTS, outside, wanted=of_months, labels=labels)
        if len(made) > 1:  # zones that ask for other water are shown whole, with what each of them gets
            made = lived_again(plan, case, RESULTS, outside, labels=labels)
    names = Table(f"{case.key}_names", "Plan year", PLAN, plan_months.NAMES, partners=(case.key,))
    return [*made, *([names] if len(made) > 1 else [])]


def answer_tables(plan: Sequence[Table]) -> list[Table]:
    """The answers for each case, and the page for the pump house."""
    cases = Rows("cases", len(CASES), tuple(case.words for case in CASES))
    given = [{"case": case.key, YEAR: case.year, **words_of(case, plan[0], RESULTS)} for case in CASES]
    workings = [column for column in answers.CASES if column.key in ANSWER_WORKINGS]
    words = [column for column in answers.CASES if column.key in ANSWER_WORDS]
    shown = [column for column in answers.CASES if column not in (*workings, *words)]
    return [
        Table(
            "answers",
            "Answers",
            cases,
            shown,
            given=given,
            transposed=True,
            headline=True,
            groups=ANSWER_GROUPS,
        ),
        Table("answer_words", "Answers", cases, words, given=given, transposed=True),
        Table("answer_workings", "Plan year", cases, workings, given=given, transposed=True),
        Table(
            "pumping",
            "Plan year",
            HALVES,
            pump.HALVES,
            partners=(EXPECTED.key,),
            data={"half": [1, 2] * PLAN.size},
        ),
        Table("fill_and_drain", "Fill and drain", HALVES, fill_and_drain.COLUMNS, partners=(EXPECTED.key,), spare=True),
    ]


def decision_tables() -> list[Table]:
    """The decision tables of the sentences, each on the sheet of its sentence."""
    return [
        Table(made.name, sheet, Rows(made.name, len(made.rows)), decision.COLUMNS, given=made.given)
        for made, sheet in DECISIONS.items()
    ]
