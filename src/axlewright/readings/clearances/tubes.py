"""Clearance between tubes: a radius around a line each, and the shortest distance between the two lines.

Two tubes on one part never move against each other, and two that share a joint always touch there: such pairs are not
looked at, unless a tube names the others that it is to be kept clear of.
"""

from __future__ import annotations

from itertools import combinations
from typing import NamedTuple

import numpy as np

from axlewright.car.describe.room import Rod, Room
from axlewright.readings._frames import half_of
from axlewright.readings.clearances._geometry import copy_at, link_ends, on_road, places
from axlewright.readings.clearances.base import Margin
from axlewright.readings.clearances.segments import distance
from axlewright.readings.forces import spoken
from axlewright.solve.solved import Solved

JOINED = 1e-3  # m; lines that pass this near each other as drawn meet in a joint: nothing is built with such a gap


class Line(NamedTuple):
    """A tube's line."""

    rod: Rod
    parts: frozenset[tuple[str, str]]  # what carries it: one part, or the two that a link joins
    drawn: tuple[np.ndarray, np.ndarray]  # (3, B) chassis axes
    now: tuple[np.ndarray, np.ndarray]  # (3, B) road axes


def tube_margins(solved: Solved, room: Room) -> list[Margin]:
    """Gap between each pair of tubes less the gap to be kept."""
    lines = {rod.name: _line(solved, rod) for rod in room.rods}
    found = []
    for a, b in pairs(lines):
        one, other = lines[a], lines[b]
        gap = distance(*one.now, *other.now) - one.rod.radius - other.rod.radius - room.gap
        found.append(Margin(
            id=f"gap.{a}.{b}", name=f"{spoken(a)} and {spoken(b)}", used_up="touch", unit="m", value=gap,
        ))  # fmt: skip
    return found


def pairs(lines: dict[str, Line]) -> list[tuple[str, str]]:
    """Which tubes can touch: those that are named, and of tubes that name none all that can move and share no joint."""
    found = []
    for a, b in combinations(lines, 2):
        one, other = lines[a].rod.against, lines[b].rod.against
        named = b in (one or ()) or a in (other or ())
        open_to_all = one is None and other is None
        if named or (open_to_all and _apart(lines[a], lines[b])):
            found.append((a, b))
    return found


def _apart(a: Line, b: Line) -> bool:
    moves = len(a.parts | b.parts) > 1
    return moves and bool(np.min(distance(*a.drawn, *b.drawn)) > JOINED)


def _line(solved: Solved, rod: Rod) -> Line:
    if rod.link is None:
        ends = [np.array(end) for end in (rod.start, rod.end)]
        start, end = (np.repeat(x[:, None], solved.batch, axis=1) for x in ends)
        now = [on_road(solved, rod.copy, rod.frame, x) for x in ends]
        return Line(rod, frozenset({(rod.copy, rod.frame)}), (start, end), (now[0], now[1]))
    at = copy_at(solved, rod.copy)
    topology, drawn = solved.machine.topology.blocks[at.block], places(solved)[at.block].drawn
    i, n = topology.links.index(rod.link), len(topology.links)
    half = half_of(solved, at.block)
    a, b = (half.on_road(end) for end in link_ends(solved, rod.copy, rod.link))
    return Line(rod, frozenset({(rod.copy, rod.link)}), (drawn[:, i, at.copy], drawn[:, n + i, at.copy]), (a, b))
