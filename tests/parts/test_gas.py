"""Gas on a damper's rod: temperature and rate."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from axlewright.parts.gas import ATMOSPHERE, rod_force, rod_rate


def test_at_fill_temperature_the_force_is_pressure_times_area():
    assert rod_force(10e5, 0.014) == pytest.approx(153.93804, abs=1e-4)  # 1 MPa x 153.938 mm^2


@given(pressure=st.floats(2e5, 30e5), rise=st.floats(1.0, 80.0))
def test_warm_gas_pushes_harder_in_proportion_to_absolute_temperature_and_pressure(pressure, rise):
    cold, warm = rod_force(pressure, 0.014), rod_force(pressure, 0.014, 20.0 + rise)
    assert (warm - cold) / cold == pytest.approx((pressure + ATMOSPHERE) / pressure * rise / 293.15, rel=1e-9)


def test_rate_is_the_slope_of_the_polytropic_law():
    pressure, rod, volume, n, step = 12e5, 0.014, 60e-6, 1.3, 1e-6
    area = rod_force(1.0, rod)

    def force(push):
        return ((pressure + ATMOSPHERE) * (volume / (volume - area * push)) ** n - ATMOSPHERE) * area

    slope = (force(step) - force(-step)) / (2 * step)
    # The area from a force of 1 Pa x area carries the rounding of 101 326 Pa - 101 325 Pa: 1e-11.
    assert rod_rate(pressure, rod, volume, n) == pytest.approx(slope, rel=1e-7)
