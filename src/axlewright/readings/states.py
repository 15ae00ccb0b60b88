"""In what state each part is, in a word: wheels rolling or lifted, torque links on seat or spring, stops clear or
touched.

Words: a wheel is "standing" (at rest), "rolling", "lifted", "locked" or "spinning"; a drive-side torque link "slack",
on its "seat", "spring" or "stop"; a brake-side one pushes by "gas" alone or by its "bumper"; a spring is "loose" in
its perch, on its "tender", "spring" or "bound" coil on coil; a stop "clear" or "touched"; a bar, or the steering's
relay linkage, "turning" or past "toggle"; the car "stable", or "unstable" above its critical speed, where a held
steering wheel lets it turn in.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from axlewright.parts.elastic import movement
from axlewright.readings._kept import kept
from axlewright.solve.solved import Solved
from axlewright.solve.stability import past_critical_speed

LIFTED = 1.0  # N; a tyre that carries less is in the air
LOCKED, SPINNING = -0.99, 0.3  # slip ratios; at three times the usual peak slip a driven wheel no longer drives the car

Words = Callable[[np.ndarray, np.ndarray, np.ndarray], np.ndarray]


def _drive(moved: np.ndarray, onset: np.ndarray, step: np.ndarray) -> np.ndarray:
    del step
    return np.select([moved < onset[0], moved < onset[1], moved < onset[2]], ["slack", "seat", "spring"], "stop")


def _brake(moved: np.ndarray, onset: np.ndarray, step: np.ndarray) -> np.ndarray:
    del step
    return np.where(moved < onset[0], "gas", "bumper")


def _spring(moved: np.ndarray, onset: np.ndarray, step: np.ndarray) -> np.ndarray:
    conditions = [moved < onset[0], (step[1] > 0.0) & (moved < onset[1]), moved >= onset[5]]
    return np.select(conditions, ["loose", "tender", "bound"], "spring")


def _stop(moved: np.ndarray, onset: np.ndarray, step: np.ndarray) -> np.ndarray:
    del step
    return np.where(moved < onset[0], "clear", "touched")


WORDS: dict[str, Words] = {"drive_link": _drive, "brake_link": _brake, "coil_spring": _spring, "stop": _stop}


@kept
def moves(solved: Solved) -> tuple[np.ndarray, ...]:
    """How far each elastic term is moved in its own direction, m: one array (terms, c, B) a block."""
    found = []
    for topology, p, at in zip(solved.machine.topology.blocks, solved.parameters.blocks, solved.blocks, strict=True):
        extension = np.asarray(at.details.extension)
        own = [extension[i] for i, _, _ in topology.terms]
        found.append(np.asarray(movement(p.elastic, np.stack(own))) if own else extension[:0])
    return tuple(found)


@kept
def words(solved: Solved) -> dict[str, np.ndarray]:
    """Word of every part for the whole batch: path -> (B,) text. Paths as in the car's values, `COPY.LINK.TERM`."""
    found = _wheel_words(solved)
    for block, topology in enumerate(solved.machine.topology.blocks):
        elastic = solved.parameters.blocks[block].elastic
        for t, (_, link, term) in enumerate(topology.terms):
            if term.kind not in WORDS:
                continue
            onset, step = np.asarray(elastic.onset)[:, t], np.asarray(elastic.step)[:, t]
            said = WORDS[term.kind](moves(solved)[block][t], onset, step)
            for c, copy in enumerate(topology.block.copies):
                found[f"{copy}.{link}.{term.name}"] = said[c]
    for bar, margin in toggle_margins(solved).items():
        found[bar] = np.where(margin > 0.0, "turning", "toggle")
    found["car"] = np.where(past_critical_speed(solved), "unstable", "stable")
    return found


def states(solved: Solved, member: int) -> dict[str, str]:
    """Word of every part of one member of the batch, by the part's path."""
    return {path: str(said[member]) for path, said in words(solved).items()}


def _wheel_words(solved: Solved) -> dict[str, np.ndarray]:
    rolling, braking = np.asarray(solved.asked.rolling) > 0, np.asarray(solved.asked.braking) > 0
    driven = solved.wheel_parameter("driven") != 0.0
    found = {}
    for i, wheel in enumerate(solved.machine.topology.mechanism.wheels):
        slip = solved.border(f"slip {wheel}")
        locked, spinning = braking & (slip < LOCKED), driven[i] & (slip > SPINNING)
        conditions = [solved.wheel("load")[i] < LIFTED, ~rolling, locked, spinning]
        found[wheel] = np.select(conditions, ["lifted", "standing", "locked", "spinning"], "rolling")
    return found


@kept
def toggle_margins(solved: Solved) -> dict[str, np.ndarray]:
    """How far arms are from toggle, rad at the pivot, 0 = past it: each bar's nearer arm (in line with its drop link),
    and the steering's idler arm (in line with the relay link) as `relay`.
    """
    bars = solved.machine.topology.mechanism.bars
    margin = [np.full(solved.batch, np.pi) for _ in bars]
    for topology, at in zip(solved.machine.topology.blocks, solved.blocks, strict=True):
        reach = np.minimum(np.abs(np.asarray(at.details.bar_reach)), 1.0)
        for e, ends in enumerate(topology.bar_ends):
            for c, (bar, _) in enumerate(ends):
                margin[bar] = np.minimum(margin[bar], np.arccos(reach[e, c]))
    found = {bar.name: angle for bar, angle in zip(bars, margin, strict=True)}
    if solved.relay_reach is not None:
        found["relay"] = np.arccos(np.minimum(np.abs(solved.relay_reach), 1.0))
    return found
