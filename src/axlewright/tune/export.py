"""Held states and the effects table as plain data for machines: one documented, versioned form.

{"version", "car",
 "phases": {NAME: {"ax", "ay", "speed", "turn", "result", "runs_out",
                   "readings": {ID: {"value", "unit"}}, "states": {PART: WORD}}},
 "adjusters": {ID: {"name", "unit", "step", "position", "range", "reference", "direction", "minutes", "place",
                    "recheck", "cautions", "ends"}},
 "effects": [{"phase", "adjuster", "steps": 1 or -1, "kind": "as-turned" or "put-right", "result",
              "readings": {ID: {"change", "unit", "sure"}}, "moves": [{"adjuster", "counts"}], "note"}],
 "sharpen": [{"source", "measure", "share"}]}

Values and changes are SI in the unit that stands beside them, whatever a person chose to read; ax and ay m/s2, ay
towards the inside of the turn; counts in the adjuster's own unit. A value that does not exist in a state is null. A
change smaller than its reading's smallest step is left out: it is "no change". "sure" is null where it was not worked
out. "result" is the sentence of `solve.results`, "solved" when all is well.
"""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterable, Mapping, Sequence

import numpy as np

from axlewright.car.adjusters import Adjuster
from axlewright.readings import Reading, states
from axlewright.solve.phases import HeldPhase
from axlewright.solve.results import SENTENCES, Result
from axlewright.solve.solved import Solved
from axlewright.tune.effects import Effects, Row

VERSION = 1
Data = dict[str, object]


def states_data(
    car: str,
    phases: Sequence[HeldPhase],
    readings: Sequence[Reading],
    values: np.ndarray,
    results: np.ndarray,
    *,
    runs_out: Sequence[str] | None = None,
    words: Sequence[Mapping[str, str]] | None = None,
) -> Data:
    """States as data; `values` (phases, readings) SI, `words` the state of each part in each phase."""
    out: dict[str, Data] = {}
    for i, held in enumerate(phases):
        found: Data = {
            "ax": held.phase.ax.value,
            "ay": held.phase.ay.value,
            "speed": held.phase.speed.value,
            "turn": held.turn,
            "result": sentence(results[i]),
        }
        if runs_out is not None:
            found["runs_out"] = str(runs_out[i])
        found["readings"] = readings_data(readings, values[i])
        if words is not None:
            found["states"] = dict(words[i])
        out[held.name] = found
    return {"version": VERSION, "car": car, "phases": out}


def held_data(car: str, phases: Sequence[HeldPhase], readings: Sequence[Reading], solved: Solved) -> Data:
    """Held states as data, with the state of each part."""
    words = [states(solved, i) for i in range(solved.batch)]
    return states_data(car, phases, readings, values_of(solved, readings), solved.result, words=words)


def rest_data(car: str, readings: Sequence[Reading], solved: Solved) -> Data:
    """The car at rest as data: {"version", "car", "rest": {"result", "readings", "states"}}."""
    found: Data = {
        "result": sentence(solved.result[0]),
        "readings": readings_data(readings, values_of(solved, readings)[0]),
        "states": states(solved, 0),
    }
    return {"version": VERSION, "car": car, "rest": found}


def values_of(solved: Solved, readings: Sequence[Reading]) -> np.ndarray:
    """(states, readings) SI."""
    return np.stack([np.asarray(r.read(solved), dtype=float) for r in readings], axis=1)


def readings_data(readings: Sequence[Reading], values: np.ndarray) -> Data:
    """{ID: {"value", "unit"}} of one state."""
    return {r.id: {"value": plain(value), "unit": r.unit} for r, value in zip(readings, values, strict=True)}


def effects_data(table: Effects) -> Data:
    """The effects table as data."""
    data = states_data(
        table.car, table.phases, table.readings, table.base, table.base_result, runs_out=[str(w) for w in table.ran_out]
    )
    data["adjusters"] = {
        key: _adjuster_data(adjuster, table.ends.get(key, ())) for key, adjuster in table.adjusters.items()
    }
    data["effects"] = [_row_data(table, row, p) for row in table.rows for p in range(len(table.phases))]
    data["sharpen"] = [sharper._asdict() for sharper in table.sharpen]
    return data


def effects_csv(table: Effects) -> str:
    """The effects table with one line a phase, adjuster, step and kind, and one column a reading, SI."""
    heads = [f"{r.id} [{r.unit}]" if r.unit else r.id for r in table.readings]
    lines: list[list[object]] = [["phase", "adjuster", "steps", "kind", "result", "moves", *heads]]
    for row in table.rows:
        moves = "; ".join(f"{key} {counts:+.3f}" for key, counts in row.moves)
        for p, held in enumerate(table.phases):
            numbers = [plain(x) for x in row.change[p]]
            lines.append([held.name, row.adjuster, row.steps, row.kind, sentence(row.result[p]), moves, *numbers])
    return csv_text(lines)


def states_csv(phases: Sequence[str], readings: Sequence[Reading], values: np.ndarray, results: np.ndarray) -> str:
    """States with one line a phase and one column a reading, SI."""
    heads = [f"{r.id} [{r.unit}]" if r.unit else r.id for r in readings]
    lines: list[list[object]] = [["phase", "result", *heads]]
    for i, name in enumerate(phases):
        lines.append([name, sentence(results[i]), *(plain(x) for x in values[i])])
    return csv_text(lines)


def csv_text(lines: Iterable[Sequence[object]]) -> str:
    """RFC 4180 text."""
    out = io.StringIO()
    csv.writer(out).writerows(lines)
    return out.getvalue()


def sentence(code: int | np.integer) -> str:
    """A result code in words."""
    return SENTENCES[Result(int(code))]


def is_change(reading: Reading, change: float) -> bool:
    """Whether a change is more than "no change"."""
    return not math.isfinite(change) or bool(abs(change) >= max(reading.smallest, np.finfo(float).tiny))


def plain(value: float) -> float | None:
    """A number to nine digits, None where there is none."""
    return float(f"{value:.9g}") if math.isfinite(value) else None


def _adjuster_data(adjuster: Adjuster, ends: Sequence[str]) -> Data:
    return {
        "name": adjuster.name,
        "unit": adjuster.unit,
        "step": adjuster.step,
        "position": adjuster.position,
        "range": [adjuster.lo, adjuster.hi],
        "reference": adjuster.reference,
        "direction": adjuster.direction,
        "minutes": adjuster.minutes,
        "place": adjuster.place,
        "recheck": list(adjuster.recheck),
        "cautions": list(adjuster.cautions),
        "ends": list(ends),
    }


def _row_data(table: Effects, row: Row, p: int) -> Data:
    sure = row.sure
    readings = {
        r.id: {
            "change": plain(row.change[p, i]),
            "unit": r.unit,
            "sure": (str(sure[p, i]) or None) if sure is not None else None,
        }
        for i, r in enumerate(table.readings)
        if is_change(r, row.change[p, i])
    }
    return {
        "phase": table.phases[p].name,
        "adjuster": row.adjuster,
        "steps": row.steps,
        "kind": row.kind,
        "result": sentence(row.result[p]),
        "readings": readings,
        "moves": [{"adjuster": key, "counts": plain(counts)} for key, counts in row.moves],
        "note": row.note,
    }
