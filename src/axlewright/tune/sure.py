"""How sure the direction of each change is: the table again with each thing that is not well known moved a tolerance.

Sure: the change exceeds twice the root sum of squares of what the sources of doubt do to it; likely: once. Uncorrelated
inputs are added so in JCGM 100 (Guide to the expression of uncertainty in measurement), 5.1.2; from memory.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import cache, cached_property
from typing import NamedTuple

import numpy as np

from axlewright.car.adjusters.setup import Setup
from axlewright.car.describe import describe, tolerances
from axlewright.car.schema import Car
from axlewright.model.drawn import with_drawn
from axlewright.readings.margin import MARGIN
from axlewright.solve.perch import stand
from axlewright.solve.results import Result
from axlewright.solve.solved import Solved
from axlewright.solve.verbs import rest_demand_of
from axlewright.tune.table import Base, Made, Table
from axlewright.tune.uncertain import Source, moved, sources

FEW = 2  # linearisations: one Newton step from where both small moves lead, and a look at what is left
CLOSE = 1e-6  # scaled residual of a state good enough to read a doubt from: 1e-3 N
SURE, LIKELY, UNKNOWN, NOT_ASKED = "sure", "likely", "unknown", ""


def how_sure(change: np.ndarray, doubt: np.ndarray) -> np.ndarray:
    """A word for each change: it exceeds twice its doubt, once, or not; both in the reading's own unit."""
    size = np.abs(change)
    return np.where(size > 2 * doubt, SURE, np.where(size > doubt, LIKELY, UNKNOWN)).astype(object)


class Sharper(NamedTuple):
    """A measurement that would make the table surer."""

    source: str  # what is not well known
    measure: str  # how it would be known better
    share: float  # of the doubt in the balance, over all adjusters and phases


@dataclass(frozen=True)
class Doubt:
    """What the sources of doubt do to the change of one step of each adjuster."""

    table: Table
    known: tuple[Source, ...]
    squares: Mapping[str, np.ndarray]  # adjuster -> (sources, phases, readings)

    def words(self, adjuster: str, change: np.ndarray) -> np.ndarray:
        """How sure the direction of each change (phases, readings) is; nothing is said of a car without tolerances.

        The margin to the limit is left out: its doubt would take a walk to the limit for every source.
        """
        if not self.known:
            return np.full(change.shape, NOT_ASKED, dtype=object)
        doubt = np.sqrt(self.squares[adjuster].sum(axis=0))
        words = how_sure(change, doubt)
        words[:, [reading.id == MARGIN.id for reading in self.table.readings]] = NOT_ASKED
        return words

    @cached_property
    def sharpen(self) -> tuple[Sharper, ...]:
        """The sources by their share of the doubt in the balance, largest first; empty when it is not in the table."""
        ids = [reading.id for reading in self.table.readings]
        if "balance" not in ids or not self.squares:
            return ()
        part = np.stack([square[..., ids.index("balance")] for square in self.squares.values()])
        share = np.where(np.isfinite(part), part, 0.0).sum(axis=(0, 2))
        share = share / max(share.sum(), np.finfo(float).tiny)
        order = np.argsort(-share)
        return tuple(Sharper(self.known[k].name, self.known[k].measure, float(share[k])) for k in order)


def doubt(car: Car, table: Table, base: Base, made: Sequence[Made], say: Callable[[str, int, int], None]) -> Doubt:
    """The table again with each source of doubt moved by its tolerance.

    One step of each adjuster is tried, and its doubt stands for the step the other way too; that of several adjusters
    moved together follows from theirs.
    """
    known = tuple(sources(tolerances(car)))
    first = {step.adjuster: i for i, step in reversed(list(enumerate(made)))}  # the step up, where there is one
    together = {key: table.adjusters[key].made_of for key in first}
    tried = [key for key in first if not together[key] or any(member not in first for member, _ in together[key])]
    if not known or not tried:
        nothing = np.zeros((len(known), len(table.phases), len(table.readings)))
        return Doubt(table, known, dict.fromkeys(first, nothing))
    trial = _Trial(table, base, np.array([first[key] for key in tried]))
    squares: dict[str, list[np.ndarray]] = {key: [] for key in first}
    mechanism, values = describe(car)
    steps: list[Setup] = [{}, *(made[first[key]].setup for key in tried)]

    def differences(source: Source) -> np.ndarray:
        other = stand(table.machine.topology, with_drawn(mechanism, moved(values, source))).values
        return trial.differences(table.packed(other, steps))

    say("how sure each direction is", 0, len(known))
    for k, by_source in enumerate(_threads().map(differences, known)):
        effect = dict(zip(tried, by_source, strict=True))
        for key in first.keys() - effect.keys():  # to first order, several moved together are the sum of them
            size = made[first[key]].counts
            effect[key] = sum(share * size / made[first[m]].counts * effect[m] for m, share in together[key])
        for key, change in effect.items():
            squares[key].append(np.where(np.isfinite(change), change**2, np.inf))
        say("how sure each direction is", k + 1, len(known))
    return Doubt(table, known, {key: np.stack(square) for key, square in squares.items()})


@cache
def _threads() -> ThreadPoolExecutor:
    """Two at a time, so that one is read off while the other is solved."""
    return ThreadPoolExecutor(max_workers=2)


@dataclass(frozen=True)
class _Trial:
    """The as-turned table of a slightly other car: each state is begun where both small moves together should lead."""

    table: Table
    base: Base
    tried: np.ndarray  # (tried,) places of its setups among the base's

    def differences(self, packed: np.ndarray) -> np.ndarray:
        """What being another car does to each change, (tried, phases, readings); NaN where no state was found.

        `packed` (parameters, 1 + tried): the other car unmoved, then with each step.
        """
        n, p = packed.shape[1], len(self.table.phases)
        rest = self._rest(packed)
        moved, _, _ = self.table.machine.solve(
            packed[:, np.zeros(p, dtype=int)], self.table.demand, self.base.held.state
        )
        turned = self.base.turned.state.reshape(len(moved), -1, p)[:, self.tried]
        start = np.concatenate([moved[:, None], turned + (moved - self.base.held.state)[:, None]], axis=1)
        held = self._solved(
            np.repeat(packed, p, axis=1),
            np.tile(self.table.demand, (1, n)),
            start.reshape(len(start), -1),
            rest.take(np.repeat(np.arange(n), p)),
        )
        values = self.table.read(held, np.zeros(n * p))
        values[held.result != Result.SOLVED] = np.nan
        values = values.reshape(n, p, -1)
        return values[1:] - values[:1] - self.base.change[self.tried]

    def _rest(self, packed: np.ndarray) -> Solved:
        machine, at_rest = self.table.machine, self.base.rest.state
        demand = rest_demand_of(machine)
        moved, _, _ = machine.solve(packed[:, :1].repeat(2, axis=1), demand, at_rest[:, :1])
        start = at_rest[:, [0, *(1 + self.tried)]] + moved[:, :1] - at_rest[:, :1]
        return self._solved(packed, demand, start)

    def _solved(self, packed: np.ndarray, demand: np.ndarray, start: np.ndarray, rest: Solved | None = None) -> Solved:
        solve = self.table.machine.solve
        state, error, _ = solve(packed, demand, start, most=FEW)
        hard = np.flatnonzero(~(error < CLOSE))
        if hard.size:
            demands = np.broadcast_to(demand, (demand.shape[0], len(error)))[:, hard]
            state, error = state.copy(), error.copy()
            state[:, hard], error[hard], _ = solve(packed[:, hard], demands, start[:, hard])
        good = error < CLOSE if rest is None else (error < CLOSE) & (rest.result == Result.SOLVED)
        result = np.where(good, Result.SOLVED, Result.NOT_FOUND).astype(int)
        demand = np.broadcast_to(demand, (demand.shape[0], len(error)))
        return Solved(self.table.machine, packed, demand, state, error, result, rest)
