"""How far each phase can be pushed, and what runs out."""

from __future__ import annotations

from pydantic import Field

from axlewright.car.schema import Car
from axlewright.tune.export_limits import limits_data
from axlewright.tune.limits import limits
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


class LimitAsked(OfCar):
    """A car pushed along its phases."""

    phases: Phases
    turn: Turn
    setup: Setting
    adjusters: Adjusters


class Moves(Closed):
    """What an adjuster does to a margin."""

    steps: int = Field(description="usable steps")
    change: float | None = Field(description="of the margin, m/s2, first order")


class PhaseLimit(Closed):
    """A phase at its limit."""

    found: bool = Field(description="whether there is a limit along the phase's own direction")
    limit: float | None = Field(description="m/s2")
    margin: float | None = Field(description="m/s2 from the phase as it is held; negative when it can't be held")
    runs_out: str | None
    result: str
    adjusters: dict[str, Moves]


class LimitTold(ToldOfCar):
    """Every phase's limit."""

    unit: str = Field(description="of limit, margin and change")
    phases: dict[str, PhaseLimit]


def _limit(car: Car, asked: LimitAsked) -> Data:
    turns = turns_of(asked.turn, ("left",))
    bounds.states(car, asked.phases, turns)
    return limits_data(limits(car, phases=asked.phases, turns=turns, setup=asked.setup, adjusters=asked.adjusters))


QUESTION = Question(
    name="limit",
    summary="How far each phase can be pushed, and what runs out",
    about=f"And what one usable step of each adjuster does to that, exact for small steps. Left turns unless `turn` "
    f"says otherwise; at most {bounds.STATES} held states.",
    asked=LimitAsked,
    told=LimitTold,
    example={"car": "teasel", "phases": ["mid-corner"]},
    work=_limit,
)
