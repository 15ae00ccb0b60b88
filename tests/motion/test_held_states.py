"""A held state is a steady state of the same equations in motion, and motion settles into held states."""

from __future__ import annotations

import jax
import numpy as np
import pytest

from axlewright.model.ground import chassis_attitude
from axlewright.model.moving import system
from axlewright.model.moving.parameters import Asked
from axlewright.solve.motion.events import cruising, ready
from axlewright.solve.motion.mover import mover_of
from axlewright.solve.motion.start import start_of
from axlewright.solve.phases import demand_of, held_phases
from axlewright.solve.verbs import hold_batch, machine_of
from axlewright.units import GRAVITY
from tests.motion import cars

STRAIGHT = 3e-3  # m/s2, rad/s2: a held state is found to 1e-3 N, on bodies of 36 kg; the rest is pitch under drag
# A held turn takes the yaw rate as ay / V and leaves out omega x I omega of a rolled car: under 2 N m on each body
TURNING = 2e-2
LAG = 1e-9  # m/s: the start puts the deflections where their rates vanish
SETTLED = 6e-3  # of a load: the car still gains speed, so that it is never quite steady


@pytest.mark.parametrize("name", ["teasel", "bramble", "betony", "dunnock", "sorrel"])
def test_a_held_state_moves_as_it_is_held(name):
    machine, phases = machine_of(cars.car(name)), held_phases(cars.car(name).phases)
    stiff = machine.parameters({**machine.values, "chassis.torsion_compliance": 0.0})  # as in motion
    held = hold_batch(machine, np.repeat(stiff, len(phases), axis=1), machine.form.demand.pack(demand_of(phases)))
    held = held.take(np.flatnonzero(held.result == 0))
    mover = mover_of(held.machine)
    moving = mover.going.moving.unpack(np.broadcast_to(mover.drawn, (mover.drawn.shape[0], held.batch)))
    state, engine = start_of(held, moving)
    zero, asked = np.zeros(held.batch), held.asked
    braking = np.asarray(asked.braking)
    acting = Asked(
        gravity=np.stack([zero, zero, zero - GRAVITY]), engine=engine, clutch=zero + 1.0,
        brake=held.border("effort") * braking, rack=held.border("rack"), rack_speed=zero, rack_acceleration=zero,
        height=np.asarray(asked.road_height), height_rate=np.zeros((4, held.batch)),
        grip=np.ones((4, held.batch)) * np.asarray(asked.grip),
    )  # fmt: skip
    now = jax.jit(
        lambda: system.instant(mover.machine.topology, mover.going.pivots, held.parameters, moving, acting, state)
    )()
    turn, centre = state.velocity[3:], np.asarray(held.parameters.centre)
    linear, angular = (np.asarray(now.accelerations.chassis)[k : k + 3] for k in (0, 3))
    across = lambda a, b: np.cross(a.T, b.T).T  # noqa: E731
    at_centre = linear + across(angular, centre) + across(turn, across(turn, centre))
    rotation = np.asarray(chassis_attitude(*state.attitude).rotation)
    gained = np.einsum("ijb,jb->ib", rotation, at_centre)
    tolerance = np.where(np.asarray(asked.ay) == 0.0, STRAIGHT, TURNING)
    assert (np.abs(gained - np.stack([asked.ax, asked.ay, zero])) < tolerance).all()
    for rates in now.accelerations.motion:
        assert (np.abs(np.asarray(rates)).max(axis=(0, 1)) < 10 * tolerance).all()
    for lag in now.rates.lag:
        assert np.abs(np.asarray(lag)).max() < LAG
    for name_of, rate in (("brake", now.rates.brake), ("seal", now.rates.seal)):
        assert max(np.abs(np.asarray(r)).max() if r.size else 0.0 for r in rate) < 1e-6, name_of


def test_a_torque_hit_settles_into_the_held_state():
    run = cars.torque_hit()
    seen, last = run.seen, -1
    demand = cruising(float(seen.speed[last, 0]), ax=float(seen.ax[last, 0]), ay=float(seen.ay[last, 0]))
    held = ready(cars.car(), None, demand).held
    loads = held.wheel("load")[:, 0]
    assert np.abs(seen.load[last, :, 0] / loads - 1.0).max() < SETTLED
    drive = held.wheel("longitudinal")[2:, 0].sum()
    assert abs(seen.longitudinal[last, 2:, 0].sum() / drive - 1.0) < SETTLED
    tension = held.link(1, "drive_link", "tension")[0, 0]
    assert abs(seen.tension["rear.drive_link"][last, 0] / tension - 1.0) < SETTLED


def test_a_damper_holds_nothing():
    """Brake-side clicks change how the axle winds up in braking and not where it ends: that rests on gas and bumper."""
    run = cars.three_clicks()
    wound = np.degrees(run.seen.wind_up["rear.axle"])
    assert np.ptp(wound[-1]) < 2e-3  # deg: what is left of 0.4 s time constants after 1.8 s
    early = (run.time > run.begins + 0.05) & (run.time < run.begins + 0.15)
    assert np.ptp(wound[early].mean(axis=0)) > 0.02
