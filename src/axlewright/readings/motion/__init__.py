"""Readings of a run: what an event says, one family a file. A new family is its file, its line here and its test."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial

import numpy as np

from axlewright.readings.motion.base import MotionReading
from axlewright.readings.motion.body import body_of
from axlewright.readings.motion.dampers import dampers_of
from axlewright.readings.motion.hop import hops_of
from axlewright.readings.motion.loads import loads_of
from axlewright.readings.motion.springs import springs_of
from axlewright.readings.motion.step import steps_of
from axlewright.readings.motion.sweep import sweeps_of
from axlewright.readings.motion.thrust import thrusts_of
from axlewright.readings.motion.turn import turns_of
from axlewright.readings.motion.wind_up import wind_ups_of
from axlewright.solve.motion.run import Run

FAMILIES = (
    thrusts_of,
    wind_ups_of,
    hops_of,
    steps_of,
    sweeps_of,
    turns_of,
    loads_of,
    body_of,
    springs_of,
    dampers_of,
)


def _done(read: Callable[[Run], np.ndarray], run: Run) -> np.ndarray:
    """A reading, NaN for members that stopped before their end: half an event says nothing."""
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.where(run.ended == 0, read(run), np.nan)


def motion_readings(run: Run) -> dict[str, MotionReading]:
    """All readings that an event has, by id."""
    found = [reading for family in FAMILIES for reading in family(run)]
    return {reading.id: replace(reading, read=partial(_done, reading.read)) for reading in found}


def unsettled(run: Run) -> np.ndarray:
    """Which members, followed to the end, have readings without a value because they still moved there, (B,)."""
    values = [reading.read(run) for reading in motion_readings(run).values() if reading.settles]
    return (run.ended == 0) & np.any([np.isnan(value) for value in values] or [np.zeros(run.batch, bool)], axis=0)
