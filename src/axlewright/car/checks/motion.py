"""What no body, wheel or link can be in motion."""

from __future__ import annotations

from collections.abc import Iterator

from axlewright.car.schema import Car
from axlewright.car.schema.masses import Inertias
from axlewright.car.schema.rear import BeamAxle, LinkEnds
from axlewright.errors import Problem

ROUNDED = 0.02  # of the larger side; inertias are written with two figures


def motion_problems(car: Car) -> Iterator[Problem]:
    """Inertias that no body has, belts that don't fit their wheels, losses in links that don't give."""
    yield from _inertias(car)
    yield from _belts(car)
    yield from _losses(car)


def _inertias(car: Car) -> Iterator[Problem]:
    """Moments of inertia obey the triangle inequality, Ixx + Iyy >= Izz and so on round: each is a sum over the mass of
    two squares of which the other two have one each (Goldstein, Classical Mechanics, 3rd ed., ch. 5; from memory).
    Unsprung bodies are stated without the spin of their wheels, which belongs to them all the same.
    """
    masses, front, rear = car.masses, car.wheels.front.spin_inertia.value, car.wheels.rear.spin_inertia.value
    bodies = (
        ("sprung", masses.sprung, 0.0),
        ("front_corner", masses.front_corner, front),
        ("axle", masses.axle, 2 * rear),
        ("rear_corner", masses.rear_corner, rear),
    )
    for key, body, spin in bodies:
        if body is not None and body.inertia is not None:
            yield from _triangle(f"masses.{key}.inertia", body.inertia, spin)


def _triangle(path: str, inertia: Inertias, spin: float) -> Iterator[Problem]:
    sizes = {axis: getattr(inertia, axis).value for axis in ("roll", "pitch", "yaw")}
    sizes["pitch"] += spin
    largest = max(sizes, key=lambda axis: sizes[axis])
    others = [axis for axis in sizes if axis != largest]
    most = sum(sizes[axis] for axis in others)
    if sizes[largest] > most * (1 + ROUNDED):
        with_spin = " with its wheels' spin" if spin else ""
        found = f"{largest} inertia {sizes[largest]:.4g} kg m^2{with_spin}"
        expected = f"at most {most:.4g} kg m^2, that of {' and '.join(others)} together, as every body has"
        yield Problem(path, found, expected, f"check `{largest}`, and that none is about another point or axis")


def _belts(car: Car) -> Iterator[Problem]:
    tyres = {"front": car.tyres.front, "rear": car.tyres.rear}
    without = [end for end, tyre in tyres.items() if tyre.belt is None]
    if len(without) == 1:
        fix = f"add [tyres.{without[0]}.belt], or take the other away"
        yield Problem(f"tyres.{without[0]}.belt", "a belt at one end alone", "belts at both ends or at neither", fix)
    for end, tyre in tyres.items():
        spin = getattr(car.wheels, end).spin_inertia
        if tyre.belt is not None and tyre.belt.inertia.value >= spin.value:
            expected = f"less than the whole wheel's `spin_inertia`, {spin}, of which it is a part"
            fix = "correct it; belt and tread of a tyre are 0.3 to 0.8 kg m^2"
            yield Problem(f"tyres.{end}.belt.inertia", str(tyre.belt.inertia), expected, fix)


def _losses(car: Car) -> Iterator[Problem]:
    """A rigid link takes nothing."""
    if not isinstance(car.rear, BeamAxle):
        return
    links: dict[str, LinkEnds] = {f"rear.links[{i + 1}]": link for i, link in enumerate(car.rear.links)}
    if car.rear.panhard is not None:
        links["rear.panhard"] = car.rear.panhard
    for path, link in links.items():
        if link.loss is not None and link.stiffness is None:
            fix = "add `stiffness`, or take `loss` away"
            yield Problem(f"{path}.loss", "a loss in a rigid link", "a link that gives, with a `stiffness`", fix)
