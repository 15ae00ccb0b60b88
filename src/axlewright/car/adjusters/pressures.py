"""Tyre pressures: each wheel, and both wheels of an axle."""

from __future__ import annotations

from axlewright.car.adjusters.adjuster import Adjuster, Shift
from axlewright.car.adjusters.hand import WORDS, owners, tidy
from axlewright.car.adjusters.together import together
from axlewright.car.adjusters.where import GROUPS, PAIRS
from axlewright.car.mechanism import Mechanism, Values
from axlewright.car.schema import Car
from axlewright.units import Quantity

STEP = 5e3  # Pa hot; common practice, no source
RANGE = 0.3  # either way from the present pressure; common practice, no source
HEIGHT_FROM = 10e3  # Pa; from here on ride height is worth looking at again
NOTE = "hot; acts here through the tyre's vertical rate only: what it does to grip is not known without tyre data"


def pressures(car: Car, mechanism: Mechanism, values: Values) -> list[Adjuster]:
    """Pressure of each tyre and of each pair."""
    del mechanism, values
    found: list[Adjuster] = []
    for end, wheels in PAIRS.items():
        left, right = (_pressure(car, wheel) for wheel in wheels)
        pair = together(
            [(left, 1.0), (right, 1.0)], f"pressure_{end}", name=f"{end} tyre pressures", group=end, minutes=2.0
        )
        found += [left, right, pair]
    return found


def _pressure(car: Car, wheel: str) -> Adjuster:
    pressure = _hot(car, wheel)
    count = owners(pressure, "kPa", STEP)
    return Adjuster(
        id=f"pressure_{wheel}",
        name=f"{WORDS[wheel]} tyre pressure",
        family="tyre pressure",
        group=GROUPS[wheel],
        **count.either_way(RANGE * pressure.value, count.counts(pressure.value)),
        reference="gauge pressure, hot",
        direction="more: a stiffer tyre",
        minutes=1.0,
        place="grid",
        stage="pressures",
        recheck=("H",),
        recheck_from=tidy(HEIGHT_FROM / count.si),
        note=NOTE,
        edits=(Shift(f"{wheel}.pressure", count.si),),
    )


def _hot(car: Car, wheel: str) -> Quantity:
    tyre = car.tyres.front if wheel.endswith("F") else car.tyres.rear
    return tyre.right.pressure if wheel.startswith("R") and tyre.right is not None else tyre.pressure
