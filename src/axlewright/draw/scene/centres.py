"""Roll centres, instant centres of both views and the lines through them, where the readings say that they are."""

from __future__ import annotations

import numpy as np

from axlewright.draw.scene.shapes import Centres, FrontLine, SideLine
from axlewright.draw.scene.stage import Stage
from axlewright.readings._frames import WHEELS, axle_blocks, by_end, halves
from axlewright.readings.anti import CASES, side_views
from axlewright.readings.front_view import FrontView, front_views
from axlewright.readings.roll_centre import roll_centres


def centres_of(stage: Stage) -> Centres:
    """Every centre of a state, in the axes that are drawn in."""
    solved = stage.solved
    contacts = {end: np.mean(pair, axis=0) for end, pair in by_end(solved.wheel("point")).items()}
    hubs = {end: np.mean(pair, axis=0) for end, pair in by_end(solved.wheel("centre")).items()}
    roll = {}
    for end, found in roll_centres(solved).items():
        at = np.stack([hubs[end][0], contacts[end][1] + found.sideways, contacts[end][2] + found.height])
        roll[end] = stage.on(at)
    mass = stage.on(halves(solved)[0].on_road(np.asarray(solved.parameters.centre)))
    side = tuple(_side(stage, case, contacts, hubs) for case in CASES)
    return Centres(roll, side, tuple(_front(stage, *one) for one in front_views(solved).items()), mass)


def _front(stage: Stage, wheel: str, view: FrontView) -> FrontLine:
    contact = stage.solved.wheel("point")[:, WHEELS.index(wheel)]
    centre = np.stack([contact[0], view.sideways, contact[2] + view.height])
    return FrontLine(wheel, stage.on(contact), stage.on(centre))


def _side(stage: Stage, case: str, contacts: dict[str, np.ndarray], hubs: dict[str, np.ndarray]) -> SideLine:
    solved, end, other = stage.solved, CASES[case][0], "rear" if CASES[case][0] == "front" else "front"
    view = side_views(solved)[case]
    hub, contact = hubs[end], contacts[end]
    centre = np.stack([view.centre_x, contact[1], contact[2] + view.centre_z])
    height = halves(solved)[0].on_road(np.asarray(solved.parameters.centre))[2]
    target = np.stack([hubs[other][0], contact[1], height])
    start = np.stack([hub[0], contact[1], contact[2]]) if _on_body(stage, case) else hub
    return SideLine(case, *(stage.on(x) for x in (start, centre, target)))


def _on_body(stage: Stage, case: str) -> bool:
    """Whether the torque of a case reacts on what moves with the wheels."""
    topology = stage.solved.machine.topology.blocks[axle_blocks(stage.solved)[CASES[case][0]]]
    wheel = topology.block.wheels[0]
    return wheel.drive_on_body if case == "drive" else wheel.brake_on_body
