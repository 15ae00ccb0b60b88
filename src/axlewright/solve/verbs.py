"""The verbs that people use: `rest`, `hold` and `limit` of a car."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from axlewright.car.adjusters import adjusters_of
from axlewright.car.adjusters.setup import Setup, apply
from axlewright.car.describe import describe
from axlewright.car.schema import Car
from axlewright.car.schema.phases import Phase
from axlewright.errors import RequestError
from axlewright.solve import hold as _hold
from axlewright.solve import limit as _limit
from axlewright.solve.demand import rest_demand
from axlewright.solve.limit import Limit
from axlewright.solve.machine import Machine, build
from axlewright.solve.phases import demand_of, held_phases
from axlewright.solve.solved import Solved


def machine_of(car: Car) -> Machine:
    """The car ready to be solved; kept, since building it takes a moment. Setups don't change what it is."""
    drawn = car.model_copy(update={"setup": {}, "setups": {}})
    return _machine(drawn.model_dump_json(), _Held(drawn))


class _Held:
    """Carries a car past the cache without being part of its key."""

    def __init__(self, car: Car) -> None:
        self.car = car

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Held)

    def __hash__(self) -> int:
        return 0


@lru_cache(maxsize=8)
def _machine(key: str, held: _Held) -> Machine:
    del key
    return build(*describe(held.car))


def packed_now(car: Car | Machine, setup: Setup | None = None) -> tuple[Machine, np.ndarray]:
    """A car's machine and its parameters as it is set now, (parameters, 1).

    `setup` moves adjusters from there: id -> position. A machine is taken as drawn, and has no adjusters to move.
    """
    if isinstance(car, Machine):
        if setup:
            raise RequestError("a machine has no adjusters to move: give the car")
        return car, car.drawn
    machine = machine_of(car)
    if not (setup or car.setup):
        return machine, machine.drawn
    values, batch = apply(machine.values, adjusters_of(car), [setup or {}])
    return machine, machine.parameters(values, batch)


def rest(car: Car | Machine, setup: Setup | None = None) -> Solved:
    """The car at rest on slip plates, as on scales; `setup` moves adjusters: id -> position."""
    return rest_batch(*packed_now(car, setup))


def rest_batch(machine: Machine, packed: np.ndarray, start: np.ndarray | None = None) -> Solved:
    """A batch of setups at rest."""
    demand = rest_demand_of(machine)
    return _hold.solve(machine, packed, demand, machine.start if start is None else start)


def rest_demand_of(machine: Machine) -> np.ndarray:
    """Demand of standing on slip plates, packed (demands, 1)."""
    return machine.form.demand.pack(rest_demand(len(machine.topology.mechanism.wheels)))


def hold(car: Car | Machine, phases: Sequence[tuple[Phase, str]] | None = None, setup: Setup | None = None) -> Solved:
    """The states that the car settles into, one batch, `rest` filled in.

    `phases`: (phase, "left", "right" or "straight") pairs, or all phases of the car (`phases.held_phases`).
    """
    machine, packed = packed_now(car, setup)
    if phases is None:
        if isinstance(car, Machine):
            raise RequestError("a machine has no phases of its own: give some, or the car")
        phases = held_phases(car.phases)
    demand = machine.form.demand.pack(demand_of(phases))
    return hold_batch(machine, np.repeat(packed, len(phases), axis=1), demand)


def hold_batch(
    machine: Machine,
    packed: np.ndarray,
    demand: np.ndarray,
    start: np.ndarray | None = None,
    standing: Solved | None = None,
) -> Solved:
    """A batch of held states; `standing` the same setups at rest (solved here when not given)."""
    at_rest = rest_batch(machine, packed) if standing is None else standing
    return _hold.solve(machine, packed, demand, at_rest.state if start is None else start, at_rest)


def limit(car: Car | Machine, phases: Sequence[tuple[Phase, str]] | None = None, setup: Setup | None = None) -> Limit:
    """How far each phase can be pushed along its own direction, and what runs out; arguments as `hold`."""
    return _limit.limit(hold(car, phases, setup))
