"""Tank, roof and pond."""

from budget.declarations import Check, Refusal
from budget.water.frosts import dates_are_those_of


def _no_date(date: str) -> str:
    """The condition that a month and a day make no date of every year: 2001 has no leap day.

    What can be no month or no day at all is told by the checks of their cells.
    """
    month, day = f"{date}_month", f"{date}_day"
    sound = f"MONTH(DATE(2001, {month}, 1))={month}, DAY(DATE(2001, 1, {day}))={day}"
    return f"AND({sound}, MONTH(DATE(2001, {month}, {day}))<>{month})"


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
    Check(
        "frost_dates",
        "Tank's dates follow its days of frost",
        "Dates that were found in the record are those for the days of frost typed now.",
        f"AND({dates_are_those_of('tank_dates_days')}=1, {dates_are_those_of('tank_frost_days')}=0,"
        ' tank_record_from<>"not known")',
        '"The tank has the dates for " & tank_dates_days & " days of frost. For " & tank_frost_days & ": fill from "'
        ' & tank_record_from & ", drain by " & tank_record_by & ". Type these on Storage, or build again."',
        "note",
    ),
    Check(
        "small_tank",
        "Days of frost of a small tank",
        "A tank under 500 gal (1.8927 m³) whose dates were found in the record goes by single days.",
        "AND(ISNUMBER(tank_dates_days), tank_frost_days>1, tank_capacity>0, ROUND(1.8927 - tank_capacity"
        " / volume_per_cube * metres_per_length * metres_per_length * metres_per_length, 4)>0)",
        '"The tank holds less than 500 gal (1,900 L), and so little water can freeze in a day: put 1 for its days of'
        ' frost on Storage, then type the dates that the record gives there, or build again."',
        "note",
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
        '"The reserve on Storage is larger than the tank; all of it is held back."',
    ),
]

ROOF = [
    Check(
        "unknown_roof",
        "Roofs known",
        "Every roof has a coefficient, or a material that is in the table of roofs.",
        "SUM({roof_workings:unknown.all})>0",
        '"Storage, roofs: a roof has neither a coefficient nor a material that is in the table: it counts 0."',
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
        '"Roofs are given on Storage, but no tank takes their water: it runs off."',
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
