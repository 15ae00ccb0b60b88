"""Bad values: one message each, with the key's path, what was found, what was expected and the likeliest fix."""

from __future__ import annotations

import pytest

from axlewright.car.file import load
from axlewright.car.schema.double_wishbone import FrontWishboneCorner
from tests.car.tables import changed, problems, put, the_problem, without

RIGHT_CAMBER = -0.03  # rad

CASES = [
    # unknown and misspelt keys
    (put("front.sprng", {}), "front.sprng", "the unknown key `sprng`", "write `spring` instead of `sprng`"),
    (put("front.spring.rte", "1 N"), "front.spring.rte", "the unknown key", "write `rate` instead"),
    (put("masess", {}), "masess", "the unknown key", "write `masses` instead"),
    (put("rear.links.0.stifness", "3 kN/mm"), "rear.links[1].stifness", "the unknown key", "write `stiffness` instead"),
    (put("tyres.front.gripp", 1.0), "tyres.front.gripp", "the unknown key", "write `grip` instead"),
    (put("front.right", {"cambr": "1 deg"}), "front.right.cambr", "the unknown key", "write `camber` instead"),
    (
        put("front.right", {"spring": {"rat": "1 N/mm"}}),
        "front.right.spring.rat",
        "unknown key",
        "write `rate` instead",
    ),
    (put("phases.2.speeed", "3 m/s"), "phases[3].speeed", "the unknown key", "write `speed` instead"),
    (put("points.colour", "red"), "points.colour", "the unknown key", "remove it, or move it"),
    # units and dimensions
    (put("front.spring.rate", 95), "front.spring.rate", "the bare number 95", 'write "95 N/mm"'),
    (put("front.spring.rate", "95"), "front.spring.rate", '"95" with no unit', 'add the unit, such as "95 N/mm"'),
    (put("front.spring.rate", "95 mm"), "front.spring.rate", "which is a length", "N/mm"),
    (put("front.spring.rate", "550 lb/in"), "front.spring.rate", '"550 lb/in"', 'write "550 lbf/in"'),
    (put("front.spring.rate", "95 N/mn"), "front.spring.rate", "unknown unit", 'write "N/mm" instead'),
    (put("front.spring.rate", True), "front.spring.rate", "True", "write it as text"),
    (put("front.camber", "-2.2"), "front.camber", "with no unit", "deg"),
    (put("tyres.rear.pressure", "22 N"), "tyres.rear.pressure", "which is a force", "psi"),
    (put("driveline.final_drive", "4.1 mm"), "driveline.final_drive", "which is a length", "unit"),
    (put("front.bar.holes.1", "225"), "front.bar.holes[2]", "with no unit", "mm"),
    (put("scales.cross_weight", "50 kg"), "scales.cross_weight", "which is a mass", "%"),
    # outside physical sense
    (put("front.spring.rate", "95 N/m"), "front.spring.rate", '"95 N/m"', "check the unit, the decimal point"),
    (put("front.spring.rate", "-95 N/mm"), "front.spring.rate", '"-95 N/mm"', "and the sign"),
    (put("front.camber", "-22 deg"), "front.camber", '"-22 deg"', "decimal point"),
    (put("masses.axle.mass", "-3 kg"), "masses.axle.mass", '"-3 kg"', "sign"),
    (put("brakes.front_share", "680 %"), "brakes.front_share", '"680 %"', "decimal point"),
    (put("tyres.front.pressure", "220 psi"), "tyres.front.pressure", '"220 psi"', "decimal point"),
    (
        put("front.wheel_centre", [0.0, 780.0, 330.0]),
        "front.wheel_centre",
        "up to 780.0 m",
        "check the unit in [points]",
    ),
    # points and mounts
    (put("front.wheel_centre", [0.0, 0.78]), "front.wheel_centre", "2 values", "write x, y and z"),
    (put("front.wheel_centre", "here"), "front.wheel_centre", "'here'", "write x, y and z"),
    (put("front.wheel_centre", [0.0, 0.78, True]), "front.wheel_centre", "True", "a number for each"),
    (put("front.wheel_centre", [0.0, 0.78, "3 N"]), "front.wheel_centre", "which is a force", "mm"),
    (put("rear.links.0.chassis.hole", 4), "rear.links[1].chassis", "hole 4", "list the hole"),
    (put("rear.links.0.chassis", [1, 2]), "rear.links[1].chassis", "2 values", "write x, y and z"),
    (put("points.unit", "furlong"), "points.unit", '"furlong"', "choose one of these"),
    # what is missing or too much
    (without("front.spring.rate"), "front.spring.rate", "nothing", "add `rate`"),
    (without("tyres.law"), "tyres.law", "nothing", "add `law`"),
    (put("tyres.law", "similarty"), "tyres.law", '"similarty"', 'write "similarity"'),
    (put("front.layout", "portal"), "front.layout", '"portal"', "choose one of these"),
    (put("driveline.differential.kind", "limited slip"), "driveline.differential.kind", "", 'write "limited-slip"'),
    (put("front", 3), "front", "3", "make it a table"),
    (put("rear.links", {"name": "lower"}), "rear.links", "a table", "[[double brackets]]"),
    (put("rear.links", []), "rear.links", "[]", ""),
    (put("rear.links.0.name", "Lower link"), "rear.links[1].name", '"Lower link"', "small letters"),
    (put("masses.sprung.height", "0.5 m"), "masses.sprung", "both `at` and `height`", "give one of the two"),
    (without("masses.sprung.at"), "masses.sprung", "neither `at` nor `height`", "scale cannot see the height"),
    (without("scales.cross_weight"), "scales", "neither", 'cross_weight = "50 %"'),
    (put("front.spring.tender_rate", "30 N/mm"), "front.spring", "only half of a tender", "add the other key"),
    (
        put("front.bump_stop", {"gap": "9 mm", "rate": "1 N/mm", "second_at": "5 mm"}),
        "front.bump_stop",
        "only half",
        "add",
    ),
    (put("front.damper.moving", [0, 0.6, 0.2]), "front.damper", "only one end", "add the other end"),
    (put("front.damper.damping.speeds.0", "0.01 m/s"), "front.damper.damping", "do not rise from 0", "sort them"),
    (
        put("front.damper.damping.curves.0.rebound", ["0 N"]),
        "front.damper.damping",
        "1 rebound forces",
        "one force for each",
    ),
    (put("front.damper.damping.curves.1.clicks", 0), "front.damper.damping", "not in order", "sort them"),
    (put("front.bar.hole", 6), "front.bar", "hole 6", "list the hole"),
    (put("front.bar.holes", ["250 mm", "200 mm", "300 mm"]), "front.bar", "do not go up", "sort `holes`"),
    (put("front.bar.wall", "12 mm"), "front.bar", 'a wall of "12 mm"', "check the wall"),
    (put("front.bar.measured", {"rate": "31 N/mm", "hole": 3}), "front.bar", "both a measured rate", "keep the one"),
    (without("front.bar.diameter"), "front.bar", "neither a measured rate", "keep the one"),
    (put("tyres.front.fall_off", "85 %"), "tyres.front", "an unclear fall-off", "write fall_off"),
    (without("tyres.front.shape_c"), "tyres.front", "an unclear fall-off", "write fall_off"),
    (without("driveline.differential.preload"), "driveline.differential", "without all its numbers", "add them"),
    (put("driveline.differential.kind", "open"), "driveline.differential", "`preload` on a differential", "remove it"),
    (put("front.right", {"spring": {"on": "upright"}}), "front", "another part for the right spring", "leave `on` out"),
    (put("phases.2.ay", "-1 g"), "phases[3]", 'found "-1 g"', "both turns are solved"),
    (put("phases.2.speed", "0 m/s"), "phases[3]", "at no speed", "give the speed"),
    (put("phases.0.ax", "1 g"), "phases[1]", "on the brakes", "minus sign"),
    (put("name", ""), "name", '""', ""),
    (put("setup", {"front_bar": "three"}), "setup.front_bar", '"three"', ""),
]


@pytest.mark.parametrize(
    ("change", "path", "found", "fix"), CASES, ids=lambda case: case if isinstance(case, str) else ""
)
def test_a_bad_value_gets_one_message_that_says_where_and_how_to_mend_it(change, path, found, fix):
    problem = the_problem(change)
    text = str(problem)
    assert problem.path == path, text
    assert found.removeprefix("found ") in problem.found, text
    assert fix in problem.fix, text
    assert problem.expected, text


def test_a_part_on_the_right_only_is_refused():
    problem = the_problem(without("front.bump_stop"), put("front.right", {"bump_stop": {"gap": "9 mm"}}))
    assert "`bump_stop` on the right only" in problem.found


def test_every_problem_is_told_at_once():
    found = problems(put("front.spring.rate", "95"), put("rear.spring.rate", 42), put("masess", {}))
    assert [p.path for p in found] == ["front.spring.rate", "rear.spring.rate", "masess"]


def test_a_grip_level_in_words_or_as_a_factor():
    car = changed(put("phases.0.grip", "wet"), put("phases.1.grip", 0.9), put("phases.2.grip", "90 %"))
    assert [phase.grip_factor for phase in car.phases[:4]] == [0.6, 0.9, 0.9, 1.0]
    assert "grip" in the_problem(put("phases.0.grip", "moist")).path


def test_an_override_keeps_everything_else_of_the_mirrored_side():
    car = changed(put("front.right", {"camber": f"{RIGHT_CAMBER} rad", "spring": {"rate": "90 N/mm"}}))
    plain, right = load("teasel").front.side("right"), car.front.side("right")
    assert right.camber.value == RIGHT_CAMBER
    assert right.spring.rate.value == 90e3
    assert right.spring.chassis == plain.spring.chassis
    assert isinstance(right, FrontWishboneCorner)
    assert isinstance(plain, FrontWishboneCorner)
    assert right.upper_wishbone == plain.upper_wishbone
    assert car.front.side("left") == load("teasel").front.side("left")
