"""Held anti-squat and anti-lift against two separately held states, and against the balance of a beam axle.

Beam axle in side view, about its instant centre, d ahead of it and z_ic up (moments, any text on statics; the design
writes it as dFspring = dFz - Fx t + m a (z_ic - z) / d - 2 I (a / R) / d, t the slope of the contact's path):
what tyres lift, less what their forward force lifts, the axle's own inertia and its wheels' spin-up is on the springs.
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
APART = 0.05  # m/s2 to each side
FORWARD = {0.05: 10.0, 0.3: 10.0, 0.6: 10.0, -0.3: 30.0, -0.6: 45.0, -1.0: 45.0}  # g at m/s; braking with the brakes
# From the demo car's file: complete axle and the height of its centre of mass; spin inertia and radius of a rear wheel.
AXLE_MASS, AXLE_HEIGHT, SPIN, RADIUS = 123.0, 0.335, 1.2, 0.33
BENT = 5e-6  # what a central difference leaves out, as a share of the load change
# The reading refers a change of spring force by the ratio of the state. The hand balance is of whole forces, and the
# ratio itself changes as the axle rises: 6.5 kN of springs times 1e-3 of ratio per g, 1 % of the load change at most.
RATIO = 0.01
# At a light throttle, where the slope's change has next to no force to work on: the design says 0.2 %.
LIGHT = 0.002
FREE_ROLLING = 0.05  # g of drive that little more than holds the speed
SPRINGS = [f"load.rear.spring_{side}.{kind}" for side in ("left", "right") for kind in ("spring", "bump_stop")]


@cache
def straight() -> Solved:
    """Three states around each forward acceleration."""
    return held(
        TEASEL.machine,
        *(
            Condition(ax=ax + apart / G, speed=speed, effort="engine" if ax > 0 else "brakes")
            for ax, speed in FORWARD.items()
            for apart in (-APART, 0.0, APART)
        ),
    )


def at(ax: float, name: str) -> np.ndarray:
    """A reading before, at and after a forward acceleration."""
    return _three(ax, read(straight(), name))


def _three(ax: float, values: np.ndarray) -> np.ndarray:
    return values.reshape(-1, 3)[list(FORWARD).index(ax)]


def change(values: np.ndarray) -> float:
    return (values[2] - values[0]) / (2.0 * APART)


def anti(ax: float) -> float:
    return float(at(ax, "held_anti_squat" if ax > 0 else "held_anti_lift")[1])


def load_change(ax: float) -> float:
    return change(at(ax, "tyre_load_LR") + at(ax, "tyre_load_RR"))


def forward_force(ax: float) -> np.ndarray:
    return _three(ax, straight().wheel("longitudinal")[2:].sum(axis=0))


@pytest.mark.parametrize("ax", FORWARD)
def test_it_is_the_share_between_two_states_held_apart(ax):
    springs = change(np.sum([at(ax, name) for name in SPRINGS], axis=0)) * at(ax, "motion_ratio_rear")[1]
    assert (_three(ax, straight().result) == 0).all()
    assert anti(ax) == pytest.approx(1.0 - springs / load_change(ax), abs=BENT)


@pytest.mark.parametrize("ax", FORWARD)
def test_the_balance_of_a_beam_axle_gives_the_same(ax):
    """As whole forces, so that what the wind-up does to the slope and the swing arm is in it too."""
    case = "drive" if ax > 0 else "brake"
    slope, arm, height = (at(ax, f"side_view_{what}_{case}") for what in ("slope", "arm", "centre_z"))
    a = np.array([ax * G - APART, ax * G, ax * G + APART])
    by_mass = AXLE_MASS * a * (height - AXLE_HEIGHT) / arm
    by_spin = 2.0 * SPIN * (a / RADIUS) / arm
    springs = load_change(ax) - change(forward_force(ax) * slope) + change(by_mass) - change(by_spin)
    assert anti(ax) == pytest.approx(1.0 - springs / load_change(ax), abs=RATIO)


def test_at_a_light_throttle_the_design_s_line_as_it_stands():
    ax = FREE_ROLLING
    slope, arm, height = (at(ax, f"side_view_{what}_drive")[1] for what in ("slope", "arm", "centre_z"))
    springs = load_change(ax) - change(forward_force(ax)) * slope
    springs += (AXLE_MASS * (height - AXLE_HEIGHT) - 2.0 * SPIN / RADIUS) / arm
    assert anti(ax) == pytest.approx(1.0 - springs / load_change(ax), abs=LIGHT)


def test_the_other_pedal_has_none():
    assert np.isnan(at(0.6, "held_anti_lift")).all()
    assert np.isnan(at(-0.6, "held_anti_squat")).all()
