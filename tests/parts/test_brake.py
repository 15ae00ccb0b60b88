"""The brake as a capacity: rolling, locked, and nothing else."""

from __future__ import annotations

import jax
import jax.numpy as jnp
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from axlewright.parts.brake import capacity, gains, residual, torque


@given(slip=st.floats(-0.999, 0.5))
def test_a_rolling_wheel_has_its_spin_balance_closed_at_full_capacity(slip):
    assert residual(slip, 0.0) == 0.0
    assert residual(slip, 10.0) != 0.0
    assert residual(slip, -10.0) != 0.0


@given(lack=st.floats(0.1, 5000.0))
def test_a_locked_wheel_needs_less_than_the_capacity(lack):
    assert residual(-1.0, -lack) == 0.0
    assert residual(-1.0, lack) != 0.0  # a wheel that would be spun up does not stay locked
    assert torque(capacity(1500.0, 4.0), -lack) == 6000.0 - lack


def test_while_rolling_the_torque_is_the_capacity():
    assert torque(capacity(1500.0, 0.5), 0.0) == 750.0


def test_a_brake_balance_shares_the_whole_between_four_wheels():
    front, rear = gains(4000.0, 0.68)
    assert 2 * front == pytest.approx(2720.0, rel=1e-15)
    assert 2 * (front + rear) == pytest.approx(4000.0, rel=1e-15)


@pytest.mark.parametrize("state", [(-0.2, 5.0), (-1.0, -300.0), (0.0, 0.0), (-0.5, -900.0)])
def test_jax_gives_what_numpy_gives_with_finite_slopes(state):
    assert residual(*map(jnp.float64, state), xp=jnp) == residual(*state)
    assert np.all(np.isfinite(jax.grad(lambda *a: residual(*a, xp=jnp), argnums=(0, 1))(*state)))


def test_a_wheel_braked_beyond_its_tyre_ends_locked():
    """A braked wheel on a tyre whose force falls past its peak: rolling has no root, locked is the solution."""
    grip, radius = 3000.0, 0.32

    def surplus(slip, full):
        return grip * radius * np.sin(1.35 * np.arctan(-slip / 0.06)) - full

    for full, locked in ((500.0, False), (1.05 * grip * radius, True)):
        slip = np.linspace(-1.0, 0.0, 100_001)
        solved = slip[np.argmin(np.abs(residual(slip, surplus(slip, full))))]
        assert (solved == -1.0) is np.bool_(locked)
    assert torque(full, surplus(-1.0, full)) == pytest.approx(grip * radius * np.sin(1.35 * np.arctan(1 / 0.06)))
