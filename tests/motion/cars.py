"""Cars and runs that several tests of motion look at; each is followed once."""

from __future__ import annotations

from functools import cache

from axlewright import load
from axlewright.car.schema import Car
from axlewright.solve.motion import events
from axlewright.solve.motion.run import Run

HIT = 1800.0  # N m at the axle: about two thirds of what teasel's tyres hold


@cache
def car(name: str = "teasel") -> Car:
    return load(name)


@cache
def torque_hit() -> Run:
    return events.torque_hit(car(), torque=HIT)


@cache
def brake_hit() -> Run:
    return events.brake_hit(car())


@cache
def three_clicks() -> Run:
    """The brakes with three settings of the brake-side link's damper."""
    setups = [{"brake_compression": c, "brake_rebound": c} for c in (0.0, 8.0, 16.0)]
    return events.brake_hit(car(), setups)
