"""Points that cannot be what was measured: lengths that disagree, links of no length, bars past their toggle."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from axlewright.car.describe.bars import bar_ends
from axlewright.car.describe.rear import AXES
from axlewright.car.schema import Car
from axlewright.car.schema.bar import Bar
from axlewright.car.schema.corner_parts import ThirdSpring
from axlewright.car.schema.independent import Independent
from axlewright.car.schema.rear import BeamAxle
from axlewright.car.schema.sides import SIDES, mirrored
from axlewright.car.schema.steering import Steering
from axlewright.errors import Problem
from axlewright.units import Quantity

TAPE = 0.002  # m; centre to centre by tape (common practice, no source)
SHORTEST = 0.01  # m; a shorter link is two equal points
ASKEW = np.radians(1.0)  # further from parallel the two arms fight each other; what a tape can tell
TOGGLE = np.radians(20.0)  # closer in line, a bar arm's drop link can pass over centre within its travel


def assembly_problems(car: Car) -> Iterator[Problem]:
    """Links whose points are equal or contradict a stated length, and bars that cannot work."""
    for path, a, b, length in (*car.front.rods(), *car.rear.rods()):
        drawn = float(np.linalg.norm(b.xyz - a.xyz))
        if drawn < SHORTEST:
            yield Problem(path, f"two ends {drawn * 1e3:.1f} mm apart", "two different points", "check both ends")
        elif length is not None:
            yield from _length(path, drawn, length)
    for end, bar in (("front", car.front.bar), ("rear", car.rear.bar)):
        if bar is not None:
            yield from _bar(f"{end}.bar", bar)
    for end in (car.front, car.rear):
        if isinstance(end, Independent) and end.third_spring is not None:
            yield from _bar(f"{end.end}.third_spring", end.third_spring)
    yield from _steering(car.steering)
    watt = car.rear.watt if isinstance(car.rear, BeamAxle) else None
    if watt is not None:
        for side in SIDES:
            arm = getattr(watt, f"{side}_arm").xyz - watt.pivot.xyz
            path = f"rear.watt.{side}_arm"
            if np.linalg.norm(arm) < SHORTEST:
                yield Problem(path, "the pivot itself", "an end of the bellcrank", "check the point")
            elif np.linalg.norm(np.cross(arm, AXES[watt.turns])) < SHORTEST:
                about = "fore-and-aft" if watt.turns == "upright" else "upright"
                expected = f'an arm across the {about} axis that a bellcrank with turns = "{watt.turns}" turns about'
                yield Problem(path, "an arm along the bellcrank's own axis", expected, "check the point, or `turns`")


def _length(path: str, drawn: float, length: Quantity) -> Iterator[Problem]:
    off, allowed = drawn - length.value, max(TAPE, length.tolerance or 0.0)
    if abs(off) > allowed:
        found = f'"{length}", but its points are {drawn * 1e3:.1f} mm apart: too {"short" if off > 0 else "long"} '
        found += f"by {abs(off) * 1e3:.1f} mm"
        yield Problem(
            path, found, f"the same within {allowed * 1e3:.0f} mm", "measure the link, or one of its ends, again"
        )


def _steering(steering: Steering) -> Iterator[Problem]:
    for name in ("pitman", "idler"):
        arm = getattr(steering, name)
        if arm is None:
            continue
        axis, reach = arm.axis.xyz - arm.pivot.xyz, arm.end.xyz - arm.pivot.xyz
        if np.linalg.norm(axis) < SHORTEST:
            yield Problem(f"steering.{name}.axis", "the pivot itself", "another point on its axis", "check both points")
        elif np.linalg.norm(np.cross(axis, reach)) < SHORTEST * np.linalg.norm(axis):
            yield Problem(f"steering.{name}.end", "a point on its axis", "the end of the arm", "check the points")
    if steering.pitman is not None:
        arms = (steering.pitman, steering.idler or mirrored(steering.pitman))
        one, other = (arm.axis.xyz - arm.pivot.xyz for arm in arms)
        sine = np.linalg.norm(np.cross(one, other)) / max(np.linalg.norm(one) * np.linalg.norm(other), 1e-9)
        if sine > np.sin(ASKEW):
            found = f"an idler arm axis {np.degrees(np.arcsin(min(1.0, sine))):.1f} degrees off the pitman arm's"
            key, fix = "steering.idler.axis", "measure both axes again"
            if steering.idler is None:
                key, fix = "steering.pitman.axis", "check y of `pivot` and `axis`, since the idler arm mirrors them"
            yield Problem(key, found, "parallel axes of both arms", fix)


def _bar(path: str, bar: Bar | ThirdSpring) -> Iterator[Problem]:
    for side, (pivot, arm_end, foot, hole) in bar_ends(bar).items():
        key = path if side == "left" else f"{path}.right"
        arm = arm_end.xyz - pivot.xyz
        if np.linalg.norm(arm) < SHORTEST:
            yield Problem(f"{key}.arm_end", "the pivot itself", "a point along the arm", "check `pivot` and `arm_end`")
            continue
        direction = arm / np.linalg.norm(arm)
        if abs(direction[1]) > np.sin(TOGGLE):
            fix = "give `pivot` where the bar's axis meets the plane of the arm"
            yield Problem(f"{key}.arm_end", "an arm that points sideways", "an arm square to the bar", fix)
        link = foot.xyz - (pivot.xyz + bar.holes[hole - 1].value * direction)
        length = float(np.linalg.norm(link))
        if length < SHORTEST:
            yield Problem(f"{key}.drop_link", "the hole itself", "the lower end of the drop link", "check the point")
        elif abs(link @ direction) / length > np.cos(TOGGLE):
            angle = np.degrees(np.arccos(min(1.0, abs(link @ direction) / length)))
            found = f"a drop link within {angle:.0f} degrees of its arm's line in hole {hole}"
            yield Problem(
                f"{key}.drop_link", found, "a drop link nearly square to the arm", "check the points and the hole"
            )
