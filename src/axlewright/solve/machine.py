"""A car ready to be solved: its static structure and the few compiled functions, run over batches of any size.

Every compiled function takes plain arrays `(n, B)` (`model.packing`) and exists in two batch sizes, 1 and CHUNK; larger
batches go through in chunks on as many threads as there are cores, since compiled code runs outside the interpreter lock.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import cache, partial

import jax
import jax.numpy as jnp
import numpy as np
from jax import Array

from axlewright.car.mechanism import Mechanism, Values
from axlewright.model.assemble import assemble
from axlewright.model.blocks import Evaluated
from axlewright.model.drawn import with_drawn
from axlewright.model.elimination import Pivots, pivot_order
from axlewright.model.packing import Packing
from axlewright.model.parameters import State
from axlewright.model.system import dense, evaluate, flatten, linearise, residual, zero_state
from axlewright.model.topology import Topology
from axlewright.solve import newton
from axlewright.solve.demand import rest_demand
from axlewright.solve.perch import Standing, stand

CHUNK = 64  # members a compiled batch; a few hundred would leave the cache
MOST_ITERATIONS = 40


@dataclass(frozen=True)
class Form:
    """Everything about a car that a compiled function depends on besides numbers."""

    topology: Topology
    car: Packing
    demand: Packing
    state: Packing


@partial(jax.jit, static_argnums=(0, 5))
def _solve(
    form: Form, car: Array, demand: Array, start: Array, most: Array, pivots: tuple[Pivots, ...]
) -> tuple[Array, Array, Array]:
    outcome = newton.solve(
        form.topology, pivots, form.car.unpack(car), form.demand.unpack(demand), form.state.unpack(start), most
    )
    return (
        form.state.pack_traced(outcome.state),
        outcome.error,
        jnp.broadcast_to(outcome.iterations, outcome.error.shape),
    )


@partial(jax.jit, static_argnums=0)
def _linearise(form: Form, car: Array, demand: Array, state: Array) -> tuple[Array, Array]:
    at = linearise(form.topology, form.car.unpack(car), form.demand.unpack(demand), form.state.unpack(state))
    return dense(form.topology, at)


@partial(jax.jit, static_argnums=0)
def _push(
    form: Form, car: Array, demand: Array, state: Array, car_change: Array, demand_change: Array
) -> tuple[Array, Array]:
    def f(c: Array, d: Array) -> Array:
        return flatten(
            form.topology, residual(form.topology, form.car.unpack(c), form.demand.unpack(d), form.state.unpack(state))
        )

    return jax.jvp(f, (car, demand), (car_change, demand_change))


@partial(jax.jit, static_argnums=0)
def _evaluate(form: Form, car: Array, demand: Array, state: Array) -> tuple[Array, ...]:
    found = evaluate(form.topology, form.car.unpack(car), form.demand.unpack(demand), form.state.unpack(state))
    return tuple(jax.tree.leaves(found))


@cache
def _threads() -> ThreadPoolExecutor:
    return ThreadPoolExecutor(max_workers=os.cpu_count() or 1)


def run_batch(function: Callable[..., object], form: Form, *arrays: np.ndarray, extra: tuple = ()) -> object:
    """Call a compiled function over a batch of any size; every array is (n, B) or (n, 1), outputs keep the batch last."""
    batch = max(a.shape[-1] for a in arrays)
    full = [np.broadcast_to(a, (a.shape[0], batch)) for a in arrays]
    if batch == 1:
        return jax.tree.map(np.asarray, function(form, *full, *extra))

    def one(start: int) -> object:
        chunk = [a[:, start : start + CHUNK] for a in full]
        missing = CHUNK - chunk[0].shape[1]
        if missing:  # the last member stands in, so that every chunk has one shape
            chunk = [np.concatenate([c, np.repeat(c[:, -1:], missing, axis=1)], axis=1) for c in chunk]
        found = function(form, *(np.ascontiguousarray(c) for c in chunk), *extra)
        return jax.tree.map(lambda x: np.asarray(x)[..., : CHUNK - missing], found)

    starts = range(0, batch, CHUNK)
    parts = list(_threads().map(one, starts)) if len(starts) > 1 else [one(0)]
    return jax.tree.map(lambda *x: np.concatenate(x, axis=-1), *parts)


@dataclass(frozen=True)
class Machine:
    """A car ready to be solved."""

    form: Form
    pivots: tuple[Pivots, ...]
    values: Values  # of the drawn setup, drawn lengths and rest settings included
    standing: Standing

    @property
    def topology(self) -> Topology:
        return self.form.topology

    @property
    def start(self) -> np.ndarray:
        """The drawn car at rest, packed (n, 1)."""
        return self.form.state.pack(start_state(self.topology, self.standing))

    def parameters(self, values: Values, batch: int = 1) -> np.ndarray:
        """Packed parameters of a batch of cars, (n, B)."""
        return self.form.car.pack(assemble(self.topology, values, batch))

    def solve(self, car: np.ndarray, demand: np.ndarray, start: np.ndarray, most: int = MOST_ITERATIONS):
        """(state (n, B), error (B,), iterations (B,)) of packed cars and demands from packed starts."""
        return run_batch(_solve, self.form, car, demand, start, extra=(jnp.asarray(most), self.pivots))

    def linearise(self, car: np.ndarray, demand: np.ndarray, state: np.ndarray):
        """Residual (n, B) and derivative (n, n, B), copies first and border last (`system.flatten`)."""
        return run_batch(_linearise, self.form, car, demand, state)

    def push(
        self,
        car: np.ndarray,
        demand: np.ndarray,
        state: np.ndarray,
        car_change: np.ndarray | None = None,
        demand_change: np.ndarray | None = None,
    ):
        """Residual (N, B) and its exact directional derivative (N, B) along a change of parameters and demand.

        Rows as `linearise`: block copies first and the border last.
        """
        zero = lambda a: np.zeros((a.shape[0], 1))  # noqa: E731 - two uses below
        changes = [zero(a) if c is None else c for a, c in ((car, car_change), (demand, demand_change))]
        return run_batch(_push, self.form, car, demand, state, *changes)

    def residual(self, car: np.ndarray, demand: np.ndarray, state: np.ndarray) -> np.ndarray:
        """Residual (N, B), block copies first and the border last."""
        return self.push(car, demand, state)[0]

    @property
    def flat_size(self) -> int:
        """Number of unknowns the solver carries, bar torques included."""
        return self.form.state.size

    def flat(self, state: np.ndarray) -> np.ndarray:
        """Packed unknowns (n, B) in the order of `linearise`."""
        return np.concatenate(_flat_rows(self.topology, self.form.state.unpack(state)))

    def packed(self, flat: np.ndarray) -> np.ndarray:
        """Inverse of `flat`."""
        local, start = [], 0
        for block in self.topology.blocks:
            copies = [flat[start + c * block.size : start + (c + 1) * block.size] for c in range(block.n_copies)]
            local.append(np.stack(copies, axis=1))
            start += block.size * block.n_copies
        return self.form.state.pack(State(tuple(local), flat[start:]))

    def evaluate(self, car: np.ndarray, demand: np.ndarray, state: np.ndarray) -> tuple[Evaluated, ...]:
        """Details of each block, arrays with the batch last."""
        leaves = run_batch(_evaluate, self.form, car, demand, state)
        return jax.tree.unflatten(_evaluated_tree(self.form), leaves)


def _flat_rows(topology: Topology, state: State) -> list[np.ndarray]:
    rows = [np.asarray(state.local[i])[:, c] for i, b in enumerate(topology.blocks) for c in range(b.n_copies)]
    return [*rows, np.asarray(state.border)]


@cache
def _evaluated_tree(form: Form):  # noqa: ANN202 - a jax treedef has no public type
    shapes = [jax.ShapeDtypeStruct((p.size, 1), float) for p in (form.car, form.demand, form.state)]
    unpacked = lambda c, d, s: evaluate(form.topology, form.car.unpack(c), form.demand.unpack(d), form.state.unpack(s))  # noqa: E731
    return jax.tree.structure(jax.eval_shape(unpacked, *shapes))


def build(mechanism: Mechanism, values: Values) -> Machine:
    """A machine from a described car: drawn lengths, rest settings, and the pivot order of its blocks."""
    topology = Topology(mechanism)
    standing = stand(topology, with_drawn(mechanism, values))
    car = assemble(topology, standing.values, 1)
    demand = rest_demand(len(mechanism.wheels))
    state = start_state(topology, standing)
    form = Form(topology, Packing.of(car), Packing.of(demand), Packing.of(state))
    packed = [
        np.repeat(packing.pack(x), 2, axis=1)
        for packing, x in ((form.car, car), (form.demand, demand), (form.state, state))
    ]
    _, matrix = run_batch(
        _linearise, form, *packed
    )  # two members, so that the compiled size is the one that is needed anyway
    return Machine(form, _pivots(topology, matrix[:, :, 0]), standing.values, standing)


def _pivots(topology: Topology, matrix: np.ndarray) -> tuple[Pivots, ...]:
    """Pivot order of the first copy of each block from the car's whole derivative."""
    orders, start = [], 0
    for block in topology.blocks:
        orders.append(pivot_order(matrix[start : start + block.size, start : start + block.size]))
        start += block.size * block.n_copies
    return tuple(orders)


def start_state(topology: Topology, standing: Standing) -> State:
    """The drawn car at rest as a state."""
    zero = zero_state(topology, standing.loads.shape[-1])
    local = tuple(
        jnp.concatenate([x[: block.n_motion], jnp.asarray(forces)])
        for x, block, forces in zip(zero.local, topology.blocks, standing.forces, strict=True)
    )
    return State(local, zero.border)
