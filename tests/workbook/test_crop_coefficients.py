"""Crop coefficients of the book against FAO-56 ch. 6, eq. 66, day by day, for every crop of the table."""

import csv
from dataclasses import replace

import numpy as np
import pytest

from budget.site_file.reading import read_site
from tests.by_hand.demand import crop_coefficients, zones
from tests.computed import EXAMPLES, ROOT, Computed, by_hand_site, compute_site

with (ROOT / "templates" / "crops.csv").open(encoding="utf-8") as table:
    CROPS = [line["crop"] for line in csv.DictReader(table)]
# A season of two years, one of a day and one without a stage of development, told as stage lengths [days].
ODD_STAGES = [(300, 100, 200, 130), (1, 0, 0, 0), (20, 0, 30, 0)]


@pytest.fixture(scope="module", params=["terrace_house", "guest_house"])
def every_crop(request: pytest.FixtureRequest) -> Computed:
    """A book with a zone of each crop: one in US units in the north, one in metric units in the south."""
    site = read_site(next(path for path in EXAMPLES if path.stem == request.param))
    row = site.lists["garden"][0] | {"planting_month": None, "kc": [None] * 12}
    return compute_site(replace(site, lists={**site.lists, "garden": [row | {"crop": crop} for crop in CROPS]}))


def misfit(computed: Computed) -> float:
    """The largest difference of a month's Kc from the mean over its days."""
    computed.evaluate()
    by_hand = by_hand_site(computed)
    wanted = crop_coefficients(by_hand, zones(by_hand, 100.0))["kc_curve"]
    actual = [computed.column("kc_workings", "kc_curve", month) for month in range(12)]
    assert wanted.any(axis=0).sum() >= len(CROPS)
    return float(np.abs(np.array(actual, dtype=float) - wanted).max())


@pytest.mark.parametrize("latitude", [45.0, -38.0])
def test_every_crop_by_days(every_crop: Computed, latitude: float) -> None:
    book = every_crop.copy()
    book.model.set("site_latitude", latitude)
    assert misfit(book) < 1e-9


def test_seasons_that_run_over_the_end_of_the_year(every_crop: Computed) -> None:
    book = every_crop.copy()
    for number, where in enumerate(book.cells("zones", "planting_month")):
        book.model.set_cell(where, float(9 + number % 4))
    assert misfit(book) < 1e-9


def test_seasons_longer_than_a_year_and_without_some_stages(every_crop: Computed) -> None:
    """A season that would last longer than 365 days ends where the next one begins."""
    book = every_crop.copy()
    for stage, key in enumerate(("initial_days", "development_days", "mid_days", "late_days")):
        for where, lengths in zip(book.cells("crops", key), ODD_STAGES, strict=False):
            book.model.set_cell(where, float(lengths[stage]))
    assert misfit(book) < 1e-9
