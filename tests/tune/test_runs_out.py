"""What runs out first: order, place and cause, and what one step of an adjuster does to it."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from axlewright.car.describe import describe
from axlewright.car.describe.room import room_of
from axlewright.errors import RequestError
from axlewright.readings.clearances import margins
from axlewright.solve.poses import grid
from axlewright.solve.travel import travel
from axlewright.solve.verbs import hold
from axlewright.tune.cycle import cycle, poses_of, say
from axlewright.tune.runs_out import RunsOut, runs_out
from tests.car.tables import changed, put, without
from tests.cars import TEASEL

SOLVED = 1e-8  # m or rad; the same states solved twice, from other starts
# m; a stop's clearance is taken straight between poses 10 mm apart, where the motion ratio changes by 1 % a pose
BETWEEN = 1e-4
TRACK = (1.56, 1.56)
QUICK = {"steps": False, "phases": ("mid-corner",), "turns": ("left",)}


@cache
def teasel() -> RunsOut:
    return runs_out(TEASEL.car, adjusters=("perch_LF", "watt_pivot", "pressure_LF", "front_bar_hole"))


def test_on_the_demo_car_something_is_near_and_nothing_is_used_up():
    words = [entry.word for entry in teasel().entries]
    assert "near" in words
    assert set(words) <= {"near", ""}
    assert teasel().unreached == ()


def test_least_first():
    shares = [entry.share for entry in teasel().entries]
    assert shares == sorted(shares)


def test_what_is_used_up_is_reported_first_however_little_it_is():
    """A link's ends that allow 2 deg: less than 16 deg of other joints, and past its end in roll."""
    ends = [{"link": "lower", "misalignment": "2 deg", "bolt": "y"}]
    found = runs_out(changed(put("joints.ends", ends)), **QUICK)
    used = [entry for entry in found.entries if entry.value < 0]
    assert {entry.id.rsplit(".", 1)[0] for entry in used} == {
        "misalignment.rear.lower_left", "misalignment.rear.lower_right",
    }  # fmt: skip
    assert found.entries[: len(used)] == tuple(used)
    assert {entry.word for entry in used} == {"joint binds"}


def test_each_place_gives_what_is_said_of_it():
    """The pose and the phase that are named, solved alone, leave what the list says."""
    car = TEASEL.car
    room, found = room_of(car, *describe(car)), teasel()
    held = {name: [m.value for m in margins(hold(car, [held]), room)] for name, held in
            ((h.name, h) for h in found.phases)}  # fmt: skip
    order = [m.id for m in margins(hold(car, [found.phases[0]]), room)]
    for entry in found.entries[:10]:
        i = order.index(entry.id)
        assert entry.phase is not None
        assert held[entry.phase.where][i][0] == pytest.approx(entry.phase.value, abs=SOLVED)
        assert all(values[i][0] >= entry.phase.value - SOLVED for values in held.values())
        if entry.travel is not None:
            alone = travel(car, found.cycle.poses.take(np.array([entry.travel.member])))
            assert margins(alone.solved, room)[i].value[0] == pytest.approx(entry.travel.value, abs=SOLVED)


@pytest.mark.parametrize(
    ("ident", "move"),
    [
        ("seat.rear.spring_left.spring", "droop"),
        ("ground.floor_rail_left", "bump"),
        ("misalignment.rear.lower_left.b", "roll"),
        ("misalignment.front.left.tie_rod.b", "steer"),
        ("solid.rear.brake_link", "wind-up"),
    ],
)
def test_the_move_that_eats_it(ident, move):
    """A spring comes loose in droop, the floor goes down in bump, a link's end on the axle tilts with the axle's roll;
    the brake-side link is shortened by the housing turning nose down: common practice, no source.
    """
    assert teasel().entry(ident).eaten_by == move


def test_travel_that_ends_where_the_stops_touch():
    """At the ends of the cycle one stop of each wheel is just touched: 45 and 36 mm of damper in front, 55 and 46 mm
    at the rear, from the car file.
    """
    found = cycle(TEASEL.car)
    assert (found.bump > 0.045).all()  # a wheel moves further than its damper
    for wheels in (found.bump, found.droop):
        pose = poses_of(wheels[:, None], np.zeros(1), np.zeros(1))
        left = [m for m in margins(travel(TEASEL.car, pose).solved, room_of(TEASEL.car, *describe(TEASEL.car)))
                if m.id.startswith("stop.")]  # fmt: skip
        touched = [m for m in left if abs(m.value[0]) < BETWEEN]
        assert len(touched) == 4


def test_without_stops_the_wheels_go_sixty_millimetres_either_way():
    bare = changed(*(without(f"{end}.{stop}_stop") for end in ("front", "rear") for stop in ("bump", "droop")))
    found = cycle(bare)
    np.testing.assert_allclose(found.bump, 0.06)
    np.testing.assert_allclose(found.droop, -0.06)


def test_a_perch_turn_gives_back_its_own_thread():
    """1.5 mm/turn: a turn seats the spring 1.5 mm more at full droop, as the chassis stays where it is; tyre pressure
    has nothing to do with it.
    """
    entry = teasel().entry("seat.front.left.spring.spring")
    changes = {(s.adjuster, s.steps): s.change for s in entry.steps}
    assert changes["perch_LF", 1] == pytest.approx(0.0015, abs=SOLVED)
    assert changes["perch_LF", -1] == pytest.approx(-0.0015, abs=SOLVED)
    assert not any(adjuster == "pressure_LF" for adjuster, _ in changes)


def test_a_step_does_what_the_same_step_as_a_setup_does():
    """Two ways to the same number: the change in the list, and the list of the car as it is after the step."""
    entry = teasel().entry("seat.front.left.spring.spring")
    perch = teasel().adjusters["perch_LF"]
    after = runs_out(TEASEL.car, setup={"perch_LF": perch.position + 1}, **QUICK).entry(entry.id)
    change = next(s.change for s in entry.steps if (s.adjuster, s.steps) == ("perch_LF", 1))
    assert after.travel is not None
    assert after.travel.value - entry.value == pytest.approx(change, abs=BETWEEN)


@pytest.mark.parametrize(
    ("wheels", "words"),
    [
        ((0.06, 0.06, 0.06, 0.06), "60 mm of bump"),
        ((-0.05, -0.05, 0, 0), "front 50 mm of droop"),
        ((0, 0, 0.055, 0), "rear left wheel alone 55 mm of bump"),
        # the axle's right wheel up: 68 mm on the mean, and 54.5 mm over 1.56 m of track is 2.0 deg
        ((0, 0, 0.068 - 0.02724, 0.068 + 0.02724), "rear 68 mm of bump with 2.0 deg of roll, right side down"),
        ((0.03, -0.03, 0, 0), "front 2.2 deg of roll, left side down"),
    ],
)
def test_poses_in_words(wheels, words):
    assert say(poses_of(np.array(wheels)[:, None], np.zeros(1), np.zeros(1)), 0, TRACK) == words


def test_steer_and_wind_up_in_words_and_inches():
    pose = poses_of(np.full((4, 1), 0.0254), np.array([-0.0508]), np.radians([2.0]))
    assert say(pose, 0, TRACK, inches=True) == "1.00 in of bump; rack 2.00 in to the right; 2.0 deg of wind-up, nose up"
    assert say(grid().take(np.array([0])), 0, TRACK) == "as drawn"


def test_a_name_that_is_not_there_is_refused():
    with pytest.raises(RequestError, match="no phase `middle`"):
        runs_out(TEASEL.car, phases=("middle",))
    with pytest.raises(RequestError, match="no margin"):
        teasel().entry("coffee")
