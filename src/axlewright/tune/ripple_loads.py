"""How much tyre loads swing over ripples, about a speed."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from axlewright.car.adjusters.setup import Setup
from axlewright.car.schema import Car
from axlewright.solve.motion.events import cruising, ready
from axlewright.solve.motion.modes import linear
from axlewright.tune.hop_margin import load_over_ripples

ABOUT = (0.5, 0.75, 0.9, 1.0, 1.1, 1.25, 1.5)  # times the speed that is asked for


class Ripples(NamedTuple):
    """Tyre loads over ripples."""

    wheels: tuple[str, ...]
    speeds: np.ndarray  # (S,) m/s
    swing: np.ndarray  # (S, wheels) of the load, over the held load


def ripple_loads(car: Car, height: float, wave: float, speed: float, setup: Setup | None = None) -> Ripples:
    """Swing of each tyre's load over ripples `height` m high every `wave` m, small movements about cruising."""
    at = ready(car, [setup or {}], cruising(speed))
    about, speeds = linear(at), speed * np.array(ABOUT)
    swing = np.array([load_over_ripples(at, about, wave=wave, speed=v, height=height) for v in speeds])
    return Ripples(tuple(at.mover.machine.topology.mechanism.wheels), speeds, swing)
