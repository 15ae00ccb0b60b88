"""The benchmarks' table; what it measures is left to `make benchmark`, since it depends on the machine."""

from __future__ import annotations

from importlib import import_module
from pathlib import Path

import numpy as np
import pytest
from rich.console import Console

import benchmarks
from axlewright import load
from axlewright.solve.travel import sideways_of
from axlewright.solve.verbs import packed_now
from benchmarks import travel
from benchmarks.__main__ import SUBJECTS, table_of
from benchmarks.engines.axle import axle_of
from benchmarks.timing import Measurement, readable

HELPERS = {"__init__", "__main__", "own", "timing"}
# m, rad: every engine ends below 1e-11 m, and a length's error is up to ten times as large in an angle or a coordinate.
SAME_POSE = 2e-10


def test_every_file_is_a_subject_or_a_known_helper():
    files = {file.stem for file in Path(benchmarks.__path__[0]).glob("*.py")}
    assert {subject.__name__.removeprefix("benchmarks.") for subject in SUBJECTS} == files - HELPERS
    assert all(callable(subject.measure) for subject in SUBJECTS)


@pytest.mark.parametrize(
    ("times", "rate", "mark"),
    [((0.5, 0.6, 9.0), "2,000", "ok"), ((0.5, 1.5, 2.0), "2,000", "ok at best"), ((1.25, 1.3, 2.0), "800", "too slow")],
)
def test_the_table_says_best_median_rate_and_whether_it_is_enough(times, rate, mark):
    console = Console(width=200)
    with console.capture() as printed:
        console.print(table_of([Measurement(name="holds", times=times, members=1000, limit=1.0)]))
    line = next(line for line in printed.get().splitlines() if "holds" in line)
    cells = [cell.strip() for cell in line.strip("│┃ ").split("│")]
    assert cells[2:] == ["3", readable(times[0]), readable(times[1]), rate, "< 1 s", mark]


def test_a_line_without_times_says_why():
    console = Console(width=200)
    with console.capture() as printed:
        console.print(table_of([Measurement(name="an engine", times=(), found="not installed: engine")]))
    assert "not installed: engine" in printed.get()


@pytest.mark.parametrize("name", travel.ENGINES)
def test_every_engine_in_the_benchmark_finds_the_poses_that_are_found_here(name):
    """Which is what makes their times comparable; corners of the grid and the pose as drawn."""
    machine, packed = packed_now(load("teasel"))
    side, axle = travel.SIDE, axle_of(machine.values)
    rises = travel.POSES.rises(sideways_of(machine))[2:, [0, side - 1, side**2 // 2, -side, -1]]
    poses = import_module(f"benchmarks.engines.{name}").solver(axle)(rises + axle.wheels[:, 2, None])
    assert poses.difference(travel.own_poses(machine, packed, rises, axle)) < SAME_POSE
    assert np.abs(poses.middle[2] - axle.middle).max() < SAME_POSE  # neither bump nor roll
