"""The car's adjusters: standard ones from its parts, with what its file says about them. One file a family."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from axlewright.car.adjusters.adjuster import CAUTIONS as CAUTIONS
from axlewright.car.adjusters.adjuster import PLACES as PLACES
from axlewright.car.adjusters.adjuster import RECHECK_MINUTES as RECHECK_MINUTES
from axlewright.car.adjusters.adjuster import RECHECKS as RECHECKS
from axlewright.car.adjusters.adjuster import STAGES as STAGES
from axlewright.car.adjusters.adjuster import Adjuster as Adjuster
from axlewright.car.adjusters.adjuster import Edit as Edit
from axlewright.car.adjusters.adjuster import Shift as Shift
from axlewright.car.adjusters.adjuster import Table as Table
from axlewright.car.adjusters.aero import aero
from axlewright.car.adjusters.alignment import alignment
from axlewright.car.adjusters.axle_links import axle_links
from axlewright.car.adjusters.bars import bars
from axlewright.car.adjusters.brake_brackets import brake_brackets
from axlewright.car.adjusters.brakes_driveline import brakes_driveline
from axlewright.car.adjusters.dampers import dampers
from axlewright.car.adjusters.differential import differential
from axlewright.car.adjusters.masses import masses
from axlewright.car.adjusters.panhard import panhard
from axlewright.car.adjusters.pressures import pressures
from axlewright.car.adjusters.rockers import rockers
from axlewright.car.adjusters.springs_perches import springs_perches
from axlewright.car.adjusters.stated import as_stated
from axlewright.car.adjusters.stops import stops
from axlewright.car.adjusters.suspension_mounts import suspension_mounts
from axlewright.car.adjusters.third_springs import third_springs
from axlewright.car.adjusters.torque_links import torque_links
from axlewright.car.adjusters.tyres import tyres
from axlewright.car.adjusters.upright_links import upright_links
from axlewright.car.adjusters.watt import watt
from axlewright.car.adjusters.wheels import wheels
from axlewright.car.describe import describe
from axlewright.car.mechanism import Mechanism, Values
from axlewright.car.schema import Car
from axlewright.car.schema.rear import BeamAxle, LiveAxle
from axlewright.errors import CarFileError, Problem

FAMILIES: tuple[Callable[[Car, Mechanism, Values], list[Adjuster]], ...] = (
    pressures,
    bars,
    watt,
    panhard,
    torque_links,
    axle_links,
    brake_brackets,
    springs_perches,
    alignment,
    rockers,
    upright_links,
    third_springs,
    suspension_mounts,
    stops,
    differential,
    brakes_driveline,
    aero,
    masses,
    wheels,
    tyres,
    dampers,
)


def adjusters_of(car: Car) -> dict[str, Adjuster]:
    """Every adjuster of a car by its id; raises `CarFileError` when its file names one wrongly."""
    found, problems = _stated(car)
    if problems:
        raise CarFileError(problems, car.name)
    return found


def adjuster_problems(car: Car) -> list[Problem]:
    """What is wrong with the tables `[adjusters]` and `[setup]`."""
    return _stated(car)[1]


def _stated(car: Car) -> tuple[dict[str, Adjuster], list[Problem]]:
    mechanism, values = describe(car)
    listed = [_fitting(a, mechanism, car) for family in FAMILIES for a in family(car, mechanism, values)]
    standard = {a.id: a for a in listed}
    if len(standard) < len(listed):
        raise ValueError(f"two adjusters have one id: {sorted({a.id for a in listed if listed.count(a) > 1})}")
    return as_stated(car, standard)


def _fitting(adjuster: Adjuster, mechanism: Mechanism, car: Car) -> Adjuster:
    """Without the codes for what this car has not got."""
    missing = set() if mechanism.bars else {"B"}
    live = car.rear if isinstance(car.rear, LiveAxle) else None
    beam = car.rear if isinstance(car.rear, BeamAxle) else None
    missing |= set() if beam is not None and beam.watt is not None else {"WH"}
    missing |= set() if live is not None and (live.drive_link or live.brake_link) else {"TL"}
    missing |= set() if beam is not None else {"AC"}
    missing |= set() if live is not None else {"PA"}
    keep = {key: tuple(c for c in getattr(adjuster, key) if c not in missing) for key in ("recheck", "rezero")}
    return replace(adjuster, **keep)
