"""What the drive-side link carries at rest, by hand statics: virtual work of the axle's heave and wind-up."""

from __future__ import annotations

import numpy as np

from axlewright.car.checks.kinematics import located, motion
from axlewright.car.checks.linkage import Linkage, wheel_heights
from axlewright.car.mechanism import Mechanism, Values
from axlewright.units import GRAVITY


def drive_link_tension(mechanism: Mechanism, values: Values, axle_load: float) -> float | None:
    """Tension (N) of the drive-side link at rest, with both rear springs alike; None without such a link.

    Unknown: the load of the two springs and the tension. Equations: no work in heave and none in wind-up, of tyre loads
    (`axle_load`, N, of both rear wheels), axle weight, gas forces, springs and the link.
    """
    axle = located(mechanism, values, "rear")
    names = [link.name for link in axle.block.links]
    if "drive_link" not in names:
        return None
    pose, heights = axle.drawn(), wheel_heights(axle, axle.drawn())[1]
    body = axle.block.bodies[0]
    pitch = axle.spin(body)[1]
    rows = np.vstack([heights, pitch])
    rise = motion(axle, pose, rows, np.array([1.0, 1.0, 0.0]), active="")
    wind_up = motion(axle, pose, rows, np.array([0.0, 0.0, 1.0]), active="")
    matrix, known = np.zeros((2, 2)), np.zeros(2)
    for i, rates in enumerate((rise, wind_up)):
        centre = axle.velocity(pose, body, axle.point(f"{body}.at")) @ rates
        contact = sum(_contact_rise(axle, name, rates) for name in ("LR", "RR")) / 2
        known[i] = axle_load * contact - float(values["rear.axle.mass"]) * GRAVITY * centre[2]
        for link in axle.block.links:
            stretch = float(axle.length_rate(pose, link) @ rates)
            push = values.get(f"rear.{link.name}.gas.force", values.get(f"rear.{link.name}.brake.gas", 0.0))
            known[i] += float(push) * stretch  # a push does work when its line gets longer
            if link.name.startswith("spring"):
                matrix[i, 0] -= stretch
            elif link.name == "drive_link":
                matrix[i, 1] += stretch
    return float(np.linalg.solve(matrix, known)[1])


def _contact_rise(axle: Linkage, wheel: str, rates: np.ndarray) -> float:
    centre = np.asarray(axle.values[f"{wheel}.centre"], dtype=float)
    ground = centre * np.array([1.0, 1.0, 0.0])
    return float((axle.velocity(axle.drawn(), axle.block.wheels[0].frame, ground) @ rates)[2])
