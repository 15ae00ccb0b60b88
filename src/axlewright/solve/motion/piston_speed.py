"""A car whose dampers work at a stated piston speed: each becomes as stiff as its curve is there, on average.

A damper's slope near zero speed says little about a swing that moves it at 50 mm/s. The law is replaced by a straight
line through its forces at plus and minus the speed (secant), half compression and half rebound.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from axlewright.errors import RequestError
from axlewright.model.moving.parameters import Moving
from axlewright.parts.elastic import Knots, tension
from axlewright.solve.motion.events import Ready


def rate_at(law: Knots, speed: float) -> np.ndarray:
    """Damping rate of laws at a piston speed in m/s, N s/m, shaped as the laws."""
    one = np.ones_like(np.asarray(law.stiffness))
    return (tension(law, speed * one) - tension(law, -speed * one)) / (2.0 * speed)


def straight(law: Knots, rate: np.ndarray) -> Knots:
    """Laws with one rate, N s/m, at every speed."""
    zero = np.zeros_like(rate)
    return Knots(
        zero + 1.0, zero, zero, rate, np.full_like(np.asarray(law.onset), 1e3), 0.0 * np.asarray(law.step), law.width
    )


def at_piston_speed(at: Ready, speed: float) -> Ready:
    """The beginning with dampers as they are at a piston speed in m/s."""
    if not speed > 0.0:
        raise RequestError(f"a piston speed of {speed:g} m/s; expected more than 0, such as 0.05 m/s")
    return with_rates(at, [rate_at(block.damping, speed) for block in unpacked(at).blocks])


def unpacked(at: Ready) -> Moving:
    """Parameters of motion, batch last."""
    return at.mover.going.moving.unpack(np.broadcast_to(at.moving, (at.moving.shape[0], at.batch)))


def with_rates(at: Ready, rates: list[np.ndarray]) -> Ready:
    """The beginning with straight dampers of given rates, one array a block (damped, c, B)."""
    moving = unpacked(at)
    blocks = tuple(
        block._replace(damping=straight(block.damping, rate)) for block, rate in zip(moving.blocks, rates, strict=True)
    )
    return replace(at, moving=at.mover.going.moving.pack(moving._replace(blocks=blocks)))
