"""Two kinds of frost: a night's hard frost, which endangers the pipes, and a cold spell, which endangers the tank.

The table is data, found in the days of the record (`budget.record.frost_dates`); the pipes' dates and what the record
says of the tank's dates are read from it. Pipes are all that is thin or stands still outdoors: the tank's own outlet,
valve and level pipe, the pump, the suction line.
"""

from budget.declarations import Column, Result
from budget.units import Unit

HARD_FROST = "hard frost"

COLUMNS = [
    Column("frost_name", "Frost", Unit.TEXT, "A night's low, or the mean of days in a row."),
    Column("frost_spell", "Days in a row", Unit.COUNT, "Whose mean counts; 0: the low of a night."),
    Column("frost_limit", "At or below", Unit.TEMPERATURE, "Low of the night, or mean of the spell's days."),
    Column("frost_seasons", "Cold seasons", Unit.COUNT, "That are complete in the record."),
    Column("frost_came", "Came in", Unit.COUNT, "So many of them."),
    Column("frost_last_middle", "Last, middle season", Unit.TEXT, "Day on which the last one of the season ends."),
    Column("frost_last_ten", "Last, 1 in 10", Unit.TEXT, "In one season of ten it comes still later."),
    Column("frost_first_ten", "First, 1 in 10", Unit.TEXT, "In one season of ten it comes still earlier."),
    Column("frost_first_middle", "First, middle season", Unit.TEXT, "Day on which the first one of the season begins."),
    Column("frost_free_from", "Free of it from", Unit.TEXT, "The day after the last, 1 in 10."),
    Column(
        "frost_free_until",
        "Free of it until",
        Unit.TEXT,
        "The day before the first, 1 in 10. A longer spell may begin a few days before a shorter one: its mean counts"
        " the milder days around a sharp one.",
    ),
]


def _in_the_plan(which: str) -> str:
    """The template of a date in the plan year; 0 where there is none."""
    month, day = f"{{free_{which}_month}}", f"{{free_{which}_day}}"
    return f"IF({month}=0, 0, DATE(plan_number + IF({month}<first_month, 1, 0), {month}, {day}))"


WORKINGS = [
    Column("free_from_month", "Free from, month", Unit.MONTH, "0 where there is no date."),
    Column("free_from_day", "Free from, day", Unit.DAY, "0 where there is no date."),
    Column("free_until_month", "Free until, month", Unit.MONTH, "0 where there is no date."),
    Column("free_until_day", "Free until, day", Unit.DAY, "0 where there is no date."),
    Column("free_from_ahead", "Free from, in the plan", Unit.DATE, "0 where there is none.", _in_the_plan("from")),
    Column("free_until_ahead", "Free until, in the plan", Unit.DATE, "0 where there is none.", _in_the_plan("until")),
    Column(
        "tank_dates_here",
        "The tank has these dates",
        Unit.FLAG,
        "1 where its dates on Storage are those of this row, or it is in service all year as this row says.",
        'IF({frost_spell}=0, 0, IF({free_from_month}=0, IF(AND({frost_free_from}="all year",'
        ' tank_in_service="all year"), 1, 0), IF(AND(tank_in_service="between the dates",'
        " tank_fill_from_month={free_from_month}, tank_fill_from_day={free_from_day},"
        " tank_drain_by_month={free_until_month}, tank_drain_by_day={free_until_day}), 1, 0)))",
    ),
]


def of_hard_frost(column: str) -> str:
    """The template of a column of the tables, for the frost that endangers the pipes."""
    return f'INDEX({{{column}.all}}, MATCH("{HARD_FROST}", {{frosts:frost_name.all}}, 0))'


def of_tank(column: str) -> str:
    """The template of a column of the tables, for the spells that endanger the tank."""
    return f'IFERROR(INDEX({{{column}.all}}, MATCH(tank_frost_days, {{frosts:frost_spell.all}}, 0)), "not known")'


def dates_are_those_of(days: str) -> str:
    """The template of 1 where the tank has the dates of spells of so many days, else 0."""
    return f"SUMPRODUCT(({{frosts:frost_spell.all}}={days}) * {{frost_dates:tank_dates_here.all}})"


RESULTS = [
    Result(
        "hard_frost_over",
        "Hard frost is over on",
        Unit.TEXT,
        "By the record: in all but one season of ten.",
        of_hard_frost("frosts:frost_free_from"),
    ),
    Result(
        "pipes_safe_by",
        "Pipes frost-safe by",
        Unit.DATE,
        "In the plan year: the day before the first hard frost of one season in ten.",
        of_hard_frost("frost_dates:free_until_ahead"),
    ),
    Result(
        "pipes_free_from",
        "Pipes free of hard frost from",
        Unit.DATE,
        "In the plan year: the day after the last hard frost of one season in ten.",
        of_hard_frost("frost_dates:free_from_ahead"),
    ),
]

# What the record says of the tank's dates, beside the inputs that hold them.
OF_TANK = [
    Result(
        "tank_record_from",
        "By the record, fill from",
        Unit.TEXT,
        "For so many days of frost: see the table of frosts on Climate.",
        of_tank("frosts:frost_free_from"),
    ),
    Result(
        "tank_record_by",
        "By the record, drain by",
        Unit.TEXT,
        "For so many days of frost: see the table of frosts on Climate.",
        of_tank("frosts:frost_free_until"),
    ),
]
