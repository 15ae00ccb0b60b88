"""Numbers that people read off solved states, each with its unit, its two directions in words, and its source.

`READINGS` holds what every car has.
"""

from __future__ import annotations

from axlewright.readings.base import Reading as Reading
from axlewright.readings.cross_weight import CROSS_WEIGHTS
from axlewright.readings.grip_left import GRIPS_LEFT
from axlewright.readings.load_transfer import LOAD_TRANSFERS
from axlewright.readings.ride_heights import RIDE_HEIGHTS
from axlewright.readings.roll import ROLLS
from axlewright.readings.tyre_loads import TYRE_LOADS
from axlewright.readings.understeer import UNDERSTEERS
from axlewright.readings.wheel_attitude import WHEEL_ATTITUDES

READINGS: dict[str, Reading] = {
    reading.id: reading
    for family in (
        GRIPS_LEFT,
        UNDERSTEERS,
        TYRE_LOADS,
        LOAD_TRANSFERS,
        CROSS_WEIGHTS,
        ROLLS,
        RIDE_HEIGHTS,
        WHEEL_ATTITUDES,
    )
    for reading in family
}
