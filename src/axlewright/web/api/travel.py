"""Where the linkage goes when its wheels move, and what its geometry does."""

from __future__ import annotations

from math import radians
from typing import Annotated, Literal

from pydantic import Field

from axlewright.car.schema import Car
from axlewright.say.numbers import units_of
from axlewright.say.spans import POINTS, USUAL, poses_of
from axlewright.solve.travel import travel
from axlewright.tune.choose import chosen_geometry
from axlewright.tune.travelled import travel_data
from axlewright.web.api import bounds
from axlewright.web.api.question import Closed, Data, Name, OfCar, Question, Readings, Setting, Setup, ToldOfCar

Span = Annotated[str, Field(min_length=1, max_length=60)]
Angle = Annotated[float, Field(ge=-360.0, le=360.0, allow_inf_nan=False)]


class TravelAsked(OfCar):
    """A linkage that is moved; movements combine as a grid, bump of -60..60 mm when none is given."""

    bump: Span | None = Field(default=None, description="both wheels of each end up: FROM..TO", examples=["-60..60 mm"])
    roll: Span | None = Field(default=None, description="chassis roll, right side down", examples=["-3..3 deg"])
    steer: Span | None = Field(default=None, description="rack travel, left positive", examples=["-20..20 mm"])
    wind_up: Span | None = Field(default=None, description="of the axle housing, nose up", examples=["0..4 deg"])
    wheels: dict[Literal["LF", "RF", "LR", "RR"], Span] = Field(
        default_factory=dict, description="one wheel up: FROM..TO"
    )
    points: int | None = Field(
        default=None, ge=2, le=201, description=f"positions of each movement, {POINTS} when left out"
    )
    active: Literal["drive", "brake"] = Field(default="drive", description="torque link that holds")
    assembly: dict[Name, Angle] = Field(
        default_factory=dict, max_length=8, description="put together another way than drawn: part -> degrees"
    )
    setup: Setting
    against: Setup | None = Field(default=None, description="a second setup, told after the first one")
    readings: Readings
    all: bool = Field(default=False, description="every geometry reading")


class Pose(Closed):
    """What the linkage was made to do: m and rad, zero as drawn."""

    bump: float
    roll: float
    steer: float
    wind_up: float
    LF: float
    RF: float
    LR: float
    RR: float
    reached: bool
    share: float | None = Field(description="how much of the way from the drawn pose is reached")
    reason: str = Field(description="why it is not reached")


class Curve(Closed):
    """A reading in every pose."""

    unit: str = Field(description="SI")
    values: list[float | None] = Field(description="null where the pose is not reached")


class Travel(Closed):
    """One setup through its travel."""

    setup: dict[str, float]
    axes: dict[str, list[float]] = Field(description="movements that vary, the last fastest: m or rad")
    poses: list[Pose]
    readings: dict[str, Curve]


class TravelTold(ToldOfCar):
    """Setups through their travel."""

    travel: list[Travel]


def _travel(car: Car, asked: TravelAsked) -> Data:
    moved = {"bump": asked.bump, "roll": asked.roll, "steer": asked.steer, "wind_up": asked.wind_up}
    given = {name: text for name, text in moved.items() if text is not None} | dict(asked.wheels)
    bounds.poses([asked.points or POINTS for text in (given or USUAL).values() if ".." in text])
    poses = poses_of(given, asked.points, units_of(car, None))
    setups = {"as set": asked.setup} | ({} if asked.against is None else {"against": asked.against})
    way = {part: radians(angle) for part, angle in asked.assembly.items()}
    found = {name: travel(car, poses, setup, active=asked.active, assembly=way) for name, setup in setups.items()}
    shown = chosen_geometry(found["as set"].solved.machine, asked.readings, everything=asked.all)
    return travel_data(car.name, found, setups, shown)


QUESTION = Question(
    name="travel",
    summary="What the geometry does as the wheels move",
    about="The chassis stands still and the springs are out. A movement is FROM..TO or one position, with its unit or "
    f"in the car file's own kind of unit. At most {bounds.POSES} positions of the linkage.",
    asked=TravelAsked,
    told=TravelTold,
    example={"car": "teasel", "roll": "-3..3 deg", "readings": ["roll_centre_height_rear"]},
    work=_travel,
)
