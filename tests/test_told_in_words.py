"""What is told in words on either side of where the words change, on days and numbers that sites seldom meet."""

from calendar import month_name
from datetime import date, timedelta

import pytest

from budget.units import serial
from budget.water import answers, checks
from tests.small_book import data_table, evaluate

DAYS = [date(2025, 1, 1) + timedelta(days=number) for number in range(365)]
THIRDS = {"full_by": "full_day", "drain_by": "drain_day", "runs_out": "out_day", "pond_dry_by": "pond_dry_day"}


@pytest.mark.parametrize(("key", "of"), THIRDS.items())
def test_the_third_of_a_month_on_every_day_of_a_year(key: str, of: str) -> None:
    """Early to the 10th, mid to the 20th, late from the 21st, as the word 'third' has it."""
    column = next(column for column in answers.CASES if column.key == key)
    calendar = data_table("calendar", 12, [], {"month_name": list(month_name)[1:]})
    pond = data_table("case", len(DAYS), [], {"pond_is_dry": [0.0] * len(DAYS)})
    rows = {of: [float(serial(day)) for day in DAYS], "in_service_day": [1.0] * len(DAYS)}
    names = {"tank_usable": 100.0, "pond_full": 100.0}
    parts = data_table("thirds", 3, [], {"third": list(answers.THIRDS), "from_day": list(answers.THIRDS.values())})
    told = evaluate([column], rows, names, tables=[calendar, pond, parts])[key]
    thirds = ["early"] * 10 + ["mid"] * 10 + ["late"] * 11
    assert told == [f"{thirds[day.day - 1]} {month_name[day.month]}" for day in DAYS]


@pytest.mark.parametrize(("months", "begins"), [(0, None), (1, "1 month of"), (2, "2 months of"), (14, "14 months of")])
def test_months_that_took_the_median_are_counted(months: int, begins: str | None) -> None:
    check = next(check for check in checks.CHECKS if check.name == "filled")
    results = [check.finding, check.result]
    (told,) = evaluate((), {}, {"months_filled": float(months)}, results=results)["check_filled"]
    assert str(told).startswith(f"{begins} the rain record missed") if begins else told in ("", None)
