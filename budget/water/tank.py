"""The storage tank: what it holds, and in which months it is filled."""

from budget.declarations import Column, Input, Result
from budget.units import Unit
from budget.water.record import calendar_mean

INPUTS = [
    Input(
        "tank_capacity",
        "Capacity of the tank",
        Unit.VOLUME,
        "Up to the overflow. 0 where there is none yet: Answers says what would be needed.",
        "0 gal",
        low="0 gal",
        high="1000000 L",
    ),
    Input(
        "tank_below_outlet",
        "Below the outlet",
        Unit.VOLUME,
        "Water that cannot be drawn.",
        "0 gal",
        low="0 gal",
        high="100000 L",
    ),
    Input(
        "tank_reserve",
        "Reserve",
        Unit.VOLUME,
        "The plan ends every dry month with this much; the house may still draw it in need.",
        "0 gal",
        low="0 gal",
        high="100000 L",
    ),
    Input(
        "tank_before_garden",
        "Tank before garden",
        Unit.TEXT,
        "Whether the well fills the tank for the house before it waters the garden.",
        "yes",
        choices=("yes", "no"),
    ),
]

RESULTS = [
    Result(
        "tank_usable",
        "Usable capacity",
        Unit.VOLUME,
        "From the outlet up to the overflow. The level of the tank is counted from the outlet.",
        "MAX(0, tank_capacity - tank_below_outlet)",
    ),
    Result(
        "tank_water_weight",
        "What its water weighs when full",
        Unit.WEIGHT,
        "At 1 kg to the litre (8.345 lb to the gallon). The ground must bear this and more: see Tank base.",
        "tank_capacity * weight_per_volume",
    ),
    Result(
        "reserve_used",
        "Reserve in use",
        Unit.VOLUME,
        "At most the usable capacity.",
        "MIN(tank_reserve, tank_usable)",
    ),
]

LEFT = [
    Result(
        "tank_least_left",
        "Least left in it, with less water",
        Unit.VOLUME,
        "In the plan year, in service, above the outlet.",
        "{plan_less:lowest_level.last}",
    ),
]

BY_CALENDAR_MONTH: list[Column | Input] = [
    Column(
        "mean_yield",
        "Well yield, mean",
        Unit.VOLUME,
        "Mean of the calendar month over the record.",
        calendar_mean("well_yield"),
    ),
    Column(
        "mean_daily_yield",
        "Well yield a day, mean",
        Unit.FLOW,
        "Mean of the calendar month over the record.",
        calendar_mean("daily_yield"),
    ),
    Column(
        "mean_need",
        "Household need, mean",
        Unit.VOLUME,
        "Mean of the calendar month over the record.",
        calendar_mean("house_need"),
    ),
    Column(
        "mean_service",
        "Share in service, mean",
        Unit.SHARE,
        "Mean of the calendar month over the record.",
        calendar_mean("service_share"),
    ),
    Column(
        "filling_found",
        "Filling month, found",
        Unit.FLAG,
        "1 where the tank is in service and the well gives the house its need twice over, on the mean.",
        "IF(AND(ROUND({mean_service}, 6)>0, ROUND({mean_yield} - {mean_need} - {mean_need}, 6)>=0), 1, 0)",
        source="common practice, no source",
    ),
    Input(
        "filling",
        "Filling month, by hand",
        Unit.FLAG,
        "1 or 0 replaces what was found.",
        "",
        low="0",
        high="1",
    ),
    Column(
        "filling_used",
        "Filling month, in use",
        Unit.FLAG,
        "1 where the tank is filled to the top.",
        "IF(ISNUMBER({filling}), IF({filling}>0, 1, 0), {filling_found})",
    ),
]
