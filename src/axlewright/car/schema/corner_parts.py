"""Parts that locate an upright and that carry the car on it, whatever the layout."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from axlewright.car.schema.bar import BarSide, RightBar
from axlewright.car.schema.base import Name, Table, refuse
from axlewright.car.schema.point import At, Mount
from axlewright.car.schema.quantity import LengthPerTurn, Size, SpringRate, StiffRate
from axlewright.car.schema.sides import Override, Side, mirrored, overlaid
from axlewright.car.schema.springs import Spring

LinkedPart = Literal["lower-arm", "upper-arm", "upright"]
CarryingPart = Literal["lower-arm", "upper-arm", "upright", "rocker"]


class Wishbone(Table):
    """Two inner pivots and a ball joint on the upright: a wishbone, or a track-control arm with its drag link."""

    front: Mount = Field(description="forward inner pivot, on the chassis")
    rear: Mount = Field(description="rearward inner pivot, on the chassis")
    ball: At = Field(description="ball joint on the upright")


class TieRod(Table):
    """Tie rod from the steering to the upright."""

    rack: Mount = Field(description="end on the rack or relay link, straight ahead")
    upright: Mount = Field(description="end on the upright")
    thread: LengthPerTurn | None = Field(default=None, description="change of its length for one turn")


class ToeLink(Table):
    """Toe link of an independent rear: a tie rod whose inner end is on the chassis."""

    chassis: Mount = Field(description="end on the chassis")
    upright: Mount = Field(description="end on the upright")
    thread: LengthPerTurn | None = Field(default=None, description="change of its length for one turn")


class Strut(Table):
    """A strut: a rod that slides in the upright and is held by a ball joint in the chassis."""

    top: At = Field(description="top mount, where the rod is jointed to the chassis")
    upright: At = Field(description="a point on the rod's line low down, where the upright clamps the tube")


class PushRod(Table):
    """Push-rod or pull-rod between a part of the corner and the rocker."""

    on: LinkedPart = Field(description="part that carries its outer end")
    moving: Mount = Field(description="end that moves with the wheel")
    rocker: Mount = Field(description="end on the rocker")
    thread: LengthPerTurn | None = Field(default=None, description="change of its length for one turn")


class Rocker(Table):
    """A bellcrank on the chassis, turned by a push-rod or pull-rod; spring, bar and third spring may be on it."""

    pivot: At = Field(description="a point on its pivot axis")
    axis: At = Field(description="another point on its pivot axis")
    rod: PushRod = Field(description="push-rod or pull-rod")


class CornerSpring(Spring):
    """The spring of a corner, and the part that it stands on."""

    on: CarryingPart = Field(description="part that carries the moving end")


class ThirdSpring(BarSide):
    """A spring between two arms on one axis: it resists both wheels rising, and leaves roll alone.

    On the drawn car it carries nothing; its drop links preload it.
    """

    on: CarryingPart = Field(description="part that the drop links pull on")
    holes: tuple[Size, ...] = Field(min_length=1, description="arm length at each hole, hole 1 nearest the pivot")
    rate: SpringRate = Field(description="rate of the spring between the two arms")
    spring_arm: Size = Field(description="how far from the arms' axis the spring acts, on each arm")
    drop_link_thread: LengthPerTurn | None = Field(default=None, description="change of drop-link length for one turn")
    right: RightBar | None = Field(default=None, description="what differs on the right")

    @model_validator(mode="after")
    def _holes_exist(self) -> ThirdSpring:
        hole = max(self.hole, (self.right.hole if self.right else None) or 1)
        if hole > len(self.holes):
            raise refuse(f"hole {hole}", f"a hole from 1 to {len(self.holes)}", "list the hole or change the number")
        return self


class UprightLinkEnds(Table):
    """Two ends of a link to an upright, a stiffness if it gives, and a length if it has been measured."""

    chassis: Mount = Field(description="end on the chassis")
    upright: Mount = Field(description="end on the upright")
    stiffness: StiffRate | None = Field(default=None, description="rate of the link with its ends; rigid when left out")
    length: Size | None = Field(default=None, description="measured centre to centre; checked against the points")
    thread: LengthPerTurn | None = Field(default=None, description="change of its length for one turn")


class UprightLink(UprightLinkEnds):
    """A link to the upright, given for the left and mirrored on the right."""

    name: Name = Field(description="name of the link")
    right: Annotated[Table | None, Override(UprightLinkEnds)] = Field(
        default=None, description="what differs on the right"
    )

    def ends(self, side: Side) -> UprightLinkEnds:
        """The link of one side, overrides applied."""
        left = UprightLinkEnds.model_construct(**{key: getattr(self, key) for key in UprightLinkEnds.model_fields})
        return left if side == "left" else overlaid(mirrored(left), self.right)
