"""Names in [joints] and [clearance] that the car has not got, and dampers that don't fit their own room."""

from __future__ import annotations

from collections.abc import Collection
from difflib import get_close_matches

import numpy as np

from axlewright.car.describe.room import (
    carried,
    frame_names,
    joint_names,
    link_names,
    room_of,
)
from axlewright.car.mechanism import Mechanism, Values
from axlewright.car.schema import Car
from axlewright.errors import Problem


def room_problems(car: Car, mechanism: Mechanism, values: Values) -> list[Problem]:
    """What is wrong with the limits that a car file states."""
    found: list[Problem] = []
    for i, stated in enumerate(car.joints.ends):
        found += _unknown(f"joints.ends[{i + 1}].link", stated.link, joint_names(mechanism, values), "joint or link")
    middle = (car.front.wheel_centre.x + car.rear.wheel_centre.x) / 2
    tubes = [tube.name for tube in car.clearance.tubes]
    for i, point in enumerate(car.clearance.points):
        if carried(mechanism, point.on, point.at, middle) is None:
            found += _unknown(f"clearance.points[{i + 1}].on", point.on, frame_names(mechanism), "part")
    for i, tube in enumerate(car.clearance.tubes):
        path = f"clearance.tubes[{i + 1}]"
        if tube.along is not None:
            found += _unknown(f"{path}.along", tube.along, link_names(mechanism), "link")
        if tube.on is not None and tube.start is not None and carried(mechanism, tube.on, tube.start, middle) is None:
            found += _unknown(f"{path}.on", tube.on, frame_names(mechanism), "part")
        known = [*tubes, *(f"{name}_{side}" for name in tubes for side in ("left", "right"))]
        for name in tube.against or ():
            found += _unknown(f"{path}.against", name, known, "tube")
    return found or _strokes(car, mechanism, values)


def _unknown(path: str, name: str, have: Collection[str], kind: str) -> list[Problem]:
    if name in have:
        return []
    near = get_close_matches(name, have, n=1, cutoff=0.4)
    fix = f'write "{near[0]}"' if near else "check the name"
    return [Problem(path, f"the {kind} `{name}`", f"one of {', '.join(have)}", fix)]


def _strokes(car: Car, mechanism: Mechanism, values: Values) -> list[Problem]:
    """Dampers that are drawn shorter or longer than they can be."""
    found = []
    for stroke in room_of(car, mechanism, values).strokes:
        a, b = (np.asarray(values[f"{stroke.copy}.{stroke.link}.{end}"]) for end in "ab")
        drawn = float(np.linalg.norm(b - a))
        if not stroke.shortest < drawn < stroke.longest:
            short = drawn <= stroke.shortest
            table = "brake_link" if stroke.link == "brake_link" else "damper"
            path = f"{stroke.copy.split('.')[0]}.{table}.{'shortest' if short else 'longest'}"
            limit = stroke.shortest if short else stroke.longest
            expected = f"{'more' if short else 'less'} than its own {limit * 1e3:.0f} mm"
            fix = "measure it between the centres of its eyes, `shortest` with its stops squeezed flat"
            found.append(Problem(path, f"a damper that stands {drawn * 1e3:.0f} mm long", expected, fix))
    return list(dict.fromkeys(found))
