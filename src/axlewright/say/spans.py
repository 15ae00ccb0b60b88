"""Movements of the linkage as people write them: `-60..60`, `-60..60 mm` or `30`."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress

import numpy as np

from axlewright import units as si
from axlewright.errors import RequestError, UnitError, known
from axlewright.say.numbers import Units
from axlewright.say.travel import UNITS, unit_for
from axlewright.solve import poses
from axlewright.solve.phases import WHEELS
from axlewright.solve.poses import Poses

POINTS = 7
USUAL = {"bump": "-60..60 mm"}


def poses_of(given: Mapping[str, str], points: int | None, units: Units) -> Poses:
    """The grid that movements make, each as text; bump when none is given. `points` of each that has two ends."""
    known("movement", list(given), UNITS)
    chosen = given or USUAL
    return poses.grid(**{name: _span(name, text, points or POINTS, units) for name, text in chosen.items()})


def _span(name: str, text: str, points: int, units: Units) -> np.ndarray:
    """`-60..60`, `-60..60 mm` or `30`: positions in SI."""
    first, dots, last = text.partition("..")
    option = f"--wheel {name}=" if name in WHEELS else f"--{name.replace('_', '-')} "
    try:
        end = _value(last if dots else first, UNITS[name], unit_for(name, units))
        if not dots:
            return np.array([end])
        unit = last.strip().lstrip("+-.0123456789eE ")
        begin = _value(first if not unit or first.strip().lstrip("+-.0123456789eE ") else f"{first} {unit}",
                       UNITS[name], unit_for(name, units))  # fmt: skip
    except UnitError as error:
        raise RequestError(
            f'found {option}"{text}"; expected FROM..TO or one position, such as {option}"-30..30" '
            f"in {unit_for(name, units)}: {error}"
        ) from None
    return np.linspace(begin, end, points)


def _value(text: str, kind: str, unit: str) -> float:
    bare = text.strip()
    with suppress(ValueError):  # it has a unit of its own
        bare = f"{float(bare)} {unit}"
    return si.parse(bare, "angle" if kind == "deg" else "length").value
