"""Front-view instant centres, against textbook constructions from the points of the car."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.readings._frames import halves
from axlewright.readings.front_view import front_views
from axlewright.readings.roll_centre import roll_centres
from tests.cars import TEASEL
from tests.textbook_car import read

CLOSE = 1e-8  # relative; linear solves of well-scaled rows
STEERS = 2e-3  # relative; camber is to the wheel's own heading, toed out a little and turned by caster as it rises


def constructed(solved, copy, member):
    """(sideways, height over the contact centre) of a wishbone corner's instant centre.

    Each ball joint moves square to the plane of its arm; the upright that joins them, and a tie rod that keeps its
    length, leave one motion. Where it stands still in the plane across the car is found from that motion alone.
    """
    points = np.asarray(solved.blocks[0].details.points)[:, :, copy, member]
    hinge = lower_hinge(solved, copy)
    upper, lower, rod = points[:, 4], points[:, 8], (points[:, 2], points[:, 6])
    square = np.cross(hinge[0] - lower, hinge[1] - lower)
    # unknown: turn (3) and speed (3) of the lower ball joint, which has none along its arm's plane; so the upper one
    rows = [np.concatenate([np.zeros(3), arm - lower]) for arm in hinge]
    rows += [velocity_row(upper, lower, arm - upper) for arm in points[:, :2].T]
    rows += [velocity_row(rod[1], lower, rod[1] - rod[0]), np.concatenate([np.zeros(3), square])]
    motion = np.linalg.solve(np.array(rows), np.eye(6)[5])
    half = halves(solved)[0]
    turn, speed = (half.rotation[..., member] @ motion[part] for part in (slice(3), slice(3, 6)))
    at = half.rotation[..., member] @ lower + half.origin[..., member]
    contact = solved.wheel("point")[:, copy, member]
    rate = speed + np.cross(turn, contact - at)
    return contact[1] - rate[2] / turn[0], rate[1] / turn[0]


def velocity_row(point, base, direction):
    """Speed of a point along a direction, of (turn, speed of the base)."""
    return np.concatenate([np.cross(point - base, direction), direction])


def lower_hinge(solved, copy):
    """Both pivots of the lower arm on the chassis, where the file says."""
    arm = TEASEL.car.front.lower_wishbone
    pivots = np.array([(at.x, at.y, at.z) for at in (arm.front.holes[0], arm.rear.holes[0])])
    return pivots * (1.0, 1.0 if copy == 0 else -1.0, 1.0)


@pytest.mark.parametrize(("copy", "wheel"), [(0, "LF"), (1, "RF")])
def test_a_wishbone_corner_turns_where_its_arms_say(copy, wheel):
    for solved in (TEASEL.rest, TEASEL.held):
        seen = front_views(solved)[wheel]
        for member in range(solved.batch):
            asked = constructed(solved, copy, member)
            assert (seen.sideways[member], seen.height[member]) == pytest.approx(asked, rel=CLOSE)


def test_the_line_from_contact_to_centre_gives_the_roll_centre():
    """Of a car that is the same left and right, at its centre plane (SAE J670)."""
    seen, contact = front_views(TEASEL.rest)["LF"], TEASEL.rest.wheel("point")[:, 0]
    height = seen.height * contact[1] / seen.arm
    assert roll_centres(TEASEL.rest)["front"].height == pytest.approx(height, rel=CLOSE)


def test_camber_gain_is_one_over_the_arm():
    """Textbook, from memory: a wheel whose centre is raised by 1 turns by 1 / its distance from the instant centre."""
    arm = TEASEL.rest.wheel("centre")[1, 0] - front_views(TEASEL.rest)["LF"].sideways
    assert -0.025 / arm == pytest.approx(read(TEASEL.rest, "camber_gain_LF"), rel=STEERS)  # quoted for 25 mm


def test_an_axle_has_none():
    assert set(front_views(TEASEL.rest)) == {"LF", "RF"}
