"""The whole range of an adjuster, or of two as a grid: every position solved, at rest and in held phases.

As turned: the move alone. Kept: with lengths re-set so that named readings at rest stay as they are. A position that
can't be made, or where no state is found, has no values but a reason in words.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import NamedTuple

import numpy as np

from axlewright.car.adjusters import Adjuster, adjusters_of
from axlewright.car.adjusters.hand import tidy
from axlewright.car.adjusters.setup import OUTSIDE, Setup, single_positions
from axlewright.car.schema import Car
from axlewright.errors import RequestError, known
from axlewright.readings import Reading, readings_of
from axlewright.readings.margin import MARGIN
from axlewright.solve.phases import HeldPhase
from axlewright.solve.results import SENTENCES, Result
from axlewright.solve.solved import Solved
from axlewright.solve.verbs import hold_batch, machine_of, rest_batch
from axlewright.tune.adjust import as_singles, freed
from axlewright.tune.choose import chosen_phases
from axlewright.tune.keep_reading import Keeping, keep, keepings
from axlewright.tune.range_readings import range_readings
from axlewright.tune.table import Table

AT_REST = "at rest"
AS_TURNED, KEPT = "as-turned", "kept"
Progress = Callable[[str, int, int], None]  # what, done, of

NO_REST = "the car finds no rest with it there: a link can't reach, or a spring has run out"
# States that are the one that was asked for; of others nothing is shown.
AS_ASKED = (Result.SOLVED, Result.WRONG_EFFORT)


@dataclass(frozen=True)
class Sweep:
    """Every position, made in one way. The first axes are the positions of the adjusters."""

    kind: str  # as-turned or kept
    keeping: tuple[Keeping, ...]
    values: np.ndarray  # (..., states, readings) SI; NaN where there is no state or the reading has no meaning in it
    reasons: np.ndarray  # (..., states) sentences; "" where the state is the one that was asked for
    counts: np.ndarray  # (..., hands) positions of the re-set adjusters
    notes: np.ndarray  # (...) sentences about what would have to be done; "" where it can be done


@dataclass(frozen=True)
class WholeRange:
    """The whole range of one adjuster or two."""

    car: str
    adjusters: tuple[Adjuster, ...]
    positions: tuple[np.ndarray, ...]  # counts, rising, of each adjuster
    now: tuple[int, ...]  # place of the present position among them
    phases: tuple[HeldPhase, ...]
    readings: tuple[Reading, ...]
    sweeps: tuple[Sweep, ...]  # as turned first

    @property
    def states(self) -> tuple[str, ...]:
        """Names of the states: at rest, then the phases."""
        return (AT_REST, *(held.name for held in self.phases))

    def values(self, reading: str, state: str = AT_REST, kind: str = AS_TURNED) -> np.ndarray:
        """One reading in one state over the positions, SI; raises RequestError when the range hasn't got it."""
        ids, kinds = [r.id for r in self.readings], [sweep.kind for sweep in self.sweeps]
        known("reading of this range", [reading], ids)
        known("state of this range", [state], self.states)
        known("way of moving in this range", [kind], kinds)
        return self.sweeps[kinds.index(kind)].values[..., self.states.index(state), ids.index(reading)]


def whole_range(
    car: Car,
    adjusters: str | Sequence[str],
    *,
    phases: Sequence[str] | None = None,
    turns: Sequence[str] = ("left",),
    readings: Sequence[str] | None = None,
    hold: Mapping[str, str] | None = None,
    setup: Setup | None = None,
    progress: Progress | None = None,
) -> WholeRange:
    """Solve every position of an adjuster from end to end, at usable steps from where it is; of two, every pair.

    `phases`, `readings` choose by name; without phases all are held if a reading needs them, and none if all readings
    have a value at rest. `hold` keeps readings at rest as they are by re-setting an adjuster: reading -> adjuster.
    `setup` moves adjusters from where they are before that. Raises RequestError for a name that the car has not got.
    """
    say = progress or (lambda what, done, of: None)
    asked = [adjusters] if isinstance(adjusters, str) else list(adjusters)
    every = _set(car, setup)
    moved = _asked_adjusters(every, asked)
    say("building the car", 0, 1)
    machine = machine_of(car)
    have = readings_of(machine) | {MARGIN.id: MARGIN}
    chosen = range_readings(have, moved, readings)
    held = chosen_phases(car, phases, turns)  # asked before anything is solved, so that a wrong name is told at once
    held = held if phases or any(not reading.at_rest for reading in chosen) else ()
    what = keepings(every, have, hold or {}, asked)
    positions = tuple(positions_of(adjuster) for adjuster in moved)
    setups: list[Setup] = [dict(zip(asked, map(float, at), strict=True)) for at in product(*positions)]
    now = tuple(int(np.argmin(np.abs(p - a.position))) for p, a in zip(positions, moved, strict=True))
    shape = tuple(len(along) for along in positions)
    table = Table(machine, freed(every, [k.hand.id for k in what]), held, chosen)
    ways = [(), what] if what else [()]
    sweeps = [_Sweeper(table, every, setups, _order(shape, now)).sweep(way, say) for way in ways]
    return WholeRange(
        car=car.name,
        adjusters=tuple(moved),
        positions=positions,
        now=now,
        phases=held,
        readings=chosen,
        sweeps=tuple(_shaped(sweep, shape) for sweep in sweeps),
    )


def positions_of(adjuster: Adjuster) -> np.ndarray:
    """Every position at usable steps from where it is, and both ends of its range, rising."""
    first = np.ceil((adjuster.lo - adjuster.position - OUTSIDE) / adjuster.step)
    last = np.floor((adjuster.hi - adjuster.position + OUTSIDE) / adjuster.step)
    found = [tidy(adjuster.position + k * adjuster.step) for k in np.arange(first, last + 1.0)]
    low = [adjuster.lo] if not found or found[0] > adjuster.lo + OUTSIDE else []
    high = [adjuster.hi] if not found or found[-1] < adjuster.hi - OUTSIDE else []
    return np.array([*low, *found, *high])


def _set(car: Car, setup: Setup | None) -> dict[str, Adjuster]:
    """The car's adjusters, placed where a setup has them."""
    every = adjusters_of(car)
    if not setup:
        return every
    return adjusters_of(car.model_copy(update={"setup": as_singles(every, setup)}))


def _asked_adjusters(every: Mapping[str, Adjuster], asked: Sequence[str]) -> list[Adjuster]:
    if not 1 <= len(asked) <= 2:
        raise RequestError(f"found {len(asked)} adjusters; expected one, or two for a grid")
    known("adjuster", asked, every)
    if len({*asked}) < len(asked):
        raise RequestError(f"`{asked[0]}` was named twice: name two different adjusters, or one")
    for key in asked:
        if every[key].acts != "held":
            raise RequestError(f"{every[key].name} acts only in motion: no held state changes over its range")
    return [every[key] for key in asked]


class _Sweeper:
    """Solves positions outwards from where the car is, each from the state of a neighbour: so it keeps its assembly."""

    def __init__(self, table: Table, every: Mapping[str, Adjuster], setups: Sequence[Setup], order: _Order) -> None:
        self.table, self.every, self.setups, self.order = table, every, setups, order
        n, states, size = len(setups), 1 + len(table.phases), table.machine.start.shape[0]
        self.values = np.full((n, states, len(table.readings)), np.nan)
        self.reasons = np.full((n, states), "", dtype=object)
        self.solved = np.full((n, states, size), np.nan)  # packed states

    def sweep(self, what: tuple[Keeping, ...], say: Progress) -> Sweep:
        """Every setup, flat, with `what` kept."""
        n = len(self.setups)
        counts, notes = np.full((n, len(what)), np.nan), np.full(n, "", dtype=object)
        label, done = (f"every position, {what[0].reading.name} held" if what else "every position"), 0
        for ring in self.order.rings:
            say(label, done, n)
            done += len(ring)
            for i in ring:
                self.reasons[i] = _outside(self.every, self.setups[i])
            members = np.array([i for i in ring if not self.reasons[i, 0]], dtype=int)
            made = [self.setups[i] for i in members]
            if what and members.size:
                begun = [_near(counts, self.order.inner[i], np.array([k.hand.position for k in what])) for i in members]
                kept = keep(self.table.machine, self.every, made, what, np.array(begun).T)
                self.reasons[members[~kept.settled]] = _not_kept(what)
                members, made = (
                    members[kept.settled],
                    [s for s, ok in zip(kept.setups, kept.settled, strict=True) if ok],
                )
                counts[members] = kept.counts[:, kept.settled].T
                notes[members] = [_further(what, at) for at in counts[members]]
            if members.size:
                self._solve(members, made)
        say(label, n, n)
        return Sweep(KEPT if what else AS_TURNED, what, self.values, self.reasons, counts, notes)

    def _solve(self, members: np.ndarray, made: Sequence[Setup]) -> None:
        """Solve setups, whose places `members` are, at rest and held, and take their readings."""
        table, machine, p = self.table, self.table.machine, len(self.table.phases)
        packed = table.packed(machine.values, made)
        start = np.stack([self._begun(i, 0, np.asarray(machine.start)[:, 0]) for i in map(int, members)], axis=1)
        rest = rest_batch(machine, packed, start)
        standing = rest.result == Result.SOLVED
        self.reasons[members[~standing]] = NO_REST
        members, packed, rest = members[standing], packed[:, standing], rest.take(standing)
        if not members.size:
            return
        self.solved[members, 0] = rest.state.T
        self.values[members, 0] = _read(table.readings, rest, at_rest=True)
        if not p:
            return
        start = [self._begun(i, 1 + j, rest.state[:, m]) for m, i in enumerate(map(int, members)) for j in range(p)]
        every = np.repeat(np.arange(members.size), p)
        held = hold_batch(
            machine, packed[:, every], np.tile(table.demand, members.size), np.stack(start, axis=1), rest.take(every)
        )
        good = np.flatnonzero(np.isin(held.result, AS_ASKED))
        values, states = (
            np.full((held.batch, self.values.shape[2]), np.nan),
            np.full((held.batch, len(held.state)), np.nan),
        )
        if good.size:
            values[good] = _read(table.readings, held.take(good), at_rest=False)
            states[good] = held.state.T[good]
        self.values[members, 1:] = values.reshape(members.size, p, -1)
        self.solved[members, 1:] = states.reshape(members.size, p, -1)
        self.reasons[members, 1:] = np.array([_why(code) for code in held.result], dtype=object).reshape(-1, p)

    def _begun(self, i: int, state: int, otherwise: np.ndarray) -> np.ndarray:
        """Where the solver begins: the same state of a neighbour nearer to where the car is, or else something."""
        return _near(self.solved[:, state], self.order.inner[i], otherwise)


class _Order(NamedTuple):
    """In which order the positions of a grid are solved."""

    rings: list[list[int]]  # flat places, by their distance in steps from the present position
    inner: list[list[int]]  # of each place, its neighbours that are a step nearer


def _order(shape: tuple[int, ...], now: tuple[int, ...]) -> _Order:
    rings: dict[int, list[int]] = {}
    inner: list[list[int]] = []
    for flat, at in enumerate(np.ndindex(shape)):
        away = np.subtract(at, now)
        rings.setdefault(int(np.abs(away).sum()), []).append(flat)
        nearer = [np.subtract(at, np.sign(away) * (np.arange(len(at)) == k)) for k in np.flatnonzero(away)]
        inner.append([int(np.ravel_multi_index(tuple(place), shape)) for place in nearer])
    return _Order([rings[k] for k in sorted(rings)], inner)


def _near(found: np.ndarray, places: Sequence[int], otherwise: np.ndarray) -> np.ndarray:
    """What was found at the first of these places, or else something else."""
    return next((found[i] for i in places if np.isfinite(found[i]).all()), otherwise)


def _outside(every: Mapping[str, Adjuster], setup: Setup) -> str:
    """Why a setup can't be made; two adjusters that move one thing may each be in range and their sum not."""
    try:
        single_positions(every, [setup])
    except RequestError as error:
        return str(error)
    return ""


def _read(readings: Sequence[Reading], solved: Solved, *, at_rest: bool) -> np.ndarray:
    """(batch, readings), NaN for those that have no meaning in this kind of state."""
    nothing = np.full(solved.batch, np.nan)
    fitting = [r.at_rest if at_rest else r.held for r in readings]
    columns = [r.read(solved) if fits else nothing for r, fits in zip(readings, fitting, strict=True)]
    return np.stack([np.asarray(column, dtype=float) for column in columns], axis=1)


def _why(code: int | np.integer) -> str:
    """Why a state is not the one that was asked for, without what is shown instead: here, nothing."""
    result = Result(int(code))
    return "" if result == Result.SOLVED else re.sub(r"[:;] [^:;]* is shown$", "", SENTENCES[result])


def _further(what: Sequence[Keeping], counts: np.ndarray) -> str:
    """Which hands would have to leave their range."""
    beyond = [
        f"{k.hand.name} would have to go to {at:.2f} {k.hand.unit}, outside {k.hand.lo:g} to {k.hand.hi:g}"
        for k, at in zip(what, counts, strict=True)
        if not k.hand.lo - OUTSIDE <= at <= k.hand.hi + OUTSIDE
    ]
    return "; ".join(beyond)


def _not_kept(what: Sequence[Keeping]) -> str:
    return "; ".join(f"no position of {k.hand.name} was found that holds {k.reading.name}" for k in what)


def _shaped(sweep: Sweep, shape: tuple[int, ...]) -> Sweep:
    arrays = (sweep.values, sweep.reasons, sweep.counts, sweep.notes)
    return Sweep(sweep.kind, sweep.keeping, *(a.reshape(*shape, *a.shape[1:]) for a in arrays))
