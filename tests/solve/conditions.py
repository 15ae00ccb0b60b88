"""Held states of the demo cars under conditions of every kind, all conditions of one car in one batch."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cache

import numpy as np

from axlewright.model.parameters import Demand
from axlewright.model.reader import is_list
from axlewright.readings.states import states
from axlewright.solve.demand import held_demand
from axlewright.solve.machine import Machine
from axlewright.solve.solved import Solved
from axlewright.solve.verbs import hold_batch
from axlewright.units import GRAVITY
from tests.cars import BRAMBLE, DUNNOCK, SORREL, TEASEL, Demo
from tests.handmade_car import HANDMADE

Changes = Mapping[str, float | Sequence[float]]


@dataclass(frozen=True)
class Condition:
    """What is asked of the car (accelerations in g, angles in rad, road heights in m), and what is changed on it."""

    ax: float = 0.0
    ay: float = 0.0
    speed: float = 30.0
    effort: str = "engine"
    grip: float = 1.0
    road: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)
    vertical: float = 0.0
    banking: float = 0.0
    grade: float = 0.0
    yaw_acceleration: float = 0.0
    changes: Changes = field(default_factory=dict)


def demand_of(conditions: Sequence[Condition]) -> Demand:
    """One demand a condition."""

    def each(name: str) -> np.ndarray:
        return np.array([getattr(c, name) for c in conditions])

    return held_demand(
        ax=each("ax") * GRAVITY,
        ay=each("ay") * GRAVITY,
        speed=each("speed"),
        effort=each("effort"),
        grip=each("grip"),
        road_height=each("road").T,
        an=each("vertical") * GRAVITY,
        yaw_acceleration=each("yaw_acceleration"),
        banking=each("banking"),
        grade=each("grade"),
    )


def values_of(machine: Machine, changes: Sequence[Changes]) -> dict[str, float | np.ndarray]:
    """The car's values with one set of changes a member; a changed path must be one that the car has."""
    values = dict(machine.values)
    for path in {path for change in changes for path in change}:
        value = np.asarray(machine.values[path])
        drawn = value[..., 0] if value.ndim > int(is_list(path)) else value
        values[path] = np.stack([np.asarray(change.get(path, drawn), dtype=float) for change in changes], axis=-1)
    return values


def packed(machine: Machine, conditions: Sequence[Condition]) -> tuple[np.ndarray, np.ndarray]:
    """Parameters and demands of a batch."""
    values = values_of(machine, [c.changes for c in conditions])
    return machine.parameters(values, len(conditions)), machine.form.demand.pack(demand_of(conditions))


def held(machine: Machine, *conditions: Condition) -> Solved:
    """One batch of held states."""
    return hold_batch(machine, *packed(machine, conditions))


OPEN = {"driveline.preload": 0.0, "driveline.lock_drive": 0.0, "driveline.lock_coast": 0.0}
SPOOL = {"driveline.preload": 1e6}
STRONG_LEFT_REAR_BRAKE = {"LR.brake_gain": 4000.0}  # four times the car's own

CONDITIONS = {
    "mid-corner": Condition(ay=1.0, speed=32.0),
    "right turn": Condition(ay=-0.9),
    "fast corner": Condition(ay=1.1, speed=50.0),
    "exit": Condition(ax=0.35, ay=0.85),
    "launch": Condition(ax=0.6, speed=10.0),
    "launch from rest": Condition(ax=0.5, speed=0.0),
    "straight braking": Condition(ax=-1.0, speed=45.0, effort="brakes"),
    "entry": Condition(ax=-0.6, ay=0.7, speed=38.0, effort="brakes"),
    "straight": Condition(),
    "coast": Condition(ax=-0.08, effort="coast"),
    "kerb": Condition(ay=0.8, speed=28.0, road=(0.025, 0.0, 0.0, 0.0)),
    "hole": Condition(ay=0.5, road=(0.0, 0.0, -0.05, 0.0)),
    "banked dip with yaw acceleration": Condition(ay=1.0, banking=-0.3, vertical=0.2, grade=0.05, yaw_acceleration=0.5),
    "stops touched": Condition(ay=0.3, vertical=1.5),
    "lifted wheel": Condition(ay=1.5, grip=1.4),
    "locked wheel": Condition(ax=-0.4, ay=0.9, effort="brakes", changes=STRONG_LEFT_REAR_BRAKE),
    "torque links slack": Condition(ax=-0.085, effort="brakes"),
    "light undriven wheel": Condition(ax=0.5, ay=1.1),
    "open differential": Condition(ax=0.25, ay=0.9, changes=OPEN),
    "spool": Condition(ax=0.1, ay=0.6, changes=SPOOL),
    "spool straight": Condition(ax=0.1, changes=SPOOL),
}
ORDINARY = ("mid-corner", "right turn", "launch", "straight braking", "entry", "kerb", "stops touched")
TREADED_TO_SLICK = 1.25  # grip that lets the car on treaded tyres hold what the one on slicks holds


def conditions_of(demo: Demo) -> tuple[str, ...]:
    """Names of the conditions that a demo car is put under."""
    return ORDINARY if demo in (BRAMBLE, DUNNOCK, SORREL) else tuple(CONDITIONS)


@cache
def states_of(demo: Demo) -> Solved:
    """All conditions of a demo car."""
    grip = TREADED_TO_SLICK if demo in (BRAMBLE, SORREL) else 1.0
    conditions = [CONDITIONS[name] for name in conditions_of(demo)]
    return held(demo.machine, *(replace(c, grip=grip * c.grip) for c in conditions))


def word(demo: Demo, condition: str, part: str) -> str:
    """State of a part, in a word."""
    return states(states_of(demo), conditions_of(demo).index(condition))[part]


CASES = [(demo, name) for demo in (TEASEL, BRAMBLE, DUNNOCK, SORREL, HANDMADE) for name in conditions_of(demo)]


def case_name(value: object) -> str | None:
    """Test ids for `CASES`."""
    return value.name if isinstance(value, Demo) else None
