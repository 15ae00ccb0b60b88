"""Force along a link as a piecewise-linear law with rounded corners.

One expression serves every elastic part, so that the model evaluates all of them at once. With the extension
`e` = length - drawn length, in m:

    u = sense * e + set                                           how far the part is moved in its own direction, m
    T = sense * (offset + stiffness * u + sum_j step_j * hinge(u - onset_j, width_j))          tension, N

`sense` is +1 for a part that acts in extension and -1 for one that acts in compression. `set` is how far it is already
moved at the drawn pose. Tension is positive, compression negative.

The corner `hinge` is a parabola of half width w between two straight lines: slope continuous, exact outside +-w, and
w/4 too high at the corner itself. A corner of 100 N/mm with w = 0.1 mm is so 2.5 N too high in the worst place.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from axlewright.parts._arrays import Array, ArrayModule

_FAR = 1e6  # m; stands in for a corner at infinity (one that is never reached) where arithmetic needs a number


class Knots(NamedTuple):
    """The numbers of a piecewise-linear law. Corner arrays have the corner axis first; trailing axes are free."""

    sense: Array
    """+1 acts in extension, -1 acts in compression."""
    set: Array
    """Movement already made at the drawn pose, m."""
    offset: Array
    """Force at u = 0 without corners, N, positive in the part's own direction."""
    stiffness: Array
    """Rate before the first corner, N/m."""
    onset: Array
    """(J, ...) position of each corner, m; inf = never reached."""
    step: Array
    """(J, ...) change of rate at each corner, N/m."""
    width: Array
    """(J, ...) half width of each rounded corner, m; 0 = sharp."""


def hinge(x: Array, width: Array, xp: ArrayModule = np) -> Array:
    """Zero before the corner, x after it, and (x + w)^2 / (4 w) between -w and w.

    x: distance past the corner; width: half width w >= 0; same unit. Slope continuous for w > 0. Infinite x is safe.
    """
    inside = xp.clip(x + width, 0.0, 2.0 * width)
    return inside * inside / (4.0 * xp.maximum(width, 1e-300)) + xp.maximum(x - width, 0.0)


def hinge_slope(x: Array, width: Array, xp: ArrayModule = np) -> Array:
    """Derivative of `hinge` to x: 0 before, 1 after, straight between."""
    return xp.clip((x + width) / (2.0 * xp.maximum(width, 1e-300)), 0.0, 1.0)


def movement(knots: Knots, extension: Array) -> Array:
    """How far the part is moved in its own direction, m: negative means loose or not yet touching."""
    return knots.sense * extension + knots.set


def tension(knots: Knots, extension: Array, xp: ArrayModule = np) -> Array:
    """Tension of the part in N at an extension of its link in m from the drawn length."""
    u = movement(knots, extension)
    onset, step, width = _corners(knots, u, xp)
    corners = xp.sum(step * hinge(u - onset, width, xp), axis=0)
    return knots.sense * (knots.offset + knots.stiffness * u + corners)


def rate(knots: Knots, extension: Array, xp: ArrayModule = np) -> Array:
    """Derivative of `tension` to the extension, N/m, in closed form. The sense squares away."""
    u = movement(knots, extension)
    onset, step, width = _corners(knots, u, xp)
    return knots.stiffness + xp.sum(step * hinge_slope(u - onset, width, xp), axis=0)


def energy(knots: Knots, extension: Array, xp: ArrayModule = np) -> Array:
    """Work that has gone into the part between u = 0 and an extension, J: the integral of `tension`, corners included.

    Zero at u = 0 up to what lies in a corner that reaches past it.
    """
    u = movement(knots, extension)
    onset, step, width = _corners(knots, u, xp)
    return knots.offset * u + 0.5 * knots.stiffness * u * u + xp.sum(step * _hinge_area(u - onset, width, xp), axis=0)


def _hinge_area(x: Array, width: Array, xp: ArrayModule) -> Array:
    """Integral of `hinge` from before its corner: (x + w)^3 / (12 w) inside it, x^2 / 2 + w^2 / 6 after it."""
    inside = xp.clip(x + width, 0.0, 2.0 * width)
    past = xp.maximum(x - width, 0.0)
    return inside**3 / (12.0 * xp.maximum(width, 1e-300)) + past * (0.5 * past + width)


def set_for(knots: Knots, tension_at_drawn: Array) -> tuple[Array, Array]:
    """The `set` that gives a stated tension at the drawn length: the inverse of the law, rounded corners included.

    Returns (set in m, reachable). Where the law can't give the tension, `reachable` is False and the set is NaN. Where
    a whole stretch gives it (a loose spring asked for no load), the end of the stretch nearest to loading is returned.
    The law must not fall with movement. Numpy only.
    """
    law, place = _law_and_ends(knots, np.shape(tension_at_drawn))
    force = tension(law, place)
    asked = np.broadcast_to(knots.sense * np.asarray(tension_at_drawn, dtype=float), force.shape[1:])
    below = np.clip(np.sum(force <= asked, axis=0) - 1, 0, len(place) - 2)[None]
    start, end, force_start = (
        np.take_along_axis(a, below + i, axis=0) for a, i in ((place, 0), (place, 1), (force, 0))
    )
    # In a stretch the law is a parabola: two slopes inside it say all, and rounding at its ends doesn't matter.
    near, far = (rate(law, start + share * (end - start)) for share in (0.25, 0.75))
    slope, rise = 1.5 * near - 0.5 * far, asked - force_start
    bend = 2.0 * (far - near) / np.where(end > start, end - start, 1.0)
    root = slope + np.sqrt(np.maximum(slope * slope + 2.0 * bend * rise, 0.0))
    reachable = (root > 0.0) | (rise == 0.0)
    moved = start + 2.0 * rise / np.where(root > 0.0, root, 1.0)
    return np.where(reachable, moved, np.nan)[0], reachable[0]


def _law_and_ends(knots: Knots, shape: tuple[int, ...]) -> tuple[Knots, np.ndarray]:
    """The law in its own direction, and (P, ...) rising movements: where its parabolas meet, and 1 m either side."""
    shapes = (shape, *(np.shape(value) for value in knots[:4]), *(np.shape(corner)[1:] for corner in knots[4:]))
    full = np.broadcast_shapes(*shapes)
    onset, step, width = (np.broadcast_to(c, (len(c), *full)) for c in _corners(knots, np.empty(full), np))
    onset = np.clip(onset, -_FAR, _FAR)
    ends = np.sort(np.concatenate([onset - width, onset + width, np.zeros((1, *full))]), axis=0)
    law = Knots(1.0, 0.0, knots.offset, knots.stiffness, onset[:, None], step[:, None], width[:, None])
    return law, np.concatenate([ends[:1] - 1.0, ends, ends[-1:] + 1.0])


def _corners(knots: Knots, u: Array, xp: ArrayModule) -> list[Array]:
    """Onset, step and width with axes of one put in after the corner axis, so that they broadcast against u."""
    corners = [xp.asarray(corner) for corner in (knots.onset, knots.step, knots.width)]
    return [c.reshape(c.shape[0], *(1,) * max(0, xp.ndim(u) - c.ndim + 1), *c.shape[1:]) for c in corners]
