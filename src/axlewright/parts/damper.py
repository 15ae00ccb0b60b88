"""Damper: force against speed by click setting, plus the push of its gas.

Speed is positive in compression, force is a push (positive = compression load). At zero speed only the gas acts. The
table is measured on a dynamometer at some clicks; between them force is interpolated, straight in clicks and in speed,
and beyond the last speed the last slope goes on. Clicks count from closed: 0 = fully closed, stiffest. There is no step
at zero speed. Common practice, no source.
"""

from __future__ import annotations

from itertools import pairwise
from typing import NamedTuple

import numpy as np

from axlewright.parts._arrays import Array, ArrayModule
from axlewright.parts.elastic import Knots

ROUNDED = 1e-3  # m/s


class DamperTable(NamedTuple):
    """A measured damper. Compression and rebound magnitudes share their speeds and clicks."""

    speed: np.ndarray
    """(n,) rising, m/s, the first is 0."""
    clicks: np.ndarray
    """(m,) rising clicks from closed at which the table was measured."""
    compression: np.ndarray
    """(m, n) N, without gas; zero at zero speed."""
    rebound: np.ndarray
    """(m, n) N, a positive magnitude, without gas; zero at zero speed."""


def from_closed(clicks_from_open: Array, total: Array) -> Array:
    """Clicks counted from closed, for a sheet that counts from fully open."""
    return total - clicks_from_open


def checked(table: DamperTable) -> DamperTable:
    """The table as it is, or ValueError that says which rule it breaks."""
    shape = (len(table.clicks), len(table.speed))
    for name, force in (("compression", table.compression), ("rebound", table.rebound)):
        if np.shape(force) != shape:
            raise ValueError(f"{name} table has shape {np.shape(force)}; clicks x speeds make {shape}")
        if np.any(np.asarray(force)[:, 0] != 0.0):
            raise ValueError(f"{name} force at zero speed is not zero; take the gas force off before writing the table")
    for name, axis in (("speed", table.speed), ("clicks", table.clicks)):
        if np.any(np.diff(axis) <= 0.0):
            raise ValueError(f"{name} must rise from entry to entry; found {np.asarray(axis).tolist()}")
    if table.speed[0] != 0.0:
        raise ValueError(f"speed must start at 0; found {table.speed[0]}")
    return table


def force(
    table: DamperTable,
    speed: Array,
    compression_clicks: Array,
    rebound_clicks: Array,
    gas: Array = 0.0,
    xp: ArrayModule = np,
) -> Array:
    """Push of the damper, N: gas force plus damping at a speed in m/s (positive in compression).

    Clicks outside the measured range act like the nearest measured click; the car file's check refuses such a range.
    """
    closing = _along_speed(table.speed, _at_clicks(table.clicks, table.compression, compression_clicks, xp), speed, xp)
    opening = _along_speed(table.speed, _at_clicks(table.clicks, table.rebound, rebound_clicks, xp), -speed, xp)
    return gas + closing - opening


def _at_clicks(measured: np.ndarray, forces: np.ndarray, clicks: Array, xp: ArrayModule) -> list[Array]:
    """Force at each speed of the table for a click setting that may lie between measured ones."""
    shares = [xp.clip((clicks - a) / (b - a), 0.0, 1.0) for a, b in pairwise(measured)]
    return [
        column[0] + sum((step * share for step, share in zip(np.diff(column), shares, strict=True)), start=0.0 * clicks)
        for column in np.asarray(forces, dtype=float).T
    ]


def _along_speed(speeds: np.ndarray, forces: list[Array], speed: Array, xp: ArrayModule) -> Array:
    """Force at a speed: zero below 0, straight between entries, last slope beyond."""
    total = 0.0 * speed
    for i in range(len(speeds) - 1):
        slope = (forces[i + 1] - forces[i]) / (speeds[i + 1] - speeds[i])
        top = np.inf if i == len(speeds) - 2 else speeds[i + 1] - speeds[i]
        total = total + slope * xp.clip(speed - speeds[i], 0.0, top)
    return total


def damper_law(table: DamperTable, compression_clicks: Array, rebound_clicks: Array) -> Knots:
    """The damping, without gas, as a law of how fast the damper lengthens: tension, N, of `elastic.tension(law, m/s)`.

    Clicks (B,). Corners between the table's speeds are rounded over +-`ROUNDED` m/s; that at zero speed is sharp, since
    a damper holds nothing.
    """
    batch = np.broadcast(compression_clicks, rebound_clicks).shape
    forces = [
        np.stack([np.broadcast_to(f, batch) for f in _at_clicks(table.clicks, measured, clicks, np)])
        for measured, clicks in ((table.compression, compression_clicks), (table.rebound, rebound_clicks))
    ]
    speed = np.asarray(table.speed, dtype=float)
    gaps = np.diff(speed).reshape((-1,) + (1,) * len(batch))
    closing, opening = (np.diff(f, axis=0) / gaps for f in forces)
    slopes = np.concatenate([opening[::-1], closing])
    corners = np.concatenate([-speed[1:-1][::-1], [0.0], speed[1:-1]])
    onset = np.broadcast_to(corners.reshape((-1,) + (1,) * len(batch)), (len(corners), *batch))
    width = np.where(onset == 0.0, 0.0, ROUNDED)
    offset = opening[-1] * speed[-1] - forces[1][-1]
    return Knots(-1.0, 0.0, offset, slopes[0], onset, np.diff(slopes, axis=0), width)
