"""Rough roads by ISO 8608.

Displacement spectrum G(n) = G(n0) (n / n0)^-2 over spatial frequency n in cycle/m, n0 = 0.1 cycle/m, between 0.011 and
2.83 cycle/m. A class is given by the geometric mean of its G(n0): 16e-6 m3 for A, four times as much for each class
after it; classes meet at twice that mean. Both tracks are an isotropic surface's: the cross spectrum of two parallel
tracks a distance b apart is, as a share of G(n),

    gamma(n) = integral of S2(n, m) cos(2 pi m b) dm / integral of S2(n, m) dm,    S2 = c (n^2 + m^2)^(-3/2)

whose integral is x K1(x) with x = 2 pi n b (Dodds and Robson, The description of road surface roughness, 1973; from
memory). It is evaluated through K1(x) = integral over t >= 0 of exp(-x cosh t) cosh t.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from axlewright.errors import RequestError
from axlewright.road.profile import Road, long_enough, smooth

CLASSES = {letter: 16e-6 * 4.0**i for i, letter in enumerate("ABCDEFGH")}
"""G(n0) at the geometric mean of each class, m3 (ISO 8608)."""
REFERENCE = 0.1  # cycle/m
LONGEST, SHORTEST = 1 / 0.011, 1 / 2.83  # m
TRACK = 1.5  # m


PERIOD = 1024.0  # m, of a road's pattern at least; a longer road has a longer one


def coherence(frequency: ArrayLike, track: float) -> np.ndarray:
    """Of two tracks `track` m apart at frequencies in cycle/m: 1 where waves are long, 0 where they are short.

    It is the cross spectrum's share; what estimators of signals call coherence is its square.
    """
    x = 2.0 * np.pi * np.asarray(frequency, dtype=float) * track
    step = 0.125  # of t; a sum over equal steps of so smooth a function is exact to rounding
    t = np.arange(0.0, 30.0, step)
    weight = np.where(t > 0.0, step, 0.5 * step)
    with np.errstate(over="ignore", under="ignore"):
        bessel = (np.exp(-x[..., None] * np.cosh(t)) * np.cosh(t) * weight).sum(axis=-1)
    return np.where(x > 1e-9, x * bessel, 1.0)


def rough(
    grade: str | float = "A",
    *,
    length: float = 200.0,
    at: float = 0.0,
    track: float = TRACK,
    seed: int = 1,
    spacing: float = SHORTEST / 8,
    run_in: float = 5.0,
) -> Road:
    """A random road of an ISO 8608 class, or of a stated G(n0) in m3, with its own phases for each `seed`.

    Heights are faded in and out over `run_in` m inside its ends. Raises RequestError for an unknown class.
    """
    long_enough(length=length, track=track, spacing=spacing)
    if isinstance(grade, str) and grade.upper() not in CLASSES:
        raise RequestError(f'road class "{grade}"; expected one of {", ".join(CLASSES)} (ISO 8608), or a level in m3')
    level = CLASSES[grade.upper()] if isinstance(grade, str) else float(grade)
    if not 0.0 < level < np.inf:
        raise RequestError(f"a road spectrum of {level:g} m3 at 0.1 cycle/m; expected more than 0")
    x = np.arange(0.0, length + spacing, spacing)
    samples = 2 ** int(np.ceil(np.log2(max(PERIOD / spacing, x.size))))
    fade = smooth(x / run_in) * smooth((x[-1] - x) / run_in) if run_in > 0 else np.ones_like(x)
    height = fade[:, None] * tracks(level, samples, spacing, track, seed)[: x.size]
    name = f"class {grade.upper()} road" if isinstance(grade, str) else f"road of {level:g} m3"
    return Road(name, at, spacing, height, np.ones_like(height), SHORTEST)


def tracks(level: float, samples: int, spacing: float, track: float, seed: int) -> np.ndarray:
    """(samples, 2) m, one period of both tracks of a G(n0) in m3.

    Each line has just its band's share of the power, on both tracks, and a random phase. The right track leads or lags
    the left one, at random, by the angle whose cosine is their coherence, so that the cross spectrum is right as well.
    """
    step = 1.0 / (samples * spacing)
    lines = np.fft.rfftfreq(samples, spacing)
    low, high = (np.clip(lines + half, 1.0 / LONGEST, 1.0 / SHORTEST) for half in (-0.5 * step, 0.5 * step))
    inside = high > low
    power = level * REFERENCE**2 * (1.0 / low - 1.0 / high)[inside]  # of G(n) from low to high
    phases, signs = np.random.default_rng(seed).spawn(2)
    left = phases.uniform(0.0, 2.0 * np.pi, power.size)
    apart = np.arccos(np.clip(coherence(lines[inside], track), -1.0, 1.0)) * signs.choice([-1.0, 1.0], power.size)
    waves = np.zeros((lines.size, 2), dtype=complex)
    waves[inside] = np.sqrt(2.0 * power)[:, None] * np.exp(1j * np.stack([left, left + apart], axis=1))
    return np.fft.irfft(0.5 * samples * waves, samples, axis=0)
