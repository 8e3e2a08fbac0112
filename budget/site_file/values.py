"""Values: from what stands in a site file to what stands in the book, or why it is refused."""

from __future__ import annotations

import calendar
import datetime
import math
import re
from collections.abc import Sequence

from budget.coordinates import read_latitude, read_longitude
from budget.declarations import Input
from budget.site_file.schema import LONGEST_TEXT, TWELVE, bounds, choices
from budget.site_file.words import (
    bounds_in_words,
    dimension,
    kind,
    not_a_choice,
    one_line,
    shown,
    text_accepted,
    twelve_accepted,
    unprintable,
)
from budget.units import UNREADABLE, WHOLE_NUMBERS, System, Unit, parse, registry, serial, to_book
from budget.water import years_of_record

Value = float | str | None
DEGREES = {Unit.LATITUDE: read_latitude, Unit.LONGITUDE: read_longitude}
# A number with a decimal point, commas only between thousands, then a unit; anything else is refused unread, so that
# a decimal comma is never taken for one between thousands.
QUANTITY = re.compile(
    r"\s*[+-]?(?:(?:\d{1,3}(?:,\d{3})+|\d{1,30})(?:\.\d{0,30})?|\.\d{1,30})(?:[eE][+-]?\d{1,3})?"
    r"(?P<unit>(?!\d)[\s\w°µμ²³·*/^().%-]{0,60})"
)


class Refused(Exception):
    """A value that is not accepted: what was found, and what would be."""

    def __init__(self, found: str, accepted: str) -> None:
        super().__init__(f"{found}; accepted: {accepted}")
        self.found, self.accepted = found, accepted


def read_value(given: Input, raw: object, system: System) -> Value:
    """A value of the site file as it stands in the book, None for one that is left empty.

    Raises Refused with what was found and what is accepted.
    """
    if is_blank(raw):
        if given.optional:
            return None
        raise Refused("is empty", kind(given))
    if given is years_of_record.INPUTS[0]:
        return _read_odds(raw)
    if given.unit is Unit.TEXT:
        return _read_text(given, raw)
    if given.unit is Unit.DATE:
        return _read_date(given, raw)
    number = _read_number(given, raw, system)
    low, high = bounds(given, system)
    if not low <= number <= high:
        raise Refused(f"{shown(raw)} is out of bounds", bounds_in_words(given, system))
    if given.unit in WHOLE_NUMBERS:
        if number != int(number):
            raise Refused(f"{shown(raw)} is not a whole number", f"a whole number, {bounds_in_words(given, system)}")
        return int(number)
    return number


def _read_odds(raw: object) -> Value:
    """What is planned for: odds by their words, or a year by its number."""
    accepted = f"{', '.join(years_of_record.ODDS)}, or a year of the record by its number"
    if isinstance(raw, int) and not isinstance(raw, bool) and 1000 <= raw <= 9999:
        return raw
    if isinstance(raw, str) and re.fullmatch("[1-9][0-9]{3}", raw.strip()):
        return int(raw)
    word = word_of(raw, years_of_record.ODDS)
    if word is None:
        raise Refused(f"{shown(raw)} is neither odds nor a year", accepted)
    return word


def _read_date(given: Input, raw: object) -> Value:
    """A day as the number by which a spreadsheet knows it."""
    if isinstance(raw, str):
        try:
            raw = datetime.date.fromisoformat(raw.strip())
        except ValueError:
            raise Refused(f"{shown(raw)} is not a date", kind(given)) from None
    if not isinstance(raw, datetime.date) or isinstance(raw, datetime.datetime):
        raise Refused(f"{shown(raw)} is not a date", kind(given))
    low, high = bounds(given, "metric")
    if not low <= serial(raw) <= high:
        raise Refused(f"{raw.isoformat()} is out of bounds", bounds_in_words(given, "metric"))
    return serial(raw)


def _read_text(given: Input, raw: object) -> str:
    if not isinstance(raw, str):
        raise Refused(f"{shown(raw)} is not text", text_accepted(given))
    if len(raw) > LONGEST_TEXT:
        raise Refused(f"has {len(raw)} characters", kind(given))
    if any(unprintable(character) for character in raw):
        raise Refused(f"{shown(raw)} holds a control character", kind(given))
    if given.choices is None:
        return raw
    word = word_of(raw, choices(given))
    if word is None:
        raise Refused(not_a_choice(given, raw), text_accepted(given, raw))
    return word


def _read_number(given: Input, raw: object, system: System) -> float:
    if isinstance(raw, bool) or not isinstance(raw, (int, float, str)):
        raise Refused(f"{shown(raw)} is not a number", kind(given))
    if isinstance(raw, str):
        return _read_degrees(given, raw) if given.unit in DEGREES else _read_quantity(given, raw, system)
    try:
        number = float(raw)
    except OverflowError:
        raise Refused(f"{shown(raw)} is out of bounds", bounds_in_words(given, system)) from None
    if not math.isfinite(number):
        raise Refused(f"{shown(raw)} is not a number", kind(given))
    if given.unit.physical:
        raise Refused(f"{shown(raw)} has no unit", kind(given))
    return number


def _read_degrees(given: Input, raw: str) -> float:
    try:
        return DEGREES[given.unit](raw)
    except ValueError as reason:
        raise Refused(f"{shown(raw)} {reason}", kind(given)) from None


def _read_quantity(given: Input, raw: str, system: System) -> float:
    match = QUANTITY.fullmatch(raw)
    if match is None or re.search(r"\d{2}", match["unit"]):
        raise Refused(f"{shown(raw)} cannot be read as a quantity", kind(given))
    try:
        quantity = parse(raw)
    except UNREADABLE:
        unit = one_line(match["unit"].strip())
        raise Refused(f"{shown(raw)} cannot be read, '{unit}' is not a unit", kind(given)) from None
    if given.unit.physical and quantity.units != registry().dimensionless:
        wanted = registry().parse_units(given.unit.expression(system))
        if quantity.dimensionality != wanted.dimensionality:
            raise Refused(f"{shown(raw)} is {dimension(quantity.dimensionality)}", kind(given))
    try:
        return to_book(raw, given.unit, system)
    except ValueError as reason:
        raise Refused(f"{shown(raw)} {reason}", kind(given)) from None
    except UNREADABLE:
        raise Refused(f"{shown(raw)} cannot be converted", kind(given)) from None


def read_twelve(given: Input, raw: object, system: System) -> tuple[list[Value], list[tuple[int, Refused]]]:
    """Twelve values, January to December, and the refused ones by their number from 1.

    An input with a default may be given as one value for all months; any as values by the names of months, the others
    left at the default. Raises Refused where there are not twelve, or a month is not known or there twice.
    """
    if isinstance(raw, dict):
        return read_twelve(given, _by_month_names(given, raw), system)
    if not isinstance(raw, list):
        if given.optional:
            raise Refused(f"{shown(raw)} is not a list", twelve_accepted(given))
        return [read_value(given, raw, system)] * TWELVE, []
    if len(raw) != TWELVE:
        count = "1 entry" if len(raw) == 1 else f"{len(raw)} entries"
        raise Refused(f"has {count}", twelve_accepted(given))
    values: list[Value] = []
    refusals: list[tuple[int, Refused]] = []
    for number, entry in enumerate(raw, 1):
        try:
            values.append(read_value(given, entry, system))
        except Refused as refusal:
            refusals.append((number, refusal))
    return values, refusals


def _by_month_names(given: Input, raw: dict[str, object]) -> list[object]:
    """A list of twelve from values by the names of months, whole or short, or their numbers."""
    twelve: list[object] = [given.default or ""] * TWELVE
    seen: set[int] = set()
    for name, value in raw.items():
        month = _month_number(name)
        if month is None:
            raise Refused(f"{shown(name)} is not a month", "months such as aug or August, or 1 to 12")
        if month in seen:
            raise Refused(f"{calendar.month_name[month]} is there twice", "each month once")
        seen.add(month)
        twelve[month - 1] = value
    return twelve


def _month_number(name: str) -> int | None:
    """1 to 12 for the name of a month, whole or its first three letters, or its number; None for another word."""
    word = name.strip().casefold()
    for month in range(1, TWELVE + 1):
        full = calendar.month_name[month].casefold()
        if word in (full, full[:3], str(month)):
            return month
    return None


def default_value(given: Input, system: System) -> Value:
    """What stands in the book where the file gives nothing."""
    return None if not given.default else read_value(given, given.default, system)


def word_of(raw: object, words: Sequence[str]) -> str | None:
    """The word that was meant, capitals aside; None if there is none."""
    if not isinstance(raw, str):
        return None
    return next((word for word in words if word.casefold() == raw.strip().casefold()), None)


def is_blank(raw: object) -> bool:
    """Whether the file leaves a place empty."""
    return isinstance(raw, str) and not raw.strip()
