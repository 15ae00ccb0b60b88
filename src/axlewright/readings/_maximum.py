"""The maxima of many smooth functions of one variable at once: Newton on the slope inside a shrinking bracket."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

STEPS = 9  # Newton doubles its digits; bisections at the start leave enough of them
# Difference step, rad or slip: slope and bend are then good to 1e-8 of the curve, and the maximum, flat, to far better.
STEP = 1e-4
FLAT = 1e-6  # slope over height, per rad or slip, at which a maximum is found: its height is then good to 1e-12


def maximum(
    function: Callable[[np.ndarray], np.ndarray], start: np.ndarray, low: np.ndarray, high: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """(position, value) of the largest value of `function` met between `low` and `high`, all (B,).

    The function should have one hump there; with more, the one that the start leads to is found.
    """
    x = np.clip(start, low, high)
    best_x, best = x, np.full(np.shape(x), -np.inf)
    for _ in range(STEPS):
        here, after, before = function(x), function(x + STEP), function(x - STEP)
        better = here > best
        best_x, best = np.where(better, x, best_x), np.where(better, here, best)
        slope, bend = (after - before) / (2.0 * STEP), (after - 2.0 * here + before) / STEP**2
        low, high = np.where(slope > 0.0, x, low), np.where(slope > 0.0, high, x)
        if (np.abs(slope) <= FLAT * np.maximum(np.abs(here), 1.0)).all():
            break
        newton = x - slope / np.where(bend < 0.0, bend, -np.inf)
        inside = (bend < 0.0) & (newton > low) & (newton < high)
        x = np.where(inside, newton, 0.5 * (low + high))
    return best_x, best
