"""Samples and what is between them: through every sample, smooth, level beyond the ends; roads that are added."""

from __future__ import annotations

import jax.numpy as jnp
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import CubicHermiteSpline

from axlewright.errors import RequestError
from axlewright.model.moving.script import Surface, _under
from axlewright.model.parameters import BlockParameters, CarParameters, Wheels
from axlewright.model.topology import Topology
from axlewright.road import Road, bump, kerb, level, measured, patch, ripples, rough
from axlewright.road.profile import SIDES
from axlewright.solve.motion.roads import surface_of
from tests.handmade_car import described

SAMPLES = np.array([0.0, 0.0, 0.03, -0.02, 0.05, 0.01, 0.01])
UNEVEN = measured(SAMPLES, -2.0 * SAMPLES, spacing=0.25, at=3.0, right_grip=np.linspace(1.0, 0.4, 7))
AT = np.linspace(2.0, 6.0, 401)
ROUNDING = 1e-12


def test_between_samples_it_is_the_cubic_with_central_slopes():
    """Catmull-Rom is the Hermite cubic whose slopes are central differences; scipy's Hermite spline knows it."""
    padded = np.concatenate([SAMPLES[:1], SAMPLES, SAMPLES[-1:]])
    spline = CubicHermiteSpline(3.0 + 0.25 * np.arange(7), SAMPLES, (padded[2:] - padded[:-2]) / 0.5)
    inside = AT[(UNEVEN.start < AT) & (UNEVEN.end > AT)]
    np.testing.assert_allclose(UNEVEN.read(inside, "left"), spline(inside), atol=ROUNDING)
    np.testing.assert_allclose(UNEVEN.read(inside, "right"), -2.0 * spline(inside), atol=ROUNDING)
    np.testing.assert_allclose(UNEVEN.slope(inside, "left"), spline(inside, 1), atol=ROUNDING)


def test_beyond_the_ends_the_last_value_holds_level():
    far = np.array([-1e3, 2.99, 4.51, 1e3])
    np.testing.assert_array_equal(UNEVEN.read(far, "left"), [0.0, 0.0, 0.01, 0.01])
    np.testing.assert_array_equal(UNEVEN.read(far, "right", "grip"), [1.0, 1.0, 0.4, 0.4])
    np.testing.assert_array_equal(UNEVEN.slope(far, "right"), 0.0)


@pytest.mark.parametrize(("per_wave", "most"), [(4, 0.12), (8, 0.01), (32, 1.5e-4)])
def test_how_much_of_a_crest_is_lost_between_samples(per_wave, most):
    """The shares that the check and the makers' own spacing rest on; each is at least half used."""
    at = np.linspace(5.0, 45.0, 4001)
    lost = []
    for phase in np.linspace(0.0, 1.0, 11):
        wave = measured(np.sin(2.0 * np.pi * (np.arange(60) + phase) / per_wave), spacing=1.0)
        lost.append(np.abs(wave.read(at, "left") - np.sin(2.0 * np.pi * (at + phase) / per_wave)).max())
    assert 0.5 * most < max(lost) < most


def _only(kind: type, **fields):
    """Parameters with just these fields, for a function that looks at nothing else."""
    return kind(**(dict.fromkeys(kind._fields) | fields))


def test_the_moving_model_reads_a_road_in_the_same_way():
    topology = Topology(described()[0])
    places = [np.array([[x, y, 0.3] for y in (0.7, -0.7)]).T[:, None, :, None] for x in (1.4, -1.1)]
    shapes = [(3, block.n_wheels, block.n_copies, 1) for block in topology.blocks]
    car = _only(
        CarParameters,
        blocks=tuple(
            _only(BlockParameters, wheels=_only(Wheels, centre=place.reshape(shape)))
            for place, shape in zip(places, shapes, strict=True)
        ),
    )
    found = _under(topology, car, Surface(*map(jnp.asarray, surface_of(UNEVEN))), jnp.asarray(AT))
    ours = (UNEVEN.read, UNEVEN.slope, lambda at, side: UNEVEN.read(at, side, "grip"))
    wheels = [(x, side) for x in (1.4, -1.1) for side in SIDES]
    for theirs, one in zip(found, ours, strict=True):
        for wheel, (x, side) in enumerate(wheels):
            # the model's road goes on with its last values: its slope is 0 from one sample behind the end only
            inside = AT + x <= UNEVEN.end
            np.testing.assert_allclose(theirs[wheel][inside], one((AT + x)[inside], side), atol=ROUNDING)


PARTS = [
    kerb(at=12.0),
    ripples(wave=2.0, height=0.02, at=8.0, length=22.0, side="opposed"),
    bump(height=0.03, length=0.5, at=20.3, side="right"),
    patch(grip=0.5, at=15.0, length=10.0, side="left"),
    rough("B", length=40.0),
    level(),
]


def test_added_roads_are_sums_of_heights_and_products_of_grips():
    whole = sum(PARTS[1:], PARTS[0])
    at = whole.start + whole.spacing * np.arange(len(whole.height))
    for i, side in enumerate(SIDES):
        height = sum(road.read(at, side) for road in PARTS)
        np.testing.assert_allclose(whole.height[:, i], height, atol=1e-5)  # m: coarser ones are read between twice
    assert whole.spacing == min(road.spacing for road in PARTS)
    assert whole.waves == min(road.waves for road in PARTS)
    assert whole.start <= min(road.start for road in PARTS)
    assert whole.end >= max(road.end for road in PARTS)
    assert whole.name.startswith("a kerb of 30 mm and ripples")
    both = patch(grip=0.5, at=10.0, length=10.0) + patch(grip=0.8, at=15.0, length=10.0)
    np.testing.assert_allclose(both.read([5.0, 12.0, 18.0, 22.0, 30.0], "left", "grip"), [1.0, 0.5, 0.4, 0.8, 1.0])


@given(begins=st.floats(0.0, 30.0))
def test_the_finer_road_keeps_its_own_samples(begins):
    fine = bump(at=begins, length=0.1)
    whole = fine + kerb(at=begins - 7.77, length=2.0)  # starts before it
    np.testing.assert_allclose(
        whole.read(fine.start + fine.spacing * np.arange(36), "left"), fine.height[:36, 0], atol=ROUNDING
    )


@pytest.mark.parametrize("road", PARTS)
def test_every_made_road_starts_and_ends_level(road):
    np.testing.assert_allclose(road.height[[0, -1]], 0.0, atol=ROUNDING)
    steep = np.abs([road.slope(x, side) for x in (road.start, road.end) for side in SIDES])
    assert steep.max() < 1e-3 * max(np.abs(np.diff(road.height, axis=0)).max() / road.spacing, ROUNDING)


def test_samples_cannot_be_written_to_afterwards():
    mine = np.stack([SAMPLES, SAMPLES], axis=1)
    road = Road("mine", 0.0, 0.1, mine, np.ones_like(mine))
    mine[:] = 9.0
    assert road.height.max() < 1.0
    with pytest.raises(ValueError, match="read-only"):
        road.height[0] = 1.0


@pytest.mark.parametrize(
    ("made", "message"),
    [
        (
            lambda: Road("mine", 0.0, 0.1, np.zeros((5, 3)), np.ones((5, 3))),
            r"mine has height of shape \(5, 3\)",
        ),
        (lambda: Road("mine", 0.0, 0.1, np.zeros((5, 2)), np.ones((4, 2))), r"mine has grip of shape \(4, 2\)"),
        (lambda: measured([0.0, np.nan], spacing=0.1), "measured road has a height that is no number"),
        (lambda: measured([0.0, 1.0], spacing=0.0), "has a sample every 0 m from 0 m on; expected more than 0 m"),
        (lambda: measured([0.0, 1.0], spacing=0.1, left_grip=0.0), "has a grip of 0; expected factors above 0"),
        (
            lambda: measured([0.0, 1.0, 2.0], [0.0, 1.0], spacing=0.1),
            "has 3 left heights and 2 right heights",
        ),
    ],
)
def test_samples_that_are_no_road_are_refused_with_their_reason(made, message):
    with pytest.raises(RequestError, match=message):
        made()


def test_a_measured_road_is_fine_enough_only_when_driven_fast_enough():
    road = measured(0.01 * np.sin(np.arange(200)), spacing=0.25)
    assert road.checked(25.0, 0.002) is road
    message = (
        r" was measured every 0\.25 m; expected every 0\.125 m or closer at 10 m/s, 4 samples for each of the 20 waves "
        r"a second that a wheel answers to: measure it more closely, or go faster$"
    )
    for coarse in (road, road + kerb(), kerb() + road):
        with pytest.raises(RequestError, match=r"measured road.*" + message):
            coarse.checked(10.0, 0.0005)
    measured(np.zeros(20), spacing=5.0).checked(10.0, 0.002)  # level: nothing between samples
    road.checked(0.0, 0.002)  # standing, nothing passes


def test_waves_too_short_for_samples_or_looks_are_refused():
    height = 0.01 * np.sin(np.arange(40))[:, None] * np.ones(2)
    coarse = Road("mine", 0.0, 0.1, height, np.ones((40, 2)), waves=0.3)
    with pytest.raises(RequestError, match=r"mine has waves of 0\.3 m and a sample every 0\.1 m; expected at least 4"):
        coarse.checked(50.0, 0.001)
    road = ripples(wave=0.3)
    road.checked(25.0, 0.002)
    with pytest.raises(RequestError, match=r"a wave of 0\.3 m passes in 12\.0 ms.*looked at every 10\.0 ms"):
        road.checked(25.0, 0.010)
    road.checked(0.0, 0.010)
