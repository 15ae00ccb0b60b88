"""Body accelerations and spring travel, against sines; stops against the held solver's own clearance."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.readings import readings_of
from axlewright.readings.motion import motion_readings
from tests.cars import TEASEL
from tests.readings.motion.signals import run_of

TIME = np.linspace(0.0, 4.0, 2001)
W = 2 * np.pi * 1.5
SAMPLED = 1e-3  # moments 2 ms apart; the last repeats the first


def read(run, key):
    return float(motion_readings(run)[key].read(run)[0])


def test_accelerations_of_a_sine():
    """Vertical a sin, rms a/sqrt 2; pitch p sin(wt): acceleration p w^2."""
    a, p = 3.0, 0.01
    run = run_of(TIME, "road", az=a * np.sin(W * TIME), pitch=p * np.sin(W * TIME), pitch_rate=p * W * np.cos(W * TIME))
    assert read(run, "vertical_rms") == pytest.approx(a / np.sqrt(2), rel=SAMPLED)
    assert read(run, "vertical_peak") == pytest.approx(a, rel=SAMPLED)
    assert read(run, "pitching_rms") == pytest.approx(p * W**2 / np.sqrt(2), rel=SAMPLED)
    assert read(run, "pitching_peak") == pytest.approx(p * W**2, rel=SAMPLED)
    assert read(run, "pitch_range") == pytest.approx(2 * p, rel=SAMPLED)


def test_bump_and_droop_travel_are_from_where_it_began():
    path = "front.left.spring"
    run = run_of(TIME, "road", extension={path: -0.02 + np.interp(TIME, [0, 1, 2, 3], [0.0, -0.03, 0.01, 0.0])})
    assert read(run, f"{path}.bump") == pytest.approx(0.03)
    assert read(run, f"{path}.droop") == pytest.approx(0.01)
    other = "front.right.spring"
    assert read(run, f"{other}.bump") == read(run, f"{other}.droop") == 0.0


@pytest.mark.parametrize("spring", ["front.left.spring", "front.right.spring", "rear.spring_left"])
def test_stops_are_clear_by_what_the_held_solver_says(spring):
    """At rest by its own clearance; compressed by so much more, squeezed by the difference for that share of time."""
    solved, machine = TEASEL.rest, TEASEL.machine
    copy, link = spring.rsplit(".", 1)
    block = next(i for i, t in enumerate(machine.topology.blocks) if copy in t.block.copies)
    index = machine.topology.blocks[block].elastic.index(link)
    at_rest = float(np.asarray(solved.blocks[block].details.extension)[index].reshape(-1)[
        machine.topology.blocks[block].block.copies.index(copy)
    ])  # fmt: skip
    clear = float(readings_of(machine)[f"clearance.{spring}.bump_stop"].read(solved)[0])
    deeper = clear + 0.004
    run = run_of(TIME, "road", extension={spring: at_rest - np.where(TIME >= 3.0, deeper, 0.0)})
    assert read(run, f"{spring}.bump_stop.squeeze") == pytest.approx(0.004, abs=1e-9)
    assert read(run, f"{spring}.bump_stop.touched") == pytest.approx(0.25, abs=SAMPLED)
    assert read(run, f"{spring}.droop_stop.touched") == 0.0
