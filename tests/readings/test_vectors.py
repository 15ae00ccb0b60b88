"""The readings' vectors in numpy against the model's in JAX: two writings of the same formulas."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.model import vectors as compiled
from axlewright.readings import _vectors as plain

ROUNDING = 1e-13  # of numbers up to some tens
RANDOM = np.random.default_rng(1)
POINTS, OTHERS, TURNS = (RANDOM.normal(size=(3, 4, 2, 5)) for _ in range(3))
ROTATION = np.asarray(compiled.cayley(TURNS[:, 0]))  # (3, 3, copies, B), without the points' own axis


@pytest.mark.parametrize(
    ("name", "arguments"),
    [
        ("dot", (POINTS, OTHERS)),
        ("cross", (POINTS, OTHERS)),
        ("rotate", (ROTATION, POINTS)),
        ("rotate_back", (ROTATION, POINTS)),
        ("cayley", (TURNS,)),
        ("cayley_rate", (TURNS,)),
        ("turn_x", (TURNS[0],)),
    ],
)
def test_both_writings_agree(name, arguments):
    np.testing.assert_allclose(
        getattr(plain, name)(*arguments), getattr(compiled, name)(*arguments), rtol=0, atol=ROUNDING
    )


def test_turns_about_two_axes_are_the_models_attitude():
    pitch, roll = RANDOM.normal(size=(2, 5))
    both = plain.rotate(plain.turn_y(pitch), plain.turn_x(roll))
    np.testing.assert_allclose(both, compiled.attitude(pitch, roll), rtol=0, atol=ROUNDING)
