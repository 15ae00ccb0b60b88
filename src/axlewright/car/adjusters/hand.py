"""Counts as a hand makes them: turns, holes, and the owner's own units, with steps that a person would choose."""

from __future__ import annotations

from typing import NamedTuple, TypedDict

import numpy as np

from axlewright.car.schema import Car
from axlewright.car.schema.masses import Fuel
from axlewright.units import Quantity, from_si, scale

WHEELS = ("LF", "RF", "LR", "RR")
WORDS = {"LF": "left front", "RF": "right front", "LR": "left rear", "RR": "right rear"}
ROUND = (1.0, 2.0, 2.5, 5.0, 10.0)


class Scale(TypedDict):
    """What a count says about an adjuster: these fields of it."""

    unit: str
    drawn: float
    lo: float
    hi: float
    step: float


class Count(NamedTuple):
    """What one count is, and how many are worth making."""

    unit: str
    si: float  # SI per count
    step: float

    def counts(self, si: float) -> float:
        """How many counts an SI amount is."""
        return tidy(si / self.si)

    def reach(self, si: float) -> float:
        """Whole usable steps, in counts, within an SI amount; at least one."""
        return tidy(max(1.0, np.floor(abs(si / self.si) / self.step + 1e-9)) * self.step)

    def either_way(self, si: float, drawn: float = 0.0) -> Scale:
        """From the drawn position in counts, whole usable steps within an SI amount either way."""
        reach = self.reach(si)
        return {
            "unit": self.unit,
            "drawn": drawn,
            "lo": tidy(drawn - reach),
            "hi": tidy(drawn + reach),
            "step": self.step,
        }


def tidy(number: float) -> float:
    """A number without the last digits that unit conversion leaves behind."""
    return float(f"{number:.9g}")


def nice(size: float) -> float:
    """The nearest of 1, 2, 2.5 and 5 times a power of ten, by ratio."""
    power = 10.0 ** np.floor(np.log10(size))
    return tidy(min(ROUND, key=lambda m: abs(np.log(size / power / m))) * power)


def in_inches(car: Car) -> bool:
    """Whether the car's owner measures in inches; lengths without a unit of their own are then in inches."""
    return car.points.unit in ("in", "ft")


def length(car: Car, mm: float, inch: float) -> Count:
    """Lengths in mm or in, as the owner measures, with a usable step in each."""
    return Count("in", 0.0254, inch) if in_inches(car) else Count("mm", 1e-3, mm)


def turns(car: Car, thread: Quantity | None, step: float, mm: float, inch: float) -> Count:
    """Turns of a thread; a length where the car file gives no thread."""
    return length(car, mm, inch) if thread is None or thread.value == 0.0 else Count("turn", thread.value, step)


def owners(quantity: Quantity, default: str, step: float) -> Count:
    """The unit that the owner wrote; `step` is SI and is rounded to what a person would choose."""
    unit = quantity.unit or default
    per = scale(unit)[0]
    return Count(unit, per, nice(step / per))


def fuel_count(fuel: Fuel) -> Count:
    """Fuel by volume; about 10 litres is the smallest change worth a row."""
    return owners(fuel.volume, "l", 10e-3)


def shown(si: float, unit: str) -> str:
    """An SI amount in a unit, for words: "4.92 mm"."""
    return f"{abs(from_si(si, unit)):.3g} {unit}"


def said(position: float, unit: str) -> str:
    """A position as a person says it: "hole 3", "12 turns", "22 psi"."""
    if unit == "hole":
        return f"hole {position:g}"
    return f"{position:g} {unit}{'s' if unit in ('turn', 'click') and abs(position) != 1 else ''}".rstrip()
