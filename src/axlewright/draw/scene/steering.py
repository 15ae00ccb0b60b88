"""The rack between its tie rods, or the arms and relay link of a steering box; and the propeller shaft."""

from __future__ import annotations

import numpy as np

from axlewright.draw.scene.bodies import hub
from axlewright.draw.scene.shapes import Body, Pickup, Point
from axlewright.draw.scene.stage import Stage, foot
from axlewright.parts.relay_linkage import relay_pose
from axlewright.readings.shaft import shaft


def steering_of(stage: Stage) -> tuple[list[Body], list[Pickup]]:
    """What moves the tie rods, and where a steering box's arms turn."""
    ends = [
        (seen, stage.put(seen.index, seen.points[:, i, seen.copy]))
        for seen in stage.copies
        for i in seen.topology.rack_links
    ]
    if not ends:
        return [], []
    line = np.stack([end for _, end in ends])
    relay = ends[0][0].p.relay
    if relay is None:
        return [Body("rack", "steering rack", "steering", (line,))], []
    solved, block = stage.solved, ends[0][0].index
    pose = relay_pose(relay, solved.border("rack") * np.asarray(solved.parameters.rack_sense))
    four = relay.pitman_pivot, pose.pitman_end, pose.idler_end, relay.idler_pivot
    pitman, start, end, idler = (stage.put(block, np.asarray(x) + np.zeros((3, solved.batch))) for x in four)
    bodies = [
        Body("relay.pitman", "pitman arm", "steering", (np.stack([pitman, start]),)),
        Body("relay.idler", "idler arm", "steering", (np.stack([idler, end]),)),
        Body("relay", "relay link", "steering", (np.stack([start, end]), line)),
    ]
    return bodies, [Pickup("relay.pitman", pitman), Pickup("relay.idler", idler)]


def shaft_of(stage: Stage) -> list[Body]:
    """The propeller shaft, where the car has one."""
    values = stage.solved.machine.values
    if "shaft.gearbox.at" not in values:
        return []
    found = shaft(stage.solved)
    start = np.asarray(values["shaft.gearbox.at"], dtype=float).reshape(3, -1)[:, :1] + 0.0 * found.shaft
    ends = np.stack([stage.put(-1, start), stage.put(-1, start + found.shaft * found.length)])
    return [Body("shaft", "propeller shaft", "shaft", (ends,)), *_pinion(stage, ends[1])]


def _pinion(stage: Stage, joint: Point) -> list[Body]:
    """From the middle of a live axle to its pinion's joint: what shows its wind-up."""
    for seen in stage.copies:
        body = seen.topology.block.pinion_body
        if body is not None:
            hubs = [hub(stage, seen, wheel) for wheel in range(seen.topology.n_wheels)]
            return [Body(f"{seen.path}.pinion", "pinion", "axle", (np.stack([foot(joint, hubs[0], hubs[-1]), joint]),))]
    return []
