"""Links, springs with their dampers, and the drop links of bars."""

from __future__ import annotations

import numpy as np

from axlewright.draw.scene.shapes import Body, Pickup, Rod
from axlewright.draw.scene.stage import Seen, Stage
from axlewright.model.suspension import Details
from axlewright.parts.bar_arm import bar_arm
from axlewright.readings.forces import spoken

TORQUE_LINKS = ("drive_link", "brake_link")


def rods_of(stage: Stage) -> tuple[Rod, ...]:
    """Everything that pulls or pushes, in the order of the car's blocks; drop links last."""
    loaded = not stage.solved.active
    links = [rod for seen in stage.copies for rod in _links(stage, seen, loaded=loaded)]
    drops = [rod for seen in stage.copies for rod in _drop_links(stage, seen, loaded=loaded)]
    return (*links, *drops)


def _details(stage: Stage, seen: Seen) -> Details:
    return stage.solved.blocks[seen.index].details


def _links(stage: Stage, seen: Seen, *, loaded: bool) -> list[Rod]:
    found, n = [], len(seen.topology.links)
    tension = np.asarray(_details(stage, seen).tension)
    for i, link in enumerate(seen.topology.links):
        path = f"{seen.path}.{link}"
        a, b = (stage.put(seen.index, seen.points[:, k, seen.copy]) for k in (i, n + i))
        force = float(tension[i, seen.copy, stage.member]) if loaded else None
        found.append(Rod(path, spoken(path), _kind(seen, link), a, b, force))
    return found


def _kind(seen: Seen, link: str) -> str:
    kinds = {term.kind for term in seen.topology.link(link).terms}
    if kinds & set(TORQUE_LINKS):
        return "torque link"
    return "spring" if kinds - {"compliant"} else "link"


def _drop_links(stage: Stage, seen: Seen, *, loaded: bool) -> list[Rod]:
    tension, found = np.asarray(_details(stage, seen).drop_tension), []
    for e, (path, hole, lower) in enumerate(_bar_ends(stage, seen)):
        force = float(tension[e, seen.copy, stage.member]) if loaded else None
        bar, _, side = path.partition(".")
        found.append(Rod(path, f"{spoken(bar)} drop link, {side}", "drop link", lower, hole, force))
    return found


def _bar_ends(stage: Stage, seen: Seen) -> list[tuple[str, np.ndarray, np.ndarray]]:
    """Path, hole in the arm and lower end of the drop link of each bar end on a copy."""
    topology, ends = seen.topology, seen.p.ends
    if not topology.bar_ends:
        return []
    lower = seen.points[:, -len(topology.bar_ends) :]
    pivot, axis, direction, arm, length, side, _ = (np.asarray(x) for x in ends)
    hole = np.asarray(bar_arm(pivot, axis, direction, arm, length, lower, side).hole)
    bars, found = stage.solved.machine.topology.mechanism.bars, []
    for e, own in enumerate(topology.bar_ends):
        path = f"{bars[own[seen.copy][0]].name}.{topology.bar_sides[e][seen.copy]}"
        found.append((path, *(stage.put(seen.index, x[:, e, seen.copy]) for x in (hole, lower))))
    return found


def bars_of(stage: Stage) -> tuple[list[Body], list[Pickup]]:
    """Each bar from the hole of one arm along its axis to the hole of the other, and where it is carried."""
    lines: dict[str, dict[str, list[np.ndarray]]] = {}
    for seen in stage.copies:
        for e, (path, hole, _) in enumerate(_bar_ends(stage, seen)):
            bar, _, side = path.partition(".")
            pivot = stage.put(seen.index, np.asarray(seen.p.ends.pivot)[:, e, seen.copy])
            lines.setdefault(bar, {})[side] = [hole, pivot]
    bodies, pickups = [], []
    for bar, sides in lines.items():
        left, right = sides["left"], sides["right"]
        bodies.append(Body(bar, spoken(bar), "bar", (np.stack([*left, *reversed(right)]),)))
        pickups += [Pickup(f"{bar}.{side}", pair[1]) for side, pair in sides.items()]
    return bodies, pickups
