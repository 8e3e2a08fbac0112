"""What the plan promises, tried on the ledger by hand over random sites: no formula stands between it and the rule.

The storage that a year needed is the smallest tank; a required level is enough and half a litre less is not; the house
is never short in service in a year that needed no more than the planning year; a larger tank never leaves it shorter.
"""

from dataclasses import replace

import numpy as np
import pytest

from tests.by_hand.climate import calendar
from tests.by_hand.invented_site import random_site
from tests.by_hand.ledger import Fixed, Openings, curves, prepare, share_water, water_and_needs
from tests.by_hand.rule_curve import Steps, house_steps
from tests.by_hand.site import Columns, Site
from tests.by_hand.smallest_tank import house_short, smallest_tank
from tests.by_hand.storage import filling_months, kept_for_house
from tests.by_hand.years_of_record import by_row, planning, sets_kept, years_carried, years_needed

SITES = 40
PLAN_FOR = ("driest", "1 in 10", "middle")
SLACK = 1e-3  # [L], added to a tank that is just enough
LESS = 0.5  # [L]


class Tried:
    """A site's record before there is a tank: its rows, its garden, and the figures that do not change."""

    def __init__(self, site: Site) -> None:
        self.site = site
        self.fixed, _ = prepare(site)
        found = self.fixed.results
        data = {key: np.asarray(values, dtype=float) for key, values in site.record.items()}
        data |= calendar(data, int(found["first_month"]), found["rain_scale"])
        opens = Openings(found["soil_capacity"], found["pond_full"])
        self.rows, self.garden = water_and_needs(site, self.fixed, data, opens)

    def years(self) -> tuple[Columns, np.ndarray]:
        """The table of years and which of them count and can be filled for."""
        years = years_needed(self.site, self.rows)
        return years, np.flatnonzero((years["usable"] == 1) & (years["fillable"] == 1))

    def months_of(self, years: Columns, i: int) -> Columns:
        at = np.arange(12) + int(years["first_row"][i]) - 1
        return {key: values[at] for key, values in self.rows.items() if len(values) == len(self.rows["days"])}

    def planned(self, plan_for: str, usable: float) -> tuple[Columns, Columns]:
        """The years and the rows with a tank of so much usable capacity [L], planned for a year of the record."""
        site = replace(self.site, inputs=self.site.inputs | {"plan_for": plan_for})
        reserve = min(site.number("tank_reserve"), usable)
        results = self.fixed.results | {"tank_usable": usable, "reserve_used": reserve}
        fixed = Fixed(results, self.fixed.radiation, self.fixed.house, self.fixed.zones, self.fixed.kc)
        rows = dict(self.rows)
        rows |= curves(site, fixed, rows)
        years = years_needed(site, rows)
        results |= planning(site, years)
        years["sets_kept"] = sets_kept(years, int(results["planning_row"]))
        rows |= by_row(rows, years)
        months = filling_months(site, rows) | kept_for_house(site, rows, usable)
        share_water(site, fixed, rows, dict(self.garden), months, 0.0)
        return years | years_carried(site, rows, years), rows


@pytest.fixture(scope="module")
def sites() -> list[Tried]:
    rng = np.random.default_rng(20)
    return [Tried(random_site(rng)) for _ in range(SITES)]


def test_storage_needed_is_the_smallest_tank(sites):
    tried = rose = fell = roofed = 0
    for one in sites:
        years, fillable = one.years()
        for i in fillable:
            months = one.months_of(years, i)
            steps = house_steps(months)
            assert years["storage"][i] == pytest.approx(smallest_tank(steps, months["goes_out"]), abs=2e-6)
            tried += years["storage"][i] > 0
            rose += int(((steps.lack > 1) & (steps.spare_after > 1)).sum())
            fell += int(((steps.lack > 1) & (steps.spare_before > 1)).sum())
            roofed += months["roof_to_house"].any() and years["storage"][i] > 0
    # Months with a lack and spare water, in either order, and years with a roof.
    assert tried > 200 and rose > 50 and fell > 200 and roofed > 100


def test_a_year_that_no_tank_carries_lacks_what_is_required_at_its_beginning(sites):
    beyond = 0
    for one in sites:
        years, fillable = one.years()
        for i in set(np.flatnonzero(years["usable"] == 1)) - set(fillable):
            months = one.months_of(years, i)
            lacks = house_short(1e12, house_steps(months), months["goes_out"])
            assert lacks == pytest.approx(years["first_uncut"][i], abs=1e-6)
            beyond += 1
    assert beyond > 50


def rest_of(steps: Steps, begins: int) -> Steps:
    return Steps(steps.spare_before[begins:], steps.lack[begins:], steps.spare_after[begins:])


def test_a_required_level_is_enough_and_half_a_litre_less_is_not(sites):
    """With an endless tank, and in the years that a tank just carries with that tank: the level is then nowhere cut."""
    enough = within_tank = 0
    for one in sites:
        years, fillable = one.years()
        for i in np.flatnonzero(years["usable"] == 1):
            months = one.months_of(years, i)
            steps, goes_out, level = house_steps(months), months["goes_out"], months["required_uncut"]
            sizes = [1e12] + ([years["storage"][i] + SLACK] if i in fillable else [])
            for t in np.flatnonzero(level > LESS):
                rest, out = rest_of(steps, t), goes_out[t:]
                for size in sizes:
                    assert level[t] <= size
                    assert house_short(size, rest, out, level[t]) < 1e-6
                    assert house_short(size, rest, out, level[t] - LESS) > LESS / 2
                enough, within_tank = enough + 1, within_tank + (len(sizes) > 1)
    assert enough > 1000 and within_tank > 500


def test_the_house_is_never_short_in_a_year_that_needs_no_more_than_the_planning_year(sites):
    """And in no year shorter with half as large a tank again, whatever the year needed."""
    carried = beyond = helped = 0
    for one in sites:
        for plan_for in PLAN_FOR:
            years, _ = one.years()
            site = replace(one.site, inputs=one.site.inputs | {"plan_for": plan_for})
            needs = planning(site, years)["planning_storage"] + SLACK
            small, rows = one.planned(plan_for, needs)
            large, _ = one.planned(plan_for, 1.5 * needs)
            counts = (small["usable"] == 1) & (small["fillable"] == 1) & (small["storage"] <= needs)
            for years_with_it in (small, large):
                assert years_with_it["house_short"][counts].max(initial=0.0) < 1e-6
            whole = small["months"] == 12
            assert (large["house_short"][whole] <= small["house_short"][whole] + 1e-6).all()
            carried += int((counts & (small["storage"] > 1)).sum())
            beyond += int((whole & ~counts & (small["house_short"] > 1)).sum())
            helped += int((large["house_short"][whole] < small["house_short"][whole] - 1).sum())
            assert rows["stored"].max() <= needs + 1e-9
    # Years that the promise covers, years that it does not and that ran short, years that the larger tank helped.
    assert carried > 500 and beyond > 300 and helped > 40


def one_more(site: Site) -> Site:
    """The site with one person more."""
    first, *others = site.lists["household"]
    return replace(site, lists=site.lists | {"household": [first | {"number": first["number"] + 1}, *others]})


def test_lower_water_less_inflow_or_more_people_never_need_less(sites):
    """Neither storage nor what is required at the beginning falls in any year."""
    grew = 0
    for one in sites[:5]:
        inputs, share = one.site.inputs, one.site.number("well_sustained_share")
        worse = [replace(one.site, inputs=inputs | {"well_water_lower": lower}) for lower in (0.05, 0.5)]
        worse += [replace(one.site, inputs=inputs | {"well_sustained_share": 0.8 * share}), one_more(one.site)]
        before, _ = one.years()
        for site in worse:
            after, _ = Tried(site).years()
            for key in ("storage", "first_uncut"):
                assert (after[key] >= before[key] - 1e-6).all(), key
            grew += int((after["storage"] > before["storage"] + 1).sum())
    assert grew > 100
