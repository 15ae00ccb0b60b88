"""Universal joints: working angles and the speed that they pass on, in closed form.

A joint of angle b turns its driven fork by tan(out) = cos(b) tan(in), angles from the normal of the joint's plane
(Hooke's joint, textbook). That map is linear on (cos, sin), and so is a chain of joints: a 2 x 2 matrix M with out =
M in / |M in| has the speed ratio det M / |M in|^2, which runs between s2 / s1 and s1 / s2 of its singular values. One
joint: 1 / cos b and cos b. Two joints with the shaft's forks in phase: M = diag(1, cos b2) R(90 deg - twist) diag(1,
cos b1), twist the angle about the shaft between the planes of the two joints.
"""

from __future__ import annotations

import numpy as np

from axlewright.readings._vectors import cross, dot

NO_PLANE = 1e-12  # sine of a joint angle below which the joint has no plane, and needs none


def angle_between(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Angle between two unit vectors (3, ...), rad, exact for small ones."""
    across = cross(a, b)
    return np.arctan2(np.sqrt(dot(across, across)), dot(a, b))


def fluctuation(angle: np.ndarray) -> np.ndarray:
    """Highest less lowest speed of the driven shaft over its mean: 1 / cos b - cos b."""
    return np.sin(angle) * np.tan(angle)


def acceleration(angle: np.ndarray, speed: np.ndarray) -> np.ndarray:
    """Highest angular acceleration of the driven shaft, rad/s2, at a driving speed in rad/s.

    speed^2 cos b sin^2 b sin 2t / (1 - sin^2 b cos^2 t)^2 is greatest where u = cos 2t solves s u^2 + (2 - s) u = 2 s,
    s = sin^2 b.
    """
    s = np.sin(angle) ** 2
    u = 4.0 * s / (2.0 - s + np.sqrt((2.0 - s) ** 2 + 8.0 * s**2))
    return speed**2 * np.cos(angle) * s * np.sqrt(1.0 - u**2) / (1.0 - 0.5 * s * (1.0 + u)) ** 2


def joined(first: np.ndarray, shaft: np.ndarray, last: np.ndarray) -> np.ndarray:
    """Angle of the one joint that passes speed on as two do between three shafts with unit directions (3, ...), the
    middle one's forks in phase: cos b = s2 / s1.
    """
    c1, c2 = dot(first, shaft), dot(shaft, last)
    normal, other = cross(first, shaft), cross(shaft, last)
    planes = np.sqrt(dot(normal, normal) * dot(other, other)) > NO_PLANE**2
    twist = np.where(planes, np.arctan2(dot(cross(normal, other), shaft), dot(normal, other)), 0.0)
    c, s = np.cos(twist), np.sin(twist)
    m = np.array([[s, -c * c1], [c2 * c, c2 * s * c1]])
    less = np.sqrt((m[0, 0] - m[1, 1]) ** 2 + (m[0, 1] + m[1, 0]) ** 2)  # s1 - s2, or s1 + s2, by the sign of det M
    more = np.sqrt((m[0, 0] + m[1, 1]) ** 2 + (m[0, 1] - m[1, 0]) ** 2)
    less, more = np.minimum(less, more), np.maximum(less, more)
    return np.arctan2(2.0 * np.sqrt(more * less), more - less)
