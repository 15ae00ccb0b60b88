"""How far springs move from where the event began, and how hard their bump and droop stops are hit."""

from __future__ import annotations

from functools import partial

import numpy as np

from axlewright.readings.motion.base import MotionReading, after, listed
from axlewright.solve.motion.run import Run

OWN = "own definition"


def most(run: Run, path: str, way: float) -> np.ndarray:
    """Largest compression (way 1) or extension (way -1) from where it began, m, never below 0."""
    extension = run.seen.extension[path]
    return np.maximum((-way * (extension[after(run)] - extension[0])).max(axis=0), 0.0)


def squeeze(run: Run, path: str, block: int, term: int, copy: int) -> np.ndarray:
    """How far a stop is squeezed at each moment, m, (T, B); below 0 it is clear by so much."""
    knots = run.held.parameters.blocks[block].elastic
    sense, drawn, onset = (np.asarray(a)[term, copy] for a in (knots.sense, knots.set, np.asarray(knots.onset)[0]))
    return sense * run.seen.extension[path] + drawn - onset


def peak_squeeze(run: Run, path: str, block: int, term: int, copy: int) -> np.ndarray:
    """Largest squeeze of a stop, m; below 0 it stays clear by so much."""
    return squeeze(run, path, block, term, copy)[after(run)].max(axis=0)


def touching(run: Run, path: str, block: int, term: int, copy: int) -> np.ndarray:
    """Share of the time that a stop is touched."""
    return (squeeze(run, path, block, term, copy)[after(run)] > 0.0).mean(axis=0)


def springs_of(run: Run) -> list[MotionReading]:
    """Each spring and each stop, every event."""
    rows = []
    for b, topology in enumerate(run.held.machine.topology.blocks):
        for c, copy in enumerate(topology.block.copies):
            for t, (_, link, term) in enumerate(topology.terms):
                path = f"{copy}.{link}"
                said = path.replace(".", " ").replace("_", " ")
                if term.kind == "coil_spring":
                    for key, way in (("bump", 1.0), ("droop", -1.0)):
                        read, moves = partial(most, path=path, way=way), ("moves more", "moves less")
                        rows.append((f"{path}.{key}", f"{said}: most {key} travel", "m", "mm", *moves, read))
                if term.kind == "stop":
                    stop, at = term.name.replace("_", " "), {"path": path, "block": b, "term": t, "copy": c}
                    name = f"{path}.{term.name}"
                    harder, longer = ("hit harder", "clears by more"), ("touched longer", "touched less")
                    deep = f"{said}: {stop} squeeze; negative is clearance left"
                    rows += [
                        (f"{name}.squeeze", deep, "m", "mm", *harder, partial(peak_squeeze, **at)),
                        (f"{name}.touched", f"{said}: {stop} touched", "", "%", *longer, partial(touching, **at)),
                    ]
    return listed(OWN, rows, detail=True)
