"""Where stations stand: distances and directions on the sphere, heights, and the years that a site file asks for."""

from datetime import date
from math import radians

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from meteostat.utils.geo import get_distance

from budget.errors import InputFaults
from budget.record.station import (
    EARTH_RADIUS,
    LAPSE_RATE,
    POINTS,
    YEARS,
    Station,
    Wanted,
    direction,
    distance,
    in_km,
    in_m,
    told_height,
    warmer,
)

LATITUDES = st.floats(-90, 90)
LONGITUDES = st.floats(-180, 180)
TODAY = date(2026, 5, 20)


def wanted(from_year: int | None = None, to_year: int | None = None) -> Wanted:
    return Wanted(44.3, -40.0, None, from_year, to_year, 50.0)


def station(height: float | None) -> Station:
    return Station("ZZA01", "Brook", "XX", 44.4, -40.0, height, 11.1)


# ---- distances ----


@given(LATITUDES, LONGITUDES, LATITUDES, st.floats(-170, 170))
@example(90.0, 0.0, -89.0, 0.0)
@example(44.3, 179.9, 44.3, 0.2)
@example(44.3, -40.0, 44.3, 0.0)
def test_distances_are_those_of_the_library(north: float, east: float, there: float, farther_east: float) -> None:
    """Its own are told in whole metres; where points lie opposite each other it has none."""
    there_east = (east + farther_east + 180) % 360 - 180
    theirs = get_distance(north, east, there, there_east)
    assert distance(north, east, there, there_east) * 1000 == pytest.approx(theirs, abs=0.51)


def test_a_published_distance() -> None:
    """36.12 N 86.67 W to 33.94 N 118.40 W: 2887.26 km on a sphere of 6372.8 km (Rosetta Code, recalled)."""
    found = distance(36.12, -86.67, 33.94, -118.40)
    assert found * 6372.8 / EARTH_RADIUS == pytest.approx(2887.26, abs=0.005)


def test_distances_along_circles() -> None:
    degree = radians(1) * 6371
    assert distance(44.0, -40.0, 45.0, -40.0) == pytest.approx(degree)
    assert distance(0.0, 10.0, 0.0, 11.0) == pytest.approx(degree)
    assert distance(0.0, 179.5, 0.0, -179.5) == pytest.approx(degree)  # across the date line
    assert distance(89.5, 0.0, 89.5, 180.0) == pytest.approx(degree)  # over the pole
    assert distance(60.0, 20.0, 60.0, 20.01) == pytest.approx(degree * 0.01 / 2, rel=1e-6)  # cos 60 degrees
    assert distance(44.3, -40.0, 44.3, -40.0) == 0
    assert distance(44.3, -40.0, -44.3, 140.0) == pytest.approx(180 * degree)  # the other side of the earth


# ---- directions ----


@pytest.mark.parametrize(
    ("north", "east", "point"),
    [
        (1, 0, "north"),
        (1, 1, "north-east"),
        (0, 1, "east"),
        (-1, 1, "south-east"),
        (-1, 0, "south"),
        (-1, -1, "south-west"),
        (0, -1, "west"),
        (1, -1, "north-west"),
    ],
)
def test_the_eight_points(north: int, east: int, point: str) -> None:
    for latitude, longitude in ((0.0, 0.0), (0.0, 180.0), (0.0, -180.0), (0.1, 179.999)):
        there = (longitude + 0.01 * east + 180) % 360 - 180
        assert direction(latitude, longitude, latitude + 0.01 * north, there) == point
    assert {point} <= set(POINTS)


def test_a_point_reaches_half_way_to_the_next() -> None:
    """Half of 45 degrees, near the equator, where a degree is as long both ways."""
    assert direction(0.0, 0.0, 0.01, 0.0041) == "north"  # 22.3 degrees
    assert direction(0.0, 0.0, 0.01, 0.0042) == "north-east"  # 22.8 degrees
    assert direction(0.0, 0.0, 0.01, -0.0041) == "north"
    assert direction(0.0, 0.0, 0.01, -0.0042) == "north-west"


def test_degrees_of_longitude_shrink_towards_the_pole() -> None:
    """At 60 degrees a degree of longitude is half as long, so that two of them lie north-east of one of latitude."""
    assert direction(60.0, 0.0, 60.01, 0.02) == "north-east"
    assert direction(60.0, 0.0, 60.01, 0.005) == "north"


def test_directions_near_a_pole() -> None:
    assert direction(89.9, 0.0, 89.9, 180.0) == "north"  # over it
    assert direction(-89.9, 0.0, -89.9, 180.0) == "south"
    assert direction(89.9, 10.0, 89.9, 100.0) == "north-east"
    assert direction(90.0, 0.0, 80.0, 0.0) == "south"
    assert direction(-90.0, 0.0, -80.0, 0.0) == "north"


def test_the_place_itself_has_a_direction() -> None:
    assert direction(44.3, -40.0, 44.3, -40.0) == "north"


# ---- heights ----


def test_it_is_warmer_below_the_station() -> None:
    assert warmer(1000, 0) == LAPSE_RATE == 6.5
    assert warmer(0, 200) == pytest.approx(-1.3)
    assert warmer(120, 120) == 0
    assert warmer(0, -100) == pytest.approx(0.65)  # a place below the sea


def test_an_unknown_height_warms_nothing() -> None:
    assert (warmer(None, 800), warmer(800, None), warmer(None, None)) == (0, 0, 0)


def test_lengths_in_both_systems() -> None:
    assert in_km(16.09344) == "16.1 km (10.0 mi)"
    assert in_m(304.8) == "305 m (1000 ft)"


def test_heights_in_words() -> None:
    assert told_height(station(140.0), 100) == "40 m (131 ft) higher"
    assert told_height(station(60.0), 100) == "40 m (131 ft) lower"
    assert told_height(station(100.4), 100) == "at the same height"
    assert told_height(station(0.0), None) == "at 0 m (0 ft) above the sea"  # the sea is a height, too
    assert told_height(station(0.0), 0) == "at the same height"
    assert told_height(station(None), 100) == told_height(station(None), None) == "height not known"


def test_a_station_in_words() -> None:
    assert station(None).words == "Brook (ZZA01)"


# ---- the years that are asked for ----


def test_the_last_thirty_complete_years_count() -> None:
    assert wanted().years(TODAY) == range(1996, 2026)
    assert len(wanted().years(TODAY)) == YEARS == 30
    assert wanted().years(date(2026, 12, 31)) == range(1996, 2026)  # not over before midnight
    assert wanted().years(date(2027, 1, 1)) == range(1997, 2027)


def test_years_that_are_named() -> None:
    assert wanted(2010, 2012).years(TODAY) == range(2010, 2013)
    assert wanted(2010, 2010).years(TODAY) == range(2010, 2011)
    assert wanted(from_year=2010).years(TODAY) == range(2010, 2026)
    assert wanted(to_year=2012).years(TODAY) == range(1983, 2013)
    assert wanted(from_year=1950).years(TODAY) == range(1950, 2026)  # more than thirty


def test_a_year_that_is_not_over_does_not_count() -> None:
    for to_year in (2026, 2030):
        assert wanted(2020, to_year).years(TODAY) == range(2020, 2026)
        assert wanted(to_year=to_year).years(TODAY) == range(1996, 2026)


@pytest.mark.parametrize(("first", "last", "counts"), [(2026, None, 2025), (2030, 2035, 2025), (2010, 2005, 2005)])
def test_no_year_that_counts(first: int, last: int | None, counts: int) -> None:
    with pytest.raises(InputFaults) as refused:
        wanted(first, last).years(TODAY)
    assert [str(fault) for fault in refused.value.faults] == [
        f"rain.from_year: {first}, and the last year that can count is {counts}; "
        "accepted: a year that is over, and none after rain.to_year"
    ]


def test_days_are_asked_for_until_today_or_the_end_of_the_year_that_is_named() -> None:
    assert wanted().until(TODAY) == TODAY
    assert wanted(to_year=2012).until(TODAY) == date(2012, 12, 31)
    assert wanted(to_year=2026).until(TODAY) == wanted(to_year=2030).until(TODAY) == TODAY
    assert wanted(to_year=2026).until(date(2026, 12, 31)) == date(2026, 12, 31)
