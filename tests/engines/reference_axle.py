"""The reference axle: live, on two lower links, one rigid upper link and a Watt's linkage, solved by other engines.

`data/axle_kinematics.csv` holds 441 poses, `data/axle_statics.json` two equilibria, both found with general-purpose
engines (NumPy and SciPy Newton solvers, SymPy, MuJoCo 4.0.0, Exudyn 1.13.6, Pinocchio 4.1.0; they agree to 1e-14 m and
1e-9 N). The files give poses and forces, not points. The points below follow from them: the only fixed distances that
all 441 poses keep, and the springs and mass that balance both equilibria, come out as these round numbers.

`data/axle_transient.csv` is the axle after a torque hit, 200 moments of 1 s (SciPy DOP853 at 1e-12, which Radau at
1e-10 confirms to 3.4e-13 rad and 4.1e-8 N). There the upper link gives: its rate and damping follow from its force,
length and speed, and the inertia from how the axle moves (a fit of one tenth of a second; over all of it the round
numbers agree to 1.3e-13 rad and 1.3e-8 N).
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np

from axlewright import load
from axlewright.car.describe import describe
from axlewright.car.mechanism import Block, Link, Mechanism, Part, Term, Wheel
from axlewright.model.drawn import with_drawn

DATA = Path(__file__).parent / "data"
CENTRE = np.array([-2.75, 0.0, 0.33])  # of the axle, and its centre of mass
HALF_TRACK = 0.78
MASS = 110.0
SPRING_RATE = 35e3
ARM = 0.1  # of the bellcrank
G = 9.81
# Of the torque hit:
INERTIA = (40.0, 6.0, 40.0)  # kg m2 about x, y, z
UPPER_RATE = 250e3  # N/m
UPPER_DAMPING = 2e3  # N s/m
TYRE_RATE = 250e3  # N/m, vertical
LOAD = 3300.0  # N on each contact point as drawn
PUSH = 3000.0  # N forward on each, from the first instant on

POINTS = {  # chassis end, axle end
    "lower_left": ((-2.15, 0.48, 0.30), (-2.70, 0.52, 0.22)),
    "lower_right": ((-2.15, -0.48, 0.30), (-2.70, -0.52, 0.22)),
    "upper": ((-2.25, 0.05, 0.52), (-2.72, 0.05, 0.57)),
    "watt_upper": ((-2.95, 0.0, 0.46), (-2.95, 0.55, 0.46)),
    "watt_lower": ((-2.95, 0.0, 0.26), (-2.95, -0.55, 0.26)),
    "spring_left": ((-2.80, 0.40, 0.75), (-2.80, 0.45, 0.33)),
    "spring_right": ((-2.80, -0.40, 0.75), (-2.80, -0.45, 0.33)),
}
PIVOT = (-2.95, 0.0, 0.36)
NAMES = {"lower_L": "lower_left", "lower_R": "lower_right"}  # names in the reference files that differ from these


def poses() -> dict[str, np.ndarray]:
    """The 441 reference poses: each column (441,), `centre` (3, 441) m and `R` (3, 3, 441) as well."""
    table = np.genfromtxt(DATA / "axle_kinematics.csv", delimiter=",", names=True)
    found = {name: table[name] for name in table.dtype.names or ()}
    found["centre"] = np.stack([found[f"centre_{axis}"] for axis in "xyz"])
    found["R"] = np.stack([np.stack([found[f"R{i}{j}"] for j in range(3)]) for i in range(3)])
    return found


def statics() -> dict:
    """The reference equilibria."""
    return json.loads((DATA / "axle_statics.json").read_text())


def transient() -> dict[str, np.ndarray]:
    """The reference torque hit: each column (200,), `time` s, `pitch` rad nose down, `upper_force` N, and the pose."""
    table = np.genfromtxt(DATA / "axle_transient.csv", delimiter=",", names=True)
    return {name: table[name] for name in table.dtype.names or ()}


def axle(*, upper_gives: bool = False) -> tuple[Mechanism, dict[str, float | np.ndarray]]:
    """Mechanism of the axle block alone, and its values with drawn lengths. The springs also pull.

    `upper_gives`: the upper link of the torque hit, a spring with a damper.
    """
    left, right = statics()["spring_preload_compression_N"]
    sprung: dict[str, tuple[float, float]] = {
        "spring_left": (SPRING_RATE, -left),
        "spring_right": (SPRING_RATE, -right),
    }
    if upper_gives:
        sprung["upper"] = UPPER_RATE, statics()["design_link_forces_N"]["upper"]
    links = []
    values = dict(describe(load("teasel"))[1])  # wheels, tyres and masses that play no part here
    for name, (a, b) in POINTS.items():
        terms = (Term(name="coil", kind="compliant"),) if name in sprung else ()
        damped = upper_gives and name == "upper"
        links.append(
            Link(name=name, a="bellcrank" if "watt" in name else "chassis", b="axle", terms=terms, damped=damped)
        )
        values |= {f"rear.{name}.a": np.array(a), f"rear.{name}.b": np.array(b)}
        if terms:
            stiffness, tension = sprung[name]
            values |= {
                f"rear.{name}.coil.stiffness": stiffness,
                f"rear.{name}.coil.set": tension / stiffness,
                f"rear.{name}.coil.loss": 0.0,
            }
    values |= {
        "rear.upper.damping.speed": np.array([0.0, 1.0]),
        "rear.upper.damping.clicks": np.array([0.0]),
        "rear.upper.damping.compression": np.array([0.0, UPPER_DAMPING]),
        "rear.upper.damping.rebound": np.array([0.0, UPPER_DAMPING]),
        "rear.upper.damping.compression_clicks": 0.0,
        "rear.upper.damping.rebound_clicks": 0.0,
        "rear.axle.mass": MASS,
        "rear.axle.roll_inertia": INERTIA[0],
        "rear.axle.pitch_inertia": INERTIA[1],
        "rear.axle.yaw_inertia": INERTIA[2],
        "rear.axle.at": CENTRE,
        "rear.bellcrank.axis_a": np.array(PIVOT),
        "rear.bellcrank.axis_b": np.array(PIVOT) + np.array([1.0, 0.0, 0.0]),
        "LR.centre": CENTRE + np.array([0.0, HALF_TRACK, 0.0]),
        "RR.centre": CENTRE - np.array([0.0, HALF_TRACK, 0.0]),
        "LR.free_radius": CENTRE[2],
        "RR.free_radius": CENTRE[2],
    }
    block = Block(
        name="rear",
        copies=("rear",),
        bodies=("axle",),
        parts=(Part(name="bellcrank"),),
        links=tuple(links),
        wheels=tuple(Wheel(names=(name,), frame="axle") for name in ("LR", "RR")),
    )
    mechanism = Mechanism(blocks=(block,))
    return mechanism, with_drawn(mechanism, values)
