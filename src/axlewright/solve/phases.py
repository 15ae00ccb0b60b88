"""A car file's phases, each in one turn direction, and as a demand."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from axlewright.car.schema.phases import Phase
from axlewright.model.parameters import Demand
from axlewright.solve.demand import held_demand

WHEELS = ("LF", "RF", "LR", "RR")


class HeldPhase(NamedTuple):
    """One phase in one turn direction."""

    phase: Phase
    turn: str  # left, right or straight

    @property
    def name(self) -> str:
        """The phase's name with the direction, where it has one."""
        return self.phase.name if self.turn == "straight" else f"{self.phase.name}, {self.turn}"


def held_phases(phases: Sequence[Phase], turns: Sequence[str] = ("left", "right")) -> tuple[HeldPhase, ...]:
    """Every phase in every asked turn direction; one that is the same to both sides once."""
    out: list[HeldPhase] = []
    for phase in phases:
        both = phase.ay.value == 0 and phase.yaw_acceleration is None and phase.road is None and phase.banking is None
        out += [HeldPhase(phase, turn) for turn in (("straight",) if both else turns)]
    return tuple(out)


def demand_of(phases: Sequence[tuple[Phase, str]]) -> Demand:
    """Demand of a batch of (phase, turn) pairs; "straight" has the senses of a left turn.

    A phase states ay, banking and yaw acceleration towards the inside of the turn; ISO 8855 signs are set here: a left
    turn has ay > 0, and banking that helps it has the right side high (banking angle < 0). A phase's grade is uphill
    positive, the model's is downhill positive.
    """

    def value(name: str, one: Phase) -> float:
        quantity = getattr(one, name)
        return 0.0 if quantity is None else float(quantity.value)

    sense = np.array([1.0 if turn != "right" else -1.0 for _, turn in phases])

    def each(name: str) -> np.ndarray:
        return np.array([value(name, phase) for phase, _ in phases])

    return held_demand(
        ax=each("ax"),
        ay=sense * each("ay"),
        speed=each("speed"),
        effort=np.array([phase.effort for phase, _ in phases]),
        grip=np.array([phase.grip_factor for phase, _ in phases]),
        road_height=np.stack([_heights(phase, turn) for phase, turn in phases], axis=1),
        an=each("vertical"),
        yaw_acceleration=sense * each("yaw_acceleration"),
        banking=-sense * each("banking"),
        grade=-each("grade"),
    )


def _heights(phase: Phase, turn: str) -> np.ndarray:
    """Road height under LF, RF, LR, RR, m; the inside of a left turn is the left."""
    if phase.road is None:
        return np.zeros(4)
    places = ("outside", "inside") if turn == "right" else ("inside", "outside")
    names = [f"{place}_{end}" for end in ("front", "rear") for place in places]
    return np.array([0.0 if getattr(phase.road, n) is None else getattr(phase.road, n).value for n in names])
