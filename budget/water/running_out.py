"""The day on which water runs out: the house's, and with the same rule the pond's.

The house runs out in the first month in which it is short in service. The tank's water lasts on so many of the days in
service as it covers of what the well does not give on them (own rule); without a tank the house is dry from the first
of these days. A month is a month: what is drawn in it is taken as drawn evenly.
"""

from budget.declarations import Column
from budget.units import Unit


def day_used_up(begins: str, days: str, held: str, drawn: str) -> str:
    """The template of the day on which `held` is used up, where `drawn` is drawn evenly over `days` from `begins` on.

    All four are templates; days are counted from the beginning, at most all of them.
    """
    return f"{begins} + {days} * MIN(1, {held} / {drawn})"


DATES = [
    Column(
        "out_on",
        "Runs out, in this month",
        Unit.DATE,
        "A date where the house is short in service, else 0.",
        "IF(ROUND({short}, 6)>0, "
        + day_used_up("{first_service_day}", "{days_in_service}", "{tank_before_draws}", "{house_left_in_service}")
        + ", 0)",
        source="own rule",
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
