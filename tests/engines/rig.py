"""One block of a car in motion on a rig: the chassis held still, the road far below, loads put on points of a body.

The package's own equations and integrator are followed; the loads are what another engine is given too.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import jax
import jax.numpy as jnp
import numpy as np

from axlewright.car.mechanism import Mechanism, Values
from axlewright.model.assemble import assemble
from axlewright.model.elimination import Pivots
from axlewright.model.moving import system
from axlewright.model.moving.assemble import assemble_moving
from axlewright.model.moving.parameters import WORK, Moving, MovingState
from axlewright.model.moving.script import Surface, asked_at
from axlewright.model.packing import Packing
from axlewright.model.parameters import CarParameters
from axlewright.model.suspension import placed
from axlewright.model.topology import BlockTopology, Topology
from axlewright.model.vectors import Array, cross, rotate
from axlewright.solve.motion.events import control
from axlewright.solve.motion.integrate import Car, Followed, Method, follow
from axlewright.solve.motion.mover import empty_script

FAR_BELOW = -1.0  # m: the road, so that tyres touch nothing
# What the shafts would do to a housing that turns: the clutch is out and the differential open
NO_SHAFTS = {"driveline.preload": 0.0, "driveline.lock_drive": 0.0, "driveline.lock_coast": 0.0}

NOTHING = np.zeros(0)


class Load(NamedTuple):
    """A force on a point of the first body."""

    drawn: np.ndarray  # (3,) m
    # of time s, the point's place (3, c, B) m and numbers that a run is given (k,) -> (3, c, B) N
    force: Callable[[Array, Array, Array], Array]


@dataclass(frozen=True)
class Rig:
    """One block, one copy, one member."""

    topology: Topology
    pivots: tuple[Pivots, ...]
    packing: Packing
    numbers: Car
    start: np.ndarray  # (n, 1) at rest as drawn

    @staticmethod
    def of(mechanism: Mechanism, values: Values, gravity: float) -> Rig:
        """The only block of a mechanism."""
        topology = Topology(mechanism)
        values = dict(values) | NO_SHAFTS
        car: CarParameters = assemble(topology, values, 1)
        moving: Moving = assemble_moving(topology, values, 1)
        flat = np.full((8, 2), FAR_BELOW)
        script = empty_script(1)._replace(
            clutch=control(1, (0.0, 0.0)), gravity=np.array([[0.0], [0.0], [-gravity]]), grip=np.ones(1)
        )
        surface = Surface(np.zeros(1), np.ones(1), flat, np.ones_like(flat))
        state = _still(topology.blocks[0])
        packing = Packing.of(state)
        pivots = system.pivots_of(topology, car, moving)
        numbers = jax.tree.map(jnp.asarray, Car(car, moving, script, surface))
        return Rig(topology, pivots, packing, numbers, packing.pack(state))

    @property
    def block(self) -> BlockTopology:
        return self.topology.blocks[0]

    def carried(self, state: MovingState, drawn: np.ndarray) -> tuple[Array, Array]:
        """Where a point of the first body is, and its arm from the body's reference point, (3, c, B) m."""
        p = self.numbers.car.blocks[0]
        at = placed(self.block, p, state.motion[0], jnp.zeros(state.motion[0].shape[-1]))
        arm = rotate(at.body_rotation[:, :, 0], drawn[:, None, None] - p.body_at[:, 0])
        return at.body_at[:, 0] + arm, arm

    def applied(self, loads: Sequence[Load], given: Array) -> Callable[[Array, MovingState], tuple[Array, ...]]:
        """Loads as the moving car takes them."""

        def on(time: Array, state: MovingState) -> tuple[Array, ...]:
            motion = state.motion[0]
            total = jnp.zeros_like(motion)
            for load in loads:
                at, arm = self.carried(state, load.drawn)
                force = load.force(time, at, given)
                total = total.at[:3].add(force).at[3:6].add(cross(arm, force))
            return (total,)

        return on

    def wide(self, batch: int) -> Car:
        """The same car at several moments."""
        whole = jax.tree.map(lambda a: jnp.broadcast_to(a, (*a.shape[:-1], batch)), self.numbers._replace(surface=()))
        return whole._replace(surface=self.numbers.surface)

    def through(
        self, saved: np.ndarray, loads: Sequence[Load], method: Method = "explicit", *, fixed: bool = False
    ) -> Callable[..., Followed]:
        """A compiled run from the drawn pose at rest, from saved[0].

        (tolerance, or step, and numbers given to the loads) -> where it goes.
        """

        def run(start: Array, tolerance: Array, given: Array) -> Followed:
            return follow(
                self.topology, self.pivots, self.packing, self.numbers, start, jnp.asarray(saved), tolerance, method,
                fixed, 0.0, self.applied(loads, given),
            )  # fmt: skip

        compiled = jax.jit(run)
        return lambda tolerance, given=NOTHING: compiled(self.start, jnp.asarray(tolerance), given)

    def watch(self, saved: np.ndarray, loads: Sequence[Load]) -> Callable[..., Seen]:
        """A compiled function: packed states (T, n, 1) at the saved times, numbers given -> what is seen of them."""

        @jax.jit
        def look(flat: Array, given: Array) -> tuple[Array, ...]:
            state = self.packing.unpack(flat)
            numbers = self.wide(flat.shape[-1])
            asked = asked_at(self.topology, numbers.car, numbers.script, numbers.surface, jnp.zeros(1), state)
            now = system.instant(
                self.topology,
                self.pivots,
                numbers.car,
                numbers.moving,
                asked,
                state,
                0.0,
                self.applied(loads, given)(jnp.asarray(saved), state),
            )
            one = now.blocks[0]
            stored, work = now.stored.sum(axis=0), state.work.sum(axis=0)
            seen = (
                one.at.body_rotation[:, :, 0, 0], one.at.body_at[:, 0, 0], one.forces[:, 0],
                one.pulls.link_tension[:, 0], state.motion[0][6:, 0], stored, work,
            )  # fmt: skip
            return seen

        def seen(states: Array, given: Array = NOTHING) -> Seen:
            flat = jnp.moveaxis(jnp.asarray(states)[:, :, 0], 0, -1)
            return Seen(*(np.asarray(a) for a in look(flat, given)))

        return seen


class Seen(NamedTuple):
    """Of one body through time, times last."""

    rotation: np.ndarray  # (3, 3, T)
    at: np.ndarray  # (3, T) m, its reference point
    forces: np.ndarray  # (rigid + 3 joints, T) N
    pull: np.ndarray  # (elastic, T) N
    parts: np.ndarray  # (parts, T) rad or m
    stored: np.ndarray  # (T,) J
    work: np.ndarray  # (T,) J since the start, of everything but weight, springs and the loads

    @property
    def pitch(self) -> np.ndarray:
        """Nose down, rad, (T,)."""
        return -np.arcsin(self.rotation[2, 0])


def _still(block: BlockTopology) -> MovingState:
    motion, wheels = np.zeros((block.n_motion, block.n_copies, 1)), (block.n_wheels, block.n_copies, 1)
    return MovingState(
        place=np.zeros((4, 1)), attitude=np.zeros((3, 1)), velocity=np.zeros((6, 1)), motion=(motion,), rate=(motion,),
        spin=(np.zeros(wheels),), lag=(np.zeros((2, *wheels)),), belt=(np.zeros((0, *wheels)),),
        brake=(np.zeros(wheels),), seal=(np.zeros((len(block.damped), block.n_copies, 1)),),
        driveline=np.zeros((3, 1)), work=np.zeros((len(WORK), 1)), drift=np.zeros((1, 1)),
    )  # fmt: skip
