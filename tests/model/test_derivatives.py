"""The exact derivative against differences of the residual, and the bordered Newton step against a dense solve."""

from __future__ import annotations

from functools import cache

import jax
import numpy as np
import pytest

from axlewright.model.system import linearise, newton_step
from axlewright.solve.arc import unknown_scale
from axlewright.solve.machine import Machine
from axlewright.solve.solved import Solved
from tests.cars import BRAMBLE, DUNNOCK, SORREL, TEASEL, Demo
from tests.handmade_car import HANDMADE
from tests.solve.conditions import conditions_of, states_of, word

CARS = pytest.mark.parametrize("demo", [TEASEL, BRAMBLE, DUNNOCK, SORREL, HANDMADE], ids=lambda demo: demo.name)
STEP = 1e-5  # share of an unknown's size (10 mm, 10 mrad, 1 kN, 1 % slip): smaller than every rounded corner
SMALL = 1e-8  # share of each parameter: points 2.7 m away move by 0.03 um, less than the sharpest corner's width
# Of the largest slope in a column. Differences: rounding 1e-16 x 10 kN over a step of 1e-7 m, against slopes of 10 kN/m
# and more, is 1e-8; curvature over the step is less, but for a state within a step of a corner's edge.
SLOPE = 1e-6
LEAST = (
    0.01  # the same: 10 N, 10 N m or 10 um for a column that says less, as the brakes' do once every wheel is locked
)
STEP_AGREES = 1e-9  # share of the largest entry; two eliminations of a matrix with condition number up to 1e7


def _differences(machine: Machine, solved: Solved, state: np.ndarray) -> np.ndarray:
    """Central differences of the residual, (N, N, B), columns times their unknown's size."""
    n, b = state.shape[0], solved.batch
    size = unknown_scale(machine)[:-1]
    moves = np.concatenate([np.diag(size), -np.diag(size)], axis=1) * STEP  # (N, 2 N)
    every = machine.packed((machine.flat(state)[:, :, None] + moves[:, None]).reshape(n, -1))
    spread = [np.repeat(np.broadcast_to(a, (a.shape[0], b)), 2 * n, axis=1) for a in (solved.car, solved.demand)]
    found = machine.residual(spread[0], spread[1], every).reshape(n, b, 2, n)
    return ((found[:, :, 0] - found[:, :, 1]) / (2.0 * STEP)).swapaxes(1, 2)


@cache
def places(demo: Demo) -> tuple[tuple[str, ...], Solved, np.ndarray]:
    """Solved states of every condition, the same a little off balance, and rest: names, (car, demand), states."""
    held, rest = states_of(demo), demo.rest
    names = conditions_of(demo)
    size = unknown_scale(held.machine)[:-1, None]
    size[held.machine.flat_size - held.machine.topology.n_border + held.machine.topology.border.index("effort")] = 0.1
    off = held.machine.flat(held.state)
    off = held.machine.packed(off + size * np.sin(np.arange(off.size)).reshape(off.shape))
    whole = lambda a, b: np.broadcast_to(a, (a.shape[0], b.batch))  # noqa: E731 - two uses below
    car = np.concatenate([whole(held.car, held), whole(held.car, held), whole(rest.car, rest)], axis=1)
    demand = np.concatenate([held.demand, held.demand, whole(rest.demand, rest)], axis=1)
    state = np.concatenate([held.state, off, rest.state], axis=1)
    n = state.shape[1]
    joined = Solved(held.machine, car, demand, state, np.zeros(n), np.zeros(n, dtype=int))
    return (*names, *(f"off balance: {name}" for name in names), "rest"), joined, state


@CARS
def test_exact_derivative_equals_differences(demo):
    """At rest, in corners, braking, at launch, with a lifted and a locked wheel, stops touched, links slack; with
    a twisting chassis and compliant links on the other demo car; and away from balance.
    """
    names, at, state = places(demo)
    exact = at.linear[1] * unknown_scale(demo.machine)[None, :-1, None]
    found = _differences(demo.machine, at, state)
    largest = np.maximum(np.abs(exact).max(axis=0, keepdims=True), LEAST)
    misfit = (np.abs(found - exact) / largest).max(axis=(0, 1))
    worst = {name: float(m) for name, m in zip(names, misfit, strict=True) if not m < SLOPE}
    assert not worst


def test_the_states_are_what_their_names_say():
    """Else the test above would look at ordinary states only."""
    assert word(TEASEL, "lifted wheel", "LF") == "lifted"
    assert word(TEASEL, "locked wheel", "LR") == "locked"
    assert word(TEASEL, "stops touched", "front.left.spring.bump_stop") == "touched"
    assert word(TEASEL, "torque links slack", "rear.drive_link.drive") == "slack"
    assert word(TEASEL, "torque links slack", "rear.brake_link.brake") == "gas"
    assert abs(BRAMBLE.machine.form.state.unpack(states_of(BRAMBLE).state).border[-1]).max() > 1e-4  # rad of twist


@CARS
def test_bordered_step_equals_a_dense_solve(demo):
    """Eliminating each block against the border is a solve of the whole matrix, nothing less."""
    machine = demo.machine
    _, at, state = places(demo)
    residual, derivative = at.linear
    dense = -np.linalg.solve(derivative.transpose(2, 0, 1), residual.T[..., None])[..., 0].T

    @jax.jit
    def bordered(car: jax.Array, demand: jax.Array, unknowns: jax.Array) -> jax.Array:
        form = machine.form
        parts = form.car.unpack(car), form.demand.unpack(demand), form.state.unpack(unknowns)
        return form.state.pack_traced(
            newton_step(machine.topology, machine.pivots, linearise(machine.topology, *parts))
        )

    found = machine.flat(np.asarray(bordered(at.car, at.demand, state)))
    size = unknown_scale(machine)[:-1, None]
    assert np.abs((found - dense) / size).max() < STEP_AGREES * np.abs(dense / size).max()


@CARS
def test_push_equals_differences_of_parameters_and_demand(demo):
    """What limits are differentiated with: the residual's slope to the car's numbers, here to all of them together."""
    names, at, state = places(demo)
    car_change = np.where(np.abs(at.car) > 1e2, 0.0, at.car) * np.sin(np.arange(at.car.shape[0]))[:, None]
    exact = demo.machine.push(at.car, at.demand, state, car_change=car_change)[1]
    ends = [demo.machine.residual(at.car + sign * SMALL * car_change, at.demand, state) for sign in (1.0, -1.0)]
    found = (ends[0] - ends[1]) / (2.0 * SMALL)
    misfit = np.abs(found - exact).max(axis=0) / np.abs(exact).max(axis=0)
    assert not {name: float(m) for name, m in zip(names, misfit, strict=True) if not m < SLOPE}
