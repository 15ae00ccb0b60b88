"""How the car answers steering: ISO 7401's numbers of a step, and gain and phase over frequency.

Time zero of a step is where the steering has made half of its change; response time is when 90 % of the new steady
value is reached, peak response time when the first peak is (ISO 7401; wording from memory). Braking and lifting off in
a turn (ISO 7975, ISO 9816; wording from memory) are told one second after the driver has acted, against the circle that
was being driven: reference yaw rate = speed over its radius.
"""

from __future__ import annotations

from functools import partial

import numpy as np

from axlewright.readings.motion.base import MotionReading, listed, settled
from axlewright.solve.motion.run import Run

STEP, SINE, TURN = "ISO 7401 (step input)", "ISO 7401 (continuous sine)", "ISO 7975, ISO 9816"
RESPONSE = 0.9  # of the steady value
ASKED = (0.5, 1.0, 2.0)  # Hz
LATER = 1.0  # s
SEGMENTS = 8  # of a sweep, half overlapping, that spectra are averaged over


def _zero(run: Run) -> np.ndarray:
    """Time at which the rack has made half of its change, s."""
    rack = run.seen.rack
    half = 0.5 * (rack[0] + rack[-1])
    sign = np.sign(rack[-1] - rack[0])
    at = np.argmax(sign * (rack - half) >= 0.0, axis=0)
    return run.time[at]


def _change(run: Run, field: str) -> np.ndarray:
    """A field's change in the direction of its steady change, (T, B)."""
    values = getattr(run.seen, field)
    moved = values - values[0]
    return moved * np.sign(moved[-1])


def response_time(run: Run, field: str) -> np.ndarray:
    """s to 90 % of the steady change."""
    moved = _change(run, field)
    return _crossing(run, moved, RESPONSE * settled(run, moved)) - _zero(run)


def _crossing(run: Run, values: np.ndarray, level: np.ndarray) -> np.ndarray:
    """First time at which values (T, B) reach a level (B,), straight between samples; NaN if never."""
    above = values >= level
    at = np.clip(np.argmax(above, axis=0), 1, None)
    pick = lambda a, i: np.take_along_axis(a, i[None], axis=0)[0]  # noqa: E731
    low, high = pick(values, at - 1), pick(values, at)
    share = (level - low) / np.where(high != low, high - low, 1.0)
    return np.where(above.any(axis=0), run.time[at - 1] + share * (run.time[at] - run.time[at - 1]), np.nan)


def peak_time(run: Run, field: str) -> np.ndarray:
    """s to the first peak."""
    moved = _change(run, field)
    return run.time[np.argmax(moved, axis=0)] - _zero(run)


def overshoot(run: Run, field: str) -> np.ndarray:
    """(peak - steady) / steady."""
    moved = _change(run, field)
    return moved.max(axis=0) / settled(run, moved) - 1.0


def steady_gain(run: Run, field: str) -> np.ndarray:
    """Steady change over that of the rack, per m."""
    rack = run.seen.rack[-1] - run.seen.rack[0]
    values = getattr(run.seen, field)
    return settled(run, values - values[0]) / rack


def tb_factor(run: Run) -> np.ndarray:
    """Peak yaw response time times steady sideslip, rad s."""
    return peak_time(run, "yaw_rate") * np.abs(settled(run, run.seen.sideslip - run.seen.sideslip[0]))


def transfer(run: Run, field: str) -> tuple[np.ndarray, np.ndarray]:
    """Frequencies (F,) Hz and complex response (F, B) of a field to the rack, by averaged spectra of a sweep."""
    step = run.time[1] - run.time[0]
    count = 2 * len(run.time) // (SEGMENTS + 1)
    window = np.hanning(count)[:, None]
    x, y = run.seen.rack, getattr(run.seen, field)
    x, y = x - x[0], y - y[0]
    cross, own = 0.0, 0.0
    for first in range(0, len(run.time) - count + 1, count // 2):
        a, b = (np.fft.rfft(window * s[first : first + count], axis=0) for s in (x, y))
        cross, own = cross + np.conj(a) * b, own + np.abs(a) ** 2
    return np.fft.rfftfreq(count, step), cross / np.maximum(own, 1e-300)


def gain_at(run: Run, field: str, frequency: float) -> np.ndarray:
    """Magnitude of the response over that at the lowest frequency of the sweep."""
    f, h = transfer(run, field)
    low = run.swept[0] if run.swept else f[1]
    each = [np.interp(frequency, f, np.abs(h[:, b])) / np.interp(low, f, np.abs(h[:, b])) for b in range(run.batch)]
    return np.array(each)


def phase_at(run: Run, field: str, frequency: float) -> np.ndarray:
    """Phase of the response, rad, negative when it lags."""
    f, h = transfer(run, field)
    return np.array([np.interp(frequency, f, np.unwrap(np.angle(h[:, b]))) for b in range(run.batch)])


def _later(run: Run) -> int:
    return int(np.argmin(np.abs(run.time - run.begins - LATER)))


def yaw_ratio(run: Run) -> np.ndarray:
    """Yaw rate one second later over that of the circle at the speed of then: above 1 the car turns in."""
    s, at = run.seen, _later(run)
    curvature = s.yaw_rate[0] / s.speed[0]
    return s.yaw_rate[at] / (curvature * s.speed[at])


def most_yaw(run: Run) -> np.ndarray:
    """Largest yaw rate over that of the circle within the first second."""
    s = run.seen
    early = (run.time >= run.begins) & (run.time <= run.begins + LATER)
    return (s.yaw_rate / (s.yaw_rate[0] / s.speed[0] * s.speed))[early].max(axis=0)


def sideslip_change(run: Run) -> np.ndarray:
    """Growth of the sideslip's magnitude one second later, rad."""
    s = run.seen
    return np.abs(s.sideslip[_later(run)]) - np.abs(s.sideslip[0])


def path_deviation(run: Run) -> np.ndarray:
    """How far inside the circle the car is one second later, m."""
    s, at = run.seen, _later(run)
    start = int(np.argmin(np.abs(run.time - run.begins)))
    radius = s.speed[0] / s.yaw_rate[0]
    heading = s.yaw[start] + s.sideslip[start]
    centre = s.x[start] - radius * np.sin(heading), s.y[start] + radius * np.cos(heading)
    return np.abs(radius) - np.hypot(s.x[at] - centre[0], s.y[at] - centre[1])


FIELDS = (("yaw_rate", "yaw rate"), ("ay", "lateral acceleration"))


def _of_step() -> list[MotionReading]:
    rows, quick, swings = [], ("slower", "quicker"), ("swings past more", "swings past less")
    for field, said in FIELDS:
        rows += [
            (f"{field}_response", f"{said}: response time", "s", "s", *quick, partial(response_time, field=field)),
            (f"{field}_peak_time", f"{said}: peak response time", "s", "s", *quick, partial(peak_time, field=field)),
            (f"{field}_overshoot", f"{said}: overshoot", "", "%", *swings, partial(overshoot, field=field)),
        ]
    answers, gain = ("answers more", "answers less"), partial(steady_gain, field="yaw_rate")
    rows.append(("yaw_gain", "steady yaw rate a metre of rack", "rad/s/m", "deg/s/mm", *answers, gain))
    slow = "slower or more sideslip", "quicker or less sideslip"
    rows.append(("tb_factor", "TB factor", "rad*s", "deg*s", *slow, tb_factor))
    return listed(STEP, rows)


def _of_sweep() -> list[MotionReading]:
    rows, answers, lags = [], ("answers more", "answers less"), ("lags less", "lags more")
    for field, said in FIELDS:
        for hertz in ASKED:
            gain, phase = (partial(read, field=field, frequency=hertz) for read in (gain_at, phase_at))
            rows += [
                (f"{field}_gain_{hertz:g}", f"{said}: gain at {hertz:g} Hz over slow", "", "%", *answers, gain),
                (f"{field}_phase_{hertz:g}", f"{said}: phase at {hertz:g} Hz", "rad", "deg", *lags, phase),
            ]
    return listed(SINE, rows)


def _in_turn() -> list[MotionReading]:
    tail, inside = ("tail further out", "tail further in"), ("further inside", "further outside")
    rows = [
        ("yaw_ratio", "yaw rate over the circle's after 1 s", "", "%", "turns in", "runs wide", yaw_ratio),
        ("yaw_most", "largest yaw rate over the circle's", "", "%", "turns in harder", "turns in less", most_yaw),
        ("sideslip_change", "growth of sideslip after 1 s", "rad", "deg", *tail, sideslip_change),
        ("path_deviation", "inside the circle after 1 s", "m", "m", *inside, path_deviation),
    ]
    return listed(TURN, rows)


def yaws_of(run: Run) -> list[MotionReading]:
    """For events that steer, or that do something in a turn."""
    kinds = {"steer": _of_step, "sweep": _of_sweep, "turn": _in_turn}
    return kinds[run.kind]() if run.kind in kinds else []
