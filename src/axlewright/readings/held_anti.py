"""Held anti-squat, anti-lift and anti-dive: the share of an end's load change that goes past its springs, as solved.

1 - dF_spring / dF_z between two close accelerations, speed and turn kept: F_spring what springs (a third one too) and
stops of the end carry, referred to its wheels by the ratio of the state, F_z its tyre loads. Not equal to the geometric
number: the unsprung mass, wheel spin-up and drag are in it, and both torque links where both are loaded. Own
definition, after the geometric one. Readings need the model's derivative, so they cost more than the others.
"""

from __future__ import annotations

from functools import partial

import numpy as np

from axlewright.readings._elastic import elastic_ends
from axlewright.readings._frames import axle_blocks
from axlewright.readings._nearby import more_forward, slope
from axlewright.readings.base import Reading
from axlewright.solve.solved import Solved

SPRINGS = ("coil_spring", "stop")
SOURCE = "own definition: 1 - change of spring force / change of tyre load between two close accelerations"


def past_springs(solved: Solved, end: str, *, braking: bool) -> np.ndarray:
    """Share of the load change that springs don't feel, (B,); NaN where the other pedal is held."""
    elastic = elastic_ends(solved)[end]  # of the state itself: both neighbours are referred with one number
    spring = slope(solved, more_forward, partial(_spring_force, end=end)) * elastic.ratio
    for bar, turns in elastic.third.items():
        spring = spring + slope(solved, more_forward, partial(_torque, bar=bar)) * turns
    load = slope(solved, more_forward, partial(_tyre_load, end=end))
    return np.where((np.asarray(solved.asked.braking) > 0) == braking, 1.0 - spring / load, np.nan)


def _tyre_load(solved: Solved, end: str) -> np.ndarray:
    load = solved.wheel("load")
    return load[:2].sum(axis=0) if end == "front" else load[2:].sum(axis=0)


def _spring_force(solved: Solved, end: str) -> np.ndarray:
    """Push of all springs and stops of an end, N, (B,)."""
    block = axle_blocks(solved)[end]
    tension = np.asarray(solved.blocks[block].details.term_tension)
    terms = solved.machine.topology.blocks[block].terms
    springs = [i for i, (_, _, term) in enumerate(terms) if term.kind in SPRINGS]
    return -tension[springs].sum(axis=(0, 1))


def _torque(solved: Solved, bar: str) -> np.ndarray:
    """Torque of a third spring on each of its arms, N m, (B,)."""
    return solved.border(f"{bar} torque")


def _reading(ident: str, name: str, end: str, *, braking: bool, more: str, less: str) -> Reading:
    return Reading(
        id=ident, name=name, unit="", shown="%", more=more, less=less, source=SOURCE,
        read=partial(past_springs, end=end, braking=braking), smallest=0.001, costly=True,
    )  # fmt: skip


HELD_ANTIS = [
    _reading(
        "held_anti_squat", "held anti-squat", "rear", braking=False, more="less squat on power",
        less="more squat on power",
    ),
    _reading(
        "held_anti_lift", "held anti-lift, rear", "rear", braking=True, more="rear rises less when braking",
        less="rear rises more when braking",
    ),
    _reading(
        "held_anti_dive", "held anti-dive, front", "front", braking=True, more="nose dives less", less="nose dives more"
    ),
]  # fmt: skip
