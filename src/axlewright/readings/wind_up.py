"""Wind-up of a live axle relative to rest, its two parts, and what it brings with it.

Wind-up is pinion nose up against the chassis, relative to rest: positive under power, negative in braking. It has two
parts: what the geometry gives when the wheels move with the active torque link rigid (drive side, in a braking phase
brake side), and the rest, which the torque links' deflection gives. The first is the motion's slope times the wheels'
movement, slope averaged between rest and the state: exact to second order in the movement, and the parts add up
exactly.
"""

from __future__ import annotations

import numpy as np

from axlewright.readings._frames import axle_blocks, half_of, heading_rate, standing, wheel_axes, wheel_places
from axlewright.readings._kept import kept
from axlewright.readings._modes import bump_braking, bump_driving, elastic_rates, moved, per_centre_rise, wind
from axlewright.readings._vectors import rotate_back
from axlewright.readings._velocity import block_motions
from axlewright.readings.axle import pinion_angle
from axlewright.readings.base import Reading
from axlewright.solve.machine import Machine
from axlewright.solve.solved import Solved

SMALL_ANGLE = np.radians(0.01)


def wind_up(solved: Solved) -> np.ndarray:
    """Pinion nose up against the chassis relative to rest, rad, (B,)."""
    return pinion_angle(solved) - pinion_angle(standing(solved))


@kept
def _nose_per_rise(solved: Solved) -> tuple[np.ndarray, np.ndarray]:
    """Pinion nose up per rise of the left and right wheel centre in the chassis, rad/m, (2, B): driving, braking."""
    block = axle_blocks(solved)["rear"]
    topology, rates, half = solved.machine.topology.blocks[block], block_motions(solved)[block], half_of(solved, block)
    rows = rotate_back(half.rotation, rates.centre_rate)[2]
    pitch = 6 * (topology.wheel_frames[0] - 1) + 4
    found = []
    for modes in (bump_driving(solved)[block], bump_braking(solved)[block]):
        rising = per_centre_rise(modes, np.einsum("wncb,nmcb->wmcb", rows, modes))
        found.append(-rising[pitch, :, 0])
    return found[0], found[1]


def wind_up_by_bump(solved: Solved) -> np.ndarray:
    """The part of wind-up that the geometry gives with the active torque link rigid, rad."""
    rest = standing(solved)
    rise = (wheel_places(solved) - wheel_places(rest))[2, 2:]
    driving, braking = (
        0.5 * ((now + before) * rise).sum(axis=0)
        for now, before in zip(_nose_per_rise(solved), _nose_per_rise(rest), strict=True)
    )
    return np.where(np.asarray(solved.asked.braking) > 0, braking, driving)


def wind_up_by_deflection(solved: Solved) -> np.ndarray:
    """The part of wind-up that the torque links' deflection gives, rad."""
    return wind_up(solved) - wind_up_by_bump(solved)


@kept
def _winding(solved: Solved) -> np.ndarray:
    """Motion (n, c, B) of the axle that winds up by 1 rad with its wheel centres level."""
    return wind(solved, axle_blocks(solved)["rear"])


def steer_by_wind_up(solved: Solved) -> np.ndarray:
    """Yaw of the axle in the chassis per wind-up, left positive."""
    block = axle_blocks(solved)["rear"]
    body = solved.machine.topology.blocks[block].wheel_frames[0] - 1
    line = wheel_axes(solved)[:, 2:].mean(axis=1)
    return heading_rate(line, _winding(solved)[6 * body + 3 : 6 * body + 6, 0])


def height_by_wind_up(solved: Solved) -> np.ndarray:
    """Rise of the rear of the chassis per wind-up that leaves the springs' work unchanged, m/rad; NaN if
    they are loose.
    """
    block = axle_blocks(solved)["rear"]
    topology, rates = solved.machine.topology.blocks[block], block_motions(solved)[block]
    stiffness, work = elastic_rates(solved, block), [np.zeros(solved.batch), np.zeros(solved.batch)]
    both = bump_driving(solved)[block].sum(axis=1)
    turned, raised = moved(rates.length_rate, _winding(solved)), moved(rates.length_rate, both)
    for t, (i, _, term) in enumerate(topology.terms):
        if term.kind == "coil_spring":
            link = topology.n_rigid + i
            work[0] = work[0] + (stiffness[t] * raised[link] * turned[link])[0]
            work[1] = work[1] + (stiffness[t] * raised[link] ** 2)[0]
    loose = work[1] == 0.0
    return np.where(loose, np.nan, work[0] / np.where(loose, 1.0, work[1]))


WIND_UPS = [
    Reading(
        id="wind_up", name="wind-up", unit="rad", shown="deg", more="pinion nose higher", less="pinion nose lower",
        source="own definition: relative to rest", read=wind_up, smallest=SMALL_ANGLE, travel=True,
    ),
    Reading(
        id="wind_up_by_bump", name="wind-up by axle travel", unit="rad", shown="deg",
        more="pinion nose higher by axle travel", less="pinion nose lower by axle travel",
        source="own definition: active torque link rigid", read=wind_up_by_bump, smallest=SMALL_ANGLE, travel=True,
    ),
    Reading(
        id="wind_up_by_deflection", name="wind-up by torque-link deflection", unit="rad", shown="deg",
        more="pinion nose higher by torque-link deflection", less="pinion nose lower by torque-link deflection",
        source="own definition: wind-up less that by axle travel", read=wind_up_by_deflection,
        smallest=SMALL_ANGLE, travel=True,
    ),
]  # fmt: skip
PER_WIND_UP = [
    Reading(
        id="steer_by_wind_up", name="axle steer per wind-up", unit="", shown="%",
        more="axle steers more to the left as it winds up", less="axle steers more to the right as it winds up",
        source="own definition: velocities, wheel centres level", read=steer_by_wind_up, smallest=0.0005, at_rest=True,
        travel=True,
    ),
    Reading(
        id="height_by_wind_up", name="rear ride height per wind-up", unit="m/rad", shown="mm/deg",
        more="rear rises more as the axle winds up", less="rear sinks more as the axle winds up",
        source="own definition: springs keep their work, wheel centres level", read=height_by_wind_up, smallest=1e-3,
        at_rest=True, travel=True,
    ),
]  # fmt: skip


def wind_ups_of(machine: Machine) -> list[Reading]:
    """Wind-up readings of a live axle; what there is per wind-up only where the rigid links leave it that freedom."""
    found: list[Reading] = []
    for block in machine.topology.blocks:
        if block.block.pinion_body is not None:
            found += [*WIND_UPS, *(PER_WIND_UP if block.n_motion - block.n_forces > block.n_wheels else [])]
    return found
