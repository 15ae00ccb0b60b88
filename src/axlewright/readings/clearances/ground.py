"""Ground clearance of named points.

The ground under a point lies at the road heights under the four wheels, straight between them: a kerb under one wheel
lifts the ground beside that wheel and not at the others. Through travel the road is lifted under the wheels instead of
the chassis being lowered, which is the same thing seen from the chassis.
"""

from __future__ import annotations

import numpy as np

from axlewright.car.describe.room import Room
from axlewright.readings.clearances._geometry import on_road
from axlewright.readings.clearances.base import Margin
from axlewright.readings.forces import spoken
from axlewright.solve.solved import Solved


def ground_margins(solved: Solved, room: Room) -> list[Margin]:
    """Height of each point above the ground less what is to be kept, and of all there is of it at rest."""
    found = []
    for spot in room.spots:
        at = on_road(solved, spot.copy, spot.frame, np.array(spot.at))
        found.append(Margin(
            id=f"ground.{spot.name}", name=f"{spoken(spot.name)}, ground", used_up="on the ground", unit="m",
            value=at[2] - ground(solved, at) - spot.least,
        ))  # fmt: skip
    return found


def ground(solved: Solved, at: np.ndarray) -> np.ndarray:
    """Height of the ground (B,) under points (3, B) in road axes."""
    lf, rf, lr, rr = np.asarray(solved.asked.road_height)
    contact = solved.wheel("point")
    front, rear = contact[0, :2].mean(axis=0), contact[0, 2:].mean(axis=0)
    forward = np.clip((at[0] - rear) / (front - rear), 0.0, 1.0)
    left, right = contact[1, ::2].mean(axis=0), contact[1, 1::2].mean(axis=0)
    side = np.clip((at[1] - right) / (left - right), 0.0, 1.0)
    return forward * (side * lf + (1.0 - side) * rf) + (1.0 - forward) * (side * lr + (1.0 - side) * rr)
