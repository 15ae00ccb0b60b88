"""Reference steer: how far the rack alone turns the front wheels of the drawn car.

At the drawn pose with the springs held at their drawn length, the rack is moved and the uprights follow their links:
no load, no compliance, no roll. The mean of both wheels against the rack is what a steering-wheel angle divided by
the overall ratio stands for in ISO 4138. Found once a car, as a table of exact positions joined by cubics.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from axlewright.model.parameters import BlockParameters
from axlewright.model.topology import BlockTopology
from axlewright.readings._kept import kept
from axlewright.readings._place import Placed, place, steered
from axlewright.readings._vectors import cross, dot, rotate
from axlewright.solve.machine import Machine

MOST_RACK = 0.09  # m each way; more than racks of such cars have. What the links can't reach is left out.
STATIONS = 73  # 2.5 mm apart: the cubics between them are then good to 1e-9 rad
STEPS, CLOSED = 12, 1e-12  # Newton steps; m that lengths and joints may stay open
LONGEST_STEP = 1.0  # m or rad; more than any that reaches, so that one that can't reach does not run away


class SteerTable(NamedTuple):
    """Steer of the drawn car's front wheels by rack travel, left positive."""

    rack: np.ndarray  # (stations,) m
    steer: np.ndarray  # (2, stations) rad, left wheel and right wheel
    slope: np.ndarray  # (2, stations) rad/m


@kept
def steer_table(machine: Machine) -> SteerTable:
    """The table, as far as the links reach to either side."""
    car = machine.form.car.unpack(machine.drawn)
    index = next(i for i, block in enumerate(machine.topology.blocks) if block.rack_links)
    rack = np.linspace(-MOST_RACK, MOST_RACK, STATIONS)
    steer, slope, open_by = _follow(machine.topology.blocks[index], car.blocks[index], rack, np.asarray(car.rack_sense))
    middle, stuck = STATIONS // 2, ~(open_by < CLOSED)
    last = int(np.append(np.flatnonzero(stuck[middle:]), STATIONS - middle)[0]) + middle
    first = int(np.append(-1, np.flatnonzero(stuck[: middle + 1]))[-1]) + 1
    return SteerTable(rack[first:last], steer[:, first:last], slope[:, first:last])


def reference_steer(machine: Machine, rack: np.ndarray) -> np.ndarray:
    """Mean steer of the drawn car's front wheels at a rack travel, rad, (B,); NaN beyond what its links reach."""
    return wheel_steer(machine, rack).mean(axis=0)


def wheel_steer(machine: Machine, rack: np.ndarray) -> np.ndarray:
    """Steer of the drawn car's left and right front wheel at a rack travel, rad, (2, B); NaN beyond what its links
    reach.
    """
    at, steer, slope = steer_table(machine)
    i = np.clip(np.searchsorted(at, rack) - 1, 0, at.size - 2)
    width = at[i + 1] - at[i]
    t = (rack - at[i]) / width
    left = (1.0 + 2.0 * t) * steer[:, i] + t * width * slope[:, i]
    right = (3.0 - 2.0 * t) * steer[:, i + 1] - (1.0 - t) * width * slope[:, i + 1]
    return np.where((rack >= at[0]) & (rack <= at[-1]), (1.0 - t) ** 2 * left + t**2 * right, np.nan)


def _follow(
    topology: BlockTopology, p: BlockParameters, rack: np.ndarray, sense: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Steer of each copy and its slope to the rack (c, stations), what stays open (stations,), at rack travels."""
    motion = np.zeros((topology.n_motion, topology.n_copies, rack.size))
    for _ in range(STEPS):
        at = place(topology, p, motion)
        misfit, rows, _ = _closures(at, p, rack * sense)
        step = _solved(rows, -misfit)
        motion = _moved(topology, motion, step / np.maximum(1.0, np.abs(step).max(axis=0) / LONGEST_STEP))
    at = place(topology, p, motion)
    misfit, rows, by_rack = _closures(at, p, rack * sense)
    follows = _solved(rows, -by_rack * sense)
    wheel = topology.wheel_frames[0] - 1
    axis = rotate(at.rotation[:, :, wheel], np.asarray(p.wheels.axis)[:, 0])
    turning = cross(follows[6 * wheel + 3 : 6 * wheel + 6], axis)
    slope = (axis[0] * turning[1] - turning[0] * axis[1]) / (axis[0] ** 2 + axis[1] ** 2)
    return np.arctan2(-axis[0], axis[1]), slope, np.abs(misfit).max(axis=(0, 1))


def _closures(at: Placed, p: BlockParameters, shift: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Misfit (k, c, B) of rigid lengths, spring lengths and joints, its rows (k, n, c, B), and its slope to the
    shift.
    """
    topology, points = at.topology, np.asarray(p.points)
    nl, nj = len(topology.links), topology.n_joints
    springs = [topology.n_rigid + i for i, _, term in topology.terms if term.kind == "coil_spring"]
    misfit, rows, slope = [], [], []
    for i in [*range(topology.n_rigid), *springs]:
        on_rack = i in topology.rack_links
        start, moves = steered(p, points[:, i], shift) if on_rack else (points[:, i], np.zeros((3, 1, 1)))
        a = at.point(topology.link_frames_a[i], start)
        b = at.point(topology.link_frames_b[i], points[:, nl + i])
        length = np.sqrt(dot(b - a, b - a))
        n = (b - a) / length
        misfit.append(length - np.asarray(p.link_length)[i])
        apart = at.rows(topology.link_frames_b[i], b) - at.rows(topology.link_frames_a[i], a)
        rows.append((n[:, None] * apart).sum(axis=0))
        slope.append(-(n * moves).sum(axis=0))
    for j in range(nj):
        centre = points[:, 2 * nl + j]
        frames = topology.joint_frames_a[j], topology.joint_frames_b[j]
        a, b = (at.point(frame, centre) + 0.0 * misfit[0] for frame in frames)
        misfit += list(b - a)
        rows += list(at.rows(frames[1], b) - at.rows(frames[0], a))
        slope += [np.zeros_like(misfit[0])] * 3
    return np.stack(misfit), np.stack(rows), np.stack(slope)


def _solved(rows: np.ndarray, right: np.ndarray) -> np.ndarray:
    """Motion (n, c, B) with rows x motion = right (k, c, B); least squares, since two arms with springs close twice."""
    system = np.moveaxis(rows, (0, 1), (-2, -1))
    return np.moveaxis((np.linalg.pinv(system) @ np.moveaxis(right, 0, -1)[..., None])[..., 0], -1, 0)


def _moved(topology: BlockTopology, motion: np.ndarray, step: np.ndarray) -> np.ndarray:
    """Unknowns after a small motion: translations and angles add, a small rotation w changes a Cayley vector r by
    w + r x w / 2 turned back + r (r . w) / 4, to first order in w."""
    out = motion + step
    for i in range(topology.n_bodies):
        at = slice(6 * i + 3, 6 * i + 6)
        r, w = motion[at], step[at]
        out[at] = r + w - 0.5 * cross(r, w) + 0.25 * r * dot(r, w)
    return out
