"""Lag of the contact patch: the steady law when rolling steadily, a first-order lag on the way, a spring at standstill.

Expected forms: Pacejka, Tyre and Vehicle Dynamics, contact-point deflection model, from memory.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from axlewright.parts import TYRE_LAWS
from axlewright.parts.tyre_lag import LOSS, LOSS_FADES, MOST, lag_rate, low_speed_loss, relaxation_lengths
from tests.parts.cases import TYRE_CASES

LENGTH = np.array([0.15, 0.45])  # m, ordinary relaxation lengths
LEAST = 0.06  # m, half of a contact patch
laws = pytest.mark.parametrize("law", TYRE_CASES)
ROUNDING = 1e-12
INTEGRATION = 1e-7  # relative, of the integrator at rtol 1e-9


@given(along=st.floats(-80.0, 80.0), ratio=st.floats(-MOST, MOST), angle=st.floats(-0.7, 0.7))
def test_rolling_steadily_the_deflection_is_the_slip(along, ratio, angle):
    assume(abs(along) > 1e-3)
    slip = np.array([ratio, np.tan(angle)])
    lag = lag_rate(slip * LENGTH, slip * abs(along), np.array(along), LENGTH)
    np.testing.assert_allclose(lag, 0.0, atol=ROUNDING * abs(along))


def test_after_a_step_it_follows_over_the_distance_rolled_whatever_the_speed():
    for along in (0.5, 20.0, -20.0):
        sliding = 0.05 * abs(along) * np.ones(2)
        rolled = np.linspace(0.0, 1.0, 6)
        run = solve_ivp(
            lambda _, u: lag_rate(u, sliding, along, LENGTH), (0.0, 1.0 / abs(along)), np.zeros(2),  # noqa: B023
            t_eval=rolled / abs(along), rtol=1e-9, atol=1e-12,
        )  # fmt: skip
        expected = 0.05 * LENGTH[:, None] * (1.0 - np.exp(-rolled / LENGTH[:, None]))
        np.testing.assert_allclose(run.y, expected, atol=INTEGRATION * 0.05)


@given(sliding=st.floats(0.01, 30.0), along=st.floats(-1.0, 1.0), begin=st.floats(-1.0, 1.0))
def test_a_sliding_tyre_never_deflects_beyond_its_most(sliding, along, begin):
    """At the bound the deflection falls or stays, whether the car rolls or stands: what starts inside stays inside."""
    bound = MOST * LENGTH
    for sign in (1.0, -1.0):
        slides = sign * sliding * np.ones(2)
        assert np.all(sign * lag_rate(sign * bound, slides, along, LENGTH) <= ROUNDING * sliding)
        assert np.all(sign * lag_rate(begin * 0.999 * bound, slides, 0.0, LENGTH) > 0.0)  # standing, it gets there


@laws
@pytest.mark.parametrize("load", [1500.0, 3000.0, 6000.0])
def test_at_standstill_the_tyre_is_a_spring_as_stiff_as_its_carcass(law, load):
    tyre, forces = TYRE_CASES[law], TYRE_LAWS[law].forces
    length = relaxation_lengths(TYRE_LAWS[law], tyre, load, 0.0)
    small = 1e-3 * length  # slip 0.001: the curve bends by less than 1 % there
    fx = [forces(tyre, load, 0.0, s * small[0] / length[0], 0.0)[0] for s in (1.0, -1.0)]
    fy = [forces(tyre, load, np.arctan(s * small[1] / length[1]), 0.0, 0.0)[1] for s in (1.0, -1.0)]
    assert (fx[0] - fx[1]) / (2.0 * small[0]) == pytest.approx(tyre.longitudinal_stiffness, rel=0.01)
    assert (fy[1] - fy[0]) / (2.0 * small[1]) == pytest.approx(tyre.lateral_stiffness, rel=0.01)


def test_relaxation_lengths_of_the_demo_tyre_are_ordinary():
    """Lateral 0.3 to 0.6 m, longitudinal 0.1 to 0.3 m at its rated load: common practice, no source."""
    along, across = relaxation_lengths(TYRE_LAWS["similarity"], TYRE_CASES["similarity"], 3000.0, LEAST)
    assert 0.1 <= along <= 0.3
    assert 0.3 <= across <= 0.6


@laws
def test_a_tyre_without_load_relaxes_over_half_its_contact(law):
    length = relaxation_lengths(TYRE_LAWS[law], TYRE_CASES[law], np.zeros(3), LEAST)
    np.testing.assert_array_equal(length, np.full((2, 3), LEAST))


def test_a_standing_braked_car_s_wheel_swings_on_its_tyre_at_its_natural_frequency():
    """Own number: 1.2 kg m2 on 400 N/mm at 0.33 m swings at 190 rad/s; loss factor 0.15 damps it by half of that."""
    inertia, carcass, radius = 1.2, 400e3, 0.33
    length = 0.15

    def motion(spin: float, lag: float) -> np.ndarray:
        speed = lag_rate(np.array(lag), np.array(spin * radius), 0.0, length)
        return np.array([-carcass * (lag + low_speed_loss(0.0) * speed) * radius / inertia, speed])

    step = 1e-7
    matrix = np.stack([motion(step, 0.0), motion(0.0, step)], axis=1) / step
    found = np.linalg.eigvals(matrix)[0]
    assert abs(found) == pytest.approx(np.sqrt(carcass / inertia) * radius, rel=1e-4)
    assert abs(found) == pytest.approx(190.5, abs=0.05)
    assert -found.real / abs(found) == pytest.approx(0.075, rel=0.01)


def test_low_speed_loss_is_whole_when_crawling_and_gone_when_driving():
    slow, fast = LOSS_FADES
    speeds = np.linspace(-4.0, 4.0, 801)
    loss = low_speed_loss(speeds)
    np.testing.assert_allclose(loss, loss[::-1], atol=ROUNDING * LOSS)
    assert np.all(loss[np.abs(speeds) <= slow] == LOSS)
    assert np.all(loss[np.abs(speeds) >= fast] == 0.0)
    assert np.all(np.diff(loss[speeds >= 0.0]) <= 0.0)
    assert np.abs(np.diff(loss)).max() < 2.0 * LOSS * 0.01 / (fast - slow)  # no jump: smoothstep is 1.5 steep at most
