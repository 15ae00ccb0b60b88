"""Front end: double wishbones, rack, spring on either arm or on the upright. The left side is given."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from axlewright.car.schema.bar import Bar
from axlewright.car.schema.base import Table, refuse
from axlewright.car.schema.point import At, Mount
from axlewright.car.schema.quantity import Camber, LengthPerTurn, RackPerTurn, SmallAngle, Travel
from axlewright.car.schema.sides import Override, Side, mirrored, overlaid
from axlewright.car.schema.springs import Damper, Spring, Stop


class Wishbone(Table):
    """Two inner pivots and a ball joint on the upright."""

    front: Mount = Field(description="forward inner pivot, on the chassis")
    rear: Mount = Field(description="rearward inner pivot, on the chassis")
    ball: At = Field(description="ball joint on the upright")


class TieRod(Table):
    """Tie rod from the rack to the upright."""

    rack: Mount = Field(description="end on the rack, straight ahead")
    upright: Mount = Field(description="end on the upright")
    thread: LengthPerTurn | None = Field(default=None, description="change of its length for one turn")


class FrontSpring(Spring):
    """The front spring, and the part that it stands on."""

    on: Literal["lower-arm", "upper-arm", "upright"] = Field(description="part that carries the moving end")


class FrontSide(Table):
    """One front corner."""

    wheel_centre: At = Field(description="centre of the wheel; its height is the loaded radius")
    camber: Camber = Field(description="positive: top outward")
    toe: SmallAngle = Field(description="of this wheel, positive: toe-in")
    upper_wishbone: Wishbone = Field(description="upper wishbone")
    lower_wishbone: Wishbone = Field(description="lower wishbone")
    tie_rod: TieRod = Field(description="tie rod")
    spring: FrontSpring = Field(description="spring")
    bump_stop: Stop | None = Field(default=None, description="bump stop, on the damper's line")
    droop_stop: Stop | None = Field(default=None, description="droop stop, on the damper's line")
    damper: Damper | None = Field(default=None, description="damper; on the spring's line unless its ends are given")


class Front(FrontSide):
    """Front end, left side; the right is its mirror image but for what `right` gives."""

    layout: Literal["double-wishbone"] = Field(description="kind of front suspension")
    bar: Bar | None = Field(default=None, description="front anti-roll bar")
    right: Annotated[Table | None, Override(FrontSide)] = Field(
        default=None, description="what differs on the right side"
    )

    @model_validator(mode="after")
    def _sides_alike(self) -> Front:
        self.side("right")  # raises when something is changed on the right that the left has not got
        if self.side("right").spring.on != self.spring.on:
            raise refuse("another part for the right spring", "the same kind of part on both sides", "leave `on` out")
        return self

    def side(self, name: Side) -> FrontSide:
        """One corner, overrides applied."""
        left = FrontSide.model_construct(**{key: getattr(self, key) for key in FrontSide.model_fields})
        return left if name == "left" else overlaid(mirrored(left), self.right)


class Steering(Table):
    """Rack and column."""

    rack_per_turn: RackPerTurn | None = Field(
        default=None, description="rack travel for one turn of the steering wheel"
    )
    travel: Travel | None = Field(default=None, description="rack travel from straight ahead to either lock")
