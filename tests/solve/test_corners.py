"""Cars on four independent corners: how they stand and are held, and what their own adjusters do when solved.

The geometric numbers of `check` are plain numpy on the drawn links; the readings are taken off solved states: two ways
to the same number.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from axlewright.car.adjusters import adjusters_of
from axlewright.car.checks.kinematics import front_end, located, motion, rear_end, side_view
from axlewright.car.checks.linkage import wheel_heights
from axlewright.car.checks.weights import expected_weights
from axlewright.car.describe import describe
from axlewright.readings import readings_of
from axlewright.solve.poses import grid
from axlewright.solve.results import Result
from axlewright.solve.solved import Solved
from axlewright.solve.travel import travel
from axlewright.solve.verbs import hold, rest
from axlewright.units import GRAVITY
from tests.cars import DUNNOCK, SORREL, Demo

CARS = pytest.mark.parametrize("demo", [DUNNOCK, SORREL], ids=lambda demo: demo.name)
SAME = 2e-5  # relative: the check takes the contact centre below the axle, which 0.1 deg of toe moves by 20 um of 10 mm
SLOPE = 2e-3  # relative: a difference quotient over 1 mm of bump, curvature of links of 0.3 m
STATICS = 0.01  # N; the check takes the contact centre below the axle, 10 um off it with toe, on 2.6 m of wheelbase
# Relative: the hand turns the upright about its lower joint. On its wheels the car also settles; in front the tie rod
# steers the wheel meanwhile, whose caster takes back a tenth.
HANDED = 0.1


@cache
def setup_at_rest(demo: Demo, adjuster: str, counts: float) -> Solved:
    found = adjusters_of(demo.car)[adjuster]
    return rest(demo.car, {adjuster: found.position + counts})


def read(demo: Demo, reading: str, solved: Solved) -> np.ndarray:
    return np.asarray(readings_of(demo.machine)[reading].read(solved))


@CARS
def test_it_stands_as_statics_say(demo: Demo):
    assert demo.rest.result[0] == Result.SOLVED
    loads = demo.rest.wheel("load")[:, 0]
    np.testing.assert_allclose(loads, expected_weights(demo.car) * GRAVITY, atol=STATICS)
    for name in ("heave", "pitch", "roll"):
        assert demo.rest.border(name)[0] == pytest.approx(0.0, abs=1e-9)


@CARS
def test_it_holds_all_its_phases_alike_to_both_sides(demo: Demo):
    held = demo.held
    assert (held.result == Result.SOLVED).all()
    load = held.wheel("load")
    np.testing.assert_allclose(load[:, ::2], load[[1, 0, 3, 2], 1::2], rtol=1e-6)  # left turns mirrored; scaled 1e-9 kN
    for reading in readings_of(demo.machine).values():
        if reading.held:
            assert np.asarray(reading.read(held)).shape[-1] == held.batch, reading.id


@CARS
def test_readings_at_rest_are_the_geometry_of_the_drawn_car(demo: Demo):
    mechanism, values = describe(demo.car)
    for end, drawn in (("front", front_end(mechanism, values)), ("rear", rear_end(mechanism, values))):
        assert read(demo, f"roll_centre_height_{end}", demo.rest)[0] == pytest.approx(drawn.roll_centre, rel=SAME)
    for case, end, active, sign in (("drive", "rear", "drive_link", 1), ("brake", "rear", "brake_link", 1)):
        slope = side_view(mechanism, values, end, active).slope
        assert read(demo, f"side_view_slope_{case}", demo.rest)[0] == pytest.approx(sign * slope, rel=SAME)


@CARS
def test_wheels_steer_and_lean_through_bump_as_drawn(demo: Demo):
    """How the spin axis turns: difference quotient of the travel solve against plain numpy on the drawn links."""
    mechanism, values = describe(demo.car)
    step = 1e-3
    moved = travel(demo.car, grid(bump=[-step, step]))
    assert moved.reached.all()
    axis = moved.solved.wheel("axis")
    for end, wheel in (("front", 0), ("rear", 2)):
        corner = located(mechanism, values, end)
        rows = wheel_heights(corner, corner.drawn())[1]
        spin = corner.spin("upright") @ motion(corner, corner.drawn(), rows, np.ones(1))
        slope = np.diff(axis[:, wheel])[:, 0] / (2 * step)
        expected = np.cross(spin, axis[:, wheel].mean(axis=1))
        np.testing.assert_allclose(slope, expected, atol=SLOPE * np.abs(expected).max())


@pytest.mark.parametrize(
    ("demo", "adjuster", "counts", "reading", "change"),
    [
        (DUNNOCK, "camber_LF", 0.5, "camber_LF", np.radians(0.5)),
        (DUNNOCK, "camber_LR", 0.5, "camber_LR", np.radians(0.5)),
        (SORREL, "camber_LF", 0.5, "camber_LF", np.radians(0.5)),  # camber plate
        (SORREL, "camber_LR", 0.5, "camber_LR", np.radians(0.5)),
        (SORREL, "caster_LF", 1.0, "caster_LF", np.radians(1.0)),
        (DUNNOCK, "toe_rear", 1.0, "toe_rear", 1e-3 / 0.600),  # mm across twice the loaded radius
        (SORREL, "toe_rear", 1.0, "toe_rear", 1e-3 / 0.616),
        (SORREL, "toe_front", 1.0, "toe_front", 1e-3 / 0.616),
    ],
)  # fmt: skip
def test_an_alignment_step_is_as_large_as_it_says(demo, adjuster, counts, reading, change):
    found = read(demo, reading, setup_at_rest(demo, adjuster, counts)) - read(demo, reading, demo.rest)
    assert found[0] == pytest.approx(change, rel=HANDED)


@CARS
def test_camber_at_an_independent_rear_leaves_its_toe(demo: Demo):
    toe = read(demo, "steer_LR", setup_at_rest(demo, "camber_LR", 0.5)) - read(demo, "steer_LR", demo.rest)
    assert abs(toe[0]) < HANDED * np.radians(0.5)


def test_longer_push_rods_lift_the_nose():
    lifted = setup_at_rest(DUNNOCK, "rod_front", 2.0)
    assert lifted.border("heave")[0] > 1e-3  # two turns of 1.25 mm, at about 0.6 of wheel travel
    assert lifted.border("roll")[0] == pytest.approx(0.0, abs=1e-9)


def test_a_third_spring_is_felt_in_heave_and_not_in_roll():
    """Twice its rate: the nose of the fast corner sinks less and rolls as before, but for what sinking changes."""
    phase = next(p for p in DUNNOCK.car.phases if p.name == "fast corner")
    now = adjusters_of(DUNNOCK.car)["third_spring_front"].position
    soft, stiff = (
        hold(DUNNOCK.car, [(phase, "left")], {"third_spring_front": rate}) for rate in (0.5 * now, 2.0 * now)
    )
    sunk, less = (-read(DUNNOCK, "ride_height_LF", s)[0] - read(DUNNOCK, "ride_height_RF", s)[0] for s in (soft, stiff))
    assert less < sunk - 2e-3
    rolls = [float(s.border("roll")[0]) for s in (soft, stiff)]
    assert rolls[1] == pytest.approx(rolls[0], rel=0.03)
