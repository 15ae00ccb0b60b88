"""Help on readings: of solved states and of what happens in time, by the module that defines them.

A reading is listed from what the car is made of; nothing is solved, so that help is there before the solver is.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from axlewright.car.describe import describe
from axlewright.car.schema import Car
from axlewright.model.topology import Topology
from axlewright.readings import Reading, readings_of
from axlewright.readings.margin import MARGIN
from axlewright.readings.motion import MotionReading, motion_readings
from axlewright.say.help.entry import Entry, Section, about_module, anchor_of, entry, module_of, told_by
from axlewright.say.numbers import US, number, unit_of
from axlewright.solve.machine import Machine
from axlewright.solve.motion.run import Run, Seen
from axlewright.solve.programs import Form
from axlewright.solve.solved import Solved

STATES, MOTION = "Readings of a state", "Readings of what happens in time"
EVENTS = {
    "drive": "torque hit", "brake": "brake hit", "steer": "step steer", "sweep": "steering sweep",
    "turn": "braking or lifting in a turn", "road": "bump, kerb or rough road", "drop": "drop",
}  # fmt: skip


def readings_drawn(car: Car) -> dict[str, Reading]:
    """Every reading of a car, from its drawing alone."""
    return readings_of(_undrawn(car))


def _undrawn(car: Car) -> Machine:
    """A machine that knows its parts and can't be solved."""
    mechanism, values = describe(car)
    return _with(Machine, form=_with(Form, topology=Topology(mechanism)), values=values)


def _with(of: type[Any], **fields: object) -> Any:
    """An object that has only some of its fields: who asks for another finds none."""
    made = object.__new__(of)
    for name, value in fields.items():
        object.__setattr__(made, name, value)
    return made


def motion_readings_drawn(car: Car) -> dict[str, tuple[MotionReading, tuple[str, ...]]]:
    """Every motion reading of a car, with the events that have it, from its drawing alone."""
    found: dict[str, tuple[MotionReading, tuple[str, ...]]] = {}
    for kind in EVENTS:
        for key, reading in motion_readings(_unrun(car, kind)).items():
            found[key] = (found[key][0] if key in found else reading, (*found.get(key, (reading, ()))[1], kind))
    return found


def _unrun(car: Car, kind: str) -> Run:
    """What a run says before it is run: which event, and which parts are seen."""
    machine = _undrawn(car)
    names: dict[str, dict[str, None]] = {name: {} for name in ("tension", "extension", "damper_push", "wind_up")}
    for block in machine.topology.blocks:
        copies, damped = block.block.copies, [block.elastic[k] for k in block.damped]
        for name, links in (("tension", block.links), ("extension", block.elastic), ("damper_push", damped)):
            names[name] |= {f"{copy}.{link}": None for link in links for copy in copies}
        if block.n_wheels > 1:
            names["wind_up"] |= {f"{copies[0]}.{body}": None for body in block.block.bodies}
    seen = tuple.__new__(Seen, [names.get(field) for field in Seen._fields])
    return _with(_Unrun, kind=kind, seen=seen, held=_with(Solved, machine=machine), begins=0.0, swept=(0.0, 1.0))


class _Unrun(Run):
    """A run that has not been run: its driven wheels are those that the car is drawn with."""

    @property
    def driven(self) -> np.ndarray:
        return np.array([wheel[1] == "R" for wheel in self.wheels])


def reading_sections(car: Car) -> tuple[Section, ...]:
    """Readings of states, a section a module."""
    by_module: dict[str, list[Entry]] = {}
    for reading in (*readings_drawn(car).values(), MARGIN):
        by_module.setdefault(module_of(reading.read), []).append(_of_state(reading))
    return _sections(by_module, STATES)


def motion_sections(car: Car) -> tuple[Section, ...]:
    """Readings of runs, a section a module."""
    by_module: dict[str, list[Entry]] = {}
    for reading, kinds in motion_readings_drawn(car).values():
        by_module.setdefault(module_of(reading.read), []).append(_of_motion(reading, kinds))
    return _sections(by_module, MOTION)


def _sections(by_module: Mapping[str, list[Entry]], part: str) -> tuple[Section, ...]:
    return tuple(
        Section(anchor_of(f"section-{module.removeprefix('axlewright.')}"), part, *about_module(module), tuple(entries))
        for module, entries in by_module.items()
    )


def _of_state(reading: Reading) -> Entry:
    unit = unit_of(reading, "metric")
    held, rest, travel = reading.held, reading.at_rest, reading.travel
    where = {"in held phases": held, "at rest": rest, "through travel": travel}
    return entry(
        f"reading-{reading.id}", reading.name, told_by(reading.read),
        more=reading.more, less=reading.less, unit=_unit(unit),
        felt=f"{number(reading.felt, unit)} {unit} or more can be felt; a rule of thumb" if reading.felt else "",
        read=", ".join(words for words, is_so in where.items() if is_so), source=reading.source, id=reading.id,
    )  # fmt: skip


def _of_motion(reading: MotionReading, kinds: tuple[str, ...]) -> Entry:
    return entry(
        f"motion-{reading.id}", reading.name, told_by(reading.read),
        more=reading.more, less=reading.less, unit=_unit(unit_of(reading, "metric")),
        told_of="every event" if len(kinds) == len(EVENTS) else ", ".join(EVENTS[kind] for kind in kinds),
        source=reading.source, id=reading.id,
    )  # fmt: skip


def _unit(unit: str) -> str:
    return f"{unit} or {US[unit]}" if unit in US else unit
