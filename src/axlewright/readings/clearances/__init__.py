"""What is left before something binds, bottoms, comes loose or touches: one file a kind, all of a batch at once."""

from __future__ import annotations

from axlewright.car.describe.room import Room
from axlewright.readings.clearances.base import Margin as Margin
from axlewright.readings.clearances.driveshaft import shaft_margins
from axlewright.readings.clearances.ground import ground_margins
from axlewright.readings.clearances.misalignment import misalignments
from axlewright.readings.clearances.steering import lock_margins
from axlewright.readings.clearances.toggles import bar_margins, bellcrank_margins
from axlewright.readings.clearances.travel import damper_margins, spring_margins, stop_margins, torque_link_margins
from axlewright.readings.clearances.tubes import tube_margins
from axlewright.solve.solved import Solved


def margins(solved: Solved, room: Room) -> tuple[Margin, ...]:
    """Every margin of a car in a batch of states, always in the same order for one car."""
    return (
        *spring_margins(solved),
        *stop_margins(solved),
        *damper_margins(solved, room),
        *torque_link_margins(solved),
        *bellcrank_margins(solved),
        *bar_margins(solved),
        *lock_margins(solved),
        *shaft_margins(solved, room),
        *misalignments(solved, room),
        *ground_margins(solved, room),
        *tube_margins(solved, room),
    )
