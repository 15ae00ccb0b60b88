"""The starter file: a whole commented car, put together from one text section a layout, to change into one's own.

A section is drawn for one reference car. For another wheelbase, track and wheel radius its points are stretched along
x, y and z. That keeps what matters of a geometry: stretching turns velocities that keep every link's length into
velocities that keep the stretched ones, so roll centres and instant centres are stretched along with the car, and
anti-squat, anti-dive and the lack of bump steer stay as they were.
"""

from __future__ import annotations

import re
from difflib import get_close_matches
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable

from axlewright import units
from axlewright.errors import RequestError, UnitError

WHEELBASE, TRACK, WHEEL_RADIUS = 2.650, 1.520, 0.310  # m; of the car for which the sections are drawn
FRONT, REAR, SIDEWAYS = "double-wishbone", "split-three-link", "watt"
# What a car can be; outside it is a slipped unit. Common practice, no source.
RANGES = {"wheelbase": ("1.5 m", "4 m"), "track": ("0.9 m", "2.2 m"), "wheel radius": ("0.18 m", "0.5 m")}
_POINT = re.compile(r"\[([^][,\n]+),([^][,\n]+),([^][,\n]+)\]")
_NUMBER = re.compile(r"-?\d+\.\d+")
_LENGTH = re.compile(r"\{([xyz]) (\d+)\}")


@cache
def layouts(kind: str) -> dict[str, str]:
    """Layouts of "front", "rear" or "sideways", and what each is in words, as the first line of its section says."""
    found = [item for item in (_folder() / kind).iterdir() if item.name.endswith(".toml") and item.name[0] != "_"]
    return dict(sorted((item.name.removesuffix(".toml"), _words(item)) for item in found))


def starter_text(
    name: str = "my car",
    front: str = FRONT,
    rear: str = REAR,
    sideways: str | None = None,
    wheelbase: str | None = None,
    track: str | None = None,
    wheel_radius: str | None = None,
) -> str:
    """Text of a commented car file that loads and checks clean; `name` becomes the car's name.

    sideways: what locates a beam axle sideways, by default a Watt's linkage; nothing else does where the links do it.
    wheelbase, track (of both ends) and wheel radius (loaded): lengths with a unit. Raises RequestError.
    """
    ends = {"front": _section("front", front), "rear": _section("rear", rear)}
    if "{sideways}" in ends["rear"]:
        ends["rear"] = ends["rear"].replace("{sideways}", _section("sideways", sideways or SIDEWAYS))
    elif sideways is not None:
        raise RequestError(
            f"found --sideways {sideways} with --rear {rear}; expected none: its own links hold it sideways. "
            "Likeliest fix: leave --sideways out."
        )
    for part in ("springs", "bar"):
        ends["rear"] = ends["rear"].replace(f"{{{part}}}", _text("rear", f"_{part}"))
    text = _read(_folder() / "common.toml")
    for end, layout in (("front", front), ("rear", rear)):
        text = text.replace(f"{{{end} words}}", layouts(end)[layout]).replace(f"{{{end}}}", ends[end])
    sizes = {"wheelbase": (wheelbase, WHEELBASE), "track": (track, TRACK), "wheel radius": (wheel_radius, WHEEL_RADIUS)}
    text = _stretched(text, *(_size(what, size, drawn) / drawn for what, (size, drawn) in sizes.items()))
    return text.replace("{name}", name.replace("\\", "\\\\").replace('"', '\\"'), 1)


def _folder() -> Traversable:
    return files("axlewright.car") / "starters"


def _read(item: Traversable) -> str:
    return item.read_text(encoding="utf-8")


def _words(item: Traversable) -> str:
    return _read(item).split("\n", 1)[0].removeprefix("# ")


def _text(kind: str, layout: str) -> str:
    return _read(_folder() / kind / f"{layout}.toml").strip()


def _section(kind: str, layout: str) -> str:
    """A section without its first line."""
    have = layouts(kind)
    if layout not in have:
        near = get_close_matches(layout, have, n=1)
        fix = f'write "{near[0]}"' if near else "choose one of these"
        raise RequestError(f'found --{kind} "{layout}"; expected {_listed(have)}. Likeliest fix: {fix}.')
    return _text(kind, layout).split("\n", 1)[1].strip()


def _listed(names: dict[str, str]) -> str:
    *most, last = names
    return f"{', '.join(most)} or {last}" if most else last


def _size(what: str, size: str | None, drawn: float) -> float:
    """A length in m, or `drawn` when none is asked for."""
    if size is None:
        return drawn
    low, high = RANGES[what]
    option = f"--{what.replace(' ', '-')}"
    try:
        found = units.parse(size, "length").value
    except UnitError as error:
        raise RequestError(f"{option}: {error}") from error
    if not units.parse(low, "length").value <= found <= units.parse(high, "length").value:
        raise RequestError(
            f'found {option} "{size}"; expected a {what} from {low} to {high}. Likeliest fix: check its unit.'
        )
    return found


def _stretched(text: str, x: float, y: float, z: float) -> str:
    """Every point `[x, y, z]` stretched, and every length that is marked with its direction, such as {x 200}, in mm."""
    factors = {"x": x, "y": y, "z": z}
    text = _LENGTH.sub(lambda found: f"{float(found[2]) * factors[found[1]]:.0f}", text)
    return _POINT.sub(lambda found: f"[{','.join(map(_times, found.groups(), (x, y, z)))}]", text)


def _times(coordinate: str, factor: float) -> str:
    """A coordinate with its first decimal number times a factor."""
    return _NUMBER.sub(lambda found: _number(float(found[0]) * factor), coordinate, count=1)


def _number(value: float) -> str:
    return f"{value + 0.0:.3f}" if abs(value) >= 0.0005 else "0.0"
