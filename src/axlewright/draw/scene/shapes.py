"""What a drawing is made of: rods, bodies, wheels, pickup points and the centres that geometry is spoken of with.

Points are (3,) in m, all in one kind of axes: x forward, y left, z up, of the road below the car or of the chassis.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

import numpy as np

Point = np.ndarray
Axes = Literal["road", "chassis"]


class Rod(NamedTuple):
    """Anything that pulls or pushes along its own line."""

    path: str  # as in the car's values: "rear.drive_link", "front.left.spring", "front_bar.left"
    name: str  # in words
    kind: str  # "link", "torque link", "spring" or "drop link"
    a: Point
    b: Point
    tension: float | None  # N, negative pushes; None where nothing is loaded


class Body(NamedTuple):
    """What keeps its shape: an axle, an upright, an arm, a bellcrank, a bar, a rack."""

    path: str
    name: str
    kind: str  # "axle", "upright", "arm", "crank", "bracket", "strut", "bar", "steering" or "shaft"
    lines: tuple[np.ndarray, ...]  # (points, 3) each


class Wheel(NamedTuple):
    """A wheel with its tyre."""

    name: str
    centre: Point
    axis: Point  # unit, to the left
    radius: float  # down to the road, m
    contact: Point


class Pickup(NamedTuple):
    """Where something is mounted to the chassis."""

    path: str
    at: Point


class SideLine(NamedTuple):
    """How an end moves in side view in one case: the line of its torque's reaction, through the instant centre."""

    case: str  # "drive", "brake" or "front"
    start: Point  # between the wheels: where the torque's force reacts
    centre: Point  # the instant centre
    target: Point  # under or over the other axle, at the height of the car's centre of mass: 100 % at share 1


class FrontLine(NamedTuple):
    """How a wheel on its own moves in front view: the line from its contact centre to its instant centre."""

    wheel: str
    contact: Point
    centre: Point  # the instant centre


class Centres(NamedTuple):
    """Points that are not on the car: roll centres, instant centres, and the car's centre of mass."""

    roll: dict[str, Point]  # end -> roll centre
    side: tuple[SideLine, ...]
    front: tuple[FrontLine, ...]
    mass: Point


class Drawing(NamedTuple):
    """One car in one state."""

    axes: Axes
    rods: tuple[Rod, ...]
    bodies: tuple[Body, ...]
    wheels: tuple[Wheel, ...]
    pickups: tuple[Pickup, ...]
    centres: Centres
