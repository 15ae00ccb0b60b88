"""A value of a car file in the other units: what stands beside it, while the file keeps what its owner wrote."""

from __future__ import annotations

from typing import Literal, NamedTuple

from axlewright import units
from axlewright.errors import UnitError
from axlewright.units import Quantity

System = Literal["metric", "us"]
DIGITS = 5  # significant ones: more than anything on a car is measured to
OF_TOLERANCE = 2


class Units(NamedTuple):
    """The unit of a kind of quantity in either system."""

    metric: str
    us: str


UNITS: dict[str, Units] = {
    "length": Units("mm", "in"),
    "force": Units("N", "lbf"),
    "mass": Units("kg", "lb"),
    "angle": Units("deg", "deg"),
    "pressure": Units("kPa", "psi"),
    "modulus": Units("GPa", "psi"),
    "spring rate": Units("N/mm", "lbf/in"),
    "damping rate": Units("N s/m", "lbf s/in"),
    "torque": Units("N m", "lbf ft"),
    "torsional stiffness": Units("N m/deg", "lbf ft/deg"),
    "rotary drag": Units("N m s/rad", "lbf ft s/rad"),
    "rotary damping": Units("N m s/rad", "lbf ft s/rad"),
    "bending stiffness": Units("N m^2", "lbf in^2"),
    "inertia": Units("kg m^2", "lb ft^2"),
    "speed": Units("km/h", "mph"),
    "acceleration": Units("g", "g"),
    "angular acceleration": Units("rad/s^2", "rad/s^2"),
    "area": Units("m^2", "ft^2"),
    "volume": Units("l", "gal"),
    "density": Units("kg/l", "lb/gal"),
    "share": Units("%", "%"),
    "time": Units("s", "s"),
    "length per turn": Units("mm/turn", "in/turn"),
    "per force": Units("1/kN", "1/lbf"),
    "angle per force": Units("deg/kN", "deg/lbf"),
    "spring rate per pressure": Units("N/mm/kPa", "lbf/in/psi"),
}
SLOW = 3.0  # m/s; a slower thing is a damper's rod, not a car
THIN = 100.0  # kg/m3; air, not a liquid


def in_units(text: str, kind: str, system: System, bare: str = "") -> str:
    """A written quantity in one system's unit: `"95 N/mm +- 3 %"` gives `542.46 lbf/in ± 16 lbf/in`.

    Empty where it is in that unit already, or can't be read. `bare`: the unit of a number without one, such as that of
    a point's coordinates.
    """
    try:
        found = units.parse(_whole(text, bare), kind)
        unit = _unit(found, kind, system)
        if unit == (found.unit or bare) or UNITS[kind].metric == UNITS[kind].us:
            return ""
        tolerance = "" if found.tolerance is None else f" ± {_number(found.tolerance, unit, OF_TOLERANCE)} {unit}"
        return f"{_number(found.value, unit)} {unit}{tolerance}"
    except UnitError:
        return ""


def _whole(text: str, bare: str) -> str:
    try:
        float(text)
    except ValueError:
        return text
    return f"{text} {bare}"


def _unit(found: Quantity, kind: str, system: System) -> str:
    if kind == "speed" and abs(found.value) < SLOW:
        return "mm/s" if system == "metric" else "in/s"
    if kind == "density" and found.value < THIN:
        return "kg/m^3" if system == "metric" else "lb/ft^3"
    return getattr(UNITS[kind], system)


def _number(value: float, unit: str, digits: int = DIGITS) -> str:
    """Significant digits without an exponent."""
    shown = float(f"{units.from_si(value, unit):.{digits}g}")
    text = f"{shown:.12f}".rstrip("0").rstrip(".")
    return text if text != "-0" else "0"
