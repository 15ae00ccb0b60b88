"""The demo car's suspension, front corner and live axle, live against MuJoCo: positions and link forces."""

# pyright: reportAttributeAccessIssue=false
# MuJoCo is an extension module without type stubs: the checker does not see its functions.
from __future__ import annotations

from dataclasses import replace
from functools import cache

import mujoco
import numpy as np
import pytest

from axlewright.car.mechanism import Block, Mechanism
from axlewright.parts.elastic import tension
from tests.cars import TEASEL, standing_values
from tests.engines.motion import OneBlock
from tests.engines.mujoco_block import Engine, engine

POSITION = 1e-11  # m: MuJoCo's Newton ends below 1e-12 m and ours below 1e-11 m, both with a quadratic last step
BALANCE = 1e-6  # N, N m: ten times what our equilibrium is solved to (1e-11 kN) times the worst lever and link slope
# MuJoCo's own constraints are soft: they give way by 1e-4 (`solimp`) of the force, a little more where links share it.
SOFT = 2e-3  # of the largest constraint force
HEIGHTS = [(0.0, 0.0), (0.04, 0.0), (-0.04, 0.0), (0.03, -0.03), (-0.03, 0.03), (0.05, 0.02)]  # m
PINION = np.array([-2.45, 0.0, 0.34])  # a point ahead on the housing: its height sets the housing's pitch
G = 9.81
# Dead loads on the contact points, N: left and right rear, and left front.
AXLE_LOADS = {
    "standing": ((0, 0, 2768), (0, 0, 2768)),
    "driving": ((1400, 0, 3200), (1400, 0, 3000)),
    "cornering": ((0, 1000, 1900), (0, 3000, 3900)),
    "braking": ((-1300, 0, 2200), (-1300, 0, 2100)),
}
CORNER_LOADS = {"standing": (0, 0, 3020), "cornering": (300, 4000, 4200), "braking": (-3500, 0, 3900)}


@cache
def axle_block() -> Block:
    return TEASEL.mechanism.blocks[1]


@cache
def corner_block() -> Block:
    """The left front corner alone."""
    both = TEASEL.mechanism.blocks[0]
    return replace(both, copies=both.copies[:1], wheels=tuple(replace(w, names=w.names[:1]) for w in both.wheels))


@cache
def ours(block: Block, batch: int) -> OneBlock:
    return OneBlock.of(Mechanism(blocks=(block,), mass_items=TEASEL.mechanism.mass_items), standing_values(), batch)


def marks(block: Block) -> dict[str, np.ndarray]:
    """Points of the body whose heights are prescribed."""
    values = standing_values()
    index = block.copies[0]
    found = {name: values[f"{name}.centre"] for wheel in block.wheels for name in wheel.names}
    return found | ({"pinion": PINION} if index == "rear" else {})


def _on_body(block: Block, points: dict[str, np.ndarray]) -> dict[str, tuple[str, np.ndarray]]:
    return {name: (block.bodies[0], at) for name, at in points.items()}


def contacts(block: Block) -> dict[str, np.ndarray]:
    values = standing_values()
    return {f"{w.names[0]} road": values[f"{w.names[0]}.centre"] * np.array([1.0, 1.0, 0.0]) for w in block.wheels}


@cache
def poses(block: Block) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Ours: heights of the marks (k, B), rack shifts (B,) and all points (3, points, B)."""
    low = np.stack(list(marks(block).values()))
    left, right = np.array(HEIGHTS).T
    if block is axle_block():
        pitch = 0.5 * (left + right) + 0.005 * (np.arange(len(left)) % 2)
        heights, rack = low[:, 2, None] + np.stack([left, right, pitch]), np.zeros(len(left))
    else:
        heights, rack = low[:, 2, None] + left[None], right
    one = ours(block, len(left))
    return heights, rack, one.points(one.reach(low, heights, rack), rack)


def engine_points(found: Engine, one: OneBlock) -> np.ndarray:
    links = [f"{name}.{end}" for end in "ab" for name in one.topology.links]
    joints = [f"{joint.name}.{end}" for end in "ab" for joint in found.block.joints]
    return np.stack([found.site(name) for name in links + joints], axis=1)


@pytest.mark.parametrize("block", [axle_block(), corner_block()], ids=["axle", "corner"])
def test_positions(block):
    """Every link end and ball joint at six poses: heave, roll and housing pitch, or wheel height and steer."""
    heights, rack, points = poses(block)
    for pose in range(len(HEIGHTS)):
        found = engine(block, block.copies[0], standing_values(), _on_body(block, marks(block)))
        if block is corner_block():
            found.slide("tie_rod.a", float(rack[pose]))
        found.reach(list(marks(block)), heights[:, pose])
        at = engine_points(found, ours(block, len(HEIGHTS)))
        assert np.abs(at - points[:, : at.shape[1], pose]).max() < POSITION, HEIGHTS[pose]


def elastic_pull(one: OneBlock, found: Engine) -> dict[str, float]:
    """Tension of each elastic link, N, by the package's laws at MuJoCo's lengths."""
    names = one.topology.elastic
    free = np.asarray(one.p.link_length)[one.topology.n_rigid :, 0, 0]
    stretch = np.array([found.data.tendon(name).length[0] for name in names]) - free
    terms = one.topology.terms
    each = tension(one.p.elastic, np.array([stretch[i] for i, _, _ in terms])[:, None, None])[:, 0, 0]
    return {name: float(sum(each[t] for t, (i, _, _) in enumerate(terms) if names[i] == name)) for name in names}


def load_up(found: Engine, one: OneBlock, loads: list[tuple[str, np.ndarray]]) -> None:
    """Put elastic forces and dead loads on MuJoCo's bodies and let it find accelerations and constraint forces."""
    data, body = found.data, found.model.body(found.block.bodies[0]).id
    for name, pull in elastic_pull(one, found).items():
        data.qfrc_applied[:] -= pull * found.length_rate(name)
    for mark, force in loads:
        mujoco.mj_applyFT(found.model, data, force, np.zeros(3), found.site(mark), body, data.qfrc_applied)
    found.forward()


CASES = [(axle_block(), name, load) for name, load in AXLE_LOADS.items()]
CASES += [(corner_block(), name, (load,)) for name, load in CORNER_LOADS.items()]


@pytest.mark.parametrize(("block", "case", "feet"), CASES, ids=[f"{b.name} {c}" for b, c, _ in CASES])
def test_forces(block, case, feet):
    """Our equilibrium under dead loads is one for MuJoCo, with the same tensions and ball-joint forces."""
    del case
    one, values, body = ours(block, 1), standing_values(), f"{block.copies[0]}.{block.bodies[0]}"
    at = contacts(block) | {"mass": values[f"{body}.at"]}
    push = [np.array(force, dtype=float) for force in feet] + [np.array([0.0, 0.0, -G * values[f"{body}.mass"]])]
    motion, forces = one.settle(list(zip(at.values(), push, strict=True)), np.zeros((one.topology.n_motion, 1)))
    found = engine(block, block.copies[0], values, _on_body(block, at | marks(block)))
    heights = np.array([one.carried(motion, mark)[0][2, 0] for mark in marks(block).values()])
    found.reach(list(marks(block)), heights)
    load_up(found, one, list(zip(at, push, strict=True)))
    asked = forces[:, 0] * np.array([-1.0] * one.topology.n_rigid + [1.0] * (3 * one.topology.n_joints))
    jacobian = found.data.efc_J.reshape(found.data.nefc, found.model.nv)
    rows = found.constraint_rows()
    assert np.abs(jacobian[rows].T @ asked + found.data.qfrc_applied).max() < BALANCE
    assert np.abs(found.data.efc_force[rows] - asked).max() < SOFT * np.abs(asked).max()
