"""Many setups of one car held in many phases at once, and what that changes against the unmoved car."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from axlewright.car.adjusters import Adjuster
from axlewright.car.adjusters.setup import Setup, apply
from axlewright.readings import Reading
from axlewright.readings.margin import MARGIN
from axlewright.solve.limit import Limit
from axlewright.solve.limit import limit as limit_of
from axlewright.solve.machine import Machine
from axlewright.solve.phases import HeldPhase, demand_of
from axlewright.solve.solved import Solved
from axlewright.solve.verbs import hold_batch, rest_batch


class Made(NamedTuple):
    """One usable step of one adjuster."""

    adjuster: str
    steps: int  # +1 or -1
    to: float  # position, counts
    counts: float  # from where it is now

    @property
    def setup(self) -> Setup:
        """The step as a setup."""
        return {self.adjuster: self.to}


@dataclass(frozen=True)
class Base:
    """The unmoved car in every phase, and each step as turned."""

    packed: np.ndarray  # (parameters, 1 + steps), the unmoved car first
    rest: Solved  # (1 + steps,)
    held: Solved  # (phases,)
    limit: Limit
    values: np.ndarray  # (phases, readings) SI
    turned: Solved  # (steps * phases,), steps outermost
    change: np.ndarray  # (steps, phases, readings) SI


@dataclass(frozen=True)
class Table:
    """What every part of the work needs."""

    machine: Machine
    adjusters: Mapping[str, Adjuster]
    phases: tuple[HeldPhase, ...]
    readings: tuple[Reading, ...]

    @property
    def demand(self) -> np.ndarray:
        """(demands, phases) packed."""
        return self.machine.form.demand.pack(demand_of(self.phases))

    def base(self, made: Sequence[Made]) -> Base:
        """The unmoved car and each step as turned, in every phase."""
        packed = self.packed(self.machine.values, [{}, *(step.setup for step in made)])
        rest = rest_batch(self.machine, packed)
        unmoved = np.zeros(len(self.phases), dtype=int)
        held = hold_batch(self.machine, packed[:, unmoved], self.demand, standing=rest.take(unmoved))
        limits = limit_of(held)
        values = self.read(held, limits.margin)
        if not made:  # adjusters that act only in motion, or that have no step left
            return Base(packed, rest, held, limits, values, held.take(slice(0)), np.zeros((0, *values.shape)))
        turned = self.hold(packed[:, 1:], rest.take(slice(1, None)), held.state)
        found = self.read(turned, self._margin(limits, packed[:, 1:] - packed[:, :1]))
        return Base(packed, rest, held, limits, values, turned, found.reshape(len(made), *values.shape) - values)

    def _margin(self, limits: Limit, moved: np.ndarray) -> np.ndarray:
        """Margin to the limit of changed parameters (parameters, setups), first order, (setups * phases,)."""
        if all(reading.id != MARGIN.id for reading in self.readings):
            return np.zeros(moved.shape[1] * len(self.phases))
        return (limits.margin + limits.sensitivity(moved)).reshape(-1)

    def packed(self, values: Mapping[str, float | np.ndarray], setups: Sequence[Setup]) -> np.ndarray:
        """(parameters, setups) packed."""
        edited, batch = apply(values, self.adjusters, setups)
        return self.machine.parameters(edited, batch)

    def hold(self, packed: np.ndarray, rest: Solved, start: np.ndarray) -> Solved:
        """Every setup in every phase, setups outermost: (setups * phases,). `start` (unknowns, phases)."""
        n, p = packed.shape[1], len(self.phases)
        return hold_batch(
            self.machine,
            np.repeat(packed, p, axis=1),
            np.tile(self.demand, (1, n)),
            np.tile(start, (1, n)),
            rest.take(np.repeat(np.arange(n), p)),
        )

    def read(self, held: Solved, margin: np.ndarray) -> np.ndarray:
        """Readings of a batch, (batch, readings); `margin` (batch,) is put in where it is asked for."""
        columns = [margin if r.id == MARGIN.id else r.read(held) for r in self.readings]
        return np.stack([np.asarray(c, dtype=float) for c in columns], axis=1)

    def change(self, base: Base, packed: np.ndarray, rest: Solved) -> tuple[np.ndarray, np.ndarray]:
        """Changes (setups, phases, readings) of other setups against the unmoved car, and result codes."""
        held = self.hold(packed, rest, base.held.state)
        values = self.read(held, self._margin(base.limit, packed - base.packed[:, :1]))
        n = packed.shape[1]
        return values.reshape(n, *base.values.shape) - base.values, held.result.reshape(n, -1)
