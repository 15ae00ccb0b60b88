"""One independent corner, front or rear: an upright on wishbones, links, a strut; springs, rocker and bars on it.

A wishbone is two links to its ball joint, or a part that turns when something stands on it. A strut is a part that
slides in the upright and is jointed to the chassis. A rocker is a part that turns, moved by its rod.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from axlewright.car.describe.bars import put_bar, put_third_spring
from axlewright.car.describe.entries import Entries
from axlewright.car.describe.masses import put_unsprung, stated
from axlewright.car.describe.terms import spring_links
from axlewright.car.describe.wheels import put_wheel
from axlewright.car.mechanism import CHASSIS, Bar, BarEnd, Block, Joint, Link, Part, Term, Wheel
from axlewright.car.schema import Car
from axlewright.car.schema.corner_parts import Rocker, Strut, Wishbone
from axlewright.car.schema.independent import CornerParts, Independent, IndependentCorner, IndependentRear, UprightRod
from axlewright.car.schema.masses import Unsprung
from axlewright.car.schema.sides import SIDES, Side

FRAME = {"lower-arm": "lower_arm", "upper-arm": "upper_arm", "upright": "upright", "rocker": "rocker"}
WHEELS: dict[str, tuple[str, str]] = {"front": ("LF", "RF"), "rear": ("LR", "RR")}
Which = Literal["front", "rear"]


def independent(car: Car, which: Which) -> Independent:
    """The table of an end of independent corners."""
    end = car.front if which == "front" else car.rear
    assert isinstance(end, Independent)
    return end


def front_corners(car: Car, entries: Entries) -> Block:
    """Steered corners."""
    return _block(
        car, entries, "front", car.masses.front_corner, Wheel(names=("LF", "RF"), frame="upright", steered=True)
    )


def rear_corners(car: Car, entries: Entries) -> Block:
    """Corners driven by shafts from a differential on the chassis."""
    assert isinstance(car.rear, IndependentRear)
    outboard = car.rear.brakes == "outboard"
    wheel = Wheel(names=("LR", "RR"), frame="upright", driven=True, drive_on_body=False, brake_on_body=outboard)
    return _block(car, entries, "rear", stated(car.masses.rear_corner), wheel)


def _block(car: Car, entries: Entries, which: Which, unsprung: Unsprung, wheel: Wheel) -> Block:
    """Left and right copies of one block."""
    end, links = independent(car, which), ()
    carried = {on for _, on in stands_on(end)}
    for side, name in zip(SIDES, WHEELS[which], strict=True):
        corner, copy = end.side(side), f"{which}.{side}"
        links = _links(entries, copy, corner, end.parts(side), carried)
        put_unsprung(entries, f"{copy}.upright", unsprung, corner.wheel_centre)
        put_wheel(entries, car, name, corner, which)
    parts, joints = _parts(end.parts("left"), carried)
    return Block(
        name=which,
        copies=(f"{which}.left", f"{which}.right"),
        bodies=("upright",),
        parts=parts,
        links=links,
        joints=joints,
        wheels=(wheel,),
        rear=which == "rear",
    )


def stands_on(end: Independent) -> list[tuple[str, str]]:
    """(key, part) of everything that stands on a part of the corner or pulls at it; the part as the file names it."""
    rocker = end.parts("left").rocker
    tables = {"bar": end.bar, "third_spring": end.third_spring, "rocker.rod": None if rocker is None else rocker.rod}
    found = [(key, str(table.on)) for key, table in tables.items() if table is not None]
    return [("spring", end.side("left").spring.on), *found]


def _parts(located: CornerParts, carried: set[str]) -> tuple[tuple[Part, ...], tuple[Joint, ...]]:
    arms = [arm for arm in ("lower", "upper") if f"{arm}-arm" in carried]
    parts = [Part(name=f"{arm}_arm") for arm in arms]
    joints = [Joint(name=f"{arm}_ball", a=f"{arm}_arm", b="upright") for arm in arms]
    if located.strut is not None:
        parts.append(Part(name="strut", parent="upright", slides=True))
        joints.append(Joint(name="strut_top", a=CHASSIS, b="strut"))
    if located.rocker is not None:
        parts.append(Part(name="rocker"))
    return tuple(parts), tuple(joints)


def _links(
    entries: Entries, copy: str, corner: IndependentCorner, parts: CornerParts, carried: set[str]
) -> tuple[Link, ...]:
    links: list[Link] = []
    for arm, wishbone in (("upper", parts.upper), ("lower", parts.lower)):
        if wishbone is not None and f"{arm}-arm" in carried:
            _put_arm(entries, copy, arm, wishbone)
        elif wishbone is not None:
            links += _two_links(entries, copy, arm, wishbone)
    if parts.strut is not None:
        _put_strut(entries, copy, parts.strut)
    links += [_rod(entries, copy, rod) for rod in parts.rods]
    if parts.rocker is not None:
        links.append(_push_rod(entries, copy, parts.rocker))
    stops = (corner.bump_stop, corner.droop_stop)
    return (*links, *spring_links(entries, copy, FRAME[corner.spring.on], corner.spring, stops, corner.damper))


def _put_arm(entries: Entries, copy: str, arm: str, wishbone: Wishbone) -> None:
    entries |= {
        f"{copy}.{arm}_arm.axis_a": wishbone.front,
        f"{copy}.{arm}_arm.axis_b": wishbone.rear,
        f"{copy}.{arm}_ball.at": wishbone.ball,
    }


def _two_links(entries: Entries, copy: str, arm: str, wishbone: Wishbone) -> list[Link]:
    legs = (("front", wishbone.front), ("rear", wishbone.rear))
    return [_rod(entries, copy, UprightRod(f"{arm}_{leg}", "", inner, wishbone.ball)) for leg, inner in legs]


def _put_strut(entries: Entries, copy: str, strut: Strut) -> None:
    """The rod slides out of the upright toward its top mount."""
    entries |= {
        f"{copy}.strut.axis_a": strut.upright,
        f"{copy}.strut.axis_b": strut.top,
        f"{copy}.strut_top.at": strut.top,
        f"{copy}.strut_top.shift": np.zeros(3),
    }


def _rod(entries: Entries, copy: str, rod: UprightRod) -> Link:
    path = f"{copy}.{rod.name}"
    entries |= {f"{path}.a": rod.inner, f"{path}.b": rod.outer, f"{path}.length": 0.0}
    terms: tuple[Term, ...] = ()
    if rod.stiffness is not None:
        entries[f"{path}.compliant.stiffness"] = rod.stiffness
        terms = (Term(name="compliant", kind="compliant"),)
    return Link(name=rod.name, a=CHASSIS, b="upright", terms=terms, on_rack=rod.on_rack)


def _push_rod(entries: Entries, copy: str, rocker: Rocker) -> Link:
    rod, path = rocker.rod, f"{copy}.push_rod"
    entries |= {
        f"{copy}.rocker.axis_a": rocker.pivot,
        f"{copy}.rocker.axis_b": rocker.axis,
        f"{path}.a": rod.rocker,
        f"{path}.b": rod.moving,
        f"{path}.length": 0.0,
    }
    return Link(name="push_rod", a="rocker", b=FRAME[rod.on])


def corner_keys(car: Car, which: Which) -> dict[str, str]:
    """Key path of each link, by its name, where the two differ."""
    legs = [(arm, leg) for arm in ("upper", "lower") for leg in ("front", "rear")]
    keys = {f"{arm}_{leg}": f"{which}.{arm}_wishbone.{leg}" for arm, leg in legs} | {"push_rod": f"{which}.rocker.rod"}
    return keys | {rod.name: rod.path for rod in independent(car, which).parts("left").rods}


def corner_bars(car: Car, entries: Entries, which: Which) -> tuple[Bar, ...]:
    """Anti-roll bar and third spring between the two corners, as far as there are any."""
    end, bars = independent(car, which), []
    if end.bar is not None:
        put_bar(entries, f"{which}_bar", end.bar)
        bars.append(_bar(which, f"{which}_bar", end.bar.on))
    if end.third_spring is not None:
        put_third_spring(entries, f"{which}_third_spring", end.third_spring)
        bars.append(_bar(which, f"{which}_third_spring", end.third_spring.on, heave=True))
    return tuple(bars)


def _bar(which: Which, name: str, on: str, *, heave: bool = False) -> Bar:
    left, right = (_end(which, side, on) for side in SIDES)
    return Bar(name=name, left=left, right=right, heave=heave)


def _end(which: Which, side: Side, on: str) -> BarEnd:
    return BarEnd(copy=f"{which}.{side}", frame=FRAME[on])
