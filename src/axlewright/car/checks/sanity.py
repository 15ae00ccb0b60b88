"""Numbers outside the ranges of common practice: warned about, never refused.

The ranges are the design's (club and professional endurance cars with a live axle; common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from axlewright.car.checks.kinematics import End, front_end, rear_end, side_view, wheel_turns
from axlewright.car.checks.load_transfer import damping_ratios, frequencies, roll_and_transfer, whole_car
from axlewright.car.checks.rest_statics import drive_link_tension
from axlewright.car.describe.whole import cross_weight
from axlewright.car.mechanism import Mechanism, Values
from axlewright.car.schema import Car
from axlewright.car.schema.rear import BeamAxle, LiveAxle
from axlewright.car.schema.tyres import SimilarityTyre
from axlewright.errors import Problem
from axlewright.units import GRAVITY


class Number(NamedTuple):
    """One number with its range, in the unit that it is shown in."""

    path: str
    name: str
    value: float
    low: float
    high: float
    unit: str
    digits: int
    look_at: str  # what to look at first when it is outside


def sanity_warnings(car: Car, mechanism: Mechanism, values: Values) -> list[Problem]:
    """A warning for each number outside its range."""
    numbers = (*_geometry(car, mechanism, values), *_ride(car, mechanism, values), *_stated(car), *_tyres(car))
    warnings = [_warning(number) for number in numbers if not number.low <= number.value <= number.high]
    return [*warnings, *_undamped(car, mechanism), *_seat(car, mechanism, values)]


def _warning(number: Number) -> Problem:
    found = f"{number.name} {number.value:.{number.digits}f} {number.unit}".rstrip()
    expected = f"{number.low:g} to {number.high:g} {number.unit}".rstrip() + " in common practice"
    return Problem(number.path, found, expected, f"look at {number.look_at}; leave it if it is meant")


def _geometry(car: Car, mechanism: Mechanism, values: Values) -> Iterator[Number]:
    front, rear, whole = front_end(mechanism, values), rear_end(mechanism, values), whole_car(car)
    scale = 100 * whole.wheelbase / whole.centre[2]
    share = car.brakes.front_share.value
    yield Number("front", "roll centre", front.roll_centre, -0.08, 0.15, "m", 3, "the wishbones' inner pivots")
    yield from _rear_geometry(car, mechanism, values, rear)
    dive = side_view(mechanism, values, "front")
    yield Number("front", "anti-dive", -scale * share * dive.slope, -5, 45, "%", 0, "the inner pivots in side view")
    camber, toe = wheel_turns(mechanism, values)
    del camber
    yield Number(
        "front.tie_rod", "bump steer per 25 mm", abs(np.degrees(toe * 0.025)), 0, 0.1, "deg", 3, "the tie rod's heights"
    )
    drive = side_view(mechanism, values, "rear", "drive_link")
    on_axle = next(block for block in mechanism.blocks if block.rear).pinion_body is not None
    low, high = (20, 130) if on_axle else (0, 80)  # shafts from the chassis squat less: practice asks for less
    yield Number("rear", "anti-squat", scale * drive.slope, low, high, "%", 0, "the links' slopes in side view")
    yield Number(
        "rear", "swing arm under drive", _arm(drive.swing_arm), 0.9, np.inf, "m", 2, "the links' slopes in side view"
    )
    brake = side_view(mechanism, values, "rear", "brake_link")
    yield Number(
        "rear", "anti-lift", scale * (1 - share) * brake.slope, 0, 60, "%", 0, "the slope of the brake-side link"
    )
    yield Number(
        "rear", "swing arm under braking", _arm(brake.swing_arm), 0.9, np.inf, "m", 2, "the links' slopes in side view"
    )


def _rear_geometry(car: Car, mechanism: Mechanism, values: Values, rear: End) -> Iterator[Number]:
    if car.rear.independent:
        yield Number("rear", "roll centre", rear.roll_centre, -0.03, 0.2, "m", 3, "the inner pivots")
        toe = abs(np.degrees(wheel_turns(mechanism, values, "rear")[1] * 0.025))
        yield Number("rear", "bump steer per 25 mm", toe, 0, 0.15, "deg", 3, "the toe link's heights")
        return
    yield Number("rear", "roll centre", rear.roll_centre, 0.12, 0.42, "m", 3, "the Watt's pivot or Panhard rod")
    steer = 100 * rear.roll_steer
    yield Number("rear.links", "axle steer (understeer positive)", steer, -3, 8, "%", 1, "the lower links' heights")


def _arm(length: float) -> float:
    """A swing arm that points rearward is no short arm."""
    return length if length > 0 else np.inf


def _ride(car: Car, mechanism: Mechanism, values: Values) -> Iterator[Number]:
    ends = front_end(mechanism, values), rear_end(mechanism, values)
    for name, frequency, end in zip(("front", "rear"), frequencies(car, ends), ends, strict=True):
        yield Number(
            f"{name}.spring", "ride frequency on wheel rate", frequency, 1.2, 4, "Hz", 2, "spring rate and masses"
        )
        yield Number(
            f"{name}.spring", "wheel rate", end.wheel_rate / 1e3, 15, 150, "N/mm", 1, "spring rate and motion ratio"
        )
    for name, ratio in zip(("front", "rear"), damping_ratios(car, ends), strict=True):
        if ratio > 0:
            text = "damping ratio at 50 mm/s of the damper"
            yield Number(f"{name}.damper.damping", text, ratio, 0.2, 1.2, "", 2, "forces, speeds and clicks")
    roll, share = roll_and_transfer(car, ends)
    points = 100 * (share - whole_car(car).front_share)
    yield Number("front.bar", "suspension roll gradient", np.degrees(roll), 0.7, 4, "deg/g", 2, "springs and bars")
    name = "front load-transfer share less front weight share"
    yield Number("front.bar", name, points, -3, 12, "points", 1, "bars and springs")


def _stated(car: Car) -> Iterator[Number]:
    scales = car.scales
    cross = scales.cross_weight.value if scales.cross_weight is not None else cross_weight(car)
    yield Number("scales", "cross weight (right front + left rear)", 100 * cross, 49, 51, "%", 2, "the perches")
    yield Number(
        "brakes.front_share", "front brake share", 100 * car.brakes.front_share.value, 55, 80, "%", 0, "the bias"
    )
    if car.chassis is not None:
        torsion = car.chassis.torsion_stiffness.value / np.degrees(1) / 1e3
        yield Number("chassis.torsion_stiffness", "chassis torsion", torsion, 3, 40, "kN m/deg", 1, "its unit")
    watt = car.rear.watt if isinstance(car.rear, BeamAxle) else None
    if watt is not None and watt.screw is not None:
        screw = abs(watt.screw.value) * 1e3
        yield Number("rear.watt.screw", "pivot height per turn", screw, 0.5, 4, "mm", 2, "the thread's pitch")
    if isinstance(car.rear, LiveAxle):
        yield from _torque_links(car.rear)


def _torque_links(rear: LiveAxle) -> Iterator[Number]:
    drive, brake = rear.drive_link, rear.brake_link
    if drive is not None:
        yield Number("rear.drive_link.rate", "spring rate", drive.rate.value / 1e3, 50, 600, "N/mm", 0, "the spring")
        yield Number("rear.drive_link.preload", "preload", drive.preload.value / 1e3, 0.2, 5, "kN", 2, "the preload")
        yield Number("rear.drive_link.travel", "travel", drive.travel.value * 1e3, 5, 40, "mm", 0, "the stop")
    if brake is not None:
        yield Number(
            "rear.brake_link.gas_force", "gas force", brake.gas_force.value, 50, 600, "N", 0, "rod area and pressure"
        )
        yield Number("rear.brake_link.gap", "gap", brake.gap.value * 1e3, 0, 12, "mm", 1, "the spacers")
        yield Number(
            "rear.brake_link.bumper_rate",
            "bumper rate",
            brake.bumper_rate.value / 1e3,
            100,
            1500,
            "N/mm",
            0,
            "the bumper",
        )


def _tyres(car: Car) -> Iterator[Number]:
    for end in ("front", "rear"):
        tyre, path = getattr(car.tyres, end), f"tyres.{end}"
        more = (tyre.pressure.value - tyre.reference_pressure.value) * tyre.vertical_rate_per_pressure.value
        rate = (tyre.vertical_rate.value + more) / 1e3
        yield Number(f"{path}.vertical_rate", "vertical rate", rate, 150, 450, "N/mm", 0, "its unit and the pressure")
        if isinstance(tyre, SimilarityTyre):
            peak = np.degrees(tyre.slip_angle_peak.value)
            yield Number(f"{path}.slip_angle_peak", "slip angle at the peak", peak, 3, 12, "deg", 1, "the value")
            slip = 100 * tyre.slip_ratio_peak.value
            yield Number(f"{path}.slip_ratio_peak", "slip ratio at the peak", slip, 4, 20, "%", 1, "the value")
            drop = tyre.grip_drop.value * 1e3
            yield Number(f"{path}.grip_drop", "fall of grip", drop, 0.01, 0.1, "per kN", 3, "the value")
            yield Number(f"{path}.grip", "grip", tyre.grip.value, 0.7, 1.8, "", 2, "the value")


def _undamped(car: Car, mechanism: Mechanism) -> Iterator[Problem]:
    """Dampers without a table damp nothing: they only push with their gas."""
    links = [(block.name, link) for block in mechanism.blocks for link in block.links]
    damped = {(name, link.name == "brake_link") for name, link in links if link.damped}
    wanted = [("front", False, "front.damper"), ("rear", False, "rear.damper")]
    if isinstance(car.rear, LiveAxle) and car.rear.brake_link is not None:
        wanted.append(("rear", True, "rear.brake_link"))
    for name, brake, path in wanted:
        if (name, brake) not in damped:
            what = "the brake-side link" if brake else f"the {name} wheels"
            fix = f"add [{path}.damping] with `speeds` and `curves`; leave it if only held states are asked for"
            yield Problem(f"{path}.damping", f"nothing that damps {what} in motion", "forces by speed", fix)


def _seat(car: Car, mechanism: Mechanism, values: Values) -> Iterator[Problem]:
    """The drive-side link must be pulled onto its seat while the car stands."""
    whole = whole_car(car)
    tension = drive_link_tension(mechanism, values, whole.mass * GRAVITY * (1 - whole.front_share))
    drive = car.rear.drive_link if isinstance(car.rear, LiveAxle) else None
    if tension is None or drive is None:
        return
    if tension < 0:
        fix = "move the spring eyes rearward on the axle, or raise the brake link's gas force"
        found = f"a tension of {tension:.0f} N at rest: the link is slack and the housing rests on the brake link"
        yield Problem("rear.drive_link", found, "a tension above zero, so that the housing rests on its seat", fix)
    elif tension > drive.preload.value:
        fix = "raise the preload, or move the spring eyes forward on the axle"
        found = f"a tension of {tension:.0f} N at rest, above the preload: the spring is already moving"
        yield Problem("rear.drive_link.preload", found, "more preload than the rest tension", fix)
