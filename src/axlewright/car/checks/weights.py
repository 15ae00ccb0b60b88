"""Masses, scale readings and ride heights that contradict one another."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from axlewright.car.describe.masses import contact_points, corner_weights, sprung_of, unsprung_items
from axlewright.car.describe.whole import cross_weight
from axlewright.car.schema import Car
from axlewright.errors import Problem

SCALE_MASS, SCALE_SHARE = 1.0, 0.003  # kg, of the reading: what scales repeat to (common practice, no source)
TWIST = 0.003  # m; what a straight-edge on a garage floor can tell (common practice, no source)
NAMES = ("left front", "right front", "left rear", "right rear")


def weight_problems(car: Car) -> Iterator[Problem]:
    """Contradictions between masses and scales, and items that can't be in the car."""
    sprung = car.masses.sprung
    unsprung = list(_unsprung(car))
    yield from unsprung
    if unsprung:
        return
    if corner_weights(car) is None:
        for key in ("mass", "at"):
            if getattr(sprung, key) is None:
                fix = f"add `{key}`, or [scales.corner_weights]"
                yield Problem(f"masses.sprung.{key}", "nothing", "a value, as there are no corner weights", fix)
        if sprung.mass is None or sprung.at is None:
            return
    else:
        yield from _scales_against_masses(car)
    yield from _items(car)


def _unsprung(car: Car) -> Iterator[Problem]:
    """The rear's unsprung mass is an axle's or two corners', as its layout has it."""
    wanted, other = ("rear_corner", "axle") if car.rear.independent else ("axle", "rear_corner")
    layout, there = f"the rear is a {car.rear.layout}", getattr(car.masses, other) is not None
    if getattr(car.masses, wanted) is None:
        fix = f"rename [masses.{other}] to [masses.{wanted}]" if there else f"add [masses.{wanted}]"
        yield Problem(f"masses.{wanted}", "nothing", f"`{wanted}`, as {layout}", fix)
    elif there:
        fix = "take it away, or change `rear.layout`"
        yield Problem(f"masses.{other}", "an unsprung mass of another layout", f"only `{wanted}`, as {layout}", fix)


def _scales_against_masses(car: Car) -> Iterator[Problem]:
    """Four readings state mass, centre of mass and cross weight; what the masses state as well must agree."""
    weights, scales = corner_weights(car), car.scales
    if weights is None:
        return
    expected = expected_weights(car)
    known = scales.known.value if scales.known is not None else SCALE_MASS
    allowed = np.maximum(known, SCALE_SHARE * weights)
    off = weights - expected
    if np.any(np.abs(off) > allowed):
        found = ", ".join(f"{name} {w:.1f} kg" for name, w in zip(NAMES, weights, strict=True))
        told = ", ".join(f"{w:.1f}" for w in expected)
        worst = int(np.abs(off).round(1).argmax())  # as printed: of equal ones the first, on every machine
        text = f"{told} kg, as the masses and their positions say (within {allowed[worst]:.1f} kg)"
        fix = f"the {NAMES[worst]} is {abs(off[worst]):.1f} kg too {'heavy' if off[worst] > 0 else 'light'}: "
        fix += "weigh again, or leave `masses.sprung.mass` and `masses.sprung.at` out and give `height`"
        yield Problem("scales.corner_weights", found, text, fix)
    if scales.cross_weight is not None:
        stated, read = scales.cross_weight.value, cross_weight(car)
        slack = max(2 * known / weights.sum(), scales.cross_weight.tolerance or 0.0)
        if abs(stated - read) > slack:
            text = f"{100 * read:.2f} %, as the corner weights say"
            fix = "leave `cross_weight` out: the corner weights state it"
            yield Problem("scales.cross_weight", f"{100 * stated:.2f} %", text, fix)


def expected_weights(car: Car) -> np.ndarray:
    """Readings LF RF LR RR, kg, that masses, positions and the scales' own cross weight give, by statics."""
    weights, sprung = corner_weights(car), sprung_of(car)
    masses, centres = unsprung_items(car)
    share = (
        cross_weight(car) if weights is not None else car.scales.cross_weight.value if car.scales.cross_weight else 0.5
    )
    total = sprung.mass + masses.sum()
    moment = sprung.mass * sprung.at + masses @ centres
    contacts = np.array(list(contact_points(car).values()))
    rows = np.vstack([np.ones(4), contacts[:, 0], contacts[:, 1], [0.0, 1.0, 1.0, 0.0]])
    return np.linalg.solve(rows, [total, moment[0], moment[1], share * total])


def _items(car: Car) -> Iterator[Problem]:
    masses, sprung = car.masses, sprung_of(car).mass
    inside = {
        "driver": masses.driver.mass.value if masses.driver else 0.0,
        "fuel": masses.fuel.mass if masses.fuel else 0.0,
    }
    inside |= {f"ballast {b.name}": b.mass.value for b in masses.ballast}
    if sum(inside.values()) >= sprung:
        found = f"{sprung:.1f} kg, with {sum(inside.values()):.1f} kg of driver, fuel and ballast in it"
        fix = "give the sprung mass with driver, fuel and ballast"
        yield Problem("masses.sprung.mass", found, "more than what is in the car", fix)
    fuel = masses.fuel
    if fuel is not None and fuel.capacity is not None and fuel.volume.value > fuel.capacity.value:
        yield Problem("masses.fuel.volume", f'"{fuel.volume}"', f'at most the capacity "{fuel.capacity}"', "check both")
    names = [b.name for b in masses.ballast]
    if len(set(names)) < len(names) or {"sprung", "driver", "fuel"} & set(names):
        yield Problem("masses.ballast", f"places called {', '.join(names)}", "a name of its own for each", "rename one")


def height_problems(car: Car) -> Iterator[Problem]:
    """Ride heights that no straight frame could have: the fourth point off the plane of the other three."""
    heights = car.ride_heights
    points = [p.xyz for p in (heights.left_front, heights.right_front, heights.left_rear, heights.right_rear)]
    misfit = frame_twist(points)
    if misfit is None:
        yield Problem("ride_heights", "points in one line", "one point near each corner", "check x and y of each")
    elif abs(misfit) > TWIST:
        found = f"a right rear {abs(misfit) * 1e3:.1f} mm too {'high' if misfit > 0 else 'low'} for a straight frame"
        expected = f"four points in one plane within {TWIST * 1e3:.0f} mm"
        yield Problem("ride_heights", found, expected, "measure again; three heights are free, the fourth follows")
    for key in ("left_front", "right_front", "left_rear", "right_rear"):
        if getattr(heights, key).z <= 0:
            fix = "give the height above ground as z"
            yield Problem(
                f"ride_heights.{key}", f"z {getattr(heights, key).z * 1e3:.0f} mm", "a point above ground", fix
            )


def frame_twist(points: list[np.ndarray]) -> float | None:
    """Height (m) of the fourth point above the plane of the first three; None when they are in one line."""
    origin, first, second, fourth = points
    normal = np.cross(first - origin, second - origin)
    if abs(normal[2]) < 1e-6:
        return None
    return float(normal @ (fourth - origin) / normal[2])
