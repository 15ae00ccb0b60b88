"""A machine ready to move: packings, pivot orders and the compiled functions of motion."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, cached_property
from typing import NamedTuple

import jax
import jax.numpy as jnp
import numpy as np

from axlewright.car.mechanism import Values
from axlewright.model.elimination import Pivots
from axlewright.model.moving import links, system
from axlewright.model.moving.assemble import assemble_moving
from axlewright.model.moving.parameters import Asked
from axlewright.model.moving.script import Control, Script, Surface, Swing, asked_at
from axlewright.model.moving.seen import SeenNow, seen
from axlewright.model.packing import Packing
from axlewright.model.suspension import placed
from axlewright.model.vectors import Array
from axlewright.solve.demand import rest_demand
from axlewright.solve.machine import Machine, in_chunks
from axlewright.solve.motion.integrate import Car, Method, follow
from axlewright.solve.motion.start import start_of
from axlewright.solve.programs import Form, Program, kept
from axlewright.solve.solved import Solved

SIZES = (1, 8, 32)  # members a call of the integration
WATCHED = 64  # instants a call of what is seen
MOMENTS = 8  # of a control


@dataclass(frozen=True)
class Going:
    """Everything that a compiled function of motion depends on besides numbers."""

    form: Form
    moving: Packing
    script: Packing
    state: Packing
    pivots: tuple[Pivots, ...]


@dataclass(frozen=True)
class Mover:
    """A car that can be moved."""

    machine: Machine
    going: Going

    @cached_property
    def drawn(self) -> np.ndarray:
        """Packed parameters of motion of the drawn setup, (n, 1)."""
        return self.parameters(self.machine.values)

    def parameters(self, values: Values, batch: int = 1) -> np.ndarray:
        """Packed parameters of motion of a batch of cars, (n, B)."""
        return self.going.moving.pack(assemble_moving(self.machine.topology, values, batch))

    def start(self, held: Solved, moving: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Packed states (n, B) that begin where held states are, and the engine torque that keeps them, N m (B,)."""
        full = np.broadcast_to(moving, (moving.shape[0], held.batch))
        state, engine = start_of(held, self.going.moving.unpack(full))
        return self.going.state.pack(state), engine

    def watch(
        self,
        car: np.ndarray,
        moving: np.ndarray,
        script: np.ndarray,
        surface: Surface,
        time: np.ndarray,
        state: np.ndarray,
    ) -> SeenNow:
        """What is seen at packed states (n, B), each at its own time (B,)."""
        run = _watch(self.going, len(surface.height), WATCHED)
        wide = [np.broadcast_to(a, (a.shape[0], state.shape[1])) for a in (car, moving, script, time[None], state)]
        found = in_chunks(lambda *a: run(*a, *surface), wide, WATCHED)
        return jax.tree.unflatten(_seen_tree(self.going), found)


_MOVERS: dict[int, Mover] = {}  # by the identity of its machine, which each mover keeps alive


def mover_of(machine: Machine) -> Mover:
    """The machine's mover; kept."""
    if id(machine) not in _MOVERS:
        _MOVERS[id(machine)] = _mover(machine)
    return _MOVERS[id(machine)]


def _mover(machine: Machine) -> Mover:
    topology = machine.topology
    moving = assemble_moving(topology, machine.values, 1)
    demand = machine.form.demand.pack(rest_demand(len(topology.mechanism.wheels)))
    standing = Solved(machine, machine.drawn, demand, machine.start, np.zeros(1), np.zeros(1, dtype=int))
    state, _ = start_of(standing, moving)
    pivots = system.pivots_of(topology, machine.form.car.unpack(machine.drawn), moving)
    going = Going(machine.form, Packing.of(moving), Packing.of(empty_script(1)), Packing.of(state), pivots)
    return Mover(machine, going)


def empty_script(batch: int) -> Script:
    """Nothing is done to the car."""
    zero, one = np.zeros(batch), np.ones(batch)
    flat = Control(np.zeros((MOMENTS, batch)), np.zeros((MOMENTS, batch)))
    swing = Swing(zero, zero, zero, zero, zero)
    return Script(flat, flat, flat, flat, swing, zero, zero, one, np.zeros((3, batch)))


@cache
def integration(
    going: Going, samples: int, times: int, batch: int, method: Method = "explicit", fixed: bool = False
) -> Program:
    """(car, moving, script, start (n, batch), saved (T,), tolerance (1,), surface) -> states (T, n, batch), counts."""

    def run(car: Array, moving: Array, script: Array, start: Array, saved: Array, tolerance: Array, *surface: Array):  # noqa: ANN202
        numbers = Car(
            going.form.car.unpack(car), going.moving.unpack(moving), going.script.unpack(script), Surface(*surface)
        )
        found = follow(
            going.form.topology, going.pivots, going.state, numbers, start, saved, tolerance[0], method, fixed
        )
        counts = [found.steps, found.rejected, found.reached, found.stopped]
        return found.states, jnp.stack([jnp.asarray(c, dtype=float) for c in counts])

    shapes = [(going.form.car.size, batch), (going.moving.size, batch), (going.script.size, batch)]
    shapes += [(going.state.size, batch), (times,), (1,), *_surface(samples)]
    return kept(
        f"motion-{method}", run, [jax.ShapeDtypeStruct(s, float) for s in shapes], (going, samples, times, batch, fixed)
    )


def _surface(samples: int) -> list[tuple[int, ...]]:
    return [(1,), (1,), (samples, 2), (samples, 2)]


def _unpacked(  # noqa: ANN202
    going: Going, car: Array, moving: Array, script: Array, time: Array, state: Array, surface: tuple[Array, ...]
):
    """Arguments of `seen` and `instant`."""
    numbers, now = going.form.car.unpack(car), going.state.unpack(state)
    asked: Asked = asked_at(going.form.topology, numbers, going.script.unpack(script), Surface(*surface), time[0], now)
    return going.form.topology, going.pivots, numbers, going.moving.unpack(moving), asked, now


@cache
def _watch(going: Going, samples: int, batch: int) -> Program:
    def run(car: Array, moving: Array, script: Array, time: Array, state: Array, *surface: Array) -> tuple[Array, ...]:
        return tuple(jax.tree.leaves(seen(*_unpacked(going, car, moving, script, time, state, surface))))

    sizes = (going.form.car.size, going.moving.size, going.script.size, 1, going.state.size)
    shapes = [(size, batch) for size in sizes] + _surface(samples)
    return kept("watch", run, [jax.ShapeDtypeStruct(s, float) for s in shapes], (going, samples, batch))


@cache
def _seen_tree(going: Going):  # noqa: ANN202 - a jax treedef has no public type
    sizes = (going.form.car.size, going.moving.size, going.script.size, 1, going.state.size)
    shapes = [jax.ShapeDtypeStruct((size, 1), float) for size in sizes]
    surface = [jax.ShapeDtypeStruct(s, float) for s in _surface(8)]
    whole = lambda c, m, s, t, x, *r: seen(*_unpacked(going, c, m, s, t, x, r))  # noqa: E731
    return jax.tree.structure(jax.eval_shape(whole, *shapes, *surface))


class Tangent(NamedTuple):
    """First derivatives of a moving car at one state; columns: every packed unknown, then height of the road below each
    wheel, then how fast that rises.
    """

    rates: np.ndarray  # (n, 1) of the packed state
    by_state: np.ndarray  # (n, n + 2 wheels)
    outputs: np.ndarray  # (k, 1) tyre loads N, lengthening of the damped links m/s, upward acceleration m/s2
    of_outputs: np.ndarray  # (k, n + 2 wheels)
    held: tuple[np.ndarray, ...]  # a block: (forces, motions, c, 1), what rigid links allow


@cache
def tangent(going: Going) -> Callable[..., Tangent]:
    """(car, moving, script, time (1, 1), state (n, 1)) on a level road -> `Tangent`."""
    n, wheels = going.state.size, len(going.form.topology.mechanism.wheels)
    wide, topology = n + 2 * wheels, going.form.topology
    level = tuple(jnp.full(shape, one) for shape, one in zip(_surface(8), (0.0, 1.0, 0.0, 1.0), strict=True))

    def run(car: Array, moving: Array, script: Array, time: Array, state: Array) -> tuple[Array, ...]:
        c, m, s, t = (jnp.broadcast_to(a, (a.shape[0], wide)) for a in (car, moving, script, time))

        def both(x: Array, heights: Array) -> tuple[Array, Array]:
            topology, pivots, numbers, extra, asked, now = _unpacked(going, c, m, s, t, x, level)
            asked = asked._replace(
                height=asked.height + heights[:wheels], height_rate=asked.height_rate + heights[wheels:]
            )
            found = system.instant(topology, pivots, numbers, extra, asked, now)
            loads = [
                b.rolling.load[w, c]
                for block, b in zip(topology.blocks, found.blocks, strict=True)
                for c in range(block.n_copies)
                for w in range(block.n_wheels)
            ]
            rates = [
                b.pulls.extension_rate[i, c]
                for block, b in zip(topology.blocks, found.blocks, strict=True)
                for i in block.damped
                for c in range(block.n_copies)
            ]
            return going.state.pack_traced(found.rates), jnp.stack([*loads, *rates, found.accelerations.chassis[2]])

        same, none = jnp.broadcast_to(state, (n, wide)), jnp.zeros((2 * wheels, wide))
        unit = jnp.eye(wide)
        (rates, outputs), (by, of) = jax.jvp(both, (same, none), (unit[:n], unit[n:]))
        held = []
        _, _, numbers, _, asked, now = _unpacked(going, car, moving, script, time, state, level)
        for block, p, motion in zip(topology.blocks, numbers.blocks, now.motion, strict=True):
            at = placed(block, p, motion, asked.rack * numbers.rack_sense)
            held.append(links.held_rows(block, links.lines(block, at))[:, : block.n_motion])
        return (rates[:, :1], by, outputs[:, :1], of, *held)

    sizes = (going.form.car.size, going.moving.size, going.script.size, 1, n)
    program = kept("tangent", run, [jax.ShapeDtypeStruct((size, 1), float) for size in sizes], (going,))

    def found(*arrays: np.ndarray) -> Tangent:
        rates, by, outputs, of, *held = (np.asarray(a) for a in program(*arrays))
        return Tangent(rates, by, outputs, of, tuple(held))

    return found
