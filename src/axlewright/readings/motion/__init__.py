"""Readings of a run: what an event says, one family a file. A new family is its file, its line here and its test."""

from __future__ import annotations

from axlewright.readings.motion.base import MotionReading
from axlewright.readings.motion.body import body_of
from axlewright.readings.motion.dampers import dampers_of
from axlewright.readings.motion.hop import hops_of
from axlewright.readings.motion.loads import loads_of
from axlewright.readings.motion.thrust import thrusts_of
from axlewright.readings.motion.wind_up import wind_ups_of
from axlewright.readings.motion.yaw import yaws_of
from axlewright.solve.motion.run import Run

FAMILIES = (thrusts_of, wind_ups_of, hops_of, yaws_of, loads_of, body_of, dampers_of)


def motion_readings(run: Run) -> dict[str, MotionReading]:
    """All readings that an event has, by id."""
    return {reading.id: reading for family in FAMILIES for reading in family(run)}
