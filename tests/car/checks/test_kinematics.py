"""Geometry of the drawn car against the design's independently calculated numbers and closed forms."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.car.checks.kinematics import End, front_end, rear_end, side_view, wheel_turns
from axlewright.car.checks.load_transfer import frequencies, roll_and_transfer, whole_car
from axlewright.car.checks.rest_statics import drive_link_tension
from axlewright.car.checks.sanity import sanity_warnings
from axlewright.car.describe import describe
from axlewright.car.file import load
from axlewright.car.schema import Car
from tests.car.tables import changed, put

PER_DEGREE = np.pi / 180

# The design's table was calculated with bars of 30 and 12 N/mm where the bars' dimensions give 30.7 and 11.8.
BARS = 0.025


def ends(car: Car) -> tuple[End, End]:
    described = describe(car)
    return front_end(*described), rear_end(*described)


@pytest.mark.parametrize(
    ("reading", "value", "last_digit"),
    [
        (lambda f, r: f.roll_centre, 0.041, 0.001),
        (lambda f, r: r.roll_centre, 0.259, 0.001),
        (lambda f, r: 100 * r.roll_steer, 1.6, 0.1),
        (lambda f, r: f.motion_ratio, 0.697, 0.001),
        (lambda f, r: r.motion_ratio, 0.997, 0.001),
        (lambda f, r: f.wheel_rate / 1e3, 46.1, 0.1),
        (lambda f, r: r.wheel_rate / 1e3, 41.7, 0.1),
        (lambda f, r: f.spring_roll_stiffness * PER_DEGREE, 980, 1),
        (lambda f, r: r.spring_roll_stiffness * PER_DEGREE, 309, 1),
    ],
)
def test_teasel_agrees_with_the_calculated_numbers_to_the_digits_shown(reading, value, last_digit):
    assert reading(*ends(load("teasel"))) == pytest.approx(value, abs=0.51 * last_digit)


def test_bars_add_the_calculated_roll_stiffness():
    front, rear = ends(load("teasel"))
    assert front.bar_roll_stiffness * PER_DEGREE == pytest.approx(443, rel=BARS)
    assert rear.bar_roll_stiffness * PER_DEGREE == pytest.approx(177, rel=BARS)


def test_anti_effects_of_teasel_agree_with_the_calculated_ones():
    car = load("teasel")
    described, whole = describe(car), whole_car(car)
    scale, share = 100 * whole.wheelbase / whole.centre[2], car.brakes.front_share.value
    drive, brake = (side_view(*described, "rear", link) for link in ("drive_link", "brake_link"))
    assert scale * drive.slope == pytest.approx(72, abs=0.5)
    assert scale * (1 - share) * brake.slope == pytest.approx(33.5, abs=0.05)
    assert scale * brake.slope == pytest.approx(105, abs=0.5)
    assert brake.swing_arm == pytest.approx(1.25, abs=0.005)
    # The table has 14.8; a contact point 13 mm further in (no camber) gives 14.8, one moved by camber 14.7.
    assert -scale * share * side_view(*described, "front").slope == pytest.approx(14.8, abs=0.1)
    assert np.degrees(wheel_turns(*described)[0]) * 0.025 == pytest.approx(-0.42, abs=0.005)


def test_weights_and_frequencies_of_teasel_agree_with_the_design():
    car = load("teasel")
    whole = whole_car(car)
    assert whole.mass == pytest.approx(1180.0)
    assert whole.centre[2] == pytest.approx(0.470, abs=0.0005)
    assert 100 * whole.front_share == pytest.approx(52.2, abs=0.05)
    assert frequencies(car, ends(car)) == pytest.approx((2.07, 2.19), abs=0.005)


def test_the_drive_link_of_teasel_carries_135_newtons_at_rest():
    """Hand statics of the design; a spring eye moved 11 mm ahead takes it all away."""
    car = load("teasel")
    whole = whole_car(car)
    load_on_axle = whole.mass * 9.81 * (1 - whole.front_share)
    tension = drive_link_tension(*describe(car), load_on_axle)
    assert tension == pytest.approx(135, abs=1.0)
    ahead = changed(
        put("rear.spring.moving", [-2.739, 0.460, 0.270]), put("rear.spring.chassis", [-2.729, 0.420, 0.740])
    )
    moved = drive_link_tension(*describe(ahead), load_on_axle)
    assert moved is not None
    assert abs(moved) < 15  # a millimetre of spring eye is worth 12 N


def test_hand_formulas_of_roll_and_transfer():
    """Suspension roll 2.01/2.09 deg/g and 55.8 % front share were calculated at 1 g with tyres and large angles."""
    car = load("teasel")
    roll, share = roll_and_transfer(car, ends(car))
    assert np.degrees(roll) == pytest.approx(2.05, rel=0.12)
    assert 100 * share == pytest.approx(55.8, abs=0.5)


def test_lever_arms_of_a_sloped_panhard_rod():
    """The roll centre is the rod's height where it crosses the centre plane (a closed form, V4.1 of the checks)."""
    car = load("bramble")
    rod = getattr(car.rear, "panhard", None)
    assert rod is not None
    a, b = rod.chassis.xyz, rod.axle.xyz
    height = a[2] - a[1] * (b[2] - a[2]) / (b[1] - a[1])
    # The roll axis rises rearward by axle steer, and the rod is 127 mm behind the axle.
    end = ends(car)[1]
    behind = car.rear.wheel_centre.x - a[0]
    assert end.roll_centre + end.roll_steer * behind == pytest.approx(height, abs=0.001)


def test_raising_the_watt_pivot_raises_the_roll_centre_by_as_much():
    """The design: 10 mm of pivot = 9.7 mm of roll centre."""
    up = {
        "pivot": [-2.950, 0.0, 0.272],
        "left_arm": [-2.950, 0.0, 0.362],
        "right_arm": [-2.950, 0.0, 0.182],
    }
    base, raised = (
        ends(car)[1].roll_centre
        for car in (load("teasel"), changed(*(put(f"rear.watt.{k}", v) for k, v in up.items())))
    )
    assert raised - base == pytest.approx(0.0097, abs=0.0005)


def unusual(*changes, name: str = "teasel") -> list[tuple[str, str]]:
    """(path, what was found) of every warning."""
    car = changed(*changes, name=name)
    return [(warning.path, warning.found) for warning in sanity_warnings(car, *describe(car))]


def test_the_demo_cars_are_within_common_practice():
    assert unusual() == []
    assert unusual(name="bramble") == []


@pytest.mark.parametrize(
    ("changes", "path", "found"),
    [
        ([put("rear.spring.rate", "200 N/mm")], "rear.spring", "ride frequency on wheel rate 4.77 Hz"),
        ([put("front.spring.rate", "20 N/mm")], "front.spring", "wheel rate 9.7 N/mm"),
        ([put("front.bar.diameter", "40 mm")], "front.bar", "front load-transfer share less front weight share"),
        (
            [put("front.spring.rate", "250 N/mm"), put("front.bar.diameter", "45 mm")],
            "front.bar",
            "share less front weight",
        ),
        ([put("rear.drive_link.chassis", [-2.2, -0.15, 0.40])], "rear", "anti-squat"),
        (
            [put("rear.brake_link.chassis", [-2.2, 0, 0.32]), put("rear.brake_link.longest", "650 mm")],
            "rear",
            "anti-lift",
        ),
        ([put("rear.links.0.chassis", [-2.1, 0.47, 0.32])], "rear.links", "axle steer"),
        ([put("front.tie_rod.upright", [0.135, 0.68, 0.27])], "front.tie_rod", "bump steer per 25 mm"),
        ([put("scales.cross_weight", "53 %")], "scales", "cross weight (right front + left rear) 53.00 %"),
        ([put("brakes.front_share", "90 %")], "brakes.front_share", "front brake share 90 %"),
        ([put("rear.watt.screw", "12 mm/turn")], "rear.watt.screw", "pivot height per turn 12.00 mm"),
        ([put("rear.drive_link.rate", "900 N/mm")], "rear.drive_link.rate", "spring rate 900 N/mm"),
        ([put("rear.drive_link.travel", "60 mm")], "rear.drive_link.travel", "travel 60 mm"),
        ([put("rear.drive_link.preload", "9 kN")], "rear.drive_link.preload", "preload 9.00 kN"),
        ([put("rear.drive_link.preload", "100 N")], "rear.drive_link.preload", "above the preload"),
        ([put("rear.brake_link.gas_force", "2 kN")], "rear.brake_link.gas_force", "gas force 2000 N"),
        ([put("rear.brake_link.gap", "30 mm")], "rear.brake_link.gap", "gap 30.0 mm"),
        ([put("rear.brake_link.bumper_rate", "20 N/mm")], "rear.brake_link.bumper_rate", "bumper rate 20 N/mm"),
        ([put("rear.spring.moving", [-2.70, 0.46, 0.27])], "rear.drive_link", "the link is slack"),
        ([put("tyres.front.vertical_rate", "90 N/mm")], "tyres.front.vertical_rate", "vertical rate 90 N/mm"),
        (
            [put("tyres.rear.slip_angle_peak", "20 deg")],
            "tyres.rear.slip_angle_peak",
            "slip angle at the peak 20.0 deg",
        ),
        ([put("tyres.rear.slip_ratio_peak", 0.3)], "tyres.rear.slip_ratio_peak", "slip ratio at the peak 30.0 %"),
        ([put("tyres.rear.grip_drop", "0.2 1/kN")], "tyres.rear.grip_drop", "fall of grip 0.200 per kN"),
        ([put("tyres.front.grip", 2.5)], "tyres.front.grip", "grip 2.50"),
    ],
)
def test_numbers_outside_common_practice_are_warned_about(changes, path, found):
    warnings = unusual(*changes)
    assert any(where == path and found in text for where, text in warnings), warnings


def test_chassis_torsion_outside_common_practice():
    chassis = {"torsion_stiffness": "1 kN m/deg", "torsion_height": "0.3 m"}
    assert unusual(put("chassis", chassis)) == [("chassis.torsion_stiffness", "chassis torsion 1.0 kN m/deg")]


def test_roll_centres_outside_common_practice():
    high = {"pivot": [-2.95, 0, 0.6], "left_arm": [-2.95, 0, 0.69], "right_arm": [-2.95, 0, 0.51]}
    warnings = unusual(
        *(put(f"rear.watt.{key}", point) for key, point in high.items()),
        put("rear.watt.left_end", [-2.95, 0.55, 0.69]),
        put("rear.watt.right_end", [-2.95, -0.55, 0.51]),
    )
    assert any(where == "rear" and text.startswith("roll centre 0.5") for where, text in warnings)
    inner = [put(f"front.lower_wishbone.{leg}", [x, 0.29, 0.26]) for leg, x in (("front", 0.14), ("rear", -0.2))]
    assert any(where == "front" and text.startswith("roll centre") for where, text in unusual(*inner))
