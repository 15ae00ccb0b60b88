"""Propeller shaft: angle left in its joints, travel left in its slip joint."""

from __future__ import annotations

import numpy as np

from axlewright.car.describe.room import Room
from axlewright.readings.clearances.base import Margin
from axlewright.readings.shaft import JOINTS, joint_angle, slip_left
from axlewright.solve.solved import Solved

SLIPS = {1.0: ("shaft.slip_in", "slip joint bottoms"), -1.0: ("shaft.slip_out", "slip joint comes apart")}


def shaft_margins(solved: Solved, room: Room) -> list[Margin]:
    """Margins of a car's propeller shaft, as far as its car file gives the limits."""
    values, found = solved.machine.values, []
    if "shaft.diameter" not in values:
        return found
    if room.shaft_angle is not None:
        for joint, name in JOINTS.items():
            found.append(Margin(
                id=f"shaft_angle.{joint}", name=f"propeller shaft, {name}", used_up="joint past its angle", unit="rad",
                value=room.shaft_angle - joint_angle(solved, joint), whole=room.shaft_angle,
            ))  # fmt: skip
    for sense, (path, used_up) in SLIPS.items():
        whole = float(np.ravel(values[path])[0])
        if np.isfinite(whole):
            way = "inwards" if sense > 0.0 else "outwards"
            found.append(Margin(
                id=path.replace(".", "_"), name=f"propeller shaft, slip joint {way}", used_up=used_up, unit="m",
                value=slip_left(solved, sense), whole=whole,
            ))  # fmt: skip
    return found
