"""What an adjuster does from end to end, or two as a grid."""

from __future__ import annotations

from math import ceil
from typing import Annotated

from pydantic import Field

from axlewright.car.adjusters import adjusters_of
from axlewright.car.schema import Car
from axlewright.errors import known
from axlewright.tune.export_range import range_data
from axlewright.tune.whole_range import whole_range
from axlewright.web.api import bounds
from axlewright.web.api.question import (
    Closed,
    Data,
    Name,
    OfCar,
    Phases,
    Question,
    Readings,
    Setting,
    ToldOfCar,
    Turn,
    turns_of,
)


class RangeAsked(OfCar):
    """One adjuster over its range, or two as a grid."""

    adjusters: Annotated[list[Name], Field(min_length=1, max_length=2, description="by id", examples=[["watt_pivot"]])]
    phases: Phases
    turn: Turn
    readings: Readings
    hold: Annotated[dict[Name, Name], Field(max_length=4)] = Field(
        default_factory=dict, description="also with a reading at rest held by re-setting a length: reading -> adjuster"
    )
    setup: Setting


class Along(Closed):
    """An adjuster and where it was put."""

    id: str
    name: str
    unit: str
    positions: list[float]
    now: float


class MemberState(Closed):
    """A state at one position."""

    reason: str = Field(description="why it was not reached, or empty")
    readings: dict[str, float | None] = Field(description="SI, in `units`")


class Member(Closed):
    """One position of every adjuster."""

    positions: dict[str, float]
    reset: dict[str, float | None] = Field(description="where the adjusters stand that keep what is held")
    note: str
    states: dict[str, MemberState] = Field(description='"at rest", then the phases')


class Sweep(Closed):
    """Every position, made in one way."""

    kind: str = Field(description="as-turned or kept")
    holds: dict[str, str]
    members: list[Member]


class RangeTold(ToldOfCar):
    """The whole range."""

    adjusters: list[Along]
    units: dict[str, str]
    sweeps: list[Sweep]


def _range(car: Car, asked: RangeAsked) -> Data:
    turns = turns_of(asked.turn, ("left",))
    held = bounds.states(car, asked.phases, turns)
    every = adjusters_of(car)
    known("adjuster", asked.adjusters, every)
    ways = 1 + bool(asked.hold)
    counts = [ceil((every[key].hi - every[key].lo) / every[key].step) + 1 for key in asked.adjusters]
    bounds.positions(counts, ways * (1 + held))
    return range_data(
        whole_range(
            car,
            asked.adjusters,
            phases=asked.phases,
            turns=turns,
            readings=asked.readings,
            hold=asked.hold,
            setup=asked.setup,
        )
    )


QUESTION = Question(
    name="range",
    summary="What an adjuster does from end to end, or two as a grid",
    about="At rest and in held phases; left turns unless `turn` says otherwise. At most "
    f"{bounds.POSITIONS} states of all positions together.",
    asked=RangeAsked,
    told=RangeTold,
    example={"car": "teasel", "adjusters": ["watt_pivot"], "readings": ["roll_centre_height_rear"]},
    work=_range,
)
