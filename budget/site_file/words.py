"""How faults word what was found in a site file, and what would be accepted."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping, Sequence
from decimal import ROUND_CEILING, ROUND_FLOOR, Context, Decimal
from difflib import get_close_matches
from functools import cache

from budget.declarations import Input
from budget.references import TABLES
from budget.site_file.schema import LONGEST_TEXT, bounds, choices
from budget.units import UNREADABLE, System, Unit, registry, to_book

LONGEST_SHOWN = 60  # characters of a value that a fault repeats
# What a quantity of the wrong kind is called, by its dimension.
DIMENSIONS = (
    ("m", "a length"),
    ("m**2", "an area"),
    ("m**3", "a volume"),
    ("m**3/day", "a volume per time"),
    ("m**2/day", "a volume per time and length"),
    ("day", "a time"),
    ("degC", "a temperature"),
    ("m/day", "a speed"),
    ("kg", "a mass"),
)
FILES_ACCEPTED = 'a name such as "rain.csv", or a list of names'
TOML_ACCEPTED = 'lines such as capacity = "5000 gal", quantities and texts in quotes, dates as 2019-05-12'


def kind(given: Input) -> str:
    """What kind of value an input takes, with an example: `a pumping rate such as 8 gal/min`."""
    if given.unit is Unit.TEXT:
        return text_accepted(given)
    if not given.unit.physical and given.unit not in (Unit.SHARE, Unit.DATE, Unit.LATITUDE, Unit.LONGITUDE):
        return f"{given.unit.value.what}, {bounds_in_words(given, 'metric')}"
    return f"{given.unit.value.what} such as {given.unit.value.example}"


def bounds_in_words(given: Input, system: System) -> str:
    """`0.05284 to 528.3 gal/min`: to four digits, rounded inwards, so that what is printed is accepted."""
    low, high = bounds(given, system)
    if given.unit is Unit.DATE:
        return f"{given.low} to {given.high}"
    if given.unit is Unit.YEAR:
        return f"{low:.0f} to {high:.0f}"
    stated = f"{_rounded(low, ROUND_CEILING)} to {_rounded(high, ROUND_FLOOR)}"
    return f"{stated} {unit_in_words(given.unit, system)}" if given.unit.physical else stated


def _rounded(number: float, rounding: str) -> str:
    return f"{float(Context(prec=4, rounding=rounding).create_decimal(Decimal(repr(number)))):,.10g}"


@cache
def unit_in_words(unit: Unit, system: System) -> str:
    """The unit as it stands in the book's headings, if a site file can be written with it, else its expression."""
    label = unit.label(system)
    try:
        to_book(f"1 {label}", unit, system)
    except UNREADABLE:
        return unit.expression(system)
    return label


def dimension(dimensionality: object) -> str:
    for expression, words in DIMENSIONS:
        if registry().parse_units(expression).dimensionality == dimensionality:
            return words
    return "another kind of quantity"


def not_a_choice(given: Input, raw: str) -> str:
    if isinstance(given.choices, str):
        return f"{shown(raw)} is not in the {given.choices.split(':')[1]} table"
    return f"{shown(raw)} is not one of the choices"


def text_accepted(given: Input, raw: str = "") -> str:
    if isinstance(given.choices, str):
        table, column = given.choices.split(":")
        return f"a {column} of the table, {nearest(raw, choices(given))}" if table in TABLES else "a word of the list"
    return ", ".join(given.choices) if given.choices else f"text of 1 to {LONGEST_TEXT} characters"


def twelve_accepted(given: Input) -> str:
    accepted = f"12 entries, January to December, each {kind(given)}{' or empty' if given.optional else ''}"
    return accepted if given.optional else f"{accepted}; or one for all months"


def nearest(word: str, words: Sequence[str]) -> str:
    """`nearest: apples`, or all words where none is near."""
    near = get_close_matches(word.casefold(), words, n=3, cutoff=0.6)
    near += [entry for entry in words if len(word) > 2 and word.casefold() in entry and entry not in near]
    return f"nearest: {', '.join(near[:3])}" if near else f"which are: {', '.join(words)}"


def shown(raw: object) -> str:
    """A value of the file as a fault repeats it, on one line."""
    if isinstance(raw, str):
        return f"'{one_line(raw)}'"
    if isinstance(raw, bool):
        return str(raw).lower()
    if isinstance(raw, list):
        return "a list"
    if isinstance(raw, Mapping):
        return "a section"
    if isinstance(raw, int) and abs(raw) >= 10**15:
        return "a number of very many digits"
    return one_line(str(raw))


def one_line(text: str) -> str:
    plain = "".join(f"\\u{ord(c):04x}" if unprintable(c) else c for c in text[: LONGEST_SHOWN + 1])
    return plain if len(text) <= LONGEST_SHOWN else plain[:LONGEST_SHOWN] + "…"


def unprintable(character: str) -> bool:
    """Controls, line separators, and what no XML file may hold."""
    return unicodedata.category(character) in ("Cc", "Zl", "Zp", "Cs") or character in "\ufffe\uffff"
