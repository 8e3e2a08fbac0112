"""How far the monthly answers stand from the same equations stepped day by day, on the US example.

`python -m tests.test_daily` prints the table; the README holds it, and a test holds the README to it.
"""

import numpy as np
import pytest

from budget.rain import read_record
from tests.by_hand import compute as compute_by_hand
from tests.by_hand.daily import by_plan_year, days_of_rows, step_days
from tests.computed import ROOT, Computed, by_hand_site
from tests.conftest import computed_example
from tests.test_pond_and_roof import type_in

LITRES = 3.785411784  # a US gallon


def by_month_and_by_day(computed: Computed) -> tuple[dict[str, np.ndarray], dict[str, np.ndarray]]:
    """Figures of each whole plan year, by the workbook's months and by days, metric."""
    site = by_hand_site(computed)
    tables = compute_by_hand(site)
    record = read_record(computed.site).days
    series = [record[key].to_numpy(dtype=float) for key in ("rain", "tmax", "tmin")]
    days = by_plan_year(tables, step_days(site, tables, *days_of_rows(tables, *series)))
    years, ledger = tables["years"], tables["ledger"]
    whole = years["months"] == 12
    surplus = [ledger["surplus"][int(row) - 1 : int(row) + 11].sum() for row in years["first_row"][whole]]
    months = {
        "surplus": np.array(surplus),
        "lowest_yield": years["lowest_yield"][whole],
        "storage": years["storage"][whole],
        "house_short": years["house_short"][whole],
    }
    return months, days


def table(months: dict[str, np.ndarray], days: dict[str, np.ndarray]) -> list[str]:
    """The distance, as the README tells it."""
    error = months["surplus"] - days["surplus"]
    bias = error.sum() / days["surplus"].sum()
    needed = days["storage"].mean() / LITRES
    stored = months["storage"].mean() / LITRES
    lowest = months["lowest_yield"].mean() / LITRES, days["lowest_month_yield"].mean() / LITRES
    carried = [int((case["house_short"] < 1).sum()) for case in (months, days)]
    short = [case["house_short"].sum() / LITRES for case in (months, days)]
    return [
        "| figure | by months | by days |",
        "| --- | --- | --- |",
        f"| surplus of the soil, mean year | {months['surplus'].mean():.0f} mm | {days['surplus'].mean():.0f} mm |",
        f"| the same, mean error of a year (bias) | {np.abs(error).mean():.0f} mm ({bias:+.1%}) | |",
        f"| lowest monthly yield of a year, mean | {lowest[0]:.0f} gal/day | {lowest[1]:.0f} gal/day |",
        f"| storage needed, mean year | {stored:,.0f} gal | {needed:,.0f} gal |",
        f"| years that the tank carries | {carried[0]} of {len(error)} | {carried[1]} of {len(error)} |",
        f"| hauled over the record | {short[0]:,.0f} gal | {short[1]:,.0f} gal |",
    ]


@pytest.fixture(scope="module")
def figures() -> tuple[dict[str, np.ndarray], dict[str, np.ndarray]]:
    return by_month_and_by_day(computed_example("terrace_house"))


def test_surplus_follows_the_days(figures) -> None:
    months, days = figures
    assert np.abs(months["surplus"] - days["surplus"]).mean() < 20  # [mm]
    assert abs(months["surplus"].sum() / days["surplus"].sum() - 1) < 0.05


def test_lowest_yield_follows_the_days(figures) -> None:
    months, days = figures
    assert abs(months["lowest_yield"].mean() / days["lowest_month_yield"].mean() - 1) < 0.1


@pytest.fixture(scope="module")
def figures_of_summer() -> tuple[dict[str, np.ndarray], dict[str, np.ndarray]]:
    """The same for a tank that is emptied in mid-October, before the water comes back within a month of autumn."""
    computed = computed_example("terrace_house").copy()
    dates = {"fill_from_month": 4, "fill_from_day": 10, "drain_by_month": 10, "drain_by_day": 14}
    type_in(computed, **{f"tank_{key}": value for key, value in dates.items()})
    return by_month_and_by_day(computed)


def test_storage_leans_no_more_than_a_fifth_to_the_hopeful_side(figures_of_summer) -> None:
    months, days = figures_of_summer
    assert -0.2 < months["storage"].mean() / days["storage"].mean() - 1 < 0.05


def test_the_same_years_are_carried_but_for_three(figures) -> None:
    months, days = figures
    assert ((months["house_short"] < 1) != (days["house_short"] < 1)).sum() <= 3


def test_readme_tells_the_distance(figures) -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    lines = table(*figures)
    assert len(lines) == 2 + 6  # a heading and six figures
    for line in lines:
        assert line in readme, "renew the table in README.md: python -m tests.test_daily"


if __name__ == "__main__":
    print("\n".join(table(*by_month_and_by_day(computed_example("terrace_house")))))
