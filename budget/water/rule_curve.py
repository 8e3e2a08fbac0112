"""The required level of the tank (rule curve), for the house alone, and the storage that a year needed.

Both rest on yields and needs only, never on the tank, so there is no circle. The storage is the sequent peak of the
year's deficits (Loucks and van Beek, *Water Resource Systems Planning and Management*, ch. 11), within the plan year.

A month may lack and spare: it is two segments in a stated order, spare and then lack, or the reverse where the well's
yield rises. Curve and peak go along these segments.
"""

from budget.declarations import Column
from budget.units import Unit
from budget.water.balance import OVERFLOWING, SPARE


def level(key: str, ends: str, spare: str, reserve: str, most: str = "") -> str:
    """The template of a required level `key`, backwards: a lack adds, a spare takes away.

    `ends`: where nothing is asked of the month's end; `spare`: what of the well's spare counts; `reserve`: what a month
    that lacks must leave in the tank; `most`: what no level is above. All are templates.
    """
    after = f"MAX(IF({ends}, 0, {{{key}.after}}) - {{rises}} * {spare}, IF({{house_lack}}>0, {reserve}, 0))"
    first = f"{after} + {{house_lack}}"
    return (
        f"IF({{days_in_service}}=0, 0, MAX(0, {f'MIN({most}, {first})' if most else first}"
        f" - (1 - {{rises}}) * {spare} - {OVERFLOWING}))"
    )


GARDEN_SPARE = "MAX(0, {house_lack} - {garden_net})"  # what the garden leaves of the month's spare
RESTARTS = "OR({position}=1, {goes_out.before}=1)"


def of_month_before(spare: str) -> str:
    """A template, with every column read in the row above."""
    return spare.replace("}", ".before}")


COLUMNS = [
    Column(
        "required_level",
        "Required level",
        Unit.VOLUME,
        "On the month's first day in service, for the house, at most the usable capacity.",
        level("required_level", "OR({goes_out}=1, {position}=12)", SPARE, "reserve_used", "tank_usable"),
        closing="0",
        source="rule curve, backwards through the plan year",
        stepwise=True,
    ),
    Column(
        "required_uncut",
        "Required level, any tank",
        Unit.VOLUME,
        "The same for a tank without limit and without the reserve: above 0 when service begins, none is enough.",
        level("required_uncut", "OR({goes_out}=1, {position}=12)", SPARE, "0"),
        closing="0",
        source="rule curve, backwards through the plan year",
        stepwise=True,
    ),
    Column(
        "storage_needed",
        "Storage needed so far",
        Unit.VOLUME,
        "Sequent peak of the house's deficits in this plan year, at the end of what the month lacks.",
        f"IF({{days_in_service}}=0, 0, MAX(0, IF({RESTARTS}, 0,"
        f" MAX(0, {{storage_needed.before}} - {{rises.before}} * {of_month_before(SPARE)}))"
        f" - {OVERFLOWING} - (1 - {{rises}}) * {SPARE}) + {{house_lack}})",
        opening="0",
        source="sequent peak; Loucks and van Beek ch. 11",
        stepwise=True,
    ),
    Column(
        "garden_net",
        "House and garden: lack less spare",
        Unit.VOLUME,
        "In service. Above 0 the tank must give so much, below 0 well and roof can spare it.",
        f"{{house_lack}} + {{service_share}} * {{garden_left}} - {SPARE} - {OVERFLOWING}",
    ),
    Column(
        "storage_with_garden",
        "Storage needed so far, with garden",
        Unit.VOLUME,
        "Sequent peak of the deficits of house and garden in this plan year.",
        f"IF({{days_in_service}}=0, 0, MAX(0, IF({RESTARTS}, 0, MAX(0, {{storage_with_garden.before}}"
        f" - {{rises.before}} * MIN({of_month_before(GARDEN_SPARE)}, {of_month_before(SPARE)})))"
        f" - {GARDEN_SPARE} + {{rises}} * MIN({GARDEN_SPARE}, {SPARE})) + MAX({{house_lack}}, {{garden_net}}))",
        opening="0",
        source="sequent peak; Loucks and van Beek ch. 11",
        stepwise=True,
    ),
]
