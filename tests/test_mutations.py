"""A formula of each noun, broken on purpose, must be caught by the comparison with the ledgers by hand.

The text is changed in the cells of a column of the computed example, or in the cell of a result; `differences` of
`tests.workbook.test_by_hand.test_every_column_of_every_example` must then name that column or result.
"""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

import pytest

from budget.site_file.reading import read_site
from budget.units import serial
from tests.by_hand import compute as compute_by_hand
from tests.computed import EXAMPLES, Computed, by_hand_site, compute_site
from tests.workbook.test_by_hand import differences

# noun, table ("" for a result), column or result, what stands in its formula, what is put there instead
MUTATIONS = [
    ("record", "ledger", "plan_year", "< first_month", "<= first_month"),
    ("evapotranspiration", "climate", "radiation", "0.0820", "0.0830"),
    ("evapotranspiration", "ledger", "reference_et", "17.8", "17.9"),
    ("snow", "ledger", "snowpack", "snow_melt_rate", "0.01 * snow_melt_rate"),
    ("soil", "ledger", "half_drawn", "(2 * ", "(1 * "),
    ("soil", "ledger", "recharge", "(1 - runoff_share)", "1"),
    ("water_table", "ledger", "mean_height", "(1 - ", "(1 + "),
    ("water_table", "over_years", "middle_depth", ", 0.5)", ", 0.4)"),
    ("well", "ledger", "available_drawdown", "MAX(0, ", "MAX(9, "),
    ("water_table", "ledger", "depth_to_water", " + well_water_lower", ""),
    ("well", "ledger", "rested_inflow", '="walls"', '="floor"'),
    ("recovery_test", "recovery_workings", "counts", ">0, ", ">9, "),
    ("recovery_test", "recovery_workings", "log_left", " / recovery_drawdown", ""),
    ("dips", "dip_workings", "dip_height", "MIN(", "MAX("),
    ("dips", "dips", "fault", "record_ends", "record_begins"),
    ("pump", "plan", "rested_minutes", "bore_storage / ", "2 * bore_storage / "),
    ("pond", "ledger", "pond_surface", "(pond_shape - 1)", "(pond_shape - 0.5)"),
    ("pond", "ledger", "pond_before_losses", " + ", " - "),
    ("pond", "ledger", "pond_after_losses", " - ", " + "),
    ("pond", "ledger", "pond_seeped", "pond_seepage_used", "1.01 * pond_seepage_used"),
    ("pond", "ledger", "garden_from_pond", " - pond_kept", ""),
    ("pond", "ledger", "pond_is_dry", "<=0", "<=900"),
    ("roof", "ledger", "roof_catch", " - roof_first_flush", " + roof_first_flush"),
    ("roof", "roofs", "catching_area", " * IF(", " * 1.01 * IF("),
    ("roof", "ledger", "roof_before_draws", " + ", " - "),
    ("roof", "ledger", "roof_spill", "0, roof_tank_capacity", "0, 0.9 * roof_tank_capacity"),
    ("animals", "animals", "herd_daily", " * IF(", " * 1.01 * IF("),
    ("dry_spells", "memory_trials", "dry_from", ">0, ", ">900, "),
    ("running_out", "plan", "out_on", "MIN(1, ", "MAX(1, "),
    ("dry_spells", "memory_scores", "date_score", " / 30", " / 31"),
    ("dry_spells", "memory_scores", "score", "/ 0.2", "/ 0.3"),
    ("pump", "ledger", "run_minutes", "pump_restart", "0.9"),
    ("pump", "ledger", "runs_a_day", "24 * 60", "23 * 60"),
    ("household_demand", "household", "line_daily", " * IF(", " * 1.01 * IF("),
    ("effective_rain", "garden_ledger", "effective_rain", "0.02426", "0.02427"),
    ("garden_demand", "kc_workings", "season_day", "0.5", "0.9"),
    ("garden_demand", "garden_ledger", "zone_need", "MAX(0, ", "MAX(0.1, "),
    ("service", "ledger", "days_in_service", " + 1)", ")"),
    ("tank", "storage_months", "filling_found", ">=0", ">=9999"),
    ("kept_for_house", "storage_months", "kept_found", "MIN(tank_usable", "MIN(0.9 * tank_usable"),
    ("kept_for_house", "over_years", "highest_required", "MAX(", "MIN("),
    ("rule_curve", "ledger", "well_deficit", " - ", " + "),
    ("rule_curve", "ledger", "required_level", "reserve_used", "0"),
    ("rule_curve", "ledger", "storage_needed", "MAX(0,", "MAX(1,"),
    ("balance", "ledger", "tank_target", "=1, tank_usable", "=0, tank_usable"),
    ("balance", "ledger", "tank_claim", '="yes"', '="no"'),
    ("balance", "ledger", "garden_leaves", "MAX(0, ", "MAX(1, "),
    ("balance", "ledger", "tank_fill", "MAX(", "MIN("),
    ("balance", "ledger", "tank_after_draws", " - ", " + "),
    ("balance", "ledger", "house_left_in_service", " * ", " + "),
    ("years_of_record", "years", "rank", ">", "<"),
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
    ("wind", "", "base_wind_verdict", "base_stands=1", "base_stands=0"),
    ("garden_demand", "zones", "unsized", "NOT(ISNUMBER(", "(ISNUMBER("),
    ("water_table", "month_workings", "too_deep", ">0", "<0"),
    ("checks", "", "check_winter", ">0", "<0"),
    ("checks", "", "check_fill_date", ")<>", ")="),
    ("checks", "", "check_station_height", "rain_station_height>site_elevation", "rain_station_height<site_elevation"),
    ("checks", "", "check_base_ground", "base_bears=0", "base_bears=1"),
]


@pytest.fixture(scope="module")
def subject() -> Iterator[tuple[Computed, dict]]:
    """The US example with evidence, pond, roof, a tank's base and a lower water table, computed apart, and its ledgers
    by hand."""
    site = read_site(next(path for path in EXAMPLES if path.stem == "terrace_house"))
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
    computed = compute_site(replace(site, lists={**site.lists, **evidence, "roofs": roofs}))
    yield computed, compute_by_hand(by_hand_site(computed))


@pytest.mark.parametrize(("noun", "table", "key", "old", "new"), MUTATIONS)
def test_a_broken_formula_is_caught(subject, noun: str, table: str, key: str, old: str, new: str) -> None:
    computed, by_hand = subject
    broken = (table, key) if table else key
    cells = [where for where, owner in computed.book.owners.items() if owner == broken]
    before = {where: str(computed.book.workbook[where[0]].cell(*where[1:])._value) for where in cells}
    after = {where: formula.replace(old, new, 1) for where, formula in before.items()}
    assert after != before, f"{noun}: {key} has no '{old}'"
    mutant = computed.copy()
    for where, formula in after.items():
        mutant.model.set_formula(where, formula)
    mutant.evaluate()
    found = differences(mutant, by_hand)
    told = f"{table}:{key}[" if table else f"{key} row"
    assert any(line.startswith(told) for line in found), f"{noun}: {key} broken, and nobody saw it"
