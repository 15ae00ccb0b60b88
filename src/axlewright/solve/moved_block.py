"""One block of a car led to where its wheels are asked to be, and why it stops where it does."""

from __future__ import annotations

import numpy as np

from axlewright.car.checks.linkage import Linkage as NumpyLinkage
from axlewright.car.checks.linkage import wheel_heights
from axlewright.model.elimination import Pivots
from axlewright.model.packing import Packing
from axlewright.model.topology import BlockTopology
from axlewright.model.travel import TORQUE_LINKS, Linkage, Moves, pivots_of
from axlewright.solve.machine import Machine, in_chunks
from axlewright.solve.poses import Poses
from axlewright.solve.programs import Program, travel_program

ACTIVE = ("drive", "brake")
# Poses a call of a compiled block: a few as a person asks, or half of a 21 x 21 grid and the drawn pose. Each call
# costs about 0.2 ms before its first pose, so smaller chunks lose what the cache gains.
SMALL, LARGE = 8, 224
REACHED = 1e-9  # m: closer than any part is made
# The way to a pose that isn't reached at once is walked in strides that halve where they fail, to a thousandth of it.
FIRST_STRIDE, SHORTEST_STRIDE, STRIDES = 0.1, 1e-3, 60
LONGEST_STRIDE = 0.2  # m or rad: a longer one has jumped to another assembly
NEAR_TOGGLE = 0.05  # singular value of the rows, m per m: below it 1 mm of wheel asks for 20 mm of something else
SHARE_OF_BLAME = 0.3  # of the largest part in what is in line, from which on a link is named


class MovedBlock:
    """One block of a car with one setup; `start` (motions, c) where its parts go together another way than drawn."""

    def __init__(
        self, machine: Machine, packed: np.ndarray, index: int, active: str, start: np.ndarray | None = None
    ) -> None:
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
        packing, run = self._compiled(size := SMALL if batch < SMALL else LARGE)
        moves = Moves(_with_zero(rise), _with_zero(steer), hold, _with_zero(np.broadcast_to(pitch, (batch,))))
        shape = (self.whole.n_motion, self.whole.n_copies, batch)
        begin = np.broadcast_to(self.start, shape) if start is None else start
        arrays = [packing.pack(moves), np.concatenate([begin, self.start], axis=-1)]
        motion, error, side = in_chunks(lambda m, s: run(self.packed, m, s), arrays, size)
        good = (error[:-1] < REACHED) & (side[:, :-1] * np.sign(side[:, -1:]) > 0).all(axis=0)
        return motion[..., :-1].copy(), good

    def _compiled(self, size: int) -> tuple[Packing, Program]:
        """How moves are packed, and the program that takes `size` of them; kept with the machine."""
        store = vars(self.machine).setdefault("_travel", {})
        key = (self.index, self.active, size)
        if key not in store:
            packing = _packing(self.whole)
            pivots = _pivots(self.machine, self.index, self.active) if self.linkage.square else ()
            store[key] = packing, travel_program(self.machine.form, self.index, pivots, packing, size)
        return store[key]

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
        return -np.arcsin(last_row(motion[6 * body + 3 : 6 * body + 6])[0, 0])

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


def _with_zero(a: np.ndarray) -> np.ndarray:
    """An array (..., B) with the drawn pose's zero as its last member."""
    return np.concatenate([a, np.zeros((*a.shape[:-1], 1))], axis=-1)


def _packing(whole: BlockTopology) -> Packing:
    """Packing of `Moves` of a block."""
    one = np.zeros(1)
    return Packing.of(Moves(np.zeros((whole.n_wheels, whole.n_copies, 1)), one, np.zeros((3, 1)), one))


def _pivots(machine: Machine, index: int, active: str) -> Pivots:
    """Pivot order of a block's rows at the drawn pose."""
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


def last_row(r: np.ndarray) -> np.ndarray:
    """Last row of the rotation of a Cayley vector (3, ...): `vectors.cayley` without waking the compiler."""
    x, y, z = r
    q = 0.25 * (x * x + y * y + z * z)
    return np.stack([0.5 * x * z - y, 0.5 * y * z + x, 1.0 - q + 0.5 * z * z]) / (1.0 + q)
