"""Tyre-load variation, against a sine: rms A/sqrt 2, percentiles and shares of the arcsine distribution (textbooks)."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.readings.motion import motion_readings
from tests.readings.motion.signals import run_of

TIME = np.linspace(0.0, 4.0, 2001)  # what a rough road saves
COUNTED = 2e-3  # moments are counted, and the last repeats the first; 11 cycles and 2000 have no common factor


@pytest.mark.parametrize("share", [0.2, 0.6])
def test_variation_of_a_sine(share):
    load = np.full((len(TIME), 4, 1), 3000.0)
    load[:, 2, 0] *= 1.0 + share * np.sin(2 * np.pi * 2.75 * TIME)
    run = run_of(TIME, "road", load=load)
    found = {key: float(reading.read(run)[0]) for key, reading in motion_readings(run).items()}
    assert found["load_variation_LR"] == pytest.approx(share / np.sqrt(2), abs=COUNTED)
    assert found["load_variation_rear"] == pytest.approx(0.5 * share / np.sqrt(2), abs=COUNTED)
    assert found["load_variation_front"] == found["load_variation_RR"] == 0.0
    # 1 % of the time it is below mean - A cos(0.01 pi).
    assert found["least_load_rear"] == pytest.approx(3000 * (1 - share * np.cos(0.01 * np.pi)), rel=COUNTED)
    assert found["in_the_air_rear"] == 0.0


def test_share_of_time_in_the_air():
    """Load max(0, m + A sin): off the road for acos(m/A)/pi of the time; half of it here with A = sqrt 2 m: 1/4."""
    load = np.maximum(0.0, 1000.0 * (1.0 + np.sqrt(2) * np.sin(2 * np.pi * 2.75 * TIME)))
    wheels = np.full((len(TIME), 4, 1), 1000.0)
    wheels[:, 1, 0] = load
    run = run_of(TIME, "road", load=wheels)
    found = motion_readings(run)
    assert found["in_the_air_front"].read(run)[0] == pytest.approx(0.25, abs=COUNTED)
    assert found["in_the_air_LF"].read(run)[0] == 0.0
