"""The figure in a cell: numbers with a point or a comma, traces, marks of what is missing."""

from __future__ import annotations

import math
import re
from collections.abc import Collection

# What stands for a missing value in files of any kind, besides a blank.
MISSING = frozenset("na nan n/a m - -- --- null none missing".split())
MISSING_NUMBERS = frozenset((-99.0, -99.9, -99.99, -999.0, -999.9, -999.99, -9999.0, -9999.9, 9999.0, 99999.0))
TRACES = frozenset(("t", "tr", "tr.", "trace", "sp.", "sp", "spur", "ip", "traces"))
MARKS = "*#$"  # of an estimate, behind the number

_NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?")
_WITH_COMMA = re.compile(r"[+-]?(?:\d{1,3}(?:\.\d{3})+|\d+)?,\d+")
_GROUPED = re.compile(r"[+-]?\d{1,3}(?:,\d{3})+(?:\.\d+)?")
MISSING_IN_TENTHS = frozenset(number for number in MISSING_NUMBERS if abs(number) >= 999)  # -99 is a frost of -9.9 °C
_UNIT_BEHIND = re.compile(
    r"\s*(?:(?P<mm>mm)|(?P<in>in\.?|inch(?:es)?|\"|'')|°?\s*(?P<C>C)|°?\s*(?P<F>F))$", re.IGNORECASE
)


def has_decimal_commas(cells: Collection[str]) -> bool:
    """Whether a column's numbers have commas where others have points; 1,012 alone does not tell."""
    if not any("," in cell for cell in cells):
        return False
    bare = [strip_marks(cell) for cell in cells]
    if any(_has_point(number) for number in bare):
        return False
    return any(_WITH_COMMA.fullmatch(number) and not _GROUPED.fullmatch(number) for number in bare)


def _has_point(number: str) -> bool:
    """Whether this is a number with a decimal point, other than a code that stands for a missing value."""
    return "." in number and _NUMBER.fullmatch(number) is not None and float(number) not in MISSING_NUMBERS


def strip_marks(cell: str) -> str:
    """A cell without marks of estimates and without the unit behind its number."""
    bare = cell.rstrip(MARKS).strip()
    return _UNIT_BEHIND.sub("", bare) if bare[:1].isdecimal() or bare[:1] in "+-." else bare


def unit_behind(cell: str) -> str | None:
    """The unit behind the number, where one stands there."""
    if cell[-1:].isdecimal():
        return None
    bare = cell.rstrip(MARKS).strip()
    match = _UNIT_BEHIND.search(bare) if bare[:1].isdecimal() or bare[:1] in "+-." else None
    return match.lastgroup if match else None


def is_missing(cell: str) -> bool:
    """Whether the cell says that there is no value."""
    return not cell or cell.lower() in MISSING


def is_trace(cell: str) -> bool:
    """Whether the cell says that some rain fell, too little to measure."""
    return cell.lower() in TRACES


def is_estimate(cell: str) -> bool:
    """Whether a mark behind the number says that it was estimated."""
    return cell[-1:] in tuple(MARKS) and len(cell) > 1


def read_figure(cell: str, commas: bool, tenths: bool = False) -> float | None:
    """The number in a cell, NaN for one that stands for a missing value, None where there is no number.

    `commas`: the column has decimal commas, and points between thousands. `tenths`: it holds tenths of its unit.
    """
    bare = cell if _NUMBER.fullmatch(cell) else strip_marks(cell)
    if commas and _WITH_COMMA.fullmatch(bare):
        number = float(bare.replace(".", "").replace(",", "."))
    elif _NUMBER.fullmatch(bare) and not (commas and _has_point(bare)):
        number = float(bare)
    else:
        return None
    if not math.isfinite(number):
        return None
    return math.nan if number in (MISSING_IN_TENTHS if tenths else MISSING_NUMBERS) else number
