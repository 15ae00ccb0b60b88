"""A batch is so many single solves: members don't see each other, good or bad, and a solve repeats itself."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from axlewright.solve.results import SENTENCES, Result
from axlewright.solve.solved import Solved
from axlewright.solve.verbs import hold_batch
from tests.cars import TEASEL
from tests.solve.conditions import CONDITIONS, Condition, held, packed, states_of

SINGLES = ("mid-corner", "straight braking", "lifted wheel", "torque links slack")
# One member and sixty-four run through two compilations of the same arithmetic, which may round otherwise, and both
# stop at 1e-6 N.
LOAD = 1e-4  # N
BAD = {
    "impossible cornering": Condition(ay=9.0),
    "impossible power": Condition(ax=5.0),
    "a wall for a road": Condition(ay=0.5, road=(3.0, 0.0, 0.0, 0.0)),
    "no number": Condition(ay=0.5, changes={"front.left.spring.spring.rate": float("nan")}),
    "a car of lead": Condition(ay=0.5, changes={"chassis.sprung.mass": 1e9}),
    "a spring that pulls": Condition(ay=0.5, changes={"rear.spring_left.spring.rate": -1e6}),
    "no tyre": Condition(ay=0.5, changes={"LF.tyre.vertical_rate": 0.0}),
}
LAST_DIGITS = 1e-9  # of an unknown, and N, m, rad


@cache
def together() -> Solved:
    """Good members, then bad ones, then the same good ones."""
    good = [CONDITIONS[name] for name in SINGLES]
    return held(TEASEL.machine, *good, *BAD.values(), *good)


@pytest.mark.parametrize("name", SINGLES)
def test_alone_as_in_a_batch(name):
    alone = held(TEASEL.machine, CONDITIONS[name])
    batch = states_of(TEASEL).take(np.array([tuple(CONDITIONS).index(name)]))
    assert alone.result[0] == batch.result[0] == Result.SOLVED
    assert np.abs(alone.wheel("load") - batch.wheel("load")).max() < LOAD


@pytest.mark.parametrize("bad", BAD)
def test_a_bad_member_has_a_sentence_and_no_bare_nan(bad):
    solved = together()
    i = len(SINGLES) + tuple(BAD).index(bad)
    assert solved.result[i] != Result.SOLVED
    assert len(SENTENCES[Result(solved.result[i])].split()) > 3
    assert np.isfinite(solved.state[:, i]).all()
    assert not np.isnan(solved.error[i])


def test_bad_members_spoil_no_other():
    solved = together()
    n, last = len(SINGLES), solved.batch - len(SINGLES)
    good = held(TEASEL.machine, *(CONDITIONS[name] for name in SINGLES))
    for part in (slice(0, n), slice(last, None)):
        assert (solved.result[part] == Result.SOLVED).all()
        # a member that has been found is stepped on while others are looked for: its last digits may change
        assert solved.state[:, part] == pytest.approx(good.state, rel=LAST_DIGITS, abs=LAST_DIGITS)


def test_the_same_again():
    conditions = [CONDITIONS[name] for name in SINGLES]
    first, second = held(TEASEL.machine, *conditions), held(TEASEL.machine, *conditions)
    assert np.array_equal(first.state, second.state)
    assert np.array_equal(first.error, second.error)


def test_order_in_the_batch_does_not_matter():
    car, demand = packed(TEASEL.machine, [CONDITIONS[name] for name in SINGLES])
    forward = hold_batch(TEASEL.machine, car, demand)
    backward = hold_batch(TEASEL.machine, car[:, ::-1], demand[:, ::-1])
    assert np.array_equal(forward.state, backward.state[:, ::-1])


def test_more_members_than_one_compiled_batch_holds():
    count = 70  # above every compiled batch size
    one = held(TEASEL.machine, *[CONDITIONS["exit"]] * 2)
    many = held(TEASEL.machine, *[CONDITIONS["exit"]] * count)
    assert many.batch == count
    assert np.array_equal(many.state, np.repeat(one.state[:, :1], count, axis=1))
