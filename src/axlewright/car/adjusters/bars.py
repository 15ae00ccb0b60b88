"""Anti-roll bars: holes on both sides or one, another size of bar, drop-link lengths."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from axlewright.car.adjusters.adjuster import Adjuster, Shift, Table
from axlewright.car.adjusters.hand import Count, length, tidy, turns
from axlewright.car.adjusters.together import together
from axlewright.car.adjusters.where import PAIRS, End
from axlewright.car.describe.bars import bar_ends, torsion_of
from axlewright.car.mechanism import Mechanism, Values
from axlewright.car.schema import Car
from axlewright.car.schema.bar import Bar
from axlewright.car.schema.sides import SIDES

SIZES = 4  # sizes either way that are offered
MEASURED_STEP = 20.0  # %; about what one size of a round bar is, since torsion goes with the fourth power of diameter
DROP_RANGE = 15e-3  # m either way; common practice, no source


def bars(car: Car, mechanism: Mechanism, values: Values) -> list[Adjuster]:
    """Adjusters of both bars, as far as the car has them."""
    del mechanism
    found: list[Adjuster] = []
    for end in PAIRS:
        bar = car.front.bar if end == "front" else car.rear.bar
        if bar is not None:
            found += [*_holes(bar, end), _size(car, bar, end, values), *_drop_links(car, bar, end)]
    return found


def _holes(bar: Bar, end: End) -> list[Adjuster]:
    if len(bar.holes) < 2:
        return []
    left, right = (_hole(bar, end, side) for side in SIDES)
    both = together(
        [(left, 1.0), (right, 1.0)],
        f"{end}_bar_hole",
        name=f"{end} bar, hole, both sides",
        group=end,
        minutes=4.0,
        family="bar hole, both sides",
        recheck=("B", "TQ"),
        note="same hole on both sides? look at the joint angles and at the arm against toggle",
    )
    return [both, left, right]


def _hole(bar: Bar, end: End, side: str) -> Adjuster:
    return Adjuster(
        id=f"{end}_bar_hole_{side}",
        name=f"{end} bar, hole, {side} side only",
        family="bar hole, one side",
        group=end,
        unit="hole",
        drawn=float(bar_ends(bar)[side][3]),
        lo=1.0,
        hi=float(len(bar.holes)),
        step=1.0,
        reference="hole 1 is nearest the pivot: stiffest",
        direction="more: a longer arm, a softer bar",
        minutes=3.0,
        place="pits",
        stage="bars",
        recheck=("B", "X", "TQ"),
        rezero=("B",),
        note="half a step of the bar, with a little preload: is a staggered bar meant?",
        edits=(
            Table(
                f"{end}_bar.{side}.arm",
                tuple(float(i + 1) for i in range(len(bar.holes))),
                tuple(hole.value for hole in bar.holes),
            ),
        ),
    )


def _size(car: Car, bar: Bar, end: End, values: Values) -> Adjuster:
    """Another bar: by diameter when its torsion is computed, by its rate when that was measured."""
    path = f"{end}_bar.torsion"
    base = Adjuster(
        id=f"{end}_bar_size",
        name=f"{end} bar, size",
        family="bar size",
        group=end,
        unit="%",
        drawn=100.0,
        lo=40.0,
        hi=200.0,
        step=MEASURED_STEP,
        reference="rate of the bar, the one fitted when the car was measured being 100 %",
        direction="more: a stiffer bar",
        minutes=30.0,
        place="pits",
        stage="bars",
        recheck=("B", "TQ"),
        rezero=("B",),
        cautions=("car in the air",),
        note="arms at the same angle on both sides?",
        edits=(Shift(path, float(values[path]) / 100.0),),
    )
    if bar.diameter is None or bar.measured is not None:
        return base
    count = length(car, 1.0, 1.0 / 16.0)
    now = count.counts(bar.diameter.value)
    sizes = _sizes(bar, now, count)
    return replace(
        base,
        unit=count.unit,
        drawn=now,
        position=now,
        lo=sizes[0],
        hi=sizes[-1],
        step=count.step,
        reference="outside diameter" if bar.wall is None else "outside diameter, same wall",
        edits=(Table(path, sizes, tuple(_torsion(bar, size * count.si) for size in sizes)),),
    )


def _sizes(bar: Bar, now: float, count: Count) -> tuple[float, ...]:
    """Diameters on offer: whole steps either way that leave a tube its wall."""
    thinnest = 0.0 if bar.wall is None else 2.0 * bar.wall.value / count.si
    sizes = (tidy(now + i * count.step) for i in range(-SIZES, SIZES + 1))
    return tuple(size for size in sizes if size > thinnest)


def _torsion(bar: Bar, diameter: float) -> float:
    assert bar.diameter is not None
    if np.isclose(diameter, bar.diameter.value, rtol=1e-6):
        return torsion_of(bar)
    return torsion_of(bar.model_copy(update={"diameter": replace(bar.diameter, value=diameter)}))


def _drop_links(car: Car, bar: Bar, end: End) -> list[Adjuster]:
    count = turns(car, bar.drop_link_thread, 0.5, 1.0, 1.0 / 16.0)
    return [
        Adjuster(
            id=f"{end}_bar_drop_link_{side}",
            name=f"{end} bar, {side} drop-link length",
            family="bar drop-link length",
            group=end,
            **count.either_way(DROP_RANGE),
            reference="from the length that it had when the car was measured",
            direction="more: a longer drop link",
            minutes=5.0,
            place="scales",
            stage="bars",
            recheck=("X",),
            note="preloads the bar, so it is a change of cross weight; with the driver in",
            edits=(Shift(f"{end}_bar.{side}.drop_link", count.si),),
        )
        for side in SIDES
    ]
