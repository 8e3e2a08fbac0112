"""The level kept in the tank for the house: below it the garden gets nothing, and up to it the tank is filled first.

By calendar month it is the largest required level on the month's first day (see `rule_curve`) among the plan years of
the record that a tank can carry and that need no more storage than the planning year: the upper envelope of their rule
curves, at most the usable capacity (own rule). Each of the twelve cells is open to a hand value. A month's end takes
the next month's figure; the month's own would starve the house. One year's own curve would leave milder years short.

It rests on yields and needs of the record alone, never on the tank, so that there is no circle.
"""

from budget.declarations import Column, Input
from budget.units import Unit

# Of each plan year of the record.
YEARS = [
    Column(
        "sets_kept",
        "Sets what is kept",
        Unit.FLAG,
        "1 where a tank can carry the year and it needs no more storage than the planning year.",
        "IF(AND({usable}=1, {fillable}=1, {storage_key}<=ROUND(planning_storage, 6)), 1, 0)",
    ),
]

YEARS_BY_MONTH = [
    Column(
        "month_required",
        "Required level",
        Unit.VOLUME,
        "On the month's first day, in the years that set what is kept for the house; else 0.",
        "IF({years:sets_kept}=1,"
        " INDEX({ledger:required_level.all}, {years:first_row} + MOD({calendar:month} - first_month, 12)), 0)",
    ),
]

OVER_YEARS = [
    Column(
        "highest_required",
        "Largest required level",
        Unit.VOLUME,
        "Over the years that set what is kept for the house.",
        "MAX({year_months:month_required.all})",
        source="rule curve, upper envelope; own rule",
    ),
]

# Along the months: what is asked of each month's end.
COLUMNS = [
    Column(
        "kept_at_end",
        "Kept for the house at the month's end",
        Unit.VOLUME,
        "In the tank: the level of the next month's first day.",
        "{storage_months:kept_used@next_month}",
    ),
]

BY_CALENDAR_MONTH: list[Column | Input] = [
    Column(
        "kept_found",
        "Kept for the house, found",
        Unit.VOLUME,
        "Largest household level of the month's first day among all fillable years that need no more storage"
        " than the planning year.",
        "MIN(tank_usable, {over_years:highest_required.each@calendar:month})",
        source="rule curve, upper envelope; own rule",
    ),
    Input(
        "kept",
        "Kept for the house, by hand",
        Unit.VOLUME,
        "Replaces what was found.",
        "",
        low="0 gal",
        high="1000000 L",
    ),
    Column(
        "kept_used",
        "Kept for the house, in use",
        Unit.VOLUME,
        "On the month's first day.",
        "IF(ISNUMBER({kept}), MIN(tank_usable, {kept}), {kept_found})",
    ),
]
