"""Damper clicks. A damper holds nothing, so they act only in motion and change nothing at rest or in a held phase."""

from __future__ import annotations

from typing import Literal

from axlewright.car.adjusters.adjuster import Adjuster, Group, Place, Shift
from axlewright.car.adjusters.where import PAIRS, corner
from axlewright.car.mechanism import Mechanism, Values
from axlewright.car.schema import Car
from axlewright.car.schema.springs import Damping

BRAKE = "brake_link"  # whose damper is an adjuster of its own
STEP = 2.0  # clicks
WAYS: tuple[Literal["compression", "rebound"], ...] = ("compression", "rebound")


def dampers(car: Car, mechanism: Mechanism, values: Values) -> list[Adjuster]:
    """Clicks of the wheel dampers, both sides of an axle together; none where the car file gives no clicks."""
    del mechanism
    found: list[Adjuster] = []
    for end, (wheel, _) in PAIRS.items():
        damper = corner(car, wheel).damper
        damping = None if damper is None else damper.damping
        paths = [p for p in values if p.startswith(f"{end}.") and p.endswith(".damping.friction") and BRAKE not in p]
        lines = tuple(path.removesuffix(".friction") for path in paths)
        found += clicks(damping, lines, f"damper_{end}", f"{end} dampers", end, "damper clicks", "grid")
    return found


def clicks(
    damping: Damping | None,
    lines: tuple[str, ...],
    key: str,
    name: str,
    group: Group,
    family: str,
    place: Place = "pits",
) -> list[Adjuster]:
    """Compression and rebound clicks of the dampers on `lines` (paths of their tables), counted from closed."""
    if damping is None or damping.clicks_to_open is None:
        return []
    return [
        Adjuster(
            id=f"{key}_{way}",
            name=f"{name}, {way} clicks",
            family=family,
            group=group,
            unit="click",
            drawn=float(getattr(damping, f"{way}_clicks")),
            lo=0.0,
            hi=float(damping.clicks_to_open),
            step=STEP,
            reference="from closed",
            direction="more: more open, softer",
            minutes=2.0,
            place=place,
            stage="others",
            note="acts only in motion; note the reference, the same on both sides",
            edits=tuple(Shift(f"{line}.{way}_clicks", 1.0) for line in lines),
            acts="only in motion",
        )
        for way in WAYS
    ]
