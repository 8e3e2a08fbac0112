"""The command line: exit codes, one line for each fault, what goes where, and books that say what it means.

The sites are the US example with one thing changed, on five years cut from its record. What the program
refuses in a site file the book tells where it is typed into its cells: for these the whole example is computed.
"""

from __future__ import annotations

import errno
import json
import subprocess
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook

from budget import __version__
from budget.build import read_answers, read_warnings
from budget.cli import main
from budget.coordinates import ACCEPTED, Position
from budget.judge import judge, judge_computed
from budget.site_file.reading import read_site
from budget.starter import starter
from budget.units import SYSTEMS, System, serial
from budget.workbook.engine import Computed as Value
from budget.workbook.engine import Model, number
from tests.computed import ROOT, Computed, compute_site
from tests.conftest import computed_example

SITE = (ROOT / "example_inputs" / "terrace_house.toml").read_text(encoding="utf-8")
HEADER, *ALL_DAYS = (ROOT / "example_inputs" / "terrace_house_rain.csv").read_text(encoding="utf-8").splitlines()
DAYS = [line for line in ALL_DAYS if "2006" <= line[:4] <= "2010"]
USABLE_YEARS = 4  # of five calendar years, the first and the last plan year are not whole
Output = pytest.CaptureFixture[str]


def home(folder: Path, *changes: tuple[str, str], days: Sequence[str] | None = DAYS, header: str = HEADER) -> Path:
    """A site file with its record in `folder`; each change replaces a text of the example that stands there once."""
    site = SITE
    for old, new in changes:
        assert site.count(old) == 1, old
        site = site.replace(old, new)
    path = folder / "home.toml"
    path.write_text(site, encoding="utf-8")
    if days is not None:
        lines = [header, *days] if header else list(days)
        text = "".join(f"{line}\n" for line in lines)
        (folder / "terrace_house_rain.csv").write_text(text, encoding="utf-8")
    return path


def line_of(number: int, line: str) -> list[str]:
    """The record with another text in that line of its file, the header being line 1."""
    return [*DAYS[: number - 2], line, *DAYS[number - 1 :]]


# ---------------------------------------------------------------- faults


def with_old_book(path: Path) -> dict[str, bytes]:
    """Put a book where the build of that site file would; returns what its folder holds then."""
    path.with_suffix(".xlsx").write_bytes(b"the old book")
    return held(path.parent)


def held(folder: Path) -> dict[str, bytes]:
    """The files of a folder: a failed build changes none, adds none and takes none away."""
    return {file.name: file.read_bytes() for file in folder.iterdir() if file.is_file()}


def fault(arguments: list[str], capsys: Output) -> str:
    """The one line that a wrong input gives; nothing goes to standard output, and the exit code is 1."""
    assert main(arguments) == 1
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err.endswith("\n") and printed.err.count("\n") == 1
    return printed.err.rstrip("\n")


def test_no_site_file(tmp_path: Path, capsys: Output) -> None:
    path = tmp_path / "none.toml"
    assert fault(["build", str(path)], capsys) == f"{path}: no such file; accepted: the path of a site file"


def test_a_folder_for_a_site_file(tmp_path: Path, capsys: Output) -> None:
    assert fault(["build", str(tmp_path)], capsys) == f"{tmp_path}: is a folder; accepted: the path of a site file"


def test_no_rain_file(tmp_path: Path, capsys: Output) -> None:
    path = home(tmp_path, days=None)
    before = with_old_book(path)
    rain = tmp_path / "terrace_house_rain.csv"
    assert fault(["build", str(path)], capsys) == f"{rain}: no such file; accepted: the path of a daily CSV file"
    assert held(tmp_path) == before


HEADER_ACCEPTED = "a header line with columns date, rain, tmax, tmin, separated by commas"
RECORDS = {
    "empty": ("", [], f": an empty file; accepted: {HEADER_ACCEPTED}"),
    "not a table": (
        "Dear diary,",
        ["it rained."],
        f" line 1: no header; the line reads 'Dear diary,'; accepted: {HEADER_ACCEPTED}",
    ),
    "a picture": ("GIF\0\0", [], ": not a text file; accepted: a CSV file in UTF-8 or Windows-1252"),
    "a date twice": (
        HEADER,
        line_of(4, "2006-01-02,9.99,40,30"),
        " line 4: 2006-01-02 a second time, first in line 3; accepted: one row a day",
    ),
    "a year": (
        HEADER,
        [line for line in DAYS if line[:4] == "2006"],
        ": 12 whole months, from 2006-01-01 to 2006-12-31; accepted: at least 24 whole calendar months",
    ),
    "all zeros": (
        HEADER,
        [",".join([line.split(",")[0], "0", *line.split(",")[2:]]) for line in DAYS],
        ": all rain is zero; accepted: daily rain; blank where the value is missing",
    ),
}


@pytest.mark.parametrize("record", RECORDS)
def test_a_wrong_record(record: str, tmp_path: Path, capsys: Output) -> None:
    header, days, expected = RECORDS[record]
    path = home(tmp_path, days=days, header=header)
    before = with_old_book(path)
    assert fault(["build", str(path)], capsys) == f"terrace_house_rain.csv{expected}"
    assert held(tmp_path) == before


def test_what_cannot_be_believed_is_left_out_and_said(tmp_path: Path, capsys: Output) -> None:
    """Rows in any order; negative rain and a low above the high go, with their day."""
    days = [DAYS[0], "2006-01-03,-0.2,40,30", DAYS[1], "2006-01-04,0.2,30,40", *DAYS[4:]]
    assert main(["rain", str(home(tmp_path, days=days))]) == 0
    told = capsys.readouterr().out
    assert "on 2006-01-03 is left out: rain below zero." in told
    assert sum("2006-01-04 is left out" in line for line in told.splitlines()) >= 2


def test_under_two_usable_years(tmp_path: Path, capsys: Output) -> None:
    """Two calendar years hold one plan year that begins in spring, counted by the workbook."""
    path = home(tmp_path, days=[line for line in DAYS if line[:4] in ("2006", "2007")])
    before = with_old_book(path)
    found = fault(["build", str(path)], capsys)
    assert found.startswith("rain record: whole plan years with at most two filled months: 1;")
    assert found.endswith("accepted: at least 2, better 30")
    assert held(tmp_path) == before


SITES = {
    "latitude": (("latitude = 44.3", "latitude = 95"), "site.latitude: 95 is out of bounds; accepted: -90 to 90"),
    "intake above the water": (
        ('intake = "21 ft"', 'intake = "7 ft"'),
        "pump.intake: '7 ft' is never under water that the pump may take; accepted: deeper than well.winter_depth"
        " ('8 ft') plus pump.submergence ('1 ft'), and a pump that can lift from there",
    ),
    "intake below the bottom": (
        ('intake = "21 ft"', 'intake = "23 ft"'),
        "pump.intake: '23 ft' is deeper than well.depth ('22 ft'); accepted: at most well.depth",
    ),
    "capacity in feet": (
        ('capacity = "6500 gal"', 'capacity = "6500 ft"'),
        "tank.capacity: '6500 ft' is a length; accepted: a volume such as 5000 gal or 20 m³",
    ),
}


@pytest.mark.parametrize("site", SITES)
def test_a_wrong_site(site: str, tmp_path: Path, capsys: Output) -> None:
    change, expected = SITES[site]
    path = home(tmp_path, change)
    before = with_old_book(path)
    assert fault(["build", str(path)], capsys) == expected
    assert held(tmp_path) == before


def test_every_fault_has_its_line(tmp_path: Path, capsys: Output) -> None:
    """What cannot be read first; what does not fit together once all of it is read."""
    unread = {name: told for name, told in SITES.items() if "intake" not in name}
    path = home(tmp_path, *(change for change, _ in unread.values()), ('intake = "21 ft"', 'intake = "23 ft"'))
    before = with_old_book(path)
    assert main(["build", str(path)]) == 1
    assert held(tmp_path) == before
    assert sorted(capsys.readouterr().err.splitlines()) == sorted(text for _, text in unread.values())


RECOVERY = SITE[SITE.index("recovery = [") : SITE.index("]\n") + 2]
# What is accepted, by the beginning of a fault: of a reading, of the readings together, of a dip, of a dry spell.
EVIDENCE_ACCEPTED = {
    "recovery[": "minutes since the pump stopped, and a depth above the bottom of the well",
    "recovery:": "depths that grow less after the pump stopped, two or more",
    "dips[": "a date within the rain record, each once, and a depth above the bottom of the well",
    "remembered[": "a whole plan year of the record, each once, with the date on which it ran dry if it did",
}
FALLS = "recovery: the water falls, or stands, instead of rising"
TOO_FEW = "recovery: fewer than two readings of the recovery count"
# Readings, dips and dry spells that are well written and cannot be right, and where and how that is told. The record
# is of 2006 to 2010, the well 22 ft deep, and plan years begin in spring: those of 2006 to 2009 are whole.
EVIDENCE_AT_FAULT = {
    "the water falls after the pump stopped": (
        'recovery = [{ minutes = 0, depth = "13 ft" }, { minutes = 60, depth = "15 ft" }]',
        [FALLS],
    ),
    "two readings at one time": (
        'recovery = [{ minutes = 5, depth = "15 ft" }, { minutes = 5, depth = "13 ft" }]',
        [FALLS],
    ),
    "one reading": ('recovery = [{ minutes = 0, depth = "13 ft" }]', [TOO_FEW]),
    "one reading after the pump stopped": (
        'recovery = [{ minutes = -9, depth = "13 ft" }, { minutes = 4, depth = "12 ft" }]',
        [TOO_FEW],
    ),
    "readings and dips": (
        """
        recovery = [
          { minutes = 0, depth = "22.1 ft" },
          { minutes = 9, depth = "22 ft" },
          { minutes = 60, depth = "11 ft" },
        ]
        dips = [
          { date = 2005-12-31, depth = "9 ft" },
          { date = 2006-01-01, depth = "9 ft" },
          { date = 2008-08-01, depth = "9 ft" },
          { date = 2009-08-01, depth = "22.1 ft" },
          { date = 2009-09-01, depth = "22 ft" },
          { date = "2008-08-01", depth = "10 ft" },
          { date = 2010-12-31, depth = "9 ft" },
          { date = 2011-01-01, depth = "9 ft" },
        ]
        """,
        [
            "recovery[1]: deeper than the well",
            "dips[1]: before the record begins",
            "dips[3]: this date is there twice",
            "dips[4]: deeper than the well",
            "dips[6]: this date is there twice",
            "dips[8]: after the record ends",
        ],
    ),
    "years remembered": (
        """
        remembered = [
          { year = 2004 },
          { year = 2010 },
          { dry_on = 2006-01-15 },
          { dry_on = 2018-08-20 },
          { year = 2009 },
          { year = 2008 },
          { dry_on = 2008-08-20 },
          { year = 2006, dry_on = 2007-08-20 },
        ]
        """,
        [
            *(f"remembered[{row}]: the record does not hold this plan year" for row in (1, 2, 3)),
            "remembered[4]: the date is outside the record",
            "remembered[6]: this year is there twice",
            "remembered[7]: this year is there twice",
            "remembered[8]: the date is not in this year",
        ],
    ),
}


@pytest.mark.parametrize("evidence", EVIDENCE_AT_FAULT)
def test_evidence_that_cannot_be_right(evidence: str, tmp_path: Path, capsys: Output) -> None:
    """The book's own word for each faulty row, one line each, before anything is written."""
    lines, expected = EVIDENCE_AT_FAULT[evidence]
    path = home(tmp_path, (RECOVERY, lines if "recovery" in lines else f"{lines}\n{RECOVERY}"))
    before = with_old_book(path)
    assert main(["build", str(path)]) == 1
    printed = capsys.readouterr()
    wanted = []
    for told in expected:
        (accepted,) = (words for begins, words in EVIDENCE_ACCEPTED.items() if told.startswith(begins))
        wanted.append(f"{told}; accepted: {accepted}")
    assert (printed.out, printed.err.splitlines()) == ("", wanted)
    assert held(tmp_path) == before


def test_a_book_that_cannot_be_written(tmp_path: Path, capsys: Output) -> None:
    path = home(tmp_path)
    (tmp_path / "folder.xlsx").mkdir()
    writable = "a file in a folder that can be written to"
    expected = {
        tmp_path / "none" / "book.xlsx": f"its folder does not exist; accepted: {writable}",
        tmp_path / "folder.xlsx": "is a folder; accepted: a file",
        tmp_path / "book.ods": "does not end in .xlsx; accepted: a name that ends in .xlsx",
    }
    before, names = with_old_book(path), sorted(tmp_path.iterdir())
    for book, text in expected.items():
        assert fault(["build", str(path), "-o", str(book)], capsys) == f"{book}: {text}"
    assert held(tmp_path) == before and sorted(tmp_path.iterdir()) == names


def test_a_book_that_is_refused_at_the_last_step(
    tmp_path: Path, capsys: Output, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The rename fails: neither the new book nor a copy of the old one is left lying about."""

    def refuse(source: object, target: object) -> None:
        raise PermissionError(errno.EACCES, "Permission denied")

    path = home(tmp_path)
    before = with_old_book(path)
    monkeypatch.setattr("budget.safe_writing.os.replace", refuse)
    expected = "cannot be written: Permission denied; accepted: a file in a folder that can be written to"
    assert fault(["build", str(path)], capsys) == f"{path.with_suffix('.xlsx')}: {expected}"
    assert held(tmp_path) == before


@pytest.mark.parametrize(
    "arguments",
    [["fill"], [], ["build", "--fast"], ["new"], ["new", "home.toml", "--at"], ["new", "--at", "--south", "home.toml"]],
)
def test_wrong_usage(arguments: list[str], capsys: Output) -> None:
    with pytest.raises(SystemExit) as left:
        main(arguments)
    printed = capsys.readouterr()
    assert left.value.code == 2
    assert printed.out == "" and printed.err.startswith("usage: water-budget")


# ---------------------------------------------------------------- the commands


@pytest.mark.parametrize("south", [[], ["--south"]], ids=["north", "south"])
@pytest.mark.parametrize("units", SYSTEMS)
def test_new_writes_a_starter_and_never_over_a_file(
    units: System, south: list[str], tmp_path: Path, capsys: Output
) -> None:
    path = tmp_path / "home.toml"
    assert main(["new", str(path), "--units", units, *south]) == 0
    then = f"Fill in your site, put the rain record beside it, then: water-budget build {path}"
    assert capsys.readouterr().out == f"{path} is written. {then}\n"
    written = path.read_bytes()
    assert written.decode() == starter(units, bool(south))
    assert f'units = "{units}"'.encode() in written and (b"latitude = -" in written) == bool(south)
    expected = f"{path}: is there already; accepted: a file that does not exist yet"
    assert fault(["new", str(path), "--units", units], capsys) == expected
    assert path.read_bytes() == written


SOUTHERN = Position(-38.2, 176.1)
PLACES: list[tuple[list[str], Position]] = [
    (["--at", "44.6,-123.1"], Position(44.6, -123.1)),
    (["--at", "44°36'N, 123°6'W, 90 m"], Position(44.6, -123.1, 90)),
    # argparse takes what begins with a minus for an option.
    (["--at", "-38.2,176.1"], SOUTHERN),
    (["--at", "-38.2, 176.1"], SOUTHERN),
    (["--at", "- 38.2,176.1"], SOUTHERN),
    (["--at=-38.2,176.1"], SOUTHERN),
    (["--at", "-.5,10.5"], Position(-0.5, 10.5)),
    (["--at", "38°12'S 176°6'E", "--south"], SOUTHERN),
    (["--south", "--at", "-38.2,176.1"], SOUTHERN),
]


@pytest.mark.parametrize(("options", "position"), PLACES, ids=[" ".join(options) for options, _ in PLACES])
@pytest.mark.parametrize("first", [True, False], ids=["options first", "file first"])
def test_new_at_a_place(options: list[str], position: Position, first: bool, tmp_path: Path, capsys: Output) -> None:
    path = tmp_path / "home.toml"
    arguments = [*options, str(path)] if first else [str(path), *options]
    assert main(["new", "--units", "metric", *arguments]) == 0
    assert capsys.readouterr().out == f"{path} is written. Fill in your site; then: water-budget build {path}\n"
    assert path.read_text(encoding="utf-8") == starter("metric", at=position)


@pytest.mark.parametrize(
    ("options", "expected"),
    [
        (
            ["--at", "44,6,-123,1"],
            "--at: '44,6,-123,1': the comma of 44,6 may be a decimal one; a blank behind it says that it is not;"
            f" accepted: {ACCEPTED}",
        ),
        (
            ["--at", "-123.1,44.6"],
            "--at: '-123.1,44.6': its latitude is out of bounds, beyond 90 degrees: the latitude comes first;"
            f" accepted: {ACCEPTED}",
        ),
        (
            ["--at", "home\nsweet,home"],
            f"--at: 'home\\u000asweet,home': its latitude cannot be read; accepted: {ACCEPTED}",
        ),
        (["--at", ""], f"--at: '': it has no comma between latitude and longitude; accepted: {ACCEPTED}"),
        (["--at", "44.6,-123.1,90"], f"--at: '44.6,-123.1,90': its height has no unit; accepted: {ACCEPTED}"),
        (
            ["--at", "44.6,-123.1,9000 m", "--units", "metric"],
            "--at: the height '9000 m' is out of bounds; accepted: -450 to 5,500 m",
        ),
        (
            ["--south", "--at", "44.6,-123.1"],
            "--south: '44.6,-123.1' is not south of the equator;"
            " accepted: --at with a southern latitude, or --at alone",
        ),
    ],
)
def test_new_at_no_place(options: list[str], expected: str, tmp_path: Path, capsys: Output) -> None:
    assert fault(["new", str(tmp_path / "home.toml"), *options], capsys) == expected
    assert list(tmp_path.iterdir()) == []


def test_help_and_version_as_a_program() -> None:
    for option, expected in (("--help", "usage: water-budget"), ("--version", f"water-budget {__version__}")):
        command = [sys.executable, "-m", "budget", option]
        done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=60)
        assert (done.returncode, done.stderr) == (0, "")
        assert done.stdout.startswith(expected)


def answers_in(book: Workbook) -> dict[str, tuple[object, object]]:
    """The answers as expected and in the middle year, by the keys of the sheet's hidden column."""
    found = {}
    for key, _, _, expected, _, _, middle in book["Answers"].iter_rows(max_col=7, values_only=True):
        if isinstance(key, str) and key.startswith("answers:"):
            found[key.removeprefix("answers:")] = (expected, middle)
    return found


def named(book: Workbook, name: str) -> object:
    """The value of the cell of that name."""
    ((sheet, cell),) = book.defined_names[name].destinations
    return book[sheet][cell].value


def test_json_holds_the_numbers_of_the_cells(tmp_path: Path, capsys: Output) -> None:
    path = home(tmp_path)
    assert main(["build", str(path), "--json"]) == 0
    printed = capsys.readouterr()
    assert printed.err == ""
    told = json.loads(printed.out)
    book = load_workbook(path.with_suffix(".xlsx"), data_only=True)
    cells = answers_in(book)
    assert told["book"] == str(path.with_suffix(".xlsx")) and told["kept"] is None
    assert {answer["key"]: (answer["expected"], answer["middle"]) for answer in told["answers"]} == cells
    assert len(cells) > 20
    sentences = [named(book, name) for name in ("verdict", "carried_sentence", "memory_sentence")]
    assert told["sentences"] == sentences and all(sentences)
    assert f"Only {USABLE_YEARS} plan years count: figures for dry years are weak." in told["warnings"]
    named_first = [named(book, f"finding_{rank}") for rank in (1, 2, 3)]
    assert told["warnings"][:3] == [text for text in named_first if text]
    assert len(told["warnings"]) == named(book, "findings_count")


def test_text_output_and_the_copy_of_the_old_book(tmp_path: Path, capsys: Output) -> None:
    """A second build keeps the first book beside it, as it was, and says where."""
    path = home(tmp_path)
    book = path.with_suffix(".xlsx")
    assert main(["build", str(path)]) == 0
    printed = capsys.readouterr()
    assert printed.err == ""
    assert printed.out.splitlines()[-1] == f"The workbook is {book}"
    first = book.read_bytes()
    assert main(["build", str(path)]) == 0
    (kept,) = (other for other in tmp_path.glob("home *.xlsx"))
    assert f"The workbook that was there is kept as {kept}" in capsys.readouterr().out
    assert kept.read_bytes() == first
    assert book.read_bytes() == first, "the same input gives the same bytes"


# ---------------------------------------------------------------- books that say what it means


@dataclass(frozen=True)
class Built:
    """A site's book as `build` computes it, before it is written: its answers and its warnings."""

    computed: Computed
    answers: dict[str, tuple[Value, Value]]  # as expected and in the middle year
    warnings: list[str]

    def named(self, name: str) -> Value:
        """The value of the cell of that name."""
        return self.computed.model.value(name)

    def ledger(self, key: str) -> list[float]:
        """A column of the Ledger along the months."""
        return [number(value) for value in self.computed.column("ledger", key)]


def built(path: Path) -> Built:
    """A site that builds; no cell holds an error."""
    site = read_site(path)
    computed = compute_site(site)
    judge(computed.book, site)
    judge_computed(computed.model, site)
    assert [where for where, value in computed.values.items() if str(value).startswith("#")] == []
    answers = {answer.key: (answer.expected, answer.middle) for answer in read_answers(computed.book, computed.values)}
    return Built(computed, answers, read_warnings(computed.model))


def test_a_pump_slower_than_the_inflow(tmp_path: Path) -> None:
    """It never draws the well down: no runs and rests, and the yield is rate times window."""
    faster = ('water_enters = "bottom"', 'inflow = "50 gal/min/ft"\nwater_enters = "bottom"')
    shallow = ('summer_depth = "18.3 ft"', 'summer_depth = "14 ft"')
    path = home(tmp_path, faster, shallow, ('rate = "8 gal/min"', 'rate = "0.5 gal/min"\nwindow = "10 hours"'))
    book = built(path)
    assert set(book.ledger("draws_down")) == {0}
    assert set(book.ledger("runs_a_day")) == {0}
    assert book.ledger("daily_yield") == pytest.approx([0.5 * 60 * 10] * 84, rel=1e-12)
    assert book.answers["worst_runs"] == (0, 0)


def test_no_tank(tmp_path: Path) -> None:
    """Still told: how much storage the house needed, a little less than it is short of: a tank fills in between."""
    book = built(home(tmp_path, ('capacity = "6500 gal"', 'capacity = "0 gal"')))
    assert book.answers["can_fill"] == ("there is no tank", "there is no tank")
    assert book.answers["latest_start"] == ("there is no tank", "there is no tank")
    assert isinstance(book.answers["needed"][0], float) and book.answers["needed"][0] > 1000
    assert book.answers["needed"][0] <= book.answers["short_by"][0] < 1.01 * book.answers["needed"][0]
    assert "no tank" in str(book.named("verdict"))


def test_a_name_that_looks_like_a_formula_stays_text(tmp_path: Path, capsys: Output) -> None:
    place, zone = "=1+1", "=Answers!B5"
    path = home(tmp_path, ("Terrace house (invented)", place), ("Vegetable beds", zone))
    assert main(["build", str(path)]) == 0
    book = load_workbook(path.with_suffix(".xlsx"))
    ((sheet, cells),) = book.defined_names["zones_name"].destinations
    (_, (first_zone, *_), *_) = book[sheet][cells]  # below its heading
    ((sheet, cell),) = book.defined_names["site_name"].destinations
    for found, expected in ((book[sheet][cell], place), (first_zone, zone)):
        assert (found.value, found.data_type) == (expected, "s")


def test_a_house_that_uses_nothing(tmp_path: Path) -> None:
    changes = [("number = 3\n", "number = 0\n"), ('amount = "10 gal/day"', 'amount = "0 gal/day"')]
    path = home(tmp_path, *changes, ('use = "overnight guest"\nnumber = 1', 'use = "overnight guest"\nnumber = 0'))
    book = built(path)
    assert "The household uses no water: look at its lines on Household." in book.warnings
    assert book.answers["short_by"] == (0, 0)
    assert book.answers["runs_out"] == ("never in that year", "never in that year")


def test_a_dry_well(tmp_path: Path) -> None:
    """Nothing flows in: no yield in any month, and no tank would have been enough in any year."""
    path = home(tmp_path, ('water_enters = "bottom"', 'inflow = "0 gal/min/ft"\nwater_enters = "bottom"'))
    book = built(path)
    assert set(book.ledger("daily_yield")) == {0}
    assert book.named("years_beyond_tanks") == book.named("usable_years") == USABLE_YEARS
    assert book.answers["worst_yield"] == (0, 0)
    assert book.answers["needed"] == ("no tank is enough", "no tank is enough")
    assert book.answers["can_fill"] == ("the well cannot fill it", "the well cannot fill it")
    assert "no tank would have been enough" in str(book.named("verdict"))


def moved(days: Sequence[str], by: int = 0, colder: int = 0) -> list[str]:
    """The record some days later, and some °F colder."""
    found = []
    for line in days:
        day, rain, high, low = line.split(",")
        later = date.fromisoformat(day) + timedelta(days=by)
        found.append(f"{later},{rain},{float(high) - colder:g},{float(low) - colder:g}")
    return found


def test_a_polar_site(tmp_path: Path) -> None:
    """Frost from autumn to late spring, and no sun in midwinter: no evapotranspiration then, and no error."""
    path = home(tmp_path, ("latitude = 44.3", "latitude = 70"), days=moved(DAYS, colder=8))
    book = built(path)
    months, et = book.ledger("month"), book.ledger("reference_et")
    assert all(value == 0 for month, value in zip(months, et, strict=True) if month == 12)
    assert all(value > 0 for month, value in zip(months, et, strict=True) if month in (6, 7))
    assert book.named("tank_in_service") == "between the dates"
    assert 4 <= book.named("tank_fill_from_month") < book.named("tank_drain_by_month") <= 10
    assert max(book.ledger("snowpack")) > 0


def test_frost_in_summer_too(tmp_path: Path, capsys: Output) -> None:
    """Where no season is free of freezing spells no dates are proposed: they are asked for."""
    path = home(tmp_path, ("latitude = 44.3", "latitude = 70"), days=moved(DAYS, colder=30))
    before = with_old_book(path)
    assert fault(["build", str(path)], capsys) == (
        "tank.fill_from_month: no season is free of freezing spells of 3 days, so no dates can be proposed;"
        ' accepted: dates of your own, or in_service = "all year" for a tank that may freeze'
    )
    assert held(tmp_path) == before


@pytest.fixture(scope="module")
def southern(tmp_path_factory: pytest.TempPathFactory) -> Built:
    """The seasons half a year later."""
    change = ("latitude = 44.3", "latitude = -38")
    return built(home(tmp_path_factory.mktemp("southern"), change, days=moved(DAYS, by=182)))


def test_a_southern_site(southern: Built) -> None:
    """The tank serves over New Year, and the plan year begins in the southern spring."""
    book = southern
    assert book.named("tank_fill_from_month") > book.named("tank_drain_by_month")
    assert book.named("first_month") == book.named("tank_fill_from_month")
    months, share, et = (book.ledger(key) for key in ("month", "service_share", "reference_et"))
    assert {value for month, value in zip(months, share, strict=True) if month in (12, 1)} == {1}
    assert {value for month, value in zip(months, share, strict=True) if month == 7} == {0}
    assert min(value for month, value in zip(months, et, strict=True) if month == 1) > 2 * max(
        value for month, value in zip(months, et, strict=True) if month == 7
    )
    assert book.answers["worst_month"][0] in ("March", "April", "May")


def first_month_of_plan_years(computed: Computed) -> float:
    """Twelve months in a row, named by the calendar year of the first, over New Year too; returns the first month."""
    begins = computed.model.number("first_month")
    columns = [computed.column("ledger", key) for key in ("year", "month", "position", "plan_year", "in_record")]
    for year, month, position, plan_year, in_record in zip(*columns, strict=True):
        assert position == (month - begins) % 12 + 1
        if in_record:
            assert plan_year == (year if month >= begins else year - 1)
    return begins


def test_each_month_belongs_to_the_plan_year_in_which_it_lies(southern: Built, terrace: Computed) -> None:
    assert first_month_of_plan_years(terrace) <= 6
    assert first_month_of_plan_years(southern.computed) > 6


# ---------------------------------------------------------------- typed into the book itself


def day(text: str) -> int:
    """A date as the cells hold it."""
    return serial(date.fromisoformat(text))


# What is typed into free rows of the US example, whose record is of 1996 to 2025: table, cells by row from 0, and the
# words that stand beside these rows then. The well is 22 ft deep, and its recovery test has 18 readings.
Typed = dict[int, dict[str, float]]
TYPED_AT_FAULT: dict[str, tuple[str, Typed, dict[int, str]]] = {
    "minutes alone": ("recovery", {18: {"minutes": 300}}, {18: "minutes and depth go together"}),
    "a reading alone": ("recovery", {19: {"depth": 11}}, {19: "minutes and depth go together"}),
    "a deep reading": ("recovery", {18: {"minutes": 1, "depth": 22.1}}, {18: "deeper than the well"}),
    "a date alone": ("dips", {0: {"date": day("2015-08-01")}}, {0: "date and depth go together"}),
    "a depth alone": ("dips", {5: {"depth": 11}}, {5: "date and depth go together"}),
    "a deep dip": ("dips", {0: {"date": day("2015-08-01"), "depth": 22.1}}, {0: "deeper than the well"}),
    "an early dip": ("dips", {0: {"date": day("1995-12-31"), "depth": 11}}, {0: "before the record begins"}),
    "a late dip": ("dips", {23: {"date": day("2026-01-01"), "depth": 11}}, {23: "after the record ends"}),
    "dips on one day": (
        "dips",
        {row: {"date": day("2015-08-01"), "depth": 11 + row} for row in (1, 4)},
        dict.fromkeys((1, 4), "this date is there twice"),
    ),
    "loads of no year": ("remembered", {0: {"loads": 2}}, {0: "neither a year nor a date"}),
    "a garden of no year": ("remembered", {9: {"garden": 0.5}}, {9: "neither a year nor a date"}),
    "an early year": ("remembered", {0: {"year": 1990}}, {0: "the record does not hold this plan year"}),
    "a year begun": ("remembered", {0: {"year": 2025}}, {0: "the record does not hold this plan year"}),
    "a late date": ("remembered", {0: {"dry_on": day("2031-08-01")}}, {0: "the date is outside the record"}),
    "loads of no date": ("remembered", {0: {"year": 2015, "loads": 2}}, {0: "loads without a date"}),
    "another year": (
        "remembered",
        {0: {"year": 2014, "dry_on": day("2015-08-01")}},
        {0: "the date is not in this year"},
    ),
    "a year twice": (
        "remembered",
        {0: {"year": 2015}, 2: {"dry_on": day("2015-08-01")}},
        dict.fromkeys((0, 2), "this year is there twice"),
    ),
}
SOUND: dict[str, tuple[str, Typed]] = {
    "a reading": ("recovery", {18: {"minutes": 300, "depth": 11.5}}),
    "a reading at rest": ("recovery", {18: {"minutes": 1500, "depth": 9}}),
    "dips of the first and last day": (
        "dips",
        {0: {"date": day("1996-01-01"), "depth": 22}, 1: {"date": day("2025-12-31"), "depth": 3}},
    ),
    "years": (
        "remembered",
        {0: {"year": 2014, "loads": 0}, 1: {"year": 2015, "dry_on": day("2015-08-01"), "loads": 2}},
    ),
    # The plan year of 2014 ends in the spring of 2015: either number names it.
    "a winter date": ("remembered", {0: {"year": 2014, "dry_on": day("2015-01-15")}}),
    "a winter date of its calendar year": ("remembered", {0: {"year": 2015, "dry_on": day("2015-01-15")}}),
}
CHECKS = {
    "recovery": ("check_readings", "A reading of the recovery test on Well needs mending: see beside it."),
    "dips": ("check_dips", "A dip on Well does not count: see beside it."),
    "remembered": ("check_remembered", "A dry spell remembered on Well does not count: see beside it."),
}


def set_cells(model: Model, example: Computed, table: str, rows: Typed) -> None:
    """Type into cells of that table; nothing is computed yet."""
    for row, cells in rows.items():
        for key, value in cells.items():
            model.set_cell(example.cells(table, key)[row], value)


def faults_beside(model: Model, example: Computed, table: str) -> dict[int, str]:
    """The words in the table's column of faults, by row."""
    said = enumerate(model.cell(where) for where in example.cells(f"{table}_shown", "fault"))
    return {row: str(words) for row, words in said if words}


@pytest.fixture(scope="module")
def judges() -> Model:
    """The US example's formulas that judge readings, dips and dry spells, as built."""
    example, checks = computed_example("terrace_house"), [name for name, _ in CHECKS.values()]
    model = Model(example.book, [*((f"{name}_shown", "fault") for name in CHECKS), *checks, "check_recovery"])
    model.evaluate()
    assert [faults_beside(model, example, table) for table in CHECKS] == [{}] * 3
    assert [model.value(name) for name in (*checks, "check_recovery")] == [""] * 4
    return model


@pytest.fixture
def evidence(judges: Model) -> Model:
    """A copy of them, into whose cells a test may type."""
    return judges.copy()


@pytest.mark.parametrize("case", TYPED_AT_FAULT)
def test_what_cannot_be_right_is_told_beside_it_and_on_answers(case: str, terrace: Computed, evidence: Model) -> None:
    (table, rows, expected), model = TYPED_AT_FAULT[case], evidence
    set_cells(model, terrace, table, rows)
    model.evaluate()
    assert faults_beside(model, terrace, table) == expected
    told = {name: words for name, words in CHECKS.values() if model.value(name)}
    assert told == dict([CHECKS[table]])
    assert model.value(CHECKS[table][0]) == CHECKS[table][1]
    assert terrace.book.directory.names[CHECKS[table][0]][0] == "Checks"


@pytest.mark.parametrize("case", SOUND)
def test_what_may_be_right_is_let_pass(case: str, terrace: Computed, evidence: Model) -> None:
    (table, rows), model = SOUND[case], evidence
    set_cells(model, terrace, table, rows)
    model.evaluate()
    assert faults_beside(model, terrace, table) == {}
    assert model.value(CHECKS[table][0]) == ""


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        (lambda minutes, depth: 11 + minutes / 200, "the water falls, or stands, instead of rising"),
        (lambda minutes, depth: 15, "the water falls, or stands, instead of rising"),
        (lambda minutes, depth: depth if minutes <= 0 else 9, "fewer than two readings of the recovery count"),
    ],
    ids=["falls", "stands", "one reading counts"],
)
def test_a_test_without_recovery_is_told_on_answers(
    change: Callable[[float, float], float], fault: str, terrace: Computed, evidence: Model
) -> None:
    model = evidence
    read = zip(terrace.column("recovery", "minutes"), terrace.column("recovery", "depth"), strict=True)
    rows = {row: {"depth": change(*reading)} for row, reading in enumerate(read) if reading[0] is not None}
    set_cells(model, terrace, "recovery", rows)
    model.evaluate()
    assert model.value("check_recovery") == f"Well, recovery test: {fault}. It gives no inflow."


def test_faults_typed_into_the_book_leave_no_error_in_a_cell(terrace: Computed) -> None:
    """All of them at once: the rows that are faulty do not count, and the rest of the book is computed."""
    model = terrace.copy().model
    free = {"recovery": iter((18, 19)), "dips": iter(range(24)), "remembered": iter(range(10))}
    for table, rows, _ in TYPED_AT_FAULT.values():
        for cells, row in zip(rows.values(), free[table], strict=False):
            set_cells(model, terrace, table, {row: cells})
    model.evaluate()
    errors = [where for where, value in model.computed().items() if isinstance(value, str) and value[:1] == "#"]
    assert errors == []
    assert {words for _, words in CHECKS.values()} <= set(read_warnings(model))
    assert (model.value("dips_counted"), model.value("spells_counted")) == (0, 0)
