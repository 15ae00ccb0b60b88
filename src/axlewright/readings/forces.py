"""What every part of a car carries: tensions of links, loads of springs, gas and stops, ball joints, bars.

One reading a part, made from the car's mechanism. Ids end in the part's path as in the car's values,
`COPY.LINK[.TERM]`. Links: tension positive. Springs, gas and bump stops: compression, shown as load. Statics of the
solved state itself.
"""

from __future__ import annotations

from functools import partial

import numpy as np

from axlewright.model.topology import BlockTopology
from axlewright.readings.base import Reading
from axlewright.solve.machine import Machine
from axlewright.solve.solved import Solved

SOURCE = "own definition: force in the solved state"
PULLS = "more pull or less push", "less pull or more push"
LOADED = {"coil_spring": "spring load", "gas": "gas force of the damper", "stop": "load"}


def _tension(solved: Solved, block: int, link: int, copy: int) -> np.ndarray:
    return np.asarray(solved.blocks[block].details.tension)[link, copy]


def _term(solved: Solved, block: int, term: int, copy: int) -> np.ndarray:
    """Size of an elastic term's force: springs, gas and bump stops push, droop stops pull."""
    sense = np.asarray(solved.parameters.blocks[block].elastic.sense)[term, copy]
    return sense * np.asarray(solved.blocks[block].details.term_tension)[term, copy]


def _joint(solved: Solved, block: int, joint: int, copy: int) -> np.ndarray:
    n = solved.machine.topology.blocks[block]
    first = n.n_motion + n.n_rigid + 3 * joint
    return np.linalg.norm(np.asarray(solved.unknowns.local[block])[first : first + 3, copy], axis=0)


def _drop(solved: Solved, block: int, end: int, copy: int) -> np.ndarray:
    return np.asarray(solved.blocks[block].details.drop_tension)[end, copy]


def _bar(solved: Solved, bar: str) -> np.ndarray:
    return solved.border(f"{bar} torque")


def spoken(path: str) -> str:
    """A path in words: `rear.drive_link` -> rear drive link."""
    return path.replace(".", " ").replace("_", " ")


def _force(ident: str, name: str, more: str, less: str, read: partial[np.ndarray], unit: str = "N") -> Reading:
    return Reading(
        id=ident, name=name, unit=unit, shown="N m" if unit == "N*m" else unit, more=more, less=less,
        source=SOURCE, read=read, smallest=1.0, at_rest=True, detail=True,
    )  # fmt: skip


def forces_of(machine: Machine) -> list[Reading]:
    """Force readings of every part of a car."""
    found: list[Reading] = []
    for index, topology in enumerate(machine.topology.blocks):
        for c, copy in enumerate(topology.block.copies):
            found += _of_links(topology, index, c, copy)
            found += [
                _force(
                    f"load.{copy}.{joint.name}", f"force in {spoken(f'{copy}.{joint.name}')}", "more load", "less load",
                    partial(_joint, block=index, joint=j, copy=c),
                )
                for j, joint in enumerate(topology.block.joints)
            ]  # fmt: skip
    return found + _of_bars(machine)


def _of_links(topology: BlockTopology, block: int, c: int, copy: str) -> list[Reading]:
    found = []
    springing = {link for _, link, term in topology.terms if term.kind in LOADED}
    for i, link in enumerate(topology.links):
        if link not in springing:
            read = partial(_tension, block=block, link=i, copy=c)
            name = f"tension of {spoken(f'{copy}.{link}')}"
            found.append(_force(f"tension.{copy}.{link}", name, *PULLS, read))
    for t, (_, link, term) in enumerate(topology.terms):
        if term.kind in LOADED:
            read = partial(_term, block=block, term=t, copy=c)
            path = f"{copy}.{link}.{term.name}"
            name = f"{LOADED[term.kind]}, {spoken(path)}"
            found.append(_force(f"load.{path}", name, "more load", "less load", read))
    return found


def _of_bars(machine: Machine) -> list[Reading]:
    found = []
    for b, bar in enumerate(machine.topology.mechanism.bars):
        words = f"{spoken(bar.name)} turned more", f"{spoken(bar.name)} turned less"
        read = partial(_bar, bar=bar.name)
        found.append(_force(f"torque.{bar.name}", f"torque of {spoken(bar.name)}", *words, read, unit="N*m"))
        for index, topology in enumerate(machine.topology.blocks):
            for e, ends in enumerate(topology.bar_ends):
                for c, (own, _) in enumerate(ends):
                    if own == b:
                        side = topology.bar_sides[e][c]
                        read = partial(_drop, block=index, end=e, copy=c)
                        name = f"tension of {spoken(bar.name)} drop link, {side}"
                        found.append(_force(f"tension.{bar.name}.{side}", name, *PULLS, read))
    return found
