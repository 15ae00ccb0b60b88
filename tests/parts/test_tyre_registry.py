"""What every tyre law of the registry must do."""

from __future__ import annotations

import jax
import jax.numpy as jnp
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from axlewright.parts import TYRE_LAWS
from tests.parts.cases import TYRE_CASES

SAME = 1e-12  # relative: the two libraries' sine and arctangent may differ in the last digits
NO_SLIP_ERROR = 1e-6  # N; the design allows this for the rounded slip magnitude
# Central differences of a smooth curve: truncation h^2/6 F''' is 1e-10/6 x 1e4 N / 0.03^3 at most, 0.01 N per
# unit slip; rounding 1e4 N x 2e-16 / 1e-5. Slopes are 1e4 to 1e6 N per unit slip.
DIFFERENCE_STEP = 1e-5
DIFFERENCE_ERROR = 0.2  # N per unit slip

NAMES = sorted(TYRE_LAWS)
LOADS = np.array([200.0, 1500.0, 3000.0, 6000.0])
slips = st.floats(-0.4, 0.4)
leans = st.floats(-0.15, 0.15)


def test_every_law_has_a_case():
    assert set(TYRE_CASES) == set(TYRE_LAWS)
    assert all(isinstance(TYRE_CASES[name], TYRE_LAWS[name].parameters) for name in NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_jax_gives_what_numpy_gives(name):
    slip = np.linspace(-0.5, 0.5, 21)[:, None]
    arguments = (LOADS, slip, 0.3 * slip[::-1], 0.1 * slip, 0.8)
    here = TYRE_LAWS[name].forces(TYRE_CASES[name], *arguments)
    there = jax.jit(lambda *a: TYRE_LAWS[name].forces(TYRE_CASES[name], *a, xp=jnp))(*map(jnp.asarray, arguments))
    for mine, theirs in zip(here, there, strict=True):
        assert theirs.dtype == jnp.float64
        np.testing.assert_allclose(theirs, mine, rtol=SAME, atol=1e-9)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("slip", [0.0, 1e-9, 0.05, -0.3])
@pytest.mark.parametrize("load", [0.0, 1e-3, 1.0, 3000.0, 60_000.0])
def test_derivatives_are_finite_everywhere(name, slip, load):
    def total(*state):
        return sum(TYRE_LAWS[name].forces(TYRE_CASES[name], *state, xp=jnp))

    state = (load, slip, -slip, 0.0, 1.0)
    assert all(np.isfinite(slope) for slope in jax.grad(total, argnums=range(5))(*state))


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("state", [(0.02, 0.0, 0.03), (-0.08, 0.05, -0.05), (0.15, -0.2, 0.01), (0.0, -1.0, 0.0)])
@pytest.mark.parametrize("force", [0, 1])
def test_derivatives_equal_finite_differences(name, state, force):
    def wanted(x):
        return TYRE_LAWS[name].forces(TYRE_CASES[name], 2500.0, x[0], x[1], x[2], 0.9, xp=jnp)[force]

    exact = jax.grad(wanted)(jnp.asarray(state))
    steps = DIFFERENCE_STEP * np.eye(3)
    difference = [(wanted(state + h) - wanted(state - h)) / (2.0 * DIFFERENCE_STEP) for h in steps]
    np.testing.assert_allclose(difference, exact, rtol=2e-6, atol=DIFFERENCE_ERROR)


@pytest.mark.parametrize("name", NAMES)
@given(angle=slips, ratio=slips, lean=leans, load=st.floats(0.0, 8000.0))
def test_the_mirror_image_mirrors_the_side_force(name, angle, ratio, lean, load):
    tyre, forces = TYRE_CASES[name], TYRE_LAWS[name].forces
    fx, fy = forces(tyre, load, angle, ratio, lean)
    mirrored_fx, mirrored_fy = forces(tyre, load, -angle, ratio, -lean)
    assert (mirrored_fx, mirrored_fy) == (pytest.approx(fx, abs=1e-9), pytest.approx(-fy, abs=1e-9))


@pytest.mark.parametrize("name", NAMES)
@given(angle=st.floats(1e-3, 0.4), ratio=st.floats(1e-3, 0.4), load=st.floats(10.0, 8000.0))
def test_force_opposes_slip(name, angle, ratio, load):
    fx, fy = TYRE_LAWS[name].forces(TYRE_CASES[name], load, angle, ratio, 0.0)
    assert fx > 0.0 > fy
    fx, fy = TYRE_LAWS[name].forces(TYRE_CASES[name], load, -angle, -ratio, 0.0)
    assert fx < 0.0 < fy


@pytest.mark.parametrize("name", NAMES)
def test_a_top_that_leans_right_pushes_right(name):
    assert TYRE_LAWS[name].forces(TYRE_CASES[name], 3000.0, 0.0, 0.0, 0.05)[1] < 0.0


@pytest.mark.parametrize("name", NAMES)
def test_no_slip_no_force_and_no_load_no_force(name):
    forces = TYRE_LAWS[name].forces
    assert np.abs(forces(TYRE_CASES[name], LOADS, 0.0, 0.0, 0.0)).max() < NO_SLIP_ERROR
    assert forces(TYRE_CASES[name], 0.0, 0.1, 0.1, 0.0) == (0.0, 0.0)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("load", LOADS)
def test_side_force_peaks_at_the_peak_slip_angle_and_falls_off_after_it(name, load):
    law, tyre = TYRE_LAWS[name], TYRE_CASES[name]
    peak = law.peak_slip_angle(tyre, load)
    # 1 % either side: the demo tyre's B and E are given to three digits, which puts its peak at s = 0.9993.
    before, near, at, past, far = -law.forces(tyre, load, peak * np.array([0.9, 0.99, 1.0, 1.01, 3.0]), 0.0, 0.0)[1]
    assert before < near < at > past > far


@pytest.mark.parametrize("name", NAMES)
@given(angle=slips, ratio=st.floats(-1.0, 1.0), load=st.floats(100.0, 8000.0))
def test_combined_slip_never_exceeds_the_pure_peaks(name, angle, ratio, load):
    law, tyre = TYRE_LAWS[name], TYRE_CASES[name]
    fx, fy = law.forces(tyre, load, angle, ratio, 0.0)
    side = abs(law.forces(tyre, load, law.peak_slip_angle(tyre, load), 0.0, 0.0)[1])
    along = law.forces(tyre, load, 0.0, np.linspace(0.0, 0.4, 801), 0.0)[0].max()
    # The search for the longitudinal peak is on a grid of 0.0005 in slip ratio: 1e-4 of its height at most.
    assert (fx / along) ** 2 + (fy / side) ** 2 <= 1.0 + 1e-3


@pytest.mark.parametrize("name", NAMES)
@given(level=st.floats(0.3, 1.2), angle=slips, ratio=slips)
def test_grip_level_scales_both_forces(name, level, angle, ratio):
    law, tyre = TYRE_LAWS[name], TYRE_CASES[name]
    dry, wet = (np.array(law.forces(tyre, 3000.0, angle, ratio, 0.02, grip)) for grip in (1.0, level))
    np.testing.assert_allclose(wet, level * dry, rtol=1e-12, atol=1e-9)


@pytest.mark.parametrize("name", NAMES)
def test_two_unequally_loaded_tyres_make_less_side_force_than_two_equal_ones(name):
    law, tyre = TYRE_LAWS[name], TYRE_CASES[name]
    best = -law.forces(tyre, np.array([1000.0, 3000.0, 5000.0]), np.linspace(0.0, 0.4, 401)[:, None], 0.0, 0.0)[1]
    light, middle, heavy = best.max(axis=0)
    assert light + heavy < 2.0 * middle
