"""Two real records, end to end: four years that a package carries, and thirty years that lie outside the project.

The homes are invented; the weather is not.
"""

from __future__ import annotations

import importlib.util
import os
from collections import defaultdict
from pathlib import Path

import pytest
from openpyxl import load_workbook

from budget.build import Built, build
from budget.rain import read_record
from budget.site_file.reading import read_site
from tests.computed import Computed, compute
from tests.workbook.test_by_hand import differences

SITE = """# An invented home on a real record.
units = "metric"

[site]
latitude = {latitude}

[rain]
file = "{rain}"
unit = "mm"
temperature_unit = "C"

[soil]
type = "loam"

[well]
bore = "1 m"
depth = "8 m"
inflow = "4 L/min/m"
summer_depth = "6 m"
winter_depth = "3.5 m"

[pump]
rate = "25 L/min"
intake = "7.6 m"

[tank]
capacity = "15 m³"

[[household]]
use = "whole house, average use"
number = 2

[[garden]]
crop = "mixed vegetables"
area = "60 m²"
"""
IMPOSSIBLE_DAY, IMPOSSIBLE_LOW = "2003-05-23", "-17.8"  # 0 °F, where a zero stands for a missing value


def site_file(folder: Path, latitude: float, rain: str) -> Path:
    path = folder / "home.toml"
    path.write_text(SITE.format(latitude=latitude, rain=rain), encoding="utf-8")
    return path


# ---------------------------------------------------------------- four years


@pytest.fixture(scope="module")
def seattle(tmp_path_factory: pytest.TempPathFactory) -> Built:
    """A home on the Seattle record of 2012 to 2015, its units in the header."""
    package = importlib.util.find_spec("vega_datasets")
    assert package is not None and package.origin is not None
    source = Path(package.origin).parent / "_data" / "seattle-weather.csv"
    header, *days = source.read_text(encoding="utf-8").splitlines()
    assert header.split(",")[:4] == ["date", "precipitation", "temp_max", "temp_min"]
    folder = tmp_path_factory.mktemp("seattle")
    lines = ["date,rain (mm),tmax (°C),tmin (°C)", *(",".join(day.split(",")[:4]) for day in days)]
    (folder / "rain.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    return build(site_file(folder, 47.4, "rain.csv"))


def test_four_years_give_answers_and_a_warning(seattle: Built) -> None:
    answers = {answer.key: answer for answer in seattle.answers}
    assert 2012 <= answers["case_year"].expected <= 2015
    assert answers["worst_yield"].expected > 0
    assert answers["worst_month"].expected in ("August", "September", "October", "November")
    (weak,) = (text for text in seattle.warnings if text.startswith("Only "))
    assert weak in ("Only 3 plan years count: figures for dry years are weak.", weak.replace("3", "4"))
    assert not any("does not close" in text for text in seattle.warnings)


def test_the_book_holds_the_rain_of_the_record(seattle: Built) -> None:
    """The year's totals of the sheet are those of the file: 2012 had 1226 mm, 2013 828, 2014 1233, 2015 1139."""
    folder = seattle.path.parent
    totals: dict[int, float] = defaultdict(float)
    for line in (folder / "rain.csv").read_text(encoding="utf-8").splitlines()[1:]:
        totals[int(line[:4])] += float(line.split(",")[1])
    sheet = load_workbook(seattle.path, data_only=True)["Ledger"]
    (keys,) = (row for row in sheet.iter_rows(max_row=20) if any(cell.value == "ledger:rain_recorded" for cell in row))
    column = {cell.value: cell.column for cell in keys if cell.value}
    found: dict[int, float] = defaultdict(float)
    for row in range(keys[0].row, sheet.max_row + 1):
        if sheet.cell(row, column["ledger:in_record"]).value == 1:
            rain = sheet.cell(row, column["ledger:rain_recorded"]).value
            found[sheet.cell(row, column["ledger:year"]).value] += rain
    assert found == pytest.approx(totals, rel=1e-12)
    assert {year: round(total) for year, total in totals.items()} == {2012: 1226, 2013: 828, 2014: 1233, 2015: 1139}


# ---------------------------------------------------------------- thirty years


@pytest.fixture(scope="module")
def long_record() -> Path:
    """Thirty years of daily rain [mm] and temperatures [°C], dry summers, with one impossible low left in."""
    folder = os.environ.get("WATER_RECORDS")
    if not folder:
        pytest.skip("WATER_RECORDS names no folder of records")
    return Path(folder) / "merced_daily_1993_2022.csv"


@pytest.fixture(scope="module")
def thirty_years(long_record: Path, tmp_path_factory: pytest.TempPathFactory) -> Computed:
    folder = tmp_path_factory.mktemp("thirty_years")
    (folder / "rain.csv").write_bytes(long_record.read_bytes())
    return compute(site_file(folder, 37.3, "rain.csv"))


def column(computed: Computed, key: str) -> list[float]:
    return [float(value or 0) for value in computed.column("ledger", key)]  # type: ignore[arg-type]


def test_wettest_and_driest_calendar_year(thirty_years: Computed) -> None:
    totals: dict[float, float] = defaultdict(float)
    columns = (column(thirty_years, key) for key in ("year", "rain", "in_record"))
    for year, rain, in_record in zip(*columns, strict=True):
        totals[year] += rain * in_record
    whole = [total for total in totals.values() if total > 0]
    assert len(whole) == 30
    assert (round(max(whole)), round(min(whole))) == (558, 96)


def test_what_came_in_went_out_or_is_there(thirty_years: Computed) -> None:
    """Over the whole ledger: of the land [mm], of the well and of the tank [L]. The ends are read from the stores."""
    total = {
        key: sum(column(thirty_years, key))
        for key in (
            "rain actual_et surplus recharge tank_fill house_from_tank garden_from_tank drained spill"
            " well_yield house_from_well garden_from_well well_unused house_need short short_drained"
        ).split()
    }
    assert total["rain"] > 7000 and total["surplus"] > 0 and total["tank_fill"] > 0
    last = {key: column(thirty_years, key)[-1] for key in ("soil_water", "snowpack", "stored")}
    at_first = thirty_years.model.number("soil_capacity")
    land = total["rain"] + at_first - total["actual_et"] - total["surplus"] - last["soil_water"] - last["snowpack"]
    assert land == pytest.approx(0, abs=1e-7)
    assert total["recharge"] < total["surplus"]
    into, out = total["tank_fill"], total["house_from_tank"] + total["garden_from_tank"]
    assert into - out - total["drained"] - total["spill"] - last["stored"] == pytest.approx(0, abs=1e-5)
    well = total["well_yield"] - total["house_from_well"] - into - total["garden_from_well"] - total["well_unused"]
    assert well == pytest.approx(0, abs=1e-4)
    given = total["house_from_well"] + total["house_from_tank"]
    assert total["house_need"] - given - total["short"] - total["short_drained"] == pytest.approx(0, abs=1e-4)


def test_no_answer_is_an_error_and_the_years_count(thirty_years: Computed) -> None:
    errors = {where: value for where, value in thirty_years.values.items() if str(value).startswith("#")}
    assert errors == {}
    assert thirty_years.model.number("usable_years") >= 25


def test_every_column_against_the_ledgers_by_hand(thirty_years: Computed) -> None:
    """Thirty years of real weather through the whole book."""
    assert differences(thirty_years) == []


def test_a_well_that_rain_does_not_explain_is_told(thirty_years: Computed) -> None:
    """So dry a place does not move the water by the 2.5 m that this invented home measured."""
    assert thirty_years.model.number("fit_error") > thirty_years.model.number("fit_depth_spread")
    assert thirty_years.model.number("rain_explains_well") == 0
    assert str(thirty_years.model.value("check_fit")).startswith("Rain alone does not explain this well")


def test_the_impossible_low_does_not_set_the_frost_dates(long_record: Path, tmp_path: Path) -> None:
    """The dates are those of the record without that value, and not those of one that trusts a little less of it."""
    text = long_record.read_text(encoding="utf-8")
    (line,) = (line for line in text.splitlines() if line.startswith(IMPOSSIBLE_DAY))
    assert line.endswith(f",{IMPOSSIBLE_LOW}")
    site = site_file(tmp_path, 37.3, "rain.csv")

    def dates(low: str) -> tuple[object, object, list[str]]:
        changed = text.replace(line, line.removesuffix(IMPOSSIBLE_LOW) + low)
        (tmp_path / "rain.csv").write_text(changed, encoding="utf-8")
        rain = read_record(read_site(site))
        assert rain.frosts is not None
        return rain.frosts.pipes.free_from, rain.frosts.pipes.free_until, rain.notes

    as_it_is, without = dates(IMPOSSIBLE_LOW), dates("")
    assert as_it_is[:2] == without[:2]
    assert as_it_is[0] is None or as_it_is[0] < (5, 1)  # type: ignore[operator]
    assert any(f"-17.8 °C (0 °F) on {IMPOSSIBLE_DAY} is left out" in note for note in as_it_is[2])
    assert not any(IMPOSSIBLE_DAY in note for note in without[2])
