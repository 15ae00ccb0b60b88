"""Layouts of independent corners: what is connected to what, the adjusters that they bring, and what can be wrong."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import pytest

from axlewright.car.adjusters import adjusters_of
from axlewright.car.adjusters.upright_motion import upright_motion
from axlewright.car.checks.kinematics import front_end, located, motion, rear_end, wheel_turns
from axlewright.car.checks.linkage import wheel_heights
from axlewright.car.checks.sanity import sanity_warnings
from axlewright.car.describe import describe
from axlewright.car.file import load
from axlewright.car.mechanism import Bar, BarEnd, Joint, Part
from axlewright.car.schema.independent import Independent
from tests.car.tables import changed, problems, put, table_of, without

ROUNDING = 1e-9  # relative: two ways to the same linear algebra
STEP = 1e-6  # m of link length for a difference quotient
CURVATURE = 1e-4  # relative error of that quotient: step over the shortest arm, with room for a factor of 20

# Relative: 1 degree about the lower joint, 50 mm inboard of the wheel, lifts the wheel 0.9 mm; back there it has
# lost what it gains through 0.9 mm of bump, 0.022 degrees.
SINKS = 0.03

SINGLE_SPRING = {"on": "lower-arm", "moving": [0.0, 0.60, 0.180], "chassis": [0.0, 0.40, 0.560]}
ARM = {"front": [-2.45, 0.27, 0.19], "rear": [-2.70, 0.27, 0.19], "ball": [-2.62, 0.69, 0.175]}
LINKS = table_of("sorrel")["rear"]["links"]


class Shifted(NamedTuple):
    """One length that an adjuster moves."""

    path: str
    per_unit: float


def edits_of(adjuster):
    """(path, SI per count) of what an adjuster moves by a length each."""
    return [Shifted(edit.path, float(edit.per_unit)) for edit in adjuster.edits]  # a tuple would raise TypeError


def links_of(block):
    return {link.name: link for link in block.links}


def test_dunnock_is_connected_as_its_file_says():
    mechanism, _ = describe(load("dunnock"))
    front, rear = mechanism.blocks
    assert front.parts == (Part(name="lower_arm"), Part(name="rocker"))
    assert front.joints == (Joint(name="lower_ball", a="lower_arm", b="upright"),)
    assert (links_of(front)["push_rod"].a, links_of(front)["push_rod"].b) == ("rocker", "lower_arm")
    assert links_of(front)["spring"].b == "rocker"
    assert rear.copies == ("rear.left", "rear.right")
    assert rear.rear
    assert rear.pinion_body is None
    assert links_of(rear)["push_rod"].b == "upper_arm"
    wheel = rear.wheels[0]
    assert wheel.driven
    assert not wheel.drive_on_body
    assert not wheel.brake_on_body
    assert not wheel.steered
    left, right = (BarEnd(copy=f"front.{side}", frame="rocker") for side in ("left", "right"))
    assert mechanism.bars[:2] == (
        Bar(name="front_bar", left=left, right=right),
        Bar(name="front_third_spring", left=left, right=right, heave=True),
    )
    assert mechanism.steering == "rack"


def test_sorrel_is_connected_as_its_file_says():
    mechanism, values = describe(load("sorrel"))
    front, rear = mechanism.blocks
    assert front.parts == (Part(name="strut", parent="upright", slides=True),)
    assert front.joints == (Joint(name="strut_top", a="chassis", b="strut"),)
    assert {name for name, link in links_of(front).items() if not link.terms} == {
        "lower_front",
        "lower_rear",
        "tie_rod",
    }
    assert {name for name, link in links_of(rear).items() if not link.terms} == {
        "lower", "trailing", "upper", "lead", "toe",
    }  # fmt: skip
    assert rear.wheels[0].brake_on_body
    assert not rear.wheels[0].drive_on_body
    assert mechanism.steering == "relay"
    mirrored = np.asarray(values["relay.pitman_end"]) * np.array([1.0, -1.0, 1.0])
    np.testing.assert_array_equal(values["relay.idler_end"], mirrored)


@pytest.mark.parametrize("name", ["dunnock", "sorrel"])
def test_the_demo_cars_are_within_common_practice(name):
    car = load(name)
    assert sanity_warnings(car, *describe(car)) == []


def test_a_third_spring_adds_to_heave_and_not_to_roll():
    """By hand, both arms alike: drop-link speed over arm, twice, on rate x arm squared; half of the work a wheel."""
    car, without_it = load("dunnock"), changed(without("front.third_spring"), name="dunnock")
    more, less = (front_end(*describe(c)) for c in (car, without_it))
    assert isinstance(car.front, Independent)
    assert car.front.third_spring is not None
    third = car.front.third_spring
    corner = located(*describe(car), "front")
    rows = wheel_heights(corner, corner.drawn())[1]
    rise = motion(corner, corner.drawn(), rows, np.ones(1))
    speed = corner.velocity(corner.drawn(), "rocker", third.drop_link.xyz)[0] @ rise  # the drop link lies fore and aft
    turns = 2 * speed / third.holes[third.hole - 1].value
    added = third.rate.value * third.spring_arm.value**2 * turns**2 / 2
    assert more.wheel_rate - less.wheel_rate == pytest.approx(added, rel=1e-3)  # the drop link leans by a degree
    assert more.bar_roll_stiffness == pytest.approx(less.bar_roll_stiffness, rel=ROUNDING)


def test_a_motion_ratio_through_a_rocker_is_the_product_of_its_levers():
    """Virtual work by hand: rod along its own line at the rocker's arm, spring at its arm, both square to it."""
    mechanism, values = describe(load("dunnock"))
    corner = located(mechanism, values, "front")
    pose = corner.drawn()
    rise = motion(corner, pose, wheel_heights(corner, pose)[1], np.ones(1))
    inner, outer = (np.asarray(values[f"front.left.push_rod.{end}"]) for end in "ab")
    along = (inner - outer) / np.linalg.norm(inner - outer)
    rod = along @ corner.velocity(pose, "lower_arm", outer) @ rise  # how fast the rod pushes, m per m of wheel
    pivot, spring = (np.asarray(values[f"front.left.{path}"]) for path in ("rocker.axis_a", "spring.b"))
    by_levers = rod * np.linalg.norm(spring - pivot) / np.linalg.norm(inner - pivot)
    assert front_end(mechanism, values).motion_ratio == pytest.approx(by_levers, rel=1e-4)  # square to 0.5 degrees


def test_brakes_react_where_the_file_puts_them():
    for where in ("inboard", "outboard"):
        wheel = describe(changed(put("rear.brakes", where), name="dunnock"))[0].blocks[1].wheels[0]
        assert wheel.brake_on_body == (where == "outboard")
        assert not wheel.drive_on_body


@pytest.mark.parametrize("link", ["upper", "toe", "trailing"])
def test_a_longer_link_moves_the_upright_as_its_assembly_does(link):
    """Small motion by hand against the numpy linkage put together again with that link longer."""
    car = load("sorrel")
    mechanism, values = describe(car)
    assert isinstance(car.rear, Independent)
    found = upright_motion(car.rear.parts("left"), car.rear.wheel_centre.xyz, link)
    corner = located(mechanism, {**values, f"rear.left.{link}.length": STEP}, "rear")
    pose, centre = corner.drawn(), car.rear.wheel_centre.xyz
    for _ in range(3):
        now, rates = wheel_heights(corner, pose)
        residual = np.concatenate([corner.closure(pose), now - centre[2]])
        pose = corner.moved(pose, np.linalg.lstsq(np.vstack([corner.jacobian(pose), rates]), -residual)[0])
    turn = pose.turn["upright"]
    moved = np.concatenate([pose.at("upright", centre) - centre, [turn[2, 1], turn[0, 2], turn[1, 0]]]) / STEP
    np.testing.assert_allclose(moved, found, atol=CURVATURE * np.abs(found).max())


def test_adjusters_follow_the_layout():
    dunnock, sorrel = adjusters_of(load("dunnock")), adjusters_of(load("sorrel"))
    both = {
        "camber_LF",
        "camber_LR",
        "toe_front",
        "toe_rear",
        "springs_rear",
        "rear_bar_hole",
        "perch_RR",
        "caster_front",
    }
    assert both <= dunnock.keys()
    assert both <= sorrel.keys()
    assert {"rod_LF", "rod_rear", "third_spring_front", "front_third_spring_hole"} <= dunnock.keys()
    assert {"rear_lead_length", "rear_trailing_chassis_mount", "rack_height"} <= sorrel.keys()
    axles = {"watt_pivot", "drive_length", "panhard_length"}
    assert not axles & dunnock.keys()
    assert not axles & sorrel.keys()
    codes = {code for found in (dunnock, sorrel) for a in found.values() for code in (*a.recheck, *a.rezero)}
    assert not codes & {"AC", "PA", "TL", "WH"}
    assert sorrel["camber_LR"].edits[0].path == "rear.left.upper.length"
    assert sorrel["camber_LF"].edits[0].path == "front.left.strut_top.shift"


LAYOUTS = {
    "a rear third spring": (
        "dunnock",
        put(
            "rear.third_spring",
            {
                "on": "lower-arm",
                "rate": "40 N/mm",
                "spring_arm": "50 mm",
                "holes": ["150 mm"],
                "hole": 1,
                "pivot": [-2.75, 0.40, 0.30],
                "arm_end": [-2.60, 0.40, 0.30],
                "drop_link": [-2.60, 0.40, 0.172],
            },
        ),
    ),
    "spring on the lower arm": ("dunnock", put("front.spring", {**SINGLE_SPRING, "rate": "60 N/mm"})),
    "spring on the upright": ("dunnock", put("front.spring", {**SINGLE_SPRING, "on": "upright", "rate": "60 N/mm"})),
    "strut with its spring on the lower arm": (
        "sorrel",
        put(
            "front.spring", {"on": "lower-arm", "moving": [0, 0.56, 0.18], "chassis": [0, 0.48, 0.5], "rate": "95 N/mm"}
        ),
    ),
    "a lower arm for two of five links": (
        "sorrel",
        put("rear.lower_wishbone", ARM),
        put("rear.links", LINKS[2:]),
        put("rear.spring.on", "lower-arm"),
        put("rear.bar.on", "lower-arm"),
    ),
    "a link that gives": ("sorrel", put("rear.links.3.stiffness", "20 kN/mm")),
    "a right side of its own": ("dunnock", put("front.right", {"rocker": {"rod": {"thread": "1.5 mm/turn"}}})),
    "an idler arm of its own": (
        "sorrel",
        put(
            "steering.idler", {"pivot": [-0.3, -0.33, 0.26], "axis": [-0.3, -0.33, 0.36], "end": [-0.14, -0.33, 0.215]}
        ),
    ),
}


@pytest.mark.parametrize("layout", LAYOUTS)
def test_other_layouts_of_corners_move_as_they_must(layout):
    name, *changes = LAYOUTS[layout]
    assert problems(*changes, name=name) == ()
    car = changed(*changes, name=name)
    mechanism, values = describe(car)
    for end in (front_end(mechanism, values), rear_end(mechanism, values)):
        assert 0.3 < end.motion_ratio < 1.1
    assert adjusters_of(car)


WRONG = [
    (
        "dunnock",
        [without("front.rocker"), without("front.bar"), without("front.third_spring")],
        "front.spring.on",
        '"rocker", which this front end has not got',
        "[front.rocker]",
    ),
    ("sorrel", [put("front.bar.on", "rocker")], "front.bar.on", "has not got", "add [front.rocker]"),
    ("sorrel", [put("rear.spring.on", "lower-arm")], "rear.spring.on", "has not got", "upright"),
    ("sorrel", [put("front.bar.on", "axle")], "front.bar.on", "has not got", "lower-arm"),
    (
        "dunnock",
        [
            put(
                "rear.spring",
                {**SINGLE_SPRING, "moving": [-2.6, 0.6, 0.175], "chassis": [-2.6, 0.4, 0.5], "rate": "60 N/mm"},
            )
        ],
        "rear.rocker",
        "nothing stands",
        "rocker",
    ),
    ("dunnock", [put("front.rocker.rod.moving", [0.0, 0.24, 0.53])], "front.rocker.rod", "0.0 mm apart", "check both"),
    ("dunnock", [put("front.rocker.axis", [0.07, 0.24, 0.53])], "front.rocker.axis", "0.0 mm apart", "check both"),
    ("dunnock", [put("rear.toe_link.upright", [-2.74, 0.25, 0.226])], "rear.toe_link", "apart", "check both"),
    ("dunnock", [put("front.third_spring.hole", 4)], "front.third_spring", "hole 4", "list the hole"),
    (
        "dunnock",
        [put("front.third_spring.drop_link", [0.07, -0.2, 0.56])],
        "front.third_spring.drop_link",
        "other side",
        "sign",
    ),
    (
        "dunnock",
        [put("rear.lower_wishbone.ball", [-2.59, -0.69, 0.165])],
        "rear.lower_wishbone.ball",
        "other side",
        "sign",
    ),
    ("dunnock", [put("rear.brakes", "middle")], "rear.brakes", '"middle"', "choose"),
    ("dunnock", [without("masses.rear_corner")], "masses.rear_corner", "nothing", "add [masses.rear_corner]"),
    ("dunnock", [put("masses.axle", {"mass": "50 kg"})], "masses.axle", "another layout", "take it away"),
    ("dunnock", [put("front.right", {"spring": {"on": "upright"}})], "front", "another part", "leave `on` out"),
    ("sorrel", [put("rear.toe_link", "too")], "rear", '"too"', "screwed in or out"),
    ("sorrel", [put("rear.camber_link", "toe")], "rear", "one link for toe and camber", "another"),
    ("sorrel", [put("rear.links.1.name", "spring")], "rear", "a link called spring", "rename"),
    ("sorrel", [put("rear.links.1.name", "lower")], "rear", "links called", "rename one"),
    ("sorrel", [put("rear.links.0.length", "300 mm")], "rear.links[1]", "apart", "measure the link"),
    (
        "sorrel",
        [put("rear.links", LINKS[:4]), put("rear.toe_link", "lower")],
        "rear",
        "2 freedoms at rest",
        "a tie rod or toe link",
    ),
    (
        "sorrel",
        [put("rear.links", [*LINKS, {**LINKS[0], "name": "sixth", "chassis": [-2.5, 0.3, 0.3]}])],
        "rear",
        "that leave 0 freedoms at rest",
        "stiffness",
    ),
    ("sorrel", [put("rear.links.1.chassis", [-2.15, -0.43, 0.25])], "rear.links[2].chassis", "other side", "sign"),
    ("sorrel", [put("front.strut.upright", [-0.045, 0.52, 0.72])], "front.strut", "0.0 mm apart", "check both"),
    ("sorrel", [without("front.strut")], "front.strut", "nothing", "add `strut`"),
    ("sorrel", [without("steering.pitman")], "steering", "without a pitman arm", "add its pivot"),
    ("sorrel", [put("steering.kind", "rack")], "steering", "steering arms on a rack", "relay"),
    (
        "sorrel",
        [put("steering.pitman.axis", [-0.29, 0.35, 0.36])],
        "steering.pitman.axis",
        "11.4 degrees off",
        "since the idler arm mirrors",
    ),
    (
        "sorrel",
        [put("steering.pitman.end", [-0.29, 0.34, 0.30])],
        "steering.pitman.end",
        "on its axis",
        "check the points",
    ),
    (
        "sorrel",
        [
            put(
                "steering.idler",
                {"pivot": [-0.29, -0.34, 0.26], "axis": [-0.27, -0.34, 0.36], "end": [-0.14, -0.34, 0.215]},
            )
        ],
        "steering.idler.axis",
        "degrees off",
        "measure both",
    ),
]


@pytest.mark.parametrize(("name", "changes", "path", "found", "fix"), WRONG, ids=[f"{w[2]}: {w[3]}" for w in WRONG])
def test_what_a_person_can_get_wrong_is_said(name, changes, path, found, fix):
    problem, *mirrored = problems(*changes, name=name)
    assert {other.path.replace(".right", "") for other in mirrored} <= {path}
    assert problem.path == path
    assert found in problem.found
    assert fix in problem.fix


def test_camber_links_of_a_multi_link_corner_leave_toe_alone():
    """A degree of camber, put into the linkage as the adjuster has it, turns the wheel about x and not about z."""
    car = load("sorrel")
    found = adjusters_of(car)["camber_LR"]
    assert isinstance(car.rear, Independent)
    parts, centre = car.rear.parts("left"), car.rear.wheel_centre.xyz
    lengths = {edit.path.split(".")[2]: edit.per_unit for edit in edits_of(found)}
    turn = np.sum([per * upright_motion(parts, centre, name)[3:] for name, per in lengths.items()], axis=0)
    assert -turn[0] == pytest.approx(np.radians(1.0), rel=ROUNDING)  # top outward on the left
    assert turn[2] == pytest.approx(0.0, abs=ROUNDING)


def test_camber_by_the_upper_links_of_a_rear_takes_its_toe_link_along():
    """A thousandth of a degree on the linkage put together again: the wheel leans by it, and steers by none of it."""
    spring = {"on": "lower-arm", "moving": [-2.6, 0.60, 0.175], "chassis": [-2.6, 0.40, 0.55], "rate": "60 N/mm"}
    car = changed(without("rear.rocker"), put("rear.spring", spring), name="dunnock")
    found, share = adjusters_of(car)["camber_LR"], 1e-3
    mechanism, values = describe(car)
    moved = {edit.path: share * edit.per_unit for edit in edits_of(found)}
    assert moved.keys() == {f"rear.left.{link}.length" for link in ("upper_front", "upper_rear", "toe_link")}
    corner = located(mechanism, {**values, **moved}, "rear")
    pose = corner.drawn()
    for _ in range(3):
        height, rates = wheel_heights(corner, pose)
        residual = np.concatenate([corner.closure(pose), height - car.rear.wheel_centre.z])
        pose = corner.moved(pose, np.linalg.lstsq(np.vstack([corner.jacobian(pose), rates]), -residual)[0])
    turn = pose.turn["upright"]
    assert -turn[2, 1] == pytest.approx(np.radians(share), rel=SINKS)
    assert abs(turn[1, 0]) < SINKS * np.radians(share)


def test_bump_steer_of_the_demo_cars_is_small():
    for name in ("dunnock", "sorrel"):
        for end in ("front", "rear"):
            assert abs(np.degrees(wheel_turns(*describe(load(name)), end)[1] * 0.025)) < 0.1
