"""How a tyre's contact patch lags behind its wheel: deflection of the contact point, along and across.

    u_x' = (w R_e - v_x) - a u_x / sigma_x        slip ratio = u_x / sigma_x
    u_y' = v_y - a u_y / sigma_y                  tan(slip angle) = u_y / sigma_y
    a = max(|v_x|, |sliding| / MOST)

Rolling steadily, u/sigma is the slip and the forces are those of the steady law; after a change they follow within the
relaxation length sigma, rolled; at standstill the tyre is a spring of rate C/sigma, which is the carcass' (Pacejka,
Tyre and Vehicle Dynamics, contact-point deflection model; from memory). C is the law's slope at no slip, so sigma =
C / c: that holds the carcass' twist already, and no spring between rim and tread is to be added.

A sliding tyre tells nothing beyond a slip of `MOST`: deflection stops growing there, also at standstill, where nothing
else would stop it. Where the car hardly rolls, forces take a share of the deflection's speed: a loss that fades out
between 2 and 3 m/s. Its size is common practice, no source.
"""

from __future__ import annotations

import numpy as np

from axlewright.parts import TyreLaw
from axlewright.parts._arrays import Array, ArrayModule

MOST = 1.0  # slip
LOSS = 0.15 / 190.0  # s: loss factor 0.15 where a standing wheel swings on its tyre, about 30 Hz
LOSS_FADES = (2.0, 3.0)  # m/s


def relaxation_lengths(law: TyreLaw, tyre: object, load: Array, least: Array, xp: ArrayModule = np) -> Array:
    """(2, ...) along and across, m, at a load in N; at least `least`, half the contact patch."""
    along, across = law.slip_stiffness(tyre, load, xp)
    return xp.stack(
        [
            xp.maximum(along / tyre.longitudinal_stiffness, least),  # type: ignore[attr-defined]
            xp.maximum(across / tyre.lateral_stiffness, least),  # type: ignore[attr-defined]
        ]
    )


def lag_rate(lag: Array, sliding: Array, along: Array, length: Array, xp: ArrayModule = np) -> Array:
    """u' in m/s, (2, ...), of lag u m; sliding (2, ...) is w R_e - v_x and v_y, m/s; along v_x; length (2, ...) m."""
    return sliding - xp.maximum(xp.abs(along), xp.abs(sliding) / MOST) * lag / length


def low_speed_loss(along: Array, xp: ArrayModule = np) -> Array:
    """Loss time at a rolling speed in m/s, s: forces act at u + loss u'."""
    slow, fast = LOSS_FADES
    share = xp.clip((xp.abs(along) - slow) / (fast - slow), 0.0, 1.0)
    return LOSS * (1.0 - share * share * (3.0 - 2.0 * share))
