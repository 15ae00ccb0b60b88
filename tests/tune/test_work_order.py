"""Moves as work: merged, in order, with elapsed minutes worked out by hand."""

from __future__ import annotations

import pytest

from axlewright.car.adjusters import RECHECKS, STAGES, adjusters_of
from axlewright.car.adjusters.stated import positioned
from axlewright.car.file import load
from axlewright.tune.work_order import work_order


@pytest.fixture(scope="module")
def teasel():
    return adjusters_of(load("teasel"))


def work(teasel, **moved: float):
    return work_order(teasel, positioned(teasel, moved, {}))


def test_nothing_moved_is_no_work(teasel):
    nothing = work(teasel)
    assert (nothing.jobs, nothing.looks, nothing.alone, nothing.together) == ((), (), 0.0, 0.0)


def test_both_sides_moved_alike_are_one_job(teasel):
    (job,) = work(teasel, rear_bar_hole_left=2, rear_bar_hole_right=2).jobs
    assert (job.adjuster, job.before, job.after, job.note) == ("rear_bar_hole", 3.0, 2.0, "")


def test_one_side_alone_is_asked_about(teasel):
    (job,) = work(teasel, rear_bar_hole_left=2).jobs
    assert job.adjuster == "rear_bar_hole_left"
    assert "right side only meant to differ?" in job.note


def test_four_perches_turned_alike_are_ride_height_and_not_two_pairs(teasel):
    (job,) = work(teasel, **{f"perch_{wheel}": 2.0 for wheel in ("LF", "RF", "LR", "RR")}).jobs
    assert job.adjuster == "ride_height"
    assert job.after == 2.0


def test_what_moves_ride_height_comes_before_links_and_bars_last(teasel):
    # The order of work of the notes on the job ("rules for the move list"): common practice, no source.
    done = work(teasel, rear_bar_hole=2, watt_pivot=6, perch_LF=1, pressure_front=23)
    stages = [job.stage for job in done.jobs]
    assert stages == ["pressures", "heights", "links", "bars"]
    assert [STAGES.index(stage) for stage in stages] == sorted(STAGES.index(stage) for stage in stages)


def test_re_checks_are_merged_and_stand_once_in_their_order(teasel):
    done = work(teasel, rear_bar_hole=2, front_bar_hole=4)
    assert [look.code for look in done.looks] == ["B", "TQ"]
    assert all(len(look.because) == 2 for look in done.looks)
    every = [look.code for look in work(teasel, ride_height=2).looks]
    assert every == [code for code in RECHECKS if code in every]


def test_minutes_by_hand(teasel):
    # Jobs: Watt's pivot 5, both bars 4 and 4. Looks: axle 5, Watt 3, clearances 3, bar zero 4, torque 2. Two people:
    # pivot 5, then a bar each 4; of the looks 5 + 3 + 4 in line while the other does 3 + 2.
    done = work(teasel, rear_bar_hole=2, front_bar_hole=4, watt_pivot=6)
    assert done.alone == 5 + 4 + 4 + (5 + 3 + 3 + 4 + 2)
    assert done.together == 5 + 4 + (5 + 3 + 4)


def test_a_pressure_moved_a_little_needs_no_look_at_heights(teasel):
    # The notes on the job, section 4: heights again after more than 10 kPa, 1.45 psi.
    assert not work(teasel, pressure_front=23).looks
    assert [look.code for look in work(teasel, pressure_front=24).looks] == ["H"]
