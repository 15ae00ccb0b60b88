"""The page's answers: one state drawn, the setup that is compared with over it, and readings through travel."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from axlewright.draw.scene import drawing
from axlewright.errors import RequestError, known
from axlewright.readings import Reading
from axlewright.say.cautions import ABOUT_LOADS, ABOUT_NUMBERS
from axlewright.say.numbers import Units, direction, number, shown, unit_of
from axlewright.say.travel import BY_HAND, unit_for
from axlewright.solve.machine import Machine
from axlewright.solve.travel import Travelled, move
from axlewright.web.linkage.asked import Seen, Swept
from axlewright.web.linkage.choices import movements_of, reach, travelling
from axlewright.web.linkage.scene import centres_data, links_data, scene_data
from axlewright.web.linkage.state import Ready, State, pose, state_of

POINTS = 41  # of a curve: the middle one is the drawn pose
EVERY = 5  # of them that the table beside the curve has


def seen_answer(car: Ready, base: Ready | None, asked: Seen) -> dict[str, Any]:
    """One state of the car as it is set, and of the setup it is compared with."""
    now = state_of(car, asked)
    before = state_of(base, asked) if base is not None else None
    drawn = drawing(now.solved, axes=asked.axes)
    readings = _chosen(now.solved.machine, asked.readings)
    return {
        "said": now.said, "short": now.short, "share": now.share,
        "drawing": scene_data(drawn),
        "base": None if before is None else scene_data(drawing(before.solved, axes=asked.axes)),
        "base_short": "" if before is None else before.short,
        "links": links_data(drawn, now.solved, asked.units),
        "centres": centres_data(now.solved, asked.units),
        "cautions": [BY_HAND] if asked.state == "moved" else [ABOUT_LOADS, ABOUT_NUMBERS],
        "values": [_value(reading, now, before, asked.units) for reading in readings],
    }  # fmt: skip


def _chosen(machine: Machine, names: Sequence[str]) -> list[Reading]:
    every: Mapping[str, Reading] = travelling(machine)
    known("reading of geometry", names, every)
    return [every[name] for name in names]


def _value(reading: Reading, now: State, before: State | None, units: Units) -> dict[str, Any]:
    """A reading at the state, and how the compared setup differs, in words."""
    value = _read(reading, now)
    other = np.nan if before is None else _read(reading, before)
    change = value - other
    words = ""
    if np.isfinite(change):
        words = "no change" if abs(change) <= reading.smallest else direction(reading, float(change), units)
    return {
        "id": reading.id, "name": reading.name, "value": value,
        "text": shown(reading, value, units) if np.isfinite(value) else "",
        "base": shown(reading, other, units) if np.isfinite(other) else "", "change": words,
    }  # fmt: skip


def _read(reading: Reading, state: State) -> float:
    return float(reading.read(state.solved)[0]) if state.has(reading) else np.nan


def swept_answer(car: Ready, base: Ready | None, asked: Swept) -> dict[str, Any]:
    """Readings through one movement from end to end of its slider, the other movements where they are put."""
    now = _sweep(car, asked)
    before = _sweep(base, asked) if base is not None else None
    readings = _chosen(now.solved.machine, asked.readings)
    return {
        "movement": asked.movement, "places": now.poses.axes[0],
        "curves": [
            _curve(r, now, before, asked)
            for r in readings
        ],
        "reasons": _reasons(now), "base_reasons": [] if before is None else _reasons(before),
    }  # fmt: skip


def _curve(reading: Reading, now: Travelled, before: Travelled | None, asked: Swept) -> dict[str, Any]:
    """One reading at every place, SI, and at some of them in words."""
    values = now.read(reading.read)
    other = None if before is None else before.read(reading.read)
    unit, own = unit_for(asked.movement, asked.units), unit_of(reading, asked.units)
    rows = [
        [number(float(column[i]), of) for column, of in ((now.poses.axes[0], unit), (values, own), (other, own))
         if column is not None]
        for i in range(0, POINTS, EVERY)
    ]  # fmt: skip
    return {"id": reading.id, "values": values, "base": other, "rows": rows}


def _sweep(one: Ready, asked: Swept) -> Travelled:
    if asked.movement not in movements_of(one.machine):
        raise RequestError("found wind-up asked of an axle that its links hold at one pitch; expected another movement")
    far = reach(asked.movement, one.machine)
    poses = pose(asked, **{asked.movement: np.linspace(-far, far, POINTS)})
    return move(one.machine, one.packed, poses, active=asked.active)


def _reasons(found: Travelled) -> list[str]:
    return list(dict.fromkeys(filter(None, found.reasons)))
