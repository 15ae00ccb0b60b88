"""The package itself: its equations of a moving axle, its integrator and its adaptive steps."""

from __future__ import annotations

from collections.abc import Callable

import jax.numpy as jnp
import numpy as np

from axlewright.model.vectors import Array
from benchmarks.engines.hit import History, Hit, moments
from tests.engines.reference_axle import axle
from tests.engines.rig import Load, Rig

NAME = "axlewright, adaptive steps"
NEEDS = "jax"
SETTINGS = (1e-2, 1e-3)  # tolerance, of mm and mrad a step


def loads(hit: Hit) -> list[Load]:
    """What the road and the push do."""

    def force(time: Array, at: Array, given: Array) -> Array:
        del time, given
        up = hit.load - hit.tyre_rate * at[2]
        return jnp.stack([jnp.full_like(up, hit.push), jnp.zeros_like(up), up])

    return [Load(contact, force) for contact in hit.contacts]


def solver(hit: Hit, tolerance: float) -> Callable[[], History]:
    """One run."""
    rig = Rig.of(*axle(upper_gives=True), gravity=hit.gravity)
    pushed = loads(hit)
    run = rig.through(np.concatenate([[0.0], moments()]), pushed)
    watch, upper = rig.watch(moments(), pushed), rig.block.elastic.index("upper")

    def solve() -> History:
        seen = watch(run(tolerance).states[1:])
        return History(seen.pitch, seen.pull[upper])

    return solve
