"""The remaining tables: air, chassis, rules card, adjusters and setup."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from axlewright.car.schema.base import Table
from axlewright.car.schema.quantity import AirDensity, Area, Height, Mass, Size, Time, TorsionalStiffness


class Aero(Table):
    """Air forces: coefficient times area, so that no reference area is needed."""

    drag_area: Area = Field(description="drag coefficient times area")
    drag_height: Height = Field(description="height above ground at which drag acts")
    lift_area_front: Area = Field(description="front downforce coefficient times area, downforce positive")
    lift_area_rear: Area = Field(description="rear downforce coefficient times area, downforce positive")
    air_density: AirDensity = Field(description="air density, 1.2 kg/m^3 on a mild day near sea level")


class Chassis(Table):
    """A chassis that twists between its front and rear halves."""

    torsion_stiffness: TorsionalStiffness = Field(description="moment per twist between the axles")
    torsion_height: Height = Field(description="height of the axis about which the halves twist")


class Rules(Table):
    """The rules card: limits to stay within."""

    name: str = Field(default="", description="class and year, in words")
    least_mass: Mass | None = Field(default=None, description="minimum mass")
    least_ride_height: Size | None = Field(default=None, description="minimum ride height")
    widest_track: Size | None = Field(default=None, description="maximum track")


class Adjuster(Table):
    """What a person may say about one of the car's adjusters; the rest is standard."""

    name: str | None = Field(default=None, description="what the team calls it")
    step: float | None = Field(
        default=None, gt=0, description="usable step: the smallest move worth making, in its own count"
    )
    low: float | None = Field(default=None, description="lowest position")
    high: float | None = Field(default=None, description="highest position")
    time: Time | None = Field(default=None, description="how long one move takes")
    place: Literal["grid", "pits", "scales", "workshop"] | None = Field(
        default=None, description="where it can be done"
    )
    reference: str | None = Field(default=None, description="where it is counted from, such as: from closed")
    direction: str | None = Field(default=None, description="which way is up, such as: clockwise seen from above")
    recheck: tuple[str, ...] | None = Field(default=None, description="what to look at again after a move")
    unit: str | None = Field(default=None, description="unit of its count; only for one of your own")
    made_of: dict[str, float] | None = Field(
        default=None,
        description="an adjuster of your own: the standard ones it moves, and by how many counts for one of its",
    )
    off: bool = Field(default=False, description="true: leave it out of the effects table")
