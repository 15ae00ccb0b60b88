"""What springs, stops and bars alone hold against wheel travel, chassis held: rates times squared motion ratios."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from axlewright.readings._frames import axle_blocks, half_of
from axlewright.readings._kept import kept
from axlewright.readings._modes import LOCATING, bump, elastic_rates, per_centre_rise
from axlewright.readings._power import drop_directions
from axlewright.readings._vectors import rotate_back
from axlewright.readings._velocity import block_motions
from axlewright.solve.solved import Solved


class Elastic(NamedTuple):
    """Stiffness of an end at its wheels, N/m: force at wheel i per rise of wheel centre j, left before right."""

    springs: np.ndarray  # (2, 2, B) springs and stops
    bars: np.ndarray  # (2, 2, B)
    ratio: np.ndarray  # (B,) mean shortening of the end's springs per rise of both wheels
    track: np.ndarray  # (B,) m between the wheel centres
    third: dict[str, np.ndarray]  # (B,) rad/m, each third spring's: both arm angles per rise of both wheels


@kept
def elastic_ends(solved: Solved) -> dict[str, Elastic]:
    """Elastic stiffness of the front and of the rear."""
    return {end: _end(solved, block) for end, block in axle_blocks(solved).items()}


def centre_modes(solved: Solved, block: int) -> np.ndarray:
    """Motions (n, 2, c, B) that raise the left and the right wheel centre by 1 in the chassis; a copy raises its own
    wheel alone.
    """
    return _all_centre_modes(solved)[block]


@kept
def _all_centre_modes(solved: Solved) -> tuple[np.ndarray, ...]:
    return tuple(_centre_modes(solved, block) for block in range(len(solved.blocks)))


def _centre_modes(solved: Solved, block: int) -> np.ndarray:
    rates = rotate_back(half_of(solved, block).rotation, block_motions(solved)[block].centre_rate)[2]
    rise = np.einsum("wncb,nmcb->wmcb", rates, bump(solved)[block])
    if rise.shape[0] == 2:
        return per_centre_rise(bump(solved)[block], rise)
    own = np.eye(2)[:, :, None]  # (wheel, copy, 1)
    return (bump(solved)[block][:, 0] / rise[0, 0])[:, None] * own[None]


@kept
def stretches(solved: Solved) -> tuple[np.ndarray, ...]:
    """Lengthening of each link of a block per rise of the left and the right wheel centre, (links, 2, c, B)."""
    return tuple(
        np.einsum("lncb,nmcb->lmcb", rates.length_rate, centre_modes(solved, block))
        for block, rates in enumerate(block_motions(solved))
    )


@kept
def arm_turns(solved: Solved) -> tuple[np.ndarray, ...]:
    """Turn of each bar arm of a block per rise of the left and the right wheel centre, rad/m, (ends, 2, c, B)."""
    found = []
    for block, rates in enumerate(block_motions(solved)):
        drop = np.einsum("xencb,nmcb->xemcb", rates.drop_rate, centre_modes(solved, block))
        turn = (drop_directions(solved, block)[:, :, None] * drop).sum(axis=0)
        found.append(turn / np.asarray(solved.blocks[block].details.drop_lever)[:, None])
    return tuple(found)


def _end(solved: Solved, block: int) -> Elastic:
    topology, stretch = solved.machine.topology.blocks[block], stretches(solved)[block]
    springs, ratios = np.zeros((2, 2, solved.batch)), []
    for (i, _, term), stiffness in zip(topology.terms, elastic_rates(solved, block), strict=True):
        own = stretch[topology.n_rigid + i]  # (mode, c, B)
        if term.kind not in LOCATING:
            springs += (stiffness * own[:, None] * own[None]).sum(axis=2)
        if term.kind == "coil_spring":
            ratios.append(-own.sum(axis=0).mean(axis=0))
    y = np.swapaxes(np.asarray(solved.blocks[block].contact.centre)[1], 0, 1).reshape(2, solved.batch)
    twists, stiffness = _twists(solved, block), np.asarray(solved.parameters.bar_stiffness)
    bars = sum((k * t[:, None] * t[None] for k, t in zip(stiffness, twists, strict=True)), np.zeros_like(springs))
    named = zip(solved.machine.topology.mechanism.bars, twists, strict=True)
    third = {bar.name: twist.sum(axis=0) for bar, twist in named if bar.heave and twist.any()}
    return Elastic(springs, bars, np.mean(ratios, axis=0), y[0] - y[1], third)


def _twists(solved: Solved, block: int) -> list[np.ndarray]:
    """What each bar of the car feels as each wheel of an end rises, rad/m, (2, B); nothing if it is the other end's."""
    topology, turn = solved.machine.topology.blocks[block], arm_turns(solved)[block]
    found = []
    for bar in range(len(solved.machine.topology.mechanism.bars)):
        twist = np.zeros((2, solved.batch))
        for e, ends in enumerate(topology.bar_ends):
            for c, (own, sign) in enumerate(ends):
                twist = twist + (sign * turn[e, :, c] if own == bar else 0.0)
        found.append(twist)
    return found
