"""The linkage moved while the chassis stands still: bump, roll, one wheel, steer and wind-up, singly or as a grid.

The wheels are put where they are asked to be, the links and joints stay closed, and nothing carries a load: as when a
team cycles a car by hand with its springs out. What comes back are states like any other, so every reading that needs
positions and velocities only (`Reading.travel`) can be taken off them: the chassis is at its drawn place, and the road
is lifted under each wheel so that its tyre keeps the radius that it has at rest.

A pose that the links can't reach, or that lies beyond a toggle, is data: `Travelled.reached` and the reason in words.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from axlewright.car.adjusters.setup import Setup
from axlewright.car.checks.linkage import Linkage as NumpyLinkage
from axlewright.car.checks.linkage import wheel_heights
from axlewright.car.schema import Car
from axlewright.errors import RequestError, known
from axlewright.model.elimination import Pivots
from axlewright.model.packing import Packing
from axlewright.model.parameters import BlockParameters, State
from axlewright.model.topology import BlockTopology
from axlewright.model.travel import AXLE, TORQUE_LINKS, Linkage, Moves, pivots_of
from axlewright.solve.assemblies import asked_for
from axlewright.solve.demand import rest_demand
from axlewright.solve.machine import Machine, in_chunks
from axlewright.solve.programs import travel_program
from axlewright.solve.results import Result
from axlewright.solve.solved import Solved
from axlewright.solve.verbs import packed_now

WHEELS = ("LF", "RF", "LR", "RR")
ACTIVE = ("drive", "brake")
SMALL, LARGE = 8, 128  # poses a call of a compiled block: a few as a person asks, or a grid
REACHED = 1e-9  # m: closer than any part is made
# The way to a pose that isn't reached at once is walked in strides that halve where they fail, to a thousandth of it.
FIRST_STRIDE, SHORTEST_STRIDE, STRIDES = 0.1, 1e-3, 60
LONGEST_STRIDE = 0.2  # m or rad: a longer one has jumped to another assembly
NEAR_TOGGLE = 0.05  # singular value of the rows, m per m: below it 1 mm of wheel asks for 20 mm of something else
SHARE_OF_BLAME = 0.3  # of the largest part in what is in line, from which on a link is named
EVERYTHING = (*WHEELS, "bump", "roll", "steer", "wind_up")


@dataclass(frozen=True)
class Poses:
    """What the linkage is made to do, (B,) each: m and rad, zero as drawn.

    bump: every wheel up; roll: chassis roll, right side down, so right wheels up against it and left ones down; LF,
    RF, LR, RR: that wheel up; steer: rack travel, left steer positive; wind_up: of a live axle's housing beyond what
    its links give by themselves, nose up positive.
    """

    bump: np.ndarray
    roll: np.ndarray
    steer: np.ndarray
    wind_up: np.ndarray
    wheels: np.ndarray  # (4, B) of LF, RF, LR, RR
    names: tuple[str, ...] = ()  # of the axes that vary, slowest first
    axes: tuple[np.ndarray, ...] = ()  # values of each axis

    @property
    def batch(self) -> int:
        return self.bump.shape[0]

    @property
    def shape(self) -> tuple[int, ...]:
        """Shape of the grid: one axis for each thing that varies."""
        return tuple(axis.size for axis in self.axes)

    def share(self, fraction: float | np.ndarray) -> Poses:
        """Part of the way from the drawn pose."""
        parts = (getattr(self, name) * fraction for name in ("bump", "roll", "steer", "wind_up", "wheels"))
        return Poses(*parts, self.names, self.axes)

    def take(self, members: np.ndarray | slice) -> Poses:
        """Some poses; no grid any more."""
        parts = (getattr(self, name)[..., members] for name in ("bump", "roll", "steer", "wind_up", "wheels"))
        return Poses(*parts)

    def say(self, member: int) -> str:
        """One pose in words, in mm and degrees."""
        said = []
        for name, value in [(w, self.wheels[i, member]) for i, w in enumerate(WHEELS)]:
            if value:
                said.append(f"{name} {value * 1e3:+.1f} mm")
        if self.bump[member]:
            said.insert(0, f"bump {self.bump[member] * 1e3:+.1f} mm")
        if self.roll[member]:
            said.append(f"roll {np.degrees(self.roll[member]):+.2f} deg")
        if self.steer[member]:
            said.append(f"rack {self.steer[member] * 1e3:+.1f} mm")
        if self.wind_up[member]:
            said.append(f"wind-up {np.degrees(self.wind_up[member]):+.2f} deg")
        return ", ".join(said) or "as drawn"


def grid(**values: float | Sequence[float] | np.ndarray) -> Poses:
    """Every combination of the values given for bump, roll, steer, wind_up, LF, RF, LR and RR; the last varies fastest.

    Lengths in m, angles in rad; what is left out stays as drawn. RequestError for a name that isn't one of these.
    """
    for name in values:
        known("movement", [name], EVERYTHING)
    axes = {name: np.atleast_1d(np.asarray(value, dtype=float)) for name, value in values.items()}
    for name, axis in axes.items():
        if axis.ndim != 1 or not np.isfinite(axis).all():
            raise RequestError(f"found {name} = {values[name]!r}; expected a number or a list of numbers, in m or rad")
    mesh = dict(zip(axes, (m.ravel() for m in np.meshgrid(*axes.values(), indexing="ij")), strict=True))
    batch = next(iter(mesh.values())).size if mesh else 1
    get = lambda name: mesh.get(name, np.zeros(batch))  # noqa: E731 - used for each field below
    varying = [name for name, axis in axes.items() if axis.size > 1]
    return Poses(
        get("bump"), get("roll"), get("steer"), get("wind_up"), np.stack([get(wheel) for wheel in WHEELS]),
        tuple(varying), tuple(axes[name] for name in varying),
    )  # fmt: skip


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
    rises = _rises(machine, poses)
    local, reached, share, reasons = [], np.ones(poses.batch, bool), np.ones(poses.batch), [""] * poses.batch
    starts = asked_for(machine, assembly) if assembly else {}
    for index, whole in enumerate(topology.blocks):
        block = _Block(machine, packed, index, active, starts.get(index))
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
            block, part = _Block(machine, packed, index, active, starts.get(index)), cut.take(back)
            stopped = _rises(machine, part)[np.array(slots)]
            local[index][..., back] = block.go(stopped, part.steer, part.wind_up)[0]
    solved = _solved(machine, packed, local, poses.share(share).steer, reached, active)
    return Travelled(poses, solved, reached, share, tuple(reasons))


_NO_WIND_UP = (
    "found wind-up asked of an axle that its links hold at one pitch; expected a torque link or links that give. "
    "Likeliest fix: leave wind-up out, or draw the upper link as a drive-side link or with a stiffness"
)


def _rises(machine: Machine, poses: Poses) -> np.ndarray:
    """Rise of each wheel centre, m, (4, B)."""
    y = np.array([np.asarray(machine.values[f"{wheel}.centre"])[1].ravel()[0] for wheel in WHEELS])
    return poses.bump + poses.wheels - y[:, None] * np.tan(poses.roll)


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
    row = _last_row(motion[6 * body + 3 : 6 * body + 6])
    drawn, axis = np.asarray(p.wheels.centre)[:, wheel], np.asarray(p.wheels.axis)[:, wheel]
    at = np.asarray(p.body_at)[:, body]
    arm, leaning = (np.einsum("j...,j...->...", row, v) for v in (drawn - at, axis))
    radius = drawn[2] / np.sqrt(1.0 - axis[2] ** 2)
    return at[2] + motion[6 * body + 2] + arm - radius * np.sqrt(1.0 - leaning**2)


def _last_row(r: np.ndarray) -> np.ndarray:
    """Last row of the rotation of a Cayley vector (3, ...): `vectors.cayley` without waking the compiler."""
    x, y, z = r
    q = 0.25 * (x * x + y * y + z * z)
    return np.stack([0.5 * x * z - y, 0.5 * y * z + x, 1.0 - q + 0.5 * z * z]) / (1.0 + q)


class _Block:
    """One block of a car with one setup."""

    def __init__(self, machine: Machine, packed: np.ndarray, index: int, active: str, start: np.ndarray | None) -> None:
        self.machine, self.packed, self.index = machine, packed, index
        self.linkage = Linkage(machine.topology.blocks[index])
        self.hold = np.array([[float(active == name)] for name in ACTIVE] + [[0.0]])
        self.active = active
        shape = (self.whole.n_motion, self.whole.n_copies, 1)
        self.start = np.zeros(shape) if start is None else start[..., None]

    @property
    def whole(self) -> BlockTopology:
        return self.linkage.whole

    def go(self, rise: np.ndarray, steer: np.ndarray, wind_up: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Motion (motions, c, B) at rises (wheels, c, B), and the share of the way there, (B,)."""
        motion, good = self._at(rise, steer, wind_up, None)
        share = np.where(good, 1.0, 0.0)
        missing = np.flatnonzero(~good)
        if missing.size:
            motion[..., missing], share[missing] = self._walk(rise[..., missing], steer[missing], wind_up[missing])
        return motion, share

    def _at(
        self, rise: np.ndarray, steer: np.ndarray, wind_up: np.ndarray, start: np.ndarray | None
    ) -> tuple[np.ndarray, np.ndarray]:
        motion, good = self._newton(rise, steer, self.hold, np.zeros(1), start)
        if wind_up.any() and self.linkage.winds_up:
            hold = np.array([[0.0], [0.0], [1.0]])
            motion, still = self._newton(rise, steer, hold, self.pitch(motion) - wind_up, motion)
            good = good & still
        return motion, good

    def _newton(
        self, rise: np.ndarray, steer: np.ndarray, hold: np.ndarray, pitch: np.ndarray, start: np.ndarray | None
    ) -> tuple[np.ndarray, np.ndarray]:
        """Motion and whether each pose is reached on the drawn side of every toggle; the drawn pose goes along."""
        batch = steer.size
        packing = _packing(self.whole)
        moves = packing.pack(Moves(rise, steer, hold, np.broadcast_to(pitch, (batch,))))
        drawn = packing.pack(Moves(0.0 * rise[..., :1], np.zeros(1), hold, pitch[:1] * 0.0))
        shape = (self.whole.n_motion, self.whole.n_copies, batch)
        begin = np.broadcast_to(self.start, shape) if start is None else start
        arrays = [np.concatenate(pair, axis=-1) for pair in ((moves, drawn), (begin, self.start))]
        size = SMALL if batch < SMALL else LARGE
        run = travel_program(self.machine.form, self.index, self._pivots(), packing, size)
        motion, error, side = in_chunks(lambda m, s: run(self.packed, m, s), arrays, size)
        good = (error[:-1] < REACHED) & (side[:, :-1] * np.sign(side[:, -1:]) > 0).all(axis=0)
        return motion[..., :-1].copy(), good

    def _walk(self, rise: np.ndarray, steer: np.ndarray, wind_up: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """How far along the straight way from the drawn pose each of these poses can be approached."""
        batch = steer.size
        share, step = np.zeros(batch), np.full(batch, FIRST_STRIDE)
        motion, _ = self._at(0.0 * rise, 0.0 * steer, 0.0 * wind_up, None)
        for _ in range(STRIDES):
            to = np.minimum(share + step, 1.0)
            found, good = self._at(rise * to, steer * to, wind_up * to, motion)
            near = np.abs(found - motion).max(axis=(0, 1)) < LONGEST_STRIDE
            good &= near
            motion[..., good], share[good] = found[..., good], to[good]
            step = np.where(good, step, step / 2)
            if (step < SHORTEST_STRIDE).all() or (share == 1.0).all():
                break
        return motion, share

    def pitch(self, motion: np.ndarray) -> np.ndarray:
        """Pitch of the body that carries the wheels against the drawn pose, nose down positive, rad, (B,)."""
        body = self.whole.wheel_frames[0] - 1
        return -np.arcsin(_last_row(motion[6 * body + 3 : 6 * body + 6])[0, 0])

    def _pivots(self) -> Pivots:
        return _pivots(self.machine, self.index, self.active) if self.linkage.square else ()

    def reason(self, poses: Poses, member: int, motion: np.ndarray, share: float) -> str:
        """A sentence for a pose that is not reached."""
        end = self.whole.block.copies[0].split(".", maxsplit=1)[0]
        names = [self._stuck(copy, motion[:, copy]) for copy in range(self.whole.n_copies)]
        smallest, stuck = min(names)
        stops = f"the {end} stops at {poses.share(share).say(member)} of {poses.say(member)}"
        if smallest < NEAR_TOGGLE:
            return f"{stops}: there {stuck} come into line (toggle) and go no further"
        return f"{stops}: beyond it the linkage can't be closed"

    def _stuck(self, copy: int, motion: np.ndarray) -> tuple[float, str]:
        """Smallest singular value of the rows at a pose (motions,), and which links and joints it comes from."""
        numpy_linkage = _numpy_linkage(self.machine, self.linkage, copy, self.active)
        pose = numpy_linkage.moved(numpy_linkage.drawn(), _as_rates(self.whole, motion))
        rows = np.vstack([numpy_linkage.jacobian(pose), wheel_heights(numpy_linkage, pose)[1]])
        left, sizes, _ = np.linalg.svd(rows)
        weight = np.abs(left[:, sizes.size - 1])
        joints = [joint.name for joint in self.whole.block.joints for _ in range(3)]
        names = [*(link.name for link in numpy_linkage.rigid), *joints]
        chosen = [n for n, w in zip(names, weight, strict=False) if w > SHARE_OF_BLAME * weight[: len(names)].max()]
        spoken = list(dict.fromkeys(n.replace("_", " ") for n in chosen))
        return float(sizes[-1]), " and ".join([", ".join(spoken[:-1]), spoken[-1]] if len(spoken) > 1 else spoken)


@cache
def _packing(whole: BlockTopology) -> Packing:
    """Packing of `Moves` of a block."""
    one = np.zeros(1)
    return Packing.of(Moves(np.zeros((whole.n_wheels, whole.n_copies, 1)), one, np.zeros((3, 1)), one))


def _pivots(machine: Machine, index: int, active: str) -> Pivots:
    """Pivot order of a block's rows at the drawn pose, found once and kept with the machine."""
    store = vars(machine).setdefault("_travel_pivots", {})
    if (index, active) not in store:
        store[index, active] = _find_pivots(machine, index, active)
    return store[index, active]


def _find_pivots(machine: Machine, index: int, active: str) -> Pivots:
    linkage = Linkage(machine.topology.blocks[index])
    own = _numpy_linkage(machine, linkage, 0, active)
    pose, firm = own.drawn(), linkage.hard
    rows = own.jacobian(pose)
    ordered = np.vstack([rows[:firm], rows[len(own.rigid) :], rows[firm : len(own.rigid)], wheel_heights(own, pose)[1]])
    return pivots_of(linkage, ordered)


def _numpy_linkage(machine: Machine, linkage: Linkage, copy: int, active: str) -> NumpyLinkage:
    """The same linkage for the host: firm links, then the torque link that holds wind-up."""
    block = linkage.whole.block
    kind = TORQUE_LINKS[ACTIVE.index(active)]
    holding = linkage.torque.get(kind, next(iter(linkage.torque.values()), None))
    names = [*linkage.whole.rigid, *linkage.compliant, *([holding] if holding else [])]
    return NumpyLinkage(block, block.copies[copy], machine.values, tuple(linkage.whole.link(name) for name in names))


def _as_rates(whole: BlockTopology, motion: np.ndarray) -> np.ndarray:
    """Motion unknowns (motions,) as one step of translations, rotation vectors and angles."""
    rates = motion.copy()
    for i in range(whole.n_bodies):
        r = motion[6 * i + 3 : 6 * i + 6]
        size = float(np.linalg.norm(r))
        if size:
            rates[6 * i + 3 : 6 * i + 6] = r * (2.0 * np.arctan(0.5 * size) / size)
    return rates
