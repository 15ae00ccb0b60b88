"""Beam axles of several layouts against published examples and closed forms. V3.2, PA-1 and the like: ids of check
values. The cars are starter files with points of their own, moved by `travel` with the chassis held.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from functools import cache

import numpy as np
import pytest

from axlewright.car.checks.load_transfer import whole_car
from axlewright.car.file import from_table
from axlewright.car.schema import Car
from axlewright.car.starter import starter_text
from axlewright.readings import readings_of
from axlewright.readings.anti import LONGEST
from axlewright.solve.poses import grid
from axlewright.solve.travel import Travelled, travel
from tests.car.tables import Change, put

INCH = 0.0254
DRAWN = 1e-9  # relative; velocities of the drawn points, to rounding
BUSHES = 1e-6  # relative; bushes move by the least energy there is, and nothing strains them in heave
PRINTED = 5e-7  # relative; a seventh digit is printed
PLANE = 1e-4  # relative: links of 5 m pull the axle up to 0.6 mm forward, so that the rod reaches 2e-4 mm less sideways


@cache
def starter(layout: str, sideways: str | None = "panhard") -> str:
    """A starter file of a car of 100 in by 60 in whose wheels' centres are 13 in high."""
    return starter_text("published", "double-wishbone", layout, sideways, "100 in", "60 in", "13 in")


def car(layout: str, *changes: Change, sideways: str | None = "panhard") -> Car:
    table = tomllib.loads(starter(layout, sideways))
    for change in changes:
        change(table)
    return from_table(table)


def read(moved: Travelled, reading: str) -> np.ndarray:
    return moved.read(readings_of(moved.solved.machine)[reading].read)


def of_height(height: float) -> Callable[[dict], None]:
    """Put the whole car's centre of mass at a height: the sprung mass goes where the unsprung ones leave it."""

    def change(table: dict) -> None:
        x, y, z = table["masses"]["sprung"]["at"]
        low = whole_car(from_table(table))
        sprung = float(table["masses"]["sprung"]["mass"].split()[0])
        lifted = float(str(z).split()[0]) + float(height - low.centre[2]) * low.mass / sprung
        table["masses"]["sprung"]["at"] = [x, y, lifted]

    return change


TWENTY = of_height(20 * INCH)
LADDER = [  # a four-link whose links meet in front
    {
        "name": name,
        "chassis": [-50 * INCH, 0.30, 10 * INCH],
        "axle": [-98 * INCH, 0.30, height * INCH],
        "stiffness": "4 kN/mm",
    }
    for name, height in (("upper", 15.0), ("lower", 6.0))
]
ARM = [
    {"name": "lower", "chassis": [-75 * INCH, 0.46, 10 * INCH], "axle": [-99 * INCH, 0.46, 10 * INCH]},
    {
        "name": "arm",
        "pair": False,
        "chassis": [-50 * INCH, 0.0, 20 * INCH],
        "axle": [-50 * INCH, 0.0, 12 * INCH],
    },
]


@pytest.mark.parametrize(
    ("layout", "links", "close"), [("four-link", LADDER, BUSHES), ("torque-arm", ARM, DRAWN)], ids=["ladder", "arm"]
)
def test_ladder_bar_and_torque_arm(layout, links, close):
    """V3.2: W. Shope, forum notes: 100 in of wheelbase, 20 in of height. A ladder bar whose pivot is 10 in high and
    50 in ahead of the axle gives 100 %; so does a torque arm of 50 in with level trailing links 10 in high.
    """
    at = travel(car(layout, put("rear.links", links), TWENTY), grid(bump=0.0))
    assert read(at, "anti_squat")[0] == pytest.approx(1.0, rel=close)
    assert read(at, "side_view_arm_drive")[0] == pytest.approx(50 * INCH, rel=close)
    assert read(at, "side_view_centre_z_drive")[0] == pytest.approx(10 * INCH, rel=close)


AXLE_LINE = -100 * INCH
PLAIN = [
    {"name": "lower", "chassis": [-75 * INCH, 0.46, 0.22], "axle": [-99 * INCH, 0.46, 0.22]},
    {"name": "upper", "pair": False, "chassis": [-80 * INCH, 0.0, 0.45], "axle": [-99 * INCH, 0.0, 0.50]},
]


def test_roll_centre_of_a_sloping_panhard_rod():
    """V4.1 (Heisler, Advanced Vehicle Technology, fig. 10.28): where the rod crosses the centre plane; V4.2, exact
    geometry: from (-0.50, 0.30) to (0.60, 0.20) that is 0.254545 m, and not the rod's middle, 0.25 m.
    """
    rod = {"chassis": [AXLE_LINE, -0.50, 0.30], "axle": [AXLE_LINE, 0.60, 0.20]}
    at = travel(car("three-link", put("rear.links", PLAIN), put("rear.panhard", rod)), grid(bump=0.0))
    assert read(at, "roll_centre_height_rear")[0] == pytest.approx(0.30 - 0.10 * 0.5 / 1.1, rel=DRAWN)
    assert read(at, "roll_centre_height_rear")[0] == pytest.approx(0.254545, abs=5e-7)


@pytest.mark.parametrize("slope", [3.0, 0.0, -3.0])
def test_axle_steer_of_sloping_trailing_links(slope):
    """V4.2: parallel trailing links that slope at beta give tan(beta) of yaw per roll; 3 deg gives 0.0524. Links whose
    front ends are lower give understeer (Gillespie ch. 6 and Milliken ch. 17, from memory).
    """
    fall = float(np.tan(np.radians(slope)))
    links = [{**PLAIN[0], "chassis": [-75 * INCH, 0.46, 0.22 - 24 * INCH * fall]}, PLAIN[1]]
    at = travel(car("three-link", put("rear.links", links)), grid(bump=0.0))
    assert read(at, "axle_steer")[0] == pytest.approx(fall, rel=DRAWN, abs=DRAWN)
    if slope == 3.0:
        assert read(at, "axle_steer")[0] == pytest.approx(0.0524, abs=5e-5)


@pytest.mark.parametrize(
    ("length", "rise", "shift"),
    [(1.0, 0.050, 1.250782e-3), (0.9, 0.075, 3.130444e-3), (30 * INCH, 2 * INCH, 0.0667409 * INCH)],
)
def test_sideways_shift_by_a_level_panhard_rod(length, rise, shift):
    """PA-1: L - sqrt(L^2 - h^2); 1000 and 50 mm: 1.250782; 900 and 75 mm: 3.130444; 30 and 2 in: 0.0667409 in."""
    assert length - np.sqrt(length**2 - rise**2) == pytest.approx(shift, rel=PRINTED)
    centre = 13 * INCH  # the rod ends where the axle does not move when it turns about its wheels' line
    rod = {"chassis": [AXLE_LINE, -length / 2, centre], "axle": [AXLE_LINE, length / 2, centre]}
    links = [
        {"name": "lower", "chassis": [AXLE_LINE + 5.0, 0.46, 0.22], "axle": [AXLE_LINE, 0.46, 0.22]},
        {"name": "upper", "pair": False, "chassis": [AXLE_LINE + 5.0, 0.0, 0.5], "axle": [AXLE_LINE, 0.0, 0.5]},
    ]
    moved = travel(car("three-link", put("rear.links", links), put("rear.panhard", rod)), grid(bump=[rise, -rise]))
    assert moved.reached.all()
    # an axle-end to the left of the chassis end swings in, to the right, whichever way it goes
    assert read(moved, "axle_sideways") == pytest.approx([-shift, -shift], rel=PLANE)


def test_a_parallel_equal_four_link_keeps_its_pinion_angle_and_has_no_instant_centre():
    """Parallelogram in side view: the axle is carried along without turning, at any height (elementary geometry)."""
    link = {"chassis": [-75 * INCH, 0.46, 0.20], "axle": [-99 * INCH, 0.46, 0.22], "stiffness": "30 kN/mm"}
    upper = {**link, "chassis": [-75 * INCH, 0.46, 0.45], "axle": [-99 * INCH, 0.46, 0.47]}
    links = [{**link, "name": "lower"}, {**upper, "name": "upper"}]
    rod = {"chassis": [AXLE_LINE, -0.5, 0.33], "axle": [AXLE_LINE, 0.5, 0.33]}
    moved = travel(car("four-link", put("rear.links", links), put("rear.panhard", rod)), grid(bump=[-0.05, 0.0, 0.05]))
    assert moved.reached.all()
    assert read(moved, "pinion_angle") == pytest.approx(np.zeros(3), abs=1e-9)
    assert np.abs(read(moved, "side_view_arm_drive")) == pytest.approx(np.full(3, LONGEST))
    skew = [{**link, "name": "lower"}, {**upper, "name": "upper", "chassis": [-75 * INCH, 0.46, 0.44]}]
    other = travel(car("four-link", put("rear.links", skew), put("rear.panhard", rod)), grid(bump=0.05))
    assert abs(read(other, "pinion_angle")[0]) > 1e-3  # the check can tell
