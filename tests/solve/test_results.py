"""How a solve ends: each result code has a sentence, a state that brings it about, and a state to show."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from axlewright.solve.results import SENTENCES, Result
from axlewright.solve.solved import Solved
from axlewright.units import GRAVITY
from tests.cars import SORREL, TEASEL
from tests.solve.conditions import SPOOL, Condition, held

SHORT_DROP_LINKS = {"front_bar.left.drop_link": -0.11, "front_bar.right.drop_link": -0.11}  # m: 40 mm left of 150
ENDS = {
    "as asked": (Condition(ay=1.0), Result.SOLVED),
    "too much cornering": (Condition(ay=2.0), Result.PAST_GRIP),
    "too much on a wet road": (Condition(ay=1.0, grip=0.6), Result.PAST_GRIP),
    "too much throttle": (Condition(ax=1.5, speed=10.0), Result.PAST_POWER),
    "too much brake": (Condition(ax=-2.0, effort="brakes"), Result.PAST_POWER),
    "sticky tyres": (Condition(ay=3.0, grip=2.5, changes=SPOOL), Result.TIPS),
    "no number": (Condition(ay=0.5, changes={"rear_bar.torsion": float("nan")}), Result.NOT_FOUND),
    "brakes that would push": (Condition(ax=0.3, effort="brakes"), Result.WRONG_EFFORT),
    "engine that would hold back": (Condition(ax=-0.3), Result.WRONG_EFFORT),
    "coasting that would push": (Condition(ax=0.2, effort="coast"), Result.WRONG_EFFORT),
    "drop links too short": (Condition(ay=0.3, changes=SHORT_DROP_LINKS), Result.BAR_TOGGLE),
    "a turn at standstill": (Condition(ay=0.3, speed=0.0), Result.NO_TURN_AT_REST),
    "a turn inside the steering lock": (Condition(ay=0.5, speed=4.0), Result.TOO_TIGHT),
    "a tight turn within it": (Condition(ay=0.3, speed=5.0), Result.SOLVED),
}
NO_STATE = (Result.NOT_FOUND, Result.BAR_TOGGLE)  # a drop link that can't reach leaves nothing to hold the bar
BALANCED = 1e-6  # kN, kN m, mm: a state to be shown carries at most 1e-3 N of error


@cache
def ends() -> Solved:
    return held(TEASEL.machine, *(condition for condition, _ in ENDS.values()))


@pytest.mark.parametrize("name", ENDS)
def test_code(name):
    assert Result(ends().result[tuple(ENDS).index(name)]) == ENDS[name][1]


def test_every_code_has_a_case_and_a_sentence():
    # of a car that needs other springs: test_singular_cases.py; of a steering box: below
    elsewhere = {Result.TWO_RESTS, Result.RELAY_TOGGLE}
    assert {code for _, code in ENDS.values()} | elsewhere == set(Result) == set(SENTENCES)
    assert len(set(SENTENCES.values())) == len(Result)


@pytest.mark.parametrize(("length", "code"), [(1.0, Result.SOLVED), (0.6, Result.RELAY_TOGGLE)])
def test_a_relay_link_that_cannot_reach_its_arms(length, code):
    drawn = float(np.asarray(SORREL.machine.values["relay.drawn"]).ravel()[0])
    found = held(SORREL.machine, Condition(ay=0.3, changes={"relay.drawn": length * drawn}))
    assert Result(found.result[0]) == code


@pytest.mark.parametrize("name", [name for name, (_, code) in ENDS.items() if code not in NO_STATE])
def test_the_state_shown_is_in_balance_with_the_demand_shown(name):
    solved = ends().take(np.array([tuple(ENDS).index(name)]))
    residual = solved.machine.residual(solved.car, solved.demand, solved.state)
    assert np.abs(residual).max() < BALANCED
    assert solved.error[0] < BALANCED


@pytest.mark.parametrize("name", ["too much cornering", "too much throttle", "too much brake", "sticky tyres"])
def test_beyond_the_limit_the_furthest_state_along_the_same_direction_is_shown(name):
    i = tuple(ENDS).index(name)
    condition = ENDS[name][0]
    ax, ay = float(ends().asked.ax[i]) / GRAVITY, float(ends().asked.ay[i]) / GRAVITY
    share = (ax * condition.ax + ay * condition.ay) / (condition.ax**2 + condition.ay**2)
    assert 0.3 < share < 1.0
    assert (ax, ay) == pytest.approx((share * condition.ax, share * condition.ay), abs=1e-12)


def test_lock_is_the_car_files():
    """Two paths either side of the stated 65 mm of rack travel."""
    rack = np.abs(ends().border("rack"))
    assert TEASEL.car.steering.travel is not None
    lock = TEASEL.car.steering.travel.value
    assert rack[tuple(ENDS).index("a turn inside the steering lock")] > lock
    assert 0.5 * lock < rack[tuple(ENDS).index("a tight turn within it")] < lock
