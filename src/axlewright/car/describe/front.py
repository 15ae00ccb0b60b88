"""Double wishbones: a wishbone is two links to its ball joint, or a part that turns when something stands on it."""

from __future__ import annotations

from axlewright.car.describe.bars import put_bar
from axlewright.car.describe.entries import Entries
from axlewright.car.describe.masses import put_unsprung
from axlewright.car.describe.terms import spring_links
from axlewright.car.describe.wheels import put_wheel
from axlewright.car.mechanism import CHASSIS, Bar, BarEnd, Block, Joint, Link, Part, Wheel
from axlewright.car.schema import Car
from axlewright.car.schema.front import FrontSide, Wishbone
from axlewright.car.schema.sides import SIDES

FRAME = {"lower-arm": "lower_arm", "upper-arm": "upper_arm", "upright": "upright"}


def front_block(car: Car, entries: Entries) -> Block:
    """The front corners, left and right copies of one block."""
    front = car.front
    carried = {front.spring.on} | ({front.bar.on} if front.bar is not None else set())
    links: tuple[Link, ...] = ()
    for side, wheel in zip(SIDES, ("LF", "RF"), strict=True):
        corner = front.side(side)
        links = _links(entries, f"front.{side}", corner, carried)
        put_unsprung(entries, f"front.{side}.upright", car.masses.front_corner, corner.wheel_centre)
        put_wheel(entries, car, wheel, corner, "front")
    arms = [arm for arm in ("lower", "upper") if f"{arm}-arm" in carried]
    return Block(
        name="front",
        copies=("front.left", "front.right"),
        bodies=("upright",),
        parts=tuple(Part(name=f"{arm}_arm") for arm in arms),
        links=links,
        joints=tuple(Joint(name=f"{arm}_ball", a=f"{arm}_arm", b="upright") for arm in arms),
        wheels=(Wheel(names=("LF", "RF"), frame="upright", steered=True),),
    )


def _links(entries: Entries, copy: str, corner: FrontSide, carried: set[str]) -> tuple[Link, ...]:
    links: list[Link] = []
    for arm, wishbone in (("upper", corner.upper_wishbone), ("lower", corner.lower_wishbone)):
        if f"{arm}-arm" in carried:
            entries |= {
                f"{copy}.{arm}_arm.axis_a": wishbone.front,
                f"{copy}.{arm}_arm.axis_b": wishbone.rear,
                f"{copy}.{arm}_ball.at": wishbone.ball,
            }
        else:
            links += _two_links(entries, copy, arm, wishbone)
    tie = corner.tie_rod
    entries |= {f"{copy}.tie_rod.a": tie.rack, f"{copy}.tie_rod.b": tie.upright, f"{copy}.tie_rod.length": 0.0}
    links.append(Link(name="tie_rod", a=CHASSIS, b="upright", on_rack=True))
    stops = (corner.bump_stop, corner.droop_stop)
    return (*links, *spring_links(entries, copy, FRAME[corner.spring.on], corner.spring, stops, corner.damper))


def _two_links(entries: Entries, copy: str, arm: str, wishbone: Wishbone) -> list[Link]:
    links = []
    for leg, inner in (("front", wishbone.front), ("rear", wishbone.rear)):
        path = f"{copy}.{arm}_{leg}"
        entries |= {f"{path}.a": inner, f"{path}.b": wishbone.ball, f"{path}.length": 0.0}
        links.append(Link(name=f"{arm}_{leg}", a=CHASSIS, b="upright"))
    return links


def front_keys(car: Car) -> dict[str, str]:
    """Key path of each link, by its name, where the two differ."""
    del car
    return {f"{arm}_{leg}": f"front.{arm}_wishbone.{leg}" for arm in ("upper", "lower") for leg in ("front", "rear")}


def front_bar(car: Car, entries: Entries) -> Bar | None:
    """The front bar between the two corners; None when there is none."""
    bar = car.front.bar
    if bar is None:
        return None
    put_bar(entries, "front_bar", bar)
    left, right = (BarEnd(copy=f"front.{side}", frame=FRAME[bar.on]) for side in ("left", "right"))
    return Bar(name="front_bar", left=left, right=right)
