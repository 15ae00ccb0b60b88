"""Live axle: one body on any list of links, with torque links, Watt's linkage or Panhard rod, springs and bar."""

from __future__ import annotations

import numpy as np

from axlewright.car.describe.bars import put_bar
from axlewright.car.describe.entries import Entries
from axlewright.car.describe.masses import put_unsprung, stated
from axlewright.car.describe.terms import brake_link, drive_link, locating_link, spring_links
from axlewright.car.describe.wheels import put_wheel
from axlewright.car.mechanism import CHASSIS, Bar, BarEnd, Block, Link, Part, Wheel
from axlewright.car.schema import Car
from axlewright.car.schema.point import Point
from axlewright.car.schema.rear import LiveAxle, Watt
from axlewright.car.schema.sides import SIDES

AXLE, COPY = "axle", "rear"


def axle_block(car: Car, entries: Entries) -> Block:
    """The axle as one block."""
    rear = _live_axle(car)
    links = [*_locating_links(entries, rear), *_watt_links(entries, rear.watt)]
    for side, wheel in zip(SIDES, ("LR", "RR"), strict=True):
        half = rear.side(side)
        stops = (half.bump_stop, half.droop_stop)
        links += spring_links(entries, COPY, AXLE, half.spring, stops, half.damper, f"_{side}")
        put_wheel(entries, car, wheel, half, "rear")
    put_unsprung(entries, f"{COPY}.{AXLE}", stated(car.masses.axle), _middle(rear))
    wheels = tuple(Wheel(names=(name,), frame=AXLE, driven=True) for name in ("LR", "RR"))
    return Block(
        name="rear",
        copies=(COPY,),
        bodies=(AXLE,),
        parts=() if rear.watt is None else (Part(name="bellcrank", parent=rear.watt.bellcrank_on),),
        links=tuple(links),
        wheels=wheels,
        pinion_body=AXLE,
        rear=True,
    )


def _locating_links(entries: Entries, rear: LiveAxle) -> list[Link]:
    links: list[Link] = []
    for link in rear.links:
        if link.pair:
            links += [locating_link(entries, COPY, f"{link.name}_{side}", link.ends(side)) for side in SIDES]
        else:
            links.append(locating_link(entries, COPY, link.name, link))
    if rear.drive_link is not None:
        links.append(drive_link(entries, COPY, rear.drive_link))
    if rear.brake_link is not None:
        links.append(brake_link(entries, COPY, rear.brake_link))
    if rear.panhard is not None:
        links.append(locating_link(entries, COPY, "panhard", rear.panhard))
    return links


def _watt_links(entries: Entries, watt: Watt | None) -> list[Link]:
    """Bellcrank turning about x. A link's `a` is on the chassis side: on the bellcrank when the chassis carries it."""
    if watt is None:
        return []
    entries[f"{COPY}.bellcrank.axis_a"] = watt.pivot
    entries[f"{COPY}.bellcrank.axis_b"] = watt.pivot.xyz + np.array([1.0, 0.0, 0.0])
    on_chassis = watt.bellcrank_on == "chassis"
    links = []
    for side, arm, end in (("left", watt.left_arm, watt.left_end), ("right", watt.right_arm, watt.right_end)):
        path = f"{COPY}.watt_{side}"
        a, b = (arm, end) if on_chassis else (end, arm)
        entries |= {f"{path}.a": a, f"{path}.b": b, f"{path}.length": 0.0}
        frames = ("bellcrank", AXLE) if on_chassis else (CHASSIS, "bellcrank")
        links.append(Link(name=f"watt_{side}", a=frames[0], b=frames[1]))
    return links


def _middle(rear: LiveAxle) -> Point:
    left, right = (rear.side(side).wheel_centre for side in SIDES)
    return Point(*((left.xyz + right.xyz) / 2))


def axle_keys(car: Car) -> dict[str, str]:
    """Key path of each link, by its name, where the two differ."""
    paths = {f"watt_{side}": f"rear.watt.{side}_end" for side in SIDES}
    for i, link in enumerate(_live_axle(car).links):
        names = [f"{link.name}_{side}" for side in SIDES] if link.pair else [link.name]
        paths |= dict.fromkeys(names, f"rear.links[{i + 1}]")
    return paths


def _live_axle(car: Car) -> LiveAxle:
    assert isinstance(car.rear, LiveAxle)
    return car.rear


def axle_bar(car: Car, entries: Entries) -> Bar | None:
    """The rear bar between chassis and axle; None when there is none."""
    bar = car.rear.bar
    if bar is None:
        return None
    put_bar(entries, "rear_bar", bar)
    end = BarEnd(copy=COPY, frame=AXLE)
    return Bar(name="rear_bar", left=end, right=end)
