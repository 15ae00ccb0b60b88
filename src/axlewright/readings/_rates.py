"""Rates of each end at its wheels: the model's own derivative with the chassis held fixed and the tyres taken away.

The derivative of an end's balances is the machine's, taken with no horizontal tyre force (as on slip plates), so that
only springs, stops, bars, links and their loads answer. A unit vertical force at each contact centre gives how far each
tyre is lifted; the inverse of that is the end's stiffness with the tyres in parallel, and the tyres' own rates come off
its diagonal: exactly, since each tyre acts through that one movement.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from axlewright.parts.elastic import hinge_slope
from axlewright.parts.tyre import TOUCH_WIDTH, vertical_rate
from axlewright.readings._frames import axle_blocks, body_motion, half_of
from axlewright.readings._kept import kept
from axlewright.readings._vectors import cayley_rate, cross, rotate
from axlewright.readings._velocity import block_motions
from axlewright.solve.demand import rest_demand
from axlewright.solve.solved import Solved

FORCE_ROWS = 1e-3  # the model's balance rows are in kN and kN m


class EndRates(NamedTuple):
    """Rates of an end at its left and right wheel, N/m."""

    wheel: np.ndarray  # (2, 2, B) force at wheel i per rise of wheel j, without the tyres
    tyre: np.ndarray  # (2, B) vertical rate of each tyre, 0 in the air


@kept
def end_rates(solved: Solved) -> dict[str, EndRates]:
    """Rates of the front and of the rear."""
    asked = rest_demand(4)._replace(road_height=np.asarray(solved.asked.road_height))
    machine = solved.machine
    _, slope = machine.linearise(solved.car, machine.form.demand.pack(asked), solved.state)
    slope = np.moveaxis(slope, -1, 0)
    return {end: _end_rates(solved, block, slope) for end, block in axle_blocks(solved).items()}


def _end_rates(solved: Solved, block: int, slope: np.ndarray) -> EndRates:
    topology, own = solved.machine.topology, _own_rows(solved, block)
    border = sum(b.size * b.n_copies for b in topology.blocks)
    bars = sorted({border + topology.first_bar + bar for ends in topology.blocks[block].bar_ends for bar, _ in ends})
    rows = [*own, *bars]
    push = np.zeros((solved.batch, len(rows), 2))
    push[:, : len(own)] = _pushes(solved, block)
    moved = np.linalg.solve(slope[:, rows][:, :, rows], -push)[:, : len(own)]
    flexible = np.moveaxis(_lifts(solved, block), -1, -2) @ moved
    tyre = _tyre_rates(solved, block)
    return EndRates(np.moveaxis(np.linalg.inv(flexible), 0, -1) - np.eye(2)[:, :, None] * tyre[None], tyre)


def _own_rows(solved: Solved, block: int) -> list[int]:
    """Rows of all copies of a block in the machine's derivative."""
    blocks = solved.machine.topology.blocks
    start = sum(b.size * b.n_copies for b in blocks[:block])
    return list(range(start, start + blocks[block].size * blocks[block].n_copies))


def _in_order(value: np.ndarray) -> np.ndarray:
    """(wheels, c, B) of a block as (2, B), left and right."""
    return np.swapaxes(value, 0, 1).reshape(2, value.shape[-1])


def _spread(solved: Solved, block: int, rows: np.ndarray) -> np.ndarray:
    """Rows (wheels, motions, c, B) of a block's wheels as columns (B, unknowns of all copies, 2)."""
    topology = solved.machine.topology.blocks[block]
    out = np.zeros((rows.shape[-1], topology.size * topology.n_copies, 2))
    for c in range(topology.n_copies):
        for w in range(topology.n_wheels):
            first = c * topology.size
            out[:, first : first + topology.n_motion, c * topology.n_wheels + w] = rows[w, :, c].T
    return out


def _pushes(solved: Solved, block: int) -> np.ndarray:
    """What a unit vertical force at each contact centre adds to the balances, (B, unknowns, 2)."""
    return _spread(solved, block, block_motions(solved)[block].contact_rate[2] * FORCE_ROWS)


def _lifts(solved: Solved, block: int) -> np.ndarray:
    """Lift of each tyre per change of the unknowns, (B, unknowns, 2): distance to the road in the wheel plane."""
    rates, at, half = block_motions(solved)[block], solved.blocks[block], half_of(solved, block)
    topology = rates.placed.topology
    axis = rotate(half.rotation, np.asarray(at.ground.axis))
    upright = np.sqrt(1.0 - axis[2] ** 2)
    height = np.asarray(at.contact.centre)[2] - np.asarray(at.contact.point)[2]
    motion, rows = body_motion(solved, block), rates.centre_rate[2] / upright[:, None]
    for w, frame in enumerate(topology.wheel_frames):
        turn = rotate(half.rotation, np.broadcast_to(np.eye(3)[:, :, None, None], (3, 3, *motion.shape[2:])))
        leaning = cross(turn, np.broadcast_to(axis[:, w, None], turn.shape))[2]
        place = slice(6 * frame - 3, 6 * frame)
        rows[w, place] += height[w] * axis[2, w] * leaning / upright[w] ** 3
        rows[w, place] = np.einsum("acb,aicb->icb", rows[w, place], cayley_rate(motion[3:, frame - 1]))
    return _spread(solved, block, rows)


def _tyre_rates(solved: Solved, block: int) -> np.ndarray:
    """Vertical rate of each tyre at its deflection, N/m, (2, B)."""
    wheels = solved.parameters.blocks[block].wheels
    touching = hinge_slope(np.asarray(solved.blocks[block].contact.deflection), np.asarray(TOUCH_WIDTH))
    return _in_order(np.asarray(vertical_rate(wheels.tyre, wheels.pressure)) * touching)
