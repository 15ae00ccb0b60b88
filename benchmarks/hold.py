"""One held state of teasel, everything compiled: what a screen that follows a hand asks for."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from axlewright import load
from axlewright.solve.phases import demand_of
from axlewright.solve.results import Result
from axlewright.solve.verbs import hold_batch, packed_now, rest_batch
from benchmarks.timing import Measurement, times_of

LIMIT = 1e-3  # s
REPEATS = 200
PHASE = "mid-corner"
NEAR = 0.98  # share of the cornering at which the neighbouring state is held


def measure() -> Iterator[Measurement]:
    """Time one hold through `hold_batch` from the car at rest and from a neighbouring state."""
    car = load("teasel")
    machine, packed = packed_now(car)
    demand = demand_of([(next(phase for phase in car.phases if phase.name == PHASE), "left")])
    less = demand._replace(ay=NEAR * demand.ay, force=demand.force * [[1.0], [NEAR], [1.0]])
    asked, nearby = machine.form.demand.pack(demand), machine.form.demand.pack(less)
    rest = rest_batch(machine, packed)
    starts = {"from rest": rest.state, "from a state 2 % away": hold_batch(machine, packed, nearby, None, rest).state}
    for name, state in starts.items():
        assert hold_batch(machine, packed, asked, state, rest).result[0] == Result.SOLVED
        iterations = machine.solve(packed, asked, state)[2][0]
        found = f"{iterations} iterations"
        hold = partial(hold_batch, machine, packed, asked, state, rest)
        solve = partial(machine.solve, packed, asked, state)
        times = times_of(hold, repeats=REPEATS)
        yield Measurement(name=f"hold, {PHASE}, {name}", times=times, found=found, limit=LIMIT)
        yield Measurement(name="  of which the solve alone", times=times_of(solve, repeats=REPEATS), found=found)
