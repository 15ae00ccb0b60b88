"""Double wishbones, front or rear: the rear has a toe link where the front has its tie rod. The left side is given."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from axlewright.car.schema.base import Table
from axlewright.car.schema.corner_parts import Rocker, TieRod, ToeLink, Wishbone
from axlewright.car.schema.independent import (
    CornerParts,
    IndependentCorner,
    IndependentFront,
    IndependentRear,
    UprightRod,
    alike,
    one_side,
    tie_rod,
)
from axlewright.car.schema.sides import Override, Side


class WishboneCorner(IndependentCorner):
    """One corner on two wishbones."""

    upper_wishbone: Wishbone = Field(description="upper wishbone")
    lower_wishbone: Wishbone = Field(description="lower wishbone")
    rocker: Rocker | None = Field(default=None, description="rocker and its push-rod or pull-rod")


class FrontWishboneCorner(WishboneCorner):
    """One front corner."""

    tie_rod: TieRod = Field(description="tie rod")


class RearWishboneCorner(WishboneCorner):
    """One rear corner."""

    toe_link: ToeLink = Field(description="toe link")


class FrontDoubleWishbone(IndependentFront, FrontWishboneCorner):
    """Double wishbones in front, left side; the right is its mirror image but for what `right` gives."""

    layout: Literal["double-wishbone"] = Field(description="kind of front suspension")
    right: Annotated[Table | None, Override(FrontWishboneCorner)] = Field(
        default=None, description="what differs on the right side"
    )

    def side(self, name: Side) -> FrontWishboneCorner:
        """One corner, overrides applied."""
        return one_side(self, FrontWishboneCorner, name, self.right)

    def parts(self, name: Side) -> CornerParts:
        """What locates the upright of one corner."""
        return _parts(self.side(name), tie_rod(self.side(name).tie_rod, self.path(name)))

    @model_validator(mode="after")
    def _sides_alike(self) -> FrontDoubleWishbone:
        alike(self)
        return self


class RearDoubleWishbone(IndependentRear, RearWishboneCorner):
    """Double wishbones at the rear, the differential on the chassis; left side, as the front."""

    layout: Literal["double-wishbone"] = Field(description="kind of rear suspension")
    right: Annotated[Table | None, Override(RearWishboneCorner)] = Field(
        default=None, description="what differs on the right side"
    )

    def side(self, name: Side) -> RearWishboneCorner:
        """One corner, overrides applied."""
        return one_side(self, RearWishboneCorner, name, self.right)

    def parts(self, name: Side) -> CornerParts:
        """What locates the upright of one corner."""
        link = self.side(name).toe_link
        rod = UprightRod("toe_link", f"{self.path(name)}.toe_link", link.chassis, link.upright, link.thread)
        return _parts(self.side(name), rod)

    @model_validator(mode="after")
    def _sides_alike(self) -> RearDoubleWishbone:
        alike(self)
        return self


def _parts(corner: WishboneCorner, rod: UprightRod) -> CornerParts:
    return CornerParts((rod,), rod.name, corner.upper_wishbone, corner.lower_wishbone, rocker=corner.rocker)
