"""How long it takes to push teasel's phases to their limits."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from axlewright import hold, load
from axlewright.solve.limit import limit
from axlewright.solve.phases import held_phases
from benchmarks.timing import Measurement, times_of

REPEATS = 5
PHASE = "mid-corner"


def measure() -> Iterator[Measurement]:
    """Time the walk from held states to the limit: one phase, and every phase to both sides."""
    car = load("teasel")
    every = held_phases(car.phases)
    one = [held for held in every if held.phase.name == PHASE and held.turn == "left"]
    for name, phases in ((f"limit, {PHASE}", one), (f"limit, {len(every)} held phases", every)):
        start = hold(car, phases)
        call = partial(limit, start)
        found = call().found
        yield Measurement(
            name=name,
            times=times_of(call, repeats=REPEATS),
            found=f"{int(found.sum())} of {found.size} found",
        )
