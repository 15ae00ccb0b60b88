"""Understeer and roll gradients against differences of separately held states on one path of constant radius.

ISO 4138, constant radius: the gradient is the slope of the curve that a car draws as it goes faster round one circle.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from axlewright.solve.solved import Solved
from tests.cars import TEASEL
from tests.solve.conditions import Condition, held
from tests.textbook_car import read

G = 9.81
RADIUS = 90.0  # m
APART = 0.02  # m/s2 to each side: the solver's rounding is far below the difference, and see BENT
SIDEWAYS = (0.3, 0.5, 0.8, 1.0, -0.7)  # g; right turns negative
# Central differences leave out the curve's third derivative times APART^2 / 6; understeer bends most, by 2e-5 of its
# slope at 1 g.
BENT = 5e-5
GRADIENTS = {
    "understeer_gradient": ("understeer_angle", False),  # the angle is counted into the turn
    "vehicle_roll_gradient": ("vehicle_roll", True),  # roll is counted to the right
    "suspension_roll_gradient_front": ("suspension_roll_front", True),
    "suspension_roll_gradient_rear": ("suspension_roll_rear", True),
}


@cache
def circle() -> Solved:
    """Three states around each sideways acceleration, on one circle, each at its own speed."""
    states = [np.sign(a) * (abs(a) * G + apart) for a in SIDEWAYS for apart in (-APART, 0.0, APART)]
    return held(TEASEL.machine, *(Condition(ay=a / G, speed=float(np.sqrt(abs(a) * RADIUS))) for a in states))


@pytest.mark.parametrize("name", GRADIENTS)
def test_a_gradient_is_the_slope_between_states_held_apart(name):
    base, signed = GRADIENTS[name]
    before, _, after = read(circle(), base).reshape(-1, 3).T
    slope = (after - before) / (2.0 * APART) * (np.sign(SIDEWAYS) if signed else 1.0)
    assert (circle().result == 0).all()
    np.testing.assert_allclose(read(circle(), name)[1::3], slope, rtol=BENT)
