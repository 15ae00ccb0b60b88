"""Modes: how a car that is held in a manoeuvre moves when it is nudged.

The moving car's equations are linearised exactly about a held state, tyres' slip and lag included, on what rigid links
and joints allow; where the car is on the road and its heading change nothing and are left out. Where a held state gains
speed, the speed is taken as it is at that instant.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from axlewright.model.moving.parameters import MovingState
from axlewright.model.packing import Packing
from axlewright.model.topology import BlockTopology
from axlewright.solve.motion.events import Ready, script
from axlewright.solve.motion.mover import Mover, tangent
from axlewright.solve.solved import Solved

LEFT_OUT = ("place", "work", "drift")  # fields that nothing depends on
OSCILLATES = 1e-6  # rad/s: a smaller imaginary part is a real root
STANDS_STILL = 1e-3  # rad/s: roots nearer to zero are free movements (a car at rest may stand a little to one side)


@dataclass(frozen=True)
class Linear:
    """x' = A x + B u, y = C x + D u about one held state; u: heights below the wheels m and their rates m/s.

    y: load of each wheel N, lengthening of each damped link m/s, upward acceleration of the chassis origin m/s2.
    """

    a: np.ndarray  # (m, m)
    b: np.ndarray  # (m, 2 W)
    c: np.ndarray  # (k, m)
    d: np.ndarray  # (k, 2 W)
    basis: np.ndarray  # (n, m) packed state of each coordinate
    state: np.ndarray  # (n,) where it is linearised
    packing: Packing
    outputs: np.ndarray  # (k,) there

    @cached_property
    def roots(self) -> tuple[np.ndarray, np.ndarray]:
        """Eigenvalues (m,) 1/s and shapes (n, m) as packed states."""
        values, vectors = np.linalg.eig(self.a)
        return values, self.basis @ vectors

    def response(self, frequency: np.ndarray) -> np.ndarray:
        """dy/d(height) at frequencies (F,) in Hz: (F, k, W), rates of the heights included."""
        s = 2j * np.pi * np.asarray(frequency, dtype=float)[:, None, None]
        wheels = self.b.shape[1] // 2
        b, d = (m[:, :wheels] + s * m[:, wheels:] for m in (self.b, self.d))
        return self.c @ np.linalg.solve(s * np.eye(len(self.a)) - self.a, b) + d


@dataclass(frozen=True)
class Mode:
    """One way in which the car moves by itself."""

    root: complex  # 1/s
    shape: MovingState  # complex rates of every part of the state, largest share of energy 1
    shares: dict[str, float]  # what moves -> share of the kinetic energy

    @property
    def frequency(self) -> float:
        """Hz at which it swings; 0 when it doesn't."""
        return abs(self.root.imag) / (2.0 * np.pi) if abs(self.root.imag) > OSCILLATES else 0.0

    @property
    def natural(self) -> float:
        """Undamped frequency, Hz."""
        return abs(self.root) / (2.0 * np.pi)

    @property
    def damping(self) -> float:
        """Damping ratio: below 0 it grows, 1 and more (a root that doesn't swing) it creeps back."""
        return -self.root.real / abs(self.root)

    @property
    def name(self) -> str:
        """What moves most."""
        return max(self.shares, key=lambda key: self.shares[key])


def linear(at: Ready, member: int = 0) -> Linear:
    """The car about one of the held states of a beginning."""
    going = at.mover.going
    one = lambda a: np.ascontiguousarray(np.broadcast_to(a, (a.shape[0], at.batch))[:, member : member + 1])  # noqa: E731
    state = at.mover.start(at.held, at.moving)[0][:, member : member + 1]
    packed = going.script.pack(script(at))
    found = tangent(going)(one(at.held.car), one(at.moving), one(packed), np.zeros((1, 1)), state)
    basis = _basis(at.mover, state[:, 0], found.held)
    back = np.linalg.pinv(basis)
    n = going.state.size
    return Linear(
        a=back @ found.by_state[:, :n] @ basis,
        b=back @ found.by_state[:, n:],
        c=found.of_outputs[:, :n] @ basis,
        d=found.of_outputs[:, n:],
        basis=basis,
        state=state[:, 0],
        packing=going.state,
        outputs=found.outputs[:, 0],
    )


def _places(packing: Packing) -> MovingState:
    """Row of each number in the packed state."""
    return packing.unpack(np.arange(packing.size)[:, None])


def _basis(mover: Mover, state: np.ndarray, held: tuple[np.ndarray, ...]) -> np.ndarray:
    """Packed states (n, m) that rigid links allow, one column a coordinate."""
    packing = mover.going.state
    places, now = _places(packing), packing.unpack(state[:, None])
    columns = []

    def put(rows: np.ndarray, values: np.ndarray) -> None:
        for k in range(values.shape[1]):
            column = np.zeros(packing.size)
            column[rows] = values[:, k]
            columns.append(column)

    for name, rows in places._asdict().items():
        if name in ("motion", "rate"):
            for i, (block, g) in enumerate(zip(mover.machine.topology.blocks, held, strict=True)):
                for c in range(block.n_copies):
                    allowed = _null_space(g[:, :, c, 0], block.n_motion)
                    if name == "motion":
                        allowed = _as_unknowns(block, now.motion[i][:, c, 0], allowed)
                    put(rows[i][:, c, 0], allowed)
        elif name not in LEFT_OUT:
            for part in rows if isinstance(rows, tuple) else (rows,):
                flat = part.reshape(-1)
                put(flat, np.eye(flat.size))
    return np.stack(columns, axis=1)


def _null_space(g: np.ndarray, n: int) -> np.ndarray:
    """Orthonormal (n, f) with g x = 0; g (rows, n) of full rank."""
    if not g.shape[0]:
        return np.eye(n)
    return np.linalg.svd(g)[2][g.shape[0] :].T


def _as_unknowns(block: BlockTopology, motion: np.ndarray, moves: np.ndarray) -> np.ndarray:
    """Small motions (motions, k) as changes of the motion unknowns: turnings become changes of Cayley vectors."""
    out = moves.copy()
    for i in range(block.n_bodies):
        r, w = motion[6 * i + 3 : 6 * i + 6], moves[6 * i + 3 : 6 * i + 6]
        out[6 * i + 3 : 6 * i + 6] = w - 0.5 * np.cross(r, w.T).T + 0.25 * np.outer(r, r @ w)
    return out


def modes(at: Ready, member: int = 0) -> list[Mode]:
    """Modes of one of the held states, slowest first; of a pair that swings, one."""
    return modes_of(at, linear(at, member), member)


def modes_of(at: Ready, about: Linear, member: int = 0) -> list[Mode]:
    """Modes of a linearised car."""
    values, shapes = about.roots
    held = at.held if at.batch == 1 else at.held.take(np.array([member]))
    found = []
    for root, shape in zip(values, shapes.T, strict=True):
        if root.imag < -OSCILLATES or abs(root) < STANDS_STILL:
            continue
        state = about.packing.unpack(shape[:, None])
        energies = kinetic_energies(at.mover, held, at.moving, state)
        total = sum(energies.values())
        if not total > 0.0:
            continue
        scale = 1.0 / np.sqrt(total)
        scaled = about.packing.unpack((shape * scale)[:, None])
        found.append(Mode(complex(root), scaled, {name: e / total for name, e in energies.items()}))
    return sorted(found, key=lambda mode: abs(mode.root))


FRONT, REAR = "front", "rear"


def kinetic_energies(mover: Mover, held: Solved, moving: np.ndarray, shape: MovingState) -> dict[str, float]:
    """Kinetic energy of a shape by what moves, up to a common factor.

    The chassis: "heave", "pitch", "roll", "surge" and "yaw" (with sideways). Unsprung bodies move by "front hop" and
    "front tramp", "rear hop" and "rear tramp" (wheels of an end together and opposite), an axle also by "wind-up";
    along and across they go with the car. "wheel spin" is the wheels' and the engine's.
    """
    topology, p = mover.machine.topology, held.parameters
    extra = mover.going.moving.unpack(moving[:, :1])
    mass = float(np.asarray(p.mass).sum(axis=0)[0])
    centre = (np.asarray(p.mass) * np.asarray(p.mass_at)).sum(axis=1)[:, 0] / mass
    velocity, turn = shape.velocity[:3, 0], shape.velocity[3:, 0]
    at_centre = velocity + np.cross(turn, centre)
    inertia = extra.sprung_inertia[:, 0]
    found = {
        "heave": mass * abs(at_centre[2]) ** 2,
        "pitch": inertia[1] * abs(turn[1]) ** 2,
        "roll": inertia[0] * abs(turn[0]) ** 2,
        "surge": mass * abs(at_centre[0]) ** 2,
        "yaw": mass * abs(at_centre[1]) ** 2 + inertia[2] * abs(turn[2]) ** 2,
    }
    spin = float(extra.engine_inertia[0]) * abs(shape.driveline[0, 0]) ** 2
    for i, (block, q) in enumerate(zip(topology.blocks, p.blocks, strict=True)):
        end = REAR if block.block.rear else FRONT
        hop, tramp = f"{end} hop", f"{end} tramp"
        found.setdefault(hop, 0.0)
        found.setdefault(tramp, 0.0)
        rates = shape.rate[i][..., 0]
        each = []
        for c in range(block.n_copies):
            for k in range(block.n_bodies):
                m, own = float(np.asarray(q.body_mass)[k, c, 0]), extra.blocks[i].inertia[:, k, c, 0]
                at = np.asarray(q.body_at)[:, k, c, 0]
                v = velocity + np.cross(turn, at) + rates[6 * k : 6 * k + 3, c]
                w = turn + rates[6 * k + 3 : 6 * k + 6, c]
                each.append(v[2] * np.sqrt(m))
                found["surge"] += m * abs(v[0]) ** 2
                found["yaw"] += m * abs(v[1]) ** 2 + own[2] * abs(w[2]) ** 2
                if block.n_wheels > 1:  # an axle
                    found.setdefault("wind-up", 0.0)
                    found[tramp] += own[0] * abs(w[0]) ** 2
                    found["wind-up"] += own[1] * abs(w[1]) ** 2
        if len(each) == 2:  # left and right
            found[hop] += abs(each[0] + each[1]) ** 2 / 2.0
            found[tramp] += abs(each[0] - each[1]) ** 2 / 2.0
        else:
            found[hop] += sum(abs(v) ** 2 for v in each)
        spin += float((np.asarray(q.wheels.spin_inertia) * np.abs(shape.spin[i]) ** 2).sum())
    found["wheel spin"] = spin
    return {name: float(value) for name, value in found.items()}
