"""Propeller shaft: angles of its joints, the speed that they pass on unevenly, its critical speed and its slip joint.

The pinion's joint moves with the housing of a live axle; elsewhere it stays with the chassis. Angles: the true one
between the two lines that meet in a joint, and its parts in side and plan view (of the chassis), from the line ahead
of the joint to the one behind it, positive when that falls away, or turns to the left, towards the rear. Lines that
are parallel at gearbox and pinion (Z) have side-view angles of one size and opposite sign, lines that mirror each other
(W, broken back) of one size and one sign; either way, with the shaft's forks in phase, the pinion turns evenly.

Speed fluctuation: highest less lowest speed over the mean, of each joint and of the pinion against the gearbox
(Hooke's joint, textbook; `_universal_joint`). Critical speed: first whirl of a uniform tube on pivots at its joints,
(pi / L)^2 sqrt(E I / m') (Euler-Bernoulli, textbook, from memory), at its length in the state; forks, slip joint and
pivots that give make the real one lower.

Pinion inclination to set: what the pinion's inclination at rest (nose up positive) would have to be for the side-view
angles of this very state to be right, Z or W, whichever is nearer. Wind-up and travel of the state are kept, and how
little a turned housing moves the joint itself is left out (nought for Z). Read it in the phase with the hardest drive.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import NamedTuple

import numpy as np

from axlewright.readings._frames import axle_blocks, half_of, halves, standing
from axlewright.readings._kept import kept
from axlewright.readings._universal_joint import acceleration, angle_between, fluctuation, joined
from axlewright.readings._vectors import dot, rotate
from axlewright.readings._velocity import block_motions
from axlewright.readings.base import Reading
from axlewright.solve.machine import Machine
from axlewright.solve.solved import Solved

SMALL_ANGLE = np.radians(0.01)
UNIVERSAL = "Hooke's joint; Khurmi and Gupta, Theory of Machines, ch. 9"
JOINTS = {"front": "gearbox joint", "rear": "pinion joint"}


class Shaft(NamedTuple):
    """Lines of the shaft in axes of the front chassis half, unit vectors towards the rear, (3, B)."""

    gearbox: np.ndarray
    shaft: np.ndarray
    pinion: np.ndarray
    length: np.ndarray  # (B,) m between the joints


def _value(solved: Solved, path: str) -> np.ndarray:
    """A value of the drawn car, (B,) or (3, B)."""
    value = np.asarray(solved.machine.values[path], dtype=float)
    own = value if value.ndim <= int(path.endswith((".at", ".axis"))) else value[..., 0]
    return np.broadcast_to(own[..., None], (*own.shape, solved.batch))


@kept
def shaft(solved: Solved) -> Shaft:
    """The shaft in each state."""
    start, end = _value(solved, "shaft.gearbox.at"), _value(solved, "shaft.pinion.at")
    pinion = _value(solved, "shaft.pinion.axis")
    block = axle_blocks(solved)["rear"]
    topology, front = solved.machine.topology.blocks[block], halves(solved)[0]
    if topology.block.pinion_body is not None:
        placed, body = block_motions(solved)[block].placed, topology.block.bodies.index(topology.block.pinion_body)
        end = placed.point(body + 1, end[:, None])[:, 0]
        pinion = rotate(placed.rotation[:, :, body, 0], pinion)
    rear = half_of(solved, block)
    if rear is not front:
        end = front.on_chassis(rear.on_road(end))
        pinion = front.on_chassis(rear.on_road(pinion)) - front.on_chassis(rear.on_road(0.0 * pinion))
    span = end - start
    length = np.sqrt(dot(span, span))
    return Shaft(_value(solved, "shaft.gearbox.axis"), span / length, pinion, length)


def _falls(line: np.ndarray) -> np.ndarray:
    """Fall of a line towards the rear in side view, rad."""
    return np.arctan2(-line[2], -line[0])


def _leads_left(line: np.ndarray) -> np.ndarray:
    """Turn of a line to the left towards the rear in plan view, rad."""
    return np.arctan2(line[1], -line[0])


def _lines(solved: Solved, joint: str) -> tuple[np.ndarray, np.ndarray]:
    """The lines ahead of and behind a joint."""
    at = shaft(solved)
    return (at.gearbox, at.shaft) if joint == "front" else (at.shaft, at.pinion)


def joint_angle(solved: Solved, joint: str) -> np.ndarray:
    """True working angle of a joint, rad, never negative."""
    return angle_between(*_lines(solved, joint))


def side_angle(solved: Solved, joint: str) -> np.ndarray:
    """Working angle in side view, rad, positive where the line behind the joint falls away towards the rear."""
    ahead, behind = _lines(solved, joint)
    return _falls(behind) - _falls(ahead)


def plan_angle(solved: Solved, joint: str) -> np.ndarray:
    """Working angle in plan view, rad, positive where the line behind the joint turns to the left towards the rear."""
    ahead, behind = _lines(solved, joint)
    return _leads_left(behind) - _leads_left(ahead)


def angle_difference(solved: Solved) -> np.ndarray:
    """True angle at the gearbox less that at the pinion, rad."""
    return joint_angle(solved, "front") - joint_angle(solved, "rear")


def joint_fluctuation(solved: Solved, joint: str) -> np.ndarray:
    """Speed fluctuation that a joint gives."""
    return fluctuation(joint_angle(solved, joint))


@kept
def _joined(solved: Solved) -> np.ndarray:
    """Angle of the one joint that would turn the pinion as both do, rad."""
    at = shaft(solved)
    return joined(at.gearbox, at.shaft, at.pinion)


def pinion_fluctuation(solved: Solved) -> np.ndarray:
    """Speed fluctuation of the pinion when the gearbox turns evenly, the shaft's forks in phase."""
    return fluctuation(_joined(solved))


def pinion_acceleration(solved: Solved) -> np.ndarray:
    """Highest angular acceleration of the pinion in a turn of the gearbox, which turns evenly, rad/s2."""
    return acceleration(_joined(solved), 2.0 * np.pi * shaft_speed(solved))


def critical_speed(solved: Solved) -> np.ndarray:
    """First critical speed of the tube, turn/s."""
    outer, modulus, density = (_value(solved, f"shaft.{name}") for name in ("diameter", "modulus", "density"))
    inner = outer - 2.0 * _value(solved, "shaft.wall")
    gyration = np.sqrt(outer**2 + inner**2) / 4.0  # sqrt(I / A)
    return 0.5 * np.pi / shaft(solved).length ** 2 * np.sqrt(modulus / density) * gyration


def shaft_speed(solved: Solved) -> np.ndarray:
    """Speed of the shaft as the driven wheels turn it, turn/s; nought as the car stands."""
    asked, driven = solved.asked, np.abs(solved.wheel_parameter("driven"))
    spin = solved.wheel("turning") * np.asarray(asked.speed)
    mean = (spin * driven).sum(axis=0) / driven.sum(axis=0)
    return mean * np.asarray(solved.parameters.final_drive) * np.asarray(asked.rolling) / (2.0 * np.pi)


def critical_share(solved: Solved) -> np.ndarray:
    """Speed of the shaft over its critical speed."""
    return shaft_speed(solved) / critical_speed(solved)


def plunge(solved: Solved) -> np.ndarray:
    """How far the slip joint has gone in from the drawn pose, m."""
    drawn = _value(solved, "shaft.pinion.at") - _value(solved, "shaft.gearbox.at")
    return np.sqrt(dot(drawn, drawn)) - shaft(solved).length


def slip_left(solved: Solved, sense: float) -> np.ndarray:
    """Travel left in the slip joint, m: in for `sense` +1, out for -1."""
    return _value(solved, "shaft.slip_in" if sense > 0.0 else "shaft.slip_out") - sense * plunge(solved)


def pinion_inclination(solved: Solved) -> np.ndarray:
    """Inclination of the pinion in side view against the chassis, rad, nose up positive."""
    return _falls(shaft(solved).pinion)


def inclination_to_set(solved: Solved) -> np.ndarray:
    """Inclination of the pinion at rest that would make this state's side-view joint angles right, rad, nose up."""
    at, rest = shaft(solved), standing(solved)
    to_parallel = _falls(at.gearbox) - _falls(at.pinion)
    to_mirrored = 2.0 * _falls(at.shaft) - _falls(at.gearbox) - _falls(at.pinion)
    nearer = np.abs(to_parallel) <= np.abs(to_mirrored)
    return pinion_inclination(rest) + np.where(nearer, to_parallel, to_mirrored)


Read = Callable[[Solved], np.ndarray]


def _angle(ident: str, name: str, more: str, less: str, read: Read, *, detail: bool = True) -> Reading:
    return Reading(
        id=ident, name=name, unit="rad", shown="deg", more=more, less=less, source="textbook: between two lines",
        read=read, smallest=SMALL_ANGLE, at_rest=True, travel=True, detail=detail,
    )  # fmt: skip


def _share(ident: str, name: str, words: tuple[str, str], read: Read, *, detail: bool = True) -> Reading:
    return Reading(
        id=ident, name=name, unit="", shown="%", more=words[0], less=words[1], source=UNIVERSAL, read=read,
        smallest=1e-5, at_rest=True, travel=True, detail=detail,
    )  # fmt: skip


def _length(ident: str, name: str, more: str, less: str, read: Read) -> Reading:
    return Reading(
        id=ident, name=name, unit="m", shown="mm", more=more, less=less,
        source="own definition: distance of the joints against the drawn pose", read=read, smallest=1e-4, at_rest=True,
        travel=True, detail=True,
    )  # fmt: skip


def _of_joint(joint: str, name: str) -> list[Reading]:
    uneven = "turns less evenly", "turns more evenly"
    return [
        _angle(f"shaft_angle_{joint}", f"working angle, {name}", f"{name} works harder", f"{name} works straighter",
               partial(joint_angle, joint=joint), detail=False),
        _angle(f"shaft_angle_{joint}_side", f"working angle in side view, {name}",
               f"line behind the {name} falls more towards the rear", f"line behind the {name} falls less",
               partial(side_angle, joint=joint)),
        _angle(f"shaft_angle_{joint}_plan", f"working angle in plan view, {name}",
               f"line behind the {name} turns more to the left", f"line behind the {name} turns more to the right",
               partial(plan_angle, joint=joint)),
        _share(f"shaft_fluctuation_{joint}", f"speed fluctuation, {name}", uneven,
               partial(joint_fluctuation, joint=joint)),
    ]  # fmt: skip


SHAFT = [
    *(reading for joint, name in JOINTS.items() for reading in _of_joint(joint, name)),
    _angle("shaft_angle_difference", "working angle at the gearbox less that at the pinion",
           "gearbox joint works harder than the pinion's", "pinion joint works harder than the gearbox's",
           angle_difference),
    _share("shaft_fluctuation", "speed fluctuation of the pinion, forks in phase",
           ("pinion turns less evenly", "pinion turns more evenly"), pinion_fluctuation, detail=False),
    _angle("pinion_inclination", "pinion inclination in the chassis", "pinion nose higher", "pinion nose lower",
           pinion_inclination),
    Reading(
        id="pinion_inclination_to_set", name="pinion inclination to set at rest for even joints here", unit="rad",
        shown="deg", more="set the pinion nose higher", less="set the pinion nose lower",
        source="own definition: joint angles of one size in this state", read=inclination_to_set, smallest=SMALL_ANGLE,
    ),
    Reading(
        id="shaft_acceleration", name="highest angular acceleration of the pinion by the joints", unit="rad/s**2",
        shown="rad/s^2", more="joints shake the driveline more", less="joints shake the driveline less",
        source=UNIVERSAL, read=pinion_acceleration, smallest=1.0, detail=True,
    ),
    Reading(
        id="shaft_critical_speed", name="critical speed of the propeller shaft", unit="turn/s", shown="rpm",
        more="shaft whirls at a higher speed", less="shaft whirls at a lower speed",
        source="first bending mode of a pinned tube; Euler-Bernoulli, textbook, from memory", read=critical_speed,
        smallest=1.0 / 60.0, at_rest=True, travel=True, detail=True,
    ),
    Reading(
        id="shaft_critical_share", name="propeller shaft speed over its critical speed", unit="", shown="%",
        more="nearer to whirling", less="further from whirling", source="as the critical speed", read=critical_share,
        smallest=0.001,
    ),
    _length("shaft_plunge", "slip joint in from the drawn pose", "slip joint goes further in",
            "slip joint comes further out", plunge),
]  # fmt: skip

SLIPS = {  # value: reading
    "shaft.slip_in": _length("shaft_slip_in_left", "travel left in the slip joint, inwards", "further from bottoming",
                             "nearer to bottoming", partial(slip_left, sense=1.0)),
    "shaft.slip_out": _length("shaft_slip_out_left", "travel left in the slip joint, outwards",
                              "further from coming apart", "nearer to coming apart", partial(slip_left, sense=-1.0)),
}  # fmt: skip


def shafts_of(machine: Machine) -> list[Reading]:
    """Readings of a car's propeller shaft, when the car file has one."""
    if "shaft.diameter" not in machine.values:
        return []
    stated = [path for path in SLIPS if np.isfinite(np.asarray(machine.values[path], dtype=float)).all()]
    return [*SHAFT, *(SLIPS[path] for path in stated)]
