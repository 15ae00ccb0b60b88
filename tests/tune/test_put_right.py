"""Putting right: the setup that comes back stands as the unmoved car did, by its own rest solve and other readings.

Common practice, no source: after a spring or a perch a car goes back on the scales until heights and cross weight are
as they were, bars are set free again and toe is set again.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from axlewright.car.adjusters import Shift, adjusters_of
from axlewright.solve.verbs import rest
from axlewright.tune.put_right import Restored, hands_of, put_right
from tests.cars import BRAMBLE, TEASEL
from tests.textbook_car import read

# What `put_right` calls settled: 1e-3 mm, 1e-3 mrad, 1e-6 of cross weight, 1e-3 N m, times 10.
CLOSE = 10.0
METRE, RADIAN, SHARE, NEWTON_METRE = CLOSE * 1e-6, CLOSE * 1e-6, CLOSE * 1e-6, CLOSE * 1e-3
CORNER = METRE + 3.0 * RADIAN  # a corner's height follows heave, and pitch and roll by less than 3 m
LOADS = 0.02  # the load that it carries hardly changes: bars and tyres move by less than 1 mm
UNNAMED = 1e-6  # counts; a smaller restoring move is not named
HEIGHTS = [f"ride_height_{wheel}" for wheel in ("LF", "RF", "LR", "RR")]

# A move, what is put right by its own codes, and what must therefore read as before.
MOVES = {
    "a spring": ({"springs_front": 100.0}, "HXBT"),
    "a perch": ({"perch_LF": 1.0}, "BT"),
    "perches across": ({"perches_diagonal": 1.0}, "HB"),
    "caster of one wheel": ({"caster_LF": 7.672}, "XT"),
    "the drive-side link's hole": ({"drive_mount_chassis": 4.0}, "PT"),
}
WITHIN = {
    "H": dict.fromkeys(HEIGHTS, CORNER),
    "X": {"cross_weight": SHARE},
    "B": {"torque.front_bar": NEWTON_METRE, "torque.rear_bar": NEWTON_METRE},
    "T": {"steer_LF": RADIAN, "steer_RF": RADIAN},
    "P": {"pinion_angle": RADIAN},
}


@cache
def restored() -> Restored:
    every = adjusters_of(TEASEL.car)
    setups = [setup for setup, _ in MOVES.values()]
    return put_right(TEASEL.machine, every, setups, [every[key].rezero for setup in setups for key in setup])


@pytest.mark.parametrize(("move", "code"), [(move, code) for move, (_, codes) in MOVES.items() for code in codes])
def test_what_was_put_right_reads_as_before(move, code):
    found, i = restored(), list(MOVES).index(move)
    assert found.settled[i]
    stands = rest(TEASEL.car, found.setups[i])
    assert stands.result[0] == 0
    for name, within in WITHIN[code].items():
        assert read(stands, name)[0] == pytest.approx(read(TEASEL.rest, name)[0], abs=within), name


@pytest.mark.parametrize("move", MOVES)
def test_it_was_not_so_before_it_was_put_right(move):
    setup, codes = MOVES[move]
    turned = rest(TEASEL.car, setup)
    off = [
        abs(read(turned, name)[0] - read(TEASEL.rest, name)[0]) / within
        for code in codes
        for name, within in WITHIN[code].items()
    ]
    assert max(off) > 10.0


def test_the_setup_is_the_move_and_its_restoring_moves():
    found = restored()
    for i, (setup, _) in enumerate(MOVES.values()):
        moves = found.moves[i]
        for key, to in found.setups[i].items():
            start = setup.get(key, adjusters_of(TEASEL.car)[key].position)
            assert to - start == pytest.approx(moves.get(key, 0.0), abs=UNNAMED), key
        assert {*setup, *moves} <= {*found.setups[i]}


def test_only_the_hands_of_the_asked_codes_move():
    hands, found = hands_of(adjusters_of(TEASEL.car)), restored()
    allowed = {*hands["B"], *hands["T"]}
    assert set(found.moves[list(MOVES).index("a perch")]) <= allowed
    assert set(found.moves[list(MOVES).index("the drive-side link's hole")]) <= {*hands["PA"], *hands["TL"]}


def test_a_stiffer_spring_is_wound_down_on_both_sides_alike():
    """A stiffer spring under the same load is shorter by less: its perch goes down, by the load over both rates."""
    moves = restored().moves[list(MOVES).index("a spring")]
    assert moves["perch_LF"] < 0.0
    assert moves["perch_LF"] == pytest.approx(moves["perch_RF"], abs=1e-2)
    load = np.mean([read(TEASEL.rest, f"load.front.{side}.spring.spring")[0] for side in ("left", "right")])
    edit = adjusters_of(TEASEL.car)["perch_LF"].edits[0]
    assert isinstance(edit, Shift)
    turn = abs(float(np.asarray(edit.per_unit)))
    assert moves["perch_LF"] * turn == pytest.approx(load / 100e3 - load / 95e3, rel=LOADS)


def test_hands_are_those_that_a_car_has():
    for demo in (TEASEL, BRAMBLE):
        every = adjusters_of(demo.car)
        assert all(hand in every for hands in hands_of(every).values() for hand in hands)
    assert hands_of({}) == {}
