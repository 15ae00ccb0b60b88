"""Keeping a reading as it stands while something else is moved, by re-setting a length: solved on the scales.

A mount moved with the pinion angle kept by the drive-side link's length, a perch with the cross weight kept by another.
Newton on the car's own rest states, with its slope taken again at every position.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from axlewright.car.adjusters import Adjuster, Table
from axlewright.car.adjusters.setup import Setup, apply
from axlewright.errors import RequestError, known
from axlewright.readings import Reading
from axlewright.solve.machine import Machine
from axlewright.solve.results import Result
from axlewright.solve.solved import Solved
from axlewright.solve.verbs import rest_batch
from axlewright.tune.adjust import freed

ITERATIONS = 8
CLOSE = 1e-6  # usable steps of the hand: what is missed must be worth less
TRIED = 0.1  # usable steps, of the slope's differences
FIRM = 1e-9  # change per usable step, of the largest that any hand makes, below which a hand does nothing


class Keeping(NamedTuple):
    """A reading that is kept, and the adjuster that is re-set for it."""

    reading: Reading
    hand: Adjuster


class Kept(NamedTuple):
    """Setups with their re-set lengths."""

    setups: list[dict[str, float]]
    counts: np.ndarray  # (hands, B) positions of the hands
    rest: Solved  # (B,)
    settled: np.ndarray  # (B,) bool: the readings are as they were


def keepings(
    adjusters: Mapping[str, Adjuster], readings: Mapping[str, Reading], asked: Mapping[str, str], moved: Sequence[str]
) -> tuple[Keeping, ...]:
    """What was asked for, reading -> adjuster; raises RequestError where that can't be done."""
    known("reading", list(asked), readings)
    known("adjuster", list(asked.values()), adjusters)
    taken = [{*_singles(adjusters, key)} for key in moved]
    found: list[Keeping] = []
    for name, key in asked.items():
        reading, hand = readings[name], adjusters[key]
        singles = _singles(adjusters, key)
        if not reading.at_rest:
            raise RequestError(f"{reading.name} has no value at rest, where a length is re-set: hold another reading")
        if hand.acts != "held" or any(isinstance(e, Table) for s in singles for e in adjusters[s].edits):
            raise RequestError(f"{hand.name} can't be re-set by any amount: hold the reading by a length or a perch")
        if any(group & {*singles} for group in taken):
            raise RequestError(f"{hand.name} is moved already, so it can't hold {reading.name} too: name another")
        taken.append({*singles})
        found.append(Keeping(reading, hand))
    return tuple(found)


def keep(
    machine: Machine,
    adjusters: Mapping[str, Adjuster],
    setups: Sequence[Setup],
    what: Sequence[Keeping],
    begun: np.ndarray | None = None,
) -> Kept:
    """Re-set the hands of each setup until the readings are as they stand now (no moves); `begun` (hands, B) counts.

    Hands are not stopped by their ranges: what they come to is for who reads it. Raises RequestError where a hand does
    nothing to what it is to keep.
    """
    keeper = _Keeper(machine, adjusters, what)
    now, _ = keeper.read([{}], keeper.positions[:, None])
    slope, size = keeper.slope([{}], keeper.positions[:, None], now)
    scale = np.abs(slope[:, :, 0]).max(axis=1) * size
    for keeping, row in zip(what, np.abs(slope[:, :, 0]), strict=True):
        if not row.max() > FIRM * np.abs(slope).max() or not np.isfinite(row).all():
            raise RequestError(f"{keeping.hand.name} does nothing to {keeping.reading.name}: hold it by another length")
    counts = np.repeat(keeper.positions[:, None], len(setups), axis=1) if begun is None else begun
    for _ in range(ITERATIONS):
        values, rest = keeper.read(setups, counts)
        miss = values - now
        if not (np.abs(miss) > CLOSE * scale[:, None]).any():
            break
        slope, _ = keeper.slope(setups, counts, values)
        counts = counts - _step(slope, miss)
    else:
        values, rest = keeper.read(setups, counts)
        miss = values - now
    settled = (np.abs(miss) <= CLOSE * scale[:, None]).all(axis=0) & (rest.result == Result.SOLVED)
    return Kept(keeper.setups(setups, counts), counts, rest, settled)


def _step(slope: np.ndarray, miss: np.ndarray) -> np.ndarray:
    """Newton step (hands, B); none where there is no state to step from."""
    good = np.isfinite(slope).all(axis=(0, 1)) & np.isfinite(miss).all(axis=0)
    step = np.zeros_like(miss)
    if good.any():
        inverse = np.linalg.pinv(np.moveaxis(slope[:, :, good], -1, 0))
        step[:, good] = np.einsum("bij,jb->ib", inverse, miss[:, good])
    return step


def _singles(adjusters: Mapping[str, Adjuster], key: str) -> list[str]:
    return [member for member, _ in adjusters[key].made_of] or [key]


class _Keeper:
    """Readings at rest of setups with their hands at given positions."""

    def __init__(self, machine: Machine, adjusters: Mapping[str, Adjuster], what: Sequence[Keeping]) -> None:
        self.machine, self.what = machine, what
        self.adjusters = freed(adjusters, [keeping.hand.id for keeping in what])
        self.positions = np.array([keeping.hand.position for keeping in what])

    def setups(self, setups: Sequence[Setup], counts: np.ndarray) -> list[dict[str, float]]:
        hands = [keeping.hand.id for keeping in self.what]
        return [{**s, **dict(zip(hands, map(float, counts[:, i]), strict=True))} for i, s in enumerate(setups)]

    def read(self, setups: Sequence[Setup], counts: np.ndarray) -> tuple[np.ndarray, Solved]:
        """(readings, B), NaN where the car finds no rest, and the states."""
        values, batch = apply(self.machine.values, self.adjusters, self.setups(setups, counts))
        rest = rest_batch(self.machine, self.machine.parameters(values, batch))
        found = np.stack([np.asarray(keeping.reading.read(rest), dtype=float) for keeping in self.what])
        return np.where(rest.result == Result.SOLVED, found, np.nan), rest

    def slope(self, setups: Sequence[Setup], counts: np.ndarray, values: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Change of each reading per count of each hand, (readings, hands, B), and a usable step of each hand."""
        steps, n = np.array([keeping.hand.step for keeping in self.what]), len(self.what)
        moved = np.repeat(counts[:, None], n, axis=1) + TRIED * np.diag(steps)[:, :, None]
        found, _ = self.read([*setups] * n, moved.reshape(n, -1))
        return (found.reshape(n, n, -1) - values[:, None]) / (TRIED * steps)[None, :, None], steps
