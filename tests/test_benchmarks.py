"""The benchmarks' table; what it measures is left to `make benchmark`, since it depends on the machine."""

from __future__ import annotations

from pathlib import Path

import pytest
from rich.console import Console

import benchmarks
from benchmarks.__main__ import SUBJECTS, table_of
from benchmarks.timing import Measurement, readable

HELPERS = {"__init__", "__main__", "own", "timing"}


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
