"""The invented dips and dry spells of the southern example: `python -m tests.example_evidence` prints their lines.

They come from a well that is a little other than the one the example's two depths alone would give, and that keeps 40 %
of its inflow through a season: read on days drawn by lot, with the error of a weighted tape, and remembered as a family
remembers. What the book then finds of that well, it finds through noise.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np

from budget.site_file.reading import read_site
from budget.site_file.site import Site
from budget.units import FIRST_DAY, serial
from tests.computed import ROOT, Computed, compute_site

SEED = 1618
TRUE_SHARE = 0.4
FLOOR_LOWER, YIELD_TIMES, TIME_TIMES = -0.15, 1.0, 1.1  # against the fit to the two depths: [m], factors
TAPE_ERROR, DATE_ERROR, GARDEN_ERROR = 0.04, 9.0, 0.05  # [m], [days], share
DIPS = 9
SPELLS = (1997, 1998, 2001, 2003, 2004, 2008, 2012)
EXAMPLE = ROOT / "example_inputs" / "guest_house.toml"


def without_evidence(site: Site) -> Site:
    return replace(site, lists={**site.lists, "dips": [], "remembered": []})


def true_well(site: Site) -> Computed:
    """The example's well as it truly is, with days to read and years to remember but nothing read or remembered."""
    plain = compute_site(without_evidence(site))
    floor, specific_yield, time = (
        plain.model.number(name) for name in ("aquifer_floor", "aquifer_specific_yield", "aquifer_drainage_time")
    )
    held = {
        "aquifer_floor": floor + FLOOR_LOWER,
        "aquifer_specific_yield": specific_yield * YIELD_TIMES,
        "aquifer_drainage_time": time * TIME_TIMES,
        "well_sustained_share": TRUE_SHARE,
    }
    draw = np.random.default_rng(SEED)
    first, last = date(2014, 1, 1), date(2025, 11, 1)
    days = sorted(first + timedelta(days=int(d)) for d in draw.integers(0, (last - first).days, DIPS))
    lists = {
        **site.lists,
        "dips": [{"date": serial(day), "depth": site.values["well_summer_depth"]} for day in days],
        "remembered": [{"year": year, "dry_on": None, "loads": None, "garden": None} for year in SPELLS],
    }
    return compute_site(replace(site, values={**site.values, **held}, given=site.given | set(held), lists=lists))


def dip_lines(well: Computed, draw: np.random.Generator) -> list[str]:
    """The dips as they stand in the site file."""
    days = [FIRST_DAY + timedelta(days=int(day)) for day in well.column("dips", "date")[:DIPS]]
    depths = np.array(well.column("dip_workings", "dip_modelled")[:DIPS], dtype=float)
    read = np.round(depths + draw.normal(0, TAPE_ERROR, DIPS), 2)
    return [f'  {{ date = {day}, depth = "{depth:.2f} m" }},' for day, depth in zip(days, read, strict=True)]


def spell_lines(well: Computed, draw: np.random.Generator) -> list[str]:
    """The dry spells as they stand in the site file; the last share of the table is the true one."""
    item = well.tables["memory_scores"].each.size - 1
    dry, loads, garden = (
        well.column("memory_scores", key, item) for key in ("modelled_dry", "modelled_loads", "modelled_garden")
    )
    lines = []
    for row, year in enumerate(SPELLS):
        words = [f"year = {year}"]
        if dry[row]:
            day = FIRST_DAY + timedelta(days=round(float(dry[row]) + draw.normal(0, DATE_ERROR)))
            hauled = max(1, int(loads[row]) + int(draw.integers(-1, 2)))
            share = np.clip(round(float(garden[row]) + draw.normal(0, GARDEN_ERROR), 1), 0, 1)
            words += [f"dry_on = {day}", f"loads = {hauled}", f'garden = "{share:.0%}"'.replace("%", " %")]
        lines.append(f"  {{ {', '.join(words)} }},")
    return lines


if __name__ == "__main__":
    noise = np.random.default_rng(SEED + 1)
    truth = true_well(read_site(EXAMPLE))
    print("dips = [", *dip_lines(truth, noise), "]", "remembered = [", *spell_lines(truth, noise), "]", sep="\n")
