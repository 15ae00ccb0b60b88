"""What a bump, kerb, ripples or a rough road does to it, and what dropping it off blocks does."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from axlewright.car.schema.base import refuse
from axlewright.tune import events_asked
from axlewright.units import Quantity
from axlewright.web.api.question import Asked, Data, Question, Within, default
from axlewright.web.api.side_by_side import RunsTold, SideBySide, Sideways, Speed, followed, si
from axlewright.web.api.which_car import Cars

USUAL, DROPPED = 4.0, 2.0  # s
Height = Annotated[Quantity, Within("length", "-0.5 m", "0.5 m")]
Length = Annotated[Quantity, Within("length", "10 mm", "100 m")]


class Bump(Asked):
    """A height along a length."""

    height: Height = Field(examples=["20 mm"])
    length: Length = Field(examples=["0.6 m"])


class Ripples(Asked):
    """Waves."""

    height: Height = Field(examples=["10 mm"])
    wave: Length = Field(description="from crest to crest", examples=["3.5 m"])


class RoadAsked(SideBySide):
    """Roads that add up, or blocks to drop from: at least one of them."""

    rough: Literal["A", "B", "C", "D", "E", "F", "G", "H"] | None = Field(
        default=None, description="a random road of an ISO 8608 class"
    )
    bump: Bump | None = None
    kerb: Bump | None = Field(default=None, description="with ramps")
    ripples: Ripples | None = None
    drop: tuple[Height, Height, Height, Height] | None = Field(
        default=None, description="heights of blocks under LF, RF, LR, RR", examples=[["30 mm", "0 mm", "0 mm", "0 mm"]]
    )
    side: Literal["left", "right", "both", "opposed"] = Field(
        default="both", description="of bump, kerb or ripples; opposed: down on the right where it is up on the left"
    )
    seed: int = Field(default=1, ge=0, le=1_000_000, description="of a random road: another number, another road")
    speed: Speed = Field(default=default("speed", "25 m/s"), examples=["25 m/s"])
    ax: Sideways = Field(default=default("acceleration", "0 g"), description="driving, or braking if negative")
    ay: Sideways = Field(default=default("acceleration", "0 g"), description="in a turn, left positive")

    @model_validator(mode="after")
    def _some(self) -> RoadAsked:
        if not any((self.rough, self.bump, self.kerb, self.ripples, self.drop)):
            raise refuse("no road", "rough, bump, kerb, ripples or drop", 'add one, such as "rough": "B"')
        return self


def _road(cars: Cars, asked: RoadAsked) -> Data:
    ripples = asked.ripples and (asked.ripples.height.value, asked.ripples.wave.value)
    return followed(
        cars,
        asked,
        USUAL if asked.drop is None else DROPPED,
        lambda: events_asked.road(
            rough=asked.rough,
            bump=_pair(asked.bump),
            kerb=_pair(asked.kerb),
            ripples=ripples,
            drop=None if asked.drop is None else [height.value for height in asked.drop],
            side=asked.side,
            seed=asked.seed,
            speed=asked.speed.value,
            ax=asked.ax.value,
            ay=asked.ay.value,
            seconds=si(asked.seconds),
        ),
    )


def _pair(found: Bump | None) -> tuple[float, float] | None:
    return found and (found.height.value, found.length.value)


QUESTION = Question(
    name="road",
    summary="What a bump, kerb, ripples or a rough road does to it",
    about="Tyre loads, body acceleration, hop, damper speeds; of several setups or cars side by side.",
    asked=RoadAsked,
    told=RunsTold,
    example={"car": "teasel", "bump": {"height": "20 mm", "length": "0.6 m"}, "speed": "25 m/s"},
    plain=_road,
)
