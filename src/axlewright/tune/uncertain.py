"""What is not well known about a car, as sources: each is one thing that could be measured better.

A source moves all its values by one of their stated tolerances together (both tyres of an axle are of one kind, springs
come from one maker's scatter); pickup points are moved each in its own random direction, since tape errors don't
conspire.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from axlewright.car.mechanism import Values

SEED = 20  # of the directions of the pickup points, so that a table can be made again


class Source(NamedTuple):
    """One thing that is not well known."""

    name: str
    measure: str  # how it would be known better
    changes: dict[str, float | np.ndarray]  # value path -> one tolerance, SI


# (path ending, name, measurement); the first that fits takes the path. Points come last.
_KINDS = (
    (".tyre.grip", "tyre grip", "hold a steady circle and take the time"),
    (".tyre.grip_drop", "how grip falls with load", "compare a steady circle at two ballast weights"),
    (".tyre.slip_angle_peak", "slip angle at the tyres' peak", "get the tyre maker's data"),
    (".tyre.vertical_rate", "tyre vertical rate", "load a wheel on the scales and measure its radius"),
    (".spring.rate", "spring rates", "measure each spring on a press"),
    ("_stop.rate", "stop rates", "press each stop on the scales"),
    (".drive.seat_rate", "stiffness of the drive-side link's seat", "pull on the housing with a bar and a scale"),
    (".drive.rate", "drive-side spring rate", "bench chart of force against turns"),
    (".drive.preload", "drive-side preload", "bench chart of force against turns"),
    (".brake.bumper_rate", "brake-side bumper rate", "press the bumper on the scales"),
    (".compliant.stiffness", "stiffness of rod ends and bushes", "pull on a link and measure it"),
    (".upright.mass", "unsprung masses", "weigh the corners and the axle"),
    (".axle.mass", "unsprung masses", "weigh the corners and the axle"),
    ("chassis.sprung.mass", "sprung mass", "weigh the car and the unsprung parts"),
    ("scales.cross_weight", "cross weight", "map the floor under the scales"),
    ("driveline.preload", "differential preload", "measure its breakaway torque"),
)
POINTS = ("a", "b", "at", "axis_a", "axis_b", "pivot", "drop_point", "centre")
# Tolerances that a held state does not feel.
_UNFELT = ("roll_inertia", "pitch_inertia", "yaw_inertia")
_UNFELT_HEADS = ("ride_height.", "chassis.driver", "chassis.fuel", "chassis.ballast")


def sources(tolerances: Values) -> list[Source]:
    """The sources of a car's stated tolerances (`describe.tolerances`)."""
    found: dict[str, Source] = {}
    rng = np.random.default_rng(SEED)

    def put(name: str, measure: str, path: str, change: float | np.ndarray) -> None:
        found.setdefault(name, Source(name, measure, {})).changes[path] = change

    for path, size in tolerances.items():
        if path.endswith(_UNFELT) or path.startswith(_UNFELT_HEADS):
            continue
        if path == "chassis.sprung.at":
            along = np.asarray(size, dtype=float)
            put("height of the sprung centre of mass", "weigh the car with its axle raised", path, along * (0, 0, 1))
            put("place of the sprung centre of mass", "weigh all four corners", f"{path} ", along * (1, 1, 0))
            continue
        kind = next(((name, measure) for end, name, measure in _KINDS if path.endswith(end)), None)
        if kind is not None:
            put(*kind, path, size)
        elif path.rsplit(".", 1)[-1] in POINTS:
            end = "front" if path.startswith(("front", "LF", "RF")) else "rear"
            way = rng.choice((-1.0, 1.0), size=3)
            put(f"{end} pickup points", "measure them from a datum, twice", path, np.asarray(size) * way)
    return list(found.values())


def moved(values: Values, source: Source) -> dict[str, float | np.ndarray]:
    """Values of a car with one source moved by its tolerance."""
    out: dict[str, float | np.ndarray] = dict(values)
    for key, change in source.changes.items():
        path = key.strip()  # two sources may move different components of one point
        out[path] = np.asarray(out[path], dtype=float) + change
    return out
