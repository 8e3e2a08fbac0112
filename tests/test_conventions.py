"""What the code keeps to: which module may import which, which words and which numbers may stand where."""

import ast
import importlib
import pkgutil
import re
import sys
from collections.abc import Iterator
from datetime import date
from graphlib import TopologicalSorter
from pathlib import Path
from typing import get_args

import pytest

import budget
import budget.water
from budget.build import lay_out
from budget.declarations import Column, Input, Result, Table
from budget.material import material
from budget.rain import read_record
from budget.site_file.reading import read_site
from budget.units import FACTORS, Unit, serial
from budget.water import well
from budget.workbook.book import Book
from budget.workbook.placement import Directory
from budget.workbook.sheets import read_first_sheet
from budget.workbook.styles import EVERY_YEAR, LOOKS, SET_ONCE, WORKING, Role
from budget.workbook.template import PORTABLE_FUNCTIONS
from budget.workbook.validation import LONGEST_NOTE
from tests.computed import EXAMPLES
from tests.invented_stations import TERRACE, fetched_record, invented

PACKAGE = Path(budget.__file__).parent
MODULES = {
    ".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts).removesuffix(".__init__"): path
    for path in sorted(PACKAGE.rglob("*.py"))
}
# One way only: what stands further left may import what stands further right.
ARROWS = """
    __main__ cli build refresh judge evaluation fit material stations rain
    workbook starter site_file references water declarations coordinates units safe_writing errors
""".split()
BESIDE = {"record": {"units", "references", "safe_writing", "errors"}}  # the rain record, known to few
KNOWS_RECORD = {"refresh", "material", "stations", "rain"}


def imports(path: Path, run_time_only: bool = False) -> Iterator[str]:
    """Every module that a file imports, inside functions too; `run_time_only`: not those for type checking."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    skipped: set[ast.AST] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.If) and isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING":
            skipped |= {inner for statement in node.body for inner in ast.walk(statement)}
    for node in ast.walk(tree):
        if run_time_only and node in skipped:
            continue
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path.name}: a relative import"
            for alias in node.names:
                inside = f"{node.module}.{alias.name}"
                yield inside if inside in MODULES else str(node.module)


def layer(module: str) -> str:
    """The part of the package that a module belongs to; empty for the package itself."""
    return module.split(".")[1] if "." in module else ""


def may_import(own: str, other: str) -> bool:
    if own == other or not other:
        return True
    if not own:
        return False
    if own in BESIDE:
        return other in BESIDE[own]
    if other in BESIDE:
        return own in KNOWS_RECORD
    return ARROWS.index(own) < ARROWS.index(other)


def test_imports_flow_one_way() -> None:
    back = [
        f"{module} imports {other}"
        for module, path in MODULES.items()
        for other in imports(path)
        if other.split(".")[0] == "budget" and not may_import(layer(module), layer(other))
    ]
    assert len(MODULES) > 80
    assert back == []


def test_every_part_of_the_package_has_its_place() -> None:
    assert {layer(module) for module in MODULES} - {""} <= {*ARROWS, *BESIDE}


def test_no_import_goes_round_in_a_circle() -> None:
    known = {module: {other for other in imports(path, True) if other in MODULES} for module, path in MODULES.items()}
    # A package's own list of names imports its modules; nothing inside goes back through it.
    known = {module: others - {module} for module, others in known.items()}
    assert len(list(TopologicalSorter(known).static_order())) == len(MODULES)


def users(library: str) -> set[str]:
    """The modules that import a library when they run."""
    return {
        module
        for module, path in MODULES.items()
        if any(other.split(".")[0] == library for other in imports(path, run_time_only=True))
    }


def test_each_library_has_its_place() -> None:
    assert users("ironcalc") == {"budget.workbook.engine"}
    assert {layer(module) for module in users("openpyxl")} == {"workbook"}
    assert {layer(module) for module in users("pandas")} == {"record"}
    assert users("pint") == {"budget.units"}
    assert users("meteostat") == {"budget.record.weather_library"}


def test_the_page_is_the_only_writer_of_cells() -> None:
    """A sheet module asks the page; it neither imports the library nor reaches for what the page writes into."""
    sheets = {module: path for module, path in MODULES.items() if module.startswith("budget.workbook.sheets.")}
    assert len(sheets) > 10
    assert users("openpyxl") & set(sheets) == set()
    past_the_page = [
        f"{module}, line {node.lineno}: .{node.attr}"
        for module, path in sheets.items()
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Attribute) and node.attr in {"sheet", "sheets", "workbook"}
    ]
    assert past_the_page == []


def test_rules_between_inputs_are_known_to_the_book_and_its_judge() -> None:
    """Whoever reads a site file, lays out or fits judges nothing."""
    knows = {module for module, path in MODULES.items() if any("budget.water.checks" in o for o in imports(path))}
    outside = {module for module in knows if not module.startswith("budget.water.checks")}
    sheets = {f"budget.workbook.sheets.{name}_sheet" for name in ("answers", "checks", "fill_and_drain")}
    assert outside == {"budget.judge", "budget.workbook.check_rows", *sheets}


def test_the_record_rests_on_little() -> None:
    found = {
        other.split(".")[0] for module, path in MODULES.items() if layer(module) == "record" for other in imports(path)
    }
    fetching = {"certifi", "meteostat", "platformdirs", "tqdm"}
    assert found - set(sys.stdlib_module_names) - {"budget"} <= {"numpy", "pandas", *fetching}


# Who else writes a file: where, and why that is nobody's file.
WRITES_ITSELF = {"budget.workbook.engine": "a copy of the book in a temporary folder, for the engine alone"}
WRITING = {"write_text", "write_bytes", "mkstemp", "NamedTemporaryFile"}
OF_SYSTEM = {"replace", "rename", "renames", "link", "symlink", "open", "fdopen", "truncate", "move"}
GIVEN_A_PATH = {"save", "to_csv", "to_excel", "to_pickle"}  # without one they give what they would write


def writes(call: ast.Call) -> bool:
    """Whether a call opens a file to write, or puts one somewhere."""
    name = call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")
    holder = call.func.value if isinstance(call.func, ast.Attribute) else None
    if isinstance(holder, ast.Name) and holder.id in ("os", "shutil"):
        return name in OF_SYSTEM or name.startswith("copy")
    if name == "open":
        built_in = holder is None or (isinstance(holder, ast.Name) and holder.id == "io")
        modes = [*call.args[int(built_in) :][:1], *(named.value for named in call.keywords if named.arg == "mode")]
        return any(not isinstance(mode, ast.Constant) or not {*"wax+"}.isdisjoint(str(mode.value)) for mode in modes)
    if name in ("replace", "rename") and holder is not None and len(call.args) == 1 and not call.keywords:
        return not isinstance(call.args[0], ast.Constant)  # of a path; a table's takes its new name or keywords
    return name in WRITING or (name in GIVEN_A_PATH and bool(call.args))


def writers(source: str) -> list[str]:
    """The calls in a module that write."""
    return [ast.unparse(node) for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Call) and writes(node)]


def test_what_is_written_goes_through_safe_writing() -> None:
    found = {module for module, path in MODULES.items() if writers(path.read_text(encoding="utf-8"))}
    assert found == {"budget.safe_writing", *WRITES_ITSELF}


@pytest.mark.parametrize(
    "call",
    [
        'open(path, "w")',
        'open(path, mode="ab")',
        "open(path, mode)",
        'path.open("x", encoding="utf-8")',
        'path.open(mode="r+b")',
        'path.write_text("")',
        "path.write_bytes(content)",
        "os.replace(part, path)",
        "os.open(path, flags)",
        "part.rename(path)",
        "part.replace(path)",
        "shutil.copy(path, copy)",
        "tempfile.mkstemp()",
        "rows.to_csv(path)",
        "workbook.save(path)",
    ],
)
def test_a_call_that_writes_is_seen(call: str) -> None:
    assert len(writers(call)) == 1


@pytest.mark.parametrize(
    "call",
    [
        'path.open(encoding="utf-8")',
        'path.open("rb")',
        "open(path)",
        'open(path, "r")',
        "text.replace(old, new)",
        "days.replace(month=1)",
        'frozen.rename("snow_share")',
        "rows.rename(columns=names)",
        "rows.to_csv(index=False)",
    ],
)
def test_a_call_that_reads_is_none_that_writes(call: str) -> None:
    assert writers(call) == []


def test_a_module_is_named_by_a_noun_of_its_own() -> None:
    assert {module for module in MODULES if re.search(r"util|helper|common|misc|tools", module)} == set()


Block = Input | Result | Column


def noun_lists() -> Iterator[tuple[str, list[Block]]]:
    """Every list of declarations of the nouns, by `noun.LIST`."""
    for found in pkgutil.iter_modules(budget.water.__path__):
        module = importlib.import_module(f"budget.water.{found.name}")
        for name, value in vars(module).items():
            if isinstance(value, list) and value and all(isinstance(block, Block) for block in value):
                yield f"{found.name}.{name}", value


NOUN_LISTS = dict(noun_lists())
BLOCKS: list[tuple[str, Block]] = [(where, block) for where, blocks in NOUN_LISTS.items() for block in blocks]


def key_of(block: Block) -> str:
    return block.name if isinstance(block, Result) else block.key


def templates(block: Block) -> list[str]:
    """The templates of a block: its formula, and what opens, closes or begins it."""
    if isinstance(block, Input):
        return []
    edges = (block.opening, block.closing, block.leftmost) if isinstance(block, Column) else ()
    return [template for template in (block.formula, *edges) if template]


def bare(template: str) -> str:
    """A template without its texts and references: words, functions, numbers and operators are left."""
    return re.sub(r'"[^"]*"|\{[^{}]*\}', " ", template)


@pytest.fixture(scope="module")
def book() -> Book:
    """The US example laid out, not computed."""
    site = read_site(next(path for path in EXAMPLES if path.stem == "terrace_house"))
    made, _ = lay_out(material(site, read_record(site)))
    return made


def tables_of(book: Book) -> list[Table]:
    return [placement.table for placement in book.directory.placements.values()]


def test_every_noun_is_seen() -> None:
    modules = {found.name for found in pkgutil.iter_modules(budget.water.__path__)}
    assert {where.split(".")[0] for where in NOUN_LISTS} == modules - {
        "nouns",
        "list_lines",
    }  # these serve several nouns
    assert len(BLOCKS) > 200


def test_every_block_is_told_in_words() -> None:
    untold = [
        f"{where} {key_of(block)}"
        for where, block in BLOCKS
        if not (block.title.strip() and re.search(r"[\w)°%][.?]$", block.meaning) and isinstance(block.unit, Unit))
    ]
    assert untold == []


def test_the_blocks_of_sheets_are_told_too(book: Book) -> None:
    declared = [*book.inputs, *book.results, *(column for table in tables_of(book) for column in table.columns)]
    assert len(declared) > len(BLOCKS)  # most columns stand in more than one table
    assert [key_of(block) for block in declared if not block.title or block.meaning[-1:] not in (".", "?")] == []


def test_keys_are_unique_and_no_cells() -> None:
    """A key stands once in its list; every name could be the name of a cell."""
    for where, blocks in NOUN_LISTS.items():
        keys = [key_of(block) for block in blocks]
        assert len(set(keys)) == len(keys), where
    for _, block in BLOCKS:
        assert re.fullmatch(r"[a-z][a-z0-9_]*", key_of(block)), key_of(block)
        Directory().define(key_of(block), "Sheet", 1, 1)
        assert not re.fullmatch(r"[a-z]{1,3}\d+", key_of(block)), key_of(block)


def test_named_cells_are_unique(book: Book) -> None:
    names = [given.name for given in book.inputs] + [result.name for result in book.results]
    names += [factor.name for factor in FACTORS]
    assert len(set(names)) == len(names) == len(book.directory.names)


DATED = [given for _, given in BLOCKS if isinstance(given, Input) and given.unit in (Unit.DATE, Unit.YEAR)]


@pytest.mark.parametrize("given", DATED, ids=key_of)
def test_cells_of_dates_and_years_accept_nothing_else(book: Book, given: Input) -> None:
    """The program refuses what is no date or no whole number, and its prompt names the bounds."""
    ((_, sheet, cells),) = (placed for placed in book.validations if placed[0] is given)
    (validation,) = (v for v in book.workbook[sheet].data_validations.dataValidation if str(v.sqref) == cells)
    low, high = str(given.low), str(given.high)
    dated = given.unit is Unit.DATE
    assert (validation.type, validation.operator) == ("date" if dated else "whole", "between")
    wanted = [serial(date.fromisoformat(day)) for day in (low, high)] if dated else [int(low), int(high)]
    assert [float(validation.formula1), float(validation.formula2)] == wanted
    told = f"Accepted: {'a date from ' if dated else ''}{low} to {high}."
    assert validation.prompt.endswith(told) and validation.error == told
    assert len(validation.prompt) < LONGEST_NOTE
    assert validation.showInputMessage and validation.showErrorMessage and validation.allow_blank


def test_dates_and_years_are_typed_somewhere() -> None:
    assert {given.key for given in DATED} == {"date", "dry_on", "year", "plan_number", "plan_as_of"}


def test_every_role_of_a_cell_has_its_look() -> None:
    assert set(get_args(Role)) == set(LOOKS)


def test_read_first_has_every_sheet_on_its_map(book: Book) -> None:
    visible = [sheet.title for sheet in book.workbook.worksheets if sheet.sheet_state == "visible"]
    assert [sheet for _, sheet, _ in read_first_sheet.MAP] == visible[1:]


def test_tabs_stand_together_by_use(book: Book) -> None:
    """One colour a group, each group in one piece, in the order of the map."""
    colours = [sheet.sheet_properties.tabColor.rgb[-6:] for sheet in book.workbook.worksheets]
    pieces = [colour for before, colour in zip(["", *colours], colours, strict=False) if colour != before]
    assert pieces == [EVERY_YEAR, SET_ONCE, WORKING]


def test_every_noun_is_used(book: Book) -> None:
    """A declared block stands somewhere in the book, or in one whose rain was fetched."""
    fetched, _ = lay_out(material(read_site(TERRACE), fetched_record(invented())))
    used = {given.name for given in book.inputs} | {result.name for result in book.results}
    used |= {column.key for table in (*tables_of(book), *tables_of(fetched)) for column in table.columns}
    assert {key_of(block) for _, block in BLOCKS} - used == set()


def test_words_and_functions_of_templates(book: Book) -> None:
    """Functions that every program computes alike; other words in lower case, and known."""
    known = set(book.directory.names) | {word for table in tables_of(book) for word in _given(table)}
    for where, block in BLOCKS:
        for template in templates(block):
            place = f"{where} {key_of(block)}"
            for word, call in re.findall(
                r"([A-Za-z_][\w.]*)\s*(\(?)", re.sub(r"\d+\.?\d*(E-?\d+)?", " ", bare(template))
            ):
                if call:
                    assert word in PORTABLE_FUNCTIONS, f"{place}: {word}"
                else:
                    assert word == word.lower(), f"{place}: {word}"
    words = {
        word for _, block in BLOCKS for t in templates(block) for word in re.findall(r"\b[a-z][a-z0-9_]*\b", bare(t))
    }
    assert len(words) > 100
    assert words - known == set()


def _given(table: Table) -> set[str]:
    mappings = [table.given] if isinstance(table.given, dict) else list(table.given)
    return {word for mapping in mappings for word in mapping}


# Numbers that neither source nor meaning print, by key: counts of the calendar, and figures told elsewhere. 0 and 1
# need no word, nor do the digits that a figure is rounded to.
LOOSE_NUMBERS: dict[str, tuple[set[str], str]] = {
    "required_level": ({"12"}, "the plan year's last month"),
    "required_uncut": ({"12"}, "the plan year's last month"),
    "next_month": ({"12"}, "months of a year"),
    "position": ({"12"}, "months of a year"),
    "first_month": ({"12"}, "months of a year"),
    "spell_row": ({"12"}, "months of a whole plan year"),
    "rain_explains_well": ({"12"}, "all months of a year"),
    "drawn_day": ({"2001", "15"}, "a year of 365 days for the chart, and the middle of a month"),
    "plan_number_nearest": ({"6"}, "half a year"),
    "hours_of_rest": ({"60"}, "minutes of an hour"),
    "dry_boundary": ({"12"}, "the plan year's last month"),
    "day_of_year": ({"2001", "2000", "12", "31"}, "days of a year of 365 days"),
    "season_start": ({"6", "12"}, "half a year from north to south"),
    "watered_area": ({"4", "2"}, "the area of a circle"),
    "runs_a_day": ({"24", "60"}, "hours and minutes of a day"),
    "cycle_yield": ({"60"}, "minutes of an hour"),
    "yield_slope": ({"24", "60"}, "hours and minutes of a day"),
    "yield_middle": ({"60"}, "minutes of an hour"),
    "yield_end": ({"60"}, "minutes of an hour"),
    "window_take": ({"60"}, "minutes of an hour"),
    "spared": ({"24", "60"}, "hours and minutes of a day"),
    "month_required": ({"12"}, "months of a year"),
    "usable": ({"12", "2"}, "two filled months make a year unsure: our own rule, told in its meaning"),
    "planning_rank": ({"5", "2", "10"}, "1 in 5, the middle, 1 in 10"),
    "middle_row": ({"2"}, "the middle"),
    "recovery_fit": ({"2"}, "through two points a line always goes"),
    "recovery_fault": ({"2"}, "two points make a line"),
    "depth_error": ({"12"}, "months of a year"),
    "found_fit_soil": ({"2"}, "two spreads: our own rule, told in its meaning"),
    "found_memory": ({"3", "2"}, "three years, and half of them: our own rule, told in its meaning"),
    "found_inflow_differs": ({"3"}, "a third: our own rule, told in its meaning"),
    "found_recovery_line": ({"3"}, "three readings: our own rule, told in its meaning"),
    "share_less": ({"0.05"}, "the smallest share that Well accepts; a test holds them together"),
    "found_years": ({"10"}, "ten years: our own rule, told in its meaning"),
    "found_odds": ({"9", "4"}, "the years that 1 in 10 and 1 in 5 need by m/(n + 1)"),
    "found_fill_date": ({"2001"}, "a year without a 29th of February"),
    "found_drain_date": ({"2001"}, "a year without a 29th of February"),
    "found_boundary": ({"5"}, "one year of five: our own rule, told in its sentence"),
    **dict.fromkeys(
        "filled_months rain_total lowest_yield storage storage_garden first_required first_uncut well_fills fillable "
        "crosses house_short house_short_drained garden_share pond_dry typed_row".split(),
        ({"12", "11"}, "a year's months, and the row of its last"),
    ),
}


def loose_numbers(block: Block) -> set[str]:
    """The numbers of a block's templates that are neither 0 nor 1 nor the digits of a rounding."""
    found: set[str] = set()
    for template in templates(block):
        found |= set(re.findall(r"(?<![\w.])\d+\.?\d*", _without_rounding(bare(template))))
    return found - {"0", "1"}


def _without_rounding(text: str) -> str:
    """The text without the number of digits of each ROUND."""
    while match := re.search(r"\bROUND\(", text):
        depth, at = 1, match.end()
        while depth:
            depth += {"(": 1, ")": -1}.get(text[at], 0)
            at += 1
        inner = text[match.end() : at - 1]
        value, _, digits = inner.rpartition(",")
        assert digits.strip() in {"4", "6", "9"}, inner
        text = f"{text[: match.start()]}({value}){text[at:]}"
    return text


# What names a place in a source and is no number of an equation: FAO-56, eq. 2-85, (1955), Table 1.
CITATION = re.compile(
    r"\(\d{4}\)|\b(FAO|ASCE|NEH|AH|MIL-HDBK)[ -]\d[\d-]*"
    r"|\b(eqs?\.?|ch\.|table|section|part|figure|chapter|bulletin|handbook|atmosphere)\s+\d[\d.-]*"
    r"((, | and | to )\d[\d.-]*)*",
    re.IGNORECASE,
)
SUPERSCRIPTS = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹", "0123456789")


def numbers_in(words: str) -> set[float]:
    """The numbers that a source or a meaning prints, powers too; those of citations left out."""
    equations = re.sub(
        r"[⁰¹²³⁴-⁹]+", lambda power: f" {power.group().translate(SUPERSCRIPTS)} ", CITATION.sub(" ", words)
    )
    return {float(number) for number in re.findall(r"(?<![\w.])\d+(?:\.\d+)?", equations)}


def unprinted(block: Block) -> set[str]:
    """The numbers of a block's templates that neither its source nor its meaning prints."""
    if isinstance(block, Input):
        return set()
    printed = numbers_in(block.source) | numbers_in(block.meaning)
    return {number for number in loose_numbers(block) if float(number) not in printed}


@pytest.mark.parametrize(
    ("words", "numbers"),
    [
        ("FAO-56 eq. 52", set()),
        ("FAO-56 eqs 82 and 83, ch. 6", set()),
        ("NEH 623 ch. 2, eq. 2-85; MIL-HDBK-1164 Table 1", set()),
        ("Hvorslev (1951), WES Bulletin 36; ASCE 7-16 section 29.4; ASCE 7-10 figure 29.5-1", set()),
        ("FAO-56 eq. 23: 1 + 0.033 cos(2π J/365)", {1, 0.033, 2, 365}),
        ("geometry: π/4 × bore²; (1 − 0.0065 h/288.15)^5.2559", {4, 2, 1, 0.0065, 288.15, 5.2559}),
    ],
)
def test_a_citation_excuses_no_number(words: str, numbers: set[float]) -> None:
    assert numbers_in(words) == numbers


def test_numbers_stand_beside_their_source() -> None:
    """A number in a formula is printed by the block's source or meaning, or is one of the few listed with a reason."""
    loose = {}
    for where, block in BLOCKS:
        allowed, _ = LOOSE_NUMBERS.get(key_of(block), (set(), ""))
        if left := unprinted(block) - allowed:
            loose[f"{where} {key_of(block)}"] = left
    assert loose == {}


def test_the_list_of_loose_numbers_is_no_longer_than_needed() -> None:
    """No number is excused that does not stand in a formula any more, or that its source prints by now."""
    excused = {key: numbers for key, (numbers, _) in LOOSE_NUMBERS.items()}
    needed: dict[str, set[str]] = {key: set() for key in excused}
    for _, block in BLOCKS:
        if key_of(block) in needed:
            needed[key_of(block)] |= unprinted(block)
    unneeded = {key: excused[key] - numbers for key, numbers in needed.items()}
    assert len(needed) > 30
    assert {key for key, numbers in needed.items() if not numbers} == set()
    assert {key: numbers for key, numbers in unneeded.items() if numbers - {"12", "11"}} == {}


def test_the_share_with_less_water_is_one_that_its_input_accepts() -> None:
    """The bounds of the input stand once more in the formulas of less and more water."""
    shares = {key_of(block): block for block in (*well.INPUTS, *well.RESULTS)}
    given, less, more = (shares[key] for key in ("well_sustained_share", "share_less", "share_more"))
    assert isinstance(given, Input) and isinstance(less, Result) and isinstance(more, Result)
    assert less.formula.startswith(f"MAX({given.low}, ") and more.formula.startswith(f"MIN({given.high}, ")


def test_numbers_given_by_default_have_a_source_or_bounds() -> None:
    unbacked = [
        f"{where} {block.key}"
        for where, block in BLOCKS
        if isinstance(block, Input)
        and block.default
        and block.unit is not Unit.TEXT
        and not (block.source or (block.low is not None and block.high is not None))
    ]
    assert unbacked == []


def test_every_source_stands_on_the_sources_sheet(book: Book) -> None:
    printed = {cell.value for row in book.workbook["Sources"].iter_rows() for cell in row}
    sources = {block.source for _, block in BLOCKS if block.source}
    assert len(sources) >= 25
    assert sources - printed == set()
