"""A formula of each noun, broken on purpose, must be caught by the comparison with the ledgers by hand.

First those that a hand has picked, each on one example. Then so many tokens drawn at random: an operator, a number, an
input or column, a `.before`. `tests.mutants` says how; they are tried on every example, on edits of its inputs and at
the edges of `tests.edges`. `WATER_MUTATIONS=7` draws by another number than the repository's, 1; what survives then is
a gap of the tests, or belongs in `EQUAL` with its reason.
"""

import os
import random
import shutil
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from budget.site_file.reading import read_site
from budget.units import serial
from budget.workbook.book import CellKey
from budget.workbook.engine import Computed as Value
from tests.by_hand import compute as compute_by_hand
from tests.computed import EXAMPLES, Computed, by_hand_site, compute, compute_site
from tests.conftest import computed_example
from tests.edges import EDGES, NO_GARDEN, NOBODY, Edge, type_in
from tests.mutants import Bench, Drawing, Mutant, cells, rules
from tests.workbook.test_by_hand import differences, edit, put_back, typed_cells

SEED = int(os.environ.get("WATER_MUTATIONS", "1"))
DRAWN = 60
EDITED = 4  # edits of each example

# Mutants that no site can tell from the sound formula, and why.
_IN_RECORD = "record_month is the month, and 0 outside the record: a plan year lies in the record"
_TIE = "what was fitted and its limit are no round numbers: no site has them alike to the last digit"
_NOT_MOVED = "only a hand in the open book moves a month's cell: tests.workbook.test_hand_edits"
EQUAL: dict[str, str] = {
    "found_fill_date: nk_fill_from_day), MONTH(DATE([2001 -> 2201.1]": "2201 has no 29th of February either",
    "month_told: EX({calendar:month_name.all}, [{month} -> {record_month}]": _IN_RECORD,
    "found_seasons: ror), ABS(winter_depth_error))[> -> >=]": _TIE,
    "check_moved_rain_so_far: IF(found_moved_rain_so_far=[1 -> 1.1]": _NOT_MOVED,
}

# noun, table ("" for a result), column or result, what stands in its formula, what is put there instead
MUTATIONS = [
    ("record", "ledger", "plan_year", "< first_month", "<= first_month"),
    ("evapotranspiration", "climate", "radiation", "0.0820", "0.0830"),
    ("evapotranspiration", "ledger", "reference_et", "17.8", "17.9"),
    ("snow", "ledger", "snowpack", "snow_melt_rate", "0.01 * snow_melt_rate"),
    ("soil", "ledger", "half_drawn", "(2 * ", "(1 * "),
    ("snow", "ledger", "water_first", "{first_degree_days}", "{degree_days}"),
    ("soil", "ledger", "wet_first", "{first_wet_days}", "{wet_days}"),
    ("soil", "ledger", "excess_first", "EXP(-", "EXP(-1.1 * "),
    ("soil", "ledger", "wet_excess", "MAX(0, ", "MAX(99, "),
    ("soil", "ledger", "recharge", "(1 - runoff_share)", "1"),
    ("water_table", "ledger", "mean_height", "(1 - ", "(1 + "),
    ("water_table", "ledger", "height_middle", "first_kept", "0.9 * first_kept"),
    ("water_table", "over_years", "middle_depth", ", 0.5)", ", 0.4)"),
    ("well", "ledger", "available_drawdown", "MAX(0, ", "MAX(9, "),
    ("water_table", "ledger", "depth_to_water", " + well_water_lower", ""),
    ("well", "ledger", "rested_inflow", '="walls"', '="floor"'),
    ("recovery_test", "recovery_workings", "counts", ">0, ", ">9, "),
    ("recovery_test", "recovery_workings", "log_left", " / recovery_drawdown", ""),
    ("dips", "dip_workings", "dip_height", "MIN(", "MAX("),
    ("dips", "dip_workings", "date_fault", "record_ends", "record_begins"),
    ("pump", "plan", "rested_minutes", "bore_storage / ", "2 * bore_storage / "),
    ("pond", "ledger", "pond_surface", "(pond_shape - 1)", "(pond_shape - 0.5)"),
    ("pond", "ledger", "pond_before_losses", " + ", " - "),
    ("pond", "ledger", "pond_after_losses", " - ", " + "),
    ("pond", "ledger", "pond_seeped", "pond_seepage_used", "1.01 * pond_seepage_used"),
    ("pond", "ledger", "garden_from_pond", " - pond_kept", ""),
    ("pond", "ledger", "pond_is_dry", "<=0", "<=900"),
    ("roof", "ledger", "roof_catch", " - roof_first_flush", " + roof_first_flush"),
    ("roof", "roof_workings", "catching_area", " * IF(", " * 1.01 * IF("),
    ("roof", "ledger", "roof_before_draws", " + ", " - "),
    ("roof", "ledger", "roof_spill", "0, roof_tank_capacity", "0, 0.9 * roof_tank_capacity"),
    ("animals", "animal_workings", "herd_daily", " * IF(", " * 1.01 * IF("),
    ("dry_spells", "memory_trials", "dry_from", "<0, ", "<-900, "),
    ("dry_spells", "memory_trials", "run_kept", "pump_restart", "0.9"),
    ("dry_spells", "memory_trials", "spared", "24 * 60", "23 * 60"),
    ("dry_spells", "memory_trials", "garden_takes", "MAX(0, ", "MAX(9, "),
    ("dry_spells", "spell_workings", "pond_gave", "garden_from_pond", "garden_need"),
    ("running_out", "plan", "out_on", "(1 - SQRT(1 - ", "(1 + SQRT(1 - "),
    ("dry_spells", "memory_scores", "date_score", " / 30", " / 31"),
    ("dry_spells", "memory_scores", "score", "/ 0.2", "/ 0.3"),
    ("pump", "ledger", "run_minutes", "pump_restart", "0.9"),
    ("pump", "ledger", "yield_slope", " / {available_drawdown}", " * {available_drawdown}"),
    ("pump", "ledger", "yield_middle", "MAX(0, allowed", "MAX(9, allowed"),
    ("pump", "ledger", "rises", ">0", "<0"),
    ("pump", "pumping", "low_rise", "MIN(", "MAX("),
    ("balance", "ledger", "lack_first", "<0, ", ">0, "),
    ("balance", "ledger", "lack_rest", "MAX(0, ", "MAX(9, "),
    ("balance", "ledger", "tank_room", "{rises} * ", "0 * {rises} * "),
    ("pump", "ledger", "runs_a_day", "24 * 60", "23 * 60"),
    ("household_demand", "household_workings", "line_daily", " * IF(", " * 1.01 * IF("),
    ("effective_rain", "garden_ledger", "effective_rain", "0.02426", "0.02427"),
    ("garden_demand", "kc_workings", "season_day", "365)", "364)"),
    ("garden_demand", "kc_workings", "grown_days", "^2", "^1"),
    ("garden_demand", "kc_workings", "ripened_days", " / 2", " / 3"),
    ("garden_demand", "garden_ledger", "zone_need", "MAX(0, ", "MAX(0.1, "),
    ("service", "ledger", "days_in_service", " + 1)", ")"),
    ("frosts", "frost_dates", "free_from_ahead", "<first_month", "<=first_month"),
    ("tank", "storage_months", "filling_found", ">=0", ">=9999"),
    ("kept_for_house", "storage_months", "kept_found", "MIN(tank_usable", "MIN(0.9 * tank_usable"),
    ("kept_for_house", "over_years", "highest_required", "MAX(", "MIN("),
    ("rule_curve", "ledger", "garden_net", " - ", " + "),
    ("rule_curve", "ledger", "required_uncut", "(1 - {rises})", "(1 + {rises})"),
    ("rule_curve", "ledger", "storage_with_garden", "MIN(", "MAX("),
    ("rule_curve", "ledger", "required_level", "reserve_used", "0"),
    ("rule_curve", "ledger", "storage_needed", "MAX(0,", "MAX(1,"),
    ("balance", "ledger", "tank_target", "=1, tank_usable", "=0, tank_usable"),
    ("balance", "ledger", "tank_claim", '="yes"', '="no"'),
    ("balance", "ledger", "garden_leaves", "MAX(0, ", "MAX(1, "),
    ("balance", "ledger", "tank_fill", "MAX(", "MIN("),
    ("balance", "ledger", "tank_after_draws", " - ", " + "),
    ("balance", "ledger", "house_left_in_service", " * ", " + "),
    ("years_of_record", "years", "rank", ">", "<"),
    ("years_of_record", "years", "close", "0.2", "0.9"),
    ("plan_months", "plan", "start_on", " / ", " * "),
    ("answers", "answers", "loads", "9), 0)", "9), 1)"),
    ("answers", "answers", "cost", "* hauling_price", "* 1"),
    ("readings", "so_far", "falls_in", "<first_month", "<=first_month"),
    ("readings", "so_far_workings", "rain_gap", " + 1, 1)", ", 1)"),
    ("readings", "", "plan_ends", "plan_number + 1", "plan_number + 2"),
    ("fill_and_drain", "fill_and_drain", "runs_told", "pump_rate * ", ""),
    ("fill_and_drain", "fill_and_drain", "into_tank_a_day", " / ", " * "),
    ("fill_and_drain", "", "loads_told", " + ", " - "),
    ("slab", "", "base_edge_ring", "2 * base_edge_width", "1 * base_edge_width"),
    ("purchases", "", "base_bags", "1 + base_waste", "1 - base_waste"),
    ("wind", "", "base_wind_pressure", "0.00256", "0.00257"),
    ("wind", "", "base_storm_needed", "MAX(", "MIN("),
    ("wind", "", "base_anchor_pull", "4 * ", "2 * "),
    ("tap_head", "", "base_filling_head", " + base_filling_loss", ""),
    ("wind", "", "base_wind_in_winter", "base_stands=0", "base_stands=1"),
    ("garden_demand", "zone_workings", "unsized", "NOT(ISNUMBER(", "(ISNUMBER("),
    ("water_table", "month_workings", "too_deep", ">0", "<0"),
    ("checks", "", "found_winter", ">0", "<0"),
    ("checks", "", "found_fill_date", ")<>", ")="),
    ("record", "", "station_rise_told", "rain_station_height>site_elevation", "rain_station_height<site_elevation"),
    ("checks", "", "found_base_ground", "base_bears=0", "base_bears=1"),
]


# The subject as it is, and where months both lack water and spare some: all year, with water that stands less low.
BOTH: Edge = {"tank_in_service": "all year", "well_water_lower": 0.3, "roof_goes_to": "house tank"}
# In a year in which the tank, as small, does not last.
NOT_ENOUGH: Edge = {"plan_for": 2016.0, "tank_capacity": 100.0, "tank_reserve": 0.0, "tank_below_outlet": 0.0}
STATES: tuple[Edge, ...] = ({}, BOTH, BOTH | NOT_ENOUGH)


def example_path(name: str) -> Path:
    return next(path for path in EXAMPLES if path.stem == name)


@pytest.fixture(scope="module")
def subject() -> Computed:
    """The US example with evidence, pond, roof, a tank's base and a lower water table, computed apart."""
    site = read_site(example_path("terrace_house"))
    evidence = {
        "dips": [{"date": serial(date(2005, month, 17)), "depth": 8.0 + month} for month in (2, 5, 8)],
        "remembered": [
            {"year": 2010, "dry_on": serial(date(2010, 7, 12)), "loads": 6, "garden": 0.3},
            {"year": 2012, "dry_on": None, "loads": None, "garden": None},
        ],
    }
    roofs = [{"name": None, "area": 90.0, "material": "slate", "coefficient": None}]
    values = {**site.values, "well_water_lower": 0.7, "well_water_enters": "walls"}
    values |= {"pond_depth": 5.0, "pond_area": 150.0, "pond_catchment": 2000.0, "pond_keep": 1.0, "pond_seepage": 0.1}
    values |= {"roof_goes_to": "garden tank", "roof_tank_capacity": 60.0}
    values |= {"base_tank_diameter": 9.0, "base_shape": "many-sided"}
    values |= {"rain_station_height": 1500.0, "rain_station_distance": 9.0}
    this_year = {"plan_number": 2025, "plan_as_of": serial(date(2025, 8, 31))}  # found by the build where not given
    typed = frozenset((*this_year, "rain_so_far"))  # so that the record's own months are not put in
    site = replace(site, values=values | this_year, given=site.given | typed)
    return compute_site(replace(site, lists={**site.lists, **evidence, "roofs": roofs}))


def picked(computed: Computed, table: str, key: str, old: str, new: str) -> Mutant:
    """The formula of that column, or of the result of that name, with one text in the place of another."""
    found = [rule for rule in rules(computed.book) if rule.key == key and (table in rule.tables or not table)]
    (rule,) = found
    assert old in rule.template, f"{key} has no '{old}': {rule.template}"
    template = rule.template.replace(old, new, 1)
    return Mutant(replace(rule, tables=(table,) if table else ()), template, f"[{old} -> {new}]")


@pytest.fixture(scope="module")
def caught(subject: Computed) -> dict[tuple[str, ...], bool]:
    """Whether each of the picked mutants gives other values than the ledgers by hand, all in three evaluations."""
    mutants = {entry: picked(subject, *entry[1:]) for entry in MUTATIONS}
    bench, found, typed = Bench(subject, mutants.values()), dict.fromkeys(MUTATIONS, False), typed_cells(subject)
    for edge in STATES:
        type_in(subject, edge)
        subject.evaluate()
        by_hand = compute_by_hand(by_hand_site(subject))
        found |= {entry: bench.caught(mutants[entry], by_hand) for entry in MUTATIONS if not found[entry]}
        put_back(subject, typed)
    return found


@pytest.mark.parametrize("entry", MUTATIONS, ids="-".join)
def test_a_broken_formula_is_caught(caught: dict[tuple[str, ...], bool], entry: tuple[str, ...]) -> None:
    assert caught[entry], f"{entry[0]}: {entry[2]} broken, and nobody saw it"


def short_record(folder: Path, before: str) -> Computed:
    """The US example's record before a year: months that miss most of their days, and a year that came three times.

    Two months are filled in one plan year, three in another, which does not count; eight do before 2006.
    """
    source = example_path("terrace_house")
    heading, *days = (source.parent / "terrace_house_rain.csv").read_text(encoding="utf-8").splitlines()
    kept = [day for day in days if day < before and day[:4] not in ("2002", "2003")]
    kept += [year + day[4:] for year in ("2002", "2003") for day in kept if day[:4] == "2001"]
    lost = ("1998-05", "1998-07", "2000-05", "2000-06", "2000-07")
    kept = sorted(day for day in kept if day[:7] not in lost or day[8:10] < "05")
    (folder / "terrace_house_rain.csv").write_text("\n".join([heading, *kept]), encoding="utf-8")
    return compute(Path(shutil.copy(source, folder)))


def books(subject: Computed, folder: Path) -> list[tuple[Callable[[], Computed], dict[str, Edge]]]:
    """How each book is made on which mutants are tried, and the edges that it is put to."""
    years: dict[str, Edge] = {"1 in 5": {"plan_for": "1 in 5"}, "middle": {"plan_for": "middle"}}
    ties: dict[str, Edge] = {"nobody draws": NOBODY, "nothing grows": NOBODY | NO_GARDEN}
    return [
        (lambda: subject, EDGES),
        (lambda: computed_example("guest_house").copy(), {}),
        (lambda: computed_example("smallest").copy(), {}),
        (lambda: short_record(folder, before="2006"), years | ties),
        (lambda: short_record(folder, before="2008"), years),
        (lambda: short_record(folder, before="2007"), years),
    ]


def states(computed: Computed, typed: dict[CellKey, Value], edges: dict[str, Edge], seed: int) -> Iterator[str]:
    """The book as it is, at each edge, and edited, two edits upon each other; `typed` is what stands in its cells."""
    yield "as it is"
    for name, edge in edges.items():
        type_in(computed, edge)
        yield name
        put_back(computed, typed)
    rng = random.Random(seed)
    for number in range(EDITED):
        if number % 2 == 0:
            put_back(computed, typed)
        edit(computed, rng)
        yield f"edit {number}"


def survivors(mutants: list[Mutant], computed: Computed, edges: dict[str, Edge], seed: int) -> list[Mutant]:
    """Those of the mutants that give the values of the ledgers by hand in every state of the book."""
    known = set(rules(computed.book))
    bench = Bench(computed, [mutant for mutant in mutants if mutant.rule in known])
    alive, typed = list(bench.beside), typed_cells(computed)
    for state in states(computed, typed, edges, seed):
        if all(str(mutant) in EQUAL for mutant in alive):
            break
        computed.evaluate()
        by_hand = compute_by_hand(by_hand_site(computed))
        for mutant in alive:
            assert bench.is_sound(mutant.rule, by_hand), f"{state}: {mutant.rule.key} is not as it is by hand"
        alive = [mutant for mutant in alive if not bench.caught(mutant, by_hand)]
    put_back(computed, typed)
    bench.clear()
    return [mutant for mutant in mutants if mutant in alive or mutant not in bench.beside]


@pytest.fixture(scope="module")
def drawn(subject: Computed) -> list[Mutant]:
    return Drawing(subject.book, SEED).draw(DRAWN)


def test_tokens_changed_at_random_are_caught(subject: Computed, drawn: list[Mutant], tmp_path: Path) -> None:
    """But for those that are listed as equal."""
    assert len(drawn) == DRAWN
    alive = drawn
    for seed, (book, edges) in enumerate(books(subject, tmp_path)):
        if any(str(mutant) not in EQUAL for mutant in alive):
            alive = survivors(alive, book(), edges, seed)
    unlisted = [str(mutant) for mutant in alive if str(mutant) not in EQUAL]
    told = "\n".join(unlisted)
    print(f"{DRAWN} mutants drawn by WATER_MUTATIONS={SEED}: {DRAWN - len(alive)} caught, {len(alive)} not")
    assert unlisted == [], f"by WATER_MUTATIONS={SEED} these live:\n{told}"


def test_a_mutant_beside_its_column_is_caught_as_it_is_in_its_place(subject: Computed) -> None:
    """What `tests.mutants` rests on, on the mutants of stores and of what leans on them."""
    entries = [entry for entry in MUTATIONS if entry[2] in ("snowpack", "recharge", "required_level", "tank_fill")]
    assert len(entries) == 4
    by_hand = compute_by_hand(by_hand_site(subject))
    for _, table, key, old, new in entries:
        mutant = picked(subject, table, key, old, new)
        sound = picked(subject, table, key, "", "")
        for _, _, where, text in cells(subject.book, mutant):
            subject.model.set_formula(where, f"={text}")
        subject.evaluate()
        found = differences(subject, by_hand)
        assert any(line.startswith(f"{table}:{key}[") for line in found), key
        for _, _, where, text in cells(subject.book, sound):
            subject.model.set_formula(where, f"={text}")
    subject.evaluate()
    assert differences(subject, by_hand) == []
