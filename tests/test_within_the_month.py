"""Three months worked by hand, put through the book's own formulas, from the rain to the day the house runs out.

Invented figures, metric; every printed digit of the hand's sheet must come out. August spares water before it lacks
some, September lacks throughout, October's rain lifts the well again: its lack comes first. Then the tank is drained.
"""

from dataclasses import replace

import numpy as np
import pytest

from budget.declarations import Column
from budget.water import (
    balance,
    kept_for_house,
    pump,
    rule_curve,
    running_out,
    snow,
    soil,
    water_table,
    well,
    years_of_record,
)
from tests.computed import Computed
from tests.conftest import computed_example
from tests.small_book import data_table, evaluate

MONTHS = ("August", "September", "October")
NAMES = {
    "snow_melt_rate": 2.74,
    "soil_capacity": 100.0,
    "soil_cover_factor": 1.0,
    "runoff_share": 0.2,
    "aquifer_specific_yield": 0.05,
    "aquifer_drainage_time": 80.0,
    "aquifer_floor": 6.0,
    "highest_height": 5.0,
    "well_highest_water": 0.0,
    "well_water_lower": 0.0,
    "well_depth": 8.0,
    "well_there": 1.0,
    "well_water_enters": "bottom",
    "well_sustained_share": 1.0,
    "column_at_test": 3.0,
    "inflow": 1.0,
    "bore_storage": 600.0,
    "allowed_pumping_depth": 5.5,
    "pump_rate": 30.0,
    "pump_restart": 0.5,
    "pump_window": 24.0,
    "pump_most_runs": 48.0,
    "tank_usable": 9000.0,
    "reserve_used": 500.0,
    "tank_before_garden": "yes",
}
ROWS: dict[str, list[float]] = {
    "month": [8, 9, 10],
    "position": [5, 6, 7],
    "days": [31, 30, 31],
    "rain": [12, 40, 180],
    "snow_share": [0, 0, 0],
    "degree_days": [500, 400, 300],
    "wet_days": [2, 5, 14],
    "first_rain_share": [0.75, 0.25, 0.30],
    "first_wet_days": [1, 2, 5],
    "first_snow_share": [0, 0, 0],
    "first_degree_days": [250, 200, 150],
    "reference_et": [140, 90, 50],
    "house_need": [18600, 18000, 18600],
    "garden_left": [4000, 2500, 0],
    "kept_at_end": [8000, 4000, 0],
    "roof_to_house": [0, 0, 0],
    "days_in_service": [31, 30, 31],
    "service_share": [1, 1, 1],
    "goes_out": [0, 0, 1],
    "first_service_day": [0, 31, 61],
}
BEFORE = {"snowpack": "0", "soil_water": "40", "water_height": "1.5", "yield_end": "1030", "stored": "6000"}
NOT_HERE = ("garden_given", "garden_dry")  # pond and rain tank have a part in them


def opened(columns: list[Column]) -> list[Column]:
    """The columns with what was there before the first row, as the sheet gives it."""
    return [replace(c, opening=BEFORE.get(c.key, c.opening)) for c in columns if c.key not in NOT_HERE]


@pytest.fixture(scope="module")
def ledger() -> dict[str, list]:
    """The three months in the book's formulas."""
    columns = [
        *snow.COLUMNS,
        *soil.COLUMNS,
        *water_table.COLUMNS,
        *well.COLUMNS,
        *well.SUSTAINED,
        *pump.COLUMNS,
        *pump.YIELD,
        *kept_for_house.COLUMNS,
        *balance.COLUMNS,
        *rule_curve.COLUMNS,
        *running_out.DATES,
    ]
    none = [0.0] * 12
    typed = data_table(
        "month_workings",
        12,
        [],
        dict.fromkeys(("depth_typed", "depth_given", "take_typed", "take_given", "held_all_month"), none),
    )
    filling = data_table("storage_months", 12, [], {"filling_used": none})
    results = [result for result in water_table.RESULTS if result.name in ("first_kept", "first_gain")]
    return evaluate(opened(columns), ROWS, NAMES, "metric", [typed, filling], results)


# Column, and what the hand's sheet says of August, September and October, to its last digit.
BY_HAND = [
    ("water_first", "9 10 54"),
    ("excess_first", "5.449002 5.488116 46.508782"),
    ("kept_first", "0.725456 0.816735 0.919880"),
    ("surplus_first", "0 0 0"),
    ("soil_middle", "25.004475 13.084474 66.025227"),
    ("wet_excess", "0.665801 22.224547 112.288846"),
    ("half_drawn", "0.704956 0.830172 0.941316"),
    ("surplus", "0 0 74.439442"),
    ("soil_water", "12.895673 27.467813 94.131590"),
    ("height_middle", "1.243544 0.844057 0.580112"),
    ("water_height", "1.018127 0.699748 1.554442"),
    ("mean_height", "1.243542 0.849012 0.867968"),
    ("daily_yield", "772.9062 362.6544 382.3585"),
    ("yield_middle", "772.9078 357.5064 83.2446"),
    ("yield_end", "538.5894 207.5562 1095.6797"),
    ("house_from_well", "18471.2433 10879.6329 9670.9556"),
    ("well_left", "5488.8475 0 2182.1573"),
    ("rises", "0 0 1"),
    ("house_lack", "128.7567 7120.3671 8929.0444"),
    ("storage_needed", "128.7567 7249.1238 16178.1682"),
    ("required_uncut", "10689.3207 16049.4115 8929.0444"),
    ("required_level", "3511.1525 9000 9000"),
    ("tank_fill", "2128.7567 0 2182.1573"),
    ("garden_from_well", "3360.0908 0 0"),
    ("house_from_tank", "128.7567 7120.3671 879.6329"),
    ("short", "0 0 8049.4115"),
    ("drained", "0 0 2182.1573"),
    ("stored", "8000 879.6329 0"),
]


def last_digit(printed: str) -> float:
    """Half of the last digit that is printed."""
    return 0.5 * 10.0 ** -len(printed.partition(".")[2])


@pytest.mark.parametrize(("key", "by_hand"), BY_HAND)
def test_three_months_by_hand(ledger: dict[str, list], key: str, by_hand: str) -> None:
    assert len(by_hand.split()) == 3
    for month, printed, found in zip(MONTHS, by_hand.split(), ledger[key], strict=True):
        assert abs(found - float(printed)) <= last_digit(printed) * 1.0001, f"{key} in {month}: {found}"


def test_named_cells_by_hand(ledger: dict[str, list]) -> None:
    assert abs(ledger["first_kept"][0] - 0.8290291) < 0.5e-7
    assert abs(ledger["first_gain"][0] - 0.0853333) < 0.5e-7


def test_the_house_runs_out_a_day_into_october(ledger: dict[str, list]) -> None:
    """By hand 1.048 days after the month's first; October is day 61 here."""
    assert ledger["out_on"][:2] == [0, 0]
    assert abs(ledger["out_on"][2] - 61 - 1.048) < 0.5e-3
    assert ledger["ran_out"][2] == ledger["out_on"][2]


def test_a_well_whose_water_stands_below_the_intake(ledger: dict[str, list]) -> None:
    """The slope goes over into its limit: half a millimetre above the intake and half a millimetre below alike.

    Between them neither the 15th's yield nor the end's may jump, so that no storage does.
    """
    columns = [*well.COLUMNS, *well.SUSTAINED, *pump.COLUMNS, *pump.YIELD]
    rows = {"depth_to_water": [5.4995, 5.4999999, 5.5, 5.5000001, 5.5005], "mean_height": [1.0] * 5}
    rows |= {"height_middle": [1.3] * 5, "water_height": [0.7] * 5, "month": [1.0] * 5, "days": [31.0] * 5}
    typed = data_table(
        "month_workings", 12, [], dict.fromkeys(("take_typed", "take_given", "held_all_month"), [0.0] * 12)
    )
    for enters in ("bottom", "walls"):
        found = evaluate(columns, rows, NAMES | {"well_water_enters": enters}, "metric", [typed])
        limit = found["yield_slope"][2]
        assert limit > 100 and found["yield_slope"] == pytest.approx([limit] * 5, rel=1e-3)
        assert found["yield_middle"] == pytest.approx([found["yield_middle"][2]] * 5, rel=5e-3)
        assert found["yield_middle"][2] > 50 and found["yield_end"] == [0.0] * 5


@pytest.mark.parametrize(
    ("began", "middle", "ended"), [(900, 700, 450), (450, 620, 800), (700, 500, 690), (650, 650, 650), (580, 560, 100)]
)
def test_what_the_house_lacks_is_the_area_above_the_line(began: float, middle: float, ended: float) -> None:
    """Need less yield, where above 0, added up over 31 days of two straight lines by a million steps."""
    need, days = 600.0, 31.0
    rows = {"house_need": [need * days], "days": [days], "well_yield": [1e6]}
    rows |= {"yield_middle": [middle], "yield_end": [ended]}
    columns = [c for c in balance.COLUMNS if c.key in ("lack_first", "lack_rest", "house_from_well")]
    end = Column("yield_end", "y", pump.YIELD[0].unit, "y.", "0", opening=str(began))
    rows_with_opening = {key: values for key, values in rows.items() if key != "yield_end"}
    found = evaluate([*columns, replace(end, formula=str(ended))], rows_with_opening, {})
    steps = (np.arange(1_000_000) + 0.5) * days / 1_000_000
    yields = np.interp(steps, [0, 15, days], [began, middle, ended])
    lacking = np.maximum(0, need - yields).mean() * days
    assert found["lack_first"][0] + found["lack_rest"][0] == pytest.approx(lacking, rel=1e-6, abs=1e-3)
    assert found["house_from_well"][0] == pytest.approx(need * days - lacking, rel=1e-6)


class Month:
    """A month of the terrace house in service, as the rule of its tank knows it [gal]."""

    def __init__(self, row: dict[str, float]) -> None:
        self.lack, self.rises = row["house_lack"], row["rises"] == 1
        self.spare = row["service_share"] * row["well_left"]
        self.roof_spare = max(0.0, row["roof_to_house"] - row["house_left_in_service"])
        self.serves, self.out = row["days_in_service"] > 0, row["goes_out"] == 1

    def passes(self, stored: float, capacity: float) -> tuple[float, float]:
        """What the month leaves in a tank that fills whenever it can, and what the house is short of."""
        if not self.serves:
            return 0.0, 0.0
        stored = min(capacity, stored + self.roof_spare)
        if not self.rises:
            stored = min(capacity, stored + self.spare)
        drawn = min(stored, self.lack)
        stored -= drawn
        if self.rises:
            stored = min(capacity, stored + self.spare)
        return (0.0 if self.out else stored), self.lack - drawn


def short_of(months: list[Month], capacity: float, stored: float = 0.0) -> float:
    """What the house is short of over these months, with a tank of that size and so much in it before them."""
    short = 0.0
    for month in months:
        stored, lacking = month.passes(stored, capacity)
        short += lacking
    return short


@pytest.fixture(scope="module", params=["no roof", "roof"])
def years(request: pytest.FixtureRequest) -> tuple[list[list[Month]], dict[str, list[float]], float]:
    """The months of each plan year of the terrace house that a tank can carry, what the book says of it, its tank."""
    book = computed_example("terrace_house").copy()
    book.model.set("tank_reserve", 0.0)
    if request.param == "roof":
        book.model.set("roof_goes_to", "house tank")
        for key, value in (("area", 700.0), ("coefficient", 0.8)):
            book.model.set_cell(book.cells("roofs", key)[0], value)
    book.evaluate()
    keys = (
        "house_lack rises service_share well_left roof_to_house house_left_in_service days_in_service goes_out".split()
    )
    rows = {key: book.column("ledger", key) for key in (*keys, "required_level", "required_uncut")}
    told: dict[str, list[float]] = {"storage": [], "required_level": [], "required_uncut": []}
    found = []
    yearly = {key: book.column("years", key) for key in ("usable", "fillable", "first_row", "storage")}
    for usable, fillable, first, storage in zip(*yearly.values(), strict=True):
        if usable and fillable:
            at = range(int(first) - 1, int(first) + 11)
            found.append([Month({key: float(rows[key][row]) for key in keys}) for row in at])
            told["storage"].append(float(storage))
            for key in ("required_level", "required_uncut"):
                told[key] += [float(rows[key][row]) for row in at]
    assert len(found) > 20 and any(month.lack and month.spare for months in found for month in months)
    return found, told, book.model.number("tank_usable")


def test_storage_needed_is_the_smallest_tank(years: tuple[list[list[Month]], dict[str, list[float]], float]) -> None:
    """By bisection, spare and lack of each month in their order."""
    found, told, _ = years
    assert len(told["storage"]) > 20
    for months, storage in zip(found, told["storage"], strict=True):
        low, high = 0.0, 1e5
        assert short_of(months, high) < 1e-6
        while high - low > 1e-4:
            middle = (low + high) / 2
            low, high = (low, middle) if short_of(months, middle) < 1e-6 else (middle, high)
        assert storage == pytest.approx(high, abs=1e-3)


def test_the_required_level_is_enough_and_half_a_gallon_less_is_not(
    years: tuple[list[list[Month]], dict[str, list[float]], float],
) -> None:
    """On the first day of each month in service, up to the tank's own size and for a tank without limit."""
    found, told, usable = years
    tried = 0
    for key, size in (("required_level", usable), ("required_uncut", 1e7)):
        levels = iter(told[key])
        for months in found:
            for at, (month, level) in enumerate(zip(months, levels, strict=False)):
                last = next((n for n in range(at, 12) if months[n].out), 11)
                if not month.serves or level > size - 1e-6:  # a tank that would have to be larger
                    continue
                capped = short_of(months[at : last + 1], size, size)
                assert short_of(months[at : last + 1], size, level) <= capped + 1e-6
                if level > 1:
                    tried += 1
                    assert short_of(months[at : last + 1], size, level - 0.5) > capped + 1e-3
    assert tried > 40


def test_a_year_within_a_fifth_of_the_tank_is_close() -> None:
    """From 80 to 120 % of it; never one that does not count, nor where there is no tank."""
    close = [column for column in years_of_record.CARRIED if column.key == "close"]
    storage = [0.0, 799.0, 800.0, 1000.0, 1200.0, 1201.0, 1000.0]
    usable = [1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 0.0]
    for tank, expected in ((1000.0, [0, 0, 1, 1, 1, 0, 0]), (0.0, [0] * 7)):
        found = evaluate(close, {"storage": storage, "usable": usable}, {"tank_usable": tank})
        assert found["close"] == expected


def test_close_years_are_counted_and_told() -> None:
    book = computed_example("terrace_house")
    tank = book.model.number("tank_usable")
    counted = zip(book.column("years", "storage"), book.column("years", "usable"), strict=True)
    count = sum(abs(float(storage) - tank) <= 0.2 * tank for storage, usable in counted if usable)
    assert count == book.model.number("years_close") == sum(book.column("years", "close")) > 0
    assert f" In {count} it is close: 80 to 120 % of the tank." in str(book.model.value("carried_sentence"))


@pytest.mark.parametrize("enters", ["bottom", "walls"])
def test_the_pump_house_page_is_safe_at_both_ends_of_each_half(enters: str) -> None:
    """What is told is the less of the yields at the ends; its minutes run the water down to the allowed depth there."""
    book = computed_example("terrace_house").copy()
    book.model.set("well_water_enters", enters)
    book.evaluate()
    given, plan = book.model.number, {key: np.array(book.column("plan", key), float) for key in PLAN_READ}
    before = book.model.cell(opening_cell(book, "yield_end")), book.model.cell(opening_cell(book, "water_height"))
    yields = np.column_stack([[before[0], *plan["yield_end"][:-1]], plan["yield_middle"], plan["yield_end"]])
    heights = np.column_stack([[before[1], *plan["water_height"][:-1]], plan["height_middle"], plan["water_height"]])
    least = np.minimum(yields[:, :2], yields[:, 1:]).ravel()
    rise = np.minimum(heights[:, :2], heights[:, 1:]).ravel() - np.repeat(plan["mean_height"], 2)
    depth = np.repeat(plan["depth_to_water"], 2) - rise
    assert book.column("fill_and_drain", "most_a_day") == pytest.approx(least.tolist(), rel=1e-9, abs=1e-9)
    inflow = np.full(24, given("well_sustained_share") * given("inflow"))
    if enters == "walls":
        inflow *= np.minimum(1, np.maximum(0, given("well_depth") - depth) / given("column_at_test"))
    left = np.maximum(0, given("allowed_pumping_depth") - depth)
    minutes, drawn = np.array(book.column("fill_and_drain", "minutes_on"), float), 0
    for at in range(24):
        if left[at] > 0 and given("pump_rate") > inflow[at] * left[at]:
            keeps = np.exp(-inflow[at] * minutes[at] / given("bore_storage"))  # of the way to what the pump would hold
            held = given("pump_rate") / inflow[at]
            drawdown = held + (given("pump_restart") * left[at] - held) * keeps
            assert drawdown == pytest.approx(left[at], rel=1e-9)
            drawn += 1
    assert drawn > 12
    assert min(book.column("fill_and_drain", "level_on_first")[1::2]) == 0.0
    days = book.column("fill_and_drain", "month_told")
    assert (days[0], days[1]) == ("March 2026, 1 to 15", "March 2026, 16 to 31")


PLAN_READ = "yield_middle yield_end height_middle water_height mean_height depth_to_water".split()


def opening_cell(book: Computed, key: str) -> tuple[str, int, int]:
    """The cell of a column of the plan that holds what was there before its first month."""
    placement = book.book.directory.placements["plan"]
    return (placement.sheet, *placement.cell(key, 0, -1))
