"""Rough roads against ISO 8608: level and slope of the spectrum, classes, rms values, and two tracks of one surface.

V8.1 and V8.2 of the list of check values: classes read in public code that quotes the standard, rms values derived from
them. Coherence of an isotropic road: Dodds and Robson (1973), from memory; its closed form is checked by a quadrature
over the plane.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.signal import csd, welch
from scipy.special import k1

from axlewright.road import CLASSES, rough
from axlewright.road.rough import LONGEST, SHORTEST, coherence, tracks

TRACK = 1.5  # m
BAND = (0.011, 2.83)  # cycle/m, printed
SPACING = 1.0 / 32.0  # m
LONG = 2**19  # samples, 16 km: some 250 segments of 128 m
SEGMENT = 2**12
STATISTICS = 0.03  # of a mean over 250 random segments and a few lines: 1/sqrt(1000)


@pytest.fixture(scope="module")
def road() -> np.ndarray:
    return tracks(CLASSES["A"], LONG, SPACING, TRACK, seed=7)


def test_classes_are_powers_of_four_and_meet_at_the_printed_boundaries():
    printed = np.array([16.0, 64.0, 256.0, 1024.0, 4096.0, 16384.0, 65536.0, 262144.0]) * 1e-6
    np.testing.assert_allclose(list(CLASSES.values()), printed, rtol=1e-15)
    boundaries = np.array([32.0, 128.0, 512.0, 2048.0, 8192.0, 32768.0, 131072.0]) * 1e-6
    np.testing.assert_allclose(np.sqrt(printed[:-1] * printed[1:]), boundaries, rtol=1e-15)
    np.testing.assert_allclose([1.0 / LONGEST, 1.0 / SHORTEST], BAND, rtol=1e-15)


@pytest.mark.parametrize(("name", "printed"), [("A", 3.806), ("B", 7.613), ("C", 15.226), ("D", 30.451)])
def test_rms_height_of_a_class(name, printed):
    """Over 0.011 to 2.83 cycles/m, mm; each track has it, since every line of the spectrum has just its power."""
    rms = np.sqrt(np.mean(tracks(CLASSES[name], 2**15, SPACING, TRACK, seed=3) ** 2, axis=0))
    np.testing.assert_allclose(1e3 * rms, printed, atol=5e-4)  # the last printed digit


@pytest.mark.parametrize("k", [3, 4, 5])
def test_the_popular_generator_is_a_class_boundary(k):
    """V8.2: lines of amplitude sqrt(dn) 2^k 1e-3 n0/n have G(n0) = 2^(2k-1) 1e-6 m3, where two classes meet."""
    level = 2.0 ** (2 * k - 1) * 1e-6
    means = list(CLASSES.values())
    assert level == pytest.approx(np.sqrt(means[k - 3] * means[k - 2]), rel=1e-12)
    n = np.linspace(*BAND, 400_001)
    theirs = np.trapezoid(0.5 * (2.0**k * 1e-3 * 0.1 / n) ** 2, n)  # mean square of the lines
    ours = np.mean(tracks(level, 2**15, SPACING, TRACK, seed=1) ** 2)
    assert ours == pytest.approx(theirs, rel=1e-6)


def test_spectrum_of_the_generated_road_has_the_level_and_the_slope_of_its_class(road):
    for side in range(2):
        n, found = welch(road[:, side], 1.0 / SPACING, nperseg=SEGMENT)
        fitted = (n > 0.03) & (n < 2.5)  # windows leak over the ends of the band
        slope, level = np.polyfit(np.log(n[fitted] / 0.1), np.log(found[fitted]), 1)
        assert slope == pytest.approx(-2.0, abs=0.01)
        assert np.exp(level) == pytest.approx(16e-6, rel=0.02)
        outside = n > 1.05 * BAND[1]
        assert found[outside].max() < 1e-3 * 16e-6 * (BAND[1] / 0.1) ** -2


def test_velocity_spectrum_of_class_a_is_flat(road):
    """V8.1: (2 pi n)^2 G = 6.3165e-6 m for class A, at all n."""
    n, found = welch(road[:, 0], 1.0 / SPACING, nperseg=SEGMENT)
    for low, high in ((0.05, 0.2), (0.2, 0.8), (0.8, 2.5)):
        band = (n > low) & (n < high)
        assert np.mean((2.0 * np.pi * n[band]) ** 2 * found[band]) == pytest.approx(6.3165e-6, rel=STATISTICS)


@pytest.mark.parametrize("n0", [0.05, 0.1, 0.2, 0.3, 0.5, 1.0])
def test_tracks_of_the_generated_road_are_as_alike_as_an_isotropic_surface_makes_them(road, n0):
    n, left = welch(road[:, 0], 1.0 / SPACING, nperseg=SEGMENT)
    _, right = welch(road[:, 1], 1.0 / SPACING, nperseg=SEGMENT)
    _, cross = csd(road[:, 0], road[:, 1], 1.0 / SPACING, nperseg=SEGMENT)
    near = np.abs(n - n0) < 0.1 * n0
    expected = np.mean(coherence(n[near], TRACK))
    found = cross[near].sum() / np.sqrt(left[near].sum() * right[near].sum())
    assert found.real == pytest.approx(expected, abs=2.0 * STATISTICS)
    assert found.imag == pytest.approx(0.0, abs=2.0 * STATISTICS)  # neither track leads


@pytest.mark.parametrize("n0", [0.02, 0.1, 0.4, 1.0])
def test_coherence_is_what_the_plane_gives(n0):
    """Share of cos(2 pi n_y b) in (n_x^2 + n_y^2)^(-3/2) summed over n_y; and x K1(x) by scipy."""
    across, _ = quad(lambda y: (n0**2 + y**2) ** -1.5, 0.0, np.inf, weight="cos", wvar=2.0 * np.pi * TRACK, epsabs=1e-9)
    assert coherence(n0, TRACK) == pytest.approx(across * n0**2, rel=1e-5, abs=1e-6)  # all of it is 1/n_x^2
    x = 2.0 * np.pi * n0 * TRACK
    assert coherence(n0, TRACK) == pytest.approx(x * k1(x), rel=1e-12)


def test_tracks_that_lie_on_each_other_are_alike_and_far_ones_share_nothing():
    assert coherence(0.0, TRACK) == 1.0
    assert coherence(1.0, 1e-7) == pytest.approx(1.0, abs=1e-6)
    assert coherence(1.0, 100.0) == pytest.approx(0.0, abs=1e-12)
    together = tracks(16e-6, 2**12, SPACING, 1e-9, seed=2)
    np.testing.assert_allclose(together[:, 0], together[:, 1], atol=1e-6)


def test_a_road_of_a_class_is_a_piece_of_that_pattern():
    road = rough("B", length=60.0, run_in=5.0, seed=5)
    samples = 2 ** int(np.ceil(np.log2(1024.0 / road.spacing)))
    whole = tracks(CLASSES["B"], samples, road.spacing, 1.5, seed=5)
    inside = slice(int(6.0 / road.spacing), int(54.0 / road.spacing))
    np.testing.assert_allclose(road.height[inside], whole[inside], atol=1e-15)
