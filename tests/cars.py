"""Cars and solved states that several test files look at: built once a test process."""

from __future__ import annotations

from functools import cache

import numpy as np

from axlewright import load
from axlewright.car.describe import describe
from axlewright.car.mechanism import Mechanism
from axlewright.model.reader import is_list
from axlewright.solve.machine import Machine
from axlewright.solve.solved import Solved
from axlewright.solve.verbs import hold, machine_of, rest


class Demo:
    """A demo car with its machine, its rest state and all its phases in both turns, each made when asked for."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.car = load(name)

    @property
    def mechanism(self) -> Mechanism:
        return _described(self.name)

    @property
    def machine(self) -> Machine:
        return machine_of(self.car)

    @property
    def rest(self) -> Solved:
        return _rest(self.name)

    @property
    def phases(self) -> list[tuple[str, str]]:
        """(phase name, turn) of each member of `held`."""
        return [(phase.name, turn) for phase in self.car.phases for turn in ("left", "right")]

    @property
    def held(self) -> Solved:
        """Every phase, left turn then right turn."""
        return _held(self.name)


TEASEL, BRAMBLE = Demo("teasel"), Demo("bramble")
DUNNOCK, SORREL = Demo("dunnock"), Demo("sorrel")
TANSY, YARROW, BURDOCK, BETONY, BRYONY = (Demo(name) for name in ("tansy", "yarrow", "burdock", "betony", "bryony"))


@cache
def _described(name: str) -> Mechanism:
    return describe(load(name))[0]


@cache
def _rest(name: str) -> Solved:
    return rest(load(name))


@cache
def _held(name: str) -> Solved:
    car = load(name)
    return hold(car, [(phase, turn) for phase in car.phases for turn in ("left", "right")])


@cache
def standing_values(name: str = "teasel") -> dict[str, np.ndarray]:
    """Values of a demo car as it stands: with drawn lengths, spring settings and free radii; (), or (n,) for lists."""
    values = machine_of(load(name)).values
    return {path: _single(path, value) for path, value in values.items()}


def _single(path: str, value: float | np.ndarray) -> np.ndarray:
    batched = np.ndim(value) > int(is_list(path))
    return np.asarray(value)[..., 0] if batched else np.asarray(value)
