"""How the bodies of one block copy can move: positions, closure errors and their rates. Numpy only, chassis held still.

A frame is the chassis, a body (six rates: velocity of its reference point, angular velocity) or a part (one rate: its
turning or sliding speed). Rows are in m; a rate of one radian counts like one metre, which suits arms of 0.2 to 1 m.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from axlewright.car.mechanism import CHASSIS, Block, Link, Values

STEPS = 30  # Newton steps; a pose that can be reached needs 3 to 6
CLOSED = 1e-10  # m; closure error of an assembled pose: a millionth of what a tape can measure
FULL_STEP = 0.15  # longest step in m or rad: keeps Newton on the branch on which the car was assembled


def rotation(vector: np.ndarray) -> np.ndarray:
    """Rotation matrix (3, 3) of a rotation vector (3,), rad (Rodrigues)."""
    angle = float(np.linalg.norm(vector))
    if angle < 1e-12:
        return np.eye(3)
    x, y, z = vector / angle
    cross = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    return np.eye(3) + np.sin(angle) * cross + (1 - np.cos(angle)) * cross @ cross


@dataclass(frozen=True, slots=True)
class Pose:
    """Where every frame is: a point p of frame f, drawn at p, is at turn[f] @ p + shift[f]."""

    turn: dict[str, np.ndarray]
    shift: dict[str, np.ndarray]

    def at(self, frame: str, drawn: np.ndarray) -> np.ndarray:
        """Present position (3,) of a point of `frame` drawn at `drawn`."""
        return self.turn[frame] @ drawn + self.shift[frame]


@dataclass(frozen=True, slots=True)
class Linkage:
    """One copy of a block, with `rigid` links and joints as constraints."""

    block: Block
    copy: str
    values: Values
    rigid: tuple[Link, ...]
    columns: dict[str, slice] = field(init=False)
    count: int = field(init=False)
    bars: tuple[float, ...] = field(init=False)

    def __post_init__(self) -> None:
        columns: dict[str, slice] = {}
        used = 0
        for name, rates in [(b, 6) for b in self.block.bodies] + [(p.name, 1) for p in self.block.parts]:
            columns[name] = slice(used, used + rates)
            used += rates
        object.__setattr__(self, "columns", columns)
        object.__setattr__(self, "count", used)
        ends = [(self.point(f"{link.name}.a"), self.point(f"{link.name}.b")) for link in self.rigid]
        lengths = [float(np.linalg.norm(b - a)) for a, b in ends]
        extra = [float(np.asarray(self.values.get(f"{self.copy}.{link.name}.length", 0.0))) for link in self.rigid]
        object.__setattr__(self, "bars", tuple(length + more for length, more in zip(lengths, extra, strict=True)))

    def point(self, name: str) -> np.ndarray:
        """A drawn point (3,) of this copy, by the rest of its path."""
        return np.asarray(self.values[f"{self.copy}.{name}"], dtype=float)

    def wheel_centre(self, wheel: str) -> np.ndarray:
        """Drawn centre (3,) of a wheel."""
        return np.asarray(self.values[f"{wheel}.centre"], dtype=float)

    def drawn(self) -> Pose:
        """The pose at rest."""
        frames = (CHASSIS, *self.columns)
        return Pose({f: np.eye(3) for f in frames}, {f: np.zeros(3) for f in frames})

    def velocity(self, pose: Pose, frame: str, drawn: np.ndarray) -> np.ndarray:
        """Velocity of a point per rate, (3, rates)."""
        rows = np.zeros((3, self.count))
        if frame == CHASSIS:
            return rows
        here = pose.at(frame, drawn)
        if frame in self.block.bodies:
            rows[:, self.columns[frame]] = np.hstack([np.eye(3), _arm(here - self._reference(pose, frame))])
            return rows
        part = next(part for part in self.block.parts if part.name == frame)
        rows += self._carried(pose, part.parent, here)
        point, axis = self._axis(pose, frame, part.parent)
        rows[:, self.columns[frame]] = (axis if part.slides else np.cross(axis, here - point))[:, None]
        return rows

    def spin(self, frame: str) -> np.ndarray:
        """Angular velocity of a body, or at rest of a part on a body, per rate, (3, rates)."""
        rows = np.zeros((3, self.count))
        part = next((part for part in self.block.parts if part.name == frame), None)
        if part is not None and not part.slides:
            rows[:, self.columns[frame]] = self._axis(self.drawn(), frame, part.parent)[1][:, None]
        body = frame if part is None else part.parent
        if body != CHASSIS:
            rows[:, self.columns[body]][:, 3:] = np.eye(3)
        return rows

    def length_rate(self, pose: Pose, link: Link) -> np.ndarray:
        """Rate of a link's length per rate, (rates,); the rack is held."""
        a, b = self.point(f"{link.name}.a"), self.point(f"{link.name}.b")
        span = pose.at(link.b, b) - pose.at(link.a, a)
        return span / np.linalg.norm(span) @ (self.velocity(pose, link.b, b) - self.velocity(pose, link.a, a))

    def length(self, pose: Pose, link: Link) -> float:
        """Present length of a link, m."""
        a, b = self.point(f"{link.name}.a"), self.point(f"{link.name}.b")
        return float(np.linalg.norm(pose.at(link.b, b) - pose.at(link.a, a)))

    def jacobian(self, pose: Pose) -> np.ndarray:
        """Rates of the constraints, (constraints, rates): one row a rigid link, three a joint."""
        rows = [self.length_rate(pose, link)[None] for link in self.rigid]
        for joint in self.block.joints:
            at = self.point(f"{joint.name}.at")
            rows.append(self.velocity(pose, joint.b, at) - self.velocity(pose, joint.a, at))
        return np.vstack(rows) if rows else np.zeros((0, self.count))

    def closure(self, pose: Pose) -> np.ndarray:
        """How far each constraint is from closed, m, in the rows' order; a link's is positive when it is too short."""
        lengths = [self.length(pose, link) - bar for link, bar in zip(self.rigid, self.bars, strict=True)]
        gaps = []
        for joint in self.block.joints:
            at = self.point(f"{joint.name}.at")
            gaps.append(pose.at(joint.b, at) - pose.at(joint.a, at))
        return np.concatenate([lengths, *gaps])

    def moved(self, pose: Pose, rates: np.ndarray) -> Pose:
        """The pose after a small step (rates,)."""
        turn, shift = dict(pose.turn), dict(pose.shift)
        for body in self.block.bodies:
            step = rates[self.columns[body]]
            centre, spin = self._reference(pose, body), rotation(step[3:])
            turn[body] = spin @ pose.turn[body]
            shift[body] = centre + step[:3] + spin @ (pose.shift[body] - centre)
        for part in self.block.parts:
            if part.parent != CHASSIS:  # first carried along by its parent
                carried = turn[part.parent] @ pose.turn[part.parent].T
                shift[part.name] = carried @ (pose.shift[part.name] - pose.shift[part.parent]) + shift[part.parent]
                turn[part.name] = carried @ pose.turn[part.name]
            now = Pose(turn, shift)
            point, axis = self._axis(now, part.name, part.parent)
            step = axis * rates[self.columns[part.name]][0]
            if part.slides:
                shift[part.name] = shift[part.name] + step
                continue
            spin = rotation(step)
            shift[part.name] = point + spin @ (shift[part.name] - point)
            turn[part.name] = spin @ turn[part.name]
        return Pose(turn, shift)

    def _reference(self, pose: Pose, body: str) -> np.ndarray:
        return pose.at(body, self.point(f"{body}.at"))

    def _axis(self, pose: Pose, part: str, parent: str) -> tuple[np.ndarray, np.ndarray]:
        start, end = (pose.at(parent, self.point(f"{part}.axis_{end}")) for end in "ab")
        return start, (end - start) / np.linalg.norm(end - start)

    def _carried(self, pose: Pose, parent: str, here: np.ndarray) -> np.ndarray:
        """Velocity (3, rates) of a point at `here` if it were fixed to the parent."""
        if parent == CHASSIS:
            return np.zeros((3, self.count))
        drawn = pose.turn[parent].T @ (here - pose.shift[parent])
        return self.velocity(pose, parent, drawn)


def _arm(r: np.ndarray) -> np.ndarray:
    """Matrix (3, 3) that turns an angular velocity into the velocity at r: omega x r."""
    x, y, z = r
    return np.array([[0.0, z, -y], [-z, 0.0, x], [y, -x, 0.0]])


def wheel_heights(linkage: Linkage, pose: Pose) -> tuple[np.ndarray, np.ndarray]:
    """Heights (wheels,) of this copy's wheel centres, m, and their rates (wheels, rates)."""
    index = linkage.block.copies.index(linkage.copy)
    centres = [
        (wheel.frame, np.asarray(linkage.values[f"{wheel.names[index]}.centre"])) for wheel in linkage.block.wheels
    ]
    heights = np.array([pose.at(frame, centre)[2] for frame, centre in centres])
    return heights, np.array([linkage.velocity(pose, frame, centre)[2] for frame, centre in centres])


def reach(linkage: Linkage, heights: np.ndarray) -> tuple[Pose, float]:
    """The pose with the wheel centres moved up by `heights` (wheels,), m, found by least-motion Newton steps.

    Returns the pose and its largest closure error, m: above `CLOSED` the pose can't be reached.
    """
    pose = linkage.drawn()
    start, _ = wheel_heights(linkage, pose)
    error = np.inf
    for _ in range(STEPS):
        now, rates = wheel_heights(linkage, pose)
        residual = np.concatenate([linkage.closure(pose), now - start - heights])
        error = float(np.abs(residual).max())
        if error < CLOSED:
            break
        step = np.linalg.lstsq(np.vstack([linkage.jacobian(pose), rates]), -residual, rcond=1e-9)[0]
        pose = linkage.moved(pose, step * min(1.0, FULL_STEP / max(float(np.abs(step).max()), 1e-300)))
    return pose, error
