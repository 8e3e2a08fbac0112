"""The required level of the tank (rule curve), for the house alone, and the storage that a year needed.

Both rest on yields and needs only, never on the tank, so there is no circle. The storage is the sequent peak of the
year's deficits (Loucks and van Beek, *Water Resource Systems Planning and Management*, ch. 11), within the plan year.
"""

from budget.declarations import Column
from budget.units import Unit


def level(key: str, ends: str, surplus: str) -> str:
    """The template of a required level `key`, backwards: a deficit adds, above the reserve; a surplus takes away.

    `ends`: where nothing is asked of the month's end; `surplus`: what of the month's net counts where it is one.
    """
    after = f"IF({ends}, 0, {{{key}.after}})"
    return (
        "IF({days_in_service}=0, 0, MIN(tank_usable, IF({house_net}>0,"
        f" MAX({after}, reserve_used) + {{house_net}}, MAX(0, {after} + {surplus}))))"
    )


COLUMNS = [
    Column(
        "well_deficit",
        "House: need less well yield",
        Unit.VOLUME,
        "In service. Above 0 the well lacks so much, below 0 it can spare it.",
        "{service_share} * ({house_need} - {well_yield})",
    ),
    Column(
        "house_net",
        "House: need less yield",
        Unit.VOLUME,
        "In service, less what the roof brings. Above 0 the tank must give, below 0 the well can spare.",
        "{well_deficit} - {roof_to_house}",
    ),
    Column(
        "required_level",
        "Required level",
        Unit.VOLUME,
        "On the month's first day in service, for the house, at most the usable capacity.",
        level("required_level", "OR({goes_out}=1, {position}=12)", "{house_net}"),
        closing="0",
        source="rule curve, backwards through the plan year",
        stepwise=True,
    ),
    Column(
        "required_uncut",
        "Required level, any tank",
        Unit.VOLUME,
        "The same for a tank without limit and without the reserve: above 0 when service begins, none is enough.",
        "IF({days_in_service}=0, 0,"
        " MAX(0, IF(OR({goes_out}=1, {position}=12), 0, {required_uncut.after}) + {house_net}))",
        closing="0",
        source="rule curve, backwards through the plan year",
        stepwise=True,
    ),
    Column(
        "storage_needed",
        "Storage needed so far",
        Unit.VOLUME,
        "Sequent peak of the house's deficits in this plan year.",
        "IF({days_in_service}=0, 0,"
        " MAX(0, IF(OR({position}=1, {goes_out.before}=1), 0, {storage_needed.before}) + {house_net}))",
        opening="0",
        source="sequent peak; Loucks and van Beek ch. 11",
        stepwise=True,
    ),
    Column(
        "garden_net",
        "House and garden: need less yield",
        Unit.VOLUME,
        "In service.",
        "{house_net} + {service_share} * {garden_left}",
    ),
    Column(
        "storage_with_garden",
        "Storage needed so far, with garden",
        Unit.VOLUME,
        "Sequent peak of the deficits of house and garden in this plan year.",
        "IF({days_in_service}=0, 0,"
        " MAX(0, IF(OR({position}=1, {goes_out.before}=1), 0, {storage_with_garden.before}) + {garden_net}))",
        opening="0",
        source="sequent peak; Loucks and van Beek ch. 11",
        stepwise=True,
    ),
]
