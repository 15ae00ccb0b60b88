"""Freedoms by rank: layouts that move as they must, and those that don't, with the part to look at."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.car.checks.kinematics import located
from axlewright.car.describe import describe
from axlewright.car.describe.layouts import link_keys
from axlewright.car.file import DEMO_CARS, load
from tests.car.tables import changed, problems, put, the_problem, without

LOWER = {"name": "lower", "chassis": [-2.10, 0.47, 0.232], "axle": [-2.70, 0.52, 0.240]}
UPPER = {"name": "upper", "chassis": [-2.20, 0.30, 0.50], "axle": [-2.72, 0.31, 0.58]}
PANHARD = {"chassis": [-2.90, -0.5, 0.26], "axle": [-2.90, 0.5, 0.25]}
TRIANGULATED = {"name": "upper", "chassis": [-2.20, 0.45, 0.50], "axle": [-2.72, 0.10, 0.58]}
NO_TORQUE_LINKS = (without("rear.drive_link"), without("rear.brake_link"))
NO_WATT = without("rear.watt")


def rear(*links, panhard=None, watt=True, torque_links=False):
    """Changes that give teasel another rear layout."""
    changes = [put("rear.links", list(links))]
    changes += [] if torque_links else NO_TORQUE_LINKS
    changes += [] if watt else [NO_WATT]
    return changes + ([put("rear.panhard", panhard)] if panhard is not None else [])


SOUND = {
    "two lower links, torque links and Watt": rear(LOWER, torque_links=True),
    "two lower links, torque links and Panhard": rear(LOWER, torque_links=True, watt=False, panhard=PANHARD),
    "three-link with Watt": rear(LOWER, {**UPPER, "pair": False}),
    "three-link with Panhard": rear(LOWER, {**UPPER, "pair": False}, watt=False, panhard=PANHARD),
    "triangulated four-link": rear(LOWER, TRIANGULATED, watt=False),
    "torque arm": rear(
        LOWER,
        {"name": "arm", "pair": False, "chassis": [-1.2, 0, 0.55], "axle": [-1.2, 0, 0.30]},
        watt=False,
        panhard=PANHARD,
    ),
    "compliant four-link with Panhard": rear(
        {**LOWER, "stiffness": "30 kN/mm"}, {**UPPER, "stiffness": "30 kN/mm"}, watt=False, panhard=PANHARD
    ),
}


@pytest.mark.parametrize("layout", SOUND)
def test_sound_layouts_have_no_problem(layout):
    assert problems(*SOUND[layout]) == ()


@pytest.mark.parametrize("name", DEMO_CARS)
def test_the_demo_cars_move_as_they_must(name):
    assert problems(name=name) == ()


def test_singular_values_of_a_rigid_four_link_are_those_of_the_design():
    """Rank 5 for ordinary points; with parallel equal links rank 4 with 5 rows (the design, calculated)."""
    ordinary = [
        put("rear.links", [{**LOWER, "stiffness": "30 kN/mm"}, {**UPPER, "stiffness": "30 kN/mm"}]),
        *NO_TORQUE_LINKS,
    ]
    car = changed(*ordinary, NO_WATT, put("rear.panhard", PANHARD))
    mechanism, values = describe(car)
    linkage = located(mechanism, values, "rear")
    pose = linkage.drawn()
    rows = [linkage.length_rate(pose, link) for link in linkage.block.links if not link.name.startswith("spring")]
    assert np.linalg.matrix_rank(np.array(rows), tol=1e-6) == 5


def test_a_rigid_four_link_with_a_panhard_rod_is_refused():
    problem = the_problem(*rear(LOWER, UPPER, watt=False, panhard=PANHARD))
    assert problem.found == "5 rigid constraints that leave 1 freedom at rest"
    assert problem.expected == "2 freedoms (heave and roll)"
    assert "give `stiffness` to lower_left, lower_right, upper_left, upper_right and panhard" in problem.fix
    assert "20 to 60 kN/mm for a rod end" in problem.fix


def test_parallel_equal_links_are_called_redundant():
    lower = {"name": "lower", "chassis": [-2.10, 0.5, 0.24], "axle": [-2.70, 0.5, 0.24]}
    upper = {"name": "upper", "chassis": [-2.10, 0.5, 0.56], "axle": [-2.70, 0.5, 0.56]}
    problem = the_problem(*rear(lower, upper, watt=False, panhard=PANHARD))
    assert problem.path == "rear"
    assert (
        "1 rigid constraint too many at rest: lower_left, lower_right, upper_left and upper_right hold" in problem.found
    )
    assert "give `stiffness` to lower_left" in problem.fix


def test_two_links_on_one_line_are_called_redundant():
    twin = {"name": "twin", "pair": False, "chassis": [-2.10, 0.47, 0.232], "axle": [-2.70, 0.52, 0.240]}
    problem = the_problem(*rear(LOWER, twin, torque_links=True))
    assert "too many at rest: lower_left and twin" in problem.found


@pytest.mark.parametrize(
    ("changes", "found", "fix"),
    [
        ([NO_WATT], "3 freedoms at rest: nothing holds sideways", "a Panhard rod or a Watt's linkage"),
        (NO_TORQUE_LINKS, "3 freedoms at rest: nothing holds wind-up", "an upper link"),
        ([without("rear.brake_link")], "nothing holds wind-up under braking", "`rear.brake_link`"),
        ([without("rear.drive_link")], "nothing holds wind-up under drive", "`rear.drive_link`"),
        (
            [put("rear.links", [{**LOWER, "pair": False}])],
            "3 freedoms at rest: nothing holds yaw",
            "links that run fore and aft",
        ),
    ],
)
def test_a_motion_that_nothing_holds_is_named(changes, found, fix):
    problem = the_problem(*changes)
    assert problem.path == "rear"
    assert found in problem.found
    assert fix in problem.fix


def test_a_redundancy_that_appears_only_in_travel_is_found():
    """Sound at rest, but the two ends of a short rod come into line as the axle rises by 40 mm."""
    short = {"chassis": [-2.90, 0.0, 0.330], "axle": [-2.90, 0.030, 0.299]}
    found = problems(*rear(LOWER, {**UPPER, "pair": False}, watt=False, panhard=short))
    assert len(found) == 1
    assert "mm" in found[0].found


def test_travel_that_cannot_be_reached_says_which_link_and_by_how_much():
    short = {"chassis": [-2.90, 0.0, 0.29], "axle": [-2.90, 0.03, 0.29]}
    problem = the_problem(*rear(LOWER, {**UPPER, "pair": False}, watt=False, panhard=short))
    assert problem.path == "rear.panhard"
    assert "panhard too short by" in problem.found
    assert problem.found.endswith("mm 40 mm up")
    assert "check both ends" in problem.fix


def test_a_front_corner_whose_links_hold_the_same_motion():
    tie_rod = {"rack": [-0.16, 0.40, 0.462], "upright": [-0.030, 0.650, 0.490]}  # along the upper rear leg
    problem = the_problem(put("front.tie_rod", tie_rod))
    assert problem.path == "front"
    assert "too many at rest: upper_rear and tie_rod hold the same motion" in problem.found


def at(car, path):
    """What the car has at a key path, or None."""
    here = car
    for step in path.split("."):
        key, _, index = step.partition("[")
        here = getattr(here, key, None)
        here = here[int(index.rstrip("]")) - 1] if index and here is not None else here
    return here


def test_every_rigid_link_has_a_key_path():
    for name in DEMO_CARS:
        car = load(name)
        mechanism, _ = describe(car)
        keys = link_keys(car)
        for block in mechanism.blocks:
            for link in block.links:
                if not link.name.startswith(("spring", "damper")):
                    key = f"{block.name}.{link.name}"
                    assert at(car, keys.get(key, key)) is not None, key
