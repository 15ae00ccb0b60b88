"""How the car stands, as on scales."""

from __future__ import annotations

from pydantic import Field

from axlewright.car.schema import Car
from axlewright.solve.verbs import rest
from axlewright.tune.choose import chosen_readings
from axlewright.tune.export import rest_data
from axlewright.web.api.question import Data, OfCar, Question, Readings, Setting, ToldOfCar
from axlewright.web.api.state_told import RestState


class RestAsked(OfCar):
    """A car at rest."""

    setup: Setting
    readings: Readings
    all: bool = Field(default=False, description="every reading, part forces too")


class RestTold(ToldOfCar):
    """The car at rest."""

    rest: RestState


def _rest(car: Car, asked: RestAsked) -> Data:
    solved = rest(car, asked.setup)
    shown = chosen_readings(solved.machine, asked.readings, at_rest=True, everything=asked.all)
    return rest_data(car.name, shown, solved)


QUESTION = Question(
    name="rest",
    summary="How the car stands, as on scales",
    about="On slip plates: corner weights, ride heights, rates, geometry.",
    asked=RestAsked,
    told=RestTold,
    example={"car": "teasel", "setup": {"perch_LF": 2}, "readings": ["cross_weight"]},
    work=_rest,
)
