"""A moving state that begins exactly where a held state is."""

from __future__ import annotations

import numpy as np

from axlewright.model.ground import chassis_attitude
from axlewright.model.moving.parameters import WORK, Moving, MovingState
from axlewright.model.vectors import dot
from axlewright.parts import TYRE_LAWS, friction
from axlewright.parts.differential import half_shaft, lock_torque
from axlewright.parts.tyre_lag import relaxation_lengths
from axlewright.solve.solved import Solved

LOCKED = 1e-9  # share of its capacity below which the differential holds
SIDE_STEPS = 12  # secant steps to no side force; the curve is smooth and the start is within a degree


def yaw_rate(solved: Solved) -> np.ndarray:
    """Of held states, rad/s, (B,): path curvature times speed."""
    asked, sideslip = solved.asked, solved.border("sideslip")
    turn = np.asarray(asked.ay) * np.cos(sideslip) - np.asarray(asked.ax) * np.sin(sideslip)
    return turn * np.asarray(asked.inverse_speed_squared) * np.asarray(asked.speed)


def start_of(solved: Solved, moving: Moving) -> tuple[MovingState, np.ndarray]:
    """States in motion of held states, and the engine torque at the axle that keeps them so, N m (B,).

    Speeds of bodies against the chassis are zero, wheels turn at their slip, tyres and shafts are as deflected as their
    forces ask. A car at rest stands with brakes off and tyres that push nowhere.
    """
    topology, asked, batch = solved.machine.topology, solved.asked, solved.batch
    p, border = solved.parameters, solved.border
    speed, sideslip, turning = np.asarray(asked.speed) * np.asarray(asked.rolling), border("sideslip"), yaw_rate(solved)
    centre, zero = np.asarray(p.centre), np.zeros(batch)
    road = chassis_attitude(border("heave"), border("pitch"), border("roll"))
    rotation = np.asarray(road.rotation)
    back = np.swapaxes(rotation, 0, 1)
    velocity = np.stack(
        [speed * np.cos(sideslip) + turning * centre[1], speed * np.sin(sideslip) - turning * centre[0], zero]
    )
    chassis = [np.einsum("ijb,jb->ib", back, v) for v in (velocity, np.stack([zero, zero, turning]))]
    law = TYRE_LAWS[topology.mechanism.tyre_law]
    effort, difference = border("effort"), border("difference")
    torque = effort * (1.0 - np.asarray(asked.braking)) * np.asarray(asked.rolling)
    states = {name: [] for name in ("motion", "rate", "spin", "lag", "belt", "brake", "seal")}
    mean, across = np.zeros(batch), np.zeros(batch)
    slips = solved.unknowns.border[topology.first_slip : topology.first_bar]
    for i, (block, q, extra, now) in enumerate(
        zip(topology.blocks, p.blocks, moving.blocks, solved.blocks, strict=True)
    ):
        at = now.contact
        slots = topology.wheel_slots(i)
        slip = np.stack([np.stack([slips[s - topology.first_slip] for s in row]) for row in slots])
        lean = np.sin(np.asarray(at.inclination))
        spin = (1.0 + slip) * speed * np.asarray(at.along) / np.asarray(at.rolling_radius) + lean * turning
        angle = np.where(speed > 0, np.asarray(at.slip_angle), _no_side_force(law, q.wheels.tyre, at))
        length = np.asarray(relaxation_lengths(law, q.wheels.tyre, at.load, extra.wheels.contact_length))
        drive = half_shaft(np.asarray(q.wheels.driven), torque, difference)
        held = np.asarray(now.ground.spin) + drive
        motion = np.asarray(solved.unknowns.local[i])[: block.n_motion]
        lag = np.stack([slip * speed / np.maximum(speed, 1e-300), np.tan(angle)]) * length
        braking = np.asarray(asked.braking) > 0
        carrier = np.asarray(dot(np.asarray(now.ground.axis), chassis[1][:, None, None]))
        values = {
            "motion": motion,
            "rate": np.zeros_like(motion),
            "spin": spin,
            "lag": lag,
            "brake": friction.held_at(
                np.where(braking, held, 0.0),
                spin - carrier,
                np.asarray(extra.wheels.brake_rate),
                ~braking | (slip > -1.0),
            ),
            "belt": _belt(topology.mechanism.belt, spin, q, extra, at),
            "seal": np.zeros((len(block.damped), *spin.shape[1:])),
        }
        for name, value in values.items():
            states[name].append(np.broadcast_to(value, (*value.shape[:-1], batch)))
        side = np.asarray(q.wheels.driven)
        mean = mean + 0.5 * (np.abs(side) * (spin - carrier)).sum(axis=(0, 1))
        across = across - (side * (spin - carrier)).sum(axis=(0, 1))
    shafts = np.asarray(moving.half_shaft_rate)
    lock = lock_torque(
        np.asarray(p.difference_preload),
        np.where(torque >= 0, np.asarray(p.lock_drive), np.asarray(p.lock_coast)),
        torque,
    )
    difference = difference * np.asarray(asked.rolling)
    slips_now = np.abs(difference) > lock * (1.0 - LOCKED)
    state = MovingState(
        place=np.zeros((4, batch)),
        attitude=np.stack([border("heave"), border("pitch"), border("roll")]),
        velocity=np.concatenate(chassis),
        driveline=np.stack([mean, torque / (2.0 * shafts), friction.held_at(difference, across, shafts, slips_now)]),
        work=np.zeros((len(WORK), batch)),
        drift=np.zeros((1, batch)),
        **{name: tuple(value) for name, value in states.items()},
    )
    gaining = np.where(speed > 0, np.asarray(asked.ax) / np.maximum(speed, 1e-300) * mean, 0.0)
    return state, torque + np.asarray(moving.engine_inertia) * gaining * (torque != 0)


def _no_side_force(law, tyre, at) -> np.ndarray:  # noqa: ANN001
    """Slip angle at which a leaning tyre pushes to no side, (wheels, c, B)."""
    load, lean = np.asarray(at.load), np.asarray(at.inclination)

    def side(angle: np.ndarray) -> np.ndarray:
        return law.forces(tyre, load, angle, np.zeros_like(load), lean, 1.0)[1]

    before, now = np.zeros_like(load), np.full_like(load, 1e-3)
    force_before, force = side(before), side(now)
    for _ in range(SIDE_STEPS):
        slope = (force - force_before) / np.where(now != before, now - before, 1.0)
        step = np.where(np.abs(slope) > 0, -force / np.where(slope == 0, 1.0, slope), 0.0)
        before, force_before, now = now, force, now + step
        force = side(now)
    return now


def _belt(belted: bool, spin: np.ndarray, q, extra, at) -> np.ndarray:  # noqa: ANN001
    if not belted:
        return np.zeros((0, *spin.shape))
    loaded = np.asarray(q.wheels.free_radius) - np.asarray(at.deflection)
    return np.stack([spin, np.asarray(at.longitudinal) * loaded / np.asarray(extra.wheels.belt_rate)])
