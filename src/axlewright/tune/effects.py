"""The effects table: what one usable step of every adjuster changes, in every phase, both turn directions.

Every change is a difference of two exactly solved states, up and down apart, never extrapolated. As turned: the move
alone. Put right: with the restoring moves solved too. The margin to the limit is the one exception: its change is first
order, from the left null vector at the unmoved car's limit (`solve.limit`), and says so.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from axlewright.car.adjusters import Adjuster, adjusters_of
from axlewright.car.schema import Car
from axlewright.errors import RequestError, known
from axlewright.readings import Reading, readings_of
from axlewright.readings.margin import MARGIN
from axlewright.solve.machine import Machine
from axlewright.solve.phases import HeldPhase
from axlewright.solve.verbs import machine_of
from axlewright.tune.adjust import usable_moves
from axlewright.tune.choose import chosen_adjusters, chosen_phases
from axlewright.tune.put_right import put_right
from axlewright.tune.sure import Doubt, Sharper, doubt
from axlewright.tune.table import Base, Made, Table

AS_TURNED, PUT_RIGHT = "as-turned", "put-right"
Progress = Callable[[str, int, int], None]  # what, done, of


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
    adjusters: Mapping[str, Adjuster]  # that were asked for
    every: Mapping[str, Adjuster]  # of the car: restoring moves are made with others too
    base: np.ndarray  # (phases, readings) SI
    base_result: np.ndarray  # (phases,)
    ran_out: np.ndarray  # (phases,) words
    rows: tuple[Row, ...]
    ends: Mapping[str, tuple[str, ...]]  # adjuster -> why a step up or down is not there
    sharpen: tuple[Sharper, ...] = ()

    def row(self, adjuster: str, steps: int, kind: str = AS_TURNED) -> Row:
        """One row; raises RequestError when the table has none."""
        for row in self.rows:
            if (row.adjuster, row.steps, row.kind) == (adjuster, steps, kind):
                return row
        raise RequestError(f"the table has no row of `{adjuster}` at {steps:+d} step, {kind}")


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

    `phases`, `adjusters`, `readings` choose by name; `restored` adds the rows put right; `confidence` says how sure
    each change's direction is. Raises RequestError for a name that the car has not got.
    """
    say = progress or (lambda what, done, of: None)
    every = adjusters_of(car)
    held = chosen_phases(car, phases, turns)
    chosen = chosen_adjusters(every, adjusters)
    say("building the car", 0, 2)
    machine = machine_of(car)
    say("building the car", 1, 2)
    machine.ready()
    table = Table(machine=machine, adjusters=every, phases=held, readings=_chosen_readings(machine, readings))
    made, ends = _steps(every, chosen)
    say("one step of each adjuster", 0, len(made))
    base = table.base(made)
    say("one step of each adjuster", len(made), len(made))
    restoring = _put_right(table, base, made, say) if restored else []
    doubted = doubt(car, table, base, made, say) if confidence else None
    return Effects(
        car=car.name,
        phases=table.phases,
        readings=table.readings,
        adjusters={key: every[key] for key in chosen},
        every=every,
        base=base.values,
        base_result=base.held.result,
        ran_out=base.limit.ran_out,
        rows=(*_as_turned(base, made, doubted), *restoring),
        ends=ends,
        sharpen=doubted.sharpen if doubted else (),
    )


def _chosen_readings(machine: Machine, asked: Sequence[str] | None) -> tuple[Reading, ...]:
    every = {MARGIN.id: MARGIN} | readings_of(machine)
    if asked:
        known("reading", asked, every)
        return tuple(every[name] for name in asked)
    return tuple(reading for reading in every.values() if reading.held and not reading.costly)


def _steps(every: Mapping[str, Adjuster], chosen: Sequence[str]) -> tuple[list[Made], dict[str, tuple[str, ...]]]:
    """The steps that there are, and why others are not."""
    made, ends = [], {}
    for key in chosen:
        if every[key].acts != "held":
            ends[key] = (f"{every[key].name} acts only in motion",)
            continue
        steps = usable_moves(every[key])
        ends[key] = tuple(step.reason for step in steps if step.position is None)
        for way, step in zip((1, -1), steps, strict=True):
            if step.position is not None:
                made.append(Made(key, way, step.position, step.position - every[key].position))
    return made, ends


def _as_turned(base: Base, made: Sequence[Made], doubted: Doubt | None) -> list[Row]:
    result = base.turned.result.reshape(len(made), len(base.values))
    return [
        Row(
            step.adjuster,
            step.steps,
            AS_TURNED,
            (),
            result[i],
            base.change[i],
            doubted.words(step.adjuster, base.change[i]) if doubted else None,
        )
        for i, step in enumerate(made)
    ]


def _put_right(table: Table, base: Base, made: Sequence[Made], say: Progress) -> list[Row]:
    which = [step for step in made if table.adjusters[step.adjuster].rezero]
    if not which:
        return []
    say("putting right", 0, len(which))
    codes = [table.adjusters[step.adjuster].rezero for step in which]
    done = put_right(table.machine, table.adjusters, [step.setup for step in which], codes)
    change, result = table.change(base, done.rest.car, done.rest)
    rows = []
    for i, step in enumerate(which):
        notes = [_outside(table.adjusters[hand], turns) for hand, turns in done.moves[i].items()]
        if not done.settled[i]:
            notes.append("the restoring moves do not bring everything back")
        note = "; ".join(note for note in notes if note)
        moves = tuple(done.moves[i].items())
        rows.append(Row(step.adjuster, step.steps, PUT_RIGHT, moves, result[i], change[i], note=note))
    say("putting right", len(which), len(which))
    return rows


def _outside(hand: Adjuster, turns: float) -> str:
    to = hand.position + turns
    if hand.lo <= to <= hand.hi:
        return ""
    return f"{hand.name} would have to go to {to:.2f} {hand.unit}, outside {hand.lo:g} to {hand.hi:g}"
