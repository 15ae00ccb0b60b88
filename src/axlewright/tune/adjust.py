"""Steps of an adjuster from where it is now, and setups as what a car file keeps."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from math import inf
from typing import NamedTuple

from axlewright.car.adjusters import Adjuster
from axlewright.car.adjusters.hand import tidy
from axlewright.car.adjusters.setup import OUTSIDE, Setup, single_positions


def as_singles(adjusters: Mapping[str, Adjuster], setup: Setup) -> dict[str, float]:
    """A setup as single adjusters that differ from the drawn car: what is written to a car file's [setup]."""
    counts = {key: float(found[0]) for key, found in single_positions(adjusters, [setup]).items()}
    return {key: position for key, position in counts.items() if position != adjusters[key].drawn}


def freed(adjusters: Mapping[str, Adjuster], hands: Iterable[str]) -> dict[str, Adjuster]:
    """The adjusters, the hands and what they are made of without the ends of their ranges.

    For moves that are worked out first: where a range ends is told afterwards, to who would make the move.
    """
    free = {key for hand in hands for key in (hand, *(member for member, _ in adjusters[hand].made_of))}
    return {key: replace(a, lo=-inf, hi=inf) if key in free else a for key, a in adjusters.items()}


class Step(NamedTuple):
    """One usable step in one direction: the position, or why there is none."""

    position: float | None
    reason: str = ""


class Steps(NamedTuple):
    """One usable step up and one down."""

    up: Step
    down: Step


def usable_moves(adjuster: Adjuster) -> Steps:
    """Positions one usable step up and down from now, as far as they stay in range."""
    return Steps(_step(adjuster, 1.0), _step(adjuster, -1.0))


def _step(adjuster: Adjuster, way: float) -> Step:
    to = tidy(adjuster.position + way * adjuster.step)
    if adjuster.lo - OUTSIDE <= to <= adjuster.hi + OUTSIDE:
        return Step(to)
    end, word = (adjuster.hi, "highest") if way > 0 else (adjuster.lo, "lowest")
    left = abs(end - adjuster.position)
    if left < OUTSIDE:
        return Step(None, f"{adjuster.name} is at its {word}, {end:g} {adjuster.unit}")
    return Step(None, f"{adjuster.name} has only {left:g} {adjuster.unit} left to its {word}, less than a usable step")
