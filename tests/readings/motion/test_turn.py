"""Braking and lifting off in a turn, against paths in closed form (ISO 7975, ISO 9816; wording from memory)."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.readings.motion import motion_readings
from axlewright.solve.motion.events import Following, cruising, follow, ready, script
from axlewright.solve.motion.going import Event
from tests.cars import TEASEL
from tests.readings.motion.signals import run_of

TIME, BEGINS = np.linspace(0.0, 2.0, 401), 0.1
SPEED, RADIUS, SLOWING = 30.0, 150.0, 4.0
AFTER = np.maximum(TIME - BEGINS, 0.0)
TRAVELLED = 1e-3  # m; chords between moments 5 ms apart over 30 m


def turning(curvature, *, speed, slip=None, sign=1.0):
    """A run along a path whose curvature, 1/m, is known at each moment; sideslip is taken off the course."""
    course_rate = speed * curvature
    course = np.concatenate([[0.0], np.cumsum(0.5 * (course_rate[1:] + course_rate[:-1]) * np.diff(TIME))])
    slip = np.zeros_like(TIME) if slip is None else slip
    return run_of(
        TIME, "turn", begins=BEGINS, speed=speed * np.cos(slip), yaw=sign * (course - slip), sideslip=sign * slip,
        yaw_rate=sign * (course_rate - np.gradient(slip, TIME)),
    )  # fmt: skip


def told(run):
    return {key: float(reading.read(run)[0]) for key, reading in motion_readings(run).items()}


@pytest.mark.parametrize("sign", [1.0, -1.0], ids=["left", "right"])
@pytest.mark.parametrize("slip", [0.0, -0.03])
def test_a_car_that_slows_on_its_circle_deviates_by_nothing(sign, slip):
    run = turning(
        np.full_like(TIME, 1.0 / RADIUS), speed=SPEED - SLOWING * AFTER, slip=np.full_like(TIME, slip), sign=sign
    )
    found = told(run)
    assert found["yaw_ratio"] == pytest.approx(1.0, abs=1e-9)
    assert found["yaw_most"] == pytest.approx(1.0, abs=1e-9)
    assert found["yaw_deviation"] == pytest.approx(0.0, abs=1e-9)
    assert found["path_deviation"] == pytest.approx(0.0, abs=TRAVELLED)
    assert found["sideslip_change"] == pytest.approx(0.0, abs=1e-12)
    assert found["deceleration"] == pytest.approx(SLOWING * np.cos(slip), rel=1e-9)


@pytest.mark.parametrize("sign", [1.0, -1.0], ids=["left", "right"])
@pytest.mark.parametrize("tighter", [0.0, 0.5, 2.0])
def test_a_car_that_changes_to_another_circle(sign, tighter):
    """From radius R to R/n for the angle a = n V t/R: centres R - R/n apart, so cosine rule for the distance."""
    curvature = np.where(TIME > BEGINS, tighter, 1.0) / RADIUS
    found = told(turning(curvature, speed=np.full_like(TIME, SPEED), sign=sign))
    assert found["yaw_ratio"] == pytest.approx(tighter, abs=1e-9)
    assert found["yaw_deviation"] == pytest.approx((tighter - 1.0) * SPEED / RADIUS, abs=1e-9)
    if tighter:
        new, angle = RADIUS / tighter, tighter * SPEED / RADIUS
        apart = RADIUS - new
        away = np.sqrt(apart**2 + new**2 + 2 * apart * new * np.cos(angle))
    else:
        away = np.hypot(RADIUS, SPEED)
    # The change lies between two moments: half a moment's change of course over 30 m.
    between = 0.5 * 0.005 * SPEED / RADIUS * abs(tighter - 1.0) * SPEED
    assert found["path_deviation"] == pytest.approx(RADIUS - away, abs=TRAVELLED + between)
    assert np.sign(found["path_deviation"]) == np.sign(tighter - 1.0)  # inside is positive


def test_a_tail_that_comes_out_is_no_deviation_from_the_path():
    slip = -0.02 - 0.3 * np.clip(AFTER, 0.0, 1.0)
    run = turning(np.full_like(TIME, 1.0 / RADIUS), speed=np.full_like(TIME, SPEED), slip=slip)
    assert told(run)["sideslip_change"] == pytest.approx(0.3, abs=1e-9)
    assert told(run)["path_deviation"] == pytest.approx(0.0, abs=TRAVELLED)


def test_a_run_shorter_than_the_second_says_nothing():
    short = TIME[:200]
    run = run_of(short, "turn", begins=BEGINS, speed=0.0 * short + SPEED, yaw_rate=0.0 * short + 0.2)
    assert all(np.isnan(told(run)[key]) for key in ("yaw_ratio", "yaw_deviation", "path_deviation", "deceleration"))


@pytest.mark.slow
@pytest.mark.parametrize("ay", [5.0, -5.0], ids=["left", "right"])
def test_a_car_to_which_nothing_is_done_stays_on_its_circle(ay):
    """The held state goes on; only its speed falls by 0.03 m/s2, as ax = 0 is meant along the heading, not the path."""
    at = ready(TEASEL.car, None, cruising(SPEED, ay=ay))
    found = told(follow(at, script(at), Event("nothing", "turn", BEGINS), Following()))
    slower = abs(found["deceleration"]) / SPEED  # of the speed in a second: the circle changes by as much
    assert found["yaw_ratio"] == pytest.approx(1.0, abs=slower)
    assert found["path_deviation"] == pytest.approx(0.0, abs=0.5 * abs(ay) * slower)  # of the 2.5 m it turns
    assert found["deceleration"] == pytest.approx(0.03, abs=0.01)
