"""How far a car is from hopping: least damping of its axle's swings against drive or brake effort, and over ripples.

A swing whose damping ratio falls below zero grows by itself: the axle hops. The margin is how much more acceleration it
takes from here (from cruising) until that happens. Where the tyres let go first it never does by itself, and the least
damping on the way says how near it came: ripples in the road that come at its frequency do the rest.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from axlewright.car.adjusters.setup import Setup
from axlewright.car.schema import Car
from axlewright.errors import RequestError
from axlewright.solve.motion.events import Ready, cruising, ready
from axlewright.solve.motion.modes import Linear, Mode, linear, modes_of

HOP, TRAMP = ("rear hop", "wind-up"), ("rear tramp",)
SWINGS_WITH = 0.15  # least share of kinetic energy in them of a mode that counts
SLOWEST, FASTEST = 5.0, 40.0  # Hz of such modes
EFFORTS = 7  # between cruising and the most that is looked at
G = 9.81


@dataclass(frozen=True)
class HopMargin:
    """One setup under rising effort."""

    ax: np.ndarray  # (E,) m/s2, from cruising on; NaN where no state was found
    damping: np.ndarray  # (E,) least damping ratio of hop and wind-up
    frequency: np.ndarray  # (E,) Hz of that swing
    tramp: np.ndarray  # (E,) least damping ratio of tramp
    margin: float  # m/s2 until one grows; inf when none does as far as looked

    @property
    def least(self) -> float:
        """Least damping ratio of hop and wind-up on the way."""
        return float(np.nanmin(self.damping))

    @property
    def least_tramp(self) -> float:
        """Least damping ratio of tramp on the way."""
        return float(np.nanmin(self.tramp))


def axle_swing(modes: Sequence[Mode], names: Sequence[str]) -> Mode | None:
    """The least damped mode in which the axle moves so."""
    swings = [
        mode
        for mode in modes
        if SLOWEST < mode.frequency < FASTEST and sum(mode.shares.get(name, 0.0) for name in names) > SWINGS_WITH
    ]
    return min(swings, key=lambda mode: mode.damping, default=None)


def hop_margin(
    car: Car, setup: Setup | None = None, *, effort: str = "engine", speed: float = 20.0, most: float = 6.0
) -> HopMargin:
    """effort: "engine" or "brakes"; up to `most` m/s2 of acceleration or braking at `speed` m/s."""
    if effort not in ("engine", "brakes"):
        raise RequestError(f'effort "{effort}"; expected engine or brakes')
    sign = 1.0 if effort == "engine" else -1.0
    asked = sign * np.linspace(0.0, most, EFFORTS)
    found = [_at(car, setup, float(ax), effort, speed) for ax in asked]
    damping, frequency, tramp = (np.array(column) for column in zip(*found, strict=True))
    reached = np.where(np.isfinite(damping), asked, np.nan)
    margin = min(_crossing(np.abs(asked), damping), _crossing(np.abs(asked), tramp))
    return HopMargin(reached, damping, frequency, tramp, margin)


def _at(car: Car, setup: Setup | None, ax: float, effort: str, speed: float) -> tuple[float, float, float]:
    """(damping and frequency of hop, damping of tramp), each of its least damped mode; NaN past the grip."""
    kind = effort if ax else "engine"
    try:
        at = ready(car, [setup or {}], cruising(speed, ax=ax, effort=kind))
    except RequestError:  # no held state: past the grip
        return np.nan, np.nan, np.nan
    modes = modes_of(at, linear(at))
    hop, tramp = axle_swing(modes, HOP), axle_swing(modes, TRAMP)
    # no swing at all is one that creeps back: damping 1
    return (
        1.0 if hop is None else hop.damping,
        np.nan if hop is None else hop.frequency,
        1.0 if tramp is None else tramp.damping,
    )


def _crossing(effort: np.ndarray, damping: np.ndarray) -> float:
    """Effort at which the damping falls through zero, straight between points; inf when it doesn't."""
    for k in range(1, len(effort)):
        if np.isfinite(damping[k - 1 : k + 1]).all() and damping[k] <= 0.0 < damping[k - 1]:
            share = damping[k - 1] / (damping[k - 1] - damping[k])
            return float(effort[k - 1] + share * (effort[k] - effort[k - 1]))
    return 0.0 if damping[0] <= 0.0 else np.inf


def load_over_ripples(at: Ready, about: Linear, *, wave: float, speed: float, height: float) -> np.ndarray:
    """Swing of each tyre's load over its held load on ripples `height` m from trough to peak, (W,).

    Above 1 the wheel leaves the road. Both tracks alike; the rear axle meets each ripple later. Small movements only.
    """
    if not (wave > 0.0 and speed > 0.0):
        raise RequestError(f"ripples of {wave:g} m at {speed:g} m/s; expected both above 0")
    frequency = speed / wave
    x = at.held.wheel_parameter("centre")[0, :, 0]
    delay = np.exp(2j * np.pi * (x - x.max()) / wave)
    wheels = len(x)
    swing = 0.5 * height * np.abs(about.response(np.array([frequency]))[0, :wheels] @ delay)
    return swing / about.outputs[:wheels]
