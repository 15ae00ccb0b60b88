"""Links of a multi-link corner that set neither toe nor camber: their lengths move the wheel fore and aft, or trim."""

from __future__ import annotations

from axlewright.car.adjusters.adjuster import Adjuster, Shift
from axlewright.car.adjusters.hand import WORDS, turns
from axlewright.car.adjusters.together import together
from axlewright.car.adjusters.where import GROUPS, PAIRS, corner_path, parts_of
from axlewright.car.mechanism import Mechanism, Values
from axlewright.car.schema import Car
from axlewright.car.schema.independent import UprightRod
from axlewright.car.schema.multi_link import RearMultiLink

LENGTH_RANGE = 10e-3  # m either way; common practice, no source


def upright_links(car: Car, mechanism: Mechanism, values: Values) -> list[Adjuster]:
    """Lengths of the other links, each and both sides; none on another layout."""
    del mechanism, values
    rear = car.rear
    if not isinstance(rear, RearMultiLink):
        return []
    found: list[Adjuster] = []
    rods = {wheel: {rod.name: rod for rod in parts.rods} for wheel in PAIRS["rear"] if (parts := parts_of(car, wheel))}
    for link in rear.links:
        if link.name in (rear.toe_link, rear.camber_link):
            continue
        each = [_length(car, wheel, rods[wheel][link.name]) for wheel in PAIRS["rear"]]
        name = f"rear {link.name.replace('_', ' ')} links, length, both"
        both = together([(a, 1.0) for a in each], f"rear_{link.name}_length", name=name, group="rear", minutes=15.0)
        found += [both, *each]
    return found


def _length(car: Car, wheel: str, rod: UprightRod) -> Adjuster:
    count = turns(car, rod.thread, 0.5, 1.0, 1.0 / 16.0)
    return Adjuster(
        id=f"rear_{rod.name}_length_{wheel}",
        name=f"{WORDS[wheel]} {rod.name.replace('_', ' ')} link, length",
        family="multi-link length",
        group=GROUPS[wheel],
        **count.either_way(LENGTH_RANGE),
        reference="from the length that it had when the car was measured",
        direction="more: a longer link",
        minutes=10.0,
        place="scales",
        stage="links",
        recheck=("H", "X", "BS", "CL", "TQ"),
        rezero=("H", "X"),
        cautions=("car in the air", "prove by degrees"),
        note="moves toe and camber too: set them again after it",
        edits=(Shift(f"{corner_path(car, wheel, rod.name)}.length", count.si),),
    )
