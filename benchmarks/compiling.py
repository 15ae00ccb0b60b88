"""What a first call costs in a process of its own: with nothing kept from earlier runs, and with all of it."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Iterator

from benchmarks.own import own_cache
from benchmarks.timing import Measurement

CACHED = 3  # repeats
PROGRAM = """
import json, time
begin = time.perf_counter()
from axlewright import hold, load
car = load("teasel")
imported = time.perf_counter()
from axlewright.solve.phases import held_phases
from axlewright.solve.verbs import machine_of
hold(car, held_phases(car.phases)[:1])
held = time.perf_counter()
machine_of(car).ready()
print(json.dumps([held - imported, time.perf_counter() - held]))
"""


def measure() -> Iterator[Measurement]:
    """Time the first hold and the programs for batches after it, from an empty cache folder and from the filled one."""
    with own_cache() as environment:

        def call() -> tuple[float, float]:
            command = [sys.executable, "-c", PROGRAM]
            done = subprocess.run(command, env=environment, check=True, capture_output=True, text=True)
            held, ready = json.loads(done.stdout)
            return held, ready

        runs = {"empty cache": [call()], "filled cache": [call() for _ in range(CACHED)]}
    for name, times in runs.items():
        held, ready = zip(*times, strict=True)
        yield Measurement(name=f"first hold, {name}", times=held)
        yield Measurement(name=f"then every program, {name}", times=ready)
