"""The car cycled through its travel with its springs out: each corner up and down, steered lock to lock, wound up.

Wheels go as far as the stops let them; where a car file states no stop, 60 mm either way. Every wheel of an axle takes
every place against the other, so bump, droop, roll both ways and one wheel alone are all in it, with the steering at
both locks in front and the housing wound up and back at the rear; then the four corners of the car in every
combination. The adjusters' effect on ride height is not in it: the chassis stays at its drawn place.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from axlewright.car.adjusters.setup import Setup
from axlewright.car.schema import Car
from axlewright.model.travel import AXLE, Linkage
from axlewright.readings.clearances.travel import stop_margins
from axlewright.solve.machine import Machine
from axlewright.solve.phases import WHEELS
from axlewright.solve.poses import Poses, grid
from axlewright.solve.travel import travel
from axlewright.solve.verbs import machine_of

TRAVEL = 0.060  # m either way where no stop says it: common practice, no source
# Either way at full torque: 2 to 4 deg on a sprung torque link, 0.2 to 0.6 deg on links that only give at their ends;
# common practice, no source.
WIND_UP = {"sprung": np.radians(3.0), "stiff": np.radians(0.6)}
FURTHEST = 0.150  # m; a stop that is not touched by then is taken as not there
LEVELS = 31  # poses in which the stops are looked for, 10 mm apart; between them their clearance is nearly straight


@dataclass(frozen=True)
class Cycle:
    """The poses of one car, and how far its wheels go in them."""

    poses: Poses
    bump: np.ndarray  # (4,) m up from the drawn place, LF RF LR RR
    droop: np.ndarray  # (4,) m down, negative
    lock: float  # m of rack either way; 0 when none is stated
    wind_up: float  # rad either way; 0 when the links hold the housing


def cycle(car: Car, setup: Setup | None = None) -> Cycle:
    """The poses that a car is cycled through."""
    machine = machine_of(car)
    droop, bump = _between_stops(car, setup)
    lock = float(np.squeeze(machine.values.get("rack.lock", np.inf)))
    lock = lock if np.isfinite(lock) else 0.0
    wind_up = _wind_up(machine)
    front = _pairs(droop[:2], bump[:2], either(lock))
    rear = _pairs(droop[2:], bump[2:], either(wind_up))
    corners = np.array(np.meshgrid(*zip(droop, bump, strict=True), indexing="ij")).reshape(4, -1)
    sizes = front.shape[1], rear.shape[1], corners.shape[1]
    wheels, steer, wound = np.zeros((4, sum(sizes))), np.zeros(sum(sizes)), np.zeros(sum(sizes))
    wheels[:2, : sizes[0]], steer[: sizes[0]] = front[:2], front[2]
    middle = slice(sizes[0], sizes[0] + sizes[1])
    wheels[2:, middle], wound[middle] = rear[:2], rear[2]
    wheels[:, sizes[0] + sizes[1] :] = corners
    return Cycle(poses_of(wheels, steer, wound), bump, droop, lock, wind_up)


def poses_of(wheels: np.ndarray, steer: np.ndarray, wind_up: np.ndarray) -> Poses:
    """Poses from wheel places (4, B), rack travel (B,) and wind-up (B,)."""
    return Poses(np.zeros_like(steer), np.zeros_like(steer), steer, wind_up, wheels)


def either(most: float) -> tuple[float, ...]:
    """None and most, either way."""
    return (-most, 0.0, most) if most else (0.0,)


def alone(poses: Poses, member: int) -> dict[str, Poses]:
    """Each move of a pose by itself: bump or droop, roll, steer, wind-up; only those that it has."""
    wheels = poses.wheels[:, member]
    even = np.repeat((wheels[::2] + wheels[1::2]) / 2, 2)
    mean = even.sum()
    none, zero = np.zeros(4), 0.0
    moves = {
        "bump" if mean > 0 else "droop": (even, zero, zero),
        "roll": (wheels - even, zero, zero),
        "steer": (none, float(poses.steer[member]), zero),
        "wind-up": (none, zero, float(poses.wind_up[member])),
    }
    return {
        name: poses_of(w[:, None], np.array([s]), np.array([u]))
        for name, (w, s, u) in moves.items()
        if w.any() or s or u
    }


def _pairs(droop: np.ndarray, bump: np.ndarray, third: tuple[float, ...]) -> np.ndarray:
    """(3, n): every place of the left wheel with every place of the right and every value of a third move."""
    left, right = (np.array([low, low / 2, 0.0, high / 2, high]) for low, high in zip(droop, bump, strict=True))
    return np.array(np.meshgrid(left, right, np.array(third), indexing="ij")).reshape(3, -1)


def _between_stops(car: Car, setup: Setup | None) -> tuple[np.ndarray, np.ndarray]:
    """How far each wheel goes down and up before one of its stops is touched or its linkage ends, (4,) m each."""
    heights = np.linspace(-FURTHEST, FURTHEST, LEVELS)
    found = travel(car, grid(bump=heights), setup)
    reached = heights[_run(found.reached, LEVELS // 2)]
    droop, bump = np.full(4, max(-TRAVEL, reached[0])), np.full(4, min(TRAVEL, reached[-1]))
    for stop in stop_margins(found.solved):
        wheel = WHEELS.index(("R" if "right" in stop.id else "L") + ("R" if ".rear." in stop.id else "F"))
        way, ends = (1.0, bump) if stop.id.endswith("bump_stop") else (-1.0, droop)
        out = np.flatnonzero((way * heights >= 0.0) & (heights >= reached[0]) & (heights <= reached[-1]))
        out = out[np.argsort(way * heights[out])]
        ends[wheel] = way * _first_zero(way * heights[out], stop.value[out])
    return droop, bump


def _run(good: np.ndarray, middle: int) -> np.ndarray:
    """Indices of the unbroken run of true that holds the middle."""
    low = high = middle
    while low > 0 and good[low - 1]:
        low -= 1
    while high < good.size - 1 and good[high + 1]:
        high += 1
    return np.arange(low, high + 1)


def _first_zero(distance: np.ndarray, left: np.ndarray) -> float:
    """Where what is left first runs out along a rising distance; the last distance when it never does."""
    out = np.flatnonzero(left <= 0.0)
    if not out.size:
        return float(distance[-1])
    i = int(out[0])
    if i == 0:
        return 0.0
    share = left[i - 1] / (left[i - 1] - left[i])
    return float(distance[i - 1] + share * (distance[i] - distance[i - 1]))


def _wind_up(machine: Machine) -> float:
    """How far a live axle's housing is wound up, rad; 0 where its links hold it."""
    axles = [Linkage(block) for block in machine.topology.blocks if block.n_wheels == AXLE]
    if not axles or not all(linkage.winds_up for linkage in axles):
        return 0.0
    return float(WIND_UP["sprung" if any(linkage.torque for linkage in axles) else "stiff"])


def say(poses: Poses, member: int, track: tuple[float, float], inches: bool = False) -> str:
    """A pose of the cycle in words: `68 mm of bump with 2.0 deg of roll, right side down`.

    `track` m, front and rear.
    """
    wheels, words = poses.wheels[:, member], {}
    for end, first, width in zip(("front", "rear"), (0, 2), track, strict=True):
        words[end] = _say_pair(wheels[first], wheels[first + 1], width, inches)
    both = words["front"] == words["rear"]
    said = [words["front"]] if both else [f"{end} {said}" for end, said in words.items() if said]
    if poses.steer[member]:
        side = "left" if poses.steer[member] > 0 else "right"
        said.append(f"rack {_size(abs(poses.steer[member]), inches)} to the {side}")
    if poses.wind_up[member]:
        nose = "up" if poses.wind_up[member] > 0 else "down"
        said.append(f"{np.degrees(abs(poses.wind_up[member])):.1f} deg of wind-up, nose {nose}")
    return "; ".join(word for word in said if word) or "as drawn"


def _say_pair(left: float, right: float, track: float, inches: bool) -> str:
    if not left and not right:
        return ""
    if not left or not right:
        side, way = ("left", left) if left else ("right", right)
        return f"{side} wheel alone {_size(abs(way), inches)} of {_way(way)}"
    mean, roll = (left + right) / 2, np.degrees(np.arctan((right - left) / track))
    even = f"{_size(abs(mean), inches)} of {_way(mean)}" if abs(mean) >= 0.5e-3 else ""
    if abs(roll) < 0.05:
        return even
    turned = f"{abs(roll):.1f} deg of roll, {'right' if roll > 0 else 'left'} side down"
    return f"{even} with {turned}" if even else turned


def _way(rise: float) -> str:
    return "bump" if rise > 0 else "droop"


def _size(length: float, inches: bool) -> str:
    return f"{length / 0.0254:.2f} in" if inches else f"{length * 1e3:.0f} mm"
