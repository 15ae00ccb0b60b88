"""What the drawn geometry alone says: roll centres, axle steer, anti-squat, motion ratios, rates. Numpy only.

These are geometric numbers of the rest pose, for the sanity ranges of `check`: chassis held still, one small motion at
a time, compliant links sharing it by least strain energy. The solved states have readings of their own.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from axlewright.car.checks.linkage import Linkage, Pose, wheel_heights
from axlewright.car.mechanism import Bar, Block, Link, Mechanism, Values, Wheel
from axlewright.parts.damper import DamperTable, force

SLOW = 0.05  # m/s of the damper, where practice states damping ratios
STEEL = 1e9  # N/m; a torque link taken as rigid: far above any link, so its own give does not count


class End(NamedTuple):
    """Geometric readings of one end, SI. Signs as in the design's table."""

    roll_centre: float  # m above ground
    wheel_rate: float  # N/m of one wheel, both moving alike, without tyre
    motion_ratio: float  # spring travel over wheel travel
    spring_roll_stiffness: float  # N m/rad of suspension roll
    bar_roll_stiffness: float  # N m/rad
    link_roll_stiffness: float  # N m/rad that compliant links add by being strained
    bar_rate: float  # N/m at one drop link, the other held; 0 without a bar
    roll_steer: float  # rad/rad of suspension roll, positive understeer
    wheel_damping: float  # N s/m of one wheel, both moving alike, at `SLOW`, mean of compression and rebound


class Side(NamedTuple):
    """Motion of a wheel's contact point in side view for a rising wheel (or axle)."""

    slope: float  # rearward movement over rise of the torque's reaction point
    swing_arm: float  # m; forward distance to the instant centre, infinite for parallel links


def located(mechanism: Mechanism, values: Values, name: str, copy: int = 0) -> Linkage:
    """One copy of the block called `name`, with its rigid links as constraints."""
    block = next(block for block in mechanism.blocks if block.name == name)
    return Linkage(block, block.copies[copy], values, tuple(link for link in block.links if not link.terms))


def motion(
    linkage: Linkage, pose: Pose, rows: np.ndarray, wanted: np.ndarray, active: str = "drive_link"
) -> np.ndarray:
    """Rates (rates,) with `rows @ rates = wanted`, rigid links closed and the rest sharing by least strain energy.

    `active` names the torque link that is taken as rigid; the other one is taken as absent.
    """
    fixed = np.vstack([linkage.jacobian(pose), rows])
    goal = np.concatenate([np.zeros(len(fixed) - len(wanted)), wanted])
    first = np.linalg.lstsq(fixed, goal, rcond=1e-9)[0]
    _, sizes, across = np.linalg.svd(fixed)
    free = across[int((sizes > 1e-9 * sizes[0]).sum()) :].T
    strain = _strain(linkage, pose, active)
    if not free.size or not len(strain):
        return first
    return first - free @ np.linalg.lstsq(strain @ free, strain @ first, rcond=1e-9)[0]


def _strain(linkage: Linkage, pose: Pose, active: str) -> np.ndarray:
    """Rows whose squares add up to twice the strain energy of compliant links and the active torque link."""
    rows = [np.zeros(linkage.count)]
    for link in linkage.block.links:
        path = f"{linkage.copy}.{link.name}.compliant.stiffness"
        stiffness = STEEL if link.name == active else float(np.asarray(linkage.values.get(path, 0.0)))
        if stiffness:
            rows.append(np.sqrt(stiffness) * linkage.length_rate(pose, link))
    return np.array(rows)


def front_end(mechanism: Mechanism, values: Values) -> End:
    """Geometric readings of the front."""
    return _end(mechanism, values, "front")


def rear_end(mechanism: Mechanism, values: Values) -> End:
    """Geometric readings of the rear."""
    return _end(mechanism, values, "rear")


def _end(mechanism: Mechanism, values: Values, name: str) -> End:
    block = next(block for block in mechanism.blocks if block.name == name)
    return _corners(mechanism, values, name) if len(block.copies) == 2 else _axle(mechanism, values, name)


def _corners(mechanism: Mechanism, values: Values, name: str) -> End:
    """Two independent corners."""
    sides = [located(mechanism, values, name, i) for i in (0, 1)]
    lines, rates, ratios, damping = [], [], [], []
    for i, corner in enumerate(sides):
        pose = corner.drawn()
        wheel = corner.block.wheels[0]
        rise = motion(corner, pose, wheel_heights(corner, pose)[1], np.ones(1))
        contact = _contact(values, wheel.names[i])
        velocity = corner.velocity(pose, wheel.frame, contact) @ rise
        lines.append((contact[1], -velocity[1] / velocity[2]))
        rates.append(_spring_energy(corner, pose, rise))
        damping.append(_dissipation(corner, pose, rise))
        ratios.append(-_spring(corner, pose, rise))
    (yl, sl), (yr, sr) = lines
    y = (sl * yl - sr * yr) / (sl - sr) if sl != sr else 0.0  # where the two lines cross; midway for parallel ones
    left, right = (np.asarray(values[f"{wheel}.centre"]) for wheel in sides[0].block.wheels[0].names)
    track = left[1] - right[1]
    bar, at_link = _bar(mechanism, values, f"{name}_bar", sides, track)
    springs = float(np.mean(rates)) * track**2 / 2
    together = float(np.mean(rates)) + _third_spring(mechanism, values, f"{name}_third_spring", sides)
    return End(
        roll_centre=sl * (y - yl),
        wheel_rate=together,
        motion_ratio=float(np.mean(ratios)),
        spring_roll_stiffness=springs,
        bar_roll_stiffness=bar,
        link_roll_stiffness=0.0,
        bar_rate=at_link,
        roll_steer=0.0,
        wheel_damping=float(np.mean(damping)),
    )


def _axle(mechanism: Mechanism, values: Values, name: str) -> End:
    """An axle that carries both wheels."""
    axle = located(mechanism, values, name)
    pose, centres = axle.drawn(), [np.asarray(values[f"{name}.centre"]) for name in ("LR", "RR")]
    heights, track = wheel_heights(axle, pose)[1], centres[0][1] - centres[1][1]
    heave = motion(axle, pose, heights, np.ones(2))
    roll = motion(axle, pose, heights, np.array([track / 2, -track / 2]))  # axle turns about x against the chassis
    middle, frame = (centres[0] + centres[1]) / 2, axle.block.wheels[0].frame
    spin = axle.spin(frame) @ roll
    sideways = axle.velocity(pose, frame, middle)[1] @ roll
    bar, at_link = _bar(mechanism, values, f"{name}_bar", [axle], track)
    names = [link for link in axle.block.links if link.name.startswith("spring")]
    ratio = -float(np.mean([axle.length_rate(pose, link) @ heave for link in names]))
    return End(
        roll_centre=float(middle[2] + sideways / spin[0]),
        wheel_rate=_spring_energy(axle, pose, heave) / 2,
        motion_ratio=ratio,
        spring_roll_stiffness=_spring_energy(axle, pose, roll),
        bar_roll_stiffness=bar,
        link_roll_stiffness=float(np.sum((_strain(axle, pose, "") @ roll) ** 2)),
        bar_rate=at_link,
        roll_steer=float(-spin[2] / spin[0]),
        wheel_damping=_dissipation(axle, pose, heave) / 2,
    )


def side_view(mechanism: Mechanism, values: Values, name: str, active: str = "brake_link") -> Side:
    """Side-view motion of the point where the torque reacts on what moves: see `_reaction`."""
    linkage = located(mechanism, values, name)
    pose, wheel = linkage.drawn(), linkage.block.wheels[0]
    heights = wheel_heights(linkage, pose)[1]
    rise = motion(linkage, pose, heights, np.ones(len(heights)), active)
    frame, point = _reaction(values, wheel, active)
    velocity = linkage.velocity(pose, frame, point) @ rise
    spin = (linkage.spin(frame) @ rise)[1]
    arm = np.inf if abs(spin) < 1e-9 else float(velocity[2] / spin)
    return Side(float(-velocity[0] / velocity[2]), arm)


def _reaction(values: Values, wheel: Wheel, active: str) -> tuple[str, np.ndarray]:
    """Frame and point on which a ground force and the torque that makes it act as one force.

    The contact point where the torque reacts on the body that carries the wheel, carried by the caliper bracket if that
    one floats; the wheel centre where it reacts on the chassis.
    """
    on_body = wheel.drive_on_body if active == "drive_link" else wheel.brake_on_body
    if not on_body:
        return wheel.frame, np.asarray(values[f"{wheel.names[0]}.centre"], dtype=float)
    frame = wheel.brake_frame if active != "drive_link" and wheel.brake_frame else wheel.frame
    return frame, _contact(values, wheel.names[0])


def wheel_turns(mechanism: Mechanism, values: Values, name: str = "front") -> tuple[float, float]:
    """(camber gain, bump steer) of the left wheel of an independent end, rad per m of rise: top outward, toe-in."""
    corner = located(mechanism, values, name)
    pose, wheel = corner.drawn(), corner.block.wheels[0]
    spin = corner.spin(wheel.frame) @ motion(corner, pose, wheel_heights(corner, pose)[1], np.ones(1))
    # A wheel that leans is steered by a spin about y too: what counts is where its own axis goes.
    camber, toe = (float(np.asarray(values[f"{wheel.names[0]}.{key}"])) for key in ("camber", "toe"))
    axis = np.array([np.sin(toe) * np.cos(camber), np.cos(toe) * np.cos(camber), -np.sin(camber)])
    goes = np.cross(spin, axis)
    steer = (axis[0] * goes[1] - goes[0] * axis[1]) / (axis[0] ** 2 + axis[1] ** 2)
    return float(-goes[2] / np.cos(camber)), float(-steer)


def _contact(values: Values, wheel: str) -> np.ndarray:
    """Where the wheel's plane meets the ground straight below its centre."""
    x, y, z = np.asarray(values[f"{wheel}.centre"], dtype=float)
    return np.array([x, y - np.sign(y) * z * np.tan(float(np.asarray(values[f"{wheel}.camber"]))), 0.0])


def _spring(linkage: Linkage, pose: Pose, rates: np.ndarray) -> float:
    return float(linkage.length_rate(pose, _named(linkage.block, "spring")) @ rates)


def _named(block: Block, name: str) -> Link:
    return next(link for link in block.links if link.name == name)


def _dissipation(linkage: Linkage, pose: Pose, rates: np.ndarray) -> float:
    """Sum of the wheel dampers' force over speed, times squared damper speed: what a unit of the motion feels."""
    total = 0.0
    for link in linkage.block.links:
        if link.damped and link.name.startswith(("spring", "damper")):
            mean = damping_force(linkage.values, f"{linkage.copy}.{link.name}.damping", SLOW)
            total += mean / SLOW * float(linkage.length_rate(pose, link) @ rates) ** 2
    return total


def damping_force(values: Values, path: str, speed: float) -> float:
    """Mean of compression and rebound force, N, of a damper at its present clicks."""
    speeds, clicks, *forces = (np.asarray(values[f"{path}.{k}"]) for k in ("speed", "clicks", "compression", "rebound"))
    table = DamperTable(speeds, clicks, *(row.reshape(len(clicks), len(speeds)) for row in forces))
    closing, opening = (float(np.asarray(values[f"{path}.{way}_clicks"])) for way in ("compression", "rebound"))
    return float(force(table, speed, closing, opening) - force(table, -speed, closing, opening)) / 2


def _spring_energy(linkage: Linkage, pose: Pose, rates: np.ndarray) -> float:
    """Sum of spring rate times squared spring speed: the stiffness that a unit of the motion feels."""
    total = 0.0
    for link in linkage.block.links:
        path = f"{linkage.copy}.{link.name}.spring"
        if f"{path}.rate" in linkage.values:
            main, tender = (float(np.asarray(linkage.values[f"{path}.{key}"])) for key in ("rate", "tender_rate"))
            rate = main * tender / (main + tender) if tender else main
            rate = main if _closed(linkage.values, path) else rate
            total += rate * float(linkage.length_rate(pose, link) @ rates) ** 2
    return total


def _closed(values: Values, path: str) -> bool:
    """A tender on a standing car is taken as closed: it is fitted to hold the main spring in droop only."""
    return float(np.asarray(values[f"{path}.tender_travel"])) > 0


def _bar(mechanism: Mechanism, values: Values, name: str, ends: list[Linkage], track: float) -> tuple[float, float]:
    """(roll stiffness, rate at one drop link with the other held) of a bar; zeros without one."""
    bar = next((bar for bar in mechanism.bars if bar.name == name), None)
    if bar is None:
        return 0.0, 0.0
    stiffness, arms = _arms(values, name)
    left, right = _arm_turns(values, bar, ends, (track / 2, -track / 2))
    return stiffness * (left - right) ** 2, stiffness / arms[0] ** 2


def _third_spring(mechanism: Mechanism, values: Values, name: str, ends: list[Linkage]) -> float:
    """Rate (N/m) that a third spring adds at each wheel while both rise alike; 0 without one."""
    bar = next((bar for bar in mechanism.bars if bar.name == name), None)
    if bar is None:
        return 0.0
    return _arms(values, name)[0] * sum(_arm_turns(values, bar, ends, (1.0, 1.0))) ** 2 / 2


def _arms(values: Values, name: str) -> tuple[float, list[float]]:
    """Stiffness between the arms (N m/rad), with their bending, and their lengths."""
    twist, bend = float(np.asarray(values[f"{name}.torsion"])), float(np.asarray(values[f"{name}.arm_bending"]))
    arms = [float(np.asarray(values[f"{name}.{side}.arm"])) for side in ("left", "right")]
    # tip deflection F a^3 / 3 E I, over a, over F a
    return 1 / (1 / twist + sum(arm / (3 * bend) for arm in arms)), arms


def _arm_turns(values: Values, bar: Bar, ends: list[Linkage], rises: tuple[float, float]) -> list[float]:
    """How far each arm turns, rad, when the wheels rise by so much, m."""
    turns = []
    for i, (side, end) in enumerate(zip(("left", "right"), (bar.left, bar.right), strict=True)):
        linkage = ends[min(i, len(ends) - 1)]
        pose = linkage.drawn()
        heights = wheel_heights(linkage, pose)[1]
        wanted = np.array(rises) if len(heights) == 2 else np.array([rises[i]])
        rates = motion(linkage, pose, heights, wanted)
        pivot, direction, axis, foot = (
            np.asarray(values[f"{bar.name}.{side}.{key}"]) for key in ("pivot", "direction", "axis", "drop_point")
        )
        arm = float(np.asarray(values[f"{bar.name}.{side}.arm"])) * direction
        along = (pivot + arm - foot) / np.linalg.norm(pivot + arm - foot)
        foot_speed = along @ (linkage.velocity(pose, end.frame, foot) @ rates)
        turns.append(float(foot_speed / (along @ np.cross(axis, arm))))
    return turns
