"""Watt's linkage: height of the pivot, lengths of the two links."""

from __future__ import annotations

from axlewright.car.adjusters.adjuster import Adjuster, Shift
from axlewright.car.adjusters.hand import Count, length
from axlewright.car.adjusters.lengths import link_length
from axlewright.car.adjusters.together import together
from axlewright.car.mechanism import Mechanism, Values
from axlewright.car.schema import Car
from axlewright.car.schema.rear import BeamAxle, Watt
from axlewright.car.schema.sides import SIDES

PIVOT_STEP = 10e-3  # m; common practice, no source: less can't be felt
PIVOT_RANGE = 25e-3  # m either way where the car file gives none; the design's range of practice


def watt(car: Car, mechanism: Mechanism, values: Values) -> list[Adjuster]:
    """Adjusters of a Watt's linkage; none without one."""
    del mechanism, values
    linkage = car.rear.watt if isinstance(car.rear, BeamAxle) else None
    if linkage is None:
        return []
    left, right = (_length(car, linkage, side) for side in SIDES)
    centring = together(
        [(left, 1.0), (right, -1.0)],
        "watt_lengths",
        name="Watt's links, opposite: axle sideways",
        group="axle",
        minutes=15.0,
        from_zero=True,
        direction="more: left link longer, right link shorter, axle to the left",
        note="bellcrank stays square only when both are turned by the same amount",
    )
    return [_pivot(car, linkage), left, right, centring]


def _pivot(car: Car, linkage: Watt) -> Adjuster:
    """The pivot and both arm ends go up together; the links keep their lengths."""
    count = _pivot_count(car, linkage)
    up = (0.0, 0.0, count.si)
    arm = "a" if linkage.bellcrank_on == "chassis" else "b"
    points = ("bellcrank.axis_a", "bellcrank.axis_b", f"watt_left.{arm}", f"watt_right.{arm}")
    reach = count.reach(PIVOT_RANGE)
    low, high = linkage.screw_range or (-reach, reach)
    return Adjuster(
        id="watt_pivot",
        name="Watt's pivot height",
        family="Watt's pivot height",
        group="axle",
        unit=count.unit,
        drawn=0.0,
        lo=low,
        hi=high,
        step=count.step,
        reference="from the height at which the car was measured",
        direction="more: pivot up; a screw is turned clockwise seen from above",
        minutes=5.0,
        place="pits",
        stage="links",
        recheck=("WH", "AC", "CL"),
        cautions=("car in the air", "prove by degrees"),
        note="lock nut tight? cross-measure the height in mm",
        edits=tuple(Shift(f"rear.{point}", up) for point in points),
    )


def _pivot_count(car: Car, linkage: Watt) -> Count:
    if linkage.screw is None or linkage.screw.value == 0.0:
        return length(car, 10.0, 0.375)
    pitch = abs(linkage.screw.value)
    return Count("turn", pitch, max(1.0, float(round(PIVOT_STEP / pitch))))


def _length(car: Car, linkage: Watt, side: str) -> Adjuster:
    return link_length(
        car,
        f"rear.watt_{side}",
        linkage.thread,
        key=f"watt_length_{side}",
        name=f"Watt's link, {side}, length",
        family="Watt's link lengths",
        minutes=8.0,
        recheck=("AC", "WH", "TQ"),
        note="enough thread left in the rod ends? one link alone also tips the bellcrank",
    )
