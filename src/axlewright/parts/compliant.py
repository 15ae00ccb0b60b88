"""A link that gives a little both ways: rod ends, brackets or rubber bushes. Law: Hooke."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from axlewright.parts._arrays import Array, ArrayModule, rows
from axlewright.parts.elastic import Knots


def compliant(properties: Mapping[str, Array], xp: ArrayModule = np) -> Knots:
    """Law of a compliant link. Properties (SI): `stiffness` N/m; `set` extension from free at the drawn pose, m (0)."""
    none = rows(0.0, xp=xp)
    return Knots(1.0, properties.get("set", 0.0), 0.0, properties["stiffness"], none, none, none)
