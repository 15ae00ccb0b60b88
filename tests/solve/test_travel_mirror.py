"""A car and its mirror image through travel: every curve of one side is that of the other, rolled and steered over."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from axlewright.solve.poses import grid
from axlewright.solve.travel import Travelled, travel
from tests.cars import BRAMBLE, TEASEL, Demo
from tests.solve.test_mirror import SWAP, image

WHEELS = ("LF", "RF", "LR", "RR")
OTHER = [WHEELS.index(SWAP[wheel]) for wheel in WHEELS]
REFLECTION = np.array([1.0, -1.0, 1.0])[:, None, None]
CLOSED = 1e-11  # m, rad: both are closed to 1e-12 m; rotations have levers of 0.1 m
BUMP, ROLL, STEER, RISE = (-0.03, 0.05), np.radians([-1.5, 3.0]), (-0.02, 0.01), (0.0, 0.02)
CARS = pytest.mark.parametrize("demo", [TEASEL, BRAMBLE], ids=lambda demo: demo.name)


@cache
def both(demo: Demo) -> tuple[Travelled, Travelled]:
    car = travel(demo.machine, grid(bump=BUMP, roll=ROLL, steer=STEER, LF=RISE))
    return car, travel(image(demo), grid(bump=BUMP, roll=-ROLL, steer=-np.array(STEER), RF=RISE))


@CARS
def test_wheels_go_where_their_images_go(demo):
    car, other = both(demo)
    assert car.reached.all()
    assert other.reached.all()
    for name in ("centre", "point"):
        assert np.abs(car.solved.wheel(name) - REFLECTION * other.solved.wheel(name)[:, OTHER]).max() < CLOSED, name


@CARS
def test_wheels_stand_as_their_images_do(demo):
    car, other = both(demo)
    leaning = car.solved.wheel("inclination") + other.solved.wheel("inclination")[OTHER]
    assert np.abs(leaning).max() < CLOSED


def test_an_axle_that_is_its_own_image_moves_symmetrically():
    """Front suspensions of both cars are: bump moves both wheels alike, and the wheels change places in roll."""
    for demo in (TEASEL, BRAMBLE):
        solved = travel(demo.machine, grid(roll=[-0.03, 0.0, 0.03])).solved
        left, right = solved.wheel("centre")[:, 0], solved.wheel("centre")[:, 1]
        assert np.abs(left - REFLECTION[:, 0] * right[:, ::-1]).max() < CLOSED
