"""What belongs to the car as a whole: air, driveline, rack, chassis torsion, scales, ride heights."""

from __future__ import annotations

from math import inf

from axlewright.car.describe.entries import Entries, put_stated
from axlewright.car.describe.masses import corner_weights, corners, sprung_of
from axlewright.car.schema import Car
from axlewright.car.schema.driveline import Differential
from axlewright.car.schema.sides import mirrored
from axlewright.car.schema.steering import Steering

SPOOL_PRELOAD = 1e6  # N m; far above any axle torque, so the wheels stay locked, and finite, so nothing becomes NaN


def put_whole(car: Car, entries: Entries) -> None:
    """Values that belong to no single corner."""
    sides = corners(car)
    x = {name: side.wheel_centre.x for name, side in sides.items()}
    entries |= {
        "aero.drag_area": car.aero.drag_area,
        "aero.drag_height": car.aero.drag_height,
        "aero.lift_area_front": car.aero.lift_area_front,
        "aero.lift_area_rear": car.aero.lift_area_rear,
        "aero.x_front": (x["LF"] + x["RF"]) / 2,
        "aero.x_rear": (x["LR"] + x["RR"]) / 2,
        "aero.air_density": car.aero.air_density,
        "driveline.ratio": car.driveline.final_drive,
        "driveline.sense": 1.0 if car.driveline.shaft_turns == "usual" else -1.0,
        "rack.travel": 0.0,
        "rack.lock": inf if car.steering.travel is None else car.steering.travel,
        "scales.cross_weight": car.scales.cross_weight if car.scales.cross_weight is not None else cross_weight(car),
    }
    keys = ("gear", "engine_inertia", "clutch_capacity", "half_shaft_rate", "engine_braking")
    put_stated(entries, {f"driveline.{key}": getattr(car.driveline, key) for key in keys})
    _put_differential(entries, car.driveline.differential)
    _put_torsion(car, entries)
    _put_relay(car.steering, entries)
    heights = car.ride_heights
    places = (heights.left_front, heights.right_front, heights.left_rear, heights.right_rear)
    entries |= {f"ride_height.{name}": point for name, point in zip(sides, places, strict=True)}


def cross_weight(car: Car) -> float:
    """(right front + left rear) / total of the four corner weights."""
    weights = corner_weights(car)
    if weights is None:
        raise ValueError("without corner weights the cross weight must be stated")
    return float((weights[1] + weights[2]) / weights.sum())


def _put_differential(entries: Entries, differential: Differential) -> None:
    locked = differential.kind == "spool"
    entries |= {
        "driveline.preload": SPOOL_PRELOAD if locked else differential.preload or 0.0,
        "driveline.lock_drive": differential.lock_drive or 0.0,
        "driveline.lock_coast": differential.lock_coast or 0.0,
    }


def _put_relay(steering: Steering, entries: Entries) -> None:
    """Pitman and idler arm of a relay linkage; an idler that is not given mirrors the pitman arm."""
    pitman = steering.pitman
    if pitman is None:
        return
    for name, arm in (("pitman", pitman), ("idler", steering.idler or mirrored(pitman))):
        entries |= {
            f"relay.{name}_axis_a": arm.pivot,
            f"relay.{name}_axis_b": arm.axis,
            f"relay.{name}_end": arm.end,
        }


def _put_torsion(car: Car, entries: Entries) -> None:
    chassis = car.chassis
    entries |= {
        "chassis.torsion_compliance": 0.0 if chassis is None else 1.0 / chassis.torsion_stiffness.value,
        "chassis.torsion_height": 0.0 if chassis is None else chassis.torsion_height,
        "chassis.torsion_rear_share": _rear_share(car),
    }


def _rear_share(car: Car) -> float:
    """Share of the sprung mass that a beam on the two axles would put on the rear one."""
    front, rear = car.front.wheel_centre.x, car.rear.wheel_centre.x
    return float((front - sprung_of(car).at[0]) / (front - rear))
