"""What the linkage is made to do while the chassis stands still: bump, roll, one wheel, steer, wind-up, as a grid."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from axlewright.errors import RequestError, known
from axlewright.solve.phases import WHEELS

EVERYTHING = (*WHEELS, "bump", "roll", "steer", "wind_up")
MOVED = ("bump", "roll", "steer", "wind_up", "wheels")  # fields of `Poses`


@dataclass(frozen=True)
class Poses:
    """What the linkage is made to do, (B,) each: m and rad, zero as drawn.

    bump: every wheel up; roll: chassis roll, right side down, so right wheels up against it and left ones down; LF,
    RF, LR, RR: that wheel up; steer: rack travel, left steer positive; wind_up: of a live axle's housing beyond what
    its links give by themselves, nose up positive.
    """

    bump: np.ndarray
    roll: np.ndarray
    steer: np.ndarray
    wind_up: np.ndarray
    wheels: np.ndarray  # (4, B) of LF, RF, LR, RR
    names: tuple[str, ...] = ()  # of the axes that vary, slowest first
    axes: tuple[np.ndarray, ...] = ()  # values of each axis

    @property
    def batch(self) -> int:
        return self.bump.shape[0]

    @property
    def shape(self) -> tuple[int, ...]:
        """Shape of the grid: one axis for each thing that varies."""
        return tuple(axis.size for axis in self.axes)

    def share(self, fraction: float | np.ndarray) -> Poses:
        """Part of the way from the drawn pose."""
        return replace(self, **{name: getattr(self, name) * fraction for name in MOVED})

    def take(self, members: np.ndarray | slice) -> Poses:
        """Some poses; no grid any more."""
        return Poses(**{name: getattr(self, name)[..., members] for name in MOVED})

    def rises(self, sideways: np.ndarray) -> np.ndarray:
        """Rise of each wheel centre, m, (4, B), from how far left each is drawn, m, (4,)."""
        return self.bump + self.wheels - sideways[:, None] * np.tan(self.roll)

    def say(self, member: int) -> str:
        """One pose in words, in mm and degrees."""
        said = []
        for name, value in [(w, self.wheels[i, member]) for i, w in enumerate(WHEELS)]:
            if value:
                said.append(f"{name} {value * 1e3:+.1f} mm")
        if self.bump[member]:
            said.insert(0, f"bump {self.bump[member] * 1e3:+.1f} mm")
        if self.roll[member]:
            said.append(f"roll {np.degrees(self.roll[member]):+.2f} deg")
        if self.steer[member]:
            said.append(f"rack {self.steer[member] * 1e3:+.1f} mm")
        if self.wind_up[member]:
            said.append(f"wind-up {np.degrees(self.wind_up[member]):+.2f} deg")
        return ", ".join(said) or "as drawn"


def grid(**values: float | Sequence[float] | np.ndarray) -> Poses:
    """Every combination of the values given for bump, roll, steer, wind_up, LF, RF, LR and RR; the last varies fastest.

    Lengths in m, angles in rad; what is left out stays as drawn. RequestError for a name that isn't one of these.
    """
    for name in values:
        known("movement", [name], EVERYTHING)
    axes = {name: np.atleast_1d(np.asarray(value, dtype=float)) for name, value in values.items()}
    for name, axis in axes.items():
        if axis.ndim != 1 or not np.isfinite(axis).all():
            raise RequestError(f"found {name} = {values[name]!r}; expected a number or a list of numbers, in m or rad")
    mesh = dict(zip(axes, (m.ravel() for m in np.meshgrid(*axes.values(), indexing="ij")), strict=True))
    batch = next(iter(mesh.values())).size if mesh else 1
    get = lambda name: mesh.get(name, np.zeros(batch))  # noqa: E731 - used for each field below
    varying = [name for name, axis in axes.items() if axis.size > 1]
    return Poses(
        get("bump"), get("roll"), get("steer"), get("wind_up"), np.stack([get(wheel) for wheel in WHEELS]),
        tuple(varying), tuple(axes[name] for name in varying),
    )  # fmt: skip
