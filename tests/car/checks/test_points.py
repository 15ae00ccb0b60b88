"""Sides, lengths and bars: points that cannot be meant."""

from __future__ import annotations

import pytest

from tests.car.tables import problems, put, table_of, the_problem


def mirrored(value: object) -> object:
    if isinstance(value, dict):
        return {key: mirrored(item) for key, item in value.items()}
    if isinstance(value, list):
        if len(value) == 3 and all(isinstance(item, float) for item in value):
            return [value[0], -value[1], value[2]]
        return [mirrored(item) for item in value]
    return value


@pytest.mark.parametrize(
    ("path", "point"),
    [
        ("front.wheel_centre", [0.0, -0.780, 0.330]),
        ("front.upper_wishbone.ball", [-0.030, -0.650, 0.490]),
        ("front.tie_rod.rack", [0.125, -0.305, 0.232]),
        ("front.spring.moving", [0.0, -0.600, 0.213]),
        ("front.bar.drop_link", [0.020, -0.540, 0.195]),
        ("rear.spring.chassis", [-2.740, -0.420, 0.740]),
        ("rear.bar.pivot", [-2.550, -0.460, 0.450]),
        ("ride_heights.left_rear", [-2.60, -0.50, 0.084]),
    ],
)
def test_a_point_on_the_wrong_side(path, point):
    problem = the_problem(put(path, point))
    assert problem.path == path
    assert "on the other side" in problem.found
    assert "change the sign of y, or give the left point" in problem.fix


def test_a_hole_of_a_pair_on_the_wrong_side():
    problem = the_problem(put("rear.links.0.chassis.holes.2", [-2.1, -0.47, 0.252]))
    assert problem.path == "rear.links[1].chassis"


def test_a_right_hand_point_with_a_left_hand_y():
    problem = the_problem(put("front.right", {"wheel_centre": [0.0, 0.781, 0.330]}))
    assert problem.path == "front.right.wheel_centre"
    assert "give the right point" in problem.fix


def test_a_whole_end_on_the_wrong_side_is_one_message():
    problem = the_problem(put("front", mirrored(table_of()["front"])))
    assert problem.path == "front"
    assert "points on the right" in problem.found
    assert "change the sign of every y in [front]" in problem.fix


def test_swapped_watt_links():
    watt = table_of()["rear"]["watt"]
    ends = {"left_end": watt["right_end"], "right_end": watt["left_end"]}
    problem = the_problem(put("rear.watt", {**watt, **ends}))
    assert problem.fix == "swap `left_end` and `right_end`"


@pytest.mark.parametrize(("length", "words"), [("590 mm", "too short by 12.1 mm"), ("61 cm", "too long by 7.9 mm")])
def test_a_length_that_contradicts_its_points(length, words):
    """The lower link's points are 602.1 mm apart: sqrt(0.6^2 + 0.05^2 + 0.008^2)."""
    found = problems(put("rear.links.0.length", length))
    assert [p.path for p in found] == ["rear.links[1]", "rear.links[1].right"]
    assert words in found[0].found
    assert f'"{length}", but its points are 602.1 mm apart' in found[0].found


@pytest.mark.parametrize("length", ["602.1 mm", "604 mm", "610 mm +- 8 mm"])
def test_a_length_within_what_a_tape_can_tell(length):
    assert problems(put("rear.links.0.length", length)) == ()


def test_lengths_of_watt_links():
    problem = the_problem(put("rear.watt.right_length", "560 mm"))
    assert problem.path == "rear.watt.right_end"
    assert "too long by 10.0 mm" in problem.found


@pytest.mark.parametrize(
    ("path", "value", "where", "found"),
    [
        ("rear.drive_link.chassis", [-2.72, -0.15, 0.6], "rear.drive_link", "two ends 0.0 mm apart"),
        ("front.upper_wishbone.rear", [0.1, 0.4, 0.47], "front.upper_wishbone", "two ends 0.0 mm apart"),
        ("rear.watt.left_arm", [-2.95, 0.0, 0.262], "rear.watt.left_arm", "the pivot itself"),
        ("front.bar.arm_end", [0.270, 0.540, 0.345], "front.bar.arm_end", "the pivot itself"),
        ("front.bar.arm_end", [0.270, 0.240, 0.345], "front.bar.arm_end", "an arm that points sideways"),
        ("front.bar.drop_link", [0.020, 0.540, 0.345], "front.bar.drop_link", "the hole itself"),
        ("front.bar.drop_link", [-0.130, 0.540, 0.335], "front.bar.drop_link", "a drop link within 4 degrees"),
    ],
)
def test_parts_that_cannot_work(path, value, where, found):
    problem = problems(put(path, value))[0]
    assert problem.path == where
    assert found in problem.found
