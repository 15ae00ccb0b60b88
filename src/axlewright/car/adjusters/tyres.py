"""Another set of tyres: more or less grip by age, another size by wheel."""

from __future__ import annotations

import numpy as np

from axlewright.car.adjusters.adjuster import Adjuster, Edit, Shift
from axlewright.car.adjusters.hand import WORDS, length
from axlewright.car.adjusters.together import together
from axlewright.car.adjusters.where import GROUPS, PAIRS, End
from axlewright.car.mechanism import Mechanism, Values
from axlewright.car.schema import Car

GRIP_STEP = 3.0  # %: what some heat cycles take, or a new set gives; common practice, no source
SIZE_RANGE = 15e-3  # m of radius either way
PEAK_COEFFICIENTS = 2  # a1, a2 (b1, b2) of the 1987 form make the peak force


def tyres(car: Car, mechanism: Mechanism, values: Values) -> list[Adjuster]:
    """Age of each axle's tyres and of all four; size by wheel and by axle."""
    ages = {end: _age(end, mechanism, values) for end in PAIRS}
    all_four = together(
        [(age, 1.0) for age in ages.values()], "tyre_set", name="tyre set, all four", group="whole car", minutes=20.0
    )
    found = [*ages.values(), all_four]
    for end, pair in PAIRS.items():
        left, right = (_size(car, wheel) for wheel in pair)
        name = f"{end} tyre size, both"
        both = together([(left, 1.0), (right, 1.0)], f"tyre_size_{end}", name=name, group=end, minutes=15.0)
        found += [both, left, right]
    return found


def _age(end: End, mechanism: Mechanism, values: Values) -> Adjuster:
    edits = tuple(edit for wheel in PAIRS[end] for edit in _grip(wheel, mechanism, values))
    return Adjuster(
        id=f"tyre_set_{end}",
        name=f"{end} tyre set, newer or older",
        family="tyre set",
        group=end,
        unit="%",
        drawn=100.0,
        lo=70.0,
        hi=130.0,
        step=GRIP_STEP,
        reference="peak grip, that of the set in the car file being 100 %",
        direction="more: a grippier set",
        minutes=15.0,
        place="pits",
        stage="heights",
        recheck=("H", "X", "TQ"),
        rezero=("H", "X"),
        cautions=("car in the air",),
        note="only grip is changed: another set may also differ in stiffness and size",
        edits=edits,
    )


def _grip(wheel: str, mechanism: Mechanism, values: Values) -> list[Edit]:
    """Peak grip by 1 %, and with it the fall of grip with load, so that the whole curve scales."""
    if mechanism.tyre_law == "similarity":
        paths = (f"{wheel}.tyre.{key}" for key in ("grip", "grip_drop"))
        return [Shift(path, 0.01 * float(values[path])) for path in paths]
    edits: list[Edit] = []
    for path in (f"{wheel}.tyre.{key}" for key in ("lateral", "longitudinal")):
        per = 0.01 * np.asarray(values[path], dtype=float)
        per[PEAK_COEFFICIENTS:] = 0.0
        edits.append(Shift(path, tuple(float(v) for v in per)))
    return edits


def _size(car: Car, wheel: str) -> Adjuster:
    """Unloaded radius, which the solve of the car at rest finds; so it is not among the described values."""
    count = length(car, 3.0, 0.125)
    return Adjuster(
        id=f"tyre_size_{wheel}",
        name=f"{WORDS[wheel]} tyre size",
        family="tyre size",
        group=GROUPS[wheel],
        **count.either_way(SIZE_RANGE),
        reference="radius against the tyre in the car file",
        direction="more: a larger tyre, that corner higher",
        minutes=10.0,
        place="pits",
        stage="heights",
        recheck=("H", "X", "CL"),
        rezero=("H", "X"),
        cautions=("car in the air",),
        note="where left and right differ, a locking differential makes the axle steer the car",
        edits=(Shift(f"{wheel}.free_radius", count.si),),
    )
