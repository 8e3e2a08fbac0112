"""Invented weather stations round the invented terrace house: their days are those of its record, moved a little.

The place is put into the middle of an ocean, where there is no house and no station.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path

import pandas as pd

from budget.rain import read_record
from budget.record import Fetched, Obtained, Wanted, load_stations
from budget.record.fetched import Credit
from budget.record.intake import Record
from budget.record.station import GAPS, RAIN, TEMPERATURES, Considered, Station
from budget.site_file.reading import read_site
from budget.site_file.site import Site
from tests.computed import EXAMPLES, Computed, compute_record

TERRACE = next(path for path in EXAMPLES if path.stem == "terrace_house")
SNAPSHOT = Path("terrace_house_stations.csv")
HOLE = pd.date_range("2009-05-01", "2009-07-31")  # days without rain at the station for the rain
FIRST, UNTIL = date(1996, 1, 1), date(2026, 2, 3)

FERRY = Station("INV01", "Ferry Landing", "XX", 44.31, -30.03, None, 3.2)
MILL = Station("INV02", "Upper Mill", "XX", 44.35, -30.1, 378.0, 9.4)
RIDGE = Station("INV03", "Long Ridge School", "XX", 44.2, -29.8, 410.0, 18.25)
FIELD = Station("INV04", "Old Airfield", "XX", 44.5, -29.7, 96.5, 31.0)
NOT_TAKEN = Considered(
    FERRY, None, None, date(2019, 4, 2), UNTIL, (), "rain from 2019-04-02 to 2026-02-03 only, by its inventory"
)


@cache
def terrace_days() -> pd.DataFrame:
    """The days of the example's record [mm, °C]."""
    days = read_record(read_site(TERRACE)).days
    assert days is not None
    return days


def invented(rain: Station = MILL, beside: Sequence[Considered] = (NOT_TAKEN,)) -> Fetched:
    """A fetch with one station for the rain, one for its gaps, one for the temperatures, and others `beside`."""
    days = terrace_days()
    here = days.assign(tmax=float("nan"), tmin=float("nan"))
    here.loc[HOLE, "rain"] = float("nan")
    considered = [
        *beside,
        Considered(rain, 0.9916, 0.41, FIRST, UNTIL, (RAIN,), ""),
        Considered(RIDGE, 0.988, None, date(1971, 6, 1), UNTIL, (GAPS,), ""),
        Considered(FIELD, 0.704, 0.998, date(1950, 1, 1), UNTIL, (TEMPERATURES,), ""),
    ]
    return Fetched(
        wanted=Wanted(44.3, -30.0, None, 1996, 2025, 50.0),
        first_year=1996,
        last_year=2025,
        until=UNTIL,
        retrieved=UNTIL,
        fetched_with="invented library 1.0",
        considered=considered,
        days={
            rain.id: here,
            RIDGE.id: here.assign(rain=days["rain"] * 1.1),
            FIELD.id: days.assign(rain=float("nan")),
        },
        credits=[Credit("gauges", 20000, "CC BY 4.0", "Invented Weather Office"), Credit("readers", 900, "CC0", "")],
        remarks=[],
        troubled=False,
    )


def fetched_record(fetched: Fetched, height: float | None = 128.016) -> Record:
    """The record of a fetch; `height` of the place [m]."""
    return load_stations(Obtained(fetched, SNAPSHOT, "from stations"), height, southern=False)


def compute_fetched(site: Site, fetched: Fetched) -> Computed:
    """The book of a site whose rain was fetched."""
    return compute_record(site, fetched_record(fetched, 128.016 if "site_elevation" in site.given else None))


def without_elevation(site: Site) -> Site:
    """The same site without an elevation."""
    return replace(site, values={**site.values, "site_elevation": 0.0}, given=site.given - {"site_elevation"})
