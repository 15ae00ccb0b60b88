"""Reads a car's values as arrays with one trailing batch axis."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from axlewright.car.mechanism import Values

# Last path entries whose value is a list even without a batch; everything else is a number.
LISTS = frozenset(
    {
        "a",
        "b",
        "at",
        "axis_a",
        "axis_b",
        "pivot",
        "axis",
        "direction",
        "drop_point",
        "shift",
        "centre",
        "extra_onset",
        "extra_step",
        "pitman_axis_a",
        "pitman_axis_b",
        "pitman_end",
        "idler_axis_a",
        "idler_axis_b",
        "idler_end",
        "speed",
        "clicks",
        "compression",
        "rebound",
    }
)


def is_list(path: str) -> bool:
    """Whether an entry is a point, direction or list, so that a batch is its second axis."""
    return path.rsplit(".", 1)[-1] in LISTS


class Reader(NamedTuple):
    """Values broadcast to a common batch."""

    values: Values
    batch: int

    def scalar(self, path: str, default: float | None = None) -> np.ndarray:
        """(B,); KeyError when missing and no default is given."""
        value = self.values[path] if default is None else self.values.get(path, default)
        return np.broadcast_to(np.asarray(value, dtype=float), (self.batch,))

    def vector(self, path: str, default: np.ndarray | None = None) -> np.ndarray:
        """(n, B); KeyError when missing and no default is given."""
        found = self.values[path] if default is None else self.values.get(path, default)
        value = np.asarray(found, dtype=float)
        return np.broadcast_to(value[:, None] if value.ndim == 1 else value, (value.shape[0], self.batch))

    def either(self, path: str) -> np.ndarray:
        """(n, B) for a list, (B,) for a number."""
        return self.vector(path) if is_list(path) else self.scalar(path)

    def properties(self, prefix: str) -> dict[str, np.ndarray]:
        """All entries directly below `prefix`, by their last name."""
        start = len(prefix) + 1
        return {
            path[start:]: self.either(path)
            for path in self.values
            if path.startswith(prefix + ".") and "." not in path[start:]
        }


def batch_of(values: Values) -> int:
    """The common batch size of the values; raises ValueError when two differ."""
    sizes = {np.ndim(v) - is_list(path) and np.shape(v)[-1] for path, v in values.items()} - {0}
    if len(sizes) > 1:
        raise ValueError(
            f"values carry batches of different sizes {sorted(sizes)}; give every batched entry the same size"
        )
    return int(sizes.pop()) if sizes else 1
