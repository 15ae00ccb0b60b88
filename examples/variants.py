"""The demo car teasel with other upper links, other tyres, for the comparisons in this folder."""

from __future__ import annotations

import tomllib
from importlib.resources import files

from axlewright.car.file import from_table
from axlewright.car.schema import Car


def _table(name: str = "teasel") -> dict:
    return tomllib.loads((files("axlewright.car") / "demo" / f"{name}.toml").read_text(encoding="utf-8"))


def sprung() -> Car:
    """As it is: a sprung drive-side link, a damped brake-side link with gas and bumper."""
    return _named(_table(), "sprung and damped")


def rigid() -> Car:
    """One rigid upper link where the drive-side link was."""
    table = _table()
    rear = table["rear"]
    rear.pop("brake_link")
    link = rear.pop("drive_link")
    rear["links"].append({"name": "upper", "pair": False, "chassis": link["chassis"]["holes"][2], "axle": link["axle"]})
    return _named(table, "rigid upper link")


def undamped() -> Car:
    """The brake-side link without its damper."""
    table = _table()
    table["rear"]["brake_link"].pop("damping")
    return _named(table, "undamped brake link")


def soft_sidewalls() -> Car:
    """Tall soft sidewalls: two thirds of the vertical rate, and a belt that turns against the rim."""
    table = _table()
    for end in ("front", "rear"):
        tyre = table["tyres"][end]
        tyre["vertical_rate"] = "170 N/mm"
        tyre["belt"] = {"rate": "10 kN m/rad", "damping": "10 N m s/rad", "inertia": "0.6 kg m^2"}
    return _named(table, "tall soft sidewalls")


def _named(table: dict, name: str) -> Car:
    table["name"] = name
    return from_table(table, name)
