"""How long the command line takes to answer when nothing has to be solved."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator

from benchmarks.timing import Measurement, median_time

LIMIT = 0.5  # s, for everything that loads no solver
REPEATS = 5


def measure() -> Iterator[Measurement]:
    """Time `axlewright --help`, `schema` and `check teasel`, each in a process of its own."""
    for arguments in ("--help", "schema", "check teasel"):
        command = [sys.executable, "-m", "axlewright", *arguments.split()]

        def call(command: list[str] = command) -> object:
            return subprocess.run(command, check=True, capture_output=True)

        name = f"axlewright {arguments}"
        yield Measurement(name=name, seconds=median_time(call, repeats=REPEATS), repeats=REPEATS, limit=LIMIT)
