"""Runs made of signals that are known in closed form: everything that isn't given stands still."""

from __future__ import annotations

import numpy as np

from axlewright.solve.motion.run import Run, Seen
from tests.cars import TEASEL

WHEELED = (
    "load", "longitudinal", "lateral", "slip_ratio", "slip_angle", "use", "past_peak", "spin", "brake_torque",
    "deflection", "centre_height", "road_height",
)  # fmt: skip
SPRINGS = "front.left.spring", "front.right.spring", "rear.spring_left", "rear.spring_right"
SPRINGS += "rear.drive_link", "rear.brake_link"
BY_PATH = (
    "tension", "extension", "extension_rate", "damper_push", "wind_up", "wind_up_rate", "energy", "ends",
)  # fmt: skip


def run_of(time, kind, *, begins=0.0, swept=None, batch=1, ended=None, **given):
    """A run of `batch` members: signals (T,) are alike for all, (T, B) or (T, W, B) are taken as they are."""
    t = len(time)
    seen = {}
    given["extension"] = dict.fromkeys(SPRINGS, np.zeros(t)) | given.get("extension", {})
    given["wind_up"] = {"rear.axle": np.zeros(t)} | given.get("wind_up", {})
    given["wind_up_rate"] = {"rear.axle": np.zeros(t)} | given.get("wind_up_rate", {})
    for name in Seen._fields:
        if name in BY_PATH:
            seen[name] = {path: _wide(value, batch) for path, value in given.pop(name, {}).items()}
        else:
            shape = (t, 4, batch) if name in WHEELED else (t, batch)
            value = given.pop(name, None)
            seen[name] = np.zeros(shape) if value is None else _wide(value, batch, wheels=len(shape) == 3)
    assert not given, given
    return Run(
        cars=tuple(str(i) for i in range(batch)),
        time=np.asarray(time, dtype=float),
        seen=Seen(**seen),
        ended=np.zeros(batch, dtype=int) if ended is None else np.asarray(ended),
        sentences=("",) * batch,
        held=TEASEL.rest,
        event="a signal",
        kind=kind,
        begins=begins,
        swept=swept,
    )


def _wide(value, batch, wheels=False):
    value = np.asarray(value, dtype=float)
    if value.ndim == 1:
        value = value[:, None]
    if wheels and value.ndim == 2:
        value = np.repeat(value[:, None], 4, axis=1)
    return np.broadcast_to(value, (*value.shape[:-1], batch)).copy()


def second_order(time, damping, frequency):
    """Step response from 0 to 1 of x'' + 2 zeta w x' + w^2 x = w^2, for time >= 0 (any text on vibration)."""
    t = np.maximum(time, 0.0)
    damped = frequency * np.sqrt(1.0 - damping**2)
    fade = np.exp(-damping * frequency * t)
    return 1.0 - fade * (np.cos(damped * t) + damping * frequency / damped * np.sin(damped * t))
