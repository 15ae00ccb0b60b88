"""Numbers of a car and of a demand, as immutable pytrees of arrays: component first, then block copy, then batch.

Shapes use n for the part count of a block, c for its copies, B for the batch. SI units, signs of the design's table.
"""

from __future__ import annotations

from typing import NamedTuple

from axlewright.model.vectors import Array
from axlewright.parts.aero import Aero
from axlewright.parts.elastic import Knots
from axlewright.parts.relay_linkage import RelayLinkage
from axlewright.parts.tyre import Tyre


class BarEnds(NamedTuple):
    """Arms and drop links of the bars whose ends act on this block."""

    pivot: Array  # (3, n, c, B)
    axis: Array  # (3, n, c, B)
    direction: Array  # (3, n, c, B)
    arm: Array  # (n, c, B)
    drop_length: Array  # (n, c, B)
    side: Array  # (n, c, B) side of toggle at the drawn pose
    sign: Array  # (n, c, B) with which the bar counts the angle: +1 left end, -1 right end (+1 of a third spring)


class Wheels(NamedTuple):
    """Wheels of a block."""

    centre: Array  # (3, n, c, B)
    axis: Array  # (3, n, c, B) unit spin axis, to the left
    free_radius: Array  # (n, c, B)
    pressure: Array
    spin_inertia: Array
    brake_gain: Array
    bearing_drag: Array
    driven: Array  # 1 or 0
    drive_on_body: Array  # 1 or 0
    brake_on_body: Array  # 1 or 0
    tyre: Tyre  # each (n, c, B)


class BlockParameters(NamedTuple):
    """Geometry, masses and laws of one block."""

    points: Array  # (3, n, c, B) drawn: link ends a, link ends b, joints a, joints b, drop-link ends
    link_length: Array  # (n, c, B) length at which a rigid link is satisfied and an elastic one has extension 0
    part_point: Array  # (3, n, c, B) a point on the axis that the part turns about or slides along
    part_axis: Array  # (3, n, c, B) unit
    body_mass: Array  # (n, c, B)
    body_at: Array  # (3, n, c, B) centre of mass at the drawn pose, also the body's reference point
    body_yaw_inertia: Array  # (n, c, B)
    elastic: Knots  # one entry a term: (n, c, B), corners (J, n, c, B)
    ends: BarEnds
    wheels: Wheels
    relay: RelayLinkage | None  # each (3, B) or (B,): what moves the ends on the rack, where it is no rack


class CarParameters(NamedTuple):
    """A whole car."""

    blocks: tuple[BlockParameters, ...]
    mass: Array  # (items, B) sprung masses
    mass_at: Array  # (3, items, B)
    sprung_yaw_inertia: Array  # (B,)
    centre: Array  # (3, B) centre of mass of the whole car at the drawn pose
    air_density: Array  # (B,)
    aero: Aero  # each (B,)
    final_drive: Array
    shaft_sense: Array
    difference_preload: Array
    lock_drive: Array
    lock_coast: Array
    rack_travel: Array  # at rest, m, left steer positive; of a relay linkage, the arc of the pitman arm's end
    rack_sense: Array  # +1 when left steer moves the rack to the left (steering arms ahead of the axis), else -1
    bar_stiffness: Array  # (bars, B)
    bar_neutral: Array  # (bars, B) arm angle difference (sum, for a third spring) at which the bar is free
    twist_compliance: Array
    twist_height: Array
    twist_rear_share: Array
    twist_neutral: Array  # moment at which the chassis is as drawn, N m


class Demand(NamedTuple):
    """What is asked of the car in one held state; every entry (B,) unless said."""

    force: Array  # (3, B) specific load g_r - (ax, ay, an) in road axes, m/s2
    ax: Array
    ay: Array
    yaw_acceleration: Array
    speed: Array
    inverse_speed_squared: Array  # 0 at standstill
    rolling: Array  # 1 held, 0 at rest on slip plates
    braking: Array  # 1 when the effort is brake capacity, 0 when it is axle torque
    coasting: Array  # 1 when the axle torque is engine braking
    grip: Array  # factor on every tyre's grip
    road_height: Array  # (wheels, B) in model order


class State(NamedTuple):
    """The unknowns: one array a block (unknowns, copies, B) and the border (n, B)."""

    local: tuple[Array, ...]
    border: Array
