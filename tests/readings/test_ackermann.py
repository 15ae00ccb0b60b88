"""Front wheels in a turn against the turn's centre found by lines, and against teasel's calculated steering."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.readings._road import on_road
from axlewright.solve.poses import grid
from axlewright.solve.travel import travel
from tests.cars import TEASEL
from tests.textbook_car import read

ROUNDING = 1e-9
WHEELBASE = 2.75


def steered(*rack):
    return travel(TEASEL.car, grid(steer=list(rack))).solved


def test_ideal_steer_puts_both_wheels_square_to_one_centre():
    """The ideal excess of the docstring against the two wheels' angles to one point on the rear axle's line."""
    solved = steered(0.02, 0.04, -0.03)
    steer = np.stack([read(solved, "steer_LF"), read(solved, "steer_RF")])
    mean, y = steer.mean(axis=0), on_road(solved).wheel("point")[1, :2]
    track = y[0] - y[1]
    ideal = steer[0] - steer[1] - read(solved, "ackermann_excess")
    left, right = mean + 0.5 * ideal, mean - 0.5 * ideal
    for wheel, side in ((left, 0.5), (right, -0.5)):
        radius = WHEELBASE / np.tan(wheel) + side * track  # of the middle of the rear axle, left positive
        assert radius == pytest.approx(WHEELBASE / np.tan(left) + 0.5 * track, rel=ROUNDING)


def test_teasel_steers_nearly_parallel():
    """Calculated by someone else: the outer wheel .3 deg more than the inner at 13 deg, with its toe-out."""
    solved = steered(*np.linspace(0.02, 0.04, 41))
    at = lambda value: np.interp(np.radians(13.0), mean, value)  # noqa: E731 - three uses below
    left, right = read(solved, "steer_LF"), read(solved, "steer_RF")
    mean = 0.5 * (left + right)
    assert np.degrees(at(left - right)) == pytest.approx(-0.3, abs=0.05)
    ideal = at(left - right - read(solved, "ackermann_excess"))
    assert at(read(solved, "ackermann")) == pytest.approx((at(left - right) - np.radians(0.20)) / ideal, abs=1e-3)


def test_left_and_right_turns_are_alike():
    left, right = steered(0.03), steered(-0.03)
    for name in ("ackermann", "ackermann_excess", "turning_circle"):
        assert read(left, name) == pytest.approx(read(right, name), rel=1e-6), name


def test_turning_circle_by_the_outer_wheel():
    """At full lock, 65 mm of rack in the file: the same as a travel to there gives; 2 wheelbase / sin(outer)."""
    solved = steered(0.065, -0.065)
    outer = np.minimum(np.abs(read(solved, "steer_LF")), np.abs(read(solved, "steer_RF")))
    assert read(solved, "turning_circle") == pytest.approx(2.0 * WHEELBASE / np.sin(outer), rel=ROUNDING)
    # the table holds the springs' length, the travel the wheels' height: not quite the same pose
    assert read(TEASEL.rest, "turning_circle_at_lock")[0] == pytest.approx(
        read(solved, "turning_circle").max(), rel=5e-3
    )


def test_straight_ahead_has_no_share():
    assert np.isnan(read(TEASEL.rest, "ackermann"))[0]
