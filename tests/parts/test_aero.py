"""Air forces of a speed and an air density."""

from __future__ import annotations

import jax.numpy as jnp
import numpy as np
import pytest

from axlewright.parts.aero import AIR_DENSITY, Aero, loads

AERO = Aero(drag_area=0.95, drag_height=0.45, lift_area_front=0.15, lift_area_rear=0.35, x_front=0.1, x_rear=-2.9)
SPEED = 50.0
STATED = 5e-4  # kg/m^3; the standard's density is printed to three places


def test_air_density_is_that_of_the_standard_atmosphere_at_sea_level():
    """ISO 2533 (from memory): 101 325 Pa, 288.15 K, R = 287.052 87 J/(kg K)."""
    assert pytest.approx(101_325 / (287.05287 * 288.15), abs=STATED) == AIR_DENSITY


def test_loads_go_with_the_square_of_speed_and_with_density():
    np.testing.assert_allclose(loads(AERO, 2 * SPEED), 4 * np.array(loads(AERO, SPEED)), rtol=1e-15)
    np.testing.assert_allclose(loads(AERO, SPEED, 0.5 * AIR_DENSITY), 0.5 * np.array(loads(AERO, SPEED)), rtol=1e-15)
    assert loads(AERO, SPEED, 1.2) == pytest.approx((1425.0, 225.0, 525.0), rel=1e-15)  # 1500 Pa, by hand


def test_jax_gives_what_numpy_gives_for_a_batch():
    speeds = np.array([0.0, 20.0, 60.0])
    for mine, theirs in zip(loads(AERO, speeds), loads(AERO, jnp.asarray(speeds)), strict=True):
        np.testing.assert_allclose(theirs, mine, rtol=1e-15)
