"""Bump-stop packers and droop limiters, both sides of an axle together."""

from __future__ import annotations

from axlewright.car.adjusters.adjuster import Adjuster, Shift
from axlewright.car.adjusters.hand import length, tidy
from axlewright.car.adjusters.where import PAIRS, End, corner, damper_line
from axlewright.car.mechanism import Mechanism, Values
from axlewright.car.schema import Car
from axlewright.car.schema.springs import Stop

DROOP_RANGE = 30e-3  # m either way; common practice, no source


def stops(car: Car, mechanism: Mechanism, values: Values) -> list[Adjuster]:
    """Packers and limiters of the stops that the car file gives."""
    del mechanism, values
    found: list[Adjuster] = []
    for end, (left, _) in PAIRS.items():
        side = corner(car, left)
        if side.bump_stop is not None:
            found.append(_packers(car, end, side.bump_stop))
        if side.droop_stop is not None:
            found.append(_limiters(car, end, side.droop_stop))
    return found


def _packers(car: Car, end: End, stop: Stop) -> Adjuster:
    """A packer takes up gap; there can't be more of it than there is gap."""
    count = length(car, 2.0, 1.0 / 16.0)
    now = 0.0 if stop.packer is None else count.counts(stop.packer.value)
    return Adjuster(
        id=f"packers_{end}",
        name=f"{end} bump-stop packers, both sides",
        family="bump-stop packer",
        group=end,
        unit=count.unit,
        drawn=now,
        lo=0.0,
        hi=max(now, count.counts(stop.gap.value)),
        step=count.step,
        reference="thickness of the packers",
        direction="more: the bump stop touches earlier",
        minutes=10.0,
        place="pits",
        stage="others",
        cautions=("car in the air",),
        note="same on both sides? wipe the contact mark",
        edits=tuple(Shift(f"{damper_line(car, wheel)}.bump_stop.packer", count.si) for wheel in PAIRS[end]),
    )


def _limiters(car: Car, end: End, stop: Stop) -> Adjuster:
    count = length(car, 5.0, 0.1875)
    now = count.counts(stop.gap.value)
    return Adjuster(
        id=f"droop_{end}",
        name=f"{end} droop limiters, both sides",
        family="droop limiter",
        group=end,
        unit=count.unit,
        drawn=now,
        lo=tidy(max(0.0, now - count.reach(DROOP_RANGE))),
        hi=tidy(now + count.reach(DROOP_RANGE)),
        step=count.step,
        reference="damper movement from rest to the droop stop",
        direction="more: more droop travel",
        minutes=10.0,
        place="pits",
        stage="others",
        recheck=("CL",),
        cautions=("car in the air",),
        note="same on both sides? does the spring stay in its seat?",
        edits=tuple(Shift(f"{damper_line(car, wheel)}.droop_stop.gap", count.si) for wheel in PAIRS[end]),
    )
