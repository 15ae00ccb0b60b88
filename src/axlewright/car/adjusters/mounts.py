"""Where a link is bolted on: a row of holes as the car file lists them, or a height where it lists only one."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from axlewright.car.adjusters.adjuster import Adjuster, Edit, Group, Shift, Table
from axlewright.car.adjusters.hand import Count
from axlewright.car.schema.point import Holes

ENDS = (("rearmost", "foremost"), ("furthest right", "furthest left"), ("lowest", "highest"))


def hole_table(path: str, holes: Holes) -> Table:
    """The point at each hole. A link keeps its length when it is moved: that is what happens."""
    counted = tuple(float(i + 1) for i in range(len(holes.holes)))
    return Table(path, counted, tuple((p.x, p.y, p.z) for p in holes.holes))


def mount(
    paths: Mapping[str, Holes],
    height: Count,
    reach: float,
    *,
    key: str,
    name: str,
    family: str,
    group: Group,
    minutes: float,
    recheck: tuple[str, ...],
    rezero: tuple[str, ...] = (),
) -> Adjuster:
    """An adjuster that moves these points (path -> its holes) together.

    `height` counts the height of a mount that has one hole only, `reach` SI either way.
    """
    first = next(iter(paths.values()))
    edits: tuple[Edit, ...]
    if first.adjustable:
        edits = tuple(hole_table(path, holes) for path, holes in paths.items())
        count, low, high, drawn = Count("hole", 0.0, 1.0), 1.0, float(len(first.holes)), float(first.hole)
        reference, place, note = _counted_from(first), "pits", "the link keeps its length unless it is put right"
    else:
        edits = tuple(Shift(path, (0.0, 0.0, height.si)) for path in paths)
        count, low, high, drawn = height, -height.reach(reach), height.reach(reach), 0.0
        reference, place = "from the height at which the car was measured", "workshop"
        note = "the car file lists one hole only: taken as its bracket moved up or down"
    return Adjuster(
        id=key,
        name=name,
        family=family,
        group=group,
        unit=count.unit,
        drawn=drawn,
        lo=low,
        hi=high,
        step=count.step,
        reference=reference,
        direction=_more(first),
        minutes=minutes,
        place=place,
        stage="links",
        recheck=recheck,
        rezero=rezero,
        cautions=("car in the air", "prove by degrees"),
        note=note,
        edits=edits,
    )


def _row(holes: Holes) -> tuple[int, bool]:
    """Axis along which the holes differ most, and whether they count up along it; one hole moves up."""
    span = holes.holes[-1].xyz - holes.holes[0].xyz
    axis = int(np.argmax(np.abs(span))) if holes.adjustable else 2
    return axis, bool(span[axis] >= 0.0)


def _counted_from(holes: Holes) -> str:
    axis, upward = _row(holes)
    return f"hole 1 is the {ENDS[axis][0 if upward else 1]}"


def _more(holes: Holes) -> str:
    axis, upward = _row(holes)
    toward = (("rearward", "forward"), ("right", "left"), ("down", "up"))[axis][1 if upward else 0]
    return f"more: {toward}"
