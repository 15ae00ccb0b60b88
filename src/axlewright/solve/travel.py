"""The linkage moved while the chassis stands still: bump, roll, one wheel, steer and wind-up, singly or as a grid.

The wheels are put where they are asked to be, the links and joints stay closed, and nothing carries a load: as when a
team cycles a car by hand with its springs out. What comes back are states like any other, so every reading that needs
positions and velocities only (`Reading.travel`) can be taken off them: the chassis is at its drawn place, and the road
is lifted under each wheel so that its tyre keeps the radius that it has at rest.

A pose that the links can't reach, or that lies beyond a toggle, is data: `Travelled.reached` and the reason in words.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from axlewright.car.adjusters.setup import Setup
from axlewright.car.schema import Car
from axlewright.errors import RequestError, known
from axlewright.model.parameters import BlockParameters, State
from axlewright.model.travel import AXLE
from axlewright.solve.assemblies import asked_for
from axlewright.solve.demand import rest_demand
from axlewright.solve.machine import Machine
from axlewright.solve.moved_block import ACTIVE, MovedBlock, last_row
from axlewright.solve.phases import WHEELS
from axlewright.solve.poses import Poses
from axlewright.solve.results import Result
from axlewright.solve.solved import Solved
from axlewright.solve.verbs import packed_now


@dataclass(frozen=True)
class Travelled:
    """The linkage at a batch of poses."""

    poses: Poses
    solved: Solved  # where a pose is not reached: the furthest that can be reached on the straight way to it
    reached: np.ndarray  # (B,) bool
    share: np.ndarray  # (B,) how much of the way from the drawn pose is reached, 1 where all of it
    reasons: tuple[str, ...]  # why a pose is not reached, one sentence a pose; empty where it is

    def read(self, reading: Callable[[Solved], np.ndarray]) -> np.ndarray:
        """A reading's values, (B,), NaN where the pose is not reached."""
        return np.where(self.reached, reading(self.solved), np.nan)


def travel(
    car: Car | Machine,
    poses: Poses,
    setup: Setup | None = None,
    *,
    active: str = "drive",
    assembly: Mapping[str, float] | None = None,
) -> Travelled:
    """Move the linkage of a car, with its chassis fixed, to `poses` (`grid` makes them).

    `setup` moves adjusters: id -> position. `active` names the torque link that keeps its length where a pair of them
    leaves wind-up free; the other one is taken as slack. Heights count from the drawn place of each wheel centre. The
    parts go together as drawn, unless `assembly` names another way by the angle of a turning part: name -> rad.
    RequestError where wind-up is asked of an axle that can't wind up.
    """
    known("torque link", [active], ACTIVE)
    return move(*packed_now(car, setup), poses, active=active, assembly=assembly)


def move(
    machine: Machine,
    packed: np.ndarray,
    poses: Poses,
    *,
    active: str = "drive",
    assembly: Mapping[str, float] | None = None,
) -> Travelled:
    """As `travel`, for one setup as packed parameters (n, 1): for who has many at hand."""
    topology = machine.topology
    sideways = sideways_of(machine)
    rises = poses.rises(sideways)
    local, reached, share, reasons = [], np.ones(poses.batch, bool), np.ones(poses.batch), [""] * poses.batch
    starts = asked_for(machine, assembly) if assembly else {}
    for index, whole in enumerate(topology.blocks):
        block = MovedBlock(machine, packed, index, active, starts.get(index))
        if poses.wind_up.any() and whole.n_wheels == AXLE and not block.linkage.winds_up:
            raise RequestError(_NO_WIND_UP)
        slots = [[s - topology.first_slip for s in row] for row in topology.wheel_slots(index)]
        motion, went = block.go(rises[np.array(slots)], poses.steer, poses.wind_up)
        for member in np.flatnonzero(went < 1.0):
            if went[member] < share[member]:
                reasons[member] = block.reason(poses, int(member), motion[..., member], float(went[member]))
        share = np.minimum(share, went)
        local.append(motion)
    reached = share == 1.0
    if not reached.all():  # the whole car stays where its first part stops
        cut, back = poses.share(share), np.flatnonzero(~reached)
        for index in range(len(topology.blocks)):
            slots = [[s - topology.first_slip for s in r] for r in topology.wheel_slots(index)]
            block, part = MovedBlock(machine, packed, index, active, starts.get(index)), cut.take(back)
            stopped = part.rises(sideways)[np.array(slots)]
            local[index][..., back] = block.go(stopped, part.steer, part.wind_up)[0]
    solved = _solved(machine, packed, local, poses.share(share).steer, reached, active)
    return Travelled(poses, solved, reached, share, tuple(reasons))


_NO_WIND_UP = (
    "found wind-up asked of an axle that its links hold at one pitch; expected a torque link or links that give. "
    "Likeliest fix: leave wind-up out, or draw the upper link as a drive-side link or with a stiffness"
)


def sideways_of(machine: Machine) -> np.ndarray:
    """How far left each wheel centre is drawn, m, (4,)."""
    return np.array([np.asarray(machine.values[f"{wheel}.centre"])[1].ravel()[0] for wheel in WHEELS])


def _solved(
    machine: Machine, packed: np.ndarray, local: list[np.ndarray], steer: np.ndarray, reached: np.ndarray, active: str
) -> Solved:
    """States with the chassis as drawn, no forces, and the road under each wheel at the radius that it has at rest."""
    topology, batch = machine.topology, reached.size
    whole, heights = [], np.zeros((len(topology.mechanism.wheels), batch))
    car = machine.form.car.unpack(packed)
    for index, (block, motion) in enumerate(zip(topology.blocks, local, strict=True)):
        whole.append(np.concatenate([motion, np.zeros((block.n_forces, *motion.shape[1:]))]))
        for w, slots in enumerate(topology.wheel_slots(index)):
            under = _road_under(car.blocks[index], block.wheel_frames[w] - 1, w, motion)
            for copy, slot in enumerate(slots):
                heights[slot - topology.first_slip] = under[copy]
    border = np.zeros((topology.n_border, batch))
    border[topology.border.index("rack")] = steer + np.asarray(car.rack_travel)
    demand = rest_demand(len(topology.mechanism.wheels), batch)._replace(road_height=heights)
    result = np.where(reached, Result.SOLVED, Result.NOT_FOUND).astype(int)
    return Solved(
        machine, packed, machine.form.demand.pack(demand), machine.form.state.pack(State(tuple(whole), border)),
        np.zeros(batch), result, _as_drawn(machine, packed), active,
    )  # fmt: skip


def _as_drawn(machine: Machine, packed: np.ndarray) -> Solved:
    """The drawn pose, where every travel starts: one member that stands for all."""
    demand = machine.form.demand.pack(rest_demand(len(machine.topology.mechanism.wheels)))
    return Solved(machine, packed[:, :1], demand, machine.start, np.zeros(1), np.full(1, Result.SOLVED, dtype=int))


def _road_under(p: BlockParameters, body: int, wheel: int, motion: np.ndarray) -> np.ndarray:
    """Height of the road, m, (c, B), that leaves a wheel the radius that it has as drawn."""
    row = last_row(motion[6 * body + 3 : 6 * body + 6])
    drawn, axis = np.asarray(p.wheels.centre)[:, wheel], np.asarray(p.wheels.axis)[:, wheel]
    at = np.asarray(p.body_at)[:, body]
    arm, leaning = (np.einsum("j...,j...->...", row, v) for v in (drawn - at, axis))
    radius = drawn[2] / np.sqrt(1.0 - axis[2] ** 2)
    return at[2] + motion[6 * body + 2] + arm - radius * np.sqrt(1.0 - leaning**2)
