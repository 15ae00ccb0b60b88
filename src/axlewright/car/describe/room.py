"""What the car's parts have room for, part by part: the limits that a car file states, beside the mechanism.

`room_of(car)` has one entry a joint end, damper, point and tube, on both sides of the car. It changes nothing in how
the car moves, so it is no part of the mechanism and its values: cars that differ only here share all compiled work.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import inf
from typing import Literal

import numpy as np

from axlewright.car.mechanism import CHASSIS, Block, Link, Mechanism, Values
from axlewright.car.schema import Car
from axlewright.car.schema.base import Table
from axlewright.car.schema.point import Point
from axlewright.car.schema.room import Bolt, JointEnd, LowPoint, Tube
from axlewright.car.schema.sides import SIDES

SAME = 1e-9  # m; two link ends written as one point

Side = Literal["a", "b"]
ENDS: dict[str, tuple[Side, ...]] = {"chassis": ("a",), "moving": ("b",), "both": ("a", "b")}
AXES = {"x": (1.0, 0.0, 0.0), "y": (0.0, 1.0, 0.0), "z": (0.0, 0.0, 1.0)}

Vector = tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tilt:
    """Largest angle (rad) of one joint: of a link's end, a ball joint (`end` none) or a bar's drop link."""

    copy: str  # block copy, such as "rear"; for a drop link the side of its bar
    part: str  # link, ball joint or bar
    end: Side | None
    largest: float
    bolt: Vector | None  # unit, chassis axes, drawn; None as standard


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """Lengths (m) between which the damper on a link can move."""

    copy: str
    link: str
    shortest: float = 0.0
    longest: float = inf


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A point that should stay clear of the ground."""

    name: str
    copy: str  # "" for the chassis
    frame: str
    at: Vector
    least: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Rod:
    """A radius (m) around a line, drawn; `link` names the link whose line it is, in place of `start` and `end`."""

    name: str
    copy: str  # "" for the chassis
    frame: str
    start: Vector
    end: Vector
    radius: float
    link: str | None = None
    against: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """All of it."""

    tilts: tuple[Tilt, ...] = ()
    strokes: tuple[Stroke, ...] = ()
    spots: tuple[Spot, ...] = ()
    rods: tuple[Rod, ...] = ()
    gap: float = 0.0  # to keep between rods
    shaft_angle: float | None = None  # largest of the propeller shaft's joints, rad


def room_of(car: Car, mechanism: Mechanism, values: Values) -> Room:
    """What a car that has been checked states, side by side; mechanism and values as `describe` gives them."""
    clearance, shaft = car.clearance, car.driveline.shaft
    middle = (car.front.wheel_centre.x + car.rear.wheel_centre.x) / 2
    spots = [s for point in clearance.points for s in _spots(point, mechanism, middle)]
    rods = [rod for tube in clearance.tubes for rod in _rods(tube, mechanism, middle)]
    return Room(
        tilts=tuple(_tilts(car, mechanism, values)),
        strokes=tuple(_strokes(car, mechanism)),
        spots=tuple(spots),
        rods=tuple(_paired(rods)),
        gap=0.0 if clearance.gap is None else clearance.gap.value,
        shaft_angle=None if shaft is None or shaft.largest_angle is None else shaft.largest_angle.value,
    )


def joint_names(mechanism: Mechanism, values: Values) -> list[str]:
    """What `link` may name in [[joints.ends]]."""
    links = [name for block in mechanism.blocks for link in block.links for name in _names(link.name)]
    balls = [ball for block in mechanism.blocks for ball in balls_of(block, values)]
    return list(dict.fromkeys([*links, *balls, *(bar.name for bar in mechanism.bars)]))


def frame_names(mechanism: Mechanism) -> list[str]:
    """What `on` may name, as a car file spells it."""
    frames = [f for b in mechanism.blocks for f in (*b.bodies, *(part.name for part in b.parts))]
    return [CHASSIS, *dict.fromkeys(frame.replace("_", "-") for frame in frames)]


def link_names(mechanism: Mechanism) -> list[str]:
    """What `along` may name."""
    return list(dict.fromkeys(n for block in mechanism.blocks for link in block.links for n in _names(link.name)))


def balls_of(block: Block, values: Values) -> dict[str, tuple[str, ...]]:
    """Ball joints of a block: those that are joints, and the shared end of each pair of links that are one wishbone.

    Name -> the two links (none for a joint).
    """
    rigid = [link.name for link in block.links if not link.terms]
    balls: dict[str, tuple[str, ...]] = {joint.name: () for joint in block.joints}
    for front in rigid:
        stem, rear = front.removesuffix("_front"), front.removesuffix("_front") + "_rear"
        if stem != front and rear in rigid:
            ends = [values[f"{block.copies[0]}.{leg}.b"] for leg in (front, rear)]
            if np.allclose(*ends, rtol=0.0, atol=SAME):
                balls[f"{stem}_ball"] = (front, rear)
    return balls


def _names(link: str) -> list[str]:
    """A link's own name, and its pair's."""
    stems = [link.removesuffix(f"_{side}") for side in SIDES if link.endswith(f"_{side}")]
    return [*stems, link]


def _tilts(car: Car, mechanism: Mechanism, values: Values) -> list[Tilt]:
    """Later entries win: the general ones, then what is listed."""
    joints = car.joints
    found: Found = {}
    for block in mechanism.blocks:
        balls = balls_of(block, values)
        legs = {leg for pair in balls.values() for leg in pair}
        if joints.misalignment is not None:
            for link in block.links:
                if link.name not in legs and _locates(link):
                    _put(found, block.copies, link.name, ("a", "b"), joints.misalignment.value, None)
        if joints.ball_joints is not None:
            for ball in balls:
                _put(found, block.copies, ball, (None,), joints.ball_joints.value, None)
    if joints.misalignment is not None:
        for bar in mechanism.bars:
            _put(found, SIDES, bar.name, ("a", "b"), joints.misalignment.value, None)
    for stated in joints.ends:
        _put_stated(found, stated, mechanism, values)
    return list(found.values())


Found = dict[tuple[str, str, str | None], Tilt]


def _put_stated(found: Found, stated: JointEnd, mechanism: Mechanism, values: Values) -> None:
    largest, bolt, ends = stated.misalignment.value, _unit(stated.bolt), ENDS[stated.end]
    for block in mechanism.blocks:
        if stated.link in balls_of(block, values):
            _put(found, block.copies, stated.link, (None,), largest, bolt)
        for link in block.links:
            if stated.link in _names(link.name):
                _put(found, block.copies, link.name, ends, largest, bolt)
    if stated.link in [bar.name for bar in mechanism.bars]:
        _put(found, SIDES, stated.link, ends, largest, bolt)


def _put(
    found: Found,
    copies: tuple[str, ...],
    part: str,
    ends: tuple[Side | None, ...],
    largest: float,
    bolt: Vector | None,
) -> None:
    for i, copy in enumerate(copies):
        for end in ends:
            # a bolt is given for the left; on the right it is its mirror image
            right = i == 1 or part.endswith("_right")
            own = bolt if bolt is None or not right else (bolt[0], -bolt[1], bolt[2])
            found[copy, part, end] = Tilt(copy=copy, part=part, end=end, largest=largest, bolt=own)


def _locates(link: Link) -> bool:
    """Whether a link locates something, which springs and dampers do not."""
    return not any(term.kind in ("coil_spring", "stop", "gas") for term in link.terms)


def _unit(bolt: Bolt | None) -> Vector | None:
    if bolt is None:
        return None
    along = np.array(AXES[bolt] if isinstance(bolt, str) else bolt)
    x, y, z = (float(c) for c in along / np.linalg.norm(along))
    return x, y, z


def _strokes(car: Car, mechanism: Mechanism) -> list[Stroke]:
    """Dampers between the lengths that are given, on the link that carries their stops and gas."""
    found = []
    for block in mechanism.blocks:
        for i, copy in enumerate(block.copies):
            for link in block.links:
                if not any(term.kind in ("gas", "brake_link") for term in link.terms):
                    continue
                right = link.name.endswith("_right") or (len(block.copies) > 1 and i == 1)
                end = car.rear if block.rear else car.front
                side = end.side("right" if right else "left")
                brake = any(term.kind == "brake_link" for term in link.terms)
                damper = getattr(end, "brake_link", None) if brake else getattr(side, "damper", None)
                lengths = _lengths(damper)
                if lengths:
                    found.append(Stroke(copy=copy, link=link.name, **lengths))
    return found


def _lengths(damper: Table | None) -> dict[str, float]:
    given = {key: getattr(damper, key, None) for key in ("shortest", "longest")}
    return {key: length.value for key, length in given.items() if length is not None}


def carried(mechanism: Mechanism, on: str, at: Point, middle: float) -> tuple[str, str] | None:
    """(block copy, frame) of what carries a point, "" for the chassis; None when the car has no such part.

    Of two alike it is the one on the point's own side, and of a front and a rear one the one at its own end.
    """
    frame = on.replace("-", "_")
    if frame == CHASSIS:
        return "", CHASSIS
    blocks = [b for b in mechanism.blocks if frame in (*b.bodies, *(part.name for part in b.parts))]
    here = [b for b in blocks if b.rear == (at.x < middle)] or blocks
    if not here:
        return None
    copies = here[0].copies
    return copies[0 if len(copies) == 1 or at.y >= 0 else 1], frame


def _spots(point: LowPoint, mechanism: Mechanism, middle: float) -> list[Spot]:
    found = []
    for name, at in _both(point.name, point.at) if point.pair else ((point.name, point.at),):
        place = carried(mechanism, point.on, at, middle)
        if place is not None:
            least = 0.0 if point.least is None else point.least.value
            found.append(Spot(name=name, copy=place[0], frame=place[1], at=_vector(at), least=least))
    return found


def _rods(tube: Tube, mechanism: Mechanism, middle: float) -> list[Rod]:
    more = {"radius": tube.radius.value, "against": tube.against}
    if tube.along is not None:
        here = [(b, link) for b in mechanism.blocks for link in b.links if tube.along in _names(link.name)]
        every = [(copy, link.name) for b, link in here for copy in b.copies]
        nowhere = (0.0, 0.0, 0.0)
        return [
            Rod(
                name=tube.name if len(every) == 1 else f"{tube.name}_{_side_of(copy, link)}",
                copy=copy, frame="", start=nowhere, end=nowhere, link=link, **more,
            )
            for copy, link in every
        ]  # fmt: skip
    if tube.start is None or tube.end is None or tube.on is None:
        return []
    ends = [(tube.name, tube.start, tube.end)]
    if tube.pair:
        here, there = _both(tube.name, tube.start)
        ends = [(*here, tube.end), (*there, tube.end.mirrored())]
    found = []
    for name, start, end in ends:
        place = carried(mechanism, tube.on, start, middle)
        if place is not None:
            found.append(Rod(name=name, copy=place[0], frame=place[1], start=_vector(start), end=_vector(end), **more))
    return found


def _side_of(copy: str, link: str) -> str:
    return "right" if "right" in (copy.rsplit(".", 1)[-1], link.rsplit("_", 1)[-1]) else "left"


def _both(name: str, at: Point) -> tuple[tuple[str, Point], tuple[str, Point]]:
    here, there = ("left", "right") if at.y >= 0 else ("right", "left")
    return (f"{name}_{here}", at), (f"{name}_{there}", at.mirrored())


def _paired(rods: list[Rod]) -> list[Rod]:
    """`against` with the name of a pair taken apart into both."""
    names = sorted(rod.name for rod in rods)

    def apart(asked: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(name for name in names if any(one in _names(name) for one in asked))

    return [rod if rod.against is None else replace(rod, against=apart(rod.against)) for rod in rods]


def _vector(at: Point) -> Vector:
    return at.x, at.y, at.z
