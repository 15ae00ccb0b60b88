"""stand-in"""
from __future__ import annotations
import numpy as np

MOST = 1.0


def relaxation_lengths(law, tyre, load, least, xp=np):
    h = 1e-4
    fx = law.forces(tyre, load, 0.0 * load, 0.0 * load + h, 0.0 * load, 1.0, xp)[0] / h
    fy = -(law.forces(tyre, load, 0.0 * load + h, 0.0 * load, 0.0 * load, 1.0, xp)[1] - law.forces(tyre, load, 0.0 * load - h, 0.0 * load, 0.0 * load, 1.0, xp)[1]) / (2 * h)
    return xp.stack([xp.maximum(fx / tyre.longitudinal_stiffness, least), xp.maximum(fy / tyre.lateral_stiffness, least)])


def lag_rate(lag, slipping, along, length, xp=np):
    return slipping - xp.maximum(xp.abs(along), xp.abs(slipping) / MOST) * lag / length


def low_speed_loss(along, xp=np):
    x = xp.clip(xp.abs(along) - 2.0, 0.0, 1.0)
    return 0.15 / 190.0 * (1.0 - x * x * (3.0 - 2.0 * x))
