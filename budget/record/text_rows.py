"""A file as rows of text cells, whatever its encoding, its separator, or its kind of spreadsheet."""

from __future__ import annotations

import csv
import io
import re
import warnings
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from budget.errors import Fault, InputFaults

SEPARATORS = (",", ";", "\t", "|", "")  # the last: any run of blanks
SPREADSHEETS = (".xlsx", ".ods")
LARGEST = 200_000_000  # bytes; a century of days in thirty columns is a twentieth of it
HEADER_ACCEPTED = "a header line with columns date, rain, tmax, tmin, separated by commas"
PATH_ACCEPTED = "the path of a daily CSV file"


@dataclass(frozen=True)
class TextRows:
    """The rows of a file with their line numbers: as text still to be split, or (a spreadsheet) as cells."""

    lines: list[tuple[int, str]]
    cells: list[list[str]] | None = None

    def split(self, index: int, separator: str) -> list[str] | None:
        """The cells of a row, or None where a quote is not closed."""
        if self.cells is not None:
            return self.cells[index]
        return split_cells(self.lines[index][1], separator)

    @property
    def separators(self) -> tuple[str, ...]:
        """Those that may part its cells; a spreadsheet's are parted already."""
        return SEPARATORS if self.cells is None else ("cells",)


def read_rows_of_text(path: Path) -> TextRows:
    """The rows of a file. Raises InputFaults where it cannot be read or is neither text nor a spreadsheet."""
    if not path.exists():
        raise InputFaults([Fault(str(path), "no such file", PATH_ACCEPTED)])
    if path.is_dir():
        raise InputFaults([Fault(str(path), "a folder", PATH_ACCEPTED)])
    try:
        if path.stat().st_size > LARGEST:
            raise InputFaults([Fault(path.name, "is larger than any rain record", "a file under 200 MB")])
        if path.suffix.lower() in SPREADSHEETS:
            return _spreadsheet(path)
        content = path.read_bytes()
    except OSError as error:
        reason = error.strerror or "cannot be read"
        raise InputFaults([Fault(str(path), reason, "a file that may be read")]) from None
    text = decode(content)
    if text is None:
        raise InputFaults([Fault(path.name, "not a text file", "a CSV file in UTF-8 or Windows-1252")])
    if not text.strip():
        raise InputFaults([Fault(path.name, "an empty file", HEADER_ACCEPTED)])
    lines = (line.rstrip("\n") for line in io.StringIO(text, newline=None))
    return TextRows(list(enumerate(lines, start=1)))


def decode(content: bytes) -> str | None:
    """The text of the file, or None where it cannot be one (pictures, workbooks)."""
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        try:
            return content.decode("utf-16")
        except UnicodeDecodeError:
            return None
    if b"\0" in content:
        return None
    for encoding in ("utf-8-sig", "cp1252"):
        try:
            return content.decode(encoding)
        except UnicodeDecodeError:
            continue
    return None


def split_cells(line: str, separator: str) -> list[str] | None:
    """The cells of one line, or None where a quote is not closed."""
    if not separator:
        return line.split()
    try:
        # One line at a time: an unclosed quote then costs one line, not the rest of the file.
        reader = csv.reader([line], strict=True, skipinitialspace=True, delimiter=separator)
        return [cell.strip() for cell in next(reader, [])]
    except csv.Error:
        return _with_stray_quotes(line, separator)


def _with_stray_quotes(line: str, separator: str) -> list[str] | None:
    """The cells of a line whose quotes are marks of inches (0.25"), or None where one opens and does not close."""
    cells = [cell.strip() for cell in line.split(separator)]
    return None if any(cell.startswith('"') for cell in cells) else cells


def _spreadsheet(path: Path) -> TextRows:
    """The cells of a spreadsheet's first sheet that holds any, as text."""
    import pandas as pd

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of styles and extensions that do not matter here
            sheets = pd.read_excel(path, sheet_name=None, header=None, dtype=object)
    except Exception as error:  # the readers of spreadsheets let many kinds of error through
        fault = Fault(path.name, "cannot be read as a spreadsheet", "an .xlsx or .ods file that opens")
        raise InputFaults([fault]) from error
    for frame in sheets.values():
        if frame.notna().any(axis=None):
            rows = [[_as_text(value) for value in row] for row in frame.itertuples(index=False)]
            return TextRows([(number, "") for number in range(1, len(rows) + 1)], rows)
    raise InputFaults([Fault(path.name, "an empty file", HEADER_ACCEPTED)])


def _as_text(value: object) -> str:
    """A cell as a text file would have it: dates by year, month, day; whole numbers without a point."""
    import pandas as pd

    if value is None or (not isinstance(value, (str, list)) and pd.isna(value)):  # type: ignore[call-overload]
        return ""
    if isinstance(value, datetime):
        return value.date().isoformat()
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return re.sub(r"\s+", " ", str(value)).strip()
