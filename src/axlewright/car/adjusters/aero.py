"""Wing and splitter: downforce of one end, as coefficient times area."""

from __future__ import annotations

from axlewright.car.adjusters.adjuster import Adjuster, Shift
from axlewright.car.adjusters.hand import owners, tidy
from axlewright.car.adjusters.where import End
from axlewright.car.mechanism import Mechanism, Values
from axlewright.car.schema import Car
from axlewright.units import Quantity

# m2: 75 N at 50 m/s. What a hole or 5 mm is worth on a car has to be measured; common practice, no source.
STEP = 0.05
RANGE = 0.4  # m2 either way


def aero(car: Car, mechanism: Mechanism, values: Values) -> list[Adjuster]:
    """Wing (rear downforce) and splitter (front downforce)."""
    del mechanism, values
    return [
        _downforce(car.aero.lift_area_rear, "wing", "wing: rear downforce", "rear", "1 hole"),
        _downforce(car.aero.lift_area_front, "splitter", "splitter: front downforce", "front", "5 mm"),
    ]


def _downforce(area: Quantity, key: str, name: str, end: End, one: str) -> Adjuster:
    count = owners(area, "m^2", STEP)
    now, reach = count.counts(area.value), count.reach(RANGE)
    return Adjuster(
        id=key,
        name=name,
        family=key,
        group=end,
        unit=count.unit,
        drawn=now,
        lo=tidy(now - reach),
        hi=tidy(now + reach),
        step=count.step,
        reference="downforce coefficient times area, lift negative",
        direction="more: more downforce",
        minutes=5.0,
        place="pits",
        stage="others",
        recheck=("CL",),
        cautions=("prove by degrees",),
        note=f"{one} is taken as {count.step:g} {count.unit} until it has been measured; drag is taken as unchanged; "
        "height limit of the rules card",
        edits=(Shift(f"aero.lift_area_{end}", count.si),),
    )
