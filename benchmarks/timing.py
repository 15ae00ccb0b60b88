"""How times are taken and shown."""

from __future__ import annotations

import platform
import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement:
    """One line of the table: what was timed, the median time in s, and what is asked of it (None: nothing yet)."""

    name: str
    seconds: float
    repeats: int
    limit: float | None = None
    size: str = ""


def median_time(call: Callable[[], object], *, repeats: int) -> float:
    """Median wall-clock time of `call` in s over `repeats` calls; `call` waits for its own result."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        call()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def processor() -> str:
    """The processor's name as it gives it itself, with the number of cores; never the host's name."""
    information = Path("/proc/cpuinfo")
    name = platform.processor() or platform.machine()
    if information.exists():
        models = [
            line.split(":", 1)[1] for line in information.read_text().splitlines() if line.startswith("model name")
        ]
        name = f"{models[0].strip()}, {len(models)} cores" if models else name
    return f"{name}, Python {platform.python_version()}"


def readable(seconds: float) -> str:
    """A time with three figures in s, ms or us."""
    scale, unit = next(((s, u) for s, u in ((1.0, "s"), (1e-3, "ms")) if seconds >= s), (1e-6, "us"))
    return f"{seconds / scale:.3g} {unit}"
