"""The reference tables: complete, readable by the package, believable, and equal to what was published.

The tables stand in `templates/`; the published figures in `tests/published/`, each with its tolerance,
source, page and state.
"""

import csv
import itertools
import re
from decimal import Decimal
from pathlib import Path

import pytest

from budget.declarations import Input
from budget.units import Unit, to_book
from budget.water import animals, garden_demand, ground, household_demand, soil

ROOT = Path(__file__).parents[1]
PUBLISHED = ROOT / "tests" / "published"
NO_SOURCE = "common practice, no source"

# Each table, the declaration of its columns, and the column that names its rows.
TABLES: dict[str, tuple[list[Input], str]] = {
    "crops": (garden_demand.REFERENCE, "crop"),
    "soils": (soil.REFERENCE, "soil"),
    "household_uses": (household_demand.REFERENCE, "use"),
    "animals": (animals.REFERENCE, "animal"),
    "bearing": (ground.REFERENCE, "soil"),
}
# Rows of each table, so that none is lost unseen: a row that is added is counted here.
ROWS = {"crops": 34, "soils": 16, "household_uses": 17, "animals": 19, "bearing": 5}
STAGES = ("initial_days", "development_days", "mid_days", "late_days")
CHECK_FILES = sorted(path.name for path in PUBLISHED.glob("*.csv"))
# Rows of each file of published figures; a row that is added is counted here, and in the test that reads it.
PUBLISHED_ROWS = {
    "atmospheric_head": 2,
    "bore_volume": 3,
    "crop_coefficients": 37,
    "effective_rain": 4,
    "extraterrestrial_radiation": 36,
    "hargreaves": 2,
    "posse_soil_balance": 12,
    "posse_totals": 3,
    "sequent_peak": 2,
    "specific_yield": 11,
    "storage_factor": 4,
    "suction": 4,
    "units": 6,
}
INPUTS_ONLY = {"posse_soil_balance.csv"}  # its results are the year's totals in posse_totals.csv

# What a smallholder's crops, a soil, a use of water and an animal can be: outside of these a figure is a slip.
BELIEVABLE = {
    ("crops", "kc_initial"): (0.25, 1.0),
    ("crops", "kc_mid"): (0.6, 1.2),
    ("crops", "kc_end"): (0.3, 1.15),
    ("crops", "initial_days"): (10, 65),
    ("crops", "development_days"): (10, 120),
    ("crops", "mid_days"): (15, 200),
    ("crops", "late_days"): (5, 95),
    ("crops", "planting_month"): (1, 12),
    ("crops", "root_depth"): (0.2, 2.0),  # [m]
    ("crops", "depletion_share"): (0.2, 0.65),
    ("soils", "available_water"): (15, 200),  # [mm/m]
    ("soils", "specific_yield"): (0.02, 0.35),
    ("soils", "drainage_time"): (20, 365),  # [day]
    ("soils", "runoff_share"): (0.0, 0.6),
    ("household_uses", "amount"): (5, 600),  # [L/day]
    ("animals", "amount"): (1, 120),  # [L/day]
    ("bearing", "pressure"): (0, 200),  # [kPa]
}
FINER_AND_FINER = "coarse sand,medium sand,fine sand,loamy sand,sandy loam,loam,silt loam,clay loam,clay"


def rows_of(path: Path) -> list[dict[str, str]]:
    """The rows of a CSV file by heading."""
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))


def table(name: str) -> list[dict[str, str]]:
    """The rows of a reference table, as they stand in `templates/`."""
    return rows_of(ROOT / "templates" / f"{name}.csv")


def named(name: str) -> dict[str, dict[str, str]]:
    """The rows of a reference table by the name of each."""
    return {row[TABLES[name][1]]: row for row in table(name)}


@pytest.mark.parametrize("name", TABLES)
def test_headings_are_the_declared_ones(name: str) -> None:
    declared = [column.key for column in TABLES[name][0]]
    assert list(table(name)[0]) == declared


@pytest.mark.parametrize("name", TABLES)
def test_no_cell_is_missing_or_has_loose_blanks(name: str) -> None:
    rows = table(name)
    assert len(rows) == ROWS[name]
    for row in rows:
        assert None not in row, f"a comma too many in {row}"
        for heading, cell in row.items():
            assert cell and cell == cell.strip(), f"{heading} in {row}"


@pytest.mark.parametrize("name", TABLES)
def test_names_are_unique_and_can_be_looked_up(name: str) -> None:
    # A spreadsheet's MATCH ignores case and reads ? * ~ as wildcards.
    names = [row[TABLES[name][1]] for row in table(name)]
    assert len({entry.casefold() for entry in names}) == len(names)
    assert [entry for entry in names if entry != entry.lower() or re.search(r"[?*~]", entry)] == []


@pytest.mark.parametrize("name", TABLES)
def test_every_quantity_is_read_and_believable(name: str) -> None:
    quantities = [column for column in TABLES[name][0] if column.unit is not Unit.TEXT]
    assert {key for of, key in BELIEVABLE if of == name} == {column.key for column in quantities} != set()
    rows = table(name)
    assert len(rows) == ROWS[name]
    for row in rows:
        for column in quantities:
            low, high = BELIEVABLE[name, column.key]
            value = to_book(row[column.key], column.unit, "metric")
            assert low <= value <= high, f"{column.key} of {row[TABLES[name][1]]}: {row[column.key]}"


@pytest.mark.parametrize("name", TABLES)
def test_every_source_says_how_far_it_goes(name: str) -> None:
    rows = table(name)
    assert len(rows) == ROWS[name]
    for row in rows:
        for part in row["source"].split("; "):
            assert re.search(rf"\((read|recalled|read in a copy)\)|{NO_SOURCE}|do not add", part), row


@pytest.mark.parametrize(("name", "least"), [("crops", 3 * 34), ("soils", 8)])
def test_each_cited_fao_table_carries_its_word(name: str, least: int) -> None:
    """Three tables of FAO-56 hold a crop's figures: Kc, lengths of the stages, roots."""
    found = 0
    for row in table(name):
        cited = re.findall(r"FAO-56 Table \d+", row["source"])
        assert len(re.findall(r"FAO-56 Table \d+ \((?:read|recalled)\)", row["source"])) == len(cited), row
        found += len(cited)
    assert found >= least


def test_seasons_fit_in_a_year() -> None:
    rows = table("crops")
    assert len(rows) == ROWS["crops"]
    for row in rows:
        assert 60 <= sum(int(row[stage]) for stage in STAGES) <= 365, row["crop"]


def test_crop_coefficients_are_the_published_ones() -> None:
    crops = named("crops")
    published = rows_of(PUBLISHED / "crop_coefficients.csv")
    assert {row["crop"] for row in published} - set(crops) == {"open water"}
    for row in published:
        if row["crop"] not in crops:
            continue
        ours = Decimal(crops[row["crop"]][f"kc_{row['stage']}"])
        ends = [Decimal(end) for end in row["printed"].split("-")]
        assert ours == (ends[0] + ends[-1]) / 2, f"{row['crop']}, {row['stage']}"


def test_crops_marked_as_read_are_those_published() -> None:
    read = {row["crop"] for row in table("crops") if "FAO-56 Table 12 (read)" in row["source"]}
    assert read == {row["crop"] for row in rows_of(PUBLISHED / "crop_coefficients.csv")} - {"open water"}


def test_specific_yields_are_the_published_ones() -> None:
    """Johnson 1967, USGS Water-Supply Paper 1662-D."""
    soils = named("soils")
    published = {row["material"]: row for row in rows_of(PUBLISHED / "specific_yield.csv")}
    assert {name for name, row in soils.items() if "Johnson 1967, " in row["source"]} == set(published)
    for material, row in published.items():
        assert Decimal(soils[material]["specific_yield"]) == Decimal(row["value"]), material


def test_a_stated_range_holds_its_midpoint() -> None:
    """Where the source names a range and says 'midpoint', the figure is that midpoint."""
    checked = 0
    for row in table("soils"):
        for heading, number in (
            ("available_water", r"(\d+) to (\d+) mm/m"),
            ("specific_yield", r"(0\.\d+) to (0\.\d+)"),
        ):
            label = heading.replace("_", " ")
            found = re.search(rf"{label}:[^;]*midpoint of {number}", row["source"])
            if found:
                middle = (Decimal(found[1]) + Decimal(found[2])) / 2
                assert Decimal(row[heading].removesuffix(" mm/m")) == middle, f"{heading} of {row['soil']}"
                checked += 1
    assert checked >= 8


def test_finer_soils_drain_slower_and_shed_more() -> None:
    soils = named("soils")
    order = [soils[name] for name in FINER_AND_FINER.split(",")]
    assert len(order) == 9
    for coarse, fine in itertools.pairwise(order):
        for heading, unit in (("drainage_time", Unit.DAYS), ("runoff_share", Unit.SHARE)):
            assert to_book(coarse[heading], unit, "metric") <= to_book(fine[heading], unit, "metric"), heading


def test_parts_of_the_household_sum_to_the_whole() -> None:
    """DeOreo et al. 2016: 138 gal/day printed as a whole number, the parts to one decimal."""
    uses = named("household_uses")
    parts = [row["amount"] for use, row in uses.items() if use.startswith("part of the average household")]
    total = sum(to_book(amount, Unit.FLOW, "US") for amount in parts)
    assert total == pytest.approx(to_book(uses["whole house, average household"]["amount"], Unit.FLOW, "US"), abs=0.5)


def test_uses_count_people_households_or_things() -> None:
    assert {row["per"] for row in table("household_uses")} == {"person", "household", "each"}


def test_animals_are_counted_by_heads_tens_of_birds_or_colonies() -> None:
    assert {row["per"] for row in table("animals")} == {"head", "ten birds", "colony"}
    for row in table("animals"):
        assert row["animal"].startswith("ten ") == (row["per"] == "ten birds"), row["animal"]


def test_amounts_by_weight_are_what_the_source_makes_of_them() -> None:
    """The upper end of so many mL per kg, times the weight, as it is rounded."""
    checked = 0
    for row in table("animals"):
        found = re.search(r"(\d+\.?\d*) mL/kg.*?(\d+) kg: common practice", row["source"])
        if found:
            printed = Decimal(row["amount"].removesuffix(" L/day"))
            amount = Decimal(found[1]) * Decimal(found[2]) / 1000
            assert printed == amount.quantize(Decimal(1).scaleb(printed.as_tuple().exponent)), row["animal"]
            checked += 1
    assert checked >= 3


def test_amounts_between_printed_ends_are_what_the_source_says() -> None:
    """'middle of 1 to 3 gal/day', 'upper end of 5 to 10 gal/day': the figure is that."""
    checked = 0
    for row in table("animals"):
        for which, low, high, unit in re.findall(
            r"(middle|upper end) of (\d+\.?\d*) to (\d+\.?\d*) (gal/day|L/day)", row["source"]
        ):
            wanted = (Decimal(low) + Decimal(high)) / 2 if which == "middle" else Decimal(high)
            assert row["amount"].endswith(f" {unit}"), row["animal"]
            assert Decimal(row["amount"].removesuffix(f" {unit}")) == wanted, row["animal"]
            checked += 1
    assert checked >= 4


@pytest.mark.parametrize("name", CHECK_FILES)
def test_published_files_are_whole(name: str) -> None:
    rows = rows_of(PUBLISHED / name)
    assert len(rows) == PUBLISHED_ROWS[Path(name).stem]
    for row in rows:
        assert None not in row and None not in row.values(), f"{name}: {row}"
        assert row["source"].strip() and row["state"] in {"read", "recalled", "recomputed"}, f"{name}: {row}"
        if name not in INPUTS_ONLY:
            assert 0 < Decimal(row["tolerance"]) <= abs(Decimal(row["value"])) / 4, f"{name}: {row}"


def test_published_files_are_not_lost() -> None:
    assert {f"{stem}.csv" for stem in PUBLISHED_ROWS} == set(CHECK_FILES)
