"""The plan year month by month: a year of the record lived again, with the dates that follow from it.

The rows are the same columns as the Ledger's, applied to twelve months. Latest safe start: R is the required level,
cut at the usable capacity and counting spare water in filling months only; U is the level that the tank would have if
nothing were pumped into it from now on. The latest start lies in the first filling month with spare at whose end R
exceeds U, as many days before its last day in service as the difference needs at that month's spare per day.
"""

from budget.declarations import Column
from budget.units import Unit
from budget.water.balance import SPARE
from budget.water.rule_curve import level

MONTHS = [
    Column("plan_month", "Month of the plan", Unit.MONTH, "1 to 12."),
    Column(
        "source_row",
        "Row in the Ledger",
        Unit.COUNT,
        "From which the record's figures are read; the opening row reads the month before.",
        "INDEX({years:first_row.all}, case_row) + {plan_month} - 1",
        opening="{source_row.after} - 1",
    ),
]

LABEL = [
    Column("month_label", "Month", Unit.TEXT, "Its name.", "INDEX({calendar:short_name.all}, {month})"),
]

NAMES = [Column("month_again", "Month", Unit.TEXT, "Of the plan year.", "{month_label}")]

PUMPED = f"{{filling_now}} * {SPARE}"  # the well's spare counts in filling months only; the roof's always

START = [
    Column(
        "filling_now",
        "Filling month",
        Unit.FLAG,
        "1 where the tank is in service and filled to the top.",
        "IF({days_in_service}>0, {storage_months:filling_used@month}, 0)",
    ),
    Column(
        "yield_key",
        "Well yield a day, to compare by",
        Unit.FLOW,
        "Rounded, so that every program finds the same month.",
        "ROUND({daily_yield}, 6)",
    ),
    Column(
        "required_at_end",
        "Required level at the month's end",
        Unit.VOLUME,
        "For the house; what the tank should hold before the next month begins.",
        "IF({goes_out}=1, 0, {required_level.after})",
    ),
    Column(
        "stays_in",
        "In service at its end",
        Unit.FLAG,
        "1 where the tank holds water on the month's last day and is not drained.",
        "IF(AND({days_in_service}>0, {goes_out}=0), 1, 0)",
    ),
    Column(
        "filling_so_far",
        "Filling months so far",
        Unit.COUNT,
        "Of the plan year.",
        "{filling_so_far.before} + {filling_now}",
        opening="0",
    ),
    Column(
        "lowest_filling",
        "Lowest yield while filling, so far",
        Unit.FLOW,
        "Of the filling months; 0 before the first.",
        "IF({filling_now}=1, IF({filling_so_far}=1, {daily_yield}, MIN({lowest_filling.before}, {daily_yield})),"
        " {lowest_filling.before})",
        opening="0",
    ),
    Column(
        "lowest_level",
        "Lowest level so far",
        Unit.VOLUME,
        "At the ends of months on which the tank stays in service.",
        "IF({stays_in}=1, MIN({lowest_level.before}, {stored}), {lowest_level.before})",
        opening="tank_usable",
    ),
    Column(
        "start_level",
        "Level to reach by filling",
        Unit.VOLUME,
        "The required level on the month's first day in service, counting the well's spare in filling months only.",
        level("start_level", "{goes_out}=1", PUMPED, "reserve_used", "tank_usable"),
        closing="0",
        source="rule curve, backwards through the plan year",
    ),
    Column(
        "untouched_level",
        "Level without pumping",
        Unit.VOLUME,
        "At the month's end, if nothing were pumped into the tank from the plan year's beginning on.",
        "IF(OR({goes_out}=1, {days_in_service}=0), 0,"
        " MAX(0, MIN(tank_usable, {untouched_level.before} + {roof_to_house} - {house_left_in_service})))",
        opening="{stored}",
    ),
    Column(
        "spare_a_day",
        "Spare a day",
        Unit.FLOW,
        "Well yield less the household's need.",
        "{well_left} / {days}",
    ),
    Column(
        "start_gap",
        "To fill after this month",
        Unit.VOLUME,
        "Required level of the next month above the level without pumping.",
        "IF({goes_out}=1, 0, {start_level.after}) - {untouched_level}",
        closing="0",
    ),
    Column(
        "start_on",
        "Latest start, from this month",
        Unit.DATE,
        "A date where filling must have begun within this month, else 0.",
        "IF(AND({filling_now}=1, ROUND({spare_a_day}, 6)>0, ROUND({start_gap}, 6)>0),"
        " {last_service_day} - {start_gap} / {spare_a_day}, 0)",
    ),
    Column(
        "started",
        "Latest start so far",
        Unit.DATE,
        "The first of these dates; 0 before it.",
        "IF({started.before}>0, {started.before}, {start_on})",
        opening="0",
    ),
    Column(
        "peak_level",
        "Highest level to reach so far",
        Unit.VOLUME,
        "Of the plan year.",
        "MAX({peak_level.before}, {start_level})",
        opening="0",
    ),
    Column(
        "peak_on",
        "Full by",
        Unit.DATE,
        "First day in service of the month in which the curve stands highest so far.",
        "IF(ROUND({start_level} - {peak_level.before}, 6)>0, {first_service_day}, {peak_on.before})",
        opening="0",
    ),
]

DRAINED = [
    Column(
        "emptied_on",
        "Drained so far",
        Unit.DATE,
        "Last day in service of the month in which the tank is drained.",
        "IF({goes_out}=1, {service_to}, {emptied_on.before})",
        opening="0",
    ),
]
