"""Where stations stand: distances against the weather library, directions by hand, years that count."""

from __future__ import annotations

import math
import random
from datetime import date

import pytest

from budget.errors import InputFaults
from budget.record.station import EARTH_RADIUS, POINTS, Station, Wanted, direction, distance, plain_name, told_height
from budget.record.station import warmer as warmer_here

TODAY = date(2026, 11, 25)


def wanted(**given: object) -> Wanted:
    return Wanted(
        **{**dict(latitude=44.3, longitude=-30.0, station=None, from_year=None, to_year=None, within=50.0), **given}
    )  # type: ignore[arg-type]


def test_distance_is_that_of_the_library() -> None:
    """meteostat's own great circle, which is rounded to a metre."""
    from meteostat.utils.geo import get_distance

    rng = random.Random(8)
    for _ in range(200):
        pair = [(rng.uniform(-90, 90), rng.uniform(-180, 180)) for _ in range(2)]
        assert distance(*pair[0], *pair[1]) * 1000 == pytest.approx(get_distance(*pair[0], *pair[1]), abs=0.51)


@pytest.mark.parametrize(
    ("here", "there", "degrees"),
    [
        ((0, 0), (1, 0), 1),
        ((0, 179.5), (0, -179.5), 1),
        ((89.5, 0), (89.5, 180), 1),
        ((44, 10), (44, 10), 0),
        ((0, 0), (0, 180), 180),
    ],
)
def test_distance_along_great_circles(here: tuple[float, float], there: tuple[float, float], degrees: float) -> None:
    """Arcs of the equator and of meridians, across the date line and the pole."""
    assert distance(*here, *there) == pytest.approx(math.radians(degrees) * EARTH_RADIUS, abs=1e-6)


@pytest.mark.parametrize(
    ("point", "north", "east"),
    [
        ("north", 1, 0),
        ("north-east", 1, 1),
        ("east", 0, 1),
        ("south-east", -1, 1),
        ("south", -1, 0),
        ("south-west", -1, -1),
        ("west", 0, -1),
        ("north-west", 1, -1),
    ],
)
def test_direction(point: str, north: int, east: int) -> None:
    """A tenth of a degree off, on either side of the date line."""
    assert point in POINTS
    for longitude in (0.0, 179.95):
        there = (longitude + 0.1 * east + 180) % 360 - 180
        assert direction(0.0, longitude, 0.1 * north, there) == point


def test_warmer_below_the_station() -> None:
    """The standard atmosphere: 6.5 K per km."""
    assert warmer_here(1100.0, 100.0) == pytest.approx(6.5)
    assert warmer_here(100.0, 1100.0) == pytest.approx(-6.5)
    assert warmer_here(None, 100.0) == warmer_here(100.0, None) == 0


def test_heights_in_words() -> None:
    station = Station("INV1", "Ferry", "XX", 44.3, -30.0, 140.0, 0.0)
    assert told_height(station, 100.0) == "40 m (131 ft) higher"
    assert told_height(station, 180.0) == "40 m (131 ft) lower"
    assert told_height(station, 140.2) == "at the same height"
    assert told_height(station, None) == "at 140 m (459 ft) above the sea"


@pytest.mark.parametrize(
    ("given", "years", "until"),
    [
        ({}, (1996, 2025), TODAY),
        ({"from_year": 2010}, (2010, 2025), TODAY),
        ({"to_year": 2012}, (1983, 2012), date(2012, 12, 31)),
        ({"from_year": 1993, "to_year": 2022}, (1993, 2022), date(2022, 12, 31)),
        ({"to_year": 2026}, (1996, 2025), TODAY),
        ({"to_year": 2030}, (1996, 2025), TODAY),
    ],
)
def test_years_that_count(given: dict[str, int], years: tuple[int, int], until: date) -> None:
    """Complete ones only; the days of the year that has begun are asked for beside them."""
    counted = wanted(**given).years(TODAY)
    assert (counted[0], counted[-1], len(counted)) == (*years, years[1] - years[0] + 1)
    assert wanted(**given).until(TODAY) == until


def test_a_year_that_is_not_over_does_not_count() -> None:
    with pytest.raises(InputFaults, match=r"rain\.from_year: 2026, and the last complete year is 2025"):
        wanted(from_year=2026).years(TODAY)


@pytest.mark.parametrize(
    ("name", "plain"),
    [
        ("  Ferry \n Landing\t", "Ferry Landing"),
        ("=1+1", "1+1"),
        ("@-+=x", "x"),
        ("A\x00\x1b[31mB", "A [31mB"),
        (None, ""),
        ("x" * 300, "x" * 60),
        ("Saint-Étienne / Bouthéon", "Saint-Étienne / Bouthéon"),
    ],
)
def test_names_are_plain_text(name: str | None, plain: str) -> None:
    assert plain_name(name) == plain
