"""Damped Newton for a batch of held or rest states.

One linearisation an iteration: a trial point that is much worse than its base is given up and the step halved, so the
line search costs no code of its own. A step ends just past the first corner of an elastic law that it meets (seat,
preload, stop, loose spring), where the next one starts on the new slope: piecewise-linear path following (J.
Katzenelson, Bell System Technical Journal, 1965, from memory), without which Newton jumps to and fro across a stiff
seat for ever. Other kinks (differential, locked or lifted wheels) are met semi-smoothly.
"""

from __future__ import annotations

from functools import partial
from typing import NamedTuple

import jax
import jax.numpy as jnp

from axlewright.model.elimination import Pivots
from axlewright.model.parameters import CarParameters, Demand, State
from axlewright.model.system import Linearised, linearise, newton_step
from axlewright.model.topology import Topology
from axlewright.model.vectors import Array

TOLERANCE = 1e-9  # scaled residual: 1e-6 N, 1e-6 N m, 1e-9 mm
WORSE = 5.0  # a trial point may be this much worse than its base: at a kink a good step often is
SMALLEST_STEP = 1.0 / 64.0  # a shorter step is taken whatever it does: a kink is crossed, not crept up to
# Largest change in one step, roughly what the linear picture is good for: m, rad, slip.
LARGEST_TRANSLATION, LARGEST_ROTATION, LARGEST_ANGLE, LARGEST_SLIP = 0.04, 0.08, 0.2, 0.05


class Outcome(NamedTuple):
    """A batch of solved states."""

    state: State
    error: Array  # (B,) scaled residual at the state
    iterations: Array  # () linearisations done


class _Search(NamedTuple):
    base: State
    base_error: Array
    step: State
    fraction: Array
    count: Array


def error_of(residual: State) -> Array:
    """Largest scaled residual of each member, (B,)."""
    sizes = [jnp.abs(r).max(axis=(0, 1)) for r in residual.local] + [jnp.abs(residual.border).max(axis=0)]
    return jnp.stack(sizes).max(axis=0)


def _to_corner(topology: Topology, car: CarParameters, at: Linearised, step: State) -> Array:
    """Largest fraction of a step that stays on the elastic laws' present slopes and just enters the next, (B,)."""
    fraction = jnp.ones(step.border.shape[-1])
    for i, block in enumerate(topology.blocks):
        if not block.terms:
            continue
        knots = car.blocks[i].elastic
        links = [link for link, _, _ in block.terms]
        change = (at.stretch_rate[i] * step.local[i][None, : block.n_motion]).sum(axis=1)
        moved = jnp.stack([at.stretch[i][link] for link in links]) * knots.sense + knots.set
        change = jnp.stack([change[link] for link in links]) * knots.sense
        gap = knots.onset - moved  # to each corner, (J, terms, c, B)
        room = jnp.abs(gap) + 0.5 * knots.width
        crosses = (jnp.abs(gap) > knots.width) & (gap * change > 0) & (jnp.abs(change) > room) & (knots.step != 0)
        share = jnp.where(crosses, room / jnp.where(crosses, jnp.abs(change), 1.0), 1.0)
        fraction = jnp.minimum(fraction, share.min(axis=(0, 1, 2)))
    return fraction


def _cap(topology: Topology, step: State) -> Array:
    """Largest fraction of a step that stays within what the linear picture is good for, (B,)."""
    size = jnp.full(step.border.shape[-1], 1.0)

    def against(x: Array, limit: float) -> Array:
        return jnp.abs(x).reshape((-1, x.shape[-1])).max(axis=0) / limit

    for block, local in zip(topology.blocks, step.local, strict=True):
        for i in range(block.n_bodies):
            size = jnp.maximum(size, against(local[6 * i : 6 * i + 3], LARGEST_TRANSLATION))
            size = jnp.maximum(size, against(local[6 * i + 3 : 6 * i + 6], LARGEST_ROTATION))
        if block.n_parts:
            size = jnp.maximum(size, against(local[6 * block.n_bodies : block.n_motion], LARGEST_ANGLE))
    size = jnp.maximum(size, against(step.border[0:1], LARGEST_TRANSLATION))
    size = jnp.maximum(size, against(step.border[1:3], LARGEST_ROTATION))
    size = jnp.maximum(size, against(step.border[3:4], LARGEST_TRANSLATION))
    size = jnp.maximum(size, against(step.border[4:5], LARGEST_SLIP))
    size = jnp.maximum(size, against(step.border[topology.first_slip : topology.first_bar], LARGEST_SLIP))
    return 1.0 / size


def _along(base: State, step: State, fraction: Array) -> State:
    return jax.tree.map(lambda x, d: x + fraction * d, base, step)


@partial(jax.jit, static_argnums=(0, 1))
def solve(
    topology: Topology, pivots: tuple[Pivots, ...], car: CarParameters, demand: Demand, start: State, most: Array
) -> Outcome:
    """Solve F = 0 for every member from `start`, with at most `most` linearisations."""
    batch = start.border.shape[-1]

    def going(s: _Search) -> Array:
        return (s.count < most) & ~jnp.all(s.base_error < TOLERANCE)

    def go(s: _Search) -> _Search:
        trial = _along(s.base, s.step, s.fraction)
        at: Linearised = linearise(topology, car, demand, trial)
        error = error_of(at.residual)
        better = (error < WORSE * s.base_error) | ((s.fraction <= SMALLEST_STEP) & jnp.isfinite(error))
        take = better & ~(s.base_error < TOLERANCE)
        fresh = newton_step(topology, pivots, at)
        usable = jnp.isfinite(error_of(fresh))
        fresh = jax.tree.map(lambda d: jnp.where(usable, d, 0.0), fresh)
        pick = lambda new, old: jnp.where(take, new, old)  # noqa: E731 - used twice on trees below
        return _Search(
            base=jax.tree.map(pick, trial, s.base),
            base_error=pick(error, s.base_error),
            step=jax.tree.map(pick, fresh, s.step),
            fraction=jnp.where(
                take, jnp.minimum(_cap(topology, fresh), _to_corner(topology, car, at, fresh)), 0.5 * s.fraction
            ),
            count=s.count + 1,
        )

    first = _Search(
        base=start,
        base_error=jnp.full(batch, jnp.inf),
        step=jax.tree.map(jnp.zeros_like, start),
        fraction=jnp.ones(batch),
        count=jnp.asarray(0),
    )
    last = jax.lax.while_loop(going, go, first)
    return Outcome(last.base, last.base_error, last.count)
