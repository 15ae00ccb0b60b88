"""Gas force of a damper: a constant push while the car stands or is held.

A damper holds nothing: at rest only the gas pressure on its rod's area acts, F = p A_rod (gauge), and the clicks do
nothing (checks/mechanical DA-6).
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from axlewright.parts._arrays import Array, ArrayModule, rows
from axlewright.parts.elastic import Knots


def gas(properties: Mapping[str, Array], xp: ArrayModule = np) -> Knots:
    """Law of a gas damper at rest. Property: `force` N, a push, so the link's tension is -force."""
    return Knots(-1.0, 0.0, properties["force"], 0.0, rows(0.0, xp=xp), rows(0.0, xp=xp), rows(0.0, xp=xp))
