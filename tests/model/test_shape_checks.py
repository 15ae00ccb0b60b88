"""Arguments of the model and the solver are checked against their types and shapes while tests run, and only then."""

from __future__ import annotations

import numpy as np
import pytest
from jaxtyping import TypeCheckError

from axlewright.model.vectors import cross
from axlewright.solve.demand import rest_demand
from axlewright.solve.limit import direction_of
from tests.cars import TEASEL


@pytest.mark.parametrize(
    "call",
    [
        lambda: cross([1.0, 2.0, 3.0], np.ones(3)),  # pyright: ignore[reportArgumentType]
        lambda: cross(np.ones((2, 5)), np.ones((3, 5))),
        lambda: TEASEL.machine.flat(np.zeros(50)),
        lambda: rest_demand("four"),  # pyright: ignore[reportArgumentType]
        lambda: direction_of(np.zeros(3)),  # pyright: ignore[reportArgumentType]
        lambda: TEASEL.rest.take([0]),  # pyright: ignore[reportArgumentType]
    ],
    ids=["model", "two components", "no batch", "solve", "a record", "a method"],
)
def test_wrong_types_and_shapes_are_refused(call):
    with pytest.raises(TypeCheckError):
        call()
