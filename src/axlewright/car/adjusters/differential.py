"""Limited-slip differential: preload, and locking on drive and on coast."""

from __future__ import annotations

from axlewright.car.adjusters.adjuster import Adjuster, Shift
from axlewright.car.adjusters.hand import owners, tidy
from axlewright.car.mechanism import Mechanism, Values
from axlewright.car.schema import Car
from axlewright.units import Quantity

PRELOAD_STEP = 10.0  # N m
RAMP_STEP = 10.0  # % of axle torque: about one pair of ramps; common practice, no source


def differential(car: Car, mechanism: Mechanism, values: Values) -> list[Adjuster]:
    """Preload and ramps; an open differential or a spool has nothing to adjust."""
    del mechanism, values
    unit = car.driveline.differential
    if unit.kind != "limited-slip":
        return []
    assert unit.preload is not None
    assert unit.lock_drive is not None
    assert unit.lock_coast is not None
    locks = (("drive", unit.lock_drive), ("coast", unit.lock_coast))
    return [_preload(unit.preload), *(_lock(when, share) for when, share in locks)]


def _preload(preload: Quantity) -> Adjuster:
    count = owners(preload, "N m", PRELOAD_STEP)
    now = count.counts(preload.value)
    return Adjuster(
        id="diff_preload",
        name="differential preload",
        family="differential preload",
        group="axle",
        unit=count.unit,
        drawn=now,
        lo=0.0,
        hi=tidy(2.0 * now + 10.0 * count.step),
        step=count.step,
        reference="breakaway torque between the wheels",
        direction="more: harder to turn one wheel against the other",
        minutes=10.0,
        place="pits",
        stage="others",
        cautions=("car in the air",),
        note="log the breakaway torque",
        edits=(Shift("driveline.preload", count.si),),
    )


def _lock(when: str, share: Quantity) -> Adjuster:
    return Adjuster(
        id=f"diff_lock_{when}",
        name=f"differential locking on {when}",
        family="differential ramps",
        group="axle",
        unit="%",
        drawn=tidy(100.0 * share.value),
        lo=0.0,
        hi=100.0,
        step=RAMP_STEP,
        reference="locking torque as a share of the axle's torque",
        direction="more: more locking",
        minutes=180.0,
        place="workshop",
        stage="others",
        note="log the breakaway torque; drive and coast ramps usually change together",
        edits=(Shift(f"driveline.lock_{when}", 0.01),),
    )
