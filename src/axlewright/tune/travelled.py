"""Travel as plain data for machines, in the form of `tune.export`.

{"version", "car",
 "travel": [{"setup": {ADJUSTER: POSITION}, "active" movements as "axes": {NAME: [..]},
             "poses": [{"bump", "roll", "steer", "wind_up", "LF", "RF", "LR", "RR", "reached", "share", "reason"}],
             "readings": {ID: {"unit", "values": [..]}}}]}

Movements and values SI; a value is null where its pose is not reached.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from axlewright.readings import Reading
from axlewright.solve.phases import WHEELS
from axlewright.solve.travel import Travelled
from axlewright.tune.export import VERSION, Data, csv_text, plain

MOVED = ("bump", "roll", "steer", "wind_up")


def values_of(found: Travelled, readings: Sequence[Reading]) -> np.ndarray:
    """(poses, readings) SI, NaN where a pose is not reached."""
    return np.stack([found.read(reading.read) for reading in readings], axis=1)


def travel_data(
    car: str,
    found: Mapping[str, Travelled],
    setups: Mapping[str, Mapping[str, float]],
    readings: Sequence[Reading],
) -> Data:
    """One or more setups through travel as data."""
    listed = [_one(travelled, setups[name], readings) for name, travelled in found.items()]
    return {"version": VERSION, "car": car, "travel": listed}


def _one(found: Travelled, setup: Mapping[str, float], readings: Sequence[Reading]) -> Data:
    values, poses = values_of(found, readings), found.poses
    listed = []
    for i in range(poses.batch):
        pose: Data = {name: plain(getattr(poses, name)[i]) for name in MOVED}
        pose |= {wheel: plain(poses.wheels[w, i]) for w, wheel in enumerate(WHEELS)}
        pose |= {"reached": bool(found.reached[i]), "share": plain(found.share[i]), "reason": found.reasons[i]}
        listed.append(pose)
    return {
        "setup": dict(setup),
        "axes": {name: [plain(x) for x in axis] for name, axis in zip(poses.names, poses.axes, strict=True)},
        "poses": listed,
        "readings": {r.id: {"unit": r.unit, "values": [plain(v) for v in values[:, i]]}
                     for i, r in enumerate(readings)},
    }  # fmt: skip


def travel_csv(found: Mapping[str, Travelled], readings: Sequence[Reading]) -> str:
    """One line a setup and pose, one column a movement or reading, SI."""
    heads = [f"{r.id} [{r.unit}]" if r.unit else r.id for r in readings]
    units = [f"{name} [{'m' if name in ('bump', 'steer') else 'rad'}]" for name in MOVED]
    lines: list[list[object]] = [["setup", *units, *(f"{wheel} [m]" for wheel in WHEELS), "reason", *heads]]
    for name, travelled in found.items():
        values, poses = values_of(travelled, readings), travelled.poses
        for i in range(poses.batch):
            moved = [*(getattr(poses, m)[i] for m in MOVED), *poses.wheels[:, i]]
            lines.append([name, *map(plain, moved), travelled.reasons[i], *map(plain, values[i])])
    return csv_text(lines)
