"""Push-rods and pull-rods: their lengths set ride heights, as perches do, and leave the spring where it was."""

from __future__ import annotations

from axlewright.car.adjusters.adjuster import Adjuster, Shift
from axlewright.car.adjusters.hand import WORDS, turns
from axlewright.car.adjusters.springs_perches import HEIGHT_RECHECKS
from axlewright.car.adjusters.together import together
from axlewright.car.adjusters.where import GROUPS, PAIRS, corner_path, parts_of
from axlewright.car.mechanism import Mechanism, Values
from axlewright.car.schema import Car
from axlewright.car.schema.corner_parts import PushRod

LENGTH_RANGE = 15e-3  # m either way; common practice, no source


def rockers(car: Car, mechanism: Mechanism, values: Values) -> list[Adjuster]:
    """Rod lengths, each and both of an end; none where springs stand on the arms."""
    del mechanism, values
    found: list[Adjuster] = []
    for end, pair in PAIRS.items():
        parts = {wheel: parts_of(car, wheel) for wheel in pair}
        rods = [_length(car, wheel, p.rocker.rod) for wheel, p in parts.items() if p is not None and p.rocker]
        if rods:
            both = [(rod, 1.0) for rod in rods]
            name = f"{end} push- or pull-rods, length, both"
            found += [*rods, together(both, f"rod_{end}", name=name, group=end, minutes=8.0)]
    return found


def _length(car: Car, wheel: str, rod: PushRod) -> Adjuster:
    count = turns(car, rod.thread, 0.5, 1.0, 1.0 / 16.0)
    return Adjuster(
        id=f"rod_{wheel}",
        name=f"{WORDS[wheel]} push- or pull-rod, length",
        family="push- or pull-rod length",
        group=GROUPS[wheel],
        **count.either_way(LENGTH_RANGE),
        reference="from the length that it had when the car was measured",
        direction="more: a longer rod",
        minutes=5.0,
        place="scales",
        stage="heights",
        recheck=HEIGHT_RECHECKS,
        rezero=("B", "T"),
        note="enough thread left in the rod ends? look at the rocker against toggle",
        edits=(Shift(f"{corner_path(car, wheel, 'push_rod')}.length", count.si),),
    )
