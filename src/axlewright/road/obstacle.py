"""Single things on a level road: a bump, a kerb, a stretch of ripples."""

from __future__ import annotations

import numpy as np

from axlewright.road.profile import Road, Side, long_enough, on, smooth

SAMPLES = 32  # over a bump, a ramp or a wave


def _road(name: str, begin: float, end: float, spacing: float, side: Side, height, waves: float) -> Road:  # noqa: ANN001
    at = np.arange(begin - 2 * spacing, end + 3 * spacing, spacing)
    tracks = on(side, height(at))
    return Road(name, float(at[0]), spacing, tracks, np.ones_like(tracks), waves)


def bump(*, at: float = 5.0, length: float = 0.6, height: float = 0.02, side: Side = "both") -> Road:
    """One wave of a raised cosine, from `at` m on."""
    long_enough(length=length)

    def shape(x: np.ndarray) -> np.ndarray:
        return height * smooth(1.0 - np.abs(2.0 * (x - at) / length - 1.0))

    return _road(f"a bump of {height * 1e3:g} mm", at, at + length, length / SAMPLES, side, shape, length)


def kerb(*, at: float = 5.0, length: float = 4.0, height: float = 0.03, ramp: float = 0.3, side: Side = "left") -> Road:
    """Up a ramp, along the top, and down again; `length` with both ramps."""
    long_enough(length=length, ramp=ramp, top=length - 2.0 * ramp)

    def shape(x: np.ndarray) -> np.ndarray:
        return height * (smooth((x - at) / ramp) - smooth((x - at - length + ramp) / ramp))

    return _road(f"a kerb of {height * 1e3:g} mm", at, at + length, ramp / SAMPLES, side, shape, 2.0 * ramp)


def ripples(
    *, at: float = 5.0, length: float = 45.0, wave: float = 3.5, height: float = 0.01, side: Side = "both"
) -> Road:
    """Sine waves `height` m from trough to peak, faded in and out over one wave."""
    long_enough(length=length, wave=wave)

    def shape(x: np.ndarray) -> np.ndarray:
        inside = smooth((x - at) / wave) * smooth((at + length - x) / wave)
        return 0.5 * height * inside * np.sin(2.0 * np.pi * (x - at) / wave)

    name = f"ripples of {height * 1e3:g} mm every {wave:g} m"
    return _road(name, at, at + length, wave / SAMPLES, side, shape, wave)
