"""Pytrees of component-first arrays as one plain array `(n, B)` and back.

A compiled function that takes one array instead of a hundred starts faster, splits into chunks by slicing, and has its
parameters as a vector when derivatives to them are wanted.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import prod
from typing import Any

import jax
import jax.numpy as jnp
import numpy as np

from axlewright.model.vectors import Array


@dataclass(frozen=True)
class Packing:
    """Static description of a pytree whose leaves end in a batch axis."""

    tree: Any  # jax treedef, hashable
    shapes: tuple[tuple[int, ...], ...]  # leaf shapes without the batch

    @staticmethod
    def of(example: object) -> Packing:
        """The packing of an example."""
        leaves, tree = jax.tree.flatten(example)
        return Packing(tree, tuple(np.shape(leaf)[:-1] for leaf in leaves))

    @cached_property
    def sizes(self) -> tuple[int, ...]:
        """Numbers of each leaf of a member."""
        return tuple(prod(shape) for shape in self.shapes)

    @cached_property
    def size(self) -> int:
        """Numbers a member."""
        return sum(self.sizes)

    def pack(self, value: object) -> np.ndarray:
        """(n, B) on the host; leaves are broadcast to the largest batch."""
        leaves = [np.asarray(leaf) for leaf in jax.tree.leaves(value)]
        batch = max(leaf.shape[-1] for leaf in leaves)
        rows = [
            np.broadcast_to(leaf.reshape(-1, leaf.shape[-1]), (size, batch))
            for leaf, size in zip(leaves, self.sizes, strict=True)
        ]
        return np.concatenate(rows)

    def unpack(self, vector: Array) -> Any:
        """The pytree again, as views or slices."""
        leaves, start = [], 0
        for shape, size in zip(self.shapes, self.sizes, strict=True):
            leaves.append(vector[start : start + size].reshape((*shape, vector.shape[-1])))
            start += size
        return jax.tree.unflatten(self.tree, leaves)

    def pack_traced(self, value: object) -> Array:
        """(n, B) inside a compiled function."""
        leaves = jax.tree.leaves(value)
        return jnp.concatenate([leaf.reshape((-1, leaf.shape[-1])) for leaf in leaves])
