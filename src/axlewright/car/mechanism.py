"""What is connected to what on the car: static topology, and the numbers that go with it.

The model is built from these two things only, so that a new layout is a new list and not new code:

- `Mechanism`: immutable and hashable; names of bodies, links, joints, bars and wheels.
- `Values`: a flat mapping from a path to a float or a float array in SI units (m, N, kg, rad, s, Pa). Every adjuster
  and every uncertainty is a change of some of these entries. A value may carry one trailing batch axis, but for the
speeds, clicks and forces of a damper's table. Entries of motion that a car file leaves out are not there.

Paths. COPY is a block copy such as `front.left`, `front.right` or `rear`. All points are in chassis axes (ISO 8855: x
forward, y left, z up) at the drawn pose, origin on the ground below the front axle line.

| path | shape | meaning |
|---|---|---|
| `COPY.LINK.a`, `COPY.LINK.b` | (3,) | link ends, on frames `a` and `b` |
| `COPY.LINK.length` | () | length added to the drawn length by its adjuster (default 0) |
| `COPY.LINK.TERM.*` | () or (n,) | properties of an elastic term, as its part in `axlewright.parts` names them |
| `COPY.LINK.TERM.loss` | () | s: in motion, tension is that of extension + loss x rate (default by kind) |
| `COPY.LINK.damping.speed`, `.clicks` | (n,), (m,) | a damper's table: m/s, first 0; clicks from closed; both rising |
| `COPY.LINK.damping.compression`, `.rebound` | (m n,) | N, magnitudes without gas, one click setting after the other |
| `COPY.LINK.damping.compression_clicks`, `.rebound_clicks` | () | present settings, from closed |
| `COPY.LINK.damping.friction` | () | N, of its seals (default 0) |
| `COPY.JOINT.at` | (3,) | ball joint centre |
| `COPY.JOINT.shift` | (3,) | how far its adjuster has moved it on frame `a` (default 0) |
| `COPY.PART.axis_a`, `.axis_b` | (3,) | two points on the axis that a part turns about or slides along, on its parent |
| `COPY.BODY.mass`, `.at` | (), (3,) | unsprung mass (wheels included) and its centre of mass |
| `COPY.BODY.roll_inertia`, `.pitch_inertia`, `.yaw_inertia` | () | about its own centre, without wheel spin, kg m2 |
| `chassis.roll_inertia`, `.pitch_inertia`, `.yaw_inertia` | () | the same of the sprung mass as drawn |
| `BAR.left.pivot`, `.axis`, `.direction` | (3,) | bar axis in the arm's plane, unit axis, unit vector to hole |
| `BAR.left.arm`, `.drop_link` | () | arm length in use; length added to the drawn drop link |
| `BAR.left.drop_point` | (3,) | lower drop-link end, on the end's frame |
| `BAR.torsion`, `BAR.arm_bending` | () | N m/rad of the whole bar; E I of one arm, N m2 (inf = stiff arm) |
| `WHEEL.centre`, `.camber`, `.toe` | (3,), (), () | drawn; camber top outward, toe in (sign table of the design) |
| `WHEEL.pressure`, `.spin_inertia`, `.brake_gain` | () | Pa; kg m2; N m of capacity per unit of brake effort |
| `WHEEL.bearing_drag` | () | N m s/rad |
| `WHEEL.brake_rate` | () | N m/rad of disc, caliper and mounting, twisted by brake torque |
| `WHEEL.tyre_contact`, `.tyre_loss` | () | half of the contact patch, m; loss time of its vertical rate, s (or 0) |
| `WHEEL.belt_rate`, `.belt_damping` | () | between rim and belt, N m/rad and N m s/rad; only with `Mechanism.belt` |
| `WHEEL.belt_inertia` | () | kg m2, part of the spin inertia; only with `Mechanism.belt` |
| `WHEEL.tyre.*` | () | tyre law parameters |
| `chassis.ITEM.mass`, `.at` | (), (3,) | `sprung` is the whole as drawn, the other items are changes from it |
| `aero.drag_area`, `.lift_area_front`, `.lift_area_rear` | () | C A in m2, downforce positive |
| `aero.drag_height`, `.x_front`, `.x_rear` | () | where they act |
| `aero.air_density` | () | kg/m3 |
| `ride_height.WHEEL` | (3,) | point on the chassis whose z is the ride height beside that wheel |
| `driveline.ratio`, `.sense`, `.preload`, `.lock_drive`, `.lock_coast` | () | +1 usual shaft sense; N m; 0..1 |
| `driveline.gear` | () | engine turns for one turn of the propeller shaft, in the gear in use |
| `driveline.engine_inertia` | () | kg m2 at the crank |
| `driveline.clutch_capacity`, `.engine_braking` | () | N m at the crank; the second with the throttle closed |
| `driveline.half_shaft_rate` | () | N m/rad of one half shaft |
| `shaft.gearbox.at`, `shaft.pinion.at` | (3,) | propeller shaft's joints, the second on the housing (if any shaft) |
| `shaft.gearbox.axis`, `shaft.pinion.axis` | (3,) | unit, along output and pinion towards the rear |
| `shaft.diameter`, `.wall`, `.modulus`, `.density` | () | its tube, outside diameter; Pa; kg/m3 |
| `shaft.slip_in`, `.slip_out` | () | how far its slip joint goes from rest (inf = none stated) |
| `rack.travel` | () | rack shift, or arc of the pitman arm's end, straight ahead (default 0), left steer positive |
| `rack.lock` | () | rack travel from straight ahead to either lock (inf = none stated) |
| `relay.pitman_axis_a`, `.pitman_axis_b` | (3,) | two points on the axis of the pitman arm, on the chassis |
| `relay.idler_axis_a`, `.idler_axis_b` | (3,) | the same of the idler arm; parallel to it |
| `relay.pitman_end`, `.idler_end` | (3,) | where the relay link is jointed to the two arms |
| `chassis.torsion_compliance`, `.torsion_height` | () | rad/(N m) (0 = stiff); height of the twist axis |
| `chassis.torsion_rear_share` | () | share of the sprung mass that the rear half carries |
| `chassis.torsion_set` | () | N m that the chassis passes on as drawn (default 0; follows from rest) |
| `scales.cross_weight` | () | (right front + left rear) / total at the drawn pose |
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

CHASSIS = "chassis"

type_value = float | np.ndarray
Values = Mapping[str, type_value]


@dataclass(frozen=True, slots=True, kw_only=True)
class Term:
    """One elastic law acting along a link, e.g. spring, bump stop and gas force on one damper line."""

    name: str
    kind: str  # key of axlewright.parts.ELASTIC


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """A connection along the line between a point on frame `a` and a point on frame `b`; rigid when it has no terms."""

    name: str
    a: str
    b: str
    terms: tuple[Term, ...] = ()
    damped: bool = False  # carries a damper, which acts in motion only
    on_rack: bool = False  # end a moves with the steering rack, or with the relay link of a relay linkage


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """A ball joint between frames `a` and `b`: three closure equations, three forces."""

    name: str
    a: str
    b: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A massless part that turns about an axis fixed in its parent frame (an arm, bellcrank or rocker), or slides along
    it from `axis_a` to `axis_b` (the piston rod of a strut). The parent is the chassis or a body.
    """

    name: str
    parent: str = CHASSIS
    slides: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Wheel:
    """A wheel with its tyre on an unsprung body."""

    names: tuple[str, ...]  # one a block copy
    frame: str
    steered: bool = False
    driven: bool = False
    drive_on_body: bool = True  # drive torque reacts on the body that carries the wheel (live axle)
    brake_on_body: bool = True  # outboard brake
    brake_frame: str | None = None  # part on the wheel's own body that takes the brake torque about its axis: a bracket


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """Bodies and parts that touch only the chassis, the road and each other. Copies are alike (left and right)."""

    name: str
    copies: tuple[str, ...]
    bodies: tuple[str, ...]
    parts: tuple[Part, ...] = ()
    links: tuple[Link, ...] = ()
    joints: tuple[Joint, ...] = ()
    wheels: tuple[Wheel, ...] = ()
    pinion_body: str | None = None  # body that takes the pinion torque (live axle)
    rear: bool = False  # carried by the rear half of a chassis that twists


@dataclass(frozen=True, slots=True, kw_only=True)
class BarEnd:
    """One end of an anti-roll bar: its drop link pulls on `frame` of block copy `copy`."""

    copy: str
    frame: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """An anti-roll bar on the chassis, left end first; or a third spring, which resists both arms turning alike."""

    name: str
    left: BarEnd
    right: BarEnd
    heave: bool = False  # torque on each arm = stiffness x (left + right arm angle), not left - right


@dataclass(frozen=True, slots=True, kw_only=True)
class Mechanism:
    """Everything the model needs to know besides numbers."""

    blocks: tuple[Block, ...]
    bars: tuple[Bar, ...] = ()
    mass_items: tuple[str, ...] = ("sprung",)
    tyre_law: str = "similarity"
    twisting_chassis: bool = False
    belt: bool = False  # tyres whose belt turns against the rim, in motion
    steering: Literal["rack", "relay"] = "rack"  # what moves the ends `a` of links that are `on_rack`

    @property
    def wheels(self) -> tuple[str, ...]:
        """Wheel names in model order: left front, right front, left rear, right rear."""
        return tuple(
            name
            for block in self.blocks
            for i, _ in enumerate(block.copies)
            for name in (wheel.names[i] for wheel in block.wheels)
        )
