"""What dampers go through, against forced vibration in closed form. DA-3: an id of check values."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.readings.motion import motion_readings
from axlewright.readings.motion.dampers import EDGES, histogram
from tests.readings.motion.signals import run_of

CYCLES, MOMENTS = 20, 4001  # no common factor: no moment repeats one of another cycle
COUNTED = 2e-3  # moments are counted, and the last repeats the first
PRINTED = 1e-3  # DA-3 is printed to three or four figures
FOOT, POUND = 0.3048, 4.4482216152605
PATH = "rear.spring_left"


def shaken(amplitude, frequency, damping):
    """A damper whose compression is `amplitude` sin(w t), m and rad/s, with a rate in N s/m."""
    time = np.linspace(0.0, CYCLES * 2 * np.pi / frequency, MOMENTS + 1)
    v = amplitude * frequency * np.cos(frequency * time)
    return run_of(time, "road", extension_rate={PATH: -v}, damper_push={PATH: damping * v})


def read(run, key):
    return float(motion_readings(run)[f"{PATH}.{key}"].read(run)[0])


def test_power_of_a_forced_damper():
    """DA-3: Meriam 8/6: 100 lb, 200 lb/in, c = 85 lb s/ft, F = 50 sin 30 t lb: X = 0.01938 ft, lag 1.724 rad.

    Its damper takes what the force does, F X w sin(lag) / 2.
    """
    run = shaken(0.01938 * FOOT, 30.0, 85.0 * POUND / FOOT)
    work = 0.5 * 50.0 * POUND * 0.01938 * FOOT * 30.0 * np.sin(1.724)
    assert read(run, "power") == pytest.approx(work, rel=2 * PRINTED)
    fastest = 0.01938 * FOOT * 30.0
    assert read(run, "rms") == pytest.approx(fastest / np.sqrt(2.0), rel=PRINTED)
    assert read(run, "compression") == pytest.approx(fastest, rel=PRINTED)
    assert read(run, "rebound") == pytest.approx(fastest, rel=PRINTED)


def test_histogram_of_a_sine():
    """Below a speed v for 1/2 + asin(v/V)/pi of the time (arcsine distribution; any text on random signals)."""
    largest = 0.3
    run = shaken(largest / 20.0, 20.0, 1000.0)
    below = 0.5 + np.arcsin(np.clip(EDGES / largest, -1.0, 1.0)) / np.pi
    found = histogram(run, PATH)[:, 0]
    assert found == pytest.approx(np.diff(below), abs=COUNTED)
    assert found.sum() == pytest.approx(1.0)
    assert read(run, "slow") == pytest.approx(2.0 * np.arcsin(0.05 / largest) / np.pi, abs=COUNTED)


def test_compression_is_not_rebound():
    time = np.linspace(0.0, 1.0, 401)
    shortening = np.where(time < 0.25, -0.2, 0.04)  # a quarter of the time 200 mm/s in, then 40 mm/s out
    run = run_of(time, "road", extension_rate={PATH: shortening}, damper_push={PATH: -1000.0 * shortening})
    assert (read(run, "compression"), read(run, "rebound")) == pytest.approx((0.2, 0.04))
    shares = histogram(run, PATH, np.array([-np.inf, 0.0, np.inf]))[:, 0]
    assert shares == pytest.approx([0.75, 0.25], abs=5e-3)


def test_a_member_that_stopped_has_no_histogram():
    time = np.linspace(0.0, 1.0, 401)
    speed = np.stack([np.full(401, 0.1), np.where(time > 0.5, np.nan, 0.1)], axis=1)
    run = run_of(time, "road", batch=2, ended=[0, 1], extension_rate={PATH: speed}, damper_push={PATH: speed})
    found = histogram(run, PATH)
    assert found[:, 0].sum() == 1.0
    assert np.isnan(found[:, 1]).all()
