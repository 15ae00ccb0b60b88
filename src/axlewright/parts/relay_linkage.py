"""Relay linkage of a recirculating-ball steering box: where the relay link stands, in closed form.

The pitman arm, turned by the box, and the idler arm turn about parallel axes fixed in the chassis; the relay link joins
their ends, so in the plane square to the axes the three are a planar four-bar. Tie rods are jointed to the relay link,
which turns about the direction of the axes alone: its roll about its own line, which its ball joints leave free, is
taken as nought.

The steering moves the pitman arm's end along its arc by `shift` m, positive to the left (+y): angle = shift / arm.
The idler arm then stands as a bar's arm does on its drop link (`axlewright.parts.bar_arm`), on the drawn pose's side of
toggle, the pose in which idler arm and relay link are in line. Past toggle the idler arm stays just short of it and
`reach` says so. Elementary kinematics; points are (3, ...) in chassis axes with free trailing axes.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from axlewright.parts._arrays import Array, ArrayModule, Vector, cross, dot, minus, rows
from axlewright.parts.bar_arm import BarArm, bar_arm, toggle_side


class RelayLinkage(NamedTuple):
    """What is fixed of a relay linkage; unit axes, both of one sense: turning about them takes the pitman end left."""

    pitman_pivot: Array
    """(3, ...) foot of the pitman arm's end on its axis, m."""
    pitman_axis: Array
    """(3, ...)"""
    pitman_end: Array
    """(3, ...) as drawn, m."""
    idler_pivot: Array
    """(3, ...) foot of the idler arm's end on its axis, m."""
    idler_axis: Array
    """(3, ...)"""
    idler_end: Array
    """(3, ...) as drawn, m."""
    length: Array
    """Of the relay link, m."""
    side: Array
    """Side of toggle as drawn, +1 or -1; 0 is unusable."""


class RelayPose(NamedTuple):
    """A relay linkage with its pitman arm's end moved along its arc."""

    pitman_angle: Array
    """rad, from the drawn pose, about the axes' sense."""
    idler_angle: Array
    """rad, the same."""
    turn: Array
    """(2, ...) cosine and sine of the relay link's turn from the drawn pose."""
    turn_rate: Array
    """d(turn)/d(shift), rad/m; not of use past toggle."""
    pitman_end: Array
    """(3, ...) now, m."""
    pitman_rate: Array
    """(3, ...) d(pitman end)/d(shift)."""
    idler_end: Array
    """(3, ...) now, m."""
    reach: Array
    """Magnitude 1 is toggle of idler arm and relay link; beyond 1 the link can't reach."""


def relay_linkage(
    pitman_axis: tuple[Array, Array],
    pitman_end: Array,
    idler_axis: tuple[Array, Array],
    idler_end: Array,
    length: Array | None = None,
) -> RelayLinkage:
    """A linkage from drawn points (3, ...), m: two on each arm's axis, and each arm's end.

    `length` of the relay link in m; the drawn distance of the ends unless given.
    """
    pivot, axis = _foot(*pitman_axis, pitman_end)
    axis = axis * np.where(np.cross(axis, pitman_end - pivot, axis=0)[1] < 0.0, -1.0, 1.0)
    other, parallel = _foot(*idler_axis, idler_end)
    parallel = parallel * np.where((parallel * axis).sum(axis=0) < 0.0, -1.0, 1.0)
    span = idler_end - pitman_end
    direction = (idler_end - other) / np.linalg.norm(idler_end - other, axis=0)
    return RelayLinkage(
        pitman_pivot=pivot,
        pitman_axis=axis,
        pitman_end=pitman_end,
        idler_pivot=other,
        idler_axis=parallel,
        idler_end=idler_end,
        length=np.linalg.norm(span, axis=0) if length is None else length,
        side=toggle_side(other, parallel, direction, pitman_end),
    )


def relay_pose(linkage: RelayLinkage, shift: Array, xp: ArrayModule = np) -> RelayPose:
    """The linkage with its pitman arm's end moved along its arc by `shift` m to the left."""
    crank = minus(linkage.pitman_end, linkage.pitman_pivot)
    arm = xp.sqrt(dot(crank, crank))
    angle = shift / arm
    sweep = cross(linkage.pitman_axis, crank)
    now = [xp.cos(angle) * c + xp.sin(angle) * s for c, s in zip(crank, sweep, strict=True)]
    rate = [(xp.cos(angle) * s - xp.sin(angle) * c) / arm for c, s in zip(crank, sweep, strict=True)]
    start = [p + c for p, c in zip(linkage.pitman_pivot, now, strict=True)]
    idler = _idler(linkage, start, xp)
    axis, drawn, span = linkage.pitman_axis, minus(linkage.idler_end, linkage.pitman_end), minus(idler.hole, start)
    # both spans as seen along the axis
    flat = dot(drawn, span) - dot(axis, drawn) * dot(axis, span)
    turned = dot(axis, cross(drawn, span))
    size = xp.sqrt(flat * flat + turned * turned)
    follows = dot(rate, idler.along) / idler.lever  # the relay link keeps its length
    spoke = cross(linkage.idler_axis, minus(idler.hole, linkage.idler_pivot))
    across = [follows * s - r for s, r in zip(spoke, rate, strict=True)]
    return RelayPose(
        pitman_angle=angle,
        idler_angle=idler.angle,
        turn=rows(flat / size, turned / size, xp=xp),
        turn_rate=dot(axis, cross(span, across)) / (dot(span, span) - dot(axis, span) ** 2),
        pitman_end=rows(*start, xp=xp),
        pitman_rate=rows(*rate, xp=xp),
        idler_end=idler.hole,
        reach=idler.reach,
    )


def carried(linkage: RelayLinkage, pose: RelayPose, drawn: Array, xp: ArrayModule = np) -> Array:
    """Where points (3, ...) of the relay link, `drawn` in m, are now."""
    axis, r = linkage.pitman_axis, minus(drawn, linkage.pitman_end)
    cosine, sine = pose.turn[0], pose.turn[1]
    along, square = dot(axis, r), cross(axis, r)
    items = zip(pose.pitman_end, axis, r, square, strict=True)
    return rows(*(p + cosine * x + sine * s + (1.0 - cosine) * along * a for p, a, x, s in items), xp=xp)


def carried_rate(linkage: RelayLinkage, pose: RelayPose, now: Array, xp: ArrayModule = np) -> Array:
    """d(point)/d(shift) (3, ...) of points of the relay link that are at `now`; short of toggle."""
    swing = cross(linkage.pitman_axis, minus(now, pose.pitman_end))
    return rows(*(p + pose.turn_rate * s for p, s in zip(pose.pitman_rate, swing, strict=True)), xp=xp)


def _idler(linkage: RelayLinkage, pitman_end: Vector, xp: ArrayModule) -> BarArm:
    """The idler arm, held by the relay link as a bar's arm is by its drop link."""
    crank = minus(linkage.idler_end, linkage.idler_pivot)
    arm = xp.sqrt(dot(crank, crank))
    direction = rows(*(c / arm for c in crank), xp=xp)
    pivot, axis = linkage.idler_pivot, linkage.idler_axis
    return bar_arm(pivot, axis, direction, arm, linkage.length, rows(*pitman_end, xp=xp), linkage.side, xp=xp)


def _foot(axis_a: Array, axis_b: Array, end: Array) -> tuple[Array, Array]:
    """Foot of `end` on the line through two points, and the line's unit vector."""
    axis = (axis_b - axis_a) / np.linalg.norm(axis_b - axis_a, axis=0)
    return axis_a + axis * ((end - axis_a) * axis).sum(axis=0), axis
