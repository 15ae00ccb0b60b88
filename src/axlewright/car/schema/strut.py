"""Front struts: the rod slides in the upright, which a lower wishbone or track-control arm and a tie rod hold."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from axlewright.car.schema.base import Table
from axlewright.car.schema.corner_parts import Strut, TieRod, Wishbone
from axlewright.car.schema.independent import CornerParts, IndependentCorner, IndependentFront, alike, one_side, tie_rod
from axlewright.car.schema.sides import Override, Side


class StrutCorner(IndependentCorner):
    """One front corner on a strut, its spring round the strut (on the upright) or on the lower arm."""

    strut: Strut = Field(description="strut")
    lower_wishbone: Wishbone = Field(description="lower wishbone, or track-control arm and drag link")
    tie_rod: TieRod = Field(description="tie rod")


class FrontStrut(IndependentFront, StrutCorner):
    """Struts in front, left side; the right is its mirror image but for what `right` gives."""

    layout: Literal["strut"] = Field(description="kind of front suspension")
    right: Annotated[Table | None, Override(StrutCorner)] = Field(
        default=None, description="what differs on the right side"
    )

    def side(self, name: Side) -> StrutCorner:
        """One corner, overrides applied."""
        return one_side(self, StrutCorner, name, self.right)

    def parts(self, name: Side) -> CornerParts:
        """What locates the upright of one corner."""
        corner = self.side(name)
        rod = tie_rod(corner.tie_rod, self.path(name))
        return CornerParts((rod,), rod.name, lower=corner.lower_wishbone, strut=corner.strut)

    @model_validator(mode="after")
    def _sides_alike(self) -> FrontStrut:
        alike(self)
        return self
