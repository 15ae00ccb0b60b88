"""What an adjuster is: a thing on the car that a hand changes in steps, and what that does to the car's values.

An adjuster either edits values itself (a single one), or is made of single ones that are moved together (both sides of
a bar, a pair of perches), or acts only in motion (damper clicks) and changes nothing while the car stands or is held.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

Group = Literal["front left", "front right", "rear left", "rear right", "front", "rear", "axle", "whole car", "cockpit"]
Place = Literal["grid", "pits", "scales", "workshop"]
Stage = Literal["pressures", "heights", "links", "alignment", "others", "bars"]

STAGES: tuple[Stage, ...] = ("pressures", "heights", "links", "alignment", "others", "bars")
"""The order of work: what moves ride height before Watt's linkage and toe, bars last. Common practice, no source."""
PLACES: dict[Place, str] = {
    "grid": "G: grid or assembly area",
    "pits": "P: pits, flat ground, with a jack",
    "scales": "S: scales or a flat floor",
    "workshop": "W: workshop",
}
RECHECKS = {
    "H": "ride heights",
    "X": "cross weight (right front + left rear)",
    "AC": "axle centred and square",
    "WH": "Watt's pivot height and bellcrank upright",
    "PA": "pinion angle and slip joint",
    "TL": "torque links: stop and gap",
    "C": "camber and caster",
    "T": "front toe",
    "BS": "bump steer",
    "CL": "clearances and hoses",
    "B": "bar zero: drop links off, then on free",
    "TQ": "torque and paint mark",
    "BB": "brake balance, in a straight line first",
}
"""Codes in the order in which they are looked at: heights and weights on the scales first, then the axle, alignment,
bars after all that moves the chassis, bolts when all is done, brakes on the road. Order: common practice, no source."""
RECHECK_MINUTES = {
    "H": 5.0, "X": 4.0, "AC": 5.0, "WH": 3.0, "PA": 3.0, "TL": 3.0, "C": 6.0, "T": 5.0, "BS": 15.0, "CL": 3.0,
    "B": 4.0, "TQ": 2.0, "BB": 0.0,
}  # fmt: skip
"""Minutes that a look takes, one person, gauges at hand; brakes are looked at while driving. Common practice, no
source."""

CAUTIONS = {
    "stored energy": "A wound-up spring or canister and a charged damper store energy: never undo one under load, "
    "leave gas to someone equipped for it, and wear eye protection.",
    "car in the air": "Car on stands, wheels chocked, nobody under a jack. Keep hands from between bellcrank and links "
    "while someone moves the car. Brakes and exhaust may be hot.",
    "prove by degrees": "Prove it by degrees: one slow lap, a straight-line brake test, then build up.",
}


@dataclass(frozen=True, slots=True)
class Shift:
    """value = base + per_unit * (position - drawn position). `per_unit`: SI per count; three for a point."""

    path: str
    per_unit: float | tuple[float, ...]

    def change(self, positions: np.ndarray, drawn: float) -> np.ndarray:
        """What is added to the value at each position: (B,) or (n, B)."""
        return np.multiply.outer(np.asarray(self.per_unit), positions - drawn)


@dataclass(frozen=True, slots=True)
class Table:
    """value = what is listed at the position, straight between entries; holes and bar sizes."""

    path: str
    positions: tuple[float, ...]
    values: tuple[float, ...] | tuple[tuple[float, ...], ...]

    def change(self, positions: np.ndarray, drawn: float) -> np.ndarray:
        """What is added to the value at each position: (B,) or (n, B); exactly 0 at the drawn one."""
        columns = np.atleast_2d(np.asarray(self.values).T)
        moved = [np.interp(positions, self.positions, c) - np.interp(drawn, self.positions, c) for c in columns]
        return np.stack(moved) if np.ndim(self.values) == 2 else moved[0]


Edit = Shift | Table


@dataclass(frozen=True, slots=True, kw_only=True)
class Adjuster:
    """One adjuster of a car. All counts (position, range, step) are in `unit`."""

    id: str
    name: str
    family: str  # which row of the list of adjustments it belongs to
    group: Group
    unit: str  # of the hand: hole, turn, click, psi, mm, ...
    drawn: float  # position when the car was measured
    lo: float
    hi: float
    step: float  # usable step: the smallest move worth making
    reference: str  # where it is counted from
    direction: str  # what more is
    minutes: float  # one person, tools at hand, cold car
    place: Place
    stage: Stage
    position: float = float("nan")  # now; the drawn one until a setup says otherwise
    recheck: tuple[str, ...] = ()
    recheck_from: float = 0.0  # smallest move after which a re-check is worth its time
    rezero: tuple[str, ...] = ()  # what "put right" restores, of the codes above: H X B T PA TL
    cautions: tuple[str, ...] = ()
    note: str = ""
    edits: tuple[Edit, ...] = ()
    made_of: tuple[tuple[str, float], ...] = ()  # (single adjuster, its counts for one of this one's)
    acts: Literal["held", "only in motion"] = "held"
    off: bool = False  # left out of the effects table

    def __post_init__(self) -> None:
        if np.isnan(self.position):
            object.__setattr__(self, "position", self.drawn)
        unknown = {*self.recheck, *self.rezero} - RECHECKS.keys() | set(self.cautions) - CAUTIONS.keys()
        if unknown:
            raise ValueError(f"adjuster {self.id}: unknown codes {sorted(unknown)}")
        if bool(self.edits) == bool(self.made_of):
            raise ValueError(f"adjuster {self.id} must have edits, or be made of others")
