"""Phases: the held manoeuvres that a driver talks about. Both turn directions are solved."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from axlewright.car.schema.base import Of, Table, refuse
from axlewright.car.schema.quantity import Acceleration, AngularAcceleration, Length, SlopeAngle, Speed
from axlewright.units import Quantity

# Common practice, no source: treaded tyres keep more in the wet than slicks, so a car file may give its own numbers.
GRIP_LEVELS = {"dry": 1.0, "greasy": 0.8, "wet": 0.6}


@dataclass(frozen=True, slots=True)
class GripLevel(Of):
    """A grip level in words, or a factor on every tyre's grip."""

    def read(self, found: object) -> Quantity:
        """The factor, with the word kept."""
        if isinstance(found, str) and found in GRIP_LEVELS:
            return Quantity(GRIP_LEVELS[found], None, found)
        try:
            return Of.read(self, found)
        except PydanticCustomError as error:
            words = ", ".join(GRIP_LEVELS)
            shown = (error.context or {})["found"]
            raise refuse(shown, f"{words}, or a factor from {self.low} to {self.high}", "write one of these") from error


Grip = Annotated[Quantity, GripLevel("share", "0.05", "2")]


class Road(Table):
    """Height of the road under each wheel, such as a kerb. In a straight line, inside is left."""

    inside_front: Length | None = Field(default=None, description="under the inside front wheel")
    outside_front: Length | None = Field(default=None, description="under the outside front wheel")
    inside_rear: Length | None = Field(default=None, description="under the inside rear wheel")
    outside_rear: Length | None = Field(default=None, description="under the outside rear wheel")


class Phase(Table):
    """One held manoeuvre."""

    name: str = Field(min_length=1, description="what it is called")
    ax: Acceleration = Field(description="forward; braking is negative")
    ay: Acceleration = Field(description="sideways, towards the inside of the turn: never negative")
    speed: Speed = Field(description="speed")
    effort: Literal["engine", "brakes", "coast"] = Field(description="what drives or holds the car")
    grip: Grip = Field(default="dry", validate_default=True, description="dry, greasy, wet, or a factor on grip")
    vertical: Acceleration | None = Field(default=None, description="added vertical acceleration, positive in a dip")
    yaw_acceleration: AngularAcceleration | None = Field(default=None, description="positive into the turn")
    banking: SlopeAngle | None = Field(default=None, description="positive: the outside of the turn is high and helps")
    grade: SlopeAngle | None = Field(default=None, description="positive: uphill")
    road: Road | None = Field(default=None, description="road height under each wheel")

    @model_validator(mode="after")
    def _sense(self) -> Phase:
        if self.ay.value < 0:
            raise refuse(
                f'"{self.ay}"', "a sideways acceleration that is not negative", "drop the sign; both turns are solved"
            )
        if self.ay.value > 0 and self.speed.value == 0:
            raise refuse(f'ay "{self.ay}" at no speed', "a speed above zero in a turn", "give the speed")
        if self.effort == "brakes" and self.ax.value > 0:
            raise refuse(
                f'ax "{self.ax}" on the brakes',
                "a negative ax when braking",
                'write a minus sign, or effort = "engine"',
            )
        return self

    @property
    def grip_factor(self) -> float:
        """Factor on every tyre's grip."""
        return self.grip.value


def _phase(name: str, ax: str, ay: str, speed: str, effort: str, **more: object) -> Phase:
    table = {"name": name, "ax": ax, "ay": ay, "speed": speed, "effort": effort, **more}
    return Phase.model_validate(table)


def standard_phases() -> tuple[Phase, ...]:
    """The seven phases of a car file that lists none: a club endurance coupe on slicks, common practice, no source."""
    return (
        _phase("straight braking", "-1.0 g", "0 g", "45 m/s", "brakes"),
        _phase("entry", "-0.6 g", "0.7 g", "38 m/s", "brakes"),
        _phase("mid-corner", "0 g", "1.0 g", "32 m/s", "engine"),
        _phase("exit", "0.35 g", "0.85 g", "30 m/s", "engine"),
        _phase("launch", "0.6 g", "0 g", "10 m/s", "engine"),
        _phase("fast corner", "0 g", "1.1 g", "50 m/s", "engine"),
        _phase("kerb", "0 g", "0.8 g", "28 m/s", "engine", road={"inside_front": "25 mm"}),
    )
