"""Pond and roof: printed examples, days counted one by one, closed forms, brute force, and places of every kind.

The columns of the book are compared with the ledgers by hand in `tests/workbook/test_by_hand.py`; here they are
compared with what somebody else found, and with what must hold whatever the site. All draws are seeded.
"""

from __future__ import annotations

import csv
import importlib.util
import random
import shutil
from collections import defaultdict
from pathlib import Path

import numpy as np
import pytest

from budget.build import read_warnings
from budget.water import pond
from tests.by_hand.daily import SNOW_BELOW, WET_DAY
from tests.by_hand.rule_curve import house_steps, one_step, required_levels, sequent_peak
from tests.by_hand.smallest_tank import house_short, smallest_tank
from tests.computed import EXAMPLES, Computed, compute
from tests.conftest import computed_example
from tests.small_book import evaluate
from tests.test_evidence import after_edits, not_above
from tests.workbook.spreadsheet_programs import but_for_papers
from tests.workbook.test_by_hand import differences, put_in

CUBIC_YARD, GALLON = 27.0, 231 / 1728  # [ft³]: NIST SP 811, exact
ACRE = 43560.0  # [ft²]


def type_in(computed: Computed, **values: float | str | None) -> None:
    """Type single inputs, in the book's units, and evaluate; None empties a cell."""
    for name, value in values.items():
        put_in(computed, computed.book.directory.names[name], value)
    computed.evaluate()


def type_roofs(computed: Computed, *roofs: dict[str, float | str | None], **values: float | str | None) -> None:
    """Type the lines of the roofs, in the book's units, and single inputs; the lines left over are emptied."""
    for key in ("area", "material", "coefficient"):
        for row, where in enumerate(computed.cells("roofs", key)):
            put_in(computed, where, roofs[row].get(key) if row < len(roofs) else None)
    type_in(computed, **values)


def numbers(computed: Computed, table: str, key: str) -> np.ndarray:
    """A column in the book's units."""
    return np.array(computed.column(table, key), dtype=float)


# ---------------------------------------------------------------- printed examples


def test_dug_pond_of_handbook_590(changed: Computed) -> None:
    """USDA Agriculture Handbook 590 (1997), excavated pond (recalled): 12 ft deep, bottom 40 by 100 ft, sides and one
    end 2 to 1, the other end 4 to 1. Areas at top, middle and bottom 15136, 8704 (times 4: 34816) and 4000 ft²; 3996
    yd³; at 201.97 gal per yd³ 807072 gal. Tolerance: half the last printed digit of each figure."""
    dug = {"pond_bottom_length": 100.0, "pond_bottom_width": 40.0, "pond_side_slope": 2.0, "pond_ramp_slope": 4.0}
    type_in(changed, pond_depth=12.0, **dug)
    model = changed.model
    full_area, full = model.number("pond_full_area"), model.number("pond_full")
    assert full_area == pytest.approx(15136, abs=0.5)
    cubic_feet = full * GALLON
    assert cubic_feet * 6 / 12 - 15136 - 4000 == pytest.approx(34816, abs=0.5)
    assert cubic_feet / CUBIC_YARD == pytest.approx(3996, abs=0.5)
    assert full == pytest.approx(807072, abs=0.5 * 201.97 + 0.005 * 3996)
    # Half as deep it is a pond of its own, whose surface is the middle one of the deep pond.
    type_in(changed, pond_depth=6.0)
    assert 4 * model.number("pond_full_area") == pytest.approx(34816, abs=0.5)
    type_in(changed, pond_depth=1e-6)
    assert model.number("pond_full_area") == pytest.approx(4000, abs=0.5)


def test_four_tenths_of_handbook_590(changed: Computed) -> None:
    """USDA Agriculture Handbook 590 (1997) (recalled): a surface of 3.2 acres, 12.5 ft deep at the dam: 16.0
    acre-feet. The ramp's slope and the sides' do not count where no bottom is given."""
    for sides in (0.0, 3.0):
        type_in(changed, pond_depth=12.5, pond_area=3.2 * ACRE, pond_side_slope=sides)
        assert changed.model.number("pond_full") * GALLON / ACRE == pytest.approx(16.0, abs=0.05)
        assert changed.model.number("pond_shape") == pytest.approx(2.5, rel=1e-12)
    type_in(changed, pond_area=None, pond_length=3.2 * 660.0, pond_width=66.0)  # a furlong by a chain is an acre
    assert changed.model.number("pond_full") * GALLON / ACRE == pytest.approx(16.0, abs=0.05)


def test_an_inch_on_a_square_foot(changed: Computed) -> None:
    """144 in³ of 231 in³ to the gallon: 0.62338 gal."""
    type_roofs(changed, {"area": 1.0, "coefficient": 1.0}, roof_first_flush=0.0)
    fallen = numbers(changed, "ledger", "rain") - numbers(changed, "ledger", "snowfall")
    assert numbers(changed, "ledger", "roof_catch") == pytest.approx(fallen * 144 / 231, rel=1e-12, abs=1e-12)
    assert (numbers(changed, "ledger", "snowfall") > 0).any()
    assert round(144 / 231, 5) == 0.62338


# ---------------------------------------------------------------- first flush, day by day on a real record

# The home is invented, the weather is not: Seattle, 2012 to 2015, as a package carries it.
ROOF_HOME = """units = "metric"

[site]
latitude = 47.4

[rain]
file = "rain.csv"

[tank]
capacity = "30 m³"

[roof]
goes_to = "house tank"
first_flush = "0.6 mm"

[[roofs]]
area = "80 m²"
coefficient = 0.75

[[roofs]]
area = "40 m²"
coefficient = 0.85

[[household]]
use = "whole house, careful use on a well"
number = 1
"""
ROOFS = ((80.0, 0.75), (40.0, 0.85))  # [m²], coefficient


@pytest.fixture(scope="module")
def seattle(tmp_path_factory: pytest.TempPathFactory) -> tuple[Computed, list[tuple[str, float, float]]]:
    """A home that lives on its roof alone, and its days: month as 2012-01, rain [mm], mean temperature [°C]."""
    package = importlib.util.find_spec("vega_datasets")
    assert package is not None and package.origin is not None
    with (Path(package.origin).parent / "_data" / "seattle-weather.csv").open(encoding="utf-8") as file:
        days = list(csv.DictReader(file))
    folder = tmp_path_factory.mktemp("seattle_roof")
    lines = [",".join(day[key] for key in ("date", "precipitation", "temp_max", "temp_min")) for day in days]
    text = "\n".join(["date,rain (mm),tmax (°C),tmin (°C)", *lines]) + "\n"
    (folder / "rain.csv").write_text(text, encoding="utf-8")
    (folder / "home.toml").write_text(ROOF_HOME, encoding="utf-8")
    weather = [
        (
            day["date"][:7].replace("/", "-"),
            float(day["precipitation"]),
            (float(day["temp_max"]) + float(day["temp_min"])) / 2,
        )
        for day in days
    ]
    return compute(folder / "home.toml"), weather


def by_days(days: list[tuple[str, float, float]], flush: float) -> tuple[dict[str, int], dict[str, float]]:
    """Of each month the rain spells and the water off the roofs [L], walked day by day.

    A spell begins on a day of 1 mm or more after one of less. It owes the first flush [mm] of all roofs, paid out of
    the water of its days until nothing is owed; snow pays nothing and leaves the debt to the next day.
    """
    spells: dict[str, int] = defaultdict(int)
    caught: dict[str, float] = defaultdict(float)
    owed, was_wet = 0.0, True
    for month, rain, warmth in days:
        wet = rain >= WET_DAY
        if wet and not was_wet:
            spells[month] += 1
            owed = flush * sum(area for area, _ in ROOFS)
        was_wet = wet
        water = sum(area * coefficient for area, coefficient in ROOFS) * rain if warmth > SNOW_BELOW else 0.0
        paid = min(owed, water)
        owed -= paid
        caught[month] += water - paid
    return spells, caught


@pytest.mark.parametrize(("flush", "nearest"), [(0.0, 1e-9), (0.6, 1e-9), (3.0, 0.03)])
def test_first_flush_agrees_with_days(
    seattle: tuple[Computed, list[tuple[str, float, float]]], flush: float, nearest: float
) -> None:
    """Spells equal, month by month. Catch over four years equal at the usual first flush, which every spell can pay on
    its first day; at five times as much at most 3 % below the days' count, and never above it, where short showers do
    not pay it in full and the month asks them to.
    """
    computed, days = seattle
    type_in(computed, roof_first_flush=flush)
    spells, caught = by_days(days, flush)
    first = int(numbers(computed, "ledger", "in_record").argmax())
    months = [
        f"{int(year)}-{int(month):02}"
        for year, month in zip(computed.column("ledger", "year"), computed.column("ledger", "month"), strict=True)
    ][first:]
    assert len(months) == 48
    assert list(numbers(computed, "ledger", "rain_spells")[first:]) == [spells[month] for month in months]
    assert sum(spells.values()) > 150
    catch = numbers(computed, "ledger", "roof_catch")[first:]
    counted = np.array([caught[month] for month in months])
    assert catch.sum() <= counted.sum() * (1 + 1e-12)
    assert catch.sum() == pytest.approx(counted.sum(), rel=nearest)
    if flush:
        assert counted.sum() < sum(rain for _, rain, _ in days) * sum(area * share for area, share in ROOFS) - 5000
    assert computed.column("ledger", "roof_to_house") == pytest.approx(
        list(numbers(computed, "ledger", "service_share") * numbers(computed, "ledger", "roof_catch")), rel=1e-12
    )


# ---------------------------------------------------------------- a pond that only loses, against the closed form


def lone_pond(months: int, loss: float, shape: float, **given: list[float]) -> dict[str, np.ndarray]:
    """The book's pond, 2.5 m deep with 1000 m² when full, that loses so much depth a month [mm] and gives nothing.

    Of the loss one half evaporates and one half seeps, through months of 30 days.
    """
    area, depth = 1000.0, 2.5
    names: dict[str, float | str | list[float] | None] = {
        "pond_full": 1000 * area * depth / shape,
        "pond_full_area": area,
        "pond_shape": shape,
        "pond_depth": depth,
        "pond_kept": 0.0,
        "pond_evaporation_factor": 0.5,
        "pond_seepage_used": loss / 2 / 30,
        "pond_runoff_reaching": 1.0,
        "pond_catchment": 0.0,
        "runoff_share": 0.5,
    }
    still = [0.0] * months
    rows = {
        "rain": still,
        "surplus": still,
        "reference_et": [loss] * months,
        "garden_need": still,
        "days": [30.0] * months,
    }
    found = evaluate(pond.COLUMNS, rows | given, names)
    return {key: np.array(values, dtype=float) for key, values in found.items()}


@pytest.mark.parametrize("shape", [1.0, 1.6, 2.5, 3.0])
@pytest.mark.parametrize("loss", [20.0, 100.0, 300.0])
def test_a_pond_that_only_loses(shape: float, loss: float) -> None:
    """The recurrence V' = V - e A (V / full)^((m - 1) / m), e the loss of a month and A the full surface, exactly; and
    its bias against the continuous solution of dV/dt = -e A (V / full)^((m - 1) / m).

    That solution is a level that falls by e a month, whatever the shape. The month's losses are taken from the surface
    that it opens with, which is its largest: each step of a level h loses about (m - 1) e² / 2 h too much, together
    (m - 1) / 2 × e ln(depth / h). So found to 3 %, down to a level of 2 m e: a bowl that loses 10 cm a month stands
    12 cm too low after 19 months. The model's pond is dry too early, never too late.
    """
    months = int(2500 / loss) + 3
    rows = lone_pond(months, loss, shape)
    full, surface = 1000 * 1000 * 2.5 / shape, 1000.0
    held, stepped = full, []
    for _ in range(months):
        held = max(0.0, held - loss * surface * (held / full) ** ((shape - 1) / shape)) if held > 0 else 0.0
        stepped.append(held)
    assert rows["pond_stored"] == pytest.approx(stepped, rel=1e-9, abs=1e-6)
    level = 2.5 * (np.array(stepped) / full) ** (1 / shape)
    assert rows["pond_level"] == pytest.approx(level, rel=1e-9, abs=1e-6)
    loses = loss / 1000
    continuous = 2.5 - loses * np.arange(1, months + 1)
    seen = rows["pond_level"] > 2 * shape * loses
    assert seen.any()
    bias = (shape - 1) / 2 * loses * np.log(2.5 / rows["pond_level"][seen])
    assert (continuous - rows["pond_level"])[seen] == pytest.approx(bias, rel=0.03, abs=1e-9)
    gone = np.flatnonzero(rows["pond_is_dry"] == 1)
    assert len(gone) and continuous[gone[0]] < 2 * shape * loses
    assert (rows["pond_stored"][gone] == 0).all() and (rows["pond_surface"][gone[0] + 1 :] == 0).all()
    leaves = rows["pond_evaporation"] + rows["pond_seeped"]
    assert leaves.sum() == pytest.approx(full, rel=1e-12)
    assert rows["pond_evaporation"][: gone[0]] == pytest.approx(rows["pond_seeped"][: gone[0]], rel=1e-9)


def test_a_garden_draws_down_to_the_keep_level_and_rain_runs_over() -> None:
    """No losses: a thirsty garden takes the pond down to the keep-level exactly, rain fills it and the rest spills."""
    full = 1e6
    names: dict[str, float | str | list[float] | None] = {
        "pond_full": full,
        "pond_full_area": 1000.0,
        "pond_shape": 2.5,
        "pond_depth": 2.5,
        "pond_kept": full * (1.0 / 2.5) ** 2.5,
        "pond_evaporation_factor": 0.0,
        "pond_seepage_used": 0.0,
        "pond_runoff_reaching": 0.5,
        "pond_catchment": 20000.0,
        "runoff_share": 0.2,
    }
    rows = {
        "rain": [0.0, 0.0, 0.0, 100.0],
        "surplus": [0.0, 0.0, 0.0, 700.0],
        "reference_et": [90.0] * 4,
        "garden_need": [6e5, 6e5, 6e5, 0.0],
        "days": [30.0] * 4,
    }
    found = evaluate(pond.COLUMNS, rows, names)
    kept = full * (1.0 / 2.5) ** 2.5
    assert found["garden_from_pond"] == pytest.approx([6e5, 4e5 - kept, 0, 0], rel=1e-12, abs=1e-6)
    assert found["pond_level"] == pytest.approx([2.5 * 0.4**0.4, 1.0, 1.0, 2.5], rel=1e-12)
    gained = 100 * 1000 * (kept / full) ** 0.6 + 700 * 0.2 * 0.5 * 20000
    assert found["pond_spill"] == pytest.approx([0, 0, 0, kept + gained - full], rel=1e-12, abs=1e-6)
    assert gained > full - kept


# ---------------------------------------------------------------- pond and roof of size zero are none


@pytest.mark.parametrize("goes_to", ["house tank", "garden tank"])
def test_pond_and_roof_of_size_zero_change_nothing(changed: Computed, goes_to: str) -> None:
    """Every cell of the book that nobody typed in equals the book without them, except what says that they are typed:
    the flag of a dug pond, the surface of one without depth, what the workings of the roofs take from their lines, and
    the row of a roof's material."""
    type_in(changed, roof_goes_to=goes_to)
    before = but_for_papers(changed)
    type_in(changed, pond_depth=0.0, pond_area=0.0, pond_catchment=5000.0, pond_keep=2.0, roof_tank_capacity=0.0)
    type_roofs(
        changed,
        {"area": 0.0, "material": changed.column("roof_table", "material")[0]},
        {"area": 0.0, "coefficient": 0.8},
    )
    typed = (("material", 0), ("material_row", 0), ("coefficient", 1))
    allowed = {changed.cells("roof_workings", key)[row] for key, row in typed}
    assert changed_cells(before, but_for_papers(changed)) == allowed
    type_in(changed, pond_bottom_length=30.0, pond_bottom_width=20.0, pond_area=None)
    names = changed.book.directory.names
    allowed |= {names["pond_dug"], names["pond_full_area"]}
    assert changed_cells(before, but_for_papers(changed)) == allowed
    # The comparison can fail: a pond of a foot is another book.
    type_in(changed, pond_depth=1.0)
    assert len(changed_cells(before, but_for_papers(changed))) > 1000


def changed_cells(before: dict, after: dict) -> set:
    """The cells that hold another value."""
    assert before.keys() == after.keys()
    return {where for where, value in after.items() if (before[where] or None) != (value or None)}


def test_a_site_file_with_sizes_of_zero_builds_the_book_without(tmp_path: Path) -> None:
    """The US example, and the same file with a roof and a pond of no size: the same numbers but that coefficient."""
    source = next(path for path in EXAMPLES if path.stem == "terrace_house")
    for path in source.parent.glob("terrace_house*"):
        shutil.copy(path, tmp_path)
    with (tmp_path / source.name).open("a", encoding="utf-8") as file:
        file.write('\n[roof]\ngoes_to = "house tank"\n\n[[roofs]]\narea = "0 ft²"\ncoefficient = 0.9\n')
        file.write('\n[pond]\ndepth = "0 ft"\n')
    with_them, without = compute(tmp_path / source.name), computed_example("terrace_house")
    assert changed_cells(but_for_papers(without), but_for_papers(with_them)) == {
        without.cells("roof_workings", "coefficient")[0]
    }


# ---------------------------------------------------------------- storage needed, by brute force


def test_storage_needed_is_the_smallest_tank_with_a_roof_too() -> None:
    """On random years: sequent peak of need less yield less roof, against bisection of the tank's months."""
    rng = np.random.default_rng(11)
    fillable = beyond = helped = 0
    for _ in range(300):
        need = rng.uniform(5, 30, 12)
        gives = need * np.exp(0.7 * np.cos(np.arange(12) * np.pi / 6) + 0.5 * rng.normal(size=12) - 0.2)
        share, goes_out = np.ones(12), np.zeros(12)
        if rng.random() < 0.7:
            out = int(rng.integers(6, 11))
            share[0], share[out], share[out + 1 :], goes_out[out] = rng.random(), rng.random(), 0.0, 1.0
        roof = share * rng.uniform(0, 15, 12) * (rng.random(12) < 0.7)
        alone, serves = share * (need - gives), share > 0
        steps = one_step(alone - roof)
        ends = goes_out.copy()
        ends[-1] = 1
        needed = sequent_peak(steps, serves, np.arange(12) == 0).max()
        smallest = smallest_tank(steps, goes_out)
        if required_levels(steps, serves, ends, 0.0, np.inf)[0] <= 0:
            fillable += 1
            assert needed == pytest.approx(smallest, abs=2e-6)
            helped += smallest < smallest_tank(one_step(alone), goes_out) - 1e-3
        else:
            beyond += 1
            assert smallest == np.inf
    assert min(fillable, beyond, helped) > 30


def test_storage_of_a_book_with_a_roof_is_the_smallest_tank(changed: Computed) -> None:
    """Every fillable year of the example with roofs, and the book's own tank of that size at its planning year."""
    type_in(changed, roof_goes_to="house tank", tank_reserve=0.0)
    type_roofs(changed, {"area": 700.0, "coefficient": 0.8})
    years = {key: numbers(changed, "years", key) for key in ("usable", "fillable", "first_row", "storage")}
    keys = ("house_need", "house_from_well", "well_yield", "rises", "service_share", "goes_out", "roof_to_house")
    ledger = {key: numbers(changed, "ledger", key) for key in keys}
    chosen = np.flatnonzero((years["usable"] == 1) & (years["fillable"] == 1))
    assert len(chosen) > 10
    for i in chosen:
        at = np.arange(12) + int(years["first_row"][i]) - 1
        months = {key: values[at] for key, values in ledger.items()}
        smallest = smallest_tank(house_steps(months), months["goes_out"])
        assert smallest == pytest.approx(years["storage"][i], abs=1e-5)
        assert house_short(smallest, house_steps(months), months["goes_out"]) < 1e-5
    needs = chosen[years["storage"][chosen] > 100]
    assert len(needs) > 3
    for i in needs[:3]:
        year = int(numbers(changed, "years", "year")[i])
        size = float(years["storage"][i]) + changed.model.number("tank_below_outlet")
        type_in(changed, plan_for=year, tank_capacity=size + 0.01)
        assert numbers(changed, "years", "house_short")[i] < 1e-3
        type_in(changed, tank_capacity=size - 10)
        assert numbers(changed, "years", "house_short")[i] > 5


# ---------------------------------------------------------------- directions that must hold


def test_bigger_roofs_never_need_a_bigger_tank(terrace: Computed) -> None:
    """True of every plan year: all roofs together larger by one factor bring more in every month, and the storage that
    a year needs knows nothing else of them."""
    helped = []

    def compare(computed: Computed, rng: random.Random) -> None:
        roofs = [{"area": rng.uniform(50, 600), "coefficient": rng.uniform(0.2, 1)} for _ in range(2)]
        type_roofs(computed, *roofs, roof_goes_to="house tank")
        before = {key: computed.column("years", key) for key in ("storage", "first_uncut")}
        factor = rng.uniform(1.1, 3)
        for where in computed.cells("roofs", "area")[:2]:
            computed.model.set_cell(where, factor * float(computed.model.cell(where)))  # type: ignore[arg-type]
        computed.evaluate()
        after = {key: computed.column("years", key) for key in before}
        assert all(not_above(after[key], before[key]) for key in before)
        helped.append(after != before)

    after_edits(terrace, 201, compare, ("years", "storage"), ("years", "first_uncut"))
    assert sum(helped) >= 5


def test_a_deeper_keep_level_never_gives_the_garden_more(terrace: Computed) -> None:
    """Of the pond, from the record's beginning up to any month: what is kept is there to be lost, or to run over.

    On these ponds, which land drains into. It is no law: a fuller pond catches more rain on its own surface, and in the
    model a dry one catches none, so that a lined pond without a catchment gives more where some of it is kept.
    """
    fell = []

    def compare(computed: Computed, rng: random.Random) -> None:
        type_in(
            computed,
            pond_depth=rng.uniform(4, 12),
            pond_area=rng.uniform(1000, 8000),
            pond_catchment=rng.uniform(5000, 50000),
            pond_keep=rng.uniform(0, 2),
            pond_bottom_length=None,
        )
        before = np.cumsum(numbers(computed, "ledger", "garden_from_pond"))
        keep = computed.model.number("pond_keep")
        type_in(computed, pond_keep=keep + rng.uniform(0.5, 3))
        after = np.cumsum(numbers(computed, "ledger", "garden_from_pond"))
        assert not_above(list(after), list(before))
        fell.append(bool(after[-1] < before[-1]))

    after_edits(terrace, 202, compare, ("ledger", "garden_from_pond"))
    assert sum(fell) >= 5


# ---------------------------------------------------------------- places of every kind

PLACE = """units = "US"

[site]
latitude = 44.3

[rain]
file = "terrace_house_rain.csv"
"""
WELL = """
[well]
bore = "4 ft"
depth = "25 ft"
inflow = "0.5 gal/min/ft"
summer_depth = "16 ft"
winter_depth = "6 ft"

[pump]
rate = "6 gal/min"
intake = "24 ft"
"""
TANK = """
[tank]
capacity = "{capacity} gal"
in_service = "all year"
"""
ROOF = """
[roof]
goes_to = "{goes_to}"
tank_capacity = "2500 gal"

[[roofs]]
area = "{area} sq ft"
material = "slate"
"""
POND = """
[pond]
depth = "6 ft"
area = "2500 sq ft"
catchment = "3 acre"
lies_in = "lined, membrane"
keep = "1 ft"
"""
HOUSE = """
[hauling]
load = "2000 gal"
price = 180

[[household]]
use = "whole house, careful use on a well"
number = 2
"""
GARDEN = """
[[garden]]
crop = "mixed vegetables"
area = "900 sq ft"
"""


def place(folder: Path, *parts: str) -> Computed:
    """An invented place, built: its book has no cell in error, and agrees with the ledgers by hand."""
    shutil.copy(EXAMPLES[0].parent / "terrace_house_rain.csv", folder)
    (folder / "place.toml").write_text(PLACE + "".join(parts), encoding="utf-8")
    computed = compute(folder / "place.toml")
    assert [where for where, value in computed.values.items() if str(value).startswith("#")] == []
    assert differences(computed) == []
    return computed


def said(computed: Computed, name: str) -> str:
    """A sentence of the book, without spaces at its ends."""
    return str(computed.model.value(name) or "").strip()


def answer(computed: Computed, key: str) -> float | str | None:
    """An answer for the planning year as expected."""
    value = computed.column("answers", key)[0]
    assert not isinstance(value, bool)
    return value


def total(computed: Computed, table: str, *keys: str) -> float:
    """Sum of columns over all rows, in the book's units."""
    return float(sum(numbers(computed, table, key).sum() for key in keys))


def does_not_speak_of_a_well(computed: Computed) -> bool:
    """Whether no sentence promises anything of a well that is not there ('as well' is none)."""
    texts = [said(computed, name) for name in ("verdict", "carried_sentence", "memory_sentence")]
    texts += read_warnings(computed.model)
    texts += [str(answer(computed, key)) for key in ("can_fill", "latest_start", "worst_rested", "worst_rested_take")]
    return not any("well" in text.lower().replace("as well", "") for text in texts)


def test_roof_and_hauled_water(tmp_path: Path) -> None:
    """No well, a small roof: the tank is never enough, the rest is hauled, and the words say roof."""
    computed = place(tmp_path, TANK.format(capacity=5000), ROOF.format(goes_to="house tank", area=1800), HOUSE)
    assert computed.model.value("well_there") == 0
    assert said(computed, "verdict") == (
        "In a year like this no tank would have been enough: haul, use less, catch more rain, or find another source."
    )
    assert answer(computed, "can_fill") == answer(computed, "latest_start") == "the roof cannot fill it"
    need, roof, short = (total(computed, "plan", key) for key in ("house_need", "roof_to_house", "short"))
    assert answer(computed, "roof_brought") == pytest.approx(roof, rel=1e-12) and roof > 1000
    assert short > 1000 and need - short <= roof + 5000
    assert answer(computed, "loads") == -(-short // 2000) and answer(computed, "cost") == 180 * -(-short // 2000)
    assert total(computed, "ledger", "well_yield") == 0
    assert does_not_speak_of_a_well(computed)


def test_a_roof_that_carries_the_house(tmp_path: Path) -> None:
    computed = place(tmp_path, TANK.format(capacity=30000), ROOF.format(goes_to="house tank", area=6000), HOUSE)
    assert said(computed, "verdict") == "In a year like this roof and tank carry the house."
    assert str(answer(computed, "can_fill")).startswith("yes") and answer(computed, "loads") == 0
    assert computed.model.number("years_carried") > 20
    assert does_not_speak_of_a_well(computed)


def test_neither_well_nor_tank(tmp_path: Path) -> None:
    """All the water is hauled; the roof that is given has no tank, and a warning says so."""
    computed = place(tmp_path, ROOF.format(goes_to="house tank", area=1800), HOUSE)
    assert said(computed, "verdict").startswith("There is neither well nor tank: all the water of the house is hauled.")
    assert (
        said(computed, "check_roof_tank") == "Roofs are given on Storage, but no tank takes their water: it runs off."
    )
    assert answer(computed, "roof_brought") == 0 and answer(computed, "latest_start") == "there is no tank"
    hauled = total(computed, "plan", "short", "short_drained")
    assert hauled == pytest.approx(total(computed, "plan", "house_need"))


def test_no_tank(tmp_path: Path) -> None:
    """Well, pond and a rain tank of the garden's own, but no tank for the house."""
    computed = place(tmp_path, WELL, POND, ROOF.format(goes_to="garden tank", area=1800), HOUSE, GARDEN)
    assert said(computed, "verdict") == "There is no tank, and the well carries the house in a year like this."
    assert answer(computed, "can_fill") == answer(computed, "latest_start") == "there is no tank"
    parts = ("garden_from_pond", "garden_from_roof", "garden_from_well", "garden_from_tank")
    given = [total(computed, "ledger", key) for key in parts]
    assert given[0] > 0 and given[1] > 0 and given[2] > 0 and given[3] == 0
    assert sum(given) == pytest.approx(total(computed, "ledger", "garden_given"), rel=1e-12)
    assert said(computed, "carried_sentence").startswith("The well alone would have carried the house")
    assert "The pond would have fallen dry in " in said(computed, "carried_sentence")


def test_pond_and_garden_only(tmp_path: Path) -> None:
    """Nobody lives here: the verdict points at the garden, and every drop of it is the pond's."""
    computed = place(tmp_path, POND, GARDEN)
    assert said(computed, "verdict") == "No house is served here: see below what the garden gets."
    assert read_warnings(computed.model) == []
    given, from_pond = (numbers(computed, "ledger", key) for key in ("garden_given", "garden_from_pond"))
    assert given == pytest.approx(from_pond, abs=1e-9) and from_pond.sum() > 0
    spared, asked = (total(computed, "plan", key) for key in ("garden_from_pond", "garden_need"))
    assert answer(computed, "garden_carried") == pytest.approx(spared / asked)
    assert answer(computed, "pond_spared") == pytest.approx(spared)
    assert answer(computed, "pond_lowest") == min(numbers(computed, "plan", "pond_level"))
    assert does_not_speak_of_a_well(computed)


def test_everything_at_once(tmp_path: Path) -> None:
    """Pond and tank close over the whole record, the roof's water in it; each of the flows happens."""
    parts = (TANK.format(capacity=5000), ROOF.format(goes_to="house tank", area=1800), POND, HOUSE, GARDEN)
    computed = place(tmp_path, WELL, *parts)
    came = computed.model.number("pond_full") + total(computed, "ledger", "pond_rain", "pond_runoff")
    went = total(computed, "ledger", "pond_evaporation", "pond_seeped", "garden_from_pond", "pond_spill")
    assert came == pytest.approx(went + numbers(computed, "ledger", "pond_stored")[-1], rel=1e-9)
    came = total(computed, "ledger", "roof_to_house", "tank_fill")
    went = total(computed, "ledger", "house_from_tank", "garden_from_tank", "drained", "spill")
    assert came == pytest.approx(went + numbers(computed, "ledger", "stored")[-1], rel=1e-9)
    flows = ("pond_spill", "pond_seeped", "pond_evaporation", "garden_from_pond", "spill", "roof_to_house")
    assert min(total(computed, "ledger", key) for key in flows) > 0


@pytest.mark.parametrize("seed", range(4))
def test_a_tank_never_holds_more_than_it_can(changed: Computed, seed: int) -> None:
    """Roofs larger than the tank, drained before the frost: what is drained and what is to be used first fits in it."""
    rng = random.Random(seed)
    type_roofs(changed, {"area": rng.uniform(3000, 9000), "coefficient": rng.uniform(0.6, 1)})
    capacity = rng.uniform(500, 4000)
    type_in(changed, roof_goes_to="house tank", tank_capacity=capacity, tank_in_service="between the dates")
    usable = changed.model.number("tank_usable")
    assert usable > 0 and (numbers(changed, "ledger", "spill") > 0).any()
    for key in ("stored", "drained"):
        assert numbers(changed, "ledger", key).max() == pytest.approx(usable, rel=1e-9)
    assert max(numbers(changed, "answers", "use_first")) <= usable * (1 + 1e-9)
