"""What state the car settles into in each phase."""

from __future__ import annotations

from pydantic import Field

from axlewright.car.schema import Car
from axlewright.solve.verbs import hold
from axlewright.tune.choose import chosen_phases, chosen_readings
from axlewright.tune.export import held_data
from axlewright.web.api import bounds
from axlewright.web.api.question import Data, OfCar, Phases, Question, Readings, Setting, ToldOfCar, Turn, turns_of
from axlewright.web.api.state_told import HeldState


class HoldAsked(OfCar):
    """A car held in its phases."""

    phases: Phases
    turn: Turn
    setup: Setting
    readings: Readings
    all: bool = Field(default=False, description="every reading, part forces too")


class HoldTold(ToldOfCar):
    """The held states."""

    phases: dict[str, HeldState] = Field(description="phase and turn -> state")


def _hold(car: Car, asked: HoldAsked) -> Data:
    turns = turns_of(asked.turn, ("left",))
    bounds.states(car, asked.phases, turns)
    held = chosen_phases(car, asked.phases, turns)
    solved = hold(car, held, asked.setup)
    shown = chosen_readings(solved.machine, asked.readings, at_rest=False, everything=asked.all)
    return held_data(car.name, held, shown, solved)


QUESTION = Question(
    name="hold",
    summary="What state the car settles into in each phase",
    about=f"Balance, tyre loads, roll, travel, part loads; left turns unless `turn` says otherwise. At most "
    f"{bounds.STATES} held states (phases times turn directions).",
    asked=HoldAsked,
    told=HoldTold,
    example={"car": "teasel", "phases": ["mid-corner"], "turn": "both"},
    work=_hold,
)
