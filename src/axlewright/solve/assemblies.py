"""Other ways in which the parts of a car go together: the same links and joints, closed on the other side of a toggle.

The car is taken as it is drawn. But a bellcrank can be fitted the other way up, and a rocker over centre, with every
link at its length; who finds a part at an odd angle on the car can look here whether it is such an assembly, and move
the linkage in it. A way is named by the angle of the turning part from the drawn pose.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from axlewright.car.checks.kinematics import located
from axlewright.car.checks.linkage import CLOSED, Linkage, Pose, wheel_heights
from axlewright.errors import RequestError, known
from axlewright.model.topology import BlockTopology
from axlewright.solve.machine import Machine

GUESSES = np.radians(np.arange(30.0, 331.0, 30.0))  # starting angles of the part
STEPS = 80  # Newton steps; a way that is there takes 10 to 30 from a far guess
LONGEST = 0.15  # m or rad a step
APART = np.radians(5.0)  # two ways differ by more than this in the part's angle
NEAR = np.radians(2.0)  # how well a way must be named


@dataclass(frozen=True)
class Assembly:
    """One other way in which a block copy closes with its wheels at their drawn heights."""

    block: int
    copy: int
    part: str
    angle: float  # rad from the drawn pose, -pi..pi
    motion: np.ndarray  # (motions,) as in the state

    @property
    def name(self) -> str:
        """How it is asked for: `bellcrank=152`, or `left.rocker=-80` where each side has such a part."""
        return f"{self.part}={np.degrees(self.angle):.0f}"


def assemblies(machine: Machine) -> tuple[Assembly, ...]:
    """All other ways found; the drawn one is not among them."""
    found: list[Assembly] = []
    for index, topology in enumerate(machine.topology.blocks):
        for copy, name in enumerate(topology.block.copies):
            linkage = _whole(machine, topology, copy)
            for part in (p for p in topology.block.parts if not p.slides):
                side = name.partition(".")[2]
                said = f"{side}.{part.name}" if side else part.name
                found += _of_part(linkage, topology, index, copy, part.name, said)
    return tuple(found)


def asked_for(machine: Machine, named: Mapping[str, float]) -> dict[int, np.ndarray]:
    """Starting motions (motions, c) of the blocks whose parts are named with an angle, rad.

    RequestError for a part that isn't there, or goes together no other way near that angle.
    """
    ways = assemblies(machine)
    known("turning part with another assembly", list(named), {way.part for way in ways})
    starts: dict[int, np.ndarray] = {}
    for part, angle in named.items():
        own = [way for way in ways if way.part == part]
        way = min(own, key=lambda w: abs(_wrapped(w.angle - angle)))
        if abs(_wrapped(way.angle - angle)) > NEAR:
            have = " or ".join(way.name for way in own)
            raise RequestError(f"found {part} at {np.degrees(angle):.0f} degrees; expected {have}, or as drawn")
        topology = machine.topology.blocks[way.block]
        start = starts.setdefault(way.block, np.zeros((topology.n_motion, topology.n_copies)))
        start[:, way.copy] = way.motion
    return starts


def _whole(machine: Machine, topology: BlockTopology, copy: int) -> Linkage:
    """The rigid linkage with one torque link held and compliant links at their lengths."""
    own = located(machine.topology.mechanism, machine.values, topology.block.name, copy)
    kinds = {term.kind: link for _, link, term in topology.terms}
    extra = [link for _, link, term in topology.terms if term.kind == "compliant"]
    holding = kinds.get("drive_link", kinds.get("brake_link"))
    more = tuple(topology.link(name) for name in (*extra, *([holding] if holding else [])))
    return Linkage(own.block, own.copy, own.values, (*own.rigid, *more))


def _of_part(linkage: Linkage, topology: BlockTopology, block: int, copy: int, part: str, said: str) -> list[Assembly]:
    found: list[Assembly] = []
    for guess in GUESSES:
        rates = np.zeros(linkage.count)
        rates[linkage.columns[part]] = guess
        pose = _closed(linkage, linkage.moved(linkage.drawn(), rates))
        if pose is None:
            continue
        motion = _motion(linkage, topology, pose)
        angle = float(motion[6 * topology.n_bodies + [p.name for p in topology.block.parts].index(part)])
        if min((abs(_wrapped(angle - a)) for a in (0.0, *(way.angle for way in found))), default=1.0) > APART:
            found.append(Assembly(block, copy, said, angle, motion))
    return found


def _closed(linkage: Linkage, pose: Pose) -> Pose | None:
    """The nearest closed pose with the wheels at their drawn heights; None where there is none to be found."""
    drawn, _ = wheel_heights(linkage, linkage.drawn())
    for _ in range(STEPS):
        now, rates = wheel_heights(linkage, pose)
        misfit = np.concatenate([linkage.closure(pose), now - drawn])
        if np.abs(misfit).max() < CLOSED:
            return pose
        step = np.linalg.lstsq(np.vstack([linkage.jacobian(pose), rates]), -misfit, rcond=1e-9)[0]
        pose = linkage.moved(pose, step * min(1.0, LONGEST / max(float(np.abs(step).max()), 1e-300)))
    return None


def _motion(linkage: Linkage, topology: BlockTopology, pose: Pose) -> np.ndarray:
    """A pose as motion unknowns: translation and Cayley vector of each body, angle of each turning part."""
    out = np.zeros(topology.n_motion)
    for i, body in enumerate(topology.block.bodies):
        turn, at = pose.turn[body], linkage.point(f"{body}.at")
        skew = turn - turn.T
        out[6 * i : 6 * i + 3] = pose.at(body, at) - at
        # R - R^T = 2 sin(angle) [axis]x and trace = 1 + 2 cos(angle); Cayley vector 2 tan(angle / 2) axis
        out[6 * i + 3 : 6 * i + 6] = 2.0 * np.array([skew[2, 1], skew[0, 2], skew[1, 0]]) / (1.0 + np.trace(turn))
    for k, part in enumerate(topology.block.parts):
        axis = linkage.point(f"{part.name}.axis_b") - linkage.point(f"{part.name}.axis_a")
        axis /= np.linalg.norm(axis)
        parent = np.eye(3) if part.parent not in pose.turn else pose.turn[part.parent]
        own = parent.T @ pose.turn[part.name]
        sine = 0.5 * axis @ np.array([own[2, 1] - own[1, 2], own[0, 2] - own[2, 0], own[1, 0] - own[0, 1]])
        out[6 * topology.n_bodies + k] = np.arctan2(sine, 0.5 * (np.trace(own) - 1.0))
    return out


def _wrapped(angle: float) -> float:
    return float((angle + np.pi) % (2 * np.pi) - np.pi)
