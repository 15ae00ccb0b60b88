"""What braking or lifting off in a turn does (ISO 7975, ISO 9816; wording from memory).

Told one second after the driver has acted, against the circle that was being driven: reference yaw rate = speed over
its radius. Path and radius are those of the centre of mass.
"""

from __future__ import annotations

import numpy as np

from axlewright.readings.motion.base import MotionReading, listed
from axlewright.solve.motion.run import Run

ISO = "ISO 7975, ISO 9816"
LATER = 1.0  # s


def _within(run: Run) -> np.ndarray:
    """Moments (T,) of the second after the driver has acted; none if the run is too short."""
    late = (run.time >= run.begins - 1e-9) & (run.time <= run.begins + LATER + 1e-9)
    return late & (run.time[-1] >= run.begins + LATER - 1e-9)


def _end(run: Run, values: np.ndarray) -> np.ndarray:
    """Values (T, B) one second after, (B,)."""
    at = np.flatnonzero(_within(run))
    return values[at[-1]] if len(at) else np.full(run.batch, np.nan)


def reference(run: Run) -> np.ndarray:
    """Yaw rate that would keep the car on its circle at the speed of each moment, rad/s, (T, B)."""
    s = run.seen
    return s.yaw_rate[0] / s.speed[0] * s.speed


def yaw_ratio(run: Run) -> np.ndarray:
    """Yaw rate one second later over that of the circle at the speed of then: above 1 the car turns in."""
    return _end(run, run.seen.yaw_rate / reference(run))


def yaw_deviation(run: Run) -> np.ndarray:
    """Yaw rate one second later less that of the circle, rad/s, positive into the turn."""
    return _end(run, (run.seen.yaw_rate - reference(run)) * np.sign(run.seen.yaw_rate[0]))


def most_yaw(run: Run) -> np.ndarray:
    """Largest yaw rate over that of the circle within the first second."""
    ratio, within = run.seen.yaw_rate / reference(run), _within(run)
    return ratio[within].max(axis=0) if within.any() else np.full(run.batch, np.nan)


def sideslip_change(run: Run) -> np.ndarray:
    """Growth of the sideslip's magnitude one second later, rad."""
    return _end(run, np.abs(run.seen.sideslip)) - np.abs(run.seen.sideslip[0])


def deceleration(run: Run) -> np.ndarray:
    """Mean deceleration over that second, m/s2."""
    start = int(np.argmin(np.abs(run.time - run.begins)))
    return (run.seen.speed[start] - _end(run, run.seen.speed)) / LATER


def path_deviation(run: Run) -> np.ndarray:
    """How far inside the circle the centre of mass is one second later, m."""
    s, within = run.seen, _within(run)
    if not within.any():
        return np.full(run.batch, np.nan)
    speed, course = s.speed / np.cos(s.sideslip), s.yaw + s.sideslip
    velocity = (speed * np.exp(1j * course))[within]
    gone = (0.5 * (velocity[1:] + velocity[:-1]) * np.diff(run.time[within])[:, None]).sum(axis=0)
    radius = speed[0] / s.yaw_rate[0]
    centre = 1j * radius * np.exp(1j * course[within][0])
    return np.abs(radius) - np.abs(gone - centre)


def turns_of(run: Run) -> list[MotionReading]:
    """For events that do something in a steady turn."""
    if run.kind != "turn":
        return []
    tail, inside = ("tail further out", "tail further in"), ("further inside", "further outside")
    turns, slower = ("turns in", "runs wide"), ("slows more", "slows less")
    rows = [
        ("deceleration", "mean deceleration over 1 s", "m/s**2", "g", *slower, deceleration),
        ("yaw_ratio", "yaw rate over the circle's after 1 s", "", "%", *turns, yaw_ratio),
        ("yaw_deviation", "yaw rate less the circle's after 1 s", "rad/s", "deg/s", *turns, yaw_deviation),
        ("yaw_most", "largest yaw rate over the circle's", "", "%", "turns in harder", "turns in less", most_yaw),
        ("sideslip_change", "growth of sideslip after 1 s", "rad", "deg", *tail, sideslip_change),
        ("path_deviation", "inside the circle after 1 s", "m", "m", *inside, path_deviation),
    ]
    return listed(ISO, rows)
