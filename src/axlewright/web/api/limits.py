"""What binds, bottoms, comes loose or touches first."""

from __future__ import annotations

from pydantic import Field

from axlewright.car.schema import Car
from axlewright.tune.export_limits import runs_out_data
from axlewright.tune.runs_out import runs_out
from axlewright.web.api import bounds
from axlewright.web.api.question import (
    Adjusters,
    Closed,
    Data,
    OfCar,
    Phases,
    Question,
    Setting,
    ToldOfCar,
    Turn,
    turns_of,
)


class LimitsAsked(OfCar):
    """A car cycled through its travel and held in its phases."""

    phases: Phases
    turn: Turn
    setup: Setting
    adjusters: Adjusters
    quick: bool = Field(default=False, description="without what adjusters do to it, which takes most of the time")


class Cycled(Closed):
    """How far the linkage was cycled."""

    bump: list[float] = Field(description="LF, RF, LR, RR up, m")
    droop: list[float] = Field(description="the same down, m, negative")
    lock: float = Field(description="rack travel, m")
    wind_up: float = Field(description="rad both ways")


class Least(Closed):
    """Where least is left."""

    left: float | None = Field(description="SI; negative once used up")
    where: str


class Step(Closed):
    """What a usable step does where least is left."""

    adjuster: str
    steps: int
    change: float = Field(description="SI, positive: more left")


class Entry(Closed):
    """One thing that can run out."""

    id: str
    name: str
    unit: str
    word: str = Field(description='what it is once it is used up, "near", or empty')
    used_up: str
    at_rest: float | None
    whole: float | None = Field(description="what there is of it in all")
    left: float | None
    share: float | None = Field(description="left of the whole; negative once used up")
    where: str
    eaten_by: str = Field(description="the move or phase that takes most of it")
    travel: Least | None = Field(description="null where it means nothing while only the linkage moves")
    phase: Least | None
    steps: list[Step] = Field(description="the one that gives most back first")


class LimitsTold(ToldOfCar):
    """What runs out, least first."""

    travel: Cycled
    not_reached: list[str]
    results: dict[str, str] = Field(description="phase and turn -> how it was solved")
    limits: list[Entry]


def _limits(car: Car, asked: LimitsAsked) -> Data:
    turns = turns_of(asked.turn, ("left", "right"))
    bounds.states(car, asked.phases, turns)
    return runs_out_data(
        runs_out(
            car,
            phases=asked.phases,
            turns=turns,
            setup=asked.setup,
            adjusters=asked.adjusters,
            steps=not asked.quick,
        )
    )


QUESTION = Question(
    name="limits",
    summary="What binds, bottoms, comes loose or touches first",
    about="Through travel and in every phase, in both turn directions unless `turn` says otherwise. A screening from "
    f"drawn points: prove it by cycling the car by hand. At most {bounds.STATES} held states.",
    asked=LimitsAsked,
    told=LimitsTold,
    example={"car": "teasel", "phases": ["mid-corner"], "quick": True},
    work=_limits,
)
