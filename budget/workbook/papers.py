"""The book's own papers: what it must hold to be judged, and built again, without anything beside it.

On a hidden sheet stand the version and the date of the build, the site file word for word, where the record came from
with its digest, and a row for each cell that a person types into: its name, its value as the build left it, where that
came from, and what stands there now. Lists are read by position, as the model reads them.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from urllib.parse import quote, unquote

from openpyxl.utils import get_column_letter

from budget import __version__
from budget.declarations import Column, Input, Result, Rows, Table
from budget.units import Unit
from budget.water import record
from budget.water.nouns import LISTS
from budget.workbook.book import AsBuilt, Book, CellKey
from budget.workbook.cells import Value
from budget.workbook.finish import PRODUCT
from budget.workbook.material import LEFT_EMPTY, Material, Origin, Provenance, Series
from budget.workbook.placement import Placement, quoted

SHEET = "Papers"
FORMAT = 1  # to be raised when the papers are written in another way
LONGEST_PIECE = 8_000  # characters; a cell holds 32,767, but programs lay out all its lines
LOOKED_BACK = 100  # characters before the end of a piece among which a better end is looked for
DIGITS = 7  # of the record's figures in its digest: more than any gauge reads, fewer than programs keep
FIRST_CHANGES = 5  # changed inputs that Read first names

# What programs change in a cell: carriage returns, a byte order mark, what XML has no room for, and what they read as
# the escape of a character.
_CHANGED_BY_PROGRAMS = re.compile("[\r\ufeff\ufffe\uffff]|_x[0-9A-Fa-f]{4}_")
AS_IT_IS, ENCODED = "as it is", "percent-encoded"

CANONICAL = (
    f"SHA-256 of a text in UTF-8, a line for each month of the Ledger, the two warm-up years too, with a line feed"
    f" behind each: the figures of the record's columns in their order, {DIGITS} significant digits, as '%.{DIGITS}g'"
    f" writes them, a blank between: {', '.join(column.key for column in record.DATA)}"
)

ROWS = [
    Column("input_name", "Name", Unit.TEXT, "Of the cell, or the key of the column."),
    Column("input_table", "Table", Unit.TEXT, "Where it stands in one: its name."),
    Column("input_item", "Item", Unit.COUNT, "The calendar month, in a table that repeats its columns for each."),
    Column("input_row", "Row", Unit.COUNT, "Of the table, counted from 1."),
    Column("input_title", "What", Unit.TEXT, "In words."),
    Column("input_place", "Place", Unit.TEXT, "Sheet and cell when it was built."),
    Column("input_origin", "Came from", Unit.TEXT, "Given, assumed, found from the record, fitted, or left empty."),
    Column("input_built", "As built", Unit.TEXT, "What the build put there."),
    Column("input_now", "Now", Unit.TEXT, "What stands there."),
    Column(
        "input_changed",
        "Changed",
        Unit.FLAG,
        "1 where it is another number by more than 1E-9 of it (of 1 where it is smaller), another text, or no longer of"
        " that kind.",
        "IFERROR(IF(ISNUMBER({input_now}), IF(ISNUMBER({input_built}),"
        " IF(ABS({input_now} - {input_built})>0.000000001 * MAX(1, ABS({input_built})), 1, 0), 1),"
        ' IF(ISNUMBER({input_built}), 1, IF(EXACT({input_now}, {input_built} & ""), 0, 1))), 1)',
    ),
    Column(
        "changed_so_far",
        "Changed so far",
        Unit.COUNT,
        "Changed cells down to this row.",
        "{changed_so_far.before} + {input_changed}",
        opening="0",
    ),
]

COUNTED = Result(
    "inputs_changed",
    "Cells changed since the build",
    Unit.COUNT,
    "Numbers and words of yours that are no longer what the build put there.",
    "SUM({papers:input_changed.all})",
)

CHANGES = [
    Column("change", "No.", Unit.COUNT, "Counted in the order of the papers."),
    Column(
        "changed_input",
        "Changed since the build",
        Unit.TEXT,
        "What was changed by hand.",
        'IF({change}>inputs_changed, "",'
        " INDEX({papers:input_title.all}, MATCH({change}, {papers:changed_so_far.all}, 0)))",
    ),
]


@dataclass(frozen=True)
class TypedCell:
    """A cell that a person types into: where it stands, what it is called, what formula reads it."""

    where: CellKey
    name: str
    table: str | None
    item: int | None
    row: int | None
    title: str
    origin: Origin
    read: str


# ---------------------------------------------------------------- facts


def facts(book: Book, material: Material) -> list[tuple[str, str, str | int]]:
    """Everything but the rows: name, title and value."""
    told = material.provenance
    written, pieces = site_pieces(told.site_text)
    return [
        ("papers_format", "Format of these papers", FORMAT),
        ("papers_product", "Made by", PRODUCT),
        ("papers_version", "Version", __version__),
        ("papers_units", "Units", book.system),
        ("papers_built_on", "Date of the build", told.built_on.isoformat()),
        *_numbered("papers_record_from", "The record came from", told.record_from),
        ("papers_record_until", "Last day of the record", told.record_until.isoformat()),
        ("papers_record_digest", "Digest of the record", record_digest(material.months)),
        ("papers_record_form", "Form of which the digest is taken", CANONICAL),
        ("papers_site_file", "Site file", told.site_file),
        ("papers_site_text_written", "Text of the site file is written", written),
        *_numbered("papers_site_text", "Text of the site file", pieces),
    ]


def _numbered(name: str, title: str, values: Sequence[str]) -> list[tuple[str, str, str | int]]:
    several = len(values) > 1
    return [(f"{name}_{n}", f"{title}, {n}" if several else title, value) for n, value in enumerate(values, 1)]


def site_pieces(text: str) -> tuple[str, list[str]]:
    """How the site file's text is written, and the pieces which, joined, are it.

    No piece begins or ends with a blank or a line's end where that can be had: programs may drop those. Where the text
    has what programs change in a cell, it is percent-encoded as in a web address (RFC 3986), but for line feeds.
    """
    written = ENCODED if _CHANGED_BY_PROGRAMS.search(text) else AS_IT_IS
    left = quote(text, safe="\n !\"#$&'()*+,-./:;<=>?@[\\]^_`{|}~") if written == ENCODED else text
    if written == ENCODED:  # an escape of a character may have been typed
        left = left.replace("_x", "%5Fx")
    pieces: list[str] = []
    while len(left) > LONGEST_PIECE:
        ends = range(LONGEST_PIECE, max(0, LONGEST_PIECE - LOOKED_BACK), -1)
        cut = next((end for end in ends if not re.search(r"\s", left[end - 1 : end + 1])), LONGEST_PIECE)
        pieces.append(left[:cut])
        left = left[cut:]
    return written, [*pieces, left]


def site_text(written: str, pieces: Sequence[str]) -> str:
    """The site file's text, from its pieces."""
    text = "".join(pieces)
    return unquote(text) if written == ENCODED else text


def record_digest(months: Series) -> str:
    """The digest of a record; `months`: the columns of `record.DATA` by key, in the book's units."""
    columns = [months[column.key] for column in record.DATA]
    lines = (" ".join(f"{value:.{DIGITS}g}" for value in row) for row in zip(*columns, strict=True))
    return hashlib.sha256("".join(f"{line}\n" for line in lines).encode()).hexdigest()


# ---------------------------------------------------------------- rows


def typed_cells(book: Book, told: Provenance) -> list[TypedCell]:
    """Every cell that a person types into, on the sheets laid out so far: single ones first, then those of tables."""
    return [*_single_cells(book, told), *_cells_of_tables(book, told)]


def _single_cells(book: Book, told: Provenance) -> Iterator[TypedCell]:
    for given in book.inputs:
        where = book.directory.names[given.name]
        origin = told.origins[given.name]
        yield TypedCell(where, given.name, None, None, None, f"{where[0]}: {given.title}", origin, given.name)


def _cells_of_tables(book: Book, told: Provenance) -> Iterator[TypedCell]:
    sections = {book.directory.placements[listed.table].table.rows.name: name for name, listed in LISTS.items()}
    for name, placement in book.directory.placements.items():
        table = placement.table
        section = sections.get(table.rows.name)  # those of a list run along its rows, the monthly ones too
        for column in () if table.reference else table.columns:
            if not isinstance(column, Input):
                continue
            for item in range(table.each.size if table.each else 1):
                for row in range(table.rows.size):
                    where = (placement.sheet, *placement.cell(column.key, item, row))
                    title = f"{placement.sheet}: {column.title}, {_row_told(placement, item, row)}"
                    in_list = f"{section}[{row + 1}].{column.key}" in told.given_in_lists
                    origin = told.origins.get(column.key) or ("given" if in_list else "assumed")
                    read = _by_position(placement, column.key, item, row)
                    month = item + 1 if table.each else None
                    yield TypedCell(where, column.key, name, month, row + 1, title, origin, read)


def _row_told(placement: Placement, item: int, row: int) -> str:
    table = placement.table
    line = table.rows.labels[row] if table.rows.labels else f"{table.rows.name} {row + 1}"
    return f"{line}, {table.each.labels[item]}" if table.each and table.each.labels else line


def _by_position(placement: Placement, key: str, item: int, row: int) -> str:
    """The cell as the model reads it: what is cut and pasted elsewhere does not take the reference along."""
    cells = f"{quoted(placement.sheet)}!{placement.column_range(key, item)}"
    position = row + placement.guard[0] + 1
    return f"INDEX({cells},1,{position})" if placement.table.transposed else f"INDEX({cells},{position})"


def rows_of(book: Book, cells: Sequence[TypedCell]) -> Table:
    """The table of all typed cells, as the build leaves them."""
    built = [_value(book, cell.where) for cell in cells]
    data: dict[str, Sequence[object]] = {
        "input_name": [cell.name for cell in cells],
        "input_table": [cell.table for cell in cells],
        "input_item": [cell.item for cell in cells],
        "input_row": [cell.row for cell in cells],
        "input_title": [cell.title for cell in cells],
        "input_place": [_place(cell.where) for cell in cells],
        "input_origin": [
            LEFT_EMPTY if cell.table and value is None else cell.origin
            for cell, value in zip(cells, built, strict=True)
        ],
        "input_built": built,
        "input_now": [None] * len(cells),
    }
    return Table("papers", SHEET, Rows("input", len(cells)), ROWS, data=data)


def _value(book: Book, where: CellKey) -> Value:
    sheet, row, column = where
    value = book.workbook[sheet].cell(row, column).value
    assert value is None or isinstance(value, (str, int, float))
    return value


def _place(where: CellKey) -> str:
    sheet, row, column = where
    return f"{sheet}!{get_column_letter(column)}{row}"


def connect(book: Book, placement: Placement, cells: Sequence[TypedCell]) -> None:
    """Let the papers know what stands in each cell now, and let the build tell them what it finds later."""
    sheet = placement.sheet
    for row, cell in enumerate(cells):
        built, origin, now = (
            (sheet, *placement.cell(key, 0, row)) for key in ("input_built", "input_origin", "input_now")
        )
        book.as_built[cell.where] = AsBuilt(built, origin)
        book.write_formula(now, f'IF({cell.read}="","",{cell.read})', ("papers", "input_now"))


def first_changes() -> Table:
    """The first changed inputs, as Read first names them."""
    numbers = list(range(1, FIRST_CHANGES + 1))
    return Table("changes", "Read first", Rows("change", FIRST_CHANGES), CHANGES, data={"change": numbers})
