"""What the body does: accelerations, attitude and how far it moves."""

from __future__ import annotations

import numpy as np

from axlewright.readings.motion.base import MotionReading, after, listed
from axlewright.solve.motion.run import Run

OWN = "own definition"


def vertical(run: Run) -> np.ndarray:
    """Root mean square of the centre of mass' vertical acceleration, m/s2."""
    return run.seen.az[after(run)].std(axis=0)


def peak_vertical(run: Run) -> np.ndarray:
    """Largest vertical acceleration either way, m/s2."""
    return np.abs(run.seen.az[after(run)]).max(axis=0)


def pitch_acceleration(run: Run) -> np.ndarray:
    """Pitch acceleration, rad/s2, (T, B), from the pitch rate."""
    return np.gradient(run.seen.pitch_rate, run.time, axis=0)[after(run)]


def pitching(run: Run) -> np.ndarray:
    """Root mean square of the pitch acceleration, rad/s2."""
    return np.sqrt((pitch_acceleration(run) ** 2).mean(axis=0))


def peak_pitching(run: Run) -> np.ndarray:
    """Largest pitch acceleration either way, rad/s2."""
    return np.abs(pitch_acceleration(run)).max(axis=0)


def pitch_range(run: Run) -> np.ndarray:
    """Range of the pitch to the road, rad."""
    return np.ptp(run.seen.pitch[after(run)], axis=0)


def roll_range(run: Run) -> np.ndarray:
    """Range of the roll to the road, rad."""
    return np.ptp(run.seen.roll[after(run)], axis=0)


def speed_change(run: Run) -> np.ndarray:
    """Speed at the end less that at the beginning, m/s."""
    return run.seen.speed[-1] - run.seen.speed[0]


def body_of(run: Run) -> list[MotionReading]:
    """Every event."""

    road, rough = run.kind in ("road", "drop"), ("rougher", "smoother")
    accelerations = [
        ("vertical_rms", "vertical acceleration, rms", "m/s**2", "g", *rough, vertical),
        ("vertical_peak", "vertical acceleration, peak", "m/s**2", "g", *rough, peak_vertical),
    ]
    pitch = [
        ("pitching_rms", "pitch acceleration, rms", "rad/s**2", "deg/s**2", *rough, pitching),
        ("pitching_peak", "pitch acceleration, peak", "rad/s**2", "deg/s**2", *rough, peak_pitching),
    ]
    attitude = [
        ("pitch_range", "pitch, from end to end", "rad", "deg", "pitches more", "pitches less", pitch_range),
        ("roll_range", "roll, from end to end", "rad", "deg", "rolls more", "rolls less", roll_range),
        ("speed_change", "change of speed", "m/s", "m/s", "gains speed", "loses speed", speed_change),
    ]
    return [*listed(OWN, [*accelerations, *pitch], detail=not road), *listed(OWN, attitude)]
