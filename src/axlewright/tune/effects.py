"""The effects table: what one usable step of every adjuster changes, in every phase, both turn directions.

Every change is a difference of two exactly solved states, up and down apart, never extrapolated. As turned: the move
alone. Put right: with the restoring moves solved too. The margin to the limit is the one exception: its change is first
order, from the left null vector at the unmoved car's limit (`solve.limit`), and says so.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from axlewright.car.adjusters import Adjuster, adjusters_of
from axlewright.car.describe import describe, tolerances
from axlewright.car.schema import Car
from axlewright.car.schema.phases import Phase
from axlewright.errors import RequestError
from axlewright.model.drawn import with_drawn
from axlewright.readings import Reading, readings_of
from axlewright.readings.margin import MARGIN
from axlewright.solve.limit import Limit
from axlewright.solve.limit import limit as limit_of
from axlewright.solve.machine import Machine
from axlewright.solve.perch import stand
from axlewright.solve.phases import demand_of
from axlewright.solve.results import SENTENCES, Result
from axlewright.solve.solved import Solved
from axlewright.solve.verbs import hold_batch, machine_of, rest_batch
from axlewright.tune.adjust import apply, usable_moves
from axlewright.tune.put_right import put_right
from axlewright.tune.uncertain import Source, moved, sources

AS_TURNED, PUT_RIGHT = "as-turned", "put-right"
SURE, LIKELY, UNKNOWN = "sure", "likely", "unknown"
Progress = Callable[[str, int, int], None]  # what, done, of


@dataclass(frozen=True)
class HeldPhase:
    """One phase in one turn direction."""

    phase: Phase
    turn: str  # left, right or straight

    @property
    def name(self) -> str:
        return self.phase.name if self.turn == "straight" else f"{self.phase.name}, {self.turn}"


@dataclass(frozen=True)
class Row:
    """One move of one adjuster."""

    adjuster: str
    steps: int  # +1 or -1 usable step
    kind: str  # as-turned or put-right
    moves: tuple[tuple[str, float], ...]  # restoring moves: adjuster, counts
    result: np.ndarray  # (phases,) codes
    change: np.ndarray  # (phases, readings) SI
    sure: np.ndarray | None = None  # (phases, readings) words; None where it was not asked
    note: str = ""


@dataclass(frozen=True)
class Effects:
    """The effects table of one car."""

    car: str
    phases: tuple[HeldPhase, ...]
    readings: tuple[Reading, ...]
    adjusters: Mapping[str, Adjuster]
    base: np.ndarray  # (phases, readings) SI
    base_result: np.ndarray  # (phases,)
    ran_out: np.ndarray  # (phases,) words
    rows: tuple[Row, ...]
    ends: Mapping[str, tuple[str, ...]]  # adjuster -> why a step up or down is not there
    sharpen: tuple[tuple[str, str, float], ...] = field(
        default=()
    )  # source, measurement, share of the doubt in balance

    def row(self, adjuster: str, steps: int, kind: str = AS_TURNED) -> Row:
        """One row; raises RequestError when the table has none."""
        for row in self.rows:
            if (row.adjuster, row.steps, row.kind) == (adjuster, steps, kind):
                return row
        raise RequestError(f"the table has no row of `{adjuster}` at {steps:+d} step, {kind}")


def held_phases(phases: Sequence[Phase], turns: Sequence[str] = ("left", "right")) -> tuple[HeldPhase, ...]:
    """Every phase in every asked turn direction; a straight one once."""
    out = []
    for phase in phases:
        straight = phase.ay.value == 0 and phase.road is None
        out += [HeldPhase(phase, turn) for turn in (("straight",) if straight else turns)]
    return tuple(out)


def effects(
    car: Car,
    *,
    phases: Sequence[str] | None = None,
    adjusters: Sequence[str] | None = None,
    readings: Sequence[str] | None = None,
    turns: Sequence[str] = ("left", "right"),
    restored: bool = True,
    confidence: bool = True,
    progress: Progress | None = None,
) -> Effects:
    """What one usable step up and down of every adjuster changes, in every phase.

    `phases`, `adjusters`, `readings` choose by name; `restored` adds the rows put right; `confidence` says how sure each
    change's direction is. Raises RequestError for a name that the car has not got.
    """
    say = progress or (lambda what, done, of: None)
    say("building the car", 0, 1)
    machine = machine_of(car)
    every = adjusters_of(car)
    table = _Table(
        machine=machine,
        adjusters=every,
        phases=_chosen_phases(car, phases, turns),
        readings=_chosen_readings(machine, readings),
    )
    chosen = _chosen_adjusters(every, adjusters)
    moves = [
        (key, way, step.position) for key in chosen for way, step in zip((1, -1), usable_moves(every[key]), strict=True)
    ]
    setups = [{key: position} for key, _, position in moves if position is not None]
    made = [(key, way) for key, way, position in moves if position is not None]
    ends = {key: tuple(s.reason for s in usable_moves(every[key]) if s.position is None) for key in chosen}
    say("holding the car in every phase", 0, 1)
    base = table.base()
    rows = _as_turned(table, base, setups, made, say)
    if restored:
        rows += _put_right(table, base, setups, made, say)
    sharpen: tuple[tuple[str, str, float], ...] = ()
    if confidence:
        rows, sharpen = _with_confidence(car, table, rows, setups, made, say)
    return Effects(
        car=car.name,
        phases=table.phases,
        readings=table.readings,
        adjusters={key: every[key] for key in chosen},
        base=base.values,
        base_result=base.held.result,
        ran_out=base.limit.ran_out,
        rows=tuple(rows),
        ends=ends,
        sharpen=sharpen,
    )


def _named(kind: str, asked: Sequence[str], have: Sequence[str]) -> None:
    from difflib import get_close_matches

    for name in asked:
        if name not in have:
            near = get_close_matches(name, have, n=1, cutoff=0.4)
            hint = f"; did you mean `{near[0]}`?" if near else ""
            raise RequestError(f"this car has no {kind} `{name}`{hint} It has: {', '.join(have)}")


def _chosen_phases(car: Car, asked: Sequence[str] | None, turns: Sequence[str]) -> tuple[HeldPhase, ...]:
    every = car.phases
    if asked:
        _named("phase", asked, [phase.name for phase in every])
        every = [phase for phase in every if phase.name in asked]
    return held_phases(every, turns)


def _chosen_adjusters(every: Mapping[str, Adjuster], asked: Sequence[str] | None) -> list[str]:
    if asked:
        _named("adjuster", asked, list(every))
        return list(asked)
    return [key for key, adjuster in every.items() if not adjuster.off]


def _chosen_readings(machine: Machine, asked: Sequence[str] | None) -> tuple[Reading, ...]:
    every = {**{r.id: r for r in (MARGIN,)}, **readings_of(machine)}
    if asked:
        _named("reading", asked, list(every))
        return tuple(every[name] for name in asked)
    return tuple(reading for reading in every.values() if reading.held)


@dataclass(frozen=True)
class _Base:
    """The unmoved car."""

    packed: np.ndarray  # (parameters, 1)
    rest: Solved
    held: Solved  # (phases,)
    limit: Limit
    values: np.ndarray  # (phases, readings)


@dataclass(frozen=True)
class _Table:
    """What every part of the work needs."""

    machine: Machine
    adjusters: Mapping[str, Adjuster]
    phases: tuple[HeldPhase, ...]
    readings: tuple[Reading, ...]

    @property
    def demand(self) -> np.ndarray:
        """(demands, phases) packed."""
        pairs = [(held.phase, "right" if held.turn == "right" else "left") for held in self.phases]
        return self.machine.form.demand.pack(demand_of(pairs))

    def base(self) -> _Base:
        packed = self.machine.parameters(self.machine.values)
        nowhere, batch = apply(self.machine.values, self.adjusters, [{}])
        packed = self.machine.parameters(nowhere, batch)
        rest = rest_batch(self.machine, packed)
        held = hold_batch(self.machine, packed, self.demand, standing=rest)
        limits = limit_of(held)
        return _Base(packed, rest, held, limits, self.read(held, limits.margin))

    def packed(self, values: Mapping[str, float | np.ndarray], setups: Sequence[Mapping[str, float]]) -> np.ndarray:
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


def _change(table: _Table, base: _Base, packed: np.ndarray, rest: Solved) -> tuple[np.ndarray, np.ndarray]:
    """Changes (setups, phases, readings) and result codes (setups, phases) of packed setups."""
    n, p = packed.shape[1], len(table.phases)
    held = table.hold(packed, rest, base.held.state)
    if any(r.id == MARGIN.id for r in table.readings):
        margin = (base.limit.margin + base.limit.sensitivity(packed - base.packed)).reshape(-1)
    else:
        margin = np.zeros(n * p)
    values = table.read(held, margin).reshape(n, p, -1)
    return values - base.values, held.result.reshape(n, p)


def _as_turned(
    table: _Table, base: _Base, setups: Sequence[Mapping[str, float]], made: Sequence[tuple[str, int]], say: Progress
) -> list[Row]:
    if not setups:
        return []
    say("one step of each adjuster", 0, len(setups))
    packed = table.packed(table.machine.values, setups)
    rest = rest_batch(table.machine, packed, base.rest.state)
    change, result = _change(table, base, packed, rest)
    say("one step of each adjuster", len(setups), len(setups))
    return [Row(key, way, AS_TURNED, (), result[i], change[i]) for i, (key, way) in enumerate(made)]


def _put_right(
    table: _Table, base: _Base, setups: Sequence[Mapping[str, float]], made: Sequence[tuple[str, int]], say: Progress
) -> list[Row]:
    which = [i for i, (key, _) in enumerate(made) if table.adjusters[key].rezero]
    if not which:
        return []
    say("putting right", 0, len(which))
    done = put_right(
        table.machine, table.adjusters, [setups[i] for i in which], [table.adjusters[made[i][0]].rezero for i in which]
    )
    change, result = _change(table, base, done.rest.car, done.rest)
    rows = []
    for j, i in enumerate(which):
        notes = [_outside(table.adjusters[hand], turns) for hand, turns in done.moves[j].items()]
        if not done.settled[j]:
            notes.append("the restoring moves do not bring everything back")
        note = "; ".join(note for note in notes if note)
        rows.append(Row(*made[i], PUT_RIGHT, tuple(done.moves[j].items()), result[j], change[j], note=note))
    say("putting right", len(which), len(which))
    return rows


def _outside(hand: Adjuster, turns: float) -> str:
    to = hand.position + turns
    if hand.lo <= to <= hand.hi:
        return ""
    return f"{hand.name} would have to go to {to:.2f} {hand.unit}, outside {hand.lo:g} to {hand.hi:g}"


def _with_confidence(
    car: Car,
    table: _Table,
    rows: list[Row],
    setups: Sequence[Mapping[str, float]],
    made: Sequence[tuple[str, int]],
    say: Progress,
) -> tuple[list[Row], tuple[tuple[str, str, float], ...]]:
    """How sure each as-turned change's direction is: the table again with each source moved by its tolerance.

    Sure: the change exceeds twice the root sum of squares of what the sources do to it; likely: once.
    """
    known = sources(tolerances(car))
    if not known or not setups:
        return rows, ()
    doubts = []
    for k, source in enumerate(known):
        say("how sure each direction is", k, len(known))
        doubts.append(_with_source(car, table, source, setups))
    say("how sure each direction is", len(known), len(known))
    turned = {(row.adjuster, row.steps): row.change for row in rows if row.kind == AS_TURNED}
    change = np.stack([turned[key] for key in made])
    squares = np.stack([np.where(np.isfinite(d), (d - change) ** 2, np.inf) for d in doubts])
    doubt = np.sqrt(squares.sum(axis=0))
    size = np.abs(change)
    words = np.where(size > 2 * doubt, SURE, np.where(size > doubt, LIKELY, UNKNOWN)).astype(object)
    of = {key: words[i] for i, key in enumerate(made)}
    out = [_replace(row, of[row.adjuster, row.steps]) if row.kind == AS_TURNED else row for row in rows]
    return out, _sharpening(table, known, squares)


def _replace(row: Row, sure: np.ndarray) -> Row:
    return Row(row.adjuster, row.steps, row.kind, row.moves, row.result, row.change, sure, row.note)


def _with_source(car: Car, table: _Table, source: Source, setups: Sequence[Mapping[str, float]]) -> np.ndarray:
    """Changes of the as-turned table of a car with one source moved, (setups, phases, readings)."""
    mechanism, values = describe(car)
    machine = table.machine
    other = stand(machine.topology, with_drawn(mechanism, moved(values, source))).values
    packed = table.packed(other, [{}, *setups])
    rest = rest_batch(machine, packed)
    start = hold_batch(machine, packed[:, :1], table.demand, standing=rest.take(slice(0, 1)))
    held = table.hold(packed, rest, start.state)
    margin = np.zeros(held.batch)
    values_read = table.read(held, margin).reshape(packed.shape[1], len(table.phases), -1)
    ok = (held.result == Result.SOLVED).reshape(packed.shape[1], len(table.phases))
    values_read[~ok] = np.nan
    return values_read[1:] - values_read[:1]


def _sharpening(table: _Table, known: Sequence[Source], squares: np.ndarray) -> tuple[tuple[str, str, float], ...]:
    """Share of the doubt in the balance that each source brings, largest first."""
    ids = [r.id for r in table.readings]
    column = ids.index("balance") if "balance" in ids else 0
    part = squares[..., column]
    share = np.where(np.isfinite(part), part, 0.0).sum(axis=(1, 2))
    share = share / max(share.sum(), 1e-300)
    order = np.argsort(-share)
    return tuple((known[k].name, known[k].measure, float(share[k])) for k in order)


def sentence(code: int) -> str:
    """A result code in words."""
    return SENTENCES[Result(int(code))]
