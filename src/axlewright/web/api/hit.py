"""What the car does when the throttle opens or the brakes come on."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from axlewright.tune import events_asked
from axlewright.tune.export_swings import choices_data
from axlewright.tune.torque_link_choice import choose
from axlewright.units import Quantity
from axlewright.web.api.question import Asked, Data, Question, ToldOfCar, Within, default
from axlewright.web.api.side_by_side import Ramp, RunsTold, Share, SideBySide, followed, si
from axlewright.web.api.which_car import Cars

USUAL = 2.0  # s


class Patch(Asked):
    """Other grip on the way."""

    at: Annotated[Quantity, Within("length", "0 m", "1 km")] = Field(description="where it begins", examples=["10 m"])
    length: Annotated[Quantity, Within("length", "1 mm", "1 km")] = Field(examples=["5 m"])
    grip: Annotated[Quantity, Within("share", "1 %", "200 %")] = Field(examples=["60 %"])


class HitAsked(SideBySide):
    """A foot that comes down."""

    brake: bool = Field(default=False, description="brake instead of opening the throttle")
    speed: Annotated[Quantity, Within("speed", "0 m/s", "120 m/s")] | None = Field(
        default=None, description="15 m/s when left out, 30 m/s with `brake`; 0 m/s starts from standing"
    )
    torque: Annotated[Quantity, Within("torque", "1 N m", "20000 N m")] = Field(
        default=default("torque", "1500 N m"), description="of the driven axle", examples=["1500 N m"]
    )
    effort: Share = Field(
        default=default("share", "50 %"), description="of full pedal, with `brake`", examples=["50 %"]
    )
    ramp: Ramp | None = Field(default=None, description="how long it takes to come on", examples=["20 ms"])
    patch: Patch | None = None
    choose: bool = Field(default=False, description="which torque-link setting loses least thrust, best first, instead")


class ChoicesTold(ToldOfCar):
    """Combinations of the torque links' adjusters, best first."""

    choices: list[dict[str, float | str | None]] = Field(
        description="positions of the adjusters by id; thrust_lost_0.3 and peak_demand are shares, travel m"
    )


def _hit(cars: Cars, asked: HitAsked) -> Data:
    speed = si(asked.speed)
    if asked.choose:
        car, at = cars.car(asked), (30.0 if asked.brake else 15.0) if speed is None else speed
        return choices_data(
            car, choose(car, brake=asked.brake, torque=asked.torque.value, effort=asked.effort.value, speed=at)
        )
    patch = asked.patch and (asked.patch.at.value, asked.patch.length.value, asked.patch.grip.value)
    return followed(
        cars,
        asked,
        USUAL,
        lambda: events_asked.hit(
            brake=asked.brake,
            speed=speed,
            torque=asked.torque.value,
            effort=asked.effort.value,
            ramp=si(asked.ramp),
            patch=patch,
            seconds=USUAL if asked.seconds is None else asked.seconds.value,
        ),
    )


QUESTION = Question(
    name="hit",
    summary="What the car does when the throttle opens or the brakes come on",
    about="Tyre demand, time to full grip, thrust lost, wind-up, link forces, hop; of several setups or cars side by "
    "side.",
    asked=HitAsked,
    told=RunsTold | ChoicesTold,
    example={"car": "teasel", "torque": "1800 N m", "also": [{"drive_preload": 2000}]},
    plain=_hit,
)
