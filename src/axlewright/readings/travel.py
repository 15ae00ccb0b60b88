"""How much of its travel each part has used, and what is left before the next thing happens.

Springs: compression from rest. Stops: clearance left, negative once touched. Drive-side torque link: movement past its
preload, of its travel. Brake-side one: bumper squeeze, negative while there is still a gap. Bars: angle left to toggle.
`states` says the same in a word. Own definitions.
"""

from __future__ import annotations

from functools import partial

import numpy as np

from axlewright.model.topology import BlockTopology
from axlewright.readings._frames import standing
from axlewright.readings.base import Reading
from axlewright.readings.forces import spoken
from axlewright.readings.states import moves, toggle_margins
from axlewright.solve.machine import Machine
from axlewright.solve.solved import Solved

SOURCE = "own definition: lengths in the solved state"


def _onset(solved: Solved, block: int, term: int, copy: int, corner: int) -> np.ndarray:
    return np.asarray(solved.parameters.blocks[block].elastic.onset)[corner, term, copy]


def _compression(solved: Solved, block: int, term: int, copy: int) -> np.ndarray:
    return moves(solved)[block][term, copy] - moves(standing(solved))[block][term, copy]


def _clearance(solved: Solved, block: int, term: int, copy: int) -> np.ndarray:
    return _onset(solved, block, term, copy, 0) - moves(solved)[block][term, copy]


def _past_preload(solved: Solved, block: int, term: int, copy: int) -> np.ndarray:
    return moves(solved)[block][term, copy] - _onset(solved, block, term, copy, 1)


def _share(solved: Solved, block: int, term: int, copy: int) -> np.ndarray:
    """Share of the drive link's spring travel used; 0 on the seat, 1 on the stop."""
    whole = _onset(solved, block, term, copy, 2) - _onset(solved, block, term, copy, 1)
    return np.clip(_past_preload(solved, block, term, copy) / whole, 0.0, 1.0)


def _squeeze(solved: Solved, block: int, term: int, copy: int) -> np.ndarray:
    return -_clearance(solved, block, term, copy)


def _margin(solved: Solved, bar: str) -> np.ndarray:
    return toggle_margins(solved)[bar]


def _travel(
    ident: str, name: str, more: str, less: str, read: partial[np.ndarray], *, shown: str = "mm", at_rest: bool = True
) -> Reading:
    unit = {"mm": "m", "%": "", "deg": "rad"}[shown]
    return Reading(
        id=ident, name=name, unit=unit, shown=shown, more=more, less=less, source=SOURCE, read=read,
        smallest={"mm": 1e-4, "%": 0.001, "deg": np.radians(0.1)}[shown], at_rest=at_rest, travel=True,
    )  # fmt: skip


def travels_of(machine: Machine) -> list[Reading]:
    """Travel readings of every part of a car."""
    found: list[Reading] = []
    for index, topology in enumerate(machine.topology.blocks):
        for c, copy in enumerate(topology.block.copies):
            found += _of_terms(topology, index, c, copy)
    mechanism = machine.topology.mechanism
    relay = ["relay"] if mechanism.steering == "relay" else []
    for turning in [*(bar.name for bar in mechanism.bars), *relay]:
        name = spoken(turning)
        found.append(
            _travel(
                f"toggle_margin.{turning}", f"angle left to toggle, {name}", f"{name} further from toggle",
                f"{name} nearer to toggle", partial(_margin, bar=turning), shown="deg",
            )
        )  # fmt: skip
    return found


def _of_terms(topology: BlockTopology, block: int, c: int, copy: str) -> list[Reading]:
    found = []
    for t, (_, link, term) in enumerate(topology.terms):
        path, at = f"{copy}.{link}", {"block": block, "term": t, "copy": c}
        name = spoken(path)
        if term.kind == "coil_spring":
            read = partial(_compression, **at)
            words = f"compression from rest, {name}", f"{name} compressed more", f"{name} extended more"
            found.append(_travel(f"travel.{path}", *words, read, at_rest=False))
        if term.kind == "stop":
            stop = f"{name} {spoken(term.name)}"
            words = (
                f"clearance to {spoken(term.name)}, {name}",
                f"{stop} clears by more",
                f"{stop} nearer or pressed more",
            )
            found.append(_travel(f"clearance.{path}.{term.name}", *words, partial(_clearance, **at)))
        if term.kind == "drive_link":
            words = f"movement past preload, {name}", "spring moved more", "spring moved less, or not yet"
            found.append(_travel(f"travel.{path}", *words, partial(_past_preload, **at)))
            words = f"share of spring travel used, {name}", "nearer to its stop", "further from its stop"
            found.append(_travel(f"travel_share.{path}", *words, partial(_share, **at), shown="%"))
        if term.kind == "brake_link":
            words = f"bumper squeeze, {name}; negative is gap left", "bumper squeezed more", "bumper squeezed less"
            found.append(_travel(f"travel.{path}", *words, partial(_squeeze, **at)))
    return found
