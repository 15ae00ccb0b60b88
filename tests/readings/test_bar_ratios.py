"""Motion ratio of bars and their rate at the wheel, against moved poses and a published bar carried to the wheel."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.readings._elastic import elastic_ends
from axlewright.solve.poses import grid
from axlewright.solve.travel import travel
from tests.cars import TEASEL
from tests.textbook_car import read

STEP = 1e-4  # m; third differences leave 1e-7 of a ratio
NEAR = 1e-5


@pytest.mark.parametrize(("bar", "block", "arm"), [("front_bar", 0, 0.250), ("rear_bar", 1, 0.270)])
def test_bar_ratio_is_the_way_of_the_hole(bar, block, arm):
    """Arm x turn per rise, between two poses of opposite roll; arms of the holes in the file."""
    y = 0.78
    ends = [travel(TEASEL.car, grid(roll=sign * STEP / y)).solved for sign in (-1.0, 1.0)]
    angle = [np.asarray(x.blocks[block].details.arm_angle).ravel() for x in ends]
    rise = [x.wheel("centre")[2, 2 * block : 2 * block + 2, 0] for x in ends]
    way = np.abs(arm * (angle[1] - angle[0]) / (rise[1] - rise[0]))
    solved = travel(TEASEL.car, grid()).solved
    for side, name in enumerate(("left", "right")):
        assert read(solved, f"motion_ratio.{bar}.{name}")[0] == pytest.approx(way[side], rel=NEAR)


def test_rate_carried_to_the_wheel():
    """ARB-4, a published bar moved through a motion ratio (read): wheel rate = drop-link rate x ratio squared.

    Teasel's front bar: torsional rate over arm squared at the drop link with the other end held, 30.7 N/mm.
    """
    rest = TEASEL.rest
    link = float(np.asarray(rest.parameters.bar_stiffness)[0, 0]) / 0.250**2
    ratio = read(rest, "motion_ratio.front_bar.left")[0]
    assert read(rest, "bar_rate_front")[0] == pytest.approx(link * ratio**2, rel=1e-9)
    published, lever = 846.0, (19.0 - 3.0) / 19.0
    assert published * lever**2 == pytest.approx(600.0, rel=1e-3)


def test_both_ends_moving_feel_twice_as_much():
    """The bar trap of ARB-1: in pure roll each wheel feels twice the rate with the other wheel still."""
    bars = elastic_ends(TEASEL.rest)["front"].bars
    roll = bars[0, 0] - bars[0, 1]
    assert roll[0] == pytest.approx(2.0 * read(TEASEL.rest, "bar_rate_front")[0], rel=1e-9)
