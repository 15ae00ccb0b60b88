"""The reference axle after a torque hit: the package's equations and integrator, and other engines, on one rig."""

from __future__ import annotations

from functools import cache
from importlib import import_module

import numpy as np
import pytest
from scipy.integrate import simpson

from axlewright.solve.motion.integrate import Method
from benchmarks.axle_hit import ENGINES
from benchmarks.engines.hit import RIGID, History, hit, known, moments
from benchmarks.engines.own_transient import loads
from tests.engines.reference_axle import axle, transient
from tests.engines.rig import Rig

# The reference is known to 3.4e-13 rad and 4.1e-8 N, at 1.2e4 N m in the housing.
PITCH, FORCE, POSE = 1e-12, 1e-7, 1e-12  # rad, N, m and rad
FINE = 3.125e-4  # s: steps at which order 5 leaves less than the reference's own error
# With the tolerance that events are run at: a thousand times below a mrad, and of a force of 7 kN
USUAL = (1e-6, 0.1)
ORDERS: dict[Method, tuple[int, float]] = {
    "explicit": (5, 2.5e-3),
    "implicit": (3, 2.5e-3),
}  # of the method, and the longer step, s
ORDER = 0.3  # how far one halving may be from the order: the next term of the error
ENERGY = 1e-7  # J, of up to 600 that go to and fro, at the fine step
SIMPSON = 2e-3  # of the work, with 5 ms between forces that swing in 100 ms
# (rad, N) at each engine's coarsest setting, in round numbers twice what it has been found to reach
REACHES = {
    "own_transient": (1e-6, 0.1),
    "mujoco_transient": (3e-7, 0.03),
    "exudyn_transient": (5e-5, 6.0),
    "scipy_transient": (3e-7, 0.03),
}


@cache
def rig() -> Rig:
    return Rig.of(*axle(upper_gives=True), gravity=hit().gravity)


@cache
def run(method: Method, step: float | None):
    """Fixed steps, or as many as the usual tolerance takes."""
    saved = np.concatenate([[0.0], moments()])
    go = rig().through(saved, loads(hit()), method, fixed=step is not None)
    return rig().watch(saved, loads(hit()))(go(1e-3 if step is None else step).states)


def history(method: Method, step: float | None) -> History:
    seen = run(method, step)
    return History(seen.pitch[1:], seen.pull[rig().block.elastic.index("upper"), 1:])


def test_the_whole_pose_and_the_upper_link_follow_the_reference():
    pitch, force = history("explicit", FINE).difference(known())
    assert pitch < PITCH
    assert force < FORCE
    seen, asked = run("explicit", FINE), transient()
    centre = np.stack([asked[f"centre_{axis}"] for axis in "xyz"])
    assert np.abs(seen.at[:, 1:] - centre).max() < POSE
    assert np.abs(seen.parts[0, 1:] - asked["bellcrank"]).max() < POSE
    turned = np.arctan2(-seen.rotation[1, 2], seen.rotation[2, 2])  # Cardan angle about x of Rx Ry Rz
    assert np.abs(turned[1:] - asked["cardan_x"]).max() < POSE


def test_the_usual_tolerance_is_enough():
    pitch, force = history("explicit", None).difference(known())
    assert pitch < USUAL[0]
    assert force < USUAL[1]


@pytest.mark.parametrize("method", ORDERS)
def test_the_integrator_converges_at_its_order(method):
    order, step = ORDERS[method]
    long, short = (history(method, h).difference(known())[0] for h in (step, step / 2))
    assert np.log2(long / short) == pytest.approx(order, abs=ORDER)


def test_energy_balance():
    """What springs and motion hold, less what the damper took, is what road and push have given."""
    seen, case = run("explicit", FINE), hit()
    given = np.zeros(len(seen.stored))
    for contact in case.contacts:
        moved = seen.at + np.einsum("ijt,j->it", seen.rotation, contact - case.centre) - contact[:, None]
        given += case.push * moved[0] + case.load * moved[2] - 0.5 * case.tyre_rate * moved[2] ** 2
    balance = seen.stored - seen.work - given
    assert np.ptp(balance) < ENERGY
    # The damper's part from the reference's own forces: what the spring does not explain, by Simpson's rule
    upper = len(RIGID)
    end = seen.at + np.einsum("ijt,j->it", seen.rotation, case.outer[upper] - case.centre)
    stretch = np.linalg.norm(end - case.inner[upper, :, None], axis=0) - case.lengths[upper]
    damping = np.append(case.preload[0], transient()["upper_force"]) - case.preload[0] - case.stiffness[0] * stretch
    taken = simpson(damping**2 / case.damping[0], x=np.append(0.0, moments()))
    assert -seen.work[-1] == pytest.approx(taken, rel=SIMPSON)


@pytest.mark.parametrize("name", ENGINES)
def test_engines_of_the_benchmark_follow_the_reference(name):
    """Which is what makes their times comparable."""
    engine = import_module(f"benchmarks.engines.{name}")
    found = engine.solver(hit(), engine.SETTINGS[0])().difference(known())
    assert found[0] < REACHES[name][0]
    assert found[1] < REACHES[name][1]
