"""The damper's table: what is measured, what is between, and at rest only gas."""

from __future__ import annotations

import jax
import jax.numpy as jnp
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from axlewright.parts.damper import ROUNDED, DamperTable, checked, damper_law, force, from_closed
from axlewright.parts.elastic import tension

TABLE = checked(
    DamperTable(
        speed=np.array([0.0, 0.05, 0.15, 0.4]),
        clicks=np.array([0.0, 6.0, 12.0]),
        compression=np.array([[0.0, 900.0, 1500.0, 2200.0], [0.0, 600.0, 1100.0, 1700.0], [0.0, 350.0, 700.0, 1200.0]]),
        rebound=np.array([[0.0, 1300.0, 2100.0, 3000.0], [0.0, 900.0, 1500.0, 2200.0], [0.0, 500.0, 900.0, 1500.0]]),
    )
)
clicks = st.floats(0.0, 12.0)
ROUNDING = 1e-9  # N


@given(compression=clicks, rebound=clicks, gas=st.floats(0.0, 400.0))
def test_at_rest_only_the_gas_acts_whatever_the_clicks(compression, rebound, gas):
    assert force(TABLE, 0.0, compression, rebound, gas) == gas


def test_measured_points_come_back():
    for i, click in enumerate(TABLE.clicks):
        np.testing.assert_allclose(force(TABLE, TABLE.speed, click, 0.0), TABLE.compression[i], rtol=1e-14)
        np.testing.assert_allclose(force(TABLE, -TABLE.speed, 0.0, click), -TABLE.rebound[i], rtol=1e-14)


def test_halfway_between_clicks_and_speeds_is_the_mean():
    assert force(TABLE, 0.1, 3.0, 0.0) == pytest.approx((900.0 + 1500.0 + 600.0 + 1100.0) / 4, abs=ROUNDING)
    assert force(TABLE, -0.1, 0.0, 9.0) == pytest.approx(-(900.0 + 1500.0 + 500.0 + 900.0) / 4, abs=ROUNDING)


def test_beyond_the_last_speed_the_last_slope_goes_on():
    assert force(TABLE, 0.65, 0.0, 0.0) == pytest.approx(2200.0 + 700.0, abs=ROUNDING)


@given(slow=st.floats(-0.6, 0.6), faster=st.floats(0.0, 0.2), compression=clicks, rebound=clicks)
def test_force_rises_with_speed(slow, faster, compression, rebound):
    assert force(TABLE, slow + faster, compression, rebound) >= force(TABLE, slow, compression, rebound) - ROUNDING


@given(speed=st.floats(0.01, 0.5), setting=st.floats(0.0, 11.0))
def test_a_click_toward_open_is_softer_and_acts_on_its_own_side_only(speed, setting):
    assert force(TABLE, speed, setting + 1.0, 4.0) < force(TABLE, speed, setting, 4.0)
    assert force(TABLE, speed, 4.0, setting + 1.0) == force(TABLE, speed, 4.0, setting)
    assert force(TABLE, -speed, 4.0, setting + 1.0) > force(TABLE, -speed, 4.0, setting)
    assert force(TABLE, -speed, setting + 1.0, 4.0) == force(TABLE, -speed, setting, 4.0)


def test_jax_gives_what_numpy_gives_also_for_a_batch_of_settings():
    speed, setting = np.linspace(-0.5, 0.5, 11), np.linspace(0.0, 12.0, 11)
    theirs = jax.jit(lambda v, c: force(TABLE, v, c, 12.0 - c, 150.0, jnp))(speed, setting)
    np.testing.assert_allclose(theirs, force(TABLE, speed, setting, 12.0 - setting, 150.0), rtol=1e-13)
    assert np.isfinite(jax.grad(lambda v: force(TABLE, v, 3.0, 3.0, xp=jnp))(0.0))


def test_clicks_are_counted_from_closed():
    assert from_closed(4, total=20) == 16


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"speed": np.array([0.0, 0.2, 0.1, 0.4])}, "speed must rise"),
        ({"speed": np.array([0.01, 0.05, 0.15, 0.4])}, "speed must start at 0; found 0.01"),
        ({"clicks": np.array([0.0, 6.0])}, r"compression table has shape \(3, 4\); clicks x speeds make \(2, 4\)"),
        ({"rebound": TABLE.rebound + 100.0}, "rebound force at zero speed is not zero; take the gas force off"),
    ],
)
def test_a_wrong_table_is_refused_with_its_reason(change, message):
    with pytest.raises(ValueError, match=message):
        checked(TABLE._replace(**change))


@given(rate=st.floats(-1.0, 1.0), compression=clicks, rebound=clicks)
def test_as_a_link_it_pulls_when_lengthened_what_the_table_says(rate, compression, rebound):
    """A rounded corner is a quarter of its half width too high at its middle; nothing else may differ."""
    law = damper_law(TABLE, np.array([compression]), np.array([rebound]))
    pull, told = tension(law, np.array([rate]))[0], -force(TABLE, -rate, compression, rebound)
    corners = np.concatenate([-TABLE.speed[1:-1], TABLE.speed[1:-1]])
    near = np.abs(-rate - corners) < ROUNDED
    most = np.sum(near * np.abs(law.step[law.onset != 0.0])) * ROUNDED / 4.0
    assert pull == pytest.approx(told, abs=most + 1e3 * ROUNDING)
    assert pull * rate >= -1e3 * ROUNDING


def test_as_a_link_it_holds_nothing_and_a_batch_of_clicks_is_each_alone():
    compression, rebound = np.array([0.0, 3.0, 12.0]), np.array([12.0, 7.5, 0.0])
    law = damper_law(TABLE, compression, rebound)
    np.testing.assert_allclose(tension(law, np.zeros(3)), 0.0, atol=1e3 * ROUNDING)
    rates = np.array([-0.3, 0.02, 0.45])
    alone = [
        tension(damper_law(TABLE, compression[i : i + 1], rebound[i : i + 1]), rates[i : i + 1])[0] for i in range(3)
    ]
    np.testing.assert_array_equal(tension(law, rates), alone)
