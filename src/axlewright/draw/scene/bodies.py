"""Axles, uprights, arms, bellcranks and struts: lines from what is jointed to them to what carries them."""

from __future__ import annotations

import numpy as np

from axlewright.draw.scene.shapes import Body, Pickup, Point
from axlewright.draw.scene.stage import Seen, Stage, foot
from axlewright.readings.forces import spoken


def bodies_of(stage: Stage) -> tuple[list[Body], list[Pickup]]:
    """Bodies and parts of every block, and the points of the chassis that carry them and their links."""
    bodies, pickups = [], []
    for seen in stage.copies:
        bodies += [_body(stage, seen, i) for i in range(seen.topology.n_bodies)]
        for k in range(seen.topology.n_parts):
            part, carried = _part(stage, seen, k)
            bodies.append(part)
            pickups += carried
        pickups += _mounts(stage, seen)
    return bodies, pickups


def attached(stage: Stage, seen: Seen, frame: int, *, joints: bool | None = None) -> list[Point]:
    """Points on a frame: ends of links and drop links, ball joints; only joints, or all but joints, if asked."""
    first = 2 * len(seen.topology.links)
    last = first + 2 * seen.topology.n_joints
    return [
        stage.put(seen.index, seen.points[:, i, seen.copy])
        for i, own in enumerate(seen.topology.point_frames)
        if own == frame and (joints is None or (first <= i < last) == joints)
    ]


def _body(stage: Stage, seen: Seen, body: int) -> Body:
    """An axle is a tube between its wheels, an upright a hub; from it to every joint a line."""
    topology, frame = seen.topology, body + 1
    path = f"{seen.path}.{topology.block.bodies[body]}"
    hubs = [hub(stage, seen, w) for w, own in enumerate(topology.wheel_frames) if own == frame]
    hubs = hubs or [stage.put(seen.index, seen.placed.body_at[:, body, seen.copy])]
    hung = [f for k, f in enumerate(topology.part_parents) if f == frame and not topology.part_slides[k]]
    ends = attached(stage, seen, frame)
    ends += [_pivots(stage, seen, k)[0] for k, f in enumerate(topology.part_parents) if f == frame] if hung else []
    tube = [np.stack([hubs[0], hubs[-1]])] if len(hubs) > 1 else []
    lines = (*tube, *(np.stack([foot(end, hubs[0], hubs[-1]), end]) for end in _apart(ends)))
    return Body(path, spoken(path), "axle" if len(hubs) > 1 else "upright", lines)


def _apart(points: list[Point]) -> list[Point]:
    """Each place once: several links may share a joint."""
    return [p for i, p in enumerate(points) if not any(np.array_equal(p, other) for other in points[:i])]


def hub(stage: Stage, seen: Seen, wheel: int) -> Point:
    """Where a wheel's centre is drawn."""
    centre = np.asarray(stage.solved.blocks[seen.index].contact.centre)
    return stage.on(centre[:, wheel, seen.copy])


def _pivots(stage: Stage, seen: Seen, part: int) -> tuple[Point, Point]:
    """Two points on a part's axis, as far apart as the axis is drawn."""
    path = f"{seen.path}.{seen.topology.block.parts[part].name}"
    drawn = [np.asarray(stage.solved.machine.values[f"{path}.axis_{end}"], dtype=float) for end in "ab"]
    length = float(np.linalg.norm(drawn[1].reshape(3, -1)[:, 0] - drawn[0].reshape(3, -1)[:, 0]))
    start, axis = (x[:, part, seen.copy] for x in (seen.placed.part_point, seen.placed.part_axis))
    return stage.put(seen.index, start), stage.put(seen.index, start + axis * length)


def _part(stage: Stage, seen: Seen, part: int) -> tuple[Body, list[Pickup]]:
    """A strut is a line, an arm with a ball joint a triangle on its axis, anything else spokes around its axis."""
    topology, frame = seen.topology, 1 + seen.topology.n_bodies + part
    path = f"{seen.path}.{topology.block.parts[part].name}"
    start, end = _pivots(stage, seen, part)
    balls = attached(stage, seen, frame, joints=True)
    others = attached(stage, seen, frame, joints=False)
    on_chassis = not topology.part_parents[part]
    if topology.part_slides[part]:
        lines = [np.stack([ball, start]) for ball in balls + others]
        return Body(path, spoken(path), "strut", tuple(lines)), []
    if balls:
        lines = [np.stack([start, ball, end]) for ball in balls]
        lines += [np.stack([_nearest(point, balls[0], (start, end)), point]) for point in others]
        carried = [Pickup(path, start), Pickup(path, end)] if on_chassis else []
        return Body(path, spoken(path), "arm", tuple(lines)), carried
    middles = [_square(point, start, end) for point in others]
    lines = [np.stack([middle, point]) for middle, point in zip(middles, others, strict=True)]
    carried = [Pickup(path, np.mean(middles, axis=0))] if on_chassis and middles else []
    return Body(path, spoken(path), "crank" if on_chassis else "bracket", tuple(lines)), carried


def _nearest(point: Point, ball: Point, pivots: tuple[Point, Point]) -> Point:
    """The nearest point of an arm's two tubes."""
    feet = [foot(point, pivot, ball) for pivot in pivots]
    return min(feet, key=lambda x: float(np.linalg.norm(x - point)))


def _square(point: Point, start: Point, end: Point) -> Point:
    """The point of the line through an axis that lies square to it from `point`."""
    axis = (end - start) / np.linalg.norm(end - start)
    return start + axis * float((point - start) @ axis)


def _mounts(stage: Stage, seen: Seen) -> list[Pickup]:
    """Ends of links, and ball joints, on the chassis; not those that the steering moves."""
    topology = seen.topology
    n, nj = len(topology.links), topology.n_joints
    names = [*topology.links, *topology.links, *(joint.name for joint in topology.block.joints * 2)]
    return [
        Pickup(f"{seen.path}.{name}", stage.put(seen.index, seen.points[:, i, seen.copy]))
        for i, (name, frame) in enumerate(zip(names, topology.point_frames[: 2 * (n + nj)], strict=True))
        if not frame and i not in topology.rack_links
    ]
