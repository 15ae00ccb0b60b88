"""Watt's bellcrank against the closed forms of Watt's linkage, and its margin to toggle against the lever left."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.solve.poses import grid
from axlewright.solve.travel import travel
from tests.cars import TEASEL
from tests.textbook_car import read

PIVOT, ARM, LINK = 0.262, 0.090, 0.55  # of teasel's file: height, half bellcrank, link
NEXT_TERM = 5e-3  # h^2 / 4 b^2 is 3e-4 at 20 mm; the ends also move 2 mm along the car as the axle pitches
ANGLE, MARGIN = "angle.rear.bellcrank", "toggle_margin.rear.bellcrank"


def travelled():
    return travel(TEASEL.car, grid(bump=[-0.05, -0.02, 0.0, 0.03, 0.06], roll=[-0.03, 0.0, 0.04])).solved


def ends(solved):
    """(arm, link) of the left and right link in the plane square to x, (2, 2, B)."""
    block = solved.machine.topology.blocks[1]
    points, n = np.asarray(solved.blocks[1].details.points)[:, :, 0], len(block.links)
    for side in ("left", "right"):
        i = block.links.index(f"watt_{side}")
        yield points[1:, i] - np.array([[0.0], [PIVOT]]), (points[:, n + i] - points[:, i])[1:]


def test_angle_in_bump():
    """WA-3: the coupler turns h^2 / (2 b c) for a rise h, here of the links' ends, 0.2 m behind the wheels."""
    rise = np.array([0.01, -0.01, 0.02])
    solved = travel(TEASEL.car, grid(bump=rise)).solved
    behind = rise - 0.2 * np.sin(read(solved, "pinion_angle"))
    assert np.abs(read(solved, ANGLE)) == pytest.approx(behind**2 / (2.0 * LINK * ARM), rel=NEXT_TERM)


def test_angle_is_that_of_the_arms():
    solved = travelled()
    (left, _), (right, _) = ends(solved)
    for arm, drawn in ((left, 1.0), (right, -1.0)):
        turned = np.arctan2(-drawn * arm[0], drawn * arm[1])  # about x, from straight up or down
        assert read(solved, ANGLE) == pytest.approx(turned, abs=1e-9)


def test_margin_is_the_lever_that_the_links_have_left():
    """Lever of a link's force about the pivot = arm x sin(margin); the smaller of the two."""
    solved = travelled()
    levers = [np.abs(arm[0] * link[1] - arm[1] * link[0]) / np.linalg.norm(link, axis=0) for arm, link in ends(solved)]
    assert ARM * np.sin(read(solved, MARGIN)) == pytest.approx(np.min(levers, axis=0), abs=1e-9)
    assert read(TEASEL.rest, MARGIN)[0] == pytest.approx(np.pi / 2, abs=1e-9)
