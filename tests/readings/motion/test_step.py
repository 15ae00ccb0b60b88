"""ISO 7401's numbers of a steering step, against the linear bicycle's step response in closed form (V8.4 with V2.3)."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from scipy.optimize import brentq

from axlewright.readings.motion import motion_readings, unsettled
from tests.readings.motion.bicycle import CARS
from tests.readings.motion.signals import run_of, second_order

SPEED, RAMP, BEGINS = 20.0, 0.15, 0.1
TIME = np.linspace(0.0, 4.0, 401)  # what `step_steer` saves
SETTLING = 1e-4  # exp(-4.9 x 3.3 s): what is left of the swing where it is taken as settled
BETWEEN = 5e-4  # s; straight lines and parabolas between moments 10 ms apart
CORNER = 5e-3  # s or share; a parabola moves the corner of two straight lines by up to half of 10 ms, and rounds it
WHEN_PEAKS = 2e-3  # s; a parabola through three moments of a peak with unequal flanks


@pytest.mark.parametrize(
    ("car", "gain", "eigenvalue"), [("A", 3.0609, -4.8914 + 5.1114j), ("B", 3.8227, -6.6294 + 5.5273j)]
)
def test_bicycle_is_the_published_one(car, gain, eigenvalue):
    """V2.3: yaw gain and eigenvalues at 20 m/s, recomputed there from the published inputs to five figures."""
    system, _ = CARS[car].matrices(SPEED)
    assert abs(CARS[car].respond(SPEED, 0.0)[0, 0]) == pytest.approx(gain, rel=2e-5)
    assert max(np.linalg.eigvals(system), key=np.imag) == pytest.approx(eigenvalue, rel=2e-5)


def stepped(car, sign=1.0):
    """Readings of a step, and the response between its moments."""
    (yaw_rate, ay, sideslip), steer = CARS[car].ramped(SPEED, TIME - BEGINS, RAMP)
    run = run_of(
        TIME, "steer", begins=BEGINS, rack=sign * steer, yaw_rate=sign * yaw_rate, ay=sign * ay,
        sideslip=sign * sideslip,
    )  # fmt: skip
    assert not unsettled(run).any()
    return {key: float(reading.read(run)[0]) for key, reading in motion_readings(run).items()}


def exactly(car, row, steady):
    """Response time, peak time and overshoot by root finding on the closed form, from half of the ramp on."""

    def value(t):
        return CARS[car].ramped(SPEED, np.array([t]), RAMP)[0][row][0] / steady

    fine = np.linspace(0.0, 2.0, 20001)
    all_of_it = CARS[car].ramped(SPEED, fine, RAMP)[0][row] / steady
    first = fine[np.argmax(all_of_it >= 0.9)]
    response: Any = brentq(lambda t: value(t) - 0.9, first - 1e-3, first + 1e-3)
    return response - RAMP / 2, fine[np.argmax(all_of_it)] - RAMP / 2, all_of_it.max() - 1.0


@pytest.mark.parametrize("sign", [1.0, -1.0], ids=["left", "right"])
@pytest.mark.parametrize("car", CARS)
def test_step_of_a_linear_bicycle(car, sign):
    found, steady = stepped(car, sign), np.real(CARS[car].respond(SPEED, 0.0)[:, 0])
    for row, field in ((0, "yaw_rate"), (1, "ay")):
        response, peak, overshoot = exactly(car, row, steady[row])
        assert found[f"{field}_response"] == pytest.approx(response, abs=BETWEEN)
        assert found[f"{field}_overshoot"] == pytest.approx(overshoot, abs=5 * SETTLING)
        if overshoot > 2e-3:  # a flatter top has no moment of its own
            assert found[f"{field}_peak_time"] == pytest.approx(peak, abs=WHEN_PEAKS)
    assert found["yaw_gain"] == pytest.approx(steady[0], rel=SETTLING)
    assert found["ay_gain"] == pytest.approx(steady[1], rel=SETTLING)
    assert found["sideslip_gain"] == pytest.approx(steady[2], rel=5 * SETTLING)
    # V8.4: TB factor = peak yaw response time x steady sideslip.
    assert found["tb_factor"] == pytest.approx(exactly(car, 0, steady[0])[1] * abs(steady[2]), rel=0.01)


@pytest.mark.parametrize("damping", [0.3, 0.5, 0.7])
def test_overshoot_and_peak_time_of_a_second_order_step(damping):
    """exp(-pi z / sqrt(1 - z^2)) at pi / (w sqrt(1 - z^2)) (any text on control; Ogata, from memory)."""
    frequency = 6.0
    yaw_rate = second_order(TIME - BEGINS, damping, frequency)
    rack = (TIME > BEGINS + 1e-9).astype(float)  # half of the change is made half a moment late
    run = run_of(TIME, "steer", begins=BEGINS, rack=rack, yaw_rate=yaw_rate)
    found = motion_readings(run)
    root = np.sqrt(1.0 - damping**2)
    assert found["yaw_rate_overshoot"].read(run)[0] == pytest.approx(np.exp(-np.pi * damping / root), abs=2e-3)
    peak = np.pi / (frequency * root) - 0.5 * (TIME[1] - TIME[0])
    assert found["yaw_rate_peak_time"].read(run)[0] == pytest.approx(peak, abs=WHEN_PEAKS)


def test_the_first_peak_counts_not_the_highest():
    """ISO 7401 takes the first; a second one, higher, comes later here."""
    shape = np.interp(TIME, [0.0, 0.1, 0.4, 0.7, 1.0, 1.3, 4.0], [0.0, 0.0, 1.1, 0.95, 1.2, 1.0, 1.0])
    run = run_of(TIME, "steer", begins=BEGINS, rack=np.clip((TIME - BEGINS) / RAMP, 0, 1), yaw_rate=shape, ay=shape)
    found = motion_readings(run)
    assert found["yaw_rate_peak_time"].read(run)[0] == pytest.approx(0.3 - RAMP / 2, abs=CORNER)
    assert found["yaw_rate_overshoot"].read(run)[0] == pytest.approx(0.1, abs=CORNER)


def test_no_peak_has_no_peak_time():
    lag = 1.0 - np.exp(-np.maximum(TIME - BEGINS, 0.0) / 0.2)
    run = run_of(TIME, "steer", begins=BEGINS, rack=np.clip((TIME - BEGINS) / RAMP, 0, 1), yaw_rate=lag, ay=lag)
    found = motion_readings(run)
    assert np.isnan(found["yaw_rate_peak_time"].read(run)[0])
    assert found["yaw_rate_overshoot"].read(run)[0] == 0.0
    assert found["yaw_rate_response"].read(run)[0] == pytest.approx(0.2 * np.log(10) - RAMP / 2, abs=BETWEEN)


def test_what_still_swings_is_not_settled():
    """A slow swing whose top lies in the middle of the end of the run: both halves have the same mean."""
    slow = second_order(TIME - BEGINS, 0.02, 2 * np.pi * 0.5)
    top = np.linspace(0.0, 3.4, 401)  # the end, 15 % of it, lies around t = 3.1 s, the second peak
    run = run_of(top, "steer", begins=BEGINS, rack=np.clip((top - BEGINS) / RAMP, 0, 1), yaw_rate=slow, ay=slow)
    assert unsettled(run).all()
    swinging = run_of(
        top, "steer", begins=BEGINS, rack=np.clip((top - BEGINS) / RAMP, 0, 1),
        yaw_rate=second_order(top - BEGINS, 0.02, 2 * np.pi * 0.5),
    )  # fmt: skip
    assert np.isnan(motion_readings(swinging)["yaw_gain"].read(swinging)).all()
