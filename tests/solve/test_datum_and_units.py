"""The same car written down from another datum and in other units is the same car.

Factors are the exact ones of NIST Special Publication 811 (pound, inch, gallon by definition; the rest follow).
"""

from __future__ import annotations

import math
import re
from functools import cache
from typing import Any

import numpy as np
import pytest

from axlewright.car.describe import describe, tolerances
from axlewright.car.file import checked, from_table
from axlewright.car.schema import Car
from axlewright.solve.solved import Solved
from axlewright.solve.verbs import machine_of
from tests.car.tables import table_of
from tests.cars import TEASEL
from tests.solve.conditions import CONDITIONS, held

LB, INCH, FOOT, GALLON = 0.45359237, 0.0254, 0.3048, 3.785411784  # kg, m, m, l
LBF = LB * 9.80665  # N
US = {  # unit in the file: (US unit, how many of it one is)
    "kg": ("lb", 1 / LB),
    "m": ("in", 1 / INCH),
    "mm": ("in", 1e-3 / INCH),
    "N": ("lbf", 1 / LBF),
    "N/mm": ("lbf/in", 1e3 * INCH / LBF),
    "kN/mm": ("lbf/in", 1e6 * INCH / LBF),
    "kN": ("lbf", 1e3 / LBF),
    "1/kN": ("1/lbf", 1e-3 * LBF),
    "N m": ("lbf ft", 1 / (LBF * FOOT)),
    "kN m": ("lbf ft", 1e3 / (LBF * FOOT)),
    "kg m^2": ("lb ft^2", 1 / (LB * FOOT**2)),
    "m^2": ("ft^2", 1 / FOOT**2),
    "l": ("gal", 1 / GALLON),
    "kg/l": ("lb/gal", GALLON / LB),
    "kg/m^3": ("lb/ft^3", FOOT**3 / LB),
    "GPa": ("psi", 1e9 * INCH**2 / LBF),
    "deg": ("rad", math.pi / 180),
    "m/s": ("ft/s", 1 / FOOT),
    "mm/turn": ("in/turn", 1e-3 / INCH),
    "psi": ("psi", 1.0),
}
# Shifted coordinates differ by rounding, 1e-15 m, and a stiff link's tension by 1e-8 N.
SAME_VALUE = 1e-12  # relative
LOAD = 1e-4  # N; the solver stops at 1e-6 N in each of its equations
SMALL = 1e-8  # m, rad


def _walked(item: Any, change: Any) -> Any:
    """A table with `change` made to every point and every text; a point is a list of three coordinates."""
    if isinstance(item, dict):
        return {key: _walked(value, change) for key, value in item.items()}
    if isinstance(item, list) and not _is_point(item):
        return [_walked(value, change) for value in item]
    return change(item)


def _is_point(item: Any) -> bool:
    numbers = isinstance(item, list) and len(item) == 3 and any(isinstance(value, (float, int)) for value in item)
    return numbers and not any(isinstance(value, (dict, list)) for value in item)


def _converted(text: str) -> str:
    """Every number with a unit in a text, in US units."""

    def one(found: re.Match[str]) -> str:
        unit, factor = US.get(found[2].strip(), (found[2].strip(), 1.0))
        return f"{float(found[1]) * factor!r} {unit}"

    return " +- ".join(re.sub(r"^([-+.\deE]+) ([^\d%][^+]*)$", one, part) for part in text.split(" +- "))


def in_us_units() -> Car:
    def change(item: Any) -> Any:
        if _is_point(item):
            return [_converted(value) if isinstance(value, str) else value / INCH for value in item]
        return _converted(item) if isinstance(item, str) else item

    table = _walked(table_of("teasel"), change)
    table["points"]["unit"] = "in"
    table["notes"] = table_of("teasel")["notes"]
    return checked(from_table(table))


SHIFT = (1.27, -0.4, 0.0625)  # m, of the new datum's ground point in the new coordinates


def from_another_datum() -> Car:
    def change(item: Any) -> Any:
        return [_shifted(value, by) for value, by in zip(item, SHIFT, strict=True)] if _is_point(item) else item

    table = _walked(table_of("teasel"), change)
    table["points"]["origin"] = [f"{by} m" for by in SHIFT]
    return checked(from_table(table))


def _shifted(coordinate: float | str, by: float) -> float | str:
    if not isinstance(coordinate, str):
        return coordinate + by
    value, rest = coordinate.split(" m", 1)
    return f"{float(value) + by!r} m{rest}"


WRITTEN = {"US units": in_us_units, "another datum": from_another_datum}


@cache
def car_of(writing: str) -> Car:
    return WRITTEN[writing]()


@cache
def held_of(writing: str) -> Solved:
    machine = TEASEL.machine if writing == "as it is" else machine_of(car_of(writing))
    return held(machine, CONDITIONS["mid-corner"], CONDITIONS["entry"], CONDITIONS["launch"])


def test_the_files_do_read_otherwise():
    """Else the tests below would compare a car with itself."""
    assert str(car_of("US units").front.spring.rate).startswith("542.46")  # 95 N/mm is 542.46 lbf/in
    assert str(car_of("US units").wheels.front.spin_inertia).endswith("lb ft^2")
    assert TEASEL.car.points.origin is None
    assert car_of("another datum").points.origin is not None


@pytest.mark.parametrize("writing", WRITTEN)
def test_values_and_their_tolerances_are_the_same(writing):
    car = car_of(writing)
    for read in (lambda c: describe(c)[1], tolerances):
        here, there = read(TEASEL.car), read(car)
        assert here.keys() == there.keys()
        for path, value in here.items():
            near = SAME_VALUE * np.maximum(np.abs(value), 1.0)
            with np.errstate(invalid="ignore"):  # inf less inf: equal is then what counts
                assert np.all((np.abs(np.subtract(there[path], value)) <= near) | (there[path] == value)), path


@pytest.mark.parametrize("writing", WRITTEN)
def test_held_states_are_the_same(writing):
    here, there = held_of("as it is"), held_of(writing)
    assert (there.result == 0).all()
    assert np.abs(here.wheel("load") - there.wheel("load")).max() < LOAD
    assert np.abs(here.border("roll") - there.border("roll")).max() < SMALL
    assert np.abs(here.border("rack") - there.border("rack")).max() < SMALL
    assert np.abs(here.link(1, "drive_link", "tension") - there.link(1, "drive_link", "tension")).max() < LOAD
