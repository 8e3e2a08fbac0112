"""The fit of the water table: the least that there is, and what dips are missed by that the fit has not seen."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import least_squares

from tests.by_hand.dips import record_row
from tests.by_hand.halves import in_turn, lengths
from tests.by_hand.water_table import water_table
from tests.computed import Computed, by_hand_site
from tests.conftest import computed_example
from tests.fit_sweep import NEAR, Combination, engine, outcome

# Wells on which least squares from the soil's figures alone stay in a corner.
STUCK = [
    Combination("clay", 1.5, summer=6.2, winter=3.1, highest=1.55),
    Combination("clay", 1.5, summer=5.5, winter=2.5, highest=1.25),
]
# Here the corner itself is good, so the fit looks no further than one more valley: slightly above the least.
GOOD_CORNER = Combination("clay", 1.5, summer=4.8, winter=0.7, highest=0.35)


@pytest.mark.parametrize("swept", STUCK, ids=lambda swept: f"{swept.soil}, {swept.summer} m")
def test_the_fit_finds_the_least(terrace: Computed, swept: Combination) -> None:
    """Brute force finds no less; from one start the fit misses it."""
    found = outcome(terrace, engine(terrace), swept)
    assert found.of_one_start > NEAR * found.least
    assert found.of_the_fit <= NEAR * found.least


def test_a_corner_that_is_good_is_left_too(terrace: Computed) -> None:
    found = outcome(terrace, engine(terrace), GOOD_CORNER)
    assert found.of_one_start > 5 * found.least
    assert not found.missed and found.of_the_fit < found.of_one_start / 4


def test_the_error_left_out_is_that_of_fits_without_the_dip() -> None:
    """The southern example: each dip left out, the store fitted anew in numpy to the others; root mean square."""
    computed = computed_example("guest_house")
    site = by_hand_site(computed)
    ledger = {
        key: np.array(computed.metric_column("ledger", key), dtype=float)
        for key in ("recharge", "surplus", "surplus_first", "days", "record_day", "in_record")
    }
    ledger["first_day"] = ledger["record_day"]
    dips = [(line["date"], line["depth"]) for line in site.lists["dips"] if line["date"]]
    rows = [record_row(ledger, day) - 1 for day, _ in dips]
    line = site.lists["soils"][int(computed.model.number("soil_row")) - 1]
    soil = np.log([line["specific_yield"], line["drainage_time"]])
    assert len(dips) >= 4
    part = np.divide(
        ledger["surplus_first"], ledger["surplus"], out=np.zeros(len(ledger["days"])), where=ledger["surplus"] > 0
    )
    recharge = in_turn(ledger["recharge"] * part, ledger["recharge"] * (1 - part))
    days = lengths(ledger["days"])

    def errors(figures: np.ndarray) -> np.ndarray:
        """Model less measured [m] of every dip."""
        floor, (specific, times) = float(figures[0]), np.exp(figures[1:])
        highest = max(0.0, floor - site.number("well_highest_water"))
        run = water_table(recharge, days, specific, times, highest, 0.0)
        found = []
        for row, (day, depth) in zip(rows, dips, strict=True):
            gone = day - ledger["first_day"][row]
            half, gone = (2 * row, gone) if gone < 15 else (2 * row + 1, gone - 15)
            held, before = run["recharge_height"][half], run["water_height"][half - 1]
            height = held + (before - held) * math.exp(-gone / times)
            found.append(floor - min(highest, height) - depth)
        return np.array(found)

    def fitted(minded: np.ndarray) -> np.ndarray:
        def misfits(figures: np.ndarray) -> np.ndarray:
            return np.concatenate([errors(figures)[minded] / 0.25, (figures[1:] - soil) / 0.5])

        return least_squares(misfits, [max(depth for _, depth in dips) + 0.5, *soil], diff_step=1e-4).x

    every = np.arange(len(dips))
    missed = [errors(fitted(every != out))[out] for out in every]
    wanted = math.sqrt(np.mean(np.square(missed)))
    left_out, live = (
        computed.metric(computed.model.value(name), one.unit)
        for name in ("fit_error_left_out", "fit_error")
        for one in computed.book.inputs
        if one.name == "fit_error_left_out"
    )
    assert left_out == pytest.approx(wanted, abs=0.003)
    assert left_out > live


def test_the_error_in_use_is_the_largest(terrace: Computed) -> None:
    """That of dips left out counts where dips rule the fit, the live one where it is larger, never under one unit."""
    computed = computed_example("guest_house").copy()
    model = computed.model
    for left_out, wanted in ((0.6, 0.6), (0.1, 0.25)):
        model.set("fit_error_left_out", left_out)
        computed.evaluate()
        assert model.number("depth_error") == pytest.approx(wanted)
    model.set("aquifer_floor", model.number("aquifer_floor") + 1)
    computed.evaluate()
    assert model.number("fit_error") > 0.6
    assert model.number("depth_error") == model.number("fit_error")
    few = terrace.copy()
    few.model.set("fit_error_left_out", 9.0)
    few.evaluate()
    assert few.model.number("dips_rule") == 0
    assert few.model.number("depth_error") == terrace.model.number("depth_error")
