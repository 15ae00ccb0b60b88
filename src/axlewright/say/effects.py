"""What an effects table says in words: the numbers of a step, how sure they are, what a move brings with it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np

from axlewright.car.adjusters import CAUTIONS, RECHECKS, Adjuster
from axlewright.car.adjusters.hand import said
from axlewright.readings import Reading
from axlewright.readings.margin import MARGIN
from axlewright.say.numbers import Units, direction, number, unit_of
from axlewright.solve.results import Result
from axlewright.tune.adjust import Step
from axlewright.tune.effects import Effects, Row
from axlewright.tune.export import is_change, sentence
from axlewright.tune.sure import LIKELY, SURE, UNKNOWN, Sharper

BALANCE = "balance"
TOO_SMALL, NO_CHANGE, NOTHING = "too small to feel", "no change", "0"
MARKS = {LIKELY: "?", UNKNOWN: "??", "": "", SURE: ""}
SURENESS = {
    SURE: "",
    LIKELY: "the direction is only likely",
    UNKNOWN: "the direction is not known, given how well the car file's numbers are known",
    "": "",
}
WORTH_SAYING = 0.01  # of the doubt in the balance; a measurement that would take away less is not worth a line
FEW = 3  # measurements named
LEAST_TURNS = 0.02  # counts of a restoring move; less is not a move that a hand can make


def change_number(reading: Reading, change: float, units: Units) -> str:
    """A change without its unit; 0 where it is no change."""
    return number(change, unit_of(reading, units), change=True) if is_change(reading, change) else NOTHING


def change_words(reading: Reading, change: float, units: Units) -> str:
    """A change with its direction in words: `looser 0.021 g`; and when there is none, or no value."""
    if not np.isfinite(change):
        return "no value in this state"
    return direction(reading, change, units) if is_change(reading, change) else NO_CHANGE


def is_felt(reading: Reading, change: float) -> bool:
    """Whether a driver could tell; where there is no rule of thumb, whether it is a change at all."""
    return bool(abs(change) >= (reading.felt or reading.smallest))


def move_words(adjuster: Adjuster, step: Step) -> str:
    """Where a step goes: `hole 3 to hole 4`; why there is none."""
    if step.position is None:
        return step.reason
    return f"{said(adjuster.position, adjuster.unit)} to {said(step.position, adjuster.unit)}"


def range_words(adjuster: Adjuster) -> str:
    """Where an adjuster stands, between what ends: `now 3 of 1 to 5 hole`."""
    return f"now {adjuster.position:g} of {adjuster.lo:g} to {adjuster.hi:g} {adjuster.unit}"


def restoring_words(row: Row | None, adjusters: Mapping[str, Adjuster]) -> str:
    """The restoring moves in words, and what is wrong with them."""
    if row is None:
        return ""
    every = [(adjusters[key], counts) for key, counts in row.moves if abs(counts) >= LEAST_TURNS]
    moves = [f"{a.name} {counts:+.2f} {a.unit}".rstrip() for a, counts in every]
    words = [f"put right with {'; '.join(moves)}"] if moves else []
    return "; ".join(words + [row.note] * bool(row.note))


def counted_words(adjuster: Adjuster) -> str:
    """How an adjuster is counted: from where, which way is more, and what to mind."""
    return "; ".join(text for text in (adjuster.reference, adjuster.direction, adjuster.note) if text)


def recheck_words(adjuster: Adjuster) -> str:
    """What to look at again after a move."""
    return ", ".join(RECHECKS[code] for code in adjuster.recheck) or "nothing"


def phase_words(table: Effects, i: int) -> str:
    """What is held in a phase: `ax 0 g, ay 1 g, 32 m/s, engine`."""
    phase = table.phases[i].phase
    return ", ".join([f"ax {phase.ax}", f"ay {phase.ay}", f"{phase.speed}", phase.effort])


def held_words(table: Effects, i: int) -> list[str]:
    """Where the unmoved car stands in a phase: its balance, what is left to the limit, and whether it was reached."""
    said, ids = [], {r.id: k for k, r in enumerate(table.readings)}
    if BALANCE in ids:
        said.append(f"balance {number(table.base[i, ids[BALANCE]], 'g', change=True)} g")
    if MARGIN.id in ids and np.isfinite(table.base[i, ids[MARGIN.id]]):
        said.append(f"{number(table.base[i, ids[MARGIN.id]], 'g')} g to the limit, where {table.ran_out[i]}")
    if table.base_result[i] != Result.SOLVED:
        said.append(sentence(table.base_result[i]))
    return said


def sharpen_words(sharpen: Iterable[Sharper]) -> list[str]:
    """What would make the balance surer, the best first."""
    worth = [sharper for sharper in sharpen if sharper.share >= WORTH_SAYING][:FEW]
    return [f"{s.source} ({100 * s.share:.0f} % of the doubt): {s.measure}" for s in worth]


def adjusters_cautions(adjusters: Mapping[str, Adjuster]) -> dict[str, list[str]]:
    """Cautions of adjusters, each once, with the ids of those that it is for."""
    who = {text: [a.id for a in adjusters.values() if name in a.cautions] for name, text in CAUTIONS.items()}
    return {text: ids for text, ids in who.items() if ids}
