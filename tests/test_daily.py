"""How far the monthly answers stand from the same equations stepped day by day, on the US example.

`python -m tests.test_daily` prints the table; the README holds it, and a test holds the README to it. The days are
fitted to the depths to which the book is; see `tests.by_hand.months_and_days` for other sites.
"""

import numpy as np
import pytest

from budget.rain import read_record
from tests.by_hand import compute as compute_by_hand
from tests.by_hand.months_and_days import Compared, bias, compare, days_late, years_carried
from tests.computed import ROOT, Computed, by_hand_site
from tests.conftest import computed_example

LITRES = 3.785411784  # a US gallon


def by_month_and_by_day(computed: Computed) -> Compared:
    """Figures of each whole plan year, by the workbook's months and by days, metric."""
    site = by_hand_site(computed)
    record = read_record(computed.site).days
    series = [record[key].to_numpy(dtype=float) for key in ("rain", "tmax", "tmin")]
    return compare(site, compute_by_hand(site), *series)


def table(figures: Compared) -> list[str]:
    """The distance, as the README tells it."""
    months, days, late = figures.months, figures.days, np.abs(days_late(figures)).mean()
    error = np.abs(months["surplus"] - days["surplus"]).mean()

    def both(key: str, measure) -> list[float]:
        return [measure(of[key]) / LITRES for of in (months, days)]

    lowest, stored = both("lowest_month_yield", np.mean), both("storage", np.mean)
    short = both("house_short", np.sum)
    carried, years = [years_carried(of) for of in (months, days)], len(months["year"])
    return [
        "| figure | by months | by days |",
        "| --- | --- | --- |",
        f"| surplus of the soil, mean year | {months['surplus'].mean():.0f} mm | {days['surplus'].mean():.0f} mm |",
        f"| the same, mean error of a year (bias) | {error:.0f} mm ({bias(figures, 'surplus'):+.1%}) | |",
        f"| lowest monthly yield of a year, mean | {lowest[0]:.0f} gal/day | {lowest[1]:.0f} gal/day |",
        f"| storage needed, mean year | {stored[0]:,.0f} gal | {stored[1]:,.0f} gal |",
        f"| years that the tank carries | {carried[0]} of {years} | {carried[1]} of {years} |",
        f"| hauled over the record | {short[0]:,.0f} gal | {short[1]:,.0f} gal |",
        f"| run-out date, mean error | {late:.0f} days | |",
    ]


@pytest.fixture(scope="module")
def figures() -> Compared:
    return by_month_and_by_day(computed_example("terrace_house"))


def test_surplus_follows_the_days(figures) -> None:
    assert np.abs(figures.months["surplus"] - figures.days["surplus"]).mean() < 15  # [mm]
    assert abs(bias(figures, "surplus")) < 0.02


def test_lowest_yield_follows_the_days(figures) -> None:
    assert abs(bias(figures, "lowest_month_yield")) < 0.05


def test_storage_and_hauled_water_lean_little(figures) -> None:
    """Storage needed within 8 %, hauled water within 10 %."""
    assert abs(bias(figures, "storage")) < 0.08
    assert abs(bias(figures, "house_short")) < 0.10


def test_the_same_years_are_carried_but_for_one(figures) -> None:
    months, days = figures.months, figures.days
    assert abs(years_carried(months) - years_carried(days)) <= 1
    assert ((months["house_short"] < 1) != (days["house_short"] < 1)).sum() <= 1


def test_the_run_out_date_follows_the_days(figures) -> None:
    late = days_late(figures)
    assert len(late) > 3 and np.abs(late).mean() < 12


def test_readme_tells_the_distance(figures) -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    lines = table(figures)
    assert len(lines) == 2 + 7  # a heading and seven figures
    for line in lines:
        assert line in readme, "renew the table in README.md: python -m tests.test_daily"


if __name__ == "__main__":
    print("\n".join(table(by_month_and_by_day(computed_example("terrace_house")))))
