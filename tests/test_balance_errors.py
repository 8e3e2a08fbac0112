"""Each store of a month closes, and one that does not is told by its own column.

Numbers are typed over cells of the Ledger, one a row: the flows and stocks of that row then differ by so much in the
store that the cell belongs to, and in no other.
"""

from dataclasses import replace

import pytest

from budget.site_file.reading import read_site
from budget.water import balance
from tests.computed import EXAMPLES, Computed, compute_site

MORE, BELOW = 100.0, -70.0  # what is added to a cell, and what is typed where nothing can be negative [gal, in]
CLOSED = 1e-6
ERRORS = [column.key for column in balance.ERRORS if column.key != "row_error"]

# the row, the cell that is typed over, and the store that no longer closes
BROKEN = [
    (30, "well_unused", "error_well"),
    (32, "short_drained", "error_house"),
    (34, "garden_dry", "error_garden"),
    (36, "pond_stored", "error_pond"),
    (38, "roof_stored", "error_rain_tank"),
    (40, "stored", "error_tank"),
    (42, "actual_et", "error_ground"),
]
NEGATIVE = [(50, "well_unused"), (52, "short"), (54, "short_drained"), (56, "garden_dry"), (58, "drained")]
NEGATIVE += [(60, "stored"), (62, "pond_stored"), (64, "roof_stored")]


@pytest.fixture(scope="module")
def sound() -> Computed:
    """The US example with a pond and a rain tank, so that every store holds water."""
    site = read_site(next(path for path in EXAMPLES if path.stem == "terrace_house"))
    values = {**site.values, "pond_depth": 5.0, "pond_area": 150.0, "pond_catchment": 2000.0, "pond_seepage": 0.1}
    values |= {"roof_goes_to": "garden tank", "roof_tank_capacity": 900.0}
    roofs = [{"name": None, "area": 90.0, "material": "slate", "coefficient": None}]
    return compute_site(replace(site, values=values, lists={**site.lists, "roofs": roofs}))


@pytest.fixture(scope="module")
def broken(sound: Computed) -> Computed:
    """The same with all those cells typed over, each by what stands there after the ones before it."""
    other = sound.copy()
    for row, key, _ in BROKEN:
        where = other.cells("ledger", key)[row]
        other.model.set_cell(where, other.model.cell(where) + MORE)
        other.model.evaluate()
    for row, key in NEGATIVE:
        other.model.set_cell(other.cells("ledger", key)[row], BELOW)
    other.evaluate()
    return other


def errors(computed: Computed, row: int) -> dict[str, float]:
    """The balance errors of a row that are not 0."""
    found = {key: float(computed.column("ledger", key)[row]) for key in ERRORS}
    return {key: value for key, value in found.items() if value > CLOSED}


def test_every_row_closes(sound: Computed) -> None:
    assert sound.model.number("largest_row_error") < CLOSED
    assert not sound.model.value("check_balance")
    for key in ("pond_stored", "roof_stored", "stored", "short", "short_drained", "surplus", "garden_dry"):
        assert max(sound.column("ledger", key)) > 1, key


@pytest.mark.parametrize(("row", "key", "store"), BROKEN)
def test_a_store_that_does_not_close_is_told(broken: Computed, row: int, key: str, store: str) -> None:
    of_ground = key == "actual_et"
    off = MORE * (broken.model.number("volume_per_area_depth") if of_ground else 1)
    assert errors(broken, row) == pytest.approx({store: off})
    assert broken.column("ledger", "row_error")[row] == pytest.approx(off)


@pytest.mark.parametrize(("row", "key"), NEGATIVE)
def test_what_can_never_be_negative_is_told(broken: Computed, row: int, key: str) -> None:
    assert errors(broken, row)["below_zero"] == pytest.approx(-BELOW)


def test_the_largest_error_is_that_of_the_rows(broken: Computed) -> None:
    stores = zip(*(map(float, broken.column("ledger", key)) for key in ERRORS), strict=True)
    rows = [max(error if error > CLOSED else 0.0 for error in of_row) for of_row in stores]
    assert broken.column("ledger", "row_error") == pytest.approx(rows, abs=CLOSED)
    assert broken.model.number("largest_row_error") == pytest.approx(max(rows))
    assert broken.model.value("check_balance")
    told = {row for row, error in enumerate(rows) if error}
    assert told == {row for row, *_ in BROKEN} | {row for row, _ in NEGATIVE}
