"""A move: one or more adjusters to new positions. Its order of work, its re-checks, and how long it takes.

Rules of the job: what moves ride height before bars, toe and Watt's linkage; bars last; common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby
from typing import NamedTuple

from axlewright.car.adjusters import RECHECKS, STAGES, Adjuster


class Move(NamedTuple):
    """One adjuster to a new position."""

    adjuster: Adjuster
    to: float

    @property
    def counts(self) -> float:
        """How far, in the adjuster's count, from where it is now."""
        return self.to - self.adjuster.position


def in_order(moves: Iterable[Move]) -> list[Move]:
    """Moves in the order in which they are made; those of one stage keep the order that they came in."""
    return sorted(moves, key=lambda move: STAGES.index(move.adjuster.stage))


def rechecks(moves: Iterable[Move]) -> list[str]:
    """Codes of what is looked at after the moves, each once, in the order of `RECHECKS`."""
    asked = {
        code
        for move in moves
        if move.counts and abs(move.counts) >= move.adjuster.recheck_from
        for code in move.adjuster.recheck
    }
    return [code for code in RECHECKS if code in asked]


def rezeros(moves: Iterable[Move]) -> list[str]:
    """Codes of what "put right" restores after the moves, each once, in the order of `RECHECKS`."""
    asked = {code for move in moves if move.counts for code in move.adjuster.rezero}
    return [code for code in RECHECKS if code in asked]


def elapsed(moves: Sequence[Move], people: int = 1) -> float:
    """Minutes for one or two people (or more), re-checks not counted.

    Stages come one after another; within a stage each person takes the next longest job. That the car is already in the
    air, or the wheels off, for another job is not credited.
    """
    if people < 1:
        raise ValueError(f"{people} people can't do anything; give 1 or more")
    total = 0.0
    for _, stage in groupby(in_order(move for move in moves if move.counts), key=lambda move: move.adjuster.stage):
        busy = [0.0] * people
        for minutes in sorted((move.adjuster.minutes for move in stage), reverse=True):
            busy[busy.index(min(busy))] += minutes
        total += max(busy)
    return total
