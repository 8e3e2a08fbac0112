"""Who gets what, each month: the house first, then the tank for the house, then the garden.

The well's yield changes within the month, so that a month may lack water for the house and spare some as well: where
the yield rises what the house lacks comes first, else what the well can spare does. The order protects the house. Each
row closes: what came in equals what went out plus the change in storage.
"""

from budget.declarations import Column
from budget.units import Unit
from budget.water.snow import FIRST_DAYS, REST

NEED_A_DAY = "{house_need} / {days}"


def lacking(began: str, ended: str) -> str:
    """The template of what the house lacks a day, on the mean of days over which the yield goes from one to another.

    In a straight line: the mean of the part of need less yield that is above 0; where the line crosses 0, the larger
    end squared over twice the difference.
    """
    return (
        f"IF(({NEED_A_DAY} - {began}) * ({NEED_A_DAY} - {ended})<0,"
        f" ({NEED_A_DAY} - MIN({began}, {ended}))^2 / 2 / ABS({began} - {ended}),"
        f" MAX(0, {NEED_A_DAY} - ({began} + {ended}) / 2))"
    )


OVERFLOWING = "MAX(0, {roof_to_house} - {house_left_in_service})"  # what the roof brings beyond the house's want
STRAIGHT_LINE = "own rule: the mean of what is above 0; of a line that crosses 0, (larger end)²/(2 × difference)"
SPARE = "{service_share} * {well_left}"

COLUMNS = [
    Column(
        "lack_first",
        "Well lacks for the house by the 15th",
        Unit.VOLUME,
        "On days 1 to 15, while the yield goes in a straight line from the month's beginning to the 15th.",
        f"{FIRST_DAYS} * {lacking('{yield_end.before}', '{yield_middle}')}",
        source=STRAIGHT_LINE,
    ),
    Column(
        "lack_rest",
        "Well lacks for the house from the 16th",
        Unit.VOLUME,
        "After days 1 to 15, while the yield goes in a straight line from the 15th to the month's end.",
        f"{REST} * {lacking('{yield_middle}', '{yield_end}')}",
        source=STRAIGHT_LINE,
    ),
    Column(
        "house_from_well",
        "House, from the well",
        Unit.VOLUME,
        "The house is served first, day by day.",
        "MIN({house_need}, {well_yield}, {house_need} - {lack_first} - {lack_rest})",
    ),
    Column("well_left", "Left in the well", Unit.VOLUME, "After the house.", "{well_yield} - {house_from_well}"),
    Column(
        "house_left",
        "House need left",
        Unit.VOLUME,
        "What the well does not meet.",
        "{house_need} - {house_from_well}",
    ),
    Column(
        "house_left_in_service",
        "House need left, in service",
        Unit.VOLUME,
        "Of what the well does not meet, the part of the days in service: the tank may give it.",
        "{service_share} * {house_left}",
    ),
    Column(
        "house_lack",
        "House lacks",
        Unit.VOLUME,
        "In service, what neither well nor roof meets: the tank must give it.",
        "MAX(0, {house_left_in_service} - {roof_to_house})",
    ),
    Column(
        "tank_before_fill",
        "In the tank before filling",
        Unit.VOLUME,
        "Stored when the month begins, and what the roof brings.",
        "{stored.before} + {roof_to_house}",
        stepwise=True,
    ),
    Column(
        "tank_room",
        "Room in the tank",
        Unit.VOLUME,
        "Up to the overflow, when it is filled: before the house draws, or after it where the yield rises.",
        f"MAX(0, tank_usable - {{stored.before}} - {OVERFLOWING} + {{rises}} * MIN({{house_lack}}, {{stored.before}}))",
        stepwise=True,
    ),
    Column(
        "tank_target",
        "Target level of the tank",
        Unit.VOLUME,
        "The top in a filling month, else what is kept for the house at the month's end, and what the house still lacks"
        " before it.",
        "IF({storage_months:filling_used@month}=1, tank_usable,"
        " MIN(tank_usable, {kept_at_end} + (1 - {rises}) * {house_lack}))",
    ),
    Column(
        "tank_claim",
        "Claim of the tank before the garden",
        Unit.VOLUME,
        "From the well on the days in service, up to the target level; none where the garden goes first.",
        'IF(tank_before_garden="yes", MIN({service_share} * {well_left},'
        " MAX(0, {tank_target} - tank_usable + {tank_room})), 0)",
        stepwise=True,
    ),
    Column(
        "garden_leaves",
        "Well water that the garden leaves",
        Unit.VOLUME,
        "On the days in service: the tank may take it.",
        "{service_share} * MAX(0, {well_left} - {garden_left})",
    ),
    Column(
        "tank_fill",
        "Into the tank",
        Unit.VOLUME,
        "Its claim before the garden, or what the garden leaves where that is more; no more than it has room for.",
        "MIN({tank_room}, MAX({tank_claim}, {garden_leaves}))",
        stepwise=True,
    ),
    Column(
        "tank_before_draws",
        "In the tank before draws",
        Unit.VOLUME,
        "After filling: what house and garden may draw from.",
        "{tank_before_fill} + {tank_fill}",
        stepwise=True,
    ),
    Column(
        "garden_from_well",
        "Garden, from the well",
        Unit.VOLUME,
        "What house and tank leave.",
        "MIN({garden_left}, {well_left} - {tank_fill})",
        stepwise=True,
    ),
    Column(
        "house_from_tank",
        "House, from the tank",
        Unit.VOLUME,
        "What the well cannot give, on the days in service: the roof's water first, then what was in the tank, and"
        " what was filled in before.",
        "MIN({house_left_in_service}, {roof_to_house})"
        " + MIN({house_lack}, {stored.before} + (1 - {rises}) * {tank_fill})",
        stepwise=True,
    ),
    Column(
        "garden_from_tank",
        "Garden, from the tank",
        Unit.VOLUME,
        "Only what stands above the level kept for the house at the month's end.",
        "MIN({service_share} * ({garden_left} - {garden_from_well}),"
        " MAX(0, {tank_before_draws} - {house_from_tank} - {kept_at_end}))",
        stepwise=True,
    ),
    Column(
        "tank_after_draws",
        "In the tank after draws",
        Unit.VOLUME,
        "What house and garden leave in it.",
        "{tank_before_draws} - {house_from_tank} - {garden_from_tank}",
        stepwise=True,
    ),
    Column(
        "short",
        "House short",
        Unit.VOLUME,
        "Need of the house that neither well nor tank meets, in service: hauled.",
        "{house_left_in_service} - {house_from_tank}",
    ),
    Column(
        "short_drained",
        "House short while drained",
        Unit.VOLUME,
        "Need that the well does not meet while the tank is out of service: no tank helps.",
        "(1 - {service_share}) * {house_left}",
    ),
    Column(
        "garden_given",
        "Garden given",
        Unit.VOLUME,
        "From pond, rain tank, well and tank.",
        "{garden_from_pond} + {garden_from_roof} + {garden_from_well} + {garden_from_tank}",
    ),
    Column(
        "garden_dry",
        "Garden dry",
        Unit.VOLUME,
        "Need of the garden that is not met.",
        "{garden_need} - {garden_given}",
    ),
    Column(
        "drained",
        "Drained",
        Unit.VOLUME,
        "Left in the tank when it goes out of service; no more than it holds.",
        "IF({goes_out}=1, MIN(tank_usable, {tank_after_draws}), 0)",
        stepwise=True,
    ),
    Column(
        "spill",
        "Spill",
        Unit.VOLUME,
        "Stands above the capacity after the month's draws and runs over.",
        "MAX(0, {tank_after_draws} - {drained} - IF({goes_out}=1, 0, tank_usable))",
        stepwise=True,
    ),
    Column(
        "stored",
        "Stored",
        Unit.VOLUME,
        "In the tank at the month's end, above the outlet.",
        "{tank_after_draws} - {drained} - {spill}",
        opening="0",
        stepwise=True,
    ),
    Column(
        "well_unused",
        "Well unused",
        Unit.VOLUME,
        "Well yield that nobody took.",
        "{well_left} - {tank_fill} - {garden_from_well}",
    ),
]

# Whether each store closes: its flows and stocks added up once more, whatever the columns between them say.
ERRORS = [
    Column(
        "error_well",
        "Balance error, well",
        Unit.VOLUME,
        "Yield against what was taken and what was not.",
        "ABS({well_yield} - {house_from_well} - {tank_fill} - {garden_from_well} - {well_unused})",
    ),
    Column(
        "error_house",
        "Balance error, house",
        Unit.VOLUME,
        "Need against what was given and what is short.",
        "ABS({house_need} - {house_from_well} - {house_from_tank} - {short} - {short_drained})",
    ),
    Column(
        "error_garden",
        "Balance error, garden",
        Unit.VOLUME,
        "Need against what was given and what is not met.",
        "ABS({garden_need} - {garden_from_pond} - {garden_from_roof} - {garden_from_well} - {garden_from_tank}"
        " - {garden_dry})",
    ),
    Column(
        "error_pond",
        "Balance error, pond",
        Unit.VOLUME,
        "What was in it and came in against what left it and is in it.",
        "ABS({pond_stored.before} + {pond_rain} + {pond_runoff} - {pond_evaporation} - {pond_seeped}"
        " - {garden_from_pond} - {pond_spill} - {pond_stored})",
    ),
    Column(
        "error_rain_tank",
        "Balance error, rain tank",
        Unit.VOLUME,
        "What was in it and came in against what left it and is in it.",
        "ABS({roof_stored.before} + {roof_to_garden} - {garden_from_roof} - {roof_spill} - {roof_stored})",
    ),
    Column(
        "error_tank",
        "Balance error, tank",
        Unit.VOLUME,
        "What was in it and came in against what left it and is in it.",
        "ABS({stored.before} + {tank_fill} + {roof_to_house} - {house_from_tank} - {garden_from_tank} - {drained}"
        " - {spill} - {stored})",
    ),
    Column(
        "error_ground",
        "Balance error, soil and snow",
        Unit.VOLUME,
        "Rain against what the land used, what ran through and what is held, over a unit of area.",
        "volume_per_area_depth * ABS({rain} + {snowpack.before} + {soil_water.before} - {snowpack} - {soil_water}"
        " - {actual_et} - {surplus})",
    ),
    Column(
        "below_zero",
        "Most below 0",
        Unit.VOLUME,
        "Of what can never be negative: what is left over, short or stored.",
        "MAX(0, -MIN({well_unused}, {short}, {short_drained}, {garden_dry}, {drained}, {stored}, {pond_stored},"
        " {roof_stored}))",
    ),
    Column(
        "row_error",
        "Row does not close by",
        Unit.VOLUME,
        "Largest of the balance errors.",
        "MAX({error_well}, {error_house}, {error_garden}, {error_pond}, {error_rain_tank}, {error_tank},"
        " {error_ground}, {below_zero})",
    ),
]

NEXT_MONTH = [
    Column("next_month", "Next month", Unit.MONTH, "Calendar month that follows.", "MOD({month}, 12) + 1"),
]
