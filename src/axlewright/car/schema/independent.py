"""What layouts of two independent corners have in common."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar, Literal, NamedTuple

from pydantic import Field

from axlewright.car.schema.bar import Bar
from axlewright.car.schema.base import Table, refuse
from axlewright.car.schema.corner import Corner, Rod
from axlewright.car.schema.corner_parts import CornerSpring, Rocker, Strut, ThirdSpring, TieRod, Wishbone
from axlewright.car.schema.point import Holes, Point
from axlewright.car.schema.sides import SIDES, AnyTable, Side, mirrored, overlaid
from axlewright.units import Quantity


class IndependentCorner(Corner):
    """One corner on an upright of its own, as far as every layout has it."""

    spring: CornerSpring = Field(description="spring")


class UprightRod(NamedTuple):
    """A link to the upright from the chassis or the steering, that is no leg of a wishbone."""

    name: str
    path: str  # its key path
    inner: Point | Holes
    outer: Point | Holes
    thread: Quantity | None = None
    stiffness: Quantity | None = None  # rigid when None
    length: Quantity | None = None  # measured
    on_rack: bool = False


class CornerParts(NamedTuple):
    """What locates one upright, whatever the layout."""

    rods: tuple[UprightRod, ...]
    toe: str  # name of the rod whose length sets toe
    upper: Wishbone | None = None
    lower: Wishbone | None = None
    strut: Strut | None = None
    rocker: Rocker | None = None


class Independent(Table):
    """An end of two corners, each with one freedom."""

    independent: ClassVar[bool] = True
    end: ClassVar[Literal["front", "rear"]]
    bar: Bar | None = Field(default=None, description="anti-roll bar")
    third_spring: ThirdSpring | None = Field(default=None, description="third spring, which acts in heave only")

    def side(self, name: Side) -> IndependentCorner:
        """One corner, overrides applied."""
        raise NotImplementedError

    def parts(self, name: Side) -> CornerParts:
        """What locates the upright of one corner."""
        raise NotImplementedError

    def path(self, name: Side) -> str:
        """Key path of the table of one side."""
        return self.end if name == "left" else f"{self.end}.right"

    def rods(self) -> Iterator[Rod]:
        """Everything on both sides that has two ends."""
        for name in SIDES:
            path, corner, parts = self.path(name), self.side(name), self.parts(name)
            for arm, wishbone in (("upper_wishbone", parts.upper), ("lower_wishbone", parts.lower)):
                if wishbone is not None:
                    yield Rod(f"{path}.{arm}.front", wishbone.front, wishbone.ball)
                    yield Rod(f"{path}.{arm}.rear", wishbone.rear, wishbone.ball)
                    yield Rod(f"{path}.{arm}", wishbone.front, wishbone.rear)
            for rod in parts.rods:
                yield Rod(rod.path, rod.inner, rod.outer, rod.length)
            if parts.strut is not None:
                yield Rod(f"{path}.strut", parts.strut.top, parts.strut.upright)
            if parts.rocker is not None:
                yield Rod(f"{path}.rocker.axis", parts.rocker.pivot, parts.rocker.axis)
                yield Rod(f"{path}.rocker.rod", parts.rocker.rod.rocker, parts.rocker.rod.moving)
            yield Rod(f"{path}.spring", corner.spring.chassis, corner.spring.moving)
            if corner.damper is not None and corner.damper.chassis is not None and corner.damper.moving is not None:
                yield Rod(f"{path}.damper", corner.damper.chassis, corner.damper.moving)


class IndependentFront(Independent):
    """Two steered corners."""

    end: ClassVar[Literal["front", "rear"]] = "front"


class IndependentRear(Independent):
    """Two corners driven by shafts from a differential on the chassis."""

    end: ClassVar[Literal["front", "rear"]] = "rear"
    brakes: Literal["outboard", "inboard"] = Field(
        default="outboard", description="outboard: on the upright; inboard: on the chassis, beside the differential"
    )


def one_side(end: Table, corner: type[AnyTable], name: Side, right: Table | None) -> AnyTable:
    """One corner out of the table of a whole end: the left as given, the right mirrored but for what `right` gives."""
    left = corner.model_construct(**{key: getattr(end, key) for key in corner.model_fields})
    return left if name == "left" else overlaid(mirrored(left), right)


def tie_rod(rod: TieRod, path: str) -> UprightRod:
    """The tie rod of a front corner whose table is at `path`."""
    return UprightRod("tie_rod", f"{path}.tie_rod", rod.rack, rod.upright, rod.thread, on_rack=True)


def alike(end: Independent) -> None:
    """Raises when something is changed on the right that the left has not got, or stands on another part there."""
    left, right = end.side("left").spring.on, end.side("right").spring.on
    rods = [rocker.rod.on for rocker in (end.parts(name).rocker for name in SIDES) if rocker is not None]
    if left != right:
        raise refuse("another part for the right spring", "the same kind of part on both sides", "leave `on` out")
    if len(set(rods)) > 1:
        raise refuse("another part for the right rod", "the same kind of part on both sides", "leave `on` out")
