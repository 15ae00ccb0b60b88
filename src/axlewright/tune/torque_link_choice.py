"""Which torque-link spring, preload, gas, gap and bumper loses the least thrust in a hit, within their travel."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np

from axlewright.car.adjusters import adjusters_of
from axlewright.car.schema import Car
from axlewright.errors import RequestError
from axlewright.readings.motion.thrust import lost, peak_demand
from axlewright.readings.motion.wind_up import travel_used
from axlewright.solve.motion.events import Following, brake_hit, torque_hit
from axlewright.solve.motion.run import Run

DRIVE = ("drive_spring", "drive_preload")
BRAKE = ("brake_gas", "brake_gap", "brake_bumper")
WITHIN = 0.3  # s over which lost thrust is counted
MOST = 64  # setups


@dataclass(frozen=True)
class Choice:
    """One combination."""

    setup: dict[str, float]
    lost: float  # share of the settled thrust over the first 0.3 s
    demand: float  # peak tyre demand
    travel: float  # of the link, m
    room: bool  # whether it stays off its stop


def choose(
    car: Car,
    *,
    brake: bool = False,
    positions: int = 3,
    torque: float = 1500.0,
    effort: float = 0.5,
    speed: float | None = None,
) -> list[Choice]:
    """Combinations of the torque links' adjusters, least lost thrust first; those that meet their stop come last.

    `positions`: how many of each adjuster, evenly over its range about where it is.
    """
    adjusters = adjusters_of(car)
    keys = [key for key in (BRAKE if brake else DRIVE) if key in adjusters]
    if not keys:
        raise RequestError(f"{car.name} has no torque link to choose for: it needs a drive link or a brake link")
    each = [np.unique(np.clip(_about(adjusters[key], positions), adjusters[key].lo, adjusters[key].hi)) for key in keys]
    setups = [dict(zip(keys, map(float, one), strict=True)) for one in product(*each)][:MOST]
    how = Following(duration=1.5, interval=0.005)
    if brake:
        run = brake_hit(car, setups, effort=effort, speed=speed or 30.0, how=how)
    else:
        run = torque_hit(car, setups, torque=torque, speed=speed or 15.0, how=how)
    path = "rear.brake_link" if brake else "rear.drive_link"
    return sorted(_told(run, setups, path, _stop(car, brake)), key=lambda c: (not c.room, c.lost))


def _about(adjuster, count: int) -> np.ndarray:  # noqa: ANN001
    """Positions over half of the range about the present one, in usable steps."""
    reach = 0.25 * (adjuster.hi - adjuster.lo)
    steps = np.round(np.linspace(-reach, reach, count) / adjuster.step)
    return adjuster.position + steps * adjuster.step


def _stop(car: Car, brake: bool) -> float:
    """Travel that a drive-side link's spring has, m; a brake-side link has its shortest length, told by `limits`."""
    link = getattr(car.rear, "drive_link", None)
    return np.inf if brake or link is None else link.travel.value


def _told(run: Run, setups: Sequence[dict[str, float]], path: str, stop: float) -> list[Choice]:
    missing, demand, travel = lost(run, WITHIN), peak_demand(run), travel_used(run, path)
    return [
        Choice(dict(setup), float(missing[i]), float(demand[i]), float(travel[i]), bool(travel[i] < stop))
        for i, setup in enumerate(setups)
    ]
