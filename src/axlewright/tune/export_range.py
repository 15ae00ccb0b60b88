"""The whole range of an adjuster as plain data for machines: one documented, versioned form.

{"version", "car",
 "adjusters": [{"id", "name", "unit", "positions", "now"}],
 "units": {READING: SI unit},
 "sweeps": [{"kind": "as-turned" or "kept", "holds": {READING: ADJUSTER},
             "members": [{"positions": {ADJUSTER: count}, "reset": {ADJUSTER: count}, "note",
                          "states": {NAME: {"reason", "readings": {READING: value}}}}]}]}

Values are SI in the reading's unit, counts in the adjuster's own; "now" is the present position. "at rest" is the first
state, phases follow. A value that doesn't exist in a state is null; "reason" is why a state wasn't reached, or "".
"reset" is where the adjusters stand that were re-set to keep what "holds" names; empty where nothing was, or where no
position did. "note" is what would have to be done that can't be.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from axlewright.tune.export import VERSION, Data, csv_text, plain
from axlewright.tune.whole_range import Sweep, WholeRange


def range_data(found: WholeRange) -> Data:
    """The range as data."""
    return {
        "version": VERSION,
        "car": found.car,
        "adjusters": [
            {
                "id": adjuster.id,
                "name": adjuster.name,
                "unit": adjuster.unit,
                "positions": [float(p) for p in positions],
                "now": adjuster.position,
            }
            for adjuster, positions in zip(found.adjusters, found.positions, strict=True)
        ],
        "units": {reading.id: reading.unit for reading in found.readings},
        "sweeps": [
            {
                "kind": sweep.kind,
                "holds": {keeping.reading.id: keeping.hand.id for keeping in sweep.keeping},
                "members": [_member(found, sweep, at) for at in members(found)],
            }
            for sweep in found.sweeps
        ],
    }


def range_csv(found: WholeRange) -> str:
    """The range with one line a position, way of moving and state, and one column a reading, SI."""
    hands = [keeping.hand for sweep in found.sweeps for keeping in sweep.keeping]
    heads = [f"{r.id} [{r.unit}]" if r.unit else r.id for r in found.readings]
    counts = [f"{adjuster.id} [{adjuster.unit}]" for adjuster in (*found.adjusters, *hands)]
    lines: list[list[object]] = [["kind", *counts, "state", "reason", "note", *heads]]
    for sweep in found.sweeps:
        for at in members(found):
            places = [float(along[i]) for along, i in zip(found.positions, at, strict=True)]
            reset = [plain(c) for c in sweep.counts[at]] or [None] * len(hands)
            for s, state in enumerate(found.states):
                values = [plain(x) for x in sweep.values[at][s]]
                said = [state, sweep.reasons[at][s], sweep.notes[at]]
                lines.append([sweep.kind, *places, *reset, *said, *values])
    return csv_text(lines)


def members(found: WholeRange) -> Iterator[tuple[int, ...]]:
    """Places of the positions, the first adjuster's outermost."""
    return iter(np.ndindex(tuple(len(along) for along in found.positions)))


def _member(found: WholeRange, sweep: Sweep, at: tuple[int, ...]) -> Data:
    hands = [keeping.hand.id for keeping in sweep.keeping]
    reset = {key: plain(c) for key, c in zip(hands, sweep.counts[at], strict=True) if np.isfinite(c)}
    return {
        "positions": {a.id: float(p[i]) for a, p, i in zip(found.adjusters, found.positions, at, strict=True)},
        "reset": reset,
        "note": str(sweep.notes[at]),
        "states": {
            state: {
                "reason": str(sweep.reasons[at][s]),
                "readings": {r.id: plain(x) for r, x in zip(found.readings, sweep.values[at][s], strict=True)},
            }
            for s, state in enumerate(found.states)
        },
    }
