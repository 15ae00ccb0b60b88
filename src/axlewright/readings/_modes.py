"""How a block moves when its wheels are raised by a stated amount, the chassis held fixed.

Rigid links keep their lengths and joints stay closed. Whatever freedom is left (wind-up of an axle on elastic torque
links, an axle on compliant links) follows the locating links' stiffness: of all motions that raise the wheels as
stated, the one with the least energy in them. With both torque links of a split pair loaded that is the
stiffness-weighted line of action; with one of them alone it is the motion that keeps that one's length, however soft
it is. Springs, stops, gas and bars do not steer the motion. Least energy under constraints: elementary mechanics.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from axlewright.parts.elastic import rate
from axlewright.readings._kept import kept
from axlewright.readings._velocity import block_motions
from axlewright.solve.solved import Solved

TORQUE_LINKS = {"drive": "drive_link", "brake": "brake_link"}
LOCATING = frozenset({"compliant", *TORQUE_LINKS.values()})
WEIGHT = 1e-7  # m/N; brings link stiffnesses near the size of the constraint rows
# Holds a freedom that nothing else holds, as 1 N/km would: far below the softest torque link, 5 N/mm when slack.
LEAST = 1e-10


def elastic_rates(solved: Solved, block: int) -> np.ndarray:
    """Tangent rate of each elastic term, N/m, (terms, c, B)."""
    topology, p = solved.machine.topology.blocks[block], solved.parameters.blocks[block]
    extension = np.asarray(solved.blocks[block].details.extension)
    if not topology.terms:
        return extension[:0]
    return np.asarray(rate(p.elastic, np.stack([extension[i] for i, _, _ in topology.terms])))


def links_of_kind(solved: Solved, block: int, kind: str) -> list[int]:
    """Indices of the links that carry a term of a kind."""
    topology = solved.machine.topology.blocks[block]
    return [topology.n_rigid + i for i, _, term in topology.terms if term.kind == kind]


def least_motion(
    solved: Solved, block: int, rows: np.ndarray, asked: np.ndarray, absent: Sequence[int] = ()
) -> np.ndarray:
    """Motion (n, cases, c, B) of a block with `rows` (k, n, c, B) x motion = `asked` (k, cases), the least in energy.

    Links in `absent` are left out of the energy. As many rows as motions leave nothing to choose. Raises LinAlgError
    when the rows depend on each other.
    """
    k, n = rows.shape[:2]
    system = np.zeros((*rows.shape[2:], k, n)) if k == n else np.zeros((*rows.shape[2:], n + k, n + k))
    right = np.zeros((*system.shape[:-1], asked.shape[1]))
    system[..., -k:, :n], right[..., -k:, :] = np.moveaxis(rows, (0, 1), (-2, -1)), asked
    if k < n:
        system[..., :n, n:] = np.swapaxes(system[..., n:, :n], -1, -2)
        system[..., :n, :n] = np.moveaxis(_energy(solved, block, absent), (0, 1), (-2, -1))
    return np.moveaxis(np.linalg.solve(system, right)[..., :n, :], (-2, -1), (0, 1))


def _energy(solved: Solved, block: int, absent: Sequence[int]) -> np.ndarray:
    """Stiffness of the locating links on the motions, scaled, (motions, motions, c, B)."""
    topology, motion = solved.machine.topology.blocks[block], block_motions(solved)[block]
    n, tail = topology.n_motion, motion.length_rate.shape[2:]
    total = np.broadcast_to((LEAST * np.eye(n)).reshape((n, n, 1, 1)), (n, n, *tail)).copy()
    for (i, _, term), stiffness in zip(topology.terms, elastic_rates(solved, block), strict=True):
        link = topology.n_rigid + i
        if term.kind in LOCATING and link not in absent:
            row = motion.length_rate[link]
            total += WEIGHT * stiffness * row[:, None] * row[None]
    return total


def raise_wheels(solved: Solved, block: int, active: str = "") -> np.ndarray:
    """Motions (n, wheels, c, B) that raise one contact centre by 1 along the road's normal and keep the others level.

    active: "" for the links as they are; "drive" or "brake" for that torque link rigid and the other one absent.
    """
    motion = block_motions(solved)[block]
    topology = solved.machine.topology.blocks[block]
    hard = links_of_kind(solved, block, TORQUE_LINKS[active]) if active else []
    absent = [i for kind in TORQUE_LINKS.values() for i in links_of_kind(solved, block, kind)] if hard else []
    lengths = motion.length_rate[[*range(topology.n_rigid), *hard]]
    stacked = np.concatenate([motion.closure_rate, lengths, motion.contact_rate[2]])
    wheels = topology.n_wheels
    asked = np.zeros((stacked.shape[0], wheels))
    asked[stacked.shape[0] - wheels :] = np.eye(wheels)
    return least_motion(solved, block, stacked, asked, absent)


def wind(solved: Solved, block: int) -> np.ndarray:
    """Motion (n, c, B) of a solid axle that turns nose up by 1 about the chassis' y axis, its wheel centres kept
    level.
    """
    motion = block_motions(solved)[block]
    topology = solved.machine.topology.blocks[block]
    nose_up = np.zeros((1, *motion.length_rate.shape[1:]))
    nose_up[0, 6 * (topology.wheel_frames[0] - 1) + 4] = -1.0
    rows = [motion.length_rate[: topology.n_rigid], motion.closure_rate, motion.centre_rate[2], nose_up]
    stacked = np.concatenate(rows)
    asked = np.zeros((stacked.shape[0], 1))
    asked[-1] = 1.0
    return least_motion(solved, block, stacked, asked)[:, 0]


def per_centre_rise(modes: np.ndarray, rise: np.ndarray) -> np.ndarray:
    """Combine two motions (n, 2, c, B) of a solid axle that raise its wheel centres by `rise` (wheel, mode, c, B)
    into two that raise one centre by 1 and keep the other level.
    """
    inverse = np.moveaxis(np.linalg.inv(np.moveaxis(rise, (0, 1), (-2, -1))), (-2, -1), (0, 1))
    return np.einsum("nmcb,mwcb->nwcb", modes, inverse)


@kept
def bump(solved: Solved) -> tuple[np.ndarray, ...]:
    """`raise_wheels` of every block, links as they are; while only the linkage moves, as it was moved."""
    return tuple(raise_wheels(solved, i, solved.active) for i in range(len(solved.blocks)))


@kept
def bump_driving(solved: Solved) -> tuple[np.ndarray, ...]:
    """`raise_wheels` of every block with the drive-side torque link rigid."""
    return _raised(solved, "drive")


@kept
def bump_braking(solved: Solved) -> tuple[np.ndarray, ...]:
    """`raise_wheels` of every block with the brake-side torque link rigid."""
    return _raised(solved, "brake")


def _raised(solved: Solved, active: str) -> tuple[np.ndarray, ...]:
    """`raise_wheels` of every block with a torque link rigid; a block without one moves as its links are."""
    if solved.active == active:
        return bump(solved)
    own = [bool(links_of_kind(solved, i, TORQUE_LINKS[active])) for i in range(len(solved.blocks))]
    return tuple(raise_wheels(solved, i, active) if has else bump(solved)[i] for i, has in enumerate(own))


def moved(rows: np.ndarray, motion: np.ndarray) -> np.ndarray:
    """rows (..., n, c, B) times motion (n, c, B): (..., c, B)."""
    return np.einsum("...ncb,ncb->...cb", rows, motion)
