"""Left and right swapped: points on the wrong side of the centreline."""

from __future__ import annotations

from collections.abc import Iterator

from axlewright.car.schema import Car
from axlewright.car.schema.point import Holes, Point
from axlewright.errors import Problem

CENTRE = 0.02  # m; a point this near the centreline is on neither side

# Keys of points that belong to one side of the car, for the table that gives the left and its `right`.
FRONT = (
    "wheel_centre",
    *(f"{arm}_wishbone.{end}" for arm in ("upper", "lower") for end in ("front", "rear", "ball")),
    "tie_rod.rack",
    "tie_rod.upright",
    "spring.chassis",
    "spring.moving",
    "damper.chassis",
    "damper.moving",
)
REAR = ("wheel_centre", "spring.chassis", "spring.moving", "damper.chassis", "damper.moving")
BAR = ("pivot", "arm_end", "drop_link")


def side_problems(car: Car) -> list[Problem]:
    """Points that are on the other side of the car than their key says."""
    found = [*_of("front", car.front, FRONT), *_of("rear", car.rear, REAR)]
    for end, bar in (("front", car.front.bar), ("rear", car.rear.bar)):
        found += _of(f"{end}.bar", bar, BAR) if bar is not None else ()
    for i, link in enumerate(car.rear.links):
        found += _of(f"rear.links[{i + 1}]", link, ("chassis", "axle")) if link.pair else ()
    heights = car.ride_heights
    for key in ("left_front", "left_rear", "right_front", "right_rear"):
        found += _wrong(f"ride_heights.{key}", getattr(heights, key), 1.0 if key.startswith("left") else -1.0)
    watt = car.rear.watt
    if watt is not None and watt.left_end.y <= watt.right_end.y:
        text = f"the left link's end at y {watt.left_end.y:.3f} m and the right's at {watt.right_end.y:.3f} m"
        found.append(Problem("rear.watt", text, "y is positive to the left", "swap `left_end` and `right_end`"))
    return _together(found)


def _of(path: str, table: object, keys: tuple[str, ...]) -> Iterator[Problem]:
    for key in keys:
        yield from _wrong(f"{path}.{key}", _get(table, key), 1.0)
        yield from _wrong(f"{path}.right.{key}", _get(getattr(table, "right", None), key), -1.0)


def _get(table: object, key: str) -> object:
    for step in key.split("."):
        table = getattr(table, step, None)
    return table


def _wrong(path: str, value: object, side: float) -> Iterator[Problem]:
    points = value.holes if isinstance(value, Holes) else (value,) if isinstance(value, Point) else ()
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


def _together(found: list[Problem]) -> list[Problem]:
    """One message when most of an end is on the wrong side, instead of one for each point."""
    for end, keys in (("front", FRONT), ("rear", REAR)):
        swapped = [
            p
            for p in found
            if p.path.startswith(f"{end}.") and ".right." not in p.path and "on the other side" in p.found
        ]
        if len(swapped) > len(keys) / 2:
            expected = "points of the left side: y is positive to the left"
            one = Problem(
                end, f"{len(swapped)} points on the right", expected, f"change the sign of every y in [{end}]"
            )
            found = [one, *(p for p in found if p not in swapped)]
    return found
