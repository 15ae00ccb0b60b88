"""Through time: the moving car's equations handed to diffrax.

The state goes in as one array (n, B), each row divided by what counts as a small change of it (`_SCALES`), so that one
tolerance serves all. All members of a batch take the same steps, as small as the most violent of them asks; a member
whose numbers end is left out of that. After each step rigid lengths are put right (`system.projected`).

Two methods: "explicit" (Tsitouras 5(4), default) and "implicit" (Kvaerno 3(2), L-stable, for very stiff cars; one
member at a time, since it needs the derivative of everything to everything).
"""

from __future__ import annotations

import os
from collections.abc import Callable
from typing import Any, Literal, NamedTuple

# diffrax's own checks of its arguments call back into Python, which can't be kept between runs; what could go wrong is
# told by its result code
os.environ.setdefault("EQX_ON_ERROR", "nan")

import diffrax
import jax
import jax.numpy as jnp
import optimistix

from axlewright.model.elimination import Pivots
from axlewright.model.moving import system
from axlewright.model.moving.parameters import Moving, MovingState
from axlewright.model.moving.script import Script, Surface, asked_at
from axlewright.model.packing import Packing
from axlewright.model.parameters import CarParameters
from axlewright.model.topology import Topology
from axlewright.model.vectors import Array

Method = Literal["explicit", "implicit"]
# What counts as a small change of each field: mm, mrad, and what changes them in about 10 ms.
_SCALES = {
    "place": 1e-2, "attitude": 1e-3, "velocity": 1e-1, "motion": 1e-3, "rate": 1e-1, "spin": 1.0, "lag": 1e-3,
    "belt": 1.0, "brake": 1e-3, "seal": 1e-3, "driveline": 1.0, "work": 1e3, "drift": 1.0,
}  # fmt: skip
FIRST_STEP = 1e-4  # s
LEAST_STEP = 1e-7  # s; a thousandth of what the stiffest part of a car needs
# s; an implicit step is found by Newton's method, which has to start near enough
LONGEST_STEP = {"explicit": 0.02, "implicit": 5e-3}
FOUND = 1e-4  # small changes, within which an implicit step is found
MOST_STEPS = 400_000


class Car(NamedTuple):
    """All numbers of a batch of cars and of what is done to them."""

    car: CarParameters
    moving: Moving
    script: Script
    surface: Surface


class Followed(NamedTuple):
    """Where an integration went."""

    states: Array  # (T, n, B) packed
    steps: Array  # () accepted
    rejected: Array  # ()
    reached: Array  # () s
    stopped: Array  # () 0 when it got to the end


def scales(packing: Packing) -> Array:
    """Small change of each packed row, (n, 1)."""
    tree = packing.unpack(jnp.zeros((packing.size, 1)))
    parts = tree._asdict().items()
    filled = MovingState(
        **{name: jax.tree.map(lambda x, s=_SCALES[name]: jnp.full_like(x, s), part) for name, part in parts}
    )
    return packing.pack_traced(filled)


def _norm(error: Array) -> Array:
    """Of the scaled error (n, B): root mean square over a member's rows, of the worst member that still has numbers."""
    each = jnp.sqrt((error * error).mean(axis=0))
    return jnp.where(jnp.isfinite(each), each, 0.0).max()


def _projecting(base: type, project) -> type:  # noqa: ANN001
    """A solver that puts its states right after each step."""

    class Projecting(base):
        def step(self, terms, t0, t1, y0, args, solver_state, made_jump):  # noqa: ANN001, ANN202
            y1, error, dense, state, result = super().step(terms, t0, t1, y0, args, solver_state, made_jump)
            return project(t1, y1, args), error, dense, state, result

    return Projecting


def follow(
    topology: Topology,
    pivots: tuple[Pivots, ...],
    packing: Packing,
    numbers: Car,
    start: Array,
    saved: Array,
    tolerance: Array,
    method: Method = "explicit",
    fixed: bool = False,
    chassis_free: float = 1.0,
    applied: Callable[[Array, MovingState], tuple[Array, ...]] | None = None,
) -> Followed:
    """From a packed start (n, B) at saved[0] through the saved times (T,). `fixed`: all steps are `tolerance` long.

    `chassis_free` and `applied`, here of time and state, as `system.instant` has them: a rig.
    """
    scale = scales(packing)

    def rig(t: Array, state: MovingState) -> tuple[Array, ...] | None:
        return None if applied is None else applied(t, state)

    def unpacked(y: Array) -> MovingState:
        return packing.unpack(y * scale)

    def rates(t: Any, y: Any, numbers: Any) -> Array:
        state = unpacked(y)
        asked = asked_at(topology, numbers.car, numbers.script, numbers.surface, t, state)
        found = system.instant(topology, pivots, numbers.car, numbers.moving, asked, state, chassis_free, rig(t, state))
        return packing.pack_traced(found.rates) / scale

    def project(t: Array, y: Array, numbers: Car) -> Array:
        state = unpacked(y)
        asked = asked_at(topology, numbers.car, numbers.script, numbers.surface, t, state)
        right = system.projected(topology, pivots, numbers.car, numbers.moving, asked, state)
        return packing.pack_traced(right) / scale

    if method == "explicit":
        solver = _projecting(diffrax.Tsit5, project)()
    else:
        solver = _projecting(diffrax.Kvaerno3, project)(root_finder=optimistix.Newton(rtol=0.0, atol=FOUND))
    if fixed:
        control = diffrax.ConstantStepSize()
    else:
        control = diffrax.PIDController(
            rtol=0.0,
            atol=tolerance,
            pcoeff=0.2,
            icoeff=0.4,
            norm=_norm,
            dtmin=LEAST_STEP,
            dtmax=LONGEST_STEP[method],
            force_dtmin=False,
        )
    found: Any = diffrax.diffeqsolve(
        diffrax.ODETerm(rates), solver, saved[0], saved[-1], tolerance if fixed else FIRST_STEP, start / scale, numbers,
        saveat=diffrax.SaveAt(ts=jnp.asarray(saved)), stepsize_controller=control, max_steps=MOST_STEPS, throw=False,
        adjoint=diffrax.ForwardMode(),
    )  # fmt: skip
    last = jnp.where(jnp.isfinite(found.ts), found.ts, -jnp.inf).max()
    stopped = jnp.where(found.result == diffrax.RESULTS.successful, 0, 1)
    return Followed(
        found.ys * scale, found.stats["num_accepted_steps"], found.stats["num_rejected_steps"], last, stopped
    )
