"""The 1987 form: where its peak is, and what happens to it at no load and at pure slip."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from axlewright.parts import magic_formula as law
from tests.parts.cases import MAGIC


@given(c=st.floats(1.1, 1.9), e=st.floats(-3.0, 0.9))
def test_the_peak_is_found_to_rounding(c, e):
    curve = law.Curve(0.2, c, 1000.0, e)
    # At the peak the sine is 1; 1e-12 of it is 1.4e-6 of the angle, what eight Newton steps must reach at least.
    assert law.pure_force(curve, law.peak_slip(curve)) == pytest.approx(1000.0, rel=1e-12)


def test_at_no_load_the_curve_keeps_its_steepness_per_load():
    vanishing = law.lateral_curve(MAGIC, 0.0)
    by_hand = 1078.0 * 1.82 * 0.208 / (1.30 * 1011.0)  # limit of B as the load goes to zero
    # B is taken at 1 N; it changes by about a fifth from 0 to 2 kN, so by 1e-4 in 1 N.
    assert vanishing.b == pytest.approx(by_hand, rel=2e-4)
    assert vanishing.d == 0.0


@pytest.mark.parametrize("load", [1500.0, 4000.0, 7000.0])
def test_combining_leaves_pure_slip_as_the_formula_gives_it(load):
    side, along = law.lateral_curve(MAGIC, load), law.longitudinal_curve(MAGIC, load)
    degrees, percent = np.array([0.5, 4.0, 15.0]), np.array([0.5, 8.0, 40.0])
    np.testing.assert_allclose(
        -law.forces(MAGIC, load, np.radians(degrees), 0.0, 0.0)[1], law.pure_force(side, degrees), rtol=1e-12
    )
    np.testing.assert_allclose(
        law.forces(MAGIC, load, 0.0, percent / 100.0, 0.0)[0], law.pure_force(along, percent), rtol=1e-12
    )
