"""Teasel's rear axle in motion against a live model of it in MuJoCo: a torque hit and a bump under one wheel."""

from __future__ import annotations

from functools import cache

import jax.numpy as jnp
import numpy as np
import pytest

from axlewright.car.mechanism import Mechanism
from axlewright.model.vectors import Array
from tests.cars import TEASEL, standing_values
from tests.engines.mujoco_axle import WHEELS, Moved, Push, followed
from tests.engines.mujoco_block import G
from tests.engines.rig import Load, Rig, Seen

TYRE_RATE = 255e3  # N/m
SAVED = np.arange(0.0, 0.3001, 0.005)  # s
STEP = 1.25e-4  # s, of MuJoCo
TOLERANCE = 1e-5  # of ours
# Of the range of each channel. What is left does not fall with MuJoCo's step: our dampers' corners are rounded over
# +-1 mm/s, which is 0.6 N of the brake-side link's 2.3 kN.
POSE, FORCE = 1e-4, 5e-4
RISE = 0.02  # s, of the push
BEGIN, LONG = 0.02, 0.05  # s, of the bump
# N forward on both contact points, and m of a bump under the left wheel
CASES = {"hit": (1500.0, 0.0), "brake": (-1500.0, 0.0), "bump": (0.0, 0.01)}


def forward(time, size, xp=np):
    """N on each contact point."""
    return size * xp.clip(time / RISE, 0.0, 1.0)


def road(time, height, xp=np):
    """m below the left wheel: half a wave of a cosine and back."""
    return 0.5 * height * (1.0 - xp.cos(2.0 * np.pi * xp.clip((time - BEGIN) / LONG, 0.0, 1.0)))


def contacts() -> dict[str, np.ndarray]:
    values = standing_values()
    return {name: values[f"{name}.centre"] * np.array([1.0, 1.0, 0.0]) for name in WHEELS}


def standing_loads() -> dict[str, float]:
    found = dict(zip(TEASEL.mechanism.wheels, TEASEL.machine.standing.loads[:, 0], strict=True))
    return {name: float(found[name]) for name in WHEELS}


@cache
def rig() -> Rig:
    mechanism = Mechanism(blocks=(TEASEL.mechanism.blocks[1],), mass_items=TEASEL.mechanism.mass_items)
    return Rig.of(mechanism, standing_values(), gravity=G)


@cache
def compiled():
    """Our run and what is seen of it, for any case."""
    pushed = []
    for name, drawn in contacts().items():
        carries, raised = standing_loads()[name], float(name == WHEELS[0])

        def force(time: Array, at: Array, given: Array, carries: float = carries, raised: float = raised) -> Array:
            up = carries + TYRE_RATE * (raised * road(time, given[1], jnp) - at[2])
            return jnp.stack([forward(time, given[0], jnp) + jnp.zeros_like(up), jnp.zeros_like(up), up])

        pushed.append(Load(drawn, force))
    return rig().through(SAVED, pushed), rig().watch(SAVED, pushed)


@cache
def ours(case: str) -> Seen:
    run, watch = compiled()
    given = np.array(CASES[case])
    return watch(run(TOLERANCE, given).states, given)


@cache
def theirs(case: str) -> Moved:
    size, height = CASES[case]
    push = lambda t: float(forward(t, size))  # noqa: E731
    pushes = {name: Push(push, lambda t, h=h: float(road(t, h))) for name, h in zip(WHEELS, (height, 0.0), strict=True)}
    return followed(
        TEASEL.mechanism.blocks[1], standing_values(), contacts(), standing_loads(), TYRE_RATE, pushes, SAVED, STEP
    )


def differences(case: str) -> dict[str, float]:
    """Largest difference of each channel as a share of the largest range of its kind."""
    a, b = ours(case), theirs(case)
    roll = np.arctan2(a.rotation[2, 1], a.rotation[2, 2])
    turn = max(np.ptp(b.pitch), np.ptp(b.roll))
    found = {
        "pitch": np.abs(a.pitch - b.pitch).max() / turn,
        "roll": np.abs(roll - b.roll).max() / turn,
        "height": np.abs(a.at[2] - b.height).max() / np.ptp(b.height),
    }
    largest = max(np.ptp(pull) for pull in b.tension.values())
    for i, name in enumerate(rig().block.elastic):
        found[name] = np.abs(a.pull[i] - b.tension[name]).max() / largest
    return {name: float(value) for name, value in found.items()}


@pytest.mark.parametrize("case", CASES)
def test_the_axle_moves_as_in_another_engine(case):
    for name, share in differences(case).items():
        assert share < (POSE if name in ("pitch", "roll", "height") else FORCE), name
