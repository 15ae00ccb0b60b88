"""Setups: what moving adjusters does to a car's values, and which usable steps there are."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from axlewright.car.adjusters import Adjuster, Shift, adjusters_of
from axlewright.car.adjusters.setup import OUTSIDE, Setup, apply, single_positions
from axlewright.car.describe import describe
from axlewright.car.file import parse, read
from axlewright.errors import RequestError
from axlewright.tune.adjust import as_singles, usable_moves
from tests.cars import BRAMBLE, TEASEL

ROUNDING = 1e-12  # of counts and SI values that are added up in two orders
CARS = pytest.mark.parametrize("demo", [TEASEL, BRAMBLE], ids=lambda demo: demo.name)


@cache
def adjusters(name: str = "teasel") -> dict[str, Adjuster]:
    return adjusters_of({"teasel": TEASEL, "bramble": BRAMBLE}[name].car)


@cache
def drawn() -> dict[str, float | np.ndarray]:
    """Values as drawn, and 0 for what only the rest solve finds."""
    edited = {edit.path: 0.0 for a in adjusters().values() for edit in a.edits}
    return edited | describe(TEASEL.car)[1]


def applied(*setups: Setup) -> dict[str, float | np.ndarray]:
    """Values of the demo car with setups."""
    return apply(drawn(), adjusters(), setups)[0]


def test_only_what_is_edited_gets_a_batch():
    values, found = applied({}), applied({}, {"perch_LF": 2.0})
    edit = adjusters()["perch_LF"].edits[0]
    assert isinstance(edit, Shift)
    assert {path for path in found if np.shape(found[path]) != np.shape(values[path])} == {edit.path}
    moved = np.asarray(found[edit.path]) - values[edit.path]
    np.testing.assert_allclose(moved, np.array([0.0, 2.0]) * np.asarray(edit.per_unit), atol=ROUNDING)


@pytest.mark.parametrize(
    ("whole", "by_hand"),
    [
        ({"ride_height": 2.0}, {"perch_LF": 2.0, "perch_RF": 2.0, "perch_LR": 2.0, "perch_RR": 2.0}),
        ({"perches_diagonal": 1.0}, {"perch_LF": -1.0, "perch_RF": 1.0, "perch_LR": 1.0, "perch_RR": -1.0}),
        ({"rake": -1.5}, {"perch_LF": 1.5, "perch_RF": 1.5, "perch_LR": -1.5, "perch_RR": -1.5}),
        ({"front_bar_hole": 5.0}, {"front_bar_hole_left": 5.0, "front_bar_hole_right": 5.0}),
        ({"watt_lengths": 2.0}, {"watt_length_left": 2.0, "watt_length_right": -2.0}),
        # Total toe is shared by both wheels; from -2.3038 mm.
        ({"toe_front": -0.3038}, {"toe_LF": -0.1519, "toe_RF": -0.1519}),
        # Moved together from where the hand left one of them: 3 + 1 (together) - 1 (alone).
        (
            {"front_bar_hole": 4.0, "front_bar_hole_left": 2.0},
            {"front_bar_hole_left": 3.0, "front_bar_hole_right": 4.0},
        ),
    ],
)
def test_moved_together_is_each_moved_by_hand(whole, by_hand):
    assert as_singles(adjusters(), whole) == pytest.approx(
        {key: at for key, at in by_hand.items() if at != adjusters()[key].drawn}, abs=ROUNDING
    )
    found = applied(whole, by_hand)
    batched = [path for path in found if np.shape(found[path]) != np.shape(applied({})[path])]
    assert batched
    for path in batched:
        together, apart = np.moveaxis(np.asarray(found[path]), -1, 0)
        np.testing.assert_allclose(together, apart, atol=ROUNDING)


def test_a_setup_that_goes_back_is_the_drawn_car():
    assert as_singles(adjusters(), {"ride_height": 0.1 + 0.2, "rake": 0.0}) != {}
    back = {"perch_LF": -0.3, "perch_RF": -0.3, "perch_LR": -0.3, "perch_RR": -0.3, "ride_height": 0.1 + 0.2}
    assert as_singles(adjusters(), back) == {}


def test_a_car_s_own_setup_is_where_it_counts_from():
    text = read("teasel") + "\n[setup]\nperch_LF = 2\nfront_bar_hole_left = 4\n"
    car = adjusters_of(parse(text, "teasel"))
    assert (car["perch_LF"].position, car["ride_height"].position) == (2.0, 0.5)
    assert as_singles(car, {}) == {"perch_LF": 2.0, "front_bar_hole_left": 4.0}
    moved = {"ride_height": 1.5}  # one turn more of each
    assert as_singles(car, moved) == {
        "perch_LF": 3.0, "perch_RF": 1.0, "perch_LR": 1.0, "perch_RR": 1.0, "front_bar_hole_left": 4.0,
    }  # fmt: skip


def test_dampers_change_nothing_that_is_held():
    clicks = {key: a.hi for key, a in adjusters().items() if a.acts == "only in motion"}
    assert clicks
    machine = TEASEL.machine
    found, batch = apply(machine.values, adjusters(), [{}, clicks])
    assert {path for path in found if np.shape(found[path]) != np.shape(machine.values[path])} == {
        edit.path for key in clicks for edit in adjusters()[key].edits
    }
    packed = machine.parameters(found, batch)
    np.testing.assert_array_equal(packed[:, 1], packed[:, 0])


def test_an_unknown_adjuster_is_told():
    with pytest.raises(RequestError, match=r"no adjuster `perch_FL`"):
        applied({"perch_FL": 1.0})


@pytest.mark.parametrize(("key", "at"), [("front_bar_hole", 5.5), ("perch_LF", -10.1), ("brake_gap", -0.5)])
def test_a_position_outside_its_range_is_told(key, at):
    with pytest.raises(RequestError, match=rf"{adjusters()[key].name} at {at:g} .* is outside its range from"):
        applied({key: at})
    end = adjusters()[key].hi if at > 0 else adjusters()[key].lo
    applied({key: end + np.sign(at) * 0.5 * OUTSIDE})  # rounding


def test_the_sum_of_moves_outside_its_range_is_told():
    """Hole 5 of both and hole 5 of one would be hole 7 of a blade with five."""
    with pytest.raises(RequestError, match=r"at 7 hole is outside its range from 1 to 5"):
        applied({"front_bar_hole": 5.0, "front_bar_hole_left": 5.0})
    with pytest.raises(RequestError, match=r"at 12 turn is outside its range"):
        applied({"ride_height": 6.0, "rake": 6.0})


@CARS
def test_together_can_go_no_further_than_each_alone(demo):
    every = adjusters(demo.name)
    for key, whole in every.items():
        for end in (whole.lo, whole.hi):
            for member, _ in whole.made_of:
                at = single_positions(every, [{key: end}])[member][0]
                assert every[member].lo - OUTSIDE <= at <= every[member].hi + OUTSIDE, (key, end, member)


def test_steps_in_the_middle_and_at_an_end():
    hole = adjusters()["front_bar_hole"]
    assert [step.position for step in usable_moves(hole)] == [4.0, 2.0]
    assert [step.position for step in usable_moves(replace(hole, position=5.0))] == [None, 4.0]
    assert usable_moves(replace(hole, position=5.0)).up.reason == f"{hole.name} is at its highest, 5 hole"
    assert usable_moves(replace(hole, position=1.0)).down.reason == f"{hole.name} is at its lowest, 1 hole"
    screw = replace(adjusters()["watt_pivot"], position=12.0)
    assert usable_moves(screw).down.position == 6.0
    assert usable_moves(screw).up.position is None
    assert usable_moves(screw).up.reason == f"{screw.name} has only 4 turn left to its highest, less than a usable step"


@CARS
def test_every_step_can_be_made(demo):
    every = adjusters(demo.name)
    for key, adjuster in every.items():
        steps = [step.position for step in usable_moves(adjuster) if step.position is not None]
        assert steps, key
        single_positions(every, [{key: at} for at in steps])  # raises when outside
        assert all(abs(abs(at - adjuster.position) - adjuster.step) < OUTSIDE for at in steps), key
