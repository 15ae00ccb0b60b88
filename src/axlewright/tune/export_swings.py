"""Modes, margins to hop and dampers as plain data for machines, SI; null where a value does not exist."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np

from axlewright.car.schema import Car
from axlewright.readings import READINGS
from axlewright.solve.verbs import rest
from axlewright.tune.damper_table import HEADER, DamperTable
from axlewright.tune.export import VERSION, Data
from axlewright.tune.hop_choice import HopRow
from axlewright.tune.hop_margin import G, HopMargin
from axlewright.tune.ripple_loads import Ripples
from axlewright.tune.swings import Along, Swings
from axlewright.tune.torque_link_choice import Choice

LEAST = 0.01  # of what moves, below which a movement's share is left out


def swings_data(car: Car, found: Sequence[Swings], piston: float | None) -> Data:
    """{"version", "car", "piston_speed", "states": {STATE: {SWING: {"frequency", "damping", "shares"}}}, "ride"}."""
    states = {
        one.state: {
            name: {
                "frequency": mode.frequency,
                "damping": mode.damping,
                "shares": {k: round(v, 4) for k, v in mode.shares.items() if v > LEAST},
            }
            for name, mode in one.named().items()
        }
        for one in found
    }
    return {"version": VERSION, "car": car.name, "piston_speed": piston, "states": states, "ride": ride_data(car)}


def ride_data(car: Car) -> dict[str, float]:
    """Ride frequencies on wheel rate, Hz, and static deflections, m."""
    standing = rest(car)
    front, rear = (float(READINGS[f"ride_frequency_{end}"].read(standing)[0]) for end in ("front", "rear"))
    deflection = {end: G / (2.0 * np.pi * f) ** 2 for end, f in (("front", front), ("rear", rear))}
    return {
        "front": front, "rear": rear, "ratio": rear / front,
        "deflection_front": deflection["front"], "deflection_rear": deflection["rear"],
    }  # fmt: skip


def along_data(car: Car, phase: str, found: Along) -> Data:
    """{"version", "car", "state", "adjuster", "positions", "swings": {SWING: {"frequency", "damping"}}}."""
    swings = {
        name: {
            "frequency": [_number(v) for v in found.frequency[name]],
            "damping": [_number(v) for v in found.damping[name]],
        }
        for name in found.frequency
    }
    positions = [float(p) for p in found.positions]
    about = {"car": car.name, "state": phase, "adjuster": found.adjuster}
    return {"version": VERSION, **about, "positions": positions, "swings": swings}


def hop_data(car: Car, rows: Sequence[HopRow]) -> Data:
    """{"version", "car", "hop": {SETUP: {"drive", "brake": {"margin", "hop", "tramp", "to"}}}}."""
    data = {row.name: {"drive": _hop(row.drive), "brake": _hop(row.brake)} for row in rows}
    return {"version": VERSION, "car": car.name, "hop": data}


def _hop(margin: HopMargin) -> Data:
    return {
        "margin": _number(margin.margin),
        "hop": _number(margin.least),
        "tramp": _number(margin.least_tramp),
        "to": float(np.nanmax(np.abs(margin.ax))),
    }


def choices_data(car: Car, found: Sequence[Choice]) -> Data:
    """{"version", "car", "choices": [{ADJUSTER: position, ..., and what it does}]}, best first."""
    header, rows = choice_rows(found)
    return {"version": VERSION, "car": car.name, "choices": [dict(zip(header, row, strict=True)) for row in rows]}


def choice_rows(found: Sequence[Choice]) -> tuple[list[str], list[list[Any]]]:
    """Names of the columns, and one row a choice."""
    keys = list(found[0].setup)
    rows = [
        [*(one.setup[k] for k in keys), one.lost, one.demand, one.travel, "yes" if one.room else "no"] for one in found
    ]
    return [*keys, "thrust_lost_0.3", "peak_demand", "travel", "off_its_stop"], rows


def ripples_data(car: Car, found: Ripples) -> Data:
    """{"version", "car", "speeds", "load_swing": {WHEEL: [of its held load at each speed]}}."""
    data = {name: [float(v) for v in found.swing[:, i]] for i, name in enumerate(found.wheels)}
    return {"version": VERSION, "car": car.name, "speeds": [float(v) for v in found.speeds], "load_swing": data}


def dampers_data(car: Car, found: DamperTable) -> Data:
    """{"version", "car", "ends": {END: {COLUMN: value}}, "curves": {END: {"speed", "compression", "rebound"}},
    "clicks": {END: {ADJUSTER: {"clicks", "off"}}}}.
    """
    ends = {row[0]: dict(zip(HEADER[1:], (_number(float(v)) for v in row[1:]), strict=True)) for row in found.rows()}
    curves = {
        end: {
            "speed": c.speed,
            "compression": [float(f) for f in c.compression],
            "rebound": [float(f) for f in c.rebound],
        }
        for end, c in found.curves.items()
    }
    clicks = {
        end: {key: {"clicks": p, "off": off} for key, (p, off) in one.items()} for end, one in found.clicks.items()
    }
    return {"version": VERSION, "car": car.name, "ends": ends, "curves": curves, "clicks": clicks}


def _number(value: float) -> float | None:
    return float(value) if math.isfinite(value) else None
