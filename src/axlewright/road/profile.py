"""A road as sampled heights and grip, and how it is read between its samples."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from axlewright.errors import RequestError

Side = Literal["left", "right", "both"]
SIDES = ("left", "right")
SAMPLES_A_WAVE = 4  # fewer and cubic interpolation no longer gives the height of a wave back to a few percent


@dataclass(frozen=True)
class Road:
    """Both tracks at evenly spaced samples; outside them their last values hold.

    `waves`: length of its shortest wave, m (inf = none that matters): what samples and speed are checked against.
    """

    name: str
    start: float  # m, of the first sample
    spacing: float  # m
    height: np.ndarray  # (N, 2) m, left and right
    grip: np.ndarray  # (N, 2) factor on every tyre's grip
    waves: float = np.inf

    @property
    def end(self) -> float:
        """Of the last sample, m."""
        return self.start + self.spacing * (len(self.height) - 1)

    def __add__(self, other: Road) -> Road:
        """Both roads at once, at the finer spacing."""
        spacing = min(self.spacing, other.spacing)
        start, end = min(self.start, other.start), max(self.end, other.end)
        at = start + spacing * np.arange(int(np.ceil((end - start) / spacing)) + 1)
        both = [
            [np.stack([road.read(at, side, what) for side in SIDES], axis=1) for road in (self, other)]
            for what in ("height", "grip")
        ]
        height, grip = both[0][0] + both[0][1], both[1][0] * both[1][1]
        name = " and ".join(dict.fromkeys(name for name in (self.name, other.name) if name != "level road"))
        return Road(name or "level road", start, spacing, height, grip, min(self.waves, other.waves))

    def read(self, at: np.ndarray, side: str, what: str = "height") -> np.ndarray:
        """Height, m, or grip at distances in m, by Catmull-Rom cubics: through every sample, with continuous slope."""
        values = getattr(self, what)[:, SIDES.index(side)]
        place = np.clip((np.asarray(at, dtype=float) - self.start) / self.spacing, 0.0, len(values) - 1.0)
        cell = np.clip(np.floor(place), 0, max(len(values) - 2, 0)).astype(int)
        x = place - cell
        a, b, c, d = (values[np.clip(cell + k, 0, len(values) - 1)] for k in (-1, 0, 1, 2))
        if what == "grip":
            return b + (c - b) * x
        m, n = 0.5 * (c - a), 0.5 * (d - b)
        return b + x * (m + x * ((3.0 * (c - b) - 2.0 * m - n) + x * (2.0 * (b - c) + m + n)))

    def checked(self, speed: float, interval: float) -> Road:
        """The road as it is, or a RequestError: sampled too coarsely for its waves, or its waves pass too fast to be
        seen at moments `interval` s apart.
        """
        if self.waves < SAMPLES_A_WAVE * self.spacing * (1.0 - 1e-9):
            raise RequestError(
                f"{self.name} has waves of {self.waves:g} m and a sample every {self.spacing:g} m; expected at least "
                f"{SAMPLES_A_WAVE} samples a wave: sample it every {self.waves / SAMPLES_A_WAVE:g} m or finer"
            )
        least = self.waves / speed / 2.0 if np.isfinite(self.waves) else np.inf
        if interval > least:
            raise RequestError(
                f"at {speed:g} m/s a wave of {self.waves:g} m passes in {1e3 * self.waves / speed:.1f} ms, and the car "
                f"is looked at every {1e3 * interval:.1f} ms; expected at least twice a wave: look every "
                f"{1e3 * least:.1f} ms or more often, or go slower"
            )
        return self


def level() -> Road:
    """Level and dry."""
    return Road("level road", 0.0, 1.0, np.zeros((2, 2)), np.ones((2, 2)))


def on(side: Side, values: np.ndarray, other: float = 0.0) -> np.ndarray:
    """A profile (N,) as two tracks (N, 2), `other` where it isn't."""
    if side not in (*SIDES, "both"):
        raise RequestError(f'side "{side}"; expected left, right or both')
    away = np.full_like(values, other)
    return np.stack([values if side in (name, "both") else away for name in SIDES], axis=1)


def long_enough(**lengths: float) -> None:
    """RequestError for a length that is not above zero."""
    for name, value in lengths.items():
        if not value > 0.0:
            raise RequestError(f"a {name.replace('_', ' ')} of {value:g} m; expected more than 0")
