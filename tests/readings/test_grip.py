"""Grip left and longitudinal use at the limit: what has run out must read nothing left there."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from axlewright.solve.limit import Limit, limit
from tests.cars import TEASEL
from tests.textbook_car import G, read

# At a fold of the whole car, a little more slip at the end that lets go changes nothing else but loads, which grip left
# holds still: 0.0004 g here.
NOTHING = 0.001 * G
ALL_USED = 2e-4  # a brake or a wheel at the peak of its own curve
PHASES = [phase.name for phase in TEASEL.car.phases]


@cache
def furthest() -> Limit:
    return limit(TEASEL.held)


def at(phase):
    return 2 * PHASES.index(phase)


@pytest.mark.parametrize("phase", ["mid-corner", "fast corner", "kerb"])
def test_no_grip_is_left_at_the_end_that_lets_go(phase):
    found = furthest()
    assert found.ran_out[at(phase)] == "front pushes"
    assert abs(read(found.at, "grip_left_front")[at(phase)]) < NOTHING
    assert read(found.at, "grip_left_rear")[at(phase)] > 50 * NOTHING
    assert read(TEASEL.held, "grip_left_front")[at(phase)] > 50 * NOTHING


@pytest.mark.parametrize(
    ("phase", "end", "words"),
    [("straight braking", "rear", "rear brakes lock"), ("launch", "rear", "driven wheels spin")],
)
def test_all_longitudinal_grip_is_used_where_wheels_lock_or_spin(phase, end, words):
    found = furthest()
    assert found.ran_out[at(phase)] == words
    assert read(found.at, f"longitudinal_use_{end}")[at(phase)] == pytest.approx(1.0, abs=ALL_USED)
    assert read(found.at, "longitudinal_use_front")[at(phase)] < 0.95


def test_balance_is_front_less_rear():
    front, rear = (read(TEASEL.held, f"grip_left_{end}") for end in ("front", "rear"))
    assert read(TEASEL.held, "balance") == pytest.approx(front - rear, abs=1e-12)


def test_margin_is_the_limit_less_the_demand():
    """Along the demand's direction, from the walk to the limit."""
    found = furthest()
    asked = np.hypot(*(np.asarray(getattr(found.start.asked, a)) for a in ("ax", "ay")))
    reached = np.hypot(*(np.asarray(getattr(found.at.asked, a)) for a in ("ax", "ay")))
    assert found.margin == pytest.approx(reached - asked, abs=1e-9)
