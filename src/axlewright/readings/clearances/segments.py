"""Shortest distance between two line segments, in closed form for a whole batch."""

from __future__ import annotations

import numpy as np

from axlewright.readings._vectors import dot

PARALLEL = 1e-12  # sine squared of the angle below which segments count as parallel: rounding is all that is left then


def distance(a: np.ndarray, b: np.ndarray, c: np.ndarray, d: np.ndarray) -> np.ndarray:
    """Shortest distance between the segments a-b and c-d, (3, ...) each, m; a segment may be a point.

    The squared distance is a convex quadratic of the two positions s, t in [0, 1]. Its least value is either where both
    are inside, or on an edge of the square, where one is 0 or 1 and the other follows from projecting a point on a
    segment; so the least of five candidates is exact. Elementary geometry.
    """
    u, v, w = b - a, d - c, a - c
    uu, vv, uv, uw, vw = dot(u, u), dot(v, v), dot(u, v), dot(u, w), dot(v, w)
    across = uu * vv - uv * uv
    crossing = across > PARALLEL * uu * vv
    safe = np.where(crossing, across, 1.0)
    s, t = (uv * vw - vv * uw) / safe, (uu * vw - uv * uw) / safe
    inside = crossing & (s >= 0.0) & (s <= 1.0) & (t >= 0.0) & (t <= 1.0)
    found = np.where(inside, _gap(w, u, v, s, t), np.inf)
    for end in (0.0, 1.0):
        one = np.full_like(uu, end)
        found = np.minimum(found, _gap(w, u, v, one, _held(vw + end * uv, vv)))
        found = np.minimum(found, _gap(w, u, v, _held(end * uv - uw, uu), one))
    return np.sqrt(found)


def _held(along: np.ndarray, size: np.ndarray) -> np.ndarray:
    """Position in [0, 1] of a projection on a segment of squared length `size`."""
    return np.clip(along / np.where(size > 0.0, size, 1.0), 0.0, 1.0)


def _gap(w: np.ndarray, u: np.ndarray, v: np.ndarray, s: np.ndarray, t: np.ndarray) -> np.ndarray:
    between = w + s * u - t * v
    return dot(between, between)
