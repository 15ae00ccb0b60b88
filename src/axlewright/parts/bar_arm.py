"""Where an anti-roll bar's arm stands: closed form from the lower end of its drop link.

All points are 3-vectors in chassis axes, component first, trailing axes free. The arm turns about the bar's axis by
psi, zero at the drawn pose and positive by the right-hand rule about `axis`:

    hole(psi) = pivot + arm (cos psi direction + sin psi axis x direction)

The drop link's length fixes psi: |hole(psi) - lower| = length gives

    A cos psi + B sin psi = C,   A = r . direction,  B = r . (axis x direction),  C = (arm^2 + r^2 - length^2) / (2 arm)

with r = lower - pivot. Two angles solve it; the arm stays on the drawn pose's side of toggle, the pose in which arm and
drop link are in line. At and past toggle (|C| >= sqrt(A^2 + B^2)) no angle exists: the angle stops smoothly just short
of it, and `reach` = C / sqrt(A^2 + B^2) says so. Elementary geometry.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from axlewright.parts._arrays import Array, ArrayModule, cross, dot, minus, rows
from axlewright.parts.elastic import hinge

TOGGLE_MARGIN = 1e-6  # of C / sqrt(A^2 + B^2); within it of toggle, about 0.1 deg of arm angle, the angle is held back


class BarArm(NamedTuple):
    """A bar arm and its drop link at one pose."""

    angle: Array
    """psi, rad, from the drawn pose."""
    reach: Array
    """C / sqrt(A^2 + B^2): magnitude 1 is toggle, beyond 1 the drop link can't reach (the angle is then clamped)."""
    hole: Array
    """(3, ...) upper end of the drop link, m."""
    along: Array
    """(3, ...) unit vector from the lower end of the drop link to the hole."""
    lever: Array
    """d(drop-link length)/d(psi) with the lower end still, m: the drop link's lever on the bar."""


def toggle_side(pivot: Array, axis: Array, direction: Array, drawn_lower: Array, xp: ArrayModule = np) -> Array:
    """Which of the two angles the drawn pose is on: +1 or -1 (0 means that it was drawn at toggle: unusable)."""
    return -xp.sign(dot(minus(drawn_lower, pivot), cross(axis, direction)))


def bar_arm(
    pivot: Array,
    axis: Array,
    direction: Array,
    arm: Array,
    length: Array,
    lower: Array,
    side: Array,
    xp: ArrayModule = np,
) -> BarArm:
    """The arm for a lower drop-link end.

    pivot (3, ...) point of the bar axis in the arm's plane; axis, direction (3, ...) unit vectors square to each other;
    arm, length m; lower (3, ...) now; side from `toggle_side` at the drawn pose.
    """
    across = cross(axis, direction)
    r = minus(lower, pivot)
    a, b = dot(r, direction), dot(r, across)
    distance = xp.sqrt(a * a + b * b)
    reach = (arm * arm + dot(r, r) - length * length) / (2.0 * arm * distance)
    cosine = _short_of_toggle(reach, xp)
    sine = side * xp.sqrt(1.0 - cosine * cosine)
    # psi = atan2(B, A) + side * acos(reach), put together as a rotation so that it never jumps by a full turn.
    turn_cos, turn_sin = (a * cosine - b * sine) / distance, (b * cosine + a * sine) / distance
    hole = [p + arm * (turn_cos * d + turn_sin * c) for p, d, c in zip(pivot, direction, across, strict=True)]
    drop = minus(hole, lower)
    drawn = xp.sqrt(dot(drop, drop))  # equals `length` except past toggle
    along = [component / drawn for component in drop]
    sweep = [arm * (turn_cos * c - turn_sin * d) for d, c in zip(direction, across, strict=True)]
    return BarArm(xp.arctan2(turn_sin, turn_cos), reach, rows(*hole, xp=xp), rows(*along, xp=xp), dot(along, sweep))


def drop_link_tensions(stiffness: Array, left: BarArm, right: BarArm) -> tuple[Array, Array]:
    """(left, right) drop-link tension, N, for a bar of `stiffness` N m/rad; both `axis` vectors point the same way.

    The bar turns the left arm back with K (psi_left - psi_right), the drop link balances it on its lever. The force on
    the lower end is tension x `along`.
    """
    torque = stiffness * (left.angle - right.angle)
    return -torque / left.lever, torque / right.lever


def _short_of_toggle(reach: Array, xp: ArrayModule) -> Array:
    """`reach`, held at 1 - margin past toggle with a rounded corner."""
    edge = 1.0 - TOGGLE_MARGIN
    return reach - hinge(reach - edge, TOGGLE_MARGIN, xp) + hinge(-reach - edge, TOGGLE_MARGIN, xp)
