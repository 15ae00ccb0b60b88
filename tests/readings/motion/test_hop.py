"""Hop and tramp: cycles, frequency and damping ratio of decays that textbooks print, and of loads that ring down.

DA-1 and the like: ids of check values.
"""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.readings.motion import motion_readings
from axlewright.readings.motion.hop import cycles, decay, extremes, pace
from tests.readings.motion.signals import run_of

PRINTED = 1e-3  # three or four figures are printed; parabolas through moments of which a period has hundreds: 1e-5


def ring(time, damping, frequency, phase=0.0):
    """exp(-z w t) cos(wd t + phase), w in rad/s."""
    return np.exp(-damping * frequency * time) * np.cos(frequency * np.sqrt(1.0 - damping**2) * time + phase)


def test_shock_absorber_of_a_motorcycle():
    """DA-1: Rao, Mechanical Vibrations, ex. 2.14: damped period 2 s, amplitude quartered per half cycle:
    d = ln 16 = 2.7726, zeta = 0.4037, w = 3.4338 rad/s.
    """
    time = np.linspace(0.0, 8.0, 1601)
    found = extremes(time, ring(time, 0.403713, 3.433863, phase=-np.pi / 2), 1e-4)
    assert decay(found) == pytest.approx(0.4037, rel=PRINTED)
    assert pace(found) == pytest.approx(0.5, rel=PRINTED)
    assert found[1][0] / abs(found[1][1]) == pytest.approx(4.0, rel=PRINTED)


def test_released_mass():
    """DA-2: Meriam 8/2: m = 8, c = 20, k = 32: zeta = 0.625, x = 0.256 exp(-1.25 t) sin(1.561 t + 0.896)."""
    time = np.linspace(0.0, 10.0, 2001)
    x = 0.256 * np.exp(-1.25 * time) * np.sin(1.561 * time + 0.896)
    assert x[400] == pytest.approx(-0.01616, rel=2e-3)  # at 2 s, as printed
    found = extremes(time[20:], x[20:], 1e-6)  # it is let go at a top, which is no swing of its own
    assert decay(found) == pytest.approx(0.625, rel=PRINTED)
    assert 2 * np.pi * pace(found) == pytest.approx(1.561, rel=PRINTED)


def test_lightly_damped_mass():
    """DA-4: Meriam 8/9: wn = 1, zeta = 0.0667, wd = 0.998, period 6.30 s."""
    time = np.linspace(0.0, 60.0, 3001)
    found = extremes(time, ring(time, 1.0 / 15.0, 1.0, phase=0.5), 0.02)
    assert decay(found) == pytest.approx(0.0667, rel=PRINTED)
    assert 1.0 / pace(found) == pytest.approx(6.30, rel=PRINTED)


def loads(hop, tramp, mean=3000.0):
    """(T, 4, 1) with hop and tramp (T,) of the rear."""
    found = np.full((len(hop), 4, 1), mean)
    found[:, 2, 0] += hop + tramp
    found[:, 3, 0] += hop - tramp
    return found


TIME, BEGINS = np.linspace(0.0, 2.0, 401), 0.1


def test_a_blow_that_dies_within_a_cycle_tells_no_decay():
    """What leads up to the largest extreme was pushed, and is no decay; one that still grows at the end is told."""
    time, decrement = np.arange(6.0), -2.0 * np.log(2.0)  # it doubles in half a cycle
    grows = decrement / np.sqrt(4.0 * np.pi**2 + decrement**2)
    assert np.isnan(decay((time[:3], np.array([3.0, -9.0, 4.0]))))
    assert np.isnan(decay((time[:4], np.array([2.0, -3.0, 9.0, -4.0]))))
    assert decay((time, np.array([1.0, -2.0, 4.0, -8.0, 16.0, -32.0]))) == pytest.approx(grows, rel=1e-9)


@pytest.mark.parametrize("mode", ["hop", "tramp"])
@pytest.mark.parametrize(("damping", "hertz"), [(0.03, 10.0), (0.05, 12.0), (0.1, 14.0), (-0.01, 11.0)])
def test_axle_that_rings(mode, damping, hertz):
    """Cycles beyond 5 % of the load: ln(A / threshold) / d of them, or all when it grows."""
    w, size = 2 * np.pi * hertz, 1000.0 if damping > 0 else 300.0
    t = np.maximum(TIME - BEGINS, 0.0)
    swing = size * np.where(TIME >= BEGINS, ring(t, damping, w, phase=-np.pi / 2), 0.0)
    pair = (swing, 0 * swing) if mode == "hop" else (0 * swing, swing)
    run = run_of(TIME, "drive", begins=BEGINS, load=loads(*pair))
    found = {key: float(reading.read(run)[0]) for key, reading in motion_readings(run).items()}
    other = "tramp" if mode == "hop" else "hop"
    assert found[f"rear_{other}_count"] == found["front_hop_count"] == 0.0
    # 5 ms moments: a period has 14 to 20, a parabola's top is within 1e-2 of its height and the decay within 5e-3.
    assert found[f"rear_{mode}_damping"] == pytest.approx(damping, abs=5e-3)
    damped = hertz * np.sqrt(1.0 - damping**2)
    assert found[f"rear_{mode}_frequency"] == pytest.approx(damped, rel=0.01)
    decrement = 2 * np.pi * damping / np.sqrt(1.0 - damping**2)
    long = (TIME[-1] - BEGINS) * damped
    expected = min(np.log(size / 150.0) / decrement, long) if damping > 0 else long
    assert found[f"rear_{mode}_count"] == pytest.approx(expected, abs=1.0)


def test_a_load_that_steps_does_not_hop():
    run = run_of(TIME, "drive", begins=BEGINS, load=loads(np.where(TIME >= BEGINS, 600.0, 0.0), 0.0 * TIME))
    found = motion_readings(run)
    assert found["rear_hop_count"].read(run) == 0.0
    assert np.isnan(found["rear_hop_damping"].read(run)).all()


def test_what_rides_on_a_swing_is_not_counted():
    time = np.linspace(0.0, 1.0, 1001)
    rough = np.sin(2 * np.pi * 10 * time) + 0.1 * np.sin(2 * np.pi * 170 * time)
    assert cycles(extremes(time, rough, 0.3)) == 10.0


def test_on_a_road_that_goes_on_nothing_decays_by_itself():
    """A swing that a road keeps up has a frequency and no damping of its own; once the road is level it has both."""
    w = 2 * np.pi * 10.0
    forced = np.where(
        TIME < 1.0, 900.0 * np.sin(w * TIME), 900.0 * ring(np.maximum(TIME - 1.0, 0), 0.05, w, -np.pi / 2)
    )
    for length, expected in ((2.1, np.nan), (1.0, 0.05)):
        road = np.where(length > TIME, 0.01 * np.sin(w * TIME), 0.0)
        run = run_of(TIME, "road", load=loads(forced, 0.0 * TIME), road_height=road)
        found = motion_readings(run)
        assert found["rear_hop_damping"].read(run)[0] == pytest.approx(expected, abs=5e-3, nan_ok=True)
        assert found["rear_hop_frequency"].read(run)[0] == pytest.approx(10.0, rel=0.01)


def test_no_moment_is_left_to_ring_in():
    """A road that goes on to the end of a run leaves one moment after it: nothing rings, and nothing breaks."""
    time, height = extremes(np.array([2.0]), np.array([150.0]), 10.0)
    assert len(time) == len(height) == 0
