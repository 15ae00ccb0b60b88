"""Left and right swapped: points on the wrong side of the centreline."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from axlewright.car.schema import Car
from axlewright.car.schema.bar import BarSide
from axlewright.car.schema.base import Table
from axlewright.car.schema.corner import End
from axlewright.car.schema.corner_parts import UprightLinkEnds
from axlewright.car.schema.independent import Independent
from axlewright.car.schema.multi_link import RearMultiLink
from axlewright.car.schema.point import Holes, Point
from axlewright.car.schema.rear import BeamAxle, LinkEnds
from axlewright.errors import Problem

CENTRE = 0.02  # m; a point this near the centreline is on neither side


def side_problems(car: Car) -> list[Problem]:
    """Points that are on the other side of the car than their key says."""
    found: list[Problem] = []
    ends: tuple[tuple[str, End], ...] = (("front", car.front), ("rear", car.rear))
    for path, end in ends:
        found += _of(path, end, type(end.side("left")))
        third = end.third_spring if isinstance(end, Independent) else None
        for key, bar in (("bar", end.bar), ("third_spring", third)):
            found += _of(f"{path}.{key}", bar, BarSide) if bar is not None else ()
    axle = car.rear if isinstance(car.rear, BeamAxle) else None
    for i, link in enumerate(axle.links if axle is not None else ()):
        found += _of(f"rear.links[{i + 1}]", link, LinkEnds) if link.pair else ()
    if isinstance(car.rear, RearMultiLink):
        for i, link in enumerate(car.rear.links):
            found += _of(f"rear.links[{i + 1}]", link, UprightLinkEnds)
    heights = car.ride_heights
    for key in ("left_front", "left_rear", "right_front", "right_rear"):
        found += _wrong(f"ride_heights.{key}", getattr(heights, key), 1.0 if key.startswith("left") else -1.0)
    watt = axle.watt if axle is not None else None
    if watt is not None and watt.left_end.y <= watt.right_end.y:
        text = f"the left link's end at y {watt.left_end.y:.3f} m and the right's at {watt.right_end.y:.3f} m"
        found.append(Problem("rear.watt", text, "y is positive to the left", "swap `left_end` and `right_end`"))
    return _together(found, dict(ends))


def _of(path: str, table: Table, side: type[Table]) -> Iterator[Problem]:
    """Points of the keys that `side` has, for the table that gives the left side and its `right`."""
    for sign, where, here in ((1.0, path, table), (-1.0, f"{path}.right", getattr(table, "right", None))):
        for key in side.model_fields if here is not None else ():
            for place, point in _points(f"{where}.{key}", getattr(here, key, None)):
                yield from _wrong(place, point, sign)


def _points(path: str, value: object) -> Iterator[tuple[str, Point | Holes]]:
    """Every point in a table, by its key path."""
    if isinstance(value, (Point, Holes)):
        yield path, value
    elif isinstance(value, Table):
        for key in type(value).model_fields:
            yield from _points(f"{path}.{key}", getattr(value, key))


def _wrong(path: str, value: Point | Holes, side: float) -> Iterator[Problem]:
    points = value.holes if isinstance(value, Holes) else (value,)
    astray = [point.y for point in points if point.y * side < -CENTRE]
    if astray:
        word, y = "left" if side > 0 else "right", astray[0]
        expected = (
            f"a point on the {word}: y is positive to the left" if side > 0 else "a point on the right: y negative"
        )
        yield Problem(
            path,
            f"y {y:.3f} m, which is on the other side",
            expected,
            f"change the sign of y, or give the {word} point",
        )


def _together(found: list[Problem], ends: Mapping[str, End]) -> list[Problem]:
    """One message when most of an end is on the wrong side, instead of one for each point."""
    for end, table in ends.items():
        points = sum(1 for _ in _points(end, table.side("left")))
        swapped = [
            p
            for p in found
            if p.path.startswith(f"{end}.") and ".right." not in p.path and "on the other side" in p.found
        ]
        if len(swapped) > points / 2:
            expected = "points of the left side: y is positive to the left"
            one = Problem(
                end, f"{len(swapped)} points on the right", expected, f"change the sign of every y in [{end}]"
            )
            found = [one, *(p for p in found if p not in swapped)]
    return found
