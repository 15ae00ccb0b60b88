"""Spring, damper, wishbone and tie-rod mounts for which the car file lists several holes.

The link keeps its length. Where a wishbone is one part that carries something, it is taken as made to fit: its axis
moves and its ball joint stays where it was drawn.
"""

from __future__ import annotations

from axlewright.car.adjusters.adjuster import Adjuster
from axlewright.car.adjusters.hand import length
from axlewright.car.adjusters.mounts import mount
from axlewright.car.adjusters.together import together
from axlewright.car.adjusters.where import PAIRS, End, corner, corner_path, parts_of
from axlewright.car.mechanism import Mechanism, Values
from axlewright.car.schema import Car
from axlewright.car.schema.independent import CornerParts
from axlewright.car.schema.point import Holes

RECHECKS = ("H", "X", "B", "T", "CL", "TQ")


def suspension_mounts(car: Car, mechanism: Mechanism, values: Values) -> list[Adjuster]:
    """Both sides together and each side, for every mount with a choice of holes."""
    del mechanism
    found: list[Adjuster] = []
    for end, pair in PAIRS.items():
        left, right = (_mounts(car, wheel, values) for wheel in pair)
        for key, (path, holes) in left.items():
            if holes.adjustable:
                found += _both(car, end, key, (path, holes), right[key])
    return found


def _mounts(car: Car, wheel: str, values: Values) -> dict[str, tuple[str, Holes]]:
    """Value path and holes of each mount of one corner, by a name for it."""
    side = corner(car, wheel)
    spring, damper = (corner_path(car, wheel, link) for link in ("spring", "damper"))
    found = {"spring_chassis": (f"{spring}.a", side.spring.chassis)}
    found["spring_moving"] = (f"{spring}.b", side.spring.moving)
    if side.damper is not None and side.damper.chassis is not None and side.damper.moving is not None:
        found["damper_chassis"] = (f"{damper}.a", side.damper.chassis)
        found["damper_moving"] = (f"{damper}.b", side.damper.moving)
    parts = parts_of(car, wheel)
    return found if parts is None else found | _of_parts(car, wheel, parts, values)


def _of_parts(car: Car, wheel: str, parts: CornerParts, values: Values) -> dict[str, tuple[str, Holes]]:
    found: dict[str, tuple[str, Holes]] = {}
    for rod in parts.rods:
        path = corner_path(car, wheel, rod.name)
        for end, key, holes in (("a", "rack" if rod.on_rack else "chassis", rod.inner), ("b", "upright", rod.outer)):
            if isinstance(holes, Holes):
                found[f"{rod.name}_{key}"] = (f"{path}.{end}", holes)
    for arm, wishbone in (("upper", parts.upper), ("lower", parts.lower)):
        for leg, axis in (("front", "a"), ("rear", "b")) if wishbone is not None else ():
            link = corner_path(car, wheel, f"{arm}_{leg}.a")
            path = link if link in values else corner_path(car, wheel, f"{arm}_arm.axis_{axis}")
            found[f"{arm}_wishbone_{leg}"] = (path, getattr(wishbone, leg))
    if parts.rocker is not None:
        path, rod = corner_path(car, wheel, "push_rod"), parts.rocker.rod
        found |= {"rod_rocker": (f"{path}.a", rod.rocker), "rod_moving": (f"{path}.b", rod.moving)}
    return found


def _both(car: Car, end: End, key: str, left: tuple[str, Holes], right: tuple[str, Holes]) -> list[Adjuster]:
    words = key.replace("_", " ")
    sides = [
        mount(
            {path: holes},
            length(car, 5.0, 0.25),
            0.0,  # never used: a mount without a choice of holes is not offered
            key=f"{end}_{key}_mount_{side}",
            name=f"{end} {words} mount, {side}",
            family="suspension mount",
            group=end,
            minutes=15.0,
            recheck=RECHECKS,
            rezero=("H", "X", "B", "T"),
        )
        for side, (path, holes) in (("left", left), ("right", right))
    ]
    both = [(side, 1.0) for side in sides]
    name = f"{end} {words} mounts, both sides"
    return [together(both, f"{end}_{key}_mount", name=name, group=end, minutes=25.0), *sides]
