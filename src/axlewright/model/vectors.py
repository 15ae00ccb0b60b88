"""Vectors and rotations, component first.

Arrays are `[3, ..., batch]`: the leading axis is x, y, z and every trailing axis is carried along by broadcasting, so
code reads as for one car and the compiler vectorises over the batch. Sums over three components are written as
reductions: fewer operations to compile than one slice a component.
"""

from __future__ import annotations

import jax
import jax.numpy as jnp
import numpy as np
from jaxtyping import Float

Array = jax.Array | np.ndarray
"""What the model computes with: JAX where it is compiled, numpy where a person reads it or fills it in."""

Vector = Float[Array, "3 ..."]
Rotation = Float[Array, "3 3 ..."]


def dot(a: Vector, b: Vector) -> Array:
    """Scalar product over the leading axis."""
    return (a * b).sum(axis=0)


def cross(a: Vector, b: Vector) -> Vector:
    """Vector product over the leading axis."""
    return jnp.stack([a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]])


def norm(a: Vector) -> Array:
    """Length over the leading axis; not differentiable at zero length."""
    return jnp.sqrt(dot(a, a))


def skew(a: Vector) -> Rotation:
    """[a]x as `[3, 3, ...]`: skew(a) b = a x b."""
    x, y, z = a[0], a[1], a[2]
    o = jnp.zeros_like(x)
    return jnp.stack([o, -z, y, z, o, -x, -y, x, o]).reshape((3, 3, *x.shape))


def identity(like: Vector) -> Rotation:
    """Unit matrix `[3, 3, 1...]` that broadcasts against the trailing axes of `like` `[3, ...]`."""
    return jnp.eye(3).reshape((3, 3) + (1,) * (like.ndim - 1))


def cayley(r: Vector) -> Rotation:
    """Rotation matrix `[3, 3, ...]` of the Cayley (Gibbs) vector r = 2 tan(angle / 2) along the axis.

    R = ((1 - q) I + [r]x + r r^T / 2) / (1 + q), q = r.r / 4. Rational, so cheap and smooth at zero; fails at half a
    turn. Equal to the rotation vector to second order.
    """
    q = 0.25 * dot(r, r)
    return ((1.0 - q) * identity(r) + skew(r) + 0.5 * r[:, None] * r[None]) / (1.0 + q)


def cayley_rate(r: Vector) -> Rotation:
    """Matrix `[3, 3, ...]` that turns a change of the Cayley vector into a small rotation: (I + [r]x / 2) / (1 + q)."""
    return (identity(r) + 0.5 * skew(r)) / (1.0 + 0.25 * dot(r, r))


def rotate(rotation: Rotation, a: Vector) -> Vector:
    """R a, with `rotation` `[3, 3, ...]` and `a` `[3, ..., ...]` that may have more axes in between."""
    return (_aligned(rotation, a) * a[None]).sum(axis=1)


def rotate_back(rotation: Rotation, a: Vector) -> Vector:
    """R^T a."""
    return (_aligned(rotation, a) * a[:, None]).sum(axis=0)


def align(a: Array, like: Array) -> Array:
    """`a` `[3, ...]` with unit axes put in after the first so that its trailing axes meet those of `like`."""
    return a.reshape((a.shape[0],) + (1,) * (like.ndim - a.ndim) + a.shape[1:])


def _aligned(rotation: Rotation, a: Vector) -> Rotation:
    """Rotation with unit axes put in so that its trailing axes meet those of `a`."""
    missing = a.ndim + 1 - rotation.ndim
    return rotation.reshape((3, 3) + (1,) * missing + rotation.shape[2:])


def turn_x(angle: Array) -> Rotation:
    """Rx(angle), `[3, 3, ...]`; positive lowers the right side."""
    c, s, o, one = jnp.cos(angle), jnp.sin(angle), jnp.zeros_like(angle), jnp.ones_like(angle)
    return jnp.stack([one, o, o, o, c, -s, o, s, c]).reshape((3, 3, *angle.shape))


def attitude(pitch: Array, roll: Array) -> Rotation:
    """Ry(pitch) Rx(roll), chassis to road axes (ISO 8855 order without the yaw)."""
    cp, sp, cr, sr = jnp.cos(pitch), jnp.sin(pitch), jnp.cos(roll), jnp.sin(roll)
    o = jnp.zeros_like(cp)
    return jnp.stack([cp, sp * sr, sp * cr, o, cr, -sr, -sp, cp * sr, cp * cr]).reshape((3, 3, *cp.shape))
