"""A travel as the car would stand on the road.

While only the linkage moves the chassis stays as drawn and the road is lifted, level, under each wheel. A car that has
rolled or pitched so far stands on a road that is level as a whole: the plane that fits the lifted places. Turned onto
that plane nothing moves in the chassis, but tyres touch the road where they do in a held state of the same pose, and
rise and fall along its normal. What is left of the lifts (one wheel moved by itself) stays under each wheel.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from axlewright.model.parameters import State
from axlewright.readings._frames import by_end, in_model_order
from axlewright.readings._kept import kept
from axlewright.readings._place import place
from axlewright.readings._vectors import rotate, turn_x, turn_y
from axlewright.solve.solved import Solved


@kept
def on_road(solved: Solved) -> Solved:
    """The same poses on the road that fits their wheels; other states as they are."""
    if not solved.active:
        return solved
    centre, axis, radius = _wheels(solved)
    lifted = np.asarray(solved.asked.road_height)
    x, y, z = (np.stack([np.mean(pair, axis=0) for pair in by_end(v).values()]) for v in (centre[0], centre[1], lifted))
    along = (z[0] - z[1]) / (x[0] - x[1])
    apart = np.stack([lifted, centre[1]])[:, ::2] - np.stack([lifted, centre[1]])[:, 1::2]  # left less right, by end
    across = (apart[0] / apart[1]).mean(axis=0)
    roll = -np.arctan(across)
    pitch = np.arctan(along * np.cos(roll))
    turn = np.einsum("ijb,jkb->ikb", turn_y(pitch), turn_x(roll))
    heave = -rotate(turn, np.stack([x, y, z])).mean(axis=1)[2]
    up, leaning = rotate(turn, centre)[2] + heave, rotate(turn, axis)[2]
    border, names = np.asarray(solved.unknowns.border).copy(), solved.machine.topology.border
    for name, value in (("heave", heave), ("pitch", pitch), ("roll", roll)):
        border[names.index(name)] = value
    form = solved.machine.form
    demand = solved.asked._replace(road_height=up - radius * np.sqrt(1.0 - leaning**2))
    return replace(solved, demand=form.demand.pack(demand), state=form.state.pack(State(solved.unknowns.local, border)))


def _wheels(solved: Solved) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Centres and spin axes (3, 4, B) in the chassis, and drawn radii (4, B) in the wheels' planes, in model order."""
    centres, axes, radii = [], [], []
    for i, topology in enumerate(solved.machine.topology.blocks):
        p = solved.parameters.blocks[i]
        at = place(topology, p, np.asarray(solved.unknowns.local[i]))
        centre, axis = (np.asarray(v) for v in (p.wheels.centre, p.wheels.axis))
        now = [at.point(f, centre[:, w]) for w, f in enumerate(topology.wheel_frames)]
        turned = [rotate(at.rotation[:, :, f - 1], axis[:, w]) for w, f in enumerate(topology.wheel_frames)]
        centres.append(in_model_order(np.stack(now, axis=1)))
        axes.append(in_model_order(np.stack(turned, axis=1)))
        radii.append(in_model_order(centre[2] / np.sqrt(1.0 - axis[2] ** 2)))
    return np.concatenate(centres, axis=1), np.concatenate(axes, axis=1), np.concatenate(radii)
