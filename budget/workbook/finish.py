"""The finishing step: values beside every formula and in the charts, the same bytes for the same date of the build.

openpyxl writes formulas without values; previews, phones, protected view and pandas would show nothing. The step takes
the file with the engine's values beside the formulas (`file_writer`), puts them into the charts' caches, too, tells
title, place and maker, and packs it with fixed dates but that of the build. A program that recalculates on loading gets
the same numbers. The parts of each font are put into the order in which the validator of the Open XML SDK asks for
them.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from xml.sax.saxutils import escape, unescape

from openpyxl.utils import range_boundaries

from budget.errors import Fault, ModelError, OutputFault
from budget.safe_writing import told, write_file
from budget.workbook.book import Book, CellKey
from budget.workbook.engine import Computed
from budget.workbook.file_writer import FileWriter

# The oldest date that a zip archive can hold: the file's bytes then depend on its content alone.
_DATE = (1980, 1, 1, 0, 0, 0)
TITLE = "Year-round water budget"
PRODUCT = "water-budget"

# openpyxl writes a font's name first; the validator of the Open XML SDK asks for this order (measured with every part).
_FONT_ORDER = "b i strike condense extend outline shadow u vertAlign sz color name family charset scheme".split()
_FONT = re.compile(r"(?<=<font>).*?(?=</font>)", re.DOTALL)
_CHART_REFERENCE = re.compile(r"<(?:c:)?(num|str)Ref><(?:c:)?f>(.*?)</(?:c:)?f></(?:c:)?(?:num|str)Ref>", re.DOTALL)


def write_book(
    book: Book, values: Mapping[CellKey, Computed], path: Path, alternatives: Mapping[str, str]
) -> Path | None:
    """Finish the book and put it at `path` in one step; a book that stood there is kept beside it, dated.

    `values` holds every formula's value; `alternatives` the alternative text of each chart by its title. Returns the
    path of the copy that was kept, None where nothing stood there. Raises ModelError where a value is missing or is an
    error, OutputFault where the file cannot be written.
    """
    refuse_target(path)
    content = finished(book, values, alternatives)
    with told(path):  # a name that is too long for its date, say
        kept = _kept_as(path) if path.exists() else None
    write_file(path, content, kept)
    return kept


def refuse_target(path: Path) -> None:
    """Raise OutputFault where no workbook can stand at `path`: another ending, a folder, or no folder to stand in."""
    if path.suffix.lower() != ".xlsx":
        raise OutputFault([Fault(str(path), "does not end in .xlsx", "a name that ends in .xlsx")])
    if path.is_dir():
        raise OutputFault([Fault(str(path), "is a folder", "a file")])
    if not path.parent.is_dir():
        raise OutputFault([Fault(str(path), "its folder does not exist", "a file in a folder that can be written to")])


def _kept_as(path: Path) -> Path:
    """Where the book that stands there is kept: under its date, and never in place of another copy."""
    changed = datetime.fromtimestamp(path.stat().st_mtime)
    stem = f"{path.stem} {changed:%Y-%m-%d %H%M%S}"
    copy, number = path.with_name(f"{stem}{path.suffix}"), 2
    while copy.exists():
        copy, number = path.with_name(f"{stem} {number}{path.suffix}"), number + 1
    return copy


def finished(book: Book, values: Mapping[CellKey, Computed], alternatives: Mapping[str, str]) -> bytes:
    """The bytes of the finished xlsx file."""
    _refuse_errors(book, values)
    _tell_properties(book)
    raw = io.BytesIO()
    with zipfile.ZipFile(raw, "w", zipfile.ZIP_STORED) as unpacked:
        FileWriter(book, unpacked, values).save()
    target = io.BytesIO()
    with zipfile.ZipFile(raw) as source, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive:
        for part in source.namelist():
            text = source.read(part)
            if part == "xl/styles.xml":
                text = _FONT.sub(_in_order, text.decode()).encode()
            elif part.startswith("xl/charts/chart"):
                text = _with_cache(text.decode(), book, values).encode()
            elif part.startswith("xl/drawings/drawing"):
                text = _with_alternatives(text.decode(), source, part, alternatives).encode()
            elif part == "docProps/app.xml":
                text = re.sub(
                    r"<Application>.*?</Application>",
                    f"<Application>{PRODUCT}</Application>",
                    text.decode(),
                ).encode()
            elif part == "docProps/core.xml":
                day = f"{book.built_on.isoformat()}T00:00:00Z"
                text = re.sub(r"(?<=>)\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ(?=<)", day, text.decode()).encode()
            entry = zipfile.ZipInfo(part, _DATE)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o600 << 16
            archive.writestr(entry, text)
    return target.getvalue()


def _tell_properties(book: Book) -> None:
    """What the file tells of itself where programs list files: title, place, who made it, language.

    Its dates are put in afterwards, because openpyxl writes the time of day.
    """
    told = book.workbook.properties
    told.title = f"{TITLE}: {book.place}" if book.place else TITLE
    told.subject = book.place or None
    told.creator = told.lastModifiedBy = PRODUCT
    told.language = "en"


def _refuse_errors(book: Book, values: Mapping[CellKey, Computed]) -> None:
    for where, owner in book.owners.items():
        sheet, row, column = where
        if where not in values:
            raise ModelError(f"{owner} on {sheet}, row {row}, column {column}, has no value")
        value = values[where]
        if isinstance(value, str) and value.startswith("#") and re.fullmatch(r"#[A-Z/0!?]+.*", value):
            raise ModelError(f"{owner} on {sheet}, row {row}, column {column}, evaluates to {value}")


def _in_order(match: re.Match[str]) -> str:
    """The parts of a font, each an element without content."""
    parts = re.finditer(r"<(\w+)\b[^>]*/>", match[0])
    return "".join(part[0] for part in sorted(parts, key=lambda part: _FONT_ORDER.index(part[1])))


def _with_cache(xml: str, book: Book, values: Mapping[CellKey, Computed]) -> str:
    """The chart with the values of its ranges in it."""

    def put(match: re.Match[str]) -> str:
        kind, reference = match.groups()
        points = _range_values(unescape(reference), book, values)
        items = "".join(
            f'<c:pt idx="{i}"><c:v>{escape(str(v))}</c:v></c:pt>' for i, v in enumerate(points) if v not in (None, "")
        )
        code = "<c:formatCode>General</c:formatCode>" if kind == "num" else ""
        cache = f'<c:{kind}Cache>{code}<c:ptCount val="{len(points)}"/>{items}</c:{kind}Cache>'
        prefixed = f"<c:{kind}Ref><c:f>{reference}</c:f>{cache}</c:{kind}Ref>"
        return prefixed if "<c:chart" in xml else prefixed.replace("<c:", "<").replace("</c:", "</")

    return _CHART_REFERENCE.sub(put, xml)


def _range_values(reference: str, book: Book, values: Mapping[CellKey, Computed]) -> list[Computed]:
    sheet, cells = reference.rsplit("!", 1)
    sheet = sheet.strip("'").replace("''", "'")
    left, top, right, bottom = range_boundaries(cells)
    found: list[Computed] = []
    for row in range(int(top or 1), int(bottom or 1) + 1):
        for column in range(int(left or 1), int(right or 1) + 1):
            where = (sheet, row, column)
            found.append(values[where] if where in book.owners else book.workbook[sheet].cell(row, column).value)
    return found


def _with_alternatives(xml: str, source: zipfile.ZipFile, part: str, alternatives: Mapping[str, str]) -> str:
    """The drawing with each chart's alternative text, found through the chart's title."""
    relations = source.read(part.replace("drawings/", "drawings/_rels/") + ".rels").decode()
    targets = {}
    for relation in re.findall(r"<Relationship\b[^>]*>", relations):
        attributes = dict(re.findall(r'(\w+)="([^"]*)"', relation))
        targets[attributes["Id"]] = attributes["Target"].lstrip("/")
    frames = re.split(r"(?=<(?:xdr:)?graphicFrame\b)", xml)
    for index, frame in enumerate(frames):
        match = re.search(r'r:id="(rId\d+)"', frame)
        if match is None or "graphicFrame" not in frame:
            continue
        chart = source.read(targets[match[1]]).decode()
        title = unescape("".join(re.findall(r"<(?:a:)?t>(.*?)</(?:a:)?t>", chart.split("plotArea")[0])))
        if title not in alternatives:
            raise ModelError(f"the chart '{title}' has no alternative text")
        text = escape(alternatives[title], {'"': "&quot;"})
        frames[index] = re.sub(r"(<(?:xdr:)?cNvPr\b[^>]*?)\s*/>", rf'\1 descr="{text}"/>', frame, count=1)
    return "".join(frames)
