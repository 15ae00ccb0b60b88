"""How the car answers steering, and a foot in a turn."""

from __future__ import annotations

from pydantic import Field

from axlewright.tune import events_asked
from axlewright.tune.events_asked import How
from axlewright.web.api.question import Data, Question, default
from axlewright.web.api.side_by_side import Ramp, RunsTold, Share, SideBySide, Sideways, Speed, followed, si
from axlewright.web.api.which_car import Cars

USUAL = {"step": 4.0, "sweep": 20.0, "lift-off": 3.0, "brake": 2.0}  # s


class SteerAsked(SideBySide):
    """A hand or a foot."""

    how: How = Field(
        default="step",
        description="a step of steering, a sine of rising frequency, lifting off in a turn, braking in a turn",
    )
    speed: Speed = Field(default=default("speed", "28 m/s"), examples=["28 m/s"])
    ay: Sideways | None = Field(default=None, description="of the turn, left positive", examples=["0.4 g"])
    ramp: Ramp | None = Field(default=None, description="how long the step or the foot takes", examples=["150 ms"])
    effort: Share = Field(default=default("share", "20 %"), description='of full pedal, for "brake"', examples=["20 %"])


def _steer(cars: Cars, asked: SteerAsked) -> Data:
    return followed(
        cars,
        asked,
        USUAL[asked.how],
        lambda: events_asked.steer(
            how=asked.how,
            speed=asked.speed.value,
            ay=si(asked.ay),
            ramp=si(asked.ramp),
            effort=asked.effort.value,
            seconds=si(asked.seconds),
        ),
    )


QUESTION = Question(
    name="steer",
    summary="How the car answers steering, and a foot in a turn",
    about="Response times, overshoot, gain and phase (ISO 7401); lifting off (ISO 9816) and braking in a turn (ISO "
    "7975); of several setups or cars side by side.",
    asked=SteerAsked,
    told=RunsTold,
    example={"car": "teasel", "how": "step", "speed": "28 m/s", "ay": "0.4 g"},
    plain=_steer,
)
