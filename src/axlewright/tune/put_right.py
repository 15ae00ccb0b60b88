"""Putting right: the restoring moves that a team always makes after a move, solved on the scales.

A move's `rezero` codes say what is brought back to where it stood: H ride heights (heave, pitch and roll at rest), X
cross weight, B bar torques, T front toe, PA pinion angle, TL the brake-side link's gap. Each code has hands that
restore it: perches for H and X, drop links for B, tie rods for T, for PA the drive-side link or else the upper links,
a torque arm's link or an arm's upper links, the brake-side link for TL. More perches than targets: the smallest turns
are taken.
The targets are solved on the car's own rest states, by Newton with the derivative of the unmoved car.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from axlewright.car.adjusters import Adjuster
from axlewright.car.adjusters.setup import Setup, apply
from axlewright.solve.machine import Machine
from axlewright.solve.solved import Solved
from axlewright.solve.verbs import rest_batch
from axlewright.tune.adjust import freed

ITERATIONS = 6
CLOSE = 1e-3  # of each target's own unit below: 1 um, 1e-6 rad, 1e-6 of cross weight, 1e-3 N m
# what one unit of each target is: m, rad, share, N m
MILLIMETRE, MILLIRADIAN, POINT, NEWTON_METRE = 1e-3, 1e-3, 1e-3, 1.0

HANDS: dict[str, tuple[tuple[str, ...], ...]] = {
    # for each code the sets of hands to try; the first set that the car has is used
    "H": (("perch_LF", "perch_RF", "perch_LR", "perch_RR"),),
    "X": (("perch_LF", "perch_RF", "perch_LR", "perch_RR"),),
    "B": (
        ("front_bar_drop_link_left", "rear_bar_drop_link_left"),
        ("front_bar_drop_link_left",),
        ("rear_bar_drop_link_left",),
    ),
    "T": (("toe_LF", "toe_RF"),),
    "PA": (("drive_length",), ("upper_length",), ("arm_length",), ("arm_upper_length",)),
    "TL": (("brake_length",),),
}


class Restored(NamedTuple):
    """Setups put right."""

    setups: list[dict[str, float]]  # the moves with their restoring moves
    moves: list[dict[str, float]]  # restoring moves alone: adjuster -> counts
    rest: Solved  # the setups at rest
    settled: np.ndarray  # (B,) bool: every target met within ten times `CLOSE`, when the turns end


def hands_of(adjusters: Mapping[str, Adjuster]) -> dict[str, tuple[str, ...]]:
    """The restoring hands that this car has, by code."""
    found = {}
    for code, choices in HANDS.items():
        fitting = [choice for choice in choices if all(hand in adjusters for hand in choice)]
        if fitting:
            found[code] = fitting[0]
    return found


def put_right(
    machine: Machine, adjusters: Mapping[str, Adjuster], setups: Sequence[Setup], codes: Sequence[Sequence[str]]
) -> Restored:
    """Restore what `codes` say for each setup, to where it stands now (no moves)."""
    hands = hands_of(adjusters)
    every = list(dict.fromkeys(hand for group in hands.values() for hand in group))
    solver = _Restoring(machine, freed(adjusters, every), every)
    target, slope = solver.base()
    owner = solver.row_codes
    wanted = [set(c) & hands.keys() for c in codes]
    # targets and hands that take part, one mask a setup
    rows = np.array([[code in w for code in owner] for w in wanted]).T
    taking = np.array([[any(hand in hands[code] for code in w) for hand in every] for w in wanted]).T
    inverse = [np.linalg.pinv(slope * np.outer(rows[:, i], taking[:, i])) for i in range(len(setups))]
    turns = np.zeros((len(every), len(setups)))
    rest, miss = solver.at(setups, turns, target)
    for _ in range(ITERATIONS):
        miss = miss * rows
        if not (np.abs(miss) > CLOSE).any():
            break
        turns = turns - np.stack([inverse[i] @ miss[:, i] for i in range(len(setups))], axis=1)
        rest, miss = solver.at(setups, turns, target)
    settled = (np.abs(miss * rows) < 10 * CLOSE).all(axis=0) & (rest.result == 0)
    moves = [
        {hand: float(turns[k, i]) for k, hand in enumerate(every) if taking[k, i] and abs(turns[k, i]) > 1e-6}
        for i in range(len(setups))
    ]
    return Restored([solver.with_turns(s, turns[:, i]) for i, s in enumerate(setups)], moves, rest, settled)


class _Restoring:
    """Targets of a batch of setups at rest, in their units."""

    def __init__(self, machine: Machine, adjusters: Mapping[str, Adjuster], hands: Sequence[str]) -> None:
        self.machine, self.adjusters, self.hands = machine, adjusters, hands
        self.bars = [bar.name for bar in machine.topology.mechanism.bars]
        self.row_codes = ["H", "H", "H", "X", *("B" for _ in self.bars), "T", "T", "PA", "TL"]

    def with_turns(self, setup: Setup, turns: np.ndarray) -> dict[str, float]:
        """A setup with hands moved further by `turns`."""
        out = dict(setup)
        for hand, turn in zip(self.hands, turns, strict=True):
            if turn:
                out[hand] = out.get(hand, self.adjusters[hand].position) + float(turn)
        return out

    def base(self) -> tuple[np.ndarray, np.ndarray]:
        """Targets of the unmoved car and their slope to each hand, per usable step, (targets,) and (targets, hands)."""
        size = np.array([0.1 * self.adjusters[hand].step for hand in self.hands])
        nothing: Setup = {}
        moved = np.concatenate([np.zeros((len(self.hands), 1)), np.diag(size), -np.diag(size)], axis=1)
        found = self._targets(self._rest([nothing] * moved.shape[1], moved))
        n = len(self.hands)
        return found[:, 0], (found[:, 1 : n + 1] - found[:, n + 1 :]) / (2 * size)

    def at(self, setups: Sequence[Setup], turns: np.ndarray, target: np.ndarray) -> tuple[Solved, np.ndarray]:
        """Rest states and how far each target is missed, (targets, B)."""
        rest = self._rest(setups, turns)
        return rest, self._targets(rest) - target[:, None]

    def _rest(self, setups: Sequence[Setup], turns: np.ndarray) -> Solved:
        moved = [self.with_turns(s, turns[:, i]) for i, s in enumerate(setups)]
        values, batch = apply(self.machine.values, self.adjusters, moved)
        return rest_batch(self.machine, self.machine.parameters(values, batch))

    def _targets(self, rest: Solved) -> np.ndarray:
        load = rest.wheel("load")
        axis = rest.wheel("axis")
        steer = np.arctan2(-axis[0], axis[1])
        pitch = self._rear_pitch(rest)
        rows = [
            rest.border("heave") / MILLIMETRE,
            rest.border("pitch") / MILLIRADIAN,
            rest.border("roll") / MILLIRADIAN,
            (load[1] + load[2]) / load.sum(axis=0) / POINT,
            *(rest.border(f"{bar} torque") / NEWTON_METRE for bar in self.bars),
            steer[0] / MILLIRADIAN,
            steer[1] / MILLIRADIAN,
            pitch / MILLIRADIAN,
            self._brake_stretch(rest) / MILLIMETRE,
        ]
        return np.stack(rows)

    def _rear_pitch(self, rest: Solved) -> np.ndarray:
        """Rotation of the housing about y relative to the chassis: the pinion angle."""
        for i, block in enumerate(rest.machine.topology.blocks):
            if block.block.pinion_body is not None:
                body = block.block.bodies.index(block.block.pinion_body)
                return np.asarray(rest.unknowns.local[i][6 * body + 4, 0])
        return np.zeros(rest.batch)

    def _brake_stretch(self, rest: Solved) -> np.ndarray:
        for i, block in enumerate(rest.machine.topology.blocks):
            if "brake_link" in block.elastic:
                return np.asarray(rest.blocks[i].details.extension)[block.elastic.index("brake_link"), 0]
        return np.zeros(rest.batch)
