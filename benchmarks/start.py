"""How long the command line takes to answer, each time in a process of its own."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from tempfile import TemporaryDirectory

from benchmarks.own import own_cache
from benchmarks.timing import Measurement, times_of

LIGHT, CACHED, COLD = 0.5, 5.0, 40.0  # s: what loads no solver; the effects table with the cache filled; and without
REPEATS, SOLVED = 7, 3  # of what loads no solver, and of the rest


def measure() -> Iterator[Measurement]:
    """Time what loads no solver, then the effects table from an empty cache, then what solves from the filled one."""
    with own_cache() as environment, TemporaryDirectory() as folder:
        file = str(Path(folder) / "car.toml")
        for arguments in (["--help"], ["schema"], ["new", file, "--force"], ["check", "teasel"]):
            yield _timed(arguments, environment, repeats=REPEATS, limit=LIGHT)
        yield _timed(["effects", "teasel"], environment, repeats=1, limit=COLD, cache="empty")
        yield _timed(["effects", "teasel"], environment, repeats=SOLVED, limit=CACHED, cache="filled")
        times_of(lambda: _run(["rest", "teasel"], environment), repeats=1)
        yield _timed(["rest", "teasel"], environment, repeats=SOLVED, cache="filled")


def _timed(
    arguments: list[str], environment: Mapping[str, str], *, repeats: int, limit: float | None = None, cache: str = ""
) -> Measurement:
    times = times_of(lambda: _run(arguments, environment), repeats=repeats)
    name = " ".join(word for word in arguments if word != "--force" and not Path(word).is_absolute())
    return Measurement(name=f"axlewright {name}{f', {cache} cache' if cache else ''}", times=times, limit=limit)


def _run(arguments: list[str], environment: Mapping[str, str]) -> None:
    subprocess.run([sys.executable, "-m", "axlewright", *arguments], env=environment, check=True, capture_output=True)
