"""What the tables of the book run along: calendar months, months of the plan, readings, dry spells, shares tried."""

from budget.declarations import Rows
from budget.water import dry_spells, recovery_test

MONTH_NAMES = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
SHORT_MONTHS = tuple(name[:3] for name in MONTH_NAMES)
CALENDAR = Rows("calendar", 12, SHORT_MONTHS)
PLAN = Rows("plan", 12, tuple(f"month {n}" for n in range(1, 13)))
HALVES = Rows("halves", 2 * PLAN.size, runs=PLAN)
ONE = Rows("one", 1)
READING = Rows("reading", recovery_test.READINGS)
SPELL = Rows("spell", dry_spells.SPELLS)
SPELL_MONTHS = Rows("spell_months", dry_spells.SPELLS * 12, runs=SPELL)
SHARE = Rows(
    "share", len(dry_spells.TRIED) + 1, (*(f"share {share:.0%}" for share in dry_spells.TRIED), "the share in use")
)
