"""Beam axles, on any list of links: what they all have, and the live axle."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, ClassVar, Literal

from pydantic import Field, model_validator

from axlewright.car.schema.bar import Bar
from axlewright.car.schema.base import Name, Table, refuse
from axlewright.car.schema.corner import Corner, Rod
from axlewright.car.schema.point import At, Mount
from axlewright.car.schema.quantity import (
    Force,
    Gap,
    LengthPerTurn,
    LossTime,
    Size,
    SpringRate,
    StiffRate,
    Travel,
)
from axlewright.car.schema.sides import SIDES, Override, Side, mirrored, overlaid
from axlewright.car.schema.springs import Damping


class LinkEnds(Table):
    """Two ends, a stiffness if the link gives, and a length if it has been measured."""

    chassis: Mount = Field(description="end on the chassis")
    axle: Mount = Field(description="end on the axle")
    stiffness: StiffRate | None = Field(default=None, description="rate of the link with its ends; rigid when left out")
    length: Size | None = Field(default=None, description="measured centre to centre; checked against the points")
    thread: LengthPerTurn | None = Field(default=None, description="change of its length for one turn")
    loss: LossTime | None = Field(
        default=None,
        description="in motion it pulls as if longer by this times its speed; 0.3 ms when left out, 2 ms of a bumper",
    )


class Link(LinkEnds):
    """A locating link, or a pair of them."""

    name: Name = Field(description="a pair is called NAME_left and NAME_right")
    pair: bool = Field(
        default=True, description="true: given for the left, mirrored on the right; false: a single link"
    )
    right: Annotated[Table | None, Override(LinkEnds)] = Field(default=None, description="what differs on the right")

    def ends(self, side: Side) -> LinkEnds:
        """One link of the pair, overrides applied."""
        left = LinkEnds.model_construct(**{key: getattr(self, key) for key in LinkEnds.model_fields})
        return left if side == "left" else overlaid(mirrored(left), self.right)


class DriveLink(LinkEnds):
    """Drive-side torque link: solid up to its preload, then a spring, then a travel stop. It only pulls."""

    rate: SpringRate = Field(description="spring rate once the preload is exceeded")
    preload: Force = Field(description="tension at which the spring begins to move")
    travel: Travel = Field(description="spring travel to the solid stop")
    seat_rate: StiffRate = Field(description="rate of rod ends and brackets while on the seat or the stop")


class BrakeLink(LinkEnds):
    """Brake-side torque link: a gas damper with a bumper. It only pushes."""

    gas_force: Force = Field(description="push of the gas")
    gap: Gap = Field(description="shortening from the rest pose to contact with the bumper")
    bumper_rate: SpringRate = Field(description="bumper rate at first contact")
    second_at: Travel | None = Field(default=None, description="bumper compression at which its rate changes")
    second_rate: SpringRate | None = Field(default=None, description="bumper rate from there on")
    damping: Damping | None = Field(default=None, description="its damper: acts in motion only")
    shortest: Size | None = Field(default=None, description="length centre to centre when its damper is solid")
    longest: Size | None = Field(default=None, description="length centre to centre when its damper is fully extended")


class Watt(Table):
    """Watt's linkage: a bellcrank, and a link from each of its ends."""

    bellcrank_on: Literal["chassis", "axle"] = Field(description="what carries the bellcrank's pivot")
    turns: Literal["upright", "flat"] = Field(
        default="upright", description="upright: the bellcrank turns about x; flat: it lies and turns about z"
    )
    pivot: At = Field(description="bellcrank pivot")
    left_arm: At = Field(description="end of the bellcrank whose link goes to the left")
    left_end: At = Field(description="outer end of the left link, on the axle (or chassis)")
    right_arm: At = Field(description="end of the bellcrank whose link goes to the right")
    right_end: At = Field(description="outer end of the right link")
    left_length: Size | None = Field(
        default=None, description="left link, measured centre to centre; checked against the points"
    )
    right_length: Size | None = Field(default=None, description="right link, likewise")
    thread: LengthPerTurn | None = Field(default=None, description="change of a link's length for one turn")
    screw: LengthPerTurn | None = Field(
        default=None, description="height of the pivot for one turn of its screw, positive up"
    )
    screw_range: tuple[float, float] | None = Field(
        default=None, description="turns down and up from the drawn height, such as [-16, 16]"
    )


class Panhard(LinkEnds):
    """Panhard rod."""


class BrakeBracket(Table):
    """Floating caliper bracket: it turns on the axle about the wheel's spin axis; a link holds it to the chassis."""

    chassis: Mount = Field(description="end of its link on the chassis")
    bracket: Mount = Field(description="end of its link on the bracket")
    stiffness: StiffRate | None = Field(default=None, description="rate of the link with its ends; rigid when left out")
    length: Size | None = Field(default=None, description="measured centre to centre; checked against the points")
    thread: LengthPerTurn | None = Field(default=None, description="change of its length for one turn")


class AxleSide(Corner):
    """One end of a beam axle."""

    brake_bracket: BrakeBracket | None = Field(
        default=None, description="floating brake-caliper bracket; the caliper is fixed to the axle when left out"
    )


class BeamAxle(AxleSide):
    """A beam between two wheels, left side; the right is its mirror image but for what `right` gives."""

    independent: ClassVar[bool] = False
    links: tuple[Link, ...] = Field(min_length=1, description="links that locate the axle fore and aft")
    watt: Watt | None = Field(default=None, description="Watt's linkage")
    panhard: Panhard | None = Field(default=None, description="Panhard rod")
    bar: Bar | None = Field(default=None, description="rear anti-roll bar")
    right: Annotated[Table | None, Override(AxleSide)] = Field(
        default=None, description="what differs on the right side"
    )

    @model_validator(mode="after")
    def _names_differ(self) -> BeamAxle:
        names = [link.name for link in self.links]
        if len(set(names)) < len(names):
            raise refuse(f"links called {', '.join(names)}", "a different name for each", "rename one")
        self.side("right")  # raises when something is changed on the right that the left has not got
        return self

    def side(self, name: Side) -> AxleSide:
        """What is on one side, overrides applied."""
        left = AxleSide.model_construct(**{key: getattr(self, key) for key in AxleSide.model_fields})
        return left if name == "left" else overlaid(mirrored(left), self.right)

    def singles(self) -> dict[str, LinkEnds]:
        """Links that are there once and have a key of their own, by that key."""
        return {} if self.panhard is None else {"panhard": self.panhard}

    def rods(self) -> Iterator[Rod]:
        """Links of every kind, and springs."""
        for name in SIDES:
            half, tail = self.side(name), "" if name == "left" else ".right"
            yield Rod(f"rear{tail}.spring", half.spring.chassis, half.spring.moving)
            bracket = half.brake_bracket
            if bracket is not None:
                yield Rod(f"rear{tail}.brake_bracket", bracket.chassis, bracket.bracket, bracket.length)
            for i, link in enumerate(self.links):
                ends = link.ends(name) if link.pair else link
                yield Rod(f"rear.links[{i + 1}]{tail}", ends.chassis, ends.axle, ends.length)
        for key, link in self.singles().items():
            yield Rod(f"rear.{key}", link.chassis, link.axle, link.length)
        if self.watt is not None:
            yield Rod("rear.watt.left_end", self.watt.left_arm, self.watt.left_end, self.watt.left_length)
            yield Rod("rear.watt.right_end", self.watt.right_arm, self.watt.right_end, self.watt.right_length)


class LiveAxle(BeamAxle):
    """Live rear axle: the final drive is in it, so that it takes the pinion's and the wheels' torque."""

    layout: Literal["live-axle"] = Field(description="kind of rear suspension")
    drive_link: DriveLink | None = Field(default=None, description="drive-side torque link")
    brake_link: BrakeLink | None = Field(default=None, description="brake-side torque link")

    def singles(self) -> dict[str, LinkEnds]:
        """Torque links and Panhard rod."""
        torque_links = {"drive_link": self.drive_link, "brake_link": self.brake_link}
        return {key: link for key, link in torque_links.items() if link is not None} | super().singles()
