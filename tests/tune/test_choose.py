"""What can be done at a place within a time."""

from __future__ import annotations

import pytest

from axlewright.car.adjusters import adjusters_of
from axlewright.errors import RequestError
from axlewright.tune.choose import within
from tests.cars import TEASEL

EVERY = adjusters_of(TEASEL.car)


def test_nothing_asked_is_all():
    assert within(TEASEL.car, (), None, None) is None
    assert within(TEASEL.car, ("wing",), None, None) == ["wing"]


def test_the_grid_in_five_minutes():
    found = within(TEASEL.car, (), "grid", 5.0)
    assert found is not None
    assert {"pressure_front", "brake_bias"} <= set(found)
    assert all(EVERY[key].place == "grid" and EVERY[key].minutes <= 5.0 for key in found)


def test_a_better_equipped_place_can_do_more():
    at = {place: set(within(TEASEL.car, (), place, None) or ()) for place in ("grid", "pits", "scales", "workshop")}
    assert at["grid"] < at["pits"] < at["scales"] < at["workshop"] == set(EVERY)
    assert "front_bar_hole" in at["pits"] - at["grid"]


def test_nothing_left_is_said():
    with pytest.raises(RequestError, match=r"at the grid within 0.5 minutes; allow more time or another place"):
        within(TEASEL.car, (), "grid", 0.5)
