"""stand-in"""
from __future__ import annotations
import numpy as np
from axlewright.parts.elastic import hinge

RETURN = 1e-3


def force(held, speed, stiffness, loss, limit, xp=np):
    z_rate = rate(held, speed, stiffness, limit, xp)
    return xp.clip(stiffness * (held + loss * z_rate), -limit, limit)


def rate(held, speed, stiffness, limit, xp=np):
    over = xp.maximum(xp.abs(held) - limit / stiffness, 0.0)
    return speed - xp.sign(held) * over / RETURN
