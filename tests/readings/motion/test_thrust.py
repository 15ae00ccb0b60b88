"""Thrust and tyre demand after a torque step, against first- and second-order steps in closed form."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.readings.motion import motion_readings
from tests.readings.motion.signals import run_of, second_order

TIME, BEGINS, STEP = np.linspace(0.0, 2.0, 401), 0.1, 0.005  # what a hit saves
TRAPEZOID = (
    5e-4  # of the thrust: chords of a curve between moments 5 ms apart, at 20 ms lag (STEP / lag)^2 / 12 = 0.5 %
)
DRIVEN = 2  # wheels


def thrust_run(kind, share, *, level=4000.0, use=0.5):
    sign = -1.0 if kind == "brake" else 1.0
    wheels = DRIVEN if kind == "drive" else 4
    return run_of(TIME, kind, begins=BEGINS, longitudinal=sign * level / wheels * share, use=use * share)


def read(run, key):
    return float(motion_readings(run)[key].read(run)[0])


@pytest.mark.parametrize("kind", ["drive", "brake"])
@pytest.mark.parametrize("lag", [0.04, 0.12])
def test_thrust_of_a_first_order_lag(kind, lag):
    """F = F1 (1 - exp(-t/T)): 95 % at T ln 20, and over a time t the share T/t (1 - exp(-t/T)) is lost."""
    run = thrust_run(kind, 1.0 - np.exp(-np.maximum(TIME - BEGINS, 0.0) / lag))
    for within in (0.1, 0.3, 1.0):
        expected = lag / within * (1.0 - np.exp(-within / lag))
        assert read(run, f"thrust_lost_{within:g}") == pytest.approx(expected, abs=2 * TRAPEZOID)
    late = read(run, "time_to_full_grip") - lag * np.log(20.0)
    assert 0.0 <= late <= STEP + 1e-9  # the first moment at which it is there
    assert read(run, "overshoot") == pytest.approx(0.0, abs=1e-3)
    assert read(run, "settled_demand") == pytest.approx(0.5, rel=1e-4)


@pytest.mark.parametrize("damping", [0.2, 0.4, 0.6])
def test_overshoot_of_a_second_order_step(damping):
    """exp(-pi z / sqrt(1 - z^2)) (any text on vibration or control)."""
    run = thrust_run("drive", second_order(TIME - BEGINS, damping, 40.0))
    expected = np.exp(-np.pi * damping / np.sqrt(1.0 - damping**2))
    missed = 0.5 * (40.0 * STEP / 2) ** 2  # the largest of moments 5 ms apart is at most half of one beside the top
    assert read(run, "overshoot") == pytest.approx(expected, abs=missed)
    assert read(run, "demand_overshoot") == pytest.approx(expected, abs=missed)
    assert read(run, "peak_demand") == pytest.approx(0.5 * (1 + expected), abs=missed)
    assert read(run, "peak_demand_rear") == read(run, "peak_demand")


def test_full_grip_is_only_there_when_it_stays():
    """Full, then gone over a wet patch for 0.3 s, then full again: full grip is there when the patch is behind."""
    share = ((TIME >= BEGINS) & ~((TIME > 0.5) & (TIME < 0.8 - 1e-9))).astype(float)
    assert read(thrust_run("drive", share), "time_to_full_grip") == pytest.approx(0.8 - BEGINS, abs=1e-9)


def test_time_beyond_the_peak():
    past = ((TIME > 0.3) & (TIME < 0.7)).astype(float)
    run = run_of(TIME, "drive", begins=BEGINS, past_peak=past)
    assert read(run, "past_peak") == pytest.approx(0.4, abs=STEP)


def test_what_a_run_is_too_short_to_tell_is_not_told():
    short = TIME[:160]  # to 0.795 s
    run = run_of(short, "drive", begins=BEGINS, longitudinal=np.where(short >= BEGINS, 1000.0, 0.0))
    assert np.isfinite(read(run, "thrust_lost_0.3"))
    assert np.isnan(read(run, "thrust_lost_1"))


def test_only_driven_wheels_are_asked_when_driving():
    force = np.zeros((len(TIME), 4, 1))
    force[:, 2:], force[:, :2] = np.where(TIME >= BEGINS, 500.0, 0.0)[:, None, None], -900.0
    use = np.zeros_like(force)
    use[:, 2:], use[:, :2] = 0.3, 0.9
    run = run_of(TIME, "drive", begins=BEGINS, longitudinal=force, use=use)
    assert read(run, "peak_demand") == pytest.approx(0.3)
    assert read(run, "thrust_lost_0.3") == pytest.approx(0.0, abs=1e-12)
    assert "peak_demand_front" not in motion_readings(run)
