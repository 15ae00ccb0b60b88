"""Motion ratio of every spring, damper and bar, and what each bar is worth at the wheel.

Ratio: shortening of a spring or damper per rise of the wheel centre, the chassis held; on a solid axle once with both
wheels rising alike (heave) and once with the other wheel falling as much (roll), the wheel being that of the part's own
side. Of a bar: way of the drop link's upper end about the bar's axis, per rise of the wheel, on a solid axle in roll;
its size, since bars are fitted either way round. Milliken, Race Car Vehicle Dynamics, ch. 16 (installation ratio, from
memory).

Bar rate at the wheel: force on one wheel per its rise with the other wheel still, mean of both sides. In pure roll,
where the other wheel moves as far the other way, each wheel feels twice that of a bar that resists roll.
"""

from __future__ import annotations

from functools import partial

import numpy as np

from axlewright.readings._elastic import arm_turns, elastic_ends, stretches
from axlewright.readings._frames import ENDS
from axlewright.readings._modes import LOCATING
from axlewright.readings.base import Reading
from axlewright.readings.forces import spoken
from axlewright.solve.machine import Machine
from axlewright.solve.solved import Solved

SOURCE = "Milliken ch. 16, from memory (installation ratio)"
MOTIONS = {"heave": 1.0, "roll": -1.0}  # rise of the other wheel of a solid axle


def _side(solved: Solved, block: int, link: int, copy: int) -> int:
    """0 for a part on the left of its axle, or in the middle, 1 for one on the right, as drawn."""
    points, n = np.asarray(solved.parameters.blocks[block].points), len(solved.machine.topology.blocks[block].links)
    return int(points[1, n + link, copy, 0] < 0.0)


def link_ratio(solved: Solved, block: int, link: int, copy: int, other: float) -> np.ndarray:
    """Shortening of a link per rise of its own wheel, the other wheel of a solid axle rising `other` as much, (B,)."""
    stretch = stretches(solved)[block][link, :, copy]
    if solved.machine.topology.blocks[block].n_wheels == 1:
        return -stretch[copy]
    own = _side(solved, block, link, copy)
    return -(stretch[own] + other * stretch[1 - own])


def arm_ratio(solved: Solved, block: int, end: int, copy: int, side: int) -> np.ndarray:
    """Way of a drop link's upper end per rise of its own wheel, on a solid axle in roll, without sign, (B,)."""
    turn = arm_turns(solved)[block][end, :, copy]
    if solved.machine.topology.blocks[block].n_wheels > 1:
        turn = turn * np.array([1.0, -1.0])[:, None]
    whole = turn.sum(axis=0) if solved.machine.topology.blocks[block].n_wheels > 1 else turn[side]
    return np.abs(whole * np.asarray(solved.parameters.blocks[block].ends.arm)[end, copy])


def bar_rate(solved: Solved, end: str) -> np.ndarray:
    """Force on one wheel per its rise from an end's bars, the other wheel still, mean of both, N/m, (B,)."""
    bars = elastic_ends(solved)[end].bars
    return 0.5 * (bars[0, 0] + bars[1, 1])


def motion_ratios_of(machine: Machine) -> list[Reading]:
    """Ratios of a car's own springs, dampers and bars, and rates of its bars."""
    found = []
    for index, topology in enumerate(machine.topology.blocks):
        axle = topology.n_wheels > 1
        carriers = {i for i, _, term in topology.terms if term.kind not in LOCATING}
        for i, c in ((i, c) for c in range(topology.n_copies) for i in sorted(carriers)):
            path = f"{topology.block.copies[c]}.{topology.elastic[i]}"
            for motion, other in MOTIONS.items() if axle else [("", 0.0)]:
                found.append(
                    _ratio(
                        f"motion_ratio.{path}{f'.{motion}' if motion else ''}",
                        f"motion ratio, {spoken(path)}{f', in {motion}' if motion else ''}",
                        partial(link_ratio, block=index, link=topology.n_rigid + i, copy=c, other=other),
                    )
                )
    return [*found, *_of_bars(machine)]


def _of_bars(machine: Machine) -> list[Reading]:
    found, ends = [], set()
    for number, bar in enumerate(machine.topology.mechanism.bars):
        own = [
            (index, e, c)
            for index, topology in enumerate(machine.topology.blocks)
            for e, copies in enumerate(topology.bar_ends)
            for c, (which, _) in enumerate(copies)
            if which == number
        ]
        ends |= {ENDS[int(machine.topology.blocks[index].block.rear)] for index, _, _ in own}
        for side, (index, e, c) in enumerate(own):  # left end first, as the bar's own list
            words = f"motion ratio, {spoken(bar.name)} {('left', 'right')[side]} drop link"
            read = partial(arm_ratio, block=index, end=e, copy=c, side=side)
            found.append(_ratio(f"motion_ratio.{bar.name}.{('left', 'right')[side]}", words, read))
    rates = [
        Reading(
            id=f"bar_rate_{end}", name=f"bar rate at the wheel, {end}, other wheel still", unit="N/m", shown="N/mm",
            more=f"stiffer {end} bar", less=f"softer {end} bar",
            source="own definition: bar rate x motion ratio squared, as SAE J670 wheel rate of one wheel",
            read=partial(bar_rate, end=end), smallest=10.0, at_rest=True, travel=True, detail=True,
        )
        for end in ENDS
        if end in ends
    ]  # fmt: skip
    return [*found, *rates]


def _ratio(ident: str, name: str, read: partial[np.ndarray]) -> Reading:
    return Reading(
        id=ident, name=name, unit="", shown="", more="moves more for the same wheel travel",
        less="moves less for the same wheel travel", source=SOURCE, read=read, smallest=0.0005, at_rest=True,
        travel=True, detail=True,
    )  # fmt: skip
