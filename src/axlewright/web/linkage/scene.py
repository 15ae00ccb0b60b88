"""A drawing as data for the page: points in m, every link with its number, its force in words and its state."""

from __future__ import annotations

from typing import Any

import numpy as np

from axlewright.draw.scene import Drawing
from axlewright.draw.scene.shapes import Rod
from axlewright.readings import readings_of, states
from axlewright.readings.front_view import own_wheels
from axlewright.say.numbers import Units, shown
from axlewright.say.pull import said, sense
from axlewright.say.states import ORDINARY
from axlewright.solve.solved import Solved

DIGITS = 5  # a hundredth of a millimetre


def scene_data(found: Drawing) -> dict[str, Any]:
    """Everything that is drawn."""
    return {
        "axes": found.axes,
        "rods": [{"path": rod.path, "kind": rod.kind, "a": _at(rod.a), "b": _at(rod.b)} for rod in found.rods],
        "bodies": [{"path": b.path, "kind": b.kind, "lines": [_at(line) for line in b.lines]} for b in found.bodies],
        "wheels": [
            {
                "name": w.name,
                "centre": _at(w.centre),
                "axis": _at(w.axis),
                "radius": w.radius,
                "contact": _at(w.contact),
            }
            for w in found.wheels
        ],
        "pickups": [_at(pickup.at) for pickup in found.pickups],
        "roll": {end: _at(point) for end, point in found.centres.roll.items()},
        "side": [
            {"case": line.case, "start": _at(line.start), "centre": _at(line.centre), "target": _at(line.target)}
            for line in found.centres.side
        ],
        "front": [
            {"wheel": line.wheel, "contact": _at(line.contact), "centre": _at(line.centre)}
            for line in found.centres.front
        ],
        "mass": _at(found.centres.mass),
    }


def links_data(found: Drawing, solved: Solved, units: Units) -> list[dict[str, Any]]:
    """Every link by number, in the order that it is drawn in."""
    words = {} if solved.active else states(solved, 0)
    return [{"number": i + 1, **_link(rod, words, units)} for i, rod in enumerate(found.rods)]


def _link(rod: Rod, words: dict[str, str], units: Units) -> dict[str, Any]:
    told = [word for path, word in words.items() if path.startswith(f"{rod.path}.") and word not in ORDINARY]
    force = None if rod.tension is None else said(rod.tension, units)
    return {
        "path": rod.path, "name": rod.name, "kind": rod.kind, "tension": rod.tension, "said": force,
        "sense": None if rod.tension is None else sense(rod.tension), "state": ", ".join(told),
    }  # fmt: skip


LINES = {"drive": "anti_squat", "brake": "anti_lift", "front": "anti_dive"}


def centres_data(solved: Solved, units: Units) -> dict[str, dict[str, str]]:
    """What the readings say of the centres and lines that are drawn."""
    every = readings_of(solved.machine)

    def read(key: str) -> str:
        return shown(every[key], float(every[key].read(solved)[0]), units)

    ends = {
        end: {"name": every[f"roll_centre_height_{end}"].name, "text": read(f"roll_centre_height_{end}")}
        for end in ("front", "rear")
    }
    lines = {
        case: {"name": every[key].name, "text": read(key), "arm": read(f"side_view_arm_{case}")}
        for case, key in LINES.items()
    }
    fronts = {
        f"front_{wheel}": {
            "name": every[f"front_view_arm_{wheel}"].name,
            "text": read(f"front_view_arm_{wheel}"),
            "height": read(f"front_view_height_{wheel}"),
        }
        for wheel in own_wheels(solved.machine)
    }
    return {**ends, **fronts, **{f"side_{case}": line for case, line in lines.items()},
            "axis": {"name": every["roll_axis_slope"].name, "text": read("roll_axis_slope")}}  # fmt: skip


def _at(point: np.ndarray) -> list[Any]:
    return np.round(point, DIGITS).tolist()
