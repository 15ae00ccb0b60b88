"""People's units at the edge, SI inside.

`parse("35 N/mm", "spring rate")` gives 35 000 with the text kept, so that a car file is shown and written back as its
owner wrote it. Units come from our own short list `units.txt` through pint; familiar ones are resolved ahead.

A quantity is a number, a unit and, optionally, how well it is known:
`"3/4 in"`, `"1 3/8 in"`, `"22 psi"`, `"0.45 m +- 0.015 m"`, `"95 N/mm ± 5 %"`.
"""

from __future__ import annotations

import difflib
import math
import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from axlewright._familiar_units import FAMILIAR
from axlewright.errors import UnitError


class Kind(NamedTuple):
    """A physical dimension: its SI unit, and how a person would write one."""

    unit: str
    example: str


KINDS: dict[str, Kind] = {
    "length": Kind("m", "12 mm"),
    "force": Kind("N", "150 N"),
    "mass": Kind("kg", "36 kg"),
    "angle": Kind("rad", "1.5 deg"),
    "pressure": Kind("Pa", "22 psi"),
    "modulus": Kind("Pa", "79.3 GPa"),
    "spring rate": Kind("N/m", "35 N/mm"),
    "damping rate": Kind("N*s/m", "4200 N s/m"),
    "torque": Kind("N*m", "80 N m"),
    "torsional stiffness": Kind("N*m/rad", "12000 N m/deg"),
    "rotary drag": Kind("N*m*s/rad", "0.03 N m s/rad"),
    "rotary damping": Kind("N*m*s/rad", "40 N m s/rad"),
    "bending stiffness": Kind("N*m**2", "1500 N m^2"),
    "inertia": Kind("kg*m**2", "340 kg m^2"),
    "speed": Kind("m/s", "120 km/h"),
    "acceleration": Kind("m/s**2", "0.8 g"),
    "angular acceleration": Kind("rad/s**2", "0.5 rad/s^2"),
    "area": Kind("m**2", "0.95 m^2"),
    "volume": Kind("m**3", "30 l"),
    "density": Kind("kg/m**3", "0.745 kg/l"),
    "share": Kind("", "68 %"),
    "time": Kind("s", "3 min"),
    "length per turn": Kind("m/turn", "1.75 mm/turn"),
    "per force": Kind("1/N", "0.045 1/kN"),
    "angle per force": Kind("rad/N", "0.25 deg/kN"),
    "spring rate per pressure": Kind("N/m/Pa", "6.5 N/mm/psi"),
}

# A weight or rate written with a mass unit is the commonest slip; the cure is a force unit.
MASS_FOR_FORCE = {"lb": "lbf", "lbs": "lbf", "pound": "lbf", "kg": "kgf"}

GRAVITY = 9.81  # m/s2, the same as the unit g of units.txt; local gravity is within 0.3 % of it
SLIP = 0.2
MOST = 1e100  # a larger number is a slip, and its products would overflow
LIKE = 0.5  # least likeness of a known unit for it to be suggested

_NUMBER = r"[+-]?(?:\d+\s+\d+/\d+|\d+/\d+|(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)"
_UNIT = r"[^\d\s+±-][^+±]*?|1/[^+±]*?"
_QUANTITY = re.compile(
    rf"\s*(?P<value>{_NUMBER})\s*(?P<unit>{_UNIT})?\s*"
    rf"(?:(?:\+/?-|±)\s*(?P<tolerance>{_NUMBER})\s*(?P<tolerance_unit>{_UNIT})?\s*)?"
)


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number that knows where it came from. `value` and `tolerance` are SI; `text` is as the person wrote it."""

    value: float
    tolerance: float | None = None
    text: str = ""
    unit: str = ""

    def __float__(self) -> float:
        return self.value

    def __str__(self) -> str:
        return self.text


@lru_cache(maxsize=512)
def scale(unit: str) -> tuple[float, str]:
    """SI value of one `unit`, and its dimension, such as `length1 time-2`; raises `UnitError`."""
    text = re.sub(r"[·⋅-]", "*", unit.strip())
    text = f"1{text}" if text.startswith("/") else text
    if not text:
        return 1.0, ""
    if text in FAMILIAR:
        return FAMILIAR[text]
    from axlewright._registry import root_of  # here, because loading pint takes longer than all the rest of a check

    try:
        if re.search(r"\d\s*\.|[()eE]\d|\s\d", text):
            raise ValueError(text)
        return root_of(text)
    except Exception as error:
        fix = "use a unit such as mm, in, N/mm, lbf/in, deg, psi"
        raise UnitError(f'the unit "{unit}"', "a unit that is known here", fix) from error


def _nearest(unit: str, wanted: Kind) -> str | None:
    """`unit` with one unknown word replaced by the nearest known one that gives the wanted dimension."""
    from axlewright._registry import known_units

    known = known_units()
    best: tuple[float, str] | None = None
    for word in re.findall(r"[A-Za-z°%_]+", unit):
        for name in known if word not in known else ():
            likeness = difflib.SequenceMatcher(None, word.lower(), name.lower()).ratio()
            # Few slips add or drop a letter, and the unit of the example is the one most often meant.
            likeness += SLIP * ((len(word) == len(name)) + (name in re.split(r"\W+", wanted.example)))
            if likeness >= LIKE and (best is None or likeness > best[0]):
                mended = re.sub(rf"\b{re.escape(word)}\b", name, unit)
                if _dimension(mended) == _dimension(wanted.unit):
                    best = likeness, mended
    return None if best is None else best[1]


def _dimension(unit: str) -> str | None:
    try:
        return scale(unit)[1]
    except UnitError:
        return None


def number(text: str) -> float:
    """A decimal, a fraction `3/4` or a mixed number `1 3/8`."""
    sign = -1.0 if text.lstrip().startswith("-") else 1.0
    parts = text.strip().lstrip("+-").split()
    return sign * sum(float(Fraction(part)) if "/" in part else float(part) for part in parts)


def parse(text: str, kind: str) -> Quantity:
    """Read a quantity of one of `KINDS`; raises `UnitError` that says what was found, expected and how to mend it."""
    wanted = KINDS[kind]
    expected = f'{article(kind)} with its unit, such as "{wanted.example}"'
    match = _QUANTITY.fullmatch(text)
    if match is None:
        raise UnitError(f'"{text}"', expected, f'write a number, a space and a unit, such as "{wanted.example}"')
    unit = match["unit"] or match["tolerance_unit"] or ""
    try:
        factor, dimension = scale(unit)
    except UnitError as error:
        near = _nearest(unit, wanted)
        fix = f'write "{near}" instead of "{unit}"' if near else error.fix
        raise UnitError(f'"{text}" with the unknown unit "{unit}"', expected, fix) from error
    if dimension != scale(wanted.unit)[1]:
        raise UnitError(_found(text, unit, dimension), expected, _unit_fix(text, unit, wanted))
    value = _worked_out(match["value"], text, expected) * factor
    return Quantity(value, _tolerance(match, value, unit, wanted, text), text, unit)


def _worked_out(digits: str, text: str, expected: str) -> float:
    try:
        value = number(digits)
    except ZeroDivisionError:
        value = math.inf
    if not math.isfinite(value) or abs(value) > MOST:
        raise UnitError(f'"{text}"', f"{expected}, and a number that can be worked out", "check its digits")
    return value


def _tolerance(match: re.Match[str], value: float, unit: str, wanted: Kind, text: str) -> float | None:
    if match["tolerance"] is None:
        return None
    size = _worked_out(match["tolerance"], text, "a tolerance")
    tolerance_unit = match["tolerance_unit"] or unit
    factor, dimension = scale(tolerance_unit)
    if not dimension and wanted.unit:  # "95 N/mm +- 5 %" is a part of the value
        tolerance = abs(value) * size * factor
    elif dimension == scale(wanted.unit)[1]:
        tolerance = size * factor
    else:
        expected = f'a tolerance in the dimension of "{unit}"'
        raise UnitError(f'a tolerance in "{tolerance_unit}" in "{text}"', expected, f'give it in "{unit}" or in %')
    if tolerance < 0:
        raise UnitError(f'"{text}"', "a tolerance that is not negative", 'write it as "+- 5 mm"')
    return tolerance


def _found(text: str, unit: str, dimension: str) -> str:
    if not unit:
        return f'"{text}" with no unit'
    kinds = [name for name, kind in KINDS.items() if scale(kind.unit)[1] == dimension]
    return f'"{text}", which is {article(kinds[0])}' if kinds else f'"{text}"'


def _unit_fix(text: str, unit: str, wanted: Kind) -> str:
    if not unit:
        return f'add the unit, such as "{text.strip()} {scale_name(wanted.example)}"'
    for mass, force in MASS_FOR_FORCE.items():
        swapped = re.sub(rf"\b{mass}\b", force, unit)
        if swapped != unit and scale(swapped)[1] == scale(wanted.unit)[1]:
            return f'write "{text.replace(unit, swapped)}"; {mass} is a mass, {force} a force'
    return f'write it with a unit such as "{scale_name(wanted.example)}"'


def scale_name(example: str) -> str:
    """The unit of an example text: `"35 N/mm"` gives `N/mm`."""
    return example.split(" ", 1)[1] if " " in example else ""


def article(kind: str) -> str:
    """`a length`, `an angle`."""
    return f"{'an' if kind[0] in 'aeiou' else 'a'} {kind}"


def from_si(value: float, unit: str) -> float:
    """An SI value in a person's unit."""
    return value / scale(unit)[0]
