"""Tyre laws against published tables and the design's independent numbers. V7.1: id in the list of check values."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.parts import magic_formula, tyre
from tests.parts.cases import MAGIC, PSI, SIMILARITY

LOADS = np.array([2000.0, 4000.0, 6000.0, 8000.0])
# V7.1 gives forces to 0.1 N, B, E and friction to four or five digits: half of the last one.
FORCE_DIGIT, STIFFNESS_DIGIT, B_DIGIT, E_DIGIT, MU_DIGIT = 0.05, 0.005, 5e-6, 5e-5, 5e-5

# The paper's own fits at each load differ from the load-dependent ones; V7.1 says by 1.1 % and 1.6 %, rounded.
FIT_D, FIT_BCD = 0.0115, 0.0165


def slope_at_no_slip(curve):
    return curve.b * curve.c * curve.d


def test_1987_lateral_coefficients():
    """V7.1: Bakker, Nyborg, Pacejka, SAE 870421 (coefficients read in public files); values computed from them."""
    curve = magic_formula.lateral_curve(MAGIC, LOADS)
    np.testing.assert_allclose(curve.d, [1933.6, 3690.4, 5270.4, 6673.6], atol=FORCE_DIGIT)
    stiffness = slope_at_no_slip(curve)
    np.testing.assert_allclose(stiffness, [708.78, 1027.33, 1076.15, 1028.83], atol=STIFFNESS_DIGIT)
    np.testing.assert_allclose(curve.b, [0.28197, 0.21414, 0.15707, 0.11859], atol=B_DIGIT)
    np.testing.assert_allclose(curve.e, [-0.0010, -0.7090, -1.4170, -2.1250], atol=E_DIGIT)
    np.testing.assert_allclose(curve.d / LOADS, [0.9668, 0.9226, 0.8784, 0.8342], atol=MU_DIGIT)


@pytest.mark.parametrize(
    ("degrees", "side_force"),
    [
        (2.0, [1197.1, 1911.1, 2110.4, 2061.0]),
        (4.0, [1722.5, 3096.6, 3833.1, 4011.2]),
        (8.0, [1928.7, 3676.8, 5166.1, 6253.3]),
    ],
)
def test_1987_side_force(degrees, side_force):
    """V7.1. The paper's force grows with slip angle; ours opposes it."""
    found = magic_formula.forces(MAGIC, LOADS, np.radians(degrees), 0.0, 0.0)[1]
    np.testing.assert_allclose(-found, side_force, atol=FORCE_DIGIT)


@pytest.mark.parametrize(
    ("percent", "drive_force"),
    [(5.0, [1878.1, 3823.7, 5687.1, 7429.8]), (10.0, [2191.8, 4234.4, 6090.6, 7736.3])],
)
def test_1987_longitudinal_force(percent, drive_force):
    """V7.1."""
    curve = magic_formula.longitudinal_curve(MAGIC, LOADS)
    np.testing.assert_allclose(curve.d, [2202.8, 4235.2, 6097.2, 7788.8], atol=FORCE_DIGIT)
    stiffness = slope_at_no_slip(curve)
    np.testing.assert_allclose(stiffness, [566.56, 1288.16, 2076.60, 2868.85], atol=STIFFNESS_DIGIT)
    found = magic_formula.forces(MAGIC, LOADS, 0.0, percent / 100.0, 0.0)[0]
    np.testing.assert_allclose(found, drive_force, atol=FORCE_DIGIT)


def test_1987_fits_at_each_load():
    """V7.1: the paper's table of B, C, D fitted at each load, from memory. Two fits of one tyre: D and B C D agree."""
    b, c = np.array([0.244, 0.239, 0.164, 0.112]), np.array([1.50, 1.19, 1.27, 1.36])
    d = np.array([1936.0, 3650.0, 5237.0, 6677.0])
    curve = magic_formula.lateral_curve(MAGIC, LOADS)
    np.testing.assert_allclose(curve.d, d, rtol=FIT_D)
    np.testing.assert_allclose(slope_at_no_slip(curve), b * c * d, rtol=FIT_BCD)
    along = magic_formula.longitudinal_curve(MAGIC, LOADS)
    np.testing.assert_allclose(along.d, [2193.0, 4236.0, 6090.0, 7711.0], rtol=FIT_D)


def test_1987_load_sensitivity():
    """V7.1: friction falls 0.0221 per kN; stiffness peaks at 1 078 N/deg at 5.619 kN; 2 + 6 kN lose 13.1 % to 4 + 4."""
    curve = magic_formula.lateral_curve(MAGIC, LOADS)
    np.testing.assert_allclose(np.diff(curve.d / LOADS), -2 * 0.0221, rtol=1e-9)
    loads = np.arange(5000.0, 6500.0, 1.0)
    stiffness = slope_at_no_slip(magic_formula.lateral_curve(MAGIC, loads))
    assert stiffness.max() == pytest.approx(1078.0, abs=STIFFNESS_DIGIT)
    assert loads[stiffness.argmax()] == pytest.approx(5619.0, abs=1.0)
    light, middle, heavy = slope_at_no_slip(curve)[:3]
    assert light + heavy == pytest.approx(1784.9, abs=0.05)
    assert 2.0 * middle == pytest.approx(2054.7, abs=0.05)
    assert (light + heavy) / (2.0 * middle) - 1.0 == pytest.approx(-0.131, abs=0.0005)


def test_demo_tyre_peaks_at_one_and_falls_to_853():
    """The design's demo tyre, an independent calculation: C 1.35, B 1.75, E -0.816, peak at s = 1, falls to .853."""
    slip = np.linspace(0.0, 5.0, 50_001)
    curve = tyre.curve(SIMILARITY, slip)
    assert slip[curve.argmax()] == pytest.approx(1.0, abs=0.001)  # B and E are given to three digits
    assert curve.max() == pytest.approx(1.0, abs=1e-6)
    assert tyre.curve(SIMILARITY, 1e9) == pytest.approx(0.853, abs=0.0005)


@pytest.mark.parametrize(
    ("load", "lean", "friction", "peak_degrees"),
    [(3000.0, 0.0, 1.42, 6.2), (5000.0, 0.0, 1.33, 6.7), (1000.0, 0.1, 1.51 * 0.94, 5.7)],
)
def test_demo_tyre_friction_and_peak_slip_angle(load, lean, friction, peak_degrees):
    """The design's demo tyre by hand: 1.42 at 3 kN less .045 per kN, x (1 - 6 g^2); 6.2 deg + .25 deg/kN above 3 kN."""
    assert tyre.friction(SIMILARITY, load, lean) == pytest.approx(friction, rel=1e-12)
    assert np.degrees(tyre.peak_slip_angle(SIMILARITY, load)) == pytest.approx(peak_degrees, rel=1e-12)
    angles = np.radians(np.linspace(3.0, 10.0, 7001))
    side = -tyre.forces(SIMILARITY, load, angles, 0.0, lean)[1]
    assert side.max() == pytest.approx(friction * load, rel=1e-6)
    # The lean adds .07 of itself to the slip angle, so the peak comes that much earlier; grid 0.001 deg, s = 1 to 1e-3.
    assert np.degrees(angles[side.argmax()] + 0.07 * lean) == pytest.approx(peak_degrees, abs=0.008)


def test_demo_tyre_longitudinal_peak():
    """The design's demo tyre: mu_x / mu_y 1.05, peak at slip ratio .095."""
    ratios = np.linspace(0.05, 0.2, 15_001)
    drive = tyre.forces(SIMILARITY, 3000.0, 0.0, ratios, 0.0)[0]
    assert drive.max() == pytest.approx(1.05 * 1.42 * 3000.0, rel=1e-6)
    assert ratios[drive.argmax()] == pytest.approx(0.095, abs=1.5e-4)


def test_demo_tyre_carries_its_corner_loads():
    """The design's demo tyre: 255 N/mm at 22 psi, 6.5 per psi; corner loads 3 020 and 2 768 N."""
    for load in (3020.0, 2768.0):
        assert tyre.deflection_for(SIMILARITY, load, 22 * PSI) == pytest.approx(load / 255e3, rel=1e-12)
        assert tyre.deflection_for(SIMILARITY, load, 24 * PSI) == pytest.approx(load / 268e3, rel=1e-12)


@pytest.mark.parametrize(("stiff", "low", "high"), [("lateral", 0.3, 0.6), ("longitudinal", 0.1, 0.3)])
def test_demo_tyre_relaxation_lengths_are_ordinary(stiff, low, high):
    """Common practice, no source: sigma = C / c, lateral 0.3-0.6 m, longitudinal 0.1-0.3 m."""
    tiny = 1e-4
    fx, fy = tyre.forces(SIMILARITY, 3000.0, tiny, 0.0, 0.0), tyre.forces(SIMILARITY, 3000.0, 0.0, tiny, 0.0)
    slope = -fx[1] / tiny if stiff == "lateral" else fy[0] / tiny
    carcass = SIMILARITY.lateral_stiffness if stiff == "lateral" else SIMILARITY.longitudinal_stiffness
    assert low <= slope / carcass <= high
