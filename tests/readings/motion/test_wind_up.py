"""Wind-up and what torque links go through, against a spring with a damper in closed form."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.readings.motion import motion_readings
from tests.readings.motion.signals import run_of, second_order

TIME, BEGINS = np.linspace(0.0, 2.0, 2001), 0.1
SAMPLED = 2e-3  # of the value: moments 1 ms apart, tops and work between them


def read(run, key):
    return float(motion_readings(run)[key].read(run)[0])


@pytest.mark.parametrize("sign", [1.0, -1.0], ids=["nose up", "nose down"])
def test_wind_up_of_a_second_order_step(sign):
    """Peak 1 + exp(-pi z/sqrt(1-z^2)); fastest at the time acos(z)/wd, w exp(-z acos(z)/sqrt(1-z^2)) (textbooks)."""
    z, w, end = 0.3, 30.0, 0.02 * sign
    wound = end * second_order(TIME - BEGINS, z, w)
    root = np.sqrt(1.0 - z * z)
    t = np.maximum(TIME - BEGINS, 0.0)
    rate = end * w / root * np.exp(-z * w * t) * np.sin(w * root * t)
    run = run_of(
        TIME, "drive", begins=BEGINS, wind_up={"rear.axle": wound}, wind_up_rate={"rear.axle": rate},
    )  # fmt: skip
    assert read(run, "wind_up_peak") == pytest.approx(end * (1.0 + np.exp(-np.pi * z / root)), rel=SAMPLED)
    assert read(run, "wind_up_rate") == pytest.approx(end * w * np.exp(-z * np.arccos(z) / root), rel=SAMPLED)
    assert read(run, "wind_up_settled") == pytest.approx(end, rel=SAMPLED)


def test_energy_of_a_spring_and_damper_driven_by_a_sine():
    """T = k x + c v, x = X sin wt: a whole cycle keeps pi c w X^2 (any text on vibration); without damping all of it
    comes back, twice k X^2 / 2 a cycle.
    """
    k, c, amplitude, w, cycles = 2e5, 900.0, 0.004, 2 * np.pi * 5.0, 10
    x, v = amplitude * np.sin(w * TIME), amplitude * w * np.cos(w * TIME)
    for damping in (0.0, c):
        run = run_of(
            TIME, "drive", tension={"rear.drive_link": k * x + damping * v}, extension={"rear.drive_link": x},
            extension_rate={"rear.drive_link": v},
        )  # fmt: skip
        kept = read(run, "drive_link_in") - read(run, "drive_link_back")
        assert kept == pytest.approx(cycles * np.pi * damping * w * amplitude**2, rel=SAMPLED, abs=1e-6)
        assert read(run, "drive_link_travel") == pytest.approx(2 * amplitude, rel=SAMPLED)
        if not damping:
            assert read(run, "drive_link_back") == pytest.approx(cycles * k * amplitude**2, rel=SAMPLED)


def test_a_link_that_goes_slack_thrice_comes_back_thrice():
    tension = 500.0 - 800.0 * (np.sin(2 * np.pi * 2.0 * TIME) * (TIME < 1.5))
    run = run_of(TIME, "drive", tension={"rear.drive_link": np.maximum(tension, 0.0)})
    assert read(run, "seat_impacts") == 3.0
    assert read(run, "drive_link_least") == 0.0
    assert read(run, "drive_link_peak") == pytest.approx(1300.0, rel=SAMPLED)
    assert read(run, "drive_link_settled") == pytest.approx(500.0)


def test_a_brake_link_pushes():
    pushed = -300.0 - 1200.0 * (TIME > BEGINS)
    run = run_of(TIME, "brake", begins=BEGINS, tension={"rear.brake_link": pushed})
    assert read(run, "brake_link_peak") == read(run, "brake_link_least") == -1500.0
