"""From files of rain to the book and to the command that shows them: holes, neighbours, two files, a clean copy."""

from __future__ import annotations

import csv
import json
import shutil
from pathlib import Path

import pandas as pd
import pytest

from budget.build import read_warnings
from budget.cli import main
from budget.rain import read_record
from budget.site_file.reading import read_site
from tests.computed import EXAMPLES, Computed, compute
from tests.workbook.test_by_hand import differences

FOLDER = EXAMPLES[0].parent
RAIN = FOLDER / "terrace_house_rain.csv"
HOLE = ("2009-05", "2009-06", "2009-07")


def place(folder: Path, lines: list[str], more: str = "") -> Path:
    """The smallest example with this record, and more lines in its [rain] section."""
    (folder / "rain.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    text = (FOLDER / "smallest.toml").read_text(encoding="utf-8")
    assert text.count('file = "terrace_house_rain.csv"') == 1
    text = text.replace('file = "terrace_house_rain.csv"', f'file = "rain.csv"\n{more}')
    path = folder / "home.toml"
    path.write_text(text, encoding="utf-8")
    return path


def lines() -> list[str]:
    return RAIN.read_text(encoding="utf-8").splitlines()


@pytest.fixture(scope="module")
def holed(tmp_path_factory: pytest.TempPathFactory) -> Computed:
    """The smallest example whose record lacks three months."""
    kept = [line for line in lines() if not line.startswith(HOLE)]
    return compute(place(tmp_path_factory.mktemp("holed"), kept))


def test_a_hole_of_three_months_is_said_everywhere(holed: Computed) -> None:
    """On Answers as a warning, on Climate by month and by year, on the Ledger by its mark and its colour."""
    model = holed.model
    assert model.number("months_filled") == 3
    assert str(model.value("check_filled")).startswith("3 months of the rain record missed too many days")
    assert model.value("check_filled") in read_warnings(model)
    assert "3 of its months missed too many days" in str(model.value("record_told"))
    assert holed.column("climate", "filled_months_of")[3:8] == [0, 1, 1, 1, 0]
    by_year = dict(
        zip(holed.column("coverage", "coverage_year"), holed.column("coverage", "lacking_days"), strict=True)
    )
    assert by_year[2009] == 92 and sum(by_year.values()) == 92
    gaps = dict(zip(holed.column("coverage", "coverage_year"), holed.column("coverage", "longest_gap"), strict=True))
    assert gaps[2009] == 92
    years, months, filled = (holed.column("ledger", key) for key in ("year", "month", "filled"))
    marked = [(year, month) for year, month, mark in zip(years, months, filled, strict=True) if mark]
    assert marked == [(2009, 5), (2009, 6), (2009, 7)]
    rules = holed.book.sheets["Ledger"].conditional_formatting
    assert any(
        rule.formula == [f"${_letter(holed, 'ledger', 'filled')}{_top(holed, 'ledger')}=1"]
        for cells in rules
        for rule in cells.rules
    )
    assert any("2009-05, 2009-06, 2009-07" in note for note in holed.made_of.notes)
    assert differences(holed) == []


def _letter(computed: Computed, table: str, key: str) -> str:
    from openpyxl.utils import get_column_letter

    return get_column_letter(computed.book.directory.placements[table].cell(key, 0, 0)[1])


def _top(computed: Computed, table: str) -> int:
    return computed.book.directory.placements[table].first_row


def test_a_neighbour_fills_the_hole(tmp_path: Path, holed: Computed) -> None:
    """A neighbour with a tenth more rain and two degrees less: the normal ratio takes both out again."""
    heading, *days = lines()
    near = [heading]
    for day, rain, tmax, tmin in csv.reader(days):
        near.append(f"{day},{float(rain) * 1.1:.4f},{float(tmax) - 3.6:.2f},{float(tmin) - 3.6:.2f}")
    (tmp_path / "near.csv").write_text("\n".join(near), encoding="utf-8")
    kept = [line for line in [heading, *days] if not line.startswith(HOLE)]
    record = read_record(read_site(place(tmp_path, kept, 'neighbours = ["near.csv"]')))
    whole = read_record(read_site(place(tmp_path, [heading, *days])))
    assert record.months["filled"].sum() == 0
    # 1e-4 in is the last digit of the neighbour's file.
    pd.testing.assert_frame_equal(record.days, whole.days, atol=0.01, rtol=0)
    assert record.coverage is not None and record.coverage["rain_filled"].sum() == 92
    assert any("near.csv" in note and "92" in note for note in record.notes)


def test_rain_here_and_temperatures_there(tmp_path: Path) -> None:
    rows = list(csv.reader(lines()[1:]))
    heading = lines()[0].split(",")
    rain = [",".join(heading[:2]), *(",".join(row[:2]) for row in rows)]
    warmth = [",".join([heading[0], *heading[2:]]), *(",".join([row[0], *row[2:]]) for row in reversed(rows))]
    (tmp_path / "warmth.csv").write_text("\n".join(warmth), encoding="utf-8")
    path = place(tmp_path, rain)
    path.write_text(
        path.read_text(encoding="utf-8").replace('"rain.csv"', '["rain.csv", "warmth.csv"]'), encoding="utf-8"
    )
    joined = read_record(read_site(path))
    pd.testing.assert_frame_equal(joined.days, read_record(read_site(place(tmp_path, lines()))).days)


def test_the_rain_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Text, data and a clean file that says the same."""
    site = place(tmp_path, [line for line in lines() if not line.startswith(HOLE)])
    clean = tmp_path / "clean.csv"
    assert main(["rain", str(site), "--save", str(clean)]) == 0
    text = capsys.readouterr().out
    for wanted in (
        "rain.csv: columns by their headings",
        "2009-05, 2009-06, 2009-07",
        "Driest years:",
        "Wettest years:",
    ):
        assert wanted in text, wanted
    assert "In one year of ten" in text and f"The clean record is {clean}" in text
    assert main(["rain", str(site), "--json"]) == 0
    content = json.loads(capsys.readouterr().out)
    assert [row["months_filled"] for row in content["years"] if row["year"] == 2009] == [3]
    assert len(content["monthly_means"]) == 12 and content["first"] == "1996-01-01"
    assert "Pipes frost-safe by 11 October; free of hard frost again from 10 April." in text
    assert [(row["cold"], row["free_until"]) for row in content["frosts"]][1] == ("hard frost", [10, 11])
    spells = {row["spell_days"]: row for row in content["freezing_spells"]}
    assert (len(spells), spells[3]["free_from"], spells[3]["free_until"]) == (7, [3, 8], [12, 3])
    assert "   3  8 March           3 December        26 of 28 seasons" in text
    record = read_record(read_site(site))
    again = place(tmp_path, clean.read_text(encoding="utf-8").splitlines())
    pd.testing.assert_frame_equal(read_record(read_site(again)).days, record.days, atol=1e-3, rtol=0)
    assert main(["rain", str(site), "--save", str(clean)]) == 1
    assert "is there already" in capsys.readouterr().err


def test_the_rain_command_without_a_site_file(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["rain"]) == 0
    assert "terrace_house_rain.csv" in capsys.readouterr().out


def test_rain_that_needs_an_answer_says_the_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    days = lines()[1:]
    site = place(tmp_path, ["date,rain,tmax,tmin", *days])
    assert main(["rain", str(site)]) == 1
    error = capsys.readouterr().err
    assert 'rain.unit = "in" or rain.unit = "mm"' in error and "rain.temperature_unit" in error
    shutil.copy(RAIN, tmp_path / "rain.csv")
    assert main(["rain", str(site)]) == 0
