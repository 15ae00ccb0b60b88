"""The piecewise-linear law itself: rounded corner, places where no set gives the tension."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from axlewright.parts import ELASTIC, Knots
from axlewright.parts.elastic import hinge, hinge_slope, movement, set_for, tension

ROUNDING = 1e-15  # m, on distances up to 1 m


@given(x=st.floats(-1.0, 1.0), width=st.floats(1e-6, 0.1))
@example(x=0.0, width=1e-4)
def test_hinge_is_exact_outside_its_corner_and_never_below_it(x, width):
    value = hinge(x, width)
    if x <= -width:
        assert value == 0.0
    elif x >= width:
        assert value == pytest.approx(x, abs=ROUNDING)
    assert -ROUNDING <= value - max(x, 0.0) <= width / 4 + ROUNDING


def test_hinge_is_a_quarter_of_its_width_high_at_the_corner():
    assert hinge(0.0, 0.2) == pytest.approx(0.05, abs=ROUNDING)
    assert hinge_slope(0.0, 0.2) == 0.5


@pytest.mark.parametrize(("x", "value", "slope"), [(-0.1, 0.0, 0.0), (0.3, 0.3, 1.0), (-np.inf, 0.0, 0.0)])
def test_a_sharp_corner_and_one_at_infinity_are_safe(x, value, slope):
    assert (hinge(x, 0.0), hinge_slope(x, 0.0)) == (value, slope)


@given(
    onset=st.lists(st.floats(-0.05, 0.1), min_size=1, max_size=5),
    step=st.lists(st.floats(0.0, 5e5), min_size=5, max_size=5),
    width=st.lists(st.floats(0.0, 0.02), min_size=5, max_size=5),
    u=st.floats(-0.06, 0.12),
    sense=st.sampled_from([-1.0, 1.0]),
)
def test_set_for_inverts_any_rising_law_with_overlapping_corners(onset, step, width, u, sense):
    n = len(onset)
    knots = Knots(sense, u, 100.0, 1000.0, np.array(onset), np.array(step[:n]), np.array(width[:n]))
    asked = tension(knots, 0.0)
    place, reachable = set_for(knots, asked)
    assert reachable
    # 1 000 N/m is the least rate, so the set is as well known as the tension: 1e4 N x 2e-16 x a few over 1 000 N/m.
    assert place == pytest.approx(u, abs=1e-11)


def test_a_tension_that_the_law_cannot_give_is_flagged():
    spring = ELASTIC["coil_spring"]({"rate": 50e3})
    place, reachable = set_for(spring, np.array([-500.0, 20.0]))
    assert reachable.tolist() == [True, False]
    assert place[0] == pytest.approx(0.01, abs=1e-12)
    assert np.isnan(place[1])


def test_a_loose_spring_asked_for_no_load_is_put_at_the_edge_of_loading():
    spring = ELASTIC["coil_spring"]({"rate": 50e3})
    place, reachable = set_for(spring, 0.0)
    assert reachable
    assert tension(spring._replace(set=place), 0.0) == 0.0
    assert tension(spring._replace(set=place + 1e-4), 0.0) < 0.0


def test_movement_counts_in_the_parts_own_direction():
    assert movement(ELASTIC["stop"]({"sense": -1.0, "gap": 0.03, "rate": 1e5}), -0.01) == 0.01
    assert movement(ELASTIC["stop"]({"sense": 1.0, "gap": 0.03, "rate": 1e5}), -0.01) == -0.01
