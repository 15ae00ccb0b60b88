"""What a car file says about room for its parts: joints, dampers, points and tubes."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.car.describe import describe
from axlewright.car.describe.room import Room, room_of
from axlewright.car.schema import Car
from tests.car.tables import changed, put, the_problem

TUBE = {"name": "bar", "start": [-2.0, 0.3, 0.2], "end": [-2.5, 0.3, 0.2], "on": "chassis", "radius": "20 mm"}
POINT = {"name": "sill", "at": [-1.0, 0.6, 0.08]}


def room(*changes) -> Room:
    car: Car = changed(*changes)
    return room_of(car, *describe(car))


def test_a_general_angle_covers_every_link_end_and_listed_ones_win():
    """Counted by hand on teasel: 2 tie rods, 2 lower, 2 torque and 2 Watt links, 4 drop links; no spring, no leg of a
    wishbone.
    """
    ends = [{"link": "lower", "end": "moving", "misalignment": "12 deg", "bolt": [0.0, 2.0, 0.0]}]
    found = room(put("joints", {"misalignment": "18 deg", "ends": ends})).tilts
    assert len(found) == 2 * (2 + 2 + 2 + 2 + 4)
    listed = [tilt for tilt in found if tilt.part.startswith("lower")]
    assert {(t.end, round(np.degrees(t.largest))) for t in listed} == {("a", 18), ("b", 12)}
    assert {t.bolt for t in listed if t.end == "b"} <= {(0.0, 1.0, 0.0), (0.0, -1.0, 0.0)}


def test_wishbones_that_are_parts_and_that_are_two_links_both_have_ball_joints():
    found = room(put("joints", {"ball_joints": "25 deg"})).tilts
    assert {(t.copy, t.part) for t in found} == {
        (f"front.{side}", f"{arm}_ball") for side in ("left", "right") for arm in ("upper", "lower")
    }


def test_a_bolt_is_mirrored_on_the_right():
    ends = [{"link": "tie_rod", "end": "moving", "misalignment": "20 deg", "bolt": [0.0, 0.6, 0.8]}]
    found = {t.copy: t.bolt for t in room(put("joints", {"ends": ends})).tilts}
    assert found == {"front.left": (0.0, 0.6, 0.8), "front.right": (0.0, -0.6, 0.8)}


def test_pairs_of_points_and_tubes():
    found = room(
        put("clearance.points", [{**POINT, "pair": True}]),
        put("clearance.tubes", [TUBE, {"name": "link", "along": "lower", "radius": "16 mm", "against": ["bar"]}]),
    )
    assert [(s.name, s.at[1]) for s in found.spots] == [("sill_left", 0.6), ("sill_right", -0.6)]
    assert [rod.name for rod in found.rods] == ["bar", "link_left", "link_right"]
    assert found.rods[1].against == ("bar",)


def test_a_part_that_is_there_twice_is_the_one_on_the_points_own_side():
    hub = {"name": "hub", "at": [0.0, -0.7, 0.2], "on": "upright"}
    assert room(put("clearance.points", [hub])).spots[0].copy == "front.right"


@pytest.mark.parametrize(
    ("path", "value", "found", "fix"),
    [
        ("joints.ends", [{"link": "lowr", "misalignment": "12 deg"}], "`lowr`", "lower"),
        ("joints.misalignment", "300 deg", "300 deg", "decimal point"),
        ("joints.ends", [{"link": "lower", "misalignment": "9 deg", "bolt": [0, 0, 0]}], "no direction", "across"),
        ("clearance.points", [{**POINT, "on": "axel"}], "`axel`", "axle"),
        ("clearance", {"points": [POINT, POINT]}, "two called `sill`", "rename"),
        ("clearance.tubes", [{**TUBE, "against": ["barr"]}], "`barr`", "bar"),
        ("clearance.tubes", [{**TUBE, "along": "lower"}], "`along`", "one way"),
        ("clearance.tubes", [{"name": "rod", "along": "lwer", "radius": "9 mm"}], "`lwer`", "lower"),
        ("rear.damper.shortest", "600 mm", "472 mm long", "centres of its eyes"),
        ("rear.brake_link.longest", "400 mm", "544 mm long", "centres of its eyes"),
    ],
)
def test_what_makes_no_sense_is_said_with_its_fix(path, value, found, fix):
    problem = the_problem(put(path, value))
    assert problem.path.startswith(path)
    assert found in problem.found
    assert fix in problem.fix
