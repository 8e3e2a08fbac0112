"""The calculator: evaluates the workbook outside any spreadsheet program.

ironcalc is imported here only. It is given an evaluation copy: the same cells in the plainest file that holds them.
Repeated formulas are written once, as shared ones, because its load time is the parsing of formulas; defined names
are written as the addresses they stand for, because it looks each name up at each evaluation (measured: three times
slower). The copy is never shipped. ironcalc's own panics derive from BaseException and are caught here.
"""

from __future__ import annotations

import io
import re
import tempfile
import zipfile
from collections.abc import Iterable
from copy import copy
from pathlib import Path
from xml.sax.saxutils import escape

from openpyxl.utils import get_column_letter

from budget.errors import ModelError
from budget.workbook.book import Book, CellKey, Owner
from budget.workbook.placement import address

Computed = float | str | bool | None

_WORD = re.compile(r"""("[^"]*"|'[^']*')|[A-Za-z_][A-Za-z0-9_.]*""")

_HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_RELATIONS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_PACKAGE = "http://schemas.openxmlformats.org/package/2006"
_STYLES = (
    f'<styleSheet xmlns="{_MAIN}"><numFmts count="0"/>'
    '<fonts count="1"><font><sz val="11"/><name val="Arial"/></font></fonts>'
    '<fills count="1"><fill><patternFill patternType="none"/></fill></fills><borders count="1"><border/></borders>'
    '<cellStyleXfs count="1"><xf/></cellStyleXfs><cellXfs count="1"><xf/></cellXfs>'
    '<cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles></styleSheet>'
)


class Model:
    """A workbook that has been loaded into the engine."""

    def __init__(self, book: Book, needed: Iterable[Owner] | None = None) -> None:
        """Load the book; `needed`: only the formulas that these results rest on. Raises ModelError where it cannot."""
        self._book = book
        self._sheets = {name: index for index, name in enumerate(book.workbook.sheetnames)}
        self._owners = owners = None if needed is None else upstream(book, needed)
        with tempfile.TemporaryDirectory(prefix="water-budget-") as folder:
            path = Path(folder) / "evaluation.xlsx"
            path.write_bytes(evaluation_copy(book, owners))
            self._model = _load(path)

    def copy(self) -> Model:
        """The same cells and values in an engine of their own, in a fortieth of the time that loading takes."""
        other = copy(self)
        other._model = _copied(self._model)  # type: ignore[no-untyped-call]
        return other

    def hold_all_but(self, inputs: Iterable[str]) -> None:
        """Turn every formula that does not rest on these inputs into its value; the others are computed faster then.

        For a model that is evaluated often while these inputs alone change.
        """
        moving = downstream(self._book, inputs)
        for where, owner in self._book.owners.items():
            if owner in moving or (self._owners is not None and owner not in self._owners):
                continue
            value = self.cell(where)
            if not str(value).startswith("#"):  # an error stays one
                self.set_cell(where, "" if value is None else value)

    def set(self, name: str, value: float | str) -> None:
        """Put a value into the cell of that defined name; call `evaluate` afterwards."""
        self.set_cell(self._book.directory.names[name], value)

    def set_cell(self, where: CellKey, value: float | str) -> None:
        """Put a value into a cell."""
        sheet, row, column = where
        if isinstance(value, str):
            self._model.update_cell_with_text(self._sheets[sheet], row, column, value)
        else:
            self._model.update_cell_with_number(self._sheets[sheet], row, column, float(value))

    def keep(self, name: str, value: float) -> None:
        """Put what the build found into the cell of that defined name, in the book and its papers as well as here."""
        self.keep_cell(self._book.directory.names[name], value)

    def keep_cell(self, where: CellKey, value: float) -> None:
        """Put what the build found into a cell, in the book and its papers as well as here."""
        for cell in self._book.keep(where, value):
            self.set_cell(cell, value)

    def set_formula(self, where: CellKey, formula: str) -> None:
        """Put another formula, with its equals sign, into a cell; the book keeps its own. Raises ModelError."""
        sheet, row, column = where
        try:
            self._model.update_cell_with_formula(self._sheets[sheet], row, column, _with_addresses(self._book, formula))
        except BaseException as error:
            _raise(error)

    def clear_cell(self, where: CellKey) -> None:
        """Empty a cell."""
        sheet, row, column = where
        self._model.clear_cell_contents(self._sheets[sheet], row, column)

    def evaluate(self) -> None:
        """Compute every formula. Raises ModelError where the engine fails."""
        try:
            self._model.evaluate()
        except BaseException as error:
            _raise(error)

    def value(self, name: str) -> Computed:
        """The value of the cell of that defined name."""
        return self.cell(self._book.directory.names[name])

    def number(self, name: str) -> float:
        """The value of that name as a number. Raises ModelError where it is none."""
        value = self.value(name)
        if isinstance(value, str) or value is None:
            raise ModelError(f"{name} holds {value!r}, not a number")
        return float(value)

    def cell(self, where: CellKey) -> Computed:
        """The value of a cell."""
        sheet, row, column = where
        value: Computed = self._model.get_cell_value(self._sheets[sheet], row, column)
        return value

    def column(self, table: str, key: str) -> list[Computed]:
        """The values of a table's column along its rows."""
        return [self.cell(where) for where in self._book.cells(table, key)]

    def computed(self) -> dict[CellKey, Computed]:
        """The value of every formula of the book."""
        return {where: self.cell(where) for where in self._book.owners}


def number(value: Computed) -> float:
    """A value as a number, 0 where it is none."""
    return float(value) if isinstance(value, (int, float)) else 0.0


def _load(path: Path):  # type: ignore[no-untyped-def]  # ironcalc carries no types
    import ironcalc

    try:
        return ironcalc.load_from_xlsx(str(path), "en", "UTC", "en")
    except BaseException as error:
        _raise(error)


def _copied(model):  # type: ignore[no-untyped-def]  # as above
    import ironcalc

    return ironcalc.load_from_bytes(model.to_bytes(), "en")


def _raise(error: BaseException) -> None:
    """Turn the engine's errors and panics into ModelError; let a person's interrupt through."""
    if isinstance(error, (KeyboardInterrupt, SystemExit)):
        raise error
    raise ModelError(f"the workbook cannot be computed: {error}") from error


def upstream(book: Book, owners: Iterable[Owner]) -> set[Owner]:
    """Everything that these results read, directly or through others."""
    found: set[Owner] = set()
    waiting: list[Owner] = list(owners)
    while waiting:
        owner = waiting.pop()
        if owner not in found:
            found.add(owner)
            waiting.extend(book.reads.get(owner, ()))
    return found


def downstream(book: Book, owners: Iterable[Owner]) -> set[Owner]:
    """Everything that reads these, directly or through others, and these."""
    readers: dict[Owner, set[Owner]] = {}
    for reader, read in book.reads.items():
        for owner in read:
            readers.setdefault(owner, set()).add(reader)
    found: set[Owner] = set()
    waiting: list[Owner] = list(owners)
    while waiting:
        owner = waiting.pop()
        if owner not in found:
            found.add(owner)
            waiting.extend(readers.get(owner, ()))
    return found


def evaluation_copy(book: Book, owners: set[Owner] | None = None) -> bytes:
    """The book's cells in the plainest xlsx file, with shared formulas; `owners`: only these columns' formulas."""
    names = book.workbook.sheetnames
    shared = _shared_runs(book)
    parts = {
        "[Content_Types].xml": _content_types(len(names)),
        "_rels/.rels": _relations([("officeDocument", "xl/workbook.xml")]),
        "xl/workbook.xml": _workbook_xml(book),
        "xl/_rels/workbook.xml.rels": _relations(
            [("worksheet", f"worksheets/sheet{i + 1}.xml") for i in range(len(names))] + [("styles", "styles.xml")]
        ),
        "xl/styles.xml": _HEAD + _STYLES,
    }
    for index, name in enumerate(names):
        parts[f"xl/worksheets/sheet{index + 1}.xml"] = _sheet_xml(book, name, shared, owners)
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_STORED) as archive:
        for part, text in parts.items():
            archive.writestr(part, text)
    return target.getvalue()


def _shared_runs(book: Book) -> dict[tuple[str, int], dict[int, tuple[int, str | None]]]:
    """For each sheet and column: row → number of its shared formula, and its range in the row that writes it."""
    found: dict[tuple[str, int], dict[int, tuple[int, str | None]]] = {}
    for number, run in enumerate(book.runs):
        letter = get_column_letter(run.column)
        rows = found.setdefault((run.sheet, run.column), {})
        for row in range(run.first_row, run.last_row + 1):
            whole = f"{letter}{run.first_row}:{letter}{run.last_row}" if row == run.first_row else None
            rows[row] = (number, whole)
    return found


def _sheet_xml(
    book: Book,
    name: str,
    shared: dict[tuple[str, int], dict[int, tuple[int, str | None]]],
    owners: set[Owner] | None,
) -> str:
    rows: dict[int, list[tuple[int, str]]] = {}
    letters: dict[int, str] = {}
    for (row, column), cell in book.workbook[name]._cells.items():
        value = cell._value
        if value is None:
            continue
        owner = book.owners.get((name, row, column))
        if owner is not None and owners is not None and owner not in owners:
            continue
        if column not in letters:
            letters[column] = get_column_letter(column)
        where = f"{letters[column]}{row}"
        run = shared.get((name, column), {}).get(row)
        rows.setdefault(row, []).append((column, _cell_xml(book, where, value, owner, run)))
    body = "".join(f'<row r="{row}">{"".join(text for _, text in sorted(rows[row]))}</row>' for row in sorted(rows))
    return f'{_HEAD}<worksheet xmlns="{_MAIN}"><sheetData>{body}</sheetData></worksheet>'


def _with_addresses(book: Book, formula: str) -> str:
    """The formula with every defined name replaced by its address; texts and sheet names are left alone."""

    def put(match: re.Match[str]) -> str:
        where = None if match[1] else book.directory.names.get(match[0])
        return match[0] if where is None else address(*where)

    return _WORD.sub(put, formula)


def _cell_xml(book: Book, where: str, value: object, owner: Owner | None, run: tuple[int, str | None] | None) -> str:
    """A cell; `run`: the number of its shared formula, and its range where this cell writes it."""
    if owner is not None and run is not None and run[1] is None:
        return f'<c r="{where}"><f t="shared" si="{run[0]}"/><v>0</v></c>'
    if owner is not None:
        text = escape(_with_addresses(book, str(value).removeprefix("=")))
        kind = "" if run is None else f' t="shared" si="{run[0]}" ref="{run[1]}"'
        return f'<c r="{where}"><f{kind}>{text}</f><v>0</v></c>'
    if isinstance(value, str):
        return f'<c r="{where}" t="inlineStr"><is><t xml:space="preserve">{escape(value)}</t></is></c>'
    return f'<c r="{where}"><v>{value!r}</v></c>'


def _workbook_xml(book: Book) -> str:
    sheets = "".join(
        f'<sheet name="{escape(name)}" sheetId="{i + 1}" r:id="rId{i + 1}"/>'
        for i, name in enumerate(book.workbook.sheetnames)
    )
    names = "".join(
        f'<definedName name="{name}">{escape(str(defined.attr_text))}</definedName>'
        for name, defined in book.workbook.defined_names.items()
    )
    return (
        f'{_HEAD}<workbook xmlns="{_MAIN}" xmlns:r="{_RELATIONS}"><sheets>{sheets}</sheets>'
        f"<definedNames>{names}</definedNames></workbook>"
    )


def _relations(targets: list[tuple[str, str]]) -> str:
    items = "".join(
        f'<Relationship Id="rId{i + 1}" Type="{_RELATIONS}/{kind}" Target="{target}"/>'
        for i, (kind, target) in enumerate(targets)
    )
    return f'{_HEAD}<Relationships xmlns="{_PACKAGE}/relationships">{items}</Relationships>'


def _content_types(sheets: int) -> str:
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml"
    overrides = "".join(
        f'<Override PartName="/xl/worksheets/sheet{i + 1}.xml" ContentType="{kind}.worksheet+xml"/>'
        for i in range(sheets)
    )
    return (
        f'{_HEAD}<Types xmlns="{_PACKAGE}/content-types">'
        '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        '<Default Extension="xml" ContentType="application/xml"/>'
        f'<Override PartName="/xl/workbook.xml" ContentType="{kind}.sheet.main+xml"/>'
        f'<Override PartName="/xl/styles.xml" ContentType="{kind}.styles+xml"/>{overrides}</Types>'
    )
