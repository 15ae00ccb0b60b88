"""How an upright moves when one of its five links is made longer and its wheel stays at its height."""

from __future__ import annotations

import numpy as np

from axlewright.car.schema.independent import CornerParts


def upright_motion(parts: CornerParts, centre: np.ndarray, name: str) -> np.ndarray:
    """Velocity of the wheel `centre` (3,) and angular velocity, (6,), per m that the link called `name` gets longer.

    Small motions of the drawn corner, chassis axes: the other four links keep their lengths, the wheel centre its
    height. A link that gives is taken as rigid.
    """
    links = [(rod.name, rod.inner.xyz, rod.outer.xyz) for rod in parts.rods]
    for arm in (parts.upper, parts.lower):
        if arm is not None:
            links += [("", leg.xyz, arm.ball.xyz) for leg in (arm.front, arm.rear)]
    rows, asked = [np.array([0.0, 0.0, 1.0, 0.0, 0.0, 0.0])], [0.0]
    for link, inner, outer in links:
        along = (outer - inner) / np.linalg.norm(outer - inner)
        rows.append(np.concatenate([along, np.cross(outer - centre, along)]))
        asked.append(float(link == name))
    return np.linalg.lstsq(np.stack(rows), np.array(asked), rcond=None)[0]
