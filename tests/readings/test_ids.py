"""Each reading has an id of its own: one that is there twice would be read in one place and defined in another."""

from __future__ import annotations

from collections import Counter

import pytest

from axlewright.readings import FAMILIES, READINGS, readings_of
from tests.cars import BRAMBLE, TEASEL


def test_no_id_is_there_twice():
    ids = Counter(reading.id for family in FAMILIES for reading in family)
    assert [name for name, times in ids.items() if times > 1] == []


@pytest.mark.parametrize("demo", [TEASEL, BRAMBLE], ids=lambda demo: demo.name)
def test_a_cars_own_readings_are_kept_under_their_ids(demo):
    have = readings_of(demo.machine)
    assert READINGS.keys() <= have.keys()
    assert all(reading.id == name for name, reading in have.items())
