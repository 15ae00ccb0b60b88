"""Energy, rigid lengths, and how the answer depends on the integrator: mechanics, any text."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from axlewright.model.moving.parameters import WORK
from axlewright.road import level
from axlewright.solve.motion import events
from axlewright.solve.motion.going import TOLERANCE, go, times
from axlewright.solve.motion.integrate import Method
from axlewright.solve.motion.roads import surface_of
from tests.motion import cars

ENERGY = 1e-6  # of the kinetic energy: what the tolerance of the integrator leaves
DRIFT = 1e-9  # m
GIVEN = 2e-3  # J a moment, of up to 5: what the polynomial between two steps overshoots
ALIKE = 2e-4  # of the range: two methods at one tolerance
HALVED = 3.0  # times nearer with half the step
# Members share the steps of their batch, so their last digits differ: 10 um of tyre deflection, 10 microradians
ALONE = {"load": 3.0, "yaw_rate": 1e-4, "pitch": 1e-5}


def balance(run) -> np.ndarray:
    energy = run.seen.energy
    stored = np.sum([energy[name] for name in ("kinetic", "weight", "elastic")], axis=0)
    return stored - np.sum([energy[name] for name in WORK], axis=0)


@pytest.mark.parametrize("run", [cars.torque_hit, cars.brake_hit], ids=["drive", "brake"])
def test_energy_is_accounted_for(run):
    total = balance(run())
    assert np.ptp(total, axis=0).max() < ENERGY * run().seen.energy["kinetic"].max()


def test_what_takes_energy_never_gives_any():
    for run in (cars.torque_hit(), cars.brake_hit()):
        for name in ("dampers", "losses"):
            assert (np.diff(run.seen.energy[name], axis=0) < GIVEN).all(), name


def test_rigid_lengths_stay():
    for run in (cars.torque_hit(), cars.brake_hit()):
        assert np.nanmax(run.seen.drift) < DRIFT


def _wound(tolerance: float, *, method: Method = "explicit", fixed: bool = False) -> np.ndarray:
    """Wind-up after a slow ramp of torque, so that no corner of a law is met at speed."""
    at = events.ready(cars.car(), None, events.cruising(15.0))
    engine = events.control(1, (0.0, at.engine), (0.05, at.engine), (0.35, 900.0), (60.0, 900.0))
    done, saved = events.script(at, engine=engine), times(0.4)
    event = events.Event("a slow hit", "drive")
    run = go(
        at.held, at.moving, done, surface_of(level()), saved, cars=at.cars, event=event, method=method,
        tolerance=tolerance, fixed=fixed,
    )  # fmt: skip
    return run.seen.wind_up["rear.axle"][:, 0]


def test_half_the_step_is_far_nearer():
    """The explicit method is of fifth order where laws are smooth; corners cost it some, but never all but first."""
    best = _wound(1e-4, fixed=True)
    errors = [np.abs(_wound(step, fixed=True) - best).max() for step in (2e-3, 1e-3, 5e-4)]
    assert errors[0] > HALVED * errors[1] > HALVED**2 * errors[2]


def test_the_tolerance_is_kept():
    best = _wound(1e-4, fixed=True)
    assert np.abs(_wound(TOLERANCE) - best).max() < ALIKE * np.ptp(best)


@pytest.mark.slow
def test_an_l_stable_method_agrees():
    best = _wound(1e-4, fixed=True)
    assert np.abs(_wound(1e-3, method="implicit") - best).max() < ALIKE * np.ptp(best)


def test_a_member_alone_is_the_member_of_a_batch():
    batch = cars.three_clicks()
    alone = events.brake_hit(cars.car(), [{"brake_compression": 16.0, "brake_rebound": 16.0}])
    for field, tolerance in ALONE.items():
        a, b = getattr(batch.seen, field)[..., 2], getattr(alone.seen, field)[..., 0]
        assert np.abs(a - b).max() < tolerance, field


def test_a_car_that_jumps_for_ever_stops_alone():
    """A member with numbers that end takes no other with it, and says when it ended."""
    at = events.ready(cars.car(), [{}, {}], events.cruising(15.0))
    rows = at.mover.going.moving.unpack(np.arange(at.moving.shape[0], dtype=float)[:, None])
    broken = at.moving.copy()
    broken[rows.blocks[1].inertia[1].astype(int).ravel(), 1] = -2.6  # a housing whose pitch inertia is below zero
    engine = events.control(2, (0.0, at.engine), (0.1, at.engine), (0.12, cars.HIT))
    done = events.script(replace(at, moving=broken), engine=engine)
    event = events.Event("a hit", "drive", 0.1)
    run = events.follow(replace(at, moving=broken), done, event, events.Following())
    assert run.ended.tolist() == [0, 1]
    assert np.isfinite(run.seen.load[:, :, 0]).all()
    assert "too violent to follow" in run.sentences[1]
    assert " s, where " in run.sentences[1]
