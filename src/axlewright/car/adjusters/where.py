"""Where things are among the values: the paths of springs and dampers by wheel, and of a wheel's side."""

from __future__ import annotations

from typing import Literal

from axlewright.car.adjusters.adjuster import Group
from axlewright.car.describe.masses import corners
from axlewright.car.schema import Car
from axlewright.car.schema.corner import Corner
from axlewright.car.schema.independent import CornerParts, Independent
from axlewright.car.schema.sides import Side

End = Literal["front", "rear"]
PAIRS: dict[End, tuple[str, str]] = {"front": ("LF", "RF"), "rear": ("LR", "RR")}
GROUPS: dict[str, Group] = {"LF": "front left", "RF": "front right", "LR": "rear left", "RR": "rear right"}


def side_of(wheel: str) -> Side:
    """left or right."""
    return "left" if wheel.startswith("L") else "right"


def corner(car: Car, wheel: str) -> Corner:
    """What the car file says about one corner."""
    return corners(car)[wheel]


def parts_of(car: Car, wheel: str) -> CornerParts | None:
    """What locates the upright of one corner; None on an axle."""
    end = car.front if wheel.endswith("F") else car.rear
    return end.parts(side_of(wheel)) if isinstance(end, Independent) else None


def spring_path(car: Car, wheel: str) -> str:
    """Path of the spring's law."""
    return f"{corner_path(car, wheel, 'spring')}.spring"


def damper_line(car: Car, wheel: str) -> str:
    """Path of the line that stops and gas act along: the damper's own, or the spring's."""
    damper = corner(car, wheel).damper
    own = damper is not None and damper.chassis is not None
    return corner_path(car, wheel, "damper" if own else "spring")


def corner_path(car: Car, wheel: str, link: str) -> str:
    """Path of a link that each side has: in its own copy of a corner, or one of two on an axle."""
    end, side = ("front", car.front) if wheel.endswith("F") else ("rear", car.rear), side_of(wheel)
    return f"{end[0]}.{side}.{link}" if end[1].independent else f"{end[0]}.{link}_{side}"
