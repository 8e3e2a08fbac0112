"""Tank, roof and pond."""

from budget.declarations import Check, Refusal


def _no_date(date: str) -> str:
    """The condition that a month and a day make no date of every year: 2001 has no leap day."""
    month, day = f"{date}_month", f"{date}_day"
    return f"AND(ISNUMBER({month}), ISNUMBER({day}), MONTH(DATE(2001, {month}, {day}))<>{month})"


SERVICE = [
    Check(
        "fill_date",
        "Fill from is a date",
        "Its day is one of its month in every year.",
        _no_date("tank_fill_from"),
        '"Fill from, on Storage, is not a date of every year: a day of the next month is taken for it."',
        "stop",
        refuses=Refusal(
            "tank.fill_from_day",
            "{value} is not a day of {tank_fill_from_month} in every year",
            "a date of every year",
        ),
    ),
    Check(
        "drain_date",
        "Drain by is a date",
        "Its day is one of its month in every year.",
        _no_date("tank_drain_by"),
        '"Drain by, on Storage, is not a date of every year: a day of the next month is taken for it."',
        "stop",
        refuses=Refusal(
            "tank.drain_by_day",
            "{value} is not a day of {tank_drain_by_month} in every year",
            "a date of every year",
        ),
    ),
]

TANK = [
    Check(
        "outlet",
        "Outlet within the tank",
        "No more water lies below the outlet than the tank holds.",
        "AND(tank_capacity>0, ROUND(tank_below_outlet - tank_capacity, 6)>0)",
        '"More water lies below the outlet than the tank holds: look at both on Storage. None of it can be used."',
        "stop",
        Refusal("tank.below_outlet", "{value} is more than {tank_capacity}", "at most tank.capacity"),
    ),
    Check(
        "reserve",
        "Reserve within the tank",
        "The reserve is no larger than the tank.",
        "AND(tank_usable>0, tank_reserve>tank_usable)",
        '"The reserve is larger than the tank; all of it is held back."',
    ),
]

ROOF = [
    Check(
        "unknown_roof",
        "Roofs known",
        "Every roof has a coefficient, or a material that is in the table of roofs.",
        "SUM({roof_workings:unknown.all})>0",
        '"A roof has neither a coefficient nor a material that is in the table: it counts 0."',
        "stop",
        refuses=Refusal(
            "roofs",
            "has neither a material nor a coefficient",
            "a material of the table, or a coefficient",
            cells="roof_workings:unknown",
        ),
    ),
    Check(
        "roof_tank",
        "Roof water has a tank",
        "Where roofs are given, there is a tank that takes their water.",
        'AND(roof_catching_area>0, OR(AND(roof_goes_to="garden tank", roof_tank_capacity<=0),'
        ' AND(roof_goes_to="house tank", tank_usable<=0)))',
        '"Roofs are given, but no tank takes their water: it runs off."',
    ),
]

POND = [
    Check(
        "pond_depth",
        "Depth of the pond typed",
        "The pond has a depth where its surface, its catchment or its seepage is typed.",
        "AND(NOT(ISNUMBER(pond_depth)), OR(COUNT(pond_area, pond_length, pond_width, pond_bottom_length,"
        " pond_bottom_width, pond_seepage)>0, SUM(pond_catchment)>0))",
        '"The depth of the pond, on Storage, is empty or no number, while the rest of the pond is filled in: type it.'
        ' Until then this book has no pond."',
        "stop",
    ),
    Check(
        "pond_size",
        "Pond has a size",
        "A pond with a depth has a surface.",
        "AND(pond_depth>0, pond_full<=0)",
        '"The pond, on Storage, has a depth but no surface: it counts as none."',
        "stop",
        refuses=Refusal(
            "pond",
            "has a depth but no surface",
            "area, or length and width, or bottom_length and bottom_width of a dug pond",
        ),
    ),
    Check(
        "pond_keep",
        "Keep-level within the pond",
        "The keep-level of a pond lies no higher than the full pond.",
        "AND(pond_full>0, ROUND(pond_keep - pond_depth, 6)>0)",
        '"The keep-level, on Storage, is above the full pond: the garden gets nothing from it."',
        "stop",
        Refusal("pond.keep", "{value} is above {pond_depth}", "at most pond.depth"),
    ),
]
