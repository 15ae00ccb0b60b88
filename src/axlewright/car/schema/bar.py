"""Anti-roll bar on the chassis, with a drop link at each end."""

from __future__ import annotations

from itertools import pairwise
from typing import Literal

from pydantic import Field, model_validator

from axlewright.car.schema.base import Table, refuse
from axlewright.car.schema.point import At
from axlewright.car.schema.quantity import BendingStiffness, LengthPerTurn, Modulus, Size, SpringRate


class MeasuredBar(Table):
    """A bar's rate as measured: load at one drop link per movement of it, the other drop link held."""

    rate: SpringRate = Field(description="rate at the drop link")
    hole: int = Field(ge=1, description="hole in which both drop links were")


class BarSide(Table):
    """Where one end of the bar is."""

    pivot: At = Field(description="the bar's axis in the plane of the arm")
    arm_end: At = Field(description="a point on the arm's line through its holes, such as the outermost hole")
    drop_link: At = Field(description="lower end of the drop link, on the part that moves with the wheel")
    hole: int = Field(description="hole in use, counted from the pivot, so hole 1 is the stiffest", ge=1)


class Bar(BarSide):
    """A round bar, solid or tube. Its torsion is computed, unless its rate has been measured."""

    on: Literal["lower-arm", "upper-arm", "upright", "rocker", "axle"] = Field(
        description="part that the drop link pulls on"
    )
    diameter: Size | None = Field(default=None, description="outside diameter of the round part")
    wall: Size | None = Field(default=None, description="wall thickness of a tube; a solid bar when left out")
    length: Size | None = Field(default=None, description="length that twists, between the arms")
    shear_modulus: Modulus | None = Field(default=None, description="G of the material, 79.3 GPa for steel")
    arm_bending: BendingStiffness | None = Field(default=None, description="E I of one arm; stiff arms when left out")
    measured: MeasuredBar | None = Field(
        default=None, description="measured rate, instead of diameter, length and arm bending"
    )
    holes: tuple[Size, ...] = Field(min_length=1, description="arm length at each hole, hole 1 nearest the pivot")
    drop_link_thread: LengthPerTurn | None = Field(default=None, description="change of drop-link length for one turn")
    right: RightBar | None = Field(default=None, description="what differs on the right; the hole, for a staggered bar")

    @model_validator(mode="after")
    def _enough(self) -> Bar:
        computed = None not in (self.diameter, self.length, self.shear_modulus)
        if computed == (self.measured is not None):
            found = "both a measured rate and dimensions" if computed else "neither a measured rate nor all dimensions"
            raise refuse(found, "`measured`, or `diameter`, `length` and `shear_modulus`", "keep the one you trust")
        if self.diameter and self.wall and self.wall.value > self.diameter.value / 2:
            raise refuse(f'a wall of "{self.wall}"', f'at most half the diameter "{self.diameter}"', "check the wall")
        holes = [self.hole, *([self.right.hole] if self.right and self.right.hole else [])]
        holes += [self.measured.hole] if self.measured else []
        if max(holes) > len(self.holes):
            raise refuse(
                f"hole {max(holes)}", f"a hole from 1 to {len(self.holes)}", "list the hole or change the number"
            )
        if any(b.value <= a.value for a, b in pairwise(self.holes)):
            raise refuse("arm lengths that do not go up", "hole 1 nearest the pivot", "sort `holes` by arm length")
        return self


class RightBar(Table):
    """What differs at the right end of a bar."""

    pivot: At | None = Field(default=None, description="the bar's axis in the plane of the arm")
    arm_end: At | None = Field(default=None, description="a point on the arm's line through its holes")
    drop_link: At | None = Field(default=None, description="lower end of the drop link")
    hole: int | None = Field(default=None, ge=1, description="hole in use on the right")


Bar.model_rebuild()
