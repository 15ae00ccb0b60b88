"""What is asked of the car, as the model wants it: specific load, speed terms and switches of held states."""

from __future__ import annotations

import numpy as np

from axlewright.model.parameters import Demand
from axlewright.units import GRAVITY

STANDSTILL = 0.1  # m/s; below it a path has no curvature to speak of


def held_demand(
    *,
    ax: np.ndarray,
    ay: np.ndarray,
    speed: np.ndarray,
    effort: np.ndarray,
    grip: np.ndarray,
    road_height: np.ndarray,
    an: np.ndarray | float = 0.0,
    yaw_acceleration: np.ndarray | float = 0.0,
    banking: np.ndarray | float = 0.0,
    grade: np.ndarray | float = 0.0,
) -> Demand:
    """Demand of a batch of held states.

    ax, ay, an: (B,) m/s2 along road axes (forward, left, up off the road); speed (B,) m/s; effort (B,) of "engine",
    "brakes" or "coast"; grip (B,) factor; road_height (wheels, B) m; yaw_acceleration rad/s2, left positive; banking
    rad, right side low positive; grade rad, downhill positive. Road plane: Ry(grade) Rx(banking) from level.
    """
    one = np.ones_like(np.asarray(ax, dtype=float))
    speed = speed * one
    th, ph = np.asarray(grade) * one, np.asarray(banking) * one
    gravity = GRAVITY * np.stack([np.sin(th), -np.cos(th) * np.sin(ph), -np.cos(th) * np.cos(ph)])
    moving = speed > STANDSTILL
    return Demand(
        force=gravity - np.stack([ax * one, ay * one, an * one]),
        ax=ax * one,
        ay=ay * one,
        yaw_acceleration=yaw_acceleration * one,
        speed=speed,
        inverse_speed_squared=np.where(moving, 1.0 / np.where(moving, speed, 1.0) ** 2, 0.0),
        rolling=one,
        braking=(np.asarray(effort) == "brakes") * one,
        coasting=(np.asarray(effort) == "coast") * one,
        grip=grip * one,
        road_height=road_height * one,
    )


def rest_demand(wheels: int, batch: int = 1) -> Demand:
    """The car at rest on slip plates: weight only."""
    zero, one = np.zeros(batch), np.ones(batch)
    return Demand(
        force=np.stack([zero, zero, -GRAVITY * one]),
        ax=zero,
        ay=zero,
        yaw_acceleration=zero,
        speed=zero,
        inverse_speed_squared=zero,
        rolling=zero,
        braking=zero,
        coasting=zero,
        grip=one,
        road_height=np.zeros((wheels, batch)),
    )
