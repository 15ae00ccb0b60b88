"""A car ready to be solved: its static structure and the few compiled functions, run over batches of any size.

Every compiled function (`solve.programs`) takes plain arrays `(n, B)` (`model.packing`) of a fixed number of members,
some also of one; larger batches go through in chunks on as many threads as there are cores, since compiled code runs
outside the interpreter lock.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import cache, cached_property

import jax
import jax.numpy as jnp
import numpy as np
from jaxtyping import Float

from axlewright.car.mechanism import Mechanism, Values
from axlewright.model.assemble import assemble
from axlewright.model.blocks import Evaluated
from axlewright.model.drawn import with_drawn
from axlewright.model.elimination import Pivots, pivot_order
from axlewright.model.packing import Packing
from axlewright.model.parameters import State
from axlewright.model.system import evaluate, zero_state
from axlewright.model.topology import Topology
from axlewright.solve.demand import rest_demand
from axlewright.solve.perch import Standing, stand
from axlewright.solve.programs import Form, Program, load, program

# Members a call of each program: whole tables are solved and evaluated, where a few hundred would leave the processor's
# cache; derivatives are mostly wanted for the few states of one car.
CHUNK = {"solve": 64, "evaluate": 64, "linearise": 8, "push": 8}
MOST_ITERATIONS = 40
ALONE = ("solve", "evaluate")  # programs that also exist for one member: a state at a time, as a person asks


@cache
def threads() -> ThreadPoolExecutor:
    """As many as there are cores: compiled code runs outside the interpreter lock."""
    return ThreadPoolExecutor(max_workers=os.cpu_count() or 1)


Arrays = tuple[np.ndarray, ...]
Packed = Float[np.ndarray, "_n _B"]  # B is the batch, or 1 where all members are alike


def run_batch(name: str, form: Form, pivots: tuple[Pivots, ...], arrays: Sequence[np.ndarray]) -> Arrays:
    """Call a program over a batch of any size; every array is (n, B) or (n, 1), outputs keep the batch last."""
    batch = max(a.shape[-1] for a in arrays)
    size = 1 if batch == 1 and name in ALONE else CHUNK[name]
    run = program(name, form, pivots, size)
    return in_chunks(run, [np.broadcast_to(a, (*a.shape[:-1], batch)) for a in arrays], size)


def in_chunks(run: Program, arrays: Sequence[np.ndarray], size: int) -> Arrays:
    """Call a program that takes `size` members over arrays of any number of them, batch last."""
    batch = arrays[0].shape[-1]
    if batch == size:
        return tuple(np.asarray(x) for x in run(*(np.ascontiguousarray(a) for a in arrays)))

    def one(start: int) -> Arrays:
        chunk = [a[..., start : start + size] for a in arrays]
        missing = size - chunk[0].shape[-1]
        if missing:  # the last member stands in, so that every chunk has one shape
            chunk = [np.concatenate([c, np.repeat(c[..., -1:], missing, axis=-1)], axis=-1) for c in chunk]
        return tuple(np.asarray(x)[..., : size - missing] for x in run(*(np.ascontiguousarray(c) for c in chunk)))

    starts = range(0, batch, size)
    found = list(threads().map(one, starts)) if len(starts) > 1 else [one(0)]
    return tuple(np.concatenate(part, axis=-1) for part in zip(*found, strict=True)) if len(found) > 1 else found[0]


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

    @cached_property
    def start(self) -> np.ndarray:
        """The drawn car at rest, packed (n, 1)."""
        return self.form.state.pack(start_state(self.topology, self.standing))

    @cached_property
    def drawn(self) -> np.ndarray:
        """Packed parameters of the drawn setup, (n, 1)."""
        return self.parameters(self.values)

    def parameters(self, values: Values, batch: int = 1) -> np.ndarray:
        """Packed parameters of a batch of cars, (n, B)."""
        return self.form.car.pack(assemble(self.topology, values, batch))

    def ready(self) -> None:
        """Have every program for batches at hand: side by side, which takes less time than one after the other."""
        load(CHUNK, self.form, self.pivots)

    def solve(self, car: Packed, demand: Packed, start: Packed, most: int = MOST_ITERATIONS) -> Arrays:
        """(state (n, B), error (B,), iterations (B,)) of packed cars and demands from packed starts."""
        return self._run("solve", car, demand, start, np.full((1, 1), float(most)))

    def linearise(self, car: Packed, demand: Packed, state: Packed) -> Arrays:
        """Residual (n, B) and derivative (n, n, B), copies first and border last (`system.flatten`)."""
        return self._run("linearise", car, demand, state)

    def push(
        self,
        car: Packed,
        demand: Packed,
        state: Packed,
        car_change: Packed | None = None,
        demand_change: Packed | None = None,
    ) -> Arrays:
        """Residual (N, B) and its exact directional derivative (N, B) along a change of parameters and demand.

        Rows as `linearise`: block copies first and the border last.
        """
        pairs = ((car, car_change), (demand, demand_change))
        changes = [np.zeros((a.shape[0], 1)) if change is None else change for a, change in pairs]
        return self._run("push", car, demand, state, *changes)

    def _run(self, name: str, *arrays: np.ndarray) -> Arrays:
        return run_batch(name, self.form, self.pivots, arrays)

    def residual(self, car: Packed, demand: Packed, state: Packed) -> Packed:
        """Residual (N, B), block copies first and the border last."""
        return self.push(car, demand, state)[0]

    @property
    def flat_size(self) -> int:
        """Number of unknowns the solver carries, bar torques included."""
        return self.form.state.size

    def flat(self, state: Packed) -> Packed:
        """Packed unknowns (n, B) in the order of `linearise`."""
        return np.concatenate(_flat_rows(self.topology, self.form.state.unpack(state)))

    def packed(self, flat: Packed) -> Packed:
        """Inverse of `flat`."""
        local, start = [], 0
        for block in self.topology.blocks:
            copies = [flat[start + c * block.size : start + (c + 1) * block.size] for c in range(block.n_copies)]
            local.append(np.stack(copies, axis=1))
            start += block.size * block.n_copies
        return self.form.state.pack(State(tuple(local), flat[start:]))

    def evaluate(self, car: Packed, demand: Packed, state: Packed) -> tuple[Evaluated, ...]:
        """Details of each block, arrays with the batch last."""
        return jax.tree.unflatten(_evaluated_tree(self.form), self._run("evaluate", car, demand, state))


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
    packed = [packing.pack(x) for packing, x in ((form.car, car), (form.demand, demand), (form.state, state))]
    _, matrix = run_batch("linearise", form, (), packed)
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
