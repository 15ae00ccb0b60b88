"""How the car answers a steering step: ISO 7401's numbers.

Time zero is where the steering has made half of its change; response time is when 90 % of the new steady value is
reached, peak response time when the first peak is (ISO 7401; wording from memory).
"""

from __future__ import annotations

from functools import partial

import numpy as np

from axlewright.readings.motion.base import MotionReading, crossing, listed, picked, settled, vertex
from axlewright.solve.motion.run import Run

ISO = "ISO 7401 (step input)"
HALF, RESPONSE = 0.5, 0.9  # of the steering's change, of the steady value
PEAK = 1e-3  # of the steady value: less than that beyond it is no peak, but what integration leaves
FIELDS = (("yaw_rate", "yaw rate"), ("ay", "lateral acceleration"))


def time_zero(run: Run) -> np.ndarray:
    """Time at which the rack has made half of its change, s."""
    moved = run.seen.rack - run.seen.rack[0]
    return crossing(run, moved * np.sign(moved[-1]), HALF * np.abs(moved[-1]))


def change(run: Run, field: str) -> np.ndarray:
    """A field's change in the direction of its steady change, (T, B)."""
    values = getattr(run.seen, field)
    moved = values - values[0]
    return moved * np.sign(moved[-1])


def response_time(run: Run, field: str) -> np.ndarray:
    """s to 90 % of the steady change."""
    moved = change(run, field)
    return crossing(run, moved, RESPONSE * settled(run, moved)) - time_zero(run)


def first_peak(run: Run, field: str) -> tuple[np.ndarray, np.ndarray]:
    """Time, s, and height over the steady change of the first swing beyond it, (B,); NaN where there is none."""
    moved = change(run, field)
    steady = settled(run, moved)
    started = np.logical_or.accumulate(moved > (1.0 + PEAK) * steady, axis=0)
    over = np.logical_or.accumulate(started & (moved <= steady), axis=0)
    at = np.clip(np.argmax(np.where(started & ~over, moved, -np.inf), axis=0), 1, len(moved) - 2)
    step, height = vertex(*(picked(moved, at + k) for k in (-1, 0, 1)))
    swung = started.any(axis=0)
    when = run.time[at] + step * (run.time[1] - run.time[0])
    return np.where(swung, when, np.nan), np.where(swung, height / steady, np.nan)


def peak_time(run: Run, field: str) -> np.ndarray:
    """s to the first peak; NaN where it comes to the steady value without one."""
    return first_peak(run, field)[0] - time_zero(run)


def overshoot(run: Run, field: str) -> np.ndarray:
    """(peak - steady) / steady; 0 where it comes to the steady value without a peak."""
    steady, height = settled(run, change(run, field)), first_peak(run, field)[1]
    return np.where(np.isnan(steady), np.nan, np.where(np.isnan(height), 0.0, height - 1.0))


def steady_gain(run: Run, field: str) -> np.ndarray:
    """Steady change over that of the rack, per m."""
    values = getattr(run.seen, field)
    return settled(run, values - values[0]) / (run.seen.rack[-1] - run.seen.rack[0])


def tb_factor(run: Run) -> np.ndarray:
    """Peak yaw response time times steady sideslip, rad s."""
    return peak_time(run, "yaw_rate") * np.abs(settled(run, run.seen.sideslip - run.seen.sideslip[0]))


def steps_of(run: Run) -> list[MotionReading]:
    """For steps and ramps of the steering."""
    if run.kind != "steer":
        return []
    found, quick, swings = [], ("slower", "quicker"), ("swings past more", "swings past less")
    for field, said in FIELDS:
        told = partial(response_time, field=field), partial(peak_time, field=field), partial(overshoot, field=field)
        found += listed(ISO, [(f"{field}_response", f"{said}: response time", "s", "s", *quick, told[0])], settles=True)
        found += listed(ISO, [(f"{field}_peak_time", f"{said}: peak response time", "s", "s", *quick, told[1])])
        found += listed(ISO, [(f"{field}_overshoot", f"{said}: overshoot", "", "%", *swings, told[2])], settles=True)
    answers, slow = ("answers more", "answers less"), ("slower or more sideslip", "quicker or less sideslip")
    yaw, ay, slip = (partial(steady_gain, field=field) for field in ("yaw_rate", "ay", "sideslip"))
    tail = "tail further in", "tail further out"
    found += listed(ISO, [("yaw_gain", "steady yaw rate a metre of rack", "rad/s/m", "deg/s/mm", *answers, yaw)])
    found += listed(ISO, [("tb_factor", "TB factor", "rad*s", "deg*s", *slow, tb_factor)])
    gains = [
        ("ay_gain", "steady lateral acceleration a metre of rack", "m/s**2/m", "g/mm", *answers, ay),
        ("sideslip_gain", "steady sideslip a metre of rack", "rad/m", "deg/mm", *tail, slip),
    ]
    return [*found, *listed(ISO, gains, detail=True)]
