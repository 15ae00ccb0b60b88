"""What a car file says about motion: dampers and their clicks, driveline, belts; and what none of them can be."""

from __future__ import annotations

import re

import numpy as np
import pytest

from axlewright.car.adjusters import adjusters_of
from axlewright.car.adjusters.setup import apply
from axlewright.car.check import check
from axlewright.car.checks.kinematics import SLOW, damping_force, front_end, rear_end
from axlewright.car.checks.load_transfer import damping_ratios
from axlewright.car.checks.sanity import sanity_warnings
from axlewright.car.describe import describe
from axlewright.car.file import DEMO_CARS, load
from axlewright.car.schema.driveline import Driveline, WheelPair
from axlewright.car.schema.rear import LinkEnds
from axlewright.car.schema.springs import Stop
from axlewright.car.schema.tyres import Casing
from axlewright.model.moving import assemble as motion
from axlewright.model.reader import is_list
from axlewright.parts import LOSS
from axlewright.units import parse
from tests.car.tables import changed, put, the_problem, without

OWN_LINE = {"gas_force": "120 N", "chassis": [0.05, 0.43, 0.6], "moving": [0.05, 0.58, 0.21]}
TABLE = {
    "speeds": ["0 m/s", "0.1 m/s", "0.3 m/s"],
    "curves": [
        {"clicks": 2, "compression": ["0 N", "400 N", "700 N"], "rebound": ["0 N", "600 N", "1000 N"]},
        {"clicks": 8, "compression": ["0 N", "200 N", "500 N"], "rebound": ["0 N", "300 N", "650 N"]},
    ],
    "compression_clicks": 4,
    "rebound_clicks": 6,
    "friction": "25 N",
}


def damped_links(mechanism):
    return {f"{copy}.{k.name}" for b in mechanism.blocks for copy in b.copies for k in b.links if k.damped}


# --- tables ----------------------------------------------------------------------------------------------------


def test_dampers_are_on_the_links_that_carry_gas_and_on_the_brake_side_link():
    mechanism, values = describe(changed())
    sides = ("front.left.spring", "front.right.spring", "rear.spring_left", "rear.spring_right")
    assert damped_links(mechanism) == {*sides, "rear.brake_link"}
    assert all(f"{path}.gas.force" in values for path in sides)


@pytest.mark.parametrize("side", ["left", "right"])
def test_a_table_reaches_the_values_of_both_sides_click_by_click(side):
    mechanism, values = describe(changed(put("front.damper", OWN_LINE | {"damping": TABLE})))
    path = f"front.{side}.damper"
    assert path in damped_links(mechanism)
    assert f"front.{side}.spring" not in damped_links(mechanism)
    expected = {
        "speed": [0.0, 0.1, 0.3],
        "clicks": [2.0, 8.0],
        "compression": [0.0, 400.0, 700.0, 0.0, 200.0, 500.0],
        "rebound": [0.0, 600.0, 1000.0, 0.0, 300.0, 650.0],
        "compression_clicks": 4.0,
        "rebound_clicks": 6.0,
        "friction": 25.0,
    }
    for name, value in expected.items():
        np.testing.assert_array_equal(values[f"{path}.damping.{name}"], value)
        assert is_list(f"{path}.damping.{name}") == (np.ndim(value) == 1)


def test_without_a_table_nothing_damps():
    gone = [without(f"{end}.damping") for end in ("front.damper", "rear.damper", "rear.brake_link")]
    mechanism, values = describe(changed(*gone))
    assert damped_links(mechanism) == set()
    assert not [path for path in values if ".damping." in path]


# --- clicks ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "paths"),
    [
        ("damper_front_compression", ("front.left.spring", "front.right.spring")),
        ("damper_rear_rebound", ("rear.spring_left", "rear.spring_right")),
        ("brake_compression", ("rear.brake_link",)),
    ],
)
def test_clicks_change_the_settings_of_their_own_dampers_only(key, paths):
    car = changed()
    _, values = describe(car)
    adjuster = adjusters_of(car)[key]
    found, batch = apply(values, adjusters_of(car), [{}, {key: adjuster.drawn + 3.0}])
    moved = {path for path, value in found.items() if np.size(value) != np.size(values[path])}
    assert moved == {f"{path}.damping.{key.rsplit('_', 1)[1]}_clicks" for path in paths}
    for path in moved:
        np.testing.assert_array_equal(found[path], adjuster.drawn + np.array([0.0, 3.0]))
    assert batch == 2


# --- what no damper can be -------------------------------------------------------------------------------------

CURVE = "front.damper.damping.curves.1"
REFUSED = [
    (put(f"{CURVE}.rebound.2", "-1124 N"), "a rebound force of -1124 N at 0.25 m/s, 20 clicks", "turn the sign round"),
    (put(f"{CURVE}.compression.3", "500 N"), "fall from 1124 N to 500 N at the last speed", "measure one speed more"),
    (put(f"{CURVE}.clicks", 12), "curves at 0 to 12 clicks of a damper with 20 clicks", "leave `clicks_to_open` out"),
    (put("front.damper.damping.rebound_clicks", 21), "rebound_clicks = 21", "correct `rebound_clicks`"),
]


@pytest.mark.parametrize(("change", "found", "fix"), REFUSED)
def test_a_damper_that_can_not_be_is_one_clear_sentence(change, found, fix):
    problem = the_problem(change)
    assert problem.path == "front.damper.damping"
    assert found in problem.found
    assert fix in problem.fix


def test_a_curve_that_falls_between_and_rises_again_is_left_alone():
    """It takes energy all the same: force and speed keep their signs."""
    assert changed(put(f"{CURVE}.compression.2", "100 N")).front.damper is not None


def test_one_curve_needs_no_setting():
    car = changed(put("front.damper.damping", TABLE | {"curves": TABLE["curves"][:1], "compression_clicks": 0}))
    assert "damper_front_compression" not in adjusters_of(car)


# --- wheels, driveline, losses ---------------------------------------------------------------------------------

BELT = {"rate": "12 kN m/rad", "damping": "25 N m s/rad", "inertia": "0.5 kg m^2"}
STATED = [
    ("driveline.gear", 1.6, {"driveline.gear": 1.6}),
    ("driveline.engine_inertia", "0.13 kg m^2", {"driveline.engine_inertia": 0.13}),
    ("driveline.clutch_capacity", "500 N m", {"driveline.clutch_capacity": 500.0}),
    ("driveline.half_shaft_rate", "12 kN m/rad", {"driveline.half_shaft_rate": 12e3}),
    ("driveline.engine_braking", "50 N m", {"driveline.engine_braking": 50.0}),
    ("wheels.rear.brake_rate", "30 kN m/rad", {"LR.brake_rate": 30e3, "RR.brake_rate": 30e3, "LF.brake_rate": None}),
    ("tyres.front.contact_half_length", "70 mm", {"LF.tyre_contact": 0.07, "RF.tyre_contact": 0.07}),
    ("tyres.rear.vertical_loss", "0.5 ms", {"RR.tyre_loss": 5e-4, "RF.tyre_loss": None}),
    ("front.bump_stop.loss", "3 ms", {"front.left.spring.bump_stop.loss": 3e-3}),
    ("rear.drive_link.loss", "0.2 ms", {"rear.drive_link.drive.loss": 2e-4}),
    ("rear.brake_link.loss", "3 ms", {"rear.brake_link.brake.loss": 3e-3}),
]


@pytest.mark.parametrize(("key", "text", "expected"), STATED, ids=[key for key, _, _ in STATED])
def test_what_is_stated_reaches_the_values_and_nothing_else_does(key, text, expected):
    _, values = describe(changed(put(key, text)))
    assert {path: values.get(path) for path in expected} == pytest.approx(expected)


def test_what_is_left_out_is_left_to_the_model():
    changes = [without(f"driveline.{key}") for key in ("gear", "engine_inertia", "clutch_capacity", "half_shaft_rate")]
    _, values = describe(changed(*changes, without("driveline.engine_braking")))
    words = ("gear", "engine", "clutch", "shaft_rate", "brake_rate", "contact", "loss", "belt")
    assert not [path for path in values if path.rsplit(".", 1)[1].startswith(words)]


LEFT_OUT = [
    (Driveline, "gear", "share", motion.GEAR),
    (Driveline, "engine_inertia", "inertia", motion.ENGINE_INERTIA),
    (Driveline, "clutch_capacity", "torque", motion.CLUTCH),
    (Driveline, "half_shaft_rate", "torsional stiffness", motion.HALF_SHAFT_RATE),
    (WheelPair, "brake_rate", "torsional stiffness", motion.BRAKE_RATE),
    (Casing, "contact_half_length", "length", motion.CONTACT_LENGTH),
    (Stop, "loss", "time", LOSS["stop"]),
    (LinkEnds, "loss", "time", LOSS["drive_link"]),
    (LinkEnds, "loss", "time", LOSS["compliant"]),
]


@pytest.mark.parametrize(("table", "key", "kind", "value"), LEFT_OUT)
def test_the_schema_says_what_the_model_takes_when_a_key_is_left_out(table, key, kind, value):
    words = table.model_fields[key].description
    said = re.search(r"; ([^;,]*) when left out", words)
    assert said, words
    assert parse(said[1], kind).value == pytest.approx(value)


def test_the_bumper_s_own_loss_is_said_too():
    assert f"{LOSS['brake_link'] * 1e3:g} ms of a bumper" in str(LinkEnds.model_fields["loss"].description)


def test_belts_are_on_every_wheel():
    mechanism, values = describe(changed(put("tyres.front.belt", BELT), put("tyres.rear.belt", BELT)))
    assert mechanism.belt
    assert not describe(changed())[0].belt
    for wheel in mechanism.wheels:
        found = [values[f"{wheel}.belt_{key}"] for key in BELT]
        assert found == [12e3, 25.0, 0.5]


def test_loss_of_a_link_that_gives():
    car = changed(put("rear.links.0.stiffness", "30 kN/mm"), put("rear.links.0.loss", "0.4 ms"))
    values = describe(car)[1]
    assert values["rear.lower_left.compliant.loss"] == values["rear.lower_right.compliant.loss"] == pytest.approx(4e-4)


# --- what no body, wheel or link can be ------------------------------------------------------------------------


def inertia(path, roll, pitch, yaw):
    sizes = {"roll": roll, "pitch": pitch, "yaw": yaw}
    return put(f"masses.{path}.inertia", {axis: f"{size} kg m^2" for axis, size in sizes.items()})


IMPOSSIBLE = [
    (put("masses.axle.mass", "-3 kg"), "masses.axle.mass", '"-3 kg"', "the sign"),
    (put("masses.sprung.mass", "0 kg"), "masses.sprung.mass", '"0 kg"', "check the unit"),
    (put("masses.sprung.inertia.yaw", "-5 kg m^2"), "masses.sprung.inertia.yaw", '"-5 kg m^2"', "the sign"),
    (put("driveline.engine_inertia", "-0.1 kg m^2"), "driveline.engine_inertia", '"-0.1 kg m^2"', "the sign"),
    (inertia("sprung", 340, 1400, 1900), "masses.sprung.inertia", "yaw inertia 1900 kg m^2", "check `yaw`"),
    (inertia("sprung", 1800, 700, 900), "masses.sprung.inertia", "roll inertia 1800 kg m^2", "check `roll`"),
    (inertia("axle", 33, 2.6, 60), "masses.axle.inertia", "yaw inertia 60 kg m^2", "check `yaw`"),
    (inertia("front_corner", 0.5, 0.6, 0.5), "masses.front_corner.inertia", "pitch inertia 1.8", "check `pitch`"),
    (put("tyres.front.belt", BELT), "tyres.rear.belt", "a belt at one end alone", "add [tyres.rear.belt]"),
    (put("rear.links.0.loss", "1 ms"), "rear.links[1].loss", "a loss in a rigid link", "add `stiffness`"),
    (put("rear.drive_link.loss", "3 s"), "rear.drive_link.loss", '"3 s"', "check the unit"),
]


@pytest.mark.parametrize(("change", "path", "found", "fix"), IMPOSSIBLE)
def test_what_can_not_be_is_one_clear_sentence(change, path, found, fix):
    problem = the_problem(change)
    assert problem.path == path
    assert found in problem.found
    assert fix in problem.fix


def test_a_belt_is_lighter_than_its_wheel():
    heavy = BELT | {"inertia": "1.2 kg m^2"}  # all of the wheel's spin inertia
    problem = the_problem(put("tyres.front.belt", BELT), put("tyres.rear.belt", heavy))
    assert (problem.path, problem.found) == ("tyres.rear.belt.inertia", "1.2 kg m^2")


def test_a_flat_disc_is_the_limit_and_is_allowed():
    """A disc has twice the inertia about its axis that it has about a diameter (any text on rigid bodies): a corner of
    nothing but a flat wheel, 1.2 kg m2 about its axle, has 0.6 about the others.
    """
    assert changed(inertia("front_corner", 0.6, 0.001, 0.6)).masses.front_corner.inertia is not None


# --- how much damping there is ---------------------------------------------------------------------------------

PRACTICE = (0.5, 0.8)  # of critical at 50 mm/s of the damper: common practice, no source
HAND = 0.01  # relative; motion ratio and masses of the hand sum are given to three figures


def ratios(car):
    mechanism, values = describe(car)
    return damping_ratios(car, (front_end(mechanism, values), rear_end(mechanism, values)))


def test_teasel_s_damping_ratios_by_hand():
    """c / (2 sqrt(k m)), Rao, Mechanical Vibrations, ch. 2 (from memory). 4.2 kN s/m at each wheel, rates 46.1 and 41.7
    N/mm (the design); 985 kg sprung, its centre 1.234 m behind the front axle of 2.75 m: 543 and 442 kg on two wheels.
    """
    by_hand = [4200 / (2 * np.sqrt(rate * mass / 2)) for rate, mass in ((46.1e3, 543), (41.7e3, 442))]
    by_hand[1] *= 0.997**2  # the rear's 4.2 kN s/m is stated at the damper
    assert ratios(load("teasel")) == pytest.approx(by_hand, rel=HAND)


@pytest.mark.parametrize("name", DEMO_CARS)
def test_demo_cars_are_damped_as_practice_has_it(name):
    for ratio in ratios(load(name)):
        assert PRACTICE[0] <= ratio <= PRACTICE[1]
    assert check(name).warnings == ()


def test_force_at_clicks_between_measured_ones():
    """4 of 2 to 8 clicks is a third of the way in compression, 6 two thirds in rebound; 50 mm/s half of the way."""
    _, values = describe(changed(put("front.damper.damping", TABLE)))
    compression, rebound = (400 - 200 / 3) / 2, (600 - 300 * 2 / 3) / 2
    assert damping_force(values, "front.left.spring.damping", SLOW) == pytest.approx((compression + rebound) / 2)


@pytest.mark.parametrize(
    ("path", "what"),
    [
        ("front.damper", "the front wheels"),
        ("rear.damper", "the rear wheels"),
        ("rear.brake_link", "the brake-side link"),
    ],
)
def test_check_says_where_nothing_damps(path, what):
    car = changed(without(f"{path}.damping"))
    (warning,) = sanity_warnings(car, *describe(car))
    assert (warning.path, warning.found) == (f"{path}.damping", f"nothing that damps {what} in motion")
    assert f"add [{path}.damping]" in warning.fix


def test_check_says_when_damping_is_out_of_the_ordinary():
    slipped = ["0 m/s", "0.005 m/s", "0.025 m/s", "0.1 m/s"]  # by a decimal point
    car = changed(put("rear.damper.damping.speeds", slipped))
    (warning,) = sanity_warnings(car, *describe(car))
    assert warning.path == "rear.damper.damping"
    assert "damping ratio at 50 mm/s of the damper" in warning.found
