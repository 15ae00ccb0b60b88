"""Front end: double wishbones, rack, spring on either arm or on the upright. The left side is given."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, ClassVar, Literal

from pydantic import Field, model_validator

from axlewright.car.schema.bar import Bar
from axlewright.car.schema.base import Table, refuse
from axlewright.car.schema.corner import Corner, Rod
from axlewright.car.schema.point import At, Mount
from axlewright.car.schema.quantity import LengthPerTurn, RackPerTurn, Travel
from axlewright.car.schema.sides import SIDES, Override, Side, mirrored, overlaid
from axlewright.car.schema.springs import Spring


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


class FrontSide(Corner):
    """One front corner."""

    upper_wishbone: Wishbone = Field(description="upper wishbone")
    lower_wishbone: Wishbone = Field(description="lower wishbone")
    tie_rod: TieRod = Field(description="tie rod")
    spring: FrontSpring = Field(description="spring")


class FrontDoubleWishbone(FrontSide):
    """Double wishbones in front, left side; the right is its mirror image but for what `right` gives."""

    independent: ClassVar[bool] = True
    layout: Literal["double-wishbone"] = Field(description="kind of front suspension")
    bar: Bar | None = Field(default=None, description="front anti-roll bar")
    right: Annotated[Table | None, Override(FrontSide)] = Field(
        default=None, description="what differs on the right side"
    )

    @model_validator(mode="after")
    def _sides_alike(self) -> FrontDoubleWishbone:
        self.side("right")  # raises when something is changed on the right that the left has not got
        if self.side("right").spring.on != self.spring.on:
            raise refuse("another part for the right spring", "the same kind of part on both sides", "leave `on` out")
        return self

    def side(self, name: Side) -> FrontSide:
        """One corner, overrides applied."""
        left = FrontSide.model_construct(**{key: getattr(self, key) for key in FrontSide.model_fields})
        return left if name == "left" else overlaid(mirrored(left), self.right)

    def rods(self) -> Iterator[Rod]:
        """Wishbones, tie rods and springs."""
        for name in SIDES:
            corner, path = self.side(name), "front" if name == "left" else "front.right"
            for arm in ("upper_wishbone", "lower_wishbone"):
                wishbone = getattr(corner, arm)
                yield Rod(f"{path}.{arm}.front", wishbone.front, wishbone.ball)
                yield Rod(f"{path}.{arm}.rear", wishbone.rear, wishbone.ball)
                yield Rod(f"{path}.{arm}", wishbone.front, wishbone.rear)
            yield Rod(f"{path}.tie_rod", corner.tie_rod.rack, corner.tie_rod.upright)
            yield Rod(f"{path}.spring", corner.spring.chassis, corner.spring.moving)


class Steering(Table):
    """Rack and column."""

    rack_per_turn: RackPerTurn | None = Field(
        default=None, description="rack travel for one turn of the steering wheel"
    )
    travel: Travel | None = Field(default=None, description="rack travel from straight ahead to either lock")
