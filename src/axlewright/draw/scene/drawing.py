"""A state as a drawing: every part of the car where it is, in axes of the road below it or of the chassis.

Nothing is worked out here that the state or its readings don't say: points of links are the model's own, arms of bars
stand where its law puts them, centres are those of the readings. A linkage that is moved by itself is drawn as the car
would stand on the road.
"""

from __future__ import annotations

import numpy as np

from axlewright.draw.scene.bodies import bodies_of
from axlewright.draw.scene.centres import centres_of
from axlewright.draw.scene.rods import bars_of, rods_of
from axlewright.draw.scene.shapes import Axes, Drawing, Wheel
from axlewright.draw.scene.stage import Stage
from axlewright.draw.scene.steering import shaft_of, steering_of
from axlewright.readings._road import on_road
from axlewright.solve.solved import Solved


def drawing(solved: Solved, member: int = 0, *, axes: Axes = "road") -> Drawing:
    """One member of a batch of states. `axes`: "road" below the car, or "chassis", which stands still in them."""
    stage = Stage(on_road(solved), member, axes)
    bodies, pickups = bodies_of(stage)
    bars, carried = bars_of(stage)
    steering, turned = steering_of(stage)
    return Drawing(
        axes, rods_of(stage), (*bodies, *bars, *steering, *shaft_of(stage)), _wheels(stage),
        (*pickups, *carried, *turned), centres_of(stage),
    )  # fmt: skip


def _wheels(stage: Stage) -> tuple[Wheel, ...]:
    found = {}
    for seen in stage.copies:
        at = stage.solved.blocks[seen.index]
        for w, wheel in enumerate(seen.topology.block.wheels):
            centre, contact = (stage.on(np.asarray(x)[:, w, seen.copy]) for x in (at.contact.centre, at.contact.point))
            axis = stage.towards(seen.index, np.asarray(at.ground.axis)[:, w, seen.copy])
            radius = float(np.linalg.norm(centre - contact))
            found[wheel.names[seen.copy]] = Wheel(wheel.names[seen.copy], centre, axis, radius, contact)
    order = stage.solved.machine.topology.mechanism.wheels
    return tuple(found[name] for name in order)
