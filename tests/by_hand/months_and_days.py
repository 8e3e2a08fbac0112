"""How far the monthly answers stand from the same equations stepped by days: the figures that a household asks for.

`python -m tests.by_hand.months_and_days` prints them for the example's record and for random sites.
"""

import os
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pandas as pd

from .climate import calendar
from .daily import by_plan_year, days_of_rows, months, step_days, with_warm_up
from .fit import fit, soils_figures
from .halves import shared
from .invented_site import days_of_record, invented_site, random_site
from .ledger import Openings, compute, prepare, water_and_needs
from .plan_months import run_out_dates
from .site import Columns, Site
from .water_table import highest_height, water_table_by_halves

SITES = 40  # random ones
WORTH_A_TANK = 1000.0  # [L] in the mean year: with less no error of a tank's size means anything
FIGURES = {
    "surplus": "surplus of the soil [mm]",
    "lowest_month_yield": "lowest yield [L/day]",
    "storage": "storage needed [L]",
    "house_short": "hauled in service [L]",
}  # of a mean year


def fitted_by_months(site: Site) -> Site:
    """The site with its water table fitted by months to the summer and the winter depth, as the book's is."""
    fixed, _ = prepare(site)
    found = fixed.results
    data = {key: np.asarray(values, dtype=float) for key, values in site.record.items()}
    data |= calendar(data, int(found["first_month"]), found["rain_scale"])
    rows, _ = water_and_needs(site, fixed, data, Openings(found["soil_capacity"], found["pond_full"]))
    recharge = shared(rows["recharge"], rows["surplus_first"] * (1 - found["runoff_share"]))

    def heights(tried: Site) -> np.ndarray:
        store = tried.number("aquifer_specific_yield"), tried.number("aquifer_drainage_time"), highest_height(tried)
        return water_table_by_halves(recharge, rows["days"], *store, 0.0)["mean_height"]

    soil_row = int(found["soil_row"])
    return fit(site, rows, heights, soil_row, soils_figures(site, soil_row))


def gauge() -> tuple[np.ndarray, ...] | None:
    """A real daily record of thirty dry years: dates, rain [mm], highs and lows [°C]; None where there is none.

    It lies outside the project, in the folder that WATER_RECORDS names. A day without rain written down counts as dry,
    one without temperatures has those between its neighbours.
    """
    folder = os.environ.get("WATER_RECORDS")
    if not folder:
        return None
    read = pd.read_csv(Path(folder) / "merced_daily_1993_2022.csv", parse_dates=["date"], index_col="date").asfreq("D")
    rain, warmth = read["prcp"].fillna(0.0), read[["tmax", "tmin"]].interpolate()
    low = np.minimum(warmth["tmin"], warmth["tmax"])
    return read.index.to_numpy().astype("datetime64[D]"), *(x.to_numpy() for x in (rain, warmth["tmax"], low))


def on_gauge(days: tuple[np.ndarray, ...]) -> Site:
    """An invented home on that record, over thin soil, so that some recharge falls."""
    record = with_warm_up(months(*days))
    site = invented_site(site_latitude=37.3, soil_root_depth=0.3, well_winter_depth=4.3)
    return replace(site, record=record, year_numbers=sorted({int(y) for y in record["year"][record["in_record"] == 1]}))


@dataclass
class Compared:
    """Figures of each whole plan year, by months and by days; whether the tank has a roof's water."""

    months: Columns
    days: Columns
    roof: bool


def months_by_plan_year(site: Site, tables: dict[str, Columns]) -> Columns:
    """The figures of `daily.by_plan_year` that months have too, from the monthly tables."""
    years, ledger = tables["years"], tables["ledger"]
    whole = years["months"] == 12
    dates = run_out_dates(ledger, site.volume_unit)
    surplus, ran_out = np.zeros(int(whole.sum())), np.zeros(int(whole.sum()))
    for i, first_row in enumerate(years["first_row"][whole].astype(int)):
        at = np.arange(12) + first_row - 1
        surplus[i] = ledger["surplus"][at].sum()
        ran_out[i] = next((day for day in dates[at] if day > 0), 0.0)
    return {
        "year": years["year"][whole],
        "surplus": surplus,
        "lowest_month_yield": years["lowest_yield"][whole],
        "storage": years["storage"][whole],
        "house_short": years["house_short"][whole],
        "ran_out": ran_out,
    }


def compare(site: Site, tables: dict[str, Columns], *weather: np.ndarray) -> Compared:
    """Both for a site; `weather` without the warm-up years: rain as recorded [mm], highs and lows [°C]."""
    days = step_days(site, tables, *days_of_rows(tables, *weather))
    roof = bool(tables["results"]["roof_catching_area"][0] > 0)
    return Compared(months_by_plan_year(site, tables), by_plan_year(tables, days), roof)


def bias(compared: Compared, key: str) -> float:
    """How much more the months tell of a figure in the mean year than the days do, as a share of the days'."""
    return compared.months[key].sum() / compared.days[key].sum() - 1


def years_carried(of: Columns) -> int:
    """Years in which the house is not short in service, to a litre."""
    return int((of["house_short"] < 1).sum())


def days_late(compared: Compared) -> np.ndarray:
    """Days by which the months' run-out date falls behind the days', in the years in which both run out."""
    both = (compared.months["ran_out"] > 0) & (compared.days["ran_out"] > 0)
    return (compared.months["ran_out"] - compared.days["ran_out"])[both]


def told(compared: Compared) -> list[str]:
    """The table of one site."""
    months, days, late = compared.months, compared.days, days_late(compared)
    lines = [f"{'':24} {'by months':>10} {'by days':>10} {'bias':>7}"]
    for key, words in FIGURES.items():
        lines.append(f"{words:24} {months[key].mean():10,.0f} {days[key].mean():10,.0f} {bias(compared, key):+7.1%}")
    lines.append(f"{'years carried':24} {years_carried(months):10} {years_carried(days):10}")
    dry = [(of["ran_out"] > 0).sum() for of in (months, days)]
    lines.append(f"{'years that run out':24} {dry[0]:10} {dry[1]:10}")
    if len(late):
        lines.append(f"{'run-out date':24} mean error {np.abs(late).mean():.1f} days, late by {late.mean():+.1f}")
    return lines


def random_sites(seed: int, count: int) -> list[Compared]:
    """Random sites on the example's record whose house needs a tank in the mean year, months against days."""
    rng = np.random.default_rng(seed)
    _, *weather = days_of_record()
    out: list[Compared] = []
    while len(out) < count:
        site = fitted_by_months(random_site(rng))
        tables = compute(site)
        if tables["years"]["storage"].mean() >= WORTH_A_TANK:
            out.append(compare(site, tables, *weather))
    return out


def told_of_many(sites: list[Compared]) -> list[str]:
    """The table of many sites: mean and spread of the sites' biases."""
    lines = []
    for key, words in FIGURES.items():
        leans = np.array([bias(one, key) for one in sites if one.days[key].sum() > 0])
        together = sum(one.months[key].sum() for one in sites) / sum(one.days[key].sum() for one in sites) - 1
        spread = f"spread {leans.std():.1%}, median {np.median(leans):+.1%}"
        lines.append(f"{words:24} bias {leans.mean():+6.1%} ({spread}), all sites together {together:+.1%}")
    extra = np.array([years_carried(one.months) - years_carried(one.days) for one in sites])
    within = (np.abs(extra) <= 1).mean()
    lines.append(f"{'years carried':24} bias {extra.mean():+.2f}, within one year on {within:.0%} of the sites")
    late = np.concatenate([days_late(one) for one in sites])
    error = f"mean error {np.abs(late).mean():.1f} days, late by {late.mean():+.1f} ({len(late)} years)"
    return [*lines, f"{'run-out date':24} {error}"]


def main() -> None:
    """Print what the example's record and random sites tell."""
    _, *weather = days_of_record()
    example = fitted_by_months(invented_site())
    print("\n".join(["The example's record", *told(compare(example, compute(example), *weather))]))
    days = gauge()
    if days is not None:
        dry = fitted_by_months(on_gauge(days))
        print("\n".join(["", "A real gauge in a dry place", *told(compare(dry, compute(dry), *days[1:]))]))
    sites = random_sites(seed=2, count=SITES)
    for roof, words in ((False, "without a roof"), (True, "with 60 m² of roof")):
        some = [one for one in sites if one.roof == roof]
        print("\n".join(["", f"{len(some)} random sites {words}, on the same record", *told_of_many(some)]))


if __name__ == "__main__":
    main()
