"""Coordinates: the forms that people write, with their degrees by hand, and those that are refused, with the reason.

A minute is 1/60 of a degree and a second 1/3600: 36' are 0.6, 6' are 0.1, 18" are 0.005 and 36" are 0.01 degrees.
"""

from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from budget.coordinates import ACCEPTED, LONGEST, Position, read_latitude, read_longitude, read_position
from budget.units import Unit

LATITUDES = [
    ("44.6", 44.6),
    ("-38.2", -38.2),
    ("+44.6", 44.6),
    (" 44.6 ", 44.6),
    ("44", 44),
    ("44.", 44),
    (".5", 0.5),
    ("0", 0),
    ("90", 90),
    ("-90", -90),
    ("−38.2", -38.2),  # the minus of mathematics
    ("–38.2", -38.2),  # a dash
    ("44.6 N", 44.6),
    ("44.6N", 44.6),
    ("44.6n", 44.6),
    ("N 44.6", 44.6),
    ("N44.6", 44.6),
    ("38.2 S", -38.2),
    ("s 38.2", -38.2),
    ("38.2s", -38.2),
    ("0 S", 0),
    ("44.6°", 44.6),
    ("44.6° N", 44.6),
    ("44.6º N", 44.6),  # the raised o
    ("-38.2°", -38.2),
    ("44d", 44),
    ("38d S", -38),
    # Minutes.
    ("44°36'N", 44.6),
    ("44° 36' N", 44.6),
    ("44 36 N", 44.6),
    ("44 36", 44.6),
    ("-38 12", -38.2),
    ("N 44° 36'", 44.6),
    ("44d36mN", 44.6),
    ("38d12mS", -38.2),
    ("38 12 S", -38.2),
    ("38 12 s", -38.2),
    ("44° 36.3' N", 44.605),
    ("44 36.3", 44.605),
    ("0° 30' S", -0.5),
    ("-0° 30'", -0.5),
    ("89°59.97'", 89.9995),
    # Seconds.
    ("44°36'18\"N", 44.605),
    ("44°36'18.0\"N", 44.605),
    ("44 36 18 N", 44.605),
    ("44 36 18", 44.605),
    ("44° 36′ 18″ N", 44.605),
    ("44° 36’ 18” N", 44.605),
    ("44° 36’ 18’’ N", 44.605),
    ("44°36'18''N", 44.605),
    ("44\u00b0\u00a036'\u202f18\"\u00a0N", 44.605),  # no-break spaces
    ("\u200e44°36'18\"N\u200e", 44.605),  # marks of the writing direction
    ("44d36m18s N", 44.605),
    ("44d 36m 18s n", 44.605),
    ("44D36M18SN", 44.605),
    ("N 44d36m18s", 44.605),
    ("S38d12m36s", -38.21),
    ("38d12m36sS", -38.21),
    ("-38d12m36s", -38.21),
    ("38 12 36 S", -38.21),
    ("38°12'36S", -38.21),
    ("0 0 36 N", 0.01),
    ("-0 0 36", -0.01),
    ("38° 12' 36\" S", -38.21),
    ("44°36'59.9999\"N", 44.616666638888889),  # 44 + 2219.9999/3600
]
LONGITUDES = [
    ("-123.1", -123.1),
    ("123.1 W", -123.1),
    ("W 123.1", -123.1),
    ("W123.1", -123.1),
    ("123.1° W", -123.1),
    ("123.1w", -123.1),
    ("176.1 E", 176.1),
    ("176.1e", 176.1),
    ("E 176.1°", 176.1),
    ("180", 180),
    ("-180", -180),
    ("123°6'W", -123.1),
    ("123° 06' 18\" W", -123.105),
    ("123 6 18 W", -123.105),
    ("123d6m18s W", -123.105),
    ("123d6m18s", 123.105),  # no longitude is south
    ("0° 6' W", -0.1),
    ("179°59'59.64\"E", 179.9999),
]


@pytest.mark.parametrize(("written", "degrees"), LATITUDES, ids=[written for written, _ in LATITUDES])
def test_a_latitude(written: str, degrees: float) -> None:
    assert read_latitude(written) == degrees


@pytest.mark.parametrize(("written", "degrees"), LONGITUDES, ids=[written for written, _ in LONGITUDES])
def test_a_longitude(written: str, degrees: float) -> None:
    assert read_longitude(written) == degrees


S_OR_SOUTH = "ends with an s, for south or for seconds"
NO_LATITUDES = [
    ("", "cannot be read"),
    ("north", "cannot be read"),
    ("44.6 degrees", "cannot be read"),
    ("44.6 O", "cannot be read"),
    ("N", "cannot be read"),
    ("1e1", "cannot be read"),
    ("--44", "cannot be read"),
    ("44 -36", "cannot be read"),
    ("44-36-18", "cannot be read"),
    ("44..6", "cannot be read"),
    ("4.4.6", "cannot be read"),
    ('44°12"', "cannot be read"),
    ("44'36'", "cannot be read"),
    ("44 36 18 5", "cannot be read"),
    ("44° N 36'", "cannot be read"),
    ("nan", "cannot be read"),
    ("٤٤", "cannot be read"),
    ("9" * 30, "cannot be read"),
    ("4" * (LONGEST + 1), f"has {LONGEST + 1} characters"),
    # An m may be metres where no d says that letters stand for minutes.
    ("44 36m", "cannot be read"),
    ("44° 36m 18s N", "cannot be read"),
    ("44 36 18s N", "cannot be read"),
    # An s may be seconds, or south.
    ("38d12m36s", S_OR_SOUTH),
    ("38d12m36S", S_OR_SOUTH),
    ("38d12m36 s", S_OR_SOUTH),
    ("38d12s", S_OR_SOUTH),
    ("38 12 36 s", S_OR_SOUTH),
    ("38°12'36s", S_OR_SOUTH),
    ("-38d12s", S_OR_SOUTH),
    # Sign and letter, letters of the other axis, two letters.
    ("-38.2 S", "has both a sign and a letter"),
    ("S -38.2", "has both a sign and a letter"),
    ("-44.6 N", "has both a sign and a letter"),
    ("+44.6 N", "has both a sign and a letter"),
    ("−38 12 36 S", "has both a sign and a letter"),
    ("44.6 W", "has the letter W, which is not for a latitude"),
    ("E 44.6", "has the letter E, which is not for a latitude"),
    ("44°36'18\"w", "has the letter W, which is not for a latitude"),
    ("N 44.6 N", "has two letters"),
    ("N 44.6 S", "has two letters"),
    ("N 44 36 18 S", "has two letters"),
    # Smaller units.
    ("44.5° 30'", "has a fraction before a smaller unit"),
    ("44.0° 30'", "has a fraction before a smaller unit"),
    ("44. 30", "has a fraction before a smaller unit"),
    ("44° 30.5' 10\"", "has a fraction before a smaller unit"),
    ("44° 60'", "has 60 minutes or more"),
    ("44 75.5", "has 60 minutes or more"),
    ("44 123.1", "has 60 minutes or more"),
    ("44° 36' 60\"", "has 60 seconds or more"),
    ("44 60 60", "has 60 minutes or more"),
    # Bounds.
    ("90.001", "is out of bounds, beyond 90 degrees"),
    ("-95", "is out of bounds, beyond 90 degrees"),
    ("90°0'0.1\"N", "is out of bounds, beyond 90 degrees"),
    ("123.1", "is out of bounds, beyond 90 degrees"),
    # Commas.
    ("44,6", "has a decimal comma"),
    ("44,6 N", "has a decimal comma"),
    ("44° 36,3' N", "has a decimal comma"),
    ("44.6,-123.1", "has a comma"),
    ("44.6, 123.1", "has a comma"),
]
NO_LONGITUDES = [
    ("123.1 N", "has the letter N, which is not for a longitude"),
    ("123.1 S", "has the letter S, which is not for a longitude"),
    ("123 6 18 S", "has the letter S, which is not for a longitude"),
    ("123 6 18 s", S_OR_SOUTH),
    ("-123.1 W", "has both a sign and a letter"),
    ("W 123.1 W", "has two letters"),
    ("180.1", "is out of bounds, beyond 180 degrees"),
    ("180°0'1\"W", "is out of bounds, beyond 180 degrees"),
    ("123.1 O", "cannot be read"),  # west in French, east in German
    ("123.5° 6'", "has a fraction before a smaller unit"),
    ("123,1", "has a decimal comma"),
]


def reason(read: Callable[[str], object], text: str) -> str:
    with pytest.raises(ValueError) as refused:
        read(text)
    return str(refused.value)


@pytest.mark.parametrize(("written", "said"), NO_LATITUDES, ids=[written[:20] for written, _ in NO_LATITUDES])
def test_no_latitude(written: str, said: str) -> None:
    assert reason(read_latitude, written) == said


@pytest.mark.parametrize(("written", "said"), NO_LONGITUDES, ids=[written for written, _ in NO_LONGITUDES])
def test_no_longitude(written: str, said: str) -> None:
    assert reason(read_longitude, written) == said


# ---------------------------------------------------------------- a place

HERE = Position(44.6, -123.1)
POSITIONS = [
    ("44.6,-123.1", HERE),
    ("44.6, -123.1", HERE),
    ("44.6;-123.1", HERE),
    ("44.6N 123.1W", HERE),
    ("44.6N123.1W", HERE),
    ("44.6 n, 123.1 w", HERE),
    ("N44.6 W123.1", HERE),
    ("N 44.6, W 123.1", HERE),
    ("44.6 N, -123.1", HERE),
    ("44°36'N, 123°6'W", HERE),
    ("44°36'N 123°6'W", HERE),
    ("N 44° 36' W 123° 6'", HERE),
    ("44 36,-123 6.0", HERE),
    ("44°36'18\"N 123°06'18\"W", Position(44.605, -123.105)),
    ("44d36m18sN 123d6m18sW", Position(44.605, -123.105)),
    ("N 44d36m18s W 123d6m18s", Position(44.605, -123.105)),
    ("S38d12m36s E176d6m", Position(-38.21, 176.1)),
    ("-38.2,176.1", Position(-38.2, 176.1)),
    ("38.2 S 176.1 E", Position(-38.2, 176.1)),
    ("45, 7", Position(45, 7)),
    ("45,-7", Position(45, -7)),
    ("45,7.5", Position(45, 7.5)),
    ("0.0,0.0", Position(0, 0)),
    ("44.6,-123.1,90 m", Position(44.6, -123.1, 90)),
    ("44.6,-123.1,90m", Position(44.6, -123.1, 90)),
    ("44.6, -123.1, 90.5 M", Position(44.6, -123.1, 90.5)),
    ("44.6,-123.1,300 ft", Position(44.6, -123.1, 91.44)),
    ("44.6,-123.1,-3 m", Position(44.6, -123.1, -3)),
    ("44.6N 123.1W 90 m", Position(44.6, -123.1, 90)),
    ("44.6N 123.1W, 90 m", Position(44.6, -123.1, 90)),
    ("N 44.6 W 123.1, 90 m", Position(44.6, -123.1, 90)),
    ("44°36'N, 123°6'W, 300 ft", Position(44.6, -123.1, 91.44)),
]


@pytest.mark.parametrize(("written", "position"), POSITIONS, ids=[written for written, _ in POSITIONS])
def test_a_place(written: str, position: Position) -> None:
    assert read_position(written) == position


EXCHANGED = ": the latitude comes first"
NO_POSITIONS = [
    ("", "it has no comma between latitude and longitude"),
    ("44.6", "it has no comma between latitude and longitude"),
    ("44.6 -123.1", "it has no comma between latitude and longitude"),
    ("44.6N -123.1", "it has no comma between latitude and longitude"),
    ("44,6,-123,1", "the comma of 44,6 may be a decimal one; a blank behind it says that it is not"),
    ("44,6", "the comma of 44,6 may be a decimal one; a blank behind it says that it is not"),
    ("44,6; -123,1", "the comma of 44,6 may be a decimal one; a blank behind it says that it is not"),
    ("44°36,3'N, 123°6'W", "the comma of 36,3 may be a decimal one; a blank behind it says that it is not"),
    ("44.6,-123.1,1,200 m", "it has 4 parts"),
    ("44,-123,90 m", "the comma of 123,90 may be a decimal one; a blank behind it says that it is not"),
    ("44 36 18,123 6 18", "the comma of 18,123 may be a decimal one; a blank behind it says that it is not"),
    ("44.6,-123.1,90 m,8 m", "it has 4 parts"),
    ("44.6,", "its longitude cannot be read"),
    (",44.6", "its latitude cannot be read"),
    ("home,town", "its latitude cannot be read"),
    ("-123.1,44.6", f"its latitude is out of bounds, beyond 90 degrees{EXCHANGED}"),
    ("123.1,44.6", f"its latitude is out of bounds, beyond 90 degrees{EXCHANGED}"),
    ("123.1W 44.6N", f"its latitude has the letter W, which is not for a latitude{EXCHANGED}"),
    ("9°6'E, 44°36'N", f"its latitude has the letter E, which is not for a latitude{EXCHANGED}"),
    ("195.5,44.6", "its latitude is out of bounds, beyond 90 degrees"),
    ("44.6,-181", "its longitude is out of bounds, beyond 180 degrees"),
    ("-44.6 N, 123.1 W", "its latitude has both a sign and a letter"),
    ("44.6 N, 123.1 N", "its longitude has the letter N, which is not for a longitude"),
    ("38d12m36s, 176.1", "its latitude ends with an s, for south or for seconds"),
    ("38d12m36s 176d6m0sE", "its latitude ends with an s, for south or for seconds"),
    ("44.5° 30' N, 123.1 W", "its latitude has a fraction before a smaller unit"),
    # Metres without a comma before them are no minutes.
    ("44.6, -123 50 m", "its longitude cannot be read"),
    ("N 44.6 W 123 50 m", "its longitude cannot be read"),
    ("44.6,-123.1,90", "its height has no unit"),
    ("44.6,-123.1,", "its height cannot be read"),
    ("44.6,-123.1,90 km", "its height cannot be read"),
    ("44.6,-123.1,high", "its height cannot be read"),
]


@pytest.mark.parametrize(("written", "said"), NO_POSITIONS, ids=[written for written, _ in NO_POSITIONS])
def test_no_place(written: str, said: str) -> None:
    assert reason(read_position, written) == said


def test_the_forms_that_are_told_as_accepted_are() -> None:
    for unit, read in ((Unit.LATITUDE, read_latitude), (Unit.LONGITUDE, read_longitude)):
        first, last = unit.value.example.split(" or ")
        assert len([read(text) for text in (*first.split(", "), last)]) == 3
    plain, quoted = ACCEPTED.removeprefix("latitude and longitude such as ").split(" or ", 1)
    assert read_position(plain) == read_position(quoted.split('"')[1]) == HERE
    metres, feet = ACCEPTED.rpartition("such as ")[2].split(" or ")
    assert read_position(f"{plain},{metres}") == Position(44.6, -123.1, 90)
    assert read_position(f"{plain}, {feet}") == Position(44.6, -123.1, 91.44)


# ---------------------------------------------------------------- there and back

PARTS = 10**7  # of a second, as finely as it is written here
# Degrees, minutes and seconds, and the letter of the side, as people write them.
STYLES = [
    "{d}°{m}'{s}\"{letter}",
    "{d}° {m:02}′ {s}″ {letter}",
    "{d}\u00a0{m}\u00a0{s}\u00a0{letter}",
    "{letter} {d} {m} {s}",
    "{letter}{d}°{m:02}’{s}’’",
    "{d}d{m}m{s}s {letter}",
    "{sign}{d}d{m}m{s}s",
    "{sign}{d}° {m}' {s}\"",
    "{sign}{d} {m:02} {s}",
    "{d}°{minutes}'{letter}",
    "{letter} {d} {minutes}",
    "{sign}{d} {minutes}'",
    "{degrees}° {letter}",
    "{letter}{degrees}",
    "{sign}{degrees}",
]


def written_as(style: str, value: float, letters: str) -> str:
    """A coordinate in that style, to a ten-millionth of a second."""
    parts = round(abs(Fraction(value)) * 3600 * PARTS)
    d, rest = divmod(parts, 3600 * PARTS)
    m, s = divmod(rest, 60 * PARTS)
    south_or_west = value < 0
    return style.format(
        d=d,
        m=m,
        s=f"{s // PARTS}.{s % PARTS:07}",
        minutes=decimal(Fraction(rest, 60 * PARTS)),
        degrees=decimal(Fraction(parts, 3600 * PARTS)),
        letter=letters[south_or_west],
        sign="-" if south_or_west else "+",
    )


def decimal(number: Fraction) -> str:
    """With fourteen digits behind the point, none of them by way of a float."""
    scaled = round(number * 10**14)
    return f"{scaled // 10**14}.{scaled % 10**14:014}"


@given(st.floats(-90, 90), st.sampled_from(STYLES))
def test_a_latitude_is_read_as_it_was_written(value: float, style: str) -> None:
    assert read_latitude(written_as(style, value, "NS")) == pytest.approx(value, rel=0, abs=1e-9)


@given(st.floats(-180, 180), st.sampled_from(STYLES))
def test_a_longitude_is_read_as_it_was_written(value: float, style: str) -> None:
    assert read_longitude(written_as(style, value, "EW")) == pytest.approx(value, rel=0, abs=1e-9)


@given(st.floats(-90, 90), st.floats(-180, 180), st.sampled_from(STYLES), st.sampled_from([",", ", ", " ; ", " "]))
def test_a_place_is_read_as_it_was_written(latitude: float, longitude: float, style: str, between: str) -> None:
    """Letters part the two without a comma; signs want one."""
    parts = written_as(style, latitude, "NS"), written_as(style, longitude, "EW")
    text = f"{between.join(parts)}, 90 m"
    if between == " " and "{letter}" not in style:
        assert reason(read_position, text)
        return
    read = read_position(text)
    assert (read.latitude, read.longitude) == pytest.approx((latitude, longitude), rel=0, abs=1e-9)
    assert read.height == 90


@given(st.text(max_size=40) | st.text("0123456789.,;-+ °'\"′″NSEWnsewdmft", max_size=30))
def test_whatever_is_written_is_within_bounds_or_refused_in_one_line(text: str) -> None:
    for read, most in ((read_latitude, 90), (read_longitude, 180)):
        try:
            assert -most <= read(text) <= most
        except ValueError as refusal:
            assert str(refusal).isprintable()
    try:
        position = read_position(text)
    except ValueError as refusal:
        assert str(refusal).isprintable()
    else:
        assert -90 <= position.latitude <= 90 and -180 <= position.longitude <= 180
