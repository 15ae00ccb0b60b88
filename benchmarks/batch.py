"""Many held states of teasel in one call: as a table, or a search through set-ups, asks for."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import numpy as np

from axlewright import load
from axlewright.solve.demand import held_demand
from axlewright.solve.results import Result
from axlewright.solve.verbs import hold_batch, packed_now, rest_batch
from axlewright.units import GRAVITY
from benchmarks.timing import Measurement, times_of

MEMBERS = 4096
LIMIT, AIM = MEMBERS / 5_000, MEMBERS / 20_000  # s
REPEATS = 5
# Corners that teasel holds, left and right, on the brakes (more than drag alone slows it) and under power
SIDE, BRAKING, POWER, SPEED = (0.2, 0.8), (-0.4, -0.15), (0.0, 0.2), (20.0, 35.0)  # g, g, g, m/s
NEAR = 0.98  # share of the accelerations at which the neighbouring states are held


def measure() -> Iterator[Measurement]:
    """Time a batch of different corners, all from rest and each from a state nearby."""
    machine, packed = packed_now(load("teasel"))
    random = np.random.default_rng(1)  # the same corners every run
    brakes, speed = random.random(MEMBERS) < 0.5, random.uniform(*SPEED, MEMBERS)
    ax = GRAVITY * np.where(brakes, random.uniform(*BRAKING, MEMBERS), random.uniform(*POWER, MEMBERS))
    ay = GRAVITY * random.uniform(*SIDE, MEMBERS) * random.choice([-1.0, 1.0], MEMBERS)

    def corners(share: float) -> np.ndarray:
        asked = held_demand(
            ax=share * ax,
            ay=share * ay,
            speed=speed,
            effort=np.where(brakes, "brakes", "engine"),
            grip=np.ones(MEMBERS),
            road_height=np.zeros((4, MEMBERS)),
        )
        return machine.form.demand.pack(asked)

    demand, cars = corners(1.0), np.repeat(packed, MEMBERS, axis=1)
    rest = rest_batch(machine, packed)
    nearby = hold_batch(machine, cars, corners(NEAR), None, rest)
    starts = {"from rest": rest.state, "from states 2 % away": nearby.state}
    for name, state in starts.items():
        call = partial(hold_batch, machine, cars, demand, state, rest)
        solved = int((call().result == Result.SOLVED).sum())
        yield Measurement(
            name=f"{MEMBERS} holds, {name}",
            times=times_of(call, repeats=REPEATS),
            members=MEMBERS,
            found=f"{solved} solved",
            limit=LIMIT,
            aim=AIM,
        )
