"""A road that somebody measured."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from axlewright.errors import RequestError
from axlewright.road.profile import Road


def measured(
    left: ArrayLike,
    right: ArrayLike | None = None,
    *,
    spacing: float,
    at: float = 0.0,
    left_grip: ArrayLike = 1.0,
    right_grip: ArrayLike = 1.0,
    name: str = "measured road",
) -> Road:
    """Heights, m, of samples `spacing` m apart from `at` m on; the right track is like the left if none is given.

    Nobody knows what waves were between the samples: whether they are close enough depends on the speed.
    """
    right = left if right is None else right
    for what, values in (("right heights", right), ("left grips", left_grip), ("right grips", right_grip)):
        if np.shape(values) not in ((), np.shape(left)):
            raise RequestError(
                f"{name} has {np.size(left)} left heights and {np.size(values)} {what}; expected one for each"
            )
    height, grip = (
        np.stack([np.broadcast_to(np.asarray(values, dtype=float), np.shape(left)) for values in pair], axis=-1)
        for pair in ((left, right), (left_grip, right_grip))
    )
    return Road(name, at, spacing, height, grip, measured=spacing)
