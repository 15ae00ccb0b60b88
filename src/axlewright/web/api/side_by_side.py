"""What the questions of motion have in common: setups and cars side by side, and the form of their answers."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated

from pydantic import Field

from axlewright.car.schema import Car
from axlewright.tune.events_asked import Do, follow
from axlewright.tune.export_motion import runs_data
from axlewright.units import Quantity
from axlewright.web.api import bounds
from axlewright.web.api.question import Closed, Data, Name, OfCar, Setting, Setup, Told, Value, Within
from axlewright.web.api.which_car import Cars

Seconds = Annotated[Quantity, Within("time", "0.1 s", "20 s")]
Speed = Annotated[Quantity, Within("speed", "0.5 m/s", "120 m/s")]
Ramp = Annotated[Quantity, Within("time", "0 s", "5 s")]
Share = Annotated[Quantity, Within("share", "0 %", "100 %")]
Sideways = Annotated[Quantity, Within("acceleration", "-3 g", "3 g")]
LONGEST = 20.0  # s, what a run takes at most where its length is left out


class SideBySide(OfCar):
    """Setups of one car, or several cars as they are, followed side by side."""

    setup: Setting
    also: Annotated[list[Setup], Field(max_length=bounds.SETUPS - 1)] = Field(
        default_factory=list, description="more setups of the car to compare, each on top of `setup`"
    )
    more_cars: Annotated[list[Name], Field(max_length=bounds.CARS - 1)] = Field(
        default_factory=list, description="demo cars to compare with, as they are"
    )
    seconds: Seconds | None = Field(
        default=None, description="how long to follow it; null is what the command takes", examples=["2 s"]
    )


class Dampers(Closed):
    """How a run's time is shared by damper speeds."""

    edges: list[float] = Field(description="m/s, compression positive")
    shares: dict[str, list[float | None]] = Field(
        description="damper -> shares of the time below the first edge, between edges, above the last"
    )


class RunTold(Closed):
    """One setup or car."""

    result: str = Field(description='"done", or how far it could be followed')
    settled: bool = Field(description="whether it stood still at the end")
    steps: int = Field(description="that the integration took")
    readings: dict[str, Value]
    dampers: Dampers


class RunsTold(Told):
    """Runs side by side."""

    event: str
    runs: dict[str, RunTold] = Field(description="setup or car -> run")


def followed(cars: Cars, asked: SideBySide, usual: float, do: Callable[[], Do]) -> Data:
    """Runs of every setup and car; `usual` seconds where none are asked for."""
    runs = 1 + len(asked.also) + len(asked.more_cars)
    bounds.seconds(runs, usual if asked.seconds is None else asked.seconds.value)
    every: list[Car] = [cars.car(asked), *(cars.named(name) for name in asked.more_cars)]
    return runs_data(follow(every, [asked.setup, *({**asked.setup, **one} for one in asked.also)], do()))


def si(quantity: Quantity | None) -> float | None:
    """SI value, None where nothing is given."""
    return None if quantity is None else quantity.value
