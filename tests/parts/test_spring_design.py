"""Spring dimensions: directions and round trips that no handbook number shows."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from axlewright.parts.spring_design import coil_rate, rates_in_series, solid_length, wahl_factor

sizes = {"wire": st.floats(0.005, 0.02), "coil": st.floats(0.05, 0.15), "active": st.floats(3.0, 12.0)}


@given(**sizes)
def test_rate_goes_with_the_fourth_power_of_the_wire_and_down_with_the_third_of_the_coil(wire, coil, active):
    rate = coil_rate(79.3e9, wire, coil, active)
    assert coil_rate(79.3e9, 1.1 * wire, coil, active) == pytest.approx(1.1**4 * rate, rel=1e-12)
    assert coil_rate(79.3e9, wire, 1.1 * coil, active) == pytest.approx(rate / 1.1**3, rel=1e-12)
    assert coil_rate(79.3e9, wire, coil, 0.5 * active) == pytest.approx(2.0 * rate, rel=1e-12)


def test_curvature_raises_stress_most_in_tight_coils():
    assert wahl_factor(0.01, 0.04) > wahl_factor(0.01, 0.08) > 1.0


def test_unground_ends_add_one_wire():
    assert solid_length(0.012, 8.0, ground=False) - solid_length(0.012, 8.0) == pytest.approx(0.012, rel=1e-12)


@given(first=st.floats(1e3, 1e6), second=st.floats(1e3, 1e6))
def test_two_springs_in_series_are_softer_than_the_softer_one(first, second):
    assert rates_in_series(first, second) < min(first, second)
    assert rates_in_series(first, first) == pytest.approx(0.5 * first, rel=1e-12)
