"""Vectors and rotations in numpy, component first and batch last, as `axlewright.model.vectors` has them for JAX."""

from __future__ import annotations

import numpy as np


def dot(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Scalar product over the leading axis."""
    return (a * b).sum(axis=0)


def cross(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Vector product over the leading axis; trailing axes broadcast."""
    return np.stack([a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]])


def rotate(rotation: np.ndarray, a: np.ndarray) -> np.ndarray:
    """R a, `rotation` (3, 3, B) or with axes of `a` (3, ..., B) between."""
    return (_aligned(rotation, a) * a[None]).sum(axis=1)


def rotate_back(rotation: np.ndarray, a: np.ndarray) -> np.ndarray:
    """R^T a."""
    return (_aligned(rotation, a) * a[:, None]).sum(axis=0)


def _aligned(rotation: np.ndarray, a: np.ndarray) -> np.ndarray:
    return rotation.reshape((3, 3) + (1,) * (a.ndim + 1 - rotation.ndim) + rotation.shape[2:])


def cayley(r: np.ndarray) -> np.ndarray:
    """Rotation (3, 3, ...) of the Cayley vector r = 2 tan(angle / 2) along the axis."""
    q = 0.25 * dot(r, r)
    eye = np.eye(3).reshape((3, 3) + (1,) * (r.ndim - 1))
    return ((1.0 - q) * eye + _skew(r) + 0.5 * r[:, None] * r[None]) / (1.0 + q)


def turn_x(angle: np.ndarray) -> np.ndarray:
    """Rotation about x, (3, 3, ...)."""
    c, s, zero, one = np.cos(angle), np.sin(angle), np.zeros_like(angle), np.ones_like(angle)
    return np.stack([one, zero, zero, zero, c, -s, zero, s, c]).reshape((3, 3, *angle.shape))


def turn_y(angle: np.ndarray) -> np.ndarray:
    """Rotation about y, (3, 3, ...)."""
    c, s, zero, one = np.cos(angle), np.sin(angle), np.zeros_like(angle), np.ones_like(angle)
    return np.stack([c, zero, s, zero, one, zero, -s, zero, c]).reshape((3, 3, *angle.shape))


def cayley_rate(r: np.ndarray) -> np.ndarray:
    """Matrix (3, 3, ...) that turns a change of the Cayley vector into a small rotation: (I + [r]x / 2) / (1 + q)."""
    q = 0.25 * dot(r, r)
    eye = np.eye(3).reshape((3, 3) + (1,) * (r.ndim - 1))
    return (eye + 0.5 * _skew(r)) / (1.0 + q)


def _skew(r: np.ndarray) -> np.ndarray:
    """[r]x, (3, 3, ...)."""
    zero = np.zeros_like(r[0])
    return np.stack([zero, -r[2], r[1], r[2], zero, -r[0], -r[1], r[0], zero]).reshape((3, 3, *r.shape[1:]))
