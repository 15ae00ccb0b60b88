"""Run every benchmark and print one table."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable

from rich.console import Console
from rich.table import Table

from benchmarks import axle_hit, batch, compiling, effects, hold, limit, motion, page, start, travel
from benchmarks.timing import Measurement, machine, readable

SUBJECTS = (
    hold,
    batch,
    travel,
    limit,
    effects,
    motion,
    axle_hit,
    compiling,
    start,
    page,
)  # modules with a `measure()` that yields measurements
WIDTH = 150  # columns in a file or a pipe


def table_of(measurements: Iterable[Measurement]) -> Table:
    """The table, with a mark where a limit is missed."""
    table = Table(title=machine(), caption="Wall-clock times; ok: the median is within what is asked, or only the best")
    table.add_column("what")
    table.add_column("found")
    for column in ("repeats", "best", "median", "a second", "asked", ""):
        table.add_column(column, justify="right")
    for it in measurements:
        if not it.times:
            table.add_row(it.name, it.found)
            continue
        rate = "" if it.members == 1 else f"{it.members / it.best:,.0f}"
        asked = "" if it.limit is None else f"< {readable(it.limit)}"
        if it.aim is not None:
            asked += f", aim {readable(it.aim)}"
        table.add_row(
            it.name, it.found, str(len(it.times)), readable(it.best), readable(it.median), rate, asked, it.mark
        )
    return table


def main() -> None:
    """Measure all subjects one after the other, and print the table."""
    measurements = []
    for subject in SUBJECTS:
        print(f"{subject.__name__} ...", file=sys.stderr)
        measurements += subject.measure()
    console = Console()
    console = console if console.is_terminal else Console(width=WIDTH)
    console.print(table_of(measurements))
    if hasattr(os, "getloadavg"):
        print(f"Load average over the last 1, 5 and 15 minutes: {', '.join(f'{x:.1f}' for x in os.getloadavg())}")


if __name__ == "__main__":
    main()
