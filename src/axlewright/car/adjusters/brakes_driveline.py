"""Brake bias and final drive."""

from __future__ import annotations

from axlewright.car.adjusters.adjuster import Adjuster, Shift
from axlewright.car.adjusters.hand import tidy
from axlewright.car.adjusters.where import PAIRS
from axlewright.car.mechanism import Mechanism, Values
from axlewright.car.schema import Car

BIAS_STEP = 1.0  # % of front share: half to one turn of a balance bar; common practice, no source
BIAS_RANGE = 15.0
RATIO_STEP = 0.2  # about one gear set; common practice, no source


def brakes_driveline(car: Car, mechanism: Mechanism, values: Values) -> list[Adjuster]:
    """Brake bias and final drive."""
    del mechanism, values
    return [_bias(car), _final_drive(car)]


def _bias(car: Car) -> Adjuster:
    """What one axle's brakes gain the other's lose: the four together keep their torque."""
    share, per = car.brakes.front_share.value, 0.01 * car.brakes.total_torque.value / 2.0
    now = tidy(100.0 * share)
    signs = {**dict.fromkeys(PAIRS["front"], 1.0), **dict.fromkeys(PAIRS["rear"], -1.0)}
    return Adjuster(
        id="brake_bias",
        name="brake bias",
        family="brake bias",
        group="cockpit",
        unit="%",
        drawn=now,
        lo=tidy(max(0.0, now - BIAS_RANGE)),
        hi=tidy(min(100.0, now + BIAS_RANGE)),
        step=BIAS_STEP,
        reference="front share of the brake torque at equal pedal",
        direction="more: more front brake",
        minutes=1.0,
        place="grid",
        stage="others",
        recheck=("BB",),
        cautions=("prove by degrees",),
        note="about half to one turn of a balance bar",
        edits=tuple(Shift(f"{wheel}.brake_gain", sign * per) for wheel, sign in signs.items()),
    )


def _final_drive(car: Car) -> Adjuster:
    now = tidy(car.driveline.final_drive.value)
    return Adjuster(
        id="final_drive",
        name="final drive",
        family="final drive",
        group="axle",
        unit="ratio",
        drawn=now,
        lo=tidy(max(1.0, now - 1.0)),
        hi=tidy(now + 1.0),
        step=RATIO_STEP,
        reference="propeller-shaft turns for one turn of the wheels",
        direction="more: shorter gearing, less propeller-shaft torque for the same drive",
        minutes=240.0,
        place="workshop",
        stage="others",
        recheck=("PA", "TQ"),
        note="write down the gear sets you have; the engine's torque curve is not looked at here",
        edits=(Shift("driveline.ratio", 1.0),),
    )
