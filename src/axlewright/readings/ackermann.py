"""How the two front wheels share the steer, and the circle that they turn.

Ideal is steer at which both front wheels roll about one point on the line of the rear axle: cot(outer) - cot(inner) =
track / wheelbase (Gillespie, Fundamentals of Vehicle Dynamics, ch. 6, from memory), with the track between the contact
centres. For a mean steer m of both the inner wheel's ideal excess over the outer one is, from that equation,

    a - asin(sin a cos 2m),   tan a = track / (2 wheelbase).

Ackermann in percent: the excess that the linkage gives, counted from the drawn toe, over the ideal one; 100 % is ideal,
0 % parallel steer, negative anti-Ackermann. Straight ahead both vanish and it has no value.

Turning circle: diameter that the outer front wheel's contact centre runs on at walking pace, 2 wheelbase / sin(outer).
"""

from __future__ import annotations

import numpy as np

from axlewright.readings._frames import by_end, wheel_axes
from axlewright.readings._kept import kept
from axlewright.readings._steer import wheel_steer
from axlewright.readings.base import Reading
from axlewright.readings.understeer import wheelbase
from axlewright.solve.machine import Machine
from axlewright.solve.solved import Solved

STRAIGHT = np.radians(
    3.0
)  # mean steer below which the ideal excess, by then 0.09 deg, is lost among bump and roll steer
LARGEST = 1e4  # m; a wheel that points straight ahead turns no circle


def _steer_of(axis: np.ndarray) -> np.ndarray:
    """Steer of the left and right front wheel by their spin axes (3, wheels, B), rad, (2, B)."""
    return np.arctan2(-axis[0, :2], axis[1, :2])


@kept
def _excess(solved: Solved) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Mean steer, inner wheel's excess over the outer one (toe-out), the drawn toe-out, ideal excess, rad, (B,)."""
    steer, drawn = _steer_of(wheel_axes(solved)), _steer_of(solved.wheel_parameter("axis"))
    mean = steer.mean(axis=0)
    left, right = by_end(solved.wheel("point")[1])["front"]
    a = np.arctan((left - right) / (2.0 * wheelbase(solved)))
    ideal = a - np.arcsin(np.sin(a) * np.cos(2.0 * mean))
    return mean, steer[0] - steer[1], drawn[0] - drawn[1], ideal


def excess_over_ideal(solved: Solved) -> np.ndarray:
    """Excess of the inner front wheel's steer over the outer one's, toe and all, less the ideal one, rad."""
    _, excess, _, ideal = _excess(solved)
    return excess - ideal


def ackermann(solved: Solved) -> np.ndarray:
    """Share of the ideal excess that the linkage gives; NaN within 3 degrees of straight ahead."""
    mean, excess, toe, ideal = _excess(solved)
    turned = np.abs(mean) > STRAIGHT
    return np.where(turned, (excess - toe) / np.where(turned, ideal, 1.0), np.nan)


def _circle(solved: Solved, steer: np.ndarray) -> np.ndarray:
    """Turning circle of front wheels at (2, B) steer, the outer one the less steered, m."""
    span, outer = 2.0 * wheelbase(solved), np.sin(np.abs(steer).min(axis=0))
    return span / np.maximum(outer, span / LARGEST)


def turning_circle(solved: Solved) -> np.ndarray:
    """Turning circle at the present steer, m, 10 km at most."""
    return _circle(solved, _steer_of(wheel_axes(solved)))


def turning_circle_at_lock(solved: Solved) -> np.ndarray:
    """Turning circle of the drawn car with its rack at full travel, m: the larger of left and right."""
    lock = np.atleast_1d(np.asarray(solved.machine.values["rack.lock"], dtype=float))[0]
    return np.maximum(*(_circle(solved, wheel_steer(solved.machine, np.full(solved.batch, x))) for x in (lock, -lock)))


def ackermanns_of(machine: Machine) -> list[Reading]:
    """Readings of a car's front wheels in a turn; that at full lock where the car file says where it is."""
    circle = "kinematics: front wheels square to the line to the turn's centre"
    found = [
        Reading(
            id="ackermann", name="Ackermann", unit="", shown="%", more="inner front wheel steers more than the outer",
            less="inner front wheel steers less, towards parallel steer or beyond",
            source="Gillespie ch. 6, from memory; share of the ideal", read=ackermann, smallest=0.01, travel=True,
        ),
        Reading(
            id="ackermann_excess", name="inner front wheel's steer beyond the ideal", unit="rad", shown="deg",
            more="inner front wheel toes out more than the turn asks",
            less="inner front wheel toes out less than the turn asks", source="Gillespie ch. 6, from memory",
            read=excess_over_ideal, smallest=np.radians(0.005), at_rest=True, travel=True, detail=True,
        ),
        Reading(
            id="turning_circle", name="turning circle at this steer", unit="m", shown="m", more="wider turn",
            less="tighter turn", source=circle, read=turning_circle, smallest=0.05, travel=True, detail=True,
        ),
    ]  # fmt: skip
    if np.isfinite(np.asarray(machine.values["rack.lock"], dtype=float)).all():
        found.append(
            Reading(
                id="turning_circle_at_lock", name="turning circle at full lock", unit="m", shown="m",
                more="turns less tightly", less="turns more tightly", source=circle, read=turning_circle_at_lock,
                smallest=0.05, held=False, at_rest=True,
            )
        )  # fmt: skip
    return found
