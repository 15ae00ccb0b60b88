"""A car and its mirror image: what one does in a left turn the other does in a right turn.

The whole car is mirrored, the Watt's linkage, the offset drive-side link, the Panhard rod and the sense of the shaft
too: with any of them no car is its own mirror image, and a car that were would be covered by this.
"""

from __future__ import annotations

import re
from functools import cache

import numpy as np
import pytest

from axlewright.car.describe import describe
from axlewright.solve.machine import Machine, build
from axlewright.solve.solved import Solved
from tests.cars import BRAMBLE, TEASEL, Demo
from tests.solve.conditions import CONDITIONS, held

ASKED = ("mid-corner", "right turn", "launch", "entry", "kerb", "banked dip with yaw acceleration")
SWAP = {"left": "right", "right": "left", "LF": "RF", "RF": "LF", "LR": "RR", "RR": "LR"}
REFLECTION = np.array([1.0, -1.0, 1.0])
POINTS = ("a", "b", "at", "axis_a", "axis_b", "pivot", "direction", "drop_point", "centre")
# Both cars are solved to 1e-6 N in every equation by the same arithmetic in another order; the softest thing that this
# can move is a wheel's slip, by 1e-6 N over the tyre's 50 kN or more a unit slip.
LOAD = 1e-4  # N
SMALL = 1e-8  # rad, m, slip


def swapped(path: str) -> str:
    """A path with left and right exchanged."""
    return re.sub(r"(?<![a-z])(left|right)(?![a-z])|\b[LR][FR]\b", lambda found: SWAP[found[0]], path)


def mirrored(path: str, value: float | np.ndarray) -> float | np.ndarray:
    """The value that the mirror image has in the mirrored place."""
    name = path.rsplit(".", 1)[-1]
    if name in POINTS or path.startswith("ride_height."):
        return np.asarray(value) * REFLECTION
    if name == "axis":  # an axis of rotation: right-handed in the mirror too
        return -np.asarray(value) * REFLECTION
    if path in ("driveline.sense", "rack.travel"):
        return -np.asarray(value)
    return 1.0 - np.asarray(value) if path == "scales.cross_weight" else value


@cache
def image(demo: Demo) -> Machine:
    mechanism, values = describe(demo.car)
    return build(mechanism, {swapped(path): mirrored(path, value) for path, value in values.items()})


@cache
def both(demo: Demo) -> tuple[Solved, Solved]:
    """The car under every condition, and its image under the mirrored ones."""
    asked = [CONDITIONS[name] for name in ASKED]
    grip = 1.0 if demo is TEASEL else 1.25
    plain = [_with(c, 1.0, grip) for c in asked]
    return held(demo.machine, *plain), held(image(demo), *(_with(c, -1.0, grip) for c in asked))


def _with(condition, sense, grip):
    road = condition.road if sense > 0 else tuple(condition.road[i] for i in (1, 0, 3, 2))
    turned = {name: sense * getattr(condition, name) for name in ("ay", "banking", "yaw_acceleration")}
    return type(condition)(**(vars(condition) | turned | {"road": road, "grip": grip * condition.grip}))


CARS = pytest.mark.parametrize("demo", [TEASEL, BRAMBLE], ids=lambda demo: demo.name)


@CARS
def test_the_image_is_another_car(demo):
    """Else the tests below would say nothing: the same turn loads the two differently."""
    car, other = both(demo)
    assert (car.result == 0).all()
    assert (other.result == 0).all()
    turn = held(image(demo), CONDITIONS["right turn"])
    assert np.abs(turn.wheel("load")[:, 0] - car.wheel("load")[:, 1]).max() > 10.0  # N


@CARS
def test_loads_and_tyre_forces_change_sides(demo):
    car, other = both(demo)
    for name in ("load", "longitudinal"):
        assert np.abs(car.wheel(name) - other.wheel(name)[[1, 0, 3, 2]]).max() < LOAD, name
    assert np.abs(car.wheel("lateral") + other.wheel("lateral")[[1, 0, 3, 2]]).max() < LOAD
    assert np.abs(car.wheel("slip_angle") + other.wheel("slip_angle")[[1, 0, 3, 2]]).max() < SMALL


@CARS
def test_attitude_and_controls_are_mirrored(demo):
    car, other = both(demo)
    for name in ("heave", "pitch"):
        assert np.abs(car.border(name) - other.border(name)).max() < SMALL, name
    for name in ("roll", "rack", "sideslip"):
        assert np.abs(car.border(name) + other.border(name)).max() < SMALL, name
    for wheel in ("LF", "RF", "LR", "RR"):
        assert np.abs(car.border(f"slip {wheel}") - other.border(f"slip {SWAP[wheel]}")).max() < SMALL, wheel


@CARS
def test_every_link_carries_what_its_image_carries(demo):
    car, other = both(demo)
    for k, block in enumerate(demo.machine.topology.blocks):
        for name in block.links:
            mine, image_of_it = car.link(k, name, "tension"), other.link(k, swapped(name), "tension")
            assert np.abs(mine - image_of_it[::-1]).max() < LOAD, name  # front left's image is front right
