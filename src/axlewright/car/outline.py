"""Where the points of a car file are, for a small drawing: each with its key path, and its twin on the other side.

Made from the form, so that a draft with mistakes is drawn as far as it can be read. Chassis axes (ISO 8855), m.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from pydantic import TypeAdapter, ValidationError

from axlewright.car.form import Field, Group
from axlewright.car.schema.point import At, Frame, Point, Points

Place = tuple[float, float, float]
# Pairs that are joined, by the keys of their table. A table of two points is joined without being listed here.
JOINED = (
    (("front", "ball"), ("rear", "ball")),
    (("pivot", "left_arm"), ("left_arm", "left_end"), ("pivot", "right_arm"), ("right_arm", "right_end")),
    (("pivot", "arm_end"), ("arm_end", "drop_link")),
    (("gearbox_joint", "pinion_joint"),),
)
SINGLE = re.compile(r"rear\.(watt|panhard|drive_link|brake_link)\b")
MIRRORED = re.compile(r"(front|rear|masses\.front_corner|masses\.rear_corner)\.")
_POINT: TypeAdapter[Point] = TypeAdapter(At)
RIGHT = re.compile(r"\.right\b")


@dataclass(frozen=True, slots=True)
class Dot:
    """One point. `twin`: it is the mirror image of what the file gives at this path."""

    path: str
    at: Place
    twin: bool = False


@dataclass(frozen=True, slots=True)
class Outline:
    """Every point of a car file that can be read, and what joins them."""

    dots: tuple[Dot, ...]
    lines: tuple[tuple[Place, Place], ...]
    wheels: tuple[Place, ...]  # centres; the height is the loaded radius


def outline_of(form: Group, table: Mapping[str, object]) -> Outline:
    """The outline of a form made of these plain tables."""
    frame = _frame(table)
    points = {path: place for path, place in _points(form, frame) if place is not None}
    dots: list[Dot] = [Dot(path, at) for path, at in points.items()]
    dots += [Dot(path, _mirror(at), True) for path, at in points.items() if _has_twin(path, points, table)]
    lines: list[tuple[Place, Place]] = []
    for group in _groups(form):
        ends = _ends(group, points, table)
        for a, b in _joined(ends):
            lines.append((points[ends[a]], points[ends[b]]))
            if _has_twin(ends[a], points, table) and _has_twin(ends[b], points, table):
                lines.append((_mirror(points[ends[a]]), _mirror(points[ends[b]])))
    wheels = tuple(dot.at for dot in dots if dot.path.endswith("wheel_centre"))
    return Outline(tuple(dots), tuple(lines), wheels)


def _frame(table: Mapping[str, object]) -> Frame:
    try:
        return Frame.of(Points.model_validate(table.get("points")))
    except ValidationError:
        return Frame()


def _groups(group: Group) -> Iterator[Group]:
    yield group
    for entry in group.entries:
        if isinstance(entry, Group):
            yield from _groups(entry)


def _points(form: Group, frame: Frame) -> Iterator[tuple[str, Place | None]]:
    for group in _groups(form):
        if group.sort == "point":
            yield group.path, _place([entry.value or "" for entry in group.entries if isinstance(entry, Field)], frame)


def _place(written: list[str], frame: Frame) -> Place | None:
    try:
        point = _POINT.validate_python([_value(text) for text in written], context={"frame": frame})
    except ValidationError:
        return None
    return point.x, point.y, point.z


def _value(text: str) -> float | str:
    try:
        return float(text)
    except ValueError:
        return text


def _mirror(at: Place) -> Place:
    return at[0], 0.0 - at[1], at[2]


def _has_twin(path: str, points: Mapping[str, Place], table: Mapping[str, object]) -> bool:
    """Whether the file means a mirror image as well."""
    if points[path][1] == 0.0 or RIGHT.search(path) or SINGLE.match(path):
        return False
    entry = re.match(r"(rear\.links|clearance\.\w+)\[(\d+)\]", path)
    if entry is not None:
        pair = _entry(table, entry[1].split("."), int(entry[2]) - 1).get("pair", entry[1] == "rear.links")
        return bool(pair) and f"{entry[0]}.right{path[entry.end() :]}" not in points
    end, _, rest = path.partition(".")
    return MIRRORED.match(path) is not None and f"{end}.right.{rest}" not in points


def _entry(table: Mapping[str, object], keys: list[str], index: int) -> Mapping[str, object]:
    found: object = table
    for key in keys:
        found = found.get(key) if isinstance(found, Mapping) else None
    entry = found[index] if isinstance(found, list) and index < len(found) else None
    return entry if isinstance(entry, Mapping) else {}


def _ends(group: Group, points: Mapping[str, Place], table: Mapping[str, object]) -> dict[str, str]:
    """Keys of a table that are points, with the path of each: of a mount with holes the one in use."""
    found: dict[str, str] = {}
    for entry in group.entries:
        if not isinstance(entry, Group):
            continue
        path = entry.path
        holes = next((one for one in entry.entries if one.path == f"{path}.holes"), None)
        if holes is not None:
            hole = next(
                (one.value for one in entry.entries if isinstance(one, Field) and one.path == f"{path}.hole"), ""
            )
            path = f"{path}.holes[{hole or 1}]"
        if path in points:
            found[entry.path.rsplit(".", 1)[-1]] = path
    return found


def _joined(ends: Mapping[str, str]) -> list[tuple[str, str]]:
    for pairs in JOINED:
        if all(key in ends for pair in pairs for key in pair):
            return list(pairs)
    return [tuple(ends)] if len(ends) == 2 else []  # pyright: ignore[reportReturnType] two keys
