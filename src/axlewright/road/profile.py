"""A road as sampled heights and grip, and how it is read between its samples."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from axlewright.errors import RequestError

Side = Literal["left", "right", "both", "opposed"]
SIDES = ("left", "right")
SAMPLES_A_WAVE = 4  # the cubic between them cuts up to 12 % off a crest, 1 % with 8 samples
FELT = 20.0  # Hz: wheels hop and tramp at 9 to 14 Hz; common practice, no source


@dataclass(frozen=True, eq=False)
class Road:
    """Both tracks at evenly spaced samples; outside them their last values hold.

    `waves`: length of its shortest wave, m (inf = none that matters); `measured`: spacing, m, at which any of it was
    measured, since nobody knows what waves were between those samples. Samples and speed are checked against both.
    """

    name: str
    start: float  # m, of the first sample
    spacing: float  # m
    height: np.ndarray  # (N, 2) m, left and right
    grip: np.ndarray  # (N, 2) factor on every tyre's grip
    waves: float = np.inf
    measured: float = 0.0

    def __post_init__(self) -> None:
        for what in ("height", "grip"):
            values = np.array(getattr(self, what), dtype=float)
            if values.ndim != 2 or values.shape[1] != 2 or len(values) < 2 or len(values) != len(self.height):
                raise RequestError(
                    f"{self.name} has {what} of shape {values.shape}; expected a left and a right column of two or "
                    "more samples, as many of grip as of height"
                )
            if not np.all(np.isfinite(values)):
                raise RequestError(f"{self.name} has a {what} that is no number; expected a number for each sample")
            values.setflags(write=False)
            object.__setattr__(self, what, values)
        if not (0.0 < self.spacing < np.inf and np.isfinite(self.start)):
            raise RequestError(
                f"{self.name} has a sample every {self.spacing:g} m from {self.start:g} m on; expected more than 0 m"
            )
        if np.any(self.grip <= 0.0):
            raise RequestError(f"{self.name} has a grip of {self.grip.min():g}; expected factors above 0, 1 for dry")

    @property
    def end(self) -> float:
        """Of the last sample, m."""
        return self.start + self.spacing * (len(self.height) - 1)

    def __add__(self, other: Road) -> Road:
        """Both roads at once, at the samples of the finer one."""
        fine = min(self, other, key=lambda road: road.spacing)
        spacing = fine.spacing
        before = np.ceil((fine.start - min(self.start, other.start)) / spacing)  # its own samples stay where they are
        start, end = fine.start - before * spacing, max(self.end, other.end)
        at = start + spacing * np.arange(int(np.ceil((end - start) / spacing - 1e-9)) + 1)
        both = [
            [np.stack([road.read(at, side, what) for side in SIDES], axis=1) for road in (self, other)]
            for what in ("height", "grip")
        ]
        height, grip = both[0][0] + both[0][1], both[1][0] * both[1][1]
        name = " and ".join(dict.fromkeys(name for name in (self.name, other.name) if name != "level road"))
        waves, coarsest = min(self.waves, other.waves), max(self.measured, other.measured)
        return Road(name or "level road", start, spacing, height, grip, waves, coarsest)

    def read(self, at: ArrayLike, side: str, what: str = "height") -> np.ndarray | float:
        """Height, m, or grip at distances in m, by Catmull-Rom cubics: through every sample, with continuous slope."""
        x, (a, b, c, d) = self._around(at, side, what)
        if what == "grip":
            return b + (c - b) * x
        m, n = 0.5 * (c - a), 0.5 * (d - b)
        return b + x * (m + x * ((3.0 * (c - b) - 2.0 * m - n) + x * (2.0 * (b - c) + m + n)))

    def slope(self, at: ArrayLike, side: str) -> np.ndarray:
        """Slope uphill, m/m, at distances in m; 0 beyond the ends."""
        x, (a, b, c, d) = self._around(at, side, "height")
        m, n = 0.5 * (c - a), 0.5 * (d - b)
        slope = (m + x * (2.0 * (3.0 * (c - b) - 2.0 * m - n) + 3.0 * x * (2.0 * (b - c) + m + n))) / self.spacing
        return np.where((np.asarray(at) >= self.start) & (np.asarray(at) <= self.end), slope, 0.0)

    def _around(self, at: ArrayLike, side: str, what: str):  # noqa: ANN202
        """How far from one sample to the next a distance is, and the two samples on either side of it."""
        values = getattr(self, what)[:, SIDES.index(side)]
        place = np.clip((np.asarray(at, dtype=float) - self.start) / self.spacing, 0.0, len(values) - 1.0)
        cell = np.clip(np.floor(place), 0, len(values) - 2).astype(int)
        return place - cell, [values[np.clip(cell + k, 0, len(values) - 1)] for k in (-1, 0, 1, 2)]

    def checked(self, speed: float, interval: float) -> Road:
        """The road as it is, or a RequestError: sampled too coarsely for its waves, or its waves pass too fast to be
        seen at moments `interval` s apart.
        """
        most = speed / FELT / SAMPLES_A_WAVE
        if self.measured > most > 0.0 and np.ptp(self.height, axis=0).max() > 0.0:
            raise RequestError(
                f"{self.name} was measured every {self.measured:g} m; expected every {most:.3g} m or closer at "
                f"{speed:g} m/s, {SAMPLES_A_WAVE} samples for each of the {FELT:g} waves a second that a wheel answers "
                "to: measure it more closely, or go faster"
            )
        if self.waves < SAMPLES_A_WAVE * self.spacing * (1.0 - 1e-9):
            raise RequestError(
                f"{self.name} has waves of {self.waves:g} m and a sample every {self.spacing:g} m; expected at least "
                f"{SAMPLES_A_WAVE} samples a wave: sample it every {self.waves / SAMPLES_A_WAVE:g} m or finer"
            )
        least = self.waves / speed / 2.0 if speed > 0.0 and np.isfinite(self.waves) else np.inf
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
    """A profile (N,) as two tracks (N, 2), `other` where it isn't; opposed: down on the right where up on the left."""
    if side == "opposed" and other == 0.0:
        return np.stack([values, -values], axis=1)
    if side not in (*SIDES, "both"):
        expected = "left, right or both" if other else "left, right, both or opposed"
        raise RequestError(f'side "{side}"; expected {expected}')
    away = np.full_like(values, other)
    return np.stack([values if side in (name, "both") else away for name in SIDES], axis=1)


def smooth(share: np.ndarray) -> np.ndarray:
    """0 to 1 along a half wave of a cosine."""
    return 0.5 * (1.0 - np.cos(np.pi * np.clip(share, 0.0, 1.0)))


def long_enough(**lengths: float) -> None:
    """RequestError for a length that is not above zero."""
    for name, value in lengths.items():
        if not 0.0 < value < np.inf:
            raise RequestError(f"a {name.replace('_', ' ')} of {value:g} m; expected more than 0")
