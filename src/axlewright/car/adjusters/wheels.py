"""Wheel spacers, both wheels of an axle."""

from __future__ import annotations

import numpy as np

from axlewright.car.adjusters.adjuster import Adjuster, Shift
from axlewright.car.adjusters.hand import Count, length
from axlewright.car.adjusters.where import PAIRS, End, corner
from axlewright.car.mechanism import Mechanism, Values
from axlewright.car.schema import Car

MOST = 25e-3  # m a side; common practice, no source


def wheels(car: Car, mechanism: Mechanism, values: Values) -> list[Adjuster]:
    """Spacers at each end."""
    del mechanism, values
    return [_spacers(car, end) for end in PAIRS]


def _spacers(car: Car, end: End) -> Adjuster:
    """The wheel moves outward along its own axis; its mass is left with the unsprung mass that it is part of."""
    count = length(car, 5.0, 0.25)
    return Adjuster(
        id=f"spacers_{end}",
        name=f"{end} wheel spacers, both sides",
        family="wheel spacer",
        group=end,
        unit=count.unit,
        drawn=0.0,
        lo=0.0,
        hi=count.reach(MOST),
        step=count.step,
        reference="more than when the car was measured, each side",
        direction="more: a wider track",
        minutes=15.0,
        place="pits",
        stage="heights",
        recheck=("T", "CL", "TQ"),
        rezero=("T",),
        cautions=("car in the air",),
        note="same on both sides? stud engagement; track limit of the rules card",
        edits=tuple(Shift(f"{wheel}.centre", _outward(car, wheel, count)) for wheel in PAIRS[end]),
    )


def _outward(car: Car, wheel: str, count: Count) -> tuple[float, float, float]:
    """Outward along the drawn wheel axis, m per count: camber tips it, toe turns it."""
    side = corner(car, wheel)
    camber, toe, out = side.camber.value, side.toe.value, np.sign(side.wheel_centre.y)
    level = np.cos(camber)
    axis = np.array([np.sin(toe) * level, out * np.cos(toe) * level, -np.sin(camber)])
    x, y, z = (float(v) for v in count.si * axis)
    return x, y, z
