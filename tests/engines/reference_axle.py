"""The reference axle: live, on two lower links, one rigid upper link and a Watt's linkage, solved by other engines.

`data/axle_kinematics.csv` holds 441 poses, `data/axle_statics.json` two equilibria, both found with general-purpose
engines (NumPy and SciPy Newton solvers, SymPy, MuJoCo 4.0.0, Exudyn 1.13.6, Pinocchio 4.1.0; they agree to 1e-14 m and
1e-9 N). The files give poses and forces, not points. The points below follow from them: the only fixed distances that
all 441 poses keep, and the springs and mass that balance both equilibria, come out as these round numbers.
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


def axle() -> tuple[Mechanism, dict[str, float | np.ndarray]]:
    """Mechanism of the axle block alone, and its values with drawn lengths. The springs also pull."""
    left, right = statics()["spring_preload_compression_N"]
    preload: dict[str, float] = {"spring_left": left, "spring_right": right}
    links = []
    values = dict(describe(load("teasel"))[1])  # wheels, tyres and masses that play no part here
    for name, (a, b) in POINTS.items():
        terms = (Term(name="coil", kind="compliant"),) if name in preload else ()
        links.append(Link(name=name, a="bellcrank" if "watt" in name else "chassis", b="axle", terms=terms))
        values |= {f"rear.{name}.a": np.array(a), f"rear.{name}.b": np.array(b)}
        if terms:
            values |= {
                f"rear.{name}.coil.stiffness": SPRING_RATE,
                f"rear.{name}.coil.set": -preload[name] / SPRING_RATE,
            }
    values |= {
        "rear.axle.at": CENTRE,
        "rear.bellcrank.axis_a": np.array(PIVOT),
        "rear.bellcrank.axis_b": np.array(PIVOT) + np.array([1.0, 0.0, 0.0]),
        "LR.centre": CENTRE + np.array([0.0, HALF_TRACK, 0.0]),
        "RR.centre": CENTRE - np.array([0.0, HALF_TRACK, 0.0]),
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
