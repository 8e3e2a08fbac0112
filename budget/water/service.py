"""When the tank is in service: from the last freezing spell of spring to the first of autumn, or all year.

A tank of some tons does not freeze in a night; see `frosts` for what does, and for the pipes.
"""

from budget.declarations import Column, Input, Result
from budget.units import Unit
from budget.water.water_table import STORED

INPUTS = [
    Input(
        "tank_in_service",
        "Tank in service",
        Unit.TEXT,
        "Between the two dates below, drained for frost outside them; or all year.",
        "",
        choices=("between the dates", "all year"),
        found="from the frost dates of the record",
    ),
    Input(
        "tank_frost_days",
        "Days of frost that endanger the tank",
        Unit.COUNT,
        "Its dates follow spells of so many days in a row whose mean is at or below freezing. 1 for a tank under"
        " 500 gal (1,900 L).",
        "3",
        low="1",
        high="7",
        source="own rule, no source: water follows the air with a lag, its heat capacity over the tank's surface times"
        " 10 W/m²K: 1 day at 500 gal, 3 days at 6,500 gal",
    ),
    Input(
        "tank_dates_days",
        "Days of frost that its dates were found for",
        Unit.COUNT,
        "Stored by the build; empty where the dates were given. Where it differs from the days above, type the dates"
        " that the record gives, or build again.",
        "",
        low="1",
        high="7",
        found=STORED,
    ),
    Input(
        "tank_fill_from_month",
        "Fill from, month",
        Unit.MONTH,
        "The tank may hold water from this day on.",
        "",
        low="1",
        high="12",
        found="from the frost dates of the record: a freezing spell after it in one year of ten",
    ),
    Input(
        "tank_fill_from_day",
        "Fill from, day",
        Unit.DAY,
        "The tank may hold water from this day on.",
        "",
        low="1",
        high="31",
        found="from the frost dates of the record",
    ),
    Input(
        "tank_drain_by_month",
        "Drain by, month",
        Unit.MONTH,
        "Last day on which the tank may hold water.",
        "",
        low="1",
        high="12",
        found="from the frost dates of the record: a freezing spell before it in one year of ten",
    ),
    Input(
        "tank_drain_by_day",
        "Drain by, day",
        Unit.DAY,
        "Last day on which the tank may hold water.",
        "",
        low="1",
        high="31",
        found="from the frost dates of the record",
    ),
    Input(
        "tank_wettest_month",
        "Plan year begins in, when in service all year",
        Unit.MONTH,
        "The calendar month in which the well yields most. Counts only where the tank is in service all year.",
        "",
        low="1",
        high="12",
        found="the calendar month of the largest mean daily yield",
    ),
]

RESULTS = [
    Result(
        "first_month",
        "First month of the plan year",
        Unit.MONTH,
        "The month that holds the day from which the tank is filled; the next, where it is drained in that month too.",
        'IF(tank_in_service="all year", tank_wettest_month, IF(AND(tank_drain_by_month=tank_fill_from_month,'
        " tank_drain_by_day<tank_fill_from_day), MOD(tank_fill_from_month, 12) + 1, tank_fill_from_month))",
    ),
]

NEXT_DAY = "({first_day} + {days})"  # the day after the month's last, in whose year the dates are asked


def next_date(which: str) -> str:
    """The template of a date of service in the calendar year of the next month's first day."""
    return f"DATE(YEAR{NEXT_DAY}, tank_{which}_month, tank_{which}_day)"


COLUMNS = [
    Column(
        "service_from",
        "Fill from",
        Unit.DATE,
        "In this calendar year.",
        "DATE({year}, tank_fill_from_month, tank_fill_from_day)",
    ),
    Column(
        "service_to",
        "Drain by",
        Unit.DATE,
        "In this calendar year.",
        "DATE({year}, tank_drain_by_month, tank_drain_by_day)",
    ),
    Column(
        "opens_in_service",
        "In service on the first",
        Unit.FLAG,
        "1 where the tank holds water on the month's first day.",
        'IF(tank_in_service="all year", 1, IF({service_from}<={service_to},'
        " IF(AND({first_day}>={service_from}, {first_day}<={service_to}), 1, 0),"
        " IF(OR({first_day}>={service_from}, {first_day}<={service_to}), 1, 0)))",
    ),
    Column(
        "days_in_service",
        "Days in service",
        Unit.COUNT,
        "Days of the month on which the tank may hold water.",
        'IF(tank_in_service="all year", {days}, IF({service_from}<={service_to},'
        " MAX(0, MIN({service_to}, {first_day} + {days} - 1) - MAX({service_from}, {first_day}) + 1),"
        " {days} - MAX(0, MIN({service_from} - 1, {first_day} + {days} - 1)"
        " - MAX({service_to} + 1, {first_day}) + 1)))",
    ),
    Column("service_share", "Share in service", Unit.SHARE, "Of the month's days.", "{days_in_service} / {days}"),
    Column(
        "goes_out",
        "Goes out of service",
        Unit.FLAG,
        "1 in the month in which the tank is drained: a day in service is followed by one that is not.",
        # In service on the first and not on all days: it is drained within the month, whatever comes after. Else the
        # next day tells. It is in service where two of three hold: the one date is come, the other is not past, and
        # they run over New Year, so that one of the two is enough.
        'IF(OR(tank_in_service="all year", {days_in_service}=0), 0,'
        " IF(AND({opens_in_service}=1, {days_in_service}<{days}), 1,"
        f" IF(({NEXT_DAY}>={next_date('fill_from')}) + ({NEXT_DAY}<={next_date('drain_by')})"
        " + ({service_from}>{service_to})>1, 0, 1)))",
    ),
    Column(
        "first_service_day",
        "First day in service",
        Unit.DATE,
        "Of the month.",
        "IF({opens_in_service}=1, {first_day}, {service_from})",
    ),
    Column(
        "last_service_day",
        "Last day in service",
        Unit.DATE,
        "Of the month; the day by which the tank is drained, also where it may be filled again in the same month.",
        "IF({goes_out}=1, {service_to}, {first_day} + {days} - 1)",
    ),
]
