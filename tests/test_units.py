"""Units: exact definitions (international yard and pound, kilogram-force; from memory), messages and round trips."""

from __future__ import annotations

import math

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from axlewright._familiar_units import FAMILIAR
from axlewright._registry import root_of
from axlewright.errors import UnitError
from axlewright.units import KINDS, Quantity, from_si, number, parse, scale

ROUNDING = 1e-14  # a conversion is a handful of multiplications, each exact to 1.1e-16


@pytest.mark.parametrize(
    ("text", "kind", "si"),
    [
        ("35 N/mm", "spring rate", 35e3),
        ("35N/mm", "spring rate", 35e3),
        ("1 lbf/in", "spring rate", 4.4482216152605 / 0.0254),
        ("1 kN/mm", "spring rate", 1e6),
        ("22 psi", "pressure", 22 * 4.4482216152605 / 0.0254**2),
        ("79.3 GPa", "modulus", 79.3e9),
        ("3/4 in", "length", 0.75 * 0.0254),
        ("1 3/8 in", "length", 1.375 * 0.0254),
        ("-1 1/2 in", "length", -1.5 * 0.0254),
        ("1 ft", "length", 0.3048),
        ("1.5 deg", "angle", 1.5 * math.pi / 180),
        ("1.5°", "angle", 1.5 * math.pi / 180),
        ("12 kN m/deg", "torsional stiffness", 12e3 * 180 / math.pi),
        ("80 lbf ft", "torque", 80 * 4.4482216152605 * 0.3048),
        ("80 lbf-ft", "torque", 80 * 4.4482216152605 * 0.3048),
        ("180 lb", "mass", 180 * 0.45359237),
        ("36 kg", "mass", 36.0),
        ("15 kgf", "force", 15 * 9.80665),
        ("10 gal", "volume", 10 * 231 * 0.0254**3),
        ("6.2 lb/gal", "density", 6.2 * 0.45359237 / (231 * 0.0254**3)),
        ("0.8 g", "acceleration", 0.8 * 9.81),
        ("120 km/h", "speed", 120 / 3.6),
        ("60 mph", "speed", 60 * 1609.344 / 3600),
        ("68 %", "share", 0.68),
        ("0.68", "share", 0.68),
        ("0.045 1/kN", "per force", 4.5e-5),
        ("0.045 /kN", "per force", 4.5e-5),
        ("6.5 N/mm/psi", "spring rate per pressure", 6500 / (4.4482216152605 / 0.0254**2)),
        ("1.75 mm/turn", "length per turn", 1.75e-3),
        ("340 kg m^2", "inertia", 340.0),
        ("340 kg m²", "inertia", 340.0),
        ("1e-3 m", "length", 1e-3),
        ("3 min", "time", 180.0),
    ],
)
def test_a_quantity_is_read_in_its_own_units(text, kind, si):
    assert parse(text, kind).value == pytest.approx(si, rel=ROUNDING)


@pytest.mark.parametrize(
    ("text", "tolerance"),
    [
        ("0.45 m +- 0.015 m", 0.015),
        ("0.45 m ± 15 mm", 0.015),
        ("0.45 m +/- 15 mm", 0.015),
        ("0.45 +- 0.015 m", 0.015),
        ("0.45 m +- 0.015", 0.015),
        ("0.5 m +- 3 %", 0.015),
        ("-0.5 m +- 3 %", 0.015),
        ("0.45 m", None),
    ],
)
def test_a_tolerance_in_its_own_unit_or_as_a_share(text, tolerance):
    found = parse(text, "length").tolerance
    assert found == (None if tolerance is None else pytest.approx(tolerance, rel=ROUNDING))


def test_a_share_has_its_tolerance_in_points_of_itself():
    assert parse("50 % +- 0.3 %", "share").tolerance == pytest.approx(0.003, rel=ROUNDING)


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_reads_its_own_example(kind):
    assert parse(KINDS[kind].example, kind).value > 0


@pytest.mark.parametrize(
    ("text", "kind", "message"),
    [
        ("35", "spring rate", 'found "35" with no unit.*add the unit, such as "35 N/mm"'),
        ("35 mm", "spring rate", 'found "35 mm", which is a length; expected a spring rate'),
        ("200 lb/in", "spring rate", 'write "200 lbf/in"; lb is a mass, lbf a force'),
        ("15 kg", "force", 'write "15 kgf"; kg is a mass, kgf a force'),
        ("35 N/mn", "spring rate", 'the unknown unit "N/mn".*write "N/mm" instead of "N/mn"'),
        ("35 newtan", "force", 'write "newton" instead of "newtan"'),
        ("35 qqq", "force", 'the unknown unit "qqq".*use a unit such as'),
        ("1.5 degrees_c", "angle", "the unknown unit"),
        ("soft", "spring rate", "write a number, a space and a unit"),
        ("", "length", "write a number, a space and a unit"),
        ("1-2 mm", "length", "write a number, a space and a unit"),
        ("3 m 2", "length", "found"),
        ("3 mm +- 2 N", "length", 'a tolerance in "N".*give it in "mm" or in %'),
        ("3 mm +- -2 mm", "length", "not negative"),
        ("1.5 rad", "share", "which is an angle; expected a share"),
        ("0.3", "angle", "with no unit; expected an angle"),
        ("1/0 in", "length", "a number that can be worked out"),
    ],
)
def test_what_cannot_be_read_says_what_was_found_and_how_to_mend_it(text, kind, message):
    with pytest.raises(UnitError, match=message):
        parse(text, kind)


@pytest.mark.parametrize("unit", FAMILIAR)
def test_familiar_units_are_as_pint_reads_them(unit):
    factor, dimension = root_of(unit)
    assert FAMILIAR[unit] == (pytest.approx(factor, rel=ROUNDING), dimension)


def test_kg_is_never_a_thousand_g():
    assert scale("kg") == (1.0, "mass1")
    assert scale("g")[0] == 9.81


UNITS = {"length": ["mm", "in", "ft", "m"], "spring rate": ["N/mm", "lbf/in", "N/m"], "pressure": ["psi", "kPa", "bar"]}
ANY_UNIT = st.sampled_from([(kind, unit) for kind, units in UNITS.items() for unit in units])
SIZES = st.floats(-1e6, 1e6, allow_nan=False)


@given(ANY_UNIT, SIZES, st.none() | st.floats(0, 1e3))
@example(("length", "in"), -0.5, 0.0)
def test_writing_a_number_and_reading_it_again_changes_nothing(kind_and_unit, size, tolerance):
    kind, unit = kind_and_unit
    text = f"{size!r} {unit}" + ("" if tolerance is None else f" +- {tolerance!r} {unit}")
    quantity = parse(text, kind)
    assert quantity.text == str(quantity) == text
    assert from_si(quantity.value, unit) == pytest.approx(size, rel=ROUNDING, abs=1e-300)
    if tolerance is not None:
        assert quantity.tolerance is not None
        assert from_si(quantity.tolerance, unit) == pytest.approx(tolerance, rel=ROUNDING, abs=1e-300)


@given(st.integers(0, 99), st.integers(0, 63), st.integers(1, 64))
def test_fractions_are_what_arithmetic_says(whole, top, bottom):
    assert number(f"{whole} {top}/{bottom}") == pytest.approx(whole + top / bottom, rel=ROUNDING)


@given(st.text(max_size=20))
def test_no_text_does_worse_than_a_plain_message(text):
    for kind in ("length", "share"):
        try:
            found = parse(text, kind)
        except UnitError as error:
            assert str(error).startswith("found")  # noqa: PT017 both outcomes are allowed
        else:
            assert isinstance(found, Quantity)
            assert math.isfinite(found.value)
