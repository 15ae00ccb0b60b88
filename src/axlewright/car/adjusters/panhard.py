"""Panhard rod: heights of its ends and its length."""

from __future__ import annotations

from axlewright.car.adjusters.adjuster import Adjuster, Shift
from axlewright.car.adjusters.hand import length, turns
from axlewright.car.adjusters.mounts import mount
from axlewright.car.adjusters.together import together
from axlewright.car.mechanism import Mechanism, Values
from axlewright.car.schema import Car

# Common practice, no source; m either way.
HEIGHT_RANGE = 40e-3
LENGTH_RANGE = 15e-3


def panhard(car: Car, mechanism: Mechanism, values: Values) -> list[Adjuster]:
    """Adjusters of a Panhard rod; none without one."""
    del mechanism, values
    rod = car.rear.panhard
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
    found = [*ends, _length(car)]
    if ends[0].unit == ends[1].unit:
        both = [(end, 1.0) for end in ends]
        name = "Panhard rod height, both ends"
        found.append(together(both, "panhard_height", name=name, group="axle", minutes=15.0))
    return found


def _length(car: Car) -> Adjuster:
    assert car.rear.panhard is not None
    count = turns(car, car.rear.panhard.thread, 0.5, 1.5, 1.0 / 16.0)
    reach = count.reach(LENGTH_RANGE)
    return Adjuster(
        id="panhard_length",
        name="Panhard rod, length",
        family="Panhard rod length",
        group="axle",
        unit=count.unit,
        drawn=0.0,
        lo=-reach,
        hi=reach,
        step=count.step,
        reference="from the length that it had when the car was measured",
        direction="more: a longer rod",
        minutes=8.0,
        place="scales",
        stage="links",
        recheck=("AC", "CL", "TQ"),
        cautions=("car in the air",),
        note="moves the axle sideways; enough thread left in the rod ends?",
        edits=(Shift("rear.panhard.length", count.si),),
    )
