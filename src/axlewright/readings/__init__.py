"""Numbers that people read off solved states, each with its unit, its two directions in words, and its source.

`READINGS` holds what every car has; `readings_of` adds what one car's own parts have: its axle, links, springs,
bars. `states` says in what state each part is in a word.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial

import numpy as np

from axlewright.readings._road import on_road
from axlewright.readings.ackermann import ackermanns_of
from axlewright.readings.anti import ANTIS
from axlewright.readings.axle import AXLE_ATTITUDES, PINION_ANGLE, has_beam_axle, has_pinion
from axlewright.readings.base import Reading as Reading
from axlewright.readings.bellcrank import bellcranks_of
from axlewright.readings.cross_weight import CROSS_WEIGHTS
from axlewright.readings.forces import forces_of
from axlewright.readings.front_view import front_views_of
from axlewright.readings.gradients import GRADIENTS
from axlewright.readings.grip_left import GRIPS_LEFT
from axlewright.readings.held_anti import HELD_ANTIS
from axlewright.readings.load_transfer import LOAD_TRANSFERS
from axlewright.readings.longitudinal_use import LONGITUDINAL_USES
from axlewright.readings.longitudinal_use import nearest_wheel as nearest_wheel
from axlewright.readings.motion_ratio import motion_ratios_of
from axlewright.readings.ride import RIDES
from axlewright.readings.ride_heights import RIDE_HEIGHTS
from axlewright.readings.roll import ROLLS
from axlewright.readings.roll_centre import AXLE_STEER, ROLL_CENTRES
from axlewright.readings.shaft import shafts_of
from axlewright.readings.states import states as states
from axlewright.readings.steering_axis import steering_axes_of
from axlewright.readings.stiffness import STIFFNESSES
from axlewright.readings.travel import travels_of
from axlewright.readings.tyre_loads import TYRE_LOADS
from axlewright.readings.understeer import UNDERSTEERS
from axlewright.readings.wheel_attitude import WHEEL_ATTITUDES
from axlewright.readings.wheel_travel import WHEEL_TRAVELS, roll_steer_of
from axlewright.readings.wind_up import wind_ups_of
from axlewright.solve.machine import Machine
from axlewright.solve.solved import Solved

FAMILIES = (
    GRIPS_LEFT,
    UNDERSTEERS,
    GRADIENTS,
    TYRE_LOADS,
    LOAD_TRANSFERS,
    CROSS_WEIGHTS,
    LONGITUDINAL_USES,
    ROLLS,
    RIDE_HEIGHTS,
    WHEEL_ATTITUDES,
    WHEEL_TRAVELS,
    STIFFNESSES,
    RIDES,
    ROLL_CENTRES,
    ANTIS,
    HELD_ANTIS,
)


def _through_travel(reading: Reading) -> Reading:
    """The reading, taken through travel as the car would stand on the road."""
    if not reading.travel:
        return reading
    return replace(reading, read=partial(_standing, reading.read))


def _standing(read: Callable[[Solved], np.ndarray], solved: Solved) -> np.ndarray:
    return read(on_road(solved))


READINGS: dict[str, Reading] = {r.id: _through_travel(r) for family in FAMILIES for r in family}


def readings_of(machine: Machine) -> dict[str, Reading]:
    """All readings of one car, by id: `READINGS`, then those of its own parts."""
    rear = [AXLE_STEER, *AXLE_ATTITUDES] if has_beam_axle(machine) else [roll_steer_of("rear")]
    rear += [PINION_ANGLE] if has_pinion(machine) else []
    families = (
        steering_axes_of,
        front_views_of,
        ackermanns_of,
        motion_ratios_of,
        bellcranks_of,
        shafts_of,
        wind_ups_of,
        travels_of,
        forces_of,
    )
    own = [*rear, *(reading for family in families for reading in family(machine))]
    return READINGS | {reading.id: _through_travel(reading) for reading in own}
