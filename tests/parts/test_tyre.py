"""The similarity law, its floors, its curve from a stated fall-off, and the vertical spring."""

from __future__ import annotations

import jax
import jax.numpy as jnp
import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from axlewright.parts import tyre as law
from tests.parts.cases import MAGIC, PSI, SIMILARITY

CURVE_ERROR = 1e-9  # no unit; closed form, only rounding of a few trigonometric functions
LOAD_ERROR = 1e-6  # N


@given(fall_off=st.floats(0.5, 0.98), slope=st.floats(2.0, 4.0))
def test_a_peaked_shape_has_its_peak_at_one_and_falls_to_what_was_asked(fall_off, slope):
    c, b, e = law.peaked_shape(fall_off, slope)
    tyre = SIMILARITY._replace(shape_c=c, shape_b=b, shape_e=e)
    assert law.curve(tyre, 1.0) == pytest.approx(1.0, abs=CURVE_ERROR)
    assert np.all(law.curve(tyre, np.linspace(0.0, 20.0, 2001)) <= 1.0 + CURVE_ERROR)
    # At s = 1e9 the arctangent is 1e-9 short of a right angle.
    assert law.curve(tyre, 1e9) == pytest.approx(fall_off, abs=1e-8)
    assert law.curve(tyre, 1e-6) / 1e-6 == pytest.approx(slope, rel=1e-9)


@pytest.mark.parametrize("fall_off", [0.0, 1.0, 1.2, -0.1])
def test_a_fall_off_outside_zero_to_one_is_refused(fall_off):
    with pytest.raises(ValueError, match="share of peak grip left at full slide, between 0 and 1"):
        law.peaked_shape(fall_off)


@given(load=st.floats(0.0, 1e6), lean=st.floats(-1.5, 1.5))
@example(load=1e9, lean=3.0)
def test_friction_stays_positive_and_never_grows_with_load_or_lean(load, lean):
    assert law.friction(SIMILARITY, load, lean) >= 0.2**2 * SIMILARITY.grip * (1.0 - 1e-12)
    assert law.friction(SIMILARITY, load + 100.0, lean) <= law.friction(SIMILARITY, load, lean)
    assert law.friction(SIMILARITY, load, 1.1 * lean) <= law.friction(SIMILARITY, load, lean) * (1.0 + 1e-12)


def test_the_floors_leave_ordinary_loads_and_leans_alone():
    by_hand = (1.42 - 0.045e-3 * (9000.0 - 3000.0)) * (1.0 - 6.0 * 0.15**2)
    assert law.friction(SIMILARITY, 9000.0, 0.15) == pytest.approx(by_hand, rel=1e-14)


def test_a_sliding_locked_wheel_is_far_past_its_peak():
    fx, fy = law.forces(SIMILARITY, 3000.0, 0.0, -1.0, 0.0)
    peak = 1.05 * 1.42 * 3000.0
    assert fy == 0.0
    assert -0.95 * peak < fx < -0.85 * peak


@pytest.mark.parametrize("tyre", [SIMILARITY, MAGIC], ids=["similarity", "magic-1987"])
@given(load=st.floats(0.0, 20_000.0), pressure=st.floats(100e3, 300e3))
@example(load=0.0, pressure=150e3)
@example(load=51.0, pressure=22.0 * PSI)
def test_deflection_is_the_inverse_of_load(tyre, load, pressure):
    deflection = law.deflection_for(tyre, load, pressure)
    assert law.vertical_load(tyre, deflection, pressure) == pytest.approx(load, abs=LOAD_ERROR)


def test_a_lifted_wheel_carries_exactly_nothing_and_has_no_slope():
    def load(deflection):
        return law.vertical_load(SIMILARITY, deflection, 150e3, jnp)

    for clear in (-0.0002, -0.01, -0.5):
        assert (load(clear), jax.grad(load)(clear)) == (0.0, 0.0)
    assert np.isfinite(jax.grad(lambda f: law.deflection_for(SIMILARITY, f, 150e3, jnp))(0.0))


def test_pressure_stiffens_the_tyre():
    one_psi_more = law.vertical_load(SIMILARITY, 0.01, 23.0 * PSI) - law.vertical_load(SIMILARITY, 0.01, 22.0 * PSI)
    assert one_psi_more == pytest.approx(65.0, abs=LOAD_ERROR)  # 6.5 N/mm per psi, 10 mm
