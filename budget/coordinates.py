"""Latitudes and longitudes as people write them, and a place as it is typed on the command line.

    44.6    -123.1    44.6 N    W 123.1    123.1° W          degrees, south and west negative or with their letter
    44°36'12"N    44° 36.2' N    44 36 12 N    44d36m12s N   degrees, minutes and seconds
    44.6,-123.1    44.6N 123.1W    44.6,-123.1,90 m          a place; its height has m or ft

Nothing is guessed: what could be read in two ways is refused with a plain reason.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

LONGEST = 80  # characters; no place needs more
MINUTES, SECONDS = 60, 3600  # of a degree
FOOT = Fraction("0.3048")  # [m] international foot, exact by definition
ACCEPTED = "latitude and longitude such as 44.6,-123.1 or \"44°36'N, 123°6'W\", then a height such as 90 m or 300 ft"


@dataclass(frozen=True)
class Axis:
    """One of the two coordinates: its name, the letters of its positive and negative side, the most degrees."""

    name: str
    letters: str
    most: int


LATITUDE, LONGITUDE = Axis("latitude", "NS", 90), Axis("longitude", "EW", 180)


@dataclass(frozen=True)
class Position:
    """Where a place lies: `latitude`, `longitude` [degrees], south and west negative; `height` [m], if it was said."""

    latitude: float
    longitude: float
    height: float | None = None


# Signs that look alike, each as the plain one.
_ALIKE = str.maketrans(
    {
        **dict.fromkeys("−‐‑–", "-"),
        **dict.fromkeys("º˚", "°"),
        **dict.fromkeys("′’‘ʹ´`", "'"),
        **dict.fromkeys("″”“„ʺ", '"'),
        **dict.fromkeys("\u200b\u200e\u200f\u202a\u202c\ufeff"),  # invisible, as they come along from web pages
    }
)
_NUMBER = r"(?:[0-9]{1,20}(?:\.[0-9]{0,20})?|\.[0-9]{1,20})(?![0-9.])"
_COORDINATE = re.compile(
    rf"(?P<before>[NSEW])?\s*(?P<sign>[-+])?\s*(?P<degrees>{_NUMBER})\s*(?P<d>[°D])?\s*"
    rf"(?:(?P<minutes>{_NUMBER})\s*(?P<m>['M])?\s*(?:(?P<seconds>{_NUMBER})\s*(?P<s>[\"S])?\s*)?)?(?P<behind>[NSEW])?",
    re.IGNORECASE | re.ASCII,
)
# Whole numbers with a comma between them and no blank: two of them, or one with a decimal comma.
_COMMA = re.compile(r"(?<![0-9.])[0-9]+,[0-9]+(?![0-9.])")
_POINT = re.compile(r"[0-9]\.[0-9]")  # where decimals have a point, no comma is one
# Two coordinates without a comma between them, and what is behind them: their letters stand before, or behind.
_LETTERS_BEFORE = re.compile(r"([NSEW].*?)\s*([NSEW]\s*[0-9].*)()", re.IGNORECASE | re.ASCII)
_LETTERS_BEHIND = re.compile(r"([^NSEW].*?[NSEW])\s*([0-9].*?[NSEW])\s*((?:[-+0-9].*)?)", re.IGNORECASE | re.ASCII)
_HEIGHT = re.compile(rf"([-+]?{_NUMBER})\s*(ft|feet|m|metres?|meters?|)", re.IGNORECASE | re.ASCII)


def read_latitude(text: str) -> float:
    """Degrees north of the equator, negative south of it.

    Raises ValueError with the reason as it stands behind the text: `has both a sign and a letter`.
    """
    return _read(text, LATITUDE)


def read_longitude(text: str) -> float:
    """Degrees east of Greenwich, negative west of it; raises ValueError as `read_latitude` does."""
    return _read(text, LONGITUDE)


def read_position(text: str) -> Position:
    """A place: latitude, longitude, and its height if one is said. Raises ValueError with a plain reason."""
    plain = _plain(text)
    if (comma := _COMMA.search(plain)) and not _POINT.search(plain):
        raise ValueError(f"the comma of {comma[0]} may be a decimal one; a blank behind it says that it is not")
    first, *others = (part.strip() for part in re.split("[,;]", plain))
    together = _LETTERS_BEFORE.fullmatch(first) or _LETTERS_BEHIND.fullmatch(first)
    parts = [*(part for part in together.groups() if part), *others] if together else [first, *others]
    if len(parts) == 1:
        raise ValueError("it has no comma between latitude and longitude")
    if len(parts) > 3:
        raise ValueError(f"it has {len(parts)} parts")
    latitude, longitude = (_read_part(part, axis) for part, axis in zip(parts, (LATITUDE, LONGITUDE), strict=False))
    return Position(latitude, longitude, _read_height(parts[2]) if len(parts) == 3 else None)


def _plain(text: str) -> str:
    """The text with plain signs and blanks. Raises ValueError where it is too long to be a place."""
    plain = " ".join(text.translate(_ALIKE).split()).replace("''", '"')
    if len(plain) > LONGEST:
        raise ValueError(f"has {len(plain)} characters")
    return plain


def _read(text: str, axis: Axis) -> float:
    plain = _plain(text)
    if "," in plain:
        raise ValueError("has a decimal comma" if _COMMA.search(plain) else "has a comma")
    match = _COORDINATE.fullmatch(plain)
    if match is None:
        raise ValueError("cannot be read")
    negative = _negative(match, axis)
    if (match["minutes"] and "." in match["degrees"]) or (match["seconds"] and "." in match["minutes"]):
        raise ValueError("has a fraction before a smaller unit")
    degrees, minutes, seconds = (Fraction(match[part] or 0) for part in ("degrees", "minutes", "seconds"))
    for name, count in (("minutes", minutes), ("seconds", seconds)):
        if count >= MINUTES:
            raise ValueError(f"has 60 {name} or more")
    value = degrees + minutes / MINUTES + seconds / SECONDS
    if value > axis.most:
        raise ValueError(f"is out of bounds, beyond {axis.most} degrees")
    return float(-value if negative else value)


def _negative(match: re.Match[str], axis: Axis) -> bool:
    """Whether it lies south or west: by its sign, or by its letter, of which there is one at most."""
    letters = _letters(match, axis)
    if len(letters) > 1:
        raise ValueError("has two letters")
    if letters and match["sign"]:
        raise ValueError("has both a sign and a letter")
    if letters and letters[0] not in axis.letters:
        raise ValueError(f"has the letter {letters[0]}, which is not for a {axis.name}")
    return match["sign"] == "-" or letters == [axis.letters[1]]


def _letters(match: re.Match[str], axis: Axis) -> list[str]:
    """The letters of the quarters, among them an s at the end that does not stand for seconds.

    Minutes and seconds have letters only where degrees have their d: a lone m could be metres. Raises ValueError where
    an s could be either.
    """
    letters = [letter.upper() for letter in (match["before"], match["behind"]) if letter]
    lettered = match["d"] in ("d", "D")
    seconds = match["s"] in ("s", "S")  # or south
    if not lettered and (match["m"] in ("m", "M") or (seconds and match["behind"])):
        raise ValueError("cannot be read")
    ends = seconds and not match["behind"]
    skips = lettered and match["minutes"] and not (match["m"] or match["seconds"]) and match["behind"] in ("s", "S")
    known = match["before"] or match["sign"] or axis is LONGITUDE
    if skips or (ends and not known and lettered) or (ends and not lettered and match["s"] == "s"):
        raise ValueError("ends with an s, for south or for seconds")
    return [*letters, "S"] if ends and not lettered else letters


def _read_part(part: str, axis: Axis) -> float:
    """A coordinate of a place; the reason of a refusal names it, and tells where the two seem to be exchanged."""
    try:
        return _read(part, axis)
    except ValueError as reason:
        exchanged = ": the latitude comes first" if axis is LATITUDE and _only_longitude(part) else ""
        raise ValueError(f"its {axis.name} {reason}{exchanged}") from None


def _only_longitude(part: str) -> bool:
    try:
        return abs(_read(part, LONGITUDE)) > LATITUDE.most or re.search("[EWew]", part) is not None
    except ValueError:
        return False


def _read_height(text: str) -> float:
    """A height [m]."""
    match = _HEIGHT.fullmatch(text)
    if match is None:
        raise ValueError("its height cannot be read")
    if not match[2]:
        raise ValueError("its height has no unit")
    return float(Fraction(match[1]) * (FOOT if match[2].casefold().startswith("f") else 1))
