"""Panhard rod: heights of its ends and its length."""

from __future__ import annotations

from axlewright.car.adjusters.adjuster import Adjuster
from axlewright.car.adjusters.hand import length
from axlewright.car.adjusters.lengths import link_length
from axlewright.car.adjusters.mounts import mount
from axlewright.car.adjusters.together import together
from axlewright.car.mechanism import Mechanism, Values
from axlewright.car.schema import Car
from axlewright.car.schema.rear import BeamAxle, LinkEnds

HEIGHT_RANGE = 40e-3  # m either way; common practice, no source


def panhard(car: Car, mechanism: Mechanism, values: Values) -> list[Adjuster]:
    """Adjusters of a Panhard rod; none without one."""
    del mechanism, values
    rod = car.rear.panhard if isinstance(car.rear, BeamAxle) else None
    if rod is None:
        return []
    ends = [
        mount(
            {f"rear.panhard.{end}": holes},
            length(car, 10.0, 0.375),
            HEIGHT_RANGE,
            key=f"panhard_mount_{frame}",
            name=f"Panhard rod, {frame} mount",
            family="Panhard rod height",
            group="axle",
            minutes=10.0,
            recheck=("AC", "CL", "TQ"),
        )
        for frame, end, holes in (("chassis", "a", rod.chassis), ("axle", "b", rod.axle))
    ]
    found = [*ends, _length(car, rod)]
    if ends[0].unit == ends[1].unit:
        both = [(end, 1.0) for end in ends]
        name = "Panhard rod height, both ends"
        found.append(together(both, "panhard_height", name=name, group="axle", minutes=15.0))
    return found


def _length(car: Car, rod: LinkEnds) -> Adjuster:
    return link_length(
        car,
        "rear.panhard",
        rod.thread,
        key="panhard_length",
        name="Panhard rod, length",
        family="Panhard rod length",
        direction="more: a longer rod",
        minutes=8.0,
        recheck=("AC", "CL", "TQ"),
        note="moves the axle sideways; enough thread left in the rod ends?",
    )
