"""Margin to hop as the car is, and after one step of everything on its torque links."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from axlewright.car.adjusters import adjusters_of
from axlewright.car.adjusters.setup import Setup
from axlewright.car.schema import Car
from axlewright.tune.hop_margin import HopMargin, hop_margin

WAYS = {"drive": ("engine", 20.0, 7.0), "brake": ("brakes", 38.0, 11.0)}  # effort, speed m/s, up to m/s2
LINKS = ("drive_", "brake_")


@dataclass(frozen=True)
class HopRow:
    """One setup: margins under drive and under braking."""

    name: str
    setup: dict[str, float]
    drive: HopMargin
    brake: HopMargin


def hop_table(
    car: Car, setup: Setup | None = None, *, progress: Callable[[str, int, int], None] = lambda *_: None
) -> list[HopRow]:
    """The car as it is, then one usable step up and down of each adjuster of the torque links."""
    adjusters = adjusters_of(car)
    base = dict(setup or {})
    trials: list[tuple[str, dict[str, float]]] = [("as it is", base)]
    for key, a in adjusters.items():
        if not key.startswith(LINKS) or key.endswith(("sideways", "bias")):
            continue
        for sign, word in ((1.0, "+"), (-1.0, "-")):
            position = base.get(key, a.position) + sign * a.step
            if a.lo <= position <= a.hi:
                trials.append((f"{a.name} {word}{a.step:g} {a.unit}", {**base, key: position}))
    found = []
    for i, (name, one) in enumerate(trials):
        progress(f"margin to hop: {name}", i, len(trials))
        margins = {
            way: hop_margin(car, one, effort=effort, speed=speed, most=most)
            for way, (effort, speed, most) in WAYS.items()
        }
        found.append(HopRow(name, one, **margins))
    return found
