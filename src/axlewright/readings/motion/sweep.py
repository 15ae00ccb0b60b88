"""How the car answers steering over frequency: gain and phase of a sweep (ISO 7401, continuous sine; from memory).

The response is cross-spectrum over input spectrum, both of the whole sweep and evened out over neighbouring
frequencies (Bendat and Piersol, Random Data; from memory).
"""

from __future__ import annotations

from functools import partial

import numpy as np

from axlewright.readings.motion.base import MotionReading, listed
from axlewright.solve.motion.run import Run

ISO = "ISO 7401 (continuous sine)"
FIELDS = (("yaw_rate", "yaw rate"), ("ay", "lateral acceleration"))
ASKED = (0.5, 1.0, 2.0)  # Hz
EVENED = 0.05  # Hz either way that spectra are evened out over: a lag of 0.2 s turns by 4 degrees in that
BAND = np.sqrt(0.5)  # of the slow gain, -3 dB: common practice, no source
PEAK = 1e-2  # of the slow gain: less than that above it is no resonance, but what estimating leaves


def transfer(run: Run, field: str) -> tuple[np.ndarray, np.ndarray]:
    """Frequencies (F,) Hz and complex response (F, B) of a field to the rack, from standstill of both on."""
    frequency = np.fft.rfftfreq(len(run.time), run.time[1] - run.time[0])
    near = round(EVENED / frequency[1])
    x, y = (np.fft.rfft(s - s[0], axis=0) for s in (run.seen.rack, getattr(run.seen, field)))
    cross, own = (_evened(s, near) for s in (np.conj(x) * y, np.abs(x) ** 2))
    return frequency, cross / np.maximum(own, 1e-300)


def _evened(values: np.ndarray, near: int) -> np.ndarray:
    """Sum of values (F, B) over `near` neighbours either way."""
    full = np.pad(values, ((near, near), (0, 0)))
    return np.lib.stride_tricks.sliding_window_view(full, 2 * near + 1, axis=0).sum(axis=-1)


def response(run: Run, field: str) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Frequencies (F,) Hz that were swept through, gain per m of rack and phase, rad (F, B)."""
    frequency, found = transfer(run, field)
    slow, fast = run.swept or (frequency[1], frequency[-1])
    half = 0.5 * frequency[1]
    inside = (frequency >= slow - half) & (frequency <= fast + half)
    return frequency[inside], np.abs(found[inside]), np.unwrap(np.angle(found[inside]), axis=0)


def _at(frequency: float, f: np.ndarray, values: np.ndarray) -> np.ndarray:
    half = 0.5 * (f[1] - f[0])
    if not f[0] - half <= frequency <= f[-1] + half:
        return np.full(values.shape[1], np.nan)
    return np.array([np.interp(frequency, f, column) for column in values.T])


def gain_at(run: Run, field: str, frequency: float) -> np.ndarray:
    """Gain over that at the lowest frequency of the sweep; NaN beyond the sweep."""
    f, gain, _ = response(run, field)
    return _at(frequency, f, gain / gain[0])


def phase_at(run: Run, field: str, frequency: float) -> np.ndarray:
    """Phase of the response, rad, negative when it lags; NaN beyond the sweep."""
    f, _, phase = response(run, field)
    return _at(frequency, f, phase)


def band(run: Run, field: str) -> np.ndarray:
    """Hz up to which the gain stays above 71 % (-3 dB) of the slow one; NaN where it does throughout the sweep."""
    f, gain, _ = response(run, field)
    below = gain < BAND * gain[0]
    at = np.clip(np.argmax(below, axis=0), 1, None)
    member = np.arange(run.batch)
    low, high = gain[at - 1, member], gain[at, member]
    share = (low - BAND * gain[0]) / np.where(low != high, low - high, 1.0)
    return np.where(below.any(axis=0), f[at - 1] + share * (f[at] - f[at - 1]), np.nan)


def resonance(run: Run, field: str) -> np.ndarray:
    """Hz at which the gain is largest; NaN where it only falls."""
    f, gain, _ = response(run, field)
    at = np.argmax(gain, axis=0)
    return np.where(gain.max(axis=0) > (1.0 + PEAK) * gain[0], f[at], np.nan)


def largest_gain(run: Run, field: str) -> np.ndarray:
    """Largest gain over that at the lowest frequency of the sweep."""
    _, gain, _ = response(run, field)
    return gain.max(axis=0) / gain[0]


def sweeps_of(run: Run) -> list[MotionReading]:
    """For sweeps of the steering."""
    if run.kind != "sweep":
        return []
    rows, answers, lags = [], ("answers more", "answers less"), ("lags less", "lags more")
    faster = "answers to faster steering", "answers to slower steering only"
    more = []
    for field, said in FIELDS:
        for hertz in ASKED:
            gain, phase = (partial(read, field=field, frequency=hertz) for read in (gain_at, phase_at))
            rows += [
                (f"{field}_gain_{hertz:g}", f"{said}: gain at {hertz:g} Hz over slow", "", "%", *answers, gain),
                (f"{field}_phase_{hertz:g}", f"{said}: phase at {hertz:g} Hz", "rad", "deg", *lags, phase),
            ]
        width, top, largest = (partial(read, field=field) for read in (band, resonance, largest_gain))
        rows.append(
            (f"{field}_band", f"{said}: frequency where the gain is down to 71 %", "1/s", "1/s", *faster, width)
        )
        more += [
            (f"{field}_resonance", f"{said}: frequency of the largest gain", "1/s", "1/s", *faster, top),
            (f"{field}_largest_gain", f"{said}: largest gain over slow", "", "%", "swings up more", "less", largest),
        ]
    return [*listed(ISO, rows), *listed(ISO, more, detail=True)]
