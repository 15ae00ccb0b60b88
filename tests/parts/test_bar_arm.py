"""The bar arm's closed form: lengths kept, the drawn side of toggle kept, forces from the energy of the bar."""

from __future__ import annotations

import jax
import jax.numpy as jnp
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from axlewright.parts.anti_roll_bar import end_rate
from axlewright.parts.bar_arm import bar_arm, drop_link_tensions, toggle_side

PIVOT, AXIS = np.array([-0.2, 0.5, 0.2]), np.array([0.0, 1.0, 0.0])
DIRECTION, ARM = np.array([1.0, 0.0, 0.0]), 0.25
LOWER = np.array([0.06, 0.54, 0.05])  # drop link nearly upright, 155 mm long
STIFFNESS = 1900.0  # N m/rad
LENGTH_ERROR = 1e-14  # m, on lengths up to 0.5 m


def drawn_length(lower=LOWER):
    return float(np.linalg.norm(PIVOT + ARM * DIRECTION - lower))


def arm_at(lower, xp=np, length=None, arm=ARM):
    side = toggle_side(PIVOT, AXIS, DIRECTION, LOWER)
    return bar_arm(PIVOT, AXIS, DIRECTION, arm, length or drawn_length(), lower, side, xp)


moves = st.tuples(st.floats(-0.05, 0.05), st.floats(-0.03, 0.03), st.floats(-0.08, 0.08)).map(np.array)


def test_at_the_drawn_pose_the_angle_is_zero():
    assert arm_at(LOWER).angle == pytest.approx(0.0, abs=1e-14)
    np.testing.assert_allclose(arm_at(LOWER).hole, PIVOT + ARM * DIRECTION, atol=LENGTH_ERROR)


@given(move=moves)
def test_both_lengths_are_kept(move):
    arm = arm_at(LOWER + move)
    assert np.linalg.norm(arm.hole - PIVOT) == pytest.approx(ARM, abs=LENGTH_ERROR)
    assert np.linalg.norm(arm.hole - LOWER - move) == pytest.approx(drawn_length(), abs=LENGTH_ERROR)
    assert np.linalg.norm(arm.along) == pytest.approx(1.0, abs=LENGTH_ERROR)
    assert abs(arm.reach) < 1.0


@given(move=moves)
def test_lever_is_the_derivative_of_the_drop_links_length_to_the_angle(move):
    lower, h = LOWER + move, 1e-6
    arm = arm_at(lower)

    def length(angle):
        hole = PIVOT + ARM * (np.cos(angle) * DIRECTION + np.sin(angle) * np.cross(AXIS, DIRECTION))
        return np.linalg.norm(hole - lower)

    difference = (length(arm.angle + h) - length(arm.angle - h)) / (2.0 * h)
    assert arm.lever == pytest.approx(difference, abs=1e-9)  # rounding 1e-16 / 1e-6, truncation 1e-12


def test_on_either_side_the_arm_follows_the_drawn_pose():
    above = np.array([0.06, 0.54, 0.35])  # the drop link hangs the other way round
    up, down = (toggle_side(PIVOT, AXIS, DIRECTION, lower) for lower in (above, LOWER))
    assert {float(up), float(down)} == {-1.0, 1.0}
    other = bar_arm(PIVOT, AXIS, DIRECTION, ARM, drawn_length(above), above, up)
    assert other.angle == pytest.approx(0.0, abs=1e-14)


def test_a_bar_drawn_at_toggle_has_no_side():
    assert toggle_side(PIVOT, AXIS, DIRECTION, PIVOT + 0.4 * DIRECTION) == 0.0


def test_past_toggle_is_reported_and_the_angle_stays_put_and_smooth():
    far = PIVOT + np.array([0.6, 0.0, -0.1])  # out of reach for arm + drop link
    arm = arm_at(far)
    assert abs(arm.reach) > 1.0
    assert np.linalg.norm(arm.along) == pytest.approx(1.0, abs=LENGTH_ERROR)
    towards = np.array([0.6, 0.0, -0.1]) / np.linalg.norm([0.6, 0.0, -0.1])
    # The clamp stops 1e-6 short of toggle in cosine: 1.4 mrad of angle.
    assert (arm.hole - PIVOT) / ARM @ towards == pytest.approx(1.0, abs=2e-6)
    slopes = jax.jacfwd(lambda lower: arm_at(lower, jnp))(jnp.asarray(far))
    assert all(np.all(np.isfinite(slope)) for slope in slopes)


def test_the_way_to_toggle_and_past_it_has_no_jump():
    lowers = PIVOT[:, None] + np.outer([1.0, 0.0, -0.15], np.linspace(0.3, 0.5, 20_001))
    angles = arm_at(lowers).angle
    # Steps of 10 um; near toggle the angle goes with the square root, so sqrt(2 x 1e-5 / 0.1) = 14 mrad at most.
    assert np.abs(np.diff(angles)).max() < 0.015


def test_jax_gives_what_numpy_gives_and_a_batch_its_members():
    lowers = LOWER[:, None] + np.random.default_rng(3).uniform(-0.04, 0.04, (3, 50))
    batch, compiled = arm_at(lowers), jax.jit(lambda q: arm_at(q, jnp))(lowers)
    for mine, theirs in zip(batch, compiled, strict=True):
        assert theirs.dtype == jnp.float64
        np.testing.assert_allclose(theirs, mine, rtol=1e-12, atol=1e-14)
    np.testing.assert_allclose(batch.hole[:, 7], arm_at(lowers[:, 7]).hole, atol=1e-15)


@jax.jit
@jax.grad
def slope_of_energy(ends):
    twist = arm_at(ends[0], jnp).angle - arm_at(ends[1], jnp).angle
    return 0.5 * STIFFNESS * twist**2


@given(left=moves, right=moves)
def test_forces_on_the_lower_ends_are_minus_the_slope_of_the_bars_energy(left, right):
    ends = np.array([LOWER + left, LOWER + right])
    arms = [arm_at(end) for end in ends]
    pulls = drop_link_tensions(STIFFNESS, *arms)
    forces = [pull * arm.along for pull, arm in zip(pulls, arms, strict=True)]
    np.testing.assert_allclose(forces, -slope_of_energy(ends), rtol=1e-9, atol=1e-6)


def test_the_factor_two_of_a_bar_in_roll():
    """One end held gives K/a^2; both ends moving against each other give twice that. Long upright drop links."""
    lift, length = 1e-4, 50.0
    drawn = PIVOT + ARM * DIRECTION - np.array([0.0, 0.0, length])
    side = toggle_side(PIVOT, AXIS, DIRECTION, drawn)
    still, up, down = (
        bar_arm(PIVOT, AXIS, DIRECTION, ARM, length, drawn + np.array([0.0, 0.0, dz]), side)
        for dz in (0.0, lift, -lift)
    )
    one_end = -drop_link_tensions(STIFFNESS, up, still)[0] / lift
    roll = -drop_link_tensions(STIFFNESS, up, down)[0] / lift
    # Small angles: the arm turns 0.4 mrad, so curvature is (0.4e-3)^2 and the drop link's slant 1e-6; 1e-5 shows both.
    assert one_end == pytest.approx(end_rate(STIFFNESS, ARM), rel=1e-5)
    assert roll == pytest.approx(2.0 * end_rate(STIFFNESS, ARM), rel=1e-5)
    assert up.along @ [0.0, 0.0, 1.0] == pytest.approx(1.0, abs=1e-9)


def test_a_longer_drop_link_on_one_side_preloads_the_bar():
    left, right = arm_at(LOWER, length=drawn_length() + 0.001), arm_at(LOWER)
    pull_left, pull_right = drop_link_tensions(STIFFNESS, left, right)
    assert pull_left < 0.0 < pull_right  # the longer link is pressed, the other one pulled
    assert left.angle != 0.0
