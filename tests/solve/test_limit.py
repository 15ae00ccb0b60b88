"""The limit: on the branch, nothing beyond it, singular there, and what each parameter does to it."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from axlewright.solve.arc import unknown_scale
from axlewright.solve.limit import Limit, limit
from axlewright.solve.results import Result
from axlewright.solve.solved import Solved
from tests.cars import TEASEL
from tests.solve.conditions import OPEN, SPOOL, Condition, held, packed

# What ends it. Front, rear and traction as the design's calculation of the demo car says for pure side, throttle with
# ay 0.9 g or at .45:1, and straight ahead; tipping and locking follow from where the mass or the brakes are put.
PUSHED = {
    "pure side": (Condition(ay=1.0, speed=32.0), "front pushes"),
    "throttle in a corner": (Condition(ax=0.45, ay=1.0), "rear slides"),
    "straight throttle": (Condition(ax=0.6, speed=10.0), "driven wheels spin"),
    "front brakes": (Condition(ax=-1.0, effort="brakes", changes={"LR.brake_gain": 400.0, "RR.brake_gain": 400.0}),
                     "front brakes lock"),
    "rear brakes": (Condition(ax=-0.8, effort="brakes", changes={"LR.brake_gain": 2000.0, "RR.brake_gain": 2000.0}),
                    "rear brakes lock"),
    "sticky tyres": (Condition(ay=1.2, grip=2.5, changes=SPOOL), "tips"),
    "open differential": (Condition(ax=0.5, changes=OPEN), "driven wheels spin"),
}  # fmt: skip
NAMES = tuple(PUSHED)
FOLDS = ("pure side", "throttle in a corner", "straight throttle", "front brakes")  # smooth ones, without S-bends
# Two front wheels that lock at the same time make a double fold, which a change on one side splits: no derivative.
SMOOTH = FOLDS[:3]
BALANCED = 1e-6  # kN, kN m, mm
BEYOND, BEFORE = 1.002, 0.998  # share of the limit, which is good to 1e-7: well past and well short
ALONG = 1e-4  # share of the tangent's size; the fold is refined until lambda's part in it is below 1e-7
# The prediction is first order and the recomputed one a central difference over 1 %: 1e-4 of second order remain, and
# the limit itself is good to 1e-7.
SENSITIVE = 2e-3


@cache
def pushed() -> Limit:
    return limit(held(TEASEL.machine, *(condition for condition, _ in PUSHED.values())))


@cache
def around() -> dict[float, Solved]:
    """Holds a little short of each limit and a little past it."""
    found = pushed()
    conditions = [condition for condition, _ in PUSHED.values()]

    def at(part: float) -> Solved:
        shares = part * found.share
        return held(
            TEASEL.machine,
            *(replace(c, ax=s * c.ax, ay=s * c.ay) for c, s in zip(conditions, shares, strict=True)),
        )

    return {part: at(part) for part in (BEFORE, BEYOND)}


@pytest.mark.parametrize("name", NAMES)
def test_what_ran_out(name):
    i = NAMES.index(name)
    assert pushed().found[i]
    assert pushed().ran_out[i] == PUSHED[name][1]


def test_limit_states_are_on_the_branch():
    at = pushed().at
    assert np.abs(at.linear[0]).max() < BALANCED


def test_shares_and_margins_say_the_same():
    found = pushed()
    conditions = [condition for condition, _ in PUSHED.values()]
    size = 9.81 * np.array([np.hypot(c.ax, c.ay) for c in conditions])
    reached = np.hypot(np.asarray(found.at.asked.ax), np.asarray(found.at.asked.ay))
    assert reached == pytest.approx(found.share * size, rel=1e-12)
    assert found.margin == pytest.approx(reached - size, rel=1e-9)


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_found_beyond_and_everything_before(name):
    i = NAMES.index(name)
    assert around()[BEFORE].result[i] == Result.SOLVED
    assert around()[BEYOND].result[i] in (Result.PAST_GRIP, Result.PAST_POWER, Result.TIPS)


@pytest.mark.parametrize("name", FOLDS)
def test_a_hold_beyond_ends_at_the_same_limit(name):
    i = NAMES.index(name)
    past, found = around()[BEYOND], pushed()
    asked = np.hypot(np.asarray(past.asked.ax)[i], np.asarray(past.asked.ay)[i])
    assert asked == pytest.approx(found.share[i] * found.size[i], rel=1e-6)
    assert past.wheel("load")[:, i] == pytest.approx(found.at.wheel("load")[:, i], abs=1.0)  # N; flat at a fold


@pytest.mark.parametrize("name", FOLDS)
def test_the_tangent_at_a_fold_is_a_null_vector(name):
    """det F_x = 0: along the tangent the residual does not change while the demand stands still."""
    i = NAMES.index(name)
    scale = unknown_scale(TEASEL.machine)[:-1]
    derivative = pushed().at.linear[1][:, :, i] * scale
    tangent = pushed().tangent[:, i] / scale
    typical = np.abs(derivative @ np.diag(tangent)).max()
    assert np.abs(derivative @ tangent).max() < ALONG * typical


CHANGES = {
    "rear bar": "rear_bar.torsion",
    "front bar": "front_bar.torsion",
    "sprung mass": "chassis.sprung.mass",
    "front grip": "RF.tyre.grip",
    "rear pressure": "RR.pressure",
    "front spring": "front.right.spring.spring.rate",
}
SHARE = 0.01  # of the value, moved either way


@cache
def recomputed() -> tuple[np.ndarray, np.ndarray]:
    """Margin's change for each parameter's step: by the left null vector, and by limits of moved cars, (changes, B)."""
    machine = TEASEL.machine
    base = [PUSHED[name][0] for name in SMOOTH]

    def moved(path: str, share: float) -> dict[str, float]:
        return {path: float(np.ravel(machine.values[path])[0]) * (1.0 + share)}

    def margins(share: float) -> np.ndarray:
        cars = [replace(c, changes=dict(c.changes) | moved(path, share)) for path in CHANGES.values() for c in base]
        return limit(held(machine, *cars)).margin.reshape(len(CHANGES), len(base))

    steps = [
        packed(machine, [Condition(changes=moved(path, SHARE))])[0] - packed(machine, [Condition()])[0]
        for path in CHANGES.values()
    ]
    predicted = limit(held(machine, *base)).sensitivity(np.concatenate(steps, axis=1))
    return predicted, 0.5 * (margins(SHARE) - margins(-SHARE))


@pytest.mark.parametrize("change", CHANGES)
def test_sensitivity_equals_limits_of_moved_cars(change):
    row = tuple(CHANGES).index(change)
    predicted, found = recomputed()
    largest = np.abs(found[row]).max()
    assert largest > 1e-4  # m/s2: it does something
    assert predicted[row] == pytest.approx(found[row], abs=SENSITIVE * largest)


def test_a_limit_without_a_direction_is_not_found():
    """Nothing is asked, so there is nothing to push."""
    nothing = limit(held(TEASEL.machine, Condition(), Condition(ay=0.5)))
    assert list(nothing.found) == [False, True]
    assert np.isnan(nothing.margin[0])
