"""This year: the plan year's number, from which every date of the plan follows, and the rain that has fallen in it.

The plan lives a dry year of the record again on the calendar of the coming one. As months go by, their own rain takes
the place of the record's: so the book is carried on by hand, without a new build. Temperatures, snow, rain days and
rain spells stay those of the year of the record.
"""

from budget.declarations import Column, Input, Result
from budget.units import Unit

INPUTS = [
    Input(
        "plan_number",
        "Plan year",
        Unit.YEAR,
        "Number of the calendar year in which it begins. Every date of the plan follows from it: raise it by one each"
        " year.",
        "",
        low="1950",
        high="2150",
        found="the plan year whose beginning lies nearest to 'as of'",
    ),
    Input(
        "plan_as_of",
        "As of",
        Unit.DATE,
        "The day up to which you know this year's weather: that of your latest reading.",
        "",
        low="1950-01-01",
        high="2151-12-31",
        found="the last day of the rain record",
    ),
]

BY_CALENDAR_MONTH: list[Column | Input] = [
    Column(
        "falls_in",
        "Year",
        Unit.YEAR,
        "Calendar year in which the month of the plan year falls.",
        "plan_number + IF({calendar:month}<first_month, 1, 0)",
    ),
    Input(
        "rain_so_far",
        "Rain that fell",
        Unit.DEPTH,
        "Total of the whole month at your place. Replaces the planning year's rain in the plan; empty all twelve when a"
        " new plan year begins. The build puts in what the record holds of the plan year.",
        "",
        low="0 mm",
        high="3000 mm",
    ),
    Column(
        "planning_rain",
        "Rain of the planning year",
        Unit.DEPTH,
        "Of the record, at your place.",
        "{plan:rain_recorded@plan_position} * rain_scale",
    ),
    Column(
        "rain_counted",
        "Rain counted",
        Unit.DEPTH,
        "What the plan reckons with.",
        "{plan:rain@plan_position}",
    ),
]

MONTH_WORKINGS = [
    Column("rain_typed", "Typed", Unit.FLAG, "1 where rain is typed.", "IF(ISNUMBER({rain_so_far}), 1, 0)"),
    Column("rain_given", "Rain typed", Unit.DEPTH, "0 where none is.", "IF(ISNUMBER({rain_so_far}), {rain_so_far}, 0)"),
    Column(
        "typed_month",
        "First day, where typed",
        Unit.DATE,
        "Of the month; 0 where no rain is typed.",
        "IF({rain_typed}=1, DATE({falls_in}, {calendar:month}, 1), 0)",
    ),
    Column(
        "rain_ahead",
        "Typed ahead",
        Unit.FLAG,
        "1 where rain is typed for a month that is not over on the day 'as of' tells.",
        "IF(AND({rain_typed}=1, DATE({falls_in}, {calendar:month} + 1, 1)>plan_as_of + 1), 1, 0)",
    ),
    Column(
        "rain_gap",
        "Left out",
        Unit.FLAG,
        "1 where the month of the plan year is over by 'as of' and no rain is typed for it.",
        "IF(AND({rain_typed}=0, DATE({falls_in}, {calendar:month} + 1, 1)<=plan_as_of + 1), 1, 0)",
    ),
]

# What the months of the plan have of their own, in place of the record's.
DATED = [
    Column(
        "year",
        "Year",
        Unit.YEAR,
        "Calendar year of the plan in which the month falls.",
        "plan_number + IF({month}<first_month, 1, 0)",
    ),
    Column("days", "Days", Unit.COUNT, "Days of the month.", "DAY(DATE({year}, {month} + 1, 1) - 1)"),
    Column(
        "wet_days",
        "Rain days",
        Unit.NUMBER,
        "As in the record, at most the days of the month.",
        "MIN({days}, {ledger:wet_days@source_row})",
    ),
]
RAIN = Column(
    "rain",
    "Rain",
    Unit.DEPTH,
    "Rain at this place: this year's where it is typed, else that of the planning year.",
    "IF({so_far_workings:rain_typed@month}=1, {so_far_workings:rain_given@month}, {rain_recorded} * rain_scale)",
)

# Parts of the sentence below, and of those on Fill and drain.
PARTS = [
    Result(
        "planned_for_told",
        "Planned for",
        Unit.TEXT,
        "The odds that are planned for; empty where a year of the record was typed.",
        'IF(typed_row>0, "", " (" & plan_for & IF(ISNUMBER(plan_for), " is not on record", "") & ")")',
    ),
    Result(
        "own_rain_told",
        "This year's own rain",
        Unit.TEXT,
        "In how many months of the plan it stands; empty where in none.",
        'IF(months_typed>0, ", and this year\'s own rain in " & months_typed & IF(months_typed=1, " month", " months"),'
        ' "")',
    ),
    Result(
        "as_of_told",
        "As of, in words",
        Unit.TEXT,
        "Day, month and year.",
        'DAY(plan_as_of) & " " & INDEX({calendar:month_name.all}, MONTH(plan_as_of)) & " " & YEAR(plan_as_of)',
    ),
    Result(
        "plan_filled_from",
        "The tank may hold water from",
        Unit.DATE,
        "Fill from, in the plan year; in the December before it, where the plan year begins in the month after.",
        "DATE(plan_number - IF(tank_fill_from_month>first_month, 1, 0), tank_fill_from_month, tank_fill_from_day)",
    ),
]
RESULTS = [
    Result(
        "plan_begins",
        "The plan year begins on",
        Unit.DATE,
        "First day of its first month.",
        "DATE(plan_number, first_month, 1)",
    ),
    Result(
        "plan_ends",
        "It ends on",
        Unit.DATE,
        "Last day of its twelfth month.",
        "DATE(plan_number + 1, first_month, 1) - 1",
    ),
    Result(
        "plan_number_nearest",
        "Plan year nearest to 'as of'",
        Unit.YEAR,
        "Its beginning lies no further than six months away.",
        "YEAR(plan_as_of) + IF(MONTH(plan_as_of) - first_month>=6, 1, IF(first_month - MONTH(plan_as_of)>6, -1, 0))",
    ),
    Result(
        "months_typed",
        "Months with this year's rain",
        Unit.COUNT,
        "In which the plan reckons with rain that you typed.",
        "SUM({so_far_workings:rain_typed.all})",
    ),
    Result(
        "plan_told",
        "The plan",
        Unit.TEXT,
        "Which year is planned, after which year of the record.",
        '"Plan year " & plan_number & ": from " & INDEX({calendar:month_name.all}, first_month) & " " & plan_number'
        ' & " on, with the weather of " & planning_year & planned_for_told & own_rain_told'
        ' & ". As of " & as_of_told & "."',
    ),
]
