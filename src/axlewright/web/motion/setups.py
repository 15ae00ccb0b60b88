"""Setups that are compared: the positions that a page names, and one usable step of an adjuster on top of them."""

from __future__ import annotations

from collections.abc import Sequence

from pydantic import BaseModel, ConfigDict, Field

from axlewright.car.adjusters import Adjuster, adjusters_of
from axlewright.car.adjusters.hand import tidy
from axlewright.car.schema import Car
from axlewright.errors import RequestError, known

MOST = 6  # setups beside each other: as many as a person can tell apart, and one call of the solver takes eight

COUNTED = ("hole", "turn", "click")  # units with a plural


class Side(BaseModel):
    """One setup of a comparison."""

    model_config = ConfigDict(extra="forbid")

    name: str = Field(max_length=120)  # in words, such as "as it stands now"
    positions: dict[str, float] = Field(default={}, max_length=400)  # single adjusters elsewhere than in the car file
    adjuster: str = Field(default="", max_length=120)  # moved on top of them
    steps: int = Field(default=0, ge=-50, le=50)


def setups_of(car: Car, sides: Sequence[Side]) -> tuple[list[str], list[dict[str, float]]]:
    """Names, each another, and setups of the car as its file says. Raises RequestError for what can't be compared."""
    if not 1 <= len(sides) <= MOST:
        raise RequestError(f"found {len(sides)} setups; expected 1 to {MOST} to compare")
    adjusters = adjusters_of(car)
    names: list[str] = []
    for side in sides:
        name = _named(side, adjusters)
        names.append(name if name not in names else f"{name} ({names.count(name) + 1})")
    return names, [_setup(side, adjusters) for side in sides]


def _named(side: Side, adjusters: dict[str, Adjuster]) -> str:
    if not side.adjuster or not side.steps:
        return side.name
    known("adjuster", [side.adjuster], adjusters)
    adjuster = adjusters[side.adjuster]
    way = "up" if side.steps > 0 else "down"
    size = tidy(abs(side.steps) * adjuster.step)
    several = "s" if size != 1 and adjuster.unit in COUNTED else ""
    return f"{side.name}, {adjuster.name} {way} {size:g} {adjuster.unit}{several}"


def _setup(side: Side, adjusters: dict[str, Adjuster]) -> dict[str, float]:
    """An adjuster made of others counts from where the car file has it and moves them on top of their positions."""
    setup = dict(side.positions)
    if side.adjuster and side.steps:
        known("adjuster", [side.adjuster], adjusters)
        adjuster = adjusters[side.adjuster]
        setup[side.adjuster] = tidy(setup.get(side.adjuster, adjuster.position) + side.steps * adjuster.step)
    return setup
