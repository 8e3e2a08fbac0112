"""The plan year's number, its own rain, and the book carried into the next year by hand.

The columns are compared with the ledgers by hand in `tests/workbook/test_by_hand.py`; here stands what must hold
whatever the site. Nothing of it is published: the calendar is Python's own.
"""

from __future__ import annotations

import calendar
from dataclasses import replace
from datetime import date, timedelta

import pytest

from budget.declarations import Column, Result
from budget.units import Unit, serial
from budget.water import readings
from budget.water.answers import WITHOUT_OWN_RAIN
from budget.water.checks import CHECKS
from budget.workbook.applications import decision_tables
from tests.by_hand.climate import day_of_serial
from tests.by_hand.readings import nearest
from tests.computed import Computed
from tests.conftest import computed_example
from tests.small_book import SHEET, data_table, evaluate
from tests.test_pond_and_roof import type_in
from tests.workbook.test_by_hand import put_in

CASES = ("expected", "less", "more", "middle")
SERVICE_DATES = ("tank_fill_from_month", "tank_fill_from_day", "tank_drain_by_month", "tank_drain_by_day")


def answers(computed: Computed) -> dict[str, list[object]]:
    """Each answer in its four cases."""
    columns = (*computed.tables["answers"].columns, *computed.tables["answer_workings"].columns)
    tables = {column.key: table for table in ("answers", "answer_workings") for column in _columns(computed, table)}
    return {column.key: computed.column(tables[column.key], column.key) for column in columns}


def _columns(computed: Computed, table: str) -> list[Column]:
    return [column for column in computed.tables[table].columns if isinstance(column, Column)]


def type_rain(computed: Computed, rain: dict[int, float | str | None]) -> None:
    """Type this year's rain by calendar month, in the book's units, and evaluate."""
    cells = computed.cells("so_far", "rain_so_far")
    for month, value in rain.items():
        put_in(computed, cells[month - 1], value)
    computed.evaluate()


def said(computed: Computed, check: str) -> str:
    return str(computed.model.value(check) or "")


def test_every_date_follows_the_number(changed: Computed) -> None:
    """A year later all is a year later, and nothing else: both Februaries have 28 days."""
    type_in(changed, plan_number=2025)
    before, days = answers(changed), changed.column("plan", "first_day")
    type_in(changed, plan_number=2026)
    after = answers(changed)
    assert [after_day - day for after_day, day in zip(changed.column("plan", "first_day"), days, strict=True)] == (
        [365] * 12
    )
    for key, values in before.items():
        for case, old, new in zip(CASES, values, after[key], strict=True):
            if key.endswith("_day") and old:
                assert new == pytest.approx(old + 365, abs=1e-6), (key, case)
            else:
                assert new == (pytest.approx(old, rel=1e-9) if isinstance(old, float) else old), (key, case)


@pytest.mark.parametrize("number", [2027, 2028, 2099, 2100])
def test_months_have_the_days_of_their_own_year(changed: Computed, number: int) -> None:
    type_in(changed, plan_number=number)
    for table in ("plan", "middle"):  # with less and with more water the months are those of the plan
        years, months, days, wet = (changed.column(table, key) for key in ("year", "month", "days", "wet_days"))
        assert days == [calendar.monthrange(int(y), int(m))[1] for y, m in zip(years, months, strict=True)]
        assert all(w <= d for w, d in zip(wet, days, strict=True))
    assert changed.model.number("plan_begins") == serial(date(number, 3, 1))
    assert changed.model.number("plan_ends") == serial(date(number + 1, 3, 1)) - 1
    assert f"Plan year {number}: from March {number} on" in said(changed, "plan_told")


def test_the_planning_years_own_rain_changes_nothing(changed: Computed) -> None:
    before = answers(changed)
    type_rain(changed, dict(enumerate(changed.column("so_far", "planning_rain"), 1)))
    assert changed.model.number("months_typed") == 12
    for key, values in answers(changed).items():
        assert values == [pytest.approx(v, rel=1e-9, abs=1e-6) if isinstance(v, float) else v for v in before[key]], key


def test_this_years_rain_counts_in_the_plan_alone(changed: Computed) -> None:
    """A wet spring lifts the water table of the plan; record, ranks and middle year stay as they are."""
    before, years = answers(changed), changed.column("years", "storage")
    depth = changed.column("plan", "depth_to_water")
    type_rain(changed, {4: 9.0, 5: 9.0})
    after, wetter = answers(changed), changed.column("plan", "depth_to_water")
    assert changed.column("years", "storage") == years
    assert [values[3] for values in after.values()] == [values[3] for values in before.values()]
    assert wetter[2] < depth[2] - 0.1
    for case in range(3):
        assert after["garden_carried"][case] > before["garden_carried"][case]
        assert after["short_by"][case] <= before["short_by"][case]
    assert changed.column("so_far", "rain_counted")[3:5] == [9.0, 9.0]


def test_the_verdict_tells_this_years_rain_and_the_dry_year_without_it(changed: Computed) -> None:
    """What stands beside it is what the plan came to before the rain was typed; with none typed nothing is added."""
    dry = answers(changed)
    assert "own rain" not in said(changed, "verdict") and "alone" not in said(changed, "verdict")
    type_rain(changed, {4: 1.0, 5: 30.0, 6: 25.0})
    told, loads = said(changed, "verdict"), changed.model.number("planning_loads")
    assert changed.column("answers", "short_by")[0] == 0 and told.startswith("In a year like this well and tank carry")
    assert changed.model.number("planning_short") == pytest.approx(dry["short_by"][0], rel=1e-9)
    assert loads == dry["loads"][0] == 8 and changed.model.number("planning_storage") == dry["needed"][0]
    year = int(changed.model.number("planning_year"))
    assert told.endswith(
        f" The plan holds this year's own rain until June. With the weather of {year} alone the house needs storage of"
        " 331% of the tank and hauls 8 loads in service."
    )
    type_rain(changed, {4: None, 5: None, 6: None, 2: 3.0})  # February is the plan year's eleventh month
    assert "until February." in said(changed, "verdict")


@pytest.mark.parametrize(
    ("short", "usable", "fillable", "told"),
    [
        (0.0, 100.0, 1.0, "the house needs storage of 60% of the tank and is short of nothing."),
        (0.0, 0.0, 1.0, "the house is short of nothing."),
        (50.0, 100.0, 0.0, "no tank is enough, and the house hauls 1 load in service."),
        (50.0, 0.0, 1.0, "the house hauls 1 load."),
        (50.0, 100.0, 1.0, "the house needs storage of 60% of the tank and hauls 1 load in service."),
    ],
)
def test_what_the_dry_year_alone_comes_to(short: float, usable: float, fillable: float, told: str) -> None:
    names = {"planning_short": short, "planning_loads": 1.0, "tank_usable": usable, "planning_share": 0.6}
    names |= {"planning_row": 1.0}
    years = data_table("years", 1, [], {"fillable": [fillable]})
    (table,) = (table for table in decision_tables() if table.name == WITHOUT_OWN_RAIN.name)
    table = replace(table, sheet=SHEET)
    alone = Result("alone", "Alone", Unit.TEXT, "What is said.", WITHOUT_OWN_RAIN.said)
    assert evaluate([], {}, names, tables=[years, table], results=[alone])["alone"] == [told]


def test_a_dry_month_that_is_typed_is_dry(changed: Computed) -> None:
    """Nought is a figure; an empty cell is none."""
    type_rain(changed, {3: 0.0})
    assert changed.column("plan", "rain")[0] == 0.0 and changed.model.number("months_typed") == 1
    type_rain(changed, {3: None})
    assert changed.column("plan", "rain")[0] == pytest.approx(changed.column("so_far", "planning_rain")[2])
    assert changed.model.number("months_typed") == 0


def test_typed_rain_is_that_of_the_place(changed: Computed) -> None:
    """The record is scaled to the place, what the place's own gauge caught is not."""
    type_in(changed, rain_local_annual=2 * changed.model.number("recorded_annual"))
    type_rain(changed, {4: 2.5})
    recorded, counted = changed.column("plan", "rain_recorded"), changed.column("plan", "rain")
    assert counted[1] == 2.5 and counted[2] == pytest.approx(2 * recorded[2])


def test_checks_of_the_year(changed: Computed) -> None:
    """Silent as built; each speaks when it should, and of nothing else."""
    checks = ("check_as_of", "check_rain_ahead", "check_rain_gap", "check_start_past")

    def speaking() -> set[str]:
        return {check for check in checks if said(changed, check)}

    assert speaking() == set()
    type_in(changed, plan_number=2027, plan_as_of=serial(date(2027, 5, 31)))
    start = changed.column("answer_workings", "start_day")[0]
    assert serial(date(2027, 4, 1)) < start < serial(date(2027, 5, 31)) and speaking() == {"check_start_past"}
    type_in(changed, plan_as_of=int(start))
    assert speaking() == set()
    usual = changed.column("so_far", "planning_rain")  # which leaves the latest start where it is
    type_rain(changed, {5: usual[4]})
    assert speaking() == {"check_rain_ahead", "check_rain_gap"}, "May is not over"
    type_rain(changed, {3: usual[2], 4: usual[3], 5: None})
    assert speaking() == set()
    type_in(changed, plan_as_of=serial(date(2027, 5, 31)))
    assert speaking() == {"check_rain_gap", "check_start_past"}
    type_rain(changed, {4: usual[3], 5: usual[4]})
    assert speaking() == {"check_start_past"}
    type_rain(changed, {6: 1.0})
    assert speaking() == {"check_rain_ahead", "check_start_past"}
    type_in(changed, plan_number=2028)
    assert speaking() == {"check_rain_ahead"}, "the old year's rain stands in the new year"
    type_rain(changed, {3: None, 4: None, 5: None, 6: "3 in"})
    assert speaking() == set()
    assert said(changed, "finding_1").startswith("Readings: Rain that fell: a cell holds text")
    type_rain(changed, {6: None})
    type_in(changed, plan_number=2031)
    assert speaking() == {"check_as_of"}
    type_in(changed, plan_number=2025)
    assert speaking() == {"check_as_of"}


START_PAST = next(check for check in CHECKS if check.name == "start_past")
READ_BY_IT = {"answer_workings": ["start_day"], "plan": ["start_on", "last_service_day"]}


def begin_now_on(computed: Computed, days: list[date]) -> list[bool]:
    """Whether 'begin now' is said as of each of these days: the check's own formula on the plan as it was computed."""
    tables = []
    for name, keys in READ_BY_IT.items():
        values = {key: computed.column(name, key) for key in keys}
        columns = [column for column in _columns(computed, name) if column.key in keys]
        tables.append(data_table(name, len(values[keys[0]]), columns, values))
    assert "begin now" in START_PAST.sentence
    finding = START_PAST.finding
    column = Column(finding.name, finding.title, finding.unit, finding.meaning, finding.formula)
    found = evaluate([column], {}, {"plan_as_of": [serial(day) for day in days]}, tables=tables)[finding.name]
    assert set(found) <= {0, 1}
    return [value == 1 for value in found]


BETWEEN = {"tank_in_service": "between the dates"}
# Where and what is typed; the day of the latest safe start, and the last day of the last month that fills the tank for
# this plan year: months that fill it after the dry season, or just before it is drained, come too late.
EDGES_OF_FILLING = {
    "as built": ("terrace_house", {}, date(2026, 5, 10), date(2026, 6, 30)),
    "a year that needs little": ("terrace_house", {"plan_for": "middle"}, date(2026, 6, 24), date(2026, 6, 30)),
    "drained in summer": (
        "terrace_house",
        BETWEEN | dict(zip(SERVICE_DATES, (4, 10, 7, 20), strict=True)),
        date(2026, 5, 28),
        date(2026, 6, 30),
    ),
    "all year": (
        "terrace_house",
        {"tank_in_service": "all year", "tank_wettest_month": 1},
        date(2026, 5, 24),
        date(2026, 6, 30),
    ),
    "south, over the turn of the year": (
        "guest_house",
        BETWEEN | dict(zip(SERVICE_DATES, (8, 15, 5, 20), strict=True)),
        date(2025, 11, 2),
        date(2025, 11, 30),
    ),
}


@pytest.mark.parametrize("case", EDGES_OF_FILLING)
def test_begin_now_is_said_while_filling_still_helps(case: str) -> None:
    """From the day after the latest safe start to the last day of filling; on no day before or after."""
    name, typed, start, last = EDGES_OF_FILLING[case]
    computed = computed_example(name).copy()
    type_in(computed, **typed)
    assert int(computed.column("answer_workings", "start_day")[0]) == serial(start)
    first, ends = (day_of_serial(computed.model.number(name)) for name in ("plan_begins", "plan_ends"))
    day = timedelta(days=1)
    assert first < start < last < ends - 180 * day
    assert begin_now_on(computed, [first - day, first, start - day, start]) == [False] * 4
    assert begin_now_on(computed, [start + day, last - day, last]) == [True] * 3
    assert begin_now_on(computed, [last + day, last + 90 * day, ends, ends + day]) == [False] * 4


def test_nobody_is_told_to_begin_where_nothing_must_be_filled() -> None:
    computed = computed_example("guest_house").copy()
    assert computed.column("answers", "latest_start")[0] == "holds enough already"
    assert begin_now_on(computed, [date(2025, month, 1) for month in range(9, 13)]) == [False] * 4


def test_the_number_found_begins_nearest_to_the_records_end(example: Computed) -> None:
    model, first = example.model, int(example.model.number("first_month"))
    ends = example.model.number("record_ends")
    assert model.number("plan_as_of") == ends
    begins = {number: serial(date(number, first, 1)) for number in range(1990, 2040)}
    nearest = min(begins, key=lambda number: abs(begins[number] - ends))
    assert model.number("plan_number") == nearest == model.number("plan_number_nearest")


@pytest.mark.parametrize("first_month", range(1, 13))
def test_nearest_year_whatever_the_month(first_month: int) -> None:
    """Against all months of two years."""
    result = next(r for r in readings.RESULTS if r.name == "plan_number_nearest")
    column = Column(result.name, result.title, result.unit, result.meaning, result.formula)
    days = list(range(serial(date(2026, 1, 1)), serial(date(2028, 1, 1)), 9))
    assert {nearest(day_of_serial(day), first_month) for day in days} >= {2026, 2027}
    found = evaluate([column], {}, {"plan_as_of": days, "first_month": first_month})
    assert found[column.key] == [nearest(day_of_serial(day), first_month) for day in days]


def test_the_site_file_may_give_them(tmp_path) -> None:
    """Number, day and rain typed in the site file stand in the cells of Readings."""
    import shutil

    from tests.computed import EXAMPLES, compute

    folder = EXAMPLES[0].parent
    shutil.copy(folder / "terrace_house_rain.csv", tmp_path)
    text = (folder / "smallest.toml").read_text(encoding="utf-8")
    assert "[plan]" not in text
    given = '[plan]\nnumber = 2031\nas_of = 2031-06-15\nrain_so_far = { April = "2 in", May = "25.4 mm" }\n'
    (tmp_path / "home.toml").write_text(text + "\n" + given, encoding="utf-8")
    computed = compute(tmp_path / "home.toml")
    assert computed.model.number("plan_number") == 2031
    assert computed.model.number("plan_as_of") == serial(date(2031, 6, 15))
    rain = computed.column("so_far", "rain_so_far")
    assert [rain[3], rain[4]] == [pytest.approx(2.0), pytest.approx(1.0)]
    assert [value for value in rain if value is not None] == rain[3:5]
