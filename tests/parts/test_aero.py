"""Air forces as force and moment on the chassis."""

from __future__ import annotations

import jax.numpy as jnp
import numpy as np
import pytest

from axlewright.parts.aero import Aero, loads, on_chassis

AERO = Aero(drag_area=0.95, drag_height=0.45, lift_area_front=0.15, lift_area_rear=0.35, x_front=0.1, x_rear=-2.9)
SPEED = 50.0
PRESSURE = 0.5 * 1.2 * SPEED**2  # Pa


def test_loads_go_with_the_square_of_speed_and_with_density():
    np.testing.assert_allclose(loads(AERO, 2 * SPEED), 4 * np.array(loads(AERO, SPEED)), rtol=1e-15)
    np.testing.assert_allclose(loads(AERO, SPEED, 0.6), 0.5 * np.array(loads(AERO, SPEED)), rtol=1e-15)
    assert loads(AERO, SPEED)[0] == pytest.approx(PRESSURE * 0.95, rel=1e-15)


def test_the_wrench_is_that_of_three_forces_at_their_points():
    forces = PRESSURE * np.array([[-0.95, 0.0, 0.0], [0.0, 0.0, -0.15], [0.0, 0.0, -0.35]])
    points = np.array([[-1.0, 0.0, 0.45], [0.1, 0.0, 0.3], [-2.9, 0.0, 0.9]])  # where along its line doesn't matter
    force, moment = on_chassis(AERO, SPEED)
    np.testing.assert_allclose(force, forces.sum(axis=0), atol=1e-9)
    np.testing.assert_allclose(moment, np.cross(points, forces).sum(axis=0), atol=1e-9)


def test_drag_lifts_the_front():
    drag_only = AERO._replace(lift_area_front=0.0, lift_area_rear=0.0)
    assert on_chassis(drag_only, SPEED)[1][1] < 0.0  # negative about y: nose up


def test_jax_gives_what_numpy_gives_for_a_batch():
    speeds = np.array([0.0, 20.0, 60.0])
    for mine, theirs in zip(on_chassis(AERO, speeds), on_chassis(AERO, jnp.asarray(speeds), xp=jnp), strict=True):
        np.testing.assert_allclose(theirs, mine, rtol=1e-15)
        assert mine.shape == (3, 3)
