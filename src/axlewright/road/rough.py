"""Rough roads by ISO 8608.

Displacement spectrum G(n) = G(n0) (n / n0)^-2 over spatial frequency n in cycle/m, n0 = 0.1 cycle/m, between 0.011 and
2.83 cycle/m. A class is given by the geometric mean of its G(n0): 16e-6 m3 for A, four times as much for each class
after it. Both tracks are an isotropic surface's: the coherence of two parallel tracks a distance b apart is

    gamma(n) = integral of S2(n, m) cos(2 pi m b) dm / integral of S2(n, m) dm,    S2 = c (n^2 + m^2)^(-3/2)

whose integral is x K1(x) with x = 2 pi n b (Dodds and Robson, The description of road surface roughness, 1973; from
memory). It is evaluated through K1(x) = integral over t >= 0 of exp(-x cosh t) cosh t.
"""

from __future__ import annotations

import numpy as np

from axlewright.errors import RequestError
from axlewright.road.profile import Road, long_enough

CLASSES = {letter: 16e-6 * 4.0**i for i, letter in enumerate("ABCDEFGH")}
"""G(n0) at the geometric mean of each class, m3 (ISO 8608)."""
REFERENCE = 0.1  # cycle/m
LONGEST, SHORTEST = 1 / 0.011, 1 / 2.83  # m
TRACK = 1.5  # m


def coherence(frequency: np.ndarray, track: float) -> np.ndarray:
    """Of two tracks `track` m apart at frequencies in cycle/m: 1 where waves are long, 0 where they are short."""
    x = 2.0 * np.pi * np.asarray(frequency, dtype=float) * track
    t = np.linspace(0.0, 12.0, 2401)
    weight = np.full(t.size, t[1] - t[0])
    weight[[0, -1]] *= 0.5
    with np.errstate(over="ignore", under="ignore"):
        bessel = (np.exp(-x[..., None] * np.cosh(t)) * np.cosh(t) * weight).sum(axis=-1)
    return np.where(x > 1e-6, x * bessel, 1.0)


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

    Its waves have equal steps of frequency from 0.011 cycle/m, so that it repeats only after 91 m. Heights are faded in
    over `run_in` m. Raises RequestError for an unknown class.
    """
    long_enough(length=length, track=track, spacing=spacing)
    if isinstance(grade, str) and grade.upper() not in CLASSES:
        raise RequestError(f'road class "{grade}"; expected one of {", ".join(CLASSES)} (ISO 8608), or a level in m3')
    level = CLASSES[grade.upper()] if isinstance(grade, str) else float(grade)
    if not level > 0.0:
        raise RequestError(f"a road spectrum of {level:g} m3 at 0.1 cycle/m; expected more than 0")
    step = 1.0 / max(LONGEST, length)
    frequency = np.arange(1.0 / LONGEST, 1.0 / SHORTEST + 0.5 * step, step)
    size = np.sqrt(2.0 * level * (frequency / REFERENCE) ** -2.0 * step)
    phase = np.random.default_rng(seed).uniform(0.0, 2.0 * np.pi, (2, frequency.size))
    together = coherence(frequency, track)
    x = np.arange(0.0, length + spacing, spacing)
    waves = [size * np.exp(1j * one) for one in phase]
    other = together * waves[0] + np.sqrt(1.0 - together**2) * waves[1]
    turn = np.exp(2j * np.pi * np.outer(x, frequency))
    share = np.clip(x / run_in, 0.0, 1.0) if run_in > 0 else np.ones_like(x)
    fade = share * share * (3.0 - 2.0 * share)
    height = np.stack([(turn @ wave).real * fade for wave in (waves[0], other)], axis=1)
    name = f"class {grade.upper()} road" if isinstance(grade, str) else f"road of {level:g} m3"
    return Road(name, at, spacing, height, np.ones_like(height), SHORTEST)
