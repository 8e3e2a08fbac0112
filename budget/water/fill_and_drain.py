"""The page for the pump house: half month by half month how to run the pump, what goes into the tank, when to drain it.

The columns run along the halves of the plan year's months and only tell again, in the terms of a hand at the pump, what
the Plan year holds. What the pump may take is told at the lower end of each half, when the well gives least: a mean
would be too much on half of the days.
"""

from budget.declarations import Column, Result
from budget.units import Unit
from budget.water.decision import Decision
from budget.water.hauling import whole_loads

# When a month of the plan begins.
BEGINS = [
    Column("stored_begins", "Stored on the first", Unit.VOLUME, "In the tank, above the outlet.", "{stored.before}"),
]

COLUMNS = [
    Column(
        "month_told",
        "Days",
        Unit.TEXT,
        "Of the plan year.",
        'INDEX({calendar:month_name.all}, {month}) & " " & {year} & IF({half}=1, ", 1 to 15", ", 16 to " & {days})',
    ),
    Column(
        "most_a_day",
        "Most to pump a day",
        Unit.FLOW,
        "For house, tank and garden together; safe on every one of these days.",
        "{low_yield}",
    ),
    Column(
        "minutes_on",
        "Minutes on",
        Unit.MINUTES,
        "One run; then the well rests. Where it needs no rest, the minutes in which the day's water is pumped.",
        "IF({low_draws_down}=1, {low_run}, IF(well_there=1, {low_yield} / pump_rate, 0))",
    ),
    Column(
        "hours_of_rest",
        "Hours of rest",
        Unit.HOURS,
        "Between two runs; 0 where the pump does not draw the well down.",
        "{low_rest} / 60",
    ),
    Column(
        "runs_told",
        "Runs a day",
        Unit.RUNS,
        "That make up the day's water.",
        "IF(ROUND({minutes_on}, 6)>0, {low_yield} / (pump_rate * {minutes_on}), 0)",
    ),
    Column(
        "into_tank_a_day",
        "Into the tank a day",
        Unit.FLOW,
        "From the well, on the days in service; mean of the month.",
        "IF({days_in_service}>0, {tank_fill} / {days_in_service}, 0)",
    ),
    Column(
        "from_tank_a_day",
        "From the tank a day",
        Unit.FLOW,
        "To house and garden, on the days in service; mean of the month.",
        "IF({days_in_service}>0, ({house_from_tank} + {garden_from_tank}) / {days_in_service}, 0)",
    ),
    Column(
        "level_on_first",
        "In the tank on the first",
        Unit.VOLUME,
        "To be expected, above the outlet.",
        "IF({half}=1, {stored_begins}, 0)",
    ),
    Column(
        "full_on_first",
        "Of a full tank",
        Unit.SHARE,
        "Share of what it can give.",
        "IF(ROUND(tank_usable, 6)>0, {level_on_first} / tank_usable, 0)",
    ),
    Column(
        "house_keeps",
        "Keep for the house",
        Unit.VOLUME,
        "Less than this on the first: no tank water for the garden.",
        "IF(AND({half}=1, {days_in_service}>0), {storage_months:kept_used@month}, 0)",
    ),
]


def told_day(date: str) -> str:
    """The template that tells `date` (a template) as `12 May 2025`."""
    return f'DAY({date}) & " " & INDEX({{calendar:month_name.all}}, MONTH({date})) & " " & YEAR({date})'


def _with_tank(text: str) -> str:
    return f'IF(ROUND(tank_usable, 6)<=0, "there is no tank", {text})'


TO_USE_FIRST = Decision(
    "use_first_verdicts",
    (
        ("ROUND(tank_usable, 6)<=0", '""'),
        (
            "{answer_workings:drain_day.first}=0",
            '"The tank stays in service: use its water in turn, so that none stands for months."',
        ),
        (
            "ROUND({answers:use_first.first}, 6)>0",
            '"From a month before: water trees and beds from the tank first, then let the house live from it while the'
            " well rests. Drain what is left away from the base and the well, open every low valve, and leave the drain"
            ' open."',
        ),
        (
            "1=1",
            '"Nothing is expected to be left by then. Open every low valve all the same, and leave the drain open."',
        ),
    ),
)


def _of_pipes(date: str, never: str) -> str:
    """The template that tells one of the pipes' dates, or why there is none; `never`: where no season is free."""
    return (
        f'IF({date}>0, {told_day(date)}, IF(hard_frost_over="all year", "hard frost is rare",'
        f' IF(hard_frost_over="at no time", "{never}", "not known")))'
    )


RESULTS = [
    Result(
        "fill_from_told",
        "May hold water from",
        Unit.TEXT,
        "Freezing spells after it are rare. The advice is to start filling then.",
        _with_tank(f'IF(tank_in_service="all year", "in service all year", {told_day("plan_filled_from")})'),
    ),
    Result(
        "pipes_from_told",
        "Pipes free of frost from",
        Unit.TEXT,
        "Hard frost after it is rare.",
        _of_pipes("pipes_free_from", "at no time"),
    ),
    Result(
        "start_told",
        "Start filling no later than",
        Unit.TEXT,
        "The latest safe date in a year like this.",
        "{answers:latest_start.first}",
    ),
    Result("full_told", "Full by", Unit.TEXT, "To the level beside it, or more.", "{answers:full_by.first}"),
    Result("full_level_told", "To this level", Unit.VOLUME, "Above the outlet.", "{answers:full_level.first}"),
    Result(
        "pipes_by_told",
        "Pipes frost-safe by",
        Unit.TEXT,
        "Hard frost before it is rare. What is to be protected stands below.",
        _of_pipes("pipes_safe_by", "the whole year"),
    ),
    Result(
        "drain_told",
        "Drain the tank by",
        Unit.TEXT,
        "Before a freezing spell, which the tank does not stand.",
        _with_tank(
            'IF({answer_workings:drain_day.first}=0, "in service all year",'
            f" {told_day('{answer_workings:drain_day.first}')})"
        ),
    ),
    Result("runs_out_told", "House runs out", Unit.TEXT, "With well and tank both empty.", "{answers:runs_out.first}"),
    Result(
        "loads_told",
        "Loads to order",
        Unit.COUNT,
        "For the days in service and those while the tank is drained.",
        whole_loads("({answers:short_by.first} + {answers:short_drained.first})"),
    ),
    Result("use_first_told", "Left to use first", Unit.VOLUME, "To be expected.", "{answers:use_first.first}"),
    Result(
        "use_first_sentence",
        "What to use first",
        Unit.TEXT,
        "Before the tank is drained.",
        TO_USE_FIRST.said,
    ),
]
