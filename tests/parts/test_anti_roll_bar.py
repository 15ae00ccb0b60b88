"""Stiffness of a bar with two arms: limits and directions."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from axlewright.parts import anti_roll_bar as bar

arms = st.floats(0.1, 0.4)
ROUNDING = 1e-12


@given(left=arms, right=arms, torsion=st.floats(500.0, 10_000.0))
def test_stiff_arms_leave_the_torsion_of_the_bar(left, right, torsion):
    assert bar.twist_stiffness(torsion, np.inf, left, right) == pytest.approx(torsion, rel=ROUNDING)


@given(left=arms, right=arms, torsion=st.floats(500.0, 10_000.0), bending=st.floats(100.0, 1e5))
def test_bending_arms_soften_it_and_left_and_right_are_alike(left, right, torsion, bending):
    stiffness = bar.twist_stiffness(torsion, bending, left, right)
    assert stiffness < torsion
    assert stiffness == pytest.approx(bar.twist_stiffness(torsion, bending, right, left), rel=ROUNDING)
    assert stiffness == pytest.approx(1.0 / (1.0 / torsion + (left + right) / (3.0 * bending)), rel=ROUNDING)


@given(near=arms, further=st.floats(0.01, 0.1), bending=st.floats(1000.0, 1e5))
def test_a_hole_farther_from_the_pivot_is_softer(near, further, bending):
    """Common practice, no source; here it follows from the law."""
    rates = [bar.end_rate(bar.twist_stiffness(2000.0, bending, a, a), a) for a in (near, near + further)]
    assert rates[1] < rates[0]


@given(outer=st.floats(0.012, 0.05), share=st.floats(0.0, 0.9))
def test_a_tube_is_a_bar_less_its_bore(outer, share):
    tube = bar.torsion_stiffness(80e9, 1.0, outer, share * outer)
    assert tube == pytest.approx(
        bar.torsion_stiffness(80e9, 1.0, outer) - bar.torsion_stiffness(80e9, 1.0, share * outer), rel=1e-9
    )
    assert bar.bending_moment_of_area(outer, share * outer) == pytest.approx(
        np.pi / 64.0 * (outer**4 - (share * outer) ** 4), rel=ROUNDING
    )
