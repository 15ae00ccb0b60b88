"""Where the rear end of a car is at every moment of a run, as its side view and its rear view draw it."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from axlewright.solve.motion.run import Run

LONG = 0.15  # m; a link that reaches less far along a view is a dot there
REAR = (2, 3)  # wheels


class Axle(NamedTuple):
    """The rear end of a run of one member. T moments; metres, radians; x forward, y left, z up."""

    body: str  # the axle's path, "" where each wheel has its own suspension
    links: dict[str, np.ndarray]  # path -> (T, 3, 2) ends, chassis axes
    wind_up: np.ndarray  # (T,) pinion nose up, from the car at rest; zeros without an axle
    centre: np.ndarray  # (T, 2) x, z of the middle between the wheel centres, chassis axes
    heights: np.ndarray  # (T, 2) of the left and right wheel centre above the road plane
    road: np.ndarray  # (T, 2) height of the road below each
    across: float  # from the middle of the car to a wheel centre
    radius: float
    attitude: np.ndarray  # (T, 3) of the chassis to the road: height, pitch, roll

    def behind(self, points: np.ndarray) -> np.ndarray:
        """Chassis points (T, 3, n) as seen from behind, y and z above the road plane, (T, 2, n)."""
        height, pitch, roll = (self.attitude[:, k, None] for k in range(3))
        x, y, z = (points[:, k] for k in range(3))
        up = np.sin(roll) * y + np.cos(roll) * z
        return np.stack([np.cos(roll) * y - np.sin(roll) * z, height - np.sin(pitch) * x + np.cos(pitch) * up], axis=1)

    def side_view(self) -> dict[str, np.ndarray]:
        """Links that reach along the car: x and z of their ends, chassis axes, (T, 2, 2)."""
        return {path: at[:, [0, 2]] for path, at in self.links.items() if np.ptp(at[0, 0]) > LONG}

    def rear_view(self) -> dict[str, np.ndarray]:
        """Links that reach across the car: y and z of their ends above the road plane, (T, 2, 2)."""
        return {path: self.behind(at) for path, at in self.links.items() if np.ptp(at[0, 1]) > LONG}


def axle_of(run: Run) -> Axle:
    """The rear end of a run of one member."""
    seen, body = run.seen, next((path for path in run.seen.wind_up if path.startswith("rear.")), "")
    blocks = zip(run.held.machine.topology.blocks, run.held.parameters.blocks, strict=True)
    wheels = next(parameters for block, parameters in blocks if block.block.rear).wheels
    x, y, _ = (float(np.asarray(wheels.centre)[k, 0, 0, 0]) for k in range(3))
    heights = seen.centre_height[:, REAR, 0]
    attitude = np.stack([seen.heave[:, 0], seen.pitch[:, 0], seen.roll[:, 0]], axis=1)
    height, pitch, roll = attitude.T
    up = (heights.mean(axis=1) - height + np.sin(pitch) * x) / (np.cos(pitch) * np.cos(roll))
    return Axle(
        body=body,
        links={p: at[..., 0] for p, at in seen.ends.items() if p.startswith("rear.") and ".spring" not in p},
        wind_up=seen.wind_up[body][:, 0] if body else np.zeros(len(run.time)),
        centre=np.stack([np.full(len(run.time), x), up], axis=1),
        heights=heights,
        road=seen.road_height[:, REAR, 0],
        across=abs(y),
        radius=float(np.asarray(wheels.free_radius)[0, 0, 0]),
        attitude=attitude,
    )
