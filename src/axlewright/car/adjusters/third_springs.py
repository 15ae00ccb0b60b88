"""Third springs: rate, holes of their arms, and drop links that preload them or leave them slack."""

from __future__ import annotations

from axlewright.car.adjusters.adjuster import Adjuster, Shift, Table
from axlewright.car.adjusters.hand import owners, tidy, turns
from axlewright.car.adjusters.springs_perches import SPRING_STEP
from axlewright.car.adjusters.together import together
from axlewright.car.adjusters.where import End
from axlewright.car.describe.bars import bar_ends
from axlewright.car.mechanism import Mechanism, Values
from axlewright.car.schema import Car
from axlewright.car.schema.corner_parts import ThirdSpring
from axlewright.car.schema.independent import Independent
from axlewright.car.schema.sides import SIDES

DROP_RANGE = 10e-3  # m either way; common practice, no source


def third_springs(car: Car, mechanism: Mechanism, values: Values) -> list[Adjuster]:
    """Adjusters of the third springs that the car has."""
    del mechanism, values
    found: list[Adjuster] = []
    ends: tuple[tuple[End, object], ...] = (("front", car.front), ("rear", car.rear))
    for end, table in ends:
        third = table.third_spring if isinstance(table, Independent) else None
        if third is not None:
            found += [_rate(third, end), *_holes(third, end), *_preload(car, third, end)]
    return found


def _rate(third: ThirdSpring, end: End) -> Adjuster:
    count = owners(third.rate, "N/mm", SPRING_STEP * third.rate.value)
    now = count.counts(third.rate.value)
    return Adjuster(
        id=f"third_spring_{end}",
        name=f"{end} third spring",
        family="third spring",
        group=end,
        unit=count.unit,
        drawn=now,
        lo=tidy(0.3 * now),
        hi=tidy(2.5 * now),
        step=count.step,
        reference="rate of the spring fitted",
        direction="more: a stiffer third spring",
        minutes=15.0,
        place="pits",
        stage="heights",
        recheck=("TQ",),
        cautions=("stored energy",),
        note="stiff in heave only; roll does not feel it",
        edits=(Shift(f"{end}_third_spring.torsion", count.si * third.spring_arm.value**2),),
    )


def _holes(third: ThirdSpring, end: End) -> list[Adjuster]:
    """Both arms together: one alone would let roll into it."""
    if len(third.holes) < 2:
        return []
    each = [_hole(third, end, side) for side in SIDES]
    name = f"{end} third spring, hole, both sides"
    whole = together(
        [(a, 1.0) for a in each], f"{end}_third_spring_hole", name=name, group=end, minutes=6.0, note="on both sides?"
    )
    return [whole, *each]


def _hole(third: ThirdSpring, end: End, side: str) -> Adjuster:
    holes = tuple(hole.value for hole in third.holes)
    return Adjuster(
        id=f"{end}_third_spring_hole_{side}",
        name=f"{end} third spring, hole, {side} side only",
        family="third spring hole",
        group=end,
        unit="hole",
        drawn=float(bar_ends(third)[side][3]),
        lo=1.0,
        hi=float(len(holes)),
        step=1.0,
        reference="hole 1 is nearest the pivot: stiffest",
        direction="more: a longer arm, softer",
        minutes=4.0,
        place="pits",
        stage="heights",
        recheck=("TQ",),
        note="one side alone lets roll into it",
        edits=(Table(f"{end}_third_spring.{side}.arm", tuple(float(i + 1) for i in range(len(holes))), holes),),
    )


def _preload(car: Car, third: ThirdSpring, end: End) -> list[Adjuster]:
    count = turns(car, third.drop_link_thread, 0.5, 1.0, 1.0 / 16.0)
    each = [
        Adjuster(
            id=f"{end}_third_spring_drop_link_{side}",
            name=f"{end} third spring, {side} drop-link length",
            family="third spring preload",
            group=end,
            **count.either_way(DROP_RANGE),
            reference="from the length that it had when the car was measured",
            direction="more: a longer drop link",
            minutes=5.0,
            place="scales",
            stage="heights",
            recheck=("H",),
            rezero=("H", "X"),
            note="preloads the third spring: the car stands higher or lower",
            edits=(Shift(f"{end}_third_spring.{side}.drop_link", count.si),),
        )
        for side in SIDES
    ]
    name = f"{end} third spring, both drop links"
    whole = together([(a, 1.0) for a in each], f"{end}_third_spring_preload", name=name, group=end, minutes=6.0)
    return [whole, *each]
