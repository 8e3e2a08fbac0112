"""The day on which water runs out: the house's, and the pond's.

The house runs out in the first month in which it is short in service (own rule). What it lacks there grows or shrinks
in a straight line, over a share of the days in service that follows from lack and spare; the tank gives the first part
of it. Where the well spares nothing the lack is taken as even. What is drawn from a pond is taken as drawn evenly.
"""

from budget.declarations import Column
from budget.units import Unit
from budget.water.balance import SPARE


def day_used_up(begins: str, days: str, held: str, drawn: str) -> str:
    """The template of the day on which `held` is used up, where `drawn` is drawn evenly over `days` from `begins` on.

    All four are templates; days are counted from the beginning, at most all of them.
    """
    return f"{begins} + {days} * MIN(1, {held} / {drawn})"


LACKING = f"(SQRT({{house_lack}}) / (SQRT({{house_lack}}) + SQRT({SPARE})))"  # share of the days on which it lacks
UNMET = "MIN(1, {short} / {house_lack})"

DATES = [
    Column(
        "out_on",
        "Runs out, in this month",
        Unit.DATE,
        "A date where the house is short in service, else 0.",
        f"IF(ROUND({{short}}, 6)>0, {{first_service_day}} + {{days_in_service}} * IF(ROUND({SPARE}, 6)<=0, 1 - {UNMET},"
        f" IF({{rises}}=1, {LACKING} * (1 - SQRT({UNMET})), 1 - {LACKING} * (1 - SQRT(1 - {UNMET})))), 0)",
        source="own rule: lack and spare are two triangles of one straight line",
    ),
    Column(
        "ran_out",
        "Runs out so far",
        Unit.DATE,
        "The first of these dates; 0 before it.",
        "IF({ran_out.before}>0, {ran_out.before}, {out_on})",
        opening="0",
    ),
]
