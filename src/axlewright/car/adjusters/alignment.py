"""Front alignment: camber, caster, toe, rack height and the outer tie-rod ends.

A count of an angle is turned into link lengths by the drawn geometry: the upright turned by a small angle about its
lower ball joint moves the upper one and the tie-rod end, and each link changes by that movement along its own line.
What else then moves (camber shims move toe) is left to the solver.
"""

from __future__ import annotations

import numpy as np

from axlewright.car.adjusters.adjuster import Adjuster, Edit, Shift
from axlewright.car.adjusters.hand import WORDS, in_inches, length, shown, tidy
from axlewright.car.adjusters.together import together
from axlewright.car.adjusters.where import GROUPS, PAIRS, corner, side_of
from axlewright.car.mechanism import Mechanism, Values
from axlewright.car.schema import Car
from axlewright.car.schema.front import FrontSide
from axlewright.units import from_si

DEGREE = float(np.pi / 180.0)
# Common practice, no source: usable steps, and how far either way a front end is usually made to go.
CAMBER_STEP, CAMBER_RANGE = 0.25, 2.0  # deg
CASTER_STEP, CASTER_RANGE = 0.5, 3.0  # deg
TOE_RANGE = 5e-3  # m at the tyre, each wheel
RACK_RANGE = 6e-3  # m
LEGS = ("upper_front", "upper_rear")


def alignment(car: Car, mechanism: Mechanism, values: Values) -> list[Adjuster]:
    """Alignment of the front wheels, each and both, and the height of the rack."""
    del mechanism
    camber = [_camber(car, wheel, values) for wheel in PAIRS["front"]]
    toe = [_toe(car, wheel, values) for wheel in PAIRS["front"]]
    found = [*camber, _both(camber, "camber_front", "front camber, both wheels", 15.0)]
    if f"front.left.{LEGS[0]}.length" in values:
        caster = [_caster(car, wheel, values) for wheel in PAIRS["front"]]
        found += [*caster, _both(caster, "caster_front", "front caster, both wheels", 20.0)]
    total = together(
        [(toe[0], 0.5), (toe[1], 0.5)],
        "toe_front",
        name="front toe, total",
        group="front",
        minutes=6.0,
        step=tidy(2.0 * toe[0].step),
        reference="total of both wheels across the tyre's diameter, toe-in positive",
    )
    return [*found, *toe, total, _heights(car, "a"), _heights(car, "b")]


def _both(members: list[Adjuster], key: str, name: str, minutes: float) -> Adjuster:
    note = f"{members[0].note}; same on both sides?"
    return together([(m, 1.0) for m in members], key, name=name, group="front", minutes=minutes, note=note)


def _front(car: Car, wheel: str) -> FrontSide:
    side = corner(car, wheel)
    assert isinstance(side, FrontSide)
    return side


def _outward(wheel: str) -> float:
    return 1.0 if wheel.startswith("L") else -1.0


def _along(values: Values, path: str, movement: np.ndarray) -> float:
    """Change of a link's length when its outer end is moved."""
    span = np.asarray(values[f"{path}.b"]) - np.asarray(values[f"{path}.a"])
    return float(movement @ span / np.linalg.norm(span))


def _upper_movement(side: FrontSide, turn: np.ndarray) -> np.ndarray:
    """Movement of the upper ball joint when the upright turns about the lower one, m per rad of `turn`'s size."""
    return np.cross(turn, side.upper_wishbone.ball.xyz - side.lower_wishbone.ball.xyz)


def _leg_edits(values: Values, wheel: str, movement: np.ndarray) -> tuple[Edit, ...]:
    paths = [f"front.{side_of(wheel)}.{leg}" for leg in LEGS]
    return tuple(Shift(f"{path}.length", _along(values, path, movement)) for path in paths)


def _in_words(car: Car, edits: tuple[Edit, ...], what: str) -> str:
    """ "1 deg is 5.1 mm of ..." for the largest edit."""
    largest = max(abs(float(edit.per_unit)) for edit in edits if isinstance(edit, Shift))  # pyright: ignore[reportArgumentType] lengths are numbers
    return f"1 deg is {shown(largest, 'in' if in_inches(car) else 'mm')} of {what}"


def _camber(car: Car, wheel: str, values: Values) -> Adjuster:
    """By the upper link lengths; by a shim at the hub where the upper wishbone is one part that carries something."""
    side, now = _front(car, wheel), tidy(_front(car, wheel).camber.value / DEGREE)
    edits: tuple[Edit, ...] = (Shift(f"{wheel}.camber", DEGREE),)
    note = "by shims at the hub"
    if f"front.left.{LEGS[0]}.length" in values:
        turn = np.array([-_outward(wheel) * DEGREE, 0.0, 0.0])  # about x: the top goes outward
        edits = _leg_edits(values, wheel, _upper_movement(side, turn))
        note = _in_words(car, edits, "each upper link")
    return Adjuster(
        id=f"camber_{wheel}",
        name=f"{WORDS[wheel]} camber",
        family="front camber",
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
        recheck=("T", "H"),
        rezero=("T",),
        cautions=("car in the air",),
        note=note,
        edits=edits,
    )


def _caster(car: Car, wheel: str, values: Values) -> Adjuster:
    side = _front(car, wheel)
    axis = side.upper_wishbone.ball.xyz - side.lower_wishbone.ball.xyz
    now = tidy(round(float(np.arctan2(-axis[0], axis[2])) / DEGREE, 3))
    edits = _leg_edits(values, wheel, _upper_movement(side, np.array([0.0, -DEGREE, 0.0])))  # about y: top rearward
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
        note=_in_words(car, edits, "the upper links, one longer and the other shorter"),
        edits=edits,
    )


def _toe(car: Car, wheel: str, values: Values) -> Adjuster:
    """By tie-rod length. Toe in mm is the difference across the tyre's diameter, taken as twice the loaded radius."""
    side, count = _front(car, wheel), length(car, 0.5, 1.0 / 32.0)
    lower, diameter = side.lower_wishbone.ball.xyz, 2.0 * side.wheel_centre.z
    axis = side.upper_wishbone.ball.xyz - lower
    turn = axis / axis[2] * (-_outward(wheel) * count.si / diameter)  # about the steering axis: toe-in
    path = f"front.{side_of(wheel)}.tie_rod"
    per = _along(values, path, np.cross(turn, np.asarray(values[f"{path}.b"]) - lower))
    now = tidy(round(from_si(side.toe.value * diameter, count.unit), 4))
    step, thread = per * count.step, side.tie_rod.thread
    size = shown(step, count.unit) if thread is None else f"{abs(step / thread.value):.2f} turn"
    return Adjuster(
        id=f"toe_{wheel}",
        name=f"{WORDS[wheel]} toe",
        family="front toe",
        group=GROUPS[wheel],
        **count.either_way(TOE_RANGE, now),
        reference="across the tyre's diameter, toe-in positive",
        direction="more: front of the wheel further in",
        minutes=4.0,
        place="pits",
        stage="alignment",
        note=f"{count.step:g} {count.unit} of one wheel is {size} of its tie rod, "
        f"{'longer' if per > 0 else 'shorter'} for more toe-in; look at the steering wheel's centre",
        edits=(Shift(f"{path}.length", per),),
    )


def _heights(car: Car, end: str) -> Adjuster:
    """Rack height (`a`, the inner ends) or shims under the outer tie-rod ends (`b`), both sides."""
    count, rack = length(car, 1.0, 1.0 / 16.0), end == "a"
    return Adjuster(
        id="rack_height" if rack else "tie_rod_shims",
        name="rack height" if rack else "outer tie-rod ends, height by shims, both",
        family="rack height and tie-rod shims",
        group="front",
        **count.either_way(RACK_RANGE),
        reference="from the height at which the car was measured",
        direction="more: rack up" if rack else "more: outer ends up",
        minutes=20.0,
        place="workshop",
        stage="alignment",
        recheck=("BS", "T", "TQ"),
        rezero=("T",),
        cautions=("car in the air", "prove by degrees"),
        note="bump steer is what it is for" if rack else "same shims on both sides?",
        edits=tuple(Shift(f"front.{side}.tie_rod.{end}", (0.0, 0.0, count.si)) for side in ("left", "right")),
    )
