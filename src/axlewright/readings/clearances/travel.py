"""Springs, stops, dampers and torque links against their ends.

Springs: compression left to coil bind, and left before the spring is loose in its perch. Stops: clearance. Dampers:
length left to solid and to full extension, where the car file gives those lengths. Drive-side torque link: movement
left to its travel stop. Stops and torque links have a meaning in held states only: through travel a stop is where the
travel ends, and the active torque link is taken as rigid.
"""

from __future__ import annotations

import numpy as np

from axlewright.car.describe.room import Room
from axlewright.readings._vectors import dot
from axlewright.readings.clearances._geometry import link_ends
from axlewright.readings.clearances.base import Margin
from axlewright.readings.forces import spoken
from axlewright.readings.states import moves
from axlewright.solve.solved import Solved

NEVER = 1e3  # m; what is not given stands this far off or further in the laws
STOPS = {"bump_stop": "stands on its bump stop", "droop_stop": "hangs on its droop stop"}


def spring_margins(solved: Solved) -> list[Margin]:
    """Coil bind and seat of every coil spring."""
    found = []
    for path, kind, moved, onset in _terms(solved):
        if kind != "coil_spring":
            continue
        name = spoken(path.rsplit(".", 1)[0])
        found.append(Margin(
            id=f"seat.{path}", name=f"{name}, seat", used_up="loose in its perch", unit="m", value=moved - onset[0],
        ))  # fmt: skip
        if (onset[-1] < NEVER).all():
            whole = float(np.min(onset[-1]))
            found.append(Margin(
                id=f"bind.{path}", name=f"{name}, coils", used_up="coil bind", unit="m", value=onset[-1] - moved,
                whole=whole,
            ))  # fmt: skip
    return found


def stop_margins(solved: Solved) -> list[Margin]:
    """Clearance of every bump and droop stop."""
    return [
        Margin(
            id=f"stop.{path}", name=f"{spoken(path.rsplit('.', 1)[0])}, {spoken(path.rsplit('.', 1)[1])}",
            used_up=STOPS.get(path.rsplit(".", 1)[1], "on its stop"), unit="m", value=onset[0] - moved, travel=False,
        )
        for path, kind, moved, onset in _terms(solved) if kind == "stop"
    ]  # fmt: skip


def torque_link_margins(solved: Solved) -> list[Margin]:
    """Spring travel left of the drive-side torque link."""
    return [
        Margin(
            id=f"travel.{path}", name=f"{spoken(path.rsplit('.', 1)[0])}, travel", used_up="on its travel stop",
            unit="m", value=onset[2] - moved, whole=float(np.min(onset[2] - onset[1])), travel=False,
        )
        for path, kind, moved, onset in _terms(solved) if kind == "drive_link" and (onset[2] < NEVER).all()
    ]  # fmt: skip


def damper_margins(solved: Solved, room: Room) -> list[Margin]:
    """Length left of every damper whose shortest or longest length is known."""
    found = []
    for stroke in room.strokes:
        a, b = link_ends(solved, stroke.copy, stroke.link)
        length, path = np.sqrt(dot(b - a, b - a)), f"{stroke.copy}.{stroke.link}"
        if stroke.shortest > 0.0:
            found.append(Margin(
                id=f"solid.{path}", name=f"{spoken(path)}, damper closing", used_up="damper solid", unit="m",
                value=length - stroke.shortest,
            ))  # fmt: skip
        if np.isfinite(stroke.longest):
            found.append(Margin(
                id=f"extended.{path}", name=f"{spoken(path)}, damper opening", used_up="damper at full stretch",
                unit="m", value=stroke.longest - length,
            ))  # fmt: skip
    return found


def _terms(solved: Solved) -> list[tuple[str, str, np.ndarray, np.ndarray]]:
    """(path, kind, movement (B,), corners (J, B)) of every elastic term on every copy."""
    found = []
    for block, topology in enumerate(solved.machine.topology.blocks):
        onset = np.asarray(solved.parameters.blocks[block].elastic.onset)
        for t, (_, link, term) in enumerate(topology.terms):
            for c, copy in enumerate(topology.block.copies):
                path = f"{copy}.{link}.{term.name}"
                found.append((path, term.kind, moves(solved)[block][t, c], onset[:, t, c]))
    return found
