"""Beam axles, live or de Dion: one body on any list of links, with all that can be tied to it."""

from __future__ import annotations

import numpy as np

from axlewright.car.describe.bars import put_bar
from axlewright.car.describe.entries import Entries
from axlewright.car.describe.masses import put_unsprung, stated
from axlewright.car.describe.terms import brake_link, drive_link, locating_link, spring_links
from axlewright.car.describe.wheels import put_wheel
from axlewright.car.mechanism import CHASSIS, Bar, BarEnd, Block, Link, Part, Wheel
from axlewright.car.schema import Car
from axlewright.car.schema.de_dion import DeDion
from axlewright.car.schema.point import Point
from axlewright.car.schema.rear import AxleSide, BeamAxle, BrakeBracket, BrakeLink, DriveLink, LinkEnds, Watt
from axlewright.car.schema.sides import SIDES

AXLE, COPY = "axle", "rear"
AXES = {"upright": np.array([1.0, 0.0, 0.0]), "flat": np.array([0.0, 0.0, 1.0])}  # that a bellcrank turns about


def axle_block(car: Car, entries: Entries) -> Block:
    """The axle as one block."""
    rear = _beam(car)
    links = [*_locating_links(entries, rear), *_watt_links(entries, rear.watt)]
    parts = [] if rear.watt is None else [Part(name="bellcrank", parent=rear.watt.bellcrank_on)]
    wheels: list[Wheel] = []
    live = not isinstance(rear, DeDion)
    for side, name in zip(SIDES, ("LR", "RR"), strict=True):
        half = rear.side(side)
        stops = (half.bump_stop, half.droop_stop)
        links += spring_links(entries, COPY, AXLE, half.spring, stops, half.damper, f"_{side}")
        put_wheel(entries, car, name, half, "rear")
        bracket = None
        if half.brake_bracket is not None:
            bracket = f"brake_bracket_{side}"
            parts.append(Part(name=bracket, parent=AXLE))
            links.append(_bracket_link(entries, bracket, half, half.brake_bracket))
        outboard = live or rear.brakes == "outboard"
        wheels.append(
            Wheel(
                names=(name,),
                frame=AXLE,
                driven=True,
                drive_on_body=live,
                brake_on_body=outboard,
                brake_frame=bracket,
            )
        )
    put_unsprung(entries, f"{COPY}.{AXLE}", stated(car.masses.axle), _middle(rear))
    return Block(
        name="rear",
        copies=(COPY,),
        bodies=(AXLE,),
        parts=tuple(parts),
        links=tuple(links),
        wheels=tuple(wheels),
        pinion_body=AXLE if live else None,
        rear=True,
    )


def _locating_links(entries: Entries, rear: BeamAxle) -> list[Link]:
    links: list[Link] = []
    for link in rear.links:
        if link.pair:
            links += [locating_link(entries, COPY, f"{link.name}_{side}", link.ends(side)) for side in SIDES]
        else:
            links.append(locating_link(entries, COPY, link.name, link))
    for name, ends in rear.singles().items():
        if isinstance(ends, DriveLink):
            links.append(drive_link(entries, COPY, ends))
        elif isinstance(ends, BrakeLink):
            links.append(brake_link(entries, COPY, ends))
        else:
            links.append(locating_link(entries, COPY, name, ends))
    return links


def _bracket_link(entries: Entries, bracket: str, half: AxleSide, given: BrakeBracket) -> Link:
    """The link of a caliper bracket that turns about the wheel's spin axis, as drawn."""
    centre, side = half.wheel_centre, np.sign(half.wheel_centre.y)
    inclination, steer = -side * half.camber.value, -side * half.toe.value
    spin = np.array([-np.sin(steer) * np.cos(inclination), np.cos(steer) * np.cos(inclination), np.sin(inclination)])
    entries |= {f"{COPY}.{bracket}.axis_a": centre, f"{COPY}.{bracket}.axis_b": centre.xyz + spin}
    ends = LinkEnds.model_construct(chassis=given.chassis, axle=given.bracket, stiffness=given.stiffness)
    return locating_link(entries, COPY, f"{bracket}_link", ends, to=bracket)


def _watt_links(entries: Entries, watt: Watt | None) -> list[Link]:
    """Bellcrank and its links. A link's `a` is on the chassis side: on the bellcrank when the chassis carries it."""
    if watt is None:
        return []
    entries[f"{COPY}.bellcrank.axis_a"] = watt.pivot
    entries[f"{COPY}.bellcrank.axis_b"] = watt.pivot.xyz + AXES[watt.turns]
    on_chassis = watt.bellcrank_on == "chassis"
    links = []
    for side, arm, end in (("left", watt.left_arm, watt.left_end), ("right", watt.right_arm, watt.right_end)):
        path = f"{COPY}.watt_{side}"
        a, b = (arm, end) if on_chassis else (end, arm)
        entries |= {f"{path}.a": a, f"{path}.b": b, f"{path}.length": 0.0}
        frames = ("bellcrank", AXLE) if on_chassis else (CHASSIS, "bellcrank")
        links.append(Link(name=f"watt_{side}", a=frames[0], b=frames[1]))
    return links


def _middle(rear: BeamAxle) -> Point:
    left, right = (rear.side(side).wheel_centre for side in SIDES)
    return Point(*((left.xyz + right.xyz) / 2))


def axle_keys(car: Car) -> dict[str, str]:
    """Key path of each link, by its name, where the two differ."""
    paths = {f"watt_{side}": f"rear.watt.{side}_end" for side in SIDES}
    paths |= {f"brake_bracket_{side}_link": "rear.brake_bracket" for side in SIDES}
    for i, link in enumerate(_beam(car).links):
        names = [f"{link.name}_{side}" for side in SIDES] if link.pair else [link.name]
        paths |= dict.fromkeys(names, f"rear.links[{i + 1}]")
    return paths


def _beam(car: Car) -> BeamAxle:
    assert isinstance(car.rear, BeamAxle)
    return car.rear


def axle_bar(car: Car, entries: Entries) -> Bar | None:
    """The rear bar between chassis and axle; None when there is none."""
    bar = car.rear.bar
    if bar is None:
        return None
    put_bar(entries, "rear_bar", bar)
    end = BarEnd(copy=COPY, frame=AXLE)
    return Bar(name="rear_bar", left=end, right=end)
