"""What an array is to a part: anything that numpy or jax.numpy computes with.

Parts import no JAX. Each law takes `xp`, the array module to compute with (numpy unless said), and broadcasts over
whatever trailing axes its arguments have.
"""

from __future__ import annotations

from types import ModuleType
from typing import TYPE_CHECKING, Any, Protocol, runtime_checkable

import numpy as np


@runtime_checkable
class _HasShape(Protocol):
    """A numpy array, a numpy scalar, a JAX array or a JAX tracer."""

    @property
    def shape(self) -> tuple[int, ...]: ...

    @property
    def dtype(self) -> Any: ...


if TYPE_CHECKING:
    # The checker can't follow operators across two array libraries; run-time shape checks use the union below.
    Array = Any
else:
    Array = float | int | _HasShape

ArrayModule = ModuleType
"""numpy or jax.numpy."""


def rows(*items: Array, xp: ArrayModule = np) -> Array:
    """Stack `items`, broadcast to one shape, along a new first axis."""
    return xp.stack(xp.broadcast_arrays(*[xp.asarray(item, dtype=float) for item in items]))


Vector = Array | list[Array]
"""Three components, each with its own trailing axes."""


def dot(a: Vector, b: Vector) -> Array:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def minus(a: Vector, b: Vector) -> list[Array]:
    """a - b."""
    return [a[0] - b[0], a[1] - b[1], a[2] - b[2]]


def cross(a: Vector, b: Vector) -> list[Array]:
    """Vector product."""
    return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
