"""Two equilibria of the reference axle under dead loads, against other engines."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from axlewright.parts.elastic import tension
from tests.engines.motion import OneBlock
from tests.engines.reference_axle import CENTRE, HALF_TRACK, MASS, NAMES, G, axle, statics

POSE = 1e-12  # m, rad: the reference engines differ from each other by up to 1e-13
FORCE = 1e-8  # N: the reference engines differ from each other by up to 7e-10, at forces up to 5 kN
CONTACTS = [CENTRE + np.array([0.0, y, -CENTRE[2]]) for y in (HALF_TRACK, -HALF_TRACK)]
# Left and right contact force, N. The reference file states design (3 300 N a wheel) and half load; full load is as far
# again from design, which its link forces confirm.
LOADS = {
    "design": ((0.0, 0.0, 3300.0), (0.0, 0.0, 3300.0)),
    "half": ((750.0, 1250.0, 3400.0), (750.0, 900.0, 3200.0)),
    "full": ((1500.0, 2500.0, 3500.0), (1500.0, 1800.0, 3100.0)),
}


@cache
def solved(case: str):
    block = OneBlock.of(*axle(), batch=1)
    loads = [(at, np.array(force)) for at, force in zip(CONTACTS, LOADS[case], strict=True)]
    loads.append((CENTRE, np.array([0.0, 0.0, -MASS * G])))
    before = {"half": "design", "full": "half"}.get(case)
    start = np.zeros((block.topology.n_motion, 1)) if before is None else solved(before)[1]
    return (block, *block.settle(loads, start))


def tensions(case) -> dict[str, float]:
    block, _, forces = solved(case)
    return dict(zip(block.topology.rigid, forces[:, 0], strict=True))


def reference(case) -> dict:
    return statics()["half_load_case"] if case == "half" else statics()


@pytest.mark.parametrize("case", ["half", "full"])
def test_equilibrium_pose(case):
    block, motion, _ = solved(case)
    asked = reference(case)
    assert np.abs(block.reference[:, 0] + motion[:3, 0] - asked["axle_centre"]).max() < POSE
    assert np.abs(block.rotation(motion)[:, :, 0] - asked["R"]).max() < POSE
    assert abs(motion[6, 0] - asked["bellcrank_angle_rad"]) < POSE


@pytest.mark.parametrize("case", ["design", "half", "full"])
def test_link_forces(case):
    asked: dict[str, float] = (
        statics()["design_link_forces_N"] if case == "design" else reference(case)["link_forces_N"]
    )
    found = tensions(case)
    for name, force in asked.items():
        assert found[NAMES.get(name, name)] == pytest.approx(force, abs=FORCE), name


def test_spring_forces_at_full_load():
    """Extension from the package's points, force from its law: one spring pushes 5.1 kN, the other pulls 3.4 kN."""
    block, motion, _ = solved("full")
    at, links = block.points(motion, np.zeros(1)), block.topology.links
    first, last = links.index("spring_left"), links.index("spring_right") + 1
    span = at[:, len(links) + first : len(links) + last] - at[:, first:last]
    extension = np.linalg.norm(span, axis=0) - np.asarray(block.p.link_length)[first:last, 0]
    found = tension(block.p.elastic, extension[:, None])[:, 0, 0]
    assert found == pytest.approx(-np.array(statics()["spring_compression_N"]), abs=FORCE)
