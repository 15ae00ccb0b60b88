"""Every demo car, whatever its layout, has an effects table without holes."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright import effects, load
from axlewright.car.file import DEMO_CARS
from axlewright.solve.results import Result

ELSEWHERE = ("teasel", "bramble")  # their tables are looked at more closely in test_effects.py
BALANCE = "balance"


@pytest.mark.slow
@pytest.mark.parametrize("name", [name for name in DEMO_CARS if name not in ELSEWHERE])
def test_the_table_is_whole(name):
    """Each phase is held, each adjuster has a row in both directions that it can move, and each says its balance."""
    car = load(name)
    table = effects(car, restored=False, confidence=False)
    assert (np.asarray(table.base_result) == Result.SOLVED).all()
    for adjuster in (a for a in table.adjusters.values() if a.acts == "held"):
        free = [way for way in (1, -1) if adjuster.lo <= adjuster.position + way * adjuster.step <= adjuster.hi]
        rows = {row.steps: row for row in table.rows if row.adjuster == adjuster.id}
        assert set(free) <= set(rows), adjuster.id
        for row in rows.values():
            assert (row.result == Result.SOLVED).all(), (adjuster.id, row.steps)
            assert np.isfinite(row.change[:, [r.id for r in table.readings].index(BALANCE)]).all()
