"""A car as a mechanism: what is connected to what, and every number in SI under the path that the model knows it by.

`describe(car)` gives the topology and the values; `tolerances(car)` how well each value is known, where the car file
says so, under the same paths.
"""

from __future__ import annotations

import numpy as np

from axlewright.car.describe.entries import Entries, si, tolerance
from axlewright.car.describe.layouts import layouts
from axlewright.car.describe.masses import put_masses
from axlewright.car.describe.shaft import put_shaft
from axlewright.car.describe.whole import put_whole
from axlewright.car.mechanism import Mechanism
from axlewright.car.schema import Car


def describe(car: Car) -> tuple[Mechanism, dict[str, float | np.ndarray]]:
    """The mechanism and its values (`axlewright.car.mechanism` lists the paths), SI, as drawn.

    `set` of springs and torque links and the unloaded tyre radii are not in it: they follow from equilibrium at rest.
    """
    mechanism, entries = _described(car)
    return mechanism, {path: si(entry) for path, entry in entries.items()}


def tolerances(car: Car) -> dict[str, float | np.ndarray]:
    """How well values are known, SI, one standard tolerance as the owner wrote it; only paths where one is stated."""
    known = {path: tolerance(entry) for path, entry in _described(car)[1].items()}
    return {path: size for path, size in known.items() if size is not None}


def _described(car: Car) -> tuple[Mechanism, Entries]:
    entries: Entries = {}
    ends = layouts(car)
    blocks = tuple(end.block(car, entries) for end in ends)
    bars = tuple(bar for end in ends for bar in end.bars(car, entries))
    items = put_masses(car, entries)
    put_whole(car, entries)
    put_shaft(car, entries)
    twists = car.chassis is not None
    return Mechanism(
        blocks=blocks,
        bars=bars,
        mass_items=items,
        tyre_law=car.tyres.law,
        twisting_chassis=twists,
        belt=car.tyres.front.belt is not None,
        steering=car.steering.kind,
    ), entries
