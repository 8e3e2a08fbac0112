"""One site built in US and in metric units: every cell of one book converts into that of the other.

This is the check of dimensions: a formula that adds gallons to inches, or forgets a factor, cannot pass it. The text
of every formula is the same in both books. Tolerance 1e-9 of max(1, value).
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator, Mapping
from itertools import islice
from pathlib import Path

import pytest

from budget.units import FACTORS, System, Unit, convert
from budget.water import water_table
from budget.water.checks import IN_ORDER, Declared
from budget.workbook.book import CellKey
from budget.workbook.engine import Computed as Value
from tests.computed import ROOT, Computed, compute
from tests.conftest import computed_example
from tests.workbook.cell_formulas import formulas

TOLERANCE = 1e-9
# Keys that rank the years are rounded to a millionth of the book's own unit, so they convert only that closely.
ROUNDED = {("years", key) for key in ("storage_key", "garden_key", "rain_key")}
ROUNDED |= {(case, "yield_key") for case in ("plan", "plan_less", "plan_more", "middle")}
MILLIONTH = 1e-6
# Numbers in a sentence are put aside before two texts are compared.
NUMBER_IN_TEXT = re.compile(r"\d[\d,.]*")


def build(folder: Path, example: str, system: System) -> Computed:
    """An example in either system, the fitted figures of the water table given so that both hold the same."""
    computed = computed_example(example)
    own, fitted = computed.book.system, computed.model
    held = [
        f'floor = "{fitted.number("aquifer_floor")!r} {Unit.LENGTH.expression(own)}"',
        f"specific_yield = {fitted.number('aquifer_specific_yield')!r}",
        f'drainage_time = "{fitted.number("aquifer_drainage_time")!r} day"',
    ]
    assert [given.name for given in water_table.FITTED] == [f"aquifer_{line.split(' =')[0]}" for line in held]
    text = (ROOT / "example_inputs" / f"{example}.toml").read_text(encoding="utf-8")
    assert text.count(f'units = "{own}"') == 1
    text = text.replace(f'units = "{own}"', f'units = "{system}"') + "\n[aquifer]\n" + "\n".join(held) + "\n"
    path = folder / f"{system}.toml"
    path.write_text(text, encoding="utf-8")
    return compute(path)


@pytest.fixture(scope="module", params=["terrace_house", "guest_house"])
def both(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[Computed, Computed]:
    """The US and the metric book of the same site."""
    folder = tmp_path_factory.mktemp("two_systems")
    shutil.copy(ROOT / "example_inputs" / f"{request.param}_rain.csv", folder)
    return build(folder, request.param, "US"), build(folder, request.param, "metric")


def units(computed: Computed) -> dict[CellKey, Unit]:
    """The unit of every cell that a column, an input or a result declares."""
    directory = computed.book.directory
    found = {directory.names[one.name]: one.unit for one in (*computed.book.inputs, *computed.book.results)}
    for name, placement in directory.placements.items():
        table = placement.table
        for column in table.columns:
            for item in range(table.each.size if table.each else 1):
                found |= dict.fromkeys(computed.cells(name, column.key, item), column.unit)
                for row in (-1, table.rows.size):  # the opening and closing cells, where there are any
                    where = (placement.sheet, *placement.cell(column.key, item, row))
                    if computed.book.owners.get(where) == (name, column.key):
                        found[where] = column.unit
    for row, check in enumerate(IN_ORDER):  # a bound is in the unit of its input; what is accepted is told in words
        for key in ("lowest", "highest"):
            where = computed.cells("checks", key)[row]
            found |= {where: check.given.unit} if isinstance(check, Declared) else {}
        found.pop(computed.cells("checks", "accepted")[row])
    for where in computed.cells("papers", "input_unit"):  # told in words
        found.pop(where)
    named = {one.name: one.unit for one in (*computed.book.inputs, *computed.book.results)}
    rows = computed.book.directory.placements["papers"]
    for where, papers in computed.book.as_built.items():  # a value as built, and now, has the unit of its input
        _, row, _ = papers.value
        found[papers.value] = found[where]
        found[(papers.value[0], row, rows.cell("input_now", 0, 0)[1])] = found[where]
    for where, owner in computed.book.owners.items():
        if isinstance(owner, str) and owner.startswith("again:"):
            found[where] = named[owner.removeprefix("again:")]
    return found


def value_of(computed: Computed, where: CellKey) -> Value:
    return computed.model.cell(where)


def unequal(us: Computed, metric: Computed, known: Mapping[CellKey, Unit]) -> Iterator[str]:
    """Every cell whose metric value is not the US one converted; `known`: the units of all cells."""
    for where, unit in known.items():
        in_us, in_metric = value_of(us, where), value_of(metric, where)
        if isinstance(in_us, str) or in_us is None or isinstance(in_metric, str) or in_metric is None:
            same = without_numbers(in_us) == without_numbers(in_metric)
        else:
            expected = convert(float(in_us), unit, "US", "metric")
            tolerance = TOLERANCE * max(1.0, abs(expected))
            if us.book.owners.get(where) in ROUNDED:
                step = abs(convert(MILLIONTH, unit, "US", "metric") - convert(0.0, unit, "US", "metric"))
                tolerance += (step + MILLIONTH) / 2
            same = abs(float(in_metric) - expected) <= tolerance
        if not same:
            yield f"{us.book.owners.get(where, 'data')} at {where} [{unit.name}]: {in_us!r} and {in_metric!r}"


def without_numbers(value: Value) -> str:
    return NUMBER_IN_TEXT.sub("#", str(value or ""))


def test_every_cell_converts(both: tuple[Computed, Computed]) -> None:
    us, metric = both
    known = units(us)
    links = {where for where, owner in us.book.owners.items() if str(owner).startswith("link:")}
    assert set(us.book.owners) - links <= set(known)
    assert units(metric) == known
    assert list(islice(unequal(us, metric, known), 20)) == []


def test_the_books_differ_in_their_numbers(both: tuple[Computed, Computed]) -> None:
    """So that the comparison is one of two systems, not of a book with itself."""
    us, metric = both
    assert us.book.system == "US" and metric.book.system == "metric"
    lengths = [
        where
        for where, unit in units(us).items()
        if unit is Unit.LENGTH and isinstance(value_of(us, where), (int, float)) and value_of(us, where)
    ]
    assert len(lengths) > 500
    assert all(value_of(us, where) != value_of(metric, where) for where in lengths)


def test_formulas_are_the_same_text(both: tuple[Computed, Computed]) -> None:
    us, metric = both
    assert formulas(us.book.workbook) == formulas(metric.book.workbook)


def test_a_wrong_factor_is_seen(both: tuple[Computed, Computed]) -> None:
    """Each factor that a formula names, changed by a thousandth in one book, is found."""
    us, metric = both
    named = [factor for factor in FACTORS if any(factor.name in read for read in us.book.reads.values())]
    assert named
    wrong, known = metric.copy(), units(us)
    for factor in named:
        right = metric.model.number(factor.name)
        wrong.model.set(factor.name, right * 1.001 + (0.001 if right == 0 else 0))
        wrong.evaluate()
        assert next(unequal(us, wrong, known), None) is not None, factor.name
        wrong.model.set(factor.name, right)
