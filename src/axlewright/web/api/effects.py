"""What one usable step of each adjuster changes."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from axlewright.car.schema import Car
from axlewright.tune.choose import within
from axlewright.tune.effects import effects
from axlewright.tune.export import effects_data
from axlewright.web.api import bounds
from axlewright.web.api.question import (
    Adjusters,
    Closed,
    Data,
    OfCar,
    Phases,
    Question,
    Readings,
    ToldOfCar,
    Turn,
    turns_of,
)
from axlewright.web.api.state_told import PhaseState

Minutes = Annotated[float, Field(ge=0.0, le=10_000.0, allow_inf_nan=False)]


class EffectsAsked(OfCar):
    """The effects table."""

    phases: Phases
    turn: Turn
    adjusters: Adjusters
    readings: Readings
    place: Literal["grid", "pits", "scales", "workshop"] | None = Field(
        default=None, description="only what can be done there, or at a less equipped place"
    )
    minutes: Minutes | None = Field(default=None, description="only what one person can do in so many minutes")
    as_turned: bool = Field(default=False, description="the move alone, without the restoring moves")
    quick: bool = Field(default=False, description="without how sure each direction is, which takes most of the time")


class BasePhase(PhaseState):
    """A phase before anything is moved."""

    runs_out: str = Field(description="what runs out first when the phase is pushed")


class AdjusterTold(Closed):
    """An adjuster."""

    name: str
    unit: str = Field(description="of the count by hand: hole, turn, click, mm, ...")
    step: float = Field(description="one usable step, in the unit")
    position: float
    range: tuple[float, float]
    reference: str = Field(description="what positions count from")
    direction: str = Field(description="what more of it does, in words")
    minutes: float
    place: str
    recheck: list[str]
    cautions: list[str]
    ends: list[str] = Field(description="why there is no step one way")


class Changed(Closed):
    """A reading's change."""

    change: float | None = Field(description="SI, in the unit beside it; null where a state does not exist")
    unit: str
    sure: str | None = Field(description="how sure the direction is, null where it was not worked out")


class Restoring(Closed):
    """A restoring move."""

    adjuster: str
    counts: float | None = Field(description="in the adjuster's own unit")


class Effect(Closed):
    """What one step does in one phase."""

    phase: str
    adjuster: str
    steps: Literal[1, -1]
    kind: Literal["as-turned", "put-right"]
    result: str
    readings: dict[str, Changed] = Field(description="what changes by more than the reading's smallest step")
    moves: list[Restoring]
    note: str


class Sharper(Closed):
    """What would have to be measured to be surer."""

    source: str
    measure: str
    share: float


class EffectsTold(ToldOfCar):
    """The effects table."""

    phases: dict[str, BasePhase]
    adjusters: dict[str, AdjusterTold]
    effects: list[Effect]
    sharpen: list[Sharper]


def _effects(car: Car, asked: EffectsAsked) -> Data:
    turns = turns_of(asked.turn, ("left", "right"))
    bounds.states(car, asked.phases, turns)
    return effects_data(
        effects(
            car,
            phases=asked.phases,
            adjusters=within(car, asked.adjusters, asked.place, asked.minutes),
            readings=asked.readings,
            turns=turns,
            restored=not asked.as_turned,
            confidence=not asked.quick,
        )
    )


QUESTION = Question(
    name="effects",
    summary="What one usable step of each adjuster changes",
    about=f"From re-solved states, as turned and put right, in both turn directions unless `turn` says otherwise. A "
    f"whole table takes some 10 s, less with `quick`, with named phases and readings. At most {bounds.STATES} held "
    "states.",
    asked=EffectsAsked,
    told=EffectsTold,
    example={"car": "teasel", "phases": ["mid-corner"], "turn": "left", "place": "grid", "minutes": 5, "quick": True},
    work=_effects,
)
