"""LibreOffice and Gnumeric: a book as they save it again, and the values that they computed.

The values are read from the file's XML: openpyxl takes ten times as long for a book of this size.
"""

from __future__ import annotations

import re
import subprocess
import zipfile
from collections.abc import Iterator, Mapping
from html import unescape
from pathlib import Path

from openpyxl.utils import column_index_from_string

from budget.workbook.book import CellKey
from budget.workbook.engine import Computed as Value
from tests.computed import Computed

TOLERANCE = 1e-9
# As it comes, LibreOffice trusts the values that stand in the file, whatever program's name it carries (measured with
# 7.4); only this setting makes it compute them.
ALWAYS_RECALCULATE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry"><item oor:path="/org.openoffice.Office.Calc/Formula/Load">
<prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item></oor:items>"""

_CELL = re.compile(r'<c r="([A-Z]+)(\d+)"([^>]*?)(?:/>|>(.*?)</c>)', re.DOTALL)
_VALUE = re.compile(r"<v\b[^>]*>(.*?)</v>", re.DOTALL)
_TEXT = re.compile(r"<t\b[^>]*>(.*?)</t>", re.DOTALL)
_SHEET = re.compile(r"<sheet\b[^>]*>")
_RELATION = re.compile(r"<Relationship\b[^>]*>")
_ATTRIBUTE = re.compile(r'([\w:]+)="([^"]*)"')


def libreoffice(path: Path, folder: Path, recalculate: bool = True) -> Path:
    """The book as LibreOffice saves it again, with a profile of its own that recalculates on loading."""
    target = folder / "by_libreoffice"
    settings = folder / "profile" / "user" / "registrymodifications.xcu"
    settings.parent.mkdir(parents=True, exist_ok=True)
    if recalculate:
        settings.write_text(ALWAYS_RECALCULATE, encoding="utf-8")
    profile = f"-env:UserInstallation=file://{folder}/profile"
    _run("soffice", profile, "--headless", "--convert-to", "xlsx", "--outdir", str(target), str(path))
    return target / path.name


def gnumeric(path: Path, folder: Path, *options: str) -> Path:
    """The book as Gnumeric saves it again."""
    target = folder / f"{path.stem}_by_gnumeric.xlsx"
    _run("ssconvert", *options, str(path), str(target))
    return target


def _run(*command: str) -> None:
    subprocess.run(command, check=True, capture_output=True, timeout=120)


def values_in(path: Path) -> dict[CellKey, Value]:
    """The values of a saved book that are not empty; dates as the days that stand in the cells."""
    return {where: value for where, _, value in _cells(path) if value is not None}


def formula_values_in(path: Path) -> dict[CellKey, Value]:
    """The values of every cell that holds a formula; an empty text where it comes to nothing."""
    return {where: "" if value is None else value for where, is_formula, value in _cells(path) if is_formula}


def _cells(path: Path) -> Iterator[tuple[CellKey, bool, Value]]:
    """Every cell of a file: where it stands, whether it holds a formula, and its value."""
    with zipfile.ZipFile(path) as archive:
        texts: list[str] = []
        if "xl/sharedStrings.xml" in archive.namelist():
            items = re.findall(r"<si\b[^>]*>(.*?)</si>", archive.read("xl/sharedStrings.xml").decode(), re.DOTALL)
            texts = [_text(item) for item in items]
        for sheet, part in _sheets(archive):
            columns: dict[str, int] = {}
            for letters, row, attributes, inside in _CELL.findall(archive.read(part).decode()):
                column = columns.get(letters) or columns.setdefault(letters, column_index_from_string(letters))
                yield (sheet, int(row), column), inside.lstrip().startswith("<f"), _value(attributes, inside, texts)


def _sheets(archive: zipfile.ZipFile) -> Iterator[tuple[str, str]]:
    """Each sheet's title, and the part of the file that holds it."""
    relations = _RELATION.findall(archive.read("xl/_rels/workbook.xml.rels").decode())
    parts = {found["Id"]: found["Target"] for found in (dict(_ATTRIBUTE.findall(tag)) for tag in relations)}
    for tag in _SHEET.findall(archive.read("xl/workbook.xml").decode()):
        found = dict(_ATTRIBUTE.findall(tag))
        part = parts[found["r:id"]]
        yield unescape(found["name"]), part.lstrip("/") if part.startswith("/") else f"xl/{part}"


def _value(attributes: str, inside: str, texts: list[str]) -> Value:
    """What a cell comes to; None where nothing stands in it."""
    kind = re.search(r'\bt="(\w+)"', attributes)
    found = _VALUE.search(inside)
    if kind and kind[1] == "inlineStr":
        return _text(inside) or None
    if found is None or found[1] == "":
        return None
    if kind is None or kind[1] == "n":
        return float(found[1])
    if kind[1] == "s":
        return texts[int(found[1])] or None
    return found[1] == "1" if kind[1] == "b" else unescape(found[1])


def _text(xml: str) -> str:
    return unescape("".join(_TEXT.findall(xml)))


def differences(expected: Mapping[CellKey, Value], found: Mapping[CellKey, object]) -> list[str]:
    """The formula cells whose values differ, each with both; 1e-9 of max(1, value) is forgiven."""
    return [
        f"{where}: {value!r}, computed elsewhere {found.get(where)!r}"
        for where, value in expected.items()
        if not equal(value, found.get(where))
    ]


def but_for_papers(computed: Computed) -> dict[CellKey, Value]:
    """The values that a hand edit and a build share: what was changed since the build is told by one of them alone."""
    told = {"inputs_changed", "again:inputs_changed", "changes_told", "changes_shifted"}
    owners = computed.book.owners
    return {
        where: value
        for where, value in computed.values.items()
        if where[0] not in ("Papers", "Read first") and owners[where] not in told and owners[where][0] != "changes"
    }


def equal(value: Value, other: object) -> bool:
    """Whether two values are the same; an empty text and no value are."""
    if isinstance(value, str) or value is None:
        return (value or "") == (other or "")
    if isinstance(other, bool) or not isinstance(other, (int, float)):
        return False
    return abs(other - value) <= TOLERANCE * max(1.0, abs(value))
