"""Springs by the pair, and their perches: one corner, a pair, a diagonal, all four."""

from __future__ import annotations

from typing import Any

import numpy as np

from axlewright.car.adjusters.adjuster import Adjuster, Edit, Shift
from axlewright.car.adjusters.hand import WHEELS, WORDS, owners, tidy, turns
from axlewright.car.adjusters.together import together
from axlewright.car.adjusters.where import GROUPS, PAIRS, End, corner, spring_path
from axlewright.car.mechanism import Mechanism, Values
from axlewright.car.schema import Car

SPRING_STEP = 0.07  # of the rate; 5 to 10 % is practice
PERCH_RANGE = 15e-3  # m either way; common practice, no source
HEIGHT_RECHECKS = ("H", "X", "B", "T", "C", "BS", "WH", "PA", "TL", "CL")


def springs_perches(car: Car, mechanism: Mechanism, values: Values) -> list[Adjuster]:
    """Spring pairs, perches, and what is done with several perches at once."""
    del mechanism
    perches = {wheel: _perch(car, wheel) for wheel in WHEELS}
    found = [_springs(car, end, values) for end in PAIRS]
    return [*found, *perches.values(), *_pairs(perches), *_all_four(perches)]


def _springs(car: Car, end: End, values: Values) -> Adjuster:
    """Every rate of both springs goes up in proportion, so that a right spring that differs keeps differing."""
    rate = corner(car, PAIRS[end][0]).spring.rate
    count = owners(rate, "N/mm", SPRING_STEP * rate.value)
    now = count.counts(rate.value)
    edits: list[Edit] = []
    for path in (spring_path(car, wheel) for wheel in PAIRS[end]):
        edits.append(Shift(f"{path}.rate", float(values[f"{path}.rate"]) / now))
        stages = np.asarray(values[f"{path}.extra_step"])
        if stages.any():
            edits.append(Shift(f"{path}.extra_step", tuple(float(s) for s in stages / now)))
    return Adjuster(
        id=f"springs_{end}",
        name=f"{end} springs, pair",
        family="spring pair",
        group=end,
        unit=count.unit,
        drawn=now,
        lo=tidy(0.4 * now),
        hi=tidy(2.0 * now),
        step=count.step,
        reference="rate of the left spring fitted",
        direction="more: stiffer springs",
        minutes=30.0,
        place="pits",
        stage="heights",
        recheck=("H", "X", "B", "T", "CL"),
        rezero=("H", "X", "B", "T"),
        cautions=("car in the air", "stored energy"),
        note="taken as of the same free length; look at the spring's seat gap and at coil bind",
        edits=tuple(edits),
    )


def _perch(car: Car, wheel: str) -> Adjuster:
    count = turns(car, corner(car, wheel).spring.perch_thread, 1.0, 2.0, 1.0 / 16.0)
    return Adjuster(
        id=f"perch_{wheel}",
        name=f"{WORDS[wheel]} perch",
        family="perch, one corner",
        group=GROUPS[wheel],
        **count.either_way(PERCH_RANGE),
        reference="from where it was when the car was measured",
        direction="more: clockwise seen from above, compresses the spring and raises that corner",
        minutes=3.0,
        place="scales",
        stage="heights",
        recheck=("H", "X", "B", "T"),
        rezero=("B", "T"),
        cautions=("prove by degrees",),
        edits=(Shift(f"{spring_path(car, wheel)}.seat", count.si),),
    )


def _pairs(perches: dict[str, Adjuster]) -> list[Adjuster]:
    """Both perches of an axle by the same turns: the turns are what is equal, not the wheels' travel."""
    return [
        together(
            [(perches[wheel], 1.0) for wheel in wheels],
            f"perches_{end}",
            name=f"{end} perches, both",
            group=end,
            minutes=5.0,
            family="perches, axle pair",
            direction=f"more: raises the {end} end",
            recheck=HEIGHT_RECHECKS,
            rezero=("X", "B", "T", "PA"),
        )
        for end, wheels in PAIRS.items()
    ]


def _all_four(perches: dict[str, Adjuster]) -> list[Adjuster]:
    def moved(key: str, name: str, shares: tuple[float, ...], minutes: float, **changes: Any) -> Adjuster:
        members = [(perches[wheel], share) for wheel, share in zip(WHEELS, shares, strict=True)]
        return together(members, key, name=name, group="whole car", minutes=minutes, **changes)

    return [
        moved(
            "perches_diagonal",
            "perches, diagonal: cross weight",
            (-1.0, 1.0, 1.0, -1.0),
            5.0,
            family="perches, diagonal",
            step=tidy(0.5 * perches["LF"].step),
            direction="more: right front and left rear up, left front and right rear down",
            recheck=("X", "H", "B"),
            rezero=("H", "B"),
        ),
        moved(
            "ride_height",
            "ride height: all four perches",
            (1.0, 1.0, 1.0, 1.0),
            20.0,
            family="perches, all four: ride height",
            direction="more: raises the car; the same turns at each corner",
            recheck=HEIGHT_RECHECKS,
            rezero=("X", "B", "T", "PA"),
        ),
        moved(
            "rake",
            "rake: front perches down, rear perches up",
            (-1.0, -1.0, 1.0, 1.0),
            20.0,
            family="rake",
            direction="more: nose down; the same turns at each corner",
            recheck=HEIGHT_RECHECKS,
            rezero=("X", "B", "T", "PA"),
        ),
    ]
