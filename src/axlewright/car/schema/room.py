"""What the car's parts have room for: angles of joints, ground clearance of points, clearance between tubes.

None of it changes how the car moves: it is what the limits through travel and in every phase are counted against.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from axlewright.car.schema.base import Name, Table, refuse
from axlewright.car.schema.point import At
from axlewright.car.schema.quantity import Gap, JointAngle, Travel

Bolt = Literal["x", "y", "z"] | tuple[float, float, float]


class JointEnd(Table):
    """What one joint of a link allows, where it differs from the rest.

    A rod end or bush is tilted by the angle between the link and the plane square to its bolt, since a link turns
    freely about its bolt and, with a joint at each end, about its own line. A ball joint is tilted by the angle between
    its stud and its housing, none as drawn.

    Bolts as standard: level and square to the link as drawn, so across the car (y) for a fore-and-aft link and along it
    (x) for a sideways one; upright and square to it on tie rods; along the bar's axis on drop links. Studs of ball
    joints: upright.
    """

    link: Name = Field(
        description="link, wishbone ball joint (`upper_ball`, `lower_ball`) or bar (`front_bar`: its drop links); "
        "a pair's name means both of its links"
    )
    end: Literal["chassis", "moving", "both"] = Field(
        default="both", description="which end; moving is the one further from the chassis"
    )
    misalignment: JointAngle = Field(description="largest angle to either side before the joint binds")
    bolt: Bolt | None = Field(
        default=None, description="direction of its bolt or stud: x, y, z, or [forward, left, up] in any length"
    )

    @model_validator(mode="after")
    def _bolt_points_somewhere(self) -> JointEnd:
        if isinstance(self.bolt, tuple) and not any(self.bolt):
            raise refuse("a bolt of no direction", "a direction such as [0, 1, 0]", 'write "y" for a bolt across')
        return self


class Joints(Table):
    """How far joints may be tilted. What is not given is not looked at."""

    misalignment: JointAngle | None = Field(
        default=None, description="rod ends and bushes of every link: largest angle to either side"
    )
    ball_joints: JointAngle | None = Field(default=None, description="wishbone ball joints, likewise")
    ends: tuple[JointEnd, ...] = Field(default=(), description="joints that differ")


class LowPoint(Table):
    """A point that should stay clear of the ground."""

    name: Name = Field(description="what it is called")
    at: At = Field(description="where it is")
    on: str = Field(
        default="chassis", description="part that carries it: chassis, axle, upright, lower-arm, bellcrank, ..."
    )
    pair: bool = Field(default=False, description="true: the same on the other side")
    least: Gap | None = Field(default=None, description="ground clearance to keep; 0 when left out")


class Tube(Table):
    """A tube, rod or round thing: a radius around a line. From and to the same point it is a ball."""

    name: Name = Field(description="what it is called")
    start: At | None = Field(default=None, description="one end of its line, with `end` and `on`")
    end: At | None = Field(default=None, description="the other end")
    on: str | None = Field(
        default=None, description="part that carries it: chassis, axle, upright, lower-arm, bellcrank, ..."
    )
    along: Name | None = Field(default=None, description="a link whose line it is, instead of `start`, `end` and `on`")
    radius: Travel = Field(description="half its thickness")
    pair: bool = Field(default=False, description="true: the same on the other side")
    against: tuple[Name, ...] | None = Field(
        default=None, description="tubes to keep clear of; when left out every other one on another part"
    )

    @model_validator(mode="after")
    def _placed_one_way(self) -> Tube:
        line = [key for key in ("start", "end", "on") if getattr(self, key) is not None]
        if len(line) != (3 if self.along is None else 0):
            found = ", ".join(f"`{key}`" for key in [*line, *(["along"] if self.along else [])])
            expected = "`start`, `end` and `on`, or `along` alone"
            raise refuse(f"a tube placed by {found or 'nothing'}", expected, "keep one way of placing it")
        return self


class Clearance(Table):
    """What must not touch: points and the ground, tubes and each other."""

    points: tuple[LowPoint, ...] = Field(default=(), description="points that should stay clear of the ground")
    tubes: tuple[Tube, ...] = Field(default=(), description="tubes that should stay clear of each other")
    gap: Gap | None = Field(default=None, description="gap to keep between tubes; 0 when left out")

    @model_validator(mode="after")
    def _names_differ(self) -> Clearance:
        for things in (self.points, self.tubes):
            names = [thing.name for thing in things]
            twice = sorted({name for name in names if names.count(name) > 1})
            if twice:
                raise refuse(f"two called `{twice[0]}`", "a different name for each", "rename one")
        return self
