"""What every elastic law of the registry must do, whatever its kind."""

from __future__ import annotations

import jax
import jax.numpy as jnp
import numpy as np
import pytest

from axlewright.parts import ELASTIC
from axlewright.parts.elastic import Knots, rate, set_for, tension
from tests.parts.cases import ELASTIC_CASES

LAWS = [pytest.param(kind, properties, id=f"{kind}-{i}") for i, (kind, properties) in enumerate(ELASTIC_CASES)]

SAME = 1e-13  # relative: the two libraries may add in another order, nothing else
DIFFERENCE_STEP = 1e-8  # m; far inside the narrowest corner (2 um), where the law is one parabola
# A central difference of a parabola is exact; what is left is rounding: 1e5 N x 2e-16 / 1e-8 m = 2e-3 N/m.
DIFFERENCE_ERROR = 0.05  # N/m, against rates of 6 000 N/m and more
INVERSE_ERROR = 1e-8  # N; rounding of 1e5 N loads on 50 kN/mm of solid coils: 5e7 N/m x 1e-17 m, with room


def law(kind: str, properties: dict, xp=np) -> Knots:
    return ELASTIC[kind]({name: xp.asarray(value) for name, value in properties.items()}, xp=xp)


def extensions(knots: Knots) -> np.ndarray:
    """Extensions all over the law: each corner's ends and middle, between the corners and well outside."""
    onset, width = np.asarray(knots.onset), np.asarray(knots.width)
    reached = np.isfinite(onset)
    ends = np.concatenate([(onset - width)[reached], onset[reached], (onset + width)[reached], [-0.02, 0.0, 0.2]])
    ends = np.unique(ends)
    u = np.sort(np.concatenate([ends, 0.5 * (ends[1:] + ends[:-1])]))
    return np.asarray(knots.sense) * (u - np.asarray(knots.set))


def test_every_kind_has_a_case():
    assert {kind for kind, _ in ELASTIC_CASES} == set(ELASTIC)


@pytest.mark.parametrize(("kind", "properties"), LAWS)
def test_jax_gives_what_numpy_gives(kind, properties):
    e = extensions(law(kind, properties))
    with_jax = jax.jit(lambda x: tension(law(kind, properties, jnp), x, jnp))(jnp.asarray(e))
    assert with_jax.dtype == jnp.float64
    np.testing.assert_allclose(with_jax, tension(law(kind, properties), e), rtol=SAME, atol=1e-9)


@pytest.mark.parametrize(("kind", "properties"), LAWS)
def test_rate_is_the_exact_derivative_also_at_every_corner(kind, properties):
    knots = law(kind, properties)
    e = extensions(knots)
    automatic = jax.vmap(jax.grad(lambda x: tension(law(kind, properties, jnp), x, jnp)))(jnp.asarray(e))
    np.testing.assert_allclose(automatic, np.broadcast_to(rate(knots, e), e.shape), rtol=1e-9, atol=1e-6)


@pytest.mark.parametrize(("kind", "properties"), LAWS)
def test_rate_equals_a_finite_difference(kind, properties):
    knots = law(kind, properties)
    e = extensions(knots)
    e = np.unique(0.5 * (e[1:] + e[:-1]))  # away from where two parabolas meet
    e = e[np.min(np.abs(e[:, None] - extensions(knots)), axis=1) > 2.0 * DIFFERENCE_STEP]
    h = DIFFERENCE_STEP
    difference = (tension(knots, e + h) - tension(knots, e - h)) / ((e + h) - (e - h))
    np.testing.assert_allclose(difference, np.broadcast_to(rate(knots, e), e.shape), rtol=1e-7, atol=DIFFERENCE_ERROR)


@pytest.mark.parametrize(("kind", "properties"), LAWS)
def test_derivatives_to_every_property_are_finite(kind, properties):
    inputs = {name: jnp.asarray(value, dtype=float) for name, value in properties.items()}
    for e in extensions(law(kind, properties)):
        slopes = jax.grad(lambda p, e=e: tension(ELASTIC[kind](p, xp=jnp), e, jnp))(inputs)
        assert all(np.all(np.isfinite(slope)) for slope in slopes.values()), (e, slopes)


@pytest.mark.parametrize(("kind", "properties"), LAWS)
def test_tension_never_falls_with_extension(kind, properties):
    knots = law(kind, properties)
    assert np.all(rate(knots, np.linspace(-0.3, 0.3, 20_001)) >= 0.0)
    assert np.all(np.diff(tension(knots, np.sort(extensions(knots)))) >= -1e-9)


@pytest.mark.parametrize(("kind", "properties"), LAWS)
def test_set_for_is_the_inverse_of_the_law(kind, properties):
    knots = law(kind, properties)
    asked = tension(knots, extensions(knots))
    place, reachable = set_for(knots, asked)
    assert np.all(reachable)
    np.testing.assert_allclose(tension(knots._replace(set=place), 0.0), asked, rtol=1e-9, atol=INVERSE_ERROR)


@pytest.mark.parametrize(("kind", "properties"), LAWS)
def test_a_batch_is_its_members(kind, properties):
    def member(m):
        # Every property changes by its own share, so that none of them can stand in for another.
        shares = {name: 1.0 + 0.02 * m * (i + 1) for i, name in enumerate(properties) if name != "sense"}
        return {name: np.asarray(value) * shares.get(name, 1.0) for name, value in properties.items()}

    members = [member(m) for m in (-1, 0, 1)]
    batch = law(kind, {name: np.stack([m[name] for m in members], axis=-1) for name in properties})
    e = np.linspace(-0.06, 0.06, 13)
    alone = np.stack([tension(law(kind, m), e) for m in members], axis=-1)
    np.testing.assert_allclose(tension(batch, e[:, None]), alone, rtol=SAME, atol=1e-9)
