"""Two frosts in the book: pipes by a night, the tank by a spell; what is told where dates and days of frost differ.

The dates themselves are found from the record: see `tests/record/test_frost_dates.py`.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.computed import EXAMPLES, Computed, compute
from tests.conftest import computed_example
from tests.test_pond_and_roof import type_in
from tests.workbook.test_by_hand import differences

EXAMPLE = next(path for path in EXAMPLES if path.stem == "terrace_house")
DATES = ("tank_fill_from_month", "tank_fill_from_day", "tank_drain_by_month", "tank_drain_by_day")


def said(computed: Computed, name: str) -> str:
    return str(computed.model.value(name) or "")


def dates(computed: Computed) -> list[float]:
    return [computed.model.number(name) for name in DATES]


def built(folder: Path, of_tank: str) -> Computed:
    """The terrace house with more in its section of the tank."""
    text = EXAMPLE.read_text(encoding="utf-8")
    path = folder / "site.toml"
    path.write_text(text.replace("[tank]\n", f"[tank]\n{of_tank}\n"), encoding="utf-8")
    shutil.copy(EXAMPLE.with_name("terrace_house_rain.csv"), folder)
    return compute(path)


def test_pipes_and_tank_have_dates_of_their_own(terrace: Computed) -> None:
    assert dates(terrace) == [3, 6, 12, 8]
    assert said(terrace, "fill_from_told") == "6 March 2026"
    assert said(terrace, "drain_told") == "8 December 2026"
    assert (said(terrace, "pipes_from_told"), said(terrace, "pipes_by_told")) == ("10 April 2026", "14 October 2026")
    assert (said(terrace, "tank_record_from"), said(terrace, "tank_record_by")) == ("6 March", "8 December")
    assert terrace.column("frost_dates", "tank_dates_here") == [0, 0, 0, 0, 1, 0, 0, 0, 0]


def test_a_place_without_frost() -> None:
    southern = computed_example("guest_house")
    assert said(southern, "tank_in_service") == "all year"
    assert said(southern, "pipes_by_told") == said(southern, "pipes_from_told") == "hard frost is rare"


def test_other_days_of_frost_ask_for_other_dates(changed: Computed) -> None:
    """The dates are inputs and stay; the book says what the record gives for the days typed."""
    speaks = "check_frost_dates"
    assert said(changed, speaks) == ""
    type_in(changed, tank_frost_days=5)
    assert said(changed, speaks) == (
        "The tank has the dates for 3 days of frost. For 5: fill from 7 March, drain by 14 December. Type these on"
        " Storage, or build again."
    )
    assert dates(changed) == [3, 6, 12, 8]
    type_in(changed, tank_fill_from_day=7, tank_drain_by_day=14)
    assert said(changed, speaks) == ""
    type_in(changed, tank_drain_by_day=1)  # of one's own
    assert said(changed, speaks) == ""


def test_dates_of_ones_own_need_no_days_of_frost(changed: Computed) -> None:
    type_in(changed, tank_fill_from_month=4, tank_frost_days=7)
    assert said(changed, "check_frost_dates") == ""


def test_a_small_tank_goes_by_single_days(changed: Computed) -> None:
    gallons = {"tank_below_outlet": 0, "tank_reserve": 0}
    type_in(changed, tank_capacity=500, **gallons)
    assert said(changed, "check_small_tank") == ""
    type_in(changed, tank_capacity=499)
    assert said(changed, "check_small_tank").startswith("The tank holds less than 500 gal (1,900 L)")
    type_in(changed, tank_frost_days=1)
    assert said(changed, "check_small_tank") == ""
    assert "For 1: fill from 8 March, drain by 25 November." in said(changed, "check_frost_dates")


@pytest.mark.parametrize(
    ("of_tank", "found", "days"),
    [
        ("frost_days = 5", [3, 7, 12, 14], 5),
        ("fill_from_month = 4\nfill_from_day = 2\ndrain_by_month = 11\ndrain_by_day = 3", [4, 2, 11, 3], 0),
        ('in_service = "all year"', [3, 6, 12, 8], 0),
    ],
)
def test_what_the_build_finds(tmp_path: Path, of_tank: str, found: list[int], days: int) -> None:
    computed = built(tmp_path, of_tank)
    assert dates(computed) == found
    assert (computed.model.value("tank_dates_days") or 0) == days
    type_in(computed, tank_frost_days=2)
    assert bool(said(computed, "check_frost_dates")) == bool(days)


@pytest.mark.parametrize(
    ("fills", "drains", "first_month", "told"),
    [
        ((1, 20), (1, 5), 2, ("20 January 2026", "5 January 2027")),
        ((12, 10), (12, 2), 1, ("10 December 2025", "2 December 2026")),
    ],
)
def test_a_tank_drained_and_filled_within_a_month_is_drained(
    changed: Computed, fills: tuple[int, int], drains: tuple[int, int], first_month: int, told: tuple[str, str]
) -> None:
    type_in(changed, plan_number=2026, **dict(zip(DATES, (*fills, *drains), strict=True)))
    assert changed.model.number("first_month") == first_month
    out, month, drained = (changed.column("ledger", key) for key in ("goes_out", "month", "drained"))
    assert {m for m, goes in zip(month, out, strict=True) if goes} == {fills[0]}
    assert sum(out) == month.count(fills[0])
    assert sum(map(float, drained)) > 0
    assert changed.column("plan", "goes_out") == [0.0] * 11 + [1.0]
    assert changed.column("plan", "stored")[-1] == 0
    assert (said(changed, "fill_from_told"), said(changed, "drain_told")) == told
    assert differences(changed) == []
