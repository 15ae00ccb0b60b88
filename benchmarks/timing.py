"""How times are taken and shown."""

from __future__ import annotations

import os
import platform
import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement:
    """One line of the table."""

    name: str
    times: tuple[float, ...]  # s, one a repeat
    members: int = 1  # states solved a call, where their rate is of interest
    found: str = ""  # what the call found: iterations, solved members, rows
    limit: float | None = None  # s asked; None: nothing
    aim: float | None = None  # s hoped for

    @property
    def best(self) -> float:
        return min(self.times)

    @property
    def median(self) -> float:
        return statistics.median(self.times)

    @property
    def mark(self) -> str:
        """Whether the time is what is asked; other work on the machine spoils the median before the best."""
        if self.limit is None:
            return ""
        if self.median <= self.limit:
            return "ok"
        return "ok at best" if self.best <= self.limit else "too slow"


def times_of(call: Callable[[], object], *, repeats: int) -> tuple[float, ...]:
    """Wall-clock times of `call` in s; `call` waits for its own result, and has run before if it is to be warm."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        call()
        times.append(time.perf_counter() - start)
    return tuple(times)


def machine() -> str:
    """System, processor as it names itself, cores and versions; never the host's name."""
    information = Path("/proc/cpuinfo")
    lines = information.read_text().splitlines() if information.exists() else []
    models = [line.split(":", 1)[1].strip() for line in lines if line.startswith("model name")]
    name = models[0] if models else platform.processor() or platform.machine()
    versions = f"Python {platform.python_version()}, JAX {version('jax')}"
    return f"{platform.system()} {platform.machine()}, {name}, {os.cpu_count()} cores, {versions}"


def readable(seconds: float) -> str:
    """A time with three figures in s, ms or us."""
    scale, unit = next(((s, u) for s, u in ((1.0, "s"), (1e-3, "ms")) if seconds >= s), (1e-6, "us"))
    return f"{seconds / scale:.3g} {unit}"
