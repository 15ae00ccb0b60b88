"""Force and moment balance of every body and of the whole car, added up apart from the model (Newton and Euler)."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from axlewright.solve.results import Result
from tests.cars import BRAMBLE, Demo
from tests.solve.conditions import CASES, CONDITIONS, case_name, conditions_of, states_of
from tests.solve.free_bodies import FreeBodies

# N and N m. The solver stops at 1e-6 of either in each of its own equations; a body's and the whole car's sums add a
# few dozen of them, some with a lever of 3 m.
BALANCE = 1e-4
TWIST = 1e-2  # N m; the solver stops at 1e-9 rad, which on 470 kN m/rad is 5e-4 N m
LENGTH = 1e-11  # m; the solver stops at 1e-12, and rotations worked out in two ways agree to rounding


@cache
def cut_free(demo: Demo, condition: str) -> FreeBodies:
    return FreeBodies(states_of(demo), conditions_of(demo).index(condition), CONDITIONS[condition].changes)


@pytest.mark.parametrize(("demo", "condition"), CASES, ids=case_name)
def test_every_body_is_in_balance(demo, condition):
    at = cut_free(demo, condition)
    for frame, load in at.loads.items():
        assert np.abs(load.force).max() < BALANCE, frame
        assert np.abs(load.about(at.about[frame])).max() < BALANCE, frame
    for frame, moment in at.parts.items():
        assert abs(moment) < BALANCE, frame
    for name, moment in (at.bars | at.spins).items():
        assert abs(moment) < BALANCE, name


@pytest.mark.parametrize(("demo", "condition"), CASES, ids=case_name)
def test_the_whole_car_is_in_balance(demo, condition):
    """Only what acts from outside: tyres, weight, inertia, air."""
    outside = cut_free(demo, condition).outside
    assert np.abs(outside.force).max() < BALANCE
    assert np.abs(outside.moment).max() < BALANCE


@pytest.mark.parametrize("condition", conditions_of(BRAMBLE))
def test_the_chassis_twists_by_what_it_passes_on(condition):
    """Twist = (moment between the halves - the same as drawn) over the stated stiffness."""
    at = cut_free(BRAMBLE, condition)
    passed = at.twist_moment() - float(at.value("chassis.torsion_set"))
    assert BRAMBLE.car.chassis is not None
    stiffness = BRAMBLE.car.chassis.torsion_stiffness.value  # N m/rad
    assert at.border["twist"] * stiffness == pytest.approx(passed, abs=TWIST)


@pytest.mark.parametrize(("demo", "condition"), CASES, ids=case_name)
def test_links_and_joints_hold_together(demo, condition):
    at = cut_free(demo, condition)
    assert {name: gap for name, gap in at.lengths.items() if not abs(gap) < LENGTH} == {}


@pytest.mark.parametrize(("demo", "condition"), CASES, ids=case_name)
def test_the_states_looked_at_are_solved(demo, condition):
    assert states_of(demo).result[conditions_of(demo).index(condition)] == Result.SOLVED
