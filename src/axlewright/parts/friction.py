"""Friction that sticks: an elastic element that yields at its capacity.

    F = clip(k (z + loss z'), -T, T)        z' = w                                 while |z| <= T/k
                                            z' = w - sign(z) (|z| - T/k) / RETURN  beyond

z is the twist (or length) that the element holds, w the sliding speed, k its real rate (an axle shaft, a disc with its
caliper, a seal), T >= 0 its capacity, which may change at any time: clutch, brake pressure, locking torque. Below
capacity it holds exactly, with no creep. Sliding at a steady speed gives F = T. What z runs ahead of T/k while sliding
(w x RETURN) is hidden by the clip and is gone a few RETURN after the sliding ends, so no part of this is ever stiff.

It never gives more than it took: with S = k z^2 / 2 up to T/k and T (|z| - T/k) on top beyond, F w >= S' at constant T.
Elasto-plastic friction with a visco-plastic return (Perzyna's form; any text on plasticity, from memory).
"""

from __future__ import annotations

import numpy as np

from axlewright.parts._arrays import Array, ArrayModule

RETURN = 1e-3  # s


def force(held: Array, speed: Array, stiffness: Array, loss: Array, capacity: Array, xp: ArrayModule = np) -> Array:
    """F against the sliding, N (N m): held z m (rad); speed w m/s (rad/s); loss s; capacity T, inf is safe."""
    held_force = stiffness * (held + loss * rate(held, speed, stiffness, capacity, xp))
    # with no capacity there is no slope either: at rest the clip would sit on both its corners
    return xp.where(capacity > 0.0, xp.clip(held_force, -capacity, capacity), 0.0)


def rate(held: Array, speed: Array, stiffness: Array, capacity: Array, xp: ArrayModule = np) -> Array:
    """z' in m/s (rad/s)."""
    return speed - xp.sign(held) * xp.maximum(xp.abs(held) - capacity / stiffness, 0.0) / RETURN


def held_at(force_now: Array, speed: Array, stiffness: Array, sliding: Array, xp: ArrayModule = np) -> Array:
    """z at which an element that carries `force_now` stays so: where it slides, at a steady `speed`."""
    return force_now / stiffness + xp.where(sliding, speed * RETURN, 0.0)
