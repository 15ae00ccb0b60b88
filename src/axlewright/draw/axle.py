"""Where the rear end of a car is at every moment of a run, as its side view and its rear view draw it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

import numpy as np

from axlewright.model.topology import BlockTopology
from axlewright.solve.motion.run import Run

LONG = 0.15  # m; a link that reaches less far along a view is a dot there
ARM = 0.3  # m ahead of or behind the wheel centres; what the axle carries nearer than this is not drawn as an arm
REAR = (2, 3)  # wheels


class Axle(NamedTuple):
    """The rear end of a run of one member. T moments; metres, radians; x forward, y left, z up."""

    body: str  # the axle's path, "" where each wheel has its own suspension
    links: dict[str, np.ndarray]  # path -> (T, 3, 2) ends, chassis axes
    carried: dict[str, int]  # path -> which end of a link the axle carries
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
        """Links that reach along the car or hold an arm: x and z of their ends, chassis axes, (T, 2, 2)."""
        arms = self.arms()
        return {path: at[:, [0, 2]] for path, at in self.links.items() if path in arms or np.ptp(at[0, 0]) > LONG}

    def arms(self) -> dict[str, np.ndarray]:
        """What reaches far from the axle to a link, as a torque arm does, from the wheel centres: (T, 2, 2)."""
        ends = {path: self.links[path][:, [0, 2], end] for path, end in self.carried.items()}
        far = {path: at for path, at in ends.items() if abs(at[0, 0] - self.centre[0, 0]) > ARM}
        return {path: np.stack([self.centre, at], axis=-1) for path, at in far.items()}

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
    links = {p: at[..., 0] for p, at in seen.ends.items() if p.startswith("rear.") and ".spring" not in p}
    return Axle(
        body=body,
        links=links,
        carried=_carried(run.held.machine.topology.blocks, body, links),
        wind_up=seen.wind_up[body][:, 0] if body else np.zeros(len(run.time)),
        centre=np.stack([np.full(len(run.time), x), up], axis=1),
        heights=heights,
        road=seen.road_height[:, REAR, 0],
        across=abs(y),
        radius=float(np.asarray(wheels.free_radius)[0, 0, 0]),
        attitude=attitude,
    )


def _carried(blocks: Iterable[BlockTopology], body: str, links: Iterable[str]) -> dict[str, int]:
    """Which end of each link is on the axle; nothing without one."""
    found = {}
    for topology in blocks:
        for copy in topology.block.copies:
            bodies = [f"{copy}.{name}" for name in topology.block.bodies]
            frame = bodies.index(body) + 1 if body in bodies else None
            for i, name in enumerate(topology.links):
                ends = [topology.point_frames[i + end * len(topology.links)] for end in (0, 1)]
                if f"{copy}.{name}" in links and frame in ends:
                    found[f"{copy}.{name}"] = ends.index(frame)
    return found
