"""What every layout has at a wheel, and what every layout of an end has in common."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar, NamedTuple, Protocol, runtime_checkable

from pydantic import Field

from axlewright.car.schema.bar import Bar
from axlewright.car.schema.base import Table
from axlewright.car.schema.point import At, Holes, Point
from axlewright.car.schema.quantity import Camber, SmallAngle
from axlewright.car.schema.sides import Side
from axlewright.car.schema.springs import Damper, Spring, Stop
from axlewright.units import Quantity


class Corner(Table):
    """One wheel and what carries the car there."""

    wheel_centre: At = Field(description="centre of the wheel; its height is the loaded radius")
    camber: Camber = Field(description="positive: top outward")
    toe: SmallAngle = Field(description="of this wheel, positive: toe-in")
    spring: Spring = Field(description="spring")
    bump_stop: Stop | None = Field(default=None, description="bump stop, on the damper's line")
    droop_stop: Stop | None = Field(default=None, description="droop stop, on the damper's line")
    damper: Damper | None = Field(default=None, description="damper; on the spring's line unless its ends are given")


class Rod(NamedTuple):
    """Two points that something connects, by the key path under which the file gives it."""

    path: str
    a: Point | Holes
    b: Point | Holes
    length: Quantity | None = None  # measured centre to centre


@runtime_checkable
class End(Protocol):
    """A layout of the front or rear end, whatever its kind."""

    independent: ClassVar[bool]  # each wheel on a body of its own: two corners, no axle

    @property
    def layout(self) -> str: ...

    @property
    def wheel_centre(self) -> Point: ...

    @property
    def bar(self) -> Bar | None: ...

    def side(self, name: Side) -> Corner:
        """What is on one side, overrides applied."""
        ...

    def rods(self) -> Iterator[Rod]:
        """Everything on both sides that has two ends."""
        ...
