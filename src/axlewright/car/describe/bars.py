"""Anti-roll bars: torsion from dimensions or from a measurement, and where each end is."""

from __future__ import annotations

import numpy as np

from axlewright.car.describe.entries import Entries
from axlewright.car.schema.bar import Bar
from axlewright.car.schema.corner_parts import ThirdSpring
from axlewright.car.schema.point import Point
from axlewright.parts.anti_roll_bar import torsion_stiffness


def torsion_of(bar: Bar) -> float:
    """Torque per twist between the two arms, N m/rad.

    From the bar's dimensions, or from a measured rate at one drop link with the other held: times arm squared. (If both
    drop links move oppositely by s, the twist is 2 s / arm: that factor of two belongs to the motion, not to the bar.)
    """
    if bar.measured is not None:
        return bar.measured.rate.value * bar.holes[bar.measured.hole - 1].value ** 2
    if bar.diameter is None or bar.length is None or bar.shear_modulus is None:
        raise ValueError("a bar without a measured rate needs diameter, length and shear modulus")
    outer = bar.diameter.value
    inner = 0.0 if bar.wall is None else outer - 2 * bar.wall.value
    return torsion_stiffness(bar.shear_modulus.value, bar.length.value, outer, inner)


def put_bar(entries: Entries, name: str, bar: Bar) -> None:
    """Values of a bar: `NAME.torsion`, `NAME.arm_bending`, and `NAME.left.*`, `NAME.right.*`."""
    measured = bar.measured is not None or bar.arm_bending is None
    entries[f"{name}.torsion"] = torsion_of(bar)
    entries[f"{name}.arm_bending"] = np.inf if measured or bar.arm_bending is None else bar.arm_bending
    _put_ends(entries, name, bar)


def put_third_spring(entries: Entries, name: str, third: ThirdSpring) -> None:
    """Values of a third spring, under the same paths: arms that are stiff, and a rate about their axis.

    The spring closes by its arm times both angles, and pulls each arm back by its force times its arm.
    """
    entries[f"{name}.torsion"] = third.rate.value * third.spring_arm.value**2
    entries[f"{name}.arm_bending"] = np.inf
    _put_ends(entries, name, third)


def _put_ends(entries: Entries, name: str, bar: Bar | ThirdSpring) -> None:
    ends = bar_ends(bar)
    axis = ends["left"][0].xyz - ends["right"][0].xyz
    axis /= np.linalg.norm(axis)
    for side, (pivot, arm_end, drop_point, hole) in ends.items():
        arm = arm_end.xyz - pivot.xyz
        entries |= {
            f"{name}.{side}.pivot": pivot,
            f"{name}.{side}.axis": axis,
            f"{name}.{side}.direction": arm / np.linalg.norm(arm),
            f"{name}.{side}.arm": bar.holes[hole - 1],
            f"{name}.{side}.drop_link": 0.0,
            f"{name}.{side}.drop_point": drop_point,
        }


def bar_ends(bar: Bar | ThirdSpring) -> dict[str, tuple[Point, Point, Point, int]]:
    """(pivot, arm end, drop-link lower end, hole in use) of the left and right end."""
    left = (bar.pivot, bar.arm_end, bar.drop_link, bar.hole)
    right, hole = [point.mirrored() for point in left[:3]], bar.hole
    if bar.right is not None:
        given = (bar.right.pivot, bar.right.arm_end, bar.right.drop_link)
        right = [own or mirror for own, mirror in zip(given, right, strict=True)]
        hole = bar.right.hole or bar.hole
    return {"left": left, "right": (right[0], right[1], right[2], hole)}
