"""Kinematics of `check`: rates against differences, poses against the constraints, bodies that stay rigid."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from axlewright.car.checks.kinematics import located
from axlewright.car.checks.linkage import CLOSED, Linkage, reach, rotation, wheel_heights
from axlewright.car.describe import describe
from axlewright.car.file import load
from tests.car.tables import changed, put

STEP = 1e-5  # central differences: truncation and rounding are both near 1e-10
SLOPE = 1e-8  # so this is a hundred times more than they add up to
ROUNDING = 1e-13

CARS = {
    "teasel": load("teasel"),
    "bramble": load("bramble"),
    "bellcrank on the axle": changed(put("rear.watt.bellcrank_on", "axle")),
}
BLOCKS = [(car, block, copy) for car in CARS for block, copies in (("front", 2), ("rear", 1)) for copy in range(copies)]


def linkage_of(car: str, block: str, copy: int) -> Linkage:
    return located(*describe(CARS[car]), block, copy)


@pytest.mark.parametrize(("car", "block", "copy"), BLOCKS)
def test_rates_are_the_differences_of_positions(car, block, copy):
    linkage = linkage_of(car, block, copy)
    pose, _ = reach(linkage, np.array([0.03, -0.02])[: len(linkage.block.wheels)])
    rates = np.random.default_rng(1).normal(size=linkage.count)
    forth, back = (linkage.moved(pose, sign * STEP * rates) for sign in (1, -1))
    slope = (linkage.closure(forth) - linkage.closure(back)) / (2 * STEP)
    assert slope == pytest.approx(linkage.jacobian(pose) @ rates, abs=SLOPE)
    rise = (wheel_heights(linkage, forth)[0] - wheel_heights(linkage, back)[0]) / (2 * STEP)
    assert rise == pytest.approx(wheel_heights(linkage, pose)[1] @ rates, abs=SLOPE)


@pytest.mark.parametrize(("car", "block", "copy"), BLOCKS)
@pytest.mark.parametrize("heights", [(0.04, 0.04), (-0.04, -0.04), (0.04, -0.04)])
def test_a_pose_that_is_reached_closes_every_constraint(car, block, copy, heights):
    linkage = linkage_of(car, block, copy)
    wanted = np.array(heights)[: len(linkage.block.wheels)]
    pose, error = reach(linkage, wanted)
    assert error < CLOSED
    assert np.abs(linkage.closure(pose)).max() < CLOSED
    rise = wheel_heights(linkage, pose)[0] - wheel_heights(linkage, linkage.drawn())[0]
    assert rise == pytest.approx(wanted, abs=CLOSED)
    for frame in linkage.columns:
        assert pose.turn[frame] @ pose.turn[frame].T == pytest.approx(np.eye(3), abs=ROUNDING)


def test_the_right_front_moves_as_the_mirror_image_of_the_left():
    left, right = (reach(linkage_of("teasel", "front", copy), np.array([0.03]))[0] for copy in (0, 1))
    mirror = np.diag([1.0, -1.0, 1.0])
    assert right.turn["upright"] == pytest.approx(mirror @ left.turn["upright"] @ mirror, abs=1e-9)  # both are `CLOSED`
    assert right.shift["upright"] == pytest.approx(mirror @ left.shift["upright"], abs=1e-9)


@given(st.lists(st.floats(-3, 3), min_size=3, max_size=3))
def test_a_rotation_keeps_lengths_and_its_own_axis(vector):
    vector = np.array(vector)
    matrix = rotation(vector)
    assert matrix @ matrix.T == pytest.approx(np.eye(3), abs=ROUNDING)
    assert matrix @ vector == pytest.approx(vector, abs=10 * ROUNDING)
    assert np.trace(matrix) == pytest.approx(1 + 2 * np.cos(np.linalg.norm(vector)), abs=10 * ROUNDING)
