"""Beam axles of every kind: what is connected to what, what can be turned on them, and what is refused."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.car.adjusters import Table, adjusters_of
from axlewright.car.checks.kinematics import located, motion, side_view
from axlewright.car.checks.linkage import reach, wheel_heights
from axlewright.car.describe import describe
from axlewright.car.file import parse
from axlewright.car.mechanism import Part
from axlewright.car.starter import layouts, starter_text
from tests.car.tables import changed, problems, put, the_problem, without

RIGID = 1e-9  # m; lengths after Newton steps
EXACT = 1e-6  # relative; velocities of the drawn car, the active torque link as stiff as steel and not rigid
BRACKET = {"chassis": [-2.20, 0.60, 0.50], "bracket": [-2.72, 0.62, 0.52]}
FLAT = {  # the same pivot as teasel's, the bellcrank lying down
    "bellcrank_on": "chassis",
    "turns": "flat",
    "pivot": [-2.95, 0.0, 0.262],
    "left_arm": [-2.86, 0.0, 0.262],
    "left_end": [-2.86, 0.55, 0.262],
    "right_arm": [-3.04, 0.0, 0.262],
    "right_end": [-3.04, -0.55, 0.262],
}
DE_DION = (put("rear.layout", "de-dion"), without("rear.drive_link"), without("rear.brake_link"))
UPPER = {"name": "upper", "pair": False, "chassis": [-2.2, 0.0, 0.485], "axle": [-2.72, 0.0, 0.46]}
LOWER = {"name": "lower", "chassis": [-2.1, 0.47, 0.245], "axle": [-2.7, 0.52, 0.225]}
TUBE = (*DE_DION, put("rear.links", [LOWER, UPPER]))


def on_axle(watt):
    """The same Watt's linkage with its bellcrank on the axle."""
    return {**watt, "bellcrank_on": "axle"}


def rear(car):
    mechanism, values = describe(car)
    return next(block for block in mechanism.blocks if block.rear), values


@pytest.mark.parametrize("layout", [rear for rear in layouts("rear") if "\n[masses.axle]" in starter_text(rear=rear)])
def test_freedoms_of_each_layout(layout):
    """An axle must heave and roll: 6 motions of the body and one of each part less rigid links leave 2, or as many
    more as compliant or torque links then hold by force (the design's table of unknowns).
    """
    linkage = located(*describe(parse(starter_text(rear=layout))), "rear")
    rows = linkage.jacobian(linkage.drawn())
    over_constrained = {"four-link", "ladder", "truck-arm", "two-link"}
    held_by_force = dict.fromkeys(over_constrained, 3) | {"split-three-link": 1}
    assert np.linalg.matrix_rank(rows) == len(rows) == len(linkage.rigid)
    assert linkage.count - len(rows) == 2 + held_by_force.get(layout, 0)
    names = [link for link in linkage.block.links if any(term.kind == "compliant" for term in link.terms)]
    every = np.vstack([rows, *(linkage.length_rate(linkage.drawn(), link)[None] for link in names)])
    left = 1 if layout in over_constrained else 2 + held_by_force.get(layout, 0)  # rolling strains the links
    assert linkage.count - np.linalg.matrix_rank(every) == left


@pytest.mark.parametrize("watt", [FLAT, on_axle(FLAT)], ids=["on the chassis", "on the axle"])
def test_a_flat_bellcrank_turns_about_z_and_holds_the_axle_at_its_height(watt):
    """A Watt's linkage has its roll centre at its pivot, whichever body carries it (V4.1; Heisler, fig. 10.28)."""
    car = changed(put("rear.watt", watt))
    block, values = rear(car)
    assert block.parts == (Part(name="bellcrank", parent=watt["bellcrank_on"]),)
    axis = np.asarray(values["rear.bellcrank.axis_b"]) - np.asarray(values["rear.bellcrank.axis_a"])
    assert axis == pytest.approx([0.0, 0.0, 1.0])
    axle = located(*describe(car), "rear")
    pose = axle.drawn()
    roll = motion(axle, pose, wheel_heights(axle, pose)[1], np.array([0.78, -0.78]))
    sideways = axle.velocity(pose, "axle", np.array([-2.95, 0.0, 0.262]))[1] @ roll
    assert abs(sideways) < RIGID


def test_a_flat_and_an_upright_bellcrank_hold_the_same_way():
    """In heave each link's end swings in by the same amount, which the bellcrank takes up: no shift of the axle."""
    shifts = []
    for watt in (FLAT, on_axle(FLAT)):
        axle = located(*describe(changed(put("rear.watt", watt))), "rear")
        pose, error = reach(axle, np.array([0.05, 0.05]))
        assert error < RIGID
        shifts.append(pose.at("axle", np.array([-2.95, 0.0, 0.33]))[1])
    assert np.abs(shifts).max() < 1e-4  # m; Watt's curve is straight to the fifth order, and the links are alike


@pytest.mark.parametrize(
    ("turns", "changes"),
    [
        ("flat", [put("rear.watt", {**FLAT, "left_arm": [-2.95, 0.0, 0.35]})]),
        ("upright", [put("rear.watt.left_arm", [-2.85, 0.0, 0.262])]),
    ],
    ids=["flat", "upright"],
)
def test_an_arm_along_the_bellcranks_axis_is_refused(turns, changes):
    problem = the_problem(*changes)
    assert problem.path == "rear.watt.left_arm"
    assert "along the bellcrank's own axis" in problem.found
    assert f'turns = "{turns}"' in problem.expected


def test_a_bracket_turns_on_the_axle_about_the_spin_axis():
    car = changed(put("rear.brake_bracket", BRACKET))
    block, values = rear(car)
    assert block.parts[1:] == (
        Part(name="brake_bracket_left", parent="axle"),
        Part(name="brake_bracket_right", parent="axle"),
    )
    assert [wheel.brake_frame for wheel in block.wheels] == ["brake_bracket_left", "brake_bracket_right"]
    assert all(wheel.brake_on_body and wheel.drive_on_body for wheel in block.wheels)
    for side, sign, wheel in (("left", 1.0, "LR"), ("right", -1.0, "RR")):
        start, end = (np.asarray(values[f"rear.brake_bracket_{side}.axis_{e}"]) for e in "ab")
        assert start == pytest.approx(values[f"{wheel}.centre"])
        # teasel: camber -0.5 deg (top inward), toe-in 0.05 deg; the axis points left on both sides
        turned = np.radians([0.05 * sign, 1.0, 0.5 * sign])
        assert end - start == pytest.approx([turned[0], 1.0, turned[2]], abs=5e-5)
        link = next(link for link in block.links if link.name == f"brake_bracket_{side}_link")
        assert (link.a, link.b, link.terms) == ("chassis", f"brake_bracket_{side}", ())
        assert values[f"rear.brake_bracket_{side}_link.b"] == pytest.approx([-2.72, sign * 0.62, 0.52])


def test_a_bracket_that_differs_on_the_right():
    car = changed(
        put("rear.brake_bracket", BRACKET), put("rear.right.brake_bracket", {"chassis": [-2.20, -0.60, 0.46]})
    )
    values = rear(car)[1]
    assert values["rear.brake_bracket_right_link.a"] == pytest.approx([-2.20, -0.60, 0.46])
    assert values["rear.brake_bracket_right_link.b"] == pytest.approx([-2.72, -0.62, 0.52])


@pytest.mark.parametrize("rise", [-0.05, 0.0, 0.08])
def test_a_bracket_changes_braking_as_its_instant_centre_says_and_not_driving(rise):
    """The bracket turns about the crossing of its link's line with the line square to the wheel centre's path; t is
    that centre's height over its distance ahead of the wheel (plane kinematics, Gillespie ch. 7, from memory).
    """
    square = (put("rear.camber", "0 deg"), put("rear.toe", "0 deg"))
    link = {"chassis": [-2.15, 0.60, 0.50 + rise], "bracket": [-2.75, 0.60, 0.50]}
    plain, floating = changed(*square), changed(*square, put("rear.brake_bracket", link))
    drive = [side_view(*describe(car), "rear", "drive_link") for car in (plain, floating)]
    assert drive[1] == pytest.approx(drive[0])
    axle = located(*describe(floating), "rear")
    pose = axle.drawn()
    moving = motion(axle, pose, wheel_heights(axle, pose)[1], np.ones(2), "brake_link")
    forward, _, upward = axle.velocity(pose, "axle", np.array([-2.75, 0.78, 0.33])) @ moving
    slope, normal = rise / 0.60, -forward / upward  # dz/dx of the two lines, forward
    ahead = (0.50 - 0.33) / (normal - slope)
    height = 0.33 + normal * ahead
    assert side_view(*describe(floating), "rear", "brake_link").slope == pytest.approx(height / ahead, rel=EXACT)


def test_a_de_dion_tube_takes_no_drive_torque():
    block, _ = rear(changed(*TUBE))
    assert block.pinion_body is None
    assert [(w.driven, w.drive_on_body, w.brake_on_body) for w in block.wheels] == [(True, False, True)] * 2
    inboard, _ = rear(changed(*TUBE, put("rear.brakes", "inboard")))
    assert [wheel.brake_on_body for wheel in inboard.wheels] == [False] * 2


def test_a_de_dion_tubes_anti_squat_uses_the_wheel_centre():
    """V3.1, independent form: the slope of the wheel centre's path, not of the contact point's (Gillespie ch. 7)."""
    car = changed(*TUBE)
    axle = located(*describe(car), "rear")
    pose = axle.drawn()
    rise = motion(axle, pose, wheel_heights(axle, pose)[1], np.ones(2))
    velocity = axle.velocity(pose, "axle", np.array([-2.75, 0.78, 0.33])) @ rise
    assert side_view(*describe(car), "rear", "drive_link").slope == pytest.approx(-velocity[0] / velocity[2])
    # links' lines in side view meet at the instant centre; e - r over d, with e its height and d its distance
    lower, upper = (0.020 / 0.6), (0.025 / 0.52)
    at_axle = 0.225 - lower * 0.05, 0.46 - upper * 0.03  # heights of the two lines at the wheel centre's x
    d = (at_axle[1] - at_axle[0]) / (lower - upper)
    e = at_axle[0] + lower * d
    assert side_view(*describe(car), "rear", "drive_link").slope == pytest.approx((e - 0.33) / d, rel=1e-3)


def test_what_a_de_dion_tube_has_not_got():
    ids = adjusters_of(changed(*TUBE))
    assert not {key for key in ids if key.startswith(("drive_", "brake_length"))}
    assert not [a.id for a in ids.values() if {"PA", "TL"} & {*a.recheck, *a.rezero}]
    assert {"lower_length", "upper_length", "watt_pivot"} <= ids.keys()
    problem = the_problem(put("rear.layout", "de-dion"), without("rear.brake_link"))
    assert "drive_link" in problem.path
    both = the_problem(*TUBE, put("rear.brakes", "inboard"), put("rear.brake_bracket", BRACKET))
    assert 'write brakes = "outboard"' in both.fix


def test_adjusters_of_brake_brackets():
    two_holes = {"holes": [[-2.20, 0.60, 0.48], [-2.20, 0.60, 0.52]], "hole": 2}
    given = {**BRACKET, "chassis": two_holes, "thread": "2 mm/turn"}
    ids = adjusters_of(changed(put("rear.brake_bracket", given)))
    assert ids["brake_bracket_length"].made_of == (
        ("brake_bracket_length_left", 1.0),
        ("brake_bracket_length_right", 1.0),
    )
    assert ids["brake_bracket_length_left"].unit == "turn"
    mount = ids["brake_bracket_mount_chassis_right"]
    assert (mount.unit, mount.drawn, mount.hi) == ("hole", 2.0, 2.0)
    (edit,) = mount.edits
    assert isinstance(edit, Table)
    assert edit.values[0] == pytest.approx((-2.20, -0.60, 0.48))
    assert "brake_bracket_mount_bracket_left" not in ids
    assert not [key for key in adjusters_of(changed()) if key.startswith("brake_bracket")]


def test_length_and_side_of_a_bracket_link_are_checked():
    left, right = problems(put("rear.brake_bracket", {**BRACKET, "length": "500 mm"}))
    assert (left.path, right.path) == ("rear.brake_bracket", "rear.right.brake_bracket")
    assert "too short by 20.8 mm" in left.found
    swapped = the_problem(put("rear.brake_bracket", {**BRACKET, "chassis": [-2.2, -0.6, 0.5]}))
    assert swapped.path.startswith("rear.brake_bracket")


def test_a_bracket_link_that_only_turns_the_bracket_is_not_blamed_for_the_axle():
    found = problems(put("rear.brake_bracket", BRACKET), without("rear.watt"))
    assert len(found) == 1
    assert "nothing holds sideways" in found[0].found
