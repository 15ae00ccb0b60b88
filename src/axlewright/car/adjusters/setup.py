"""Setups applied to a car's values: a whole batch at once, and only the entries that are edited get the batch axis."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from axlewright.car.adjusters.adjuster import Adjuster
from axlewright.car.mechanism import Values
from axlewright.errors import RequestError, known

Setup = Mapping[str, float]  # adjuster id -> position; what is not named stays where it is now
OUTSIDE = 1e-6  # counts; a position this far outside its range is rounding


def apply(
    values: Values, adjusters: Mapping[str, Adjuster], positions: Sequence[Setup]
) -> tuple[dict[str, float | np.ndarray], int]:
    """Values of a batch of setups, and its size.

    `values` are those of the drawn car (`Machine.values`: some adjusters edit what the rest solve finds); an entry may
    already carry a batch of the same size. Several adjusters that edit one entry add up.
    Raises RequestError for an unknown adjuster or a position outside its range.
    """
    changes: dict[str, np.ndarray] = {}
    for key, counts in single_positions(adjusters, positions).items():
        adjuster = adjusters[key]
        if np.any(counts != adjuster.drawn):
            for edit in adjuster.edits:
                change = edit.change(counts, adjuster.drawn)
                changes[edit.path] = changes[edit.path] + change if edit.path in changes else change
    out = dict(values)
    for path, change in changes.items():
        base = np.asarray(values[path], dtype=float)
        out[path] = (base[..., None] if base.ndim < change.ndim else base) + change
    return out, len(positions)


def single_positions(adjusters: Mapping[str, Adjuster], positions: Sequence[Setup]) -> dict[str, np.ndarray]:
    """Position of every single adjuster in every setup, (B,); those made of others are taken apart.

    An adjuster made of others moves its members by its own distance from where it is now, on top of their positions.
    """
    found = {key: np.full(len(positions), a.position) for key, a in adjusters.items() if not a.made_of}
    for i, setup in enumerate(positions):
        for key, position in setup.items():
            adjuster = _checked(adjusters, key, position)
            if not adjuster.made_of:
                found[key][i] += position - adjuster.position
            for member, share in adjuster.made_of:
                found[member][i] += share * (position - adjuster.position)
        for key in setup:  # two that move one thing may each be in range and their sum not
            for member, _ in adjusters[key].made_of:
                _checked(adjusters, member, float(found[member][i]))
    return {key: _tidied(counts, adjusters[key]) for key, counts in found.items()}


def _checked(adjusters: Mapping[str, Adjuster], key: str, position: float) -> Adjuster:
    known("adjuster", [key], adjusters)
    adjuster = adjusters[key]
    if not adjuster.lo - OUTSIDE <= position <= adjuster.hi + OUTSIDE:
        span = f"from {adjuster.lo:g} to {adjuster.hi:g}"
        raise RequestError(f"{adjuster.name} at {position:g} {adjuster.unit} is outside its range {span}")
    return adjuster


def _tidied(counts: np.ndarray, adjuster: Adjuster) -> np.ndarray:
    """Without the last digits that adding and taking away leaves behind, so that going back is going back exactly."""
    near = np.abs(counts - adjuster.drawn) < OUTSIDE
    return np.where(near, adjuster.drawn, counts)
