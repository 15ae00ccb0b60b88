"""The whole car as one system: residual, derivatives, and a Newton step by bordered elimination.

State, residual and steps are `State` pytrees: one array a block `(unknowns, copies, B)` and the border `(n, B)`.
"""

from __future__ import annotations

from typing import NamedTuple

import jax
import jax.numpy as jnp
import numpy as np

from axlewright.model import border as border_rows
from axlewright.model.blocks import BlockEquations, Evaluated, Outputs, columns, touch, touch_columns
from axlewright.model.border import Gathered
from axlewright.model.elimination import Pivots, eliminate, solve_pivoted
from axlewright.model.ground import chassis_attitude
from axlewright.model.parameters import CarParameters, Demand, State
from axlewright.model.suspension import FORCE_SCALE
from axlewright.model.topology import Topology
from axlewright.model.vectors import Array
from axlewright.parts import TYRE_LAWS


class Linearised(NamedTuple):
    """Residual and its derivative in blocks; columns of `touch` as `touch_columns`, rows of `border_*` as fed."""

    residual: State
    local: tuple[Array, ...]  # (n, n, c, B)
    local_touch: tuple[Array, ...]  # (n, k, c, B)
    border_local: tuple[Array, ...]  # (h, n, c, B) border rows fed by the block, to its unknowns
    border_touch: tuple[Array, ...]  # (h, k, c, B)
    border: Array  # (m, m, B) border rows' own dependence
    stretch: tuple[Array, ...]  # (elastic, c, B) m
    stretch_rate: tuple[Array, ...]  # (elastic, motions, c, B)


def zero_state(topology: Topology, batch: int) -> State:
    """All unknowns zero: the drawn pose without forces."""
    local = tuple(jnp.zeros((b.size, b.n_copies, batch)) for b in topology.blocks)
    return State(local, jnp.zeros((topology.n_border, batch)))


def _equations(topology: Topology, car: CarParameters, demand: Demand) -> tuple[BlockEquations, ...]:
    law = TYRE_LAWS[topology.mechanism.tyre_law]
    return tuple(BlockEquations(law, topology, i, car, demand) for i in range(len(topology.blocks)))


def _hand_rows(topology: Topology, index: int) -> list[list[int]]:
    """Border rows that a block feeds: one list a copy; order of `Outputs` after its own rows."""
    block = topology.blocks[index]
    slots = topology.wheel_slots(index)
    of_wrench = [border_rows.WRENCH_ROWS.index(i) for i in range(6)]
    twist = topology.n_border if topology.twist is None else topology.twist  # one past the end: a row that is dropped
    return [
        [*of_wrench, border_rows.LAW_ROW]
        + [slots[w][copy] for w in range(block.n_wheels)]
        + [topology.first_bar + ends[copy][0] for ends in block.bar_ends]
        + [twist]
        for copy in range(block.n_copies)
    ]


def _gather(topology: Topology, outputs: list[Outputs]) -> Gathered:
    spins: list[Array] = []
    for out, block in zip(outputs, topology.blocks, strict=True):
        spins += [out.spin[w, c] for c in range(block.n_copies) for w in range(block.n_wheels)]
    batch = spins[0].shape[-1]
    bars = jnp.zeros((len(topology.mechanism.bars), batch))
    for out, block in zip(outputs, topology.blocks, strict=True):
        for e, ends in enumerate(block.bar_ends):
            for c, (bar, _) in enumerate(ends):
                bars = bars.at[bar].add(out.arms[e, c])
    return Gathered(
        wrench=_total([out.wrench.sum(axis=1) for out in outputs]),
        spin=jnp.stack(spins),
        turning=_total([out.turning.sum(axis=(0, 1)) for out in outputs]),
        arm_difference=bars,
        rear_moment=_total([out.rear_moment.sum(axis=(0, 1)) for out in outputs]),
    )


def _total(items: list[Array]) -> Array:
    total = items[0]
    for item in items[1:]:
        total = total + item
    return total


def _by_wheel(topology: Topology, car: CarParameters, name: str) -> Array:
    """A wheel property of all wheels in model order, (wheels, B)."""
    found = [
        getattr(p.wheels, name)[w, c]
        for p, block in zip(car.blocks, topology.blocks, strict=True)
        for c in range(block.n_copies)
        for w in range(block.n_wheels)
    ]
    return jnp.stack(found)


def _border(topology: Topology, car: CarParameters, demand: Demand, border: Array, gathered: Gathered) -> Array:
    road = chassis_attitude(border[0], border[1], border[2])
    gains = _by_wheel(topology, car, "brake_gain")
    driven = _by_wheel(topology, car, "driven")
    return border_rows.rows(car, demand, road, gains, driven, border, gathered)


def residual(topology: Topology, car: CarParameters, demand: Demand, state: State) -> State:
    """F(x; p): zero at a held (or rest) state. Scaled: kN, kN m, mm, rad, slip."""
    outputs = [
        eq.outputs(state.local[i], touch(topology, i, state.border))
        for i, eq in enumerate(_equations(topology, car, demand))
    ]
    border = _border(topology, car, demand, state.border, _gather(topology, outputs))
    return State(tuple(out.rows for out in outputs), border)


def evaluate(topology: Topology, car: CarParameters, demand: Demand, state: State) -> tuple[Evaluated, ...]:
    """Details of every block for the readings."""
    return tuple(
        eq.evaluated(state.local[i], touch(topology, i, state.border))
        for i, eq in enumerate(_equations(topology, car, demand))
    )


def linearise(topology: Topology, car: CarParameters, demand: Demand, state: State) -> Linearised:
    """Residual and exact derivative at a state."""
    equations = _equations(topology, car, demand)
    touches = [touch(topology, i, state.border) for i in range(len(equations))]
    outputs = [eq.outputs(state.local[i], t) for i, (eq, t) in enumerate(zip(equations, touches, strict=True))]
    gathered = _gather(topology, outputs)
    border = _border(topology, car, demand, state.border, gathered)
    own, by_spin, by_turning = _border_slopes(topology, car, demand, state.border, gathered)
    pieces = []
    for i, (eq, t) in enumerate(zip(equations, touches, strict=True)):
        found = columns(eq, state.local[i], t)
        n = eq.block.size
        weights = _hand_weights(topology, i, car, demand, by_spin, by_turning)[:, None]
        fed = weights * found.local[n:], weights * found.touch[n:]
        pieces.append((found.local[:n], found.touch[:n], *fed, found.stretch, found.stretch_rate))
    a, b, c, d, stretch, rate = (tuple(piece[k] for piece in pieces) for k in range(6))
    return Linearised(State(tuple(out.rows for out in outputs), border), a, b, c, d, own, stretch, rate)


def _border_slopes(
    topology: Topology, car: CarParameters, demand: Demand, border: Array, gathered: Gathered
) -> tuple[Array, Array, Array]:
    """Slopes of the border rows (m, m, B), of spin rows to spins (wheels, B) and of the law row to turning (B,)."""
    basis = jnp.broadcast_to(jnp.eye(border.shape[0])[:, :, None], (border.shape[0], *border.shape))

    def of_border(x: Array) -> Array:
        return _border(topology, car, demand, x, gathered)

    own = jax.vmap(lambda t: jax.jvp(of_border, (border,), (t,))[1])(basis).swapaxes(0, 1)

    def of_fed(spin: Array, turning: Array) -> Array:
        return _border(topology, car, demand, border, gathered._replace(spin=spin, turning=turning))

    one = jax.jvp(
        of_fed, (gathered.spin, gathered.turning), (jnp.ones_like(gathered.spin), jnp.ones_like(gathered.turning))
    )
    first, last = topology.first_slip, topology.first_bar
    return own, one[1][first:last], one[1][border_rows.LAW_ROW]


def _hand_weights(
    topology: Topology, index: int, car: CarParameters, demand: Demand, by_spin: Array, by_turning: Array
) -> Array:
    """Slope of each fed border row to what the block feeds it, (h, c, B)."""
    block = topology.blocks[index]
    held = demand.rolling
    full = jnp.full_like(held, FORCE_SCALE)
    of_wrench = [full if border_rows.WRENCH_ROWS.index(i) < 3 else full * held for i in range(6)]
    slots = topology.wheel_slots(index)
    per_copy = []
    for copy in range(block.n_copies):
        spins = [by_spin[slots[w][copy] - topology.first_slip] for w in range(block.n_wheels)]
        bars = [-car.bar_stiffness[ends[copy][0]] * border_rows.TORQUE_SCALE for ends in block.bar_ends]
        per_copy.append(jnp.stack([*of_wrench, by_turning, *spins, *bars, -car.twist_compliance]))
    return jnp.stack(per_copy, axis=1)


def newton_step(topology: Topology, pivots: tuple[Pivots, ...], at: Linearised) -> State:
    """The full Newton step -J^-1 F by eliminating each block against the border."""
    m, batch = topology.n_border, at.border.shape[-1]
    schur = jnp.zeros((m + 1, m + 1, batch))
    schur = schur.at[:m, :m].set(at.border).at[:m, m].set(at.residual.border)
    reduced = []
    for i, order in enumerate(pivots):
        solved = eliminate(
            at.local[i], jnp.concatenate([at.local_touch[i], at.residual.local[i][:, None]], axis=1), order
        )
        reduced.append(solved)
        k = at.local_touch[i].shape[1]
        direct = jnp.concatenate([at.border_touch[i], jnp.zeros_like(at.border_touch[i][:, :1])], axis=1)
        fed = direct - (at.border_local[i][:, :, None] * solved[None]).sum(axis=1)
        rows, cols = _hand_rows(topology, i), touch_columns(topology, i)
        for copy in range(topology.blocks[i].n_copies):
            index = np.ix_(rows[copy], [*cols[copy], m])
            schur = schur.at[index].add(fed[:, : k + 1, copy])
    step = -solve_pivoted(schur[:m, :m], schur[:m, m:])[:, 0]
    local = []
    for i, solved in enumerate(reduced):
        k = at.local_touch[i].shape[1]
        cols = touch_columns(topology, i)
        touched = jnp.stack([jnp.stack([step[j] for j in cols[c]]) for c in range(len(cols))], axis=1)
        local.append(-solved[:, k] - (solved[:, :k] * touched[None]).sum(axis=1))
    return State(tuple(local), step)


def dense(topology: Topology, at: Linearised) -> tuple[Array, Array]:
    """Residual (N, B) and derivative (N, N, B) as plain arrays, block copies first and the border last."""
    sizes = [b.size * b.n_copies for b in topology.blocks]
    total, m, batch = sum(sizes) + topology.n_border, topology.n_border, at.border.shape[-1]
    matrix = jnp.zeros((total + 1, total, batch))
    start, first_border = 0, sum(sizes)
    matrix = matrix.at[first_border : first_border + m, first_border:].set(at.border)
    for i, block in enumerate(topology.blocks):
        rows, cols = _hand_rows(topology, i), touch_columns(topology, i)
        for copy in range(block.n_copies):
            own = np.arange(start, start + block.size)
            fed, touching = np.array(rows[copy]) + first_border, np.array(cols[copy]) + first_border
            matrix = matrix.at[np.ix_(own, own)].set(at.local[i][:, :, copy])
            matrix = matrix.at[np.ix_(own, touching)].add(at.local_touch[i][:, :, copy])
            matrix = matrix.at[np.ix_(fed, own)].add(at.border_local[i][:, :, copy])
            matrix = matrix.at[np.ix_(fed, touching)].add(at.border_touch[i][:, :, copy])
            start += block.size
    return flatten(topology, at.residual), matrix[:total]


def flatten(topology: Topology, state: State) -> Array:
    """A state as one plain array (N, B), block copies first and the border last."""
    rows = [state.local[i][:, c] for i, b in enumerate(topology.blocks) for c in range(b.n_copies)]
    return jnp.concatenate([*rows, state.border])
