"""Each made road has the height, length, side and grip that were asked for; what makes no sense is refused."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.errors import RequestError
from axlewright.road import bump, kerb, level, patch, ripples, rough

BETWEEN = 1.5e-4  # of a height: what the cubic loses with 32 samples a wave (see the test of it)


@pytest.mark.parametrize(
    ("side", "left", "right"), [("both", 1, 1), ("left", 1, 0), ("right", 0, 1), ("opposed", 1, -1)]
)
@pytest.mark.parametrize("make", [kerb, bump, ripples])
def test_each_shape_lifts_the_side_that_was_asked_for(make, side, left, right):
    at = np.linspace(0.0, 60.0, 2001)
    shape = make(side="both").read(at, "left")
    assert np.ptp(shape) > 0.009
    np.testing.assert_array_equal(make(side=side).read(at, "left"), left * shape)
    np.testing.assert_array_equal(make(side=side).read(at, "right"), right * shape)


def test_ripples_are_a_sine_of_their_height_from_trough_to_crest():
    road = ripples(wave=1.3, height=0.024, at=10.0, length=30.0)
    at = np.linspace(11.4, 38.6, 5001)
    sine = 0.012 * np.sin(2.0 * np.pi * (at - 10.0) / 1.3)
    np.testing.assert_allclose(road.read(at, "left"), sine, atol=BETWEEN * 0.012)
    assert np.abs(road.slope(at, "left")).max() == pytest.approx(0.012 * 2.0 * np.pi / 1.3, rel=0.01)
    np.testing.assert_array_equal(road.read([9.9, 40.1], "left"), 0.0)
    assert np.abs(road.read(np.linspace(10.0, 10.65, 99), "left")).max() < 0.5 * 0.012  # halfway into its run-in


@pytest.mark.parametrize("height", [0.05, -0.03])
def test_a_bump_has_its_height_in_the_middle_and_its_volume(height):
    road = bump(height=height, length=0.7, at=12.34)
    assert road.read(12.34 + 0.35, "right") == pytest.approx(height, rel=2.0 * BETWEEN)
    at = np.linspace(12.0, 13.5, 15001)
    assert np.trapezoid(road.read(at, "left"), at) == pytest.approx(0.5 * height * 0.7, rel=2.0 * BETWEEN)
    np.testing.assert_array_equal(road.read([12.0, 13.4], "left"), 0.0)


def test_a_kerb_is_flat_on_top_between_its_ramps():
    road = kerb(height=0.06, at=15.0, length=4.0, ramp=0.3, side="right")
    np.testing.assert_allclose(road.read(np.linspace(15.31, 18.69, 101), "right"), 0.06, rtol=2.0 * BETWEEN)
    np.testing.assert_allclose(road.read([15.15, 18.85], "right"), 0.03, rtol=2.0 * BETWEEN)
    assert road.slope(15.15, "right") == pytest.approx(np.pi / 2.0 * 0.06 / 0.3, rel=0.01)
    assert road.slope(18.85, "right") == pytest.approx(-np.pi / 2.0 * 0.06 / 0.3, rel=0.01)
    np.testing.assert_array_equal(road.read([14.9, 19.1], "right"), 0.0)


def test_a_patch_changes_grip_where_it_lies_and_nothing_else():
    road = patch(grip=0.6, at=20.0, length=10.0, side="left")
    np.testing.assert_allclose(road.read([19.9, 20.1, 29.9, 30.1], "left", "grip"), [1.0, 0.6, 0.6, 1.0])
    np.testing.assert_array_equal(road.read(np.linspace(0.0, 50.0, 99), "right", "grip"), 1.0)
    np.testing.assert_array_equal(road.height, 0.0)


def test_the_same_rough_road_comes_again_and_another_seed_is_another():
    one, same, other = rough("C", length=50.0), rough("C", length=50.0), rough("C", length=50.0, seed=2)
    np.testing.assert_array_equal(one.height, same.height)
    assert np.abs(one.height - other.height).max() > 1e-3
    at = np.linspace(0.0, 44.0, 501)  # a longer road is the same one for longer
    np.testing.assert_array_equal(one.read(at, "right"), rough("C", length=80.0).read(at, "right"))


@pytest.mark.parametrize("road", [level(), kerb(), bump(length=0.1), ripples(wave=0.3), rough("D", length=20.0)])
def test_made_roads_are_fine_enough_for_their_waves(road):
    for speed in (1.0, 90.0):
        assert road.checked(speed, 0.0005) is road


@pytest.mark.parametrize(
    ("made", "message"),
    [
        (lambda: ripples(wave=0.0), "a wave of 0 m; expected more than 0"),
        (lambda: ripples(length=-5.0), "a length of -5 m; expected more than 0"),
        (lambda: bump(length=np.inf), "a length of inf m; expected more than 0"),
        (lambda: kerb(length=0.5, ramp=0.3), r"a top of -0\.1 m; expected more than 0"),
        (lambda: patch(grip=0.0), "a grip of 0; expected a factor above 0"),
        (lambda: patch(side="opposed"), 'side "opposed"; expected left, right or both'),
        (lambda: rough("J"), 'road class "J"; expected one of A, B, C, D, E, F, G, H'),
        (lambda: rough(-1.0), "a road spectrum of -1 m3 at 0.1 cycle/m; expected more than 0"),
        (lambda: rough("A", track=0.0), "a track of 0 m; expected more than 0"),
    ],
)
def test_a_road_that_makes_no_sense_is_refused_with_its_reason(made, message):
    with pytest.raises(RequestError, match=message):
        made()
