"""Floating caliper brackets: lengths and chassis mounts of their links, each side and both."""

from __future__ import annotations

from axlewright.car.adjusters.adjuster import Adjuster
from axlewright.car.adjusters.hand import length
from axlewright.car.adjusters.lengths import link_length
from axlewright.car.adjusters.mounts import mount
from axlewright.car.adjusters.together import together
from axlewright.car.mechanism import Mechanism, Values
from axlewright.car.schema import Car
from axlewright.car.schema.rear import BeamAxle, BrakeBracket
from axlewright.car.schema.sides import SIDES, Side

HEIGHT_RANGE = 30e-3  # m either way; common practice, no source
FRAMES = (("chassis", "a"), ("bracket", "b"))


def brake_brackets(car: Car, mechanism: Mechanism, values: Values) -> list[Adjuster]:
    """Adjusters of the brackets' links; none without brackets."""
    del mechanism, values
    if not isinstance(car.rear, BeamAxle):
        return []
    given: list[tuple[Side, BrakeBracket]] = []
    for side in SIDES:
        half = car.rear.side(side).brake_bracket
        if half is not None:
            given.append((side, half))
    if not given:
        return []
    found = _both([_length(car, side, half) for side, half in given], "length", "length", 8.0)
    for frame, end in FRAMES:
        if frame == "chassis" or any(getattr(half, frame).adjustable for _, half in given):
            mounts = [_mount(car, side, half, frame, end) for side, half in given]
            found += _both(mounts, f"mount_{frame}", f"{frame} mounts", 20.0)
    return found


def _both(singles: list[Adjuster], key: str, what: str, minutes: float) -> list[Adjuster]:
    name = f"brake bracket links, {what}, both sides"
    both = together(
        [(single, 1.0) for single in singles], f"brake_bracket_{key}", name=name, group="axle", minutes=minutes
    )
    return [both, *singles]


def _length(car: Car, side: Side, bracket: BrakeBracket) -> Adjuster:
    return link_length(
        car,
        f"rear.brake_bracket_{side}_link",
        bracket.thread,
        key=f"brake_bracket_length_{side}",
        name=f"{side} brake bracket link, length",
        family="brake bracket link length",
        minutes=5.0,
        recheck=("CL", "TQ"),
        cautions=("car in the air", "prove by degrees"),
        note="turns the caliper: enough slack in the brake hose through the whole travel?",
    )


def _mount(car: Car, side: Side, bracket: BrakeBracket, frame: str, end: str) -> Adjuster:
    return mount(
        {f"rear.brake_bracket_{side}_link.{end}": getattr(bracket, frame)},
        length(car, 10.0, 0.5),
        HEIGHT_RANGE,
        key=f"brake_bracket_mount_{frame}_{side}",
        name=f"{side} brake bracket link, {frame} mount",
        family="brake bracket link mount",
        group="axle",
        minutes=12.0,
        recheck=("CL", "TQ", "BB"),
    )
