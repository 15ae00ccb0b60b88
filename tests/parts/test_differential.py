"""The differential's projection law: stuck, slipping either way, open and spool."""

from __future__ import annotations

import jax
import jax.numpy as jnp
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from axlewright.parts.differential import SCALE, half_shaft, lock_torque, residual

torques, speeds = st.floats(-2000.0, 2000.0), st.floats(-20.0, 20.0)
limits = st.floats(0.0, 1500.0)
ROUNDING = 1e-11  # N m out of thousands


@given(whole=torques, dT=torques)
def test_half_shafts_share_the_axle_torque_and_differ_by_the_difference(whole, dT):
    left, right = half_shaft(1.0, whole, dT), half_shaft(-1.0, whole, dT)
    assert left + right == pytest.approx(whole, abs=ROUNDING)
    assert left - right == pytest.approx(dT, abs=ROUNDING)
    assert half_shaft(0.0, whole, dT) == 0.0


@given(dT=torques, limit=limits)
def test_locked_any_difference_up_to_the_limit_is_a_solution(dT, limit):
    assert (residual(dT, 0.0, limit) == 0.0) == (abs(dT) <= limit)


@given(dw=st.floats(1e-3, 20.0), limit=limits)
def test_slipping_the_slower_wheel_gets_the_full_lock_torque(dw, limit):
    assert residual(-limit, dw, limit) == 0.0  # left faster: right gets more
    assert residual(limit, -dw, limit) == 0.0
    if limit > 0.0:
        assert residual(limit, dw, limit) > 0.0  # torque never flows to the faster wheel


@given(share=st.sampled_from([-1.0, -0.5, 0.0, 0.5, 1.0]), dw=speeds, limit=limits, scale=st.floats(0.1, 100.0))
def test_the_solution_does_not_depend_on_the_scale(share, dw, limit, scale):
    dT = share * limit
    if dw == 0.0 or abs(dw) * min(scale, SCALE) > 1e-9:  # between them the product drowns in the rounding of dT
        assert (residual(dT, dw, limit) == 0.0) == (residual(dT, dw, limit, scale) == 0.0)


@given(dT=torques, dw=speeds)
def test_a_spool_holds_the_wheels_together_whatever_the_torque(dT, dw):
    limit = lock_torque(np.inf, 0.4, 1000.0)
    # Rounding of dT - (dT - c dw), with dT up to 2 kN m.
    assert residual(dT, dw, limit) == pytest.approx(SCALE * dw, abs=1e-12)


@given(dw=speeds)
def test_an_open_differential_splits_evenly(dw):
    assert residual(0.0, dw, 0.0) == 0.0
    assert residual(5.0, dw, 0.0) == 5.0


def test_lock_torque_grows_with_the_axle_torque_of_either_sign():
    assert lock_torque(80.0, 0.4, 1000.0) == lock_torque(80.0, 0.4, -1000.0) == 480.0


@pytest.mark.parametrize("limit", [0.0, 300.0, np.inf])
@pytest.mark.parametrize("dw", [-5.0, 0.0, 5.0])
def test_derivatives_are_exact_and_finite(limit, dw):
    to_torque, to_speed, to_limit = jax.grad(lambda *a: residual(*a, xp=jnp), argnums=(0, 1, 2))(100.0, dw, limit)
    locked = abs(100.0 - SCALE * dw) < limit
    assert (to_torque, to_speed) == ((0.0, SCALE) if locked else (1.0, 0.0))
    assert np.isfinite(to_limit)
    assert residual(jnp.float64(100.0), dw, limit, xp=jnp) == residual(100.0, dw, limit)
