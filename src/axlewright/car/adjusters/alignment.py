"""Alignment of independent wheels: camber, caster, toe, rack height and the outer tie-rod ends.

A count of an angle is turned into link lengths by the drawn geometry. Where a steering axis goes through two joints,
the upright turned by a small angle about its lower one moves the upper one and the tie-rod end, and each link changes
by that movement along its own line; a strut's top mount moves instead. Links without such an axis are lengthened as
their upright's motion asks. What else then moves is left to the solver: in front camber moves toe, which is set again;
at the rear the toe link follows, so that camber is camber alone.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from axlewright.car.adjusters.adjuster import Adjuster, Edit, Shift
from axlewright.car.adjusters.hand import WORDS, in_inches, length, shown, tidy
from axlewright.car.adjusters.together import together
from axlewright.car.adjusters.upright_motion import upright_motion
from axlewright.car.adjusters.where import GROUPS, PAIRS, End, corner, corner_path, parts_of
from axlewright.car.mechanism import Mechanism, Values
from axlewright.car.schema import Car
from axlewright.car.schema.independent import CornerParts, UprightRod
from axlewright.car.schema.multi_link import RearMultiLink
from axlewright.units import from_si

DEGREE = float(np.pi / 180.0)
# Common practice, no source: usable steps, and how far either way a suspension is usually made to go.
CAMBER_STEP, CAMBER_RANGE = 0.25, 2.0  # deg
CASTER_STEP, CASTER_RANGE = 0.5, 3.0  # deg
TOE_RANGE = 5e-3  # m at the tyre, each wheel
RACK_RANGE = 6e-3  # m
LEGS = ("upper_front", "upper_rear")


class Made(NamedTuple):
    """What a degree is made of, and how to say it."""

    edits: tuple[Edit, ...]
    note: str


def alignment(car: Car, mechanism: Mechanism, values: Values) -> list[Adjuster]:
    """Alignment of the wheels of independent ends, each and both, and the height of the rack."""
    del mechanism
    found: list[Adjuster] = []
    for end in PAIRS:
        if parts_of(car, PAIRS[end][0]) is not None:
            found += _of_end(car, end, values)
    return found


def _of_end(car: Car, end: End, values: Values) -> list[Adjuster]:
    camber = [_camber(car, wheel, values) for wheel in PAIRS[end]]
    found = [*camber, _both(camber, f"camber_{end}", f"{end} camber, both wheels", 15.0)]
    caster = [_caster(car, wheel, values) for wheel in PAIRS[end]] if end == "front" else []
    both = [a for a in caster if a is not None]
    if both:
        found += [*both, _both(both, "caster_front", "front caster, both wheels", 20.0)]
    toe = [_toe(car, wheel, values) for wheel in PAIRS[end]]
    total = together(
        [(toe[0], 0.5), (toe[1], 0.5)],
        f"toe_{end}",
        name=f"{end} toe, total",
        group=end,
        minutes=6.0,
        step=tidy(2.0 * toe[0].step),
        reference="total of both wheels across the tyre's diameter, toe-in positive",
    )
    heights = [_heights(car, "a"), _heights(car, "b")] if end == "front" else []
    return [*found, *toe, total, *heights]


def _both(members: list[Adjuster], key: str, name: str, minutes: float) -> Adjuster:
    note = f"{members[0].note}; same on both sides?"
    group = "front" if members[0].group.startswith("front") else "rear"
    return together([(m, 1.0) for m in members], key, name=name, group=group, minutes=minutes, note=note)


def _parts(car: Car, wheel: str) -> CornerParts:
    parts = parts_of(car, wheel)
    assert parts is not None
    return parts


def _outward(wheel: str) -> float:
    return 1.0 if wheel.startswith("L") else -1.0


def _along(values: Values, path: str, movement: np.ndarray) -> float:
    """Change of a link's length when its outer end is moved."""
    span = np.asarray(values[f"{path}.b"]) - np.asarray(values[f"{path}.a"])
    return float(movement @ span / np.linalg.norm(span))


def steering_axis(parts: CornerParts) -> tuple[np.ndarray, np.ndarray] | None:
    """Lower and upper joint of the upright, (3,) m; None where links go to joints of their own."""
    upper = parts.strut.top if parts.strut is not None else None if parts.upper is None else parts.upper.ball
    return None if parts.lower is None or upper is None else (parts.lower.ball.xyz, upper.xyz)


def _toe_rod(parts: CornerParts) -> UprightRod:
    return next(rod for rod in parts.rods if rod.name == parts.toe)


def _turned(car: Car, wheel: str, values: Values, turn: np.ndarray, what: str) -> Made | None:
    """What makes the upright turn by `turn` (3,), rad, about its lower joint; None where nothing can."""
    parts = _parts(car, wheel)
    joints = steering_axis(parts)
    if joints is None:
        return None
    lower, upper = joints
    movement = np.cross(turn, upper - lower)
    if parts.strut is not None:
        return _by_top_mount(car, wheel, movement)
    paths = [corner_path(car, wheel, leg) for leg in LEGS]
    if f"{paths[0]}.length" not in values:
        return None
    edits: tuple[Edit, ...] = tuple(Shift(f"{path}.length", _along(values, path, movement)) for path in paths)
    note = _in_words(car, edits, what)
    if wheel.endswith("R"):
        path = corner_path(car, wheel, parts.toe)
        follows = _along(values, path, np.cross(turn, _toe_rod(parts).outer.xyz - lower))
        edits, note = (*edits, Shift(f"{path}.length", follows)), f"{note}; the toe link follows"
    return Made(edits, note)


def _by_top_mount(car: Car, wheel: str, movement: np.ndarray) -> Made:
    """The mount slides level in the chassis, the coil's upper seat with it if the coil is round the strut."""
    level = tuple(float(x) for x in movement * (1.0, 1.0, 0.0))
    paths = ["strut_top.shift"] + (["spring.a"] if getattr(corner(car, wheel).spring, "on", "") == "upright" else [])
    edits = tuple(Shift(corner_path(car, wheel, path), level) for path in paths)
    size = shown(float(np.abs(level).max()), "in" if in_inches(car) else "mm")
    return Made(edits, f"1 deg is {size} of the top mount")


def _in_words(car: Car, edits: tuple[Edit, ...], what: str) -> str:
    """ "1 deg is 5.1 mm of ..." for the largest edit."""
    largest = max(abs(float(edit.per_unit)) for edit in edits if isinstance(edit, Shift))  # pyright: ignore[reportArgumentType] lengths are numbers
    return f"1 deg is {shown(largest, 'in' if in_inches(car) else 'mm')} of {what}"


def _camber(car: Car, wheel: str, values: Values) -> Adjuster:
    """By the upper links, the top mount or the camber link; by a shim at the hub where none of them can be moved."""
    now, end = tidy(corner(car, wheel).camber.value / DEGREE), "front" if wheel.endswith("F") else "rear"
    turn = np.array([-_outward(wheel) * DEGREE, 0.0, 0.0])  # about x: the top goes outward
    made = _by_two_links(car, wheel) or _turned(car, wheel, values, turn, "each upper link")
    made = made or Made((Shift(f"{wheel}.camber", DEGREE),), "by shims at the hub")
    return Adjuster(
        id=f"camber_{wheel}",
        name=f"{WORDS[wheel]} camber",
        family=f"{end} camber",
        group=GROUPS[wheel],
        unit="deg",
        drawn=now,
        lo=tidy(now - CAMBER_RANGE),
        hi=tidy(now + CAMBER_RANGE),
        step=CAMBER_STEP,
        reference="camber at rest, top outward positive",
        direction="more: top of the wheel further out",
        minutes=10.0,
        place="pits",
        stage="heights",
        recheck=("T", "H") if end == "front" else ("H",),
        rezero=("T",) if end == "front" else (),
        cautions=("car in the air",),
        note=made.note,
        edits=made.edits,
    )


def _by_two_links(car: Car, wheel: str) -> Made | None:
    """Camber and toe link of a multi-link corner together, so that toe stays."""
    rear = car.rear
    if not isinstance(rear, RearMultiLink) or wheel.endswith("F"):
        return None
    parts, centre, out = _parts(car, wheel), corner(car, wheel).wheel_centre.xyz, _outward(wheel)
    names = (rear.camber_link, rear.toe_link)
    turns = np.array([upright_motion(parts, centre, name)[3:] for name in names])
    camber, toe = -out * turns[:, 0], -out * turns[:, 2]
    lengths = np.linalg.solve(np.stack([camber, toe]), [DEGREE, 0.0])
    edits = tuple(Shift(corner_path(car, wheel, f"{n}.length"), float(x)) for n, x in zip(names, lengths, strict=True))
    unit = "in" if in_inches(car) else "mm"
    words = [f"{shown(float(x), unit)} of the {n.replace('_', ' ')} link" for n, x in zip(names, lengths, strict=True)]
    return Made(edits, f"1 deg is {words[0]} and {words[1]}, so that toe stays")


def _caster(car: Car, wheel: str, values: Values) -> Adjuster | None:
    turn = np.array([0.0, -DEGREE, 0.0])  # about y: top rearward
    made = _turned(car, wheel, values, turn, "the upper links, one longer and the other shorter")
    joints = steering_axis(_parts(car, wheel))
    if made is None or joints is None:
        return None
    axis = joints[1] - joints[0]
    now = tidy(round(float(np.arctan2(-axis[0], axis[2])) / DEGREE, 3))
    return Adjuster(
        id=f"caster_{wheel}",
        name=f"{WORDS[wheel]} caster",
        family="caster",
        group=GROUPS[wheel],
        unit="deg",
        drawn=now,
        lo=tidy(now - CASTER_RANGE),
        hi=tidy(now + CASTER_RANGE),
        step=CASTER_STEP,
        reference="slope of the steering axis in side view, top rearward positive",
        direction="more: top of the axis further back",
        minutes=15.0,
        place="pits",
        stage="heights",
        recheck=("C", "T", "BS", "X"),
        rezero=("X", "T"),
        cautions=("car in the air",),
        note=made.note,
        edits=made.edits,
    )


def _toe(car: Car, wheel: str, values: Values) -> Adjuster:
    """By tie-rod length. Toe in mm is the difference across the tyre's diameter, taken as twice the loaded radius."""
    side, parts, count = corner(car, wheel), _parts(car, wheel), length(car, 0.5, 1.0 / 32.0)
    diameter, end, rod = 2.0 * side.wheel_centre.z, "front" if wheel.endswith("F") else "rear", _toe_rod(parts)
    path = corner_path(car, wheel, rod.name)
    per = _toe_length(parts, rod, side.wheel_centre.xyz, values, path, -_outward(wheel) * count.si / diameter)
    now = tidy(round(from_si(side.toe.value * diameter, count.unit), 4))
    step, thread = per * count.step, rod.thread
    size = shown(step, count.unit) if thread is None else f"{abs(step / thread.value):.2f} turn"
    what, more = ("tie rod", "; look at the steering wheel's centre") if end == "front" else ("toe link", "")
    return Adjuster(
        id=f"toe_{wheel}",
        name=f"{WORDS[wheel]} toe",
        family=f"{end} toe",
        group=GROUPS[wheel],
        **count.either_way(TOE_RANGE, now),
        reference="across the tyre's diameter, toe-in positive",
        direction="more: front of the wheel further in",
        minutes=4.0,
        place="pits",
        stage="alignment",
        note=f"{count.step:g} {count.unit} of one wheel is {size} of its {what}, "
        f"{'longer' if per > 0 else 'shorter'} for more toe-in{more}",
        edits=(Shift(f"{path}.length", per),),
    )


def _toe_length(
    parts: CornerParts, rod: UprightRod, centre: np.ndarray, values: Values, path: str, turn: float
) -> float:
    """Lengthening of the toe rod that turns the wheel by `turn` rad about z."""
    joints = steering_axis(parts)
    if joints is None:
        return turn / float(upright_motion(parts, centre, rod.name)[5])
    lower, upper = joints
    axis = upper - lower
    return _along(values, path, np.cross(axis / axis[2] * turn, np.asarray(values[f"{path}.b"]) - lower))


def _heights(car: Car, end: str) -> Adjuster:
    """Rack height (`a`, the inner ends) or shims under the outer tie-rod ends (`b`), both sides."""
    count, rack = length(car, 1.0, 1.0 / 16.0), end == "a"
    inner, ends = ("rack", "rack") if car.steering.kind == "rack" else ("inner tie-rod ends'", "inner ends")
    return Adjuster(
        id="rack_height" if rack else "tie_rod_shims",
        name=f"{inner} height" if rack else "outer tie-rod ends, height by shims, both",
        family="rack height and tie-rod shims",
        group="front",
        **count.either_way(RACK_RANGE),
        reference="from the height at which the car was measured",
        direction=f"more: {ends} up" if rack else "more: outer ends up",
        minutes=20.0,
        place="workshop",
        stage="alignment",
        recheck=("BS", "T", "TQ"),
        rezero=("T",),
        cautions=("car in the air", "prove by degrees"),
        note="bump steer is what it is for" if rack else "same shims on both sides?",
        edits=tuple(Shift(f"front.{side}.tie_rod.{end}", (0.0, 0.0, count.si)) for side in ("left", "right")),
    )
