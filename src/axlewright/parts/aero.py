"""Air forces: drag at its height, downforce at a front and a rear station.

F = 1/2 rho v^2 (C A) for each, v the speed through still air (definition of the coefficients).
"""

from __future__ import annotations

from typing import NamedTuple

from axlewright.parts._arrays import Array

AIR_DENSITY = 1.225  # kg/m^3; standard atmosphere at sea level, ISO 2533; for a car that states none


class Aero(NamedTuple):
    """Coefficient-areas in m^2 and where their forces act, m, in chassis axes."""

    drag_area: Array
    """Positive = drag."""
    drag_height: Array
    """Height of the drag force above the ground at the drawn pose, m."""
    lift_area_front: Array
    """Positive = downforce."""
    lift_area_rear: Array
    """Positive = downforce."""
    x_front: Array
    """Station of the front downforce, m."""
    x_rear: Array
    """Station of the rear downforce, m."""


def loads(aero: Aero, speed: Array, density: Array = AIR_DENSITY) -> tuple[Array, Array, Array]:
    """(drag, front downforce, rear downforce), N, each positive, at a speed in m/s."""
    pressure = 0.5 * density * speed * speed
    return pressure * aero.drag_area, pressure * aero.lift_area_front, pressure * aero.lift_area_rear
