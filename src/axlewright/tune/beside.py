"""Setups of one car beside each other in one phase: each held, and how sure the difference of a reading is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from axlewright.car.adjusters import Adjuster
from axlewright.car.adjusters.setup import Setup, apply
from axlewright.car.describe import describe, tolerances
from axlewright.car.schema import Car
from axlewright.model.drawn import with_drawn
from axlewright.readings import Reading
from axlewright.solve.machine import Machine
from axlewright.solve.perch import stand
from axlewright.solve.phases import HeldPhase, demand_of
from axlewright.solve.results import Result
from axlewright.solve.solved import Solved
from axlewright.solve.verbs import hold_batch, rest_batch
from axlewright.tune.uncertain import Source, moved, sources


def hold_beside(machine: Machine, adjusters: Mapping[str, Adjuster], setup: Setup, phase: HeldPhase) -> Solved:
    """One setup of a car in one phase, `rest` filled in; positions count as in `setup.apply`.

    A state alone is solved a tenth of the time that a batch takes, so what was solved before is better kept.
    """
    return _held(machine, machine.parameters(*apply(machine.values, adjusters, [setup])), phase)


def _held(machine: Machine, packed: np.ndarray, phase: HeldPhase) -> Solved:
    standing = rest_batch(machine, packed)
    demand = machine.form.demand.pack(demand_of([phase]))
    return hold_batch(machine, packed, np.repeat(demand, packed.shape[1], axis=1), standing=standing)


class Doubts:
    """The same car with each thing that is not well known moved by its tolerance; made once for a car."""

    def __init__(self, car: Car, machine: Machine) -> None:
        self.machine = machine
        self.known: tuple[Source, ...] = tuple(sources(tolerances(car)))
        mechanism, values = describe(car)
        self._values = [
            stand(machine.topology, with_drawn(mechanism, moved(values, source))).values for source in self.known
        ]

    def between(
        self,
        adjusters: Mapping[str, Adjuster],
        setups: Sequence[Setup],
        phase: HeldPhase,
        reading: Reading,
        found: np.ndarray,
    ) -> tuple[np.ndarray, float, str]:
        """How well a reading is known, SI: of each setup (setups,), of the last minus the first, and what to measure.

        `found` (setups,) are the readings of the car as stated. One tolerance of each source, root sum of squares: the
        sources are taken as independent (JCGM 100, 5.1.2; from memory). Infinite where a source's car finds no state.
        """
        if not self.known:
            return np.full(len(setups), np.nan), float("nan"), ""
        n = len(setups)
        packed = [self.machine.parameters(*apply(values, adjusters, setups)) for values in self._values]
        held = _held(self.machine, np.concatenate(packed, axis=1), phase)
        read = np.where(held.result == Result.SOLVED, np.asarray(reading.read(held), dtype=float), np.inf)
        moves = read.reshape(-1, n) - found  # (sources, setups)
        alone = np.sqrt((moves**2).sum(axis=0))
        between = moves[:, n - 1] - moves[:, 0]
        worst = self.known[int(np.argmax(np.abs(between) if np.abs(between).any() else np.abs(moves[:, -1])))]
        return alone, float(np.sqrt((between**2).sum())), f"{worst.name}: {worst.measure}"
