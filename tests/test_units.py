"""Units: exact constants, the two systems as each other's inverse, the spellings of people, the faults of text.

Exact by NIST SP 811 and NIST Handbook 44 Appendix C; recomputed here in fractions, without pint: 1 in = 25.4 mm,
1 US gal = 231 in³, 1 lb = 0.45359237 kg, 1 lbf = 1 lb × 9.80665 m/s², 1 °F = 5/9 °C, and the foot of all of them the
international one.
"""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from budget.units import FACTORS, SYSTEMS, Unit, convert, parse, to_book

INCH = Fraction("0.0254")  # [m]
FOOT = 12 * INCH  # [m]
GALLON = 231 * INCH**3 * 1000  # [L]
MM_PER_INCH = INCH * 1000
POUND = Fraction("0.45359237")  # [kg]
GRAVITY = Fraction("9.80665")  # [m/s²] standard
PSF, PSI = POUND * GRAVITY / FOOT**2 / 1000, POUND * GRAVITY / INCH**2 / 1000  # [kPa]

# US units in one metric unit of each kind, and what 0 metric is in US units.
LINES: dict[Unit, tuple[Fraction, Fraction]] = {
    Unit.VOLUME: (1 / GALLON, Fraction(0)),
    Unit.FLOW: (1 / GALLON, Fraction(0)),
    Unit.RATE: (1 / GALLON, Fraction(0)),
    Unit.WIDTH: (1 / (INCH * 1000), Fraction(0)),
    Unit.INFLOW: (FOOT / GALLON, Fraction(0)),
    Unit.DEPTH: (1 / MM_PER_INCH, Fraction(0)),
    Unit.LENGTH: (1 / FOOT, Fraction(0)),
    Unit.HEIGHT: (1 / FOOT, Fraction(0)),
    Unit.DISTANCE: (1000 / (5280 * FOOT), Fraction(0)),
    Unit.AREA: (1 / FOOT**2, Fraction(0)),
    Unit.TEMPERATURE: (Fraction(9, 5), Fraction(32)),
    Unit.DEGREE_DAYS: (Fraction(9, 5), Fraction(0)),
    Unit.MELT: (1 / MM_PER_INCH / Fraction(9, 5), Fraction(0)),
    Unit.HOLDING: (FOOT / MM_PER_INCH, Fraction(0)),
    Unit.PER_VOLUME_LENGTH: (FOOT / GALLON, Fraction(0)),
    Unit.PER_VOLUME_DEPTH: (MM_PER_INCH / GALLON, Fraction(0)),
    Unit.FLOW_LENGTH: (FOOT / GALLON, Fraction(0)),
    Unit.RISE: (MM_PER_INCH / FOOT, Fraction(0)),
    Unit.CUBE: (1 / FOOT**3, Fraction(0)),
    Unit.BULK: (1 / (3 * FOOT) ** 3, Fraction(0)),
    Unit.WEIGHT: (1 / POUND, Fraction(0)),
    Unit.DENSITY: (FOOT**3 / POUND, Fraction(0)),
    Unit.BEARING: (1 / PSF, Fraction(0)),
    Unit.PRESSURE: (1 / PSI, Fraction(0)),
    Unit.FORCE: (1000 / (POUND * GRAVITY), Fraction(0)),
    Unit.MOMENT: (1000 / (POUND * GRAVITY * FOOT), Fraction(0)),
    Unit.SPEED: (3600 / (5280 * FOOT), Fraction(0)),
    Unit.SLOPE: (Fraction(12, 1000), Fraction(0)),
}
# The value of each factor in a US and in a metric book.
EXACT_FACTORS = {
    "freezing_point": (32, 0),
    "degrees_per_celsius": (Fraction(9, 5), 1),
    "mm_per_depth": (MM_PER_INCH, 1),
    "inches_per_depth": (1, 1 / MM_PER_INCH),
    "depth_per_length": (12, 1000),
    "volume_per_area_depth": (Fraction(144, 231), 1),
    "volume_per_cube": (Fraction(1728, 231), 1000),
    "metres_per_length": (FOOT, 1),
    "weight_per_volume": (GALLON / POUND, 1),
    "bulk_per_cube": (Fraction(1, 27), 1),
    "force_per_weight": (1, GRAVITY / 1000),
    "psf_per_bearing": (1, 1 / PSF),
    "mph_per_speed": (1, 3600 / (5280 * FOOT)),
    "pressure_per_head": (FOOT * 1000 * GRAVITY / 1000 / PSI, GRAVITY),
}


@pytest.mark.parametrize(
    "text, unit, exact",
    [
        ("1 gal", "L", Fraction("3.785411784")),
        ("1 inch", "mm", Fraction("25.4")),
        ("1 ft", "m", Fraction("0.3048")),
        ("1 lb", "kg", Fraction("0.45359237")),
        ("1 foot**3", "gal", Fraction(1728, 231)),
        ("1 inch*foot**2", "gal", Fraction(144, 231)),
        ("43560 inch*foot**2", "gal", Fraction(43560 * 144, 231)),
        ("50 degF", "degC", Fraction(10)),
    ],
)
def test_exact_constants(text: str, unit: str, exact: Fraction) -> None:
    assert parse(text).to(unit).magnitude == exact


def test_an_acre_is_that_of_the_international_foot() -> None:
    """NIST: the survey foot was given up on 31 December 2022."""
    assert to_book("1 acre", Unit.AREA, "US") == 43560


@pytest.mark.parametrize("unit", Unit, ids=lambda unit: unit.name)
def test_a_metric_number_in_us_units(unit: Unit) -> None:
    slope, offset = LINES.get(unit, (Fraction(1), Fraction(0)))
    for metric in (-40, 0, 1, 25, 1000):
        assert convert(metric, unit, "metric", "US") == pytest.approx(float(slope * metric + offset), rel=1e-14)
        assert convert(metric, unit, "metric", "metric") == metric


def test_every_kind_that_differs_between_the_systems_has_its_constant() -> None:
    assert {unit for unit in Unit if unit.expression("US") != unit.expression("metric")} == set(LINES)


@given(st.sampled_from(list(Unit)), st.floats(-1e7, 1e7))
def test_there_and_back(unit: Unit, value: float) -> None:
    for source, target in (SYSTEMS, SYSTEMS[::-1]):
        back = convert(convert(value, unit, source, target), unit, target, source)
        assert back == pytest.approx(value, rel=1e-12, abs=1e-12)


@pytest.mark.parametrize("unit", [unit for unit in Unit if unit.physical], ids=lambda unit: unit.name)
def test_text_and_number_convert_alike(unit: Unit) -> None:
    assert unit.value.example
    for example in unit.value.example.split(" or "):
        us, metric = (to_book(example, unit, system) for system in SYSTEMS)
        assert convert(metric, unit, "metric", "US") == pytest.approx(us, rel=1e-12)
        assert convert(us, unit, "US", "metric") == pytest.approx(metric, rel=1e-12)


@pytest.mark.parametrize("factor", FACTORS, ids=lambda factor: factor.name)
def test_factors(factor) -> None:
    values = [factor.value(system) for system in SYSTEMS]
    assert values == [float(exact) for exact in EXACT_FACTORS[factor.name]]


@pytest.mark.parametrize(
    "text, unit, metric",
    [
        ("1200 sq ft", Unit.AREA, 1200 * FOOT**2),
        ("1200 sq. ft", Unit.AREA, 1200 * FOOT**2),
        ("10 sq m", Unit.AREA, 10),
        ("110 m²", Unit.AREA, 110),
        ("2 ha", Unit.AREA, 20000),
        ("20 m³", Unit.VOLUME, 20000),
        ("3 m^3", Unit.VOLUME, 3000),
        ("5 cu ft", Unit.VOLUME, 5 * FOOT**3 * 1000),
        ("1 cubic foot", Unit.VOLUME, FOOT**3 * 1000),
        ("5,000 gal", Unit.VOLUME, 5000 * GALLON),
        ("1.5e3 L", Unit.VOLUME, 1500),
        ("8 gpm", Unit.RATE, 8 * GALLON),
        ("400 gpd", Unit.FLOW, 400 * GALLON),
        ("55 gallons per day", Unit.FLOW, 55 * GALLON),
        ("0.18 gal/min/ft", Unit.INFLOW, Fraction("0.18") * GALLON / FOOT),
        ("0.18 gpm per ft", Unit.INFLOW, Fraction("0.18") * GALLON / FOOT),
        ("28 °F", Unit.TEMPERATURE, Fraction(-20, 9)),
        ("-2.5 °C", Unit.TEMPERATURE, Fraction("-2.5")),
        ("28 degF", Unit.TEMPERATURE, Fraction(-20, 9)),
        (" 36 in ", Unit.LENGTH, 36 * INCH),
        (".5 m", Unit.LENGTH, Fraction(1, 2)),
        ("36in", Unit.LENGTH, 36 * INCH),
        ("150 mm per m", Unit.HOLDING, 150),
        ("50 %", Unit.SHARE, Fraction(1, 2)),
        ("50%", Unit.SHARE, Fraction(1, 2)),
        ("50 percent", Unit.SHARE, Fraction(1, 2)),
        ("0.5", Unit.SHARE, Fraction(1, 2)),
        ("30 mi", Unit.DISTANCE, 30 * 5280 * FOOT / 1000),
        ("2000 m", Unit.DISTANCE, 2),
        ("-38.2", Unit.LATITUDE, Fraction("-38.2")),
        ("2 weeks", Unit.DAYS, 14),
        ("0.5 hours", Unit.MINUTES, 30),
    ],
)
def test_spellings(text: str, unit: Unit, metric: Fraction) -> None:
    assert to_book(text, unit, "metric") == pytest.approx(float(metric), rel=1e-14)


@pytest.mark.parametrize(
    "text, unit, reason",
    [
        ("", Unit.VOLUME, "number at its start"),
        ("much", Unit.VOLUME, "number at its start"),
        ("--5 gal", Unit.VOLUME, "number at its start"),
        ("nan gal", Unit.VOLUME, "number at its start"),
        ("1,5 m", Unit.LENGTH, "number at its start"),
        ("1.2.3 m", Unit.LENGTH, "number at its start"),
        ("5 buckets", Unit.VOLUME, "'buckets' is not a unit"),
        ("5 gal/", Unit.FLOW, "'gal/' is not a unit"),
        ("5'", Unit.LENGTH, "is not a unit"),
        ("5 (", Unit.VOLUME, "'\\(' is not a unit"),
        ("5", Unit.VOLUME, "has no unit"),
        ("5 ft", Unit.VOLUME, "is in '(ft|foot)'"),
        ("50 %", Unit.VOLUME, "is in '(%|percent)'"),
        ("5 gal", Unit.FLOW, "is in 'gal"),
        ("5 gal", Unit.COUNT, "has a unit, 'gal"),
        ("5 ft", Unit.SHARE, "has a unit, '(ft|foot)'"),
        ("50 %", Unit.NUMBER, "has a unit, '(%|percent)'"),
        ("5 degC", Unit.DEGREE_DAYS, "is in '(°C|degC|degree_Celsius)'"),
    ],
)
def test_faults(text: str, unit: Unit, reason: str) -> None:
    with pytest.raises(ValueError, match=reason):
        to_book(text, unit, "US")


def test_an_area_is_no_volume() -> None:
    with pytest.raises(ValueError, match="is in "):
        to_book("20 m²", Unit.VOLUME, "US")


def test_an_area_is_no_count() -> None:
    with pytest.raises(ValueError, match="has a unit"):
        to_book("20 m²", Unit.COUNT, "US")
