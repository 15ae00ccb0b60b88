"""What there is to ask about: the cars, their phases and adjusters; and the form of car files."""

from __future__ import annotations

from typing import Any

from pydantic import Field

from axlewright.car.adjusters import adjusters_of
from axlewright.car.file import DEMO_CARS
from axlewright.car.json_schema import json_schema
from axlewright.car.schema import Car
from axlewright.web.api.question import BENCH, Asked, Closed, Data, Question, Told
from axlewright.web.api.which_car import Cars

VERSION = 1


class CarTold(Closed):
    """A car that can be asked about."""

    name: str = Field(description='what to give as `car`: "bench", or a demo car\'s name')
    car: str = Field(description="name of the car, as its file says")
    phases: list[str]
    adjusters: list[str] = Field(description="ids")


class CarsTold(Told):
    """Cars."""

    cars: list[CarTold]


def _cars(cars: Cars, asked: Asked) -> Data:
    del asked
    every = [_described(BENCH, cars.bench.now()), *(_described(name, cars.named(name)) for name in DEMO_CARS)]
    return {"version": VERSION, "cars": every}


def _described(name: str, car: Car) -> Data:
    phases = [phase.name for phase in car.phases]
    return {"name": name, "car": car.name, "phases": phases, "adjusters": list(adjusters_of(car))}


def _schema(cars: Any, asked: Asked) -> Data:
    del cars, asked
    return json_schema()


CARS = Question(
    name="cars",
    summary="Which cars there are to ask about, with their phases and adjusters",
    about="The car on the bench first, then the demo cars.",
    asked=Asked,
    told=CarsTold,
    plain=_cars,
)
SCHEMA = Question(
    name="schema",
    summary="JSON Schema of car files",
    about="For editors that complete and check them; the same as `axlewright schema`.",
    asked=Asked,
    told=dict[str, Any],
    plain=_schema,
)
