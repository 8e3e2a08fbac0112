"""What a spreadsheet program refuses, repairs or misreads, and no schema forbids: one rule for each such fault.

`faults(book)` tells every one. The limits are Excel's, recalled; "measured" stands where a program showed the fault.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from openpyxl import Workbook
from openpyxl.cell import Cell
from openpyxl.utils import FORMULAE, column_index_from_string, get_column_letter, range_boundaries
from openpyxl.worksheet.worksheet import Worksheet

Found = Iterator[tuple[str, str]]  # where, what

LONGEST_LIST = 255
LONGEST_MESSAGE = 255
LONGEST_MESSAGE_TITLE = 32
LONGEST_FORMULA = 8192
LONGEST_TEXT = 32767
LONGEST_SHEET_NAME = 31
LONGEST_HEADER = 255
LAST_ROW, LAST_COLUMN = 1_048_576, 16_384
# A small laptop shows about 25 rows and 120 characters; most of them must be left to scroll, more so where a page is
# enlarged for weak eyes.
MOST_FROZEN_ROWS, MOST_FROZEN_COLUMNS = 3, 1  # as far as they are seen
HIGHEST_FREEZE = 250.0  # [points]
WIDEST_FREEZE = 75.0  # [characters]
USUAL_HEIGHT, USUAL_WIDTH = 15.0, 13.0
SHEET_OF_PAPER = 40  # rows
MOST_TITLE_ROWS = 8

_TEXT = re.compile(r'"(?:[^"]|"")*"')
_QUOTED_SHEET = re.compile(r"'((?:[^']|'')+)'!")
_SHEET = re.compile(r"(?:'((?:[^']|'')+)'|(?<![#\w])([A-Za-z_][\w.]*))!")
_AREA = re.compile(r"\$?[A-Z]{1,3}\$?\d+(?::\$?[A-Z]{1,3}\$?\d+)?")
_FUNCTION = re.compile(r"([A-Za-z_][\w.]*)\(")
# A row's number, or a quoted sheet's name, which may hold what looks like one.
_ROW = re.compile(r"('(?:[^']|'')+'!)|(?<=[A-Z$])\d+\b(?![(!])")
_LINK = re.compile(r'HYPERLINK\(\s*"((?:[^"]|"")*)"')


@dataclass(frozen=True)
class Formula:
    """A formula as it stands in the file, without the equals sign; `bare`: also without texts."""

    where: str
    text: str
    bare: str


@dataclass(frozen=True)
class Contents:
    """A book, and its formulas taken out once: of those that differ in row numbers alone, the first.

    `of_rules`: those of validations and conditional formats.
    """

    book: Workbook
    of_cells: Sequence[Formula]
    of_rules: Sequence[Formula]

    @property
    def formulas(self) -> Iterator[Formula]:
        yield from self.of_cells
        yield from self.of_rules


def faults(book: Workbook) -> list[str]:
    """Every fault of a book, as `rule: where: what`."""
    kinds: dict[str, Formula] = {}
    for where, cell in cells(book):
        if cell.data_type == "f":
            text = str(cell.value)[1:]
            kind = text if "HYPERLINK" in text else _ROW.sub(r"\1", text)
            if kind not in kinds:
                kinds[kind] = Formula(where, text, without_texts(text))
    contents = Contents(book, list(kinds.values()), list(rule_formulas(book)))
    return [f"{rule.__name__}: {where}: {what}" for rule in RULES for where, what in rule(contents)]


def cells(book: Workbook) -> Iterator[tuple[str, Cell]]:
    """Every written cell with its place; asking a sheet for its rows would make the cells between."""
    for sheet in book.worksheets:
        for (row, column), cell in sheet._cells.items():
            if cell.value is not None:
                yield f"{sheet.title}!{get_column_letter(column)}{row}", cell


def rule_formulas(book: Workbook) -> Iterator[Formula]:
    for sheet in book.worksheets:
        for validation in sheet.data_validations.dataValidation:
            for text in (validation.formula1, validation.formula2):
                if text is not None:
                    yield Formula(f"{sheet.title}!{validation.sqref}", str(text), without_texts(str(text)))
        for formatted in sheet.conditional_formatting:
            for text in (text for rule in formatted.rules for text in rule.formula):
                yield Formula(f"{sheet.title}!{formatted.sqref}", text, without_texts(text))


def without_texts(formula: str) -> str:
    return _TEXT.sub('""', formula)


def used(sheet: Worksheet) -> tuple[int, int]:
    """The last row and column that hold or dress a cell."""
    return sheet.max_row, sheet.max_column


def outside(book: Workbook, reference: str) -> str | None:
    """What is wrong with a reference to one area: its sheet is missing, or it leaves the used cells."""
    name, _, area = reference.rpartition("!")
    title = name.strip("'").replace("''", "'")
    if title not in book.sheetnames:
        return f"no sheet '{title}'"
    if not _AREA.fullmatch(area):
        return f"'{area}' is no area"
    _, _, right, bottom = range_boundaries(area)
    last_row, last_column = used(book[title])
    return None if bottom <= last_row and right <= last_column else f"{area} leaves the used cells"


def list_literal(contents: Contents) -> Found:
    """A list that is typed into a validation, longer than Excel reads."""
    for formula in contents.of_rules:
        words = formula.text.strip('"')
        if formula.text.startswith('"') and len(words) > LONGEST_LIST:
            yield formula.where, f"a list of {len(words)} characters"


def validation_message(contents: Contents) -> Found:
    """Prompts and errors of validations, and their titles."""
    for sheet in contents.book.worksheets:
        for validation in sheet.data_validations.dataValidation:
            for text, longest in (
                (validation.prompt, LONGEST_MESSAGE),
                (validation.error, LONGEST_MESSAGE),
                (validation.promptTitle, LONGEST_MESSAGE_TITLE),
                (validation.errorTitle, LONGEST_MESSAGE_TITLE),
            ):
                if len(text or "") > longest:
                    yield f"{sheet.title}!{validation.sqref}", f"'{text[:20]}…' is longer than {longest}"


def looks_like_a_cell(name: str) -> bool:
    """Whether a name reads as an address in the A1 or the R1C1 manner, or is a word kept for something else."""
    if re.fullmatch(r"r\d*(c\d*)?|c\d*|true|false", name, re.IGNORECASE):
        return True
    parts = re.fullmatch(r"([a-z]{1,3})(\d+)", name, re.IGNORECASE)
    return bool(parts) and column_index_from_string(parts[1]) <= LAST_COLUMN and 0 < int(parts[2]) <= LAST_ROW


def name_refused(contents: Contents) -> Found:
    """Defined names that look like a cell, hold a blank or a sign, or differ in the case of letters alone."""
    seen: dict[str, str] = {}
    for name in contents.book.defined_names:
        if looks_like_a_cell(name):
            yield name, "looks like a cell or a keyword"
        if not re.fullmatch(r"[^\W\d][\w.]{0,254}", name):
            yield name, "is no name"
        if name.lower() in seen:
            yield name, f"is {seen[name.lower()]} in other letters"
        seen[name.lower()] = name


def name_to_nothing(contents: Contents) -> Found:
    """Defined names that are no area of used cells."""
    scopes = [
        ("", contents.book.defined_names),
        *((f"{sheet.title}!", sheet.defined_names) for sheet in contents.book.worksheets),
    ]
    for scope, names in scopes:
        for name, defined in names.items():
            fault = outside(contents.book, defined.attr_text or "")
            if fault:
                yield f"{scope}{name}", fault


def formula_syntax(contents: Contents) -> Found:
    """Brackets and quotes that do not pair, separators of another language, references that were lost."""
    for formula in contents.formulas:
        plain = _QUOTED_SHEET.sub("Sheet!", formula.bare).replace('""', "")
        if '"' in plain or "'" in plain:
            yield formula.where, "a quote is left open"
        depth = lowest = 0
        for sign in re.findall(r"[()]", plain):
            depth += 1 if sign == "(" else -1
            lowest = min(lowest, depth)
        if depth or lowest < 0:
            yield formula.where, "brackets do not pair"
        if ";" in re.sub(r"\{[^{}]*\}", "", plain):
            yield formula.where, "';' between arguments"
        if "#REF!" in plain:
            yield formula.where, "a lost reference"


def formula_length(contents: Contents) -> Found:
    for where, cell in cells(contents.book):
        if cell.data_type == "f" and len(str(cell.value)) > LONGEST_FORMULA:
            yield where, f"{len(str(cell.value))} characters"


def formula_equals_sign(contents: Contents) -> Found:
    """The file holds formulas without their equals sign; openpyxl takes it off in cells alone."""
    for formula in contents.formulas:
        if formula.text.startswith("="):
            yield formula.where, "an equals sign in front"


def function_prefix(contents: Contents) -> Found:
    """Functions younger than the file format, without the prefix that they need in a file (measured: LibreOffice)."""
    for formula in contents.formulas:
        for function in _FUNCTION.findall(formula.bare):
            if function not in FORMULAE and not function.startswith("_xlfn."):
                yield formula.where, f"{function} lacks its prefix"


def truth_value(contents: Contents) -> Found:
    """TRUE and FALSE: LibreOffice counts such cells as numbers and saves them as formulas (measured)."""
    for where, cell in cells(contents.book):
        if isinstance(cell.value, bool):
            yield where, f"the constant {cell.value}"
    for formula in contents.formulas:
        if re.search(r"\b(TRUE|FALSE)\b", _QUOTED_SHEET.sub("", formula.bare), re.IGNORECASE):
            yield formula.where, "a truth value"


def text_format(contents: Contents) -> Found:
    """TEXT with more than zeros and a percent sign: points, commas and letters are read in the reader's language.

    Measured: TEXT(1.5, "0.0") is "02" in a German LibreOffice, where the point parts thousands.
    """
    for formula in contents.of_cells:
        for found in text_formats(formula.text):
            if not re.fullmatch('"0+%?"', found):
                yield formula.where, f"TEXT with {found}"


def text_formats(formula: str) -> Iterator[str]:
    """The last argument of every TEXT."""
    masked = _TEXT.sub(lambda text: "_" * len(text[0]), formula)
    for call in re.finditer(r"\bTEXT\(", masked):
        depth, at, comma = 1, call.end(), call.end()
        while depth and at < len(masked):
            depth += {"(": 1, ")": -1}.get(masked[at], 0)
            if depth == 1 and masked[at] == ",":
                comma = at + 1
            at += 1
        yield formula[comma : at - 1].strip()


def missing_sheet(contents: Contents) -> Found:
    """Formulas that read a sheet which is not there."""
    for formula in contents.formulas:
        for quoted, plain in set(_SHEET.findall(formula.bare)):
            title = quoted.replace("''", "'") or plain
            if title not in contents.book.sheetnames:
                yield formula.where, f"no sheet '{title}'"


def link_to_nothing(contents: Contents) -> Found:
    """Links inside the book that lead to no used cell."""
    for where, target in links(contents):
        if fault := outside(contents.book, target):
            yield where, fault


def links(contents: Contents) -> Found:
    """Every link inside the book: where it stands, and what it leads to."""
    for formula in contents.of_cells:
        for target in _LINK.findall(formula.text):
            if target.startswith("#"):
                yield formula.where, target[1:]
    for where, cell in cells(contents.book):
        if link := cell.hyperlink:
            target = link.location or (link.target or "").partition("#")[2]
            if target:
                yield where, target


def link_out_of_sight(contents: Contents) -> Found:
    """Links to a cell that is hidden, or that frozen rows and columns keep in their place, a sheet's title excepted."""
    for where, target in links(contents):
        if outside(contents.book, target):
            continue
        title, _, cell = target.rpartition("!")
        sheet = contents.book[title.removeprefix("'").removesuffix("'").replace("''", "'")]
        column, row, _, _ = range_boundaries(cell)
        if sheet.sheet_state != "visible" or not height(sheet, row) or not width(sheet, column):
            yield where, f"{target} is hidden"
        elif is_frozen(sheet, row, column) and not is_title(sheet, row, column):
            yield where, f"{target} is frozen"


def is_frozen(sheet: Worksheet, row: int, column: int) -> bool:
    if not sheet.freeze_panes:
        return False
    left, top, _, _ = range_boundaries(sheet.freeze_panes)
    return row < top or column < left


def is_title(sheet: Worksheet, row: int, column: int) -> bool:
    """Whether a cell is the first that is seen of a sheet, and holds something."""
    first = row == 1 and not any(width(sheet, before) for before in range(1, column))
    return first and sheet.cell(row, column).value is not None


def title_out_of_sight(contents: Contents) -> Found:
    """Sheets that begin with nothing, and those on which a reader is put on a hidden cell."""
    for sheet in contents.book.worksheets:
        if sheet.sheet_state != "visible":
            continue
        first = next(column for column in range(1, sheet.max_column + 2) if width(sheet, column))
        if not height(sheet, 1) or not is_title(sheet, 1, first):
            yield sheet.title, "has no title in its first cell"
        column, row, _, _ = range_boundaries(sheet.sheet_view.selection[-1].activeCell)
        if not height(sheet, row) or not width(sheet, column):
            yield sheet.title, f"opens at the hidden cell {get_column_letter(column)}{row}"


def merge_overlap(contents: Contents) -> Found:
    for sheet in contents.book.worksheets:
        for one, other in combinations(sheet.merged_cells.ranges, 2):
            if not one.isdisjoint(other):
                yield f"{sheet.title}!{one}", f"overlaps {other}"


def table_header(contents: Contents) -> Found:
    """Headings of tables that are not text, stand twice, are too long, or differ from the cells above the rows."""
    for sheet in contents.book.worksheets:
        for table in sheet.tables.values():
            left, top, right, _ = range_boundaries(table.ref)
            headings = [sheet.cell(top, column).value for column in range(left, right + 1)]
            told = [column.name for column in table.tableColumns] or headings
            where = f"{sheet.title}!{table.ref}"
            if not all(isinstance(heading, str) and len(heading) <= LONGEST_HEADER for heading in headings):
                yield where, "a heading that is no short text"
            if len({str(heading).lower() for heading in headings}) < len(headings):
                yield where, "a heading stands twice"
            if told != headings:
                yield where, "headings differ from the cells"


def text_length(contents: Contents) -> Found:
    for where, cell in cells(contents.book):
        if cell.data_type != "f" and isinstance(cell.value, str) and len(cell.value) > LONGEST_TEXT:
            yield where, f"a text of {len(cell.value)} characters"


def chart_reference(contents: Contents) -> Found:
    """Charts whose series read a sheet that is not there, or cells that nobody wrote."""
    for sheet in contents.book.worksheets:
        for number, chart in enumerate(sheet._charts, 1):
            for part in chart._charts:
                for reference in (found for series in part.series for found in series_references(series)):
                    if fault := outside(contents.book, reference):
                        yield f"{sheet.title}, chart {number}", fault


def series_references(series: object) -> Iterator[str]:
    """What the values, categories and the title of a series read."""
    for source in ("val", "cat", "xVal", "yVal", "zVal", "tx"):
        holder = getattr(series, source, None)
        for kind in ("numRef", "strRef", "multiLvlStrRef"):
            reference = getattr(holder, kind, None)
            if reference is not None:
                yield reference.f


def print_area(contents: Contents) -> Found:
    """Areas that begin outside the used cells, are wider than they, or end with an empty sheet of paper."""
    for sheet in contents.book.worksheets:
        last_row, last_column = used(sheet)
        for area in re.split(r",(?=')", sheet.print_area) if sheet.print_area else ():
            left, top, right, bottom = range_boundaries(area.rpartition("!")[2])
            if top > last_row or left > last_column or right > last_column or bottom > last_row + SHEET_OF_PAPER:
                yield f"{sheet.title}!{area}", f"used to {get_column_letter(last_column)}{last_row}"


def print_titles(contents: Contents) -> Found:
    """Rows repeated on every sheet of paper: used ones, and few."""
    for sheet in contents.book.worksheets:
        if sheet.print_title_rows:
            first, last = (int(row) for row in re.findall(r"\d+", sheet.print_title_rows))
            if not 0 <= last - first < MOST_TITLE_ROWS or last > sheet.max_row:
                yield f"{sheet.title}!{sheet.print_title_rows}", "too many rows, or unused ones"


def freeze(contents: Contents) -> Found:
    """Frozen rows and columns that leave no room to scroll the rest, or with nothing left to scroll."""
    for sheet in contents.book.worksheets:
        if not sheet.freeze_panes:
            continue
        left, top, _, _ = range_boundaries(sheet.freeze_panes)
        last_row, last_column = used(sheet)
        high = sum(height(sheet, row) for row in range(1, top))
        wide = sum(width(sheet, column) for column in range(1, left))
        where = f"{sheet.title}!{sheet.freeze_panes}"
        if top > last_row or left > last_column:
            yield where, "everything is frozen"
        rows = sum(height(sheet, row) > 0 for row in range(1, top))
        columns = sum(width(sheet, column) > 0 for column in range(1, left))
        if rows > MOST_FROZEN_ROWS or columns > MOST_FROZEN_COLUMNS:
            yield where, f"{rows} rows and {columns} columns are frozen"
        if high > HIGHEST_FREEZE or wide > WIDEST_FREEZE:
            yield where, f"{high:.0f} points and {wide:.0f} characters are frozen"


def height(sheet: Worksheet, row: int) -> float:
    known = sheet.row_dimensions.get(row)
    if known is None:
        return USUAL_HEIGHT
    return 0 if known.hidden else known.height or USUAL_HEIGHT


def width(sheet: Worksheet, column: int) -> float:
    known = sheet.column_dimensions.get(get_column_letter(column))
    if known is None:
        return sheet.sheet_format.defaultColWidth or USUAL_WIDTH
    return 0 if known.hidden else known.width


def sheet_name(contents: Contents) -> Found:
    """Names that are too long, kept for something else, or hold what a quoted name must double (Gnumeric)."""
    for title in contents.book.sheetnames:
        if len(title) > LONGEST_SHEET_NAME:
            yield title, f"longer than {LONGEST_SHEET_NAME}"
        if re.search(r"['\[\]:*?/\\]", title) or title.lower() == "history":
            yield title, "is refused"


RULES: tuple[Callable[[Contents], Found], ...] = (
    list_literal,
    validation_message,
    name_refused,
    name_to_nothing,
    formula_syntax,
    formula_length,
    formula_equals_sign,
    function_prefix,
    truth_value,
    text_format,
    missing_sheet,
    link_to_nothing,
    link_out_of_sight,
    title_out_of_sight,
    merge_overlap,
    table_header,
    text_length,
    chart_reference,
    print_area,
    print_titles,
    freeze,
    sheet_name,
)
