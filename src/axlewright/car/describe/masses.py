"""Masses: the sprung whole, what can be changed in it, and the unsprung bodies."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from axlewright.car.describe.entries import Entries
from axlewright.car.schema import Car
from axlewright.car.schema.corner import Corner
from axlewright.car.schema.masses import Inertias, Unsprung
from axlewright.car.schema.point import Point

# Radii of gyration used when a car file gives no inertia, as shares of track or wheelbase (roll: track, pitch and yaw:
# wheelbase) for the sprung mass, and in m for a front corner and an axle: the demo car's proportions, common practice,
# no source. They act only while the yaw rate changes and in transients.
SPRUNG_GYRATION = (0.38, 0.43, 0.46)
AXLE_GYRATION = (0.52, 0.145, 0.52)
CORNER_GYRATION = (0.16, 0.13, 0.16)


class Scaled(NamedTuple):
    """Sprung mass and its centre of mass, from the masses or from four corner weights."""

    mass: float
    at: np.ndarray


def put_masses(car: Car, entries: Entries) -> tuple[str, ...]:
    """Sprung mass items; `sprung` is the whole as drawn, the others are changes from it, so zero as drawn."""
    sprung = car.masses.sprung
    scaled = sprung_of(car)
    entries["chassis.sprung.mass"] = sprung.mass or scaled.mass
    entries["chassis.sprung.at"] = sprung.at or scaled.at
    _put_inertia(entries, "chassis", sprung.inertia, scaled.mass, _sprung_gyration(car))
    items = ["sprung"]
    movable = {"driver": car.masses.driver, "fuel": car.masses.fuel, **{b.name: b for b in car.masses.ballast}}
    for name, item in movable.items():
        if item is not None:
            items.append(name)
            entries |= {f"chassis.{name}.mass": 0.0, f"chassis.{name}.at": item.at}
    return tuple(items)


def put_unsprung(entries: Entries, path: str, body: Unsprung, centre: Point) -> None:
    """Mass, centre of mass and inertia of an unsprung body."""
    at = centre if body.at is None else body.at if body.at.y * centre.y >= 0 else body.at.mirrored()
    gyration = AXLE_GYRATION if path.endswith("axle") else CORNER_GYRATION
    entries |= {f"{path}.mass": body.mass, f"{path}.at": at}
    _put_inertia(entries, path, body.inertia, body.mass.value, gyration)


def _put_inertia(
    entries: Entries, path: str, stated: Inertias | None, mass: float, gyration: tuple[float, float, float]
) -> None:
    for axis, radius in zip(("roll", "pitch", "yaw"), gyration, strict=True):
        estimate = mass * radius**2
        entries[f"{path}.{axis}_inertia"] = estimate if stated is None else getattr(stated, axis)


def _sprung_gyration(car: Car) -> tuple[float, float, float]:
    front, rear = car.front.wheel_centre.xyz, car.rear.wheel_centre.xyz
    track, wheelbase = front[1] + rear[1], front[0] - rear[0]
    roll, pitch, yaw = SPRUNG_GYRATION
    return roll * track, pitch * wheelbase, yaw * wheelbase


def contact_points(car: Car) -> dict[str, np.ndarray]:
    """Where each wheel's plane meets the ground straight below its centre, (3,) m; camber moves it sideways."""
    points = {}
    for name, side in corners(car).items():
        x, y, z = side.wheel_centre.xyz
        outward = 1.0 if name.startswith("L") else -1.0
        points[name] = np.array([x, y - outward * z * np.tan(side.camber.value), 0.0])
    return points


def corners(car: Car) -> dict[str, Corner]:
    """The four corners by wheel name."""
    return {
        "LF": car.front.side("left"),
        "RF": car.front.side("right"),
        "LR": car.rear.side("left"),
        "RR": car.rear.side("right"),
    }


def corner_weights(car: Car) -> np.ndarray | None:
    """Four scale readings LF RF LR RR, kg; None when the file states the cross weight instead."""
    weights = car.scales.corner_weights
    if weights is None:
        return None
    return np.array([w.value for w in (weights.left_front, weights.right_front, weights.left_rear, weights.right_rear)])


def unsprung_items(car: Car) -> tuple[np.ndarray, np.ndarray]:
    """Masses (n,) and centres (n, 3): left and right front corner, then the axle or two rear corners."""
    entries: Entries = {}
    sides = corners(car)
    bodies = [(f"front.{wheel}", car.masses.front_corner, sides[wheel].wheel_centre) for wheel in ("LF", "RF")]
    if car.rear.independent:
        corner = stated(car.masses.rear_corner)
        bodies += [(f"rear.{wheel}", corner, sides[wheel].wheel_centre) for wheel in ("LR", "RR")]
    else:
        middle = Point(*((sides["LR"].wheel_centre.xyz + sides["RR"].wheel_centre.xyz) / 2))
        bodies.append(("rear.axle", stated(car.masses.axle), middle))
    for path, body, centre in bodies:
        put_unsprung(entries, path, body, centre)
    masses = np.array([body.mass.value for _, body, _ in bodies])
    return masses, np.array([_xyz(entries[f"{path}.at"]) for path, _, _ in bodies])


def stated(body: Unsprung | None) -> Unsprung:
    """A body that the checks have made sure of."""
    if body is None:
        raise ValueError("the rear's unsprung mass must be stated")
    return body


def _xyz(entry: object) -> np.ndarray:
    if not isinstance(entry, Point):
        raise TypeError(f"expected a point, got {entry!r}")
    return entry.xyz


def sprung_of(car: Car) -> Scaled:
    """Sprung mass and centre of mass; what the file leaves out follows from the four corner weights by statics.

    Total mass is the sum of the readings; its centre is their mean position over the contact points, weighted by
    reading; taking the unsprung bodies away leaves the sprung mass. The height cannot be seen on scales.
    """
    stated, weights = car.masses.sprung, corner_weights(car)
    if stated.at is not None and stated.mass is not None:
        return Scaled(stated.mass.value, stated.at.xyz)
    if weights is None:
        raise ValueError("without corner weights the sprung mass and its centre must be stated")
    masses, centres = unsprung_items(car)
    mass = weights.sum() - masses.sum() if stated.mass is None else stated.mass.value
    if stated.at is not None:
        return Scaled(float(mass), stated.at.xyz)
    contacts = np.array(list(contact_points(car).values()))
    at = (weights @ contacts - masses @ centres) / (weights.sum() - masses.sum())
    at[2] = 0.0 if stated.height is None else stated.height.value
    return Scaled(float(mass), at)
