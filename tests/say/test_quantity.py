"""A written quantity in the other units: factors from the international yard and pound, worked out by hand."""

from __future__ import annotations

import pytest

from axlewright.say.quantity import UNITS, in_units
from axlewright.units import KINDS, scale


def test_every_kind_has_a_unit_of_its_dimension_in_both_systems():
    assert UNITS.keys() == KINDS.keys()
    for kind, pair in UNITS.items():
        assert {scale(unit)[1] for unit in pair} == {scale(KINDS[kind].unit)[1]}


@pytest.mark.parametrize(
    ("text", "kind", "system", "expected"),
    [
        ("95 N/mm +- 3 %", "spring rate", "us", "542.46 lbf/in ± 16 lbf/in"),  # 95 / 0.1751268
        ("95 N/mm", "spring rate", "metric", ""),
        ("550 lbf/in", "spring rate", "metric", "96.32 N/mm"),  # 550 x 0.1751268
        ("1 3/8 in", "length", "metric", "34.925 mm"),
        ("0.780", "length", "metric", "780 mm"),
        ("0.780", "length", "us", "30.709 in"),
        ("22 psi", "pressure", "metric", "151.68 kPa"),
        ("0.05 m/s", "speed", "us", "1.9685 in/s"),
        ("45 m/s", "speed", "us", "100.66 mph"),
        ("1.2 kg/m^3", "density", "us", "0.074914 lb/ft^3"),
        ("1.5 deg", "angle", "us", ""),
        ("68 %", "share", "us", ""),
        ("0 mm", "length", "us", "0 in"),
        ("-12 mm", "length", "us", "-0.47244 in"),
        ("a lot", "length", "us", ""),
        ("35", "force", "us", ""),
    ],
)
def test_by_hand(text, kind, system, expected):
    assert in_units(text, kind, system, "m" if kind == "length" else "") == expected
