"""The state that is asked for: moved by hand, held or at rest, with what went short in words."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from axlewright.car.schema import Car
from axlewright.readings import Reading
from axlewright.solve.machine import Machine
from axlewright.solve.phases import demand_of
from axlewright.solve.poses import Poses, grid
from axlewright.solve.results import SENTENCES, Result
from axlewright.solve.solved import Solved
from axlewright.solve.travel import move
from axlewright.solve.verbs import hold_batch, packed_now, rest_batch
from axlewright.tune.choose import chosen_phases
from axlewright.web.linkage.asked import Posed, Seen


class Ready(NamedTuple):
    """A car as it is set, ready to be moved: what takes longest when a slider only moves its wheels."""

    car: Car
    machine: Machine
    packed: np.ndarray  # (parameters, 1)


def ready(car: Car) -> Ready:
    """Make a car ready."""
    return Ready(car, *packed_now(car))


class State(NamedTuple):
    """A state of one setup."""

    solved: Solved
    said: str  # which it is, in words
    short: str  # why it isn't what was asked for, "" where it is
    share: float  # how much of the way to the pose is reached

    def has(self, reading: Reading) -> bool:
        """Whether a reading means something here."""
        if self.solved.active:
            return reading.travel and not self.short
        return reading.at_rest if self.solved.rest is None else reading.held


def pose(asked: Posed, **instead: np.ndarray) -> Poses:
    """The pose that is asked for, or a row of them."""
    one = {"bump": asked.bump, "roll": asked.roll, "steer": asked.steer, "wind_up": asked.wind_up}
    return grid(**{**one, **instead})


def state_of(one: Ready, asked: Seen) -> State:
    """The state of a car as it is set."""
    if asked.state == "moved":
        found = move(one.machine, one.packed, pose(asked), active=asked.active)
        return State(found.solved, found.poses.say(0), found.reasons[0], float(found.share[0]))
    if asked.state == "rest":
        solved, said = rest_batch(one.machine, one.packed), "at rest"
    else:
        phases = chosen_phases(one.car, [asked.phase], (asked.turn,))
        solved = hold_batch(one.machine, one.packed, one.machine.form.demand.pack(demand_of(phases)))
        said = phases[0].name
    result = Result(int(solved.result[0]))
    return State(solved, said, "" if result is Result.SOLVED else SENTENCES[result], 1.0)
