"""Friction that sticks: no creep below capacity, capacity while sliding, nothing given back, nothing stiff."""

from __future__ import annotations

import jax
import jax.numpy as jnp
import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from axlewright.parts.friction import RETURN, force, held_at, rate

helds, speeds = st.floats(-0.3, 0.3), st.floats(-30.0, 30.0)
stiffnesses, capacities = st.floats(1e2, 1e6), st.floats(0.0, 3000.0)
losses = st.floats(0.0, RETURN)  # what the element takes without giving energy back while it springs to its capacity
ROUNDING = 1e-9  # of the largest term


@given(share=st.floats(-1.0, 1.0), speed=speeds, stiffness=stiffnesses, capacity=capacities)
def test_below_capacity_the_element_moves_just_as_its_ends_do(share, speed, stiffness, capacity):
    assert rate(0.999 * share * capacity / stiffness, speed, stiffness, capacity) == speed


@given(share=st.floats(-1.0, 1.0), stiffness=stiffnesses, capacity=capacities, loss=losses)
def test_what_is_held_at_rest_stays(share, stiffness, capacity, loss):
    held = held_at(0.999 * share * capacity, 0.0, stiffness, False)
    assert rate(held, 0.0, stiffness, capacity) == 0.0
    assert force(held, 0.0, stiffness, loss, capacity) == pytest.approx(0.999 * share * capacity, rel=ROUNDING)


@given(speed=speeds, stiffness=stiffnesses, capacity=capacities, loss=losses)
def test_sliding_steadily_carries_its_capacity_against_the_sliding(speed, stiffness, capacity, loss):
    assume(abs(speed) > 1e-6)
    held = held_at(np.sign(speed) * capacity, speed, stiffness, True)
    assert rate(held, speed, stiffness, capacity) == pytest.approx(0.0, abs=ROUNDING * max(abs(held) / RETURN, 1.0))
    assert force(held, speed, stiffness, loss, capacity) == pytest.approx(np.sign(speed) * capacity, rel=ROUNDING)


@given(held=helds, speed=speeds, stiffness=stiffnesses, loss=losses, capacity=capacities)
def test_it_never_gives_more_than_it_took(held, speed, stiffness, loss, capacity):
    """Work done on it is at least what its store gains: k z^2/2 up to T/k, T for every metre (radian) beyond."""
    given_in = force(held, speed, stiffness, loss, capacity) * speed
    stored = np.clip(stiffness * held, -capacity, capacity) * rate(held, speed, stiffness, capacity)
    assert given_in >= stored - ROUNDING * (abs(given_in) + abs(stored) + 1.0)


@given(held=helds, speed=speeds, stiffness=stiffnesses, loss=losses, capacity=capacities)
def test_force_is_never_above_capacity_and_its_inside_never_faster_than_its_return(
    held, speed, stiffness, loss, capacity
):
    assert abs(force(held, speed, stiffness, loss, capacity)) <= capacity
    slope = jax.grad(lambda z: rate(z, speed, stiffness, capacity, jnp))(held)
    assert -1.0 / RETURN - ROUNDING <= slope <= 0.0


@pytest.mark.parametrize("capacity", [0.0, np.inf])
@pytest.mark.parametrize(("held", "speed"), [(0.0, 0.0), (0.01, -2.0)])
def test_no_capacity_and_endless_capacity_are_safe_with_their_slopes(held, speed, capacity):
    def carried(z: jax.Array, w: jax.Array) -> jax.Array:
        return force(z, w, 15e3, 1e-4, capacity, jnp)

    slopes = jax.grad(carried, (0, 1))(held, speed)
    expected = 0.0 if capacity == 0.0 else 15e3
    np.testing.assert_allclose(slopes, [expected, 1e-4 * expected])
    assert force(held, speed, 15e3, 1e-4, capacity) == pytest.approx(expected * (held + 1e-4 * speed), rel=ROUNDING)
    assert np.all(np.isfinite(jax.grad(lambda z: rate(z, speed, 15e3, capacity, jnp))(held)))


def test_a_load_that_swings_below_capacity_moves_nothing_over_a_hundred_swings():
    """A mass on an element, pushed to and fro at 90 % of capacity: it never leaves its first place."""
    mass, stiffness, capacity, loss, swing = 1.2, 15e3, 100.0, 1e-3, 2.0 * np.pi * 2.0
    integration = 1e-9  # m: of the integrator

    def motion(t: float, y: np.ndarray) -> list[float]:
        _, speed, held = y
        push = 0.9 * capacity * np.sin(swing * t)
        drag = force(held, speed, stiffness, loss, capacity)
        return [speed, (push - drag) / mass, rate(held, speed, stiffness, capacity)]

    run = solve_ivp(motion, (0.0, 50.0), [0.0, 0.0, 0.0], method="LSODA", rtol=1e-9, atol=1e-12)
    place, _, held = run.y
    assert np.abs(held).max() < capacity / stiffness
    assert np.abs(place - held).max() < integration
